package view

import (
	"fmt"
	"slices"
	"time"

	"limeday/drying"
	"limeday/drying/coat"
	"limeday/drying/message"
)

// Ahead is a day after the one asked about on which coats are due.
type Ahead struct {
	Date  time.Time
	Due   string       // likely, doubtful, not-before
	Says  message.Text // of the day's coats; the date stands beside it
	Named string       // its coats: "coats 2 and 3"
	Coats []Coat
}

// Day is the date of it.
func (l Ahead) Day() message.Text { return message.Say("{}", message.OnDay(l.Date)) }

// Drawn tells whether anything of the day is to be drawn.
func (d Day) Drawn() bool {
	return len(d.Course) > 0 || slices.ContainsFunc(d.Plan, func(c Coat) bool { return len(c.Past) == 0 })
}

// Planned is a day of the plan as programs are told of it.
type Planned struct {
	Date         time.Time
	Due, Verdict string // either may be empty
	Coats        []int
	Tend         []string // codes of care
	Reasons      []string // codes
}

// laid tells whether all coats are.
func laid(a drying.Answer) bool {
	n := len(a.Coats)
	return n == len(a.Job.Coats) && a.Coats[n-1].Done
}

// coolest is the lowest temperature of the face, C, while the coats that are worked or still dry do so; ok is false where there is none.
func coolest(a drying.Answer) (c float64, ok bool) {
	var dry []drying.CoatPlan
	for i, p := range a.Coats {
		if a.Asked(p) || p.Done && !over(a, i) {
			dry = append(dry, p)
		}
	}
	a.Coats = dry
	return a.Coolest(), len(dry) > 0
}

// over tells whether a coat laid before has nothing to come that is still to be told.
func over(a drying.Answer, i int) bool {
	c := a.Coats[i]
	switch {
	case c.Last:
		return !c.Closes.IsZero() && !c.Closes.After(a.At)
	case i+1 < len(a.Coats) && a.Coats[i+1].Done:
		return true
	}
	return !c.Recoat.IsZero() && !c.Recoat.After(a.At)
}

// sameDay tells whether two moments fall on one day, by the clock of the first.
func sameDay(t, u time.Time) bool {
	return t.Format(time.DateOnly) == u.In(t.Location()).Format(time.DateOnly)
}

// pastOf is a coat of an earlier day in a line: when it was laid, and what of it is still to come.
func pastOf(a drying.Answer, i int, v Coat) message.Text {
	t := message.Say("laid {}", message.Stamp(v.Lay.At))
	if over(a, i) {
		return t
	}
	for _, s := range v.Then {
		if s.At.Reached() && s.At.At.Before(a.At) {
			continue
		}
		t = message.Say("{}, {} {}", t, s.Name, clockOf(s.At))
	}
	if len(v.Note) > 0 {
		t = message.Say("{}; {}", t, v.Note)
	}
	return t
}

// clockOf is a moment within a sentence, with its day where that is another.
func clockOf(t Time) message.Text {
	q := message.Quantity{Kind: message.Clock, At: t.At, Edge: t.Edge, Grain: t.Grain}
	switch {
	case !t.Reached():
		return message.Words("not within two days")
	case t.Edge == message.Begins:
		return message.Say("from {}", q)
	}
	return message.Say("{}", q)
}

// bedOf says what is done to what a coat is laid on, before.
func bedOf(c drying.CoatPlan) message.Text {
	if !c.Misted || c.Done {
		return nil
	}
	return message.Say("mist the bed {} before", message.In(coat.MistingTime, message.Ends))
}

// noteOf is what else is told of a coat.
func noteOf(c drying.CoatPlan) message.Text {
	if !c.Last {
		return waitOf(c)
	}
	if advice := drying.ShadeOf(c.Coat.Tint).Advice(); c.Coat.Finish.Polish && advice != "" {
		return message.Words(advice)
	}
	return nil
}

// waitOf tells the trade's wait where a coat is left longer than it dries, beside when it is dry.
func waitOf(c drying.CoatPlan) message.Text {
	if !waits(c) {
		return nil
	}
	wait, until := message.Spells(c.Custom.Sub(c.Lay).Seconds(), c.Careful.Sub(c.Lay).Seconds()), message.On
	if c.Careful.Sub(c.Lay) < 48*time.Hour {
		until = message.At
	}
	t := message.Say("the trade leaves it {}, until {} to {}", wait, until(c.Custom), until(c.Careful))
	if c.Careful.Equal(c.Custom) {
		t = message.Say("the trade leaves it {}, until {}", message.Seconds(wait.Value), until(c.Custom))
	}
	if c.Recoat.IsZero() {
		return t
	}
	return message.Say("dry {}, but {}", clockOf(timesOf(c, drying.EventNext)), t)
}

// timesOf is the moment of an event, with how it is told.
func timesOf(c drying.CoatPlan, e drying.Event) Time {
	q := c.When(e)
	return Time{At: q.At, Laid: c.Lay, Edge: q.Edge, Grain: q.Grain}
}

// waits tells whether the trade leaves a coat longer than it dries.
func waits(c drying.CoatPlan) bool {
	return !c.Custom.IsZero() && !c.Last && (c.Recoat.IsZero() || c.Custom.After(c.Recoat))
}

// aheadOf are the days after the one asked about on which coats are due.
func aheadOf(a drying.Answer) []Ahead {
	var out []Ahead
	for _, d := range a.Days {
		if len(d.Coats) == 0 || d.Date.Equal(a.Day) {
			continue
		}
		l := Ahead{Date: d.Date, Due: string(d.Due)}
		var says []message.Text
		for _, n := range d.Coats {
			i := slices.IndexFunc(a.Coats, func(c drying.CoatPlan) bool { return c.Number == n })
			if i < 0 {
				continue
			}
			c := a.Coats[i]
			l.Coats = append(l.Coats, coatOf(a, i))
			t := message.Say("coat {} from {}", message.Number(n), timeOf(c.Lay))
			if c.Misted {
				t = message.Say("{}, on a misted bed", t)
			}
			says = append(says, t)
		}
		l.Named = coatsNamed(d.Coats)
		switch d.Due {
		case drying.NotBefore:
			l.Says = message.Say("not before: {}; ask again that morning", l.Named)
		default:
			l.Says = message.Say("{}: {}", l.Due, message.Join(says, "; "))
			if len(d.Reasons) > 0 {
				l.Says = message.Say("{} ({})", l.Says, d.Reasons[0].Code.Words())
			}
		}
		out = append(out, l)
	}
	return out
}

// timeOf is the clock of a day that is told beside it.
func timeOf(t time.Time) message.Quantity { return message.Quantity{Kind: message.TimeOfDay, At: t} }

// coatsNamed is "coat 1", "coats 1 and 2", "coats 1 to 3".
func coatsNamed(numbers []int) string {
	switch n := len(numbers); {
	case n == 1:
		return fmt.Sprintf("coat %d", numbers[0])
	case n == 2:
		return fmt.Sprintf("coats %d and %d", numbers[0], numbers[1])
	case n > 2:
		return fmt.Sprintf("coats %d to %d", numbers[0], numbers[n-1])
	}
	return "no coat"
}

// leadOf is the answer in a word, and how its sentence goes on: what is due on the day asked about, then when the rest.
func leadOf(a drying.Answer, ahead []Ahead, after []Due) Verdict {
	v := Verdict{Code: string(a.Verdict), Word: Word(a.Verdict), Joint: ": "}
	day := a.DayWord()
	if a.Ahead() {
		v.Word = later[a.Verdict]
	}
	var due []int
	var first drying.CoatPlan
	for _, c := range a.Coats {
		if a.Asked(c) {
			if due = append(due, c.Number); len(due) == 1 {
				first = c
			}
		}
	}
	rest := restOf(ahead)
	switch {
	case a.Verdict == drying.NoGo:
		v.Joint, v.Says = " ", message.Words(day+".")
		v.Brief = v.Says
		if len(rest) > 0 {
			v.Says = message.Say("{}. {}", day, rest)
		}
		return v
	case len(due) > 0:
		v.Brief = message.Say("{} from {}.", coatsNamed(due), message.At(first.Lay))
		v.Says = message.Say("{} today.", coatsNamed(due))
		if a.Ahead() {
			v.Joint, v.Says = " "+day+": ", message.Words(coatsNamed(due)+".")
		}
		if len(rest) > 0 {
			v.Says = message.Say("{} {}", v.Says, rest)
		}
		v.Start = startOf(a, first)
		return v
	case !laid(a):
		v.Word, v.Joint = "Nothing more to lay today", "."
		if len(rest) > 0 {
			v.Says = message.Say(" {}", rest)
		}
		v.Brief = v.Says
		return v
	case laid(a) && !over(a, len(a.Coats)-1):
		last := coatOf(a, len(a.Coats)-1)
		v.Says = message.Say("{} is to be closed in.", coatsNamed([]int{last.Number}))
		if gone := last.Then[len(last.Then)-1]; gone.Code == "gone" && gone.At.Reached() {
			v.Says = message.Say("close {} in by {}.", coatsNamed([]int{last.Number}), clockOf(gone.At))
		}
	case a.Verdict != drying.NoGo:
		v.Word, v.Joint = "All coats are laid", "."
	default:
		v.Says = message.Words("all coats are laid.")
	}
	v.Brief = v.Says
	if next := nextTend(a, after); len(next) > 0 && a.Mend == nil {
		v.Says = message.Say("{} {}", v.Says, next)
	}
	return v
}

// later are the words of a later day's verdicts.
var later = map[drying.Verdict]string{drying.Go: "LIKELY", drying.Care: "DOUBTFUL", drying.NoGo: "NOT"}

// startOf says when the first coat of the day is laid, and how long that serves.
func startOf(a drying.Answer, first drying.CoatPlan) message.Text {
	which := "the first coat"
	if first.Number > 1 {
		which = coatsNamed([]int{first.Number})
	}
	start := message.At(first.Lay)
	switch {
	case a.Earliest.IsZero():
		return message.Say("Lay {} from {}.", which, start)
	case a.Earliest.Before(first.Lay):
		return message.Say("Lay {} at {}: better than the earliest possible, {}.", which, start, message.At(a.Earliest))
	case a.Latest.After(first.Lay):
		return message.Say("Lay {} at {}, the earliest; {} still serves.", which, start, message.At(a.Latest))
	}
	return message.Say("Lay {} at {}: no later start serves.", which, start)
}

// restOf says when the next of the coats that are left can follow; the plan tells the days after.
func restOf(ahead []Ahead) message.Text {
	if len(ahead) == 0 {
		return nil
	}
	l := ahead[0]
	name := Capital(l.Named)
	switch drying.Due(l.Due) {
	case drying.NotBefore:
		return message.Say("{} not before {}: ask again that morning.", name, l.Day())
	case drying.Doubtful:
		return message.Say("{} {} from {}, doubtful.", name, l.Day(), timeOf(l.Coats[0].Lay.At))
	}
	return message.Say("{} {} from {}.", name, l.Day(), timeOf(l.Coats[0].Lay.At))
}

// nextTend is what the wall wants next; that tape may go onto it is no want.
func nextTend(a drying.Answer, after []Due) message.Text {
	var next *Due
	for i, c := range after {
		if c.Wall == "" && !c.Idle && c.Code != string(drying.CareTapeOn) && c.From.After(a.At) && (next == nil || c.From.Before(next.From)) {
			next = &after[i]
		}
	}
	switch {
	case next == nil:
		return nil
	case next.Protects || next.Code == string(drying.CareTapeOff):
		return message.Say("Next: {} {}.", next.Name, next.When)
	}
	return message.Say("Next: {} from {}.", next.Name, message.OnDay(next.From))
}

// plannedOf are the days of the plan, for programs.
func plannedOf(a drying.Answer) []Planned {
	return each(a.Days, func(d drying.DayPlan) Planned {
		return Planned{d.Date, string(d.Due), string(d.Verdict), d.Coats, each(d.Tend, func(c drying.Aftercare) string { return string(c.Code) }),
			each(d.Reasons, func(r drying.Reason) string { return string(r.Code) })}
	})
}
