package crew

import (
	"math"
	"sort"
)

// Times of a plan are whole seconds after its beginning, so that letting them rise comes to an end; never is one that is not reached.
const never = math.MaxInt32

// curve is the moment that something comes to a patch part as a function of the moment at which that was laid: straight
// between knots, rising, and at a constant distance beyond them.
type curve struct {
	at, to []int
	side   careful
}

// careful says to which side a curve is turned where what is laid later would come sooner.
type careful bool

const (
	later  careful = true  // of what must be waited for
	sooner careful = false // of what must be met
)

// newCurve is the curve through what comes s after the moments at.
func newCurve(at []int, after []float64, side careful) curve {
	to := make([]int, len(at))
	for i, s := range after {
		switch {
		case !(s < never-float64(at[i])):
			to[i] = never
		case side == later:
			to[i] = at[i] + int(math.Ceil(max(s, 0)))
		default:
			to[i] = at[i] + int(math.Floor(max(s, 0)))
		}
	}
	if side == later {
		for i := 1; i < len(to); i++ {
			to[i] = max(to[i], to[i-1])
		}
	} else {
		for i := len(to) - 2; i >= 0; i-- {
			to[i] = min(to[i], to[i+1])
		}
	}
	return curve{at, to, side}
}

// of is when it comes to what was laid at x.
func (c *curve) of(x int) int { return c.by(below(c.at, x), x) }

// both is when it comes to the first and to the last part of what was laid from x to y.
func (c *curve) both(x, y int) (first, last int) {
	i := below(c.at, x)
	first = c.by(i, x)
	for i < len(c.at) && c.at[i] < y {
		i++
	}
	return first, c.by(i, y)
}

// by is when it comes to what was laid at x, where i is the first knot not before x.
func (c *curve) by(i, x int) int {
	switch {
	case i == 0:
		return shifted(c.to[0], x-c.at[0])
	case i == len(c.at):
		return shifted(c.to[i-1], x-c.at[i-1])
	case c.at[i] == x:
		return c.to[i]
	case c.to[i] == never && c.side == later:
		return never
	case c.to[i] == never: // it may not come; as soon after laying as at the last knot where it did
		return shifted(c.to[i-1], x-c.at[i-1])
	}
	return c.to[i-1] + (c.to[i]-c.to[i-1])*(x-c.at[i-1])/(c.at[i]-c.at[i-1])
}

// below is how many of the values, which rise, lie below x.
func below(values []int, x int) int {
	lo, hi := 0, len(values)
	for lo < hi {
		if mid := (lo + hi) / 2; values[mid] < x {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

func shifted(y, by int) int {
	if y == never {
		return never
	}
	return y + by
}

// from is the earliest moment of laying from lo on to which it comes no sooner than at y.
func (c *curve) from(lo, y int) int {
	if c.of(lo) >= y {
		return lo
	}
	i := below(c.to, y)
	switch {
	case i == 0:
		return c.at[0] - (c.to[0] - y)
	case i == len(c.to):
		return c.at[i-1] + (y - c.to[i-1])
	case c.to[i] == never && c.side == later:
		return max(lo, c.at[i-1]+1)
	case c.to[i] == never:
		return min(c.at[i-1]+(y-c.to[i-1]), c.at[i])
	}
	// Of is rounded down, so the first moment at which it gets there is rounded up.
	rise, run := c.to[i]-c.to[i-1], c.at[i]-c.at[i-1]
	return c.at[i-1] + ((y-c.to[i-1])*run+rise-1)/rise
}

// span is a stretch of time in which a hand is free.
type span struct{ from, to int }

// fit is the earliest moment from lo on at which work of d seconds goes into one stretch; never where it does not.
func fit(free []span, lo, d int) int {
	i := 0
	if len(free) > 8 {
		i = sort.Search(len(free), func(i int) bool { return free[i].to >= lo+d })
	}
	for ; i < len(free); i++ {
		if at := max(lo, free[i].from); at+d <= free[i].to {
			return at
		}
	}
	return never
}

// taken is the free time less a stretch that has been given away.
func taken(free []span, from, to int) []span {
	var out []span
	for _, f := range free {
		if f.to <= from || f.from >= to {
			out = append(out, f)
			continue
		}
		if f.from < from {
			out = append(out, span{f.from, from})
		}
		if to < f.to {
			out = append(out, span{to, f.to})
		}
	}
	return out
}
