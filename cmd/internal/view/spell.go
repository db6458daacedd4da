package view

import (
	"fmt"
	"math"
	"strings"

	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/message"
)

// Spell is a length of time of s seconds in words: whole minutes, and from two hours on whole tens of them.
func (p Printer) Spell(s float64) string {
	switch m := math.Round(s / 60); {
	case math.IsNaN(s):
		return Unknown
	case s > beyond:
		return fmt.Sprintf("over %.0f days", drying.Horizon/86400)
	case m < 1:
		return underMinute
	case m < 120:
		return fmt.Sprintf("%.0f min", m)
	case m < 48*60:
		tens := int(math.Round(m / 10))
		if tens%6 == 0 {
			return fmt.Sprintf("%d h", tens/6)
		}
		return fmt.Sprintf("%d h %d min", tens/6, tens%6*10)
	default:
		return strings.TrimSuffix(fmt.Sprintf("%.1f", m/1440), ".0") + " days"
	}
}

// Between is two lengths of time: "20 to 40 min", "50 min to 2 h 10 min", "up to 5 min".
func (p Printer) Between(low, high float64) string {
	a, b := p.Spell(low), p.Spell(high)
	if low < 30 {
		return "up to " + b
	}
	for _, unit := range []string{" min", " days"} {
		if n, ok := strings.CutSuffix(a, unit); ok && !strings.Contains(n, " ") && strings.HasSuffix(b, unit) && strings.Count(b, " ") == 1 {
			a = n // the unit is said once
		}
	}
	return a + " to " + b
}

// AfterLaying is a time after laying of s seconds, rounded by its edge: to the minute soon after it, then to five and to tenths. finely asks for
// whole minutes where five would do, of a window that they would eat.
func AfterLaying(s float64, e message.Edge, finely bool) string {
	switch m := s / 60; {
	case math.IsNaN(s):
		return Unknown
	case s > beyond:
		return beyondHorizon()
	case m < 1 && e == message.Begins:
		return atOnce
	case m < 1:
		return underMinuteBrief
	case m < message.Soon.Minutes(), m < 120 && finely:
		return fmt.Sprintf("%.0f min", towards(m, e))
	case m < 120:
		return fmt.Sprintf("%.0f min", 5*towards(m/5, e))
	case m < 48*60:
		return fmt.Sprintf("%.1f h", towards(m/6, e)/10)
	default:
		return fmt.Sprintf("%.1f d", towards(m/144, e)/10)
	}
}

// Later is a time after laying from which something can be done, in a sentence: "at once", "from 12 min after laying".
func Later(s float64, finely bool) string {
	if s < 60 {
		return atOnce
	}
	return "from " + AfterLaying(s, message.Begins, finely) + " after laying"
}

// Came is when something came or comes, as a time after laying that is not one to wait for: "within a minute", "12 min".
func Came(s float64, e message.Edge, finely bool) string {
	if s < 60 {
		return withinMinute
	}
	return AfterLaying(s, e, finely)
}

// What is shorter than a minute, in words, in a column, and of what can be done from then on.
const (
	underMinute      = "under a minute"
	underMinuteBrief = "<1 min"
	withinMinute     = "within a minute"
	atOnce           = "at once"
)

// beyondHorizon is a time after all that a coat is followed for.
func beyondHorizon() string { return fmt.Sprintf(">%.0f d", drying.Horizon/86400) }

// Narrow is two lengths of time of so many seconds for a narrow column, in the unit of the later: "20-45 min", "2-3.5 h".
func Narrow(low, high float64) string {
	unit, in, endless := "min", 60.0, high > beyond
	low = max(low, 0)
	switch {
	case math.IsNaN(low) || math.IsNaN(high):
		return Unknown
	case low > beyond:
		return beyondHorizon()
	case endless && low >= 48*3600 || !endless && high >= 96*3600:
		unit, in = "d", 86400
	case endless && low >= 2*3600 || !endless && high >= 5*3600:
		unit, in = "h", 3600
	}
	digits := func(x float64) string {
		if x < 10 && in > 60 {
			return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
		}
		return fmt.Sprintf("%.0f", x)
	}
	switch {
	case endless:
		return ">" + digits(low/in) + " " + unit
	case high < 60:
		return underMinuteBrief
	}
	return digits(low/in) + "-" + digits(high/in) + " " + unit
}

// Counted is Narrow of what is to be counted on, rounded down as coarsely as a season knows it: whole minutes, fives from half an hour on,
// halves of hours or days after two hours or a day (and where the minutes would be too wide), whole ones from ten on. It has at most ten characters: "20-45 min", "1.5-2 h".
func Counted(low, high float64) string {
	unit, in, step := " min", 60.0, 1.0
	switch {
	case math.IsNaN(low) || math.IsNaN(high):
		return Unknown
	case high > beyond:
		return beyondHorizon()
	case high < 60:
		return atOnce
	case high >= 86400:
		unit, in, step = " d", 86400, 0.5
	case high > 2*3600, low >= 100*60:
		unit, in, step = " h", 3600, 0.5
	}
	if in > 60 && high >= 10*in {
		step = 1
	}
	down := func(s float64) string {
		v, step := min(max(s, 0), high)/in, step
		if in == 60 && v >= message.Soon.Minutes() {
			step = 5
		}
		return strings.TrimSuffix(quantity.Fixed(step*math.Floor(v/step+1e-9), 1), ".0")
	}
	from, to := down(low), down(high)
	if from == to {
		return to + unit
	}
	return from + "-" + to + unit
}

// towards rounds a number of minutes: what begins up, what ends down.
func towards(m float64, e message.Edge) float64 {
	switch e {
	case message.Begins:
		return math.Ceil(m - 1e-6)
	case message.Ends:
		return math.Floor(m + 1e-6)
	}
	return math.Round(m)
}

// age is how long ago something was, s.
func age(s float64) string {
	if s < 2*3600 {
		return quantity.Fixed(s/60, 0) + " min"
	}
	return quantity.Fixed(s/3600, 0) + " h"
}
