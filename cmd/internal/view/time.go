package view

import (
	"fmt"
	"time"

	"limeday/drying"
	"limeday/drying/message"
)

// Time is a moment as people are shown it. The zero At is one that is not reached.
type Time struct {
	At    time.Time
	Laid  time.Time // when its coat was laid; zero: it is not one of a coat
	Edge  message.Edge
	Grain time.Duration // that it is rounded to; zero: the minute
}

// Shown is the moment as every writer shows it: what begins is rounded up, what ends down, as its clock has it.
func (t Time) Shown() time.Time {
	at := t.At.Round(time.Second) // moments are worked out in fractions of one
	switch {
	case t.At.IsZero() || t.Edge == message.Exact || t.atOnce():
		return t.At
	case t.Edge == message.Begins:
		return drying.RoundUp(at, max(t.Grain, time.Minute))
	}
	down := drying.RoundDown(at, max(t.Grain, time.Minute))
	if down.Before(t.Laid) && !t.At.Before(t.Laid) {
		return t.Laid
	}
	return down
}

// Reached reports whether there is such a moment.
func (t Time) Reached() bool { return !t.At.IsZero() }

func (t Time) since() time.Duration { return t.At.Sub(t.Laid) }

func (t Time) atOnce() bool {
	return !t.Laid.IsZero() && t.since() < time.Minute && t.Edge == message.Begins
}

// Time writes a moment: "from 09:30" of what begins, "to 09:30" of what ends, and minutes after laying while those are few.
func (p Printer) Time(t Time) string { return p.time(t, false) }

// Brief writes it for a narrow column.
func (p Printer) Brief(t Time) string { return p.together(p.time(t, true)) }

// Clock writes a moment's time of day, as it is shown.
func (p Printer) Clock(t Time) string { return p.together(p.clock(t.Shown())) }

func (p Printer) time(t Time, brief bool) string {
	begins := t.Edge == message.Begins
	since := t.since()
	switch {
	case t.At.IsZero() && brief:
		return "over 2 days"
	case t.At.IsZero():
		return "not within two days"
	case t.Edge == message.Exact:
		return p.together(p.clock(t.At))
	case t.Laid.IsZero() || since >= message.Soon:
	case t.atOnce():
		return atOnce
	case since < time.Minute && brief:
		return "under 1 min"
	case since < time.Minute:
		return withinMinute
	case brief:
		return minutes(t)
	case begins:
		return p.together(minutes(t)) + " after laying"
	default:
		return p.together(minutes(t)) + " after laying, " + p.together(p.clock(t.Shown()))
	}
	at := p.together(p.clock(t.Shown()))
	switch {
	case begins:
		return p.together("from ") + at
	case brief:
		return "to " + at
	}
	return at
}

// minutes are those after laying.
func minutes(t Time) string {
	m := t.since().Minutes()
	return fmt.Sprintf("%.0f min", towards(m, t.Edge))
}

// Stamp is a day and time with its zone: the place it is named for or, for this computer's, its abbreviation.
func Stamp(t time.Time) string {
	if t.IsZero() {
		return Unknown
	}
	zone := t.Format("MST")
	if t.Location() != time.Local {
		zone = t.Location().String()
	}
	return t.Format("Mon 2 Jan 2006, 15:04") + ", " + zone
}
