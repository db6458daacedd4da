package drying

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/floats"

	"limeday/drying/coat"
	"limeday/drying/learn"
)

// Seen is what was seen of a coat of the day.
type Seen struct {
	Coat int // from 1
	What SeenState
	At   time.Time
	Not  bool // looked then, and it had not come
}

// SeenState is what a coat can be seen to come to.
type SeenState string

// The states, in the order they come.
const (
	SeenLaid SeenState = "laid"
	SeenDamp SeenState = "damp" // the face opens: ready to compress
	SeenGone SeenState = "gone" // gone by
	SeenDry  SeenState = "dry"  // evenly pale: the next coat can follow
)

// SeenStates lists them in the order they come.
func SeenStates() []SeenState { return []SeenState{SeenLaid, SeenDamp, SeenGone, SeenDry} }

// SeenError says what is wrong with something seen.
type SeenError struct {
	Seen   Seen
	Reason string
}

func (e *SeenError) Error() string {
	return fmt.Sprintf("coat %d %s at %s: %s", e.Seen.Coat, e.Seen.What, e.Seen.At.Format(minute), e.Reason)
}

// farthest is how long before the moment of asking the first coat may have been laid.
const farthest = 60 * 24 * time.Hour

// SeenOf puts what was seen of a job's coats in order and checks it against the moment of asking. The error is a
// *SeenError, or an *AskError.
func SeenOf(job Job, at time.Time, seen []Seen) ([]Seen, error) {
	switch {
	case len(job.Coats) == 0:
		return nil, noAsk("the job", "it has no coats; give one at least")
	case job.Zone == nil:
		return nil, noAsk("the job", "it has no time zone")
	}
	job = job.mended(seen)
	rank := func(s Seen) int { return slices.Index(SeenStates(), s.What) }
	out := slices.Clone(seen)
	slices.SortStableFunc(out, func(a, b Seen) int {
		return cmp.Or(cmp.Compare(a.Coat, b.Coat), a.At.Compare(b.At), cmp.Compare(rank(a), rank(b)))
	})
	laid := make([]time.Time, len(job.Coats)+1) // by number
	came := map[[2]int]time.Time{}              // by coat and rank
	for i, s := range out {
		bad := func(format string, a ...any) ([]Seen, error) {
			return nil, &SeenError{s, fmt.Sprintf(format, a...)}
		}
		out[i].At = s.At.In(job.Zone)
		s.At = out[i].At
		switch {
		case rank(s) < 0 && !s.mishap():
			return bad("no coat comes to that state")
		case s.Coat < 1 || s.Coat > len(job.Coats):
			return bad("the job has %d coats", len(job.Coats))
		case s.At.After(at):
			return bad("that is later than the moment of asking, %s", at.In(job.Zone).Format(minute))
		case at.Sub(s.At) > farthest:
			return bad("that is over 60 days before the moment of asking, %s", at.In(job.Zone).Format(minute))
		case s.What == SeenLaid && s.Not:
			return bad("a coat that is not laid yet is left out")
		}
		if s.What != SeenLaid && laid[s.Coat].IsZero() {
			return bad("the coat was not laid before; give when it was laid")
		}
		if s.mishap() {
			if w := s.wants(job); w != "" {
				return bad("%s", w)
			}
			continue
		}
		if s.Not {
			if t, ok := came[[2]int{s.Coat, rank(s)}]; ok {
				return bad("it had come by %s already", t.Format("15:04"))
			}
			continue
		}
		if t, twice := came[[2]int{s.Coat, rank(s)}]; twice {
			return bad("it came at %s already; give it once", t.Format("15:04"))
		}
		for later := rank(s) + 1; later < len(SeenStates()); later++ {
			if t, ok := came[[2]int{s.Coat, later}]; ok {
				return bad("it comes before %s, which was seen at %s", SeenStates()[later], t.Format("15:04"))
			}
		}
		came[[2]int{s.Coat, rank(s)}] = s.At
		if s.What == SeenLaid {
			if s.Coat > 1 && (laid[s.Coat-1].IsZero() || !laid[s.Coat-1].Before(s.At)) {
				return bad("coat %d was not laid before it", s.Coat-1)
			}
			laid[s.Coat] = s.At
		}
	}
	for _, s := range out { // the coat before cannot be seen once it is covered
		if s.What != SeenLaid && s.Coat < len(job.Coats) && !laid[s.Coat+1].IsZero() && s.At.After(laid[s.Coat+1]) {
			return nil, &SeenError{s, fmt.Sprintf("coat %d was laid over it at %s", s.Coat+1, laid[s.Coat+1].Format("15:04"))}
		}
	}
	return out, nil
}

// Awaited is something that can be seen next: that a coat has come to a state, with its sign, or of a look that it has not.
type Awaited struct {
	Coat  int
	What  SeenState
	Event Event // whose sign it is; empty of a coat laid
	Look  bool  // it can also be seen not to have come
}

// NextSeen are the things that can be seen next of a job, in the order they are worth asking for: of the coat that is being worked, or
// of the one to be laid. None is left where the last coat has gone by. What was seen is as [SeenOf] takes it.
func NextSeen(job Job, seen []Seen) []Awaited {
	has := func(coat int, what SeenState) bool {
		return slices.ContainsFunc(seen, func(s Seen) bool { return s.Coat == coat && s.What == what && !s.Not })
	}
	n := len(job.mended(seen).Coats)
	for c := 1; c <= n; c++ {
		laid := has(c, SeenLaid)
		switch last := c == n; {
		case !laid:
			return []Awaited{{Coat: c, What: SeenLaid}}
		case last && has(c, SeenGone), !last && (has(c, SeenDry) || has(c+1, SeenLaid)):
		case last && !has(c, SeenDamp):
			return []Awaited{{c, SeenDamp, EventOpens, true}, {c, SeenGone, EventCloses, false}}
		case last:
			return []Awaited{{c, SeenGone, EventCloses, true}}
		default:
			return []Awaited{{c, SeenDry, EventNext, true}, {Coat: c + 1, What: SeenLaid}}
		}
	}
	return nil
}

// Resume answers for the rest of a wall on which coats have been laid: it takes what was seen of them, draws from it how fast this wall
// is, and works out the rest, with its bands. Errors are those of Check, and *SeenError.
func Resume(job Job, ask Ask, seen []Seen, set Bands) (Answer, error) {
	if len(seen) == 0 {
		return Answer{}, noAsk("the day", "nothing was seen of it")
	}
	ask.Seen = seen
	m, err := wake(job, ask)
	if err != nil {
		return Answer{}, err
	}
	e, err := m.ensemble(set)
	if err != nil {
		return m.Answer, err
	}
	p, err := e.condition()
	if err != nil {
		return m.Answer, err
	}
	if err := m.likely(e, p); err != nil {
		return m.Answer, err
	}
	a, err := m.weighed()
	if err != nil {
		return a, err
	}
	if err := m.begun(&a, e, p); err != nil {
		return a, err
	}
	if err := e.hold(&a, m.day.middle); err != nil {
		return a, err
	}
	if len(p.Told) > 0 {
		a.Odd, err = e.odd(p)
	}
	return a, err
}

// likely has the day's course go by what is most probable of a wall with coats on it.
func (m *morning) likely(e *ensemble, p learn.Posterior) (err error) {
	m.day.looks = e.day.looks
	m.day.middle, err = e.middle(p)
	return err
}

// begun completes the answer of a wall with coats on it, under what is known of it.
func (m *morning) begun(a *Answer, e *ensemble, p learn.Posterior) error {
	a.Start, a.posterior = m.day.moment(m.day.laid[0]), &p
	if err := e.band(a, p); err != nil {
		return err
	}
	a.asSeen()
	return nil
}

// asSeen puts what was seen in the place of what was worked out.
func (a *Answer) asSeen() {
	for _, s := range a.Seen {
		if s.Coat > len(a.Coats) || s.Not {
			continue
		}
		c := &a.Coats[s.Coat-1]
		for _, t := range []*Stages{&c.Earliest, &c.Latest} {
			switch s.What {
			case SeenLaid:
				t.Lay = s.At
			case SeenDamp:
				t.Opens = s.At
			case SeenGone:
				t.Closes = s.At
			case SeenDry:
				t.Recoat = s.At
			}
		}
		after := s.At.Sub(c.Lay).Seconds()
		switch s.What {
		case SeenDamp:
			c.Opens = s.At
			c.Times.Opens, c.Soonest.Opens, c.Slowest.Opens = after, after, after
		case SeenGone:
			c.Closes = s.At
			c.Times.Closes, c.Soonest.Closes, c.Slowest.Closes = after, after, after
		case SeenDry:
			c.Recoat = s.At
			c.Times.Dry, c.Soonest.Dry, c.Slowest.Dry = after, after, after
		}
	}
}

// condition draws from what was seen of the coats how the wall is.
func (e *ensemble) condition() (learn.Posterior, error) {
	s := learn.Subject{Own: e.day.job.owns(), Absorbent: e.day.job.Background.Masonry}
	var coats []int
	for i, looks := range e.day.looks {
		for range looks {
			coats = append(coats, i)
		}
	}
	if n := len(coats); n > 0 {
		coats = append(coats, coats[n-1], coats[n-1])
		middle, err := e.untold(e.draw(make([]float64, len(learn.Unknowns())+s.Own)), coats)
		if err = lost(err, &middle); err != nil {
			return learn.Posterior{}, err
		}
		for i, looks := range e.day.looks {
			for k := range looks {
				looks[k].Course = thinCourse
				if i < len(middle) {
					looks[k].Course = middle[i].course()
				}
			}
			s.Seen = append(s.Seen, looks...)
		}
		end := learn.Seen{State: e.ends(coats[n]), By: math.Inf(1)} // nothing is seen of it, but it is expected: as it is, and as it agrees
		s.Seen = append(s.Seen, end, end)
		s.Expect = func(theta, own []float64) ([]float64, error) {
			runs, err := e.untold(&draw{theta: theta, own: own}, coats)
			if err = lost(err, &runs); err != nil { // a draw without a solution shows nothing of what was seen
				return nil, err
			}
			out := make([]float64, len(s.Seen))
			for i, x := range s.Seen {
				t := coat.Never()
				if coats[i] < len(runs) {
					t = runs[coats[i]].times
				}
				out[i] = learn.LnTime(x.State, t, follow)
				if i > n {
					out[i] = e.last(coats[i], t)
				}
			}
			return out, nil
		}
	}
	tell := e.set.Tell
	if tell == nil {
		tell = func(float64) {}
	}
	return learn.Condition(e.prior, []learn.Subject{s}, learn.Settings{Members: e.set.Members, Seed: e.set.Seed, Enough: enoughOfDay, Tell: func(x float64) { tell(conditioned * x) }})
}

// enoughOfDay is how many draws must count of a day: few that are the same from look to look serve better than the most probable one, where a
// time may stand at nothing.
const enoughOfDay = 15

// untold is what becomes under a draw of the coats laid, as if nothing had been seen of them; coats are those that are followed, nil: all.
func (e *ensemble) untold(x *draw, coats []int) ([]coatRun, error) {
	d := *e.day
	if coats != nil {
		d.laid = d.laid[:slices.Max(coats)+1]
	}
	d.looks = make([][]learn.Seen, len(d.laid))
	past, err := d.past(e.wall(x), x, func(i int) bool { return coats == nil || slices.Contains(coats, i) })
	return past.runs, err
}

// ends is the state that ends coat i.
func (e *ensemble) ends(i int) learn.State {
	if i == len(e.day.job.Coats)-1 {
		return learn.Gone
	}
	return learn.Dry
}

// last is ln of when that state of coat i comes, s, of its times, as they agree with what was seen as long as it has not come.
func (e *ensemble) last(i int, t coat.Times) float64 {
	end := e.ends(i)
	if !slices.ContainsFunc(e.day.looks[i], func(x learn.Seen) bool { return x.State == end && reached(x.By) }) {
		t = e.day.agreed(i, t, nil)
	}
	return learn.LnTime(end, t, follow)
}

// middle is the draw of the likely course after what was seen: the most probable, or, of draws that were weighed, so far on the way to their mean
// that the coat looked at last keeps its rank among the draws. (The mean itself goes too far where a time hangs on the unknowns by a bend.)
func (e *ensemble) middle(p learn.Posterior) (*draw, error) {
	n := len(p.Told) - 2
	if p.Method != learn.Weighed || n < 0 {
		return e.taught(p, 1), nil
	}
	i := len(e.day.looks) - 1
	for len(e.day.looks[i]) == 0 {
		i--
	}
	var unseen coat.Times // of the likely course
	at := func(share float64) (x *draw, untold, told float64, err error) {
		x = e.taught(p, share)
		runs, err := e.untold(x, []int{i})
		if err != nil {
			return x, 0, 0, err
		}
		t := runs[i].times
		if share == 0 {
			unseen = t
		}
		return x, learn.LnTime(e.ends(i), t, follow), e.last(i, t), nil
	}
	none, was, low, err := at(0)
	if err != nil {
		return e.taught(p, 1), lost(err, new([]coatRun))
	}
	before, after, rank := p.Told[n].Expected, p.Told[n+1], 0.0
	for _, x := range before {
		if x < was {
			rank += 1 / float64(len(before))
		} else if x == was {
			rank += 0.5 / float64(len(before))
		}
	}
	rank = min(max(rank, earliest), latest)
	goal := was + learn.Quantile(rank, after.Expected, after.Weights) - learn.Quantile(rank, before, nil)
	switch later, sooner := e.sides(i, unseen); { // few draws are no reason to go away from what was seen
	case later && !sooner:
		goal = max(goal, low)
	case sooner && !later:
		goal = min(goal, low)
	}
	mean, _, high, err := at(1)
	switch {
	case err != nil:
		return none, lost(err, new([]coatRun))
	case (goal-low)*(high-low) <= 0:
		return none, nil
	case math.Abs(goal-low) >= math.Abs(high-low):
		return mean, nil
	}
	x, from, to := mean, 0.0, 1.0
	for range 6 {
		share := (from + to) / 2
		y, _, is, err := at(share)
		if err != nil {
			return x, lost(err, new([]coatRun))
		}
		x = y
		if (is-goal)*(high-low) < 0 {
			from = share
		} else {
			to = share
		}
	}
	return x, nil
}

// sides tells whether coat i was seen to come to a state later, and sooner, than its times have it.
func (e *ensemble) sides(i int, t coat.Times) (later, sooner bool) {
	for _, x := range e.day.looks[i] {
		at := x.State.Of(t)
		later = later || x.After > at || reached(x.By) && x.By > at
		sooner = sooner || x.By < at
	}
	return later, sooner
}

// taught is the draw so far on the way to the mean of a posterior: what it has of the air's error is learned.
func (e *ensemble) taught(p learn.Posterior, share float64) *draw {
	z := slices.Clone(p.Mean)
	floats.Scale(share, z)
	x := e.draw(z)
	x.learned = e.learned(z)
	return x
}

// learned is what the looks taught of the air, by the means of all numbers.
func (e *ensemble) learned(mean []float64) learn.Learned {
	l := e.draw(mean).lay(e.day.job, 0)
	out := learn.Learned{Temperature: l.Temperature, Vapour: l.Vapour, Speed: l.Speed, Time: math.Inf(-1)}
	for i, looks := range e.day.looks {
		for _, x := range looks {
			at := x.By
			if !reached(at) {
				at = x.After
			}
			out.Time = max(out.Time, e.day.laid[i]+at)
		}
	}
	return out
}
