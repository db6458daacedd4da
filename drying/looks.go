package drying

import (
	"math"

	"limeday/drying/coat"
	"limeday/drying/learn"
)

// looked is what was seen of each coat laid, in the order of the states: each with the last look at which it had not come.
func (d *day) looked(seen []Seen) [][]learn.Seen {
	out := make([][]learn.Seen, len(d.laid))
	for i := range out {
		for _, what := range SeenStates()[1:] {
			x := learn.Seen{State: learn.State(what), By: math.Inf(1)}
			for _, s := range seen {
				switch {
				case s.Coat != i+1 || s.What != what:
				case s.Not:
					x.After = max(x.After, d.seconds(s.At)-d.laid[i])
				default:
					x.By = d.seconds(s.At) - d.laid[i]
				}
			}
			if x.After > 0 || !math.IsInf(x.By, 1) {
				out[i] = append(out[i], x)
			}
		}
	}
	return out
}

// agreed is the times of coat i as they agree with what was seen of it: what comes after a state keeps its distance from it, and what comes
// before it came by then.
func (d *day) agreed(i int, t coat.Times, x *draw) coat.Times {
	late := 0.5
	if x != nil {
		late += x.late
	}
	order := []*float64{&t.Opens, &t.Burnish, &t.Closes, &t.Dry}
	place := map[learn.State]int{learn.Damp: 0, learn.Gone: 2, learn.Dry: 3}
	for _, s := range d.looks[i] {
		k := place[s.State]
		was := *order[k]
		if s.Course == 0 { // nothing is drawn from it
			s.Course = coatRun{times: t}.course()
		}
		now := s.Agree(was, late)
		for j, at := range order {
			switch {
			case j < k && *at <= was:
				*at = min(*at, now)
			case j > k && reached(was):
				*at = max(*at+now-was, now)
			}
		}
		*order[k] = now
	}
	return t
}

// course is the time to gone by of a coat, or as long as it is followed, s.
func (r coatRun) course() float64 { return min(r.times.Closes, follow) }
