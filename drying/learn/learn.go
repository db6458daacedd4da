package learn

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/stat"

	"limeday/drying/parallel"
	"limeday/drying/wall"
)

// Settings bound the work. A zero value of a field means its default.
type Settings struct {
	Members int    // of the ensemble; default 200
	Seed    uint64 // of its draws
	// Enough is the effective number of members below which the most probable values are sought; default 50.
	Enough float64
	// Tell, where not nil, is told how far the work is, 0 to 1; it may be called from several goroutines.
	Tell func(share float64)
}

func (s Settings) defaults() Settings {
	if s.Members == 0 {
		s.Members = 200
	}
	if s.Enough == 0 {
		s.Enough = enough
	}
	if s.Tell == nil {
		s.Tell = func(float64) {}
	}
	return s
}

// Method is how the posterior was found.
type Method string

// The methods.
const (
	Drawn   Method = "drawn"   // nothing was seen: the ensemble as it is
	Weighed Method = "weighed" // the ensemble, by how likely each member makes what was seen
	Sought  Method = "sought"  // the most probable values, and their covariance by Laplace's approximation
)

// enough is the effective number of members below which an ensemble is too thin to count.
const enough = 50

// Posterior is what is known of all unknowns once something was seen: as standard normal numbers before it was, those
// of the prior's Theta and then each subject's own.
type Posterior struct {
	Method    Method
	Effective float64    // members that count: 1 over the sum of the squares of the weights
	Members   *mat.Dense // one a row
	Weights   []float64  // of the members, sum 1; nil where all count alike
	Mean      []float64
	Cov       *mat.SymDense
	Told      []Told // of each state seen, subject by subject
}

// Told is a state that was seen against the draws: before it was seen the chances that it comes as soon as it did, and as late; and what draws
// expect of it, ln of s, with their weights after.
type Told struct {
	Sooner, Later     float64
	Expected, Weights []float64
}

// Condition finds what is known of a prior's unknowns and the subjects' own once the subjects were watched.
func Condition(prior Timing, subjects []Subject, set Settings) (Posterior, error) {
	f := fit{prior: prior, subjects: subjects, set: set.defaults()}
	n, size := f.set.Members, f.size()
	p := Posterior{Method: Drawn, Effective: float64(n), Members: Draws(n, size, f.set.Seed), Mean: make([]float64, size), Cov: mat.NewSymDense(size, nil)}
	for i := range size {
		p.Cov.SetSym(i, i, 1)
	}
	seen := 0
	for _, s := range subjects {
		seen += len(s.Seen) + len(s.Weights)
	}
	if seen == 0 {
		return p, nil
	}
	var err error
	if p.Weights, p.Effective, p.Told, err = f.weigh(p.Members); err != nil {
		return p, err
	}
	for i, w := range p.Weights {
		floats.AddScaled(p.Mean, w, p.Members.RawRowView(i))
	}
	if p.Effective >= f.set.Enough {
		p.Method = Weighed
		scaled := make([]float64, n)
		floats.ScaleTo(scaled, float64(n), p.Weights)
		stat.CovarianceMatrix(p.Cov, p.Members, scaled)
		return p, nil
	}
	p.Method, p.Weights = Sought, nil
	if p.Mean, err = f.seek(p.Mean, p.Cov); err != nil {
		return p, err
	}
	l := lower(p.Cov)
	var moved mat.Dense
	moved.Mul(p.Members, l.T())
	moved.Apply(func(_, j int, v float64) float64 { return v + p.Mean[j] }, &moved)
	p.Members = &moved
	return p, nil
}

// fit is the work on one question.
type fit struct {
	prior    Timing
	subjects []Subject
	set      Settings
}

func (f *fit) size() int {
	n := int(unknowns)
	for _, s := range f.subjects {
		n += s.Own
	}
	return n
}

// first is where subject k's own numbers begin.
func (f *fit) first(k int) int {
	n := int(unknowns)
	for _, s := range f.subjects[:k] {
		n += s.Own
	}
	return n
}

// expect is what subject k would show at z.
func (f *fit) expect(z []float64, k int) ([]float64, error) {
	i := f.first(k)
	return f.subjects[k].under(f.prior, z[:unknowns], z[i:i+f.subjects[k].Own])
}

// weigh gives every member its weight, or only the first quarter where it is plain from those that too few would count, and
// tells how many count of all.
func (f *fit) weigh(members *mat.Dense) (weights []float64, effective float64, told []Told, err error) {
	n, _ := members.Dims()
	expected := make([][]float64, n) // of the states
	likely := make([]float64, 0, n)
	for _, to := range []int{(n + 3) / 4, n} {
		from := len(likely)
		likely = likely[:to]
		if err := parallel.Each(to-from, func(i int) error {
			i += from
			for k := range f.subjects {
				e, err := f.expect(members.RawRowView(i), k)
				var stuck *wall.ConvergenceError
				if errors.As(err, &stuck) { // one draw of many: nothing seen speaks for it
					likely[i] = math.Inf(-1)
					break
				}
				if err != nil {
					return err
				}
				likely[i] += f.subjects[k].logLikelihood(e)
				expected[i] = append(expected[i], e[:len(f.subjects[k].Seen)]...)
			}
			f.set.Tell(0.6 * float64(i) / float64(n))
			return nil
		}); err != nil {
			return nil, 0, nil, err
		}
		norm := floats.LogSumExp(likely)
		if math.IsInf(norm, -1) {
			return nil, 0, nil, errors.New("learn: for none of the draws a solution was found")
		}
		weights = make([]float64, to)
		for i, l := range likely {
			weights[i] = math.Exp(l - norm)
		}
		effective = float64(n) / float64(to) / floats.Dot(weights, weights)
		if effective < f.set.Enough/2 {
			break
		}
	}
	return weights, effective, f.told(expected, weights), nil
}

// told is what was expected of the states by the members that have a weight.
func (f *fit) told(expected [][]float64, weights []float64) (out []Told) {
	j := 0
	for _, s := range f.subjects {
		for _, x := range s.Seen {
			t := Told{}
			for i, weight := range weights {
				if len(expected[i]) <= j { // no solution
					continue
				}
				sooner, later := x.tails(expected[i][j])
				t.Sooner, t.Later = t.Sooner+sooner, t.Later+later
				t.Expected, t.Weights = append(t.Expected, expected[i][j]), append(t.Weights, weight)
			}
			n := float64(len(t.Expected))
			t.Sooner, t.Later = t.Sooner/n, t.Later/n
			out = append(out, t)
			j++
		}
	}
	return out
}

// seek finds the most probable numbers, and their covariance, from the likeliest place on the way from the middle of the prior to z: in the middle
// itself a time may stand at nothing, whatever is tried.
func (f *fit) seek(z []float64, cov *mat.SymDense) ([]float64, error) {
	var failed error
	var at []float64 // where lin stands: value, slope and curvature are asked of one place
	var lin linear
	stand := func(z []float64) bool {
		if at == nil || !floats.Equal(at, z) {
			l, err := f.linear(z)
			if err != nil {
				failed = err
				return false
			}
			lin, at = l, append(at[:0], z...)
		}
		return true
	}
	rounds := 0.0
	problem := optimize.Problem{
		Func: func(z []float64) float64 {
			parts := make([]float64, len(f.subjects))
			err := parallel.Each(len(f.subjects), func(k int) error {
				e, err := f.expect(z, k)
				if err == nil {
					r, _ := f.subjects[k].residuals(e)
					parts[k] = floats.Dot(r, r)
				}
				return err
			})
			if err != nil {
				failed = err
				return math.Inf(1)
			}
			return 0.5 * (floats.Dot(z, z) + floats.Sum(parts))
		},
		Grad: func(grad, z []float64) {
			copy(grad, z)
			if stand(z) {
				var g mat.VecDense
				g.MulVec(lin.jac.T(), mat.NewVecDense(len(lin.r), lin.r))
				floats.Add(grad, g.RawVector().Data)
			}
			rounds++
			f.set.Tell(1 - 0.4/(1+rounds/2))
		},
		Hess: func(h *mat.SymDense, z []float64) {
			if stand(z) {
				lin.curvature(h)
			}
		},
	}
	start, least := z, math.Inf(1)
	for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
		x := make([]float64, len(z))
		if f := problem.Func(floats.ScaleTo(x, share, z)); f < least {
			start, least = x, f
		}
	}
	z = start
	down := bottom(func(z []float64) float64 { // what Newton's step would gain
		g, h, step := mat.NewVecDense(len(z), nil), mat.NewSymDense(len(z), nil), new(mat.VecDense)
		problem.Grad(g.RawVector().Data, z)
		problem.Hess(h, z)
		var chol mat.Cholesky
		if !chol.Factorize(h) || chol.SolveVecTo(step, g) != nil {
			return math.Inf(1)
		}
		return mat.Dot(g, step) / 2
	})
	set := &optimize.Settings{MajorIterations: 30, Converger: down}
	// Halving a step in vain, where its first part should go down, is to have come to the bottom but for the solver's noise.
	method := &optimize.Newton{Linesearcher: &optimize.Backtracking{MinimumStepSize: 1.0 / 128}}
	res, err := optimize.Minimize(problem, z, set, method)
	if res == nil || math.IsInf(res.F, 1) || math.IsNaN(res.F) {
		return nil, fmt.Errorf("learn: no most probable values were found: %w", errors.Join(err, failed))
	}
	if !stand(res.X) {
		return nil, failed
	}
	h := mat.NewSymDense(f.size(), nil)
	lin.curvature(h)
	var chol mat.Cholesky
	if !chol.Factorize(h) {
		panic("learn: a curvature that is not positive") // it is 1 at least
	}
	if err := chol.InverseTo(cov); err != nil {
		return nil, fmt.Errorf("learn: %w", err)
	}
	return res.X, nil
}

// bottom ends the search where the next step would gain no more than a hundredth: it is then a seventh of a standard deviation
// of what is left unknown, or less.
type bottom func(z []float64) float64

// Init implements optimize.Converger.
func (bottom) Init(int) {}

// Converged implements optimize.Converger.
func (gain bottom) Converged(at *optimize.Location) optimize.Status {
	if gain(at.X) < 0.01 {
		return optimize.FunctionConvergence
	}
	return optimize.NotTerminated
}

// linear works all residuals out at z. A subject's depend on the plasterer's unknowns and on its own.
func (f *fit) linear(z []float64) (linear, error) {
	all := linear{}
	var rows [][]float64
	for k := range f.subjects {
		s, i := &f.subjects[k], f.first(k)
		x := append(append([]float64(nil), z[:unknowns]...), z[i:i+s.Own]...)
		part, err := s.linear(f.prior, x)
		if err != nil {
			return linear{}, err
		}
		for j := range part.r {
			row, own := make([]float64, f.size()), part.jac.RawRowView(j)
			copy(row, own[:unknowns])
			copy(row[i:], own[unknowns:])
			rows = append(rows, row)
		}
		all.r = append(all.r, part.r...)
	}
	all.jac = mat.NewDense(len(rows), f.size(), nil)
	for i, row := range rows {
		all.jac.SetRow(i, row)
	}
	return all, nil
}
