package app

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/quantity"
)

// heard is what a program that goes on has said so far.
type heard struct {
	mu   sync.Mutex
	text strings.Builder
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.String()
}

// find waits for something to be said.
func (h *heard) find(t testing.TB, pattern string) []string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for range 500 {
		if m := re.FindStringSubmatch(h.String()); m != nil {
			return m
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("nothing like %s was said:\n%s", pattern, h)
	return nil
}

// clockwork is a clock that a test sets.
type clockwork struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clockwork) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clockwork) add(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// served is serve, running.
type served struct {
	t      testing.TB
	base   string
	clock  *clockwork
	said   *heard
	end    func() int
	client *http.Client
}

// serving starts serve in a folder; its clock begins at half past six of a day in April.
func serving(t testing.TB, folder string, args ...string) *served {
	t.Helper()
	return servingAt(t, "127.0.0.1:0", folder, args...)
}

// servingAt starts it at an address.
func servingAt(t testing.TB, address, folder string, args ...string) *served {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	s := &served{t: t, clock: &clockwork{now: time.Date(2026, 4, 14, 6, 30, 0, 0, zone)}, said: &heard{}}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan int, 1)
	go func() {
		ended <- Run(ctx, append([]string{"serve", "--listen", address}, args...), Env{Members: 10, Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: s.said,
			Now: s.clock.Now, ConfigDir: folder, CacheDir: folder, Transport: noNetwork{}})
	}()
	s.end = sync.OnceValue(func() int { stop(); return <-ended })
	t.Cleanup(func() { s.end() })
	s.base = s.said.find(t, `(http://[^/\s]+)/`)[1]
	jar, _ := cookiejar.New(nil)
	s.client = &http.Client{Jar: jar, Timeout: 30 * time.Second}
	return s
}

func (s *served) get(path string) (int, string) {
	s.t.Helper()
	r, err := s.client.Get(s.base + path)
	return reply(s.t, r, err)
}

func (s *served) post(path string, form url.Values) (int, string) {
	s.t.Helper()
	r, err := s.client.PostForm(s.base+path, form)
	return reply(s.t, r, err)
}

func reply(t testing.TB, r *http.Response, err error) (int, string) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(b)
}

// stairsJob is a job without a place: it needs a reading.
const stairsJob = `
[place]
name = "Back stairs"
zone = "Europe/Dublin"
[room]
air_speed = "0.1m/s"
[[layer]]
background = "primed-board"
[[coat]]
finish = "polished-lime"
thickness = "0.15mm"
[[coat]]
finish = "polished-lime"
thickness = "0.08mm"
`

func stairsFolder(t testing.TB) (folder, path string) {
	t.Helper()
	folder = t.TempDir()
	path = filepath.Join(folder, "stairs.toml")
	if err := os.WriteFile(path, []byte(stairsJob), 0o600); err != nil {
		t.Fatal(err)
	}
	return folder, path
}

func want(t *testing.T, what string, status int, body string, wantStatus int, words ...string) {
	t.Helper()
	if status != wantStatus {
		t.Errorf("%s: status %d, not %d:\n%s", what, status, wantStatus, body)
	}
	for _, w := range words {
		if !strings.Contains(body, w) {
			t.Errorf("%s: nothing of %q in:\n%s", what, w, body)
		}
	}
}

func events(t *testing.T, path string) []string {
	t.Helper()
	entries, faults, err := diary.Read(path)
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	var out []string
	for _, e := range diary.Amended(entries) {
		if e.Kind == diary.Event {
			c, _ := e.Number("coat")
			out = append(out, fmt.Sprintf("%.0f %s", c, diary.Describe(e)))
		}
	}
	return out
}

// TestServeMorning goes through a morning on site: a reading, the presses of two coats, one sent twice, one taken back, and
// those that cannot be.
func TestServeMorning(t *testing.T) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	book := filepath.Join(folder, "stairs.diary")
	status, body := s.get("/")
	want(t, "There is no reading yet", status, body, 200, "no reading yet", "Back stairs", `name="temp"`, "Coat 1 laid")

	status, body = s.post("/job/1/reading", url.Values{"temp": {"59"}, "rh": {"0.6"}, "units": {"metric"}})
	want(t, "a reading in the other unit", status, body, 422, "did you mean 59F?", `value="59"`, "did you mean 60%?", `value="0.6"`)
	status, body = s.post("/job/1/reading", url.Values{"temp": {"59"}, "rh": {"60"}, "units": {"us"}})
	want(t, "a reading", status, body, 200, "GO", "In use: 15 C, 60 %", "<svg")

	press := func(id string, more url.Values) (int, string) {
		t.Helper()
		form := url.Values{"id": {id}, "job": {"Back stairs"}}
		for k, v := range more {
			form[k] = v
		}
		return s.post("/job/1/press", form)
	}
	s.clock.add(time.Hour)
	laid := url.Values{"coat": {"1"}, "what": {"laid"}, "age": {"600000"}}
	status, body = press("aaaaaaaa1", laid)
	want(t, "laid", status, body, 200, "Seen: coat 1 laid 07:20", "coat 2 today.", "Coat 1 dry", "Take back: coat 1 laid 07:20")
	status, body = press("aaaaaaaa1", laid)
	want(t, "sent again", status, body, 200, "Seen: coat 1 laid 07:20.")
	status, body = press("aaaaaaaa2", laid)
	want(t, "another tab", status, body, 422, "it came at 07:20 already", "Seen: coat 1 laid 07:20.")
	status, body = press("aaaaaaaa3", url.Values{"coat": {"2"}, "what": {"gone"}})
	want(t, "out of order", status, body, 422, "not laid before")
	status, body = press("aaaaaaaa4", url.Values{"coat": {"1"}, "what": {"dry"}, "age": {"-60000"}})
	want(t, "a phone put back", status, body, 422, "clock was changed")
	status, body = press("aaaaaaaa5", url.Values{"coat": {"1"}, "what": {"dry"}, "job": {"Another job"}})
	want(t, "another job", status, body, 422, "it was pressed for Another job")
	status, body = press("<b>", laid)
	want(t, "no id", status, body, 422, "no id of its own")
	s.clock.add(10 * time.Minute)
	status, body = press("aaaaaaaa6", url.Values{"coat": {"1"}, "what": {"dry"}, "looked": {"yes"}})
	want(t, "looked", status, body, 200, "not yet dry 07:40")
	s.clock.add(20 * time.Minute)
	status, body = press("aaaaaaaa7", url.Values{"coat": {"1"}, "what": {"dry"}})
	want(t, "dry", status, body, 200, "coat 1 dry 08:00", "Coat 2 laid")
	entry := regexp.MustCompile(`name="entry" value="(\d+)"`).FindStringSubmatch(body)
	status, body = press("aaaaaaaa8", url.Values{"what": {"undo"}, "entry": {entry[1]}})
	want(t, "taken back", status, body, 200, "Coat 1 dry", "Looked: coat 1 not yet dry")
	if strings.Contains(body, "coat 1 dry 08:00,") {
		t.Error("what was taken back still stands")
	}
	got := strings.Join(events(t, book), "; ")
	if w := "1 laid at 07:20; 1 not yet dry at 07:40"; got != w {
		t.Errorf("the diary has %s; not %s", got, w)
	}
	entries, _, _ := diary.Read(book)
	predicted := 0
	for _, e := range entries {
		if e.Kind == diary.Prediction {
			predicted++
		}
	}
	if predicted == 0 {
		t.Error("no answer was noted in the diary")
	}
	if code := s.end(); code != ExitInterrupted {
		t.Errorf("it ended with %d", code)
	}
}

// TestServeOverDays: what was read and seen outlives the program and the night, and the day is said with it; after the last coat another wall
// can be begun.
func TestServeOverDays(t *testing.T) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	status, body := s.post("/job/1/reading", url.Values{"temp": {"15"}, "rh": {"60"}})
	want(t, "a reading", status, body, 200, "In use: 15 C, 60 %")
	press := func(id string, more url.Values) (int, string) {
		t.Helper()
		form := url.Values{"id": {id}, "job": {"Back stairs"}}
		for k, v := range more {
			form[k] = v
		}
		return s.post("/job/1/press", form)
	}
	status, body = press("aaaaaaaa1", url.Values{"coat": {"1"}, "what": {"laid"}})
	want(t, "laid", status, body, 200, "Seen: coat 1 laid 06:30.")
	s.end()

	s = serving(t, folder, path)
	s.clock.add(time.Hour)
	status, body = s.get("/")
	want(t, "started anew", status, body, 200, "In use: 15 C, 60 %", "Seen: coat 1 laid 06:30.")
	s.clock.add(23 * time.Hour)
	status, body = s.get("/")
	want(t, "the next day", status, body, 200, "Seen: coat 1 laid Tue 14 Apr 06:30.", "Take back: coat 1 laid Tue 14 Apr 06:30", "Coat 1 dry")
	status, body = s.post("/job/1/reading", url.Values{"temp": {"16"}, "rh": {"60"}})
	want(t, "another reading", status, body, 200, "In use: 16 C, 60 %")
	for i, e := range []url.Values{{"coat": {"1"}, "what": {"dry"}}, {"coat": {"2"}, "what": {"laid"}}, {"coat": {"2"}, "what": {"gone"}}} {
		s.clock.add(5 * time.Minute)
		status, body = press(fmt.Sprintf("bbbbbbbb%d", i), e)
		want(t, "the second coat", status, body, 200)
	}
	want(t, "all done", status, body, 200, "Seen: coat 1 laid Tue 14 Apr 06:30, coat 1 dry 06:35, coat 2 laid 06:40, coat 2 gone 06:45.", "Coat 1 laid")
	s.clock.add(5 * time.Minute)
	status, body = press("cccccccc1", url.Values{"coat": {"1"}, "what": {"laid"}})
	want(t, "another wall", status, body, 200, "Seen: coat 1 laid 06:50.", "Coat 1 dry")
}

// TestServeFurtherCoat: a last coat that was missed is answered on the page with a further one, which can be pressed as laid; one more than that
// the job does not have.
func TestServeFurtherCoat(t *testing.T) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	s.post("/job/1/reading", url.Values{"temp": {"16C"}, "rh": {"58"}})
	book, err := diary.Open(filepath.Join(folder, "stairs.diary"), s.clock.Now)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range []struct {
		coat float64
		what string
	}{{1, "laid"}, {2, "laid"}, {2, "missed"}} {
		s.clock.add(2 * time.Hour)
		if _, err := book.Append(diary.Entry{Kind: diary.Event, At: s.clock.Now(), Data: map[string]any{"coat": e.coat, "what": e.what}}); err != nil {
			t.Fatal(err)
		}
	}
	s.clock.add(time.Hour)
	status, body := s.get("/job/1")
	want(t, "missed", status, body, 200, "Leave it matt", "Coat 3 laid")
	status, body = s.post("/job/1/press", url.Values{"id": {"aaaaaaaa1"}, "job": {"Back stairs"}, "coat": {"4"}, "what": {"laid"}})
	want(t, "one too many", status, body, 422, "3 coats")
	status, body = s.post("/job/1/press", url.Values{"id": {"aaaaaaaa2"}, "job": {"Back stairs"}, "coat": {"3"}, "what": {"laid"}})
	want(t, "the further coat", status, body, 200, "coat 3 laid")
}

// TestServePressesAtOnce: many phones press the same at once, and one entry stands.
func TestServePressesAtOnce(t *testing.T) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	s.post("/job/1/reading", url.Values{"temp": {"15C"}, "rh": {"60"}})
	s.clock.add(time.Hour)
	var wg sync.WaitGroup
	for i := range 12 {
		wg.Go(func() {
			r, err := s.client.PostForm(s.base+"/job/1/press", url.Values{"id": {fmt.Sprintf("phone%05d", i/2)}, "job": {"Back stairs"}, "coat": {"1"}, "what": {"laid"}})
			if err != nil {
				t.Error(err)
				return
			}
			r.Body.Close()
		})
	}
	wg.Wait()
	if got := events(t, filepath.Join(folder, "stairs.diary")); len(got) != 1 {
		t.Errorf("the diary has %q", got)
	}
}

// TestServeExamples: without a job the examples are there, in both sets of units, and keep no diary.
func TestServeExamples(t *testing.T) {
	s := serving(t, t.TempDir())
	status, body := s.get("/")
	want(t, "the jobs", status, body, 200, "/job/1", "/job/2")
	status, body = s.get("/job/1")
	want(t, "the hall", status, body, 200, "GO", "keep no diary", "0.2 mm", "Lime burns")
	status, body = s.get("/job/2")
	want(t, "the gable", status, body, 200, "keep no diary", "no frost until")
	status, body = s.post("/units", url.Values{"to": {"us"}, "back": {"/job/1"}})
	want(t, "US units", status, body, 200, "7.9 mil", "show metric")
	status, body = s.post("/units", url.Values{"to": {"metric"}, "back": {"//elsewhere.example/"}})
	want(t, "a way out", status, body, 200, "The jobs")
	status, body = s.get("/job/4")
	want(t, "no such job", status, body, 404, "no such job")
	status, body = s.get("/job/3/wall")
	want(t, "the wall", status, body, 200, "Stair wall", "the wall and the crew", "Ina", "Patch by patch", "section 1", "Wet lime burns")
	if n := strings.Count(body, "<svg "); n < 2 {
		t.Errorf("%d drawings of the wall and of the hands", n)
	}
	status, body = s.get("/job/2/wall")
	want(t, "walls outdoors", status, body, 200, "gable, patch by patch", "yard side, patch by patch", "NO-GO")
	status, body = s.get("/job/1/year")
	want(t, "the year of a room", status, body, 200, "walls outdoors")
	status, body = s.post("/job/1/press", url.Values{"id": {"aaaaaaaa1"}, "coat": {"1"}, "what": {"laid"}})
	want(t, "a press", status, body, 422, "keep no diary")
}

// TestServeBench: what is typed in one unit is answered in the other, and what cannot be is told beside its field.
func TestServeBench(t *testing.T) {
	s := serving(t, t.TempDir())
	status, body := s.get("/bench")
	want(t, "the bench", status, body, 200, "gone by", "<svg", `name="was"`)
	was := regexp.MustCompile(`name="was" value="([^"]+)"`).FindStringSubmatch(body)[1]
	q, err := url.ParseQuery(strings.ReplaceAll(was, "&amp;", "&"))
	if err != nil {
		t.Fatal(err)
	}
	change := func(k, v string) (int, string) {
		t.Helper()
		c := url.Values{"was": {q.Encode()}}
		for name := range q {
			c.Set(name, q.Get(name))
		}
		c.Set(k, v)
		return s.get("/bench?" + c.Encode())
	}
	status, body = change("rh", "85")
	want(t, "damper air", status, body, 200, "What moved, and why", "Gone by", "vapour-pressure deficit", "above the dew point")
	status, body = change("temp", "77F")
	want(t, "the other unit", status, body, 200, `value="25"`)
	for field, bad := range map[string][2]string{"temp": {"77", "did you mean 77F?"}, "rh": {"", "is empty"}, "thickness": {"12", "is no coat"}, "wall_temp": {"-60C", "outside"},
		"air_speed": {"1,5", "comma"}, "finish": {"gold", "choose one"}, "background": {"air", "choose one"}, "coat": {"9", "choose one"}, "primer": {"sweet", "choose one"}} {
		status, body = change(field, bad[0])
		want(t, field, status, body, 422, `id="w-`+field+`"`, bad[1], "see the field marked")
	}
	status, body = change("temp", "-12C")
	want(t, "a frozen face", status, body, 422, "ice is not modelled")
}

// TestServeRefuses: command lines that cannot be.
func TestServeRefuses(t *testing.T) {
	_, path := stairsFolder(t)
	taken := serving(t, t.TempDir())
	for _, tc := range []struct {
		args string
		code int
		says string
	}{
		{"serve -", 2, "not standard input"},
		{"serve " + path + " " + path + " --diary x.diary", 2, "the diary of one job"},
		{"serve " + path + " " + path, 2, "given twice"},
		{"serve --listen nowhere", 2, "not an address with a port"},
		{"serve --listen " + strings.TrimPrefix(taken.base, "http://"), 1, "may be in use"},
		{"serve missing.toml", 3, "missing.toml"},
	} {
		ctx, stop := context.WithTimeout(context.Background(), 10*time.Second)
		code, _, errs := run(ctx, strings.Fields(tc.args)...)
		stop()
		if code != tc.code || !strings.Contains(errs, tc.says) {
			t.Errorf("%s: %d %s", tc.args, code, errs)
		}
	}
}

// TestServeOnNetwork: a server that others can reach lets a phone in by a link, once, and prints the next.
func TestServeOnNetwork(t *testing.T) {
	names, near := namesOf("127.0.0.1", []byte{127, 0, 0, 1})
	if !near || names[0] != "127.0.0.1" {
		t.Errorf("loopback: %q, %v", names, near)
	}
	if names, near = namesOf("site.lan", []byte{192, 0, 2, 7}); near || names[0] != "site.lan" || names[1] != "192.0.2.7" {
		t.Errorf("an address: %q, %v", names, near)
	}
	if _, near = namesOf("0.0.0.0", []byte{0, 0, 0, 0}); near {
		t.Error("every address is not near")
	}
}

// BenchmarkBench is one change on the bench, from the form to the page's part: one run, and one with bands.
func BenchmarkBench(b *testing.B) {
	d := &desk{inv: &invocation{Env: Env{Now: time.Now}}, drawings: make(chan struct{}, benchRuns), bands: make(chan struct{}, 1)}
	for name, bands := range map[string]bool{"drawing": false, "bands": true} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				form := usualBench()
				form.Set("rh", "70")
				if p := d.Bench(context.Background(), form, 0, bands); p.Fault != "" {
					b.Fatal(p.Fault)
				}
			}
		})
	}
}

// FuzzBench types anything into the bench.
func FuzzBench(f *testing.F) {
	f.Add("18", "55", "0.08", "0.1", "", "polished-lime", "brick", "3", "metric")
	f.Add("68F", "1e9", "-1mil", "nan", "-40C", "float-coat", "primed-board", "1", "us")
	f.Add("50C", "1", "0.01mm", "30m/s", "50C", "polished-lime", "primed-board", "2", "metric") // at the edges of what can be
	f.Add("49.99C", "99.6", "8mm", "29.999m/s", "49.99C", "polished-lime", "brick", "2", "metric")
	f.Add("5C", "100", "60mm", "0", "5C", "nhl-render", "brick", "1", "us")
	f.Add("40", "1.4", "0.4mil", "67mph", "", "marble-coat", "brick", "1", "us")
	d := &desk{inv: &invocation{Env: Env{Now: time.Now, Members: 3}}, drawings: make(chan struct{}, benchRuns), bands: make(chan struct{}, 1)}
	f.Fuzz(func(t *testing.T, temp, rh, thick, speed, wall, finish, back, coat, units string) {
		form := usualBench()
		for k, v := range map[string]string{"temp": temp, "rh": rh, "thickness": thick, "air_speed": speed, "wall_temp": wall, "finish": finish, "background": back, "coat": coat, "units": units} {
			form.Set(k, v)
		}
		form.Set("was", form.Encode())
		ctx, stop := context.WithTimeout(context.Background(), 10*time.Second)
		defer stop()
		p := d.Bench(ctx, form, quantity.Metric, false)
		if p.Fault != "" {
			return
		}
		if p.Says == "" || p.Picture == "" {
			t.Errorf("%v: neither an answer nor a fault", form)
		}
		// what the fields then say is the same bench, in either units
		for _, u := range []quantity.Units{quantity.Metric, quantity.US} {
			again, err := url.ParseQuery(p.Was)
			if err != nil {
				t.Fatal(err)
			}
			if p = d.Bench(ctx, again, u, false); p.Fault != "" {
				t.Fatalf("%v becomes %v: %s", form, again, p.Fault)
			}
		}
	})
}
