package crew

import "slices"

// choice is the stretch of a section that was found to hold, and how.
type choice struct {
	n     int // patches; 0 for none
	order order
	begin int  // when its first patch is laid, at the soonest
	whole bool // it is all of the section
	done  int  // when its last task ends, in the first world
	hands int
	exact bool // no other order holds more
}

// better tells whether a choice is to be had rather than another: more wall, then sooner done, by enough to be worth a hand more.
func (a choice) better(b choice) bool {
	if a.n != b.n {
		return a.n > b.n
	}
	if a.hands != b.hands && a.done != b.done {
		fewer, more := a, b
		if a.hands > b.hands {
			fewer, more = b, a
		}
		if soon := fewer.done-more.done > worth; soon == (a.hands > b.hands) {
			return true
		}
		return false
	}
	return a.done < b.done
}

// worth is how much sooner, in s, a section must be done for another hand to be kept with it (judgement).
const worth = 45 * 60

// atOnce is how many hands work on one section at most: for more there is no room before it (judgement).
const atOnce = 6

// aFew is the number of patches that an order is timed for at first.
const aFew = 5

// day is a working day: from when to when it lasts, and until when what is laid on it may be closed.
type day struct{ from, dusk, end int }

// stride is the time between the starts tried, s.
const stride = 30 * 60

// starts are the moments tried for the first patch: as soon as it is ready on the day, in each world by itself, and later ones by the
// clock.
func (d day) starts(ready int) []int {
	out := []int{d.from}
	for t := max(d.from, ready) + stride; t < d.dusk; t += stride {
		out = append(out, t)
	}
	return out
}

// search looks for the longest stretch of the section that ends where one may (at one of the cuts, numbers of patches in rising
// order) and has a timetable in every world on the day, begun at one of the moments. Where any will do, it stops at the
// first that holds all of it.
func (s *section) search(worlds []*world, d day, begins, cuts, hands []int, any bool) choice {
	s.free = worlds[0].free
	var best choice
	var t timer
	var q order
	at := func(p *pattern, n, begin int) bool {
		q = p.order(s, n, q)
		for _, w := range slices.Backward(worlds) { // the likely one holds soonest
			if !s.place(w, q, n, begin, d.dusk, d.end, &t) {
				return false
			}
		}
		return true
	}
	holds := func(p *pattern, n, begin int) bool {
		for m := aFew; m < n; m *= 2 { // what fails mostly fails soon
			if !at(p, m, begin) {
				return false
			}
		}
		return at(p, n, begin)
	}
	all := cuts[len(cuts)-1]
	consider := func(p *pattern, begin int) {
		lo, found := slices.BinarySearch(cuts, best.n)
		if found {
			lo++ // the next larger cut must hold, or, where all holds already, all again
		}
		if best.n == all {
			lo = len(cuts) - 1
		}
		if !holds(p, cuts[lo], begin) {
			return
		}
		hi := len(cuts)
		for hi-lo > 1 {
			if mid := (lo + hi) / 2; holds(p, cuts[mid], begin) {
				lo = mid
			} else {
				hi = mid
			}
		}
		q = p.order(s, cuts[lo], q)
		s.place(worlds[0], q, cuts[lo], begin, d.dusk, d.end, &t)
		c := choice{n: cuts[lo], begin: begin, whole: cuts[lo] == all, done: slices.Max(t.end), hands: p.workers}
		if best.n == 0 || c.better(best) {
			c.order = slices.Clone(q)
			best = c
		}
	}
	var rules [][]pattern // by number of hands
	for i, begin := range begins {
		reach := all
		for _, w := range worlds {
			reach = min(reach, s.bound(w, d, begins[i:i+1], cuts, hands))
		}
		if reach <= best.n { // no order holds more
			continue
		}
		for k := len(rules) + 1; k <= min(len(hands), atOnce); k++ {
			rules = append(rules, s.patterns(hands[:k]))
		}
		for _, ps := range rules {
			for i := range ps {
				if consider(&ps[i], begin); any && best.n == all {
					return best
				}
			}
		}
		if best.n == all {
			break // the first start that all of it holds at
		}
	}
	if best.n < all && len(s.patches) <= fewPatches { // of more hands the first, so that one more makes nothing smaller
		s.complete(worlds, d, begins, cuts, hands[:min(len(hands), fewHands)], &best)
	}
	best.exact = best.exact && len(hands) <= fewHands || best.n == all
	return best
}
