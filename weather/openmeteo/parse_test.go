package openmeteo_test

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
	"limeday/weather/openmeteo"
)

func sample(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "openmeteo", "forecast-invented.json"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// answer is two hours: units and arrays as given, behind those of time.
func answer(units, arrays string) string {
	return `{"latitude":46.85,"longitude":-92.25,"utc_offset_seconds":0,"elevation":433.0,"hourly_units":{"time":"unixtime"` + units + `},` +
		`"hourly":{"time":[1776146400,1776150000]` + arrays + `}}`
}

const (
	airUnits = `,"temperature_2m":"°C","relative_humidity_2m":"%"`
	air      = `,"temperature_2m":[10.5,11],"relative_humidity_2m":[50,"52"]`
)

func TestSample(t *testing.T) {
	s, err := openmeteo.Parse(sample(t), openmeteo.Ahead)
	if err != nil {
		t.Fatal(err)
	}
	// 72 hours; the last lacks everything, the one before it humidity.
	if len(s.Records) != 70 || !s.Issued.IsZero() || *s.Grid != (weather.Place{Lat: 46.85, Lon: -92.25, Altitude: 433}) || !strings.Contains(s.Credit, "Weather data by Open-Meteo.com") {
		t.Errorf("%d records, %+v", len(s.Records), s)
	}
	if !slices.Contains(s.Notes, "the last 2 hours lack temperature or humidity and are left out") {
		t.Errorf("notes %q", s.Notes)
	}
	for i, r := range s.Records {
		if !r.Time.Equal(time.Date(2026, 6, 20, i, 0, 0, 0, time.UTC)) {
			t.Fatalf("record %d is at %v", i, r.Time)
		}
		if known := i != 30; r.Temperature.Known() != known || r.Vapour.Known() != known || !known && r.Temperature.V != 0 {
			t.Errorf("hour %d: %+v", i, r)
		}
		// The rain at stamp 60 fell from 59 on; the chance of it goes with it.
		if (r.Rain.V == 1.2) != (i == 59) || (r.RainChance.V > 0.5) != (i == 59) {
			t.Errorf("hour %d: %+v", i, r)
		}
	}
	if r := s.Records[0]; r.Temperature.Tag != weather.Forecast || r.Span != time.Hour || math.Abs(r.Pressure.V-96200) > 1e-6 || !r.Gust.Known() {
		t.Errorf("hour 0: %+v", r)
	}
	if s, err = openmeteo.Parse(sample(t), openmeteo.Archive); err != nil || s.Records[0].Temperature.Tag != weather.Estimated || s.Source != "Open-Meteo archive (ERA5)" {
		t.Errorf("as an archive: %+v, %v", s.Records[0], err)
	}
}

// A value in every unit the service can be asked for is one value.
func TestUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-40, 45).Draw(t, "C")
		ms := rapid.Float64Range(0, 70).Draw(t, "m/s")
		mm := rapid.Float64Range(0, 100).Draw(t, "mm")
		for _, u := range []struct {
			units   [3]string
			c, w, r float64
		}{
			{[3]string{"°C", "m/s", "mm"}, c, ms, mm},
			{[3]string{"°F", "km/h", "inch"}, c*1.8 + 32, ms * 3.6, mm / 25.4},
			{[3]string{"°F", "mp/h", "mm"}, c*1.8 + 32, ms * 3600 / 1609.344, mm},
			{[3]string{"°C", "kn", "mm"}, c, ms * 3600 / 1852, mm},
		} {
			s, err := openmeteo.Parse([]byte(answer(
				fmt.Sprintf(`,"temperature_2m":%q,"relative_humidity_2m":"%%","wind_speed_10m":%q,"precipitation":%q`, u.units[0], u.units[1], u.units[2]),
				fmt.Sprintf(`,"temperature_2m":[%g,%[1]g],"relative_humidity_2m":[50,50],"wind_speed_10m":[%g,%[2]g],"precipitation":[0,%g]`, u.c, u.w, u.r))), openmeteo.Ahead)
			if err != nil {
				t.Fatal(err)
			}
			r := s.Records[0]
			if math.Abs(r.Temperature.V-c) > 1e-9 || math.Abs(r.Wind.V-ms) > 1e-9 || math.Abs(r.Rain.V-mm) > 1e-9 {
				t.Fatalf("%v: %+v; want %g C, %g m/s, %g mm", u.units, r, c, ms, mm)
			}
		}
	})
}

func TestHumidity(t *testing.T) {
	s, err := openmeteo.Parse([]byte(answer(airUnits+`,"dew_point_2m":"°C"`, air+`,"dew_point_2m":[null,5]`)), openmeteo.Ahead)
	if err != nil {
		t.Fatal(err)
	}
	e := func(t psychro.Celsius) float64 { return float64(psychro.SaturationWater(t)) }
	if a, b := s.Records[0].Vapour.V, s.Records[1].Vapour.V; math.Abs(a-e(10.5)/2) > 1e-9 || math.Abs(b-e(5)) > 1e-9 {
		t.Errorf("vapour %g, %g", a, b)
	}
	// A dew point above the temperature is left out and noted.
	s, err = openmeteo.Parse([]byte(answer(airUnits+`,"dew_point_2m":"°C"`, air+`,"dew_point_2m":[12,5]`)), openmeteo.Ahead)
	if err != nil || s.Records[0].Vapour.Known() || len(s.Notes) != 1 {
		t.Errorf("%+v, %v", s, err)
	}
	// Without an elevation the grid point's altitude is not known.
	s, err = openmeteo.Parse([]byte(strings.Replace(answer(airUnits, air), `,"elevation":433.0`, "", 1)), openmeteo.Ahead)
	if err != nil || !math.IsNaN(s.Grid.Altitude) {
		t.Errorf("%+v, %v", s.Grid, err)
	}
}

func TestRefusals(t *testing.T) {
	good := answer(airUnits, air)
	swap := func(old, new string) string {
		if !strings.Contains(good, old) {
			t.Fatalf("no %s in %s", old, good)
		}
		return strings.Replace(good, old, new, 1)
	}
	for _, tc := range []struct{ name, body, want string }{
		{"empty", "", "it is empty"},
		{"page", "<html>", "no JSON"},
		{"fails in the middle", good[:100] + "Unexpected error while streaming data: timeoutReached", "the service failed in the middle of it"},
		{"trailing junk", good + "x", "follows its end"},
		{"several places", "[" + good + "]", "expected another kind of value than array"},
		{"no hours", `{"latitude":1}`, "hourly: it is missing"},
		{"zone", swap(`"utc_offset_seconds":0`, `"utc_offset_seconds":-18000`), "expected 0, found -18000"},
		{"text times", swap(`"unixtime"`, `"iso8601"`), `expected unixtime, found "iso8601"`},
		{"no times", swap(`"time":[1776146400,1776150000],`, ``), "hourly.time: it is missing"},
		{"null time", swap("1776150000", "null"), "value 2 is no full hour"},
		{"half hour", swap("1776150000", "1776148200"), "value 2 is no full hour"},
		{"gap", swap("1776150000", "1776153600"), "value 2 is not an hour after the one before it"},
		{"no temperature", answer(airUnits, `,"relative_humidity_2m":[1,2]`), "hourly.temperature_2m: it is missing"},
		{"unequal", swap("[10.5,11]", "[10.5]"), "hourly.temperature_2m: it has 1 values for 2 hours"},
		{"object", swap("[10.5,11]", `{"a":1}`), "hourly.temperature_2m"},
		{"words", swap("10.5", `"warm"`), "expected a number"},
		{"no unit", answer("", air), `hourly.temperature_2m at 2026-04-14T06Z: the unit "" of its temperature is not known`},
		{"unit", swap("°C", "°R"), "is not known, and is not guessed"},
		{"unit of radiation", answer(airUnits+`,"shortwave_radiation":"MJ/m²"`, air+`,"shortwave_radiation":[1,2]`), `the unit "MJ/m²" of its radiation`},
		{"too hot", swap("10.5", "283.6"), "a temperature of 283.6 C cannot be"},
		{"sun", answer(airUnits+`,"shortwave_radiation":"W/m²"`, air+`,"shortwave_radiation":[1,2000]`), "hourly.shortwave_radiation at 2026-04-14T07Z: radiation 2000 W/m2 is outside"},
		{"all null", swap("[10.5,11]", "[null,null]"), "no hour holds temperature and humidity"},
	} {
		_, err := openmeteo.Parse([]byte(tc.body), openmeteo.Ahead)
		var bad *fetch.DecodeError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: %v; want %s", tc.name, err, tc.want)
		}
	}
	for reason, later := range map[string]bool{"Minutely API request limit exceeded. Please try again in one minute.": true, "Too many concurrent requests": true, "Latitude must be in range": false} {
		_, err := openmeteo.Parse([]byte(fmt.Sprintf(`{"error":true,"reason":%q}`, reason)), openmeteo.Ahead)
		var refusal *openmeteo.RefusalError
		if !errors.As(err, &refusal) || refusal.Later() != later || err.Error() != "Open-Meteo refuses: "+reason {
			t.Errorf("%s: %v", reason, err)
		}
	}
}

// Any beginning of an answer is refused.
func TestPrefixes(t *testing.T) {
	data := bytes.TrimSpace(sample(t))
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, len(data)-1).Draw(t, "bytes")
		if _, err := openmeteo.Parse(data[:n], openmeteo.Ahead); err == nil {
			t.Fatalf("%d bytes of %d are taken", n, len(data))
		}
	})
}

// carrier hands every request to a server on loopback, and notes whom it was for.
type carrier struct {
	to    *url.URL
	asked []url.URL
}

func (c *carrier) RoundTrip(r *http.Request) (*http.Response, error) {
	c.asked = append(c.asked, *r.URL)
	r = r.Clone(r.Context())
	r.URL.Scheme, r.URL.Host = c.to.Scheme, c.to.Host
	return http.DefaultTransport.RoundTrip(r)
}

func TestService(t *testing.T) {
	data := sample(t)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/json; charset=utf-8")
		if _, err := w.Write(data); err != nil {
			t.Error(err)
		}
	}))
	defer server.Close()
	to, err := url.Parse(server.URL)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 6, 20, 6, 0, 0, 0, time.UTC)
	for _, tc := range []struct {
		name              string
		s                 openmeteo.Service
		forecast, archive string // empty: not allowed
	}{
		{"silent default", openmeteo.Service{}, "", ""},
		{"non-commercial", openmeteo.Service{NonCommercial: true}, "https://api.open-meteo.com/v1/forecast", "https://archive-api.open-meteo.com/v1/archive"},
		{"key", openmeteo.Service{Key: "k", NonCommercial: true}, "https://customer-api.open-meteo.com/v1/forecast", "https://customer-archive-api.open-meteo.com/v1/archive"},
		{"own server", openmeteo.Service{BaseURL: "http://weather.example/"}, "http://weather.example/v1/forecast", "http://weather.example/v1/archive"},
	} {
		c := &carrier{to: to}
		tc.s.Client = fetch.New(fetch.Settings{Now: func() time.Time { return now }, Transport: c})
		place := weather.Place{Lat: 46.8312, Lon: -92.2178, Altitude: 433}
		a, errA := tc.s.Forecast(context.Background(), place, 99, 7)
		_, errB := tc.s.History(context.Background(), place, now.AddDate(-1, 0, 0), now, now)
		if tc.forecast == "" {
			var no *openmeteo.NotAllowedError
			if !errors.As(errA, &no) || !errors.As(errB, &no) || len(c.asked) != 0 {
				t.Errorf("%s: %v, %v, asked %v", tc.name, errA, errB, c.asked)
			}
			continue
		}
		if errA != nil || errB != nil || len(c.asked) != 2 || !a.Fetched.Equal(now) {
			t.Errorf("%s: %v, %v, asked %v", tc.name, errA, errB, c.asked)
			continue
		}
		for i, want := range []string{tc.forecast, tc.archive} {
			u := c.asked[i]
			q := u.Query()
			if got := u.Scheme + "://" + u.Host + u.Path; got != want {
				t.Errorf("%s: asked %s, want %s", tc.name, got, want)
			}
			if q.Get("timezone") != "GMT" || q.Get("timeformat") != "unixtime" || q.Get("wind_speed_unit") != "ms" || q.Get("temperature_unit") != "celsius" || q.Get("precipitation_unit") != "mm" ||
				q.Get("latitude") != "46.83" || q.Get("longitude") != "-92.22" || q.Get("elevation") != "433" || q.Get("apikey") != tc.s.Key {
				t.Errorf("%s: asked %v", tc.name, q)
			}
			archive := i == 1
			if (q.Get("models") == "era5") != archive || (q.Get("start_date") == "2025-06-20" && q.Get("end_date") == "2026-06-20") != archive ||
				(q.Get("forecast_days") == "16" && q.Get("past_days") == "7") == archive || strings.Contains(q.Get("hourly"), "precipitation_probability") == archive {
				t.Errorf("%s: asked %v", tc.name, q)
			}
		}
	}
}

// Whatever the bytes: an answer or a Fault, in order and in range.
func FuzzParse(f *testing.F) {
	f.Add([]byte(answer(airUnits+`,"wind_gusts_10m":"km/h","precipitation":"inch","shortwave_radiation":"W/m²"`, air+`,"wind_gusts_10m":[10,null],"precipitation":[0.1,0],"shortwave_radiation":[1,2]`)))
	f.Add([]byte(`{"error":true,"reason":"Daily API request limit exceeded."}`))
	f.Add(sample(f)[:900])
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := openmeteo.Parse(data, openmeteo.Ahead)
		if err != nil {
			var bad fetch.Fault
			if !errors.As(err, &bad) {
				t.Fatalf("%v is no Fault", err)
			}
			return
		}
		var last time.Time
		for i, r := range s.Records {
			if i > 0 && !r.Time.After(last) {
				t.Fatalf("record %d is out of order", i)
			}
			last = r.Time
			for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.Wind, r.Gust, r.Global, r.Rain, r.RainChance} {
				if !v.Known() && v.V != 0 || math.IsNaN(v.V) || math.IsInf(v.V, 0) {
					t.Fatalf("record %d: %+v", i, r)
				}
			}
		}
	})
}
