package columns_test

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/columns"
)

func newark(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "columns", "newark-2013.csv.gz"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func read(text string, o columns.Options) (weather.Series, error) {
	return columns.Read("x.csv", strings.NewReader(text), o)
}

var ewr = columns.Options{Units: columns.US, Station: "EWR"}

// The hour of 1,048 mph is refused with its line, or left out and noted.
func TestNewark(t *testing.T) {
	_, err := columns.Read("newark.csv.gz", bytes.NewReader(newark(t)), ewr)
	want := `newark.csv.gz:269: wind: wind 468.7 m/s is outside 0 to 75 m/s: "1048.36058"; expected a value that weather has; take it out, or have such values dropped`
	if err == nil || err.Error() != want {
		t.Fatalf("it says %v", err)
	}
	o := ewr
	o.DropBad = true
	altitude := 3.0
	o.Altitude, o.PressureAt = &altitude, columns.SeaPressure
	s, err := columns.Read("newark.csv.gz", bytes.NewReader(newark(t)), o)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(s.Notes, "1 value left out: wind out of range (newark.csv.gz:269: wind 468.7 m/s is outside 0 to 75 m/s)") ||
		!slices.Contains(s.Notes, "pressure taken as hPa, by its size") || !slices.Contains(s.Notes, "columns left out: visib") {
		t.Errorf("notes %q", s.Notes)
	}
	for _, r := range s.Records {
		if r.Wind.Known() && r.Wind.V > 75 {
			t.Errorf("a wind of %g m/s", r.Wind.V)
		}
		// EWR,2013,2,12,3,39.02,26.96,61.63,260,1048.36058,NA,0,1008.3: all but the wind is there.
		if r.Time.Equal(time.Date(2013, 2, 12, 8, 0, 0, 0, time.UTC)) {
			if math.Abs(r.Temperature.V-3.9) > 1e-9 || math.Abs(r.Vapour.V-float64(psychro.SaturationWater(-2.8))) > 1e-6 || r.Wind.Known() ||
				r.Gust.Known() || r.WindFrom.V != 260 || math.Abs(r.Pressure.V-100830+37) > 3 || r.Pressure.Tag != weather.Estimated {
				t.Errorf("the hour: %+v", r)
			}
		}
	}
}

// Local year, month, day and hour are the same instants as the column in UTC, on the days
// on which clocks change too.
func TestLocalIsUTC(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	o := ewr
	o.DropBad = true
	utc, err := columns.Read("x", bytes.NewReader(newark(t)), o)
	if err != nil {
		t.Fatal(err)
	}
	o.Columns, o.Zone = map[string]columns.Column{"time_hour": ""}, zone
	local, err := columns.Read("x", bytes.NewReader(newark(t)), o)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(utc.Records, local.Records) {
		t.Error("the series differ")
	}
}

// A row in US units and in metric ones is one record, with units in the names or by the option.
func TestUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-40, 45).Draw(t, "C")
		ms := rapid.Float64Range(0, 70).Draw(t, "m/s")
		mm := rapid.Float64Range(0, 100).Draw(t, "mm")
		pa := rapid.Float64Range(60e3, 105e3).Draw(t, "Pa")
		const when = "2026-04-14T06:00:00Z"
		var first weather.Record
		for i, text := range []string{
			fmt.Sprintf("time,temp_c,rh,wind_m_s,precip_mm,station_pressure_pa\n%s,%.9f,50,%.9f,%.9f,%.9f\n", when, c, ms, mm, pa),
			fmt.Sprintf("time;Temp (°F);RH (%%);Wind (mph);Precip (in);Station pressure (inHg)\n%s;%.9f;50;%.9f;%.9f;%.9f\n", when, c*1.8+32, ms/0.44704, mm/25.4, pa/3386.389),
			fmt.Sprintf("time\ttemperature_K\thumidity\twind_speed_kmh\train_mm\tstation_pressure\n%s\t%.9f\t50\t%.9f\t%.9f\t%.9f\n", when, c+273.15, ms*3.6, mm, pa/100),
			fmt.Sprintf("time|temp|rh|wind_kt|precip|station_pressure_kpa\n%s|%.9f|50|%.9f|%.9f|%.9f\n", when, c*1.8+32, ms*3600/1852, mm/25.4, pa/1000),
		} {
			s, err := read(text, columns.Options{Units: columns.US})
			if err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			r := s.Records[len(s.Records)-1]
			r.Rain = s.Records[0].Rain
			if i == 0 {
				first = r
			}
			for _, p := range [][2]float64{{r.Temperature.V, c}, {r.Wind.V, ms}, {r.Rain.V, mm}, {r.Pressure.V / 1000, pa / 1000}, {r.Vapour.V / 1000, first.Vapour.V / 1000}} {
				if math.Abs(p[0]-p[1]) > 1e-6 {
					t.Fatalf("%g became %g in\n%s", p[1], p[0], text)
				}
			}
		}
	})
}

func TestRules(t *testing.T) {
	const head = "time,temp_c,rh,wind_ms,precip_mm\n"
	one := func(cells string) weather.Record {
		s, err := read(head+"2026-04-14T06:00:00+02:00,"+cells+"\n", columns.Options{SumsAfter: true})
		if err != nil || len(s.Records) != 1 {
			t.Fatalf("%s: %+v, %v", cells, s, err)
		}
		return s.Records[0]
	}
	if r := one("10,50,1,0.5"); !r.Time.Equal(time.Date(2026, 4, 14, 4, 0, 0, 0, time.UTC)) || r.Rain.V != 0.5 || r.Span != time.Hour || r.Temperature.Tag != weather.Measured {
		t.Errorf("a row: %+v", r)
	}
	for _, na := range []string{"", "NA", "n/a", "null", "NaN", "-", "-9999"} {
		if r := one(na + "," + na + "," + na + "," + na); r.Temperature.Known() || r.Temperature.V != 0 || r.Vapour.Known() || r.Wind.Known() || r.Rain.Known() {
			t.Errorf("%q: %+v", na, r)
		}
	}
	if r := one("10,50,1,T"); !r.Rain.Known() || r.Rain.V != 0 {
		t.Errorf("a trace: %+v", r)
	}
	// Sums of the hour before, by default; rows in any order; equal rows once.
	s, err := read(head+"2026-04-14T07:00:00Z,11,50,1,2\n2026-04-14T06:00:00Z,10,50,1,0\n2026-04-14T07:00:00Z,11,50,1,2\n", columns.Options{})
	if err != nil || len(s.Records) != 3 || s.Records[1].Rain.V != 2 || s.Records[1].Temperature.V != 10 || s.Records[2].Rain.Known() {
		t.Errorf("order: %+v, %v", s.Records, err)
	}
	// Local text: the hour that comes twice.
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	s, err = read("time,temp_c,rh\n2026-10-25 01:00,9,50\n2026-10-25 02:00,8,50\n2026-10-25 02:00,7,50\n2026-10-25 03:00,6,50\n", columns.Options{Zone: berlin})
	if err != nil || len(s.Records) != 4 {
		t.Fatalf("%+v, %v", s.Records, err)
	}
	for i, r := range s.Records {
		if want := time.Date(2026, 10, 24, 23+i, 0, 0, 0, time.UTC); !r.Time.Equal(want) || r.Temperature.V != float64(9-i) {
			t.Errorf("record %d: %+v, want %v", i, r, want)
		}
	}
	// Pressure that may be either is not guessed.
	for _, tc := range []struct {
		at    columns.Column
		known bool
	}{{"", false}, {columns.StationPressure, true}, {columns.SeaPressure, false}} {
		s, err := read("time,temp_c,rh,pressure\n2026-04-14T06:00:00Z,10,50,960\n", columns.Options{PressureAt: tc.at})
		if err != nil || s.Records[0].Pressure.Known() != tc.known || len(s.Notes) == 0 {
			t.Errorf("pressure at %q: %+v, %v", tc.at, s, err)
		}
	}
	// A byte order mark, CRLF, quotes, a pinned column.
	s, err = read("\xef\xbb\xbf\"time\",\"x\",\"rh, in %\"\r\n2026-04-14T06:00:00Z,\"50\",60\r\n", columns.Options{Units: columns.US, Columns: map[string]columns.Column{"x": columns.Temperature}})
	if err != nil || math.Abs(s.Records[0].Temperature.V-10) > 1e-9 {
		t.Errorf("pinned: %+v, %v", s, err)
	}
}

func TestRefusals(t *testing.T) {
	const head = "time,temp_c,rh\n"
	newYork, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name, text string
		o          columns.Options
		want       string
	}{
		{"empty", "", columns.Options{}, "x.csv: is empty"},
		{"blank", "\n\n", columns.Options{}, "x.csv: is empty"},
		{"no rows", head, columns.Options{}, "x.csv: holds no rows"},
		{"no unit", "time,temp,rh\n", columns.Options{}, `x.csv:1: the header: states no unit for the temperature: "temp"; expected one in the name, as temp_c or temp_f, or the option units: us or metric`},
		{"units", head, columns.Options{Units: "x"}, `units: are not known: "x"`},
		{"no temperature", "time,rh\n", columns.Options{}, "has no temperature"},
		{"no humidity", "time,temp_c\n", columns.Options{}, "has no humidity"},
		{"no time", "temp_c,rh\n", columns.Options{}, "tells no time: it has no year"},
		{"two temperatures", "time,temp_c,temp_f,rh\n", columns.Options{}, `both "temp_c" and "temp_f" may be the temperature`},
		{"unknown pin", head, columns.Options{Columns: map[string]columns.Column{"q": columns.Wind}}, `the header has no column of this name: "q"`},
		{"no zone", head + "2026-04-14 06:00,1,50\n", columns.Options{}, "x.csv:2: the time: has no offset from UTC"},
		{"two ways", head + "2026-04-14 06:00,1,50\n2026-04-14T07:00:00Z,1,50\n", columns.Options{Zone: newYork}, "x.csv:3: the time: has an offset, those above have none"},
		{"slashes", head + "4/14/26 06:00,1,50\n", columns.Options{Zone: newYork}, `x.csv:2: the time: cannot be read: "4/14/26 06:00"`},
		{"skipped hour", head + "2026-03-08 02:30,1,50\n", columns.Options{Zone: newYork}, "x.csv:2: the time: does not exist: the clocks go forward over it"},
		{"31 April", "year,month,day,hour,temp_c,rh\n2026,4,31,0,1,50\n", columns.Options{Zone: newYork}, "there is no such hour"},
		{"another age", head + "0001-04-14T06:00:00Z,1,50\n", columns.Options{}, "is of another age"},
		{"no number", head + "2026-04-14T06:00:00Z,1x,50\n", columns.Options{}, `x.csv:2: temp_c: is no number: "1x"`},
		{"decimal comma", head + "2026-04-14T06:00:00Z,\"12,5\",50\n", columns.Options{}, `is no number: "12,5"`},
		{"infinite", head + "2026-04-14T06:00:00Z,Inf,50\n", columns.Options{}, `is no number: "Inf"`},
		{"too hot", head + "2026-04-14T06:00:00Z,71,50\n", columns.Options{}, "x.csv:2: temperature: temperature 71 C is outside"},
		{"humidity as a share of 1", head + "2026-04-14T06:00:00Z,7,0.45\n", columns.Options{}, "relative humidity 0.45 % is outside 0.5 to 105 %"},
		{"short row", head + "2026-04-14T06:00:00Z,1\n", columns.Options{}, "x.csv:2: the row has not as many cells as the header"},
		{"twice", head + "2026-04-14T06:00:00Z,1,50\n2026-04-14T06:00:00Z,2,50\n", columns.Options{}, "x.csv:3: the time: is that of line 2, with other values"},
		{"stations", "origin,time,temp_c,rh\nA,2026-04-14T06:00:00Z,1,50\nB,2026-04-14T06:00:00Z,2,50\n", columns.Options{}, `x.csv:3: origin: holds several stations: "A, B"`},
		{"no such station", "origin,time,temp_c,rh\nA,2026-04-14T06:00:00Z,1,50\n", columns.Options{Station: "C"}, "x.csv: holds no rows of station C"},
		{"no stations", head + "2026-04-14T06:00:00Z,1,50\n", columns.Options{Station: "C"}, "has no column of stations"},
		{"quotes", head + "2026-04-14T06:00:00Z,\"1,50\n", columns.Options{}, "x.csv:2:"},
		{"pressure without a size", "time,temp_c,rh,slp\n2026-04-14T06:00:00Z,1,50,5\n", columns.Options{}, "states no unit for the pressure, and 5 is in none"},
	} {
		_, err := read(tc.text, tc.o)
		var bad *weather.DataError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v; want %s", tc.name, err, tc.want)
		}
	}
}

func plain(t testing.TB) []byte {
	z, err := gzip.NewReader(bytes.NewReader(newark(t)))
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Any beginning of the file is refused, or gives the beginning of its series.
func TestPrefixes(t *testing.T) {
	data := plain(t)[:15000]
	data = data[:bytes.LastIndexByte(data, '\n')+1]
	whole, err := read(string(data), ewr)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		s, err := read(string(data[:rapid.IntRange(0, len(data)).Draw(t, "bytes")]), ewr)
		if err != nil {
			return
		}
		n := len(s.Records) - 1 // its rain is in a row that is not there
		if !slices.Equal(s.Records[:n], whole.Records[:n]) || s.Records[n].Temperature != whole.Records[n].Temperature {
			t.Fatalf("%d records are not the first of the whole", n+1)
		}
	})
}

// Whatever the bytes: an answer or a DataError, in order and in range.
func FuzzRead(f *testing.F) {
	f.Add(plain(f)[:1500])
	f.Add([]byte("year;month;day;hour;temp;dew;slp;ghi;cloud\n2026;10;25;2;50;40;1000;NA;5\n2026;10;25;2;51;40;1000;3;T\n"))
	f.Add([]byte("time|temp_c|rh|station_pressure\n2026-04-14T06:00:00Z|1|50|28.1\n"))
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		f.Fatal(err)
	}
	altitude := 200.0
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, o := range []columns.Options{{}, {Units: columns.US, Zone: berlin, DropBad: true, Altitude: &altitude, PressureAt: columns.SeaPressure}} {
			s, err := columns.Read("x", bytes.NewReader(data), o)
			if err != nil {
				var bad *weather.DataError
				if !errors.As(err, &bad) {
					t.Fatalf("%v is no DataError", err)
				}
				continue
			}
			var last time.Time
			for i, r := range s.Records {
				if i > 0 && !r.Time.After(last) {
					t.Fatalf("record %d is out of order", i)
				}
				last = r.Time
				for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.Cloud, r.Rain} {
					if !v.Known() && v.V != 0 || math.IsNaN(v.V) || math.IsInf(v.V, 0) {
						t.Fatalf("record %d: %+v", i, r)
					}
				}
			}
		}
	})
}

// TestCloudUnits: cloud is told in eighths, tenths, per cent or a share; 4 eighths are half the sky, not 4 %.
func TestCloudUnits(t *testing.T) {
	for name, cell := range map[string]string{"cloud_okta": "4", "cloud_cover_oktas": "4", "sky_cover_tenths": "5", "cloud_pct": "50", "cloud": "50", "cloud_fraction": "0.5"} {
		s, err := columns.Read("a.csv", strings.NewReader("time,temp_c,rh,"+name+"\n2021-01-01T00:00:00Z,5,70,"+cell+"\n2021-01-01T01:00:00Z,5,70,"+cell+"\n"), columns.Options{})
		if err != nil || len(s.Records) == 0 || s.Records[0].Cloud.V != 0.5 {
			t.Errorf("%s: %v, %+v", name, err, s.Records)
		}
	}
}
