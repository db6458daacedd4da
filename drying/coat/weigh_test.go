package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
)

// TestWeigh: the water lost at a time is that of a wall followed to just then, over several pieces of following; and what
// has left by the end is what the coat and the wall hold less.
func TestWeigh(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	lay := func() *Wall {
		w, err := Stand(background(t, "primed-board", ""), setting(18, 0.5, 0.1), 0)
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Lay(Coat{f, 0.2e-3}); err != nil {
			t.Fatal(err)
		}
		return w
	}
	wait := func(w *Wall, s float64) {
		if _, err := w.Wait(s); err != nil {
			t.Fatal(err)
		}
	}
	at := []float64{130, 700, 1500, 4000}
	all := lay()
	all.Weigh(at...)
	wait(all, 1000)
	if _, err := all.Dry(2000); err != nil {
		t.Fatal(err)
	}
	wait(all, 6000-all.Time())
	for i, s := range at {
		w := lay()
		held := w.problem.Water(w.state, 0, w.problem.Cells())
		w.Weigh(s)
		wait(w, s)
		got, want := all.Weighed()[i].Lost, w.Weighed()[0].Lost
		if math.Abs(got-want) > 0.003*want+1e-6 || want <= 0 {
			t.Errorf("after %g s: %g kg/m2 lost, %g if followed to just then", s, got, want)
		}
		if left := held - w.problem.Water(w.state, 0, w.problem.Cells()); math.Abs(left-want) > 1e-9*held {
			t.Errorf("after %g s: %g kg/m2 lost, but the wall holds %g less", s, want, left)
		}
	}
}
