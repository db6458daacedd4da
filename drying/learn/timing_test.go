package learn

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// TestQuantile: a point has at most the share below it and at least the share up to it, by weight, whatever is +Inf.
func TestQuantile(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(r, "values")
		x, w := make([]float64, n), make([]float64, n)
		sum := 0.0
		for i := range x {
			x[i], w[i] = float64(rapid.IntRange(0, 9).Draw(r, "value")), rapid.Float64Range(0.01, 1).Draw(r, "weight")
			if x[i] == 9 {
				x[i] = math.Inf(1)
			}
			sum += w[i]
		}
		if rapid.Bool().Draw(r, "alike") {
			w, sum = nil, float64(n)
		}
		share := func(in func(float64) bool) (s float64) {
			for i := range x {
				if in(x[i]) {
					if w == nil {
						s++
					} else {
						s += w[i]
					}
				}
			}
			return s / sum
		}
		p := rapid.Float64Range(0.02, 0.98).Draw(r, "p")
		was := slices.Clone(x)
		q := Quantile(p, x, w)
		if below, upto := share(func(v float64) bool { return v < q }), share(func(v float64) bool { return v <= q }); below > p+1e-9 || upto < p-1e-9 {
			r.Errorf("%g point of %v, %v: %g, %g below, %g up to it", p, x, w, q, below, upto)
		}
		if !slices.Equal(x, was) {
			r.Errorf("values were moved: %v, %v", was, x)
		}
	})
	if q := Quantile(0.9, []float64{math.Inf(1), 3, 1, 2}, []float64{0.01, 0.2, 0.5, 0.29}); q != 3 {
		t.Errorf("got %g, want 3: what never comes has hardly any weight", q)
	}
}

// TestDraws: each column has one number in each of n equal shares of the normal distribution, columns go their own ways, and
// the seed is all that counts.
func TestDraws(t *testing.T) {
	const n, columns = 200, 20
	a, b, c := Draws(n, columns, 3), Draws(n, columns, 3), Draws(n, columns, 4)
	if !mat.Equal(a, b) || mat.Equal(a, c) {
		t.Error("the draws are not those of the seed")
	}
	for j := range columns {
		x := mat.Col(nil, j, a)
		share := make([]int, n)
		for _, v := range x {
			share[int(n*distuv.UnitNormal.CDF(v))]++
		}
		for i, k := range share {
			if k != 1 {
				t.Fatalf("column %d: share %d of %d has %d", j, i, n, k)
			}
		}
		for k := range j {
			if r := stat.Correlation(x, mat.Col(nil, k, a), nil); math.Abs(r) > 0.3 {
				t.Errorf("columns %d and %d: correlation %.2f", k, j, r)
			}
		}
	}
}

// taught is a timing with a mean and covariance of its own.
func taught() Timing {
	t := Timing{Finish: "polished-lime", Boards: 3, Mean: []float64{0.5, -1, 0.2, 1.5, -0.3, 0}, Cov: mat.NewSymDense(int(unknowns), nil)}
	for i := range int(unknowns) {
		t.Cov.SetSym(i, i, 0.3+0.1*float64(i))
	}
	t.Cov.SetSym(0, 3, -0.25)
	t.Cov.SetSym(1, 4, 0.3)
	return t
}

// TestTheta: the draws of a timing have its means and its covariance.
func TestTheta(t *testing.T) {
	want := taught()
	const n = 4000
	x := mat.NewDense(n, int(unknowns), nil)
	d := Draws(n, int(unknowns), 1)
	for i := range n {
		x.SetRow(i, want.Theta(d.RawRowView(i)))
	}
	var cov mat.SymDense
	stat.CovarianceMatrix(&cov, x, nil)
	for i := range int(unknowns) {
		if m := stat.Mean(mat.Col(nil, i, x), nil); math.Abs(m-want.Mean[i]) > 0.01 {
			t.Errorf("%s: mean %.3f, want %.3f", Unknown(i), m, want.Mean[i])
		}
		for j := range i + 1 {
			if v := cov.At(i, j); math.Abs(v-want.Cov.At(i, j)) > 0.03 {
				t.Errorf("%s, %s: covariance %.3f, want %.3f", Unknown(i), Unknown(j), v, want.Cov.At(i, j))
			}
		}
	}
	if z := want.Theta(make([]float64, unknowns)); !slices.Equal(z, want.Mean) {
		t.Errorf("the middle is %v, want the mean", z)
	}
}

// TestNewTiming: a timing that was kept is the one it was; numbers that are none of a timing are refused in words.
func TestNewTiming(t *testing.T) {
	want := taught()
	got, err := NewTiming(want.Finish, want.Boards, want.Mean, want.Rows())
	if err != nil {
		t.Fatal(err)
	}
	if got.Finish != want.Finish || got.Boards != want.Boards || !slices.Equal(got.Mean, want.Mean) || !mat.Equal(got.Cov, want.Cov) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	for what, c := range map[string]struct {
		says string
		do   func(mean []float64, rows [][]float64) ([]float64, [][]float64)
	}{
		"too few means":    {"6 unknowns", func(m []float64, r [][]float64) ([]float64, [][]float64) { return m[:5], r }},
		"too few rows":     {"5 rows", func(m []float64, r [][]float64) ([]float64, [][]float64) { return m, r[:5] }},
		"none":             {"0 means", func(m []float64, r [][]float64) ([]float64, [][]float64) { return nil, nil }},
		"a short last row": {"row 6", func(m []float64, r [][]float64) ([]float64, [][]float64) { r[5] = r[5][:2]; return m, r }},
		"a long row":       {"row 2", func(m []float64, r [][]float64) ([]float64, [][]float64) { r[1] = append(r[1], 0); return m, r }},
		"lopsided":         {"covariance at 1, 2", func(m []float64, r [][]float64) ([]float64, [][]float64) { r[1][0] = 0.1; return m, r }},
		"huge":             {"covariance at 3, 3", func(m []float64, r [][]float64) ([]float64, [][]float64) { r[2][2] = 5; return m, r }},
		"not a number":     {"covariance at 3, 3", func(m []float64, r [][]float64) ([]float64, [][]float64) { r[2][2] = math.NaN(); return m, r }},
		"no variance": {"real numbers", func(m []float64, r [][]float64) ([]float64, [][]float64) {
			r[3][3], r[0][3], r[3][0] = 0, 0, 0
			return m, r
		}},
		"too correlated": {"real numbers", func(m []float64, r [][]float64) ([]float64, [][]float64) { r[0][1], r[1][0] = 0.9, 0.9; return m, r }},
		"far off":        {"mean of the suction clock", func(m []float64, r [][]float64) ([]float64, [][]float64) { m[1] = 9; return m, r }},
		"a mean of NaN":  {"mean of the drying clock", func(m []float64, r [][]float64) ([]float64, [][]float64) { m[0] = math.NaN(); return m, r }},
	} {
		m, rows := c.do(slices.Clone(want.Mean), want.Rows())
		_, err := NewTiming("", 1, m, rows)
		var bad *TimingError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want a *TimingError saying %q", what, err, c.says)
		}
	}
}

// TestStrange: an unknown is strange that came out where hardly a plasterer's would, measured against how much was learned.
func TestStrange(t *testing.T) {
	x := Untaught()
	if s := x.Strange(); s != nil {
		t.Errorf("of what nothing is known, %v is strange", s)
	}
	x.Cov.SetSym(0, 0, 0.75) // means spread by a half
	for mean, want := range map[float64]bool{1.2: false, -1.2: false, 1.3: true, -1.3: true} {
		x.Mean[0] = mean
		if got := slices.Equal(x.Strange(), []Unknown{DryingClock}); got != want {
			t.Errorf("mean %g: strange %v", mean, got)
		}
	}
}

// TestAfter: a posterior of what a timing calls standard normal numbers is that of the timing's own: of a linear gauge the
// answer is known in closed form.
func TestAfter(t *testing.T) {
	prior := taught()
	n := int(unknowns)
	gauge := Subject{Own: 0, Absorbent: true, Weights: []Weight{{Lost: 1, Off: 0.02}},
		Expect: func(theta, _ []float64) ([]float64, error) { return []float64{0.05 * (theta[0] + 2*theta[3])}, nil }}
	p, err := Condition(prior, []Subject{gauge}, Settings{Members: 10})
	if err != nil {
		t.Fatal(err)
	}
	got := prior.after(p, "polished-lime", 1)
	// Kalman's update, with the variance that Student's t has about what it shows in the end.
	h := make([]float64, n)
	h[0], h[3] = 0.05, 0.1
	var ph mat.VecDense
	hv := mat.NewVecDense(n, h)
	ph.MulVec(prior.Cov, hv)
	miss := 1 - mat.Dot(hv, mat.NewVecDense(n, got.Mean))
	r, slope := square(-miss, 0.02)
	off := 1 / (slope * slope)
	want := mat.NewSymDense(n, nil)
	want.SymRankOne(prior.Cov, -1/(off+mat.Dot(hv, &ph)), &ph)
	for i := range n {
		for j := range n {
			if math.Abs(got.Cov.At(i, j)-want.At(i, j)) > 0.01 {
				t.Errorf("covariance %d, %d: %.4f, want %.4f", i, j, got.Cov.At(i, j), want.At(i, j))
			}
		}
		// At the most probable place the pull of what was seen is that of the prior: cov^-1 (mean - prior) = -r slope h.
		if w := prior.Mean[i] - r*slope*ph.AtVec(i); math.Abs(got.Mean[i]-w) > 0.02 {
			t.Errorf("mean %d: %.3f, want %.3f", i, got.Mean[i], w)
		}
	}
	if got.Boards != prior.Boards+1 {
		t.Errorf("learned from %d boards", got.Boards)
	}
}

// TestWeighedOrSought: weighing an ensemble and seeking the most probable agree where both can be had.
func TestWeighedOrSought(t *testing.T) {
	gauge := func(off float64) []Subject {
		return []Subject{{Own: 1, Absorbent: true, Weights: []Weight{{Lost: 1, Off: off}, {Lost: -0.5, Off: off}},
			Expect: func(theta, own []float64) ([]float64, error) {
				return []float64{theta[0] + 0.3*own[0], theta[1] - theta[0]}, nil
			}}}
	}
	many, err := Condition(Untaught(), gauge(0.8), Settings{Members: 5000})
	if err != nil {
		t.Fatal(err)
	}
	few, err := Condition(Untaught(), gauge(0.8), Settings{Members: 40})
	if err != nil {
		t.Fatal(err)
	}
	if many.Method != Weighed || few.Method != Sought {
		t.Fatalf("found as %s and %s", many.Method, few.Method)
	}
	for i := range 2 {
		if a, b := many.Mean[i], few.Mean[i]; math.Abs(a-b) > 0.12 {
			t.Errorf("unknown %d: mean %.2f weighed, %.2f sought", i, a, b)
		}
		if a, b := many.Cov.At(i, i), few.Cov.At(i, i); math.Abs(a-b) > 0.2*a {
			t.Errorf("unknown %d: variance %.3f weighed, %.3f sought", i, a, b)
		}
	}
	sum := 0.0
	for _, w := range many.Weights {
		sum += w
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("weights sum to %g", sum)
	}
}

// TestNothingSeen: nothing seen leaves the draws and the prior as they are.
func TestNothingSeen(t *testing.T) {
	p, err := Condition(taught(), []Subject{{Own: 3}}, Settings{Members: 50, Seed: 8})
	if err != nil {
		t.Fatal(err)
	}
	if p.Method != Drawn || p.Weights != nil || !mat.Equal(p.Members, Draws(50, int(unknowns)+3, 8)) {
		t.Errorf("%s, weights %v", p.Method, p.Weights)
	}
	got := taught().after(p, "polished-lime", 0)
	if !slices.Equal(got.Mean, taught().Mean) || !mat.EqualApprox(got.Cov, taught().Cov, 1e-12) {
		t.Errorf("%+v", got)
	}
}

// TestStuck: where no solution is found, the error is told, wherever it happens.
func TestStuck(t *testing.T) {
	stuck := errors.New("no solution")
	for _, far := range []float64{-9, 0.5, 1.5} { // always; near the start; further on
		s := Subject{Own: 1, Absorbent: true, Weights: []Weight{{Lost: 6, Off: 0.05}},
			Expect: func(theta, own []float64) ([]float64, error) {
				if theta[0] > far {
					return nil, stuck
				}
				return []float64{theta[0] + own[0]}, nil
			}}
		if _, err := Condition(Untaught(), []Subject{s}, Settings{Members: 20}); !errors.Is(err, stuck) {
			t.Errorf("from %g on: %v", far, err)
		}
	}
}

// TestNotAbsorbent: on a background that drinks nothing, water release stays as it was and what it would do does not count.
func TestNotAbsorbent(t *testing.T) {
	s := Subject{Own: 1, Weights: []Weight{{Lost: 1, Off: 0.05}},
		Expect: func(theta, own []float64) ([]float64, error) {
			return []float64{theta[0] + theta[WaterRelease] + own[0]}, nil
		}}
	p, err := Condition(Untaught(), []Subject{s}, Settings{Members: 40})
	if err != nil {
		t.Fatal(err)
	}
	if m, v := p.Mean[WaterRelease], p.Cov.At(int(WaterRelease), int(WaterRelease)); math.Abs(m) > 1e-3 || math.Abs(v-1) > 1e-9 {
		t.Errorf("water release: mean %g, variance %g", m, v)
	}
	if m := p.Mean[0]; math.Abs(m-0.5) > 0.02 {
		t.Errorf("drying clock: %.3f, want a half: the other half is the board's own", m)
	}
}

// TestSlow: the coat's own clock has the middle 1 and Student's long tails.
func TestSlow(t *testing.T) {
	if s := (Lay{}).Slow(); math.Abs(s-1) > 1e-12 {
		t.Errorf("middle %g", s)
	}
	r := rand.New(rand.NewPCG(1, 2))
	sum, n := 0.0, 200000
	for range n {
		x := math.Log(Lay{Clock: r.NormFloat64()}.Slow())
		sum += x * x
	}
	if sd, want := math.Sqrt(sum/float64(n)), sdCoat*math.Sqrt2; math.Abs(sd-want) > 0.03*want {
		t.Errorf("sd %.4f, want %.4f: of t of 4 degrees", sd, want) // variance 4/(4-2)
	}
	if a, b := math.Log(Lay{Clock: 2.5}.Slow()), 2.5*sdCoat; !(a > 1.4*b) {
		t.Errorf("at 2.5: %.3f, a normal one %.3f: no long tail", a, b)
	}
}
