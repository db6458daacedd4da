package fetch_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/weather/fetch"
)

func TestIdentityAndQuestion(t *testing.T) {
	d := open(t, func(d *desk, w http.ResponseWriter, r *http.Request) {
		for name, want := range map[string]string{
			"User-Agent": "limeday/0.1 site@example.org", "Accept": "application/geo+json, application/json", "X-Key": "k", "If-Modified-Since": "",
		} {
			if got := r.Header.Get(name); got != want {
				t.Errorf("%s %q, want %q", name, got, want)
			}
		}
		if r.Method != "GET" || r.URL.Path != prefix+"/forecast" || r.URL.RawQuery != "lat=54.12" {
			t.Errorf("%s %s", r.Method, r.URL)
		}
		good(0)(d, w, r)
	}, func(d *desk, w http.ResponseWriter, r *http.Request) {
		if got := r.Header.Get("User-Agent"); got != "limeday/0.1" { // the contact is for those who demand it
			t.Errorf("User-Agent %q", got)
		}
		good(0)(d, w, r)
	})
	if _, err := d.get(func(_ *fetch.Settings, r *fetch.Request) { r.Header = map[string]string{"X-Key": "k"} }); err != nil {
		t.Error(err)
	}
	if _, err := d.get(func(_ *fetch.Settings, r *fetch.Request) { r.NeedsContact, r.Query = false, nil }); err != nil {
		t.Error(err)
	}
}

// A service that tells no time of expiry is asked each time, unless the request has a rule of its own.
func TestMaxAge(t *testing.T) {
	bare := status(200, "application/json", `{"made":"2026-04-14T06:00:00Z","temp":14}`)
	hour := func(_ *fetch.Settings, r *fetch.Request) { r.MaxAge = time.Hour }
	d := open(t, bare, bare, bare)
	for i, step := range []struct {
		change func(*fetch.Settings, *fetch.Request)
		cached bool
	}{{nil, false}, {nil, false}, {hour, true}, {hour, false}} {
		r, err := d.get(step.change)
		if err != nil || r.FromCache != step.cached {
			t.Errorf("%d: %v, from cache %t", i, err, r.FromCache)
		}
		d.pass(40 * time.Minute)
	}
}

// What the headers say of how long an answer is good.
func TestLifetime(t *testing.T) {
	for name, row := range map[string]struct {
		header []string
		want   time.Duration
	}{
		"expires":             {[]string{"Expires", "Tue, 14 Apr 2026 07:00:00 GMT"}, 30 * time.Minute},
		"expired":             {[]string{"Expires", "Tue, 14 Apr 2026 06:00:00 GMT"}, 0},
		"no date":             {[]string{"Expires", "0"}, 0},
		"max-age":             {[]string{"Cache-Control", "public, max-age=600, s-maxage=3600"}, 10 * time.Minute},
		"max-age is stronger": {[]string{"Cache-Control", "max-age=600", "Expires", "Tue, 14 Apr 2026 07:00:00 GMT"}, 10 * time.Minute},
		"aged on the way":     {[]string{"Expires", "Tue, 14 Apr 2026 07:00:00 GMT", "Age", "1200"}, 10 * time.Minute},
		"for ever":            {[]string{"Expires", "Tue, 14 Apr 2126 07:00:00 GMT"}, 24 * time.Hour},
	} {
		d := open(t, status(200, "application/json", `{"made":"2026-04-14T06:00:00Z","temp":14}`, row.header...))
		r, err := d.get(nil)
		if err != nil || r.Expires.Sub(r.Fetched) != row.want {
			t.Errorf("%s: %v, good for %v, want %v", name, err, r.Expires.Sub(r.Fetched), row.want)
		}
	}
}

// A 304 keeps the body, and the service's own text of its date.
func TestConfirmed(t *testing.T) {
	d := open(t, good(time.Hour), notModified, notModified)
	for i := range 3 {
		r, err := d.get(nil)
		if err != nil || !strings.Contains(string(r.Body), "14.2") || r.FromCache != (i > 0) || r.Stale || r.Status != 200 || !r.Fetched.Equal(d.clock()) {
			t.Errorf("%d: %v %+v", i, err, r)
		}
		d.pass(31 * time.Minute)
	}
}

// A service that confirms an answer of yesterday gives no forecast.
func TestConfirmedTooOld(t *testing.T) {
	d := open(t, good(0), status(304, "", ""))
	if _, err := d.get(nil); err != nil {
		t.Fatal(err)
	}
	d.pass(25 * time.Hour)
	_, err := d.get(nil)
	var old *fetch.OldError
	if !errors.As(err, &old) || old.Age != 25*time.Hour {
		t.Errorf("%v", err)
	}
	// Without a network it is all there is, and says how old it is.
	r, err := d.get(func(s *fetch.Settings, _ *fetch.Request) { s.Offline = true })
	want := []string{"offline; using what Fairweather answered 25 h ago", "Fairweather made this forecast 25 h ago"}
	if err != nil || !r.Stale || r.Fault != nil || strings.Join(r.Notes, "\n") != strings.Join(want, "\n") {
		t.Errorf("%v, %q", err, r.Notes)
	}
}

func TestDrop(t *testing.T) {
	d := open(t, good(0), good(0))
	c := fetch.New(d.settings())
	for range 2 {
		if r, err := c.Get(context.Background(), d.request()); err != nil || r.FromCache {
			t.Errorf("%v, from cache %t", err, r.FromCache)
		}
		for range 2 { // there is nothing the second time
			if err := c.Drop(d.request()); err != nil {
				t.Error(err)
			}
		}
	}
}

// A damaged file is as good as none, whatever the damage, and is replaced.
func TestDamaged(t *testing.T) {
	d := open(t, good(0))
	if _, err := d.get(nil); err != nil {
		t.Fatal(err)
	}
	file := d.files()[0]
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	offline := func(s *fetch.Settings, _ *fetch.Request) { s.Offline = true }
	rapid.Check(t, func(t *rapid.T) {
		data := bytes.Clone(whole)
		if rapid.Bool().Draw(t, "cut") {
			data = data[:rapid.IntRange(0, len(data)-1).Draw(t, "at")]
		} else {
			data[rapid.IntRange(0, len(data)-1).Draw(t, "byte")] ^= byte(rapid.IntRange(1, 255).Draw(t, "bits"))
		}
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := d.get(offline)
		var none *fetch.OfflineError
		if !errors.As(err, &none) || none.Words() != "offline, and what was kept of Fairweather for this place is damaged" {
			t.Fatalf("%v", err)
		}
	})
	// One without end is not read.
	if err := os.Truncate(file, 4<<30); err != nil {
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err = d.get(offline)
	runtime.ReadMemStats(&after)
	if none := (*fetch.OfflineError)(nil); !errors.As(err, &none) || !strings.Contains(none.Words(), "is damaged") || after.TotalAlloc-before.TotalAlloc > 1<<20 {
		t.Errorf("4 GB: %v, %d bytes of memory", err, after.TotalAlloc-before.TotalAlloc)
	}
	d.plan = []reply{good(0)}
	if r, err := d.get(nil); err != nil || r.FromCache {
		t.Error(err)
	}
	if r, err := d.get(offline); err != nil || !r.FromCache {
		t.Error(err)
	}
}

// What was kept tells nobody of place or key, and is its owner's alone.
func TestPrivate(t *testing.T) {
	d := open(t, good(0))
	if _, err := d.get(func(_ *fetch.Settings, r *fetch.Request) { r.Query.Set("apikey", "hush") }); err != nil {
		t.Fatal(err)
	}
	d.holdsNot("hush")
	d.holdsNot("54.12")
	info, err := os.Stat(d.files()[0])
	if err != nil || info.Mode().Perm() != 0o600 || strings.Contains(info.Name(), "54.12") {
		t.Errorf("%v %v", info, err)
	}
}

// The context ends a wait, and a wait for one's turn; nothing is kept.
func TestCancelled(t *testing.T) {
	d := open(t, problem(503, "x"))
	s := d.settings()
	ctx, cancel := context.WithCancel(context.Background())
	s.Sleep = func(ctx context.Context, _ time.Duration) error { cancel(); return ctx.Err() }
	c := fetch.New(s)
	for range 2 {
		if _, err := c.Get(ctx, d.request()); !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
	}
	if len(d.files()) > 0 {
		t.Error(d.files())
	}
}

// The real clock and timer, which every other test replaces.
func TestDefaults(t *testing.T) {
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Header.Get("User-Agent") != "limeday" {
			t.Error(r.Header)
		}
		w.WriteHeader(503)
	}))
	defer srv.Close()
	ctx, cancel := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer cancel()
	if _, err := fetch.New(fetch.Settings{}).Get(ctx, fetch.Request{Service: "x", URL: srv.URL + "/y"}); !errors.Is(err, context.DeadlineExceeded) {
		t.Error(err)
	}
}

// shareEnv tells a process that it is one of those that share a cache.
const shareEnv = "LIMEDAY_TEST_SHARED_CACHE"

var sharedNow = time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC)

// Processes and goroutines that write and read one cache at the same time see
// whole answers or none. Each answer of the server is of another length.
func TestShared(t *testing.T) {
	if spec := os.Getenv(shareEnv); spec != "" {
		url, dir, _ := strings.Cut(spec, " ")
		hammer(t, url, dir)
		return
	}
	var mu sync.Mutex
	n := 0
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		mu.Lock()
		n++
		pad := n % 97 * 1009
		mu.Unlock()
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Date", sharedNow.Format(http.TimeFormat))
		fmt.Fprintf(w, `{"made":"2026-04-14T06:00:00Z","temp":1,"pad":"%s"}`, strings.Repeat("x", pad))
	}))
	defer srv.Close()
	dir := t.TempDir()
	var cmds []*exec.Cmd
	for range 3 {
		cmd := exec.Command(os.Args[0], "-test.run=^TestShared$")
		cmd.Env = append(os.Environ(), shareEnv+"="+srv.URL+prefix+" "+dir)
		out := &bytes.Buffer{}
		cmd.Stdout, cmd.Stderr = out, out
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		cmds = append(cmds, cmd)
	}
	hammer(t, srv.URL+prefix, dir)
	for _, cmd := range cmds {
		if err := cmd.Wait(); err != nil {
			t.Errorf("%v\n%s", err, cmd.Stdout)
		}
	}
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(left) != 1 || !strings.HasSuffix(left[0], ".answer") {
		t.Errorf("%v %q", err, left)
	}
}

// hammer asks and reads, with two clients at once.
func hammer(t *testing.T, url, dir string) {
	req := fetch.Request{Service: "Fairweather", URL: url, Validate: func(b []byte) error { _, err := read(b); return err }}
	var wg sync.WaitGroup
	for range 2 {
		wg.Go(func() {
			s := fetch.Settings{CacheDir: dir, Now: func() time.Time { return sharedNow }}
			online := fetch.New(s)
			s.Offline = true
			offline := fetch.New(s)
			for range 60 {
				if r, err := online.Get(context.Background(), req); err != nil || r.FromCache || len(r.Notes) > 0 {
					t.Errorf("%v, from cache %t, %q", err, r.FromCache, r.Notes)
				}
				if _, err := offline.Get(context.Background(), req); err != nil {
					t.Errorf("reading: %v", err)
				}
			}
		})
	}
	wg.Wait()
}
