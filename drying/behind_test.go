package drying_test

import (
	"testing"

	"limeday/drying/exposure"
	"limeday/psychro"
	"limeday/weather"
)

// TestRoomBehind: on a clear cold night the face of a wall before a heated room stays warmer than that of one that
// no heat comes through, by less than the wall's resistances allow, and warmer the warmer the room is.
func TestRoomBehind(t *testing.T) {
	cold := spell(april, 4, func(h int, r *weather.Record) {
		r.Temperature.V, r.Wind.V, r.Cloud.V = 6, 1, 1
		if h%24 >= 20 || h%24 <= 4 {
			r.Temperature.V, r.Wind.V, r.Cloud.V = 1, 0.5, 0
		}
		r.Vapour.V = 0.85 * float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V)))
	})
	lowest := func(room *float64) float64 {
		j := wallOutside(t, 0)
		j.Outdoors.Behind = room
		return ask(t, j, cold).Exterior.FaceMin
	}
	solid := lowest(nil)
	last := solid
	for _, room := range []float64{10, 20, 30} {
		got := lowest(&room)
		t.Logf("face falls to %.2f C with a room at %g C behind it, %.2f with none: %+.2f K", got, room, solid, got-solid)
		// Steady, the face has the share of the room's excess that the film before it has of all resistance: 0.11 m2 K/W,
		// of wind and sky, of 0.11 and 0.46 behind. It stays under that.
		if !(got > last+0.2 && got-solid < (room-solid)*0.11/0.57) {
			t.Errorf("room at %g C: face at %.2f C, solid %.2f, before %.2f", room, got, solid, last)
		}
		last = got
	}
	// Beyond a cavity the same room warms the face less.
	j, twenty := wallOutside(t, 0), 20.0
	j.Outdoors.Behind, j.Outdoors.Cavity = &twenty, true
	got, straight := ask(t, j, cold).Exterior.FaceMin, lowest(&twenty)
	t.Logf("face falls to %.2f C with a room at 20 C beyond a cavity, %.2f straight behind it", got, straight)
	if !(got > solid+0.2 && got < straight-0.1) {
		t.Errorf("beyond a cavity %.2f C, straight behind %.2f, solid %.2f", got, straight, solid)
	}
}

// TestTent: a tent keeps off the rain that sheeting keeps off, and a coat in it dries later still.
func TestTent(t *testing.T) {
	wet := spell(april, 4, func(h int, r *weather.Record) {
		if h >= 50 && h < 53 {
			r.Rain.V, r.Wind.V = 4, 7
		}
	})
	dry := func(c exposure.Cover) float64 {
		j := wallOutside(t, 200)
		j.Outdoors.Cover = c
		a := ask(t, j, wet)
		if !a.Exterior.FirstRain.IsZero() && c != exposure.Open {
			t.Errorf("%s: rain at %s", c, a.Exterior.FirstRain)
		}
		return a.Coats[0].Times.Dry
	}
	open, sheet, tent := dry(exposure.Open), dry(exposure.Sheeted), dry(exposure.Tented)
	t.Logf("first coat dry after %.0f min in the open, %.0f sheeted, %.0f tented", open/60, sheet/60, tent/60)
	if !(open < sheet && sheet < tent) {
		t.Errorf("dry after %g, %g, %g s", open, sheet, tent)
	}
}
