package crew

import (
	"math"
	"slices"
	"time"

	"limeday/drying"
)

// The worlds that every plan is timed in; those of the draws follow.
const (
	likely = iota
	earliest
	latest
	named
)

// face is a wall on which coats are tried: *drying.Layings, but for tests.
type face interface {
	Try(place int, at []time.Time) ([]drying.Laying, error)
	Put(place int, at time.Time) (int, drying.Laying, error)
	Spread(coat int, at time.Time) ([]*drying.Laying, error)
}

// event is one of the times of a coat that a plan looks at.
type event int

const (
	edge event = iota
	opens
	burnish
	closes
	next
	events
)

// times are the events of a coat, s after laying.
type times [events]float64

func timesOf(l *drying.Laying) times {
	return times{l.Times.Edge, l.Times.Opens, l.Times.Burnish, l.Times.Closes, l.Next}
}

// row is what becomes of a coat in one place, by how long after the place was ready it is laid.
type row struct {
	place int
	base  int // when the coat under the coat before was laid there
	under int // when the coat before was laid there
	ready int // when that could be laid on
	after []int
	tried []times
}

// film is what becomes of one coat on one wall. On a bare wall there is one row, which is ready at the plan's beginning; over
// another coat there are several, for places where that was laid sooner and later: how long it has dried matters more than all else.
type film struct {
	face    face
	coat    int
	epoch   time.Time
	rows    []row
	stretch []times // by world: of the likely times plus aMinute; that of the likely ones is 1
}

// aMinute is added to times before they are stretched, s, so that those which come at once are stretched too.
const aMinute = 60.0

// try makes a row known at the moments, which rise from try to try.
func (f *film) try(r *row, moments []int) error {
	var at []time.Time
	moments = slices.DeleteFunc(slices.Clone(moments), func(t int) bool {
		return len(r.after) > 0 && t-r.ready <= r.after[len(r.after)-1]
	})
	for _, t := range moments {
		at = append(at, f.epoch.Add(time.Duration(t)*time.Second))
	}
	tried, err := f.face.Try(r.place, at)
	if err != nil {
		return err
	}
	for i, t := range moments {
		r.after = append(r.after, t-r.ready)
		r.tried = append(r.tried, timesOf(&tried[i]))
	}
	return nil
}

// spread follows the draws from the first moment of the first row: on a bare wall then, over another coat as soon as the draw's own wall is
// ready.
func (f *film) spread() error {
	r := &f.rows[0]
	var at time.Time
	if f.coat == 0 {
		at = f.epoch.Add(time.Duration(r.after[0]) * time.Second)
	}
	draws, err := f.face.Spread(f.coat, at)
	if err != nil {
		return err
	}
	middle := r.tried[0]
	f.stretch = make([]times, named, named+len(draws))
	for _, d := range draws {
		var x times
		for e := range events {
			switch {
			case d == nil:
				x[e] = math.Inf(1) // it never comes to be laid
			case math.IsInf(middle[e], 1):
				x[e] = 1
			default:
				x[e] = (timesOf(d)[e] + aMinute) / (middle[e] + aMinute)
			}
		}
		f.stretch = append(f.stretch, x)
	}
	for e := range events {
		var all []float64
		for i, d := range draws {
			if d != nil {
				all = append(all, f.stretch[named+i][e])
			}
		}
		for w := range named {
			f.stretch[w][e] = 1
		}
		if len(all) > 0 {
			f.stretch[earliest][e], f.stretch[latest][e] = drying.BandPoint(false, all), drying.BandPoint(true, all)
		}
	}
	return nil
}

// at is what becomes of the coat laid so long after the place was ready.
func (r *row) at(after int) times {
	i := below(r.after, after)
	if i == 0 {
		return r.tried[0]
	}
	if i == len(r.after) {
		return r.tried[i-1]
	}
	return mix(r.tried[i-1], r.tried[i], float64(after-r.after[i-1])/float64(r.after[i]-r.after[i-1]))
}

// mix is a to b, by the share of b. Between one that is reached and one that is not, what must be met is as in the one that is, and
// what must be waited for is not reached.
func mix(a, b times, share float64) times {
	if share == 0 {
		return a
	}
	for e := range a {
		switch must := event(e) == edge || event(e) == closes; {
		case must && (math.IsInf(a[e], 1) || math.IsInf(b[e], 1)):
			a[e] = min(a[e], b[e])
		case math.IsInf(a[e], 1) || math.IsInf(b[e], 1):
			a[e] = math.Inf(1)
		default:
			a[e] += (b[e] - a[e]) * share
		}
	}
	return a
}

// atOnce tells whether the coat has gone by within a minute or two wherever it is laid long after its place was ready.
func (f *film) atOnce() bool {
	for _, r := range f.rows {
		if r.tried[len(r.tried)-1][closes] > 2*aMinute {
			return false
		}
	}
	return len(f.rows) > 0
}

// past is what lies under a patch: when the coat before was laid on it, and the one under that, in the likely world.
type past struct{ base, under int }

// between is two rows about a moment at which the coat before was laid, and how far it is towards the second.
type between struct {
	r, s  *row
	share float64
}

// at is what becomes of the coat laid so long after the place was ready.
func (b between) at(after int) times {
	if b.share == 0 {
		return b.r.at(after)
	}
	return mix(b.r.at(after), b.s.at(after), b.share)
}

// about finds the two among rows of one base.
func about(rows []row, under int) between {
	switch i := slices.IndexFunc(rows, func(x row) bool { return x.under > under }); {
	case i > 0:
		r, s := &rows[i-1], &rows[i]
		return between{r, s, float64(under-r.under) / float64(s.under-r.under)}
	case i < 0:
		return between{r: &rows[len(rows)-1]}
	}
	return between{r: &rows[0]}
}

// near finds the rows for a past: of the bases before and after its own.
func (f *film) near(p past) (a, b between, share float64) {
	end := slices.IndexFunc(f.rows, func(x row) bool { return x.base > p.base })
	if end == 0 {
		end = 1
	}
	if end < 0 {
		end = len(f.rows)
	}
	same := func(i int) []row { // the rows of the base of row i
		from := slices.IndexFunc(f.rows, func(x row) bool { return x.base == f.rows[i].base })
		to := from
		for to < len(f.rows) && f.rows[to].base == f.rows[i].base {
			to++
		}
		return f.rows[from:to]
	}
	a = about(same(end-1), p.under)
	if low := f.rows[end-1].base; end < len(f.rows) && p.base > low && f.rows[end].base > low {
		return a, about(same(end), p.under), float64(p.base-low) / float64(f.rows[end].base-low)
	}
	return a, a, 0
}

// course is what becomes of the coat over a past, in the likely world, by how long after the patch was ready it is laid.
type course struct {
	after []int
	come  []times
}

func (f *film) course(p past) course {
	a, b, share := f.near(p)
	c := course{a.r.after, make([]times, len(a.r.after))}
	for i, after := range c.after {
		c.come[i] = mix(a.at(after), b.at(after), share)
	}
	return c
}

// window is what a patch comes to in a world, whose first and whose last part could be laid on at moments in it. What must be met is held
// to its first part, what is waited for to its last.
func (f *film) window(world int, c course, begin, ready int, blend bool) window {
	last, first, after := make([]int, len(c.after)), make([]int, len(c.after)), make([]float64, len(c.after))
	for i, after := range c.after {
		last[i], first[i] = ready+after, begin+after
		if f.coat == 0 {
			last[i], first[i] = after, after
		}
	}
	curve := func(e event, at []int, side careful) curve {
		for i := range c.come {
			after[i] = (c.come[i][e]+aMinute)*f.stretch[world][e] - aMinute
		}
		return newCurve(at, after, side)
	}
	w := window{opens: curve(opens, last, later), burnish: curve(burnish, last, later), closes: curve(closes, first, sooner), next: curve(next, last, later)}
	w.edge = w.closes
	if blend {
		w.edge = curve(edge, first, sooner)
	}
	return w
}
