package weather_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/weather"
)

var start = time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)

// at makes a series of measured records at minutes after start, on straight lines.
func at(minutes ...int) weather.Series {
	var s weather.Series
	for _, m := range minutes {
		s.Records = append(s.Records, weather.Record{Time: start.Add(time.Duration(m) * time.Minute),
			Temperature: weather.Value{V: 10 + float64(m)/60, Tag: weather.Measured},
			Vapour:      weather.Value{V: 1000 + float64(m), Tag: weather.Measured}})
	}
	return s
}

func TestGaps(t *testing.T) {
	for _, tc := range []struct {
		name    string
		s       weather.Series
		step    int // minutes
		gaps    int
		missing float64
		filled  int
	}{
		{"none", at(0, 15, 30, 45, 60), 15, 0, 0, 0},
		{"one reading", at(0), 0, 0, 0, 0},
		{"no reading", at(), 0, 0, 0, 0},
		{"one missing", at(0, 15, 30, 60, 75, 90, 105), 15, 1, 1. / 8, 1},
		{"three hours", at(0, 15, 30, 45, 60, 75, 90, 270, 285, 300), 15, 1, 11. / 21, 11},
		{"longer than three hours", at(0, 15, 30, 45, 60, 75, 90, 271, 286, 301), 15, 1, (181. - 15) / (301 + 15), 0},
		{"by hand", at(0, 40, 170, 190, 300), 0, 0, 0, 0},
		{"by hand, overnight", at(0, 40, 170, 190, 900), 0, 1, 0, 0},
	} {
		step, gaps, missing := tc.s.Step(), tc.s.Gaps(), tc.s.MissingShare()
		if step != time.Duration(tc.step)*time.Minute || len(gaps) != tc.gaps || math.Abs(missing-tc.missing) > 1e-12 {
			t.Errorf("%s: step %v, gaps %v, missing %g; want %d min, %d, %g", tc.name, step, gaps, missing, tc.step, tc.gaps, tc.missing)
		}
		before := len(tc.s.Records)
		filled, n := tc.s.FillGaps()
		if n != tc.filled || len(filled.Records) != before+n || len(tc.s.Records) != before {
			t.Errorf("%s: %d filled, %d records of %d; want %d", tc.name, n, len(filled.Records), before, tc.filled)
		}
		tags := 0
		for i, r := range filled.Records {
			m := r.Time.Sub(start).Minutes()
			if math.Abs(r.Temperature.V-(10+m/60)) > 1e-9 || math.Abs(r.Vapour.V-(1000+m)) > 1e-9 {
				t.Errorf("%s: record %d is off the line: %v", tc.name, i, r)
			}
			if i > 0 && !r.Time.After(filled.Records[i-1].Time) {
				t.Errorf("%s: record %d out of order", tc.name, i)
			}
			if r.Temperature.Tag == weather.Interpolated && r.Vapour.Tag == weather.Interpolated {
				tags++
			}
		}
		if tags != n {
			t.Errorf("%s: %d tagged interpolated of %d", tc.name, tags, n)
		}
	}
}

// A record that lacks one value keeps the other, and is not filled twice.
func TestFillKeepsWhatIsThere(t *testing.T) {
	s := at(0, 15, 30, 45, 60)
	s.Records[2].Vapour = weather.Value{}
	s.Records[2].Temperature.V = 99
	filled, n := s.FillGaps()
	r := filled.Records[2]
	if n != 1 || len(filled.Records) != 5 || r.Temperature != (weather.Value{V: 99, Tag: weather.Measured}) ||
		r.Vapour != (weather.Value{V: 1030, Tag: weather.Interpolated}) || s.Records[2].Vapour.Known() {
		t.Errorf("%d filled: %v", n, r)
	}
}

func TestHourly(t *testing.T) {
	// On a straight line the mean of an hour is its middle.
	h := at(0, 7, 40, 65, 120, 150, 179).Hourly()
	if len(h.Records) != 3 {
		t.Fatalf("%d hours: %v", len(h.Records), h.Records)
	}
	for i, r := range h.Records[:2] {
		middle := 30 + 60*float64(i)
		if !r.Time.Equal(start.Add(time.Duration(middle)*time.Minute)) || math.Abs(r.Temperature.V-10-middle/60) > 1e-9 ||
			math.Abs(r.Vapour.V-1000-middle) > 1e-9 || r.Temperature.Tag != weather.Measured {
			t.Errorf("hour %d: %v", i, r)
		}
	}
	// Less than half an hour is no hour; what was filled stays marked.
	if h := at(0, 10, 20, 29).Hourly(); len(h.Records) != 0 {
		t.Errorf("29 minutes make %v", h.Records)
	}
	filled, n := at(0, 15, 30, 60, 75, 90, 105, 120).FillGaps()
	if h := filled.Hourly(); n != 1 || len(h.Records) != 2 || h.Records[0].Temperature.Tag != weather.Interpolated || h.Records[1].Temperature.Tag != weather.Measured {
		t.Errorf("%d filled: %v", n, h.Records)
	}
}

// Means conserve: the mean of hourly means is the mean of the lines.
func TestHourlyConserves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s weather.Series
		var want float64
		end := 60 * rapid.IntRange(1, 5).Draw(t, "hours")
		for m := 0; ; m = min(m+rapid.IntRange(1, 50).Draw(t, "step"), end) {
			r := weather.Record{Time: start.Add(time.Duration(m) * time.Minute),
				Temperature: weather.Value{V: rapid.Float64Range(-20, 40).Draw(t, "temp"), Tag: weather.Measured},
				Vapour:      weather.Value{V: rapid.Float64Range(100, 2000).Draw(t, "vapour"), Tag: weather.Measured}}
			if n := len(s.Records); n > 0 {
				last := s.Records[n-1]
				want += r.Time.Sub(last.Time).Hours() * (r.Temperature.V + last.Temperature.V) / 2
			}
			s.Records = append(s.Records, r)
			if m == end {
				break
			}
		}
		if len(s.Gaps()) > 0 {
			t.Skip("a gap")
		}
		var got float64
		for _, r := range s.Hourly().Records {
			got += r.Temperature.V
		}
		if math.Abs(got-want) > 1e-9 {
			t.Fatalf("%g, want %g", got, want)
		}
	})
}
