package page

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"limeday/cmd/internal/quantity"
)

// TestGuardHosts: a foreign page that points a name of its own at this computer gets nothing.
func TestGuardHosts(t *testing.T) {
	h, d := guarded()
	for name, status := range map[string]int{
		host: 200, "localhost:8340": 200, "LOCALHOST:8340": 200,
		"": 403, "elsewhere.example": 403, "elsewhere.example:8340": 403, "127.0.0.1": 403, "127.0.0.1:8341": 403, "localhost.elsewhere.example:8340": 403,
		host + ".elsewhere.example": 403, "localhost:8340\x00": 403, " localhost:8340": 403, "[::1]:8340": 403, "user@localhost:8340": 403, "localhost:8340,elsewhere.example": 403,
	} {
		for _, path := range []string{"/", "/bench?temp=1", "/assets/page.js", "/nothing"} {
			r := asked("GET", path, "")
			r.Host = name
			got := answer(h, r)
			safe(t, got)
			if got.StatusCode == 403 != (status == 403) {
				t.Errorf("%q %s: %d", name, path, got.StatusCode)
			}
			if body := text(t, got); status == 403 && strings.Contains(body, "Back stairs") {
				t.Errorf("%q %s is told of the jobs", name, path)
			}
		}
		r := asked("POST", "/job/1/reading", "temp=15&rh=60")
		r.Host = name
		answer(h, r)
	}
	if d.reads != 3 {
		t.Errorf("%d readings taken, not of the three names that are right", d.reads)
	}
}

// TestGuardOrigin: what another site's page sends is refused, and a link to a page works.
func TestGuardOrigin(t *testing.T) {
	for _, tc := range []struct {
		name, method, path string
		header             map[string]string
		status             int
	}{
		{"own page", "POST", "/job/1/reading", map[string]string{"Sec-Fetch-Site": "same-origin", "Origin": "http://" + host}, 303},
		{"own page, old browser", "POST", "/job/1/reading", map[string]string{"Origin": "http://" + host}, 303},
		{"no browser", "POST", "/job/1/reading", nil, 303},
		{"typed address", "GET", "/bench?temp=1", map[string]string{"Sec-Fetch-Site": "none", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200},
		{"a link elsewhere", "GET", "/bench?temp=1", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200},
		{"a form elsewhere", "POST", "/job/1/reading", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 403},
		{"another port", "POST", "/job/1/reading", map[string]string{"Sec-Fetch-Site": "same-site"}, 403},
		{"a script elsewhere", "POST", "/job/1/press", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, 403},
		{"a form elsewhere, old browser", "POST", "/job/1/press", map[string]string{"Origin": "http://elsewhere.example"}, 403},
		{"a file", "POST", "/job/1/press", map[string]string{"Origin": "null"}, 403},
		{"https of the same name", "POST", "/job/1/press", map[string]string{"Origin": "https://elsewhere.example:8340"}, 403},
		{"a frame elsewhere", "GET", "/bench?temp=1", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, 403},
		{"an image elsewhere", "GET", "/bench?temp=1", map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image"}, 403},
		{"another method", "DELETE", "/job/1", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403},
	} {
		h, d := guarded()
		body := ""
		if tc.method == "POST" {
			body = "temp=15&rh=60&id=aaaaaaaa1&coat=1&what=laid&job=Back+stairs"
		}
		r := asked(tc.method, tc.path, body)
		for k, v := range tc.header {
			r.Header.Set(k, v)
		}
		got := answer(h, r)
		safe(t, got)
		if got.StatusCode != tc.status {
			t.Errorf("%s: %d, not %d", tc.name, got.StatusCode, tc.status)
		}
		if tc.status == 403 && d.reads+d.presses != 0 {
			t.Errorf("%s: carried out", tc.name)
		}
	}
}

// TestGuardBodies: a body larger than any form is not read, whether it says so or not, and nothing is changed.
func TestGuardBodies(t *testing.T) {
	d := &fakeDesk{}
	g := &Guard{}
	srv := httptest.NewServer(g.Wrap(New(d, quantity.Metric)))
	defer srv.Close()
	g.Hosts = []string{strings.TrimPrefix(srv.URL, "http://")}
	client := &http.Client{Timeout: 20 * time.Second}
	large := bytes.Repeat([]byte("temp=15&rh=60&"), 10<<20/14)
	for _, path := range []string{"/job/1/reading", "/job/1/press", "/job/1/year", "/units", "/practice"} {
		for _, known := range []bool{true, false} {
			var body io.Reader = bytes.NewReader(large)
			if !known {
				body = struct{ io.Reader }{body} // sent in chunks
			}
			r, err := http.NewRequest("POST", srv.URL+path, body)
			if err != nil {
				t.Fatal(err)
			}
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			got, err := client.Do(r)
			if err != nil {
				// the server may close before all is sent, which is the point; the answer is then lost to this client
				if known && !strings.Contains(err.Error(), "reset") && !strings.Contains(err.Error(), "broken pipe") {
					t.Errorf("%s: %v", path, err)
				}
				continue
			}
			safe(t, got)
			says := text(t, got)
			got.Body.Close()
			if got.StatusCode != 413 || !strings.Contains(says, "larger than any form") {
				t.Errorf("%s, length known %v: %d %s", path, known, got.StatusCode, says)
			}
		}
	}
	// a file where a form is expected is no form
	r, _ := http.NewRequest("POST", srv.URL+"/job/1/reading", strings.NewReader("--x\r\nContent-Disposition: form-data; name=\"temp\"\r\n\r\n15\r\n--x--"))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	if got, err := client.Do(r); err != nil || got.StatusCode != 422 {
		t.Errorf("a file: %v %v", got, err)
	}
	if d.reads+d.presses+d.years != 0 {
		t.Error("something was carried out")
	}
}

// TestGuardSlow: a body that never comes to its end ends with a message, not with a reading half taken, and a connection that
// never says what it wants is closed.
func TestGuardSlow(t *testing.T) {
	d := &fakeDesk{}
	g := &Guard{}
	srv := httptest.NewUnstartedServer(g.Wrap(New(d, quantity.Metric)))
	srv.Config.ReadTimeout, srv.Config.ReadHeaderTimeout = 300*time.Millisecond, 200*time.Millisecond
	srv.Start()
	defer srv.Close()
	address := strings.TrimPrefix(srv.URL, "http://")
	g.Hosts = []string{address}
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	_ = c.SetDeadline(time.Now().Add(20 * time.Second))
	fmt.Fprintf(c, "POST /job/1/reading HTTP/1.1\r\nHost: %s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 400\r\n\r\ntemp=15&rh=60", address)
	b, err := io.ReadAll(c) // the server closes
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(b), "400 Bad Request") || !strings.Contains(string(b), "nothing was changed") {
		t.Errorf("%s", b)
	}
	for _, begun := range []string{"", "GET / HTTP/1.1\r\nHo"} {
		c, err := net.Dial("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		_ = c.SetDeadline(time.Now().Add(20 * time.Second))
		fmt.Fprint(c, begun)
		if _, err := io.ReadAll(c); err != nil {
			t.Errorf("after %q it is not closed: %v", begun, err)
		}
	}
	// one that is cut
	c, err = net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(c, "POST /job/1/reading HTTP/1.1\r\nHost: %s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 400\r\n\r\ntemp=15&rh=60", address)
	c.Close()
	srv.Close()
	if d.reads != 0 {
		t.Error("a reading was taken from a form that had not all come")
	}
}

// invited is a server that wants a link, and the links that it gave.
type invited struct {
	*httptest.Server
	mu    sync.Mutex
	links []string
}

func (i *invited) newest() string {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.links[len(i.links)-1]
}

func (i *invited) given() int {
	i.mu.Lock()
	defer i.mu.Unlock()
	return len(i.links)
}

func invite(t *testing.T) *invited {
	t.Helper()
	i := &invited{}
	g := &Guard{Invite: func(path string) {
		i.mu.Lock()
		defer i.mu.Unlock()
		i.links = append(i.links, path)
	}}
	i.Server = httptest.NewServer(g.Wrap(New(&fakeDesk{}, quantity.Metric)))
	t.Cleanup(i.Close)
	g.Hosts = []string{strings.TrimPrefix(i.URL, "http://")}
	g.Open()
	return i
}

// phone is a client that keeps its cookies.
func phone(t *testing.T) *http.Client {
	t.Helper()
	jar := newJar(t)
	return &http.Client{Jar: jar, Timeout: 20 * time.Second}
}

// TestGuardLink: each link lets one phone in; looking at it does not use it up.
func TestGuardLink(t *testing.T) {
	s := invite(t)
	get := func(c *http.Client, path string) (int, string) {
		t.Helper()
		r, err := c.Get(s.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		safe(t, r)
		return r.StatusCode, text(t, r)
	}
	enter := func(c *http.Client, path string) (int, string) {
		t.Helper()
		_, link, _ := strings.Cut(path, "link=")
		r, err := c.PostForm(s.URL+"/enter", url.Values{"link": {link}})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		safe(t, r)
		return r.StatusCode, text(t, r)
	}
	first, second := phone(t), phone(t)
	for _, path := range []string{"/", "/job/1", "/bench?temp=1", "/practice", "/job/1/year", "/job/1/wall", "/nothing"} {
		if status, body := get(first, path); status != 403 || !strings.Contains(body, "opens with a link") || strings.Contains(body, "Back stairs") {
			t.Errorf("%s without a link: %d %s", path, status, body)
		}
	}
	if status, _ := get(first, "/assets/page.css"); status != 200 {
		t.Error("the door has no style")
	}
	link := s.newest()
	if !regexp.MustCompile(`^/enter\?link=[a-z0-9]{26}$`).MatchString(link) {
		t.Errorf("the link is %s", link)
	}
	for range 3 { // a program that looks at links first
		if status, body := get(second, link); status != 200 || !strings.Contains(body, "Open limeday here") {
			t.Errorf("the link: %d %s", status, body)
		}
	}
	for _, wrong := range []string{"", "/enter?link=", "/enter?link=aaaaaaaaaaaaaaaaaaaaaaaaaa", link + "a"} {
		if status, _ := enter(second, wrong); status != 403 {
			t.Errorf("%q lets in: %d", wrong, status)
		}
	}
	if s.given() != 1 {
		t.Error("a wrong link brings a new one")
	}
	if status, body := enter(first, link); status != 200 || !strings.Contains(body, "Back stairs") {
		t.Errorf("the first phone: %d %s", status, body)
	}
	if status, body := enter(second, link); status != 403 || !strings.Contains(body, "used already") {
		t.Errorf("the link again: %d %s", status, body)
	}
	if s.given() != 2 || s.newest() == link {
		t.Fatal("no next link")
	}
	if status, _ := enter(second, s.newest()); status != 200 {
		t.Errorf("the second phone: %d", status)
	}
	for _, c := range []*http.Client{first, second} {
		if status, _ := get(c, "/bench?temp=1"); status != 200 {
			t.Errorf("a phone that is in: %d", status)
		}
	}
	// two phones take one link at once: one is in
	link = s.newest()
	var wg sync.WaitGroup
	var mu sync.Mutex
	in := 0
	for range 8 {
		c := phone(t)
		wg.Go(func() {
			_, secret, _ := strings.Cut(link, "link=")
			r, err := c.PostForm(s.URL+"/enter", url.Values{"link": {secret}})
			if err != nil {
				t.Error(err)
				return
			}
			defer r.Body.Close()
			mu.Lock()
			defer mu.Unlock()
			if r.StatusCode == 200 {
				in++
			}
		})
	}
	wg.Wait()
	if in != 1 {
		t.Errorf("one link let %d phones in", in)
	}
	// a session that was made up
	r, _ := http.NewRequest("GET", s.URL+"/job/1", nil)
	r.AddCookie(&http.Cookie{Name: sessionCookie, Value: "aaaaaaaaaaaaaaaaaaaaaaaaaa"})
	if got, err := http.DefaultClient.Do(r); err != nil || got.StatusCode != 403 {
		t.Errorf("a session made up: %v %v", got, err)
	}
}

// TestGuardManyPhones: the oldest goes out when there are too many.
func TestGuardManyPhones(t *testing.T) {
	var link string
	g := &Guard{Hosts: []string{host}, Invite: func(path string) { _, link, _ = strings.Cut(path, "link=") }}
	g.Open()
	h := g.Wrap(New(&fakeDesk{}, quantity.Metric))
	var cookies []*http.Cookie
	for range mostSessions + 1 {
		got := answer(h, asked("POST", "/enter", "link="+link))
		if got.StatusCode != 303 || len(got.Cookies()) != 1 || !got.Cookies()[0].HttpOnly || got.Cookies()[0].SameSite != http.SameSiteStrictMode {
			t.Fatalf("%d %v", got.StatusCode, got.Cookies())
		}
		cookies = append(cookies, got.Cookies()[0])
	}
	for i, status := range map[int]int{0: 403, 1: 200, mostSessions: 200} {
		r := asked("GET", "/job/1", "")
		r.AddCookie(cookies[i])
		if got := answer(h, r); got.StatusCode != status {
			t.Errorf("phone %d: %d", i, got.StatusCode)
		}
	}
}
