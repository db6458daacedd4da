package epw_test

import (
	"bytes"
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

	"limeday/weather"
	"limeday/weather/epw"
)

func sample(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "epw", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// head is a header as short as can be: zone +5:45.
const head = "LOCATION,Invented,-,NPL,Real,0,27.7,85.3,5.75,1300\n"

// tail are the columns after the pressure, nothing missing.
const tail = ",100,1400,300,500,600,90,50000,60000,9000,8000,270,3.5,6,4,20,77777,9,999999999,12,0.1,3,40,0.2,1.5,1"

// row is an hour.
func row(year, month, day, hour, minute int) string {
	return fmt.Sprintf("%d,%d,%d,%d,%d,?9,15.5,8.25,62,87000%s\n", year, month, day, hour, minute, tail)
}

func read(text string, o epw.Options) (weather.Series, epw.Header, error) {
	return epw.Read("x.epw", strings.NewReader(text), o)
}

func TestSample(t *testing.T) {
	s, h, err := epw.Read("duluth-june.epw", bytes.NewReader(sample(t, "duluth-june.epw")), epw.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if h.City != "Duluth International Arpt" || h.Zone != -6*time.Hour || h.Lat != 46.83 || h.Lon != -92.22 || h.Altitude != 433 || !h.Typical {
		t.Errorf("header: %+v", h)
	}
	if len(h.Ground) != 3 || h.Ground[0].Depth != .5 || h.Ground[0].Month[5] != 11.76 {
		t.Errorf("ground: %+v", h.Ground)
	}
	if len(s.Records) != 721 || len(s.Notes) != 1 || !strings.Contains(s.Notes[0], "typical year, of months from 2001 to 2001") {
		t.Errorf("%d records, notes %q", len(s.Records), s.Notes)
	}
	// The row 2001,6,15,12: the hour from 11 to 12 in UTC-6, that is from 17 UTC.
	from := time.Date(2001, 6, 15, 17, 0, 0, 0, time.UTC)
	for i, r := range s.Records {
		if !r.Time.Equal(from) {
			continue
		}
		if r.Global.V != 886 || r.Direct.V != 643 || r.Diffuse.V != 302 || r.Span != time.Hour || r.Global.Tag != weather.Estimated {
			t.Errorf("the sun from 11 to 12: %+v", r)
		}
		if r := s.Records[i+1]; r.Temperature.V != 18.9 || r.Wind.V != 6.7 || r.Pressure.V != 95400 || r.Cloud.V != .8 || r.Temperature.Tag != weather.Measured {
			t.Errorf("the state at 12: %+v", r)
		}
		return
	}
	t.Error("the hour is not there")
}

// Every column arrives where it belongs.
func TestColumns(t *testing.T) {
	e, err := epw.NewReader("x.epw", strings.NewReader(head+row(2015, 1, 1, 1, 60)), epw.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := e.Next()
	if err != nil {
		t.Fatal(err)
	}
	got := fmt.Sprintln(r.Year, r.Month, r.Day, r.Hour, r.Minute, r.Flags, r.DryBulb.V, r.DewPoint.V, r.RelativeHumidity.V, r.Pressure.V,
		r.ExtraterrestrialGlobal.V, r.ExtraterrestrialDirect.V, r.Infrared.V, r.Global.V, r.Direct.V, r.Diffuse.V, r.GlobalIlluminance.V, r.DirectIlluminance.V,
		r.DiffuseIlluminance.V, r.ZenithLuminance.V, r.WindFrom.V, r.Wind.V, r.Cloud.V, r.OpaqueCloud.V, r.Visibility.V, r.Ceiling.V, r.Observed.Known(), r.PresentWeather,
		r.PrecipitableWater.V, r.AerosolDepth.V, r.SnowDepth.V, r.DaysSinceSnow.V, r.Albedo.V, r.RainDepth.V, r.RainHours.V)
	want := "2015 1 1 1 60 ?9 15.5 8.25 62 87000 100 1400 300 500 600 90 50000 60000 9000 8000 270 3.5 6 4 20 77777 false 999999999 12 0.1 3 40 0.2 1.5 1"
	if strings.TrimSpace(got) != want {
		t.Errorf("columns:\n%s, want\n%s", got, want)
	}
	if _, err := e.Next(); err != io.EOF {
		t.Errorf("after the last row: %v", err)
	}
}

// The codes of the data dictionary, alone and one step below.
func TestMissingCodes(t *testing.T) {
	for _, tc := range []struct {
		column int
		code   string
		below  string
		at     func(epw.Row) weather.Value
	}{
		{7, "99.9", "69", func(r epw.Row) weather.Value { return r.DryBulb }},
		{8, "99.9", "15", func(r epw.Row) weather.Value { return r.DewPoint }},
		{9, "999", "99", func(r epw.Row) weather.Value { return r.RelativeHumidity }},
		{10, "999999", "119999", func(r epw.Row) weather.Value { return r.Pressure }},
		{11, "9999", "9998", func(r epw.Row) weather.Value { return r.ExtraterrestrialGlobal }},
		{12, "9999", "9998", func(r epw.Row) weather.Value { return r.ExtraterrestrialDirect }},
		{13, "9999", "9998", func(r epw.Row) weather.Value { return r.Infrared }},
		{14, "9999", "1500", func(r epw.Row) weather.Value { return r.Global }},
		{15, "9999", "1100", func(r epw.Row) weather.Value { return r.Direct }},
		{16, "9999", "700", func(r epw.Row) weather.Value { return r.Diffuse }},
		{17, "999900", "999899", func(r epw.Row) weather.Value { return r.GlobalIlluminance }},
		{18, "999900", "999899", func(r epw.Row) weather.Value { return r.DirectIlluminance }},
		{19, "999900", "999899", func(r epw.Row) weather.Value { return r.DiffuseIlluminance }},
		{20, "9999", "9998", func(r epw.Row) weather.Value { return r.ZenithLuminance }},
		{21, "999", "360", func(r epw.Row) weather.Value { return r.WindFrom }},
		{22, "999", "40", func(r epw.Row) weather.Value { return r.Wind }},
		{23, "99", "10", func(r epw.Row) weather.Value { return r.Cloud }},
		{24, "99", "10", func(r epw.Row) weather.Value { return r.OpaqueCloud }},
		{25, "9999", "9998", func(r epw.Row) weather.Value { return r.Visibility }},
		{26, "99999", "88888", func(r epw.Row) weather.Value { return r.Ceiling }},
		{27, "9", "0", func(r epw.Row) weather.Value { return r.Observed }},
		{29, "999", "998", func(r epw.Row) weather.Value { return r.PrecipitableWater }},
		{30, "0.999", ".998", func(r epw.Row) weather.Value { return r.AerosolDepth }},
		{31, "999", "998", func(r epw.Row) weather.Value { return r.SnowDepth }},
		{32, "99", "98", func(r epw.Row) weather.Value { return r.DaysSinceSnow }},
		{33, "999.000", "0.9", func(r epw.Row) weather.Value { return r.Albedo }},
		{34, "999.0", "98", func(r epw.Row) weather.Value { return r.RainDepth }},
		{35, "99.0", "24", func(r epw.Row) weather.Value { return r.RainHours }},
	} {
		for _, cell := range []string{tc.code, "", tc.below} {
			cells := strings.Split(strings.TrimSpace(row(2015, 1, 1, 1, 0)), ",")
			cells[tc.column-1] = cell
			e, err := epw.NewReader("x.epw", strings.NewReader(head+strings.Join(cells, ",")+"\n"), epw.Options{})
			if err != nil {
				t.Fatal(err)
			}
			r, err := e.Next()
			if err != nil {
				t.Errorf("column %d = %q: %v", tc.column, cell, err)
				continue
			}
			if v := tc.at(r); v.Known() != (cell == tc.below) || !v.Known() && v.V != 0 {
				t.Errorf("column %d = %q is %v", tc.column, cell, v)
			}
		}
	}
}

func TestTimes(t *testing.T) {
	// Hour 24 is the next day's 0:00, in a zone of 5 h 45 min.
	s, _, err := read(head+row(2015, 12, 31, 24, 0), epw.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2015, 12, 31, 18, 15, 0, 0, time.UTC); !s.Records[1].Time.Equal(want) || !s.Records[0].Time.Equal(want.Add(-time.Hour)) {
		t.Errorf("hour 24: %v, %v", s.Records[0].Time, s.Records[1].Time)
	}
	if r := s.Records[0]; r.Temperature.Known() || r.Rain.V != 1.5 || r.Global.V != 500 {
		t.Errorf("the hour's amounts: %+v", r)
	}
	// Standard time all year: the header's daylight saving changes nothing.
	saving := head + "HOLIDAYS/DAYLIGHT SAVINGS,Yes,3/11,11/4,0\n" + row(2015, 7, 1, 12, 0)
	s, h, err := read(saving, epw.Options{})
	if err != nil || !h.LeapYear || !s.Records[1].Time.Equal(time.Date(2015, 7, 1, 6, 15, 0, 0, time.UTC)) {
		t.Errorf("daylight saving: %v, %+v", err, s.Records)
	}
	// Minutes 0 and 60 are one.
	a, _, err1 := read(head+row(2015, 7, 1, 12, 0), epw.Options{})
	b, _, err2 := read(head+row(2015, 7, 1, 12, 60), epw.Options{})
	if err1 != nil || err2 != nil || a.Records[1] != b.Records[1] {
		t.Errorf("minutes 0 and 60: %v, %v", err1, err2)
	}
}

func year(of func(month int) int, leap bool) string {
	var b strings.Builder
	b.WriteString(head)
	days := [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	if leap {
		days[1] = 29
	}
	for m, n := range days {
		for d := range n {
			for h := range 24 {
				b.WriteString(row(of(m+1), m+1, d+1, h+1, 0))
			}
		}
	}
	return b.String()
}

func TestYears(t *testing.T) {
	mixed := func(m int) int { return []int{1977, 2004, 1988}[m%3] } // February of a leap year
	for _, tc := range []struct {
		name    string
		text    string
		o       epw.Options
		first   int
		records int
		typical bool
		refused string
	}{
		{"real", year(func(int) int { return 2015 }, false), epw.Options{}, 2015, 8761, false, ""},
		{"real leap year", year(func(int) int { return 2012 }, true), epw.Options{}, 2012, 8785, false, ""},
		{"typical", year(mixed, false), epw.Options{}, 2001, 8761, true, ""},
		{"typical, dated", year(mixed, false), epw.Options{Year: 2026}, 2026, 8761, true, ""},
		{"typical with 29 February", year(mixed, true), epw.Options{}, 2000, 8785, true, ""},
		{"29 February in no leap year", year(func(int) int { return 2015 }, true), epw.Options{}, 0, 0, false, "there is no such hour"},
		{"over the year's end", head + row(2015, 12, 31, 24, 0) + row(2016, 1, 1, 1, 0), epw.Options{}, 2015, 3, false, ""},
		{"29 February, dated as no leap year", year(mixed, true), epw.Options{Year: 2026}, 0, 0, false, "there is no 29 February in 2026"},
		{"a typical winter", head + row(1999, 11, 30, 24, 0) + row(2005, 12, 1, 1, 0) + row(1980, 1, 1, 1, 0), epw.Options{}, 2001, 5, true, ""},
	} {
		s, h, err := read(tc.text, tc.o)
		if tc.refused != "" {
			if err == nil || !strings.Contains(err.Error(), tc.refused) {
				t.Errorf("%s: %v", tc.name, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		if n := len(s.Records); n != tc.records || h.Typical != tc.typical || s.Records[0].Time.Add(5*time.Hour+45*time.Minute).Year() != tc.first || (len(s.Notes) > 0) != tc.typical {
			t.Errorf("%s: %d records from %v, typical %v, notes %q", tc.name, n, s.Records[1].Time, h.Typical, s.Notes)
		}
		for i := 1; i < len(s.Records); i++ {
			if !s.Records[i].Time.After(s.Records[i-1].Time) {
				t.Fatalf("%s: record %d is out of order", tc.name, i)
			}
		}
	}
}

func TestHeader(t *testing.T) {
	// Latin bytes, quoted names, an 11th field, blank lines, CRLF, a byte order mark.
	text := "\xef\xbb\xbfLOCATION,\"Br\xfcnnhof\",-,DEU,Real,0,47.5,8.5,1.0,500,Cfb\r\n\r\nCOMMENTS 1,gem\xe4ss, wie gesehen\r\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\r\n" +
		strings.ReplaceAll(row(2015, 1, 1, 1, 0), "\n", "\r\n")
	_, h, err := read(text, epw.Options{})
	if err != nil || h.City != "Brünnhof" || h.Comments[0] != "gemäss, wie gesehen" || h.Typical {
		t.Errorf("header: %+v, %v", h, err)
	}
}

func TestCalmRainAndDrops(t *testing.T) {
	line := func(old, new string) string { return strings.Replace(row(2015, 1, 1, 1, 0), old, new, 1) }
	s, _, err := read(head+line(",270,3.5,", ",0,0,"), epw.Options{})
	if err != nil || s.Records[1].WindFrom.Known() || !s.Records[1].Wind.Known() {
		t.Errorf("calm: %+v, %v", s.Records, err)
	}
	s, _, err = read(head+line(",1.5,1\n", ",1.5,6\n"), epw.Options{})
	if err != nil || s.Records[0].Rain.Known() || len(s.Notes) != 1 {
		t.Errorf("six hours of rain: %+v, %v", s, err)
	}
	s, _, err = read(head+line(",15.5,", ",71,"), epw.Options{DropBad: true})
	if err != nil || s.Records[1].Temperature.Known() || !s.Records[1].Vapour.Known() ||
		len(s.Notes) != 1 || s.Notes[0] != "1 value left out: dry bulb out of range (x.epw:2: temperature 71 C is outside -70 to 70 C)" {
		t.Errorf("dropped: %+v, %v", s, err)
	}
}

func TestRefusals(t *testing.T) {
	line := func(old, new string) string { return head + strings.Replace(row(2015, 1, 1, 1, 0), old, new, 1) }
	for _, tc := range []struct{ name, text, want string }{
		{"empty", "", "x.epw: ends before its first row; expected 8 header lines and a row for each hour"},
		{"no rows", head, "x.epw:1: ends before its first row"},
		{"no place", row(2015, 1, 1, 1, 0), "x.epw:1: there is no LOCATION line above the first row"},
		{"other text", "temp,rh\n1,2\n", "x.epw:1: is no header line of an EPW file"},
		{"short place", "LOCATION,a,b\n", "x.epw:1: LOCATION: has 3 fields"},
		{"zone", strings.Replace(head, "5.75", "15", 1), `x.epw:1: LOCATION: the time zone cannot be: "15"`},
		{"NaN for a place", strings.Replace(head, "27.7", "NaN", 1), `the latitude cannot be: "NaN"`},
		{"sub-hourly", head + "DATA PERIODS,1,4,Data,Sunday, 1/ 1,12/31\n", "x.epw:2: DATA PERIODS: there are 4 rows an hour"},
		{"ground", head + "GROUND TEMPERATURES,1,.5,,,,a,2,3,4,5,6,7,8,9,10,11,12\n", "is no temperature of the ground"},
		{"short row", head + "2015,1,1,1,0,?,15\n", "x.epw:2: the row has 7 columns"},
		{"cut off", strings.TrimSuffix(line(",1.5,1\n", ",1.5"), "\n"), "x.epw:2: the file ends within the row, in column 34"},
		{"no number", line("15.5", "15,5x"), `x.epw:2: dew point: is no number: "5x"`},
		{"NaN", line("15.5", "NaN"), `dry bulb: is no number: "NaN"`},
		{"hour 0", head + row(2015, 1, 1, 0, 0), "x.epw:2: the date: there is no such hour"},
		{"hour 25", head + row(2015, 1, 1, 25, 0), "there is no such hour"},
		{"minute 30", head + row(2015, 1, 1, 1, 30), "there is no such hour"},
		{"31 April", head + row(2015, 4, 31, 1, 0), "there is no such hour"},
		{"no date", line("2015,1", "2015,x"), "the date: is no number"},
		{"twice", head + row(2015, 1, 1, 1, 0) + row(2015, 1, 1, 1, 0), "x.epw:3: the date: does not follow line 2"},
		{"back", head + row(2015, 2, 1, 1, 0) + row(2015, 1, 1, 1, 0), "does not follow"},
		{"too hot", line("15.5", "71"), `x.epw:2: dry bulb: temperature 71 C is outside -70 to 70 C: "71"`},
		{"wind", line(",3.5,", ",468,"), "wind 468 m/s is outside 0 to 75 m/s"},
		{"dew point", line("8.25", "16.1"), "x.epw:2: humidity: dew point 16.1 C is outside -90 to 15.5 C"},
		{"long line", head + strings.Repeat("2", 1<<21), "the line is longer than 1 MiB"},
	} {
		_, _, err := read(tc.text, epw.Options{})
		var bad *weather.DataError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v; want %s", tc.name, err, tc.want)
		}
	}
}

// A row whose tail the writer left out counts as missing values.
func TestShortRows(t *testing.T) {
	s, _, err := read(head+"2015,1,1,1,0,?,15.5,8.25,62,87000\n", epw.Options{})
	if err != nil || s.Records[0].Time.Hour() != 19 || !s.Records[0].Temperature.Known() || s.Records[0].Wind.Known() {
		t.Errorf("%+v, %v", s.Records, err)
	}
}

// Any beginning of a file is refused, or gives the beginning of its series.
func TestPrefixes(t *testing.T) {
	data := sample(t, "duluth-june.epw")
	data = data[:bytes.Index(data, []byte("2001,6,3,"))]
	whole, _, err := epw.Read("x", bytes.NewReader(data), epw.Options{})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		s, _, err := epw.Read("x", bytes.NewReader(data[:rapid.IntRange(0, len(data)).Draw(t, "bytes")]), epw.Options{})
		if err != nil {
			return
		}
		n := len(s.Records) - 1 // the last holds the state of a row, and no amounts yet
		for i, r := range s.Records[:n] {
			if r != whole.Records[i] {
				t.Fatalf("record %d is %+v, was %+v", i, r, whole.Records[i])
			}
		}
		if s.Records[n].Temperature != whole.Records[n].Temperature || s.Records[n].Vapour != whole.Records[n].Vapour {
			t.Fatalf("the last is %+v, was %+v", s.Records[n], whole.Records[n])
		}
	})
}

// Whatever the bytes: an answer or a DataError, in order and in range.
func FuzzRead(f *testing.F) {
	data := sample(f, "duluth-june.epw")
	f.Add(data[:bytes.Index(data, []byte("2001,6,2,"))])
	f.Add([]byte(head + row(2015, 12, 31, 24, 60) + row(1999, 1, 1, 1, 0)))
	f.Add([]byte(head + "2015,1,1,1,0,?,99.9,99.9,999,999999\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, drop := range []bool{false, true} {
			s, _, err := epw.Read("x", bytes.NewReader(data), epw.Options{DropBad: drop})
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
				for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.Global, r.Rain} {
					if !v.Known() && v.V != 0 || math.IsNaN(v.V) || math.IsInf(v.V, 0) {
						t.Fatalf("record %d: %+v", i, r)
					}
				}
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	text := year(func(int) int { return 2015 }, false)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := read(text, epw.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
