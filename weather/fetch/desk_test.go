package fetch_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"limeday/weather/fetch"
)

// reply answers one request.
type reply func(d *desk, w http.ResponseWriter, r *http.Request)

// prefix is where the service lives: an address not taken from the settings misses it.
const prefix = "/odd/corner"

// desk is a service on loopback that follows a plan, and the clock of a client
// that asks it. A request that is not planned fails the test, and so does a plan not used up.
type desk struct {
	t     *testing.T
	url   string
	mu    sync.Mutex
	plan  []reply
	now   time.Time // of the service
	ahead time.Duration
	slept []time.Duration
	told  []string
	dir   string // the cache
}

func open(t *testing.T, plan ...reply) *desk {
	d := &desk{t: t, plan: plan, now: time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC), dir: t.TempDir()}
	srv := httptest.NewServer(d)
	d.url = srv.URL + prefix
	t.Cleanup(func() {
		srv.CloseClientConnections()
		srv.Close()
		if len(d.plan) > 0 {
			t.Errorf("%d planned requests did not come", len(d.plan))
		}
	})
	return d
}

func (d *desk) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	d.mu.Lock() // a reply reads the clock
	defer d.mu.Unlock()
	var next reply
	if len(d.plan) > 0 && strings.HasPrefix(r.URL.Path, prefix+"/") {
		next, d.plan = d.plan[0], d.plan[1:]
	}
	if next == nil {
		d.t.Errorf("not planned: %s %s", r.Method, r.URL)
		http.Error(w, "not planned", http.StatusTeapot)
		return
	}
	w.Header().Set("Date", d.now.Format(http.TimeFormat))
	next(d, w, r)
}

// clock is that of the client.
func (d *desk) clock() time.Time {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now.Add(d.ahead)
}

// pass lets time go by.
func (d *desk) pass(by time.Duration) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.now = d.now.Add(by)
}

// settings are those of a client at this desk.
func (d *desk) settings() fetch.Settings {
	return fetch.Settings{
		UserAgent: "limeday/0.1", Contact: "site@example.org", CacheDir: d.dir, Seed: 7,
		Now: d.clock,
		Sleep: func(ctx context.Context, s time.Duration) error {
			d.slept = append(d.slept, s)
			d.pass(s)
			return ctx.Err()
		},
		Tell: func(s string) { d.told = append(d.told, s) },
	}
}

// request is a question to this desk.
func (d *desk) request() fetch.Request {
	return fetch.Request{
		Service: "Fairweather", URL: d.url + "/forecast", Query: map[string][]string{"lat": {"54.12"}}, NeedsContact: true,
		Validate: func(body []byte) error { _, err := read(body); return err },
		Issued:   func(body []byte) time.Time { made, _ := read(body); return made },
	}
}

func (d *desk) get(change func(*fetch.Settings, *fetch.Request)) (fetch.Response, error) {
	s, r := d.settings(), d.request()
	if change != nil {
		change(&s, &r)
	}
	return fetch.New(s).Get(context.Background(), r)
}

// read reads the answer of the desk: when it was made, and a temperature.
func read(body []byte) (time.Time, error) {
	var doc struct {
		Made string
		Temp fetch.Number
	}
	if err := fetch.Decode(body, &doc); err != nil {
		return time.Time{}, err
	}
	made, err := time.Parse(time.RFC3339, doc.Made)
	if err != nil || !doc.Temp.OK {
		return time.Time{}, errors.New("no time or no temperature")
	}
	return made, nil
}

// The replies. good is an answer made the given time ago, good for half an hour.
func good(old time.Duration) reply {
	return func(d *desk, w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Type", "application/json")
		h.Set("Last-Modified", d.now.Add(-old).Format(http.TimeFormat))
		h.Set("Expires", d.now.Add(30*time.Minute).Format(http.TimeFormat))
		fmt.Fprintf(w, `{"made":%q,"temp":14.2}`, d.now.Add(-old).Format(time.RFC3339))
	}
}

func status(code int, kind, body string, header ...string) reply {
	return func(d *desk, w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", kind)
		for i := 0; i+1 < len(header); i += 2 {
			w.Header().Set(header[i], header[i+1])
		}
		w.WriteHeader(code)
		fmt.Fprint(w, body)
	}
}

func problem(code int, reason string, header ...string) reply {
	return status(code, "application/problem+json", fmt.Sprintf(`{"reason":%q}`, reason), header...)
}

// reset breaks the connection with no answer, or, given a start, in the middle of it.
func reset(start string) reply {
	return func(d *desk, w http.ResponseWriter, r *http.Request) {
		if start != "" {
			w.Header().Set("Content-Type", "application/json")
			w.Header().Set("Content-Length", "4000")
			fmt.Fprint(w, start)
			w.(http.Flusher).Flush()
		}
		conn, _, err := w.(http.Hijacker).Hijack()
		if err != nil {
			d.t.Error(err)
			return
		}
		_ = conn.Close()
	}
}

// files are the names in the cache.
func (d *desk) files() []string {
	found, err := filepath.Glob(filepath.Join(d.dir, "*"))
	if err != nil {
		d.t.Fatal(err)
	}
	return found
}

// holds fails the test if the cache holds a text.
func (d *desk) holdsNot(text string) {
	d.t.Helper()
	for _, f := range d.files() {
		if data, err := os.ReadFile(f); err != nil || strings.Contains(string(data), text) {
			d.t.Errorf("the cache holds %q (%v)", text, err)
		}
	}
}
