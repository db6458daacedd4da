package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
)

// grid is the air over which times must be smooth: temperatures in steps of 0.2 K. The study takes more (study_test.go).
var grid = struct {
	from     []float64 // C, the first of steps each
	steps    int
	humidity []float64
}{[]float64{8, 19}, 14, []float64{0.4, 0.62, 0.85}}

// coats lays the finish's usual three, each at the moment the one before is dry, and gives their times.
func coats(t *testing.T, b material.Background, f material.Finish, s Setting) (y [3]Times) {
	t.Helper()
	w, err := Stand(b, s, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i := range y {
		if err := w.Lay(Coat{f, f.Coats[Place(i, 3)].Value}); err != nil {
			t.Fatal(err)
		}
		if y[i], err = w.Dry(30 * 86400); err != nil {
			t.Fatal(err)
		}
		if math.IsInf(y[i].Dry, 1) {
			t.Fatalf("coat %d does not dry at %g C", i+1, s.WallTemp)
		}
	}
	return y
}

func events(y Times) [5]float64 { return [5]float64{y.Edge, y.Opens, y.Burnish, y.Closes, y.Dry} }

var eventNames = [5]string{"edge", "opens", "burnish", "closes", "dry"}

// TestSmooth: a fifth of a kelvin moves no time after laying, of first and later coats, by more than 4 % or 20 s.
func TestSmooth(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for _, name := range []string{"primed-board", "brick"} {
		b := background(t, name, "")
		for _, rh := range grid.humidity {
			for _, from := range grid.from {
				var last [3]Times
				for k := range grid.steps {
					c := from + 0.2*float64(k)
					y := coats(t, b, f, setting(c, rh, 0.1))
					for i := range y {
						for e, now := range events(y[i]) {
							was := events(last[i])[e]
							if k == 0 {
								continue
							}
							if d := math.Abs(now - was); d > max(0.04*was, 20) {
								t.Errorf("%s, %.0f %%, coat %d: %s after %.0f s at %.1f C, %.0f s at %.1f C", name, 100*rh, i+1, eventNames[e], was, c-0.2, now, c)
							} else if d > 20 {
								worst = max(worst, d/was)
							}
						}
					}
					last = y
				}
			}
		}
	}
	t.Logf("0.2 K moves a time by %.1f %% at most, 20 s apart", 100*worst)
}

// TestMonotone: for one coat on the same bed in still air, no time comes sooner by more than 0.5 % where the air is
// colder at the same humidity, damper at the same temperature, or the coat thicker.
func TestMonotone(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for _, name := range []string{"primed-board", "brick"} {
		b := background(t, name, "")
		run := func(c, rh, thickness float64) Times {
			w, err := Stand(b, setting(c, rh, 0.1), 0)
			if err != nil {
				t.Fatal(err)
			}
			if err := w.Lay(Coat{f, thickness}); err != nil {
				t.Fatal(err)
			}
			y, err := w.Dry(30 * 86400)
			if err != nil {
				t.Fatal(err)
			}
			return y
		}
		later := func(what string, a, b Times) {
			t.Helper()
			for e, x := range events(a) {
				if y := events(b)[e]; y < x {
					worst = max(worst, 1-y/x)
					if y < 0.995*x {
						t.Errorf("%s, %s: %s after %.2f s, then %.2f s", name, what, eventNames[e], x, y)
					}
				}
			}
		}
		for _, rh := range grid.humidity {
			for _, from := range grid.from {
				for k := 0; k < grid.steps; k += 3 {
					c := from + 0.2*float64(k)
					y := run(c, rh, 0.2e-3)
					later("colder", y, run(c-0.5, rh, 0.2e-3))
					later("damper", y, run(c, rh+0.01, 0.2e-3))
					later("thicker", y, run(c, rh, 0.206e-3))
				}
			}
		}
	}
	t.Logf("the other way round by %.2f %% at most", 100*worst)
}
