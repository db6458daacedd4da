package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
)

// Heights of a bar by the state of the face: the film loses its water from left to right, and the two states that
// are worked in stand out above the rest.
const (
	bar       = 28.0
	wetBar    = 20.0
	dryingBar = 9.0
)

// draw lays the whole picture out.
func draw(d Day) *figure {
	f := newFigure(d.ID)
	d = tidy(d)
	f.Title, f.Desc = strings.TrimSuffix(d.Title+": "+d.Verdict, ": "), describe(d)
	y := margin + 15
	f.text("h", margin, y, fit(d.Title, headSize, true, width-2*margin))
	y += 21
	f.text("h", margin, y, fit(d.Verdict, headSize, true, width-2*margin))
	y += 19
	f.text("s q", margin, y, fit(d.Date, smallSize, false, width-2*margin))
	ax, ok := axisOf(d)
	if ok && len(d.Coats)+len(d.Course) > 0 {
		y = f.plot(d, ax, y+8)
	}
	y = f.ahead(d.Ahead, y)
	y = f.key(y + 10)
	f.Height = num(y + margin)
	f.Marks[0].H = f.Height
	return f
}

// tidy makes every text fit for XML and every coat's times follow one another.
func tidy(d Day) Day {
	d.Title, d.Date, d.Verdict = clean(d.Title), clean(d.Date), clean(d.Verdict)
	coats := make([]Coat, 0, len(d.Coats))
	for _, c := range d.Coats {
		if c.Lay.IsZero() {
			continue
		}
		c.Name, c.Band = clean(c.Name), clean(c.Band)
		c.Says, c.Steps = clean(c.Says), slices.Clone(c.Steps)
		for i, s := range c.Steps {
			c.Steps[i].What, c.Steps[i].Says = clean(s.What), clean(s.Says)
		}
		coats = append(coats, c)
	}
	d.Coats = coats
	ahead := make([]Ahead, 0, len(d.Ahead))
	for _, a := range d.Ahead {
		ahead = append(ahead, Ahead{clean(a.Day), clean(a.Says)})
	}
	d.Ahead = ahead
	limits := make([]Limit, 0, len(d.Limits))
	for _, l := range d.Limits {
		if !math.IsNaN(l.C) && math.Abs(l.C) <= 1000 {
			l.Says = clean(l.Says)
			limits = append(limits, l)
		}
	}
	d.Limits = limits
	return d
}

// describe says in words what the picture shows.
func describe(d Day) string {
	var b strings.Builder
	b.WriteString(d.Date)
	for _, c := range d.Coats {
		fmt.Fprintf(&b, ". Coat %s", strings.Join(append([]string{c.Name}, c.words(true)...), ", "))
		if c.Band != "" {
			b.WriteString(" (8 in 10: " + c.Band + ")")
		}
	}
	for _, a := range d.Ahead {
		fmt.Fprintf(&b, ". %s %s", a.Day, a.Says)
	}
	ax, known := axisOf(d)
	if shown := course(d, ax); known && len(shown) > 1 {
		b.WriteString(". Below: the temperature of the air and of the wall's face, the dew point, and the limits of the face")
		for _, w := range d.falls(ax, shown) {
			b.WriteString(". " + w.head + ", to " + w.says(w.most))
		}
	}
	return strings.TrimPrefix(b.String(), ". ") + "."
}

// words are the coat's times in words, in their order.
func (c Coat) words(laid bool) []string {
	var out []string
	say := func(what, when string) {
		if when != "" {
			out = append(out, what+" "+when)
		}
	}
	if laid {
		say("lay", c.Says)
	}
	for _, e := range c.Steps {
		say(e.What, e.Says)
	}
	return out
}

// state is a stretch of a coat's course.
type state struct {
	class    string
	from, to time.Time // to zero: with no end that is known
}

// stretches are the coat's states, in their order; one of no length is left out.
func (c Coat) stretches() []state {
	var out []state
	from := c.Lay
	for _, s := range c.States {
		if s.End.IsZero() {
			return append(out, state{class: s.Class, from: from})
		}
		if s.End.After(from) {
			out = append(out, state{s.Class, from, s.End})
			from = s.End
		}
	}
	return out
}

// plot draws everything that stands over the axis of time, from y on, and gives where it ends.
func (f *figure) plot(d Day, ax axis, y float64) float64 {
	ticks := ax.ticks(wide("00:00", smallSize, false))
	f.ticks(ax, ticks, y+13)
	top, under := y+18, len(f.Marks)
	y = top + 4
	for _, c := range d.Coats {
		y = f.coat(c, ax, y)
	}
	f.ground(d, ax, ticks, under, top, y)
	if points := course(d, ax); len(points) > 1 {
		y += 12
		top, under = y+26, len(f.Marks)
		y = f.course(d, ax, points, y)
		f.ground(d, ax, ticks, under, top, y)
		for _, w := range d.falls(ax, points) {
			y = f.strip(d, ax, ticks, points, w, y)
		}
	}
	f.ticks(ax, ticks, y+22)
	return y + 26
}

// ground puts the band of the working hours and the grid under the marks from index under on.
func (f *figure) ground(d Day, ax axis, ticks []time.Time, under int, top, bottom float64) {
	above := slices.Clone(f.Marks[under:])
	f.Marks = f.Marks[:under]
	a, _ := ax.x(d.From)
	b, _ := ax.x(d.To)
	hours := !d.From.IsZero() && b-a >= 1
	if hours {
		f.rect("hours", a, top, b-a, bottom-top)
	}
	for _, t := range ticks {
		x, _ := ax.x(t)
		f.line("grid", x, top, x, bottom)
	}
	if hours && !f.has["span"] { // told by shape too: a heavy rule over them
		f.path("span", fmt.Sprintf("M%s %sv-5H%sv5", num(a), num(top+5), num(b)))
	}
	f.Marks = append(f.Marks, above...)
}

func (f *figure) ticks(ax axis, ticks []time.Time, y float64) {
	for _, t := range ticks {
		x, _ := ax.x(t)
		f.text("s q mid", x, y, ax.clock(t))
	}
}

// coat draws one coat's row from y on.
func (f *figure) coat(c Coat, ax axis, y float64) float64 {
	f.open("coat")
	defer f.shut()
	head := c.Name
	if c.Says != "" {
		head += ", lay " + c.Says
	}
	f.text("t", margin, y+16, fit(head, textSize, false, width-2*margin))
	base := y + 24 + bar
	f.bars(c, ax, base)
	if zoom, ok := closeUp(c, ax); ok {
		return f.closeUp(c, ax, zoom, base)
	}
	return f.labels(c, ax, f.brackets(c, ax, base))
}

// brackets draws how sure a coat's times are under its bars, each that is more than a stroke wide, and gives the base line of
// what follows.
func (f *figure) brackets(c Coat, ax axis, base float64) float64 {
	for _, e := range c.Steps {
		a, on := ax.x(e.Sure.From)
		if e.Sure.From.IsZero() || !on && e.Sure.From.After(ax.hi) {
			continue
		}
		b, ends := ax.right, false
		if !e.Sure.To.IsZero() {
			b, ends = ax.x(e.Sure.To)
		}
		if b-a < 3 {
			continue
		}
		base += 11
		f.sure(a, b, base, !ends)
		if x, on := ax.x(e.At); on && !e.At.IsZero() {
			f.line("mark", x, base-6, x, base+6)
		}
	}
	return base
}

// bars draws a coat's states over a base line.
func (f *figure) bars(c Coat, ax axis, base float64) {
	end, open := ax.left, false
	for _, s := range c.stretches() {
		h := map[string]float64{"wet": wetBar, "compress": bar, "burnish": bar, "drying": dryingBar}[s.class]
		a, _ := ax.x(s.from)
		b, on := ax.right, false
		if !s.to.IsZero() {
			b, on = ax.x(s.to)
		}
		if b > a {
			f.rect(s.class, a, base-h, b-a, h)
		}
		end, open = max(end, b), !on
		if open {
			break
		}
	}
	f.line("rule", ax.left, base, ax.right, base)
	if open { // it goes on: no upright closes it, and an arrow says so
		f.path("open", fmt.Sprintf("M%s %sl6 5l-6 5", num(ax.right+3), num(base-10)))
	}
	if x, on := ax.x(c.Edge); on && !c.Edge.IsZero() {
		if from, _ := ax.x(c.Lay); x-from >= 3 {
			f.path("edge", fmt.Sprintf("M%s %sv-4H%sv4", num(from), num(base-bar+2), num(x)))
		}
	}
	for _, e := range c.Steps {
		if x, on := ax.x(e.At); on && !e.At.IsZero() {
			f.line("mark", x, base-bar, x, base+4)
		}
	}
}

// labels writes a coat's times under its bars.
func (f *figure) labels(c Coat, ax axis, base float64) float64 {
	var labels []label
	for _, e := range c.Steps {
		if e.Says == "" {
			continue
		}
		x := ax.right
		if !e.At.IsZero() {
			x, _ = ax.x(e.At)
		}
		labels = append(labels, label{x: x, text: e.What + " " + e.Says})
	}
	tiers := pack(labels, textSize, margin, width-margin)
	for _, l := range labels {
		f.text("t", l.at, base+19+17*float64(l.tier), l.text)
	}
	return base + 8 + 17*float64(tiers)
}

// roomy is how wide a window must be for its times to be read without a close-up.
const roomy = 200.0

// closeUp gives the axis of a close-up of a coat that is worked, where it needs one.
func closeUp(c Coat, ax axis) (axis, bool) {
	w, ok := c.window()
	if !ok {
		return ax, false
	}
	open, shut := w.From, w.To
	a, _ := ax.x(open)
	b, on := ax.x(shut)
	if !on || b-a >= roomy {
		return ax, false
	}
	window := shut.Sub(open)
	lead := min(window, open.Sub(c.Lay))
	ax.lo, ax.hi = open.Add(-lead), shut.Add(max(window/6, 30*time.Second))
	return ax, true
}

// closeUp draws such a coat again on its own axis, below its bars.
func (f *figure) closeUp(c Coat, ax, zoom axis, base float64) float64 {
	f.open("closeup")
	defer f.shut()
	a, _ := ax.x(zoom.lo)
	b, _ := ax.x(zoom.hi)
	top := base + 20
	f.rect("paper", 0, top, width, 0) // no grid of the hours behind another axis
	ground := len(f.Marks) - 1
	f.path("funnel", fmt.Sprintf("M%s %sL%s %sM%s %sL%s %s", num(a), num(base), num(zoom.left), num(top), num(b), num(base), num(zoom.right), num(top)))
	base = top + 6 + bar
	shown := c
	if shown.Lay.Before(zoom.lo) {
		shown.Lay, shown.Edge = zoom.lo, time.Time{}
	}
	f.bars(shown, zoom, base)
	y := f.labels(shown, zoom, f.brackets(shown, zoom, base))
	for _, t := range zoom.ticks(wide("00:00", smallSize, false)) {
		x, _ := zoom.x(t)
		f.line("rule", x, y+2, x, y+6)
		f.text("s q mid", x, y+19, zoom.clock(t))
	}
	f.Marks[ground].H = num(y + 28 - top)
	return y + 28
}

// strips are how high sun and rain are.
const strips = 30.0

// strip draws what comes onto the wall from y on, as high as the most of it.
func (f *figure) strip(d Day, ax axis, ticks []time.Time, points []Point, w fall, y float64) float64 {
	f.open("strip")
	defer f.shut()
	f.text("t", margin, y+22, w.head+", to "+w.says(w.most))
	top, under := y+30, len(f.Marks)
	base := top + strips
	var b strings.Builder
	first, _ := ax.x(points[0].Time)
	last := first
	fmt.Fprintf(&b, "M%s %s", num(first), num(base))
	for _, p := range points {
		last, _ = ax.x(p.Time)
		fmt.Fprintf(&b, "L%s %s", num(last), num(base-strips*max(w.of(p), 0)/w.most))
	}
	fmt.Fprintf(&b, "L%s %sz", num(last), num(base))
	f.path(w.class, b.String())
	f.line("rule", ax.left, base, ax.right, base)
	f.ground(d, ax, ticks, under, top, base)
	return base
}

// panel is how high the temperatures are.
const panel = 132.0

// course draws the temperatures from y on.
func (f *figure) course(d Day, ax axis, points []Point, y float64) float64 {
	f.open("course")
	defer f.shut()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range points {
		lo, hi = min(lo, p.Air, p.DewPoint, p.Face), max(hi, p.Air, p.DewPoint, p.Face)
	}
	var limits []Limit
	for _, l := range d.Limits {
		passed := slices.ContainsFunc(points, func(p Point) bool { return l.Above == (p.Face < l.C) && p.Face != l.C })
		if l.C > lo-10 && l.C < hi+6 || passed { // one kept and far off would flatten the rest
			limits = append(limits, l)
		}
	}
	for _, l := range limits {
		lo, hi = min(lo, l.C), max(hi, l.C)
	}
	show := func(c float64) float64 { return c }
	back := show
	if d.Units == quantity.US {
		show = func(c float64) float64 { return c*9/5 + 32 }
		back = func(f float64) float64 { return (f - 32) * 5 / 9 }
	}
	step := niceStep(max(show(hi)-show(lo), 1), 4)
	bottomV, topV := math.Floor((show(lo)-step/4)/step)*step, math.Ceil((show(hi)+step/4)/step)*step
	top := y + 26
	yOf := func(c float64) float64 { return top + panel*(topV-show(c))/(topV-bottomV) }
	unit := quantity.Temperature.Unit(d.Units)
	head := "Air and wall, " + unit
	f.text("t", margin, y+14, head)
	if x, on := ax.x(d.KnownTo); on && !d.KnownTo.IsZero() {
		s := "last reading " + ax.clock(d.KnownTo)
		w, from := wide(s, smallSize, false), margin+wide(head, textSize, false)+12
		f.text("s q", max(from, min(x-w/2, width-margin-w)), y+14, s)
		f.line("known", x, top, x, top+panel)
	}
	for v := bottomV; v <= topV+step/2; v += step {
		at := yOf(back(v))
		f.line("grid", ax.left, at, ax.right, at)
		f.text("s q end", ax.left-6, at+5, num(math.Round(v*100)/100))
	}
	line := func(class string, of func(Point) float64) {
		var b strings.Builder
		for i, p := range points {
			x, _ := ax.x(p.Time)
			b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + num(x) + " " + num(yOf(of(p))))
		}
		f.path(class, b.String())
	}
	line("face", func(p Point) float64 { return p.Face })
	line("air", func(p Point) float64 { return p.Air })
	line("dew", func(p Point) float64 { return p.DewPoint })
	var taken []float64
	for _, l := range limits {
		at := yOf(l.C)
		f.line("limit", ax.left, at, ax.right, at)
		tooth := 5.0
		if !l.Above {
			tooth = -5
		}
		var b strings.Builder
		for x := ax.left + 4; x+4 <= ax.right; x += 10 {
			fmt.Fprintf(&b, "M%s %sl-4 %s", num(x+4), num(at), num(tooth))
		}
		f.path("limit", b.String())
		ty := at - 5
		if !l.Above {
			ty = at + 15
		}
		ty = max(top+13, min(ty, top+panel-3))
		for _, t := range taken {
			if math.Abs(ty-t) < 17 {
				ty = t + 17
				if ty > top+panel-3 {
					ty = t - 17
				}
			}
		}
		taken = append(taken, ty)
		f.text("s halo end", ax.right-4, ty, fit(l.Says, smallSize, false, ax.right-ax.left-8))
	}
	return top + panel
}

// ahead writes the later days from y on, a line or two each.
func (f *figure) ahead(days []Ahead, y float64) float64 {
	if len(days) == 0 {
		return y
	}
	f.open("ahead")
	defer f.shut()
	f.line("rule", margin, y+12, width-margin, y+12)
	f.text("t", margin, y+30, "Later days")
	y += 30
	for _, d := range days {
		left := margin + wide("Wed 00 Mmm", smallSize, false) + 10
		f.text("s", margin, y+19, fit(d.Day, smallSize, false, left-margin))
		for _, line := range broken(d.Says, smallSize, width-margin-left) {
			y += 19
			f.text("s", left, y, line)
		}
	}
	return y + 4
}

// key explains what was drawn, from y on.
func (f *figure) key(y float64) float64 {
	return f.keys([]keyed{
		{"wet", "wet: too soon"}, {"compress", "compress"}, {"burnish", "burnish"}, {"drying", "drying off"}, {"edge", "edge good"},
		{"sure", sureSays}, {"span", "working hours"}, {"air", "air"}, {"face", "wall"}, {"dew", "dew point"}, {"limit", "limit of the wall"}, {"sun", "sun and sky"}, {"rain", "driving rain"},
	}, y)
}

// sureSays is what a bracket tells.
const sureSays = "earliest to latest, 8 in 10"

// keyed is a class and what a key says of it.
type keyed struct{ class, says string }

// keys explains those of a list that were drawn, from y on.
func (f *figure) keys(list []keyed, y float64) float64 {
	x := margin
	row := y
	any := false
	for _, k := range list {
		if !f.has[k.class] {
			continue
		}
		w := 34 + wide(k.says, smallSize, false) + 14
		if x+w-14 > width-margin {
			x, row = margin, row+22
		}
		f.open("key")
		switch k.class {
		case "sun", "rain":
			f.path(k.class, fmt.Sprintf("M%s %sl14 -12l14 12z", num(x), num(row+17)))
		case "wet", "firming", "compress", "burnish", "drying", "lay", "pause", "damp", "opening", "unplanned", "numbered":
			h := cmp.Or(map[string]float64{"wet": 12, "firming": 12, "drying": 7}[k.class], 16)
			f.rect(k.class, x, row+17-h, 28, h)
		case "edge", "span":
			f.path(k.class, fmt.Sprintf("M%s %sv-5h28v5", num(x), num(row+14)))
		case "sure":
			f.path(k.class, fmt.Sprintf("M%s %sv8m0 -4h28m0 -4v8", num(x), num(row+7)))
		case "was":
			f.path(k.class, fmt.Sprintf("M%s %sh28", num(x), num(row+11)))
			f.then(x+14, row+11)
		case "may":
			f.path(k.class, fmt.Sprintf("M%s %sl4 8h-8z", num(x+14), num(row+7)))
		case "limit":
			f.path(k.class, fmt.Sprintf("M%s %sh28m-20 0l-4 5m12 -5l-4 5m12 -5l-4 5", num(x), num(row+9)))
		default:
			if turns, ok := strings.CutPrefix(k.class, inTurn(nil)); ok {
				f.stacked(strings.Fields(turns), x, row+1, 28, 16)
				break
			}
			f.path(k.class, fmt.Sprintf("M%s %sh28", num(x), num(row+11)))
		}
		f.text("s", x+34, row+16, k.says)
		f.shut()
		x += w
		any = true
	}
	if !any {
		return y
	}
	return row + 20
}
