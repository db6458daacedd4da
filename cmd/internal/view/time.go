package view

import (
	"fmt"
	"math"
	"time"

	"limeday/drying"
	"limeday/drying/message"
)

// Time is a moment as people are shown it. The zero At is one that is not reached.
type Time struct {
	At    time.Time
	Laid  time.Time // when its coat was laid; zero: it is not one of a coat
	Edge  message.Edge
	Grain time.Duration // how coarsely the finish's times are known; zero: to the minute
	// Within is what rounding may not eat: a coat's own window. Zero: none.
	Within time.Duration
}

// Soon is the time after laying within which a moment is told to the minute.
const Soon = 30 * time.Minute

// grains are those that a clock is read in.
var grains = []time.Duration{12 * time.Hour, 6 * time.Hour, 2 * time.Hour, time.Hour, 30 * time.Minute, 10 * time.Minute, 5 * time.Minute}

// Shown is the moment as every writer shows it: what begins later, what ends sooner, by the grain, but never by more than a quarter of
// the coat's own window or of the time since it was laid.
func (t Time) Shown() time.Time {
	if t.At.IsZero() || t.Edge == message.Exact {
		return t.At
	}
	since := t.At.Sub(t.Laid)
	if !t.Laid.IsZero() && since < time.Minute && t.Edge == message.Begins {
		return t.At // at once
	}
	g := t.grain()
	if t.Edge == message.Begins {
		return drying.RoundUp(t.At, g)
	}
	down := drying.RoundDown(t.At, g)
	if !t.Laid.IsZero() && down.Before(t.Laid) && !t.At.Before(t.Laid) {
		return t.Laid
	}
	return down
}

// grain is the one that the moment is rounded by.
func (t Time) grain() time.Duration {
	most := t.Grain
	if !t.Laid.IsZero() {
		since := t.At.Sub(t.Laid)
		if since < Soon {
			return time.Minute
		}
		most = min(most, since/4)
	}
	if t.Within > 0 {
		most = min(most, t.Within/4)
	}
	for _, g := range grains {
		if g <= most {
			return g
		}
	}
	return time.Minute
}

// Time writes a moment: "from 09:30" of what begins, "to 09:30" of what ends, and minutes after laying while those are few.
func (p Printer) Time(t Time) string { return p.together(p.time(t, false)) }

// Brief writes it for a narrow column.
func (p Printer) Brief(t Time) string { return p.together(p.time(t, true)) }

// Clock writes a moment's time of day, as it is shown.
func (p Printer) Clock(t Time) string { return p.together(p.clock(t.Shown())) }

func (p Printer) time(t Time, brief bool) string {
	begins := t.Edge == message.Begins
	since := t.At.Sub(t.Laid)
	switch {
	case t.At.IsZero() && brief:
		return "over 2 days"
	case t.At.IsZero():
		return "not within two days"
	case t.Laid.IsZero() || since >= Soon:
	case since < time.Minute && begins:
		return "at once"
	case since < time.Minute && brief:
		return "under 1 min"
	case since < time.Minute:
		return "within a minute"
	case brief:
		return minutes(t)
	case begins:
		return minutes(t) + " after laying"
	default:
		return minutes(t) + " after laying, " + p.clock(t.Shown())
	}
	at := p.clock(t.Shown())
	switch {
	case begins:
		return "from " + at
	case brief:
		return "to " + at
	}
	return at
}

// minutes are those after laying.
func minutes(t Time) string {
	m := t.At.Sub(t.Laid).Minutes()
	if t.Edge == message.Begins {
		return fmt.Sprintf("%.0f min", math.Ceil(m-1e-9))
	}
	return fmt.Sprintf("%.0f min", math.Floor(m+1e-9))
}
