//go:build study

package learn

import (
	"math"

	"limeday/drying/parallel"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Exact is what a board leaves of the unknowns of a plasterer of whom nothing is known, without Laplace's approximation: many
// draws of the prior, of which it is worked out once what the board would show.
type Exact struct {
	Theta  *mat.Dense
	expect [][]float64 // of each draw: ln of the time of each state
}

// NewExact draws n for a board, whatever is seen of it.
func NewExact(b Board, n int, seed uint64) (*Exact, error) {
	b.Seen = []Seen{{State: Damp, By: 1}, {State: Gone, By: 1}, {State: Dry, By: 1}}
	bed, err := NewBed(b, longestBed)
	if err != nil {
		return nil, err
	}
	s := bed.subject()
	z := Draws(n, int(unknowns)+Lays, seed)
	x := &Exact{Theta: mat.DenseCopyOf(z.Slice(0, n, 0, int(unknowns))), expect: make([][]float64, n)}
	return x, parallel.Each(n, func(i int) (err error) {
		row := z.RawRowView(i)
		x.expect[i], err = s.Expect(row[:unknowns], row[unknowns:])
		return err
	})
}

// Weights are those of the draws where damp, gone and dry were seen, in that order.
func (x *Exact) Weights(seen []Seen) []float64 {
	w := make([]float64, len(x.expect))
	for i, e := range x.expect {
		for k, s := range seen {
			w[i] += s.likely(e[k])
		}
	}
	norm := floats.LogSumExp(w)
	for i := range w {
		w[i] = math.Exp(w[i] - norm)
	}
	return w
}
