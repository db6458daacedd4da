package crew

import (
	"maps"
	"slices"
	"sync"

	"limeday/drying/parallel"
)

// together plans a coat and the last one over it on a wall, section after section. Where the last cannot follow, the one under it is not
// laid either: by the time it could, that would have dried out.
func (r *running) together(site, c int) error {
	all := r.patches[site]
	from, to := 0, r.laid[site]
	for from < to && r.ask.Crew.Check(true) == nil {
		x, err := r.pair(site, c, from, to)
		if err != nil {
			return err
		}
		if x == nil {
			break
		}
		kept := r.keepPair(x, site, c, from, to)
		from += x.first.n
		if kept == 2 {
			continue
		}
		if kept == 0 {
			r.leave(site, c+1, from-x.first.n, from, noneUnder)
		}
		for i := c; i <= c+1 && from < len(all); i++ {
			r.leave(site, i, from, len(all), "the work beside it does not hold")
		}
		return nil
	}
	if from == to {
		for i := c; i <= c+1 && to < len(all); i++ {
			r.leave(site, i, to, len(all), noneUnder)
		}
		return nil
	}
	why := ""
	if on := r.dayFrom(r.worlds[likely].ready[site][from]); on != nil && r.films[r.ask.Sites[site].Job][c+1].stretch != nil {
		why, _ = r.judge(0, *on, site, c, from, to)
	}
	if f := r.films[r.ask.Sites[site].Job][c+1]; f.stretch != nil && f.atOnce() {
		r.leave(site, c, from, len(all), noneOver)
		r.leave(site, c+1, from, len(all), why)
		return nil
	}
	before := r.copy()
	end, err := r.both(site, c, from, to)
	if err != nil || end == to || r.ask.Crew.Check(true) != nil {
		return err
	}
	for _, l := range r.out.Left[len(before.out.Left):] {
		if l.Coat == c+1 && why == "" {
			why = l.Why
		}
	}
	before.restore(r)
	if end > from {
		if _, err := r.both(site, c, from, end); err != nil {
			return err
		}
		r.out.Left = slices.DeleteFunc(r.out.Left, func(l Left) bool { return l.Site == site && l.Coat >= c && l.First > end })
	}
	r.leave(site, c, end, len(all), noneOver)
	r.leave(site, c+1, end, len(all), why)
	return nil
}

// Why a coat is not planned where the one under it is not, or the last one could not be laid over it.
const (
	noneUnder = "the coat before it is not planned there"
	noneOver  = "the last coat could not follow it in time"
)

// both plans a coat and the last one each by itself, and tells how far the last comes.
func (r *running) both(site, c, from, to int) (end int, err error) {
	if err := r.alone(site, c, from, to); err != nil {
		return from, err
	}
	err = r.alone(site, c+1, from, r.laid[site])
	return r.laid[site], err
}

// copy is a plan in the making as it stands, to go back to.
func (r *running) copy() *running {
	c := *r
	out := *r.out
	c.out, c.layer, c.laid = &out, maps.Clone(r.layer), slices.Clone(r.laid)
	c.worlds = nil
	for _, w := range r.worlds {
		x := &runWorld{free: w.free, lost: w.lost}
		for _, p := range []struct{ to, from *[][]int }{{&x.ready, &w.ready}, {&x.first, &w.first}, {&x.under, &w.under}, {&x.base, &w.base}} {
			for _, of := range *p.from {
				*p.to = append(*p.to, slices.Clone(of))
			}
		}
		c.worlds = append(c.worlds, x)
	}
	return &c
}

// restore puts another back to what was copied.
func (r *running) restore(to *running) {
	*to.out = *r.out
	to.layer, to.laid, to.worlds = r.layer, r.laid, r.worlds
}

// keepPair puts both sections of a pair into the plan, and tells how many of them hold.
func (r *running) keepPair(x *pair, site, c, from, to int) int {
	films := r.films[r.ask.Sites[site].Job]
	n := x.first.n
	all := r.patches[site]
	s := Section{First: all[from].Number, Last: all[from+n-1].Number, Area: area(all[from : from+n]), Ends: all[from+n-1].cut, Exact: true}
	s.Bound = s.Area
	if !x.first.whole {
		why, most := r.judge(n, x.on, site, c, from, to)
		s.Why, s.Bound, s.Exact = why, area(all[from:from+most]), most == n
	}
	if !r.keep(x.under, x.first, r.views(films[c], site, from, n), x.on, site, c, from, s) {
		return 0
	}
	if !r.keep(x.over, x.second, r.views(films[c+1], site, from, n), x.on, site, c+1, from, s) {
		return 1
	}
	return 2
}

// dayFrom is the first day on which what is ready at a moment can be laid on; nil where none is planned.
func (p *planner) dayFrom(ready int) *day {
	for i := range p.days {
		if p.days[i].dusk > ready {
			return &p.days[i]
		}
	}
	return nil
}

// pair is a section of two coats on one day.
type pair struct {
	under, over   *section
	first, second choice
	on            day
	again         func() *pair // the same, with the best order instead of any
}

// pair looks for the longest stretch on which a coat and the last one over it hold, on the first day on which any does, or the next
// where it is all of it.
func (r *running) pair(site, c, from, to int) (best *pair, err error) {
	job := r.ask.Sites[site].Job
	films := r.films[job]
	defer func() { // the best of the orders
		if best != nil {
			best = best.again()
		}
	}()
	under, over := r.section(site, c, from, to), r.section(site, c+1, from, to)
	cuts := under.cuts()
	ready := r.worlds[likely].ready[site][from]
	tries := 0
	for k, d := range r.days {
		if d.dusk <= ready || tries > 1 {
			continue
		}
		tries++
		if err := r.tryDay(films, c+1, k); err != nil {
			return nil, err
		}
		if films[c+1].stretch == nil {
			continue
		}
		views := r.views(films[c], site, from, to-from)
		hands := byFree(views[likely], max(ready, d.from))
		begins := d.starts(ready)
		tried := make([]*pair, len(begins))
		for i := 0; i < len(begins); i++ {
			lo := 0
			if best != nil {
				if lo = slices.Index(cuts, best.first.n) + 1; lo == len(cuts) {
					return best, nil
				}
			}
			at := func(i, n int) *pair {
				return r.follow(under, over, views, films[c+1], d, begins[i], n, hands, true, site, from)
			}
			next, _ := parallel.First(len(begins)-i, func(k int) (bool, error) {
				tried[i+k] = at(i+k, cuts[lo])
				return tried[i+k] != nil, nil
			})
			if i += next; i == len(begins) {
				break
			}
			best = tried[i]
			for hi := len(cuts); hi-lo > 1; {
				mid := (lo + hi) / 2
				if x := at(i, cuts[mid]); x != nil {
					best, lo = x, mid
				} else {
					hi = mid
				}
			}
		}
	}
	return best, nil
}

// follow lays n patches of the coat under, begun at a moment, and looks for a way to lay and close the last coat behind it; nil
// where there is none.
func (r *running) follow(under, over *section, views []*world, f *film, d day, begin, n int, hands []int, any bool, site, from int) *pair {
	if few := 2 * aFew; n > few && r.follow(under, over, views, f, d, begin, few, hands, true, site, from) == nil {
		return nil
	}
	free := *under // of its own, as other moments are tried beside it
	free.free = views[likely].free
	laid := false
	for _, lay := range []*section{&free, free.open()} {
		for _, p := range lay.patterns(hands) {
			q := p.order(lay, n, nil)
			after, done := r.behind(lay, views, q, n, begin, d, f, site, from)
			if after == nil {
				continue
			}
			laid = true
			second := over.upTo(n)
			got := second.search(after, d, []int{d.from}, []int{n}, byFree(after[likely], after[likely].ready[0]), any)
			if got.n < n {
				continue
			}
			whole := n == len(under.patches)
			got.whole, got.exact = whole, whole
			again := func() *pair { return r.follow(under, over, views, f, d, begin, n, hands, false, site, from) }
			return &pair{under: lay, over: second, on: d, second: got, again: again,
				first: choice{n: n, order: slices.Clone(q), begin: begin, whole: whole, done: done, hands: p.workers, exact: whole}}
		}
		if laid { // with its edges kept; letting them dry would not make it sooner
			break
		}
	}
	return nil
}

// behind is the worlds as the last coat meets them on n patches where the coat under it is laid in an order, and when that is done;
// nil where it has no timetable in one of them.
func (r *running) behind(s *section, views []*world, q order, n, begin int, d day, f *film, site, from int) (after []*world, done int) {
	var t timer
	under, courses := make([]int, n), make([]course, n)
	for k, v := range views[:r.hold] {
		if !s.place(v, q, n, begin, d.dusk, d.end, &t) {
			return nil, 0
		}
		w := &world{free: s.take(v.free, q, &t), ready: make([]int, n), windows: make([]*window, n)}
		first := make([]int, n)
		for i, x := range q {
			next := &v.windows[x.patch].next
			first[x.patch], w.ready[x.patch] = next.of(t.start[i]), next.of(t.end[i])
			if k == likely {
				under[x.patch] = t.start[i]
				done = max(done, t.end[i])
			}
		}
		for i := range n {
			if k == likely {
				courses[i] = f.course(past{r.worlds[likely].under[site][from+i], under[i]})
			}
			x := f.window(k, courses[i], first[i], w.ready[i], r.ask.Crew.Blend)
			w.windows[i] = &x
		}
		after = append(after, w)
	}
	return after, done
}

// judge finds what keeps a pair from being larger, and a stretch that no work of the last coat passes where the coat under it is laid
// straight on.
func (r *running) judge(got int, on day, site, c, from, to int) (reason string, most int) {
	under, over := r.section(site, c, from, to).open(), r.section(site, c+1, from, to)
	f := r.films[r.ask.Sites[site].Job][c+1]
	cuts := under.cuts()
	views := r.views(r.films[r.ask.Sites[site].Job][c], site, from, to-from)
	hands := byFree(views[likely], max(on.from, views[likely].ready[0]))
	begins := on.starts(views[likely].ready[0])
	bold := *r
	bold.hold = 1
	var mu sync.Mutex
	most = got
	larger := func(n int, found bool) bool {
		mu.Lock()
		defer mu.Unlock()
		if found {
			most = max(most, n)
		}
		return n > most
	}
	_ = parallel.Each(len(begins), func(k int) error { // none fails
		for i := len(cuts) - 1; i >= 0 && larger(cuts[i], false); i-- {
			larger(cuts[i], slices.ContainsFunc(under.patterns(hands), func(p pattern) bool {
				after, _ := bold.behind(under, views, p.order(under, cuts[i], nil), cuts[i], begins[k], on, f, site, from)
				return after != nil && over.upTo(cuts[i]).bound(after[likely], on, []int{on.from}, cuts[i:i+1], hands) == cuts[i]
			}))
		}
		return nil
	})
	n := cuts[slices.Index(cuts, got)+1]
	for _, w := range []why{byGone, byEdge, byHours} {
		loose := *over
		loose.relaxed = func(y why) bool { return y == w }
		seen, d := views, on
		if w == byHours {
			seen = nil
			for _, v := range views {
				seen = append(seen, v.endless())
			}
			d.dusk, d.end = never, never
		}
		some := (len(begins) + 2) / 3 // every third
		held, _ := parallel.First(some, func(i int) (bool, error) {
			return r.follow(under, &loose, seen, f, d, begins[3*i], n, hands, true, site, from) != nil, nil
		})
		if held < some {
			return words[w], most
		}
	}
	return words[byHands], most
}
