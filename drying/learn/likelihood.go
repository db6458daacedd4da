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
// the whole course of a coat, since a gram more water puts off every state by about as long: that of an early state is the eye's share of
// its time and, beside it, a share of what is left of the course. That of a late state is in the coat's own clock.
func (s Seen) slack(t float64) float64 {
	return math.Hypot(t, sdEarly/sdSeen*max(s.Course-t, 0)) - t
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

// Agree is the time of a state that the model has at t, s after laying, and that came as it was seen: when it was noted, or where looks before
// are told, after those. It is the middle of what then agrees, by the likelihood, and so t itself where t was to be expected; where it was not, it lies at the share
// late of what agrees.
func (s Seen) Agree(t, late float64) float64 {
	if s.After <= 0 || math.IsInf(t, 1) {
		return s.By
	}
	x := tails()
	t = max(t, 1)
	lo, hi := s.off(math.Log(t))
	p, q := x.Survival(lo), x.Survival(hi)
	late = 0.5 + (late-0.5)*(1-p)
	k := s.slack(t)
	came := (t+k)*math.Exp(-sdSeen*x.Quantile(max(p-late*(p-q), 1e-12))) - k
	return min(max(came, s.After), s.By)
}

// A coat of a day may be another than was told: thicker, on another bed, or another was meant. So many are (ESTIMATE); their times are
// spread by such a scale of the ln (ESTIMATE). What is seen of one then says little of the rest, and the times follow it all the same.
const (
	others  = 0.10
	sdOther = 1.0
)

// others is the share of coats that are another than was told: of a board it is not doubted.
func (s Seen) others() float64 {
	if s.Course > 0 {
		return others
	}
	return 0
}

// above is the chance of an error of more than u scales, whether the coat is as told or another.
func (s Seen) above(u float64) float64 {
	return (1-s.others())*tails().Survival(u) + s.others()*tails().Survival(u*sdSeen/sdOther)
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
	var p float64
	switch {
	case s.atOnce():
		p = s.above(-b)
	case math.IsInf(b, 1):
		p = s.above(a)
	case a > 0: // of two numbers close to 1 hardly anything is left
		p = s.above(a) - s.above(b)
	default:
		p = s.above(-b) - s.above(-a)
	}
	return math.Log(max(p, 1e-300))
}

// residual is the root of minus twice that but for a constant, with its derivative by mu. Of a span it leaves out that the slack spreads what is
// expected early over more time.
func (s Seen) residual(mu float64) (r, slope float64) {
	of := func(mu float64) float64 {
		a, b := s.off(mu)
		oneSided := func(u float64) float64 { return math.Sqrt(-2 * math.Log(max(s.above(u), 1e-300))) }
		switch {
		case s.atOnce():
			return oneSided(-b)
		case math.IsInf(b, 1):
			return oneSided(a)
		}
		x, wide := -(a+b)/2, (b-a)/math.Sqrt(12)
		scale, other := math.Hypot(1, wide), math.Hypot(sdOther/sdSeen, wide)
		r, _ := square(x, scale)
		if s.others() == 0 {
			return r
		}
		far, _ := square(x, other)
		as, another := 1-s.others(), s.others()*scale/other
		less := as*math.Expm1(-r*r/2) + another*math.Expm1(-far*far/2)
		return math.Copysign(math.Sqrt(-2*math.Log1p(less/(as+another))), x)
	}
	return of(mu), fd.Derivative(of, mu, &fd.Settings{Formula: fd.Central, Step: 1e-4})
}

// likely is ln of the likelihood, but for a constant, of a weighing where lost is expected.
func (w Weight) likely(lost float64) float64 { return tails().LogProb((w.Lost - lost) / w.Off) }
