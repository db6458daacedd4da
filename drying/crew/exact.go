package crew

import "slices"

// Up to so many patches and hands every order there is is looked at, as long as they are no more than mostOrders.
const (
	fewPatches = 6
	fewHands   = 2
	mostOrders = 400_000
)

// complete looks through every order of the section for one that holds more than the best so far.
func (s *section) complete(worlds []*world, d day, begins, cuts, hands []int, best *choice) {
	e := &everyOrder{section: s, worlds: worlds, day: d, hands: hands, left: mostOrders}
	for i := len(cuts) - 1; i >= 0 && cuts[i] > best.n; i-- {
		for _, begin := range begins {
			e.n, e.begin, e.seen = cuts[i], begin, map[string]struct{}{}
			e.order = e.order[:0]
			e.done = [ops]int{}
			if e.extend() {
				s.place(worlds[0], e.order, e.n, begin, d.dusk, d.end, &e.timer)
				used := map[int]bool{}
				for _, x := range e.order {
					used[x.hand] = true
				}
				*best = choice{n: e.n, order: slices.Clone(e.order), begin: begin, whole: i == len(cuts)-1, done: slices.Max(e.timer.end), hands: len(used)}
				best.exact = e.left > 0 && !e.timer.tired
				return
			}
		}
	}
	best.exact = e.left > 0 && !e.timer.tired
}

// everyOrder is a search in depth through the orders of the first n patches. A part of an order that has no timetable has none
// with more tasks either. Two orders that give each hand the same tasks in turn are the same.
type everyOrder struct {
	*section
	worlds []*world
	day    day
	hands  []int
	n      int
	begin  int
	order  order
	done   [ops]int // patches by operation: each goes over them in the order of laying
	seen   map[string]struct{}
	left   int // orders still to be looked at
	timer  timer
}

// extend adds tasks until the order is complete; false where it cannot be.
func (e *everyOrder) extend() bool {
	if len(e.order) == e.n*e.ops {
		return true
	}
	for o := e.ops - 1; o >= 0; o-- {
		i := e.done[o]
		if i == e.n || o > 0 && i == e.done[o-1] {
			continue
		}
		for _, h := range e.hands {
			if !e.able(Op(o), h) || o == int(Lay) && i > 0 && !e.several && h != e.layer() {
				continue
			}
			e.order = append(e.order, task{Op(o), i, h})
			e.done[o]++
			if e.fresh() && e.holds() && e.extend() {
				return true
			}
			e.done[o]--
			e.order = e.order[:len(e.order)-1]
			if e.left <= 0 {
				return false
			}
		}
	}
	return false
}

// layer is the hand that lays.
func (e *everyOrder) layer() int {
	return e.order[slices.IndexFunc(e.order, func(x task) bool { return x.op == Lay })].hand
}

// fresh tells whether the order has not been looked at.
func (e *everyOrder) fresh() bool {
	var key []byte
	for _, h := range e.hands {
		for _, x := range e.order {
			if x.hand == h {
				key = append(key, byte(x.op)<<6|byte(x.patch))
			}
		}
		key = append(key, 0xff)
	}
	if _, known := e.seen[string(key)]; known {
		return false
	}
	e.seen[string(key)] = struct{}{}
	e.left--
	return true
}

func (e *everyOrder) holds() bool {
	for _, w := range e.worlds {
		if !e.place(w, e.order, e.n, e.begin, e.day.dusk, e.day.end, &e.timer) {
			return false
		}
	}
	return true
}
