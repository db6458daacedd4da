package learn

import (
	"math"

	"gonum.org/v1/gonum/diff/fd"
)

// unlooked is how long before it was noted a state may have come where no look before is told, as a share of its time, and
// at least so many seconds (ESTIMATE).
const (
	unlooked      = 0.10
	unlookedLeast = 60.0
)

// slack is what counts beside a time, s, where a state is expected at t: times count as time and slack in the ln. The model's error is a share of
// the whole course of a coat, since a gram more water puts off every state by about as long. So the error of an early state is the
// eye's share of its time and, of what is left of the course, the share that the model leaves out of a time; that of a late
// state is in the coat's own clock.
func (s Seen) slack(t float64) float64 {
	return math.Hypot(t, sdCoat/sdSeen*max(s.Course-t, 0)) - t
}

// after is the last moment at which the state had not come.
func (s Seen) after() float64 {
	if s.After <= 0 && !math.IsInf(s.By, 1) {
		return max(s.By-max(unlooked*s.By, unlookedLeast), 0)
	}
	return s.After
}

// atOnce tells that the state came within the first look: any sooner is as good.
func (s Seen) atOnce() bool { return s.after() <= 1 }

// span is the ln of the times between which a state came; +Inf where it was not seen to come.
func (s Seen) span() (lo, hi float64) {
	return math.Log(max(s.after(), 1)), math.Log(max(s.By, 1))
}

// off is how far from a state expected at ln(time) mu the last look before it was, and the one at which it had come, in scales; +Inf where it
// was not seen to come.
func (s Seen) off(mu float64) (after, by float64) {
	t := math.Exp(mu)
	k := s.slack(t)
	lo, hi := s.span()
	scales := func(x float64) float64 { return math.Log((math.Exp(x)+k)/(t+k)) / sdSeen }
	return scales(lo), scales(hi)
}

// Agree is the time of a state that the model has at t, s after laying, and that came as it was seen: t where that agrees, or else where it
// lies of all that does, by the likelihood, at the share late of it.
func (s Seen) Agree(t, late float64) float64 {
	after, by := s.after(), s.By
	switch {
	case t >= by:
		return by
	case t >= after || s.atOnce():
		return t
	}
	x, t := tails(), max(t, 1)
	lo, hi := s.off(math.Log(t))
	p, q := x.Survival(lo), x.Survival(hi)
	k := s.slack(t)
	came := (t+k)*math.Exp(-sdSeen*x.Quantile(max(p-late*(p-q), 1e-12))) - k
	return min(max(came, after), by)
}

// tails are the chances that a state expected at ln(time) mu comes as soon as it was seen to, or sooner; and as late, or later.
func (s Seen) tails(mu float64) (sooner, later float64) {
	lo, hi := s.off(mu)
	if s.atOnce() {
		return tails().CDF(hi), 1
	}
	return tails().CDF(hi), tails().Survival(lo)
}

// likely is ln of the likelihood that a state expected at ln(time) mu is seen as it was: that Student's t about mu falls
// within the span.
func (s Seen) likely(mu float64) float64 {
	a, b := s.off(mu)
	t := tails()
	var p float64
	switch {
	case s.atOnce():
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
	of := func(mu float64) float64 {
		a, b := s.off(mu)
		oneSided := func(u float64) float64 { // of the share above u
			return math.Sqrt(-2 * math.Log(max(tails().Survival(u), 1e-300)))
		}
		switch {
		case math.IsInf(b, 1):
			return oneSided(a)
		case s.atOnce():
			return oneSided(-b)
		}
		r, _ := square(-(a+b)/2, math.Hypot(1, (b-a)/math.Sqrt(12)))
		return r
	}
	return of(mu), fd.Derivative(of, mu, &fd.Settings{Formula: fd.Central, Step: 1e-4})
}

// likely is ln of the likelihood, but for a constant, of a weighing where lost is expected.
func (w Weight) likely(lost float64) float64 { return tails().LogProb((w.Lost - lost) / w.Off) }
