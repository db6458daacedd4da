package page

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/net/html"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
)

// parrot is a desk that says back whatever it is told.
type parrot struct {
	mu      sync.Mutex
	presses []Press
}

func (*parrot) Jobs() []string { return []string{"Hall", "<script>alert(1)</script>"} }
func (*parrot) Today(_ context.Context, n int, _ quantity.Units) Today {
	return Today{Name: []string{"Hall", `"><img src=x onerror=alert(1)>`}[n], Sheet: &sheet.Page{Verdict: "GO", Says: "<b>now</b>", Reasons: []string{"'\"><script>"}},
		Reading: []Field{{Name: "temp", Label: "Air", Numeric: true}}, Presses: []Button{{Label: "Coat 1 laid", Coat: 1, What: "laid", ID: NewID()}}, Seen: []string{"</section>"}}
}
func (*parrot) Read(_ context.Context, _ int, f url.Values, _ quantity.Units) error {
	if t := f.Get("temp"); t != "15" {
		return &FormError{Fields: map[string]string{"temp": "not " + t}}
	}
	return nil
}
func (d *parrot) Press(_ context.Context, _ int, p Press) (string, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.presses = append(d.presses, p)
	switch p.Job {
	case "busy":
		return "", &BusyError{errors.New("another program is writing to it")}
	case "Hall":
		return "entered " + p.ID, nil
	}
	return "", errors.New("not for " + p.Job)
}
func (*parrot) Bench(_ context.Context, f url.Values, _ quantity.Units, _ bool) Bench {
	b := Bench{Says: f.Get("temp"), Was: f.Encode(), Moved: []string{f.Get("was")}, Tables: []Table{{Caption: f.Get("rh"), Head: []string{"a"}, Rows: [][]string{{"b"}}}}}
	for k := range f {
		b.Fields = append(b.Fields, Field{Name: "temp", Label: k, Value: f.Get(k), Fault: f.Get(k)})
	}
	return b
}
func (*parrot) Year(_ context.Context, n int, _ quantity.Units) Year {
	return Year{Name: "Hall", Working: n == 0, Says: []string{"<i>"}, Asked: true}
}
func (*parrot) WorkYear(int) error { return errors.New("no <weather>") }
func (*parrot) Practice(_ context.Context, f url.Values, _ quantity.Units, is bool) Practice {
	return Practice{Title: f.Get("level"), Question: f.Get("answer"), Marked: is, Mark: f.Get("answer"), Next: "/practice?" + f.Encode(), Hidden: map[string]string{"name": f.Get("name")}, Answer: []Field{{Name: "answer", Value: f.Get("answer")}}}
}

const host = "127.0.0.1:8340"

func site1() (http.Handler, *parrot) {
	d := &parrot{}
	return (&Guard{Hosts: []string{host, "localhost:8340"}}).Wrap(New(d, quantity.Metric)), d
}

func ask(h http.Handler, method, target, body string, headers ...string) *httptest.ResponseRecorder {
	var r io.Reader
	if body != "" {
		r = strings.NewReader(body)
	}
	req := httptest.NewRequest(method, target, r)
	req.Host = host
	if body != "" {
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" {
			req.Host = headers[i+1]
		} else {
			req.Header.Set(headers[i], headers[i+1])
		}
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, req)
	return w
}

// TestGuard: who may ask what.
func TestGuard(t *testing.T) {
	const press = "id=aaaaaaaa1&job=Hall&coat=1&what=laid"
	for _, tc := range []struct {
		name, method, target, body string
		headers                    []string
		want                       int
	}{
		{"its own name", "GET", "/job/1", "", nil, 200},
		{"localhost", "GET", "/job/1", "", []string{"Host", "LOCALHOST:8340"}, 200},
		{"another name", "GET", "/job/1", "", []string{"Host", "evil.example:8340"}, 403},
		{"no port", "GET", "/job/1", "", []string{"Host", "127.0.0.1"}, 403},
		{"no host", "GET", "/job/1", "", []string{"Host", ""}, 403},
		{"a press", "POST", "/job/1/press", press, []string{"Origin", "http://" + host}, 303},
		{"a press of the page", "POST", "/job/1/press", press, []string{"Sec-Fetch-Site", "same-origin"}, 303},
		{"a press from elsewhere", "POST", "/job/1/press", press, []string{"Origin", "http://evil.example"}, 403},
		{"a press of a foreign page", "POST", "/job/1/press", press, []string{"Sec-Fetch-Site", "cross-site"}, 403},
		{"an origin that hides", "POST", "/job/1/press", press, []string{"Origin", "null"}, 403},
		{"a foreign page that reads", "GET", "/job/1", "", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Sec-Fetch-Dest", "image"}, 403},
		{"a link from elsewhere", "GET", "/job/1", "", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}, 200},
		{"a frame elsewhere", "GET", "/job/1", "", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"}, 403},
		{"10 MB", "POST", "/job/1/press", strings.Repeat("x", 10<<20), nil, 413},
		{"out of the assets", "GET", "/assets/../page.go", "", nil, 307},
		{"out of the assets, hidden", "GET", "/assets/%2e%2e/page.go", "", nil, 404},
		{"the list of assets", "GET", "/assets/", "", nil, 404},
		{"an asset", "GET", "/assets/page.css", "", nil, 200},
		{"no such job", "GET", "/job/99999999999999999999", "", nil, 404},
		{"job -1", "GET", "/job/-1", "", nil, 404},
		{"no such page", "GET", "/etc/passwd", "", nil, 404},
		{"another method", "DELETE", "/job/1", "", nil, 404},
		{"a press without a body", "POST", "/job/1/press", "", nil, 422},
		{"a broken body", "POST", "/job/1/press", "%zz", nil, 400},
		{"a busy diary", "POST", "/job/1/press", "id=aaaaaaaa1&job=busy&coat=1&what=laid", nil, 503},
		{"a long address", "GET", "/bench?x=" + strings.Repeat("y", 5000), "", nil, 414},
	} {
		h, _ := site1()
		w := ask(h, tc.method, tc.target, tc.body, tc.headers...)
		if w.Code != tc.want && !(tc.want == 307 && w.Code == 301) {
			t.Errorf("%s: %d, not %d: %s", tc.name, w.Code, tc.want, w.Body)
		}
		sealed(t, w)
	}
}

// sealed asks of every answer: the policy, no sniffing, and nothing of what came in turned into a script or an attribute.
func sealed(t fataler, w *httptest.ResponseRecorder) {
	t.Helper()
	if !strings.HasPrefix(w.Header().Get("Content-Security-Policy"), "default-src 'none'") || w.Header().Get("X-Content-Type-Options") != "nosniff" {
		t.Fatalf("headers %v", w.Header())
	}
	if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
		return
	}
	doc, err := html.Parse(w.Body)
	if err != nil {
		t.Fatalf("%v", err)
	}
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if n.Data == "script" && (n.FirstChild != nil || len(n.Attr) != 2) || n.Data == "img" || n.Data == "iframe" || n.Data == "style" || n.Data == "base" {
			t.Fatalf("an element %s %v", n.Data, n.Attr)
		}
		for _, a := range n.Attr {
			v := strings.ToLower(strings.TrimSpace(a.Val))
			if strings.HasPrefix(a.Key, "on") || a.Key == "style" || (a.Key == "href" || a.Key == "action" || a.Key == "src") && !strings.HasPrefix(v, "/") && !strings.HasPrefix(v, "#") || strings.HasPrefix(v, "//") && a.Key != "value" {
				t.Fatalf("an attribute %s=%q of %s", a.Key, a.Val, n.Data)
			}
		}
	}
}

type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

// TestLimits: a body without a length is cut off too, and nothing of it is done.
func TestLimits(t *testing.T) {
	h, d := site1()
	srv := httptest.NewUnstartedServer(h)
	srv.Config.ReadHeaderTimeout = 100 * time.Millisecond
	srv.Start()
	defer srv.Close()
	body := io.MultiReader(strings.NewReader("id=aaaaaaaa1&job=Hall&coat=1&what=laid&x="), io.LimitReader(neverEnding('y'), 10<<20))
	req, _ := http.NewRequest("POST", srv.URL+"/job/1/press", body)
	req.Host = host
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	res, err := srv.Client().Do(req)
	if err == nil { // or the server hung up while it was still being sent
		defer res.Body.Close()
		if res.StatusCode != http.StatusRequestEntityTooLarge {
			t.Errorf("status %d", res.StatusCode)
		}
	}
	if len(d.presses) > 0 {
		t.Errorf("%v was entered", d.presses)
	}
	// a connection that never says what it wants is ended
	c, err := net.Dial("tcp", srv.Listener.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprint(c, "GET / HTTP/1.1\r\nHo")
	_ = c.SetReadDeadline(time.Now().Add(10 * time.Second))
	if _, err := io.ReadAll(c); err != nil {
		t.Errorf("it was not ended: %v", err)
	}
}

type neverEnding byte

func (b neverEnding) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(b)
	}
	return len(p), nil
}

// TestLink: a link opens by its button, once; the next one is told; several phones are in at once, and an old one stays.
func TestLink(t *testing.T) {
	var links []string
	g := &Guard{Hosts: []string{host}, Invite: func(path string) { links = append(links, path) }}
	h := g.Wrap(New(&parrot{}, quantity.Metric))
	g.Open()
	if w := ask(h, "GET", "/job/1", ""); w.Code != 403 || !strings.Contains(w.Body.String(), "opens with a link") {
		t.Errorf("without a session: %d", w.Code)
	}
	enter := func(path string) *httptest.ResponseRecorder {
		return ask(h, "POST", "/enter", strings.TrimPrefix(path, "/enter?"))
	}
	if w := enter("/enter?link="); w.Code != 403 {
		t.Errorf("an empty link: %d", w.Code)
	}
	for range 3 { // looked at by a program before it is opened
		if w := ask(h, "GET", links[0], ""); w.Code != 200 || len(w.Result().Cookies()) > 0 {
			t.Errorf("looking: %d", w.Code)
		}
	}
	var sessions []string
	for i := range 3 {
		w := enter(links[i])
		if w.Code != 303 || len(w.Result().Cookies()) != 1 {
			t.Fatalf("link %d: %d", i, w.Code)
		}
		c := w.Result().Cookies()[0]
		if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode {
			t.Errorf("cookie %v", c)
		}
		sessions = append(sessions, c.Name+"="+c.Value)
		if w := enter(links[i]); w.Code != 403 {
			t.Errorf("link %d a second time: %d", i, w.Code)
		}
	}
	for _, s := range sessions {
		if w := ask(h, "GET", "/job/1", "", "Cookie", s); w.Code != 200 {
			t.Errorf("with a session: %d", w.Code)
		}
	}
	slices.Sort(links)
	if len(slices.Compact(links)) != 4 {
		t.Errorf("links %q", links)
	}
}

// TestPress: what a press says of itself is read, and what cannot be is refused in words.
func TestPress(t *testing.T) {
	h, d := site1()
	w := ask(h, "POST", "/job/1/press", "id=abcdefgh12&job=Hall&coat=2&what=damp&looked=yes&age=61000.5", scripted, "page")
	if w.Code != 200 || w.Body.String() != "entered abcdefgh12" {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if want := (Press{ID: "abcdefgh12", Job: "Hall", Coat: 2, What: "damp", Looked: true, Age: 61000 * time.Millisecond}); len(d.presses) != 1 || d.presses[0] != want {
		t.Errorf("%+v", d.presses)
	}
	for body, says := range map[string]string{
		"id=short&coat=1&what=laid":                      "no id of its own",
		"id=ABCDEFGHIJ&coat=1&what=laid":                 "no id of its own",
		"id=abcdefgh12&coat=x&what=laid":                 "of which coat",
		"id=abcdefgh12&what=undo":                        "which entry",
		"id=abcdefgh12&coat=1&what=laid&age=-3600000":    "clock was changed",
		"id=abcdefgh12&coat=1&what=laid&age=1e99":        "clock was changed",
		"id=abcdefgh12&coat=1&what=laid&age=NaN":         "clock was changed",
		"id=abcdefgh12&coat=1&what=laid&job=Other%20one": "not for Other one",
	} {
		w := ask(h, "POST", "/job/1/press", body, scripted, "page")
		if w.Code != 422 || !strings.Contains(w.Body.String(), says) || regexp.MustCompile(`\.\.$`).MatchString(w.Body.String()) {
			t.Errorf("%s: %d %s", body, w.Code, w.Body)
		}
	}
}

// FuzzHandlers sends anything: never a panic, never a fault of the server's own, always sealed.
func FuzzHandlers(f *testing.F) {
	f.Add("GET", "/job/1", "", "", "", "")
	f.Add("POST", "/job/2/press", "id=aaaaaaaa1&job=<b>&coat=1&what=laid", host, "http://"+host, "page")
	f.Add("GET", "/bench?temp=%22%3E%3Cscript%3E&was=javascript:alert(1)&rh='", "", "", "", "page")
	f.Add("POST", "/practice", "level=//evil.example&answer=<svg onload=x>&name=\"", "", "", "")
	f.Add("POST", "/units", "to=us&back=//evil.example", "", "", "")
	f.Add("POST", "/job/1/reading", "temp=\x00<&units=us", "", "", "")
	f.Fuzz(func(t *testing.T, method, target, body, hostname, origin, part string) {
		u, err := url.ParseRequestURI(target)
		if err != nil || !strings.HasPrefix(target, "/") || u.Host != "" || !regexp.MustCompile(`^[A-Z]{1,10}$`).MatchString(method) {
			return
		}
		req := &http.Request{Method: method, URL: u, Host: host, RequestURI: target, Header: http.Header{"Content-Type": {"application/x-www-form-urlencoded"}}, Body: io.NopCloser(strings.NewReader(body)), ContentLength: int64(len(body))}
		if hostname != "" {
			req.Host = hostname
		}
		if origin != "" {
			req.Header.Set("Origin", origin)
		}
		if part != "" {
			req.Header.Set(scripted, "page")
		}
		h, _ := site1()
		w := httptest.NewRecorder()
		h.ServeHTTP(w, req)
		if w.Code >= 500 && w.Code != 503 {
			t.Fatalf("%d", w.Code)
		}
		if to := w.Header().Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.HasPrefix(to, "/\\")) {
			t.Fatalf("sent to %q", to)
		}
		sealed(t, w)
	})
}
