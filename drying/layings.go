package drying

import (
	"math"
	"time"

	"gonum.org/v1/gonum/mat"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/learn"
	"limeday/drying/parallel"
)

// Layings is a job's wall, on which each coat can be tried at many moments: what one square metre of it does depends on when
// that one and the coats under it were laid. Coats are put on in places: each is a piece of the wall with a coat or more.
type Layings struct {
	day    *day
	places []laidPlace
	draws  *mat.Dense  // of what is not known, one row a member
	own    [][]ownWall // by coat spread and member
	prior  learn.Timing
	set    Bands
}

// laidPlace is a wall with so many coats, the last of them just laid.
type laidPlace struct {
	state
	coats int
}

// Bare is the place without any coat.
const Bare = -1

// ownWall is a member's wall, no later than when the next coat can follow, s; nil where it never comes to that.
type ownWall struct {
	c    *course.Course
	next float64
}

// Laying is what becomes of a coat laid at a moment, s after it; +Inf where not reached.
type Laying struct {
	At    time.Time
	Times coat.Times
	Next  float64 // when the next coat can follow: dry enough, and left for as long as the trade leaves it
}

// NewLayings sets the wall up in the air of ask, to be laid on from ask.At on, or from when that can be of a job that is [Job.Left]. Errors are
// those of [Check].
func NewLayings(job Job, ask Ask, set Bands) (*Layings, error) {
	ask.For = ask.At
	m, err := wake(job.whole(), ask)
	if err != nil {
		return nil, err
	}
	d, err := newDay(m.Job, m.ask, m.readings, true)
	if err != nil {
		return nil, err
	}
	if len(job.under) > 0 {
		s, err := d.now(d.middle)
		if err != nil {
			return nil, err
		}
		last := s.runs[len(s.runs)-1]
		if !reached(last.next) {
			return nil, &NeverDryError{Coat: len(s.runs)}
		}
		ready := d.moment(d.grained(last.next, len(s.runs)-1)) // by the grain of the coat that is laid
		d.bare, d.job.Coats, d.job.Damped, d.laid = s.c, job.Coats, false, nil
		if ready.After(m.first) {
			m.first = ready
		}
	}
	if err := d.bare.To(d.seconds(m.first) - d.job.dampedBefore()); err != nil { // the days before are waited for once
		return nil, err
	}
	l := &Layings{day: d, prior: job.timing(), set: set}
	if l.set.Members == 0 {
		l.set.Members = layingMembers
	}
	l.draws = learn.Draws(l.set.Members, len(learn.Unknowns())+d.job.owns(), l.set.Seed)
	return l, nil
}

// layingMembers is how many draws are followed where no number is given: the tenth and the ninetieth point are then known to a
// tenth or so of the spread.
const layingMembers = 32

// afresh is the day with its bare wall as it is when work begins.
func (l *Layings) afresh() *day {
	d := *l.day
	d.bare = d.bare.Branch()
	return &d
}

// on is what stands in a place, to be laid on at the moments, which rise, and the coat that comes next there.
func (l *Layings) on(place int, at []time.Time) (stood []*course.Course, i int, err error) {
	stood = make([]*course.Course, len(at))
	if place == Bare {
		bare := l.afresh()
		for k, t := range at {
			c, err := bare.standing(l.day.seconds(t))
			if err != nil {
				return nil, 0, err
			}
			stood[k] = l.day.under(c, l.day.middle)
		}
		return stood, 0, nil
	}
	p := l.places[place]
	s := state{c: p.c.Branch()}
	if p.dry != nil {
		s.dry = p.dry.Branch()
	}
	for k, t := range at {
		if stood[k], err = s.at(l.day.seconds(t)); err != nil {
			return nil, p.coats, err
		}
	}
	return stood, p.coats, nil
}

// Try lays the next coat on a place at each of the moments, which rise, and leaves the place as it was.
func (l *Layings) Try(place int, at []time.Time) ([]Laying, error) {
	stood, i, err := l.on(place, at)
	if err != nil {
		return nil, err
	}
	out := make([]Laying, len(at))
	return out, parallel.Each(len(at), func(k int) error {
		if err := l.set.stopped(); err != nil {
			return err
		}
		c, err := l.day.coat(i, l.day.seconds(at[k]), stood[k], l.day.middle, false)
		out[k] = l.laying(i, c)
		return err
	})
}

// Spread lays coat i under each draw of what is not known: the first at the moment, a later one on the one spread before it as
// soon as the draw's own wall allows, and not before the moment; spread again, it is in place of what was spread before. A result is nil where the draw never comes to it, or no solution was found for it. It panics
// where the coat before has not been spread.
func (l *Layings) Spread(i int, at time.Time) ([]*Laying, error) {
	var bare *course.Course
	if i == 0 {
		var err error
		if bare, err = l.afresh().standing(l.day.seconds(at)); err != nil {
			return nil, err
		}
	}
	out, own := make([]*Laying, l.set.Members), make([]ownWall, l.set.Members)
	err := parallel.Each(len(out), func(m int) error {
		if err := l.set.stopped(); err != nil {
			return err
		}
		x, c, lay := l.member(i, m, bare, at)
		if c == nil {
			return nil
		}
		r, after, err := l.laid(i, lay, c, x)
		if err != nil {
			var none []coatRun
			return lost(err, &none)
		}
		y := l.laying(i, r)
		out[m] = &y
		if !reached(y.Next) {
			return nil
		}
		own[m] = ownWall{after.c, lay + y.Next}
		if after.dry != nil && after.dry.Time() <= own[m].next {
			own[m].c = after.dry
		}
		return nil
	})
	l.own = append(l.own[:i:i], own)
	return out, err
}

// member is a draw with the wall it is laid on and the time of that; no wall where it never comes to that.
func (l *Layings) member(i, m int, bare *course.Course, at time.Time) (*draw, *course.Course, float64) {
	z := l.draws.RawRowView(m)
	x := &draw{theta: l.prior.Theta(z), own: z[len(learn.Unknowns()):]}
	lay := l.day.seconds(at)
	if i == 0 {
		return x, l.day.under(bare.Branch(), x), lay
	}
	before := l.own[i-1][m]
	if before.c == nil {
		return x, nil, lay
	}
	if at.IsZero() {
		lay = before.next
	}
	return x, before.c.Branch(), max(lay, before.next)
}

// Put lays the next coat on a place at a moment, in the middle of everything that is not known: what comes of it, and the new place
// that it makes.
func (l *Layings) Put(place int, at time.Time) (int, Laying, error) {
	stood, i, err := l.on(place, []time.Time{at})
	if err != nil {
		return 0, Laying{}, err
	}
	r, after, err := l.laid(i, l.day.seconds(at), stood[0], l.day.middle)
	l.places = append(l.places, laidPlace{after, i + 1})
	return len(l.places) - 1, l.laying(i, r), err
}

// laid lays coat i on a wall and keeps that as it is when it has just been laid, and when it is dry.
func (l *Layings) laid(i int, lay float64, c *course.Course, x *draw) (coatRun, state, error) {
	if err := l.day.put(i, lay, c, x); err != nil {
		return coatRun{}, state{c: c}, err
	}
	ahead := c.Branch()
	r, err := l.day.followed(i, lay, ahead, x)
	if k := l.day.job.Coats[i]; err != nil || k.Green || !reached(r.times.Dry) {
		ahead = nil
	}
	return r, state{c: c, dry: ahead}, err
}

// laying is a coat as it is told.
func (l *Layings) laying(i int, r coatRun) Laying {
	y := Laying{At: l.day.moment(r.lay), Times: r.times, Next: r.next - r.lay}
	if math.IsNaN(y.Next) {
		panic("drying: a time that is no number")
	}
	return y
}
