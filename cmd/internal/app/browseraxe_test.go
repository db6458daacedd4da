//go:build !race

package app

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// axeVersion is the accessibility audit's, pinned.
const axeVersion = "4.14.1"

// axe is the audit's script, fetched into a temporary folder.
func axe(t *testing.T) string {
	t.Helper()
	npm, err := exec.LookPath("npm")
	if err != nil {
		lacking(t, "no npm: no accessibility audit here")
	}
	folder := t.TempDir()
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	get := exec.CommandContext(ctx, npm, "pack", "--silent", "axe-core@"+axeVersion)
	get.Dir = folder
	if out, err := get.CombinedOutput(); err != nil {
		lacking(t, "no accessibility audit: %v: %s", err, out)
	}
	unpack := exec.CommandContext(ctx, "tar", "xzf", "axe-core-"+axeVersion+".tgz", "package/axe.min.js")
	unpack.Dir = folder
	must(t, unpack.Run())
	script, err := os.ReadFile(filepath.Join(folder, "package", "axe.min.js"))
	must(t, err)
	return string(script)
}

// looks are the ways in which every page is looked at. It is audited in the first and the last, which are both schemes and both
// widths; the study audits it in all.
var looks = []struct {
	scheme string
	width  int64
}{{"light", 360}, {"light", 1200}, {"dark", 360}, {"dark", 1200}}

// browserAccessible audits every page, light and dark, on a phone and a wide screen, with and without something wrong on it.
// With LIMEDAY_SHOTS=FOLDER it leaves pictures of all, and of each in grey.
func browserAccessible(t *testing.T, b context.Context) {
	script := axe(t)
	folder, path := stairsFolder(t)
	s := serving(t, folder, path)
	examples := serving(t, t.TempDir())
	s.post("/job/1/reading", url.Values{"temp": {"15C"}, "rh": {"60"}})
	s.post("/job/1/press", url.Values{"id": {"aaaaaaaa1"}, "job": {"Back stairs"}, "coat": {"1"}, "what": {"laid"}})
	year := t.TempDir()
	must(t, os.WriteFile(filepath.Join(year, "gable.toml"), []byte(oneGable), 0o600))
	must(t, os.WriteFile(filepath.Join(year, "year.csv"), []byte(inventedYear()), 0o600))
	gable := serving(t, year, filepath.Join(year, "gable.toml"), "--weather", filepath.Join(year, "year.csv"), "--offline")
	gable.post("/job/1/year", nil)
	const marked = "document.getElementById('f-answer').selectedIndex = 2; document.querySelector('form[method=post] .main, main form[method=post] button').click()"
	pages := []struct {
		name string
		of   *served
		path string
		then string // done on it before it is looked at
		till string // what it waits for
	}{
		{"jobs", examples, "/", "", ""},
		{"hall", examples, "/job/1", "", ""},
		{"gable", examples, "/job/2", "", ""},
		{"wall", examples, "/job/3/wall", "document.querySelectorAll('details').forEach(d => d.open = true)", ""},
		{"walls", examples, "/job/2/wall", "", ""},
		{"wall-fault", s, "/job/1/wall", "", ""},
		{"year-asked", examples, "/job/2/year", "", ""},
		{"year-room", examples, "/job/1/year", "", ""},
		{"year", gable, "/job/1/year", "", "document.querySelector('figure svg')"},
		{"day", s, "/job/1", "", ""},
		{"day-fault", s, "/job/1", "document.getElementById('f-temp').value = '99'; document.querySelector('#reading button').click()", "document.querySelector('.fault')"},
		{"day-refused", s, "/job/1", "document.querySelectorAll('.buttons [name=job]').forEach(i => i.value = 'Another wall'); document.querySelector('.buttons button').click()", "document.querySelectorAll('.unsent button').length > 1"},
		{"bench", s, "/bench", "", ""},
		{"bench-moved", s, "/bench", "(e => { e.focus(); e.value = 85; e.dispatchEvent(new Event('input', {bubbles: true})) })(document.querySelector('[data-for=f-rh]'))", "document.querySelectorAll('#answer .sure').length > 0 && document.body.innerText.includes('What moved')"},
		{"bench-fault", s, "/bench?temp=77&rh=&units=metric", "", ""},
		{"practice", s, "/practice?level=6&seed=2", "", ""},
		{"practice-marked", s, "/practice?level=1&seed=2", marked, "document.querySelector('.mark')"},
		{"practice-fault", s, "/practice?level=9", "", ""},
		{"nowhere", s, "/nowhere", "", ""},
	}
	shots := os.Getenv("LIMEDAY_SHOTS")
	for _, of := range []*served{s, examples, gable} {
		p := phone(t, b, of.base)
		_, err := chromedp.Call(p.ctx, cdppage.SetBypassCSP, cdppage.SetBypassCSPParams{Enabled: true}) // the audit's own script, not the page's
		must(t, err)
		for _, at := range pages {
			if at.of != of {
				continue
			}
			for i, look := range looks {
				p.do(chromedp.EmulateViewport(look.width, 800))
				_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: look.scheme}}})
				must(t, err)
				if i == 0 {
					p.open(at.path)
					if at.then != "" {
						p.run(at.then)
					}
					if at.till != "" {
						p.is(at.till)
					}
					p.run(script + ";0")
				}
				if dark := value[bool](p, "matchMedia('(prefers-color-scheme: dark)').matches && getComputedStyle(document.body).backgroundColor !== 'rgb(251, 250, 246)'"); dark != (look.scheme == "dark") {
					t.Errorf("%s is dark in %s", at.name, look.scheme)
				}
				if wide := value[int](p, "document.documentElement.scrollWidth"); int64(wide) > look.width {
					t.Errorf("%s, %d px: it is %d wide", at.name, look.width, wide)
				}
				if shots != "" {
					shoot(t, p, filepath.Join(shots, fmt.Sprintf("%s-%s-%d.png", at.name, look.scheme, look.width)))
				}
				if thinned > 1 && i > 0 && i < len(looks)-1 {
					continue
				}
				for _, f := range value[[]string](p, `axe.run({resultTypes: ["violations"]}).then(r => r.violations.map(v => v.id + ": " + v.help + " at " + v.nodes.map(n => n.html.slice(0, 160)).join(" | ")))`, chromedp.EvalAwaitPromise) {
					t.Errorf("%s, %s, %d px: %s", at.name, look.scheme, look.width, f)
				}
			}
			if look := looks[0]; shots != "" {
				_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: look.scheme}}})
				must(t, err)
				p.do(chromedp.EmulateViewport(look.width, 800))
				p.run("document.documentElement.style.filter = 'grayscale(1)'")
				shoot(t, p, filepath.Join(shots, at.name+"-grey-360.png"))
			}
			if at.name == "day-refused" {
				p.press("Put aside")
			}
		}
		for _, w := range p.wrong {
			if !strings.Contains(w, "console") { // the audit's own
				t.Error(w)
			}
		}
	}
}

func shoot(t *testing.T, p *tab, path string) {
	t.Helper()
	png, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
	must(t, err)
	must(t, os.WriteFile(path, png, 0o600))
}
