package drawing

import "time"

// longest is how much of the time after its beginning the axis shows, unless the working hours are longer.
const longest = 24 * time.Hour

// axis lays time out from left to right.
type axis struct {
	lo, hi      time.Time
	zone        *time.Location
	left, right float64
}

// axisOf spans the working hours and what happens within a day of them; ok is false where nothing is known.
func axisOf(d Day) (axis, bool) {
	ax := axis{left: plotLeft, right: plotRight}
	var all []time.Time
	add := func(times ...time.Time) {
		for _, t := range times {
			if !t.IsZero() {
				all = append(all, t)
			}
		}
	}
	hours := !d.From.IsZero() && d.To.After(d.From) && d.To.Sub(d.From) <= 2*longest
	if hours {
		add(d.From)
	}
	for _, c := range d.Coats {
		add(c.Lay)
	}
	if len(all) == 0 {
		return ax, false
	}
	ax.zone = all[0].Location()
	ax.lo = all[0]
	for _, t := range all {
		if t.Before(ax.lo) {
			ax.lo = t
		}
	}
	most := ax.lo.Add(longest)
	ax.hi = ax.lo.Add(time.Hour)
	if hours && d.To.After(ax.hi) {
		ax.hi = d.To
		if d.To.Sub(ax.lo) > 2*longest {
			ax.hi = most // work begins long before the hours do
		}
	}
	for _, c := range d.Coats {
		ends := []time.Time{c.Lay}
		for i, s := range c.States {
			if i == 0 || !c.States[i-1].works() || s.works() { // how long a coat dries on that was worked matters to no one
				ends = append(ends, s.End)
			}
		}
		for _, t := range ends {
			if t.After(ax.hi) && !t.After(most) && (len(d.Ahead) == 0 || t.In(ax.zone).Format(time.DateOnly) == c.Lay.In(ax.zone).Format(time.DateOnly)) { // later days are told beside
				ax.hi = t
			}
		}
	}
	return ax, true
}

// x is where t is, kept on the axis; on tells whether it is there by itself.
func (a axis) x(t time.Time) (x float64, on bool) {
	switch {
	case t.Before(a.lo):
		return a.left, false
	case t.After(a.hi):
		return a.right, false
	}
	return a.left + (a.right-a.left)*float64(t.Sub(a.lo))/float64(a.hi.Sub(a.lo)), true
}

// clock is the time of day; the day's name stands for midnight.
func (a axis) clock(t time.Time) string {
	t = t.In(a.zone)
	if t.Hour() == 0 && t.Minute() == 0 {
		return t.Format("Mon")
	}
	return t.Format("15:04")
}

// roundUp is the first moment not before t at which the clock shows a multiple of grain.
func roundUp(t time.Time, grain time.Duration) time.Time {
	_, offset := t.Zone()
	shift := time.Duration(offset) * time.Second
	r := t.Add(shift).Truncate(grain).Add(-shift)
	if r.Before(t) {
		r = r.Add(grain)
	}
	return r
}

// hours are the moments on the axis at which the clock shows a whole hour that is a multiple of step. On the day
// the clock is put back an hour comes twice, on the other it is left out.
func (a axis) hours(step int) []time.Time {
	var out []time.Time
	for t := roundUp(a.lo.In(a.zone), time.Hour); !t.After(a.hi); t = roundUp(t.Add(time.Minute), time.Hour) {
		if t.Minute() == 0 && t.Hour()%step == 0 { // after a change by half an hour the rounding may be off once
			out = append(out, t)
		}
	}
	return out
}

// minutes are those at which the clock shows a multiple of step, which divides an hour.
func (a axis) minutes(step time.Duration) []time.Time {
	var out []time.Time
	for t := roundUp(a.lo.In(a.zone), step); !t.After(a.hi); t = t.Add(step) {
		out = append(out, t)
	}
	return out
}

// ticks are hours or minutes, as close as labels of the given width allow.
func (a axis) ticks(width float64) []time.Time {
	fits := func(step time.Duration) bool {
		return (a.right-a.left)*float64(step)/float64(a.hi.Sub(a.lo)) >= width+8
	}
	for _, m := range []time.Duration{1, 2, 5, 10, 15, 30} {
		if a.hi.Sub(a.lo) < 3*time.Hour && fits(m*time.Minute) {
			return a.minutes(m * time.Minute)
		}
	}
	for _, h := range []int{1, 2, 3, 4, 6, 12} {
		if fits(time.Duration(h) * time.Hour) {
			return a.hours(h)
		}
	}
	return a.hours(24)
}
