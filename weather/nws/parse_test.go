package nws

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/fetch"
)

const samples = "../../testdata/weather/nws/"

func sample(t testing.TB, name string) []byte {
	t.Helper()
	body, err := os.ReadFile(samples + name)
	if err != nil {
		t.Fatal(err)
	}
	return body
}

func parse(t *testing.T, body []byte) weather.Series {
	t.Helper()
	s, err := Parse(body)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func about(v weather.Value, want float64, tag weather.Tag) bool {
	return v.Tag == tag && math.Abs(v.V-want) < 1e-9
}

func saturation(t float64) float64 { return float64(psychro.SaturationWater(psychro.Celsius(t))) }

// The figures are read off the file: see its SOURCES.md.
func TestParse(t *testing.T) {
	s := parse(t, sample(t, "detailed_forecast.json"))
	if s.Source != Name || s.Credit != Credit || !s.Issued.Equal(time.Date(2022, 2, 4, 3, 15, 41, 0, time.UTC)) ||
		math.Abs(s.Grid.Lat-30.018) > 0.002 || math.Abs(s.Grid.Lon+84.980) > 0.002 || s.Grid.Altitude != 3.9624 {
		t.Errorf("%s, %s, %v, %+v", s.Source, s.Credit, s.Issued, s.Grid)
	}
	start := time.Date(2022, 2, 3, 21, 0, 0, 0, time.UTC)
	if len(s.Records) != 181 { // temperature has 182 hours, humidity 181
		t.Fatalf("%d records", len(s.Records))
	}
	known := map[string]int{}
	for i, r := range s.Records {
		if !r.Time.Equal(start.Add(time.Duration(i)*time.Hour)) || r.Time.Location() != time.UTC || r.Span != time.Hour {
			t.Fatalf("record %d at %v for %v", i, r.Time, r.Span)
		}
		for name, v := range map[string]weather.Value{"T": r.Temperature, "e": r.Vapour, "wind": r.Wind, "gust": r.Gust, "cloud": r.Cloud, "chance": r.RainChance, "rain": r.Rain} {
			if v.Known() {
				known[name]++
			}
		}
	}
	if want := map[string]int{"T": 181, "e": 181, "wind": 181, "gust": 181, "cloud": 181, "chance": 181, "rain": 159}; fmt.Sprint(known) != fmt.Sprint(want) {
		t.Errorf("known %v, want %v", known, want)
	}
	r := s.Records[4] // 01:00: T from PT10H, dew point from PT5H, wind from 23:00 on
	if !about(r.Temperature, 18.88888888888889, weather.Forecast) || !about(r.Vapour, saturation(17.77777777777778), weather.Forecast) ||
		!about(s.Records[0].Wind, 20.372/3.6, weather.Forecast) || !about(s.Records[1].Gust, 29.632/3.6, weather.Forecast) || !about(s.Records[0].Cloud, .71, weather.Forecast) ||
		!about(s.Records[1].WindFrom, 170, weather.Forecast) || !about(s.Records[2].RainChance, .08, weather.Forecast) || r.Pressure.Known() {
		t.Errorf("%+v", r)
	}
}

func TestParsePoint(t *testing.T) {
	p, err := ParsePoint(sample(t, "points.json"))
	if want := (Point{"TAE", 58, 65, "America/New_York"}); err != nil || p != want {
		t.Errorf("%+v %v", p, err)
	}
	if p, err = ParsePoint([]byte(`{"properties":{"gridId":"TAE","gridX":"58","gridY":"65"}}`)); err != nil || p != (Point{"TAE", 58, 65, ""}) {
		t.Errorf("%+v %v", p, err)
	}
	for _, body := range []string{`{}`, `{"properties":{"gridId":"../..","gridX":1,"gridY":1}}`, `{"properties":{"gridId":"TAE","gridX":1.5,"gridY":1}}`,
		`{"properties":{"gridId":"TAE","gridX":null,"gridY":1}}`, `{"properties":{"gridId":"TAE","gridX":-1,"gridY":1}}`, `{"properties":{"gridId":5}}`} {
		_, err := ParsePoint([]byte(body))
		var fault *fetch.DecodeError
		if !errors.As(err, &fault) {
			t.Errorf("%s: %v", body, err)
		}
	}
}

func TestDuration(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"PT1H": time.Hour, "P1DT6H": 30 * time.Hour, "P7DT14H": 182 * time.Hour, "P2D": 48 * time.Hour, "P1W": 168 * time.Hour,
		"PT90M": 90 * time.Minute, "PT1H30M5S": 90*time.Minute + 5*time.Second, "P31D": 744 * time.Hour,
	} {
		if got, err := duration(text); err != nil || got != want {
			t.Errorf("%s: %v %v", text, got, err)
		}
	}
	for _, text := range []string{"", "P", "PT", "P1DT", "1H", "P1H", "PT1D", "PT0S", "P0D", "P1M", "P1Y", "PT1.5H", "PT-1H", "-PT1H", "PT1H ", "pt1h", "PT1M1H", "P32D", "PT99999999999999999999H", "P99999W"} {
		if got, err := duration(text); err == nil {
			t.Errorf("%q is %v", text, got)
		}
	}
}

func FuzzDuration(f *testing.F) {
	for _, s := range []string{"PT1H", "P1DT6H", "P7DT14H", "P1W", "PT1H30M5S", "PT", "P1M"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := duration(s)
		if err != nil {
			return
		}
		if d < time.Second || d > maxDuration || s[0] != 'P' {
			t.Fatalf("%q is %v", s, d)
		}
		if again, err := duration(fmt.Sprintf("PT%dS", int(d.Seconds()))); err != nil || again != d {
			t.Fatalf("%q is %v, and in seconds %v (%v)", s, d, again, err)
		}
	})
}

// start is some midnight.
var start = time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC)

// Spread over hours, totals stay; repeated over hours, levels are those that hold.
func TestExpansion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := start.Add(time.Duration(rapid.IntRange(0, 3600).Draw(t, "offset")) * time.Second)
		var in []interval
		var total float64
		for range rapid.IntRange(1, 20).Draw(t, "n") {
			at = at.Add(time.Duration(rapid.SampledFrom([]int{0, 0, 0, 3600, 1234}).Draw(t, "gap")) * time.Second)
			to := at.Add(time.Duration(rapid.SampledFrom([]int{3600, 6 * 3600, 1800, 777, 30 * 3600}).Draw(t, "length")) * time.Second)
			v := rapid.Float64Range(0, 50).Draw(t, "v")
			in = append(in, interval{at, to, v})
			total += v
			at = to
		}
		var sum float64
		for h, a := range amounts(in) {
			if h != h.Truncate(time.Hour) {
				t.Fatalf("%v is no hour", h)
			}
			sum += a.value
		}
		if math.Abs(sum-total) > 1e-9*math.Max(1, total) {
			t.Fatalf("%g mm of %g", sum, total)
		}
		got := levels(in)
		for h := start; h.Before(at.Add(time.Hour)); h = h.Add(time.Hour) {
			want, there := 0., false
			for _, v := range in {
				if !h.Before(v.from) && h.Before(v.to) {
					want, there = v.value, true
				}
			}
			if v, ok := got[h]; ok != there || v != want {
				t.Fatalf("%v: %g %t, want %g %t", h, v, ok, want, there)
			}
		}
	})
}

// The rain of the recorded answer, added up, is that of its intervals.
func TestRainTotal(t *testing.T) {
	body := strings.Replace(string(sample(t, "detailed_forecast.json")), `"quantitativePrecipitation": {`, `"quantitativePrecipitation": {"uom": "wmoUnit:mm", "values": [
		{"validTime": "2022-02-04T00:00:00+00:00/PT6H", "value": 7.5},
		{"validTime": "2022-02-04T06:00:00+00:00/P1DT6H", "value": null},
		{"validTime": "2022-02-05T14:00:00+02:00/PT1H", "value": 2}]}, "unread": {`, 1)
	var sum float64
	hours := ""
	for i, r := range parse(t, []byte(body)).Records {
		if r.Rain.Known() {
			sum += r.Rain.V * r.Span.Hours()
			hours += fmt.Sprintf("%d:%g %v ", i, r.Rain.V, r.Rain.Tag)
		}
	}
	if want := "3:1.25 coarse 4:1.25 coarse 5:1.25 coarse 6:1.25 coarse 7:1.25 coarse 8:1.25 coarse 39:2 forecast "; sum != 9.5 || hours != want {
		t.Errorf("%g mm, %s", sum, hours)
	}
}

// doc is a small answer of the layers given.
func doc(layers string) []byte {
	return []byte(`{"geometry":null,"properties":{"updateTime":"2026-04-14T04:52:10+00:00","elevation":{"unitCode":"unit:m","value":100},` + layers + `}}`)
}

// of is a layer in a unit.
func of(name, uom string, values ...string) string {
	var list []string
	for i := 0; i+1 < len(values); i += 2 {
		list = append(list, fmt.Sprintf(`{"validTime":"%s","value":%s}`, values[i], values[i+1]))
	}
	return fmt.Sprintf(`"%s":{"uom":"%s","values":[%s]}`, name, uom, strings.Join(list, ","))
}

const hour0 = "2026-04-14T05:00:00+00:00/PT1H"

func TestFault(t *testing.T) {
	air, damp := of("temperature", "wmoUnit:degC", hour0, "5"), of("relativeHumidity", "wmoUnit:percent", hour0, "80")
	for name, row := range map[string]struct {
		body  []byte
		words string
	}{
		"unit unknown":        {doc(of("temperature", "wmoUnit:rankine", hour0, "5") + "," + damp), `at temperature.values[0]: the unit "wmoUnit:rankine" of its temperature is not known, and is not guessed`},
		"unit missing":        {doc(`"temperature":{"values":[{"validTime":"` + hour0 + `","value":5}]},` + damp), `at temperature.values[0]: the unit "" of its temperature is not known, and is not guessed`},
		"F said C":            {doc(of("temperature", "wmoUnit:degC", hour0, "78") + "," + damp), `at temperature.values[0]: a temperature of 78 C cannot be`},
		"all null":            {doc(of("temperature", "wmoUnit:degC", hour0, "null") + "," + damp), `: no hour has both temperature and humidity`},
		"no humidity":         {doc(air), `: no hour has both temperature and humidity`},
		"never at once":       {doc(air + "," + of("dewpoint", "wmoUnit:degC", "2026-04-14T06:00:00+00:00/PT1H", "1")), `: no hour has both temperature and humidity`},
		"overlap":             {doc(of("temperature", "wmoUnit:degC", "2026-04-14T05:00:00+00:00/PT2H", "5", "2026-04-14T06:00:00+00:00/PT1H", "6") + "," + damp), `at temperature: two of its intervals overlap`},
		"wind in words":       {doc(air + "," + damp + "," + of("windSpeed", "wmoUnit:km_h-1", hour0, `"6 to 10 mph"`)), `at windSpeed: expected intervals with a number each`},
		"no duration":         {doc(of("temperature", "wmoUnit:degC", "2026-04-14T05:00:00+00:00", "5") + "," + damp), `at temperature.values[0]: expected a duration as PT1H or P1DT6H, found ""`},
		"months":              {doc(of("temperature", "wmoUnit:degC", "2026-04-14T05:00:00+00:00/P1M", "5") + "," + damp), `at temperature.values[0]: expected a duration as PT1H or P1DT6H, found "P1M"`},
		"no start":            {doc(of("temperature", "wmoUnit:degC", "NOW/PT1H", "5") + "," + damp), `at temperature.values[0]: expected start/duration, found "NOW/PT1H"`},
		"years":               {doc(of("temperature", "wmoUnit:degC", hour0, "5", "2031-04-14T05:00:00+00:00/PT1H", "6") + "," + damp), `at temperature: it spans more than two months, which no forecast does`},
		"height unknown unit": {[]byte(strings.Replace(string(doc(air+","+damp)), "unit:m", "unit:fathom", 1)), `at elevation: the unit "unit:fathom" of its height is not known, and is not guessed`},
		"not issued":          {[]byte(strings.Replace(string(doc(air+","+damp)), "updateTime", "made", 1)), `at updateTime: expected a time as 2026-04-14T06:00:00+00:00`},
		"problem with 200":    {[]byte(`{"title":"Unexpected Problem","status":500}`), `at updateTime: expected a time as 2026-04-14T06:00:00+00:00`},
		"junk behind":         {append(doc(air+","+damp), "<html>"...), fmt.Sprintf(`: something follows its end, at byte %d`, len(doc(air+","+damp)))},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Parse(row.body)
			var fault *fetch.DecodeError
			if !errors.As(err, &fault) || !strings.HasSuffix(fault.Words(), row.words) {
				t.Fatalf("%v, want %s", err, row.words)
			}
			t.Log(fault.Words())
		})
	}
}

// Units mixed in one answer, numbers as strings, old and bare unit names, a cell without corners.
func TestTolerated(t *testing.T) {
	s := parse(t, doc(strings.Join([]string{
		of("temperature", "unit:degF", "2026-04-14T07:00:00+02:00/PT2H", `"50"`), of("dewpoint", "Cel", hour0, "5", "2026-04-14T06:00:00+00:00/PT1H", "null"),
		of("relativeHumidity", "nwsUnit:percent", "2026-04-14T06:00:00+00:00/PT1H", "103"), of("windSpeed", "wmoUnit:m_s-1", hour0, "3"), `"pressure":{"values":[]}`}, ",")))
	if len(s.Records) != 2 || s.Grid != nil || !s.Records[0].Time.Equal(time.Date(2026, 4, 14, 5, 0, 0, 0, time.UTC)) {
		t.Fatalf("%+v", s)
	}
	a, b := s.Records[0], s.Records[1]
	if !about(a.Temperature, 10, weather.Forecast) || !about(a.Vapour, saturation(5), weather.Forecast) || !about(a.Wind, 3, weather.Forecast) ||
		!about(b.Temperature, 10, weather.Forecast) || math.Abs(b.Vapour.V-saturation(10)) > 1e-9 || b.Wind.Known() {
		t.Errorf("%+v %+v", a, b)
	}
}

// Humidity that cannot be is left out and said; the hour keeps the rest.
func TestDropped(t *testing.T) {
	const two = "2026-04-14T05:00:00+00:00/PT2H"
	s := parse(t, doc(strings.Join([]string{of("temperature", "wmoUnit:degC", two, "5"),
		of("dewpoint", "wmoUnit:degC", hour0, "9", "2026-04-14T06:00:00+00:00/PT1H", "4")}, ",")))
	if len(s.Records) != 1 || len(s.Notes) != 1 || s.Notes[0] != "1 value left out: humidity that cannot be (2026-04-14 05:00Z: dew point 9 C is outside -90 to 5 C)" {
		t.Errorf("%q, %+v", s.Notes, s.Records)
	}
}

func TestPrefix(t *testing.T) {
	body := sample(t, "detailed_forecast.json")
	whole := parse(t, body)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, len(body)).Draw(t, "bytes")
		s, err := Parse(body[:n])
		if err == nil && len(s.Records) != len(whole.Records) {
			t.Fatalf("%d bytes make %d records", n, len(s.Records))
		}
	})
}

// A null for a temperature leaves its hours without one, and no others: none becomes zero.
func TestNulls(t *testing.T) {
	body := string(sample(t, "detailed_forecast.json"))
	head, rest, _ := strings.Cut(body, `"temperature": {`)
	layer, tail, _ := strings.Cut(rest, `"dewpoint": {`)
	parts := strings.Split(layer, `"value": `) // the time of a value is at the end of the part before it
	when := regexp.MustCompile(`"([^"/]+)/([^"]+)",\s*$`)
	whole := parse(t, []byte(body))
	rapid.Check(t, func(t *rapid.T) {
		changed := append([]string{}, parts...)
		gone := map[time.Time]bool{}
		for range rapid.IntRange(1, 20).Draw(t, "n") {
			i := rapid.IntRange(1, len(parts)-1).Draw(t, "interval")
			changed[i] = "null" + parts[i][strings.IndexAny(parts[i], "\n\r }"):]
			m := when.FindStringSubmatch(parts[i-1])
			from, err := time.Parse(time.RFC3339, m[1])
			if err != nil {
				t.Fatal(err)
			}
			d, err := duration(m[2])
			if err != nil {
				t.Fatal(err)
			}
			for h := from.UTC(); h.Before(from.Add(d)); h = h.Add(time.Hour) {
				gone[h] = true
			}
		}
		s, err := Parse([]byte(head + `"temperature": {` + strings.Join(changed, `"value": `) + `"dewpoint": {` + tail))
		if err != nil {
			t.Fatal(err)
		}
		sound(t, s)
		left := map[time.Time]weather.Value{}
		for _, r := range s.Records {
			left[r.Time] = r.Temperature
		}
		for _, r := range whole.Records {
			if got := left[r.Time]; (gone[r.Time] && got.Known()) || (!gone[r.Time] && got != r.Temperature) {
				t.Fatalf("%v: %v, was %v", r.Time, got, r.Temperature)
			}
		}
	})
}

type failer interface{ Fatalf(string, ...any) }

// sound are the rules every series keeps.
func sound(t failer, s weather.Series) {
	for i, r := range s.Records {
		if i > 0 && r.Time.Sub(s.Records[i-1].Time) != time.Hour {
			t.Fatalf("record %d is not an hour on", i)
		}
		for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.Gust, r.WindFrom, r.Cloud, r.Rain, r.RainChance} {
			if math.IsNaN(v.V) || math.IsInf(v.V, 0) || (!v.Known() && v.V != 0) {
				t.Fatalf("record %d: %+v", i, r)
			}
		}
		if r.Vapour.Known() && (r.Vapour.V <= 0 || r.Vapour.V > saturation(r.Temperature.V)*(1+1e-9)) {
			t.Fatalf("record %d: vapour pressure %g Pa at %g C", i, r.Vapour.V, r.Temperature.V)
		}
	}
	if n := len(s.Records); n == 0 || !s.Records[n-1].Temperature.Known() || !s.Records[n-1].Vapour.Known() || s.Issued.IsZero() {
		t.Fatalf("%d records, issued %v", n, s.Issued)
	}
}

func FuzzParse(f *testing.F) {
	files, err := filepath.Glob(samples + "*.json")
	if err != nil || len(files) != 7 {
		f.Fatal(files, err)
	}
	for _, file := range files {
		f.Add(sample(f, filepath.Base(file)))
	}
	f.Add(doc(of("temperature", "wmoUnit:degC", hour0, "5", "2026-04-14T06:00:00+00:00/P1DT6H", `"6"`) + "," + of("relativeHumidity", "wmoUnit:percent", hour0, "80")))
	f.Fuzz(func(t *testing.T, body []byte) {
		var fault *fetch.DecodeError
		if _, err := ParsePoint(body); err != nil && !errors.As(err, &fault) {
			t.Fatalf("%T %v", err, err)
		}
		s, err := Parse(body)
		if err != nil {
			if !errors.As(err, &fault) {
				t.Fatalf("%T %v", err, err)
			}
			return
		}
		sound(t, s)
	})
}

func BenchmarkParse(b *testing.B) {
	body := sample(b, "detailed_forecast.json")
	b.SetBytes(int64(len(body)))
	for b.Loop() {
		if _, err := Parse(body); err != nil {
			b.Fatal(err)
		}
	}
}
