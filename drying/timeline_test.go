package drying

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/weather"
)

// Thinned air is nowhere further from what was given than it may be, keeps its ends and its rain, and is itself where nothing can be left out.
func TestThinned(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var air []wall.Air
		temp := 15.0
		for i := range rapid.IntRange(1, 200).Draw(r, "records") {
			temp += rapid.Float64Range(-0.1, 0.1).Draw(r, "drift")
			a := wall.Air{Time: 300 * float64(i), Temperature: temp, Vapour: 900 + 5*temp, Speed: 0.1, Radiant: temp}
			if rapid.IntRange(0, 20).Draw(r, "rain") == 0 {
				a.Rain = 1e-4
			}
			air = append(air, a)
		}
		thin := thinned(air)
		if thin[0] != air[0] || thin[len(thin)-1] != air[len(air)-1] {
			r.Fatalf("the ends are %+v and %+v", thin[0], thin[len(thin)-1])
		}
		face := wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, thin)
		for _, a := range air {
			b := face.At(a.Time)
			if math.Abs(a.Temperature-b.Temperature) > thinKelvin+1e-9 || math.Abs(a.Vapour-b.Vapour) > thinVapour*a.Vapour+1e-9 || a.Rain != b.Rain {
				r.Errorf("at %g s: %+v, given %+v", a.Time, b, a)
			}
		}
	})
	if steady := thinned([]wall.Air{{Time: 0}, {Time: 1}, {Time: 2}}); len(steady) != 2 {
		t.Errorf("%d records of air that does not change", len(steady))
	}
}

// TestLayingsOfTheRest: the plan of a wall goes on from the coats that are laid: the next one on it is that of the morning's answer.
func TestLayingsOfTheRest(t *testing.T) {
	b, err := material.BackgroundNamed("primed-board", material.Fair)
	if err != nil {
		t.Fatal(err)
	}
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 4, 14, 9, 0, 0, 0, time.UTC)
	j := Job{Zone: time.UTC, Background: b, Hours: UsualHours(), Room: Room{AirSpeed: 0.1, WallHeight: 2.5}, Coats: []Coat{{Finish: f, Thickness: 0.2e-3}, {Finish: f, Thickness: 0.12e-3}, {Finish: f, Thickness: 0.08e-3}}}
	ask := Ask{At: at, Air: weather.Series{Source: "a test", Records: []weather.Record{{Time: at, Temperature: weather.Value{V: 17, Tag: weather.Measured}, Vapour: weather.Value{V: 1100, Tag: weather.Measured}}}},
		Seen: []Seen{{Coat: 1, What: SeenLaid, At: at.Add(-time.Hour)}}}
	a, err := Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	left := j.Left(ask.Seen)
	if len(left.Coats) != 2 || len(left.whole().Coats) != 3 || len(j.Coats) != 3 {
		t.Fatalf("%d coats left of %d", len(left.Coats), len(left.whole().Coats))
	}
	l, err := NewLayings(left, ask, Bands{Members: 4})
	if err != nil {
		t.Fatal(err)
	}
	place := Bare
	for i, c := range a.Coats[1:] {
		p, y, err := l.Put(place, c.Lay)
		if err != nil {
			t.Fatal(err)
		}
		place = p
		if !y.At.Equal(c.Lay) || math.Abs(y.Times.Closes-c.Times.Closes) > 0.03*c.Times.Closes+5 || math.Abs(y.Next-c.Times.Dry) > 0.03*c.Times.Dry+5 {
			t.Errorf("coat %d: gone by after %.0f s, dry after %.0f; in the morning %.0f, %.0f", i+2, y.Times.Closes, y.Next, c.Times.Closes, c.Times.Dry)
		}
	}
}
