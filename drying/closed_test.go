package drying_test

import (
	"math"
	"testing"

	"limeday/drying"
	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/exposure"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// closedRender is a render whose face was overworked until it closed: water and vapour pass its skin a hundred times
// worse than the rest (invented, as no measurement is known).
func closedRender(t *testing.T, render material.Finish) material.Finish {
	closed, err := material.Own("closed", render.Name, map[string]float64{
		"desorptivity": render.Desorptivity.Value / 100, "mu": render.Mu.Value * 100})
	if err != nil {
		t.Fatal(err)
	}
	return closed
}

// TestClosedSkin: a closed, overworked skin of 1 mm on 8 mm of render dries at its face long before the same skin left
// open, but the render behind stays wetter, and loses its water more slowly from the first days on.
func TestClosedSkin(t *testing.T) {
	render, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"brick", "old-lime", "cement-board"} {
		after := func(skin material.Finish, hours float64) coat.Sample {
			w, err := course.Begin([]course.Spot{{Background: background(t, name, ""), Setting: coat.Setting{
				Face: wall.FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325, Convection: func(a wall.Air) float64 { return exposure.OutdoorConvection(a.Speed) }},
				Air:  []wall.Air{{Temperature: 8, Vapour: 0.7 * float64(psychro.SaturationWater(8)), Speed: 2, Radiant: 6}}, WallTemp: 8}}}, 0)
			if err != nil {
				t.Fatal(err)
			}
			if err := w.Lay(coat.Coat{Finish: render, Thickness: 8e-3}); err != nil {
				t.Fatal(err)
			}
			if err := w.To(3600); err != nil {
				t.Fatal(err)
			}
			if err := w.Lay(coat.Coat{Finish: skin, Thickness: 1e-3}); err != nil {
				t.Fatal(err)
			}
			var samples []coat.Sample
			w.Record(&samples, coat.Seldom)
			if err := w.To(3600 + 3600*hours); err != nil {
				t.Fatal(err)
			}
			return samples[len(samples)-1]
		}
		for _, hours := range []float64{12, 24, 36} {
			open, closed := after(render, hours), after(closedRender(t, render), hours)
			t.Logf("%s after %.0f h: open %.2f at the face, %.2f within, %.0f g/(m2 h); closed %.2f, %.2f, %.0f", name, hours,
				open.Full, open.Within, open.Leaves*3.6e6, closed.Full, closed.Within, closed.Leaves*3.6e6)
			if !(closed.Full < open.Full && closed.Within > open.Within+0.05 && closed.Leaves < open.Leaves/2) {
				t.Errorf("%s after %.0f h: open %+v, closed %+v", name, hours, open, closed)
			}
		}
	}
}

// TestClosedSkinFreezes: so the frost of the next night takes it wetter, and is judged by that, not by its dry face.
func TestClosedSkinFreezes(t *testing.T) {
	render, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	frost := func(skin material.Finish) drying.Answer {
		j := wallOutside(t, 0)
		j.Background = background(t, "cement-board", "")
		j.Coats = []drying.Coat{{Finish: render, Thickness: 8e-3, Green: true}, {Finish: skin, Thickness: 1e-3}}
		return ask(t, j, spell(april, 5, func(h int, r *weather.Record) {
			if h >= 50 && h <= 54 { // 02:00 to 06:00 in the night after
				r.Temperature.V, r.Cloud.V, r.Wind.V = -3, 0, 0.5
				r.Vapour.V = 0.8 * float64(psychro.SaturationWater(-3))
			}
		}))
	}
	open, closed := frost(render), frost(closedRender(t, render))
	t.Logf("open: frost %s, face to %.1f C; closed: %s, %.1f C", open.Exterior.Frost, open.Exterior.FaceMin, closed.Exterior.Frost, closed.Exterior.FaceMin)
	if open.Exterior.Frost != drying.FrostPossible || closed.Exterior.Frost != drying.FrostLikely {
		t.Errorf("frost %s of the open skin, %s of the closed one", open.Exterior.Frost, closed.Exterior.Frost)
	}
	if math.Abs(open.Exterior.FaceMin-closed.Exterior.FaceMin) > 1 { // it is the water that tells, not the cold
		t.Errorf("faces to %.1f and %.1f C", open.Exterior.FaceMin, closed.Exterior.FaceMin)
	}
}
