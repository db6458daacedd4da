package view_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

var zones = func() []*time.Location {
	var out []*time.Location
	for _, name := range []string{"UTC", "Europe/Dublin", "America/New_York", "Asia/Kathmandu", "Australia/Lord_Howe"} {
		l, err := time.LoadLocation(name)
		if err != nil {
			panic(err)
		}
		out = append(out, l)
	}
	return out
}()

// any moment of two centuries, by the second, in a zone that puts its clock forward or not.
func moments(t *rapid.T, name string) time.Time {
	s := rapid.Int64Range(-2208988800, 4102444800).Draw(t, name)
	return time.Unix(s, 0).In(rapid.SampledFrom(zones).Draw(t, name+" zone"))
}

// What begins is never shown sooner, what ends never later, neither by more than a quarter of its window, or of the time since laying where it
// has none; soon after laying by less than a minute.
func TestShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		laid := moments(t, "laid")
		since := time.Duration(rapid.Int64Range(0, int64(72*time.Hour/time.Second)).Draw(t, "since")) * time.Second
		window := time.Duration(rapid.Int64Range(0, int64(since/time.Second)).Draw(t, "window")) * time.Second
		known := time.Duration(rapid.SampledFrom([]int{300, 600, 1800, 12 * 3600}).Draw(t, "known")) * time.Second
		edge := rapid.SampledFrom([]message.Edge{message.Exact, message.Begins, message.Ends}).Draw(t, "edge")
		x := view.Time{At: laid.Add(since), Laid: laid, Edge: edge, Grain: message.Coarse(known, since, window)}
		by := x.Shown().Sub(x.At)
		limit := since / 4
		if window > 0 {
			limit = window / 4
		}
		limit = max(limit, time.Minute)
		switch {
		case edge == message.Exact && by != 0, edge == message.Begins && (by < 0 || by > limit), edge == message.Ends && (by > 0 || -by > limit):
			t.Fatalf("%v, %v after laying, window %v, grain %v: shown %v off", edge, since, window, x.Grain, by)
		case since < message.Soon && by.Abs() >= time.Minute:
			t.Fatalf("%v after laying, shown %v off", since, by)
		}
		if again := (view.Time{At: x.Shown(), Laid: laid, Edge: edge, Grain: x.Grain}).Shown(); !again.Equal(x.Shown()) {
			t.Fatalf("shown %v, and again %v", x.Shown(), again)
		}
	})
}

// A window of twelve minutes is told as no less than ten.
func TestShortWindowKeepsItsLength(t *testing.T) {
	lay := time.Date(2026, 4, 14, 8, 0, 0, 0, zones[1])
	for from := 31; from < 120; from++ {
		opens := lay.Add(time.Duration(from)*time.Minute + 20*time.Second)
		gone := opens.Add(12 * time.Minute)
		told := func(at time.Time, e message.Edge) time.Time {
			return view.Time{At: at, Laid: lay, Edge: e, Grain: message.Coarse(5*time.Minute, at.Sub(lay), 12*time.Minute)}.Shown()
		}
		if got := told(gone, message.Ends).Sub(told(opens, message.Begins)); got < 10*time.Minute || got > 12*time.Minute {
			t.Errorf("from %d min on: told as %v", from, got)
		}
	}
}

var zeroDate = regexp.MustCompile(`Jan 0001|0001-|\b1 Jan\b.*1 Jan|NaN|Inf|%!`)

// What is not known is told in words, never as a zero date or not a number.
func TestUnknownIsWords(t *testing.T) {
	kinds := []message.Kind{message.Temperature, message.Step, message.Humidity, message.Vapour, message.Pressure, message.Speed, message.Altitude, message.Thickness,
		message.Spread, message.Spell, message.Between, message.After, message.Minutes, message.Hours, message.Age, message.Clock, message.Clocks, message.Due, message.Date,
		message.Moment, message.Weekday, message.TimeOfDay, message.Flux, message.Water, message.Share, message.Times, message.Rain, message.Length, message.Along, message.Area, message.Whole, message.Volume, message.Pace, message.Mass, message.Bucket, message.Count}
	rapid.Check(t, func(t *rapid.T) {
		p := view.Printer{Units: rapid.SampledFrom([]quantity.Units{quantity.Metric, quantity.US}).Draw(t, "units"), Keep: rapid.Bool().Draw(t, "keep")}
		if rapid.Bool().Draw(t, "day") {
			p.Day = moments(t, "day of the reader")
		}
		q := message.Quantity{Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Value: rapid.Float64().Draw(t, "value"), To: rapid.Float64().Draw(t, "to"),
			Edge: rapid.SampledFrom([]message.Edge{message.Exact, message.Begins, message.Ends}).Draw(t, "edge"), Grain: 5 * time.Minute}
		if s := p.Quantity(q); s == "" || zeroDate.MatchString(s) {
			t.Fatalf("%s of nothing: %q", q.Kind, s)
		}
		q.At, q.Until = moments(t, "at"), moments(t, "until")
		q.Value = rapid.SampledFrom([]float64{0, 1, -3.25, 1e9}).Draw(t, "ordinary")
		if s := p.Quantity(q); s == "" || strings.Contains(s, "0001-") || strings.Contains(s, "Jan 0001") || p.Keep && strings.Contains(s, " ") {
			t.Fatalf("%s: %q", q.Kind, s)
		}
		for _, x := range []view.Time{{}, {Edge: message.Ends}, {Laid: q.At, Edge: message.Begins}} {
			for _, s := range []string{p.Time(x), p.Brief(x), p.Clock(x), view.Stamp(x.At)} {
				if s == "" || zeroDate.MatchString(s) {
					t.Fatalf("a moment not reached: %q", s)
				}
			}
		}
	})
}

// The table of units: each kind in both, once.
func TestForms(t *testing.T) {
	day := time.Date(2026, 4, 14, 6, 30, 0, 0, zones[1])
	at := day.Add(3*time.Hour + 3*time.Minute)
	for _, tc := range []struct {
		q          message.Quantity
		metric, us string
	}{
		{message.Celsius(14), "14 C", "57.2 F"}, {message.Celsius(20), "20 C", "68 F"}, {message.Celsius(190. / 9), "21.1 C", "70 F"}, {message.Celsius(14.04), "14.0 C", "57.3 F"}, {message.Kelvins(3), "3 K", "5.4 F (3 K)"}, {message.Kelvins(2.41), "2.4 K", "4.3 F (2.4 K)"},
		{message.Thick(0.075e-3), "0.075 mm", "3 mil"}, {message.Thick(0.2e-3), "0.2 mm", "7.9 mil"}, {message.Thick(8e-3), "8 mm", "315 mil"}, {message.Thick(0.01e-3), "0.01 mm", "0.394 mil"}, {message.Thick(0.12345e-3), "0.123 mm", "4.9 mil"},
		{message.RH(0.645), "64.5 %", "64.5 %"}, {message.Parts(0.643), "64 %", "64 %"}, {message.MetresASecond(0.1), "0.1 m/s", "0.2 mph"},
		{message.MetresAlong(2.4), "2.40 m", "7.87 ft"}, {message.SquareMetres(12.5), "12.5 m2", "135 ft2"}, {message.SquareMetres(12), "12 m2", "129 ft2"}, {message.Evaporation(1e-5), "36 g/m2 an hour", "0.0074 lb/ft2 an hour"},
		{message.Seconds(50 * 60), "50 min", "50 min"}, {message.Seconds(130 * 60), "2 h 10 min", "2 h 10 min"}, {message.Spells(20*60, 40*60), "20 to 40 min", "20 to 40 min"},
		{message.Spells(3*86400, 10*86400), "3 to 10 days", "3 to 10 days"}, {message.Spells(50*60, 130*60), "50 min to 2 h 10 min", "50 min to 2 h 10 min"},
		{message.AfterLaying(43*60, message.Ends), "40 min", "40 min"}, {message.AfterLaying(43*60, message.Begins), "45 min", "45 min"}, {message.AfterLaying(30, message.Begins), "at once", "at once"},
		{message.In(719, message.Ends), "11 min", "11 min"}, {message.In(721, message.Begins), "13 min", "13 min"},
		{message.At(at), "09:33", "09:33"}, {message.At(at.AddDate(0, 0, 1)), "Wed 09:33", "Wed 09:33"}, {message.At(at.AddDate(0, 0, 9)), "23 Apr 09:33", "23 Apr 09:33"},
		{message.On(at.AddDate(1, 0, 0)), "14 Apr 2027", "14 Apr 2027"}, {message.Stamp(at), "Tue 14 Apr 09:33", "Tue 14 Apr 09:33"},
		{message.Quantity{Kind: message.Clock, At: at, Edge: message.Ends, Grain: 10 * time.Minute}, "09:30", "09:30"},
		{message.Quantity{Kind: message.Due, At: at.AddDate(0, 0, 2), Edge: message.Begins, Grain: 10 * time.Minute}, "Thu 09:40", "Thu 09:40"},
		{message.Quantity{Kind: message.Due, At: at.AddDate(0, 0, 20)}, "4 May", "4 May"},
	} {
		for u, want := range []string{tc.metric, tc.us} {
			if got := (view.Printer{Units: quantity.Units(u), Day: day}).Quantity(tc.q); got != want {
				t.Errorf("%s %g in %v: %q, want %q", tc.q.Kind, tc.q.Value, quantity.Units(u), got, want)
			}
		}
	}
}

// Moments in the forms of a timetable.
func TestTimes(t *testing.T) {
	lay := time.Date(2026, 4, 14, 8, 0, 0, 0, zones[1])
	p := view.Printer{Day: lay}
	at := func(m float64, e message.Edge, grain time.Duration) view.Time {
		return view.Time{At: lay.Add(time.Duration(m * float64(time.Minute))), Laid: lay, Edge: e, Grain: grain}
	}
	for _, tc := range []struct {
		t           view.Time
		time, brief string
	}{
		{view.Time{Edge: message.Begins}, "not within two days", "over 2 days"},
		{at(0.5, message.Begins, time.Minute), "at once", "at once"}, {at(0.5, message.Ends, time.Minute), "within a minute", "under 1 min"},
		{at(12.2, message.Begins, time.Minute), "13 min after laying", "13 min"}, {at(12.8, message.Ends, time.Minute), "12 min after laying, 08:12", "12 min"},
		{at(92, message.Begins, 5*time.Minute), "from 09:35", "from 09:35"}, {at(92, message.Ends, 5*time.Minute), "09:30", "to 09:30"},
		{view.Time{At: lay.Add(17 * time.Minute), Laid: lay}, "08:17", "08:17"},
	} {
		if got, brief := p.Time(tc.t), p.Brief(tc.t); got != tc.time || brief != tc.brief {
			t.Errorf("%v: %q, %q; want %q, %q", tc.t, got, brief, tc.time, tc.brief)
		}
	}
}
