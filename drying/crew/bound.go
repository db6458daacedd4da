package crew

// bound is a number of patches, one of the cuts, that no order of any kind passes in the world: each start is held against what
// laying alone would take, what the hands have time for, and how long the window of the last patch can be put off.
func (s *section) bound(w *world, d day, begins, cuts, hands []int) int {
	most := 0
	alone := *s
	alone.ops = 1
	var t timer
	for _, begin := range begins {
		for i := len(cuts) - 1; i >= 0 && cuts[i] > most; i-- {
			n := cuts[i]
			if s.enough(w, d, n, begin, hands) && s.inTime(w, d, n, begin, hands) && (s.several || alone.oneLays(w, d, n, begin, hands, &t)) {
				most = n
			}
		}
	}
	return most
}

// oneLays tells whether some hand by itself could lay the first n patches, with nothing else to do. It has one order only, whose
// earliest timetable is no later than in any order with more to do.
func (s *section) oneLays(w *world, d day, n, begin int, hands []int, t *timer) bool {
	for _, h := range hands {
		if !s.able(Lay, h) {
			continue
		}
		q := make(order, n)
		for i := range q {
			q[i] = task{Lay, i, h}
		}
		t.tired = false
		if s.place(w, q, n, begin, d.dusk, d.end, t) || t.tired {
			return true
		}
	}
	return false
}

// work is the least time the tasks of the first n patches take, s of any hand.
func (s *section) work(n int, hands []int) (sum int) {
	for o := range s.ops {
		for i := range n {
			least := never
			for _, h := range hands {
				if s.able(Op(o), h) {
					least = min(least, s.dur[o][h][i])
				}
			}
			sum += least
		}
	}
	return sum
}

// enough tells whether the hands have as much time as the work of n patches takes.
func (s *section) enough(w *world, d day, n, begin int, hands []int) bool {
	return s.work(n, hands) <= s.time(w, begin, d.end, hands)
}

// time is what the hands have between two moments, s.
func (s *section) time(w *world, from, to int, hands []int) (sum int) {
	for _, h := range hands {
		for _, f := range w.free[h] {
			sum += max(0, min(f.to, to)-max(f.from, from))
		}
	}
	return sum
}

// inTime tells whether the work of n patches goes into the time from the first laying until the last patch has gone by, were each
// laid as late as the edge it must meet allows.
func (s *section) inTime(w *world, d day, n, begin int, hands []int) bool {
	slowest := func(i int) (most int) {
		for _, h := range hands {
			if s.able(Lay, h) {
				most = max(most, s.dur[Lay][h][i])
			}
		}
		return most
	}
	first := -1 // of the hands that may lay it, by the one that comes to it last
	for _, h := range hands {
		if !s.able(Lay, h) {
			continue
		}
		if at := fit(w.free[h], max(begin, w.ready[0]), s.dur[Lay][h][0]); at != never {
			first = max(first, at)
		}
	}
	if first < 0 {
		return false
	}
	by := make([]int, n) // the latest laying of each may begin
	gone := first
	dries := !s.lax(byEdge)
	for j := range n {
		by[j] = d.dusk
		if j == 0 {
			by[j] = first
		}
		for _, k := range s.beside[j] {
			if dries {
				by[j] = min(by[j], w.windows[k].edge.of(by[k]))
			}
		}
		for _, k := range s.above[j] {
			if dries {
				by[j] = min(by[j], w.windows[k].edge.of(by[k]+slowest(k)))
			}
		}
		gone = max(gone, w.windows[j].closes.of(by[j]+slowest(j)))
	}
	if s.ops == 1 || s.lax(byGone) {
		gone = d.end
	}
	return s.work(n, hands) <= s.time(w, begin, min(gone, d.end), hands)
}
