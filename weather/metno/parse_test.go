package metno_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/fetch"
	"limeday/weather/metno"
)

var place = weather.Place{Name: "Yard", Lat: 54.1234567, Lon: -7.654321, Altitude: 85}

const sampleFile = "../../testdata/weather/metno/complete.json"

func sample(t testing.TB) []byte {
	t.Helper()
	body, err := os.ReadFile(sampleFile)
	if err != nil {
		t.Fatal(err)
	}
	return body
}

func parse(t *testing.T, body []byte) weather.Series {
	t.Helper()
	s, err := metno.Parse(body, place)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func about(v weather.Value, want float64, tag weather.Tag) bool {
	return v.Tag == tag && math.Abs(v.V-want) < 1e-9
}

func saturation(t float64) float64 { return float64(psychro.SaturationWater(psychro.Celsius(t))) }

func TestParse(t *testing.T) {
	s := parse(t, sample(t))
	if s.Source != "MET Norway" || !strings.HasPrefix(s.Credit, "Data from MET Norway") || !s.Issued.Equal(time.Date(2026, 4, 14, 4, 52, 10, 0, time.UTC)) ||
		*s.Grid != (weather.Place{Lat: 54.12, Lon: -7.65, Altitude: 85}) {
		t.Errorf("%+v, grid %+v", s, s.Grid)
	}
	// Hour 168 has no humidity: the forecast ends at hour 162, with every hour before it.
	start := time.Date(2026, 4, 14, 5, 0, 0, 0, time.UTC)
	if len(s.Records) != 163 {
		t.Fatalf("%d records", len(s.Records))
	}
	for i, r := range s.Records {
		if !r.Time.Equal(start.Add(time.Duration(i)*time.Hour)) || r.Time.Location() != time.UTC {
			t.Fatalf("record %d at %v", i, r.Time)
		}
		want := weather.Forecast
		if i >= 48 {
			want = weather.Coarse
		}
		if i != 9 && r.Temperature.Tag != want {
			t.Errorf("hour %d is %v", i, r.Temperature.Tag)
		}
		if r.Gust.Known() != (i <= 48) {
			t.Errorf("hour %d: gust %v", i, r.Gust)
		}
	}
	r := s.Records[1]
	station := float64(psychro.StationPressure(101420, psychro.GeopotentialAltitude(85), 5.5))
	if !about(r.Temperature, 5.5, weather.Forecast) || !about(r.Vapour, saturation(4.4), weather.Forecast) || !about(r.Wind, 3.8, weather.Forecast) ||
		!about(r.WindFrom, 202.7, weather.Forecast) || !about(r.Cloud, .579, weather.Forecast) || !about(r.TempLow, 5.2, weather.Forecast) ||
		!about(r.TempHigh, 5.8, weather.Forecast) || !about(r.Pressure, station, weather.Estimated) || !about(r.Rain, 0, weather.Forecast) || r.Span != time.Hour || r.Global.Known() {
		t.Errorf("%+v", r)
	}
	// 85 m are some 10 hPa.
	if d := 101420 - station; d < 1000 || d > 1060 {
		t.Errorf("%g Pa between 85 m and the sea", d)
	}
	if r := s.Records[9]; r.Temperature.Known() || r.Pressure.Known() || !r.Vapour.Known() { // a null, and the dew point beside it
		t.Errorf("hour 9: %+v", r)
	}
}

// Without a dew point, relative humidity over water at the temperature gives
// the same within the rounding of either.
func TestVapourFromHumidity(t *testing.T) {
	with := parse(t, sample(t))
	without := parse(t, []byte(strings.ReplaceAll(string(sample(t)), "dew_point_temperature", "unread")))
	for i, r := range without.Records[:48] {
		if a, b := r.Vapour, with.Records[i].Vapour; a.Known() && math.Abs(a.V/b.V-1) > 0.01 {
			t.Errorf("hour %d: %v from humidity, %v from dew point", i, a, b)
		}
	}
	if with.Records[7].Vapour != without.Records[7].Vapour || !with.Records[7].Vapour.Known() {
		t.Error("hour 7 has no dew point")
	}
}

// Long steps: straight lines in temperature and vapour pressure; rain as it was
// given for the step.
func TestCoarse(t *testing.T) {
	s := parse(t, sample(t))
	a, b := s.Records[54], s.Records[60]
	for i := 1; i < 6; i++ {
		r, x := s.Records[54+i], float64(i)/6
		e := min(a.Vapour.V+x*(b.Vapour.V-a.Vapour.V), saturation(r.Temperature.V))
		if !about(r.Temperature, a.Temperature.V+x*(b.Temperature.V-a.Temperature.V), weather.Coarse) || !about(r.Vapour, e, weather.Coarse) ||
			r.Rain != a.Rain || r.Rain.Tag != weather.Coarse || r.Span != time.Hour {
			t.Errorf("hour %d: %+v", 54+i, r)
		}
	}
	north := doc(
		stampAt(0, `"air_temperature":5,"relative_humidity":80,"wind_from_direction":350`, ""),
		stampAt(6, `"air_temperature":5,"relative_humidity":80,"wind_from_direction":20`, ""))
	for i, want := range []float64{350, 355, 0, 5, 10, 15, 20} {
		if r := parse(t, north).Records[i]; math.Abs(math.Mod(r.WindFrom.V-want+540, 360)-180) > 1e-9 {
			t.Errorf("hour %d: wind from %g, want %g", i, r.WindFrom.V, want)
		}
	}
}

// Rain falls in the hours after its stamp, and its total stays.
func TestRainTotal(t *testing.T) {
	var answer struct {
		Properties struct {
			Timeseries []struct {
				Data map[string]struct{ Details map[string]any }
			}
		}
	}
	if err := json.Unmarshal(sample(t), &answer); err != nil {
		t.Fatal(err)
	}
	var want float64
	for i, s := range answer.Properties.Timeseries {
		window, share := "next_1_hours", 1.
		if i >= 48 {
			window = "next_6_hours"
		}
		if i == 67 { // hour 162, of whose six hours only the first is known
			share = 1. / 6
		}
		if i <= 67 {
			want += share * s.Data[window].Details["precipitation_amount"].(float64)
		}
	}
	var got float64
	for _, r := range parse(t, sample(t)).Records {
		got += r.Rain.V * r.Span.Hours()
	}
	if math.Abs(got-want) > 1e-9 || want < 5 {
		t.Errorf("%g mm, want %g", got, want)
	}
}

// Which window of rain is taken.
func TestRainWindow(t *testing.T) {
	const air = `"air_temperature":5,"relative_humidity":80`
	w := func(hours, mm string) string {
		return `,"next_` + hours + `_hours":{"details":{"precipitation_amount":` + mm + `}}`
	}
	for name, row := range map[string]struct {
		step  int
		next  string
		rain  []float64 // by hour; -1: missing
		first weather.Tag
	}{
		"as long as the step":       {6, w("1", "3") + w("6", "6"), []float64{1, 1, 1, 1, 1, 1}, weather.Coarse},
		"hourly":                    {1, w("1", "3") + w("6", "6"), []float64{3}, weather.Forecast},
		"longer than the step":      {1, w("6", "6") + w("12", "24"), []float64{1}, weather.Coarse},
		"shorter than the step":     {6, w("1", "3"), []float64{3, -1, -1, -1, -1, -1}, weather.Forecast},
		"null in the one that fits": {6, w("1", "3") + w("6", "null"), []float64{3, -1, -1, -1, -1, -1}, weather.Forecast},
		"none":                      {1, "", []float64{-1}, weather.Missing},
	} {
		s := parse(t, doc(stampAt(0, air, row.next), stampAt(row.step, air, "")))
		if s.Records[0].Rain.Tag != row.first {
			t.Errorf("%s: %v", name, s.Records[0].Rain.Tag)
		}
		for i, want := range row.rain {
			if r := s.Records[i].Rain; r.Known() != (want >= 0) || (want >= 0 && r.V != want) {
				t.Errorf("%s, hour %d: %v, want %g", name, i, r, want)
			}
		}
	}
}

func stampAt(hour int, details, next string) string {
	at := time.Date(2026, 4, 14, hour, 0, 0, 0, time.UTC).Format(time.RFC3339)
	return `{"time":"` + at + `","data":{"instant":{"details":{` + details + `}}` + next + `}}`
}

const units = `"air_temperature":"celsius","dew_point_temperature":"celsius","relative_humidity":"%","wind_speed":"m/s","wind_from_direction":"degrees","precipitation_amount":"mm"`

func docIn(units string, stamps ...string) []byte {
	return []byte(`{"geometry":{"coordinates":[-7.65,54.12,85]},"properties":{"meta":{"updated_at":"2026-04-14T04:52:10Z","units":{` + units +
		`}},"timeseries":[` + strings.Join(stamps, ",") + `]}}`)
}

func doc(stamps ...string) []byte { return docIn(units, stamps...) }

// Each fault of an answer is refused, and the words say where.
func TestFault(t *testing.T) {
	const air = `"air_temperature":5,"relative_humidity":80`
	for name, row := range map[string]struct {
		body  []byte
		words string
	}{
		"unit unknown":        {docIn(`"air_temperature":"rankine","relative_humidity":"%"`, stampAt(0, air, "")), `at timeseries[0].air_temperature: the unit "rankine" of its temperature is not known, and is not guessed`},
		"unit missing":        {docIn(`"air_temperature":"celsius"`, stampAt(0, air, "")), `at timeseries[0].relative_humidity: the unit "" of its relative humidity is not known, and is not guessed`},
		"kelvin said Celsius": {doc(stampAt(0, `"air_temperature":288,"relative_humidity":80`, "")), `at timeseries[0].air_temperature: a temperature of 288 C cannot be`},
		"all null":            {doc(stampAt(0, `"air_temperature":null,"relative_humidity":80`, "")), `at timeseries: no hour has both temperature and humidity`},
		"no humidity":         {doc(stampAt(0, `"air_temperature":5`, "")), `at timeseries: no hour has both temperature and humidity`},
		"no stamps":           {doc(), `at timeseries: no hour has both temperature and humidity`},
		"text":                {doc(stampAt(0, `"air_temperature":"mild","relative_humidity":80`, "")), `at timeseries[0].air_temperature: expected a number, found "\"mild\""`},
		"out of order":        {doc(stampAt(1, air, ""), stampAt(0, air, "")), `at timeseries[1].time: its times are out of order`},
		"twice":               {doc(stampAt(1, air, ""), stampAt(1, air, "")), `at timeseries[1].time: its times are out of order`},
		"no time":             {doc(strings.Replace(stampAt(0, air, ""), "2026-04-14T", "", 1)), `at timeseries[0].time: expected a time, found "00:00:00Z"`},
		"not issued":          {[]byte(strings.Replace(string(doc(stampAt(0, air, ""))), "updated_at", "made", 1)), `at meta.updated_at: expected a time as 2026-04-14T06:00:00Z`},
		"another kind":        {[]byte(`{"properties":[]}`), `at properties: expected another kind of value than array`},
		"junk behind":         {append(doc(stampAt(0, air, "")), "Unexpected error"...), fmt.Sprintf(": something follows its end, at byte %d", len(doc(stampAt(0, air, ""))))},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := metno.Parse(row.body, place)
			var fault *fetch.DecodeError
			if !errors.As(err, &fault) || !strings.HasSuffix(fault.Words(), row.words) {
				t.Fatalf("%v, want %s", err, row.words)
			}
			t.Log(fault.Words())
		})
	}
}

// Units are as stated, numbers may be strings, altitude may be unknown.
func TestTolerated(t *testing.T) {
	body := docIn(`"air_temperature":"fahrenheit","relative_humidity":"%","wind_speed":"km/h","air_pressure_at_sea_level":"hPa"`,
		stampAt(0, `"air_temperature":"50","relative_humidity":104,"wind_speed":36,"air_pressure_at_sea_level":1013.25,"new":{"a":[]}`, ""))
	s, err := metno.Parse(body, weather.Place{Altitude: math.NaN()})
	if err != nil {
		t.Fatal(err)
	}
	r := s.Records[0]
	if !about(r.Temperature, 10, weather.Forecast) || !about(r.Vapour, saturation(10), weather.Forecast) || !about(r.Wind, 10, weather.Forecast) ||
		math.Abs(r.Pressure.V-float64(psychro.StationPressure(101325, psychro.GeopotentialAltitude(85), 10))) > 1e-9 { // the answer's own altitude
		t.Errorf("%+v", r)
	}
	body = []byte(strings.Replace(string(body), `"coordinates":[-7.65,54.12,85]`, `"coordinates":[-7.65,54.12]`, 1))
	if s, err = metno.Parse(body, weather.Place{Altitude: math.NaN()}); err != nil || s.Records[0].Pressure.Known() || !math.IsNaN(s.Grid.Altitude) {
		t.Errorf("%v: a pressure at no altitude: %+v", err, s.Records[0])
	}
}

// Humidity that cannot be is left out and said; the hour keeps the rest.
func TestDropped(t *testing.T) {
	for name, row := range map[string]struct{ details, note string }{
		"dew above air": {`"air_temperature":5,"dew_point_temperature":9`, "1 value left out: humidity that cannot be (2026-04-14 05:00Z: dew point 9 C is outside -90 to 5 C)"},
		"no vapour":     {`"air_temperature":5,"relative_humidity":0`, "1 value left out: humidity that cannot be (2026-04-14 05:00Z: relative humidity 0 % is outside 0.5 to 105 %)"},
	} {
		s := parse(t, doc(stampAt(5, row.details, ""), stampAt(6, `"air_temperature":6,"relative_humidity":80`, "")))
		if len(s.Notes) != 1 || s.Notes[0] != row.note || s.Records[0].Vapour.Known() || !about(s.Records[0].Temperature, 5, weather.Forecast) {
			t.Errorf("%s: %q, %+v", name, s.Notes, s.Records[0])
		}
	}
}

// Any beginning of an answer is refused, or is the answer.
func TestPrefix(t *testing.T) {
	body := sample(t)
	whole := parse(t, body)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, len(body)).Draw(t, "bytes")
		s, err := metno.Parse(body[:n], place)
		if err == nil && len(s.Records) != len(whole.Records) {
			t.Fatalf("%d bytes make %d records", n, len(s.Records))
		}
	})
}

// A null anywhere takes away what it stands for and nothing else, and is never a zero.
func TestNulls(t *testing.T) {
	whole := parse(t, sample(t))
	lines := strings.Split(string(sample(t)), "\n")
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"air_temperature", "wind_speed", "cloud_area_fraction"}).Draw(t, "name")
		gone := map[int]bool{}
		for range rapid.IntRange(1, 6).Draw(t, "n") {
			gone[rapid.IntRange(0, 47).Draw(t, "hour")] = true
		}
		changed := append([]string{}, lines...)
		for hour := range gone {
			before, after, _ := strings.Cut(changed[hour+1], `"`+name+`":`)
			changed[hour+1] = before + `"` + name + `":null` + after[strings.IndexByte(after, ','):]
		}
		s, err := metno.Parse([]byte(strings.Join(changed, "\n")), place)
		if err != nil {
			t.Fatal(err)
		}
		pick := func(r weather.Record) weather.Value {
			return map[string]weather.Value{"air_temperature": r.Temperature, "wind_speed": r.Wind, "cloud_area_fraction": r.Cloud}[name]
		}
		for i, r := range s.Records {
			if got, was := pick(r), pick(whole.Records[i]); (gone[i] && got.Known()) || (!gone[i] && got != was) {
				t.Fatalf("hour %d: %v, was %v", i, got, was)
			}
		}
	})
}

// sound are the rules every series keeps.
func sound(t *testing.T, s weather.Series) {
	for i, r := range s.Records {
		if i > 0 && !r.Time.After(s.Records[i-1].Time) {
			t.Fatalf("record %d out of order", i)
		}
		for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.Gust, r.WindFrom, r.Cloud, r.Rain, r.RainChance, r.TempLow, r.TempHigh} {
			if math.IsNaN(v.V) || math.IsInf(v.V, 0) || (!v.Known() && v.V != 0) {
				t.Fatalf("record %d: %+v", i, r)
			}
		}
		if r.Temperature.Known() && r.Vapour.Known() && (r.Vapour.V <= 0 || r.Vapour.V > saturation(r.Temperature.V)*(1+1e-9)) {
			t.Fatalf("record %d: vapour pressure %g Pa at %g C", i, r.Vapour.V, r.Temperature.V)
		}
	}
	if n := len(s.Records); n == 0 || !s.Records[n-1].Temperature.Known() || !s.Records[n-1].Vapour.Known() || s.Issued.IsZero() {
		t.Fatalf("%d records, issued %v", n, s.Issued)
	}
}

func FuzzParse(f *testing.F) {
	f.Add(sample(f))
	f.Add(doc(stampAt(0, `"air_temperature":5,"relative_humidity":80`, ""), stampAt(6, `"air_temperature":"7","dew_point_temperature":null,"relative_humidity":80`, "")))
	f.Add([]byte(`{"properties":null}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		s, err := metno.Parse(body, place)
		var fault *fetch.DecodeError
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
	body := sample(b)
	b.SetBytes(int64(len(body)))
	for b.Loop() {
		if _, err := metno.Parse(body, place); err != nil {
			b.Fatal(err)
		}
	}
}
