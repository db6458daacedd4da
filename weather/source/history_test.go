package source_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/source"
)

// powerYear is an invented year, up to day last (0: all), in the shape of an answer of NASA POWER. The sun is a sine
// about its mean noon at 92.22 W.
func powerYear(year, last int) []byte {
	var b bytes.Buffer
	b.WriteString(`{"type":"Feature","geometry":{"type":"Point","coordinates":[-92.22,46.83,430.1]},"properties":{"parameter":{`)
	for i, p := range []struct {
		key string
		at  func(time.Time) float64
	}{
		{"T2M", func(t time.Time) float64 { return hourAt(t.Add(-6 * time.Hour)) }},
		{"T2MDEW", func(t time.Time) float64 { return hourAt(t.Add(-6*time.Hour)) - 6 }},
		{"WS10M", func(time.Time) float64 { return 3.2 }},
		{"PRECTOTCORR", func(time.Time) float64 { return 0.01 }},
		{"ALLSKY_SFC_SW_DWN", func(t time.Time) float64 {
			return math.Max(0, 400*math.Sin(2*math.Pi*(float64(t.Hour())+0.5-6.15-6)/24)-150)
		}},
	} {
		if i > 0 {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, "%q:{", p.key)
		sep := ""
		for t := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); t.Year() == year && (last == 0 || t.YearDay() <= last); t = t.Add(time.Hour) {
			fmt.Fprintf(&b, "%s\"%s\":%.2f", sep, t.Format("2006010215"), p.at(t))
			sep = ","
		}
		b.WriteString("}")
	}
	b.WriteString(`}},"header":{"fill_value":-999.0,"time_standard":"UTC"},"messages":[],"parameters":{"T2M":{"units":"C"},"T2MDEW":{"units":"C"},` +
		`"WS10M":{"units":"m/s"},"PRECTOTCORR":{"units":"mm/hour"},"ALLSKY_SFC_SW_DWN":{"units":"Wh/m^2"}}}`)
	return b.Bytes()
}

// oddCorner is where the service lives: an address that is not of the settings misses it.
const oddCorner = "/odd/corner"

// archive is a service on loopback that answers by the year asked for, and what it was asked.
type archive struct {
	url   string
	mu    sync.Mutex
	asked []string // start-end
	fault func(w http.ResponseWriter, year string) bool
}

func openArchive(t *testing.T) *archive {
	a := &archive{}
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		q := r.URL.Query()
		a.mu.Lock()
		fault := a.fault
		a.asked = append(a.asked, q.Get("start")+"-"+q.Get("end"))
		a.mu.Unlock()
		if r.URL.Path != oddCorner {
			t.Errorf("asked %s", r.URL)
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		if fault != nil && fault(w, q.Get("start")[:4]) {
			return
		}
		end, err := time.Parse("20060102", q.Get("end"))
		if err != nil {
			t.Error(err)
			return
		}
		_, _ = w.Write(powerYear(end.Year(), end.YearDay())) // the client may be gone
	}))
	t.Cleanup(srv.Close)
	a.url = srv.URL + oddCorner
	return a
}

func (a *archive) set(fault func(w http.ResponseWriter, year string) bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.fault = fault
}

// took is what was asked since the last call.
func (a *archive) took() string {
	a.mu.Lock()
	defer a.mu.Unlock()
	s := strings.Join(a.asked, " ")
	a.asked = nil
	return s
}

var (
	today  = time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC)
	duluth = weather.Place{Lat: 46.8312, Lon: -92.2178, Altitude: 433}
)

func (a *archive) source(dir string, offline bool) *source.Source {
	return source.New(source.Settings{CacheDir: dir, Offline: offline, Now: func() time.Time { return today },
		Sleep:    func(ctx context.Context, _ time.Duration) error { return ctx.Err() },
		Services: map[string]source.Service{source.Power: {BaseURL: a.url}}})
}

func TestHistory(t *testing.T) {
	a, dir := openArchive(t), t.TempDir()
	var told []string
	o := source.YearsOptions{Zone: zone(t, "America/Chicago"), Told: func(done, total int) { told = append(told, fmt.Sprintf("%d/%d", done, total)) }}
	y, err := a.source(dir, false).History(context.Background(), duluth, 2021, 2023, o)
	if err != nil {
		t.Fatal(err)
	}
	checkReady(t, y, y.Place)
	if a.took() != "20210101-20211231 20220101-20221231 20230101-20231231" || strings.Join(told, " ") != "0/3 1/3 2/3 3/3" {
		t.Errorf("told %v", told)
	}
	if len(y.Span) != 3 || y.Series.Credit == "" || !slices.Equal(y.Lacks, []string{"cloud", "wind direction"}) || noted(y, "another zone") ||
		!noted(y, "are for 46.83, -92.22, 0 km from the job and 3 m lower") {
		t.Errorf("%v, %q, %q", y.Span, y.Lacks, y.Notes)
	}
	// Again, and without a network, from what is kept.
	for _, offline := range []bool{false, true} {
		again, err := a.source(dir, offline).History(context.Background(), duluth, 2021, 2023, source.YearsOptions{Zone: o.Zone})
		if err != nil || a.took() != "" || !slices.Equal(again.Series.Records, y.Series.Records) {
			t.Errorf("offline %v: %v", offline, err)
		}
	}
	// One more year asks for that year alone.
	if _, err := a.source(dir, false).History(context.Background(), duluth, 2021, 2024, o); err != nil || a.took() != "20240101-20241231" {
		t.Errorf("one more year: %v", err)
	}
	var broken *source.HistoryError
	if _, err := a.source(dir, true).History(context.Background(), duluth, 2019, 2023, o); !errors.As(err, &broken) || !strings.Contains(err.Error(), "offline, and nothing is kept of NASA POWER") {
		t.Error(err)
	}
}

// Years that are not over, or before the service, are left out.
func TestHistoryOfYearsNotOver(t *testing.T) {
	for _, tc := range []struct {
		lat      float64
		from, to int
		asked    string
		says     string
	}{
		{46.83, 2025, 2030, "20250101-20251231", "NASA POWER has whole years up to 2025 only."},
		{46.83, 1950, 2001, "20010101-20011231", "NASA POWER begins with 2001."},
		{-46.83, 2024, 2030, "20240101-20241231 20250101-20251231", "up to 2024 only"},
	} {
		a := openArchive(t)
		a.set(func(w http.ResponseWriter, year string) bool {
			if tc.lat > 0 {
				return false
			}
			_, _ = fmt.Fprint(w, strings.Replace(string(powerYear(int(mustYear(t, year)), 0)), "46.83,", "-46.83,", 1))
			return true
		})
		place := weather.Place{Lat: tc.lat, Lon: -92.22, Altitude: 433}
		y, err := a.source("", false).History(context.Background(), place, tc.from, tc.to, source.YearsOptions{})
		if err != nil || a.took() != tc.asked || !noted(y, tc.says) || len(y.Span) != 1 || y.South != (tc.lat < 0) {
			t.Errorf("%+v: %v, %v, %q", tc, err, y.Span, y.Notes)
		}
	}
	a := openArchive(t)
	var none *source.HistoryError
	if _, err := a.source("", false).History(context.Background(), duluth, 2026, 2027, source.YearsOptions{}); !errors.As(err, &none) || a.took() != "" || !strings.Contains(err.Error(), "has whole years from 2001 to 2025; none was asked for") {
		t.Error(err)
	}
	for _, tc := range []struct {
		now   string
		south bool
		want  int
	}{{"2026-01-05", false, 2024}, {"2026-01-09", false, 2025}, {"2026-01-09", true, 2024}, {"2026-07-05", true, 2024}, {"2026-07-10", true, 2025}, {"2026-12-31", true, 2025}} {
		now, err := time.Parse(time.DateOnly, tc.now)
		if err != nil || source.Before(now, tc.south) != tc.want {
			t.Errorf("%+v: %d", tc, source.Before(now, tc.south))
		}
	}
	// The season that has just ended needs half of a calendar year that goes on.
	half := openArchive(t)
	s := source.New(source.Settings{Now: func() time.Time { return today.AddDate(0, 4, 0) }, Services: map[string]source.Service{source.Power: {BaseURL: half.url}}})
	half.set(func(w http.ResponseWriter, year string) bool {
		last := 0
		if year == "2026" {
			last = 181
		}
		_, _ = w.Write(bytes.Replace(powerYear(int(mustYear(t, year)), last), []byte("46.83,"), []byte("-46.83,"), 1))
		return true
	})
	y, err := s.History(context.Background(), weather.Place{Lat: -46.83, Lon: -92.22, Altitude: 433}, 2025, 2025, source.YearsOptions{})
	if err != nil || half.took() != "20250101-20251231 20260101-20260630" || len(y.Span) != 1 || y.Span[0].Label != 2025 || y.Span[0].Holes != 0 {
		t.Errorf("%v, %v", err, y.Span)
	}
}

func mustYear(t *testing.T, s string) int64 {
	at, err := time.Parse("2006", s)
	if err != nil {
		t.Error(err)
	}
	return int64(at.Year())
}

// A run that breaks off in the third year goes on there.
func TestHistoryGoesOn(t *testing.T) {
	cut := func(w http.ResponseWriter) {
		body := powerYear(2022, 0)
		w.Header().Set("Content-Length", fmt.Sprint(len(body)))
		_, _ = w.Write(body[:len(body)/2])
	}
	for _, tc := range []struct {
		name  string
		fault func(w http.ResponseWriter)
		says  string
		tries int
	}{
		{"a cut connection", cut, "NASA POWER", 3},
		{"an overloaded service", func(w http.ResponseWriter) { http.Error(w, `{"detail":"later"}`, http.StatusServiceUnavailable) }, "503", 3},
		{"wrong JSON", func(w http.ResponseWriter) { fmt.Fprint(w, `{"properties":{}}`) }, "properties.parameter", 1},
		{"half JSON", func(w http.ResponseWriter) { fmt.Fprint(w, `{"properties":{"parameter":{"T2M":{"2022`) }, "ends too soon", 1},
		{"a login page", func(w http.ResponseWriter) {
			w.Header().Set("Content-Type", "text/html")
			fmt.Fprint(w, "<html>log in</html>")
		}, "wants a login", 1},
	} {
		a, dir := openArchive(t), t.TempDir()
		a.set(func(w http.ResponseWriter, year string) bool {
			if year == "2022" {
				tc.fault(w)
			}
			return year == "2022"
		})
		_, err := a.source(dir, false).History(context.Background(), duluth, 2020, 2023, source.YearsOptions{})
		var broken *source.HistoryError
		if !errors.As(err, &broken) || broken.Done != 2 || broken.Total != 4 || !strings.Contains(err.Error(), tc.says) ||
			!strings.Contains(err.Error(), "2 of 4 years came and are kept, so that asking again goes on from there") {
			t.Errorf("%s: %v", tc.name, err)
		}
		if n := strings.Count(a.took(), "20220101"); n != tc.tries {
			t.Errorf("%s: %d tries", tc.name, n)
		}
		a.set(nil)
		y, err := a.source(dir, false).History(context.Background(), duluth, 2020, 2023, source.YearsOptions{})
		if err != nil || len(y.Span) != 4 || a.took() != "20220101-20221231 20230101-20231231" {
			t.Errorf("%s, then again: %v, %v", tc.name, err, y.Span)
		}
	}
	// A fault that passes is not noticed.
	a := openArchive(t)
	first := true
	a.set(func(w http.ResponseWriter, _ string) bool {
		if first {
			first = false
			http.Error(w, "", http.StatusServiceUnavailable)
			return true
		}
		return false
	})
	if y, err := a.source("", false).History(context.Background(), duluth, 2020, 2020, source.YearsOptions{}); err != nil || len(y.Span) != 1 {
		t.Error(err)
	}
}

// Ctrl-C in mid-run stops at once, and what came is kept whole.
func TestHistoryStops(t *testing.T) {
	a, dir := openArchive(t), t.TempDir()
	ctx, stop := context.WithCancel(context.Background())
	hang := make(chan struct{})
	defer close(hang)
	a.set(func(_ http.ResponseWriter, year string) bool {
		if year == "2022" {
			stop()
			<-hang
		}
		return false
	})
	_, err := a.source(dir, false).History(ctx, duluth, 2020, 2023, source.YearsOptions{})
	var broken *source.HistoryError
	if !errors.Is(err, context.Canceled) || errors.As(err, &broken) {
		t.Errorf("%v", err)
	}
	kept, err := os.ReadDir(dir)
	if err != nil || len(kept) != 2 {
		t.Errorf("%d files are kept, %v", len(kept), err)
	}
	for _, f := range kept {
		if !strings.HasSuffix(f.Name(), ".answer") {
			t.Errorf("%s is left", f.Name())
		}
	}
}

// Ten years out of the cache.
func BenchmarkHistory(b *testing.B) {
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		at, err := time.Parse("20060102", r.URL.Query().Get("start"))
		if err != nil {
			b.Error(err)
		}
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(powerYear(at.Year(), 0))
	}))
	defer srv.Close()
	a := &archive{url: srv.URL}
	dir := b.TempDir()
	b.ReportAllocs()
	for b.Loop() {
		if y, err := a.source(dir, false).History(context.Background(), duluth, 2011, 2020, source.YearsOptions{}); err != nil || len(y.Span) != 10 {
			b.Fatal(err, len(y.Span))
		}
	}
}
