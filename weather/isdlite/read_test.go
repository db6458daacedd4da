package isdlite_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/isdlite"
)

func sample(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "isdlite", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// row is an hour of 2017-01-01: temperature, dew point, pressure, direction, wind, sky, rain of 1 and 6 h.
func row(hour int, v ...int) string {
	b := fmt.Sprintf("2017 01 01 %02d", hour)
	for _, x := range v {
		b += fmt.Sprintf("%6d", x)
	}
	return b + "\n"
}

func read(text string, o isdlite.Options) (weather.Series, error) {
	return isdlite.Read("x", strings.NewReader(text), o)
}

func TestSamplesJoined(t *testing.T) {
	var files []weather.Series
	for _, name := range []string{"725300-2017-01.gz", "725300-2016-12.gz"} {
		s, err := isdlite.Read(name, bytes.NewReader(sample(t, name)), isdlite.Options{})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, s)
	}
	s, err := weather.Join(weather.Refuse, files...)
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(s.Records); i++ {
		if !s.Records[i].Time.After(s.Records[i-1].Time) {
			t.Fatalf("record %d is out of order", i)
		}
	}
	if first, last := s.Records[0].Time, s.Records[len(s.Records)-1].Time; first.Year() != 2016 || last.Year() != 2017 {
		t.Errorf("from %v to %v", first, last)
	}
	// The first row of 2017: -0.6, dew point -7.2 C, 5.1 m/s from 270, 2 oktas.
	for _, r := range s.Records {
		if !r.Time.Equal(time.Date(2017, 1, 1, 0, 0, 0, 0, time.UTC)) {
			continue
		}
		if r.Temperature.V != -0.6000000000000001 && r.Temperature.V != -0.6 || math.Abs(r.Vapour.V-float64(psychro.SaturationWater(-7.2))) > 1e-6 ||
			math.Abs(r.Wind.V-5.1) > 1e-9 || r.WindFrom.V != 270 || r.Cloud.V != 0.25 || r.Pressure.Known() || r.Temperature.Tag != weather.Measured {
			t.Errorf("the first of 2017: %+v", r)
		}
	}
	if notes := strings.Join(s.Notes, "; "); !strings.Contains(notes, "traces of rain count as none") || !strings.Contains(notes, "reduced to sea level") {
		t.Errorf("notes %q", notes)
	}
	// The first row of 2017 has no rain, so no record reaches back into 2016.
	if len(s.Records) != len(files[0].Records)+len(files[1].Records) {
		t.Errorf("%d records of %d and %d", len(s.Records), len(files[0].Records), len(files[1].Records))
	}
}

const no = -9999

func TestValues(t *testing.T) {
	altitude := 200.0
	s, err := read(row(0, -44, -83, 10256, 260, 67, 8, 12, no)+row(1, no, no, no, no, no, no, no, no)+
		row(2, -44, no, no, 0, 0, 9, -1, no), isdlite.Options{Altitude: &altitude})
	if err != nil || len(s.Records) != 4 {
		t.Fatalf("%+v, %v", s, err)
	}
	before, a, b, c := s.Records[0], s.Records[1], s.Records[2], s.Records[3]
	if before.Time.Hour() != 23 || math.Abs(before.Rain.V-1.2) > 1e-9 || before.Span != time.Hour || before.Temperature.Known() {
		t.Errorf("rain of the hour before: %+v", before)
	}
	// 1025.6 hPa at the sea, 200 m up at -4.4 C: p*exp(-g h/(R Tm)), Tm 269.40 K: 999.9 hPa.
	if math.Abs(a.Pressure.V-99992) > 15 || a.Pressure.Tag != weather.Estimated || a.Cloud.V != 1 || math.Abs(a.Wind.V-6.7) > 1e-9 {
		t.Errorf("hour 0: %+v", a)
	}
	if rain := b.Rain; !rain.Known() || rain.V != 0 {
		t.Errorf("a trace: %+v", b)
	}
	b.Rain, b.Span = weather.Value{}, 0
	if b != (weather.Record{Time: b.Time}) {
		t.Errorf("all missing: %+v", b)
	}
	if !c.Temperature.Known() || c.Vapour.Known() || c.WindFrom.Known() || !c.Wind.Known() || c.Cloud.Known() || c.Rain.Known() {
		t.Errorf("hour 2: %+v", c)
	}
	if notes := strings.Join(s.Notes, "; "); notes != "1 trace of rain counts as none; cloud left out in 1 row whose code is no share of the sky" {
		t.Errorf("notes %q", notes)
	}
}

func TestSixHours(t *testing.T) {
	six := func(rain3 int) string {
		var b strings.Builder
		for h := range 7 {
			rain := no
			if h == 3 {
				rain = rain3
			}
			all := no
			if h == 6 {
				all = 30
			}
			b.WriteString(row(h, 50, 40, no, no, no, no, rain, all))
		}
		return b.String()
	}
	s, err := read(six(no), isdlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i, r := range s.Records {
		sum += r.Rain.V
		if r.Rain.Known() != (i < 6) || i < 6 && (r.Rain.Tag != weather.Coarse || r.Span != time.Hour) {
			t.Errorf("hour %d: %+v", i, r)
		}
	}
	if math.Abs(sum-3) > 1e-9 {
		t.Errorf("3 mm became %g", sum)
	}
	if s, err = read(six(5), isdlite.Options{}); err != nil {
		t.Fatal(err)
	}
	for i, r := range s.Records {
		if r.Rain.Known() != (i == 2) {
			t.Errorf("with rain of its own, hour %d: %+v", i, r)
		}
	}
	if s, err = read(strings.SplitAfterN(six(no), "\n", 3)[2], isdlite.Options{}); err != nil || s.Records[0].Rain.Known() {
		t.Errorf("less than six hours: %+v, %v", s, err)
	}
}

func TestRefusals(t *testing.T) {
	good := row(0, -44, -83, 10256, 260, 67, 4, no, no)
	for _, tc := range []struct{ name, text, want string }{
		{"empty", "", "x: holds no rows; expected a row for each hour"},
		{"other text", "temp,rh\n", "x:1: the row has 7 characters"},
		{"cut off", good + good[:40], "x:2: the row has 40 characters"},
		{"no number", strings.Replace(good, "-44", "-4x", 1), `x:1: temperature: is no whole number: "-4x"`},
		{"goes on", strings.TrimRight(good, "\n") + " 3\n", "x:1: the row goes on"},
		{"hour 24", strings.Replace(good, "01 01 00", "01 01 24", 1), "x:1: the date: there is no such hour"},
		{"month 13", strings.Replace(good, "2017 01", "2017 13", 1), "there is no such hour"},
		{"twice", good + good, "x:2: the date: is not after that of line 1"},
		{"too hot", row(0, 710, -83, 10256, 260, 67, 4, no, no), `x:1: temperature: temperature 71 C is outside -70 to 70 C`},
		{"wind", row(0, 100, -83, 10256, 260, 4687, 4, no, no), "x:1: wind: wind 468.7 m/s is outside 0 to 75 m/s"},
		{"rain", row(0, 100, -83, 10256, 260, 0, 4, -5, no), "rain -0.5 mm/h is outside"},
		{"six hours of rain", row(0, 100, -83, 10256, 260, 0, 4, no, 99999), "x:1: rain of 6 h"},
		{"dew point", row(0, 100, 106, 10256, 260, 0, 4, no, no), "x:1: dew point: dew point 10.6 C is outside -90 to 10 C"},
		{"long line", strings.Repeat("2", 1<<17), "a line is longer"},
	} {
		_, err := read(tc.text, isdlite.Options{})
		var bad *weather.DataError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v; want %s", tc.name, err, tc.want)
		}
	}
	s, err := read(row(0, 100, 106, 10256, 260, 4687, 4, no, no), isdlite.Options{DropBad: true})
	if err != nil || s.Records[0].Wind.Known() || s.Records[0].Vapour.Known() || len(s.Notes) != 3 || s.Notes[0] != "1 value left out: wind out of range (x:1: wind 468.7 m/s is outside 0 to 75 m/s)" {
		t.Errorf("dropped: %+v, %v", s, err)
	}
}

func plain(t testing.TB) []byte {
	z, err := gzip.NewReader(bytes.NewReader(sample(t, "725300-2017-01.gz")))
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Any beginning of a file is refused, or gives the beginning of its series.
func TestPrefixes(t *testing.T) {
	data := plain(t)[:100*62]
	whole, err := read(string(data), isdlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		s, err := read(string(data[:rapid.IntRange(0, len(data)).Draw(t, "bytes")]), isdlite.Options{})
		if err != nil {
			return
		}
		for i, r := range s.Records {
			w := whole.Records[i]
			if i == len(s.Records)-1 { // its hour of rain is in a row that is not there
				w.Rain, w.Span = weather.Value{}, 0
			}
			if r != w {
				t.Fatalf("record %d is %+v, was %+v", i, r, w)
			}
		}
	})
}

// Whatever the bytes: an answer or a DataError, in order and in range.
func FuzzRead(f *testing.F) {
	f.Add(plain(f)[:30*62])
	f.Add([]byte(row(0, -44, -83, 10256, 260, 67, 9, -1, no) + row(6, no, no, no, no, no, no, no, 30)))
	f.Add(sample(f, "725300-2016-12.gz")[:500])
	f.Fuzz(func(t *testing.T, data []byte) {
		altitude := 200.0
		for _, o := range []isdlite.Options{{}, {DropBad: true, Altitude: &altitude}} {
			s, err := isdlite.Read("x", bytes.NewReader(data), o)
			if err != nil {
				var bad *weather.DataError
				if !errors.As(err, &bad) {
					t.Fatalf("%v is no DataError", err)
				}
				continue
			}
			var last time.Time
			for i, r := range s.Records {
				if !r.Time.After(last) {
					t.Fatalf("record %d is out of order", i)
				}
				last = r.Time
				for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.Cloud, r.Rain} {
					if !v.Known() && v.V != 0 || math.IsNaN(v.V) {
						t.Fatalf("record %d: %+v", i, r)
					}
				}
			}
		}
	})
}
