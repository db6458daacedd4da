package drawing

import (
	"cmp"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
	"time"
)

// HandBar is what a hand does for a while.
type HandBar struct {
	From, To time.Time
	// Does is one or more, in turn, of lay, compress and burnish, or break; any other word is written on an outline.
	Does        []string
	First, Last int // the patches; 0 for a break
	// For closing work, from when its first patch opens until its last has gone by; zero for laying and a break.
	Opens, Closes time.Time
}

// HandRow is one hand's day.
type HandRow struct {
	Name string
	Bars []HandBar
}

// Hands is who does what when on one day. Times are shown by the clock of From's zone, or of the first bar's where From is zero.
type Hands struct {
	ID       string // begins the ids of a drawing that is one of several on a page; empty: it is the only one
	Title    string
	From, To time.Time // the working hours that day
	Rows     []HandRow
}

// HandsSVG writes h as a file of its own, with its one style element.
func HandsSVG(w io.Writer, h Hands) error { return writeFile(w, drawHands(h)) }

// HandsInline is h for a page whose style element holds Style.
func HandsInline(h Hands) template.HTML { return inline(drawHands(h)) }

// HandsTable gives the bars in numbers, a row for each.
func HandsTable(h Hands) (head []string, rows [][]string) {
	head = []string{"hand", "from", "to", "does", "patches", "window"}
	ax, _ := h.axis()
	at := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		if ax.zone != nil {
			t = t.In(ax.zone)
			if day := ax.lo.In(ax.zone); t.YearDay() != day.YearDay() || t.Year() != day.Year() {
				return t.Format("Mon 15:04")
			}
		}
		return t.Format("15:04")
	}
	for _, r := range h.Rows {
		for _, b := range r.Bars {
			window := ""
			if b.closing() {
				window = at(b.Opens) + "-" + at(b.Closes)
			}
			rows = append(rows, []string{r.Name, at(b.From), at(b.To), b.does(), b.patches(), window})
		}
	}
	return head, rows
}

// closing tells whether b has a window that it must lie within.
func (b HandBar) closing() bool { return !b.Opens.IsZero() && b.Closes.After(b.Opens) }

// does is what b is, in words.
func (b HandBar) does() string {
	n := len(b.Does)
	if n < 2 {
		return strings.Join(b.Does, "")
	}
	return strings.Join(b.Does[:n-1], ", ") + " and " + b.Does[n-1] + " in turn"
}

// patches are those of b.
func (b HandBar) patches() string {
	switch {
	case b.First <= 0 && b.Last <= 0:
		return ""
	case b.First == b.Last || b.Last <= 0:
		return fmt.Sprint(b.First)
	}
	return fmt.Sprintf("%d-%d", b.First, b.Last)
}

// handWork are the classes that a bar is filled with, a class for each word.
var handWork = []string{"lay", "compress", "burnish"}

// looks are the classes of b, from above; pause alone where it is none of the works.
func (b HandBar) looks() []string {
	var out []string
	for _, d := range b.Does {
		if slices.Contains(handWork, d) && !slices.Contains(out, d) {
			out = append(out, d)
		}
	}
	if len(out) == 0 {
		return []string{"pause"}
	}
	return out
}

// Sizes of a row. A window stands out over and under its bar, and further over and under one that it overlaps.
const (
	handBar     = 24.0
	windowStep  = 5.0
	windowTiers = 3
	mostHands   = 8
	// past is how far from the working hours a bar is still drawn.
	past = 6 * time.Hour
)

// axis spans the working hours and the bars near them; ok is false where no time is known.
func (h Hands) axis() (axis, bool) {
	ax := axis{left: plotLeft, right: plotRight}
	lo, hi := h.From, h.To
	hours := !lo.IsZero() && hi.After(lo) && hi.Sub(lo) <= 2*longest
	if hours {
		ax.zone = lo.Location()
	} else {
		lo = time.Time{}
		for _, r := range h.Rows {
			for _, b := range r.Bars {
				if !b.From.IsZero() && b.To.After(b.From) && (lo.IsZero() || b.From.Before(lo)) {
					lo = b.From
				}
			}
		}
		if lo.IsZero() {
			return ax, false
		}
		ax.zone = lo.Location()
		if !h.From.IsZero() {
			ax.zone = h.From.Location()
		}
		hi = lo.Add(time.Hour)
	}
	least, most := lo, hi.Add(past)
	if hours {
		least = lo.Add(-past)
	} else {
		most = lo.Add(longest)
	}
	ax.lo, ax.hi = lo, hi
	for _, r := range h.Rows {
		for _, b := range r.Bars {
			if b.From.IsZero() || !b.To.After(b.From) || b.From.Before(least) || b.To.After(most) {
				continue
			}
			span := []time.Time{b.From, b.To}
			if b.closing() && !b.Opens.Before(least) && !b.Closes.After(most) {
				span = append(span, b.Opens, b.Closes)
			}
			for _, t := range span {
				if t.Before(ax.lo) {
					ax.lo = t
				}
				if t.After(ax.hi) {
					ax.hi = t
				}
			}
		}
	}
	return ax, true
}

// drawHands lays the picture out: a row for each hand, on one axis of clock time.
func drawHands(h Hands) *figure {
	f := newFigure(h.ID)
	h = h.tidy()
	f.Title, f.Desc = cmp.Or(h.Title, "Who does what when"), h.describe()
	y := f.lines("h", margin+15, 21, headSize, h.Title, 2)
	ax, ok := h.axis()
	if ok && len(h.Rows) > 0 {
		y = f.hands(h, ax, y-10)
		if says := h.left(ax); says != "" {
			y = f.lines("s", y+22, 18, smallSize, says, 3) - 16
		}
		y = f.keys(f.handsKey(h, ax), y+10)
	} else {
		y = f.lines("t", y, 19, textSize, "No hand has work on this day.", 1) - 14
	}
	f.Height = num(y + margin)
	f.Marks[0].H = f.Height
	return f
}

// left says what is not drawn.
func (h Hands) left(ax axis) string {
	var says []string
	if more := len(h.Rows) - mostHands; more > 0 {
		says = append(says, fmt.Sprintf("Hands not drawn: %d more.", more))
	}
	away := 0
	for _, r := range h.Rows[:min(len(h.Rows), mostHands)] {
		bars, _ := r.shown(ax)
		away += len(r.Bars) - len(bars)
	}
	if away > 0 {
		says = append(says, fmt.Sprintf("Work at no time in these hours: %d.", away))
	}
	if len(says) == 0 {
		return ""
	}
	return strings.Join(append(says, "The table has them."), " ")
}

// hands draws the rows from y on, and gives where the axis under them ends.
func (f *figure) hands(h Hands, ax axis, y float64) float64 {
	ticks := ax.ticks(wide("00:00", smallSize, false))
	grid := ticks
	if hourly := ax.hours(1); len(hourly) > len(ticks) && len(hourly) <= 16 {
		grid = hourly
	}
	f.ticks(ax, ticks, y+13)
	top, under := y+18, len(f.Marks)
	y = top + 8
	for i, r := range h.Rows {
		if i < mostHands {
			y = f.hand(r, ax, y)
		}
	}
	f.ground(Day{From: h.From, To: h.To}, ax, grid, under, top, y)
	f.ticks(ax, ticks, y+16)
	return y + 20
}

// shown are those bars of r that fall on the axis, in order, and where they begin and end on it.
func (r HandRow) shown(ax axis) (bars []HandBar, ends [][2]float64) {
	sorted := slices.SortedStableFunc(slices.Values(r.Bars), func(a, b HandBar) int { return a.From.Compare(b.From) })
	for _, b := range sorted {
		if b.From.IsZero() || !b.To.After(b.From) || !b.To.After(ax.lo) || !b.From.Before(ax.hi) {
			continue
		}
		x0, _ := ax.x(b.From)
		x1, _ := ax.x(b.To)
		bars, ends = append(bars, b), append(ends, [2]float64{x0, x1})
	}
	return bars, ends
}

// hand draws one row from y on: the name, the bars' patches, and the bars before their windows.
func (f *figure) hand(r HandRow, ax axis, y float64) float64 {
	f.open("hand")
	defer f.shut()
	f.text("t", margin, y+16, fit(r.Name, textSize, false, width-2*margin))
	bars, ends := r.shown(ax)
	type window struct {
		x0, x1 float64
		tier   int
	}
	var windows []window
	tiers := 0
	for _, b := range bars {
		if !b.closing() || !b.Closes.After(ax.lo) || !b.Opens.Before(ax.hi) {
			continue
		}
		w := window{}
		w.x0, _ = ax.x(b.Opens)
		w.x1, _ = ax.x(b.Closes)
		if slices.ContainsFunc(windows, func(o window) bool { return o.x0 == w.x0 && o.x1 == w.x1 }) {
			continue
		}
		for w.tier < windowTiers-1 && slices.ContainsFunc(windows, func(o window) bool { return o.tier == w.tier && o.x0 < w.x1 && w.x0 < o.x1 }) {
			w.tier++
		}
		tiers = max(tiers, w.tier+1)
		windows = append(windows, w)
	}
	pad := windowStep * float64(tiers)
	mid := y + 42 + pad + handBar/2
	slices.SortStableFunc(windows, func(a, b window) int { return cmp.Compare(b.tier, a.tier) }) // the highest behind
	for _, w := range windows {
		high := handBar/2 + windowStep*float64(w.tier+1)
		f.rect("damp", w.x0, mid-high, w.x1-w.x0, 2*high)
	}
	for i, b := range bars {
		f.stacked(b.looks(), ends[i][0], mid-handBar/2, ends[i][1]-ends[i][0], handBar)
	}
	f.line("rule", ax.left, mid+handBar/2+pad, ax.right, mid+handBar/2+pad)
	f.barNames(bars, ends, y+36)
	return mid + handBar/2 + pad + 8
}

// stacked draws a bar: works done in turn lie on each other, each with its own pattern.
func (f *figure) stacked(classes []string, x, y, w, h float64) {
	each := h / float64(len(classes))
	for i, c := range classes {
		f.rect(c, x, y+each*float64(i), w, each)
	}
	if len(classes) > 1 {
		f.has[inTurn(classes)] = true
	}
}

// inTurn stands in a key for classes that lie on each other.
func inTurn(classes []string) string { return "turn " + strings.Join(classes, " ") }

// barNames writes each bar's patches over it, the longest bars' first, where they meet no other and are not taken for another's.
func (f *figure) barNames(bars []HandBar, ends [][2]float64, y float64) {
	const over = 10 // how far a name may stand over another bar
	order := make([]int, len(bars))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ends[b][1]-ends[b][0], ends[a][1]-ends[a][0]) })
	var taken [][2]float64
	for _, i := range order {
		says := bars[i].patches()
		if slices.Equal(bars[i].looks(), []string{"pause"}) {
			says = strings.TrimSpace(bars[i].does() + " " + says)
		}
		w := wide(says, smallSize, false)
		at := max(margin, min((ends[i][0]+ends[i][1]-w)/2, width-margin-w))
		fits := says != "" && w <= width-2*margin && at <= ends[i][1] && at+w >= ends[i][0]
		for _, t := range taken {
			fits = fits && (at >= t[1]+6 || at+w <= t[0]-6)
		}
		for k, e := range ends {
			fits = fits && (k == i || min(at+w, e[1])-max(at, e[0]) <= over)
		}
		if fits {
			f.text("s", at, y, says)
			taken = append(taken, [2]float64{at, at + w})
		}
	}
}

// handsKey explains what was drawn, with each set of works done in turn.
func (f *figure) handsKey(h Hands, ax axis) []keyed {
	alone, paused := map[string]bool{}, "break"
	var turns []keyed
	for _, r := range h.Rows[:min(len(h.Rows), mostHands)] {
		bars, _ := r.shown(ax)
		for _, b := range bars {
			looks := b.looks()
			k := keyed{inTurn(looks), HandBar{Does: looks}.does()}
			if looks[0] == "pause" && b.does() != "break" {
				paused = "break or other work"
			}
			if len(looks) == 1 {
				alone[looks[0]] = true
			} else if !slices.Contains(turns, k) {
				turns = append(turns, k)
			}
		}
	}
	var list []keyed
	for _, w := range handWork {
		// one that is only done in turn is named too, so that its pattern can be told
		if alone[w] || len(turns) > 0 {
			list = append(list, keyed{w, w})
		}
	}
	list = append(list, turns...)
	return append(list, keyed{"pause", paused}, keyed{"damp", "damp window"}, keyed{"span", "working hours"})
}

// describe says in words what the picture shows.
func (h Hands) describe() string {
	var b strings.Builder
	_, rows := HandsTable(h)
	last := ""
	for _, r := range rows {
		if r[0] != last || b.Len() == 0 {
			b.WriteString(strings.TrimSpace(". " + r[0] + ":"))
			last = r[0]
		} else {
			b.WriteString(";")
		}
		b.WriteString(" " + strings.TrimSpace(r[3]+" "+r[4]) + " " + r[1] + " to " + r[2])
		if r[5] != "" {
			b.WriteString(", window " + r[5])
		}
	}
	if b.Len() == 0 {
		return "No hand has work on this day."
	}
	return strings.TrimPrefix(b.String(), ". ") + "."
}

// tidy makes every text fit for XML.
func (h Hands) tidy() Hands {
	h.Title = clean(h.Title)
	rows := make([]HandRow, 0, len(h.Rows))
	for _, r := range h.Rows {
		bars := make([]HandBar, 0, len(r.Bars))
		for _, b := range r.Bars {
			does := make([]string, 0, len(b.Does))
			for _, d := range b.Does {
				does = append(does, clean(d))
			}
			b.Does = does
			bars = append(bars, b)
		}
		rows = append(rows, HandRow{clean(r.Name), bars})
	}
	h.Rows = rows
	return h
}
