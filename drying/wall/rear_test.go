package wall

import (
	"fmt"
	"math"
	"testing"
)

// TestLadderRear: a symmetric wall between equal boundaries of every kind gives symmetric answers, and
// half of it, sealed behind, the same one. Symmetry; no source needed.
func TestLadderRear(t *testing.T) {
	fluid := standardFluid()
	table := tabulate(t, variable{refRigid{400, 0.25 / 60, 8, 3e4}})
	air := hourly(24)
	for _, c := range []struct {
		name string
		b    func() Boundary
	}{
		{"robin", func() Boundary { return &Held{Pressure: 900, PressureBeta: 2e-8, Temperature: 22, HeatRate: 8} }},
		{"flux", func() Boundary { return &Held{Flux: 1e-6, Temperature: 22, HeatRate: 8} }},
		{"state", func() Boundary { return &Held{Suction: 12, SuctionRate: 1e-2, Temperature: 22, HeatRate: 1e4} }},
		{"air", func() Boundary { return standardFace(air) }},
	} {
		for _, thermal := range []Thermal{Isothermal, Lumped, Conducting} {
			const depth, n, end = 20e-3, 24, 10 * 3600.0
			cells := GradedBothEnds(depth, n, 0.2e-3)
			p := &Problem{Layers: []Layer{{Name: "wall", Stuff: table, Cells: cells}}, Front: c.b(), Rear: c.b(), Fluid: fluid, Thermal: thermal}
			set := Settings{Tolerance: 1e-5, TempTol: 1e-3}
			v := newSolver(t, p, p.Uniform(0, []float64{8}, 16), set)
			advance(t, v, end)
			s, st := v.State(), v.Stats()
			name := fmt.Sprintf("%s, thermal %d", c.name, thermal)
			worst, warm := 0.0, 0.0
			for i := range n / 2 {
				worst = max(worst, math.Abs(s.Cells[i].Water-s.Cells[n-1-i].Water))
				warm = max(warm, math.Abs(s.Cells[i].Temperature-s.Cells[n-1-i].Temperature))
			}
			rung(t, name+": sides differ, kg/m3", 0, worst, 1e-3, "symmetry to Newton's tolerance")
			rung(t, name+": sides differ, K", 0, warm, 1e-3, "symmetry to Newton's tolerance")
			rungRel(t, name+": rear loss = front loss", st.Evaporated, st.RearLoss, 1e-5, "symmetry")

			half := &Problem{Layers: []Layer{{Name: "wall", Stuff: table, Cells: cells[:n/2]}}, Front: c.b(), Fluid: fluid, Thermal: thermal}
			u := newSolver(t, half, half.Uniform(0, []float64{8}, 16), set)
			advance(t, u, end)
			rungRel(t, name+": half the wall, sealed", st.Evaporated, u.Stats().Evaporated, 3e-4, "symmetry; steps differ, tolerance 1e-5 a step")
		}
	}
}

// TestLadderRestart: a run stopped and resumed from its State at every hour is the run that was not.
func TestLadderRestart(t *testing.T) {
	for _, thermal := range []Thermal{Isothermal, Lumped, Conducting} {
		set := Settings{Tolerance: 1e-5, TempTol: 2e-3}
		build := func() (*Problem, State) {
			p, s := smallWall(t, thermal, standardFace(hourly(24)), nil)
			p.Layers[0].Stuff = tabulate(t, reswell{})
			return p, s
		}
		p, s := build()
		whole := newSolver(t, p, s, set)
		advance(t, whole, 20*3600)
		out := 0.0
		for h := 1; h <= 20; h++ {
			v := newSolver(t, p, s, set)
			advance(t, v, float64(h)*3600)
			s = v.State()
			out += v.Stats().Evaporated
		}
		name := [...]string{"isothermal", "lumped", "conducting"}[thermal]
		rungRel(t, name+": evaporated", whole.Stats().Evaporated, out, 5e-4, "20 starts at tolerance 1e-5 a step")
		worst, w := 0.0, whole.State()
		for i := range w.Cells {
			l, _ := p.layerOf(i)
			worst = max(worst, math.Abs(w.Cells[i].Water-s.Cells[i].Water)/p.Layers[l].Stuff.full)
		}
		rung(t, name+": worst cell, share of full", 0, worst, 2e-4, "20 starts at tolerance 1e-5 a step")
	}
}

// TestDampStarts: backgrounds from dry to soaked, and a film laid on each; cells at and beyond
// saturation; a wall flooded from its face. Nothing may fail or lose water.
func TestDampStarts(t *testing.T) {
	for _, thermal := range []Thermal{Isothermal, Lumped, Conducting} {
		for _, start := range []float64{1e8, 1e6, 1e5, 1e4, 1e3, 100, 10, 1, 0.05} {
			p, _ := smallWall(t, thermal, standardFace(hourly(24)), nil)
			s := p.Uniform(0, []float64{math.Log(310), math.Log(start)}, 16)
			v := newSolver(t, p, s, Settings{})
			b := open(t, fmt.Sprintf("background at %g Pa, thermal %d", start, thermal), v)
			if err := v.Advance(36*3600, b); err != nil {
				t.Errorf("%s: %v", b.name, err)
			}
			if b.steps > 2000 {
				t.Errorf("%s: took %d steps", b.name, b.steps)
			}
		}
		// Flooding a dry wall: suction at the face held far below the fresh film's.
		p, s := smallWall(t, thermal, &Held{Suction: math.Log(0.05), SuctionRate: 1e-4, Temperature: 16, HeatRate: 10}, nil)
		v := newSolver(t, p, s, Settings{})
		b := open(t, fmt.Sprintf("flooded, thermal %d", thermal), v)
		if err := v.Advance(60*86400, b); err != nil {
			t.Errorf("%s: %v", b.name, err)
		}
		full := 0.0
		for i := 6; i < 16; i++ {
			full = max(full, v.State().Cells[i].Water/400)
		}
		rung(t, b.name+": saturation behind", 1, full, 1e-3, "in equilibrium with free water after 60 days")
	}
}

// TestRain: water driven at a face faster than it can take runs off once the wall is full; nothing fails,
// nothing is lost, and the wall dries again.
func TestRain(t *testing.T) {
	for _, thermal := range []Thermal{Isothermal, Lumped, Conducting} {
		const rain = 2.0 / 3600 // kg/(m2 s)
		p, s := smallWall(t, thermal, &Held{Flux: -rain, Temperature: 12, HeatRate: 10}, nil)
		p.Layers, s.Cells = p.Layers[1:], s.Cells[6:] // the bare background
		v := newSolver(t, p, s, Settings{})
		b := open(t, fmt.Sprintf("rain, thermal %d", thermal), v)
		advance(t, v, 60*86400, b)
		st := v.State()
		for i, c := range st.Cells {
			if c.Water < 0.998*400 || c.Water > 1.001*400 {
				t.Errorf("%s: cell %d holds %g of 400 after 60 days", b.name, i, c.Water)
			}
		}
		if e := v.Evaporation(); math.Abs(e) > 1e-3*rain {
			t.Errorf("%s: %.3g kg/m2s still going in of %.3g", b.name, -e, rain)
		}
		p.Front = standardFace(hourly(24))
		v = newSolver(t, p, st, Settings{})
		b = open(t, b.name+", drying", v)
		advance(t, v, st.Time+86400, b)
		if out := v.Stats().Evaporated; !(out > 0.1) {
			t.Errorf("%s: lost %g kg/m2 in a day", b.name, out)
		}
	}
}
