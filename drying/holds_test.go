package drying_test

import (
	"math"
	"testing"
	"time"

	"limeday/drying"
	"limeday/psychro"
	"limeday/weather"
)

// elsewise is a forecast that comes out warmer by dt, K, and damper by drh, from a moment on.
func elsewise(s weather.Series, from time.Time, dt, drh float64) weather.Series {
	out := s
	out.Records = nil
	for _, r := range s.Records {
		if r.Time.After(from) {
			t := r.Temperature.V
			rh := r.Vapour.V/float64(psychro.SaturationWater(psychro.Celsius(t))) + drh
			r.Temperature.V, r.Vapour.V = t+dt, min(rh, 1)*float64(psychro.SaturationWater(psychro.Celsius(t+dt)))
		}
		out.Records = append(out.Records, r)
	}
	return out
}

// TestHolds: in the air that a plan is said to hold in, at each of its ends, the verdict is the same and the times of its coats lie in
// their bands; where it holds nowhere near, it says so. Bare walls, begun ones, last coats, cold and dry air, a damped wall, a render.
func TestHolds(t *testing.T) {
	ensembles(t)
	polish, _ := hall(t)
	damped := polish
	damped.Background, damped.Damped = background(t, "brick", ""), true
	render := damped
	render.Damped, render.Coats = false, []drying.Coat{{Finish: finish(t, "nhl-render"), Thickness: 8e-3}}
	laid := func(n int) (seen []drying.Seen) {
		for i := range n {
			seen = append(seen, drying.Seen{Coat: i + 1, What: drying.SeenLaid, At: seven.Add(time.Duration(2*i-2*n) * time.Hour)})
		}
		return seen
	}
	held := 0
	for name, c := range map[string]struct {
		job  drying.Job
		t    float64
		rh   float64
		seen []drying.Seen
	}{
		"usual air": {polish, 16, 60, nil}, "cold": {polish, 11.5, 65, nil}, "damped brick": {damped, 16, 60, nil}, "render": {render, 14, 65, nil},
		"second coat": {polish, 16, 60, laid(1)}, "last coat, cool": {polish, 13, 60, laid(2)},
	} {
		air := foretold(t, april.AddDate(0, 0, -1), april.AddDate(0, 0, 9), c.t, c.rh)
		air.Records = append(air.Records, reading(t, seven, c.t, c.rh)) // the air as it is, until it changes
		air.Records[len(air.Records)-1].Temperature.Tag = weather.Forecast
		air = weather.Merge(air)
		ask := drying.Ask{At: seven, Air: air, Seen: c.seen}
		set := drying.Bands{Members: members / 2, Seed: 1}
		answer := func(air weather.Series, bands bool) drying.Answer {
			ask := ask
			ask.Air = air
			a, err := drying.Check(c.job, ask)
			if err == nil && bands {
				err = a.Band(ask, set)
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			return a
		}
		a := answer(air, true)
		if a.Holds == nil {
			t.Fatalf("%s: %s, and no air that it holds in", name, a.Verdict)
		}
		h := *a.Holds
		t.Logf("%s: %s, %+v", name, a.Verdict, h)
		for _, way := range [][2]float64{{-h.Colder, 0}, {h.Warmer, 0}, {0, -h.Drier}, {0, h.Damper}} {
			if way == [2]float64{} {
				continue
			}
			held++
			b := answer(elsewise(air, seven, way[0], way[1]), false)
			if b.Verdict != a.Verdict && !near(b) && !near(a) {
				t.Errorf("%s, %+v: %s is %s at %v: %v", name, h, a.Verdict, b.Verdict, way, b.Reasons)
			}
			for i := range min(len(a.Coats), len(b.Coats)) {
				p, q := a.Coats[i], b.Coats[i]
				if p.Done || q.Done || !p.Lay.Equal(q.Lay) && i == len(c.seen) || q.Due != drying.DueToday {
					continue
				}
				slack := max(p.When(drying.EventNext).Grain, 5*time.Minute)
				for _, e := range [][3]time.Time{{p.Earliest.Recoat, q.Recoat, p.Latest.Recoat}, {p.Earliest.Burnish, q.Burnish, p.Latest.Burnish}, {p.Earliest.Closes, q.Closes, p.Latest.Closes}}[:] {
					if p.Last == e[0].Equal(p.Earliest.Recoat) {
						continue // of a last coat its closing counts, of another the next
					}
					if e[1].Before(e[0].Add(-slack)) || !e[2].IsZero() && e[1].After(e[2].Add(slack)) {
						t.Errorf("%s, %v: coat %d at %s, its band %s to %s", name, way, i+1, e[1].Format("15:04"), e[0].Format("15:04"), e[2].Format("15:04"))
					}
				}
			}
		}
	}
	if held < 16 {
		t.Errorf("only %d ends of 24 were tried", held)
	}
	far := answerIn(t, polish, 16, 97)
	if far.Verdict == drying.NoGo && far.Holds != nil {
		t.Error("a no-go holds in some air")
	}
}

// near tells whether a verdict hangs on a window that misses its limit by a tenth or less.
func near(a drying.Answer) bool {
	for _, r := range a.Reasons {
		if r.Unit == "min" && math.Abs(r.Value-r.Limit) < 0.12*r.Limit {
			return true
		}
	}
	return false
}

func answerIn(t *testing.T, j drying.Job, temp, rh float64) drying.Answer {
	t.Helper()
	return banded(t, j, drying.Ask{At: seven, Air: foretold(t, april.AddDate(0, 0, -1), april.AddDate(0, 0, 9), temp, rh)}, 1)
}
