package fetch_test

import (
	"compress/gzip"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/weather/fetch"
)

const page = "<!DOCTYPE html><html><body>Welcome to SiteNet. Please log in.</body></html>"

// outcome is what a fault must lead to.
type outcome struct {
	fault fetch.Fault   // of this type, or nil for an answer
	words string        // of the fault, or among the notes of the answer; "" for none
	later bool          // of the fault
	waits []span        // between tries
	stale bool          // of the answer
	all   time.Duration // at most this much waiting in all; zero: not looked at
}

type span struct{ from, to time.Duration }

var backoff = []span{{time.Second, 2 * time.Second}, {2 * time.Second, 4 * time.Second}}

// TestFault is one row for each fault that must be survived. A test name is the
// fault; with -v the words are printed that people see.
func TestFault(t *testing.T) {
	const s = time.Second
	busy := problem(429, "Too many concurrent requests")
	down := problem(503, "The service is overloaded")
	for _, row := range []struct {
		name   string
		plan   []reply
		change func(*fetch.Settings, *fetch.Request)
		want   outcome
	}{
		{"429 minute, then well", []reply{problem(429, "Minutely API request limit exceeded. Please try again in one minute."), good(0)}, nil,
			outcome{waits: []span{{60 * s, 65 * s}}}},
		{"429 minute, twice", []reply{problem(429, "Minutely API request limit exceeded."), problem(429, "Minutely API request limit exceeded.")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "the limit of Fairweather for one minute is used up on this network (429)", later: true, waits: []span{{60 * s, 65 * s}}}},
		{"429 hour", []reply{problem(429, "Hourly API request limit exceeded. Please try again in the next hour.")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "the limit of Fairweather for one hour is used up on this network (429)", later: true}},
		{"429 day", []reply{problem(429, "Daily API request limit exceeded. Please try again tomorrow.")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "the limit of Fairweather for one day is used up on this network (429)", later: true}},
		{"429 at once", []reply{busy, busy, good(0)}, nil, outcome{waits: []span{{2 * s, 10 * s}, {2 * s, 10 * s}}}},
		{"429 at once, always", []reply{busy, busy, busy}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather is being asked too many things at once from this network (429)", later: true, waits: []span{{2 * s, 10 * s}, {2 * s, 10 * s}}}},
		{"429 no reason", []reply{status(429, "text/html", page), good(0)}, nil, outcome{waits: []span{{5 * s, 10 * s}}}},
		{"429 Retry-After 7", []reply{status(429, "text/plain", "slow down", "Retry-After", "7"), good(0)}, nil, outcome{waits: []span{{7 * s, 7 * s}}}},
		{"429 Retry-After date", []reply{status(429, "text/plain", "slow down", "Retry-After", "Tue, 14 Apr 2026 06:30:20 GMT"), good(0)}, nil, outcome{waits: []span{{20 * s, 20 * s}}}},
		{"429 Retry-After 2 h", []reply{status(429, "text/plain", "slow down", "Retry-After", "7200")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather has been asked too often from this network (429); it asks to wait 2 h", later: true}},
		{"403", []reply{status(403, "text/html", page)}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather turned the request away (403): identify yourself: set contact in limeday/config.toml to your e-mail or web address, and check the key if the service has one"}},
		{"401", []reply{problem(401, "no key")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather wants a key, or another one (401): set key for it in limeday/config.toml"}},
		{"no contact", nil, func(s *fetch.Settings, _ *fetch.Request) { s.Contact = "" },
			outcome{fault: &fetch.ContactError{}, words: `Fairweather wants to know whom it serves, and no contact is set: write contact = "you@example.org", with your own e-mail or web address, into limeday/config.toml in your config folder`}},
		{"contact with a line break", nil, func(s *fetch.Settings, _ *fetch.Request) { s.Contact = "a@b.org\r\nX: y" },
			outcome{fault: &fetch.ContactError{}, words: `Fairweather wants to know whom it serves, and the contact "a@b.org X: y" is neither an e-mail nor a web address: write contact = "you@example.org", with your own e-mail or web address, into limeday/config.toml in your config folder`}},
		{"no address", nil, func(_ *fetch.Settings, r *fetch.Request) { r.URL = "api.example.org/2.0" },
			outcome{fault: &fetch.AddressError{}, words: `the address of Fairweather is "api.example.org/2.0"; expected one that begins with https:// and has no query: see base_url in limeday/config.toml`}},
		{"503 twice, then well", []reply{down, down, good(0)}, nil, outcome{waits: backoff, all: 30 * s}},
		{"503 for days", []reply{down, down, down}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather has a fault of its own (503), 3 times in a row", later: true, waits: backoff, all: 30 * s}},
		{"500", []reply{problem(500, "x"), problem(500, "x"), problem(500, "x")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather has a fault of its own (500), 3 times in a row", later: true, waits: backoff, all: 30 * s}},
		{"502", []reply{status(502, "text/html", page), good(0)}, nil, outcome{waits: backoff[:1]}},
		{"504", []reply{status(504, "text/html", page), good(0)}, nil, outcome{waits: backoff[:1]}},
		{"503 Retry-After 12", []reply{status(503, "text/plain", "", "Retry-After", "12"), good(0)}, nil, outcome{waits: []span{{12 * s, 12 * s}}}},
		{"503 Retry-After 10 min", []reply{status(503, "text/plain", "", "Retry-After", "600")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather has a fault of its own (503), at the first try; it asks to wait 10 min", later: true}},
		{"499", []reply{problem(499, "x")}, nil, outcome{fault: &fetch.StatusError{}, words: "Fairweather gave an answer that makes no sense (499)"}},
		{"404", []reply{problem(404, "Data Unavailable For Requested Point")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather has nothing for this place (404): it may lie outside the area served"}},
		{"422", []reply{problem(422, "outside area")}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather does not take this question (422): check place and dates"}},
		{"400 with a page", []reply{status(400, "text/html", page)}, nil,
			outcome{fault: &fetch.StatusError{}, words: "Fairweather does not take this question (400): check place and dates"}},
		{"304 not asked for", []reply{status(304, "", "")}, nil, outcome{fault: &fetch.StatusError{}, words: "Fairweather gave an answer that makes no sense (304)"}},
		{"203", []reply{func(d *desk, w http.ResponseWriter, r *http.Request) { w.WriteHeader(203); good(0)(d, w, r) }}, nil,
			outcome{words: "Fairweather marks this product as on trial or soon to end (203)"}},
		{"page with 200", []reply{status(200, "text/html; charset=utf-8", page)}, nil,
			outcome{fault: &fetch.LoginError{}, words: "the network wants a login: a web page came in place of Fairweather; open a web page in a browser, log in, and try again", later: true}},
		{"page that says it is JSON", []reply{status(200, "application/json", "\n "+page)}, nil,
			outcome{fault: &fetch.LoginError{}, words: "the network wants a login: a web page came in place of Fairweather; open a web page in a browser, log in, and try again", later: true}},
		{"page for text", []reply{status(200, "text/plain", page)}, func(_ *fetch.Settings, r *fetch.Request) { r.Accept, r.Validate, r.Issued = fetch.Text, nil, nil },
			outcome{fault: &fetch.LoginError{}, words: "the network wants a login: a web page came in place of Fairweather; open a web page in a browser, log in, and try again", later: true}},
		{"511", []reply{status(511, "text/html", page)}, nil,
			outcome{fault: &fetch.LoginError{}, words: "the network wants a login: a web page came in place of Fairweather; open a web page in a browser, log in, and try again", later: true}},
		{"redirect to another host", []reply{redirect("http://localhost:9/login")}, nil,
			outcome{fault: &fetch.LoginError{}, words: "the network wants a login: localhost answered in place of Fairweather; open a web page in a browser, log in, and try again", later: true}},
		{"redirect within the host", []reply{redirect(prefix + "/elsewhere"), good(0)}, nil, outcome{}},
		{"half JSON and a text, with 200", []reply{status(200, "application/json", `{"made":"2026-04-14T06:00:00Z","te`+"Unexpected error while streaming data: timeout")}, nil,
			outcome{fault: &fetch.DecodeError{}, words: "the answer of Fairweather cannot be used: it ends too soon, after 80 bytes", later: true}},
		{"JSON that ends too soon", []reply{status(200, "application/json", `{"made":"2026-04-14T06:00:00Z","temp":1`)}, nil,
			outcome{fault: &fetch.DecodeError{}, words: "the answer of Fairweather cannot be used: it ends too soon, after 39 bytes", later: true}},
		{"junk after JSON", []reply{status(200, "application/json", `{"made":"2026-04-14T06:00:00Z","temp":14}{}`)}, nil,
			outcome{fault: &fetch.DecodeError{}, words: "the answer of Fairweather cannot be used: something follows its end, at byte 42", later: true}},
		{"no JSON", []reply{status(200, "application/json", `temp=14`)}, nil,
			outcome{fault: &fetch.DecodeError{}, words: "the answer of Fairweather cannot be used: it is no JSON from byte 2 on", later: true}},
		{"empty", []reply{status(200, "application/json", "")}, nil,
			outcome{fault: &fetch.DecodeError{}, words: "the answer of Fairweather cannot be used: it is empty", later: true}},
		{"null for a number", []reply{status(200, "application/json", `{"made":"2026-04-14T06:00:00Z","temp":null}`)}, nil,
			outcome{fault: &fetch.DecodeError{}, words: "the answer of Fairweather cannot be used: no time or no temperature", later: true}},
		{"string for a number", []reply{status(200, "application/json", `{"made":"2026-04-14T06:00:00Z","temp":"14.2"}`)}, nil, outcome{}},
		{"truncated once", []reply{reset(`{"made":"2026`), good(0)}, nil, outcome{waits: backoff[:1]}},
		{"truncated thrice", []reply{reset(`{"m`), reset(`{"m`), reset(`{"m`)}, nil,
			outcome{fault: &fetch.BrokenError{}, words: "the connection to Fairweather broke off, 3 times in a row", later: true, waits: backoff}},
		{"connection reset", []reply{reset(""), reset(""), good(0)}, nil, outcome{waits: backoff}},
		{"slow drip", []reply{drip}, func(s *fetch.Settings, _ *fetch.Request) { s.Total = 150 * time.Millisecond },
			outcome{fault: &fetch.TimeoutError{}, words: "the network is too slow: no whole answer from Fairweather within 150ms", later: true}},
		{"oversize", []reply{status(200, "application/json", strings.Repeat(" ", 5000)+"{}")}, func(s *fetch.Settings, _ *fetch.Request) { s.MaxBody = 4096 },
			outcome{fault: &fetch.TooLargeError{}, words: "the answer of Fairweather is longer than 0.003906 MiB and was not read to its end", later: true}},
		{"oversize once unpacked", []reply{zipped(strings.Repeat(" ", 500_000) + "{}")}, func(s *fetch.Settings, _ *fetch.Request) { s.MaxBody = 4096 },
			outcome{fault: &fetch.TooLargeError{}, words: "the answer of Fairweather is longer than 0.003906 MiB and was not read to its end", later: true}},
		{"gzip", []reply{zipped(`{"made":"2026-04-14T06:00:00Z","temp":14}`)}, nil, outcome{}},
		{"88 h old", []reply{good(88 * time.Hour)}, nil,
			outcome{fault: &fetch.OldError{}, words: "Fairweather answered with a forecast made 3 days ago, which is too old to be one", later: true}},
		{"7 h old", []reply{good(7 * time.Hour)}, nil, outcome{words: "Fairweather made this forecast 7 h ago"}},
		{"no cache folder to be had", []reply{good(0)}, func(s *fetch.Settings, _ *fetch.Request) { s.CacheDir = "/dev/null/cache" },
			outcome{words: "the answer of Fairweather could not be kept for later: mkdir /dev/null: not a directory"}},
		{"DNS failure", nil, func(s *fetch.Settings, r *fetch.Request) {
			s.Transport, r.URL = nameless(), "http://weather.invalid/forecast"
		},
			outcome{fault: &fetch.OfflineError{}, words: "no network: Fairweather cannot be reached", later: true}},
		{"connection refused", nil, func(_ *fetch.Settings, r *fetch.Request) { r.URL = "http://127.0.0.1:1/forecast" },
			outcome{fault: &fetch.OfflineError{}, words: "no network: Fairweather cannot be reached", later: true}},
		{"offline", nil, func(s *fetch.Settings, _ *fetch.Request) { s.Offline = true },
			outcome{fault: &fetch.OfflineError{}, words: "offline, and nothing is kept of Fairweather for this place", later: true}},
	} {
		t.Run(row.name, func(t *testing.T) {
			d := open(t, row.plan...)
			r, err := d.get(row.change)
			row.want.check(t, d, r, err)
			if row.want.fault != nil && len(d.files()) > 0 {
				t.Errorf("kept %q", d.files())
			}
		})
		if row.want.fault == nil || strings.HasPrefix(row.name, "304") || strings.HasPrefix(row.name, "page for text") ||
			row.name == "no address" || row.name == "DNS failure" || row.name == "connection refused" {
			continue // no fault, or another question
		}
		t.Run(row.name+", an older answer kept", func(t *testing.T) {
			d := open(t, append([]reply{good(0)}, row.plan...)...)
			if _, err := d.get(nil); err != nil {
				t.Fatal(err)
			}
			d.pass(5 * time.Hour)
			r, err := d.get(row.change)
			if slices.Contains([]string{"400 with a page", "404", "422"}, row.name) { // the question is at fault
				row.want.check(t, d, r, err)
				return
			}
			if err != nil || !r.Stale || !r.FromCache || !strings.Contains(string(r.Body), "14.2") || (r.Age-5*time.Hour).Abs() > 2*time.Minute {
				t.Fatalf("%v, stale %t, from cache %t, age %v, %q", err, r.Stale, r.FromCache, r.Age, r.Body)
			}
			reason := row.want.words
			if row.name == "offline" {
				reason = "offline"
			}
			if want := reason + "; using what Fairweather answered 5 h ago"; len(r.Notes) != 1 || r.Notes[0] != want {
				t.Errorf("notes %q, want %q", r.Notes, want)
			}
			t.Logf("notes: %q", r.Notes)
			d.holdsNot("SiteNet")
		})
	}
}

func (o outcome) check(t *testing.T, d *desk, r fetch.Response, err error) {
	t.Helper()
	var all time.Duration
	ok := len(d.slept) == len(o.waits)
	for i := 0; ok && i < len(o.waits); i++ {
		ok = d.slept[i] >= o.waits[i].from && d.slept[i] <= o.waits[i].to
		all += d.slept[i]
	}
	if !ok || (o.all > 0 && all > o.all) {
		t.Errorf("waited %v, want %v", d.slept, o.waits)
	}
	for i, w := range d.slept {
		if w > time.Second && (len(d.told) <= i || !strings.Contains(d.told[i], "; trying again in ")) {
			t.Errorf("waited %v and told %q", w, d.told)
		}
	}
	if o.fault == nil {
		if err != nil || len(r.Body) == 0 || r.Stale != o.stale {
			t.Fatalf("%v, body %q, stale %t", err, r.Body, r.Stale)
		}
		if notes := strings.Join(r.Notes, "\n"); notes != o.words {
			t.Errorf("notes %q, want %q", notes, o.words)
		}
		t.Logf("answered; notes: %q; told: %q", r.Notes, d.told)
		return
	}
	var fault fetch.Fault
	if !errors.As(err, &fault) || fmt.Sprintf("%T", fault) != fmt.Sprintf("%T", o.fault) {
		t.Fatalf("%T %v, want %T", err, err, o.fault)
	}
	if fault.Words() != o.words || fault.Later() != o.later {
		t.Errorf("%q, later %t;\nwant %q, later %t", fault.Words(), fault.Later(), o.words, o.later)
	}
	if r.Body != nil {
		t.Errorf("a fault, and the body %q", r.Body)
	}
	t.Logf("%T: %s", fault, fault.Words())
}

func redirect(to string) reply {
	return func(d *desk, w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, to, http.StatusFound) }
}

func zipped(body string) reply {
	return func(d *desk, w http.ResponseWriter, r *http.Request) {
		if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			d.t.Error("gzip is not asked for")
		}
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Content-Encoding", "gzip")
		z := gzip.NewWriter(w)
		fmt.Fprint(z, body)
		if err := z.Close(); err != nil {
			d.t.Log(err) // the client hangs up on what is too long
		}
	}
}

// drip sends a byte at a time for as long as anyone listens.
func drip(d *desk, w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	for r.Context().Err() == nil {
		fmt.Fprint(w, " ")
		w.(http.Flusher).Flush()
		time.Sleep(5 * time.Millisecond)
	}
}

// nameless is a network whose name server does not answer.
func nameless() http.RoundTripper {
	return &http.Transport{DialContext: (&net.Dialer{Resolver: &net.Resolver{PreferGo: true,
		Dial: func(context.Context, string, string) (net.Conn, error) { return nil, errors.New("no name server") }}}).DialContext}
}

// A request sent elsewhere does not arrive there: neither the place nor the
// contact is told to whoever runs the network.
func TestFaultRedirectIsNotFollowed(t *testing.T) {
	portal := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { t.Errorf("%s came to the portal", r.URL) }))
	defer portal.Close()
	d := open(t, redirect(strings.Replace(portal.URL, "127.0.0.1", "localhost", 1)+"/login"))
	_, err := d.get(nil)
	var login *fetch.LoginError
	if !errors.As(err, &login) || login.Host != "localhost" {
		t.Error(err)
	}
}

func TestFaultTLS(t *testing.T) {
	srv := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { t.Errorf("%s came through", r.URL) }))
	srv.Config.ErrorLog = log.New(io.Discard, "", 0)
	srv.StartTLS()
	defer srv.Close()
	roots := x509.NewCertPool()
	roots.AddCert(srv.Certificate())
	late := func() time.Time { return srv.Certificate().NotAfter.Add(time.Hour) }
	const clock = "no safe connection to Fairweather: check date and time of this computer; if they are right, the network may want a login or the system's certificates are old"
	for name, row := range map[string]struct {
		url   string
		conf  *tls.Config
		fault fetch.Fault
		words string
	}{
		"wrong clock":         {srv.URL, &tls.Config{RootCAs: roots, Time: late}, &fetch.TLSError{}, clock},
		"unknown certificate": {srv.URL, &tls.Config{}, &fetch.TLSError{}, clock},
		"another's name": {strings.Replace(srv.URL, "127.0.0.1", "localhost", 1), &tls.Config{RootCAs: roots}, &fetch.LoginError{},
			"the network wants a login: something else answered in place of Fairweather; open a web page in a browser, log in, and try again"},
	} {
		t.Run(name, func(t *testing.T) {
			d := open(t)
			r, err := d.get(func(s *fetch.Settings, r *fetch.Request) {
				s.Transport, r.URL = &http.Transport{TLSClientConfig: row.conf}, row.url+"/forecast"
			})
			outcome{fault: row.fault, words: row.words, later: true}.check(t, d, r, err)
		})
	}
}

// A clock that is off is remarked on, and neither shortens nor lengthens the
// time an answer is good, nor its age.
func TestFaultClockSkew(t *testing.T) {
	for name, row := range map[string]struct {
		ahead time.Duration
		note  string
	}{
		"3 h ahead":   {3 * time.Hour, "this computer's clock is 3 h ahead of that of Fairweather: check date and time"},
		"days behind": {-50 * time.Hour, "this computer's clock is 2 days behind that of Fairweather: check date and time"},
		"9 min":       {9 * time.Minute, ""},
	} {
		t.Run(name, func(t *testing.T) {
			d := open(t, good(time.Hour), notModified, good(time.Hour))
			d.ahead = row.ahead
			r, err := d.get(nil)
			if notes := strings.Join(r.Notes, "\n"); err != nil || notes != row.note || (r.Age-time.Hour).Abs() > time.Second {
				t.Fatalf("%v, notes %q, age %v", err, notes, r.Age)
			}
			t.Logf("notes: %q", r.Notes)
			d.pass(29 * time.Minute)
			if r, err = d.get(nil); err != nil || !r.FromCache {
				t.Errorf("asked before it expired: %v", err)
			}
			d.pass(2 * time.Minute)
			if r, err = d.get(nil); err != nil || !r.FromCache || r.Stale {
				t.Errorf("%v, from cache %t, stale %t", err, r.FromCache, r.Stale)
			}
			// Set back, the clock tells nothing of the age: ask.
			d.ahead -= 24 * time.Hour
			if r, err = d.get(nil); err != nil || r.FromCache {
				t.Errorf("%v, from cache %t", err, r.FromCache)
			}
		})
	}
}

// notModified confirms the answer kept, if it is named as it must be.
func notModified(d *desk, w http.ResponseWriter, r *http.Request) {
	want := time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC).Format(http.TimeFormat)
	if got := r.Header.Get("If-Modified-Since"); got != want {
		d.t.Errorf("If-Modified-Since %q, want %q", got, want)
	}
	w.Header().Set("Expires", d.now.Add(30*time.Minute).Format(http.TimeFormat))
	w.WriteHeader(304)
}
