package crew

import (
	"cmp"
	"slices"
	"time"
)

// Run is work that one hand does without leaving off: one operation, or compressing and burnishing in turn, or laying and closing in
// turn where it goes back and forth.
type Run struct {
	Hand, Coat, Site, Section int // section: its place in Plan.Sections
	Does                      []Op
	First, Last               int // patches
	From, To                  time.Time
	// Earliest and Latest are how soon and how late it may begin; zero where the plan holds only at the likely windows.
	Earliest, Latest time.Time
	// Opens is when the first of its patches to be closed opens, and Closes when the last of them has gone by; zero for laying.
	Opens, Closes time.Time
}

// Work that is left off for longer than pause is two runs; so is laying and closing unless each lasts less than inTurn (judgements).
const (
	pause  = 10 * time.Minute
	inTurn = 15 * time.Minute
)

// Runs is the timetable by hand: in order of hands, and of time.
func (p *Plan) Runs() []Run {
	type piece struct {
		Task
		section int
	}
	var out []Run
	for hand := range p.Ask.Crew.Hands {
		var all []piece
		for i, s := range p.Sections {
			for _, t := range s.Tasks {
				if t.Hand == hand {
					all = append(all, piece{t, i})
				}
			}
		}
		slices.SortStableFunc(all, func(a, b piece) int { return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.Op, b.Op)) })
		var r *Run
		var since time.Time // the run does what it does now: laying, or closing
		var lays bool
		for _, t := range all {
			turned := r != nil && lays != (t.Op == Lay)
			if r == nil || r.Section != t.section || t.Start.Sub(r.To) > pause || turned && r.To.Sub(since) >= inTurn {
				s := p.Sections[t.section]
				out = append(out, Run{Hand: hand, Coat: s.Coat, Site: s.Site, Section: t.section, First: t.Patch, Last: t.Patch, From: t.Start, Earliest: t.Earliest, Latest: t.Latest})
				r, since = &out[len(out)-1], t.Start
			}
			if turned {
				since = t.Start
			}
			lays = t.Op == Lay
			r.add(t.Task)
		}
	}
	return out
}

// add puts a task into the run.
func (r *Run) add(t Task) {
	if !slices.Contains(r.Does, t.Op) {
		r.Does = append(r.Does, t.Op)
		slices.Sort(r.Does)
	}
	r.First, r.Last, r.To = min(r.First, t.Patch), max(r.Last, t.Patch), t.End
	if t.Op == Lay {
		return
	}
	if r.Opens.IsZero() || t.Opens.Before(r.Opens) {
		r.Opens = t.Opens
	}
	if t.Closes.After(r.Closes) {
		r.Closes = t.Closes
	}
}
