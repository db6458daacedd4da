package crew

// reason finds what keeps a section, which is ready at a moment, from being larger, by leaving one condition out at a time.
func (p *planner) reason(s *section, views []*world, hold int, on day, ready int) string {
	switch {
	case ready >= never:
		return "the coat before it never dries in the air that is known"
	case on.dusk <= ready:
		return "the coat before it is not ready within the days planned"
	case views == nil:
		return "the air is not known long enough"
	}
	cuts, hands := s.cuts(), s.all()
	if s.ops > 1 {
		if t := views[latest].windows[0].opens.of(on.from); hold == named && t == never {
			return "at the latest its face does not open in the air that is known"
		}
		if views[likely].windows[0].opens.of(on.from) == never {
			return "its face does not open in the air that is known"
		}
	}
	begins := on.starts(ready)
	n := s.search(views[:hold], on, begins, cuts, hands, true).n
	for _, w := range []why{byGone, byEdge, byHours} {
		r := *s
		r.relaxed = func(x why) bool { return x == w || s.lax(x) }
		v, d := views[:hold], on
		if w == byHours {
			v = nil
			for _, x := range views[:hold] {
				v = append(v, x.endless())
			}
			d.dusk, d.end = never, never
		}
		if r.search(v, d, begins, cuts, hands, true).n > n {
			return words[w]
		}
	}
	return words[byHands]
}

var words = map[why]string{
	byHours: "the working day ends, or a break parts it, before more is laid and closed",
	byEdge:  "the edge would dry before the next patch meets it",
	byGone:  "patches would have gone by before a hand is there to close them",
	byHands: "for more, neither the hands, nor the hours, nor the window are long enough",
}
