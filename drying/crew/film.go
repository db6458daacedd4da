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

// spread follows the draws from the first moment of the first row.
func (f *film) spread() error {
	r := &f.rows[0]
	draws, err := f.face.Spread(f.coat, f.epoch.Add(time.Duration(r.ready+r.after[0])*time.Second))
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

// window is what a patch comes to in a world, where the coat before was laid on it at under, in the likely world, and could be laid on
// at ready in this one.
func (f *film) window(world, under, ready int, blend bool) window {
	r, share := &f.rows[0], 0.0
	var s *row
	if i := slices.IndexFunc(f.rows, func(x row) bool { return x.under > under }); i > 0 {
		r, s = &f.rows[i-1], &f.rows[i]
		share = float64(under-r.under) / float64(s.under-r.under)
	} else if i < 0 {
		r = &f.rows[len(f.rows)-1]
	}
	at := make([]int, len(r.after))
	all := make([]times, len(r.after))
	for i, after := range r.after {
		at[i], all[i] = ready+after, r.tried[i]
		if f.coat == 0 {
			at[i] = after
		}
		if s != nil {
			all[i] = mix(all[i], s.at(after), share)
		}
	}
	curve := func(e event, side careful) curve {
		after := make([]float64, len(at))
		for i := range all {
			after[i] = (all[i][e]+aMinute)*f.stretch[world][e] - aMinute
		}
		return newCurve(at, after, side)
	}
	w := window{opens: curve(opens, later), burnish: curve(burnish, later), closes: curve(closes, sooner), next: curve(next, later)}
	w.edge = w.closes
	if blend {
		w.edge = curve(edge, sooner)
	}
	return w
}
