//go:build !race

package app

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"limeday/cmd/internal/diary"
)

const drawn1 = "document.querySelector('#answer svg').outerHTML"

// browserBench moves things on the bench by sliding and by typing.
func browserBench(t *testing.T, b context.Context) {
	s := serving(t, t.TempDir())
	p := phone(t, b, s.base)
	p.open("/bench")
	p.has("gone by")
	first := value[string](p, drawn1)
	// a slider dragged: the field, the address and the drawing follow, the bands come after
	p.run(`(e => { for (const v of [60, 70, 80, 85]) { e.value = v; e.dispatchEvent(new Event('input', {bubbles: true})) } })(document.querySelector('[data-for=f-rh]'))`)
	p.is("document.getElementById('f-rh').value === '85'")
	p.is("location.search.includes('rh=85')")
	p.has("What moved, and why")
	p.has("vapour-pressure deficit")
	p.is("document.querySelectorAll('#answer .sure').length > 0")
	if value[string](p, drawn1) == first {
		t.Error("the drawing did not follow")
	}
	// what cannot be: said beside the field, the last drawing stays
	last := value[string](p, drawn1)
	for _, tc := range []struct{ field, typed, says, right string }{
		{"temp", "68", "did you mean 68F?", "18"}, {"rh", "", "is empty", "85"}, {"thickness", "9", "is no coat", "0.08"}, {"air_speed", "gale", "gale", "0.1"}, {"wall_temp", "-300", "-300", ""},
	} {
		p.paste(tc.field, tc.typed)
		p.is(fmt.Sprintf("document.querySelector('#w-%s.fault')?.innerText.includes(%q)", tc.field, tc.says))
		p.is(fmt.Sprintf("document.getElementById('f-%s').getAttribute('aria-invalid') === 'true'", tc.field))
		if value[string](p, drawn1) != last {
			t.Errorf("%s: the last drawing is gone", tc.field)
		}
		p.paste(tc.field, tc.right)
		p.is(fmt.Sprintf("document.getElementById('f-%s').getAttribute('aria-invalid') === null", tc.field))
		p.is("document.querySelectorAll('#answer .sure').length > 0")
		last = value[string](p, drawn1)
	}
	p.paste("temp", "68F") // the other unit
	p.is("document.getElementById('f-temp').getAttribute('aria-invalid') === null")
	p.is("location.search.includes('temp=68F')")
	// the state outlives units, reload and back
	p.press("show US units")
	p.is("document.getElementById('f-temp').value === '68'")
	p.is("document.getElementById('f-rh').value === '85'")
	p.do(chromedp.Reload())
	p.is("document.getElementById('f-rh').value === '85'")
	p.open("/job/1")
	p.back()
	p.is("document.getElementById('f-rh').value === '85'")
	p.press("show metric")
	p.is("document.body.innerText.includes('show US units')")
	p.is("document.getElementById('f-temp').value === '20'")
	// another finish brings its own thicknesses
	p.run("(e => { e.value = 'float-coat'; e.dispatchEvent(new Event('change', {bubbles: true})) })(document.getElementById('f-finish'))")
	p.is("Number(document.getElementById('f-thickness').value) > 1")
	p.sound()
}

// browserBenchCut: the program is gone while the bench is moved: it is said, nothing typed is lost, and the next move goes on.
func browserBenchCut(t *testing.T, b context.Context) {
	folder := t.TempDir()
	s := serving(t, folder)
	p := phone(t, b, s.base)
	p.open("/bench")
	p.has("gone by")
	before := value[string](p, drawn1)
	s.end()
	p.fill("rh", "77")
	p.has("What you entered is still here")
	if value[string](p, drawn1) != before {
		t.Error("the drawing is gone")
	}
	p.is("document.getElementById('f-rh').value === '77'")
	s = servingAt(t, s.base[len("http://"):], folder)
	p.fill("temp", "19")
	p.is("location.search.includes('rh=77') && location.search.includes('temp=19')")
	p.is("document.getElementById('status').textContent === '' || document.getElementById('status').classList.contains('unseen')")
	// a form sent while it is gone: it is filled in still when one goes back
	p.open("/practice?level=4&seed=2")
	p.has("Your answer")
	p.fill("seed", "35")
	s.end()
	p.run("document.querySelector('main form[method=get] button').click()")
	p.is("location.href.startsWith('chrome-error')")
	servingAt(t, s.base[len("http://"):], folder)
	p.back()
	p.is("document.getElementById('f-seed').value === '35'")
	p.sound()
}

// browserYear works the year of a wall out and looks at it.
func browserYear(t *testing.T, b context.Context) {
	folder := t.TempDir()
	in := func(name string) string { return filepath.Join(folder, name) }
	must(t, os.WriteFile(in("gable.toml"), []byte(oneGable), 0o600))
	must(t, os.WriteFile(in("year.csv"), []byte(inventedYear()), 0o600))
	s := serving(t, folder, in("gable.toml"), "--weather", in("year.csv"), "--offline")
	p := phone(t, b, s.base)
	p.open("/job/1")
	p.run("[...document.querySelectorAll('nav a')].find(a => a.innerText === 'Year').click()")
	p.has("it takes a minute or two")
	p.press("Work the year out")
	p.is("document.querySelector('figure svg') && document.querySelectorAll('table').length > 0") // the page asks again by itself
	p.has("no warranty")
	p.is("!document.body.innerText.includes('NaN') && !document.body.innerText.includes('undefined')")
	p.do(chromedp.Reload())
	p.is("document.querySelector('figure svg')")
	p.sound()
}

// browserPractice does an exercise, sees it marked with its drawing, and goes on; sent again from the old page it is kept once.
func browserPractice(t *testing.T, b context.Context) {
	folder := t.TempDir()
	record := filepath.Join(folder, "class.diary")
	s := serving(t, folder, "--record", record)
	p := phone(t, b, s.base)
	p.open("/practice?level=1&seed=7&name=Mara")
	p.has("Level 1, exercise 1")
	p.press("That is my answer") // nothing chosen
	p.has("nothing was marked")
	p.run("document.getElementById('f-answer').selectedIndex = 1")
	p.press("That is my answer")
	p.has("The next one")
	p.has("Kept in")
	p.is("document.querySelector('.mark svg') !== null && document.querySelectorAll('.mark li').length > 0")
	p.back()
	p.press("That is my answer")
	p.has("kept first stays")
	p.do(chromedp.Click(chromedp.CSS("a.main")))
	p.has("Level 1, exercise 2")
	entries, _, err := diary.Read(record)
	if err != nil || len(entries) != 1 || entries[0].Kind != diary.Exercise || entries[0].Text("name") != "Mara" {
		t.Errorf("the record has %v, %v", entries, err)
	}
	s.clock.add(time.Minute)
	p.sound()
}
