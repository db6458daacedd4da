package source

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/weather"
)

var noon = time.Date(2026, 4, 14, 12, 0, 0, 0, time.UTC)

// told is an hourly forecast of n hours from noon on: 10 C and rising by 0.1 K an hour, 900 Pa, wind of the hour.
func told(n int) weather.Series {
	s := weather.Series{Source: "a service", Issued: noon.Add(-time.Hour)}
	for h := range n {
		s.Records = append(s.Records, weather.Record{Time: noon.Add(time.Duration(h) * time.Hour), Temperature: weather.Value{V: 10 + 0.1*float64(h), Tag: weather.Forecast},
			Vapour: weather.Value{V: 900, Tag: weather.Forecast}, Wind: weather.Value{V: float64(h), Tag: weather.Forecast}})
	}
	return s.Told()
}

func read(at map[float64]float64) weather.Series {
	s := weather.Series{Source: "readings"}
	for h := -400.0; h < 400; h += 0.5 {
		if t, ok := at[h]; ok {
			s.Records = append(s.Records, weather.Record{Time: noon.Add(time.Duration(h * float64(time.Hour))), Temperature: weather.Value{V: t, Tag: weather.Measured}, Vapour: weather.Value{V: 900, Tag: weather.Measured}})
		}
	}
	return s.Of(weather.Typed)
}

func tempAt(t *testing.T, s weather.Series, h float64) (temp, wind float64) {
	t.Helper()
	for _, r := range s.Records {
		if r.Time.Equal(noon.Add(time.Duration(h * float64(time.Hour)))) {
			return r.Temperature.V, r.Wind.V
		}
	}
	t.Fatalf("no record at %g h", h)
	return 0, 0
}

// Every reading shifts the hours about it, the straight line between near ones stands, and the forecast's wind stays.
func TestBlend(t *testing.T) {
	s := Blend(told(48), read(map[float64]float64{-20: 14, 2: 12.2, 4.5: 13, 30: 12}))
	e := func(h float64) float64 { return math.Exp(-h / 6) }
	for h, want := range map[float64]float64{
		-20: 14, 2: 12.2, 4.5: 13, 30: 12, // the readings themselves
		3: 12.2 + 0.8*1/2.5, 4: 12.2 + 0.8*2/2.5, // on the line
		1:  10.1 + 2*e(1),                                   // of the day before nothing is left
		10: 11 + 2.55*e(5.5)*(20/25.5) - 1*e(20)*(5.5/25.5), // 4.5 h: 13 against 10.45; 30 h: 12 against 13
		36: 13.6 - 1*e(6),
	} {
		if got, wind := tempAt(t, s, h); math.Abs(got-want) > 1e-9 || h >= 0 && wind != math.Floor(h) {
			t.Errorf("%g h: %.4f C, wind %g; want %.4f", h, got, wind, want)
		}
	}
	if s.Source != "a service" || len(s.Parts) != 2 || s.Parts[0].Kind != weather.Typed || s.Parts[1].Kind != weather.Foretold || !strings.Contains(strings.Join(s.Notes, " "), "of 18:00 UTC shifts the forecast by -1.0 K") {
		t.Errorf("%s, %+v, %q", s.Source, s.Parts, s.Notes)
	}
	// Shortly before the first hour, a reading is held against that; long after the last, against nothing.
	if got, _ := tempAt(t, Blend(told(5), read(map[float64]float64{-0.5: 12})), 0); math.Abs(got-10-2*e(0.5)) > 1e-9 {
		t.Errorf("%g", got)
	}
	if s := Blend(told(5), read(map[float64]float64{9: 12})); len(s.Records) != 6 || s.Records[0] != told(1).Records[0] || len(s.Notes) != 0 {
		t.Errorf("%+v", s)
	}
	if s := Blend(told(5), weather.Series{}); len(s.Records) != 5 {
		t.Errorf("%+v", s)
	}
}

// Readings that say what the forecast says leave every hour as it was.
func TestBlendNothingNew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := told(48)
		at := map[float64]float64{}
		for _, h := range rapid.SliceOfN(rapid.IntRange(0, 94), 0, 9).Draw(t, "half hours") {
			at[float64(h)/2] = 10 + 0.05*float64(h)
		}
		s := Blend(f, read(at))
		for _, r := range s.Records {
			h := r.Time.Sub(noon).Hours()
			if math.Abs(r.Temperature.V-10-0.1*h) > 1e-9 || math.Abs(r.Vapour.V-900) > 1e-9 || r.Wind.V != math.Floor(h) {
				t.Fatalf("%g h: %+v", h, r)
			}
		}
		for _, r := range f.Records {
			if h := r.Time.Sub(noon).Hours(); !s.Covers(r.Time) || s.End() != f.End() {
				t.Fatalf("%g h is lost", h)
			}
		}
	})
}
