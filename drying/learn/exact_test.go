//go:build study

package learn

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Exactly draws a plasterer's unknowns, of whom nothing else is known, from what boards leave of them without Laplace's
// approximation: n draws of his, a fifth wider, weighed by how likely each is against how often it is drawn.
func Exactly(boards []Board, n int, seed uint64) (theta *mat.Dense, weights []float64, laplace Timing, err error) {
	subjects := make([]Subject, len(boards))
	for i, b := range boards {
		bed, err := NewBed(b, longestBed)
		if err != nil {
			return nil, nil, Timing{}, err
		}
		subjects[i] = bed.subject()
	}
	p, err := Condition(Untaught(), subjects, Settings{Members: 48, Seed: seed})
	if err != nil {
		return nil, nil, Timing{}, err
	}
	f := fit{prior: Untaught(), subjects: subjects}
	draws := Draws(n, f.size(), seed+1)
	var z mat.Dense
	z.Mul(draws, lower(p.Cov).T())
	z.Apply(func(_, j int, v float64) float64 { return p.Mean[j] + 1.2*v }, &z)
	weights = make([]float64, n)
	if err := each(n, func(i int) error {
		e, x := draws.RawRowView(i), z.RawRowView(i)
		weights[i] = (floats.Dot(e, e) - floats.Dot(x, x)) / 2
		for k := range subjects {
			expect, err := f.expect(x, k)
			if err != nil {
				return err
			}
			weights[i] += subjects[k].logLikelihood(expect)
		}
		return nil
	}); err != nil {
		return nil, nil, Timing{}, err
	}
	norm := floats.LogSumExp(weights)
	for i, w := range weights {
		weights[i] = math.Exp(w - norm)
	}
	return mat.DenseCopyOf(z.Slice(0, n, 0, int(unknowns))), weights, Untaught().after(p, boards[0].Finish.Name, len(boards)), nil
}
