package drying_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/exposure"
	"limeday/drying/material"
	"limeday/weather"
)

func finish(t testing.TB, name string) material.Finish {
	t.Helper()
	f, err := material.FinishNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// bathroom is a primer, a marble coat and two fine coats, worked on weekdays.
func bathroom(t testing.TB) drying.Job {
	j := room(t, material.Fair)
	j.Background = background(t, "gypsum-board", "")
	j.Coats = []drying.Coat{{Finish: finish(t, "grit-primer"), Thickness: 0.3e-3}, {Finish: finish(t, "marble-coat"), Thickness: 1e-3},
		{Finish: polish(t), Thickness: 0.15e-3}, {Finish: polish(t), Thickness: 0.08e-3}}
	j.Hours = drying.Hours{From: 8 * time.Hour, To: 17 * time.Hour, Free: [7]bool{time.Saturday: true, time.Sunday: true}}
	return j
}

// steady is air measured by the hour from one moment to another.
func steady(t testing.TB, from, to time.Time, temp, rh float64) weather.Series {
	s := weather.Series{Source: "a test"}
	for at := from; !at.After(to); at = at.Add(time.Hour) {
		s.Records = append(s.Records, reading(t, at, temp, rh))
	}
	return s
}

// foretold is the same as a forecast.
func foretold(t testing.TB, from, to time.Time, temp, rh float64) weather.Series {
	s := steady(t, from, to, temp, rh)
	for i := range s.Records {
		s.Records[i].Temperature.Tag, s.Records[i].Vapour.Tag = weather.Forecast, weather.Forecast
	}
	return s
}

// TestSeveralDays: a bathroom of primer, marble coat and two fine coats at 16 C, 62 % is no no-go: the primer is laid today and left overnight, and the rest
// follows on working days, on a bed misted where it stood. The trade's waits hold, of render days.
func TestSeveralDays(t *testing.T) {
	thursday := time.Date(2026, 4, 16, 6, 30, 0, 0, time.UTC)
	a, err := drying.Check(bathroom(t), drying.Ask{At: thursday, Air: foretold(t, thursday.AddDate(0, 0, -1), thursday.AddDate(0, 0, 9), 16, 62)})
	if err != nil {
		t.Fatal(err)
	}
	if a.Verdict != drying.Go || len(a.Coats) != 4 {
		t.Fatalf("%s, %d coats: %+v", a.Verdict, len(a.Coats), a.Reasons)
	}
	at := func(c drying.CoatPlan) string { return c.Lay.Format("Mon 15:04") }
	if at(a.Coats[0]) != "Thu 08:00" || a.Coats[0].Due != drying.DueToday || !a.Coats[0].Custom.Equal(a.Coats[0].Lay.Add(12*time.Hour)) {
		t.Errorf("the primer %s, %s, left until %s", at(a.Coats[0]), a.Coats[0].Due, a.Coats[0].Custom)
	}
	if at(a.Coats[1]) != "Fri 08:00" || a.Coats[1].Due != drying.Likely {
		t.Errorf("the marble coat %s, %s", at(a.Coats[1]), a.Coats[1].Due)
	}
	for _, c := range a.Coats[2:] {
		if d := c.Lay.Weekday(); d == time.Saturday || d == time.Sunday {
			t.Errorf("coat %d on a %s", c.Number, d)
		}
	}
	if last := a.Coats[3]; last.Burnish.IsZero() || last.Closes.Sub(last.Burnish) < 5*time.Minute {
		t.Errorf("the last coat: %+v", last)
	}
	t.Log(at(a.Coats[0]), at(a.Coats[1]), at(a.Coats[2]), at(a.Coats[3]), a.Days)

	render := room(t, material.Fair)
	render.Background = background(t, "brick", "")
	render.Coats = []drying.Coat{{Finish: finish(t, "nhl-render"), Thickness: 10e-3}, {Finish: finish(t, "nhl-render"), Thickness: 8e-3}}
	if a, err = drying.Check(render, drying.Ask{At: thursday, Air: foretold(t, thursday.AddDate(0, 0, -1), thursday.AddDate(0, 0, 9), 18, 55)}); err != nil || len(a.Coats) != 2 {
		t.Fatalf("%v, %+v", err, a.Coats)
	}
	if c := a.Coats[0]; a.Coats[1].Lay.Before(c.Custom) || a.Coats[1].Lay.Before(c.Recoat) || c.Custom.Sub(c.Lay) != 3*24*time.Hour || c.Careful.Sub(c.Lay) != 10*24*time.Hour {
		t.Errorf("%s: dry %s, left until %s to %s, next %s", a.Verdict, c.Recoat, c.Custom, c.Careful, a.Coats[1].Lay)
	}
	wait := 24 * time.Hour
	render.Coats[0].Wait = &drying.Wait{Least: 12 * wait, Careful: 14 * wait} // beyond the air that is known
	if a, err = drying.Check(render, drying.Ask{At: thursday, Air: foretold(t, thursday.AddDate(0, 0, -1), thursday.AddDate(0, 0, 9), 18, 55)}); err != nil ||
		a.Coats[1].Due != drying.NotBefore || a.Coats[1].Lay.Before(thursday.Add(12*wait)) || !a.Coats[1].Burnish.IsZero() {
		t.Errorf("%v, %+v", err, a.Coats[1])
	}
}

// TestLaidDaysAgo: coats laid before the weekend count on Monday, and what is next is today's, never yesterday's.
func TestLaidDaysAgo(t *testing.T) {
	friday := time.Date(2026, 4, 17, 8, 0, 0, 0, time.UTC)
	j := bathroom(t)
	seen := []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: friday.AddDate(0, 0, -1)}, {Coat: 2, What: drying.SeenLaid, At: friday}}
	for _, at := range []time.Time{friday.Add(9*time.Hour + 30*time.Minute), friday.AddDate(0, 0, 1), friday.AddDate(0, 0, 3).Add(-90 * time.Minute), friday.AddDate(0, 0, 3).Add(4 * time.Hour), friday.AddDate(0, 0, 10)} {
		a, err := drying.Resume(j, drying.Ask{At: at, Air: steady(t, friday.AddDate(0, 0, -2), at, 16, 62)}, seen, drying.Bands{Members: 16})
		if err != nil {
			t.Fatal(err)
		}
		c := a.Coats[2]
		if c.Done || c.Lay.Before(at) || !j.Hours.Works(c.Lay) || c.Lay.Hour() < 8 || c.Lay.Hour() > 16 {
			t.Errorf("asked %s: coat 3 %s", at, c.Lay)
		}
		today := at.YearDay() == friday.YearDay() // its work is done
		if due := a.Verdict != drying.NoGo; due != (c.Due == drying.DueToday || today) || c.Due == drying.DueToday && c.Lay.YearDay() != at.YearDay() {
			t.Errorf("asked %s: %s, coat 3 %s %s, %+v", at, a.Verdict, c.Due, c.Lay, a.Reasons)
		}
		if idle := at.Weekday() == time.Saturday; idle != (len(a.Reasons) > 0 && a.Reasons[0].Code == drying.CodeFreeDay) {
			t.Errorf("asked %s: %+v", at, a.Reasons)
		}
	}
}

// TestPlanKeepsToHours: whatever is asked, nothing that is not laid is planned before the moment of asking, outside the hours, on a day off, or before the coat
// under it is dry and left for as long as the trade leaves it.
func TestPlanKeepsToHours(t *testing.T) {
	dublin, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	fewer(t, 6, func(r *rapid.T) {
		j := bathroom(t)
		n := rapid.IntRange(1, 4).Draw(r, "coats")
		j.Coats = j.Coats[:n]
		for d := range j.Hours.Free {
			j.Hours.Free[d] = rapid.Bool().Draw(r, "free")
		}
		j.Hours.Free[rapid.IntRange(0, 6).Draw(r, "a working day")] = false
		j.Zone = dublin
		start := time.Date(2026, 3, 26, 0, 0, 0, 0, dublin) // before the clock is put forward
		at := start.Add(time.Duration(rapid.IntRange(0, 6*24*60).Draw(r, "minutes")) * time.Minute)
		j.Hours.Off = []time.Time{at.AddDate(0, 0, rapid.IntRange(0, 3).Draw(r, "off"))}
		var seen []drying.Seen
		for c, back := 1, rapid.IntRange(0, 3).Draw(r, "laid"); c <= min(back, n); c++ {
			seen = append(seen, drying.Seen{Coat: c, What: drying.SeenLaid, At: at.Add(-time.Duration((back-c+1)*24) * time.Hour)})
		}
		s := foretold(t, at.AddDate(0, 0, -5).Truncate(time.Hour), at.AddDate(0, 0, rapid.IntRange(0, 6).Draw(r, "known")).Truncate(time.Hour).Add(time.Hour), rapid.Float64Range(11, 24).Draw(r, "temp"), rapid.Float64Range(40, 80).Draw(r, "rh"))
		a, err := drying.Check(j, drying.Ask{At: at, Air: s, Seen: seen})
		var old *drying.OldAirError
		if errors.As(err, &old) && old.Forecast {
			r.Skip("it ends before the work")
		}
		if err != nil {
			r.Fatal(err)
		}
		for i, c := range a.Coats {
			if c.Done {
				if !c.Lay.Equal(seen[i].At) {
					r.Errorf("coat %d was laid %s, told %s", i+1, seen[i].At, c.Lay)
				}
				continue
			}
			from, to := j.Hours.On(c.Lay)
			if c.Lay.Before(at) || c.Lay.Before(from) || !c.Lay.Before(to) || !j.Hours.Works(c.Lay) {
				r.Errorf("asked %s: coat %d %s at %s", at, i+1, c.Due, c.Lay)
			}
			if i > 0 && (c.Lay.Before(a.Coats[i-1].Lay) || c.Lay.Before(a.Coats[i-1].Custom) || a.Coats[i-1].Due != drying.NotBefore && c.Lay.Before(a.Coats[i-1].Recoat.Add(-time.Second))) {
				r.Errorf("coat %d at %s, the one under it at %s, dry %s, left until %s", i+1, c.Lay, a.Coats[i-1].Lay, a.Coats[i-1].Recoat, a.Coats[i-1].Custom)
			}
		}
		if !slices.IsSortedFunc(a.Days, func(x, y drying.DayPlan) int { return x.Date.Compare(y.Date) }) {
			r.Errorf("days out of order: %+v", a.Days)
		}
	})
}

// TestSecondReading: where what is behind a wall is not said, a second reading of its face before the first coat tells; a wall said to be so needs none.
func TestSecondReading(t *testing.T) {
	j := room(t, material.Fair)
	for _, kind := range []exposure.BehindKind{exposure.Partition, exposure.Solid} {
		known := j
		known.Behind.Kind = kind
		ask := now(t, 18, 55)
		ask.At = ask.At.Add(90 * time.Minute)
		ask.Air.Records = append(ask.Air.Records, reading(t, ask.At, 18, 55))
		first := drying.FaceReading{At: morning, Temp: 11}
		ask.Faces = []drying.FaceReading{first}
		was, err := drying.Check(known, ask)
		if err != nil {
			t.Fatal(err)
		}
		ask.Faces = []drying.FaceReading{first, {At: ask.At, Temp: was.WallTemp}}
		is, err := drying.Check(j, ask)
		if err != nil {
			t.Fatal(err)
		}
		if x, y := was.Coats[0].Times.Dry, is.Coats[0].Times.Dry; x != y && (x-y > 0.01*x || y-x > 0.01*x) {
			t.Errorf("%s: dry after %.0f s where it is said, %.0f by the second reading", kind, x, y)
		}
		told := false
		for _, n := range is.Known.Notes {
			told = told || n.String() == fmt.Sprintf("Behind the wall: %s, as its second reading has it.", kind.Words())
		}
		if !told {
			t.Errorf("%s: %v", kind, is.Known.Notes)
		}
	}
}

// TestBehindInBands: a cold wall of which nothing more is known has wider bands than one that is known to be a partition, and is judged as cold as it was found.
func TestBehindInBands(t *testing.T) {
	ask := now(t, 18, 55)
	ask.Faces = []drying.FaceReading{{At: morning, Temp: 12}}
	of := func(kind exposure.BehindKind) drying.CoatPlan {
		j := room(t, material.Fair)
		j.Background = background(t, "brick", "")
		j.Behind.Kind = kind
		return banded(t, j, ask, 1).Coats[0]
	}
	free, said := of(exposure.NotSaid), of(exposure.Solid)
	if x, y := free.Slowest.Dry-free.Soonest.Dry, said.Slowest.Dry-said.Soonest.Dry; !(x > 1.02*y) {
		t.Errorf("the band is %.0f s wide where nothing is said, %.0f where it is solid", x, y)
	}
	j := room(t, material.Fair)
	a, err := drying.Check(j, drying.Ask{At: ask.At, Air: now(t, 16, 80).Air, Faces: []drying.FaceReading{{At: morning, Temp: 13}}})
	if err != nil || why(a, drying.CodeDewPoint) == nil {
		t.Errorf("%v, %+v", err, a.Reasons)
	}
	j.Behind.Kind = exposure.Partition
	if a, err = drying.Check(j, drying.Ask{At: ask.At, Air: now(t, 16, 80).Air, Faces: []drying.FaceReading{{At: morning, Temp: 13}}}); err != nil || why(a, drying.CodeDewPoint) != nil {
		t.Errorf("a partition is warm by the start: %v, %+v", err, a.Reasons)
	}
}
