package app

import (
	"fmt"
	"math"
	"strings"
	"time"

	"limeday/drying"
)

// Times are written as coarsely as they are known, rounded the way that is safe: what begins later, what
// ends earlier. Under half an hour they are minutes after laying.
const soon = 30 * time.Minute

// after writes a time of s seconds after laying, +Inf where not reached. begins tells that something can be
// done from then on, not until then; finely asks for whole minutes where five would do.
func after(s float64, begins, finely bool) string {
	round := func(x float64) float64 { return math.Floor(x + 1e-6) }
	if begins {
		round = func(x float64) float64 { return math.Ceil(x - 1e-6) }
	}
	switch m := s / 60; {
	case math.IsInf(s, 1):
		return fmt.Sprintf(">%.0f d", drying.Horizon/86400)
	case m < 1 && begins:
		return "at once"
	case m < 1:
		return "<1 min"
	case m < soon.Minutes(), m < 120 && finely:
		return fmt.Sprintf("%.0f min", round(m))
	case m < 120:
		return fmt.Sprintf("%.0f min", 5*round(m/5))
	case m < 48*60:
		return fmt.Sprintf("%.1f h", round(m/6)/10)
	default:
		return fmt.Sprintf("%.1f d", round(m/144)/10)
	}
}

// span writes two times of s seconds after laying in a narrow column, in the unit of the later.
func span(low, high float64) string {
	unit, in := "min", 60.0
	switch {
	case math.IsInf(low, 1):
		return fmt.Sprintf(">%.0f d", drying.Horizon/86400)
	case math.IsInf(high, 1) && low >= 48*3600 || !math.IsInf(high, 1) && high >= 96*3600:
		unit, in = "d", 86400
	case math.IsInf(high, 1) && low >= 2*3600 || !math.IsInf(high, 1) && high >= 5*3600:
		unit, in = "h", 3600
	}
	digits := func(x float64) string {
		if x < 10 && in > 60 {
			return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
		}
		return fmt.Sprintf("%.0f", x)
	}
	if math.IsInf(high, 1) {
		return ">" + digits(low/in) + " " + unit
	}
	if high < 60 {
		return "<1 min"
	}
	return digits(low/in) + "-" + digits(high/in) + " " + unit
}

// dayTimes writes the times of one coat of a day's plan.
type dayTimes struct {
	lay, day time.Time // day: the one that the weekday is left out for
	grain    time.Duration
}

func timesOf(c drying.CoatPlan, day time.Time) dayTimes {
	t := dayTimes{c.Lay, day, time.Duration(c.Coat.Finish.Grain) * time.Second}
	if !c.Burnish.IsZero() && !c.Closes.IsZero() && c.Closes.Sub(c.Burnish) < 2*t.grain {
		t.grain = time.Minute // rounded apart, the window would seem to be none
	}
	return t
}

// from writes a moment from which something can be done; a zero one is not reached.
func (d dayTimes) from(t time.Time) string {
	switch gone := t.Sub(d.lay); {
	case t.IsZero():
		return "not within two days"
	case gone < time.Minute:
		return "at once"
	case gone < soon:
		return fmt.Sprintf("%.0f min after laying", math.Ceil(gone.Minutes()))
	}
	return "from " + d.clock(drying.RoundUp(t, d.grain))
}

// until writes a moment at which something ends, for a narrow column.
func (d dayTimes) until(t time.Time) string {
	switch gone := t.Sub(d.lay); {
	case t.IsZero():
		return "over 2 days"
	case gone < time.Minute:
		return "under 1 min"
	case gone < soon:
		return fmt.Sprintf("%.0f min", math.Floor(gone.Minutes()))
	}
	return "to " + d.clock(drying.RoundDown(t, d.grain))
}

// gone writes the moment at which a coat has gone by.
func (d dayTimes) gone(t time.Time) string {
	switch gone := t.Sub(d.lay); {
	case t.IsZero():
		return "not within two days"
	case gone < time.Minute:
		return "within a minute"
	case gone < soon:
		return fmt.Sprintf("%.0f min after laying, %s", math.Floor(gone.Minutes()), d.clock(drying.RoundDown(t, time.Minute)))
	}
	return d.clock(drying.RoundDown(t, d.grain))
}

// clock is the time of day, with the weekday when it is another day's.
func (d dayTimes) clock(t time.Time) string {
	if t.Format(time.DateOnly) != d.day.Format(time.DateOnly) {
		return t.Format("Mon 15:04")
	}
	return t.Format("15:04")
}

// spell writes an age in words.
func spell(d time.Duration) string {
	if d < 2*time.Hour {
		return fmt.Sprintf("%.0f min", math.Round(d.Minutes()))
	}
	return fmt.Sprintf("%.0f h", math.Round(d.Hours()))
}
