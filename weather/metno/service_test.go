package metno_test

import (
	"context"
	"errors"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
	"limeday/weather/metno"
)

// serve answers with the sample, and the client's clock stands shortly after it was made.
func serve(t *testing.T, contact string, check func(*http.Request)) (*metno.Service, *time.Time, *int) {
	t.Helper()
	now := time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC)
	asked := 0
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked++
		if r.URL.Path != "/odd/corner/complete" {
			t.Errorf("not planned: %s", r.URL)
		}
		check(r)
		h := w.Header()
		h.Set("Date", now.Format(http.TimeFormat))
		h.Set("Expires", now.Add(31*time.Minute).Format(http.TimeFormat))
		h.Set("Last-Modified", "Tue, 14 Apr 2026 04:52:10 GMT")
		h.Set("Content-Type", "application/json")
		if r.Header.Get("If-Modified-Since") != "" {
			w.WriteHeader(304)
			return
		}
		if _, err := w.Write(sample(t)); err != nil {
			t.Error(err)
		}
	}))
	t.Cleanup(srv.Close)
	client := fetch.New(fetch.Settings{UserAgent: "limeday/0.1", Contact: contact, CacheDir: t.TempDir(), Now: func() time.Time { return now },
		Sleep: func(context.Context, time.Duration) error { t.Error("waited"); return nil }})
	return &metno.Service{Client: client, BaseURL: srv.URL + "/odd/corner/"}, &now, &asked
}

func TestForecast(t *testing.T) {
	since := ""
	s, now, asked := serve(t, "site@example.org", func(r *http.Request) {
		if r.URL.RawQuery != "altitude=85&lat=54.12&lon=-7.65" || r.Header.Get("User-Agent") != "limeday/0.1 site@example.org" || r.Header.Get("If-Modified-Since") != since {
			t.Errorf("%s %v", r.URL, r.Header)
		}
	})
	for i, step := range []struct {
		wait  time.Duration
		asked int
		notes string
	}{{0, 1, ""}, {30 * time.Minute, 1, ""}, {2 * time.Minute, 2, ""}, {6 * time.Hour, 3, "MET Norway made this forecast 7 h ago"}} {
		*now = now.Add(step.wait)
		series, err := s.Forecast(context.Background(), place)
		if err != nil || len(series.Records) != 163 || *asked != step.asked || strings.Join(series.Notes, "\n") != step.notes || series.Fetched.IsZero() {
			t.Errorf("%d: %v, %d records, asked %d times, %q", i, err, len(series.Records), *asked, series.Notes)
		}
		since = "Tue, 14 Apr 2026 04:52:10 GMT" // its own text
	}
	*now = now.Add(24 * time.Hour)
	var old *fetch.OldError
	if _, err := s.Forecast(context.Background(), place); !errors.As(err, &old) {
		t.Error(err)
	}
}

func TestPlaceAsSent(t *testing.T) {
	for want, row := range map[string]struct {
		place    weather.Place
		decimals int
	}{
		"lat=54.12&lon=-7.65":                 {weather.Place{Lat: 54.1234567, Lon: -7.654321, Altitude: math.NaN()}, 0},
		"altitude=-3&lat=54.1235&lon=-7.6543": {weather.Place{Lat: 54.1234567, Lon: -7.654321, Altitude: -3.2}, 12},
		"altitude=1203&lat=54.123&lon=-7.654": {weather.Place{Lat: 54.1234567, Lon: -7.654321, Altitude: 1202.6}, 3},
		"altitude=0&lat=0&lon=0":              {weather.Place{Lat: -0.001, Lon: 0.001}, 2},
	} {
		s, _, _ := serve(t, "https://example.org/", func(r *http.Request) {
			if r.URL.RawQuery != want {
				t.Errorf("%s, want %s", r.URL.RawQuery, want)
			}
		})
		s.Decimals = row.decimals
		if _, err := s.Forecast(context.Background(), row.place); err != nil {
			t.Error(err)
		}
	}
}

func TestNoContact(t *testing.T) {
	s, _, asked := serve(t, "", func(*http.Request) {})
	_, err := s.Forecast(context.Background(), place)
	var contact *fetch.ContactError
	if !errors.As(err, &contact) || *asked != 0 || !strings.Contains(contact.Words(), `write contact = "you@example.org"`) || !strings.Contains(contact.Words(), "limeday/config.toml") {
		t.Errorf("%v, asked %d times", err, *asked)
	}
}

func TestDefaultAddress(t *testing.T) {
	var asked string
	transport := roundTrip(func(r *http.Request) (*http.Response, error) { asked = r.URL.String(); return nil, errors.New("no") })
	client := fetch.New(fetch.Settings{Contact: "a@example.org", Transport: transport, Sleep: func(context.Context, time.Duration) error { return nil }})
	_, err := (&metno.Service{Client: client}).Forecast(context.Background(), place)
	if want := "https://api.met.no/weatherapi/locationforecast/2.0/complete?altitude=85&lat=54.12&lon=-7.65"; err == nil || asked != want {
		t.Errorf("%v, asked %s", err, asked)
	}
}

type roundTrip func(*http.Request) (*http.Response, error)

func (f roundTrip) RoundTrip(r *http.Request) (*http.Response, error) { return f(r) }
