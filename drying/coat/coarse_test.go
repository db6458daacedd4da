package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
)

// TestCoarse: a coarse wall gives the times of a fine one within 3 % or 10 s, coat upon coat. The first seconds on a thirsty
// background are the hardest; no source needed.
func TestCoarse(t *testing.T) {
	worst := 0.0
	for _, c := range []struct {
		background, finish string
		coats              []float64
	}{
		{"primed-board", "polished-lime", []float64{0.2e-3, 0.12e-3, 0.08e-3}},
		{"brick", "polished-lime", []float64{0.2e-3, 0.12e-3, 0.08e-3}},
		{"old-lime", "polished-lime", []float64{0.25e-3, 0.15e-3}},
		{"aerated-block", "marble-coat", []float64{1e-3, 0.8e-3}},
		{"gypsum-board", "marble-coat", []float64{1e-3}},
		{"cement-board", "nhl-render", []float64{10e-3}},
		{"brick", "nhl-render", []float64{10e-3}},
		{"primed-board", "float-coat", []float64{8e-3}},
	} {
		f, err := material.FinishNamed(c.finish)
		if err != nil {
			t.Fatal(err)
		}
		var fine []Times
		for _, coarse := range []bool{false, true} {
			s := setting(15, 0.6, 0.1)
			s.Coarse = coarse
			w, err := Stand(background(t, c.background, ""), s, 0)
			if err != nil {
				t.Fatal(err)
			}
			for i, th := range c.coats {
				if err := w.Lay(Coat{f, th}); err != nil {
					t.Fatal(err)
				}
				got, err := w.Dry(30 * 86400)
				if err != nil {
					t.Fatal(err)
				}
				if !coarse {
					fine = append(fine, got)
					continue
				}
				for _, p := range [][2]float64{{got.Edge, fine[i].Edge}, {got.Opens, fine[i].Opens}, {got.Burnish, fine[i].Burnish}, {got.Closes, fine[i].Closes}, {got.Dry, fine[i].Dry}} {
					off := math.Abs(p[0] - p[1])
					if !(off <= max(0.03*p[1], 10)) {
						t.Errorf("%s on %s, coat %d: %.1f s, fine %.1f s", c.finish, c.background, i+1, p[0], p[1])
					}
					if p[1] > 500 {
						worst = max(worst, off/p[1])
					}
				}
			}
		}
	}
	t.Logf("coarse: times of over 500 s off by %.2f %% at most", 100*worst)
}
