package nws

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
)

var place = weather.Place{Name: "Yard", Lat: 30.0049, Lon: -84.9951, Altitude: 4}

// step is a request that is planned: its path, and the answer.
type step struct {
	path   string
	status int
	body   string
}

// serve follows a plan. The client's clock stands shortly after the sample was made.
func serve(t *testing.T, plan ...step) *Service {
	t.Helper()
	now := time.Date(2022, 2, 4, 4, 0, 0, 0, time.UTC)
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if len(plan) == 0 || r.URL.RequestURI() != "/odd/corner"+plan[0].path {
			t.Errorf("not planned: %s; left: %v", r.URL, len(plan))
			w.WriteHeader(http.StatusTeapot)
			return
		}
		if r.Header.Get("User-Agent") != "limeday/0.1 site@example.org" || !strings.HasPrefix(r.Header.Get("Accept"), "application/geo+json") {
			t.Errorf("%v", r.Header)
		}
		w.Header().Set("Date", now.Format(http.TimeFormat))
		w.Header().Set("Content-Type", "application/geo+json")
		w.WriteHeader(plan[0].status)
		fmt.Fprint(w, plan[0].body)
		plan = plan[1:]
	}))
	t.Cleanup(func() {
		srv.Close()
		if len(plan) > 0 {
			t.Errorf("%d planned requests did not come", len(plan))
		}
	})
	client := fetch.New(fetch.Settings{UserAgent: "limeday/0.1", Contact: "site@example.org", CacheDir: t.TempDir(), Now: func() time.Time { return now },
		Sleep: func(context.Context, time.Duration) error { return nil }})
	return &Service{Client: client, BaseURL: srv.URL + "/odd/corner"}
}

const moved = `{"properties":{"gridId":"JAX","gridX":7,"gridY":9,"timeZone":"America/New_York"}}`

func TestForecast(t *testing.T) {
	points, cell := string(sample(t, "points.json")), string(sample(t, "detailed_forecast.json"))
	gone := `{"title":"Marine Forecast Not Supported","status":404}`
	ask := step{"/points/30,-85", 200, points}
	for name, row := range map[string]struct {
		plan   []step
		calls  int
		status int // of the last call; 0: an answer
	}{
		"twice: the point is kept":       {[]step{ask, {"/gridpoints/TAE/58,65", 200, cell}, {"/gridpoints/TAE/58,65", 200, cell}}, 2, 0},
		"outside the area":               {[]step{{"/points/30,-85", 404, `{"title":"Data Unavailable For Requested Point","status":404}`}}, 1, 404},
		"grid moved since":               {[]step{ask, {"/gridpoints/TAE/58,65", 200, cell}, {"/gridpoints/TAE/58,65", 404, gone}, {"/points/30,-85", 200, moved}, {"/gridpoints/JAX/7,9", 200, cell}}, 2, 0},
		"grid moved to sea":              {[]step{ask, {"/gridpoints/TAE/58,65", 200, cell}, {"/gridpoints/TAE/58,65", 404, gone}, ask, {"/gridpoints/TAE/58,65", 404, gone}}, 2, 404},
		"no such cell though just named": {[]step{ask, {"/gridpoints/TAE/58,65", 404, gone}}, 1, 404},
	} {
		t.Run(name, func(t *testing.T) {
			s := serve(t, row.plan...)
			for i := range row.calls {
				series, err := s.Forecast(context.Background(), place)
				if i < row.calls-1 || row.status == 0 {
					if err != nil || len(series.Records) != 181 || series.Fetched.IsZero() || len(series.Notes) > 0 {
						t.Fatalf("%v, %d records, %q", err, len(series.Records), series.Notes)
					}
					continue
				}
				var status *fetch.StatusError
				if !errors.As(err, &status) || status.Status != row.status {
					t.Fatal(err)
				}
				t.Log(status.Words())
			}
		})
	}
}

func TestPoint(t *testing.T) {
	s := serve(t, step{"/points/30.0049,-84.9951", 200, string(sample(t, "points.json"))})
	s.Decimals = 7 // four at most
	for range 2 {
		if p, err := s.Point(context.Background(), place); err != nil || p.Zone != "America/New_York" {
			t.Errorf("%+v %v", p, err)
		}
	}
}

func TestNoContact(t *testing.T) {
	s := &Service{Client: fetch.New(fetch.Settings{})} // would ask the service itself
	_, err := s.Forecast(context.Background(), place)
	var contact *fetch.ContactError
	if !errors.As(err, &contact) {
		t.Error(err)
	}
}
