package power_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/fetch"
	"limeday/weather/power"
)

func sample(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "power", "hours-invented.json"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// units are those that the service states for the community RE.
const units = `"parameters":{"T2M":{"units":"C"},"T2MDEW":{"units":"C"},"RH2M":{"units":"%"},"PS":{"units":"kPa"},"WS10M":{"units":"m/s"},"WD10M":{"units":"Degrees"},` +
	`"PRECTOTCORR":{"units":"mm/hour"},"ALLSKY_SFC_SW_DWN":{"units":"Wh/m^2"}}`

func answer(parameter string) []byte {
	return []byte(`{"properties":{"parameter":{` + parameter + `}},"header":{"fill_value":-999.0,"time_standard":"UTC"},` + units + `}`)
}

func TestSample(t *testing.T) {
	s, err := power.Parse([][]byte{sample(t)})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Records) != 72 || s.Credit != power.Credit || s.Grid == nil || *s.Grid != (weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 430.1}) {
		t.Errorf("%d records, grid %+v", len(s.Records), s.Grid)
	}
	for i, r := range s.Records {
		if want := time.Date(2026, 6, 20, i, 0, 0, 0, time.UTC); !r.Time.Equal(want) || r.Span != time.Hour {
			t.Fatalf("record %d is at %v", i, r.Time)
		}
		// The fill value at hour 30 leaves hours 30 and 31 without a mean on one side; hour 31 has no
		// dew point, but humidity.
		if known := i != 0 && i != 30 && i != 31; r.Temperature.Known() != known || r.Vapour.Known() != known || !known && r.Temperature.V != 0 {
			t.Errorf("hour %d: %+v", i, r)
		}
		if r.Global.Known() != (i < 68) || (r.Rain.V == 1.2) != (i == 59) || r.Rain.Tag != weather.Estimated {
			t.Errorf("hour %d: %+v", i, r)
		}
	}
	if r := s.Records[1]; r.Temperature.Tag != weather.Interpolated || math.Abs(r.Pressure.V-96200) > 1e-6 {
		t.Errorf("hour 1: %+v", r)
	}
	// The wind turns 5 degrees an hour through north: 350, 355, 0.
	if a, b, c := s.Records[1].WindFrom.V, s.Records[2].WindFrom.V, s.Records[3].WindFrom.V; a != 352.5 || b != 357.5 || c != 2.5 {
		t.Errorf("the wind comes from %g, %g, %g", a, b, c)
	}
}

// A mean belongs to the middle of its hour: on a straight line the state at the full hours is exact,
// and vapour pressure is halfway, not humidity.
func TestMeansBecomeState(t *testing.T) {
	s, err := power.Parse([][]byte{answer(`"T2M":{"2026010100":10,"2026010101":12,"2026010102":14},"T2MDEW":{"2026010102":5,"2026010101":3,"2026010100":1},` +
		`"ALLSKY_SFC_SW_DWN":{"2026010101":100}`)})
	if err != nil {
		t.Fatal(err)
	}
	e := func(t psychro.Celsius) float64 { return float64(psychro.SaturationWater(t)) }
	r := s.Records
	if len(r) != 3 || r[1].Temperature.V != 11 || r[2].Temperature.V != 13 || math.Abs(r[1].Vapour.V-(e(1)+e(3))/2) > 1e-9 || r[0].Temperature.Known() {
		t.Errorf("state: %+v", r)
	}
	if r[0].Global.Known() || r[1].Global.V != 100 || r[2].Global.Known() {
		t.Errorf("amounts: %+v", r)
	}
}

func TestYearsTogether(t *testing.T) {
	old, young := answer(`"T2M":{"2025123123":10},"RH2M":{"2025123123":"50"}`), answer(`"T2M":{"2026010100":12},"RH2M":{"2026010100":50}`)
	for _, order := range [][][]byte{{old, young}, {young, old}} {
		s, err := power.Parse(order)
		if err != nil || len(s.Records) != 2 || s.Records[1].Temperature.V != 11 {
			t.Errorf("%+v, %v", s.Records, err)
		}
	}
	if _, err := power.Parse([][]byte{old, old}); err == nil || !strings.Contains(err.Error(), "two answers hold this hour") {
		t.Errorf("one year twice: %v", err)
	}
}

func TestRefusals(t *testing.T) {
	hour := `{"2026010100":10,"2026010101":12}`
	for _, tc := range []struct {
		name string
		body string
		want string
	}{
		{"empty", "", "it is empty"},
		{"page", "<html>", "no JSON"},
		{"error", `{"detail":[{"msg":"bad date"}]}`, "properties.parameter: it is missing"},
		{"error's words", `{"messages":["try later"]}`, "try later"},
		{"local solar time", strings.Replace(string(answer(`"T2M":`+hour)), `"UTC"`, `"LST"`, 1), "header.time_standard: expected UTC, found \"LST\""},
		{"no temperature", string(answer(`"RH2M":` + hour)), "T2M: it is missing"},
		{"null for a parameter", string(answer(`"T2M":null,"RH2M":` + hour)), "T2M: it is missing"},
		{"array for a parameter", string(answer(`"T2M":[1,2]`)), "is no object of hours"},
		{"unit", strings.Replace(string(answer(`"T2M":`+hour)), `"units":"C"`, `"units":"R"`, 1), `the unit "R" of its temperature is not known`},
		{"no unit of radiation", string(answer(`"T2M":` + hour + `,"ALLSKY_SFC_SW_DNI":` + hour)), `the unit "" of its radiation is not known`},
		{"unit of rain", strings.Replace(string(answer(`"T2M":`+hour+`,"PRECTOTCORR":`+hour)), `mm/hour`, `mm/day`, 1), `found the unit "mm/day"`},
		{"too hot", string(answer(`"T2M":{"2026010100":283}`)), "T2M at 2026-01-01T00Z: a temperature of 283 C cannot be"},
		{"sun", string(answer(`"T2M":` + hour + `,"ALLSKY_SFC_SW_DWN":{"2026010100":2000}`)), "radiation 2000 W/m2 is outside 0 to 1700 W/m2"},
		{"text", string(answer(`"T2M":{"2026010100":"warm"}`)), `expected a number`},
		{"key", string(answer(`"T2M":{"20260101":1}`)), `"20260101" is no hour`},
		{"hour 24", string(answer(`"T2M":{"2026010124":1}`)), `"2026010124" is no hour`},
		{"30 February", string(answer(`"T2M":{"2026023000":1}`)), `"2026023000" is no hour`},
		{"two values", string(answer(`"T2M":{"2026010100":1,"2026010100":2}`)), "there are two values"},
		{"ages apart", string(answer(`"T2M":{"2001010100":1,"2026010100":2}`)), "expected a year"},
		{"all missing", string(answer(`"T2M":{"2026010100":-999,"2026010101":null},"RH2M":{"2026010100":-999}`)), "no hour holds temperature and humidity"},
		{"trailing junk", string(answer(`"T2M":`+hour)) + "x", "follows its end"},
	} {
		_, err := power.Parse([][]byte{[]byte(tc.body)})
		var bad *fetch.DecodeError
		if !errors.As(err, &bad) || !strings.Contains(strings.ReplaceAll(err.Error(), "cannot be used at ", ""), tc.want) {
			t.Errorf("%s: %v; want %s", tc.name, err, tc.want)
		}
	}
}

// Humidity that cannot be is left out and noted, not the hour's temperature.
func TestDewPointAboveTemperature(t *testing.T) {
	s, err := power.Parse([][]byte{answer(`"T2M":{"2026010100":1,"2026010101":1,"2026010102":1,"2026010103":1},"T2MDEW":{"2026010100":2,"2026010101":0,"2026010102":0,"2026010103":0}`)})
	if err != nil || s.Records[1].Vapour.Known() || !s.Records[1].Temperature.Known() || !s.Records[2].Vapour.Known() ||
		!slices.ContainsFunc(s.Notes, func(n string) bool { return strings.HasPrefix(n, "1 value left out: dew point above temperature") }) {
		t.Errorf("%+v, %v", s, err)
	}
}

// One day's rain and sun through the units of the communities: 1 kWh/m2 in an hour is 1000 W/m2, and 3.6 MJ.
func TestRadiationUnits(t *testing.T) {
	for unit, value := range map[string]string{"Wh/m^2": "500", "W/m^2": "500", "kW-hr/m^2": "0.5", "MJ/hr": "1.8"} {
		body := strings.Replace(string(answer(`"T2M":{"2026010100":1,"2026010101":1},"RH2M":{"2026010100":50,"2026010101":50},"ALLSKY_SFC_SW_DWN":{"2026010100":`+value+`}`)), "Wh/m^2", unit, 1)
		s, err := power.Parse([][]byte{[]byte(body)})
		if err != nil || math.Abs(s.Records[0].Global.V-500) > 1e-9 {
			t.Errorf("%s: %+v, %v", unit, s.Records, err)
		}
	}
}

// Any beginning of an answer is refused.
func TestPrefixes(t *testing.T) {
	data := bytes.TrimSpace(sample(t))
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, len(data)-1).Draw(t, "bytes")
		if _, err := power.Parse([][]byte{data[:n]}); err == nil {
			t.Fatalf("%d bytes of %d are taken", n, len(data))
		}
	})
}

func TestHistory(t *testing.T) {
	var asked []url.Values
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		q := r.URL.Query()
		asked = append(asked, q)
		hours := fmt.Sprintf(`{"%s00":10,"%s23":12}`, q.Get("start"), q.Get("end"))
		w.Header().Set("Content-Type", "application/json")
		if _, err := w.Write(answer(`"T2M":` + hours + `,"RH2M":` + hours)); err != nil {
			t.Error(err)
		}
	}))
	defer server.Close()
	now := time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)
	service := power.Service{Client: fetch.New(fetch.Settings{Now: func() time.Time { return now }}), BaseURL: server.URL}
	place := weather.Place{Lat: 46.8312, Lon: -92.2178}
	s, err := service.History(context.Background(), place, time.Date(2024, 12, 30, 5, 0, 0, 0, time.UTC), time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC), now)
	if err != nil {
		t.Fatal(err)
	}
	var spans []string
	for _, q := range asked {
		spans = append(spans, q.Get("start")+"-"+q.Get("end"))
		if q.Get("time-standard") != "UTC" || q.Get("latitude") != "46.83" || q.Get("longitude") != "-92.22" || q.Get("format") != "JSON" || q.Get("community") != "RE" ||
			q.Get("parameters") != "T2M,T2MDEW,RH2M,PS,WS10M,WD10M,PRECTOTCORR,ALLSKY_SFC_SW_DWN,ALLSKY_SFC_SW_DNI,ALLSKY_SFC_SW_DIFF" {
			t.Errorf("asked %v", q)
		}
	}
	if got := strings.Join(spans, " "); got != "20241230-20241231 20250101-20251231 20260101-20260102" {
		t.Errorf("asked for %s", got)
	}
	if !s.Fetched.Equal(now) || !s.Records[0].Time.Equal(time.Date(2024, 12, 30, 0, 0, 0, 0, time.UTC)) {
		t.Errorf("fetched %v, from %v", s.Fetched, s.Records[0].Time)
	}
	for _, to := range []time.Time{time.Date(1999, 1, 1, 0, 0, 0, 0, time.UTC), {}} {
		if _, err := service.History(context.Background(), place, now, to, now); err == nil || !strings.Contains(err.Error(), "there are no days") {
			t.Errorf("to %v: %v", to, err)
		}
	}
}

// Whatever the bytes: an answer or a DecodeError, in order and in range.
func FuzzParse(f *testing.F) {
	f.Add(answer(`"T2M":{"2026010100":10,"2026010101":"12","2026010102":null},"T2MDEW":{"2026010102":5,"2026010101":3,"2026010100":-999.0},"ALLSKY_SFC_SW_DWN":{"2026010101":100}`))
	f.Add(answer(`"T2M":{"2026010100":10,"2026010101":12},"RH2M":{"2026010100":10,"2026010101":12},"WD10M":{"2026010100":10,"2026010101":190}`))
	f.Add([]byte(`{"detail":[{"msg":"bad date"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := power.Parse([][]byte{data})
		if err != nil {
			var bad *fetch.DecodeError
			if !errors.As(err, &bad) {
				t.Fatalf("%v is no DecodeError", err)
			}
			return
		}
		var last time.Time
		for i, r := range s.Records {
			if i > 0 && !r.Time.After(last) {
				t.Fatalf("record %d is out of order", i)
			}
			last = r.Time
			for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.WindFrom, r.Global, r.Rain} {
				if !v.Known() && v.V != 0 || math.IsNaN(v.V) || math.IsInf(v.V, 0) {
					t.Fatalf("record %d: %+v", i, r)
				}
			}
		}
	})
}

// decade is ten years in the shape of the service's answers.
func decade() [][]byte {
	var bodies [][]byte
	for year := 2015; year < 2025; year++ {
		var b bytes.Buffer
		b.WriteString(`{"type":"Feature","geometry":{"type":"Point","coordinates":[-92.22,46.83,430.1]},"properties":{"parameter":{`)
		for i, key := range []string{"T2M", "T2MDEW", "RH2M", "PS", "WS10M", "WD10M", "PRECTOTCORR", "ALLSKY_SFC_SW_DWN", "ALLSKY_SFC_SW_DNI", "ALLSKY_SFC_SW_DIFF"} {
			if i > 0 {
				b.WriteString(",")
			}
			fmt.Fprintf(&b, "%q:{", key)
			sep := ""
			for t := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); t.Year() == year; t = t.Add(time.Hour) {
				v := []float64{12.34, 5.67, 63.21, 96.21, 3.45, 271.3, 0.12, 345.67, 456.78, 123.45}[i]
				fmt.Fprintf(&b, "%s\"%s\":%.2f", sep, t.Format("2006010215"), v+float64(t.Hour())/10)
				sep = ","
			}
			b.WriteString("}")
		}
		b.WriteString(`}},"header":{"fill_value":-999.0,"time_standard":"UTC"},"messages":[],` + strings.Replace(units, "}}", `},"ALLSKY_SFC_SW_DNI":{"units":"Wh/m^2"},"ALLSKY_SFC_SW_DIFF":{"units":"Wh/m^2"}}`, 1) + `}`)
		bodies = append(bodies, b.Bytes())
	}
	return bodies
}

func BenchmarkTenYears(b *testing.B) {
	bodies := decade()
	n := 0
	for _, body := range bodies {
		n += len(body)
	}
	b.SetBytes(int64(n))
	b.ReportAllocs()
	for b.Loop() {
		s, err := power.Parse(bodies)
		if err != nil || len(s.Records) != 87672 {
			b.Fatal(len(s.Records), err)
		}
	}
}
