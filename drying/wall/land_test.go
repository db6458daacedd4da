package wall

import (
	"math"
	"slices"
	"testing"
)

// TestAdvanceTo: the wall ends on the crossing; what is in the wall, what left it and the heat balance as after any step,
// for a room too, whose air is not touched by the steps taken anew; the run to the same moment without looking agrees, and
// a crossing noted on the way moves nothing.
func TestAdvanceTo(t *testing.T) {
	c := readFilmCases(t)[0]
	for _, shut := range []bool{false, true} {
		start := func() (*Problem, *Solver, *Room) {
			p, s, _ := refProblem(t, c, refGraded(c.thick), Conducting)
			p.Fluid = NewFluid(StandardFluid(101325))
			p.FaceAtCentre = false
			face := NewFace(FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325},
				[]Air{{Temperature: c.ta, Vapour: c.rh * p.Fluid.Saturation(c.ta), Radiant: c.ta}})
			p.Front = face
			var room *Room
			if shut {
				room = NewRoom(RoomSpec{Volume: 50, AirChanges: 0.5, Area: 30, Rest: 60, Buffer: 1e-6}, face, 0)
				p.Front = room
			}
			return p, newSolver(t, p, s, Settings{}), room
		}
		p, v, room := start()
		s0 := v.State()
		heat := func(v *Solver) float64 {
			sum := 0.0
			for _, k := range v.cell {
				sum += v.hea[k]
			}
			return sum
		}
		h0 := heat(v)
		var vapour0 float64
		if shut {
			vapour0 = room.Vapour()
		}
		limit := 10 * 3600.0
		event := Crossing{First: 0, End: len(p.Layers[0].Cells), Level: 0.6 * refUsh}
		if err := v.AdvanceTo(&event, limit); err != nil {
			t.Fatal(err)
		}
		if !event.Found || event.At != v.Time() || v.Time() >= limit {
			t.Fatalf("crossing %+v; stands at %g s", event, v.Time())
		}
		if v.Stats().Cut == 0 || v.Stats().Cut > 20 {
			t.Errorf("%d steps cut", v.Stats().Cut)
		}
		top := 0.0
		for i := range p.Layers[0].Cells {
			top = max(top, v.water[v.cell[i]])
		}
		// 0.05 s of the mean rate of drying so far is less than what the film loses within it.
		slack := 0.05 * 3 * refUsh / v.Time()
		if top > event.Level || top < event.Level-slack {
			t.Errorf("the wettest cell holds %.9g, the level is %.9g", top, event.Level)
		}
		was, is := p.Water(s0, 0, p.Cells()), p.Water(v.State(), 0, p.Cells())
		if d := was - is - v.Stats().Evaporated - v.Stats().RearLoss; math.Abs(d) > 1e-12*was {
			t.Errorf("%g kg/m2 of water lost count", d)
		}
		if d := heat(v) - h0 - v.Stats().HeatIn; math.Abs(d) > 1e-9*math.Abs(h0) {
			t.Errorf("%g J/m2 of heat lost count", d)
		}
		if shut {
			vented, condensed := room.Totals()
			in, out := 30*v.Stats().Evaporated, room.Vapour()-vapour0+vented+condensed
			if math.Abs(in-out) > 1e-9*in {
				t.Errorf("%.12g kg given off to the room, %.12g kg found", in, out)
			}
		}
		_, plain, _ := start()
		advance(t, plain, v.Time())
		for i := range p.Layers[0].Cells {
			if a, b := v.water[v.cell[i]], plain.water[plain.cell[i]]; math.Abs(a-b) > 3e-3*refUsh {
				t.Errorf("cell %d: %g, %g without looking", i, a, b)
			}
		}

		_, watched, _ := start()
		again, noted := event, Crossing{End: 1, Level: 0.9 * refUsh}
		again.Found = false
		if err := watched.AdvanceTo(&again, limit, &noted); err != nil {
			t.Fatal(err)
		}
		if !noted.Found || watched.Stats().Probed == 0 || again != event || !slices.Equal(watched.State().Cells, v.State().Cells) {
			t.Errorf("noting %+v moves %+v to %+v, or its cells", noted, event, again)
		}

		at := v.Time()
		if err := v.AdvanceTo(&event, limit); err != nil || v.Time() != at {
			t.Errorf("a crossing that was found takes the wall to %g s: %v", v.Time(), err)
		}
		never := Crossing{End: 1, Level: -1}
		if err := v.AdvanceTo(&never, at+100); err != nil || never.Found || v.Time() != at+100 {
			t.Errorf("no crossing: %+v, %v; stands at %g s", never, err, v.Time())
		}
	}
}

// TestNotedCrossings: a crossing that is only noted is as good as one that is ended on, however long the steps.
func TestNotedCrossings(t *testing.T) {
	c := readFilmCases(t)[0]
	for _, level := range []float64{1.1 * refUsh, 0.8 * refUsh, 0.6 * refUsh, 0.5 * refUsh} {
		run := func(ends bool) float64 {
			p, s, _ := refProblem(t, c, refGraded(c.thick), Lumped)
			v := newSolver(t, p, s, Settings{})
			x := Crossing{End: 1, Level: level}
			if ends {
				if err := v.AdvanceTo(&x, 86400); err != nil {
					t.Fatal(err)
				}
			} else {
				advance(t, v, 86400, &x)
			}
			return x.At
		}
		noted, ended := run(false), run(true)
		rungRel(t, "noted, s", ended, noted, 2e-3, "a hundredth of the time gone is interpolated in")
	}
}
