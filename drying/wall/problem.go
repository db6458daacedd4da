package wall

import (
	"fmt"
	"math"
)

// Layer is one layer of the build-up cut into cells.
type Layer struct {
	Name    string
	Stuff   *Table
	Cells   []float64 // cell sizes in the layer's measure, from the face inwards
	Contact float64   // resistance to the layer behind, Pa m2 s/kg; 0 = perfect contact
}

// Size is the layer's whole extent in its measure.
func (l Layer) Size() float64 {
	s := 0.0
	for _, c := range l.Cells {
		s += c
	}
	return s
}

// Thermal says how temperature is treated.
type Thermal int

const (
	// Isothermal keeps the whole wall at the temperature of its initial state.
	Isothermal Thermal = iota
	// Lumped gives the whole wall one temperature, always in balance with the face (no heat stored).
	Lumped
	// Conducting gives every cell its own temperature and heat capacity.
	Conducting
)

// Problem is a wall to be solved: layers from the face inwards, what is on both sides, and the fluid.
// A nil boundary is sealed to water and heat.
type Problem struct {
	Layers      []Layer
	Front, Rear Boundary
	Fluid       *Fluid
	Thermal     Thermal
	// FaceAtCentre evaluates the front exchange at the centre of the outermost cell instead of at its
	// face, as some reference problems define it.
	FaceAtCentre bool
}

// Cells is the number of cells.
func (p *Problem) Cells() int {
	n := 0
	for _, l := range p.Layers {
		n += len(l.Cells)
	}
	return n
}

// Range gives the cells of layer l as a half-open interval of cell numbers counted from the face.
func (p *Problem) Range(l int) (first, end int) {
	for i := range l {
		first += len(p.Layers[i].Cells)
	}
	return first, first + len(p.Layers[l].Cells)
}

// layerOf is the layer that cell i lies in, and its number there.
func (p *Problem) layerOf(i int) (layer, cell int) {
	for layer < len(p.Layers)-1 && i >= len(p.Layers[layer].Cells) {
		i -= len(p.Layers[layer].Cells)
		layer++
	}
	return layer, i
}

func (p *Problem) check() error {
	if len(p.Layers) == 0 {
		return &BuildError{Layer: -1, Reason: "a wall needs at least one layer"}
	}
	if p.Fluid == nil {
		panic("wall: Problem without Fluid")
	}
	for i, l := range p.Layers {
		if l.Stuff == nil {
			panic("wall: Layer without Stuff")
		}
		if len(l.Cells) == 0 {
			return &BuildError{Layer: i, Name: l.Name, Reason: "has no cells"}
		}
		for _, c := range l.Cells {
			if !(c > 0) || math.IsInf(c, 0) {
				return &BuildError{Layer: i, Name: l.Name, Reason: fmt.Sprintf("has a cell of size %g, which must be positive", c)}
			}
		}
		if !(l.Contact >= 0) || math.IsInf(l.Contact, 0) {
			return &BuildError{Layer: i, Name: l.Name, Reason: fmt.Sprintf("has contact resistance %g, which must not be negative", l.Contact)}
		}
		if p.Thermal == Conducting && !(l.Stuff.heat.Capacity > 0 && l.Stuff.heat.Conductance > 0) {
			return &BuildError{Layer: i, Name: l.Name, Reason: "needs a positive conductance and heat capacity"}
		}
	}
	return nil
}

// BuildError says what is wrong with a build-up.
type BuildError struct {
	Layer  int // from the face, or -1
	Name   string
	Reason string
}

func (e *BuildError) Error() string {
	if e.Layer < 0 {
		return "wall: " + e.Reason
	}
	return fmt.Sprintf("wall: layer %d (%s) %s", e.Layer+1, e.Name, e.Reason)
}

// Cell is the state of one cell.
type Cell struct {
	Water       float64 // W: kg per unit measure and m2
	Y           float64 // ln(suction/Pa)
	Temperature float64 // C
	// History of a material whose wetting differs from its draining: the point on the draining curve
	// that holds the same water, and the same kept from falling once consolidated.
	Drained, Consolidated float64
}

// State is the state of a wall at a time: its cells, from the face inwards.
type State struct {
	Time  float64 // s
	Cells []Cell
	// Step is the step, s, that a solver that stood here would take next, for one that goes on from here; 0 where something was done
	// to the wall since.
	Step float64
}

// Clone copies a state.
func (s State) Clone() State {
	s.Cells = append([]Cell(nil), s.Cells...)
	return s
}

// Water is the water held, in kg/m2, by the cells first <= i < end of p in state s.
func (p *Problem) Water(s State, first, end int) float64 {
	sum, i := 0.0, 0
	for _, l := range p.Layers {
		for _, c := range l.Cells {
			if i >= first && i < end {
				sum += c * s.Cells[i].Water
			}
			i++
		}
	}
	return sum
}

// Warm adds by(i) kelvin to each cell i of s, its water and suction staying as they are, and returns the heat that takes,
// J/m2.
func (p *Problem) Warm(s State, by func(cell int) float64) float64 {
	heat, i := 0.0, 0
	for _, l := range p.Layers {
		for _, size := range l.Cells {
			c := &s.Cells[i]
			per := l.Stuff.heat.Capacity
			if !l.Stuff.heat.WaterMissing {
				per += p.Fluid.waterHeat * c.Water
			}
			d := by(i)
			c.Temperature += d
			heat += size * per * d
			i++
		}
	}
	return heat
}

// At makes cells of the stuff on its draining curve at y and temperature t.
func (t *Table) At(y, temperature float64) Cell {
	w, _ := t.Water(y)
	return Cell{Water: w, Y: y, Temperature: temperature, Drained: y, Consolidated: min(y, t.shrunk)}
}

// Uniform gives every cell of layer i the draining-curve state at y[i] and temperature t.
func (p *Problem) Uniform(time float64, y []float64, temperature float64) State {
	s := State{Time: time, Cells: make([]Cell, 0, p.Cells())}
	for i, l := range p.Layers {
		for range l.Cells {
			s.Cells = append(s.Cells, l.Stuff.At(y[i], temperature))
		}
	}
	return s
}

// Lay puts a fresh layer on the face: a new problem and the state it starts from, the wall behind being
// as it is in s.
func (p *Problem) Lay(s State, fresh Layer, y, temperature float64) (*Problem, State) {
	q := *p
	q.Layers = append([]Layer{fresh}, p.Layers...)
	t := State{Time: s.Time, Cells: make([]Cell, 0, len(fresh.Cells)+len(s.Cells))}
	for range fresh.Cells {
		t.Cells = append(t.Cells, fresh.Stuff.At(y, temperature))
	}
	t.Cells = append(t.Cells, s.Cells...)
	return &q, t
}
