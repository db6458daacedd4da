package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// stand sets up a bare background in constant air at c degrees and humidity rh, moving at speed m/s.
func stand(t testing.TB, name string, p material.Primer, c, rh, speed float64) *Wall {
	t.Helper()
	w, err := Stand(background(t, name, p), setting(c, rh, speed), 0)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func setting(c, rh, speed float64) Setting {
	e := rh * float64(psychro.SaturationWater(psychro.Celsius(c)))
	return Setting{
		Face:     wall.FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325},
		Air:      []wall.Air{{Temperature: c, Vapour: e, Speed: speed, Radiant: c}},
		WallTemp: c,
	}
}

// TestPrimerAsACoat: a primer laid wet dries, sets to a layer, and takes the first coat of polish.
func TestPrimerAsACoat(t *testing.T) {
	w := stand(t, "gypsum-board", "", 18, 0.6, 0.1)
	primer, _ := material.FinishNamed("grit-primer")
	polish, _ := material.FinishNamed("polished-lime")
	if err := w.Lay(Coat{primer, 0.3e-3}); err != nil {
		t.Fatal(err)
	}
	x, err := w.Dry(48 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("primer dry after %.0f min", x.Dry/60)
	if !(x.Dry > 600 && x.Dry < 24*3600) {
		t.Errorf("primer dry after %g s", x.Dry)
	}
	if err := w.Lay(Coat{polish, 0.2e-3}); err != nil {
		t.Fatal(err)
	}
	if got := w.problem.Layers[1].Name; got != "grit-primer" || w.problem.Layers[1].Size() != 0.25e-3 {
		t.Errorf("under the polish lies %s, %g", got, w.problem.Layers[1].Size())
	}
	first, err := w.Dry(48 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	ref := stand(t, "primed-board", material.Fair, 18, 0.6, 0.1)
	if err := ref.Lay(Coat{polish, 0.2e-3}); err != nil {
		t.Fatal(err)
	}
	old, err := ref.Dry(48 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("first coat opens after %.1f min on the fresh primer, %.1f on one long dry", first.Opens/60, old.Opens/60)
	if !(first.Opens > old.Opens) {
		t.Errorf("a primer just dry should drink less than one long dry: %g against %g s", first.Opens, old.Opens)
	}
}

// TestPrimerOnADryBed: a primer left overnight on a dry board keeps its water when it sets, however little that is, and
// takes the next coat. Conservation; no source needed.
func TestPrimerOnADryBed(t *testing.T) {
	primer, _ := material.FinishNamed("grit-primer")
	marble, _ := material.FinishNamed("marble-coat")
	for _, rh := range []float64{0.02, 0.11, 0.5} {
		for _, thick := range []float64{0.01e-3, 0.05e-3, 0.15e-3, 0.3e-3} {
			w := stand(t, "gypsum-board", "", 20, rh, 0.1)
			if err := w.Lay(Coat{primer, thick}); err != nil {
				t.Fatal(err)
			}
			if _, err := w.Wait(23.5 * 3600); err != nil {
				t.Fatal(err)
			}
			before := w.Holds()
			if err := w.Lay(Coat{marble, 1e-3}); err != nil {
				t.Fatal(err)
			}
			first, end := w.problem.Range(1)
			if after := w.problem.Water(w.state, first, end); math.Abs(after-before) > 1e-9*before {
				t.Errorf("%g, %g m: %g kg/m2 before it sets, %g after", rh, thick, before, after)
			}
			if x, err := w.Dry(10 * 86400); err != nil || math.IsInf(x.Dry, 1) {
				t.Errorf("%g, %g m: dry after %g s, %v", rh, thick, x.Dry, err)
			}
		}
	}
}

// TestStandBeforeARoom: with a heated room behind it a wall starts on the straight fall of temperature from the room
// to its face, through every layer (Fourier's law), and its clone has the room too.
func TestStandBeforeARoom(t *testing.T) {
	b := background(t, "old-lime", "")
	s := setting(2, 0.8, 1)
	s.Rear = wall.RearSpec{Temperature: 20, Transmittance: 3.4}
	w, err := Stand(b, s, 0)
	if err != nil {
		t.Fatal(err)
	}
	r := 1 / 3.4
	for _, l := range b.Layers {
		r += l.Thickness.Value / l.Conductivity.Value
	}
	past, i := 0.0, 0 // resistance from the face
	for k, l := range w.problem.Layers {
		for _, c := range l.Cells {
			own := c / b.Layers[k].Conductivity.Value
			if got, want := w.state.Cells[i].Temperature, 2+18*(past+own/2)/r; math.Abs(got-want) > 1e-9 {
				t.Errorf("cell %d at %g C, want %g", i, got, want)
			}
			past += own
			i++
		}
	}
	before, c := w.FaceTemperature(), w.Clone()
	if _, err := c.Wait(24 * 3600); err != nil {
		t.Fatal(err)
	}
	if !(c.FaceTemperature() > before+1) {
		t.Errorf("face at %g C after a day before a room at 20 C, %g at first, air at 2", c.FaceTemperature(), before)
	}
}
