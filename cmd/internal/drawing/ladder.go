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

// Rung is one thickness. Times are s after laying, +Inf where not reached.
type Rung struct {
	Name                         string // the thickness
	Says                         string // its times in words
	Opens, Burnish, Closes, Next float64
	// Closes and Next fall between these in eight cases of ten; both 0 where that is not known.
	SureCloses, SureNext [2]float64
}

// LadderSVG writes l as a file of its own, with its one style element.
func LadderSVG(w io.Writer, l Ladder) error { return writeFile(w, drawLadder(l)) }

// LadderInline is l for a page whose style element holds Style.
func LadderInline(l Ladder) template.HTML { return inline(drawLadder(l)) }

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
		for _, t := range []float64{r.Opens, r.Burnish, r.Closes, r.Next} {
			if !math.IsInf(t, 1) {
				most = max(most, t)
			}
		}
		if most > 0 {
			least = min(least, most)
		}
		if s := r.SureNext[1]; !math.IsInf(s, 1) && s < 3*most {
			most = max(most, s)
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
	return at, names, "on a scale of powers"
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
		{"sure", "gone by and next coat, eight in ten"}}, y+42)
	f.Height = num(y + margin)
	f.Marks[0].H = f.Height
	return f
}

// rung draws one thickness from y on, and gives where it ends.
func (f *figure) rung(r Rung, sc scale, y float64) float64 {
	f.open("rung")
	defer f.shut()
	name := r.Name + ": "
	f.text("t", margin, y+17, fit(name+r.Says, textSize, false, width-2*margin))
	base := y + 24 + bar
	from := 0.0
	for _, s := range []struct {
		class string
		end   float64
	}{{"wet", r.Opens}, {"compress", r.Burnish}, {"burnish", r.Closes}, {"drying", r.Next}} {
		a, b := sc.x(from), sc.x(s.end)
		if h := map[string]float64{"wet": wetBar, "compress": bar, "burnish": bar, "drying": dryingBar}[s.class]; b-a >= 0.5 {
			f.rect(s.class, a, base-h, b-a, h)
		}
		if s.end >= sc.end {
			f.path("open", "M"+num(plotRight+3)+" "+num(base-10)+"l6 5l-6 5")
			break
		}
		from = max(from, s.end)
	}
	f.line("rule", plotLeft, base, plotRight, base)
	for _, s := range []struct {
		at   float64
		sure [2]float64
	}{{r.Closes, r.SureCloses}, {r.Next, r.SureNext}} {
		if a, b := sc.x(s.sure[0]), sc.x(s.sure[1]); s.sure[1] > 0 && b-a >= 3 {
			base += 11
			f.sure(a, b, base, s.sure[1] > sc.end)
			if s.at <= sc.end {
				f.line("mark", sc.x(s.at), base-6, sc.x(s.at), base+6)
			}
		}
	}
	return base + 8
}

func (l Ladder) describe() string {
	var says []string
	for _, r := range l.Rungs {
		says = append(says, r.Name+": "+r.Says)
	}
	return strings.Join(says, ". ") + "."
}

// tidy makes every text fit for XML and drops what cannot be drawn.
func (l Ladder) tidy() Ladder {
	l.Title, l.Says = clean(l.Title), clean(l.Says)
	var rungs []Rung
	for _, r := range l.Rungs {
		ok := true
		for _, t := range []float64{r.Opens, r.Burnish, r.Closes, r.Next, r.SureCloses[0], r.SureCloses[1], r.SureNext[0], r.SureNext[1]} {
			ok = ok && t >= 0 && (t < 1e9 || math.IsInf(t, 1))
		}
		if ok {
			r.Name, r.Says = clean(r.Name), clean(r.Says)
			rungs = append(rungs, r)
		}
	}
	l.Rungs = rungs
	return l
}
