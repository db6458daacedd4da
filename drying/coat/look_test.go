package coat

import (
	"math"
	"reflect"
	"testing"

	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// TestMeasured: a reading of the face warms the wall by its fade, leaves the water alone to the last bit and books the
// heat; the wall goes on in balance. A reading of what is computed changes nothing.
func TestMeasured(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"brick", "primed-board"} {
		w := stand(t, name, "", 15, 0.6, 0.1)
		if err := w.Lay(Coat{f, 0.2e-3}); err != nil {
			t.Fatal(err)
		}
		if _, err := w.Wait(600); err != nil {
			t.Fatal(err)
		}
		same := w.Clone()
		if got := same.Measured(same.FaceTemperature(), func(float64) float64 { return math.NaN() }); got != 0 || !reflect.DeepEqual(same.state, w.state) {
			t.Errorf("%s: a reading of what is computed adds %g J/m2", name, got)
		}
		cold, front := w.Clone(), w.FaceTemperature()
		fade := func(depth float64) float64 { return math.Exp(-depth / 0.02) }
		heat := cold.Measured(front-4, fade)
		want, depth, i := 0.0, 0.0, 0
		for n, l := range w.problem.Layers {
			r := material.Rigid{}
			if n > 0 {
				r = background(t, name, "").Layers[n-1]
			}
			for _, c := range l.Cells {
				a, b := w.state.Cells[i], cold.state.Cells[i]
				by := -4.0
				per := f.HeatCapacity.Value
				if n > 0 {
					by *= fade(depth + c/2)
					per = r.Density.Value * r.HeatCapacity.Value
					depth += c
				}
				want += c * (per + psychro.HeatCapacityWater*a.Water) * by
				if math.Abs(b.Temperature-a.Temperature-by) > 1e-9 {
					t.Errorf("%s: cell %d moved by %g K, want %g", name, i, b.Temperature-a.Temperature, by)
				}
				if b.Temperature = a.Temperature; a != b {
					t.Errorf("%s: cell %d was %+v, is %+v", name, i, a, b)
				}
				i++
			}
		}
		if math.Abs(heat/want-1) > 1e-9 {
			t.Errorf("%s: %g J/m2 added, the capacities make %g", name, heat, want)
		}
		if cold.Time() != w.Time() || math.Abs(cold.FaceTemperature()-front+4) > 1e-9 {
			t.Errorf("%s: face at %g C, %g wanted", name, cold.FaceTemperature(), front-4)
		}
		v, err := wall.NewSolver(cold.problem, cold.state, cold.set)
		if err != nil {
			t.Fatal(err)
		}
		before := cold.problem.Water(cold.state, 0, cold.problem.Cells())
		if err := v.Advance(cold.Time() + 60); err != nil {
			t.Fatal(err)
		}
		if d := before - cold.problem.Water(v.State(), 0, cold.problem.Cells()) - v.Stats().Evaporated; math.Abs(d) > 1e-12*before {
			t.Errorf("%s: %g kg/m2 of water lost count", name, d)
		}
		a, err := w.Dry(48 * 3600)
		if err != nil {
			t.Fatal(err)
		}
		b, err := cold.Dry(48 * 3600)
		if err != nil {
			t.Fatal(err)
		}
		if !(b.Dry > a.Dry) {
			t.Errorf("%s: dry after %g s on the colder wall, %g on the other", name, b.Dry, a.Dry)
		}
	}
}

// TestInside: a wall's own room air read back changes nothing; damper air read slows the coat and is not forgotten; more
// air changes speed it up; clones and other factors carry both; in open air there is nothing to read.
func TestInside(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	s := setting(18, 0.5, 0.1)
	s.Room = &wall.RoomSpec{Volume: 30, AirChanges: 0.5, Area: 20, LayTime: 1800, Rest: 40, Buffer: 1e-6}
	w, err := Stand(background(t, "primed-board", ""), s, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Lay(Coat{f, 0.2e-3}); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Wait(1500); err != nil {
		t.Fatal(err)
	}
	temp, vapour, ok := w.Inside()
	if a := w.Air(); !ok || a.Temperature != temp || a.Vapour != vapour || vapour <= s.Air[0].Vapour {
		t.Errorf("inside %g C, %g Pa, %v; the wall's air %+v", temp, vapour, ok, a)
	}
	dry := func(w *Wall) Times {
		y, err := w.Clone().Dry(48 * 3600)
		if err != nil {
			t.Fatal(err)
		}
		return y
	}
	plain := dry(w)
	own := w.Clone()
	own.SetInside(temp, vapour)
	own.SetAirChanges(own.AirChanges())
	if got := dry(own); got != plain {
		t.Errorf("its own air read back: %+v, %+v before", got, plain)
	}
	damp := w.Clone()
	damp.SetInside(temp, 1.1*vapour)
	if _, p, _ := damp.Inside(); math.Abs(p-1.1*vapour) > 1e-9*vapour || damp.room.Vapour() < 1.09*w.room.Vapour() {
		t.Errorf("%g Pa read, the room is at %g", 1.1*vapour, p)
	}
	if got := dry(damp); !(got.Dry > 1.01*plain.Dry) {
		t.Errorf("damper air: dry after %g s, %g before", got.Dry, plain.Dry)
	}
	damp.SetInside(temp, 1e5)
	if _, p, _ := damp.Inside(); math.Abs(p-w.problem.Fluid.Saturation(temp)) > 1 {
		t.Errorf("the room holds %g Pa at %g C", p, temp)
	}
	aired := w.Clone()
	aired.SetAirChanges(5)
	if got := dry(aired); !(got.Dry < 0.95*plain.Dry) || w.AirChanges() != 0.5 {
		t.Errorf("aired: dry after %g s, %g before; the wall itself at %g/h", got.Dry, plain.Dry, w.AirChanges())
	}
	if c := aired.Clone().With(Neutral(), nil); c.AirChanges() != 5 || dry(c) != dry(aired) {
		t.Errorf("a copy has %g air changes", c.AirChanges())
	}

	open := stand(t, "brick", "", 18, 0.5, 0.1)
	open.SetInside(30, 4000)
	open.SetAirChanges(3)
	if _, _, ok := open.Inside(); ok || open.AirChanges() != 0 || open.Air().Temperature != 18 {
		t.Error("open air has an inside")
	}
}

// TestWet: a bed that starts wet holds the share it is told in its outermost 30 mm, the same in coarse cells, and the
// wetter it is the later a coat opens and dries.
func TestWet(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"brick", "aerated-block", "old-lime", "primed-board", "gypsum-board", "cement-board"} {
		b := background(t, name, "")
		var last Times
		for _, wet := range []float64{0, 0.1, 0.2, DampShare, 0.6, WetShare, 0.95, 1, 7} {
			s := setting(15, 0.6, 0.1)
			s.Wet = wet
			held := [2]float64{}
			var w *Wall
			for i, coarse := range []bool{true, false} {
				s.Coarse = coarse
				if w, err = Stand(b, s, 0); err != nil {
					t.Fatal(err)
				}
				held[i] = w.problem.Water(w.state, 0, w.problem.Cells())
			}
			if math.Abs(held[0]/held[1]-1) > 1e-6 {
				t.Errorf("%s, %g: coarse cells hold %g kg/m2, fine ones %g", name, wet, held[0], held[1])
			}
			if r := b.Layers[0]; name == "brick" && wet > 0 {
				inAir, _ := w.problem.Layers[0].Stuff.Water(w.problem.Fluid.Suction(0.6, 15))
				want := min(wet, 0.98)*r.Capillary.Value*0.03 + inAir*(r.Thickness.Value-0.03)
				if math.Abs(held[1]/want-1) > 1e-3 {
					t.Errorf("%s, %g: holds %g kg/m2, want %g", name, wet, held[1], want)
				}
			}
			if err := w.Lay(Coat{f, 0.2e-3}); err != nil {
				t.Fatal(err)
			}
			y, err := w.Dry(20 * 86400)
			if err != nil {
				t.Fatalf("%s, %g: %v", name, wet, err)
			}
			if wet < 1 && y.Opens < last.Opens || y.Closes < last.Closes || y.Dry < last.Dry || wet == 7 && y != last {
				t.Errorf("%s: wet %g: %+v, less wet %+v", name, wet, y, last)
			}
			last = y
		}
	}
}
