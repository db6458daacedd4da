package app

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"limeday/cmd/internal/diary"
)

// browserPath is the browser of these tests; without one they are skipped, but where everything must hold they fail.
func browserPath(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("no chromium, which these tests must have here")
	}
	t.Skip("no chromium: the pages are not tested in a browser here")
	return ""
}

// browser is one that runs, with a profile of its own.
func browser(t *testing.T) context.Context {
	t.Helper()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(browserPath(t)), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("disable-quic", true))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(ctx)
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// tab is a page of the browser, that notes what goes wrong in it.
type tab struct {
	t    *testing.T
	ctx  context.Context
	base string

	mu     sync.Mutex
	wrong  []string
	weight map[string]int // bytes that came for each address
	asked  map[network.RequestID]string
}

// newTab opens one of a phone's size.
func newTab(t *testing.T, browser context.Context, base string) *tab {
	t.Helper()
	p := &tab{t: t, base: base, weight: map[string]int{}, asked: map[network.RequestID]string{}}
	ctx, stop := chromedp.NewContext(browser)
	t.Cleanup(stop)
	p.ctx = ctx
	must(t, chromedp.Do(ctx)) // the first call opens it, for as long as its context lives
	p.do(chromedp.EmulateViewport(360, 740))
	must(t, chromedp.Listen(ctx, p.hear))
	_, err := chromedp.Call(ctx, network.Enable, network.EnableParams{})
	must(t, err)
	_, err = chromedp.Call(ctx, log.Enable, cdp.Empty{})
	must(t, err)
	return p
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// hear notes errors of the page, what the content policy stopped, and whom it asks.
func (p *tab) hear(ev any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := ev.(type) {
	case *runtime.EventExceptionThrown:
		p.wrong = append(p.wrong, "exception: "+e.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		if e.Entry.Source == "security" {
			p.wrong = append(p.wrong, "policy: "+e.Entry.Text)
		}
	case *network.EventRequestWillBeSent:
		p.asked[e.RequestID] = e.Request.URL
		if u, err := url.Parse(e.Request.URL); err == nil && !strings.HasPrefix(e.Request.URL, p.base) && u.Scheme != "data" && u.Scheme != "about" {
			p.wrong = append(p.wrong, "asked "+e.Request.URL)
		}
	case *network.EventDataReceived:
		p.weight[p.asked[e.RequestID]] += int(e.DataLength)
	}
}

// sound fails where something went wrong in the page.
func (p *tab) sound() {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, w := range p.wrong {
		p.t.Error(w)
	}
}

func (p *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, 40*time.Second)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		html, _ := chromedp.Run(p.ctx, chromedp.Evaluate[string]("document.body.innerText"))
		p.t.Fatalf("%v, on:\n%s", err, html)
	}
}

func (p *tab) open(path string) { p.t.Helper(); p.do(chromedp.Navigate(p.base + path)) }

// is waits for an expression to be true in the page.
func (p *tab) is(expression string) {
	p.t.Helper()
	for range 300 {
		if ok, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool]("Boolean("+expression+")")); err == nil && ok {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	p.t.Fatalf("not so: %s, on:\n%s", expression, p.text())
}

func (p *tab) has(words string) {
	p.t.Helper()
	p.is(fmt.Sprintf("document.body.innerText.includes(%q)", words))
}

func (p *tab) text() string {
	s, _ := chromedp.Run(p.ctx, chromedp.Evaluate[string]("document.body.innerText"))
	return s
}

// press presses the button that says so.
func (p *tab) press(says string) {
	p.t.Helper()
	p.is(fmt.Sprintf("[...document.querySelectorAll('button')].some(b => b.textContent.includes(%q) && !b.disabled)", says))
	p.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf("[...document.querySelectorAll('button')].find(b => b.textContent.includes(%q) && !b.disabled).click()", says)))
}

func (p *tab) fill(field, text string) {
	p.t.Helper()
	sel := chromedp.CSS("#f-" + field)
	p.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf("document.getElementById('f-%s').value = ''", field)), chromedp.SendKeys(sel, text))
}

// TestBrowserMorning is a morning on site: a reading typed in, presses with the program there, gone, and there again, in two tabs,
// with the phone's clock moved. Every press is in the diary once.
func TestBrowserMorning(t *testing.T) {
	b := browser(t)
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	book := filepath.Join(folder, "stairs.diary")
	p := newTab(t, b, s.base)
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

	// pressed twice in a hurry
	s.clock.add(time.Hour)
	p.open("/job/1")
	p.do(chromedp.Evaluate[chromedp.Void]("(b => {b.click(); b.click()})([...document.querySelectorAll('.buttons button')].find(b => b.textContent.includes('Coat 1 laid')))"))
	p.has("Seen today: coat 1 laid 07:") // 07:30, less the moment that it took
	p.has("for the rest of the day")

	// the program is gone; the page is loaded anew once it is back, on the same phone
	address := strings.TrimPrefix(s.base, "http://")
	other := newTab(t, b, s.base)
	other.open("/job/1")
	other.has("Coat 1 dry")
	s.end()
	p.press("Looked: coat 1 not yet dry")
	p.has("Not sent yet")
	p.has("is kept on this phone")
	other.is("!document.getElementById('unsent').hidden") // the other tab knows of it
	again := servingAt(t, address, folder, path)
	again.clock.add(90 * time.Minute)
	p.is("document.getElementById('unsent').hidden")
	p.open("/job/1")
	p.has("not yet dry 0")
	if got := events(t, book); len(got) != 2 {
		t.Errorf("the diary has %q", got)
	}
	// the reading was this program's; a new one starts without
	p.fill("temp", "15")
	p.fill("rh", "60")
	p.press("Work the day out")
	p.has("for the rest of the day")

	// two tabs
	other.open("/job/1")
	other.has("Coat 2 laid")
	p.press("Coat 1 dry")
	p.has("coat 1 dry")
	other.press("Coat 1 dry")
	other.has("it came at")
	other.press("Put aside")
	other.is("document.getElementById('unsent').hidden")

	// the phone's clock put back between press and sending
	p.do(chromedp.Evaluate[chromedp.Void](`(() => { const f = window.fetch; window.fetch = (u, o) => { const d = Date.now; if (o && o.method === "POST") { Date.now = () => d() - 3600e3; window.fetch = f; return Promise.reject(new TypeError("cut")); } return f(u, o); }; })()`))
	again.clock.add(30 * time.Minute)
	p.press("Coat 2 laid")
	p.is("document.getElementById('unsent').hidden")
	p.has("coat 2 laid 08:") // 08:30, less the seconds that it waited; not an hour off

	// back, and pressed again from the old page
	p.do(chromedp.Navigate(again.base+"/bench"), chromedp.NavigateBack())
	p.has("Coat 2 damp")
	p.press("Take back: coat 2 laid")
	p.is("[...document.querySelectorAll('button')].some(b => b.textContent.includes('Coat 2 laid'))")
	got := strings.Join(events(t, book), "; ")
	if !strings.Contains(got, "1 dry") || strings.Contains(got, "2 laid") || strings.Count(got, ";") != 2 {
		t.Errorf("the diary has %s", got)
	}
	p.sound()
	other.sound()
}

// TestBrowserNoScript goes through the same with scripts off.
func TestBrowserNoScript(t *testing.T) {
	b := browser(t)
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	p := newTab(t, b, s.base)
	_, err := chromedp.Call(p.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	must(t, err)
	p.open("/")
	p.do(chromedp.SendKeys(chromedp.CSS("#f-temp"), "15"), chromedp.SendKeys(chromedp.CSS("#f-rh"), "60\r"))
	p.do(chromedp.WaitVisible(chromedp.CSS("h1.verdict")))
	s.clock.add(time.Hour)
	p.do(chromedp.Click(chromedp.CSS(".buttons button.main")), chromedp.WaitVisible(chromedp.CSS(".buttons button.look")))
	if got := events(t, filepath.Join(folder, "stairs.diary")); len(got) != 1 || !strings.HasPrefix(got[0], "1 laid at 07:30") {
		t.Errorf("the diary has %q", got)
	}
	p.open("/bench")
	p.do(chromedp.SendKeys(chromedp.CSS("#f-temp"), "5\r"), chromedp.WaitVisible(chromedp.CSS("#w-temp.fault")))
}

// TestBrowserBench moves things on the bench with keys and by typing.
func TestBrowserBench(t *testing.T) {
	b := browser(t)
	s := serving(t, t.TempDir())
	p := newTab(t, b, s.base)
	p.open("/bench")
	p.has("gone by")
	const drawing = "document.querySelector('#answer svg').outerHTML"
	first, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](drawing))
	must(t, err)
	// a slider moved by keys: the drawing, the field and the address follow, and the bands come after
	slide := "[data-for=f-rh]"
	p.do(chromedp.Focus(chromedp.CSS(slide)), chromedp.KeyEvent("\u0113"), chromedp.KeyEvent("\u0113"))
	p.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf("(e => { e.value = 85; e.dispatchEvent(new Event('input', {bubbles: true})) })(document.querySelector('%s'))", slide)))
	p.is("document.getElementById('f-rh').value === '85'")
	p.is("location.search.includes('rh=85')")
	p.has("What moved, and why")
	p.has("vapour-pressure deficit")
	p.is("document.querySelectorAll('#answer .sure').length > 0")
	moved, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](drawing))
	must(t, err)
	if moved == first {
		t.Error("the drawing did not follow")
	}
	// what cannot be: said beside the field, the drawing stays
	p.fill("temp", "68")
	p.has("did you mean 68F?")
	p.is("document.getElementById('f-temp').getAttribute('aria-invalid') === 'true'")
	p.is("document.querySelector('#answer svg') !== null")
	p.fill("temp", "68F")
	p.is("document.getElementById('f-temp').getAttribute('aria-invalid') === null")
	p.is("location.search.includes('temp=68F')")
	// the state outlives units, reload and back
	p.press("show US units")
	p.is("document.getElementById('f-temp').value === '68'")
	p.is("document.getElementById('f-rh').value === '85'")
	p.do(chromedp.Reload())
	p.is("document.getElementById('f-rh').value === '85'")
	p.do(chromedp.Navigate(s.base+"/job/1"), chromedp.NavigateBack())
	p.is("document.getElementById('f-rh').value === '85'")
	// another finish brings its own thicknesses
	p.press("show metric")
	p.is("document.body.innerText.includes('show US units')")
	p.do(chromedp.Evaluate[chromedp.Void]("(e => { e.value = 'float-coat'; e.dispatchEvent(new Event('change', {bubbles: true})) })(document.getElementById('f-finish'))"))
	p.is("Number(document.getElementById('f-thickness').value) > 1")
	p.sound()
}

// TestBrowserWeight: no page brings more than 200 KB.
func TestBrowserWeight(t *testing.T) {
	b := browser(t)
	s := serving(t, t.TempDir())
	for _, path := range []string{"/", "/job/1", "/job/2", "/bench", "/practice", "/job/2/year"} {
		p := newTab(t, b, s.base)
		p.open(path)
		p.is("document.readyState === 'complete'")
		p.mu.Lock()
		sum := 0
		for _, n := range p.weight {
			sum += n
		}
		p.mu.Unlock()
		if sum == 0 || sum > 200_000 {
			t.Errorf("%s brings %d bytes", path, sum)
		}
		t.Logf("%s: %d bytes", path, sum)
		p.sound()
	}
}

// TestBrowserPractice does an exercise, sees it marked with its drawing, and goes on; sent again from the old page it is kept once.
func TestBrowserPractice(t *testing.T) {
	b := browser(t)
	folder := t.TempDir()
	record := filepath.Join(folder, "class.diary")
	s := serving(t, folder, "--record", record)
	p := newTab(t, b, s.base)
	p.open("/practice?level=1&seed=7&name=Mara")
	p.has("Level 1, exercise 1")
	p.press("That is my answer") // nothing chosen
	p.has("nothing was marked")
	p.do(chromedp.Evaluate[chromedp.Void]("document.getElementById('f-answer').selectedIndex = 1"))
	p.press("That is my answer")
	p.has("The next one")
	p.has("Kept in")
	p.is("document.querySelector('.mark svg') !== null && document.querySelectorAll('.mark li').length > 0")
	p.do(chromedp.NavigateBack())
	p.press("That is my answer")
	p.has("kept first stays")
	p.do(chromedp.Click(chromedp.CSS("a.main")))
	p.has("Level 1, exercise 2")
	entries, _, err := diary.Read(record)
	if err != nil || len(entries) != 1 || entries[0].Kind != diary.Exercise || entries[0].Text("name") != "Mara" {
		t.Errorf("the record has %v, %v", entries, err)
	}
	p.sound()
}

// axeVersion is the accessibility audit's, pinned.
const axeVersion = "4.14.1"

// axe is the audit's script, fetched into a temporary folder.
func axe(t *testing.T) string {
	t.Helper()
	missing := func(err error) {
		if os.Getenv("CI") == "true" {
			t.Fatalf("no accessibility audit, which must be had here: %v", err)
		}
		t.Skipf("no accessibility audit: %v", err)
	}
	npm, err := exec.LookPath("npm")
	if err != nil {
		missing(err)
	}
	folder := t.TempDir()
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	get := exec.CommandContext(ctx, npm, "pack", "--silent", "axe-core@"+axeVersion)
	get.Dir = folder
	if out, err := get.CombinedOutput(); err != nil {
		missing(fmt.Errorf("%w: %s", err, out))
	}
	unpack := exec.CommandContext(ctx, "tar", "xzf", "axe-core-"+axeVersion+".tgz", "package/axe.min.js")
	unpack.Dir = folder
	must(t, unpack.Run())
	script, err := os.ReadFile(filepath.Join(folder, "package", "axe.min.js"))
	must(t, err)
	return string(script)
}

// TestBrowserAccessible audits every page, light and dark, on a phone and a wide screen, with and without something wrong on it.
func TestBrowserAccessible(t *testing.T) {
	script := axe(t)
	b := browser(t)
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	examples := serving(t, t.TempDir())
	s.post("/job/1/reading", url.Values{"temp": {"15C"}, "rh": {"60"}})
	pages := []struct {
		of   *served
		path string
	}{
		{examples, "/"}, {examples, "/job/1"}, {examples, "/job/2"}, {examples, "/job/2/year"}, {s, "/job/1"}, {s, "/bench"}, {s, "/bench?temp=77&rh=&units=metric"}, {s, "/practice?level=6&seed=2"},
		{s, "/practice?level=9"}, {s, "/nowhere"},
	}
	for _, of := range []*served{s, examples} {
		p := newTab(t, b, of.base)
		_, err := chromedp.Call(p.ctx, cdppage.SetBypassCSP, cdppage.SetBypassCSPParams{Enabled: true}) // the audit's own script, not the page's
		must(t, err)
		for i, look := range []struct {
			scheme string
			width  int64
		}{{"light", 360}, {"dark", 1200}} {
			_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: look.scheme}}})
			must(t, err)
			p.do(chromedp.EmulateViewport(look.width, 900))
			for _, at := range pages {
				if at.of != of {
					continue
				}
				p.open(at.path)
				p.do(chromedp.Evaluate[chromedp.Void](script + ";0"))
				found, err := chromedp.Run(p.ctx, chromedp.Evaluate[[]string](`axe.run().then(r => r.violations.map(v => v.id + ": " + v.help + " at " + v.nodes.map(n => n.html.slice(0, 160)).join(" | ")))`, chromedp.EvalAwaitPromise))
				must(t, err)
				for _, f := range found {
					t.Errorf("%s, %s, %d px: %s", at.path, look.scheme, look.width, f)
				}
				if shots := os.Getenv("LIMEDAY_SHOTS"); shots != "" {
					png, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
					must(t, err)
					must(t, os.WriteFile(filepath.Join(shots, fmt.Sprintf("%d-%s.png", i, strings.NewReplacer("/", "_", "?", "_", "&", "_").Replace(of.base[len(of.base)-5:]+at.path))), png, 0o644))
				}
			}
		}
	}
}
