package learn

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/integrate/quad"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*max(1, math.Abs(b)) }

// TestResidualsAreTheLikelihood: half the square of a residual is minus the likelihood but for a constant, wherever what was
// seen is expected: exactly for weighings and for what is seen from one side only. A span counts as its middle
// with a wider scale s: the tails of t of 4 degrees go by s^4, which for a span of a tenth moves them by ln 1.27.
func TestResidualsAreTheLikelihood(t *testing.T) {
	inf := math.Inf(1)
	mus := func(seen Seen) (out []float64) {
		lo, hi := seen.span()
		if math.IsInf(hi, 1) {
			hi = lo
		}
		for d := -1.5; d <= 1.5; d += 0.1 {
			out = append(out, (lo+hi)/2+d)
		}
		return out
	}
	for _, c := range []struct {
		what string
		seen Seen
		off  float64 // the constant may move by so much
	}{
		{"not yet", Seen{State: Dry, After: 3600, By: inf}, 1e-9},
		{"at once", Seen{State: Damp, By: 50}, 1e-9},
		{"a span of 1 %", Seen{State: Gone, After: 3600, By: 3636}, 0.005},
		{"a span of 10 %, no look told", Seen{State: Gone, By: 3600}, 0.3},
		{"not yet, of a day", Seen{State: Damp, After: 600, By: inf, Course: 3600}, 1e-9},
		{"a span of 1 %, of a day, late in the course", Seen{State: Gone, After: 3600, By: 3636, Course: 600}, 0.1},
	} {
		least, most := inf, -inf
		for _, mu := range mus(c.seen) {
			r, _ := c.seen.residual(mu)
			sum := r*r/2 + c.seen.likely(mu)
			least, most = min(least, sum), max(most, sum)
		}
		if most-least > c.off {
			t.Errorf("%s: the constant moves by %.3g", c.what, most-least)
		}
	}
	w := Weight{At: 600, Lost: 0.05, Off: 0.003}
	s := Subject{Weights: []Weight{w}}
	for x := 0.0; x < 0.1; x += 0.0007 {
		r, _ := s.residuals([]float64{x})
		if want := w.likely(w.Lost) - w.likely(x); !near(r[0]*r[0]/2, want, 1e-9) {
			t.Errorf("weighed 0.05, expected %g: half the square is %g, less likely by %g", x, r[0]*r[0]/2, want)
		}
	}
}

// TestResidualSlopes: the derivatives are those of finite differences, and a residual falls or rises without a break.
func TestResidualSlopes(t *testing.T) {
	s := Subject{Seen: []Seen{
		{Damp, 0, 40, 0}, {Damp, 0, 700, 0}, {Gone, 3000, 3300, 0}, {Gone, 3000, 9000, 0}, {Dry, 4000, math.Inf(1), 0},
		{Damp, 0, 700, 3000}, {Gone, 3000, 3300, 3000}, {Dry, 4000, math.Inf(1), 5000},
	}, Weights: []Weight{{At: 60, Lost: 0.05, Off: 0.004}}}
	for d := -2.0; d < 2; d += 0.05 {
		e := []float64{math.Log(40) + d, math.Log(680) + d, math.Log(3150) + d, math.Log(5200) + d, math.Log(4000) + d, math.Log(680) + d, math.Log(3150) + d, math.Log(4000) + d, 0.05 + d/50}
		_, slope := s.residuals(e)
		for i := range e {
			got := fd.Derivative(func(x float64) float64 {
				y := append([]float64(nil), e...)
				y[i] = x
				r, _ := s.residuals(y)
				return r[i]
			}, e[i], &fd.Settings{Formula: fd.Central, Step: 1e-5 * max(1e-2, math.Abs(e[i]))})
			if math.Abs(got-slope[i]) > 1e-4*max(1, math.Abs(slope[i])) {
				t.Errorf("at %+.2f, residual %d: slope %g, by differences %g", d, i, slope[i], got)
			}
		}
	}
}

// TestSpanIsAShare: the likelihoods of spans that leave no time out sum to one, wherever the state is expected, and each
// is the integral of Student's t over it.
func TestSpanIsAShare(t *testing.T) {
	ends := []float64{0, 300, 600, 660, 1800, 7200, math.Inf(1)}
	for mu := math.Log(30.0); mu < math.Log(80000); mu += 0.3 {
		sum := 0.0
		for i := range ends[1:] {
			s := Seen{State: Damp, After: ends[i], By: ends[i+1]}
			if s.After == 0 {
				s.After = 1 // told to have been looked at; ln(1) is as good as never
			}
			p := math.Exp(s.likely(mu))
			sum += p
			if lo, hi := s.span(); !math.IsInf(hi, 1) && lo > 0 {
				want := quad.Fixed(func(x float64) float64 { return tails().Prob((x-mu)/sdSeen) / sdSeen }, lo, hi, 400, nil, 0)
				if math.Abs(p-want) > 1e-6 {
					t.Errorf("ln time %.2f, span %g to %g s: %g, integral %g", mu, s.After, s.By, p, want)
				}
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("ln time %.2f: all spans together %g", mu, sum)
		}
	}
}

// TestUnlooked: where no look before is told, a state came up to a tenth of its time, or a minute, before it was noted.
func TestUnlooked(t *testing.T) {
	for _, c := range []struct{ by, after float64 }{{3600, 3240}, {300, 240}, {600, 540}, {86400, 77760}} {
		lo, hi := Seen{State: Gone, By: c.by}.span()
		if !near(math.Exp(lo), c.after, 1e-9) || !near(math.Exp(hi), c.by, 1e-9) {
			t.Errorf("noted at %g s: came from %g to %g", c.by, math.Exp(lo), math.Exp(hi))
		}
	}
	if lo, _ := (Seen{State: Gone, After: 3000, By: 3600}).span(); !near(math.Exp(lo), 3000, 1e-9) {
		t.Error("a look that is told does not count")
	}
}

// TestWide: what is far off is unlikely, never impossible: one such state cannot overrule all others.
func TestWide(t *testing.T) {
	s := Seen{State: Gone, After: 3500, By: 3600}
	twice, ten := s.likely(math.Log(3600*2)), s.likely(math.Log(3600*10))
	if !(ten < twice && ten > twice-10) {
		t.Errorf("twice as late as expected: %.1f, ten times: %.1f", twice, ten)
	}
}

// TestSpanOfDay: the likelihoods of spans that leave no time out sum to one of a day's coat too, and a state expected at once may well come
// within some tenths of the coat's course.
func TestSpanOfDay(t *testing.T) {
	const course = 3600.0
	ends := []float64{1, 300, 900, 3000, 7200, math.Inf(1)}
	for _, at := range []float64{1, 60, 600, 3600, 9000} {
		sum := math.Exp(Seen{State: Damp, By: ends[0], Course: course}.likely(math.Log(at)))
		for i := range ends[1:] {
			sum += math.Exp(Seen{State: Damp, After: max(ends[i], 1.0001), By: ends[i+1], Course: course}.likely(math.Log(at)))
		}
		if math.Abs(sum-1) > 1e-4 {
			t.Errorf("expected at %g s: all spans together %g", at, sum)
		}
	}
	for late, bounds := range map[float64][2]float64{900: {0.1, 0.3}, 3600: {0.005, 0.06}} {
		if p := math.Exp(Seen{State: Damp, After: late, By: math.Inf(1), Course: course}.likely(0)); p < bounds[0] || p > bounds[1] {
			t.Errorf("expected at once, not yet at %g s of %g: %g", late, course, p)
		}
	}
}

// TestAgree: a time agrees with what was seen: it stays where that was to be expected, lies within the looks, and is the later the later the look, the
// time, and its share are.
func TestAgree(t *testing.T) {
	inf := math.Inf(1)
	for _, s := range []Seen{{After: 600, By: inf}, {After: 600, By: 1500}, {By: 900}, {After: 30, By: inf}} {
		for _, s.Course = range []float64{0, 2400} {
			for at := 1.0; at < 1e4; at *= 1.3 {
				got := [3]float64{}
				for i, share := range []float64{0.05, 0.5, 0.95} {
					got[i] = s.Agree(at, share)
					if got[i] < s.After || got[i] > s.By {
						t.Errorf("%+v: %g s comes to %g", s, at, got[i])
					}
					if s.Course == 0 && s.After > 0 && at > 2*s.After && at < s.By && !near(got[i], at, 0.01) {
						t.Errorf("%+v: %g s agrees, and comes to %g", s, at, got[i])
					}
					if later := (Seen{After: s.After + 60, By: s.By + 60, Course: s.Course}); s.After > 0 && later.Agree(at, share) < got[i] {
						t.Errorf("%+v at %g s: a later look makes it sooner", s, at)
					}
				}
				if got[0] > got[1] || got[1] > got[2] {
					t.Errorf("%+v: %g s comes to %g", s, at, got)
				}
			}
		}
	}
}
