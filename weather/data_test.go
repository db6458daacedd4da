package weather_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather"
)

func hours(n float64) time.Time { return start.Add(time.Duration(n * float64(time.Hour))) }

func got(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Measured} }

func TestSumsBefore(t *testing.T) {
	rows := []weather.Record{
		{Time: hours(0), Temperature: got(10), Rain: got(1), Gust: got(9)},
		{Time: hours(1), Temperature: got(11), Rain: got(2), Gust: got(8)},
		{Time: hours(4), Temperature: got(14), Rain: got(3)}, // behind a gap
		{Time: hours(5), Temperature: got(15)},
	}
	out := weather.SumsBefore(rows, time.Hour, false)
	want := []weather.Record{
		{Time: hours(-1), Span: time.Hour, Rain: got(1)},
		{Time: hours(0), Span: time.Hour, Temperature: got(10), Rain: got(2), Gust: got(9)},
		{Time: hours(1), Temperature: got(11), Gust: got(8)},
		{Time: hours(3), Span: time.Hour, Rain: got(3)},
		{Time: hours(4), Temperature: got(14)},
		{Time: hours(5), Temperature: got(15)},
	}
	if len(out) != len(want) {
		t.Fatalf("%d records, want %d: %+v", len(out), len(want), out)
	}
	for i := range want {
		if out[i] != want[i] {
			t.Errorf("record %d is %+v, want %+v", i, out[i], want[i])
		}
	}
	if out := weather.SumsBefore(rows, time.Hour, true); out[1].Gust != got(8) || out[0].Gust != got(9) {
		t.Errorf("the gusts are %v, %v", out[0].Gust, out[1].Gust)
	}
	if rows[0].Rain != got(1) {
		t.Error("the rows were changed")
	}
}

// No amount is lost, doubled or put out of order, whatever the steps.
func TestSumsBeforeKeepsAmounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows []weather.Record
		when, rain := start, 0.0
		for range rapid.IntRange(0, 20).Draw(t, "rows") {
			when = when.Add(time.Duration(rapid.SampledFrom([]int{15, 30, 60, 60, 90, 180}).Draw(t, "minutes")) * time.Minute)
			r := weather.Record{Time: when, Temperature: got(1)}
			if rapid.Bool().Draw(t, "rain") {
				r.Rain = got(rapid.Float64Range(0, 9).Draw(t, "mm"))
				rain += r.Rain.V
			}
			rows = append(rows, r)
		}
		left, states := 0.0, 0
		var last time.Time
		for _, r := range weather.SumsBefore(rows, time.Hour, false) {
			if !r.Time.After(last) {
				t.Fatalf("%v after %v", r.Time, last)
			}
			last = r.Time
			left += r.Rain.V
			if r.Temperature.Known() {
				states++
			}
		}
		if math.Abs(left-rain) > 1e-9 || states != len(rows) {
			t.Fatalf("%g mm became %g, %d states %d", rain, left, len(rows), states)
		}
	})
}

func TestJoin(t *testing.T) {
	grid := weather.Place{Lat: 1}
	a := weather.Series{Source: "a", Credit: "c", Fetched: hours(2), Grid: &grid, Notes: []string{"n"},
		Records: []weather.Record{{Time: hours(0), Temperature: got(1)}, {Time: hours(1), Temperature: got(2)}}}
	b := weather.Series{Source: "b", Credit: "c", Fetched: hours(1), Grid: &weather.Place{Lat: 1}, Notes: []string{"n", "m"},
		Records: []weather.Record{{Time: hours(1), Span: time.Hour, Rain: got(5)}, {Time: hours(2), Temperature: got(3)}}}
	for _, order := range [][]weather.Series{{a, b}, {b, a}} {
		s, err := weather.Join(weather.Refuse, order...)
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Records) != 3 || s.Records[1] != (weather.Record{Time: hours(1), Span: time.Hour, Temperature: got(2), Rain: got(5)}) {
			t.Errorf("joined: %+v", s.Records)
		}
		if s.Credit != "c" || len(s.Notes) != 2 || !s.Fetched.Equal(hours(1)) || s.Grid == nil {
			t.Errorf("joined: %+v", s)
		}
	}
	c := weather.Series{Source: "c", Records: []weather.Record{{Time: hours(1), Temperature: got(2.5)}}}
	_, err := weather.Join(weather.Refuse, a, b, c)
	var conflict *weather.ConflictError
	if !errors.As(err, &conflict) || conflict.Field != "temperature" || conflict.A != 2 || conflict.B != 2.5 || conflict.First != "a" || conflict.Second != "c" {
		t.Errorf("a conflict gave %v", err)
	}
	if want := "two values of temperature at 2026-04-14T07:00:00Z: 2 (a) and 2.5 (c); expected one, or files that do not overlap"; err.Error() != want {
		t.Errorf("it says %q", err)
	}
	s, err := weather.Join(weather.KeepFirst, a, c)
	if err != nil || s.Records[1].Temperature.V != 2 || s.Grid != nil || !strings.Contains(strings.Join(s.Notes, ";"), "the first is kept") {
		t.Errorf("the first was not kept: %+v, %v", s, err)
	}
	if s, err := weather.Join(weather.Refuse); err != nil || len(s.Records) != 0 {
		t.Errorf("nothing joined is %+v, %v", s, err)
	}
}

func TestVapourOf(t *testing.T) {
	none := weather.Value{}
	sat := func(t float64) float64 { return float64(psychro.SaturationWater(psychro.Celsius(t))) }
	for _, tc := range []struct {
		name       string
		t, dew, rh weather.Value
		want       weather.Value
		fails      bool
	}{
		{"dew point first", got(20), got(10), got(99), got(sat(10)), false},
		{"dew point alone", none, got(10), none, got(sat(10)), false},
		{"humidity", got(20), none, got(50), got(sat(20) / 2), false},
		{"humidity below zero is over water", got(-10), none, got(50), got(sat(-10) / 2), false},
		{"a wet sensor", got(20), none, got(104), got(sat(20)), false},
		{"dew point a little high", got(20), got(20.4), none, got(sat(20)), false},
		{"dew point too high", got(20), got(20.6), none, none, true},
		{"humidity without temperature", none, none, got(50), none, false},
		{"nothing", none, none, none, none, false},
		{"humidity of 0", got(20), none, got(0), none, true},
		{"humidity too high", got(20), none, got(106), none, true},
		{"no dew point", got(20), got(-273), none, none, true},
	} {
		v, err := weather.VapourOf(tc.t, tc.dew, tc.rh)
		if (err != nil) != tc.fails || math.Abs(v.V-tc.want.V) > 1e-9 || v.Tag != tc.want.Tag {
			t.Errorf("%s: %v, %v; want %v", tc.name, v, err, tc.want)
		}
	}
}

func TestLimits(t *testing.T) {
	var bad *weather.RangeError
	err := weather.Wind.Check(1048.36 * 0.44704)
	if !errors.As(err, &bad) || err.Error() != "wind 468.7 m/s is outside 0 to 75 m/s" {
		t.Errorf("1,048 mph: %v", err)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), -70.1, 70.1} {
		if weather.Temperature.Check(v) == nil {
			t.Errorf("temperature %v passes", v)
		}
	}
	for q := weather.Temperature; q <= weather.Radiation; q++ {
		if q.String() == "" || q.Check(1e9) == nil {
			t.Errorf("quantity %d has no name or no limit", q)
		}
	}
}

func TestDistance(t *testing.T) {
	// A minute of latitude is a nautical mile, 1852 m, by its first definition; on a sphere of the
	// mean radius 1853.2 m.
	p := weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 433}
	if d := p.Distance(weather.Place{Lat: 46.83 + 1.0/60, Lon: -92.22}); math.Abs(d-1853.2) > 0.5 {
		t.Errorf("a minute of latitude is %g m", d)
	}
	if d := (weather.Place{Lon: 179.9}).Distance(weather.Place{Lon: -179.9}); math.Abs(d-22239) > 1 {
		t.Errorf("over the date line: %g m", d)
	}
	for _, tc := range []struct {
		name string
		grid weather.Place
		far  bool
		says string
	}{
		{"near", weather.Place{Lat: 46.85, Lon: -92.25, Altitude: 430}, false, "the grid point is 3 km away at 430 m, 3 m below the place"},
		{"far", weather.Place{Lat: 47.1, Lon: -92.22, Altitude: 433}, true, "the grid point is 30 km away at 433 m, as the place: far; its weather may not be that of the place"},
		{"high", weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 640}, true, "the grid point is 0 km away at 640 m, 207 m above the place: far; its weather may not be that of the place"},
		{"unknown", weather.Place{Lat: 46.83, Lon: -92.22, Altitude: math.NaN()}, false, "the grid point is 0 km away, at an altitude that is not known"},
	} {
		if note, far := weather.GridNote(p, tc.grid); note != tc.says || far != tc.far {
			t.Errorf("%s: %v, %q", tc.name, far, note)
		}
	}
}

func TestPressure(t *testing.T) {
	s := weather.Series{Records: []weather.Record{{Time: hours(0), Pressure: got(96000)}, {Time: hours(1)}}}
	f := s.FillPressure(1000)
	// ISO 2533:1975, table: 89 876 Pa at 1000 m geopotential; a map's 1000 m is 0.16 m less.
	if p := f.Records[1].Pressure; math.Abs(p.V-89876) > 3 || p.Tag != weather.Estimated {
		t.Errorf("at 1000 m: %v", p)
	}
	if f.Records[0].Pressure != got(96000) || len(f.Notes) != 1 || s.Records[1].Pressure.Known() {
		t.Errorf("filled: %+v, and before %+v", f, s)
	}
	if f := s.FillPressure(math.NaN()); f.Records[1].Pressure.Known() || len(f.Notes) != 0 {
		t.Errorf("an unknown altitude filled %+v", f)
	}
	if p := weather.PressureFromSea(got(101325), got(15), 0); p.V != 101325 || p.Tag != weather.Estimated {
		t.Errorf("at the sea: %v", p)
	}
	for _, h := range []float64{math.NaN(), 20000} {
		if p := weather.PressureFromSea(got(101325), got(15), h); p.Known() {
			t.Errorf("at %g m: %v", h, p)
		}
	}
	if weather.PressureFromSea(got(101325), weather.Value{}, 0).Known() || weather.PressureFromSea(weather.Value{}, got(15), 0).Known() {
		t.Error("pressure out of nothing")
	}
}

func TestUnpack(t *testing.T) {
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	if _, err := io.WriteString(z, strings.Repeat("hours and hours\n", 500)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	read := func(data []byte) (int, error) {
		r, err := weather.Unpack("x", bytes.NewReader(data))
		if err != nil {
			return 0, err
		}
		out, err := io.ReadAll(r)
		return len(out), err
	}
	if n, err := read(packed.Bytes()); n != 8000 || err != nil {
		t.Errorf("packed: %d, %v", n, err)
	}
	if n, err := read([]byte("plain")); n != 5 || err != nil {
		t.Errorf("plain: %d, %v", n, err)
	}
	if n, err := read(nil); n != 0 || err != nil {
		t.Errorf("empty: %d, %v", n, err)
	}
	for n := 2; n < packed.Len(); n++ {
		var bad *weather.DataError
		if _, err := read(packed.Bytes()[:n]); !errors.As(err, &bad) {
			t.Fatalf("cut after %d bytes: %v", n, err)
		}
	}
	big, err := weather.Unpack("x", io.MultiReader(strings.NewReader("ab"), zeros{}))
	if err != nil {
		t.Fatal(err)
	}
	n, err := io.Copy(io.Discard, big)
	if err == nil || n > weather.MaxFile+1<<20 {
		t.Errorf("an endless file gave %d bytes, %v", n, err)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { return len(p), nil }
