package drawing

import (
	"cmp"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"
)

// Drying is one coat drying: the water at its face against the time after laying. Times are s after laying, +Inf where not
// reached; water ratios are kg/kg.
type Drying struct {
	ID    string // begins the ids of a drawing that is one of several on a page; empty: it is the only one
	Title string // the coat
	Says  string // what it lies on, and the air
	Last  bool   // it is compressed and burnished, not followed by another
	Fresh float64
	Curve []Water
	Times []DryingTime // in their order
	// Before, where not nil, is what it is compared with: the coat before a change, fainter.
	Before *Drying
}

// Water is the face at a moment.
type Water struct{ After, Ratio float64 }

// DryingTime is a time of the coat: from then on, or until then, its face is in another state.
type DryingTime struct {
	What  string  // "opens"
	State string  // that the face then comes to: firming, compress, burnish, drying or dry; empty where it stays in the one it is in
	At    float64 // likely
	Level float64 // of the water at the face; not positive where the time is not one of the face alone
	Says  string  // the time as people read it
	// Earliest and Latest are where one in ten falls before and after; both 0 where they are not known.
	Earliest, Latest float64
	Between          string // the two, as people read them
}

// DryingSVG writes d as a file of its own, with its one style element.
func DryingSVG(w io.Writer, d Drying) error { return writeFile(w, drawDrying(d)) }

// DryingInline is d for a page whose style element holds Style.
func DryingInline(d Drying) template.HTML { return inline(drawDrying(d)) }

// DryingTable gives the times in numbers, with earliest and latest where they are known.
func DryingTable(d Drying) (head []string, rows [][]string) {
	head = []string{"time", "after laying"}
	banded := slices.ContainsFunc(d.Times, func(t DryingTime) bool { return t.Between != "" })
	if banded {
		head = append(head, "earliest to latest")
	}
	if d.Before != nil {
		head = append(head, "before")
	}
	for _, t := range d.Times {
		row := []string{t.What, t.Says}
		if banded {
			row = append(row, t.Between)
		}
		if d.Before != nil {
			row = append(row, d.was(t).Says)
		}
		rows = append(rows, row)
	}
	return head, rows
}

// WaterTable gives the curve in numbers, at the moments that its axis names.
func WaterTable(d Drying) (head []string, rows [][]string) {
	d = d.tidy()
	head = []string{"after laying", "water at the face, of that laid"}
	if d.Before != nil {
		head = append(head, "before")
	}
	end := d.span()
	step := timeStep(end)
	unit := map[string]string{"minutes": "min", "hours": "h", "days": "d"}[timeUnit(step)]
	says := func(d *Drying, t float64) string {
		w, ok := d.at(t)
		if !ok {
			return ""
		}
		return fmt.Sprintf("%.0f %%", 100*w/d.Fresh)
	}
	for t := 0.0; t <= end; t += step {
		row := []string{timeTick(t, step) + " " + unit, says(&d, t)}
		if d.Before != nil {
			row = append(row, says(d.Before, t))
		}
		if slices.ContainsFunc(row[1:], func(s string) bool { return s != "" }) {
			rows = append(rows, row)
		}
	}
	return head, rows
}

// was is the time before the change that stands for t; with no words where there is none.
func (d Drying) was(t DryingTime) DryingTime {
	if d.Before != nil {
		for _, b := range d.Before.Times {
			if b.What == t.What {
				return b
			}
		}
	}
	return DryingTime{At: math.Inf(1)}
}

// at is the water at the face at a moment; not ok where the curve does not go so far.
func (d *Drying) at(t float64) (w float64, ok bool) {
	for i, p := range d.Curve {
		switch {
		case p.After == t:
			return p.Ratio, true
		case p.After > t && i > 0:
			q := d.Curve[i-1]
			return q.Ratio + (p.Ratio-q.Ratio)*(t-q.After)/(p.After-q.After), true
		}
	}
	return 0, false
}

// Sizes of the picture.
const (
	waterPanel = 190.0
	stateBar   = 22.0
	bandRow    = 22.0
	atLeast    = 60.0 // s that the axis of time spans
)

// span is how much of the time after laying is shown: to a little after the last of its times that comes, of both coats.
func (d Drying) span() float64 {
	end := 0.0
	for _, x := range append([]*Drying{&d}, d.Before) {
		if x == nil {
			continue
		}
		for i, t := range x.Times {
			// a last coat is shown until it has gone by; when it is dry only where that is near
			if !math.IsInf(t.At, 1) && (i < len(x.Times)-1 || !d.Last || t.At < 2*end) {
				end = max(end, t.At)
			}
			if !math.IsInf(t.Latest, 1) && t.Latest < 4*end {
				end = max(end, t.Latest)
			}
		}
	}
	if end == 0 && len(d.Curve) > 0 {
		end = d.Curve[len(d.Curve)-1].After
	}
	return max(1.06*end, atLeast)
}

// drawDrying lays the picture out: the states, the water under them, and the times with how sure they are.
func drawDrying(d Drying) *figure {
	f := newFigure(d.ID)
	d = d.tidy()
	f.Title, f.Desc = strings.TrimSuffix(d.Title+": "+d.Says, ": "), d.describe()
	y := f.lines("h", margin+15, 21, headSize, d.Title, 2)
	y = f.lines("t", y, 19, textSize, d.Says, 2) - 6
	end := d.span()
	x := func(t float64) float64 { return plotLeft + (plotRight-plotLeft)*min(max(t/end, 0), 1) }
	f.open("states")
	y += 20
	f.states(d, x, y+stateBar)
	f.shut()
	y = f.water(d, x, end, y+stateBar+6)
	y = f.surely(d, x, end, y)
	y = f.dryingKey(d, y+6)
	f.Height = num(y + margin)
	f.Marks[0].H = f.Height
	return f
}

// stateHeights are those of the bars: the two states that are worked in stand out.
var stateHeights = map[string]float64{"wet": 16, "firming": 16, "compress": stateBar, "burnish": stateBar, "drying": 8}

var stateNames = map[string]string{"wet": "wet", "firming": "firming", "compress": "damp", "burnish": "damp", "drying": "drying off", "dry": "dry"}

// states draws what the face is in, over a base line.
func (f *figure) states(d Drying, x func(float64) float64, base float64) {
	class, from, named, used := "wet", 0.0, "", 0.0 // used: how far along names stand
	bar := func(to float64) {
		a, b := x(from), x(to)
		if b-a < 0.5 {
			return
		}
		if h := stateHeights[class]; h > 0 {
			f.rect(class, a, base-h, b-a, h)
		}
		if name := stateNames[class]; wide(name, smallSize, false) <= b-a-4 && name != named && a >= used {
			f.text("s q", a, base-stateBar-5, name)
			named, used = name, a+wide(name, smallSize, false)+4
		}
	}
	for _, t := range d.Times {
		if t.State == "" {
			continue
		}
		if math.IsInf(t.At, 1) {
			break
		}
		bar(t.At)
		class, from = t.State, max(from, t.At)
	}
	bar(math.Inf(1))
	f.line("rule", plotLeft, base, plotRight, base)
}

// water draws the course of the water from y on.
func (f *figure) water(d Drying, x func(float64) float64, end, y float64) float64 {
	f.open("course")
	defer f.shut()
	top, bottom := y, y+waterPanel
	f.rect("hours", plotLeft, top, plotRight-plotLeft, bottom-top)
	yOf := func(share float64) float64 { return bottom - (bottom-top)*min(max(share/1.05, 0), 1) }
	step := timeStep(end)
	for t := 0.0; t <= end; t += step {
		f.line("grid", x(t), top, x(t), bottom)
		f.text("s q mid", x(t), bottom+16, timeTick(t, step))
	}
	f.text("s q end", plotRight, bottom+33, "after laying, "+timeUnit(step))
	for _, share := range []float64{0, 0.5, 1} {
		f.text("s q end", plotLeft-6, yOf(share)+5, fmt.Sprintf("%.0f%%", 100*share))
	}
	lines := [][]spot{d.spots(x, end, yOf)}
	if b := d.Before; b != nil {
		lines = append(lines, b.spots(x, end, yOf))
	}
	f.levels(d, lines, yOf, top, bottom)
	if b := d.Before; b != nil {
		f.curve("was", lines[1])
		for _, t := range b.Times {
			if t.Level > 0 && t.At <= end {
				f.then(x(t.At), yOf(t.Level/b.Fresh))
			}
		}
	}
	f.curve("face", lines[0])
	for _, t := range d.Times {
		if t.Level > 0 && t.At <= end {
			f.line("mark", x(t.At), yOf(t.Level/d.Fresh)-6, x(t.At), yOf(t.Level/d.Fresh)+6)
		}
	}
	return bottom + 40
}

// then marks a time of the coat before the change.
func (f *figure) then(x, y float64) {
	f.path("then", fmt.Sprintf("M%s %sl4 -4l4 4l-4 4z", num(x-4), num(y)))
}

// levels draws the levels at which the state changes and names each beside its line: where no curve runs, and not on another.
func (f *figure) levels(d Drying, lines [][]spot, yOf func(float64) float64, top, bottom float64) {
	const apart = 14.5
	type named struct {
		says  string
		w, at float64
	}
	var names []named
	for _, t := range d.Times {
		if t.Level <= 0 {
			continue
		}
		at := yOf(t.Level / d.Fresh)
		f.line("level", plotLeft, at, plotRight, at)
		if s := fit(t.What, smallSize, false, (plotRight-plotLeft)/2); s != "" {
			names = append(names, named{s, wide(s, smallSize, false), max(at-4, top+12)})
		}
	}
	slices.SortStableFunc(names, func(a, b named) int { return cmp.Compare(a.at, b.at) })
	if most := int((bottom - top - 16) / apart); len(names) > most {
		names = names[:most]
	}
	for i := 1; i < len(names); i++ {
		names[i].at = max(names[i].at, names[i-1].at+apart)
	}
	for i, low := len(names)-1, bottom-4; i >= 0; i, low = i-1, low-apart {
		names[i].at = min(names[i].at, low)
	}
	for _, n := range names {
		end := plotRight - 4
		for _, e := range []float64{end, (plotLeft + plotRight + n.w) / 2, plotLeft + 8 + n.w} {
			if !slices.ContainsFunc(lines, func(l []spot) bool { return meets(l, e-n.w-4, n.at-14, e+4, n.at+5) }) {
				end = e
				break
			}
		}
		f.text("s halo end", end, n.at, n.says)
	}
}

// spot is a place in the picture.
type spot struct{ x, y float64 }

// meets tells whether a line runs through a box.
func meets(line []spot, x0, y0, x1, y1 float64) bool {
	const parts = 40
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		for k := range parts + 1 {
			s := float64(k) / parts
			if x, y := a.x+s*(b.x-a.x), a.y+s*(b.y-a.y); x > x0 && x < x1 && y > y0 && y < y1 {
				return true
			}
		}
	}
	return false
}

// spots are where the water of a coat is drawn, up to the end of the axis, as few as show it.
func (d *Drying) spots(x func(float64) float64, end float64, yOf func(float64) float64) []spot {
	var out []spot
	last := spot{math.Inf(-1), 0}
	for i, p := range d.Curve {
		if p.After > end {
			if w, ok := d.at(end); ok {
				out = append(out, spot{x(end), yOf(w / d.Fresh)})
			}
			break
		}
		q := spot{x(p.After), yOf(p.Ratio / d.Fresh)}
		if i < len(d.Curve)-1 && math.Hypot(q.x-last.x, q.y-last.y) < 1.5 { // nothing to see between
			continue
		}
		out, last = append(out, q), q
	}
	return out
}

func (f *figure) curve(class string, line []spot) {
	var b strings.Builder
	for i, p := range line {
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + num(p.x) + " " + num(p.y))
	}
	if b.Len() > 0 {
		f.path(class, b.String())
	}
}

// surely writes each time, and under it how early and how late it may be.
func (f *figure) surely(d Drying, x func(float64) float64, end, y float64) float64 {
	f.open("times")
	defer f.shut()
	for _, t := range d.Times {
		says, was := t.What+" "+t.Says, d.was(t)
		if was.Says != "" {
			says += ", before " + was.Says
		}
		if t.Between != "" {
			says += "; 8 in 10: " + t.Between
		}
		f.text("s", margin, y+12, fit(says, smallSize, false, width-2*margin))
		if t.Between != "" && t.Earliest < end {
			f.sure(x(t.Earliest), x(t.Latest), y+21, t.Latest > end)
		}
		if was.At <= end {
			f.then(x(was.At), y+21)
		}
		if t.At <= end {
			f.line("mark", x(t.At), y+15, x(t.At), y+27)
		}
		y += 14 + bandRow - 4
	}
	return y
}

// sure draws a bracket from a to b about y: eight in ten fall into it. One that goes on past the axis has no end there.
func (f *figure) sure(a, b, y float64, on bool) {
	f.path("sure", fmt.Sprintf("M%s %sv8m0 -4H%s", num(a), num(y-4), num(b)))
	if on {
		f.path("open", fmt.Sprintf("M%s %sl6 5l-6 5", num(plotRight+3), num(y-5)))
		return
	}
	f.path("sure", fmt.Sprintf("M%s %sv8", num(b), num(y-4)))
}

func (f *figure) dryingKey(d Drying, y float64) float64 {
	keys := []keyed{{"wet", "wet"}, {"firming", "firming"}, {"compress", "damp: compress"}, {"burnish", "damp: burnish"}, {"drying", "drying off"},
		{"face", "water at the face, of that laid"}, {"level", "where its state changes"}, {"sure", sureSays}, {"was", "before the change"}}
	return f.keys(keys, y)
}

// describe says in words what the picture shows.
func (d Drying) describe() string {
	out := "The water at the face falls from laying on. After laying: " + d.words()
	if d.Before != nil {
		out += ". Dashed, before the change: " + strings.TrimSuffix(d.Before.Title+", "+d.Before.Says, ", ") + ": " + d.Before.words()
	}
	return out + "."
}

func (d Drying) words() string {
	var says []string
	for _, t := range d.Times {
		s := t.What + " " + t.Says
		if t.Between != "" {
			s += " (8 in 10: " + t.Between + ")"
		}
		says = append(says, s)
	}
	return strings.Join(says, ", ")
}

// tidy makes every text fit for XML and drops what cannot be drawn.
func (d Drying) tidy() Drying {
	d.Title, d.Says = clean(d.Title), clean(d.Says)
	if !(d.Fresh > 0 && d.Fresh < 1000) {
		d.Fresh = 1
	}
	var curve []Water
	for _, p := range d.Curve {
		if p.After >= 0 && p.After < 1e9 && p.Ratio >= 0 && p.Ratio < 1000 && (len(curve) == 0 || p.After > curve[len(curve)-1].After) {
			curve = append(curve, p)
		}
	}
	d.Curve = curve
	var times []DryingTime
	for _, t := range d.Times {
		if math.IsNaN(t.At) || t.At < 0 || math.IsNaN(t.Earliest) || math.IsNaN(t.Latest) || math.IsNaN(t.Level) || t.Earliest > t.Latest {
			continue
		}
		t.What, t.Says, t.Between = clean(t.What), clean(t.Says), clean(t.Between)
		times = append(times, t)
	}
	d.Times = times
	if d.Before != nil {
		b := d.Before.tidy()
		b.Before = nil
		d.Before = &b
	}
	return d
}

// timeStep is a step of time of which a handful go into span, s.
func timeStep(span float64) float64 {
	for _, s := range []float64{15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 4 * 3600, 6 * 3600, 12 * 3600, 86400, 2 * 86400, 5 * 86400} {
		if span/s <= 7 {
			return s
		}
	}
	return 10 * 86400
}

func timeUnit(step float64) string {
	switch {
	case step >= 86400:
		return "days"
	case step >= 3600:
		return "hours"
	}
	return "minutes"
}

func timeTick(t, step float64) string {
	per := map[string]float64{"days": 86400, "hours": 3600, "minutes": 60}[timeUnit(step)]
	return num(math.Round(t/per*100) / 100)
}
