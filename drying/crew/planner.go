package crew

import (
	"time"

	"limeday/drying"
)

// planner is a question on its way to a plan.
type planner struct {
	ask     Ask
	epoch   time.Time
	days    []day
	shifts  []span // all hands'
	films   map[*drying.Job][]*film
	patches [][]Patch // by site
	stretch [][]times // by coat, of a plan made before; nil to follow the draws
	known   map[filmDay]bool
	spots   map[*drying.Job][]spot
	settled map[*drying.Job]int // coats laid in them
}

// New plans the work. The error is a *WallError or *CrewError where the question has no answer, or that of [drying.NewLayings].
func New(ask Ask) (*Plan, error) {
	return newPlan(ask, nil, func(a Ask, j *drying.Job) (face, error) { return drying.NewLayings(*j, a.Ask, a.Set) })
}

// newPlan plans on the faces that of makes. Where stretch is not nil it is used in place of draws.
func newPlan(ask Ask, stretch [][]times, of func(Ask, *drying.Job) (face, error)) (*Plan, error) {
	if err := ask.Check(); err != nil {
		return nil, err
	}
	p := &planner{ask: ask, epoch: ask.Ask.At, films: map[*drying.Job][]*film{}, known: map[filmDay]bool{}, stretch: stretch,
		spots: map[*drying.Job][]spot{}, settled: map[*drying.Job]int{}}
	p.calendar()
	if len(p.days) == 0 {
		return nil, &CrewError{"no working day lies within the air that is known; ask earlier in the day, or lengthen the hours"}
	}
	for _, s := range ask.Sites {
		if p.films[s.Job] != nil {
			continue
		}
		f, err := of(ask, s.Job)
		if err != nil {
			return nil, err
		}
		for i := range s.Job.Coats {
			p.films[s.Job] = append(p.films[s.Job], &film{face: f, coat: i, epoch: p.epoch})
		}
	}
	if err := p.cut(); err != nil {
		return nil, err
	}
	plan, err := p.plan()
	if err != nil {
		return nil, err
	}
	for _, x := range []*Plan{plan, plan.Bolder} {
		if x != nil {
			x.again = func(a Ask) (*Plan, error) { return newPlan(a, p.stretches(), of) }
		}
	}
	return plan, nil
}

// stretches are those of the first site's coats, as far as they were followed; the likely times alone where one was not.
func (p *planner) stretches() [][]times {
	var out [][]times
	last := make([]times, named)
	for w := range last {
		for e := range events {
			last[w][e] = 1
		}
	}
	for _, f := range p.films[p.ask.Sites[0].Job] {
		if f.stretch != nil {
			last = f.stretch
		}
		out = append(out, last)
	}
	return out
}

// plan is the plan for the band, with the bolder one beside it where that holds more.
func (p *planner) plan() (*Plan, error) {
	band, err := p.run(named)
	if err != nil || band.Whole {
		return band, err
	}
	bold, err := p.run(1)
	if err != nil {
		return nil, err
	}
	if bold.measure() > band.measure() {
		if bold.Risk <= mostRisk {
			bold.Band = true
			return bold, nil
		}
		band.Bolder = bold
	}
	if len(band.Sections) == 0 && len(bold.Sections) > 0 {
		bold.Bolder = nil
		return bold, nil
	}
	return band, nil
}

// mostRisk is the share of the draws that a plan for eight cases in ten may be lost in.
const mostRisk = 0.2

// measure is what two plans are compared by: the sum of the squared areas of the last coat's sections, m4, so that one large stretch
// counts for more than two small ones.
func (p *Plan) measure() float64 {
	sum := 0.0
	for _, s := range p.Sections {
		if s.Coat == len(p.Ask.Sites[s.Site].Job.Coats)-1 {
			sum += s.Area * s.Area
		}
	}
	return sum
}
