package drying

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"time"

	"limeday/drying/learn"
	"limeday/drying/message"
	"limeday/drying/parallel"
)

// Change is something in the crew's power, with its effect worked out by planning again. None of them blows air at wet lime.
type Change struct {
	Code   ChangeCode // empty where nothing is changed, or several things are
	Codes  []ChangeCode
	Says   message.Text
	Effect message.Text // begins with "no" where it does not help
	Moved  message.Text // the reasons that come and go; empty for none
	Helps  bool
	// Tomorrow is set for what must be done the day before.
	Tomorrow bool
	Verdict  Verdict
	Lay      time.Time        // of the first coat that is not laid; zero where none is planned
	Due      []int            // numbers of the coats laid on the day of asking
	Window   time.Duration    // from burnish to gone by of the last coat, within the hours
	Done     time.Time        // when the last coat has gone by; zero where that is not planned or not known
	Gone     message.Quantity // Done as it is told
}

// ChangeCode names a kind of change.
type ChangeCode string

// The kinds.
const (
	ChangeThinner    ChangeCode = "thinner-fill-coats"
	ChangeThicker    ChangeCode = "thicker-last-coat"
	ChangeDamp       ChangeCode = "damp-the-background"
	ChangeMist       ChangeCode = "mist-the-bed"
	ChangeStill      ChangeCode = "still-the-air"
	ChangeShade      ChangeCode = "shade-the-wall"
	ChangeHeat       ChangeCode = "heat-from-the-day-before"
	ChangeAirOut     ChangeCode = "air-the-room"
	ChangeDehumidify ChangeCode = "dehumidify"
	ChangeSections   ChangeCode = "smaller-section"
	ChangeHand       ChangeCode = "another-hand"
	ChangeSheet      ChangeCode = "sheet-the-wall"
	ChangeStop       ChangeCode = "stop-after-a-coat"
)

// ChangeCodes lists them.
func ChangeCodes() []ChangeCode {
	return []ChangeCode{ChangeThinner, ChangeThicker, ChangeDamp, ChangeMist, ChangeStill, ChangeShade, ChangeHeat, ChangeAirOut, ChangeDehumidify, ChangeSections, ChangeHand,
		ChangeSheet, ChangeStop}
}

// standing is what a change to the answer is asked upon.
func (a *Answer) standing() Standing {
	s := Standing{Temp: float64(a.Now.Temperature()), RH: float64(a.Now.RelativeHumidity()), Counted: a.RoomCounted}
	for _, x := range a.Seen {
		if x.What == SeenLaid {
			s.Laid++
		}
	}
	return s
}

// WhatIf works out the answer with each of the wishes, and with all together where there are several; the first is the plan as it is. The question is
// the one that Check and Band, or Resume, gave the answer to. Errors are *WishError and those of [Check].
func (a *Answer) WhatIf(ask Ask, wishes []Wish, set Bands) ([]Change, error) {
	var tries [][]Variant
	var all []Variant
	for _, w := range wishes {
		v, err := a.Job.Variant(w, a.standing())
		if err != nil {
			return nil, err
		}
		all, tries = append(all, v), append(tries, []Variant{v})
	}
	if len(all) > 1 {
		tries = append(tries, all)
	}
	m, err := wake(a.Job, ask)
	if err != nil {
		return nil, err
	}
	out := []Change{{Says: message.Words("As planned"), Effect: message.Words("no")}}
	out[0].come(a)
	for i, vs := range tries {
		one := set
		if set.Tell != nil {
			one.Tell = func(share float64) { set.Tell((float64(i) + share) / float64(len(tries))) }
		}
		b, err := m.vary(vs).whole(a.posterior, one)
		if err != nil {
			return nil, err
		}
		c := changeOf(vs)
		c.come(&b)
		c.compare(out[0], a, &b)
		out = append(out, c)
		for i, x := range a.Changes { // what was asked for is worked out more finely
			if len(vs) == 1 && x.Code == c.Code && x.Says.String() == c.Says.String() {
				a.Changes[i] = c
			}
		}
	}
	rank(a.Changes)
	return out, nil
}

// question is a job and what is asked of it.
type question struct {
	job Job
	ask Ask
}

// vary is the question with changes made. Nothing of what was before the moment of asking moves where a coat was laid then.
func (m *morning) vary(vs []Variant) question {
	q := question{m.Job, m.ask}
	q.job.Coats = slices.Clone(q.job.Coats)
	if len(m.day.laid) > 0 {
		was := m.Job
		q.ask.was = &was
	}
	for _, v := range vs {
		v.Apply(&q.job, &q.ask)
	}
	return q
}

// wake sets up the day of a question that is compared with another: its bounds are not wanted.
func (q question) wake() (*morning, error) {
	m, err := wake(q.job, q.ask)
	if err == nil {
		m.day.quick = true
	}
	return m, err
}

// whole is the answer with its later days, and with its bands where those may say something against it, under what is known of a wall that has begun.
func (q question) whole(p *learn.Posterior, set Bands) (Answer, error) {
	m, err := q.wake()
	if err != nil {
		return Answer{}, err
	}
	var e *ensemble
	if p != nil {
		if e, err = m.ensemble(set); err != nil {
			return m.Answer, err
		}
		if err := m.likely(e, *p); err != nil {
			return m.Answer, err
		}
	}
	a, _, err := m.answer()
	switch {
	case err != nil || !a.likelyClosed(m.to):
		return a, err
	case p != nil:
		return a, m.begun(&a, e, *p)
	}
	_, _, err = a.banded(q.ask, set)
	return a, err
}

// change works every change out that makes sense, as far as the day goes, and ranks them by what they bring. best is the answer before the days
// after it were planned; nil where nothing is due.
func (a *Answer) change(m *morning, best *Answer) error {
	if best == nil {
		return nil
	}
	vs := a.Job.Variants(best.standing())
	changes, errs := make([]Change, len(vs)), make([]error, len(vs))
	var was Change
	was.come(best)
	_, was.Gone = a.window()
	was.Done = was.Gone.At
	_ = parallel.Each(len(vs), func(i int) error { // the errors are in errs, in their order
		changes[i], errs[i] = m.try(vs[i:i+1], best, was)
		return nil
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	rank(changes)
	a.Changes = changes
	return nil
}

// rank puts what helps first.
func rank(changes []Change) {
	slices.SortStableFunc(changes, func(x, y Change) int {
		if x.Helps != y.Helps {
			if x.Helps {
				return -1
			}
			return 1
		}
		if x.Verdict != y.Verdict {
			if x.Verdict.Better(y.Verdict) {
				return -1
			}
			return 1
		}
		return cmp.Compare(y.Window, x.Window)
	})
}

// weighStride is the time between the starts tried of a change that nobody asked for, beside the plan's own.
const weighStride = 2 * time.Hour

// try works changes out for the day alone.
func (m *morning) try(vs []Variant, best *Answer, was Change) (Change, error) {
	c := changeOf(vs)
	n, err := m.vary(vs).wake()
	if err != nil {
		return c, err
	}
	if len(n.day.laid) > 0 {
		n.day.middle, n.day.looks = m.day.middle, m.day.looks
	}
	s, err := n.day.now(n.day.middle)
	if err != nil {
		return c, err
	}
	n.day.also = n.day.seconds(best.Start)
	if vs[0].bare {
		n.day.stands = maps.Clone(m.day.stands)
	}
	b, _, err := n.best(s, weighStride)
	if err != nil {
		return c, err
	}
	c.come(&b)
	c.compare(was, best, &b)
	return c, nil
}

// changeOf is what is to be tried.
func changeOf(vs []Variant) Change {
	c := Change{Code: vs[0].Code, Says: vs[0].Says}
	if len(vs) > 1 {
		c.Code, c.Says = "", message.Words("All of these together")
	}
	for _, v := range vs {
		c.Codes = append(c.Codes, v.Code)
		c.Tomorrow = c.Tomorrow || v.Tomorrow
	}
	return c
}

// come takes what comes of the change.
func (c *Change) come(a *Answer) {
	c.Verdict, c.Lay = a.Verdict, a.NextLay()
	c.Window, c.Gone = a.window()
	c.Done = c.Gone.At
	for _, p := range a.Coats {
		if p.Due == DueToday && !p.Done {
			c.Due = append(c.Due, p.Number)
		}
	}
}

// window is the last coat's window from burnish to gone by within the hours of its day, and when it has gone by; of a coat that is not to be laid
// the window it would have.
func (a *Answer) window() (time.Duration, message.Quantity) {
	n := len(a.Coats)
	if n == 0 || !a.Coats[n-1].Last || a.Coats[n-1].Due == NotBefore {
		return 0, message.Quantity{}
	}
	last := a.Coats[n-1]
	done := last.When(EventCloses)
	if a.Verdict == NoGo && last.Due == DueToday && !last.Done {
		done = message.Quantity{}
	}
	if last.Burnish.IsZero() {
		return 0, done
	}
	_, end := a.Job.Hours.On(last.Lay)
	if !last.Closes.IsZero() && last.Closes.Before(end) {
		end = last.Closes
	}
	return max(end.Sub(last.Burnish), 0), done
}

// A window is longer, and a finish earlier, by so much.
const (
	longer       = 3 * time.Minute
	longerByPart = 5 // a fifth
	sooner       = 10 * time.Minute
)

// compare words what a change brings: it helps where it mends a reason, or no reason comes and the last coat's window is longer or its finish earlier. One
// that worsens the verdict, or puts a coat off, never does.
func (c *Change) compare(was Change, before, after *Answer) {
	var says []message.Text
	if c.Verdict != was.Verdict {
		says = append(says, message.Say("{} becomes {}", string(was.Verdict), string(c.Verdict)))
		c.Helps = c.Verdict.Better(was.Verdict)
	}
	gone, came := graver(before, after), graver(after, before)
	short := func(r Reason) bool { return r.Code == CodeWindowShort || r.Code == CodeWindowWall }
	if slices.ContainsFunc(gone, short) && slices.ContainsFunc(came, short) { // one and the same: the window tells by how much
		gone, came = slices.DeleteFunc(gone, short), slices.DeleteFunc(came, short)
	}
	for _, r := range gone {
		if c.Verdict == NoGo && r.Severity != Stops {
			continue // what stops the day stays
		}
		c.Helps = c.Helps || !slices.ContainsFunc(came, func(x Reason) bool { return x.Severity.rank() <= r.Severity.rank() })
	}
	var moved []message.Text
	if len(came) > 0 {
		moved = append(moved, message.Say("brings: {}", named(came)))
	}
	if len(gone) > 0 {
		moved = append(moved, message.Say("no longer: {}", named(gone)))
	}
	says, c.Moved = append(says, moved...), message.Join(moved, "; ")
	good := len(came) == 0 && c.Verdict != NoGo // a longer window is of no use where nothing is to be laid
	last := len(before.Job.Coats)
	had, has := slices.Contains(was.Due, last), slices.Contains(c.Due, last)
	switch d := c.Window - was.Window; {
	case had && !has:
		says = append(says, message.Words("the last coat is another day's"))
	case c.Verdict == NoGo && !had:
	case has && !had && c.Window > 0:
		says = append(says, message.Say("the last coat comes today, with a window of {}", message.In(c.Window.Seconds(), message.Ends)))
		c.Helps = c.Helps || c.Verdict != NoGo
	case d.Abs() >= longer:
		says = append(says, message.Say("the last coat's window goes from {} to {}", message.In(was.Window.Seconds(), message.Ends), message.In(c.Window.Seconds(), message.Ends)))
		c.Helps = c.Helps || good && d*longerByPart >= was.Window
	}
	switch {
	case c.Done.IsZero():
	case was.Done.IsZero():
		says = append(says, message.Say("done at {}", c.Gone))
		c.Helps = c.Helps || good
	case was.Done.Sub(c.Done).Abs() >= sooner:
		says = append(says, message.Say("done at {} instead of {}", c.Gone, was.Gone))
		c.Helps = c.Helps || good && c.Done.Before(was.Done)
	}
	shorter := c.Verdict == was.Verdict && was.Window-c.Window >= longer && after.has(CodeWindowShort, CodeWindowWall) // what is short is shorter
	if was.Verdict.Better(c.Verdict) || shorter || len(c.Due) < len(was.Due) && was.Verdict != NoGo {                  // a coat put off mends nothing
		c.Helps = false
	}
	c.Effect = message.Join(says, "; ")
	switch {
	case c.Helps:
	case len(says) == 0:
		c.Effect = message.Words("no")
	default:
		c.Effect = message.Say("no: {}", c.Effect)
	}
}

// graver are the reasons that stop or warn in a and weigh less in b, or are not there.
func graver(a, b *Answer) (out []Reason) {
	weighs := func(a *Answer, code Code) int {
		n := Notes.rank()
		for _, r := range a.Reasons {
			if r.Code == code {
				n = min(n, r.Severity.rank())
			}
		}
		return n
	}
	for _, r := range a.Reasons {
		listed := slices.ContainsFunc(out, func(x Reason) bool { return x.Code == r.Code })
		if n := weighs(a, r.Code); r.Severity.rank() == n && n < weighs(b, r.Code) && !listed {
			out = append(out, r)
		}
	}
	return out
}

// named are reasons in words.
func named(rs []Reason) string {
	var s []string
	for _, r := range rs {
		s = append(s, r.Code.Words())
	}
	return strings.Join(s, ", ")
}

func (a *Answer) has(codes ...Code) bool {
	return slices.ContainsFunc(a.Reasons, func(r Reason) bool { return slices.Contains(codes, r.Code) })
}
