package crew

import (
	"math"
	"slices"
)

// window is what a patch of a coat comes to in one world: the likely, earliest or latest, or that of a draw.
type window struct {
	opens, burnish, closes curve // of a part, by the moment it is laid
	edge                   curve // until when it can be met
	next                   curve // when the next coat can follow
}

// world is the patches' windows with the hands' time in it, and the patches' readiness.
type world struct {
	windows []*window // by patch of the section
	free    [][]span  // by hand
	ready   []int     // by patch of the section: when the coat before can be laid on
}

// section is a stretch of patches of one coat, with what is to be done on each.
type section struct {
	patches  []Patch
	hands    int
	ops      int            // laying alone, or closing in too: how many operations count
	dur      [ops][][]int   // by operation, hand and patch, s; 0 for a hand that does not do it
	travel   int            // s
	beside   [][]int        // by patch: those laid before it that it meets at its side
	above    [][]int        // likewise at its upper edge
	middle   []float64      // of each patch along the wall, m
	anywhere bool           // it may end at any strip, as another coat covers its joint
	several  bool           // more than one hand may lay
	only     int            // the hand that lays, where one does by now; -1 for any
	free     [][]span       // when hands are free, likely; nil where all are at the same times
	relaxed  func(why) bool // conditions left out, to find what a section ends for; nil for none
}

// why is what keeps a section from being larger.
type why int

const (
	byHours why = iota // the working day ends, or breaks part it
	byEdge             // an edge dries before the next patch meets it
	byGone             // patches have gone by before they are closed
	byHands            // none of these alone
)

// newSection is the work of laying and, of the last coat, closing the patches.
func newSection(patches []Patch, c Crew, closing bool) *section {
	s := &section{patches: patches, hands: len(c.Hands), ops: 1, travel: int(c.Travel.Seconds()), several: c.SeveralLay, only: -1}
	if closing {
		s.ops = 2
		if c.Passes[Burnish] > 0 {
			s.ops = 3
		}
	}
	for o := range s.ops {
		for _, h := range c.Hands {
			d := make([]int, len(patches))
			for i, p := range patches {
				if h.Rate[o] > 0 {
					d[i] = int(max(1, p.Area*float64(c.Passes[o])/h.Rate[o]*3600+0.999))
				}
			}
			s.dur[o] = append(s.dur[o], d)
		}
	}
	s.beside, s.above = make([][]int, len(patches)), make([][]int, len(patches))
	for j, p := range patches {
		s.middle = append(s.middle, p.middle())
		for i := j - 1; i >= 0 && patches[i].Strip >= p.Strip-1; i-- {
			q := patches[i]
			switch {
			case q.Strip == p.Strip && meet(q, p, false):
				s.above[j] = append(s.above[j], i)
			case q.Strip == p.Strip-1 && meet(q, p, true):
				s.beside[j] = append(s.beside[j], i)
			}
		}
	}
	return s
}

// meet tells whether two patches share an edge: an upright one, or else a level one.
func meet(p, q Patch, upright bool) bool {
	for _, a := range p.Boxes {
		for _, b := range q.Boxes {
			wide := min(a.Left+a.Width, b.Left+b.Width) - max(a.Left, b.Left)
			tall := min(a.Sill+a.Height, b.Sill+b.Height) - max(a.Sill, b.Sill)
			if upright && tall > same && wide > -same || !upright && wide > same && tall > -same {
				return true
			}
		}
	}
	return false
}

// able tells whether a hand does an operation.
func (s *section) able(o Op, hand int) bool {
	return s.dur[o][hand][0] > 0 && (o != Lay || s.only < 0 || s.only == hand)
}

// take is the hands' free time less an order's, with the way to and from other work.
func (s *section) take(free [][]span, q order, t *timer) [][]span {
	out := slices.Clone(free)
	busy := make([]span, len(free)) // by hand: work without a gap
	for i, x := range q {
		b, from, to := &busy[x.hand], t.start[i]-s.travel, t.end[i]+s.travel
		if from > b.to {
			out[x.hand] = taken(out[x.hand], b.from, b.to)
			b.from = from
		}
		b.to = max(b.to, to)
	}
	for h, b := range busy {
		out[h] = taken(out[h], b.from, b.to)
	}
	return out
}

// cuts are the numbers of patches after which the section may end.
func (s *section) cuts() (out []int) {
	for i, x := range s.patches {
		if x.cut != nil || i == len(s.patches)-1 || s.anywhere && s.patches[i+1].Strip != x.Strip {
			out = append(out, i+1)
		}
	}
	return out
}

// all are all hands.
func (s *section) all() []int {
	out := make([]int, s.hands)
	for i := range out {
		out[i] = i
	}
	return out
}

// open is the section with its edges let dry before they are met.
func (s *section) open() *section {
	o := *s
	o.relaxed = func(x why) bool { return x == byEdge }
	return &o
}

// upTo is the first n patches of the section.
func (s *section) upTo(n int) *section {
	o := *s
	o.patches = s.patches[:n]
	return &o
}

// endless is the world with hands that never stop.
func (w *world) endless() *world {
	o := *w
	o.free = make([][]span, len(w.free))
	for h := range o.free {
		o.free[h] = []span{{0, never}}
	}
	return &o
}

// alike tells whether two hands do the same at the same rates and are free at the same times.
func (s *section) alike(g, h int) bool {
	for o := range s.ops {
		if s.dur[o][g][0] != s.dur[o][h][0] {
			return false
		}
	}
	return s.free == nil || slices.Equal(s.free[g], s.free[h])
}

// task is one operation of one hand on one patch.
type task struct {
	op          Op
	patch, hand int
}

// order is tasks of a section, so that each hand's are in the order it does them.
type order []task

// timing is when the tasks of an order begin and end, in its order.
type timing struct{ start, end []int }

// timer times orders; it is kept to spare memory.
type timer struct {
	timing
	dur  []int      // by task, s
	at   [ops][]int // by operation and patch: its task
	prev []int      // by task: the one the hand does before it, -1 for none
	// By patch, as it is laid: when its parts have gone by, and when their edges have dried; first is unknown where not worked out.
	gone, dry []parts
	last      []int // by hand
	tired     bool  // an order was given up that may have a timetable
}

// parts is when something comes to the first and to the last part of a patch.
type parts struct{ first, last int }

// unknown stands for a moment that is not worked out.
const unknown = -1

// aStep is how far along a wall a hand works on without going anywhere, m (judgement).
const aStep = 2.0

// between is the time a hand needs from one task to the next.
func (s *section) between(a, b task) int {
	if a.patch == b.patch {
		return 0
	}
	if s.patches[a.patch].Lift == s.patches[b.patch].Lift && math.Abs(s.middle[a.patch]-s.middle[b.patch]) <= aStep {
		return 0
	}
	return s.travel
}

// reset makes a timer ready for an order of n patches.
func (s *section) reset(t *timer, q order, n int) {
	t.start, t.end, t.dur = grown(t.start, len(q)), grown(t.end, len(q)), grown(t.dur, len(q))
	t.prev, t.last, t.gone, t.dry = grown(t.prev, len(q)), grown(t.last, s.hands), grown(t.gone, n), grown(t.dry, n)
	for i := range n {
		t.gone[i].first, t.dry[i].first = unknown, unknown
	}
	for h := range t.last {
		t.last[h] = -1
	}
	for o := range s.ops {
		t.at[o] = grown(t.at[o], n)
		for i := range t.at[o] {
			t.at[o][i] = -1
		}
	}
	for i, x := range q {
		t.start[i], t.end[i], t.dur[i] = 0, 0, s.dur[x.op][x.hand][x.patch]
		t.prev[i], t.last[x.hand] = t.last[x.hand], i
		t.at[x.op][x.patch] = i
	}
}

// grown is a slice of n, in the memory of x where that is enough.
func grown[T any](x []T, n int) []T {
	if cap(x) < n {
		return make([]T, n)
	}
	return x[:n]
}

// set puts task i, which is done on a patch, at a moment.
func (t *timer) set(i int, x task, at int) {
	if x.op == Lay && at != t.start[i] {
		t.gone[x.patch].first, t.dry[x.patch].first = unknown, unknown
	}
	t.start[i], t.end[i] = at, at+t.dur[i]
}

// of works a patch's parts out by a curve, where they are not known.
func (t *timer) of(known *parts, c *curve, laid int) parts {
	if known.first == unknown {
		known.first, known.last = c.both(t.start[laid], t.end[laid])
	}
	return *known
}

// mostRounds is how often the times may rise before an order is given up; it then counts as one that has no timetable.
const mostRounds = 80

// place finds the earliest timetable of an order of the first n patches in a world: the first patch is laid as soon after begin as
// it can be, all laying ends by dusk and the rest by end. An order may hold the operations of some patches only in part.
func (s *section) place(w *world, q order, n, begin, dusk, end int, t *timer) bool {
	s.reset(t, q, n)
	if n == 0 || len(q) == 0 {
		return true
	}
	first := fit(w.free[q[0].hand], max(begin, w.ready[0]), s.dur[Lay][q[0].hand][0])
	for range mostRounds {
		if !s.forward(w, q, first, dusk, end, t) {
			return false
		}
		moved, ok := s.backward(w, q, first, t)
		if !ok || !moved {
			return ok
		}
	}
	t.tired = true
	return false
}

func (s *section) lax(c why) bool { return s.relaxed != nil && s.relaxed(c) }

// forward raises each task to what those before it allow.
func (s *section) forward(w *world, q order, first, dusk, end int, t *timer) bool {
	for i, x := range q {
		d := t.dur[i]
		lo := t.start[i]
		by := end
		if x.op == Lay {
			by = dusk
			lo = max(lo, w.ready[x.patch])
			if x.patch == 0 {
				lo = max(lo, first)
			}
		} else {
			laid := t.at[Lay][x.patch]
			from := &w.windows[x.patch].opens
			lo = max(lo, t.end[t.at[x.op-1][x.patch]])
			if x.op == Burnish {
				from = &w.windows[x.patch].burnish
			}
			a, b := from.both(t.start[laid], t.end[laid])
			if a == never || b == never {
				return false
			}
			lo = max(lo, a, b-d)
		}
		if x.patch > 0 { // every operation goes over the patches in the order of laying
			if k := t.at[x.op][x.patch-1]; k >= 0 {
				lo = max(lo, t.start[k])
			}
		}
		if k := t.prev[i]; k >= 0 && t.end[k]+s.travel > lo {
			lo = max(lo, t.end[k]+s.between(q[k], x))
		}
		if lo = fit(w.free[x.hand], lo, d); lo == never || lo+d > by {
			return false
		}
		if x.op == Lay && x.patch == 0 && lo > first {
			return false // the section would begin later than it is to
		}
		t.set(i, x, lo)
	}
	return true
}

// backward raises the laying of what would have gone by before it is closed, or dried before it is met.
func (s *section) backward(w *world, q order, first int, t *timer) (moved, ok bool) {
	raise := func(patch, to int) bool {
		i := t.at[Lay][patch]
		if to <= t.start[i] {
			return true
		}
		moved = true
		t.set(i, q[i], to)
		return patch > 0 || to <= first
	}
	gone, dry := !s.lax(byGone), !s.lax(byEdge)
	for i := len(q) - 1; i >= 0; i-- {
		x := q[i]
		if x.op != Lay {
			if !gone {
				continue
			}
			j, c := t.at[Lay][x.patch], &w.windows[x.patch].closes
			by := t.of(&t.gone[x.patch], c, j)
			if t.start[i] <= by.first && t.end[i] <= by.last {
				continue
			}
			if !raise(x.patch, max(c.from(t.start[j], t.start[i]), c.from(t.end[j], t.end[i])-t.dur[j])) {
				return true, false
			}
			continue
		}
		if !dry {
			continue
		}
		for _, k := range s.beside[x.patch] {
			m, c := t.at[Lay][k], &w.windows[k].edge
			by := t.of(&t.dry[k], c, m)
			if t.start[i] <= by.first && t.end[i] <= by.last {
				continue
			}
			if !raise(k, max(c.from(t.start[m], t.start[i]), c.from(t.end[m], t.end[i])-t.dur[m])) {
				return true, false
			}
		}
		for _, k := range s.above[x.patch] {
			m, c := t.at[Lay][k], &w.windows[k].edge
			if t.start[i] <= t.of(&t.dry[k], c, m).last {
				continue
			}
			if !raise(k, c.from(t.end[m], t.start[i])-t.dur[m]) {
				return true, false
			}
		}
	}
	return moved, true
}

// dried is how many edges dry before they are met.
func (s *section) dried(w *world, q order, t *timer) (n int) {
	for i, x := range q {
		if x.op != Lay {
			continue
		}
		for _, k := range s.beside[x.patch] {
			m, c := t.at[Lay][k], &w.windows[k].edge
			if t.start[i] > c.of(t.start[m]) || t.end[i] > c.of(t.end[m]) {
				n++
			}
		}
		for _, k := range s.above[x.patch] {
			if t.start[i] > w.windows[k].edge.of(t.end[t.at[Lay][k]]) {
				n++
			}
		}
	}
	return n
}
