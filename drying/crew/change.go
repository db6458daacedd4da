package crew

import (
	"slices"
	"sync/atomic"
	"time"

	"limeday/drying"
	"limeday/drying/message"
	"limeday/drying/parallel"
)

// Change is something in the crew's power that would make more possible, worked out by planning again.
type Change struct {
	Code     drying.ChangeCode
	Says     message.Text
	Tomorrow bool // it must be done the day before
	Whole    bool // each wall then holds in one stretch
	// Area is that of the largest stretch of the last coat, m2, and From what it is without the change.
	Area, From float64
	Helps      bool
	Done       time.Time
}

// The changes that only a crew can make.
const (
	ChangeSideBySide drying.ChangeCode = "lay-side-by-side"
	ChangeMoreHands  drying.ChangeCode = "more-hands-side-by-side"
	ChangeEarlier    drying.ChangeCode = "start-earlier"
	ChangeNarrower   drying.ChangeCode = "narrower-strips"
	ChangeJoint      drying.ChangeCode = "let-a-joint-show"
)

// change is one to try: it changes a copy of the question.
type change struct {
	Change
	apply func(*Ask)
}

// Weigh works out what would make more possible, where the plan does not hold each wall in one stretch for the band. Tell, where not nil, is told how
// far it is. The draws are not followed again: the likely times of the changed wall are stretched as those of the first were.
func (p *Plan) Weigh(tell func(share float64)) error {
	if p.Whole && p.Band {
		return nil
	}
	all := p.changes()
	errs := make([]error, len(all))
	var done atomic.Int64
	_ = parallel.Each(len(all), func(i int) error { // the errors are in errs, in their order
		errs[i] = all[i].work(p)
		if tell != nil {
			tell(float64(done.Add(1)) / float64(len(all)))
		}
		return nil
	})
	for i, c := range all {
		if errs[i] != nil {
			return errs[i]
		}
		p.Changes = append(p.Changes, c.Change)
	}
	slices.SortStableFunc(p.Changes, func(a, b Change) int {
		rank := func(c Change) float64 {
			switch {
			case c.Whole:
				return -1e9
			case c.Helps:
				return -c.Area
			}
			return 1e9 - c.Area
		}
		return int(max(-1, min(1, 1e6*(rank(a)-rank(b)))))
	})
	return nil
}

// work plans the changed question.
func (c *change) work(p *Plan) error {
	ask := p.Ask
	ask.Sites = slices.Clone(ask.Sites)
	ask.Crew.Hands = slices.Clone(ask.Crew.Hands)
	c.apply(&ask)
	after, err := p.again(ask)
	if err != nil {
		return err
	}
	was, is := p.sure(), after.sure()
	c.Whole, c.Done, c.From, c.Area = after.Whole && after.Band, after.Done, was.Stretch(), is.Stretch()
	c.Helps = c.Whole || c.Area > c.From*1.05 || is.measure() > 1.05*was.measure() || is.planned() > 1.05*was.planned()
	return nil
}

// sure is what of a plan holds for the band: nothing of one by the likely windows alone.
func (p *Plan) sure() *Plan {
	if p.Band {
		return p
	}
	return &Plan{Ask: p.Ask}
}

// planned is the area of all coats together, m2.
func (p *Plan) planned() (sum float64) {
	for _, s := range p.Sections {
		sum += s.Area
	}
	return sum
}

// Stretch is the area of the largest section of the last coat, m2.
func (p *Plan) Stretch() (most float64) {
	for _, s := range p.Sections {
		if s.Coat == len(p.Ask.Sites[s.Site].Job.Coats)-1 {
			most = max(most, s.Area)
		}
	}
	return most
}

// changes are those that make sense for the question.
func (p *Plan) changes() []change {
	var out []change
	c := p.Ask.Crew
	add := func(code drying.ChangeCode, form string, apply func(*Ask), args ...any) {
		out = append(out, change{Change{Code: code, Says: message.Say(form, args...)}, apply})
	}
	hand := func(a *Ask) {
		h := Hand{Name: "one more"}
		for _, x := range a.Crew.Hands {
			for o := range ops {
				h.Rate[o] = max(h.Rate[o], x.Rate[o])
			}
		}
		for o, usual := range [ops]float64{LayingRate, CompressingRate, BurnishingRate} {
			if h.Rate[o] == 0 { // of what nobody does yet
				h.Rate[o] = usual
			}
		}
		a.Crew.Hands = append(a.Crew.Hands, h)
		a.jobs(func(j *drying.Job) { j.Room.Hands = len(a.Crew.Hands) })
	}
	add(drying.ChangeHand, "One more pair of hands", hand)
	add(ChangeMoreHands, "Two more pairs of hands, and several lay side by side", func(a *Ask) {
		hand(a)
		hand(a)
		a.Crew.SeveralLay = true
	})
	if !c.SeveralLay && len(c.Hands) > 1 {
		add(ChangeSideBySide, "Let two lay side by side, with the same stroke", func(a *Ask) { a.Crew.SeveralLay = true })
	}
	if from := c.Hours.From - 2*time.Hour; from >= 5*time.Hour {
		y, m, d := p.Ask.Ask.At.In(p.Ask.Sites[0].Job.Zone).Date()
		at := time.Date(y, m, d, int(from/time.Hour), int(from%time.Hour/time.Minute), 0, 0, p.Ask.Sites[0].Job.Zone)
		add(ChangeEarlier, "Begin at {}", func(a *Ask) {
			a.Crew.Hours.From = from
			a.jobs(func(j *drying.Job) { j.Hours.From = from })
		}, message.Quantity{Kind: message.TimeOfDay, At: at})
	}
	if c.Strip > 0 {
		add(ChangeNarrower, "Lay in narrower strips, as the window wants them", func(a *Ask) { a.Crew.Strip = 0 })
	}
	add(ChangeJoint, "Let a joint show, at a bead or a line that is wanted", func(a *Ask) { a.Anywhere = true })
	return append(out, p.walls()...)
}

// jobs changes a copy of every job; walls that share one go on sharing it.
func (a *Ask) jobs(change func(*drying.Job)) {
	changed := map[*drying.Job]*drying.Job{}
	for i, s := range a.Sites {
		if changed[s.Job] == nil {
			j := *s.Job
			change(&j)
			changed[s.Job] = &j
		}
		a.Sites[i].Job = changed[s.Job]
	}
}

// walls are the changes to walls and air.
func (p *Plan) walls() []change {
	var out []change
	first := p.Ask.Sites[0].Job
	now := drying.Standing{Temp: drying.HeatedRoom}
	if n := len(p.Ask.Ask.Air.Records); n > 0 && p.Ask.Ask.Air.Records[n-1].Temperature.Known() {
		now.Temp = p.Ask.Ask.Air.Records[n-1].Temperature.V
	}
	for _, v := range first.Variants(now) {
		if slices.Contains([]drying.ChangeCode{drying.ChangeSections, drying.ChangeHand, drying.ChangeMist}, v.Code) {
			continue // the first two are the crew's own, and no bed is misted here
		}
		out = append(out, change{Change{Code: v.Code, Says: v.Says, Tomorrow: v.Tomorrow}, func(a *Ask) {
			a.jobs(func(j *drying.Job) {
				j.Coats = slices.Clone(j.Coats)
				for _, x := range j.Variants(now) {
					if x.Code == v.Code {
						x.Apply(j, &a.Ask)
					}
				}
			})
		}})
	}
	return out
}
