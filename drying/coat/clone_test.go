package coat_test

import (
	"math"
	"reflect"
	"testing"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/wall"
)

// stood is a primed board in the air of a room, 20 C and 50 %.
func stood(t *testing.T) (*coat.Wall, material.Finish) {
	t.Helper()
	b, err := material.BackgroundNamed("primed-board", material.Fair)
	if err != nil {
		t.Fatal(err)
	}
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	w, err := coat.Stand(b, coat.Setting{Face: wall.FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325},
		Air: []wall.Air{{Temperature: 20, Vapour: 1170, Speed: 0.1, Radiant: 20}}, WallTemp: 20}, 0)
	if err != nil {
		t.Fatal(err)
	}
	return w, f
}

func laid(t *testing.T, w *coat.Wall, c coat.Coat) coat.Times {
	t.Helper()
	if err := w.Lay(c); err != nil {
		t.Fatal(err)
	}
	times, err := w.Dry(2 * 86400)
	if err != nil {
		t.Fatal(err)
	}
	return times
}

// What is done to a clone leaves the wall alone, and the other way round; both dry as a wall never cloned does.
func TestCloneIsIndependent(t *testing.T) {
	w, f := stood(t)
	first := coat.Coat{Finish: f, Thickness: 0.2e-3}
	thin, thick := coat.Coat{Finish: f, Thickness: 0.08e-3}, coat.Coat{Finish: f, Thickness: 0.3e-3}
	laid(t, w, first)
	at, warmth := w.Time(), w.FaceTemperature()
	c := w.Clone()
	if c.Time() != at || c.FaceTemperature() != warmth || c.Air() != w.Air() {
		t.Errorf("the clone stands at %g s, %g C; the wall at %g s, %g C", c.Time(), c.FaceTemperature(), at, warmth)
	}
	onClone := laid(t, c, thick)
	if w.Time() != at || w.FaceTemperature() != warmth {
		t.Errorf("the wall went with its clone to %g s, %g C", w.Time(), w.FaceTemperature())
	}
	onWall := laid(t, w, thin)

	fresh := func(second coat.Coat) coat.Times {
		alone, _ := stood(t)
		laid(t, alone, first)
		return laid(t, alone, second)
	}
	if want := fresh(thick); !reflect.DeepEqual(onClone, want) {
		t.Errorf("on the clone %+v, on a wall never cloned %+v", onClone, want)
	}
	if want := fresh(thin); !reflect.DeepEqual(onWall, want) {
		t.Errorf("on the wall %+v, on one never cloned %+v", onWall, want)
	}
	if onWall.Dry >= onClone.Dry {
		t.Errorf("0.08 mm dries in %g s, 0.3 mm in %g s", onWall.Dry, onClone.Dry)
	}
}

// Dry stops at the moment the coat was dry; a second Dry takes no time. A coat that is not dry within the limit leaves the
// wall there.
func TestDryStops(t *testing.T) {
	w, f := stood(t)
	times := laid(t, w, coat.Coat{Finish: f, Thickness: 0.2e-3})
	if w.Time() != times.Dry || !(times.Dry > times.Closes) {
		t.Errorf("stands at %g s; it was dry at %g s", w.Time(), times.Dry)
	}
	again, err := w.Dry(3600)
	if err != nil || again.Opens != 0 || again.Dry != 0 || again.FaceMin != w.FaceTemperature() || w.Time() != times.Dry {
		t.Errorf("a coat that is dry dries again: %+v, %v; stands at %g s", again, err, w.Time())
	}
	short, _ := stood(t)
	if err := short.Lay(coat.Coat{Finish: f, Thickness: 0.2e-3}); err != nil {
		t.Fatal(err)
	}
	if y, err := short.Dry(times.Dry - 1); err != nil || !math.IsInf(y.Dry, 1) || short.Time() != times.Dry-1 || math.Abs(y.Closes-times.Closes) > 0.002*times.Closes {
		t.Errorf("1 s short of dry: %+v, %v; stands at %g s", y, err, short.Time())
	}
	for _, bad := range []float64{0, -1e-4, math.NaN(), math.Inf(1)} {
		if err := w.Lay(coat.Coat{Finish: f, Thickness: bad}); err == nil {
			t.Errorf("a coat of %g m was laid", bad)
		}
	}
}
