package wall

import (
	"fmt"
	"math"
)

// Settings bound the solver's errors. A zero value of a field means its default.
type Settings struct {
	Tolerance   float64 // local error of a step in W, as a share of Full; default 3e-4
	TempTol     float64 // local error of a step in temperature, K; default 0.05
	FirstStep   float64 // s; default 1e-3, or longer where State says so
	MaxStep     float64 // s; default none
	MinStep     float64 // s; default 1e-9
	MaxSteps    int     // steps of one Advance from one kink of the conditions to the next; default 200 000
	NewtonLimit int     // iterations of one stage; default 10
}

func (s Settings) defaults() Settings {
	def := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	def(&s.Tolerance, 3e-4)
	def(&s.TempTol, 0.05)
	def(&s.FirstStep, 1e-3)
	def(&s.MaxStep, math.Inf(1))
	def(&s.MinStep, 1e-9)
	if s.MaxSteps == 0 {
		s.MaxSteps = 200000
	}
	if s.NewtonLimit == 0 {
		s.NewtonLimit = 10
	}
	return s
}

// Stats counts a solver's work since it was made.
type Stats struct {
	Steps, Rejected, Failed, Newton int
	Cut, Probed                     int     // steps taken anew to end on a crossing, and tried beside to note one
	Evaporated                      float64 // kg/m2 left through the front, what ran off counted in
	RearLoss                        float64 // kg/m2 left through the rear, likewise
	HeatIn                          float64 // J/m2 arrived through both faces, latent heat of leaving vapour taken off
}

// ConvergenceError says that the solver could not go on, and where.
type ConvergenceError struct {
	Time  float64 // s
	Cell  int     // of the layer, from the face; -1 for a face or a joint between layers
	Layer string
	Cause string
}

func (e *ConvergenceError) Error() string {
	at := fmt.Sprintf("cell %d of %s", e.Cell+1, e.Layer)
	if e.Cell < 0 {
		at = "a face or joint of " + e.Layer
	}
	return fmt.Sprintf("wall: no solution past %.6g s at %s: %s", e.Time, at, e.Cause)
}

// Solver advances one wall in time. It is made for one Problem; laying a coat makes a new one. It is
// not safe for use by several goroutines at once.
//
// The unknowns are y = ln(suction) and, in a Conducting wall, temperature, at nodes: one for each cell
// and one without storage for each face and each joint between layers. Time is advanced by TR-BDF2
// (Bank et al. 1985; in the form of Hosea & Shampine 1996, Appl. Numer. Math. 20, 21-37, from memory)
// in the mixed form: water and enthalpy themselves are carried, so that what is stored and what has
// passed the faces always balance to rounding.
type Solver struct {
	p   *Problem
	set Settings
	n   int // nodes

	// The network, fixed.
	size   []float64 // cell size at a node; 0 at a face or joint
	stuff  []*Table  // of a cell node
	cell   []int     // node of cell i
	links  []link
	part   []float64 // cell size over the water that fills it, m2/kg; 0 at a face or joint
	noHeat []bool    // stored water has no heat capacity

	// The unknowns, and what is carried.
	time       float64
	y, temp    []float64
	water, hea []float64 // W of cells (per unit measure), enthalpy (J/m2)
	f, q       []float64 // net inflow of water and heat at the nodes at time
	eff, base  []float64 // hysteresis: point on the draining curve, and the y it was left at
	cons       []float64
	play       bool

	// Work space of a step.
	y0, t0, w0, h0, f0, q0, f1, q1 []float64
	yPrev, tPrev                   []float64
	yMid, tMid                     []float64
	y1, t1                         []float64
	hPrev                          float64
	rw, rh                         []float64 // right-hand sides
	dw, wNow                       []float64
	points                         []point
	rows                           []row   // of a wall of one temperature
	blocks                         []block // of a Conducting one
	dy, dt                         []float64
	ends                           [2]ending
	kept                           struct { // a step, while others are tried in its place
		values []float64
		ends   [2]ending
		to     float64
	}

	h     float64 // next step
	stats Stats
	step  Step
	fresh bool // algebraic unknowns not yet consistent
	bad   int  // node that failed last
}

// ending is one of the two faces: its boundary and what passes it.
type ending struct {
	b                  Boundary
	keeper             Keeper // b, where it keeps a state
	s                  Surface
	x                  Exchange
	waterY, waterT     float64 // derivatives of x.Water by the node's unknowns
	heat, heatY, heatT float64 // W/m2 into the node, what x.Water carries taken off
	run, runY          float64 // of x.Water, what runs off
	now, heatNow       float64 // water out and heat in, at the end of the last stage solved
	mid, heatMid       float64 // at the stage before
	w0, q0             float64 // at the start of the step
}

// NewSolver makes a solver for p starting at s, which it copies.
func NewSolver(p *Problem, s State, set Settings) (*Solver, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if len(s.Cells) != p.Cells() {
		panic("wall: state and problem differ in their number of cells")
	}
	v := &Solver{p: p, set: set.defaults(), time: s.Time, fresh: true}
	v.network()
	v.allocate()
	for i, c := range s.Cells {
		if math.IsNaN(c.Water+c.Y+c.Temperature) || math.IsInf(c.Water+c.Y+c.Temperature, 0) {
			l, n := p.layerOf(i)
			return nil, &BuildError{Layer: l, Name: p.Layers[l].Name, Reason: fmt.Sprintf("starts with a state that is not finite in cell %d", n+1)}
		}
		k := v.cell[i]
		v.water[k], v.y[k], v.temp[k] = c.Water, c.Y, c.Temperature
		v.eff[k], v.base[k], v.cons[k] = c.Drained, c.Y, c.Consolidated
		v.hea[k] = v.enthalpy(k)
	}
	v.ends[0].b, v.ends[1].b = p.Front, p.Rear
	for e := range v.ends {
		v.ends[e].keeper, _ = v.ends[e].b.(Keeper)
	}
	v.h = max(v.set.FirstStep, s.Step)
	v.guessJoints()
	return v, nil
}

func (v *Solver) network() {
	most := v.p.Cells() + 2*len(v.p.Layers) + 1
	v.size, v.stuff, v.cell = make([]float64, 0, most), make([]*Table, 0, most), make([]int, 0, most)
	v.noHeat, v.links = make([]bool, 0, most), make([]link, 0, most)
	add := func(size float64, t *Table) int {
		v.size, v.stuff = append(v.size, size), append(v.stuff, t)
		v.noHeat = append(v.noHeat, t != nil && t.heat.WaterMissing)
		return len(v.size) - 1
	}
	join := func(t *Table, inv float64) {
		l := link{stuff: t, inv: inv}
		if t != nil {
			l.liquid = t.liquid * inv
		}
		v.links = append(v.links, l)
	}
	if !v.p.FaceAtCentre {
		add(0, nil)
	}
	for l, layer := range v.p.Layers {
		t := layer.Stuff
		v.play = v.play || t.play
		for i, c := range layer.Cells {
			switch {
			case i > 0:
				join(t, 2/(c+layer.Cells[i-1]))
			case len(v.size) > 0:
				join(t, 2/c)
			}
			v.cell = append(v.cell, add(c, t))
		}
		join(t, 2/layer.Cells[len(layer.Cells)-1])
		add(0, nil) // joint, or the rear face
		if layer.Contact > 0 && l < len(v.p.Layers)-1 {
			join(nil, 1/layer.Contact)
			add(0, nil)
		}
	}
	v.n = len(v.size)
	v.part = make([]float64, v.n)
	for i, t := range v.stuff {
		if t != nil {
			v.part[i] = 1 / t.full
		}
	}
}

func (v *Solver) allocate() {
	slices := [...]*[]float64{&v.y, &v.temp, &v.water, &v.hea, &v.f, &v.q, &v.eff, &v.base, &v.cons,
		&v.y0, &v.t0, &v.w0, &v.h0, &v.f0, &v.q0, &v.f1, &v.q1, &v.yPrev, &v.tPrev, &v.yMid, &v.tMid, &v.y1, &v.t1, &v.rw, &v.rh, &v.dw, &v.wNow, &v.dy, &v.dt}
	all := make([]float64, len(slices)*v.n)
	for i, s := range slices {
		*s = all[i*v.n : (i+1)*v.n : (i+1)*v.n]
	}
	v.points = make([]point, v.n)
	if v.p.Thermal == Conducting {
		v.blocks = make([]block, v.n)
	} else {
		v.rows = make([]row, v.n)
	}
	v.step = Step{v: v}
}

// temps is the part of a slice of temperatures that counts: the first alone where a wall has one.
func (v *Solver) temps(t []float64) []float64 {
	if v.p.Thermal == Conducting {
		return t
	}
	return t[:1]
}

// enthalpy of a cell node from its carried water and temperature, J/m2 above 0 C.
func (v *Solver) enthalpy(k int) float64 {
	return v.size[k] * v.heatCapacity(k, v.water[k]) * v.temp[k]
}

func (v *Solver) heatCapacity(k int, w float64) float64 {
	c := v.stuff[k].heat.Capacity
	if !v.noHeat[k] {
		c += v.p.Fluid.waterHeat * w
	}
	return c
}

// guessJoints gives faces and joints first values: the temperature between their neighbours and the
// wetter neighbour's suction.
func (v *Solver) guessJoints() {
	for i := range v.n {
		if v.stuff[i] != nil {
			continue
		}
		l, r := i-1, i+1
		for l >= 0 && v.stuff[l] == nil {
			l--
		}
		for r < v.n && v.stuff[r] == nil {
			r++
		}
		switch {
		case l < 0:
			v.y[i], v.temp[i] = v.y[r], v.temp[r]
		case r >= v.n:
			v.y[i], v.temp[i] = v.y[l], v.temp[l]
		default:
			v.y[i], v.temp[i] = min(v.y[l], v.y[r])+0.5, (v.temp[l]+v.temp[r])/2
		}
	}
}

// Time is the present time, s.
func (v *Solver) Time() float64 { return v.time }

// Stats returns the work done so far.
func (v *Solver) Stats() Stats { return v.stats }

// Evaporation is the water leaving through the front at present, kg/(m2 s).
func (v *Solver) Evaporation() float64 { return v.ends[0].now }

// FaceTemperature is the temperature of the front face, C.
func (v *Solver) FaceTemperature() float64 { return v.temp[0] }

// FaceSuction is ln(suction/Pa) at the front face.
func (v *Solver) FaceSuction() float64 { return v.y[0] }

// State copies the present state.
func (v *Solver) State() State {
	s := State{Time: v.time, Cells: make([]Cell, len(v.cell)), Step: v.h}
	for i, k := range v.cell {
		t := v.temp[k]
		switch v.p.Thermal {
		case Lumped:
			t = v.temp[0]
		case Conducting: // of the enthalpy that has been balanced, so that a restart loses none
			t = v.hea[k] / (v.size[k] * v.heatCapacity(k, v.water[k]))
		}
		s.Cells[i] = Cell{Water: v.water[k], Y: v.y[k], Temperature: t, Drained: v.eff[k], Consolidated: v.cons[k]}
	}
	return s
}
