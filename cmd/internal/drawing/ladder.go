package drawing

import (
	"html/template"
	"io"
	"math"
	"strings"
)

// Ladder is one coat at several thicknesses: how long each is wet, can be compressed and burnished, and waits for the next.
type Ladder struct {
	ID    string // begins the ids of a drawing that is one of several on a page; empty: it is the only one
	Title string // the coat and what it lies on
	Says  string // the air
	Rungs []Rung
}

// Rung is one thickness.
type Rung struct {
	Name                         string // the thickness
	Opens, Burnish, Closes, Next Moment
}

// Moment is a time after laying, s; +Inf where it is not reached.
type Moment struct {
	At   float64
	Says string // as people read it
	// Earliest and Latest are where one in ten falls before and after; both 0 where they are not known.
	Earliest, Latest float64
	Between          string // the two, as people read them
}

// moments are those of a rung in their order, each with its name.
func (r Rung) moments() []struct {
	what string
	Moment
} {
	return []struct {
		what string
		Moment
	}{{"opens", r.Opens}, {"burnish", r.Burnish}, {"gone by", r.Closes}, {"next coat", r.Next}}
}

// LadderSVG writes l as a file of its own, with its one style element.
func LadderSVG(w io.Writer, l Ladder) error { return writeFile(w, drawLadder(l)) }

// LadderInline is l for a page whose style element holds Style.
func LadderInline(l Ladder) template.HTML { return inline(drawLadder(l)) }

// LadderTable gives the times in numbers, a row for each thickness, and one for how early and how late they may be where that
// is known.
func LadderTable(l Ladder) (head []string, rows [][]string) {
	head = []string{"thickness"}
	for i, r := range l.Rungs {
		row, sure, known := []string{r.Name}, []string{"earliest to latest"}, false
		for _, m := range r.moments() {
			if i == 0 {
				head = append(head, m.what)
			}
			row, sure, known = append(row, m.Says), append(sure, m.Between), known || m.Between != ""
		}
		rows = append(rows, row)
		if known {
			rows = append(rows, sure)
		}
	}
	return head, rows
}

// far is how many times as long as the shortest the longest of a ladder's times may be to be drawn to one even scale; past it
// the scale is of powers of ten.
const far = 30

// scale lays time after laying out from left to right.
type scale struct {
	end  float64
	logs bool // in powers of ten, from a minute on
}

func (l Ladder) scale() scale {
	end, least := 0.0, math.Inf(1)
	for _, r := range l.Rungs {
		most := 0.0
		for _, m := range r.moments() {
			if !math.IsInf(m.At, 1) {
				most = max(most, m.At)
			}
		}
		if most > 0 {
			least = min(least, most)
		}
		for _, m := range r.moments() {
			if m.Latest < 3*most {
				most = max(most, m.Latest)
			}
		}
		end = max(end, most)
	}
	return scale{max(1.04*end, atLeast), end > far*least}
}

func (s scale) x(t float64) float64 {
	if s.logs {
		return plotLeft + (plotRight-plotLeft)*min(max(math.Log(t/60)/math.Log(s.end/60), 0), 1)
	}
	return plotLeft + (plotRight-plotLeft)*min(max(t/s.end, 0), 1)
}

// ticks are moments to mark, with their names.
func (s scale) ticks() (at []float64, names []string, unit string) {
	if !s.logs {
		step := timeStep(s.end)
		for t := 0.0; t <= s.end; t += step {
			at, names = append(at, t), append(names, timeTick(t, step))
		}
		return at, names, timeUnit(step)
	}
	last := math.Inf(-1)
	for _, t := range []struct {
		s    float64
		name string
	}{{60, "1 min"}, {600, "10 min"}, {3600, "1 h"}, {6 * 3600, "6 h"}, {86400, "1 d"}, {4 * 86400, "4 d"}, {15 * 86400, "15 d"}, {45 * 86400, "45 d"}} {
		if x := s.x(t.s); t.s <= s.end && x-last > wide("10 min", smallSize, false)+6 {
			at, names, last = append(at, t.s), append(names, t.name), x
		}
	}
	return at, names, "closing up to the right"
}

// drawLadder lays the picture out: a row for each thickness.
func drawLadder(l Ladder) *figure {
	f := newFigure(l.ID)
	l = l.tidy()
	f.Title, f.Desc = strings.TrimSuffix(l.Title+": "+l.Says, ": "), l.describe()
	y := f.lines("h", margin+15, 21, headSize, l.Title, 2)
	y = f.lines("t", y, 19, textSize, l.Says, 2) - 4
	sc := l.scale()
	top, under := y, len(f.Marks)
	for _, r := range l.Rungs {
		y = f.rung(r, sc, y)
	}
	above := append([]mark(nil), f.Marks[under:]...)
	f.Marks = f.Marks[:under]
	at, names, unit := sc.ticks()
	for i, t := range at {
		f.line("grid", sc.x(t), top, sc.x(t), y)
		f.text("s q mid", sc.x(t), y+16, names[i])
	}
	f.text("s q end", plotRight, y+33, "after laying, "+unit)
	f.Marks = append(f.Marks, above...)
	y = f.keys([]keyed{{"wet", "wet: too soon"}, {"compress", "compress, a last coat"}, {"burnish", "burnish, a last coat"}, {"drying", "drying off, to the next coat"},
		{"sure", sureSays}}, y+42)
	f.Height = num(y + margin)
	f.Marks[0].H = f.Height
	return f
}

// rung draws one thickness from y on, and gives where it ends.
func (f *figure) rung(r Rung, sc scale, y float64) float64 {
	f.open("rung")
	defer f.shut()
	y = f.lines("s", y+17, 17, smallSize, r.words(false), 2) - 17
	base := y + 7 + bar
	from := 0.0
	classes := []string{"wet", "compress", "burnish", "drying"}
	for i, m := range r.moments() {
		a, b := sc.x(from), sc.x(m.At)
		if h := map[string]float64{"wet": wetBar, "compress": bar, "burnish": bar, "drying": dryingBar}[classes[i]]; b-a >= 0.5 {
			f.rect(classes[i], a, base-h, b-a, h)
		}
		if m.At >= sc.end {
			f.path("open", "M"+num(plotRight+3)+" "+num(base-10)+"l6 5l-6 5")
			break
		}
		from = max(from, m.At)
	}
	f.line("rule", plotLeft, base, plotRight, base)
	// How sure each time is, under the edge of its bar: on as few tiers as keep the brackets apart.
	var ends []float64
	for _, m := range r.moments() {
		a, b := sc.x(m.Earliest), sc.x(m.Latest)
		if m.Latest <= 0 || m.Earliest > sc.end || b-a < 3 {
			continue
		}
		tier := 0
		for tier < len(ends) && a < ends[tier]+8 {
			tier++
		}
		if tier == len(ends) {
			ends = append(ends, 0)
		}
		ends[tier] = b
		at := base + 11*float64(tier+1)
		f.sure(a, b, at, m.Latest > sc.end)
		if m.At <= sc.end {
			f.line("mark", sc.x(m.At), at-6, sc.x(m.At), at+6)
		}
	}
	return base + 11*float64(len(ends)) + 8
}

// words are the rung's times in words: what is asked most, or all of them and how sure they are.
func (r Rung) words(all bool) string {
	var says []string
	for _, m := range r.moments() {
		switch {
		case m.Says == "" || !all && m.what == "burnish":
		case !all && m.what == "next coat":
			says = append(says, "next "+m.Says)
		case all && m.Between != "":
			says = append(says, m.what+" "+m.Says+" (8 in 10: "+m.Between+")")
		default:
			says = append(says, m.what+" "+m.Says)
		}
	}
	return r.Name + ": " + strings.Join(says, ", ")
}

func (l Ladder) describe() string {
	var says []string
	for _, r := range l.Rungs {
		says = append(says, r.words(true))
	}
	return "Times after laying. " + strings.Join(says, ". ") + "."
}

// tidy makes every text fit for XML and drops what cannot be drawn.
func (l Ladder) tidy() Ladder {
	l.Title, l.Says = clean(l.Title), clean(l.Says)
	var rungs []Rung
	for _, r := range l.Rungs {
		ok := true
		for _, m := range []*Moment{&r.Opens, &r.Burnish, &r.Closes, &r.Next} {
			for _, t := range []float64{m.At, m.Earliest, m.Latest} {
				ok = ok && t >= 0 && (t < 1e9 || math.IsInf(t, 1))
			}
			ok = ok && m.Earliest <= m.Latest
			m.Says, m.Between = clean(m.Says), clean(m.Between)
		}
		if ok {
			r.Name = clean(r.Name)
			rungs = append(rungs, r)
		}
	}
	l.Rungs = rungs
	return l
}
