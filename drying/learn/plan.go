package learn

import (
	"math"

	"limeday/drying/parallel"

	"gonum.org/v1/gonum/mat"
)

// Pick is a board worth making.
type Pick struct {
	Board int     // its place among those offered
	Width float64 // latest over earliest time of gone by of the target, with this board and those picked before
}

// Picks chooses boards worth making of those offered, best first, by how much each narrows the times of a target beside
// the ones before, to first order about the prior's mean: what a board tells is worked out from the derivatives of its
// times, its own unknowns being summed over. before is the width of gone by without any.
func Picks(prior Timing, offered []Board, target Board, most int) (picks []Pick, before float64, err error) {
	told := make([]*mat.SymDense, len(offered)) // what each tells, as a precision of the prior's standard normal numbers
	var goal, own *mat.Dense
	err = parallel.Each(len(offered)+1, func(i int) error {
		b := target
		if i < len(offered) {
			b = offered[i]
		}
		lin, err := derivatives(prior, b)
		if err != nil {
			return err
		}
		if i < len(offered) {
			told[i] = lin.told(seenWell())
		} else {
			goal, own = lin.split()
		}
		return nil
	})
	if err != nil {
		return nil, 0, err
	}
	n := int(unknowns)
	precision := mat.NewSymDense(n, nil)
	for i := range n {
		precision.SetSym(i, i, 1)
	}
	before, score := spreadOf(goal, own, precision)
	left := map[int]bool{}
	for i := range offered {
		left[i] = true
	}
	for range most {
		best, width, lowest := -1, 0.0, score
		for i := range offered {
			if !left[i] {
				continue
			}
			var p mat.SymDense
			p.AddSym(precision, told[i])
			if w, s := spreadOf(goal, own, &p); s < lowest-1e-9 {
				best, width, lowest = i, w, s
			}
		}
		if best < 0 {
			break
		}
		delete(left, best)
		precision.AddSym(precision, told[best])
		score = lowest
		picks = append(picks, Pick{best, width})
	}
	return picks, before, nil
}

// seenWell is the error of a state seen at a usual look, in ln of its time: that of the eye, and of not looking all the
// while.
func seenWell() float64 { return math.Hypot(sdSeen, unlooked/math.Sqrt(12)) }

// derivatives are those of ln of the three times of a board, and of what it weighs at its weighings.
func derivatives(prior Timing, b Board) (linear, error) {
	b.Seen = []Seen{{State: Damp, By: 1}, {State: Gone, By: 1}, {State: Dry, By: 1}}
	bed, err := NewBed(b, longestBed)
	if err != nil {
		return linear{}, err
	}
	s := bed.subject()
	x := make([]float64, int(unknowns)+Lays)
	at, err := s.Expect(prior.Theta(x), x[unknowns:])
	if err != nil {
		return linear{}, err
	}
	for i := range s.Seen { // seen just when it is expected
		s.Seen[i].By = math.Exp(at[i])
		s.Seen[i].After = s.Seen[i].By * (1 - 1e-3)
	}
	lin, err := s.linear(prior, x)
	if err != nil {
		return linear{}, err
	}
	// linear's rows are in errors of the eye; here they are wanted in ln of the time.
	for i, seen := range s.Seen {
		_, slope := seen.residual(at[i])
		row := lin.jac.RawRowView(i)
		for j := range row {
			row[j] /= slope
		}
	}
	return lin, nil
}

// split is the derivatives by the plasterer's unknowns and by the board's own.
func (l linear) split() (theta, own *mat.Dense) {
	rows, cols := l.jac.Dims()
	return mat.DenseCopyOf(l.jac.Slice(0, rows, 0, int(unknowns))), mat.DenseCopyOf(l.jac.Slice(0, rows, int(unknowns), cols))
}

// told is what times seen with an error tell of the plasterer's unknowns, a precision: J' (e2 + K K')^-1 J, K being the
// derivatives by the board's own.
func (l linear) told(off float64) *mat.SymDense {
	theta, own := l.split()
	rows, _ := theta.Dims()
	noise := mat.NewSymDense(rows, nil)
	noise.SymOuterK(1, own)
	for i := range rows {
		noise.SetSym(i, i, noise.At(i, i)+off*off)
	}
	var chol mat.Cholesky
	if !chol.Factorize(noise) {
		panic("learn: a covariance that is none")
	}
	var w, both mat.Dense
	if err := chol.SolveTo(&w, theta); err != nil {
		panic("learn: " + err.Error()) // it is at least off squared
	}
	both.Mul(theta.T(), &w)
	out := mat.NewSymDense(int(unknowns), nil)
	for i := range int(unknowns) {
		for j := i; j < int(unknowns); j++ {
			out.SetSym(i, j, (both.At(i, j)+both.At(j, i))/2)
		}
	}
	return out
}

// spreadOf is how wide gone by is (latest over earliest), and a score of all three times: the sum of the ln of their
// variances.
func spreadOf(goal, own *mat.Dense, precision *mat.SymDense) (width, score float64) {
	var chol mat.Cholesky
	if !chol.Factorize(precision) {
		panic("learn: a precision that is none")
	}
	rows, _ := goal.Dims()
	for i := range rows {
		var v mat.VecDense
		g := goal.RowView(i)
		if err := chol.SolveVecTo(&v, g); err != nil {
			panic("learn: " + err.Error()) // it is at least 1
		}
		variance := mat.Dot(g, &v) + mat.Dot(own.RowView(i), own.RowView(i))
		score += math.Log(max(variance, 1e-6))
		if i == 1 {
			width = math.Exp(2 * ninetieth * math.Sqrt(variance))
		}
	}
	return width, score
}

// ninetieth is the 90 % point of the standard normal distribution.
const ninetieth = 1.2815515655446004
