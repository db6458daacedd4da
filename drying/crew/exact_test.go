package crew

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying/message"
)

// minutes is the moment that something comes to a patch part, by the minute it is laid: straight between knots, at a constant
// distance beyond them.
type minutes struct{ at, to []int }

// of panics where it is not a whole minute.
func (m minutes) of(x int) int {
	k := len(m.at) - 1
	switch {
	case x <= m.at[0]:
		return m.to[0] + x - m.at[0]
	case x >= m.at[k]:
		return m.to[k] + x - m.at[k]
	}
	i := 1
	for m.at[i] < x {
		i++
	}
	rise, run := (x-m.at[i-1])*(m.to[i]-m.to[i-1]), m.at[i]-m.at[i-1]
	if rise%run != 0 {
		panic("a time that is no whole minute")
	}
	return m.to[i-1] + rise/run
}

// curve is the same in the package's terms.
func (m minutes) curve(side careful) curve {
	var at []int
	var after []float64
	for i := range m.at {
		at, after = append(at, m.at[i]*60), append(after, float64(m.to[i]-m.at[i])*60)
	}
	return newCurve(at, after, side)
}

// grid is a small section of which every time is a whole number of minutes, so that a search minute by minute is complete: the
// earliest timetable of any order lies on whole minutes too.
type grid struct {
	patches    []Patch
	rows       int
	long       [ops][2][]int // by operation, hand and patch; 0 for a hand that does not do it
	hands, ops int
	several    bool
	travel     int
	free       [2][]span
	ready      []int
	kind       []int             // by patch
	windows    [2]map[Op]minutes // by kind: opens, burnish; under Lay the edge
	closes     [2]minutes
	begins     []int
	dusk, end  int
}

func drawGrid(t *rapid.T) *grid {
	draw := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(t, name) }
	g := &grid{rows: draw("rows", 1, 2), hands: draw("hands", 1, 2), ops: draw("ops", 1, 6), several: draw("several", 0, 1) == 1, travel: draw("travel", 0, 2)}
	g.ops = map[int]int{1: 1, 2: 2, 3: 2}[g.ops]
	if g.ops == 0 {
		g.ops = 3
	}
	strips := draw("strips", 2, 6/g.rows)
	wide, scaffold := []float64{0.8, 2.5}[draw("wide", 0, 1)], draw("scaffold", 0, 1)
	for i := range strips {
		for r := range g.rows {
			p := Patch{Number: len(g.patches) + 1, Strip: i, Row: r, Boxes: []Box{{float64(i) * wide, float64(g.rows - 1 - r), wide, 1}}, Area: wide, Lift: scaffold * (g.rows - 1 - r)}
			if r == g.rows-1 && draw("joint", 0, 3) > 0 {
				p.cut = message.Words("a joint")
			}
			g.patches = append(g.patches, p)
		}
	}
	n := len(g.patches)
	for h := range g.hands {
		for o := range g.ops {
			base := draw("long", 1, 3)
			if h == 1 && draw("cannot", 0, 4) == 0 {
				base = 0
			}
			for range n {
				d := base
				if base > 0 {
					d += draw("larger", 0, 1)
				}
				g.long[o][h] = append(g.long[o][h], d)
			}
		}
		at := draw("comes", 0, 3)
		if draw("break", 0, 1) == 1 {
			to := at + draw("works", 5, 25)
			g.free[h] = append(g.free[h], span{at, to})
			at = to + draw("rests", 1, 8)
		}
		g.free[h] = append(g.free[h], span{at, 500})
	}
	kinds := draw("kinds", 1, 2)
	for k := range kinds {
		opens := draw("opens", 1, 10)
		burnish := opens + draw("burnish", 0, 5)
		closes := burnish + draw("closes", 1, 14)
		edge := draw("edge", 2, closes)
		a := draw("changes", 1, 12)
		steady := func(x int) minutes { return minutes{[]int{0}, []int{x}} }
		// From a on for some minutes all that is laid has gone by at one moment, or opens ever later.
		flat := func(x int) minutes {
			b := a + draw("flat", 1, x)
			return minutes{[]int{0, a, b}, []int{x, a + x, a + x}}
		}
		steep := func(x int) minutes {
			b := a + draw("steep", 1, 5)
			return minutes{[]int{0, a, b}, []int{x, a + x, 2*b - a + x}}
		}
		g.closes[k], g.windows[k] = steady(closes), map[Op]minutes{Lay: steady(edge), Compress: steady(opens), Burnish: steady(burnish)}
		if draw("shrinks", 0, 2) == 0 {
			g.closes[k], g.windows[k][Lay] = flat(closes), flat(edge)
		}
		if draw("slows", 0, 2) == 0 {
			g.windows[k][Compress], g.windows[k][Burnish] = steep(opens), steep(burnish)
		}
	}
	ready := 0
	for i := range n {
		g.kind = append(g.kind, i*kinds/n)
		if kinds == 2 {
			ready += draw("ready", 0, 3)
		}
		g.ready = append(g.ready, ready)
	}
	g.begins = []int{draw("begin", 0, 5)}
	if draw("begins", 0, 1) == 1 {
		g.begins = append(g.begins, g.begins[0]+draw("later", 1, 8))
	}
	g.dusk = draw("dusk", 12, 60)
	g.end = g.dusk + draw("late", 0, 20)
	return g
}

// made is the section in the package's terms.
func (g *grid) made() (*section, *world, day, []int) {
	c := Crew{Passes: [ops]int{1, 1, 1}, Travel: time.Duration(g.travel) * time.Minute, SeveralLay: g.several}
	if g.ops == 2 {
		c.Passes[Burnish] = 0
	}
	for range g.hands {
		c.Hands = append(c.Hands, Hand{Rate: [ops]float64{1, 1, 1}})
	}
	s := newSection(g.patches, c, g.ops > 1)
	w := &world{}
	for h := range g.hands {
		for o := range g.ops {
			for i := range g.patches {
				s.dur[o][h][i] = 60 * g.long[o][h][i]
			}
		}
		var free []span
		for _, f := range g.free[h] {
			free = append(free, span{60 * f.from, 60 * f.to})
		}
		w.free = append(w.free, free)
	}
	for i, k := range g.kind {
		x := g.windows[k]
		w.windows = append(w.windows, &window{opens: x[Compress].curve(later), burnish: x[Burnish].curve(later), closes: g.closes[k].curve(sooner), edge: x[Lay].curve(sooner)})
		w.ready = append(w.ready, 60*g.ready[i])
	}
	var begins []int
	for _, b := range g.begins {
		begins = append(begins, 60*b)
	}
	return s, w, day{from: begins[0], dusk: 60 * g.dusk, end: 60 * g.end}, begins
}

// minute is how far work has come by a minute: what counts for what can still be done.
type minute struct {
	now    int
	layer  int
	done   [ops]int
	hand   [2]struct{ patch, until int } // the last patch, -1 for none, and until when it is worked on
	laid   [6]span                       // by patch: from when to when
	worked [6]int                        // by patch: when its last operation ends
}

// byTheMinute looks minute by minute through all that can be done.
type byTheMinute struct {
	*grid
	n, begin int
	first    [2]int // when each hand can lay the first patch
	seen     map[minute]bool
}

// mostMinutes is how many states are looked at before a section is passed over.
const mostMinutes = 1_000_000

// largest is how many patches can be done; decided is false where that takes too long to find out.
func (g *grid) largest() (n int, decided bool) {
	ends := []int{}
	for i, p := range g.patches {
		if p.cut != nil || i == len(g.patches)-1 {
			ends = append(ends, i+1)
		}
	}
	slices.Reverse(ends)
	for _, n := range ends {
		for _, begin := range g.begins {
			b := &byTheMinute{grid: g, n: n, begin: begin, seen: map[minute]bool{}}
			x := minute{now: 0, layer: -1}
			for h := range 2 {
				x.hand[h].patch, b.first[h] = -1, -1
				for at := begin; h < g.hands && g.long[Lay][h][0] > 0 && at < g.end && b.first[h] < 0; at++ {
					if at >= g.ready[0] && g.isFree(h, at, g.long[Lay][h][0]) {
						b.first[h] = at
					}
				}
			}
			if b.can(x) {
				return n, true
			}
			if len(b.seen) > mostMinutes {
				return 0, false
			}
		}
	}
	return 0, true
}

func (g *grid) isFree(hand, at, long int) bool {
	return slices.ContainsFunc(g.free[hand], func(f span) bool { return f.from <= at && at+long <= f.to })
}

// can tells whether all that is left can be done.
func (b *byTheMinute) can(x minute) bool {
	if x.done[b.ops-1] == b.n {
		return true
	}
	if b.hopeless(x) {
		return false
	}
	b.forget(&x)
	if b.seen[x] || len(b.seen) > mostMinutes {
		return false
	}
	b.seen[x] = true
	for o := b.ops - 1; o >= 0; o-- {
		for h := range b.hands {
			if y, ok := b.begun(x, Op(o), h); ok && b.can(y) {
				return true
			}
		}
	}
	x.now++
	return b.can(x)
}

// hopeless tells whether something has gone by.
func (b *byTheMinute) hopeless(x minute) bool {
	if x.now >= b.end || x.now >= b.dusk && x.done[Lay] < b.n {
		return true
	}
	if x.done[Lay] == 0 && x.now > max(b.first[0], b.first[1]) {
		return true
	}
	for i := x.done[b.ops-1]; b.ops > 1 && i < x.done[Lay]; i++ {
		if x.now > b.closes[b.kind[i]].of(x.laid[i].from) {
			return true
		}
	}
	if j := x.done[Lay]; j >= b.rows && j < b.n && x.now > b.windows[b.kind[j-b.rows]][Lay].of(x.laid[j-b.rows].from) {
		return true
	}
	return false
}

// forget clears what counts no more.
func (b *byTheMinute) forget(x *minute) {
	for h := range x.hand {
		if x.hand[h].until+b.travel <= x.now {
			x.hand[h].patch, x.hand[h].until = -1, 0
		}
	}
	for i := range x.done[Lay] {
		if i < x.done[b.ops-1] && i+b.rows < x.done[Lay] {
			x.laid[i], x.worked[i] = span{}, 0
		}
		if x.worked[i] <= x.now {
			x.worked[i] = 0
		}
	}
}

// begun is the same minute with an operation begun on the next patch, where that can be.
func (b *byTheMinute) begun(x minute, o Op, h int) (minute, bool) {
	i := x.done[o]
	if i == b.n || o > 0 && i == x.done[o-1] || b.long[o][h][i] == 0 {
		return x, false
	}
	to := x.now + b.long[o][h][i]
	if !b.isFree(h, x.now, b.long[o][h][i]) || to > b.end || x.now < x.hand[h].until {
		return x, false
	}
	if l := x.hand[h].patch; l >= 0 && x.now < x.hand[h].until+b.way(l, i) {
		return x, false
	}
	if o == Lay && !b.mayLay(x, i, h, to) || o != Lay && !b.mayWork(x, o, i, to) {
		return x, false
	}
	x.done[o]++
	x.hand[h].patch, x.hand[h].until = i, to
	x.worked[i] = to
	if o == Lay {
		x.laid[i] = span{x.now, to}
		x.layer = h
	}
	if b.several {
		x.layer = -1
	}
	return x, true
}

func (b *byTheMinute) way(from, to int) int {
	p, q := b.patches[from], b.patches[to]
	far := p.Boxes[0].Left - q.Boxes[0].Left
	if from == to || p.Lift == q.Lift && far <= aStep && -far <= aStep {
		return 0
	}
	return b.travel
}

func (b *byTheMinute) mayLay(x minute, i, h, to int) bool {
	if x.now < b.ready[i] || to > b.dusk || i > 0 && !b.several && h != x.layer || i == 0 && x.now != b.first[h] {
		return false
	}
	if k := i - b.rows; k >= 0 { // the patch beside it
		edge := b.windows[b.kind[k]][Lay]
		if x.now > edge.of(x.laid[k].from) || to > edge.of(x.laid[k].to) {
			return false
		}
	}
	if i%b.rows > 0 { // the one above it
		return x.now <= b.windows[b.kind[i-1]][Lay].of(x.laid[i-1].to)
	}
	return true
}

func (b *byTheMinute) mayWork(x minute, o Op, i, to int) bool {
	opens, closes, laid := b.windows[b.kind[i]][o], b.closes[b.kind[i]], x.laid[i]
	return x.now >= x.worked[i] && x.now >= opens.of(laid.from) && to >= opens.of(laid.to) && x.now <= closes.of(laid.from) && to <= closes.of(laid.to)
}

// The search finds as much as a search minute by minute through all that could be done, on sections so small that both can be
// complete.
func TestSearchIsExact(t *testing.T) {
	cases, decided, exact, whole, none, better := 0, 0, 0, 0, 0, 0
	one := func(t *rapid.T) {
		g := drawGrid(t)
		cases++
		s, w, d, begins := g.made()
		got := s.search([]*world{w}, d, begins, s.cuts(), s.all(), false)
		var alone choice
		s.complete([]*world{w}, d, begins, s.cuts(), s.all(), &alone)
		if got.exact {
			exact++
		}
		want, ok := g.largest()
		if !ok {
			return
		}
		decided++
		for _, x := range []choice{got, alone} {
			if x.n > want || x.exact && x.n < want {
				t.Errorf("%d of %d patches (exact %v), minute by minute %d", x.n, len(g.patches), x.exact, want)
			}
		}
		if most := s.bound(w, d, begins, s.cuts(), s.all()); most < want {
			t.Errorf("the bound is %d, and %d can be done", most, want)
		}
		switch {
		case want == len(g.patches):
			whole++
		case want == 0:
			none++
		}
		if s.byRule(w, d, begins) < want {
			better++
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		for range 5 {
			one(t)
		}
	})
	t.Logf("of %d sections %d decided, %d exact, %d whole, %d nothing, %d past the rules", cases, decided, exact, whole, none, better)
	if decided < cases*9/10 || exact < cases*9/10 {
		t.Errorf("of %d sections %d are decided and %d exact", cases, decided, exact)
	}
	if ends := decided - whole - none; cases >= 500 && (ends < cases/10 || better == 0) {
		t.Errorf("of %d sections %d end in the middle, and %d hold more than by the rules: too few to tell", cases, ends, better)
	}
}

// byRule is what the patterns alone find.
func (s *section) byRule(w *world, d day, begins []int) (most int) {
	var tm timer
	for k := range s.hands {
		for _, p := range s.patterns(s.all()[:k+1]) {
			for _, n := range s.cuts() {
				for _, b := range begins {
					if n > most && s.place(w, p.order(s, n, nil), n, b, d.dusk, d.end, &tm) {
						most = n
					}
				}
			}
		}
	}
	return most
}
