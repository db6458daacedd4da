package learn

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Subject is something watched: a board, or the coats of a day. Its unknowns are the plasterer's and its own.
type Subject struct {
	Own     int // how many standard normal unknowns are its own
	Seen    []Seen
	Weights []Weight
	// Expect is what would be seen under the plasterer's unknowns theta and its own z: ln of the time, s, of each state
	// seen, then the water lost at each weighing, kg/m2. It may be called from several goroutines.
	Expect func(theta, z []float64) ([]float64, error)
	// Absorbent tells that how readily the coat gives its water counts in what is seen: a background drinks it, or it is
	// weighed.
	Absorbent bool
}

// logLikelihood is that of all that was seen where expect is expected.
func (s *Subject) logLikelihood(expect []float64) float64 {
	sum := 0.0
	for i, x := range s.Seen {
		sum += x.likely(expect[i])
	}
	for i, w := range s.Weights {
		sum += w.likely(expect[len(s.Seen)+i])
	}
	return sum
}

// residuals are such that half the sum of their squares is minus logLikelihood but for a constant, with their
// derivatives by what is expected: Gauss and Newton's method wants squares. A span counts as its middle, with its width in
// the error.
func (s *Subject) residuals(expect []float64) (r, slope []float64) {
	for i, x := range s.Seen {
		v, d := x.residual(expect[i])
		r, slope = append(r, v), append(slope, d)
	}
	for i, w := range s.Weights {
		v, d := square(expect[len(s.Seen)+i]-w.Lost, w.Off)
		r, slope = append(r, v), append(slope, d)
	}
	return r, slope
}

// under is what would be seen at z, the standard normal numbers of the prior, and the subject's own. Water release counts
// only where it can be told: elsewhere what little it does to a time would be drowned by all that the model leaves out.
func (s *Subject) under(prior Timing, z, own []float64) ([]float64, error) {
	if !s.Absorbent {
		z = append([]float64(nil), z...)
		z[WaterRelease] = 0
	}
	return s.Expect(prior.Theta(z), own)
}

// linear is residuals at a place with their derivatives.
type linear struct {
	r   []float64
	jac *mat.Dense
}

// curvature is 1 + J'J: the prior's and that of the squares (Gauss and Newton).
func (l linear) curvature(h *mat.SymDense) {
	h.SymOuterK(1, l.jac.T())
	for i := range h.SymmetricDim() {
		h.SetSym(i, i, h.At(i, i)+1)
	}
}

// fdStep is the step of finite differences, in standard deviations: on most unknowns some 5 % of the factor, well above the
// solver's own noise.
const fdStep = 0.25

// linear works the residuals out at x, the standard normal numbers of the prior and then its own.
func (s *Subject) linear(prior Timing, x []float64) (linear, error) {
	expect := func(x []float64) ([]float64, error) { return s.under(prior, x[:unknowns], x[unknowns:]) }
	base, err := expect(x)
	if err != nil {
		return linear{}, err
	}
	r, slope := s.residuals(base)
	jac := mat.NewDense(len(base), len(x), nil)
	var mu sync.Mutex
	fd.Jacobian(jac, func(y, x []float64) {
		e, eerr := expect(x)
		if eerr != nil {
			mu.Lock()
			err = eerr
			mu.Unlock()
			return
		}
		copy(y, e)
	}, x, &fd.JacobianSettings{Formula: fd.Forward, OriginValue: base, Step: fdStep, Concurrent: true})
	if err != nil {
		return linear{}, err
	}
	for i := range base {
		floats.Scale(slope[i], jac.RawRowView(i))
	}
	return linear{r, jac}, nil
}

// square is the residual of Student's t, x scales away, and its derivative by x.
func square(x, scale float64) (r, slope float64) {
	t := tails()
	u := x / scale
	if math.Abs(u) < 1e-6 {
		return u, math.Sqrt((t.Nu+1)/t.Nu) / scale
	}
	r = math.Copysign(math.Sqrt(2*(t.LogProb(0)-t.LogProb(u))), u)
	return r, (t.Nu + 1) * u / (t.Nu + u*u) / r / scale
}
