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
	if err := d.bare.To(at - d.job.dampedBefore()); err != nil {
		return nil, err
	}
	c := d.bare.Branch()
	if d.job.Damped { // for every start anew
		return c, c.Damp(at)
	}
	return c, nil
}

// under is a course under a draw; nil: as it is.
func (d *day) under(c *course.Course, x *draw) *course.Course {
	if x == nil {
		return c
	}
	l := x.lay(d.job, 0)
	return c.Under(l.Factors(d.job.Coats[0].Finish, x.of(d.job, 0)), func(air []wall.Air) []wall.Air { return l.Air(air, d.doubts) })
}

// past is the wall as it is when the last of the coats laid has just been put on, and what became of each coat, under a draw. bare is the wall
// when the first was laid.
func (d *day) past(bare *course.Course, x *draw) (*course.Course, []coatRun, error) {
	c := d.under(bare.Branch(), x)
	var runs []coatRun
	for i, at := range d.laid {
		misted := i > 0 && d.job.mists(i, runs[i-1].lay+runs[i-1].times.Dry, at) // as the plan has it
		if misted {
			if err := c.To(at - coat.MistingTime); err != nil {
				return nil, nil, err
			}
			if err := c.Mist(); err != nil {
				return nil, nil, err
			}
		}
		r, err := d.coat(i, at, c, x, true)
		if err != nil {
			return nil, nil, err
		}
		r.done, r.misted = true, misted
		if !math.IsNaN(d.dry[i]) {
			r.next = max(d.dry[i], min(r.next, r.custom)) // seen to be dry
			r.next = max(r.next, r.custom)
		}
		runs = append(runs, r)
	}
	return c, runs, nil
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
	k := d.job.Coats[i]
	r := coatRun{lay: lay}
	if err := c.To(lay); err != nil {
		return r, fmt.Errorf("coat %d: %w", i+1, err)
	}
	if x != nil {
		c.Hand(x.lay(d.job, i).Factors(k.Finish, x.of(d.job, i)))
	}
	if err := c.Lay(coat.Coat{Finish: k.Finish, Thickness: k.Thickness}); err != nil {
		return r, err
	}
	limit := follow
	if i < len(d.job.Coats)-1 && !k.Green {
		limit = followLong
	}
	ahead := c
	if keep || k.Green { // a green base is laid on before it is dry
		ahead = c.Branch()
	}
	t, err := ahead.Dry(limit)
	if err != nil {
		return r, fmt.Errorf("coat %d: %w", i+1, err)
	}
	if x != nil {
		t = t.Slowed(x.lay(d.job, i).Slow())
	}
	r.times = t
	least, careful := k.waits()
	r.custom, r.careful = lay+least, lay+careful
	r.next = max(lay+t.Dry, r.custom)
	if k.Green {
		r.next = lay + t.Opens
	}
	return r, nil
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
