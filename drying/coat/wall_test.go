package coat

import (
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
