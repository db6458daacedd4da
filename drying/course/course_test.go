package course

import (
	"math"
	"testing"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// spot is a board, or brick, in constant air, in a closed room where one is given.
func spot(t testing.TB, name string, c, rh float64, room *wall.RoomSpec) Spot {
	t.Helper()
	b, err := material.BackgroundNamed(name, "")
	if err != nil {
		t.Fatal(err)
	}
	return Spot{b, coat.Setting{Face: wall.FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325}, WallTemp: c, Room: room,
		Air: []wall.Air{{Temperature: c, Vapour: rh * float64(psychro.SaturationWater(psychro.Celsius(c))), Speed: 0.1, Radiant: c}}}}
}

func polish(t testing.TB) coat.Coat {
	t.Helper()
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	return coat.Coat{Finish: f, Thickness: 0.2e-3}
}

// laid is a course that has stood for an hour and has a coat put on.
func laid(t testing.TB, looks []Look, spots ...Spot) *Course {
	t.Helper()
	c, err := Begin(spots, 0)
	if err != nil {
		t.Fatal(err)
	}
	c.Seen(looks)
	if err := c.To(3600); err != nil {
		t.Fatal(err)
	}
	if err := c.Lay(polish(t)); err != nil {
		t.Fatal(err)
	}
	return c
}

func dry(t testing.TB, c *Course) coat.Times {
	t.Helper()
	x, err := c.Dry(48 * 3600)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func whole(float64) float64 { return 1 }

// A branch goes its own way: what is done to it leaves the course as it was.
func TestBranch(t *testing.T) {
	c := laid(t, nil, spot(t, "primed-board", 18, 0.55, nil), spot(t, "brick", 18, 0.55, nil))
	b := c.Branch()
	first := dry(t, b)
	if b.Time() <= 3600 || c.Time() != 3600 {
		t.Errorf("the branch stands at %g, the course at %g", b.Time(), c.Time())
	}
	if again := dry(t, c.Branch()); again != first {
		t.Errorf("%+v, then %+v", first, again)
	}
	if one := c.Slowest(); one.Spots() != 1 || dry(t, one).Dry > first.Dry {
		t.Errorf("the slowest spot alone is later than both")
	}
}

// A look that tells what the course has anyway changes nothing, and a coat that is followed past it has the times of one that is not.
func TestLookedAndNothingNew(t *testing.T) {
	plain := dry(t, laid(t, nil, spot(t, "primed-board", 18, 0.55, nil)))
	c := laid(t, nil, spot(t, "primed-board", 18, 0.55, nil))
	var looks []Look
	for _, at := range []float64{0.2 * plain.Opens, 0.9 * plain.Burnish, 1.1 * plain.Closes} {
		b := c.Branch()
		if err := b.To(3600 + at); err != nil {
			t.Fatal(err)
		}
		face := b.Face()
		looks = append(looks, Look{At: 3600 + at, Face: &face, Fade: whole})
	}
	looked := dry(t, laid(t, looks, spot(t, "primed-board", 18, 0.55, nil)))
	for _, x := range [][2]float64{{plain.Edge, looked.Edge}, {plain.Opens, looked.Opens}, {plain.Burnish, looked.Burnish}, {plain.Closes, looked.Closes}, {plain.Dry, looked.Dry}, {plain.FaceMin, looked.FaceMin}} {
		if math.Abs(x[0]-x[1]) > 0.002*x[0]+0.5 {
			t.Errorf("%g looked at, %g not", x[1], x[0])
		}
	}
	if math.Abs(looked.Evaporation-plain.Evaporation) > 0.02*plain.Evaporation {
		t.Errorf("evaporation %g, %g", looked.Evaporation, plain.Evaporation)
	}
}

// A wall found colder makes a coat later, the more of it is cold; one found so long before is what it would have been.
func TestFoundCold(t *testing.T) {
	cold := 12.0
	of := func(at float64, fade func(float64) float64) float64 {
		return dry(t, laid(t, []Look{{At: at, Face: &cold, Fade: fade}}, spot(t, "brick", 18, 0.55, nil))).Dry
	}
	plain := dry(t, laid(t, nil, spot(t, "brick", 18, 0.55, nil))).Dry
	shallow := of(3600, func(x float64) float64 { return math.Exp(-x / 0.01) })
	deep := of(3600, whole)
	if !(plain < shallow && shallow < deep) {
		t.Errorf("dry after %g s, with a cold skin %g, cold through %g", plain, shallow, deep)
	}
}

// A room found damper than the course has it is taken to be aired less and to let damper air in; each by how well it is known.
func TestRoomFoundDamper(t *testing.T) {
	room := &wall.RoomSpec{Volume: 40, AirChanges: 0.5, Area: 15, LayTime: 1800, Rest: 40}
	c := laid(t, nil, spot(t, "primed-board", 16, 0.6, room))
	if err := c.To(3 * 3600); err != nil {
		t.Fatal(err)
	}
	own := c.Air()
	in := c.spots[0].Setting.Air[0].Vapour
	after := func(k float64) (changes, comes, is float64) {
		b := c.Branch()
		b.Seen([]Look{{At: 3 * 3600, Room: &RoomAir{own.Temperature, own.Vapour * k}}})
		if err := b.To(3 * 3600); err != nil {
			t.Fatal(err)
		}
		air := b.spots[0].Setting.Air
		return b.walls[0].AirChanges(), air[len(air)-1].Vapour, b.Air().Vapour
	}
	if n, v, _ := after(1); n != 0.5 || v != in {
		t.Errorf("found as it is: %g air changes, %g Pa come in", n, v)
	}
	for _, k := range []float64{1.05, 0.95} {
		n, v, is := after(k)
		if (n < 0.5) != (k > 1) || (v > in) != (k > 1) || math.Abs(is-k*own.Vapour) > 1e-6*is {
			t.Errorf("found %g times as damp: %g air changes, %g Pa come in (%g), %g Pa inside, %g read", k, n, v, in, is, k*own.Vapour)
		}
	}
	if c.spots[0].Setting.Air[0].Vapour != in || c.walls[0].AirChanges() != 0.5 {
		t.Error("the course itself was changed")
	}
}
