//go:build !race

package app

import (
	"context"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// dayAt waits for the diary to have so many events, and gives them.
func dayAt(t *testing.T, book string, n int) string {
	t.Helper()
	got := events(t, book)
	for i := 0; i < 400 && len(got) < n; i++ {
		time.Sleep(25 * time.Millisecond)
		got = events(t, book)
	}
	if len(got) != n {
		t.Errorf("the diary has %q, not %d events", got, n)
	}
	return strings.Join(got, "; ")
}

// before fails where the last of what was seen is not of a time, or of the few moments before that a press may have waited.
func before(t *testing.T, name, got string, at time.Time) {
	t.Helper()
	_, clock, _ := strings.Cut(got[strings.LastIndex(got, ";")+1:], " at ")
	if len(clock) == len("15:04") {
		clock += ":00"
	}
	when, err := time.ParseInLocation(time.DateTime, at.Format(time.DateOnly)+" "+clock, at.Location())
	if err != nil || at.Sub(when) < 0 || at.Sub(when) > 4*time.Minute {
		t.Errorf("%s: %s, pressed at %s", name, got, at.Format(time.TimeOnly))
	}
}

// browserMorning is a morning on site: a reading typed in, presses with the program there, gone, and there again, in two tabs,
// with the back button, and one taken back. Every press is in the diary once.
func browserMorning(t *testing.T, b context.Context) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	book := filepath.Join(folder, "stairs.diary")
	p := phone(t, b, s.base)
	p.open("/")
	p.has("There is no reading yet")
	p.fill("temp", "99")
	p.fill("rh", "60")
	p.press("Work the day out")
	p.has("did you mean 99F?")
	p.is("document.getElementById('f-rh').value === '60'")
	p.fill("temp", "15")
	p.press("Work the day out")
	p.has("GO")
	before := value[string](p, "document.querySelector('.plan').innerText")

	// pressed twice in a hurry
	s.clock.add(time.Hour)
	p.open("/job/1")
	p.run("(b => {b.click(); b.click()})([...document.querySelectorAll('.buttons button')].find(b => b.textContent.includes('Coat 1 laid')))")
	p.has("Seen: coat 1 laid 07:") // 07:30, less the moment that it took
	p.has("coat 2 today.")
	if after := value[string](p, "document.querySelector('.plan').innerText"); after == before {
		t.Error("the day was not worked out anew")
	}

	// the program is gone while one presses, and while the page is closed; another tab knows of it
	address := strings.TrimPrefix(s.base, "http://")
	other := p.another()
	other.open("/job/1")
	other.has("Coat 1 dry")
	s.end()
	p.press("Looked: coat 1 not yet dry")
	p.has("Not sent yet")
	p.has("is kept on this phone")
	other.is("!document.getElementById('unsent').hidden")
	p.do(chromedp.Navigate("about:blank"))
	other.do(chromedp.Navigate("about:blank"))
	again := servingAt(t, address, folder, path)
	again.clock.add(90 * time.Minute)
	p.open("/job/1")
	p.sent()
	p.has("not yet dry 0")
	dayAt(t, book, 2)
	p.fill("temp", "15") // the reading was of the program that ended
	p.fill("rh", "60")
	p.press("Work the day out")
	p.has("coat 2 today.")

	// two tabs press the same
	other.open("/job/1")
	other.has("Coat 2 laid")
	p.press("Coat 1 dry")
	p.has("coat 1 dry")
	other.press("Coat 1 dry")
	other.has("it came at")
	other.press("Put aside")
	other.sent()
	dayAt(t, book, 3)

	// a page of another job, or of the same after its name was changed
	other.open("/job/1")
	other.is("document.querySelector('.buttons [name=job]')")
	other.run("document.querySelectorAll('.buttons [name=job]').forEach(i => i.value = 'Another wall')")
	other.press("Coat 2 laid")
	other.has("it was pressed for Another wall")
	other.press("Put aside")
	dayAt(t, book, 3)

	// back to a page from before, and what was pressed last taken back
	again.clock.add(30 * time.Minute)
	p.open("/job/1")
	p.press("Coat 2 laid")
	p.has("coat 2 laid 08:")
	p.open("/bench")
	p.back()
	p.has("Coat 2 damp")
	p.press("Take back: coat 2 laid")
	p.is("[...document.querySelectorAll('.buttons button')].some(b => b.textContent.includes('Coat 2 laid'))")
	if got := dayAt(t, book, 3); !strings.Contains(got, "1 dry") || strings.Contains(got, "2 laid") {
		t.Errorf("the diary has %s", got)
	}

	// to the end of the last coat, with a reading half typed
	p.paste("temp", "14")
	for _, press := range []string{"Coat 2 laid", "Coat 2 damp", "Coat 2 gone by"} {
		again.clock.add(5 * time.Minute)
		p.press(press)
		p.is(fmt.Sprintf("document.querySelector('#seen p').innerText.includes(%q)", strings.TrimSuffix(strings.ToLower(press), " by")))
		p.is("!document.querySelector('main').hasAttribute('aria-busy')")
	}
	if got := dayAt(t, book, 6); !strings.Contains(got, "2 gone") {
		t.Errorf("the diary has %s", got)
	}
	p.is("document.getElementById('f-temp').value === '14'")
	p.sound()
	other.sound()
}

// faults stands between a phone and the program, and spoils what is sent, one after the other.
type faults struct {
	*httptest.Server
	mu     sync.Mutex
	next   []string // what becomes of the next that is sent: lost, unanswered, half, late
	posted int
}

func spoiling(t *testing.T, s *served) *faults {
	t.Helper()
	to, err := url.Parse(s.base)
	must(t, err)
	f := &faults{}
	proxy := &httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) { r.SetURL(to) }}
	f.Server = httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		how := ""
		if f.mu.Lock(); r.Method == http.MethodPost {
			f.posted++
			if len(f.next) > 0 {
				how, f.next = f.next[0], f.next[1:]
			}
		}
		f.mu.Unlock()
		if how == "" {
			proxy.ServeHTTP(w, r)
			return
		}
		if how == "lost" {
			panic(http.ErrAbortHandler)
		}
		done := httptest.NewRecorder()
		proxy.ServeHTTP(done, r)
		switch how {
		case "half":
			w.Header().Set("Content-Length", fmt.Sprint(done.Body.Len()))
			_, _ = w.Write(done.Body.Bytes()[:done.Body.Len()/2])
			_ = http.NewResponseController(w).Flush()
		case "late":
			<-r.Context().Done() // the phone has given it up
		}
		panic(http.ErrAbortHandler)
	}))
	f.Config.SetKeepAlivesEnabled(false) // a browser sends again by itself what fails on a connection that served before
	f.Config.ErrorLog = log.New(io.Discard, "", 0)
	f.Start()
	t.Cleanup(f.Close)
	return f
}

func (f *faults) spoil(how ...string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.next = append(f.next, how...)
}

// spoilt waits until all of it has happened.
func (f *faults) spoilt(t *testing.T) {
	t.Helper()
	for range 400 {
		f.mu.Lock()
		n := len(f.next)
		f.mu.Unlock()
		if n == 0 {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	t.Fatal("nothing was sent")
}

// online has a page send at once what waits.
const online = "dispatchEvent(new Event('online'))"

// browserReplies: what is sent gets lost, or its reply does after the entry was made: the press is in the diary once.
func browserReplies(t *testing.T, b context.Context) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	s.post("/job/1/reading", url.Values{"temp": {"15C"}, "rh": {"60"}})
	book := filepath.Join(folder, "stairs.diary")
	f := spoiling(t, s)
	p := phone(t, b, f.URL)
	p.each("AbortSignal.timeout = (of => ms => of.call(AbortSignal, Math.min(ms, 3000)))(AbortSignal.timeout)")
	for i, tc := range []struct {
		press, says string
		how         []string
	}{
		{"Coat 1 laid", "coat 1 laid", []string{"lost", "lost"}},
		{"Looked: coat 1 not yet dry", "coat 1 not yet dry", []string{"unanswered", "lost", "unanswered"}},
		{"Coat 1 dry", "coat 1 dry", []string{"half"}},
		{"Coat 2 laid", "coat 2 laid", []string{"late"}},
		{"Take back: coat 2 laid", "", []string{"unanswered", "unanswered"}},
	} {
		s.clock.add(20 * time.Minute)
		p.open("/job/1")
		f.spoil(tc.how...)
		p.press(tc.press)
		for range tc.how {
			p.has("is kept on this phone")
			p.run("document.getElementById('status').textContent = ''; " + online)
		}
		f.spoilt(t)
		if i%2 == 1 {
			p.open("/job/1") // sent by the page that comes next
		}
		p.sent()
		if tc.says != "" {
			p.is(fmt.Sprintf("document.querySelector('#seen p').innerText.includes(%q)", tc.says))
			dayAt(t, book, i+1)
		}
	}
	for i, e := range strings.Split(dayAt(t, book, 3), "; ") {
		before(t, "of what was lost on the way", e, s.clock.Now().Add(time.Duration(i-4)*20*time.Minute))
	}
	// what cannot be in a diary stays in sight and can be sent again
	p.open("/job/1")
	p.is("document.querySelector('.buttons [name=job]')")
	p.run("document.querySelectorAll('.buttons [name=job]').forEach(i => i.value = 'Another wall')")
	p.press("Coat 2 laid")
	p.has("it was pressed for Another wall")
	f.spoil("lost")
	p.press("Send again")
	f.spoilt(t)
	p.run(online)
	p.has("it was pressed for Another wall")
	p.press("Put aside")
	p.sent()
	dayAt(t, book, 3)
	p.sound()
}

// browserClocks: the phone's clock is wrong, or is put back or forward between a press and its sending: the time in the diary is
// right, or it is refused in words.
func browserClocks(t *testing.T, b context.Context) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	s.post("/job/1/reading", url.Values{"temp": {"15C"}, "rh": {"60"}})
	book := filepath.Join(folder, "stairs.diary")
	f := spoiling(t, s)
	p := phone(t, b, f.URL)
	p.each(`const D = Date; window.off = 4 * 3600e3 + Number(localStorage.getItem("test.off"));
		Date = class extends D { constructor(...a) { if (a.length) super(...a); else super(D.now() + off); } static now() { return D.now() + off; } };`)
	s.clock.add(time.Hour)
	for i, tc := range []struct {
		name, press string
		change      string
		anew        bool // the page is loaded anew after the clock was changed
		right       bool
	}{
		{"wrong all along", "Coat 1 laid", "", false, true},
		{"back an hour", "Looked: coat 1 not yet dry", "off -= 3600e3", false, true},
		{"forward three hours", "Looked: coat 1 not yet dry", "off += 3 * 3600e3", false, true},
		{"loaded anew", "Looked: coat 1 not yet dry", "", true, true},
		{"back an hour, loaded anew", "Coat 1 dry", "localStorage.setItem('test.off', -3600e3)", true, false},
		{"forward ten minutes, loaded anew", "Coat 1 dry", "localStorage.setItem('test.off', -3000e3)", true, false},
	} {
		s.clock.add(10 * time.Minute)
		p.open("/job/1")
		p.is("document.querySelector('.buttons button')")
		p.is("performance.getEntriesByName(location.origin + '/favicon.ico').length > 0") // it has compared the clocks
		f.spoil("lost")
		p.press(tc.press)
		p.has("is kept on this phone")
		f.spoilt(t)
		p.run(tc.change)
		if tc.anew {
			p.open("/job/1")
		} else {
			p.run(online)
		}
		if tc.right {
			p.sent()
			before(t, tc.name, dayAt(t, book, i+1), s.clock.Now())
			continue
		}
		p.has("the phone's clock was changed")
		p.press("Put aside")
		dayAt(t, book, 4)
	}
	p.sound()
}

// browserKeys does a morning by keys alone.
func browserKeys(t *testing.T, b context.Context) {
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	p := phone(t, b, s.base)
	p.open("/job/1")
	to := func(what string) {
		t.Helper()
		for range 60 {
			p.keys("\t")
			if value[bool](p, "Boolean(document.activeElement && "+what+")") {
				if !value[bool](p, "getComputedStyle(document.activeElement).outlineStyle !== 'none'") {
					t.Errorf("the focus on %s is not seen", what)
				}
				return
			}
			if on := value[string](p, `(e => { const r = e.getBoundingClientRect(), at = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
				return at === null || at === e || e.contains(at) ? "" : e.outerHTML.slice(0, 80) + " is under " + at.outerHTML.slice(0, 80) })(document.activeElement)`); on != "" {
				t.Error(on)
			}
		}
		t.Fatalf("no key leads to %s, on:\n%s", what, p.text())
	}
	to("document.activeElement.id === 'f-temp'")
	p.keys("15")
	p.keys("\t")
	p.keys("60\r")
	p.has("GO")
	p.keys("\t") // the first thing leads past the rest
	p.is("document.activeElement.className === 'skip'")
	p.keys("\r")
	to("document.activeElement.textContent.startsWith('Coat 1 laid')")
	p.keys(" ")
	p.has("Seen: coat 1 laid")
	p.is("document.activeElement.id === 'h-press'") // and not on what a second key would press
	dayAt(t, filepath.Join(folder, "stairs.diary"), 1)

	p.open("/bench")
	p.has("gone by")
	to("document.activeElement.dataset.for === 'f-rh'")
	for range 5 {
		p.keys("\u0303") // to the right
	}
	p.is("document.getElementById('f-rh').value === '60'")
	p.is("location.search.includes('rh=60')")
	to("document.activeElement.id === 'f-coat'")
	p.keys("\u0304") // up
	p.is("location.search.includes('coat=2')")
	p.has("What moved, and why")
	p.sound()
}

// browserNoScript does the same with scripts off.
func browserNoScript(t *testing.T, b context.Context) {
	folder, path := stairsFolder(t)
	record := filepath.Join(folder, "class.diary")
	s := serving(t, folder, path, "--record", record)
	book := filepath.Join(folder, "stairs.diary")
	p := phone(t, b, s.base)
	_, err := chromedp.Call(p.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	must(t, err)
	click := func(button string) {
		t.Helper()
		p.is("[...document.querySelectorAll('button, a.main')].some(b => b.innerText.startsWith('" + button + "'))")
		p.run("document.querySelectorAll('[data-test]').forEach(b => b.removeAttribute('data-test')); [...document.querySelectorAll('button, a.main')].find(b => b.innerText.startsWith('" + button + "')).setAttribute('data-test', '')")
		p.do(chromedp.Click(chromedp.CSS("[data-test]")))
	}
	p.open("/")
	p.do(chromedp.SendKeys(chromedp.CSS("#f-temp"), "15"), chromedp.SendKeys(chromedp.CSS("#f-rh"), "6O\r"))
	p.is("document.querySelector('#w-rh.fault') && document.getElementById('f-rh').value === '6O'")
	p.fill("rh", "60\r")
	p.is("document.querySelector('h1.verdict')")
	s.clock.add(time.Hour)
	click("Coat 1 laid")
	p.has("Seen: coat 1 laid 07:30.")
	click("Looked: coat 1 not yet dry")
	p.has("coat 1 not yet dry 07:30")
	click("Take back")
	p.is("!document.body.innerText.includes('Seen: coat 1 laid 07:30, ')")
	if got := dayAt(t, book, 1); got != "1 laid at 07:30" {
		t.Errorf("the diary has %s", got)
	}
	click("Metric; show US")
	p.has("US units; show metric")
	p.is("location.pathname === '/job/1'")

	p.open("/bench?temp=62")
	p.fill("temp", "70\r")
	p.is("document.getElementById('f-temp').value === '70' && document.querySelector('#answer svg') && document.querySelector('#rest li')")
	p.fill("temp", "5000\r")
	p.is("document.querySelector('#w-temp.fault') && document.getElementById('f-temp').value === '5000'")

	p.open("/practice?level=1&seed=7&name=Mara")
	p.do(chromedp.SetAttributeValue(chromedp.CSS("#f-answer option:nth-child(2)"), "selected", ""))
	click("That is my answer")
	p.has("Kept in")
	click("The next one")
	p.has("Level 1, exercise 2")
	p.sound()
}

// browserNetwork: where others can reach the program, each link lets one phone in.
func browserNetwork(t *testing.T, b context.Context) {
	folder, path := stairsFolder(t)
	port := "0"
	{ // one that is free
		l, err := net.Listen("tcp", "0.0.0.0:0")
		must(t, err)
		_, port, _ = net.SplitHostPort(l.Addr().String())
		l.Close()
	}
	s := servingAt(t, "0.0.0.0:"+port, folder, path)
	links := func(n int) string {
		t.Helper()
		for range 500 {
			var all []string
			for line := range strings.Lines(s.said.String()) {
				if _, link, ok := strings.Cut(line, "once: "); ok {
					all = append(all, strings.TrimSpace(link))
				}
			}
			if len(all) >= n {
				return all[n-1]
			}
			time.Sleep(10 * time.Millisecond)
		}
		t.Fatalf("no link %d in %s", n, s.said)
		return ""
	}
	u, err := url.Parse(links(1))
	must(t, err)
	base := "http://" + u.Host
	first, second := phone(t, b, base), phone(t, b, base)
	second.open("/job/1")
	second.has("This page opens with a link")
	first.open(u.RequestURI())
	first.press("Open limeday here")
	first.has("Back stairs")
	second.open(u.RequestURI())
	second.press("Open limeday here")
	second.has("used already")
	next, err := url.Parse(links(2))
	must(t, err)
	second.open(next.RequestURI())
	second.press("Open limeday here")
	second.has("Back stairs")

	// both are in, also when the first comes back
	first.do(chromedp.Reload())
	first.fill("temp", "15")
	first.fill("rh", "60")
	first.press("Work the day out")
	first.has("GO")
	first.press("Coat 1 laid")
	first.has("Seen: coat 1 laid")
	second.open("/job/1")
	second.has("Seen: coat 1 laid")

	// the program begins anew: what the first pressed waits until a link has let it in again
	s.end()
	first.press("Looked: coat 1 not yet dry")
	first.has("is kept on this phone")
	s = servingAt(t, "0.0.0.0:"+port, folder, path)
	s.clock.add(2 * time.Hour)
	first.run(online)
	first.has("opens with a link")
	dayAt(t, filepath.Join(folder, "stairs.diary"), 1)
	u, err = url.Parse(links(1))
	must(t, err)
	first.open(u.RequestURI())
	first.press("Open limeday here")
	first.has("On the wall")
	first.sent()
	dayAt(t, filepath.Join(folder, "stairs.diary"), 2)
	first.sound()
	second.sound()
}
