package diary

import (
	"fmt"
	"slices"
	"time"
)

// Sample is a sample board with what was seen of it, as amended.
type Sample struct {
	Board     Entry
	Events    []Entry // in the order of time
	Weighings []Entry // in the order of time
	Guesses   []Entry // in the order of the file
}

// states are what a board reaches, in the order in which it does.
var states = []string{Laid, Damp, Gone, Dry}

// Samples gathers the sample boards of a diary, in the order of the file. An event is of the board that its field
// names, and without one it is of the job's wall; a weighing without one is of the last board before it.
func Samples(entries []Entry) []Sample {
	var out []Sample
	of := func(e Entry) *Sample {
		n, named := e.Number("board")
		for i := range slices.Backward(out) {
			if named && out[i].Board.N == int(n) || !named && e.Kind == Weighing {
				return &out[i]
			}
		}
		return nil
	}
	for _, e := range Amended(entries) {
		if e.Kind == Board {
			out = append(out, Sample{Board: e})
		} else if s := of(e); s != nil {
			s.Add(e)
		}
	}
	return out
}

// Add puts an event, a weighing or a guess in its place; other entries are not of a sample.
func (s *Sample) Add(e Entry) {
	list := &s.Events
	switch {
	case e.Kind == Guess:
		s.Guesses = append(slices.Clip(s.Guesses), e)
		return
	case e.Kind == Weighing:
		list = &s.Weighings
	case e.Kind != Event || stateOf(e) < 0:
		return
	}
	at := len(*list)
	for at > 0 && (*list)[at-1].At.After(e.At) {
		at--
	}
	*list = slices.Insert(slices.Clip(*list), at, e)
}

func stateOf(e Entry) int { return slices.Index(states, e.Text("what")) }

// Reached is when the board reached a state, false where it is not known to have.
func (s Sample) Reached(what string) (time.Time, bool) {
	for _, e := range s.Events {
		if e.Text("what") == what && !e.Flag("looked") {
			return e.At, true
		}
	}
	return time.Time{}, false
}

// Next is the state to look for, empty once the board is dry.
func (s Sample) Next() string {
	next := 0
	for i, what := range states {
		if _, ok := s.Reached(what); ok {
			next = i + 1
		}
	}
	if next == len(states) {
		return ""
	}
	return states[next]
}

// GuessOf is what somebody guessed of the board; false where nothing was, or only once it had been laid.
func (s Sample) GuessOf(name string) (Entry, bool) {
	laid, isLaid := s.Reached(Laid)
	for _, g := range s.Guesses {
		if g.Text("name") == name && !(isLaid && g.Written.After(laid)) {
			return g, true
		}
	}
	return Entry{}, false
}

// Check refuses an event, weighing or guess of the board that cannot be, beside what is known of it. The error is an
// [*EntryError].
func (s Sample) Check(e Entry) error {
	refuse := func(format string, args ...any) error {
		return &EntryError{Message: fmt.Sprintf(format, args...), Expected: "events in the order laid, damp, gone, dry, each once"}
	}
	name := Describe(e)
	laid, isLaid := s.Reached(Laid)
	if e.Kind == Guess {
		if isLaid {
			return &EntryError{Message: fmt.Sprintf("board %d was laid at %s, and a guess comes before; guess at the next board", s.Board.N, clockOf(laid, e.At)), Expected: "a board that has not been laid"}
		}
		for _, g := range s.Guesses {
			if g.Text("name") == e.Text("name") {
				return &EntryError{Message: fmt.Sprintf("%s has guessed at board %d already, in %s; amend that one", e.Text("name"), s.Board.N, where(g)), Expected: "one guess of each name"}
			}
		}
		return nil
	}
	begins := e.Kind == Event && stateOf(e) == 0
	switch {
	case !begins && !isLaid:
		return refuse("%s: board %d has not been laid; enter that first", name, s.Board.N)
	case !begins && e.At.Before(laid):
		return refuse("%s: the board was laid later, at %s; check the times", name, clockOf(laid, e.At))
	}
	if e.Kind == Weighing {
		if bare, ok := s.Board.Number("bare_mass"); ok {
			if m, _ := e.Number("mass"); m <= bare {
				return refuse("%s: it is no heavier than the bare board; check the mass", name)
			}
		}
		for _, w := range s.Weighings {
			if w.At.Equal(e.At) {
				return refuse("%s: %s is a weighing at the same time; amend that one", name, where(w))
			}
		}
		return nil
	}
	state, looked := stateOf(e), e.Flag("looked")
	if state < 0 {
		return nil // not of those that follow each other
	}
	for _, o := range s.Events {
		other, otherLooked := stateOf(o), o.Flag("looked")
		at := clockOf(o.At, e.At)
		switch {
		case other == state && otherLooked == looked && (!looked || o.At.Equal(e.At)):
			return refuse("%s: %s has it already, at %s; amend that one, or take it back", name, where(o), at)
		case looked && otherLooked:
			// Two looks agree whatever they were for.
		case looked && other >= state && o.At.Before(e.At):
			return refuse("%s: by %s it was %s at %s, before that; check the times", name, where(o), o.Text("what"), at)
		case otherLooked && other <= state && e.At.Before(o.At):
			return refuse("%s: by %s it was not yet %s at %s, after that; check the times", name, where(o), o.Text("what"), at)
		case !looked && !otherLooked && other < state && e.At.Before(o.At):
			return refuse("%s: %s comes before %s, and %s has it at %s; check the times", name, o.Text("what"), e.Text("what"), where(o), at)
		case !looked && !otherLooked && other > state && o.At.Before(e.At):
			return refuse("%s: %s comes before %s, which %s has at %s; check the times", name, e.Text("what"), o.Text("what"), where(o), at)
		}
	}
	if begins {
		for _, o := range slices.Concat(s.Events, s.Weighings) {
			if o.At.Before(e.At) {
				return refuse("%s: %s is earlier, %s; check the times", name, where(o), Describe(o))
			}
		}
	}
	return nil
}

// where says in which entry something stands, or that it is to be entered with what is checked.
func where(e Entry) string {
	if e.N == 0 {
		return "the same line"
	}
	return fmt.Sprintf("entry %d", e.N)
}

// Sound refuses a sample whose entries contradict each other, as amendments can leave it.
func (s Sample) Sound() error {
	so := Sample{Board: s.Board}
	all := slices.Concat(s.Events, s.Weighings)
	SortEvents(all)
	for _, e := range all {
		if err := so.Check(e); err != nil {
			return err
		}
		so.Add(e)
	}
	return nil
}

// SortEvents puts events and weighings in the order of time, those of one time as a board goes through them.
func SortEvents(events []Entry) {
	rank := func(e Entry) int {
		switch {
		case e.Kind == Weighing:
			return 2 * len(states) // after what was seen
		case e.Flag("looked"):
			return 2 * stateOf(e)
		}
		return 2*stateOf(e) + 1
	}
	slices.SortStableFunc(events, func(a, b Entry) int {
		if c := a.At.Compare(b.At); c != 0 {
			return c
		}
		return rank(a) - rank(b)
	})
}

// Describe names an event, weighing or guess with its time: "damp at 09:42", "not yet damp at 09:30".
func Describe(e Entry) string {
	name := e.Text("what")
	switch {
	case e.Kind == Weighing:
		name = "weighed"
	case e.Kind == Guess:
		name = "guessed"
	case e.Flag("looked"):
		name = "not yet " + name
	}
	return name + " at " + clockOf(e.At, e.At)
}

// clockOf is a time of day, with its date where it is not the day of other.
func clockOf(t, other time.Time) string {
	layout := "15:04"
	if t.Second() != 0 {
		layout = "15:04:05"
	}
	if t.Format(time.DateOnly+"Z07:00") != other.Format(time.DateOnly+"Z07:00") {
		layout = "2006-01-02T" + layout + "Z07:00"
	}
	return t.Format(layout)
}
