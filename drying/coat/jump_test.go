package coat

import (
	"testing"

	"limeday/drying/material"
)

// TestFreshOnGreen: a fresh coat on one that has just opened, on damped masonry, whatever the draw: the joint between the two
// jumps as the second is laid, and the shortest steps have to be patient with it.
func TestFreshOnGreen(t *testing.T) {
	f, err := material.FinishNamed("float-coat")
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range []Factors{
		{0.7862652879134652, 0.9618901543240875, 1.2294188403121287, 1.3463855864099856, 1.0379424277580218, 0.6779662177169348, -0.2370436220958388},
		{0.6700424421816836, 1.2517372646797325, 1.17658064112771, 1.7143017574716912, 1.0568774379846217, -0.509741045153234, -0.7095872405699364},
		{1.2231791205657356, 0.5763715517242323, 0.5088202616715918, 0.6408568517983654, 1.0984421560241884, -1.0762755609107832, -0.08113273622801641},
		{0.9267895630462409, 1.7028318815107109, 0.6437643785893165, 0.836401350956328, 1.2737267067119715, -0.1799616528270993, -0.7796035055559559},
	} {
		for _, wait := range []float64{900, 1500, 2100, 2400} {
			s := setting(16, 0.6, 0.1)
			s.Coarse = true
			w, err := Stand(background(t, "brick", ""), s, 0)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := w.DampDown(); err != nil {
				t.Fatal(err)
			}
			w = w.With(x, nil)
			for k, thick := range []float64{8e-3, 3e-3} {
				if err := w.Lay(Coat{f, thick}); err != nil {
					t.Fatal(err)
				}
				if _, err := w.Wait(wait); err != nil {
					t.Errorf("draw %d, coat %d after %g s: %v", i, k+1, wait, err)
					break
				}
			}
		}
	}
}
