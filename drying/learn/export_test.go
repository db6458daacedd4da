package learn

import (
	"math"
	"math/rand/v2"
)

// Simulate is when the states of a board come under a plasterer's unknowns, the board's own and the error of the eye drawn
// from r: damp, gone and dry, s.
func (b Board) Simulate(fatal func(...any), theta []float64, r *rand.Rand) []float64 {
	b.Seen = []Seen{{State: Damp, By: 1}, {State: Gone, By: 1}, {State: Dry, By: 1}}
	bed, err := NewBed(b, longestBed)
	if err != nil {
		fatal(err)
	}
	lay := make([]float64, Lays)
	for i := range lay {
		lay[i] = r.NormFloat64()
	}
	e, err := bed.subject().Expect(theta, lay)
	if err != nil {
		fatal(err)
	}
	out := make([]float64, len(e))
	for i := range e {
		out[i] = math.Exp(e[i] + sdSeen*tails().Quantile(r.Float64()))
		if out[i] > 5*48*3600 {
			out[i] = math.Inf(1)
		}
	}
	return out
}
