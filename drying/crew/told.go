package crew

import (
	"cmp"
	"slices"

	"limeday/drying/message"
)

// told is a choice as it is told, but for its clock.
func (r *running) told(s *section, got choice, views []*world, on day) Section {
	x := Section{First: s.patches[0].Number, Last: s.patches[got.n-1].Number, Area: area(s.patches[:got.n]), Ends: s.ends(got.n), Exact: got.exact}
	x.Bound = x.Area
	if !got.whole && !got.exact {
		n := max(s.bound(views[likely], on, on.starts(views[likely].ready[0]), s.cuts(), s.all()), got.n)
		x.Bound, x.Exact = area(s.patches[:n]), n == got.n
	}
	return x
}

// ends is what the first n patches end at.
func (s *section) ends(n int) message.Text {
	if end := s.patches[n-1].cut; end != nil {
		return end
	}
	return message.Words("a joint that the next coats cover")
}

// clock fills in the section's tasks.
func (r *running) clock(s *section, got choice, views []*world, on day, x *Section) {
	var t [named]timer
	var ok [named]bool
	for w := range named {
		ok[w] = !r.worlds[w].lost && s.place(views[w], got.order, got.n, got.begin, on.dusk, on.end, &t[w])
	}
	if s.relaxed != nil {
		x.DryEdges = s.dried(views[likely], got.order, &t[likely])
	}
	used := map[int]bool{}
	for k, q := range got.order {
		task := Task{Op: q.op, Hand: q.hand, Patch: s.patches[q.patch].Number, Start: r.moment(t[likely].start[k]), End: r.moment(t[likely].end[k])}
		if ok[earliest] && ok[latest] {
			a, b := t[earliest].start[k], t[latest].start[k]
			task.Earliest, task.Latest = r.moment(min(a, b, t[likely].start[k])), r.moment(max(a, b, t[likely].start[k]))
		}
		if q.op != Lay {
			l := t[likely].at[Lay][q.patch]
			task.Opens = r.moment(views[likely].windows[q.patch].opens.of(t[likely].end[l]))
			task.Closes = r.moment(views[likely].windows[q.patch].closes.of(t[likely].start[l]))
		}
		x.Tasks = append(x.Tasks, task)
		used[q.hand] = true
	}
	slices.SortStableFunc(x.Tasks, func(a, b Task) int {
		return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.Op, b.Op), cmp.Compare(a.Patch, b.Patch))
	})
	for h := range s.hands {
		if used[h] {
			x.Hands = append(x.Hands, h)
		}
	}
	x.From, x.To = x.Tasks[0].Start, x.Tasks[0].End
	for _, q := range x.Tasks {
		if q.End.After(x.To) {
			x.To = q.End
		}
	}
}
