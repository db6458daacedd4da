//go:build !race

package app

import (
	"context"
	"fmt"
	"maps"
	"net/url"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// TestBrowser goes through the pages in a browser, which its parts share; each has a server and a phone of its own.
func TestBrowser(t *testing.T) {
	if raced > 1 {
		t.Skip("the browser looks for no races")
	}
	t.Parallel()
	b := browser(t)
	for _, part := range []struct {
		name string
		test func(*testing.T, context.Context)
	}{
		{"Accessible", browserAccessible}, {"Morning", browserMorning}, {"Replies", browserReplies}, {"Clocks", browserClocks}, {"Keys", browserKeys}, {"NoScript", browserNoScript},
		{"Network", browserNetwork}, {"Bench", browserBench}, {"BenchCut", browserBenchCut}, {"Year", browserYear}, {"Practice", browserPractice}, {"Weight", browserWeight},
	} {
		t.Run(part.name, func(t *testing.T) {
			t.Parallel()
			part.test(t, b)
		})
	}
}

// lacking ends a test that needs what is not on this machine: it is skipped, but where everything must hold it fails.
func lacking(t *testing.T, format string, args ...any) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf(format, args...)
	}
	t.Skipf(format, args...)
}

// browser is one that runs, with a profile of its own.
func browser(t *testing.T) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		if path, err = exec.LookPath("chromium-browser"); err != nil {
			lacking(t, "no chromium: the pages are not tested in a browser here")
		}
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("disable-quic", true))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(ctx)
	t.Cleanup(end)
	must(t, chromedp.Do(ctx))
	return ctx
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// tab is a page of the browser, that notes what goes wrong in it.
type tab struct {
	t    *testing.T
	ctx  context.Context
	base string

	mu     sync.Mutex
	wrong  []string
	weight int // bytes that came, unpacked
}

// phone opens a page on a phone of its own: nothing is shared with others.
func phone(t *testing.T, browser context.Context, base string) *tab {
	t.Helper()
	return newTab(t, browser, base, chromedp.WithNewBrowserContext())
}

// another opens a second page on the same phone.
func (p *tab) another() *tab {
	p.t.Helper()
	return newTab(p.t, p.ctx, p.base, chromedp.WithExistingBrowserContext(chromedp.FromContext(p.ctx).BrowserContextID))
}

func newTab(t *testing.T, of context.Context, base string, how chromedp.ContextOption) *tab {
	t.Helper()
	p := &tab{t: t, base: base}
	ctx, stop := chromedp.NewContext(of, how)
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

// hear notes errors of the page, what the content policy stopped, and whom it asks.
func (p *tab) hear(ev any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := ev.(type) {
	case *runtime.EventExceptionThrown:
		p.wrong = append(p.wrong, "exception: "+e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		p.wrong = append(p.wrong, fmt.Sprintf("console: %s %v", e.Type, e.Args))
	case *log.EventEntryAdded:
		if e.Entry.Source != "network" { // a server that is away, an answer that refuses
			p.wrong = append(p.wrong, "log: "+e.Entry.Text)
		}
	case *network.EventRequestWillBeSent:
		if u, err := url.Parse(e.Request.URL); err == nil && !strings.HasPrefix(e.Request.URL, p.base) && u.Scheme != "data" && u.Scheme != "about" {
			p.wrong = append(p.wrong, "asked "+e.Request.URL)
		}
	case *network.EventDataReceived:
		p.weight += int(e.DataLength)
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
	ctx, stop := context.WithTimeout(p.ctx, 60*time.Second)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatalf("%v, on:\n%s", err, p.text())
	}
}

func (p *tab) open(path string) { p.t.Helper(); p.do(chromedp.Navigate(p.base + path)) }

// back goes to the page before, which may be just as it was left: then it is not loaded, which the browser's driver would wait for.
func (p *tab) back() {
	p.t.Helper()
	p.run("window.left = true; setTimeout(() => history.back())")
	p.is("!window.left && document.readyState === 'complete'")
}

// run runs a script in the page.
func (p *tab) run(script string) { p.t.Helper(); p.do(chromedp.Evaluate[chromedp.Void](script)) }

// value is what a script gives.
func value[T any](p *tab, script string, opts ...chromedp.EvaluateOption) T {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, 60*time.Second)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, opts...))
	if err != nil {
		p.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// is waits for an expression to be true in the page.
func (p *tab) is(expression string) {
	p.t.Helper()
	for range 600 {
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

// sent waits until nothing that was pressed waits.
func (p *tab) sent() { p.t.Helper(); p.is("document.getElementById('unsent').hidden") }

// press presses the button that says so.
func (p *tab) press(says string) {
	p.t.Helper()
	button := fmt.Sprintf("[...document.querySelectorAll('button')].find(b => b.textContent.includes(%q) && !b.disabled)", says)
	p.is(button)
	p.run(button + ".click()")
}

// fill types into an empty field.
func (p *tab) fill(field, text string) {
	p.t.Helper()
	p.run(fmt.Sprintf("document.getElementById('f-%s').value = ''", field))
	p.do(chromedp.SendKeys(chromedp.CSS("#f-"+field), text))
}

// paste puts a text into a field at once.
func (p *tab) paste(field, text string) {
	p.t.Helper()
	p.run(fmt.Sprintf("(e => { e.value = %q; e.dispatchEvent(new Event('input', {bubbles: true})) })(document.getElementById('f-%s'))", text, field))
}

// keys types where the focus is.
func (p *tab) keys(keys string) { p.t.Helper(); p.do(chromedp.KeyEvent(keys)) }

// each runs a script before those of every page from now on.
func (p *tab) each(script string) {
	p.t.Helper()
	_, err := chromedp.Call(p.ctx, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	must(p.t, err)
}

// browserWeight: no page brings more than 200 KB, and each is whole.
func browserWeight(t *testing.T, b context.Context) {
	s := serving(t, t.TempDir())
	heaviest := map[string]int{}
	for _, path := range []string{"/", "/job/1", "/job/2", "/bench", "/practice", "/practice?level=6&seed=2", "/job/3/wall", "/job/2/year"} {
		p := phone(t, b, s.base)
		p.open(path)
		p.is("document.readyState === 'complete'")
		p.mu.Lock()
		heaviest[path] = p.weight
		p.mu.Unlock()
		p.sound()
	}
	for path, bytes := range maps.All(heaviest) {
		if t.Logf("%s: %d bytes", path, bytes); bytes < 10_000 || bytes > 200_000 {
			t.Errorf("%s brings %d bytes", path, bytes)
		}
	}
}
