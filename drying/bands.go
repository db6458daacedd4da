package drying

import (
	"errors"
	"math"
	"time"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/learn"
	"limeday/drying/message"
	"limeday/drying/parallel"
	"limeday/weather"
)

// Bands bound the work of an ensemble. A zero value of a field means its default.
type Bands struct {
	Members int                 // default 200
	Seed    uint64              // of its draws; the same seed gives the same bands on any number of cores
	Tell    func(share float64) // where not nil, told how far the work is, from several goroutines
	Stop    func() error        // where not nil, asked before each member: an error ends the work with it
}

// stopped asks whether to go on.
func (b Bands) stopped() error {
	if b.Stop == nil {
		return nil
	}
	return b.Stop()
}

// The points of a time: earliest and latest. The likely one is that of the middle of everything that is not known.
const (
	earliest = 0.10
	latest   = 0.90
)

// Stages are the moments of a coat; a zero time is one not reached.
type Stages struct{ Lay, Edge, Opens, Burnish, Closes, Recoat time.Time }

// Band works out how early and how late each time of the answer's coats of the day may be, and what follows for the verdict. The
// question is the one that Check gave the answer to; Resume has done it already.
func (a *Answer) Band(ask Ask, set Bands) error {
	e, m, err := a.banded(ask, set)
	if err != nil || e == nil {
		return err
	}
	return e.hold(a, m.day.middle)
}

// banded puts the bands into the answer; no ensemble where there is nothing to be put.
func (a *Answer) banded(ask Ask, set Bands) (*ensemble, *morning, error) {
	if len(a.Coats) == 0 {
		return nil, nil, nil
	}
	m, err := wake(a.Job, ask)
	if err != nil || a.due[1] == 0 {
		return nil, nil, err
	}
	e, err := m.ensemble(set)
	if err != nil {
		return nil, nil, err
	}
	p, err := e.condition()
	if err != nil {
		return nil, nil, err
	}
	return e, m, e.band(a, p)
}

// ensemble is a wall, ready to be followed under many draws of what is not known.
type ensemble struct {
	day      *day // coarse
	ask      Ask
	readings weather.Series
	// bare is the wall when the first coat is laid, once for each of the kinds that may be behind it; none until that is known.
	bare  []*course.Course
	first time.Time // when work can begin
	to    time.Time // the end of the hours
	prior learn.Timing
	set   Bands
}

// ensemble sets the wall of a morning up for many draws.
func (m *morning) ensemble(set Bands) (*ensemble, error) {
	d, err := newDay(m.Job, m.ask, m.readings, true)
	if err != nil {
		return nil, err
	}
	d.middle = nil // every member brings its own
	e := &ensemble{day: d, ask: m.ask, readings: m.readings, first: m.first, to: m.to, prior: m.Job.timing(), set: set}
	if len(d.laid) > 0 {
		err = e.stand(d.laid[0])
	}
	return e, err
}

// stand makes the bare walls, s.
func (e *ensemble) stand(at float64) error {
	c, err := e.day.standing(at)
	e.bare = []*course.Course{c}
	for _, k := range kinds(e.day.job.Background)[1:] {
		if err != nil || !e.day.job.unsure {
			return err
		}
		job := e.day.job
		job.Behind.Kind = k
		d, err := newDay(job, e.ask, e.readings, true)
		if err != nil {
			return err
		}
		if c, err = d.standing(at); err != nil {
			return err
		}
		e.bare = append(e.bare, c)
	}
	return err
}

// wall is that of a draw.
func (e *ensemble) wall(x *draw) *course.Course {
	return e.bare[min(x.behind(e.day.job), len(e.bare)-1)]
}

// conditioned is how far the work is once what was seen has been drawn from.
const conditioned = 0.7

// draw is the day of standard normal numbers.
func (e *ensemble) draw(z []float64) *draw {
	u := len(learn.Unknowns())
	return &draw{theta: e.prior.Theta(z), own: z[u:]}
}

// member is draw i of a posterior.
func (e *ensemble) member(p learn.Posterior, i int) *draw {
	x := e.draw(p.Members.RawRowView(i))
	_, part := math.Modf(golden * (float64(i) + 0.5))
	x.late = part - 0.5
	x.learned = e.learned(p.Mean)
	return x
}

// golden spreads numbers evenly over 0 to 1, in any stretch of their order.
const golden = 0.6180339887498949

// follow runs the coats of a day's answer under a draw. Each is laid as soon as the draw's own wall allows, but the first of the day not
// before the answer's own start where that was chosen for a better verdict.
func (e *ensemble) follow(a *Answer, x *draw) ([]coatRun, error) {
	d := e.day
	if a.due[0] == 0 {
		t := &trial{start: a.runs[0].lay, c: d.under(e.wall(x).Branch(), x), stop: a.stop}
		return d.coats(t, x, d.seconds(e.to), nil)
	}
	s, err := d.past(e.wall(x), x, func(int) bool { return false })
	runs := s.runs
	if err != nil || a.due[1] == a.due[0] {
		return runs, err
	}
	i := a.due[0]
	start := max(d.grained(runs[i-1].next, i-1), d.seconds(e.first))
	if r := a.runs[i]; r.lay > a.soonest {
		start = max(start, r.lay)
	}
	if !(start < d.seconds(e.to)) {
		return runs, nil
	}
	t := &trial{start: start, from: i, mist: a.runs[i].misted, stop: a.stop}
	stands := start
	if t.mist {
		stands -= coat.MistingTime
	}
	if t.c, err = s.at(stands); err != nil {
		return nil, err
	}
	more, err := d.coats(t, x, d.seconds(e.to), nil)
	return append(runs, more...), err
}

// band follows the members of a posterior through the day and puts their times into the answer.
func (e *ensemble) band(a *Answer, p learn.Posterior) error {
	if a.due[1] == 0 {
		return nil
	}
	if e.bare == nil {
		if err := e.stand(a.runs[0].lay); err != nil {
			return err
		}
	}
	n, _ := p.Members.Dims()
	members := make([][]coatRun, n)
	begun := 0.0
	if p.Method != learn.Drawn {
		begun = conditioned
	}
	if err := parallel.Each(n, func(i int) error {
		err := e.set.stopped()
		if err != nil {
			return err
		}
		members[i], err = e.follow(a, e.member(p, i))
		if e.set.Tell != nil {
			e.set.Tell(begun + (1-begun)*float64(i)/float64(n))
		}
		return lost(err, &members[i])
	}); err != nil {
		return err
	}
	members, weights, ok := found(members, p.Weights)
	if !ok {
		a.Known.Notes = append(a.Known.Notes, message.Words("How early and how late the times may be is not told: for too many of the draws no solution was found."))
		return nil
	}
	a.spread(e.day, members, weights, e.to)
	return nil
}

// lost leaves a member out that no solution was found for: it is one draw of many. Other errors stand.
func lost(err error, member *[]coatRun) error {
	var stuck *NotConvergedError
	if errors.As(err, &stuck) {
		*member = nil
		return nil
	}
	return err
}

// fewLost is the share of the members that may be lost.
const fewLost = 0.1

// found is the members that were not lost, with their weights; not ok where too many were.
func found(members [][]coatRun, weights []float64) (kept [][]coatRun, w []float64, ok bool) {
	for i, m := range members {
		if m == nil {
			continue
		}
		kept = append(kept, m)
		if weights != nil {
			w = append(w, weights[i])
		}
	}
	return kept, w, float64(len(kept)) >= (1-fewLost)*float64(len(members))
}

// spread puts the members' times into the answer.
func (a *Answer) spread(d *day, members [][]coatRun, weights []float64, to time.Time) {
	at := func(p float64, coat int, of func(coatRun) float64) time.Time {
		x := make([]float64, len(members))
		for i, m := range members {
			x[i] = math.Inf(1)
			if coat < len(m) {
				x[i] = of(m[coat])
			}
		}
		if v := learn.Quantile(p, x, weights); reached(v) {
			return d.moment(v)
		}
		return time.Time{}
	}
	for i := range a.due[1] {
		c := &a.Coats[i]
		for _, e := range []struct {
			p     float64
			to    *Stages
			after *coat.Times
		}{{earliest, &c.Earliest, &c.Soonest}, {latest, &c.Latest, &c.Slowest}} {
			after := make([]coat.Times, len(members))
			for k, m := range members {
				after[k] = coat.Never()
				if i < len(m) {
					after[k] = m[i].times
				}
			}
			*e.after = point(e.p, after, weights)
			*e.to = Stages{
				Lay:     at(e.p, i, func(x coatRun) float64 { return x.lay }),
				Edge:    at(e.p, i, func(x coatRun) float64 { return x.lay + x.times.Edge }),
				Opens:   at(e.p, i, func(x coatRun) float64 { return x.lay + x.times.Opens }),
				Burnish: at(e.p, i, func(x coatRun) float64 { return x.lay + x.times.Burnish }),
				Closes:  at(e.p, i, func(x coatRun) float64 { return x.lay + x.times.Closes }),
				Recoat:  at(e.p, i, func(x coatRun) float64 { return x.lay + a.Coats[i].after(x.times) }),
			}
		}
	}
	a.Banded = true
	a.judgeBands(to)
}

// judgeBands adds what the bands say against the verdict of the likely times.
func (a *Answer) judgeBands(to time.Time) {
	if !a.likelyClosed(to) {
		return
	}
	switch l := a.Coats[a.due[1]-1].Latest; {
	case l.Lay.IsZero() || l.Burnish.IsZero() || l.Burnish.After(to):
		a.add(Reason{Code: CodeLatest, Severity: Warns, Says: message.Words("Likely in time; but the latest, one day in ten, is that the last coat is not ready to burnish within the working hours.")})
		for i := range a.Changes { // they have no bands of their own: what is late here is late there
			if c := &a.Changes[i]; c.Verdict == Go {
				c.Verdict = Care
			}
		}
	case l.Closes.After(to):
		a.add(Reason{Code: CodeLatest, Severity: Notes, Says: message.Words("At the latest, one day in ten, the last coat has gone by only after the working hours.")})
	}
	a.sortReasons()
}

// likelyClosed tells whether the last coat is likely to be laid and burnished on the day whose hours end at to.
func (a *Answer) likelyClosed(to time.Time) bool {
	if a.due[1] == 0 {
		return false
	}
	last := a.Coats[a.due[1]-1]
	return last.Last && !last.Done && !last.Burnish.IsZero() && !last.Burnish.After(to)
}

// BandPoint is the earliest or the latest point of the values of the draws.
func BandPoint(last bool, values []float64) float64 {
	if last {
		return learn.Quantile(latest, values, nil)
	}
	return learn.Quantile(earliest, values, nil)
}
