package crew

import (
	"cmp"
	"slices"
)

// runWorld is a world through a whole plan.
type runWorld struct {
	free  [][]span
	ready [][]int // by site and patch: when its last part can be laid on
	first [][]int // and its first part
	under [][]int // when the coat before was laid, in the likely world
	base  [][]int // and the one under that
	lost  bool
}

// run plans every coat on every wall, so that each section holds in the first so many worlds. The last coat and the one under it
// are planned together, section by section: the last must follow before what is under it has dried out.
func (p *planner) run(hold int) (*Plan, error) {
	r := &running{planner: p, hold: hold, layer: map[[2]int]int{}, out: &Plan{Ask: p.ask, Patches: p.patches, Whole: true, Band: hold == named}}
	for i := range p.patches {
		r.laid = append(r.laid, len(p.patches[i]))
	}
	r.worlds = p.worlds(len(p.films[p.ask.Sites[0].Job][0].stretch))
	coats := len(p.ask.Sites[0].Job.Coats)
	for c := range coats {
		for site := range p.ask.Sites {
			if c < coats-2 || coats == 1 {
				if err := r.alone(site, c, 0, r.laid[site]); err != nil {
					return nil, err
				}
			} else if c == coats-2 {
				if err := r.together(site, c); err != nil {
					return nil, err
				}
			}
		}
		if c < coats-2 {
			if err := r.planner.settle(c, r.worlds[likely], r.laid); err != nil {
				return nil, err
			}
		}
	}
	r.finish()
	return r.out, nil
}

// running is a plan in the making.
type running struct {
	*planner
	hold   int
	worlds []*runWorld
	laid   []int          // by site: patches that the next coat can be laid on
	layer  map[[2]int]int // by site and coat: the hand that lays it, where one does
	out    *Plan
}

// finish sums the plan up.
func (r *running) finish() {
	if n := len(r.worlds) - named; n > 0 {
		r.out.Risk = 1 - float64(held(r.worlds))/float64(n)
	}
	for _, s := range r.out.Sections {
		if s.To.After(r.out.Done) {
			r.out.Done = s.To
		}
	}
	slices.SortStableFunc(r.out.Sections, func(a, b Section) int {
		return cmp.Or(cmp.Compare(a.Coat, b.Coat), cmp.Compare(a.Site, b.Site), cmp.Compare(a.Number, b.Number))
	})
	numbers := map[[2]int]int{}
	for i := range r.out.Sections {
		s := &r.out.Sections[i]
		numbers[[2]int{s.Coat, s.Site}]++
		s.Number = numbers[[2]int{s.Coat, s.Site}]
		if s.Number > 1 {
			r.out.Whole = false
		}
	}
	if len(r.out.Left) > 0 {
		r.out.Whole = false
	}
	r.out.batches()
}

func (p *planner) worlds(n int) []*runWorld {
	out := make([]*runWorld, n)
	for i := range out {
		w := &runWorld{}
		for range p.ask.Crew.Hands {
			w.free = append(w.free, p.shifts)
		}
		for _, ps := range p.patches {
			w.ready = append(w.ready, make([]int, len(ps)))
			w.first = append(w.first, make([]int, len(ps)))
			w.under = append(w.under, make([]int, len(ps)))
			w.base = append(w.base, make([]int, len(ps)))
		}
		out[i] = w
	}
	return out
}

// section is the work of a coat on patches of a wall.
func (r *running) section(site, c, from, to int) *section {
	last := c == len(r.ask.Sites[site].Job.Coats)-1
	s := newSection(r.patches[site][from:to], r.ask.Crew, last)
	if h, ok := r.layer[[2]int{site, c}]; ok && !s.several {
		s.only = h
	}
	return s
}

// alone plans a coat on a stretch of a wall, section after section; what comes after the stretch is not to be had.
func (r *running) alone(site, c, from, to int) error {
	all, done := r.patches[site], to
	for from < to {
		if c == len(r.ask.Sites[site].Job.Coats)-1 {
			if err := r.ask.Crew.Check(true); err != nil { // the crew cannot close it in
				r.leave(site, c, from, to, err.Error())
				done = from
				break
			}
		}
		s := r.section(site, c, from, to)
		got, views, on, err := r.find(s, site, c, from)
		if err != nil {
			return err
		}
		if c < len(r.ask.Sites[site].Job.Coats)-1 && !got.whole { // the next coat covers an edge that dries
			open := s.open()
			more, v, d, err := r.find(open, site, c, from)
			if err != nil {
				return err
			}
			if more.n > got.n {
				s, got, views, on = open, more, v, d
			}
			if got.n == 0 && c < len(r.ask.Sites[site].Job.Coats)-2 { // two more coats cover its joint
				s = open
				s.anywhere = true
				if got, views, on, err = r.find(s, site, c, from); err != nil {
					return err
				}
			}
		}
		if got.n == 0 {
			r.leave(site, c, from, to, r.reason(s, views, r.hold, on, r.worlds[likely].ready[site][from]))
			done = from
			break
		}
		if !r.make(s, got, views, on, site, c, from) {
			done = from
			break
		}
		from += got.n
	}
	if to < len(all) {
		r.leave(site, c, to, len(all), noneUnder)
	}
	r.laid[site] = done
	return nil
}

// leave notes what is not planned.
func (r *running) leave(site, c, from, to int, why string) {
	all := r.patches[site]
	r.out.Left = append(r.out.Left, Left{Coat: c, Site: site, First: all[from].Number, Last: all[to-1].Number, Area: area(all[from:to]), Why: why})
}

// make makes a choice a section of the plan; false where it does not hold after all.
func (r *running) make(s *section, got choice, views []*world, on day, site, c, from int) bool {
	x := r.told(s, got, views, on)
	if !got.whole {
		x.Why = r.reason(s, views, r.hold, on, views[likely].ready[0])
	}
	return r.keep(s, got, views, on, site, c, from, x)
}

// keep puts a section into the plan; false where it does not hold after all.
func (r *running) keep(s *section, got choice, views []*world, on day, site, c, from int, x Section) bool {
	x.Coat, x.Site = c, site
	// Windows tried since, of later days, may have been turned to the careful side.
	if !s.place(views[likely], got.order, got.n, got.begin, on.dusk, on.end, &timer{}) {
		r.leave(site, c, from, from+got.n, "with the windows of the days after, its timetable no longer holds")
		return false
	}
	had := held(r.worlds)
	r.commit(s, got, r.films[r.ask.Sites[site].Job][c], on, site, from)
	if had > 0 {
		x.Risk = float64(had-held(r.worlds)) / float64(had)
	}
	r.clock(s, got, views, on, &x)
	r.out.Sections = append(r.out.Sections, x)
	r.layer[[2]int{site, c}] = got.order[0].hand
	return true
}

// byFree are all hands, those that are free first after a moment.
func byFree(w *world, from int) []int {
	out := make([]int, len(w.free))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(fit(w.free[a], from, 3600), fit(w.free[b], from, 3600)) })
	return out
}

// held is how many draws have had a timetable so far.
func held(worlds []*runWorld) (n int) {
	for _, w := range worlds[named:] {
		if !w.lost {
			n++
		}
	}
	return n
}

// courses are those of a film on patches.
func (r *running) courses(f *film, site, from, n int) []course {
	out := make([]course, n)
	for i := range out {
		out[i] = f.course(past{r.worlds[likely].base[site][from+i], r.worlds[likely].under[site][from+i]})
		if f.coat == 0 { // it is the same on all
			return out
		}
	}
	return out
}

// view is a world as the section meets it.
func (r *running) view(f *film, courses []course, k, site, from, n int) *world {
	w := r.worlds[k]
	v := &world{free: w.free, ready: slices.Clone(w.ready[site][from : from+n])}
	var bare *window
	for i := from; i < from+n; i++ {
		if f.coat > 0 || bare == nil {
			x := f.window(k, courses[i-from], w.first[site][i], w.ready[site][i], r.ask.Crew.Blend)
			bare = &x
		}
		v.windows = append(v.windows, bare)
	}
	return v
}

// views are the named worlds as the section meets them.
func (r *running) views(f *film, site, from, n int) []*world {
	out := make([]*world, named)
	courses := r.courses(f, site, from, n)
	for k := range out {
		out[k] = r.view(f, courses, k, site, from, n)
	}
	return out
}

// find looks for the day and the stretch: on the first day that any will hold, or on the next where all of it holds in one.
func (r *running) find(s *section, site, c, from int) (best choice, views []*world, on day, err error) {
	ready := r.worlds[likely].ready[site][from]
	films := r.films[r.ask.Sites[site].Job]
	tries := 0
	for k, d := range r.days {
		if d.dusk <= ready || tries > 1 {
			continue
		}
		tries++
		if err := r.tryDay(films, c, k); err != nil {
			return best, nil, d, err
		}
		if films[c].stretch == nil {
			continue
		}
		views = r.views(films[c], site, from, len(s.patches))
		got := s.search(views[:r.hold], d, d.starts(ready), s.cuts(), byFree(views[likely], max(ready, d.from)), false)
		if best.n == 0 || got.whole {
			best, on = got, d
		}
		if got.whole {
			break
		}
	}
	if on == (day{}) {
		on = r.days[len(r.days)-1]
	}
	return best, views, on, nil
}

// commit gives the section's hours away in every world, and notes when the next coat can follow.
func (r *running) commit(s *section, got choice, f *film, on day, site, from int) {
	var t timer
	var under []int
	courses := r.courses(f, site, from, got.n)
	for k, w := range r.worlds {
		if w.lost {
			continue
		}
		v := r.view(f, courses, k, site, from, got.n)
		if !s.place(v, got.order, got.n, got.begin, on.dusk, on.end, &t) {
			w.lost = true
			continue
		}
		w.free = s.take(w.free, got.order, &t)
		for i, x := range got.order {
			if x.op == Lay {
				next := &v.windows[x.patch].next
				w.first[site][from+x.patch], w.ready[site][from+x.patch] = next.of(t.start[i]), next.of(t.end[i])
				if k == likely {
					under = append(under, t.start[i])
				}
			}
		}
	}
	// What lay under the coat counts until all worlds are through.
	l := r.worlds[likely]
	copy(l.base[site][from:from+got.n], l.under[site][from:from+got.n])
	copy(l.under[site][from:], under)
}
