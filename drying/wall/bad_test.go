package wall

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// broken is a linear material with one property spoiled.
type broken struct {
	linear
	water, potential func(y float64) (v, dv float64)
	vapour           float64
	full             float64
}

func (b broken) Water(y float64) (float64, float64) {
	if b.water != nil {
		return b.water(y)
	}
	return b.linear.Water(y)
}

func (b broken) Potential(y float64) (float64, float64) {
	if b.potential != nil {
		return b.potential(y)
	}
	return b.linear.Potential(y)
}
func (b broken) Vapour(float64) float64 { return b.vapour }
func (b broken) Full() float64          { return b.full }

// TestBadMaterial: a material that cannot be is refused with a MaterialError that says why and where.
func TestBadMaterial(t *testing.T) {
	good := broken{linear: linear{100, 1e-9, 1.35e8}, full: 100}
	if _, err := Tabulate(good); err != nil {
		t.Fatal(err)
	}
	nan := func(y float64) (float64, float64) { return math.NaN(), -1 }
	for name, c := range map[string]struct {
		spoil func(b *broken)
		says  string
	}{
		"no capacity":        {func(b *broken) { b.full = 0 }, "full water content"},
		"negative capacity":  {func(b *broken) { b.full = -5 }, "full water content"},
		"infinite capacity":  {func(b *broken) { b.full = math.Inf(1) }, "full water content"},
		"NaN capacity":       {func(b *broken) { b.full = math.NaN() }, "full water content"},
		"NaN water":          {func(b *broken) { b.water = nan }, "not a finite number"},
		"infinite water":     {func(b *broken) { b.water = func(float64) (float64, float64) { return math.Inf(1), 0 } }, "not a finite number"},
		"NaN potential":      {func(b *broken) { b.potential = nan }, "not a finite number"},
		"NaN vapour":         {func(b *broken) { b.vapour = math.NaN() }, "not a finite number"},
		"wetter when drier":  {func(b *broken) { b.water = func(y float64) (float64, float64) { return y, 1 } }, "higher suction"},
		"rises between":      {func(b *broken) { b.water = func(y float64) (float64, float64) { return y, 0 } }, "higher suction"},
		"conducts upwards":   {func(b *broken) { b.potential = func(y float64) (float64, float64) { return y, 1 } }, "higher suction"},
		"potential rises":    {func(b *broken) { b.potential = func(y float64) (float64, float64) { return y, 0 } }, "rises with suction"},
		"NaN at one suction": {func(b *broken) { b.water = func(y float64) (float64, float64) { return 20 - y, math.Log(15-y)*0 - 1 } }, "not a finite number"},
	} {
		b := good
		c.spoil(&b)
		_, err := Tabulate(b)
		var m *MaterialError
		if !errors.As(err, &m) {
			t.Errorf("%s: %v, want a MaterialError", name, err)
			continue
		}
		if !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %q, want one sentence with %q", name, err, c.says)
		}
	}
}

// TestBadWall: a build-up that cannot be is refused with a BuildError naming the layer.
func TestBadWall(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(p *Problem, s *State)
		layer int
		says  string
	}{
		"no layers":           {func(p *Problem, s *State) { p.Layers = nil; s.Cells = nil }, -1, "at least one layer"},
		"no cells":            {func(p *Problem, s *State) { p.Layers[1].Cells = nil; s.Cells = s.Cells[:6] }, 1, "no cells"},
		"cell of nothing":     {func(p *Problem, s *State) { p.Layers[1].Cells[2] = 0 }, 1, "must be positive"},
		"negative cell":       {func(p *Problem, s *State) { p.Layers[0].Cells[0] = -1e-3 }, 0, "must be positive"},
		"NaN cell":            {func(p *Problem, s *State) { p.Layers[0].Cells[0] = math.NaN() }, 0, "must be positive"},
		"infinite cell":       {func(p *Problem, s *State) { p.Layers[0].Cells[0] = math.Inf(1) }, 0, "must be positive"},
		"negative resistance": {func(p *Problem, s *State) { p.Layers[0].Contact = -1 }, 0, "contact resistance"},
		"NaN resistance":      {func(p *Problem, s *State) { p.Layers[0].Contact = math.NaN() }, 0, "contact resistance"},
		"no heat capacity":    {func(p *Problem, s *State) { p.Layers[1].Stuff.heat.Capacity = 0 }, 1, "heat capacity"},
		"no conductance":      {func(p *Problem, s *State) { p.Layers[1].Stuff.heat.Conductance = math.NaN() }, 1, "heat capacity"},
		"NaN suction":         {func(p *Problem, s *State) { s.Cells[7].Y = math.NaN() }, 1, "cell 2"},
		"infinite water":      {func(p *Problem, s *State) { s.Cells[7].Water = math.Inf(1) }, 1, "cell 2"},
		"NaN temperature":     {func(p *Problem, s *State) { s.Cells[0].Temperature = math.NaN() }, 0, "cell 1"},
	} {
		p, s := smallWall(t, Conducting, standardFace(hourly(2)), nil)
		c.spoil(p, &s)
		v, err := NewSolver(p, s, Settings{})
		var b *BuildError
		if !errors.As(err, &b) || v != nil {
			t.Errorf("%s: %v, want a BuildError", name, err)
			continue
		}
		if b.Layer != c.layer || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: layer %d, %q; want layer %d and %q", name, b.Layer, err, c.layer, c.says)
		}
	}
	p, s := smallWall(t, Conducting, nil, nil)
	mustPanic(t, "state of another wall", func() { _, _ = NewSolver(p, State{Cells: s.Cells[:3]}, Settings{}) })
	mustPanic(t, "no fluid", func() { q := *p; q.Fluid = nil; _, _ = NewSolver(&q, s, Settings{}) })
	mustPanic(t, "no stuff", func() {
		q := *p
		q.Layers = append([]Layer(nil), p.Layers...)
		q.Layers[0].Stuff = nil
		_, _ = NewSolver(&q, s, Settings{})
	})
	v := newSolver(t, p, s, Settings{})
	advance(t, v, 10)
	mustPanic(t, "time backwards", func() { _ = v.Advance(5) })
	mustPanic(t, "no time", func() { _ = v.Advance(math.NaN()) })
	mustPanic(t, "time without end", func() { _ = v.Advance(math.Inf(1)) })
}

// spite is a boundary with no consistent answer.
type spite struct{ after, now float64 }

func (s *spite) Prepare(t float64)  { s.now = t }
func (*spite) Next(float64) float64 { return math.Inf(1) }
func (s *spite) Exchange(_ *Surface, x *Exchange) {
	*x = Exchange{}
	if s.now >= s.after {
		x.Water, x.Heat = math.NaN(), math.NaN()
	}
}

// TestNoConvergence: a problem without a solution ends in a ConvergenceError that says where, after
// bounded work, with the solver at the last time it reached.
func TestNoConvergence(t *testing.T) {
	for _, thermal := range []Thermal{Isothermal, Lumped, Conducting} {
		for name, c := range map[string]struct {
			front   Boundary
			reaches float64
		}{
			"NaN from the start":     {&spite{}, 0},
			"NaN after an hour":      {&spite{after: 3600}, 3500},
			"more than the wall has": {&Held{Flux: 1e-3}, 10},
		} {
			p, s := smallWall(t, thermal, c.front, nil)
			v := newSolver(t, p, s, Settings{})
			err := v.Advance(86400)
			var e *ConvergenceError
			if !errors.As(err, &e) {
				t.Errorf("%s, thermal %d: %v, want a ConvergenceError", name, thermal, err)
				continue
			}
			if n := v.Stats().Newton; n > 20000 {
				t.Errorf("%s, thermal %d: gave up after %d iterations only", name, thermal, n)
			}
			if v.Time() != e.Time || v.Time() < c.reaches || v.Time() > 3600 {
				t.Errorf("%s, thermal %d: stands at %g s, error at %g s", name, thermal, v.Time(), e.Time)
			}
			if e.Layer == "" || e.Cause == "" || strings.Contains(err.Error(), "NaN") || strings.Contains(err.Error(), "\n") {
				t.Errorf("%s, thermal %d: %q", name, thermal, err)
			}
			for i, cell := range v.State().Cells {
				if math.IsNaN(cell.Water + cell.Y + cell.Temperature) {
					t.Errorf("%s, thermal %d: cell %d left as %+v", name, thermal, i, cell)
				}
			}
		}
	}
	// Too many steps is an error too, not a hang.
	p, s := smallWall(t, Lumped, standardFace(hourly(24)), nil)
	v := newSolver(t, p, s, Settings{MaxSteps: 10, MaxStep: 1})
	var e *ConvergenceError
	if err := v.Advance(86400); !errors.As(err, &e) || v.Stats().Steps > 10 {
		t.Errorf("%v after %d steps", err, v.Stats().Steps)
	}
}
