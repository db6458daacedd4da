package learn

import "math"

// unlooked is how long before it was noted a state may have come where no look before is told, as a share of its time, and
// at least so many seconds (ESTIMATE).
const (
	unlooked      = 0.10
	unlookedLeast = 60.0
)

// span is the ln of the times between which a state came; +Inf where it was not seen to come.
func (s Seen) span() (lo, hi float64) {
	after := s.After
	if after <= 0 && !math.IsInf(s.By, 1) {
		after = s.By - max(unlooked*s.By, unlookedLeast)
	}
	return math.Log(max(after, 1)), math.Log(max(s.By, 1))
}

// likely is ln of the likelihood that a state expected at ln(time) mu is seen as it was: that Student's t about mu falls
// within the span.
func (s Seen) likely(mu float64) float64 {
	lo, hi := s.span()
	a, b := (lo-mu)/sdSeen, (hi-mu)/sdSeen
	t := tails()
	var p float64
	switch {
	case lo == 0: // within the first look: any sooner is as good
		p = t.CDF(b)
	case math.IsInf(b, 1):
		p = t.Survival(a)
	case a > 0: // of two numbers close to 1 hardly anything is left
		p = t.Survival(a) - t.Survival(b)
	default:
		p = t.CDF(b) - t.CDF(a)
	}
	return math.Log(max(p, 1e-300))
}

// residual is the root of minus twice that but for a constant, with its derivative by mu.
func (s Seen) residual(mu float64) (r, slope float64) {
	lo, hi := s.span()
	t := tails()
	// What has not come by lo, or came at once, says nothing more once it is expected well after, or before.
	oneSided := func(u, sign float64) (float64, float64) { // of the share above u
		p := max(t.Survival(u), 1e-300)
		v := math.Sqrt(-2 * math.Log(p))
		if v < 1e-6 {
			return 0, 0
		}
		return v, sign * t.Prob(u) / p / v / sdSeen
	}
	switch {
	case math.IsInf(hi, 1):
		return oneSided((lo-mu)/sdSeen, -1)
	case lo == 0:
		return oneSided((mu-hi)/sdSeen, 1)
	}
	return square(mu-(lo+hi)/2, math.Hypot(sdSeen, (hi-lo)/math.Sqrt(12)))
}

// likely is ln of the likelihood, but for a constant, of a weighing where lost is expected.
func (w Weight) likely(lost float64) float64 { return tails().LogProb((w.Lost - lost) / w.Off) }
