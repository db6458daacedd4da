package drying

import (
	"fmt"
	"math"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/wall"
)

// dampedBefore is how long before laying damping begins, s; zero for a wall that is not damped.
func (j Job) dampedBefore() float64 {
	if j.Damped {
		return coat.DampingTime
	}
	return 0
}

// standing is the bare wall at a time, s, damped if the job says so. Times must be asked for in order.
func (d *day) standing(at float64) (*course.Course, error) {
	stand, err := d.toStand(at)
	if err != nil {
		return nil, err
	}
	return stand()
}

// stand makes a wall once it is wanted, on any core.
type stand func() (*course.Course, error)

// toStand is standing that damps the wall, for every start anew, only once it is wanted.
func (d *day) toStand(at float64) (stand, error) {
	if err := d.bare.To(at - d.job.dampedBefore()); err != nil {
		return nil, err
	}
	c, damped := d.bare.Branch(), d.job.Damped
	return func() (*course.Course, error) {
		if damped {
			return c, c.Damp(at)
		}
		return c, nil
	}, nil
}

// under is a course under a draw; nil: as it is.
func (d *day) under(c *course.Course, x *draw) *course.Course {
	if x == nil {
		return c
	}
	l := x.lay(d.job, 0)
	return c.Under(l.Factors(d.job.Coats[0].Finish, x.of(d.job, 0)), func(air []wall.Air) []wall.Air { return l.Air(air, d.doubts) })
}

// state is a wall after the coats laid, and what became of those. Where none is, the wall is made for each start.
type state struct {
	c    *course.Course // as it is when the last coat has just been put on
	dry  *course.Course // the same when the next can follow; nil where it was not followed
	runs []coatRun
}

// at is a branch of the wall at a time, s. Times must be asked for in order.
func (s *state) at(t float64) (*course.Course, error) {
	if s.dry != nil && s.dry.Time() <= t {
		s.c, s.dry = s.dry, nil
	}
	if err := s.c.To(t); err != nil {
		return nil, err
	}
	return s.c.Branch(), nil
}

// past is the wall after the coats laid, under a draw. bare is the wall when the first was laid. Coats that are covered are followed for their times
// as far as told says; nil: all.
func (d *day) past(bare *course.Course, x *draw, told func(coat int) bool) (s state, err error) {
	s.c = d.under(bare.Branch(), x)
	for i, at := range d.laid {
		misted := i > 0 && d.job.mists(i, s.runs[i-1].lay+s.runs[i-1].times.Dry, at) // as the plan has it
		stands := at
		if misted {
			stands -= coat.MistingTime
		}
		if s.dry != nil && s.dry.Time() <= stands { // seen to be dry at its own time
			s.c = s.dry
		}
		s.dry = nil
		if misted {
			if err := s.c.To(stands); err != nil {
				return s, err
			}
			if err := s.c.Mist(); err != nil {
				return s, err
			}
		}
		if err := d.put(i, at, s.c, x); err != nil {
			return s, err
		}
		r := coatRun{lay: at, times: coat.Never(), next: math.Inf(1)}
		last := i == len(d.laid)-1
		if last || told == nil || told(i) || len(d.looks[i]) > 0 || d.job.mists(i+1, at, d.laid[i+1]) {
			ahead := s.c.Branch()
			if r, err = d.followed(i, at, ahead, x); err != nil {
				return s, err
			}
			if !d.job.Coats[i].Green {
				s.dry = ahead
			}
		}
		for _, t := range d.rained[i] {
			if k := d.job.Coats[i]; k.Green {
				break // it is laid on before it is dry
			}
			if err := s.soak(t, &r); err != nil {
				return s, err
			}
		}
		was := r.times.Dry
		r.times = d.agreed(i, r.times, x)
		if by := r.times.Dry - was; s.dry != nil && reached(was) && reached(r.times.Dry) {
			s.dry.Late(by) // the bed has come as far as it was seen to
		}
		if !last && len(d.looks[i]) == 0 {
			s.dry = nil
		}
		r.next = d.job.Coats[i].next(r)
		if !math.IsNaN(d.dry[i]) {
			r.next = max(d.dry[i], r.custom) // seen to be dry
		}
		r.done, r.misted = true, misted
		s.runs = append(s.runs, r)
	}
	return s, nil
}

// rainStands is how long water stands on a face that was seen to be rained on, s (ESTIMATE).
const rainStands = 300.0

// soak rains on the coat at the face at a time, s: what it has not come to by then comes after it, and it must dry again.
func (s *state) soak(t float64, r *coatRun) error {
	if err := s.c.To(t); err != nil {
		return err
	}
	if err := s.c.Soak(rainStands); err != nil {
		return err
	}
	gone, ahead := s.c.Time()-r.lay, s.c.Branch()
	again, err := ahead.Dry(follow)
	if err != nil {
		return err
	}
	for _, e := range []struct {
		at    *float64
		after float64
	}{{&r.times.Opens, again.Opens}, {&r.times.Burnish, again.Burnish}, {&r.times.Closes, again.Closes}} {
		if *e.at > t-r.lay {
			*e.at = gone + e.after
		}
	}
	r.times.Dry = gone + again.Dry
	r.next, s.dry = max(r.custom, r.lay+gone+again.Dry), ahead
	return nil
}

// coatRun is one coat of a wall: when it is laid and when the next can follow, s by the day's clock, and its times.
type coatRun struct {
	lay, next       float64
	custom, careful float64 // until when the trade leaves it, s; lay where it does not
	times           coat.Times
	done            bool // before now
	misted          bool // its bed was
}

// follow is how long the last coat is followed, and a coat under it, s: some are left for weeks.
const (
	follow     = 48 * 3600.0
	followLong = Horizon
)

// coat lays coat i on the wall and follows it until the next one can follow. A wall that is kept stays as it is when it has just been laid.
func (d *day) coat(i int, lay float64, c *course.Course, x *draw, keep bool) (coatRun, error) {
	if err := d.put(i, lay, c, x); err != nil {
		return coatRun{}, err
	}
	if keep || d.job.Coats[i].Green { // a green base is laid on before it is dry
		c = c.Branch()
	}
	return d.followed(i, lay, c, x)
}

// put lays coat i on the wall.
func (d *day) put(i int, lay float64, c *course.Course, x *draw) error {
	k := d.job.Coats[i]
	if err := c.To(lay); err != nil {
		return fmt.Errorf("coat %d: %w", i+1, err)
	}
	if x != nil {
		c.Hand(x.lay(d.job, i).Factors(k.Finish, x.of(d.job, i)))
	}
	return c.Lay(coat.Coat{Finish: k.Finish, Thickness: k.Thickness})
}

// followed is what becomes of coat i, just laid.
func (d *day) followed(i int, lay float64, c *course.Course, x *draw) (coatRun, error) {
	k, limit := d.job.Coats[i], follow
	if i < len(d.job.Coats)-1 && !k.Green {
		limit = followLong
	}
	t, err := c.Dry(limit)
	if err != nil {
		return coatRun{}, fmt.Errorf("coat %d: %w", i+1, err)
	}
	if x != nil {
		t = t.Slowed(x.lay(d.job, i).Slow())
	}
	least, careful := k.waits()
	r := coatRun{lay: lay, times: t, custom: lay + least, careful: lay + careful}
	r.next = k.next(r)
	return r, nil
}

// next is when the next coat can follow, s.
func (c Coat) next(r coatRun) float64 {
	if c.Green {
		return r.lay + r.times.Opens
	}
	return max(r.lay+r.times.Dry, r.custom)
}

// waits is how long the trade leaves the coat before the next, s: at the least, and to be careful; zero for a green base and for thin coats.
func (c Coat) waits() (least, careful float64) {
	switch {
	case c.Green:
		return 0, 0
	case c.Wait != nil:
		return c.Wait.Least.Seconds(), c.Wait.Careful.Seconds()
	case c.Finish.Waits != nil:
		low, high := c.Finish.Waits.Wait(c.Thickness)
		return low * 86400, high * 86400
	}
	return 0, 0
}
