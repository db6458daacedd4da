package page

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// clean fails where a page has a script, a handler, a style or an address that its templates do not have.
func clean(t *testing.T, page string) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	allowed := strings.Fields("html head meta title link script body a header nav ul li form input button div h1 h2 h3 p main section dl dt dd table caption thead tbody tr th td label span select option small strong br figure details summary")
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if !slices.Contains(allowed, n.Data) {
			t.Errorf("the page has a %s:\n%s", n.Data, page)
		}
		for _, a := range n.Attr {
			switch {
			case strings.HasPrefix(a.Key, "on"), a.Key == "style", a.Key == "srcdoc", a.Key == "formaction":
				t.Errorf("%s has %s=%q", n.Data, a.Key, a.Val)
			case n.Data == "script" && a.Key == "src" && a.Val != "/assets/page.js", n.Data == "link" && a.Key == "href" && a.Val != "/assets/page.css":
				t.Errorf("%s of %q", n.Data, a.Val)
			case a.Key == "src" && n.Data != "script":
				t.Errorf("%s of %q", n.Data, a.Val)
			case a.Key == "href" || a.Key == "action":
				if !strings.HasPrefix(a.Val, "/") && a.Val != "#main" || strings.HasPrefix(a.Val, "//") {
					t.Errorf("%s leads to %q", n.Data, a.Val)
				}
			}
		}
		if n.Data == "script" && n.FirstChild != nil {
			t.Errorf("a script inside the page:\n%s", page)
		}
	}
}

// TestClean: the check itself finds what it is for.
func TestClean(t *testing.T) {
	h, _ := guarded()
	for _, path := range []string{"/", "/job/1", "/job/2", "/job/1/year", "/job/2/year", "/job/1/wall", "/job/2/wall", "/bench?temp=" + url.QueryEscape(hostile) + "&rh=" + url.QueryEscape(hostile) + "&job=" + url.QueryEscape(hostile),
		"/practice?title=" + url.QueryEscape(hostile) + "&temp=" + url.QueryEscape(hostile) + "&exercise=" + url.QueryEscape(hostile)} {
		body := text(t, answer(h, asked("GET", path, "")))
		clean(t, body)
		if strings.Contains(body, "<script>") || strings.Contains(body, "<img") {
			t.Errorf("%s is not escaped", path)
		}
	}
}

// FuzzHandlers: whatever is asked, the answer is whole, guarded and without what the asker would put in.
func FuzzHandlers(f *testing.F) {
	form := "application/x-www-form-urlencoded"
	f.Add("GET", "/", "", host, "", "", form, "", false)
	f.Add("GET", "/job/1", "", host, "", "none", form, "limeday-units=us", true)
	f.Add("GET", "/bench?temp=18&rh=55&was=temp%3D17", "", host, "", "same-origin", form, "", true)
	f.Add("GET", "/bench?temp="+url.QueryEscape(hostile)+"&rh="+url.QueryEscape(hostile), "", host, "", "", form, "", false)
	f.Add("POST", "/job/1/press", "id=aaaaaaaa1&job=Back+stairs&coat=1&what=laid&age=600000", host, "http://"+host, "same-origin", form, "", true)
	f.Add("POST", "/job/1/reading", "temp=&rh="+url.QueryEscape(hostile), host, "", "", form, "", false)
	f.Add("POST", "/job/2/year", "", host, "", "", form, "", false)
	f.Add("POST", "/practice?level=?", "rh="+url.QueryEscape(hostile)+"&title=x&kept=y", host, "", "", form, "", false)
	f.Add("POST", "/units", "to=us&back=//elsewhere.example/", host, "", "", form, "", false)
	f.Add("POST", "/units", "to=us&back=/%5celsewhere.example/", host, "", "", form, "", false)
	f.Add("GET", "/assets/../frame.html", "", host, "", "", form, "", false)
	f.Add("POST", "/enter", "link=x", "elsewhere.example", "null", "cross-site", "multipart/form-data; boundary=x", "limeday=x", false)
	f.Fuzz(func(t *testing.T, method, target, body, name, origin, site, kind, cookie string, script bool) {
		u, err := url.ParseRequestURI(target)
		if err != nil || method == "" {
			t.Skip() // the server itself refuses it
		}
		h, _ := guarded()
		r := &http.Request{Method: method, URL: u, Host: name, Proto: "HTTP/1.1", ProtoMajor: 1, ProtoMinor: 1, RequestURI: target,
			Header: http.Header{"Content-Type": {kind}, "Cookie": {cookie}}, Body: http.NoBody}
		if body != "" {
			r = r.WithContext(t.Context())
			r.Body, r.ContentLength = readCloser{strings.NewReader(body)}, int64(len(body))
		}
		for k, v := range map[string]string{"Origin": origin, "Sec-Fetch-Site": site} {
			if v != "" {
				r.Header.Set(k, v)
			}
		}
		if script {
			r.Header.Set(scripted, "page")
		}
		got := answer(h, r)
		safe(t, got)
		said := text(t, got)
		if got.StatusCode >= 500 || got.StatusCode < 200 {
			t.Errorf("%d %s", got.StatusCode, said)
		}
		if to := got.Header.Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.HasPrefix(to, "/\\") || strings.ContainsAny(to, "\r\n")) {
			t.Errorf("led to %q", to)
		}
		if name != host && name != "localhost:8340" && !strings.EqualFold(name, host) && !strings.EqualFold(name, "localhost:8340") && got.StatusCode != 403 {
			t.Errorf("the host %q is answered: %d", name, got.StatusCode)
		}
		if strings.HasPrefix(got.Header.Get("Content-Type"), "text/html") {
			clean(t, said)
		}
	})
}

type readCloser struct{ *strings.Reader }

func (readCloser) Close() error { return nil }
