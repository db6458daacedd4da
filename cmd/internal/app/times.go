package app

import (
	"fmt"
	"math"
	"strings"

	"limeday/drying"
	"limeday/drying/message"
)

// Times are written as coarsely as they are known, rounded the way that is safe: what begins later, what
// ends earlier. Under half an hour they are minutes after laying.
const soon = message.Soon

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
