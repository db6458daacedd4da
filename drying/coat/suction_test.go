package coat

import (
	"errors"
	"math"
	"testing"

	"limeday/drying/material"
)

func background(t testing.TB, name string, p material.Primer) material.Background {
	t.Helper()
	b, err := material.BackgroundNamed(name, p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestUptakeRoundTrip: the time in which the model takes a drop up gives back the suction it was made with,
// over a wide range, on thick layers and on primed board.
func TestUptakeRoundTrip(t *testing.T) {
	for _, name := range []string{"brick", "aerated-block", "cement-board", "old-lime", "primed-board"} {
		for _, f := range []float64{0.3, 1, 3} {
			b := background(t, name, material.Fair)
			truth := b
			truth.Layers = append([]material.Rigid(nil), b.Layers...)
			for i := range truth.Layers {
				if i == 0 || truth.Layers[i].Thickness.Value < 1e-3 {
					truth.Layers[i].Absorption.Value *= f
				}
			}
			u := DropTest(1)
			var err error
			u.Seconds, err = takeUp(truth, u.oneDimensional(b.Layers[0].Capillary.Value/1000)*1000, 20, 0.5)
			if err != nil {
				t.Fatal(err)
			}
			got, err := WithUptake(b, u, 20, 0.5)
			if err != nil {
				t.Fatal(err)
			}
			r := got.Layers[0].Absorption.Value / truth.Layers[0].Absorption.Value
			t.Logf("%-13s x%-3g drop goes in within %8.4g s; A_w back to %+.2f %%", name, f, u.Seconds, 100*(r-1))
			if math.Abs(r-1) > 5e-3 { // the search stops at 1e-3 in time, and t ~ 1/A^2
				t.Errorf("%s: absorption %g, want %g", name, got.Layers[0].Absorption.Value, truth.Layers[0].Absorption.Value)
			}
		}
	}
}

// TestUptakeIsSorptivity: on one thick dry layer the model's uptake is A_w sqrt(t), the definition of A_w.
// 2 %: a front of millimetres on 28 cells graded from 3 um to a whole half-brick, and the gap of ln 2 in
// suction that each cell crosses before it drinks.
func TestUptakeIsSorptivity(t *testing.T) {
	for _, name := range []string{"brick", "aerated-block", "cement-board"} {
		b := background(t, name, "")
		const depth = 0.5
		s, err := takeUp(b, depth, 20, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		a := depth / math.Sqrt(s)
		d := a/b.Layers[0].Absorption.Value - 1
		t.Logf("%s: model drinks %.4g kg/(m2 s^0.5), material says %.4g (%+.1f %%)", name, a, b.Layers[0].Absorption.Value, 100*d)
		if math.Abs(d) > 0.02 {
			t.Errorf("%s: off by %g", name, d)
		}
	}
}

// TestSpread: a wide disc hardly loses sideways; the relation is its own inverse.
func TestSpread(t *testing.T) {
	u := Uptake{Depth: 1e-3, Radius: 10, Seconds: 1}
	if got := u.oneDimensional(0.2); math.Abs(got/1e-3-1) > 1e-3 {
		t.Errorf("a disc of 10 m loses %g sideways", 1-got/1e-3)
	}
	u.Radius = 5e-3
	i1 := u.oneDimensional(0.2)
	if back := i1 + spread*i1*i1/(u.Radius*0.2); math.Abs(back-1e-3) > 1e-12 {
		t.Errorf("%g, want 1e-3", back)
	}
}

// TestUptakeBounds: what no suction explains is refused with what the build-up could do.
func TestUptakeBounds(t *testing.T) {
	var e *SuctionError
	if _, err := WithUptake(background(t, "brick", ""), DropTest(1e-6), 20, 0.5); !errors.As(err, &e) {
		t.Errorf("a drop in a microsecond: %v", err)
	}
	if e != nil && !(e.Fastest > 1e-6 && e.Slowest > e.Fastest) {
		t.Errorf("bounds %+v", e)
	}
}

// TestDampDown: damping leaves water in brick, the face is wetter than dry but not shining, and a damped
// background opens a coat later than a dry one.
func TestDampDown(t *testing.T) {
	opens := func(damp bool) float64 {
		w := stand(t, "brick", "", 15, 0.6, 0.1)
		if damp {
			taken := 0.0
			for _, wait := range []float64{DampingTime - DampingAgain - Brushed, DampingAgain - Brushed} {
				took, err := w.Damp(Brushed)
				if err != nil {
					t.Fatal(err)
				}
				taken += took
				if _, err := w.Wait(wait); err != nil {
					t.Fatal(err)
				}
			}
			t.Logf("taken up %.2f kg/m2", taken)
			if !(taken > 0.2 && taken < 10) {
				t.Errorf("%g kg/m2", taken)
			}
		}
		f, _ := material.FinishNamed("nhl-render")
		if err := w.Lay(Coat{f, 10e-3}); err != nil {
			t.Fatal(err)
		}
		x, err := w.Dry(14 * 86400)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("damped %v: opens %.1f min, burnish %.1f, gone by %.1f, dry %.0f", damp, x.Opens/60, x.Burnish/60, x.Closes/60, x.Dry/60)
		return x.Opens
	}
	if dry, damp := opens(false), opens(true); !(damp > dry) {
		t.Errorf("opens after %g s on damp brick, %g s on dry", damp, dry)
	}
}
