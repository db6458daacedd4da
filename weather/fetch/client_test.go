package fetch_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"limeday/weather/fetch"
)

// A client asks one question at a time, and never the same one twice.
func TestOneAtATime(t *testing.T) {
	var asking, asked atomic.Int32
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if asking.Add(1) > 1 {
			t.Error("two questions at once")
		}
		asked.Add(1)
		time.Sleep(2 * time.Millisecond)
		w.Header().Set("Content-Type", "application/json")
		fmt.Fprint(w, `{}`)
		asking.Add(-1)
	}))
	defer srv.Close()
	c := fetch.New(fetch.Settings{CacheDir: t.TempDir()})
	var wg sync.WaitGroup
	for i := range 20 {
		wg.Go(func() {
			_, err := c.Get(context.Background(), fetch.Request{Service: "x", URL: fmt.Sprintf("%s/%d", srv.URL, i%5), MaxAge: time.Hour})
			if err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if n := asked.Load(); n != 5 {
		t.Errorf("%d questions were sent for 5 different ones", n)
	}
}

// The same seed scatters the same, another otherwise.
func TestScatterIsSeeded(t *testing.T) {
	waits := func(seed uint64) string {
		d := open(t, problem(503, "x"), problem(503, "x"), good(0))
		if _, err := d.get(func(s *fetch.Settings, _ *fetch.Request) { s.Seed = seed }); err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(d.slept)
	}
	if a, b, c := waits(1), waits(1), waits(2); a != b || a == c {
		t.Errorf("%s, %s, %s", a, b, c)
	}
}

// The clock and the timer come in at one place each, where they can be replaced.
func TestNoHiddenClock(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	hidden := regexp.MustCompile(`\b(time\.(Now|Since|Until|Local|After|AfterFunc|Tick|NewTicker|NewTimer|Sleep)|rand\.(Float64|Int\w*|Perm|Shuffle))\b`)
	found := ""
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		src, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(string(src), "\n") {
			code, _, _ := strings.Cut(line, "//")
			for _, use := range hidden.FindAllString(code, -1) {
				found += f + " " + use + "\n"
			}
		}
	}
	if want := "settings.go time.Now\nsettings.go time.NewTimer\n"; found != want {
		t.Errorf("found\n%swant\n%s", found, want)
	}
}
