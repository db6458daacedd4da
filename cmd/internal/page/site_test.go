package page

import (
	"errors"
	"net/http"
	"net/http/cookiejar"
	"strings"
	"testing"
	"time"
)

func newJar(t *testing.T) http.CookieJar {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return jar
}

// TestPaths: only the pages and their two files are there.
func TestPaths(t *testing.T) {
	h, _ := guarded()
	for path, status := range map[string]int{
		"/": 200, "/job/1": 200, "/job/2": 200, "/job/1/year": 200, "/job/1/wall": 200, "/job/3/wall": 404, "/bench?temp=1": 200, "/practice": 200, "/enter": 303, "/favicon.ico": 204,
		"/assets/page.css": 200, "/assets/page.js": 200,
		"/assets/": 404, "/assets": 307, "/assets/page.go": 404, "/assets/page.css/": 404, "/assets/%2e%2e/frame.html": 404, "/assets/..%2fframe.html": 404, "/assets/../frame.html": 307,
		"/assets/..%5cframe.html": 404, "/assets//page.css": 307, "/assets/.": 307, "/frame.html": 404, "/%2e%2e/%2e%2e/etc/passwd": 404, "/etc/passwd": 404, "//elsewhere.example/": 307,
		"/job/": 404, "/job/0": 404, "/job/3": 404, "/job/-1": 404, "/job/1e0": 404, "/job/9223372036854775808": 404, "/job/%00": 404, "/job/1/": 404, "/job/1/press": 404,
		"/job/1%2fyear": 404, "/bench/": 404, "/debug/pprof/": 404, "/bench?temp=%zz": 422, "/bench?" + strings.Repeat("a", 5000): 414,
	} {
		r := answer(h, asked("GET", path, ""))
		safe(t, r)
		if r.StatusCode != status && !(status == 307 && r.StatusCode == 301) {
			t.Errorf("%.60s: %d, not %d", path, r.StatusCode, status)
		}
		if to := r.Header.Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//")) {
			t.Errorf("%.60s leads to %s", path, to)
		}
		if body := text(t, r); strings.Contains(body, "{{define") || strings.Contains(body, "page.css</a>") {
			t.Errorf("%.60s shows what it is made of", path)
		}
	}
}

// TestMethods: what changes something is a POST, and nothing else is answered to it.
func TestMethods(t *testing.T) {
	for _, method := range []string{"PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND", "get", "CONNECT"} {
		h, d := guarded()
		for _, path := range []string{"/", "/job/1", "/job/1/reading", "/job/1/press", "/job/1/year", "/bench", "/practice", "/units", "/assets/page.js"} {
			r := answer(h, asked(method, path, "temp=15&rh=60&id=aaaaaaaa1&coat=1&what=laid&job=x"))
			safe(t, r)
			if r.StatusCode/100 != 4 {
				t.Errorf("%s %s: %d", method, path, r.StatusCode)
			}
		}
		if d.reads+d.presses+d.years != 0 {
			t.Errorf("%s: carried out", method)
		}
	}
	h, d := guarded()
	for _, path := range []string{"/job/1/reading?temp=15&rh=60", "/job/1/press?id=aaaaaaaa1&coat=1&what=laid&job=x", "/job/1/year"} {
		answer(h, asked("GET", path, ""))
	}
	if r := answer(h, asked("POST", "/job/1/reading?temp=15&rh=60", "rh=60")); r.StatusCode != 422 { // a form is its body
		t.Errorf("a reading in the address: %d", r.StatusCode)
	}
	if d.reads+d.presses+d.years != 0 {
		t.Error("looking carried something out")
	}
	if r := answer(h, asked("HEAD", "/job/1", "")); r.StatusCode != 200 {
		t.Errorf("HEAD: %d", r.StatusCode)
	}
}

// TestPressForms: a press that is not whole is not entered, one that is wrong is told apart from one to be sent again.
func TestPressForms(t *testing.T) {
	const whole = "id=aaaaaaaa1&job=x&coat=1&what=laid"
	for _, tc := range []struct {
		form   string
		err    error
		status int
		says   string
	}{
		{whole, nil, 303, ""},
		{whole + "&age=0", nil, 303, ""},
		{whole + "&age=71999999", nil, 303, ""},
		{whole + "&age=-500", nil, 303, ""},
		{whole + "&age=-5000", nil, 422, "clock was changed"},
		{whole + "&age=72000001", nil, 422, "over 20 hours"},
		{whole + "&age=NaN", nil, 422, "clock was changed"},
		{whole + "&age=Inf", nil, 422, "clock was changed"},
		{whole + "&age=1e300", nil, 422, "clock was changed"},
		{whole + "&age=soon", nil, 422, "clock was changed"},
		{"job=x&coat=1&what=laid", nil, 422, "no id of its own"},
		{"id=short&job=x&coat=1&what=laid", nil, 422, "no id of its own"},
		{"id=" + strings.Repeat("a", 65) + "&job=x&coat=1&what=laid", nil, 422, "no id of its own"},
		{"id=AAAAAAAA&job=x&coat=1&what=laid", nil, 422, "no id of its own"},
		{"id=aaaaaaaa1&job=x&coat=0&what=laid", nil, 422, "which coat"},
		{"id=aaaaaaaa1&job=x&coat=1.5&what=laid", nil, 422, "which coat"},
		{"id=aaaaaaaa1&job=x&what=laid", nil, 422, "which coat"},
		{"id=aaaaaaaa1&job=x&what=undo", nil, 422, "which entry"},
		{"id=aaaaaaaa1&job=x&what=undo&entry=-3", nil, 422, "which entry"},
		{"id=aaaaaaaa1&job=x&what=undo&entry=3", nil, 303, ""},
		{whole, errors.New("no"), 422, "Not entered: no."},
		{whole, &BusyError{errors.New("the disk is full")}, 503, "Not entered: the disk is full."},
		{"%zz", nil, 400, "arrived broken"},
	} {
		for _, script := range []bool{false, true} {
			h, d := guarded()
			d.pressErr = tc.err
			r := asked("POST", "/job/1/press", tc.form)
			status := tc.status
			if script {
				r.Header.Set(scripted, "page")
				if status == 303 {
					status = 200
				}
			}
			got := answer(h, r)
			safe(t, got)
			body := text(t, got)
			if got.StatusCode != status || !strings.Contains(body, tc.says) {
				t.Errorf("%s: %d, not %d: %s", tc.form, got.StatusCode, status, body)
			}
			if kind := got.Header.Get("Content-Type"); script && kind != "text/plain; charset=utf-8" {
				t.Errorf("%s: the script is answered in %s", tc.form, kind)
			}
			if strings.Contains(body, "..") {
				t.Errorf("%s: two full stops in %s", tc.form, body)
			}
			if (d.presses == 1) != (tc.status == 303) {
				t.Errorf("%s: %d presses", tc.form, d.presses)
			}
		}
	}
}

// TestPressRead: what a press says of itself is what the desk is told.
func TestPressRead(t *testing.T) {
	h, d := guarded()
	answer(h, asked("POST", "/job/1/press", "id=abcdefgh12&job=Back+stairs&coat=2&what=damp&looked=yes&age=61000.5"))
	if want := (Press{ID: "abcdefgh12", Job: "Back stairs", Coat: 2, What: "damp", Looked: true, Age: 61 * time.Second}); d.last != want {
		t.Errorf("%+v", d.last)
	}
	answer(h, asked("POST", "/job/1/press", "id=abcdefgh13&job=Back+stairs&what=undo&entry=7&coat=2"))
	if want := (Press{ID: "abcdefgh13", Job: "Back stairs", What: "undo", Entry: 7}); d.last != want {
		t.Errorf("%+v", d.last)
	}
}

// TestReadingKept: what was typed is there again beside what is wrong with it.
func TestReadingKept(t *testing.T) {
	h, _ := guarded()
	r := answer(h, asked("POST", "/job/1/reading", "temp=&rh=sixty"))
	body := text(t, r)
	for _, w := range []string{`value="sixty"`, `<p class="fault" id="w-temp">is empty sixty</p>`, `aria-invalid="true"`} {
		if r.StatusCode != 422 || !strings.Contains(body, w) {
			t.Errorf("nothing of %s in %d %s", w, r.StatusCode, body)
		}
	}
}

// TestUnits: a phone keeps its units, and goes back to a page of here only.
func TestUnits(t *testing.T) {
	h, _ := guarded()
	for back, to := range map[string]string{"/bench?temp=3": "/bench?temp=3", "": "/", "//elsewhere.example": "/", "http://elsewhere.example/": "/", "/\\elsewhere.example": "/", "bench": "/",
		"/a\r\nSet-Cookie: x=y": "/", "javascript:alert(1)": "/"} {
		r := asked("POST", "/units", "")
		r.Form, r.PostForm = map[string][]string{"to": {"us"}, "back": {back}}, map[string][]string{"to": {"us"}, "back": {back}}
		got := answer(h, r)
		if got.StatusCode != 303 || got.Header.Get("Location") != to || got.Cookies()[0].Value != "us" {
			t.Errorf("%q: %d, to %s", back, got.StatusCode, got.Header.Get("Location"))
		}
	}
	if got := answer(h, asked("POST", "/units", "to=cubits")); got.StatusCode != 400 || len(got.Cookies()) != 0 {
		t.Errorf("cubits: %d", got.StatusCode)
	}
	for value, says := range map[string]string{"us": "US units; show metric", "metric": "Metric; show US", "cubits": "Metric; show US", "<b>": "Metric; show US"} {
		r := asked("GET", "/job/1", "")
		r.Header.Set("Cookie", unitsCookie+"="+value)
		if body := text(t, answer(h, r)); !strings.Contains(body, says) {
			t.Errorf("cookie %s: nothing of %s", value, says)
		}
	}
}
