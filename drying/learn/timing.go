package learn

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/stat/samplemv"
)

// Timing is what is known of one plasterer with one finish: the mean and covariance of the Unknowns, each in standard
// deviations of what is known without it.
type Timing struct {
	Finish string // empty: of any, as nothing has been learned
	Boards int    // it was learned from
	Mean   []float64
	Cov    *mat.SymDense
}

// Untaught is the timing before anything is seen.
func Untaught() Timing {
	t := Timing{Mean: make([]float64, unknowns), Cov: mat.NewSymDense(int(unknowns), nil)}
	for i := range int(unknowns) {
		t.Cov.SetSym(i, i, 1)
	}
	return t
}

// TimingError says what makes a timing unusable.
type TimingError struct{ Reason string }

func (e *TimingError) Error() string { return "the timing cannot be used: " + e.Reason }

// NewTiming makes a timing of its numbers, as they are kept; the covariance is given row by row. The error is a
// *TimingError.
func NewTiming(finish string, boards int, mean []float64, cov [][]float64) (Timing, error) {
	bad := func(format string, a ...any) (Timing, error) {
		return Timing{}, &TimingError{Reason: fmt.Sprintf(format, a...)}
	}
	n := int(unknowns)
	if len(mean) != n || len(cov) != n {
		return bad("it needs %d unknowns; it has %d means and %d rows of covariance", n, len(mean), len(cov))
	}
	for i, row := range cov {
		if len(row) != n {
			return bad("row %d of its covariance has %d numbers, expected %d", i+1, len(row), n)
		}
	}
	t := Timing{Finish: finish, Boards: boards, Mean: mean, Cov: mat.NewSymDense(n, nil)}
	for i, row := range cov {
		for j, v := range row {
			if math.Abs(v-cov[j][i]) > 1e-9 || !(math.Abs(v) <= 4) {
				return bad("its covariance at %d, %d is %g and %g", i+1, j+1, v, cov[j][i])
			}
			t.Cov.SetSym(i, j, v)
		}
		if !(math.Abs(mean[i]) <= 2*steepest) {
			return bad("its mean of the %s is %g", Unknown(i), mean[i])
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(t.Cov) {
		return bad("its covariance is not one of real numbers")
	}
	return t, nil
}

// Rows is the covariance row by row.
func (t Timing) Rows() [][]float64 {
	rows := make([][]float64, unknowns)
	for i := range rows {
		rows[i] = mat.Row(nil, i, t.Cov)
	}
	return rows
}

// Known is how much of each unknown is known, 0 (nothing was learned) to 1, in the order of Unknowns: what is gone of its
// variance.
func (t Timing) Known() []float64 {
	k := make([]float64, unknowns)
	for i := range k {
		k[i] = 1 - t.Cov.At(i, i)
	}
	return k
}

// strange is how far a mean may lie off before it is strange: in standard deviations of where the means of plasterers of
// the prior come to lie, so that each unknown does for one plasterer in eighty.
const strange = 2.5

// little is a share of a variance that says nothing yet: an ensemble of few members that count moves by as much by chance.
const little = 0.05

// Strange lists the unknowns that came out where hardly a plasterer's would: the model, or what it was told of the boards, is
// then more likely wrong than the hand unusual, and the bands are too narrow. Of plasterers as the prior has them, the mean
// that boards leave of an unknown is spread by as much of its variance as they take away (Known).
func (t Timing) Strange() []Unknown {
	var out []Unknown
	for i, k := range t.Known() {
		if k > little && math.Abs(t.Mean[i]) > strange*math.Sqrt(k) {
			out = append(out, Unknown(i))
		}
	}
	return out
}

// Draws is a table of standard normal numbers, one row for each of n members, that covers each column evenly (Latin
// hypercube: McKay, Beckman & Conover 1979, Technometrics 21, 239-245).
func Draws(n, columns int, seed uint64) *mat.Dense {
	u := mat.NewDense(n, columns, nil)
	src := rand.NewPCG(seed, 0x6c696d65)
	samplemv.LatinHypercube{Q: distmv.NewUnitUniform(columns, src), Src: src}.Sample(u)
	u.Apply(func(_, _ int, p float64) float64 { return distuv.UnitNormal.Quantile(min(max(p, 1e-9), 1-1e-9)) }, u)
	return u
}

// Theta turns standard normal numbers into the Unknowns of the timing.
func (t Timing) Theta(z []float64) []float64 {
	v := mat.NewVecDense(int(unknowns), nil)
	v.MulVec(lower(t.Cov), mat.NewVecDense(int(unknowns), z[:unknowns]))
	out := make([]float64, unknowns)
	for i := range out {
		out[i] = t.Mean[i] + v.AtVec(i)
	}
	return out
}

// lower is the Cholesky factor L of a covariance L L'.
func lower(cov mat.Symmetric) *mat.TriDense {
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		panic("learn: a covariance that is none")
	}
	var l mat.TriDense
	chol.LTo(&l)
	return &l
}

// Quantile is the point below which the share p of the values lies; values may be +Inf, and weights are nil where all
// count alike. Both are left as they are.
func Quantile(p float64, values, weights []float64) float64 {
	x := append([]float64(nil), values...)
	w := append([]float64(nil), weights...)
	if weights == nil {
		w = nil
	}
	stat.SortWeighted(x, w)
	return stat.Quantile(p, stat.Empirical, x, w)
}
