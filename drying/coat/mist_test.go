package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
)

// TestMist: a bed takes up at most what is sprayed, a thirsty one all of it and a tight one little; the water is in the
// wall or has left by its face; time passes as told; the next coat opens later. Primed boards, dry lime coats, brick.
func TestMist(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		background string
		primer     material.Primer
		coats      int
		least      float64 // share of the spray taken up
		most       float64
	}{
		{"primed-board", material.Tight, 0, 0.005, 0.1},
		{"primed-board", material.Tight, 1, 0.5, 1},
		{"primed-board", material.Fair, 2, 0.9, 1},
		{"brick", "", 0, 0.999, 1},
		{"brick", "", 1, 0.999, 1},
		{"painted", "", 0, 0.005, 0.2},
	} {
		s := setting(20, 0.5, 0.1)
		w, err := Stand(background(t, tc.background, tc.primer), s, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i := range tc.coats {
			if err := w.Lay(Coat{f, f.Coats[Place(i, 3)].Value}); err != nil {
				t.Fatal(err)
			}
			if _, err := w.Dry(48 * 3600); err != nil {
				t.Fatal(err)
			}
			if _, err := w.Wait(24 * 3600); err != nil { // it has stood
				t.Fatal(err)
			}
		}
		dry := w.Clone()
		all := func() float64 { return w.problem.Water(w.state, 0, w.problem.Cells()) }
		at, held, lost := w.Time(), all(), w.lost
		took, err := w.Mist()
		if err != nil {
			t.Fatal(err)
		}
		if w.Time() != at+MistingTime {
			t.Errorf("%s, %d coats: took %g s, want %g", tc.background, tc.coats, w.Time()-at, MistingTime)
		}
		if took < tc.least*mistWater || took > tc.most*mistWater*(1+1e-9) {
			t.Errorf("%s, %d coats: took up %.4f of %.4f kg/m2", tc.background, tc.coats, took, mistWater)
		}
		if tc.coats > 0 {
			if d := all() - held - took + w.lost - lost; math.Abs(d) > 1e-12*held {
				t.Errorf("%s, %d coats: %g kg/m2 out of nothing", tc.background, tc.coats, d)
			}
		}
		var y [2]Times
		for i, x := range []*Wall{dry, w} {
			if err := x.Lay(Coat{f, 0.12e-3}); err != nil {
				t.Fatal(err)
			}
			if y[i], err = x.Dry(48 * 3600); err != nil {
				t.Fatal(err)
			}
		}
		t.Logf("%s %s, %d coats: took up %.1f g/m2; gone by after %.0f s, misted %.0f s", tc.background, tc.primer, tc.coats, 1000*took, y[0].Closes, y[1].Closes)
		if !(y[1].Opens > y[0].Opens && y[1].Closes > y[0].Closes && y[1].Dry > y[0].Dry) {
			t.Errorf("%s, %d coats: misted %+v, not misted %+v", tc.background, tc.coats, y[1], y[0])
		}
	}
}
