package app

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/crew"
)

func wallCommand() *command {
	return &command{
		name:    "wall",
		args:    "[JOB]",
		maxArgs: 1,
		files:   true,
		summary: "how much wall the crew can hold, and who does what when",
		examples: []example{
			{"limeday wall", "the built-in example: an invented stair wall and its crew"},
			{"limeday wall --example gable", "the example outdoors: two walls in the weather"},
			{"limeday wall stair.toml --temp 15C --rh 64", "your job, your reading"},
			{"limeday wall stair.toml --people 3 --detail", "with three hands, and the timetable patch by patch"},
			{"limeday wall stair.toml --picture wall.svg --hands hands.svg", "drawings of the wall and of the hands over the day"},
			{"limeday wall stair.toml --calendar wall.ics", "the hands' work as a calendar"},
		},
		notes: `
The wall is cut into patches, laid from an internal corner to the other side,
each strip from the top down. Every patch gets each operation inside its own
window, worked out for the moment it is laid. The plan is made to hold in eight
cases of ten; else the largest stretch is told that ends at a corner, an opening
or a joint that may be seen, and what would make more possible. It is timing,
not estimating: rates are yours to give, in [crew].

Air and weather are given as for today. Days after today are planned as if
today's air came again, unless a forecast covers them: check each morning.`,
		setup: func(fs *pflag.FlagSet) runner {
			q := &wallQuestion{todayQuestion: askFlags(fs)}
			q.builtIn = intake.Stair
			q.which = addWord(fs, "example", "stair|gable", "example", []string{string(intake.Stair), string(intake.Gable)}, "which built-in example, indoors or outdoors")
			detail := fs.Bool("detail", false, "also the timetable patch by patch")
			people := fs.Uint("people", 0, "so many hands, all alike, in place of the job's")
			side := fs.Bool("side-by-side", false, "several hands may lay one wall; else one hand lays each")
			q.out = new(filesAt(fs,
				addText(fs, "picture", "FILE.svg", "write the drawing of the wall in its patches"),
				addText(fs, "hands", "FILE.svg", "write the drawing of the hands over the day of the last coat"),
				addText(fs, "calendar", "FILE.ics", "write the hands' work as a calendar"),
			))
			return func(ctx context.Context, inv *invocation) error {
				q.detail, q.people, q.sideBySide = detail, *people, *side
				return q.answer(ctx, inv)
			}
		},
	}
}

type wallQuestion struct {
	*todayQuestion
	out        *outFiles
	sideBySide bool
}

// wallScreen is a plan with what it takes to tell it.
type wallScreen struct {
	plan    *crew.Plan
	day     []drying.Answer // the morning check of each job
	job     *job.Job
	head    string
	units   quantity.Units
	assumed []string
	bucket  float64 // kg; 0 where not given
	laid    int     // coats that are on the wall already
	kept    bool    // days after today are planned as if its air came again
	source  string
}

func (q *wallQuestion) answer(ctx context.Context, inv *invocation) error {
	if q.people > 200 {
		return usage("--people", "1 to 200", "--people %d is no crew; give 1 to 200", q.people)
	}
	r, err := q.read(ctx, inv, q.out)
	if err != nil {
		return err
	}
	if q.sideBySide {
		r.job.Crew.SeveralLay = true
	}
	s, err := inv.planWall(ctx, r, *q.seed)
	if err != nil {
		return err
	}
	if err := inv.Answer(wallJSON(s), func() string { return wallText(s, *q.detail) }); err != nil {
		return err
	}
	return s.write(ctx, inv, q.out)
}

// planWall plans the walls of a job, with what would make more possible where they do not hold in one stretch.
func (inv *invocation) planWall(ctx context.Context, r *dayRead, seed uint) (*wallScreen, error) {
	s := &wallScreen{job: r.job, head: r.head(), units: r.units, assumed: r.assumed, source: r.ask.Air.Source}
	tell, told := inv.progress("Planning the wall")
	defer told()
	var err error
	r.ask.For = r.ask.At // a wall is planned from the moment of asking on
	if s.day, _, err = drying.CheckWalls(r.jobs, r.ask); err != nil {
		return nil, noCheck(err, r.ask.Air.Source)
	}
	from := s.day[0].NextLay()
	if len(r.ask.Seen) > 0 {
		r.jobs = []drying.Job{r.jobs[0].Left(r.ask.Seen)}
		for _, x := range r.ask.Seen {
			if x.What == drying.SeenLaid {
				s.laid = max(s.laid, x.Coat)
			}
		}
		if len(r.jobs[0].Coats) == 0 {
			return nil, fault.List{{File: r.job.File, Message: "all coats are laid: there is none to plan", Expected: "a coat left to lay"}}
		}
	}
	ask, err := r.crewAsk(s)
	if err != nil {
		return nil, err
	}
	if s.laid > 0 {
		ask.From = from
	}
	ask.Set = drying.Bands{Members: inv.Members, Seed: uint64(seed), Stop: ctx.Err}
	if s.plan, err = crew.New(ask); err != nil {
		return nil, r.noWall(err)
	}
	tell(0.2)
	return s, r.noWall(s.plan.Weigh(func(share float64) { tell(0.2 + 0.8*share) }))
}

// crewAsk is the question as it is planned.
func (r *dayRead) crewAsk(s *wallScreen) (crew.Ask, error) {
	a := crew.Ask{Ask: r.ask, Waste: crew.UsualWaste, Crew: crewOf(r.job, r.jobs[0])}
	if len(r.job.Crew.Hands) == 0 && r.job.People == 0 {
		s.assumed = append(s.assumed, "one hand")
	}
	if rates := usualRates(a.Crew, r.job.Crew, r.units); len(rates) > 0 {
		s.assumed = append(s.assumed, strings.Join(rates, ", ")+" a pass, as of thin coats")
	}
	if w := r.job.Crew.Waste; w != nil {
		a.Waste = *w / 100
	} else {
		s.assumed = append(s.assumed, fmt.Sprintf("%.0f %% of the material wasted", 100*crew.UsualWaste))
	}
	if b := r.job.Crew.Bucket; b != nil {
		s.bucket = *b
	}
	for i, w := range r.job.Walls {
		if w.Width == nil || w.Height == nil {
			return a, fault.List{{File: r.job.File, Line: w.Line, Message: "a wall to plan needs its width and its height; give both in [[wall]]", Expected: "width and height"}}
		}
		k := 0
		if r.job.Room == nil {
			k = i
		}
		a.Sites = append(a.Sites, crew.Site{Wall: wallOf(w, i, len(r.job.Walls)), Job: &r.jobs[k]})
	}
	if len(a.Sites) == 0 {
		return a, fault.List{{File: r.job.File, Message: "there is no [[wall]] to plan; give one with its width and its height", Expected: "[[wall]] with width and height"}}
	}
	a.Until = r.ask.Until(r.job.Room == nil)
	s.kept = a.Until.IsZero()
	return a, nil
}

// usualRates tells the rates that were taken for granted, of work that some hand does without one of its own.
func usualRates(hands crew.Crew, given job.Crew, u quantity.Units) (says []string) {
	words := [3]string{"laying", "compressing", "burnishing"}
	for o, x := range [3]*float64{given.Laying, given.Compressing, given.Burnishing} {
		usual := [3]float64{crew.LayingRate, crew.CompressingRate, crew.BurnishingRate}[o]
		for i, h := range hands.Hands {
			if own := i < len(given.Hands) && [3]*float64{given.Hands[i].Laying, given.Hands[i].Compressing, given.Hands[i].Burnishing}[o] != nil; x == nil && !own && h.Rate[o] > 0 && hands.Passes[o] > 0 {
				says = append(says, words[o]+" "+together(quantity.Format(quantity.WorkRate, usual, u, 0)))
				break
			}
		}
	}
	return says
}

// wallOf is a wall of the job as it is planned.
func wallOf(w job.Wall, i, n int) crew.Wall {
	out := crew.Wall{Name: w.Name, Width: *w.Width, Height: *w.Height, Left: crew.Corner(w.Left), Right: crew.Corner(w.Right), Lifts: w.Lifts, Joints: w.Joints}
	if out.Name == "" {
		out.Name = "the wall"
		if n > 1 {
			out.Name = fmt.Sprintf("wall %d", i+1)
		}
	}
	for _, o := range w.Openings {
		out.Openings = append(out.Openings, crew.Opening{Name: o.Name, Left: o.Left, Sill: o.Sill, Width: o.Width, Height: o.Height, Reveal: o.Reveal})
	}
	return out
}

// crewOf is the job's crew, with the usual rates where it gives none.
func crewOf(j *job.Job, d drying.Job) crew.Crew {
	c := j.Crew
	out := crew.Crew{Passes: crew.UsualPasses(d), Hours: d.Hours, SeveralLay: c.SeveralLay, Blend: c.Joint == job.JointBlend, Travel: crew.UsualTravel}
	if c.CompressPasses != nil {
		out.Passes[crew.Compress] = *c.CompressPasses
	}
	if c.BurnishPasses != nil {
		out.Passes[crew.Burnish] = *c.BurnishPasses
	}
	if c.Travel != nil {
		out.Travel = time.Duration(*c.Travel * float64(time.Second))
	}
	if c.Strip != nil {
		out.Strip = *c.Strip
	}
	for _, b := range c.Breaks {
		out.Breaks = append(out.Breaks, drying.Hours{From: intake.Clock(b.From), To: intake.Clock(b.To)})
	}
	usual := [3]float64{crew.LayingRate, crew.CompressingRate, crew.BurnishingRate}
	given := [3]*float64{c.Laying, c.Compressing, c.Burnishing}
	hands := c.Hands
	for len(hands) < max(j.People, 1) && len(c.Hands) == 0 {
		hands = append(hands, job.Hand{})
	}
	for i, h := range hands {
		x := crew.Hand{Name: h.Name}
		if x.Name == "" {
			x.Name = fmt.Sprintf("hand %d", i+1)
		}
		own := [3]*float64{h.Laying, h.Compressing, h.Burnishing}
		for _, o := range crew.Ops() {
			switch {
			case len(h.Does) > 0 && !slices.Contains(h.Does, o.String()):
			case own[o] != nil:
				x.Rate[o] = *own[o]
			case given[o] != nil:
				x.Rate[o] = *given[o]
			default:
				x.Rate[o] = usual[o]
			}
		}
		out.Hands = append(out.Hands, x)
	}
	return out
}

// noWall words why there is no plan.
func (r *dayRead) noWall(err error) error {
	var wall *crew.WallError
	var hands *crew.CrewError
	switch {
	case errors.As(err, &wall):
		return fault.List{{File: r.job.File, Message: err.Error(), Expected: "a wall that can be laid"}}
	case errors.As(err, &hands):
		return fault.List{{File: r.job.File, Line: r.job.Crew.Line, Message: err.Error(), Expected: "a crew that can work"}}
	}
	return noCheck(err, r.ask.Air.Source)
}
