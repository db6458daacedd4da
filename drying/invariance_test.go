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
	if rapid.IntRange(0, 3).Draw(r, "tested") == 0 {
		j.Suction.Drops = []float64{f("drop", 20, 40), f("slow drop", 60, 120)}
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
	fewer(t, 12, func(r *rapid.T) {
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

// TestSameKnownSameTold: one file is as good as the same file in pieces, asking twice is as good as once, and a day later is a day later; of the
// likely times and of both ends of their bands.
func TestSameKnownSameTold(t *testing.T) {
	fewer(t, 12, func(r *rapid.T) {
		j, ask := aWall(t, r)
		base := ask.Air.Records[0].Temperature.V
		ask.Air.Records = nil
		n := rapid.IntRange(4, 12).Draw(r, "readings")
		for i := range n {
			ask.Air.Records = append(ask.Air.Records, reading(t, ask.At.Add(time.Duration(i-n+1)*time.Hour), base+rapid.Float64Range(-1, 1).Draw(r, "drift"), rapid.Float64Range(45, 65).Draw(r, "rh")))
		}
		told := func(q drying.Ask) drying.Answer {
			a, err := drying.Check(j, q)
			if err == nil && a.Verdict != drying.NoGo {
				err = a.Band(q, fewDraws)
			}
			if err != nil {
				r.Fatal(err)
			}
			return a
		}
		was := told(ask)
		k := rapid.IntRange(1, n-1).Draw(r, "cut")
		pieces := ask
		pieces.Air = weather.Merge(weather.Series{Records: ask.Air.Records[:k]}, weather.Series{Records: ask.Air.Records[k:]})
		pieces.Air.Source = ask.Air.Source
		later := ask
		later.At = ask.At.AddDate(0, 0, 1)
		later.Air.Records = nil
		for _, x := range ask.Air.Records {
			x.Time = x.Time.AddDate(0, 0, 1)
			later.Air.Records = append(later.Air.Records, x)
		}
		later.Faces = nil
		for _, f := range ask.Faces {
			later.Faces = append(later.Faces, drying.FaceReading{At: f.At.AddDate(0, 0, 1), Temp: f.Temp})
		}
		for what, q := range map[string]struct {
			ask  drying.Ask
			days int
		}{"again": {ask, 0}, "in pieces": {pieces, 0}, "a day later": {later, 1}} {
			is := told(q.ask)
			if is.Verdict != was.Verdict || len(is.Reasons) != len(was.Reasons) {
				r.Errorf("%s: %s for %d reasons, was %s for %d", what, is.Verdict, len(is.Reasons), was.Verdict, len(was.Reasons))
			}
			for i := range is.Coats {
				c := &is.Coats[i]
				c.Lay = c.Lay.AddDate(0, 0, -q.days)
				for _, x := range [][2]float64{{c.Soonest.Opens, was.Coats[i].Soonest.Opens}, {c.Slowest.Opens, was.Coats[i].Slowest.Opens}, {c.Soonest.Closes, was.Coats[i].Soonest.Closes}, {c.Slowest.Closes, was.Coats[i].Slowest.Closes}} {
					if math.IsInf(x[0], 1) != math.IsInf(x[1], 1) || math.Abs(x[0]-x[1]) > 0.005*x[1]+5 {
						r.Errorf("%s: coat %d: an end of a band is %.1f s, was %.1f", what, i+1, x[0], x[1])
					}
				}
			}
			alike(r, what, was, is)
		}
	})
}

// TestAirMonotone: for one coat on one bed in constant air, no time after laying comes sooner where the air is damper, colder at the same relative
// humidity, or stiller, or the coat thicker.
func TestAirMonotone(t *testing.T) {
	fewer(t, 12, func(r *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		mm, temp, rh, speed := f("thickness", 0.06, 0.35), f("temp", 11, 27), f("rh", 35, 80), f("air speed", 0.05, 1)
		primer := rapid.SampledFrom(material.Primers()).Draw(r, "primer")
		of := func(mm, temp, rh, speed float64) coat1 {
			j := room(t, primer, mm)
			j.Room.AirSpeed = speed
			a, err := drying.Check(j, now(t, temp, rh))
			if err != nil {
				r.Fatal(err)
			}
			if len(a.Coats) == 0 {
				r.Skip("no coat")
			}
			x := a.Coats[0].Times
			return coat1{x.Edge, x.Opens, x.Burnish, x.Closes, x.Dry}
		}
		was := of(mm, temp, rh, speed)
		for what, is := range map[string]coat1{"damper": of(mm, temp, rh+f("damper", 0.5, 15), speed), "colder": of(mm, temp-f("colder", 0.2, 5), rh, speed),
			"stiller": of(mm, temp, rh, speed*f("stiller", 0.3, 0.95)), "thicker": of(mm*f("thicker", 1.05, 1.6), temp, rh, speed)} {
			for i := range was {
				if !math.IsInf(is[i], 1) && is[i] < 0.995*was[i]-0.5 {
					r.Errorf("%s: time %d is %.1f s, was %.1f", what, i, is[i], was[i])
				}
			}
		}
	})
}

type coat1 [5]float64

// TestThreePathsOneDay: a day has the same times in the morning's answer, in the season and in the plan of the wall. The season and the wall cut walls and
// time into fewer pieces, which is worth some hundredths (TestCoarse).
func TestThreePathsOneDay(t *testing.T) {
	for _, b := range []string{"old-lime", "brick", "cement-board"} {
		j := wallOutside(t, 20)
		j.Background = background(t, b, "")
		s := spell(april.AddDate(0, 0, -5), 20, func(_ int, r *weather.Record) {})
		a, err := drying.Check(j, drying.Ask{At: seven, Air: s})
		if err != nil {
			t.Fatal(err)
		}
		l, err := drying.NewLong(j, s, april, april.AddDate(0, 0, 5))
		if err != nil {
			t.Fatal(err)
		}
		_, to := j.Hours.On(seven)
		year, err := l.Try(a.Start, to)
		if err != nil {
			t.Fatal(err)
		}
		y, err := drying.NewLayings(j, drying.Ask{At: seven, Air: s}, drying.Bands{Members: 4})
		if err != nil {
			t.Fatal(err)
		}
		place := drying.Bare
		for i, c := range a.Coats {
			if c.Due != drying.DueToday {
				break
			}
			p, z, err := y.Put(place, c.Lay)
			if err != nil {
				t.Fatal(err)
			}
			place = p
			x := year.Coats[i]
			if !x.Lay.Equal(c.Lay) {
				t.Errorf("%s: coat %d is laid at %s in the season, at %s in the morning", b, i+1, x.Lay, c.Lay)
			}
			for k, v := range [][3]float64{{c.Times.Opens, x.Times.Opens, z.Times.Opens}, {c.Times.Burnish, x.Times.Burnish, z.Times.Burnish}, {c.Times.Closes, x.Times.Closes, z.Times.Closes}, {c.Times.Dry, x.Times.Dry, z.Times.Dry}} {
				if math.Abs(v[1]-v[0]) > 0.03*v[0]+5 || math.Abs(v[2]-v[0]) > 0.03*v[0]+5 {
					t.Errorf("%s: coat %d, time %d: %.1f s in the morning, %.1f in the season, %.1f on the wall", b, i+1, k, v[0], v[1], v[2])
				}
			}
		}
	}
}
