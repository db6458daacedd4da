package drying

import (
	"math"
	"time"

	"gonum.org/v1/gonum/mat"

	"limeday/drying/coat"
	"limeday/drying/learn"
)

// Layings is a job's wall, on which each coat can be tried at many moments: what one square metre of it does depends on when
// that one was laid. The coats before are settled: laid once and for all, at one moment each.
type Layings struct {
	day   *day
	begun [][]*coat.Wall // by coat settled: the walls, just laid
	draws *mat.Dense     // of what is not known, one row a member
	own   [][]ownWall    // by coat spread and member
	prior learn.Timing
	set   Bands
}

// ownWall is a member's walls, just laid, and when the next coat can follow, s; no walls where it never comes to that.
type ownWall struct {
	walls []*coat.Wall
	next  float64
}

// Laying is what becomes of a coat laid at a moment, s after it; +Inf where not reached.
type Laying struct {
	At    time.Time
	Times coat.Times
	Next  float64 // when the next coat can follow, as far as water goes
}

// NewLayings sets the wall up in the air of ask, to be laid on from ask.At on. Errors are those of [Check].
func NewLayings(job Job, ask Ask, set Bands) (*Layings, error) {
	m, err := wake(job, ask)
	if err != nil {
		return nil, err
	}
	d, err := newDay(m.Job, ask, m.readings, m.first, true)
	if err != nil {
		return nil, err
	}
	if _, err := d.bare(m.first); err != nil { // the days before are waited for once
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
const layingMembers = 64

// afresh is the day with its bare walls as they are when work begins.
func (l *Layings) afresh() *day {
	d := *l.day
	d.walls = clones(l.day.walls)
	return &d
}

// Try lays coat i, from 0, at each of the moments, in order of time, on the coats settled before it. It panics where those
// have not been settled.
func (l *Layings) Try(i int, at []time.Time) ([]Laying, error) {
	stood := make([][]*coat.Wall, len(at)) // the walls when the coat meets them
	var walls []*coat.Wall
	bare := l.afresh()
	for k, t := range at {
		if i == 0 {
			var err error
			if stood[k], err = bare.bare(t); err != nil {
				return nil, err
			}
			continue
		}
		if walls == nil {
			walls = clones(l.begun[i-1])
		}
		for _, w := range walls {
			if wait := l.day.seconds(t) - w.Time(); wait > 0 {
				if _, err := w.Wait(wait); err != nil {
					return nil, err
				}
			}
		}
		stood[k] = clones(walls)
	}
	out := make([]Laying, len(at))
	return out, each(len(at), func(k int) error {
		if err := l.set.stopped(); err != nil {
			return err
		}
		c, err := l.day.coat(i, l.day.seconds(at[k]), stood[k], l.day.middle, false)
		out[k] = l.laying(i, c)
		return err
	})
}

// Spread lays coat i under each draw of what is not known, on the coats spread before it: at the moment, or as soon after it
// as the draw's own wall allows. A result is nil where the draw never comes to it, or no solution was found for it. It panics
// where the coat before has not been spread.
func (l *Layings) Spread(i int, at time.Time) ([]*Laying, error) {
	var bare []*coat.Wall
	if i == 0 {
		d := l.afresh()
		d.middle = nil // every draw brings its own
		var err error
		if bare, err = d.bare(at); err != nil {
			return nil, err
		}
	}
	out, own := make([]*Laying, l.set.Members), make([]ownWall, l.set.Members)
	err := each(len(out), func(m int) error {
		if err := l.set.stopped(); err != nil {
			return err
		}
		x, walls, lay := l.member(i, m, bare, at)
		if walls == nil {
			return nil
		}
		c, err := l.day.coat(i, lay, walls, x, i < len(l.day.job.Coats)-1)
		if err != nil {
			var none []course
			return lost(err, &none)
		}
		y := l.laying(i, c)
		out[m] = &y
		if reached(y.Next) {
			own[m] = ownWall{walls, lay + y.Next}
		}
		return nil
	})
	l.own = append(l.own[:i:i], own)
	return out, err
}

// member is a draw with the walls it is laid on and the time of that; no walls where it never comes to that.
func (l *Layings) member(i, m int, bare []*coat.Wall, at time.Time) (*draw, []*coat.Wall, float64) {
	z := l.draws.RawRowView(m)
	x := &draw{l.prior.Theta(z), z[len(learn.Unknowns()):]}
	lay := l.day.seconds(at)
	if i == 0 {
		return x, l.day.under(bare, x), lay
	}
	before := l.own[i-1][m]
	return x, clones(before.walls), max(lay, before.next)
}

// Settle lays the next coat at a moment, in the middle of everything that is not known.
func (l *Layings) Settle(at time.Time) (err error) {
	i := len(l.begun)
	var walls []*coat.Wall
	if i == 0 {
		walls, err = l.afresh().bare(at)
	} else {
		walls = clones(l.begun[i-1])
	}
	if err != nil {
		return err
	}
	l.begun = append(l.begun, walls)
	_, err = l.day.coat(i, l.day.seconds(at), walls, l.day.middle, true)
	return err
}

// laying is a course as it is told.
func (l *Layings) laying(i int, c course) Laying {
	y := Laying{At: l.day.moment(c.lay), Times: c.times, Next: c.times.Dry}
	if l.day.job.Coats[i].Green {
		y.Next = c.times.Opens
	}
	if math.IsNaN(y.Next) {
		panic("drying: a time that is no number")
	}
	return y
}

func clones(walls []*coat.Wall) []*coat.Wall {
	if walls == nil {
		return nil
	}
	out := make([]*coat.Wall, len(walls))
	for i, w := range walls {
		out[i] = w.Clone()
	}
	return out
}
