package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
)

// TestWeighed: what a coat has lost at each of many times is what it has lost by then when followed no further, also across
// the pauses in which the follower looks whether it is dry, and after.
func TestWeighed(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	laid := func() *Wall {
		w, err := Stand(background(t, "primed-board", ""), setting(18, 0.5, 0.1), 0)
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Lay(Coat{f, 0.2e-3}); err != nil {
			t.Fatal(err)
		}
		return w
	}
	var at []float64
	for x := 10.0; x < 9000; x += 97 {
		at = append(at, x)
	}
	w := laid()
	w.Weigh(at...)
	if _, err := w.Dry(48 * 3600); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Wait(9000 - w.Time()); err != nil {
		t.Fatal(err)
	}
	got, last := w.Weighed(), 0.0
	for i, x := range got {
		if x.Time != at[i] || x.Lost < last-1e-6 { // the last of a dry coat may take up a breath
			t.Errorf("at %g s: lost %g kg/m2, before that %g", x.Time, x.Lost, last)
		}
		last = x.Lost
	}
	for i := 0; i < len(at); i += 9 {
		w := laid()
		if _, err := w.Wait(at[i]); err != nil {
			t.Fatal(err)
		}
		if math.Abs(w.lost-got[i].Lost) > 0.003*last {
			t.Errorf("at %g s: lost %g kg/m2 when weighed, %g when followed so far", at[i], got[i].Lost, w.lost)
		}
	}
}
