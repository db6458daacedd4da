package drying_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/exposure"
	"limeday/drying/material"
	"limeday/weather"
)

// aWall is a random job indoors and a random constant air, now and then on brick, in a room of its own, with spots, or with a wall found
// colder than the air.
func aWall(t testing.TB, r *rapid.T) (drying.Job, drying.Ask) {
	f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
	j := room(t, rapid.SampledFrom(material.Primers()).Draw(r, "primer"), f("first", 0.1, 0.25), f("second", 0.08, 0.15), f("last", 0.05, 0.1))
	switch rapid.IntRange(0, 4).Draw(r, "background") {
	case 0:
		j.Background = background(t, "brick", "")
	case 1:
		j.Background = background(t, "old-lime", "")
	}
	j.Room.AirSpeed = f("air speed", 0.05, 0.5)
	if rapid.Bool().Draw(r, "closed room") {
		j.Room.Volume, j.Room.WetArea, j.Room.AirChanges = f("volume", 20, 120), f("area", 5, 30), f("air changes", 0.3, 3)
	}
	ask := now(t, f("temp", 12, 26), f("rh", 35, 75))
	if rapid.IntRange(0, 2).Draw(r, "found") == 0 {
		ask.Faces = []drying.FaceReading{{At: ask.At, Temp: ask.Air.Records[0].Temperature.V - f("colder", 0, 3)}}
		j.Behind.Kind = rapid.SampledFrom([]exposure.BehindKind{exposure.Partition, exposure.Solid, exposure.Cavity, exposure.AnotherRoom}).Draw(r, "behind")
	}
	return j, ask
}

// alike holds the coats of two answers of one wall to be told alike: 0.5 % of the time since laying and 5 s.
func alike(r interface{ Errorf(string, ...any) }, what string, was, is drying.Answer) {
	if len(was.Coats) != len(is.Coats) {
		r.Errorf("%s: %d coats, were %d", what, len(is.Coats), len(was.Coats))
		return
	}
	for i, a := range was.Coats {
		b := is.Coats[i]
		if !a.Lay.Equal(b.Lay) {
			r.Errorf("%s: coat %d laid at %s, was %s", what, i+1, b.Lay, a.Lay)
		}
		for k, x := range [][2]float64{{a.Times.Edge, b.Times.Edge}, {a.Times.Opens, b.Times.Opens}, {a.Times.Burnish, b.Times.Burnish}, {a.Times.Closes, b.Times.Closes}, {a.Times.Dry, b.Times.Dry}} {
			if math.IsInf(x[0], 1) != math.IsInf(x[1], 1) || math.Abs(x[0]-x[1]) > 0.005*x[0]+5 {
				r.Errorf("%s: coat %d: time %d is %.1f s, was %.1f", what, i+1, k, x[1], x[0])
			}
		}
	}
}

// few are bands from few draws.
var fewDraws = drying.Bands{Members: 24, Seed: 3}

// TestPlanToldBack: constant air gives one answer, whenever it is asked and however it was read. What was planned, told back as it came at any
// later moment of the day, leaves the plan as it was; so does the same reading typed again then, where the wall does not fill a room.
func TestPlanToldBack(t *testing.T) {
	fewer(t, 4, func(r *rapid.T) {
		j, ask := aWall(t, r)
		plan, err := drying.Check(j, ask)
		if err != nil {
			r.Fatal(err)
		}
		if plan.Verdict == drying.NoGo {
			r.Skip("a no-go")
		}
		q := ask
		q.At = plan.Coats[0].Lay.Add(time.Duration(rapid.IntRange(1, 600).Draw(r, "minutes later")) * time.Minute)
		_, to := j.Hours.On(q.At)
		var seen []drying.Seen
		for _, c := range plan.Coats {
			if !c.Lay.After(q.At) && c.Due == drying.DueToday {
				seen = append(seen, drying.Seen{Coat: c.Number, What: drying.SeenLaid, At: c.Lay})
			}
		}
		if n := len(seen); n < len(plan.Coats) && (plan.Coats[n].Due != drying.DueToday || !q.At.Before(to)) {
			r.Skip("the next coat is another day's")
		}
		back, err := drying.Resume(j, q, seen, fewDraws)
		if err != nil {
			r.Fatal(err)
		}
		alike(r, "told back", plan, back)
		if j.Room.Volume == 0 {
			again := ask.Air.Records[0]
			again.Time = q.At
			typed := q
			typed.Air = weather.Merge(ask.Air, weather.Series{Records: []weather.Record{again}})
			x, err := drying.Resume(j, typed, seen, fewDraws)
			if err != nil {
				r.Fatal(err)
			}
			alike(r, "read again", plan, x)
			typed.Air.Records = []weather.Record{again}
			if x, err = drying.Resume(j, typed, seen, fewDraws); err != nil {
				r.Fatal(err)
			}
			if len(ask.Faces) == 0 {
				alike(r, "read then alone", plan, x)
			}
		}
	})
}
