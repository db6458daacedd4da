package drying_test

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/weather"
)

// morning is the moment that the tests ask at.
var morning = time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC)

// reading is the air at a moment.
func reading(t testing.TB, at time.Time, temp, rh float64) weather.Record {
	t.Helper()
	return weather.Record{Time: at, Temperature: weather.Value{V: temp, Tag: weather.Measured},
		Vapour: weather.Value{V: float64(moist(t, temp, rh).VapourPressure()), Tag: weather.Measured}}
}

// room is a job in three thin coats, or of other thicknesses in mm.
func room(t testing.TB, primer material.Primer, mm ...float64) drying.Job {
	t.Helper()
	if mm == nil {
		mm = []float64{0.2, 0.12, 0.08}
	}
	j := drying.Job{Zone: time.UTC, Background: background(t, "primed-board", primer), Hours: drying.Hours{From: 7*time.Hour + 30*time.Minute, To: 17 * time.Hour},
		Room: drying.Room{AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}}
	for _, x := range mm {
		j.Coats = append(j.Coats, drying.Coat{Finish: polish(t), Thickness: x / 1000})
	}
	return j
}

// now asks at the morning, with one reading.
func now(t testing.TB, temp, rh float64) drying.Ask {
	return drying.Ask{At: morning, Air: weather.Series{Source: "a test", Records: []weather.Record{reading(t, morning, temp, rh)}}}
}

// Every code is the reason of some morning, at the severity and the limit it should have.
func TestEveryReason(t *testing.T) {
	face := func(c float64) *float64 { return &c }
	found := func(c float64) []drying.FaceReading { return []drying.FaceReading{{At: morning, Temp: c}} }
	evening := func(a drying.Ask) drying.Ask {
		a.At = time.Date(2026, 4, 14, 16, 30, 0, 0, time.UTC)
		a.Air.Records[0].Time = a.At
		return a
	}
	type limits = drying.Limits
	with := func(j drying.Job, change func(*drying.Job)) drying.Job {
		j.Coats = slices.Clone(j.Coats)
		change(&j)
		return j
	}
	fair := room(t, material.Fair)
	for _, tc := range []struct {
		code     drying.Code
		severity drying.Severity
		says     string
		job      drying.Job
		ask      drying.Ask
	}{
		{drying.CodeWallCold, drying.Stops, "too cold", fair, now(t, 8, 60)},
		{drying.CodeWallCools, drying.Warns, "cools the face", fair, now(t, 11, 40)},
		{drying.CodeWallHot, drying.Stops, "too hot", fair, now(t, 32, 60)},
		{drying.CodeFreezes, drying.Stops, "below freezing", fair, now(t, -3, 60)},
		{drying.CodeDewPoint, drying.Warns, "close to its dew point", fair, drying.Ask{Faces: found(12), At: morning, Air: now(t, 14, 72).Air}},
		{drying.CodeDewPoint, drying.Warns, "dew forms on it", fair, drying.Ask{Faces: found(11), At: morning, Air: now(t, 14, 90).Air}},
		{drying.CodeDewPoint, drying.Stops, "all but at its dew point", room(t, material.Tight), drying.Ask{Faces: found(12.8), At: morning, Air: now(t, 14, 90).Air}},
		{drying.CodeDewPoint, drying.Stops, "dew forms on it", room(t, material.Tight), drying.Ask{Faces: found(11), At: morning, Air: now(t, 14, 90).Air}},
		{drying.CodeAirDry, drying.Warns, "air is dry", fair, now(t, 20, 35)},
		{drying.CodeDriesFast, drying.Warns, "dries fast", with(fair, func(j *drying.Job) { j.Room.AirSpeed = 0.6 }), now(t, 24, 40)},
		{drying.CodeDriesFast, drying.Stops, "too fast", with(fair, func(j *drying.Job) { j.Room.AirSpeed = 3 }), now(t, 24, 40)},
		{drying.CodeTooThick, drying.Stops, "Coat 2 is too thick", room(t, material.Fair, 0.2, 0.5), now(t, 20, 50)},
		{drying.CodeThickForCoat, drying.Warns, "Coat 1 is thicker than usual", room(t, material.Fair, 0.35, 0.1), now(t, 20, 50)},
		{drying.CodeNeverOpens, drying.Stops, "never becomes ready", room(t, material.Tight, 0.1), now(t, 15, 100)},
		{drying.CodeNotToday, drying.Notes, "not dry within the working hours", fair, evening(now(t, 15, 64))},
		{drying.CodeNotToday, drying.Stops, "not dry within two days", with(fair, func(*drying.Job) {}), now(t, 9, 97)},
		{drying.CodeWindowLate, drying.Stops, "after the working hours", room(t, material.Fair, 0.25), evening(now(t, 15, 64))},
		{drying.CodeWindowShort, drying.Warns, "gone by quickly", fair, now(t, 22, 32)},
		{drying.CodeWindowShort, drying.Warns, "Coat 3 is another day's", with(fair, func(j *drying.Job) { j.Room.AirSpeed = 3 }), now(t, 24, 40)},
		{drying.CodeWindowShort, drying.Stops, "before it can be burnished", with(room(t, material.Thirsty, 0.05), func(j *drying.Job) { j.Room.AirSpeed = 3 }), now(t, 24, 40)},
		{drying.CodeDayOver, drying.Stops, "hours are over", fair, drying.Ask{At: morning.Add(12 * time.Hour), For: morning, Air: now(t, 15, 64).Air}},
		{drying.CodeAirHeld, drying.Notes, "stay as it was", fair, now(t, 18, 50)},
		{drying.CodeAirHeld, drying.Warns, "Tomorrow's air is not known", fair, drying.Ask{At: morning.Add(12 * time.Hour), Air: now(t, 18, 50).Air}},
		{drying.CodeAirOld, drying.Warns, "last reading is old", fair, drying.Ask{At: morning.Add(25 * time.Hour), Air: now(t, 18, 50).Air}},
		{drying.CodeWallCold, drying.Stops, "too cold for polished-lime, by the data sheet", with(fair, func(j *drying.Job) { j.Limits = limits{MinWall: face(19)} }), now(t, 18, 50)},
		{drying.CodeWallHot, drying.Stops, "too hot, by the data sheet", with(fair, func(j *drying.Job) { j.Limits = limits{MaxWall: face(17)} }), now(t, 18, 50)},
		{drying.CodeSheetLimit, drying.Stops, "The air is colder than", with(fair, func(j *drying.Job) { j.Limits = limits{MinAir: face(19)} }), now(t, 18, 50)},
		{drying.CodeSheetLimit, drying.Stops, "The air is warmer than", with(fair, func(j *drying.Job) { j.Limits = limits{MaxAir: face(17)} }), now(t, 18, 50)},
		{drying.CodeSheetLimit, drying.Stops, "The air is drier than", with(fair, func(j *drying.Job) { j.Limits = limits{MinRH: face(0.6)} }), now(t, 18, 50)},
		{drying.CodeSheetLimit, drying.Stops, "The air is damper than", with(fair, func(j *drying.Job) { j.Limits = limits{MaxRH: face(0.4)} }), now(t, 18, 50)},
		{drying.CodeSheetLimit, drying.Stops, "Coat 3 is thinner than", with(fair, func(j *drying.Job) { j.Limits = limits{MinThickness: face(0.0001)} }), now(t, 18, 50)},
		{drying.CodeBackground, drying.Warns, "old paint", with(fair, func(j *drying.Job) { j.Background = background(t, "painted", "") }), now(t, 16, 60)},
		{drying.CodeBackground, drying.Warns, "Bare board paper", with(fair, func(j *drying.Job) { j.Background = background(t, "gypsum-board", "") }), now(t, 16, 60)},
		{drying.CodeWindowWall, drying.Warns, "short for this wall and crew", with(fair, func(j *drying.Job) { j.Room.WetArea = 60 }), now(t, 16, 60)},
		{drying.CodeSpots, drying.Warns, "no window in common", with(room(t, material.Fair, 0.2), func(j *drying.Job) { j.Suction.Drops = []float64{2, 1500} }), now(t, 22, 45)},
		{drying.CodeSheetLimit, drying.Stops, "Coat 1 is thicker than", with(fair, func(j *drying.Job) { j.Limits = limits{MaxThickness: face(0.00015)} }), now(t, 18, 50)},
	} {
		t.Run(string(tc.code)+" "+tc.says, func(t *testing.T) {
			a, err := drying.Check(tc.job, tc.ask)
			if err != nil {
				t.Fatal(err)
			}
			i := slices.IndexFunc(a.Reasons, func(r drying.Reason) bool {
				return r.Code == tc.code && strings.Contains(r.Says.String(), tc.says)
			})
			if i < 0 {
				t.Fatalf("not among %+v", a.Reasons)
			}
			r := a.Reasons[i]
			if r.Severity != tc.severity {
				t.Errorf("severity %s, want %s", r.Severity, tc.severity)
			}
			if tc.severity == drying.Stops && a.Verdict != drying.NoGo || tc.severity == drying.Warns && a.Verdict == drying.Go {
				t.Errorf("the verdict is %s", a.Verdict)
			}
		})
	}
}

// A good morning has no reason against it, and a limit of the sheet that is met is none.
func TestGo(t *testing.T) {
	job := room(t, material.Fair)
	lo, hi := 10.0, 25.0
	job.Limits.MinWall, job.Limits.MaxWall = &lo, &hi
	a, err := drying.Check(job, now(t, 16, 60))
	if err != nil || a.Verdict != drying.Go || len(a.Coats) != 3 || !a.Coats[2].Last {
		t.Fatalf("%s, %d coats, %+v, %v", a.Verdict, len(a.Coats), a.Reasons, err)
	}
	for i, c := range a.Coats[1:] {
		if before := a.Coats[i]; c.Lay.Before(before.Recoat) || c.Lay.Sub(before.Recoat) > 10*time.Minute {
			t.Errorf("coat %d is laid at %s; it could follow from %s", c.Number, c.Lay, before.Recoat)
		}
	}
}

// Readings that cannot be used are refused, whatever their times.
func TestReadingsThatSayNothing(t *testing.T) {
	far := time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
	ancient := time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC)
	var none *drying.NoAirError
	var old *drying.OldAirError
	for name, tc := range map[string]struct {
		times []time.Time
		want  any
	}{
		"none":               {nil, &none},
		"later":              {[]time.Time{morning.Add(time.Minute)}, &none},
		"far later":          {[]time.Time{far, far.Add(time.Hour)}, &none},
		"three days old":     {[]time.Time{morning.Add(-72 * time.Hour)}, &old},
		"ancient":            {[]time.Time{ancient, ancient.Add(time.Hour)}, &old},
		"ancient and later":  {[]time.Time{ancient, morning.Add(time.Hour)}, &old},
		"ancient and now":    {[]time.Time{ancient, morning, far}, nil},
		"two days old":       {[]time.Time{morning.Add(-48 * time.Hour)}, nil},
		"a year and a night": {[]time.Time{morning.Add(-365 * 24 * time.Hour), morning.Add(-8 * time.Hour), morning}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			ask := drying.Ask{At: morning, Air: weather.Series{Source: "a test"}}
			for _, at := range tc.times {
				ask.Air.Records = append(ask.Air.Records, reading(t, at, 17, 55))
			}
			_, err := drying.Check(room(t, material.Fair), ask)
			if tc.want == nil && err != nil || tc.want != nil && !errors.As(err, tc.want) {
				t.Errorf("%v", err)
			}
		})
	}
	holes := drying.Ask{At: morning, Air: weather.Series{Records: []weather.Record{{Time: morning}}}}
	if _, err := drying.Check(room(t, material.Fair), holes); !errors.As(err, &none) {
		t.Errorf("a reading without temperature: %v", err)
	}
}

// Any morning: the verdict is that of the first reason, the coats follow each other in the working hours, each
// coat's times are in order, and the same question has the same answer.
func TestAnyMorning(t *testing.T) {
	dublin, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	fewer(t, 5, func(r *rapid.T) { // a case is a day of up to twenty starts, each with its changes
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
		job := room(t, rapid.SampledFrom(material.Primers()).Draw(r, "primer"), f("first", 0.05, 0.4), f("second", 0.05, 0.3), f("last", 0.03, 0.2))
		job.Zone, job.Room.AirSpeed = dublin, f("air speed", 0, 2)
		last := rapid.IntRange(9, 17).Draw(r, "last hour")
		job.Hours.To = time.Duration(last) * time.Hour
		ask := drying.Ask{At: time.Date(2026, 3, 28, 0, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(0, 48*60).Draw(r, "minute")) * time.Minute)}
		for i := range rapid.IntRange(1, 5).Draw(r, "readings") {
			ask.Air.Records = append(ask.Air.Records, reading(t, ask.At.Add(time.Duration(i-3)*time.Hour), f("temp", 5, 30), f("rh", 30, 85)))
		}
		if ask.Air.Records[0].Time.After(ask.At) {
			r.Skip("no reading")
		}
		a, err := drying.Check(job, ask)
		if err != nil {
			r.Fatal(err)
		}
		want := drying.Go
		if len(a.Reasons) > 0 && a.Reasons[0].Severity != drying.Notes {
			want = drying.Verdict(a.Reasons[0].Severity)
		}
		if a.Verdict != want {
			r.Errorf("the verdict is %s; %+v", a.Verdict, a.Reasons)
		}
		before := a.Start
		for _, c := range a.Coats {
			if c.Lay.Before(before) || c.Lay.Hour() >= last || c.Lay.Location() != dublin {
				r.Errorf("coat %d is laid at %s, after %s", c.Number, c.Lay, before)
			}
			before = c.Lay
			if c.Due != drying.DueToday {
				continue // no time after laying is known
			}
			for _, m := range []time.Time{c.Edge, c.Opens, c.Burnish, c.Closes, c.Recoat} {
				if m.IsZero() {
					before = c.Lay.AddDate(1, 0, 0)
				} else if m.Before(before) {
					r.Errorf("coat %d: times out of order: %+v", c.Number, c)
				} else {
					before = m
				}
			}
		}
		again, err := drying.Check(job, ask)
		if err != nil || !reflect.DeepEqual(a.Coats, again.Coats) || !reflect.DeepEqual(a.Reasons, again.Reasons) {
			r.Errorf("asked again: %+v, %v; before: %+v", again.Coats, err, a.Coats)
		}
	})
}

func TestRound(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		zone := time.FixedZone("", 900*rapid.IntRange(-48, 56).Draw(r, "quarters"))
		grain := rapid.SampledFrom([]time.Duration{time.Minute, 5 * time.Minute, 10 * time.Minute, 30 * time.Minute, 12 * time.Hour}).Draw(r, "grain")
		at := time.Unix(rapid.Int64Range(0, 4e9).Draw(r, "s"), rapid.Int64Range(0, 999_999_999).Draw(r, "ns")).In(zone)
		for _, m := range []time.Time{drying.RoundDown(at, grain), drying.RoundUp(at, grain)} {
			clock := time.Duration(m.Hour())*time.Hour + time.Duration(m.Minute())*time.Minute + time.Duration(m.Second())*time.Second + time.Duration(m.Nanosecond())
			if clock%grain != 0 || m.Sub(at).Abs() >= grain || m.Location() != zone {
				r.Errorf("%s to %s is %s", at, grain, m)
			}
		}
		if up, down := drying.RoundUp(at, grain), drying.RoundDown(at, grain); up.Before(at) || down.After(at) {
			r.Errorf("%s lies outside %s to %s", at, down, up)
		}
	})
}

// The margins stand once: psychro's dew point and the exported limits give the same verdict as Check.
func TestDewMargins(t *testing.T) {
	dew := float64(moist(t, 18, 60).DewPoint())
	for _, margin := range []float64{0.5, 0.9, 1.1, 2.9, 3.1, 5} {
		for _, primer := range []material.Primer{material.Tight, material.Fair} {
			ask := now(t, 18, 60)
			ask.Faces = []drying.FaceReading{{At: ask.At, Temp: dew + margin}}
			a, err := drying.Check(room(t, primer), ask)
			if err != nil {
				t.Fatal(err)
			}
			want := drying.Severity("")
			if margin < drying.DewCare {
				want = drying.Warns
			}
			if margin < drying.DewStop && primer == material.Tight {
				want = drying.Stops
			}
			got := drying.Severity("")
			if i := slices.IndexFunc(a.Reasons, func(r drying.Reason) bool { return r.Code == drying.CodeDewPoint }); i >= 0 {
				got = a.Reasons[i].Severity
			}
			if got != want {
				t.Errorf("%g K above the dew point, %s: %q, want %q", margin, primer, got, want)
			}
		}
	}
}

// The worst wall says what keeps the work back, by the first of its reasons that does more than note.
func TestWorstWall(t *testing.T) {
	all := []drying.Answer{{Verdict: drying.Care, Reasons: []drying.Reason{{Code: drying.CodeAirHeld, Severity: drying.Notes}}},
		{Verdict: drying.NoGo, Reasons: []drying.Reason{{Code: drying.CodeAirHeld, Severity: drying.Notes}, {Code: drying.CodeWallCold, Severity: drying.Stops}}}, {Verdict: drying.NoGo}}
	if i := drying.WorstWall(all); i != 1 || all[i].First().Code != drying.CodeWallCold || all[0].First() != nil {
		t.Errorf("wall %d", i)
	}
}
