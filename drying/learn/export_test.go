package learn

import (
	"math"
	"math/rand/v2"
)

// States are when the states of a board come under a plasterer's unknowns and the board's own: damp, gone and dry, s; +Inf
// where they do not.
func (b Board) States(theta, lay []float64) ([]float64, error) {
	bed, err := NewBed(b, longestBed)
	if err != nil {
		return nil, err
	}
	limit := b.longest()
	t, _, err := bed.Times(theta, b.layOf(lay), b.Thickness, limit)
	return []float64{t.Opens, t.Closes, t.Dry}, err
}

// Loses is the water that a board has lost at a time.
func (b Board) Loses(theta, lay []float64, at float64) (float64, error) {
	b.Seen, b.Weights = nil, []Weight{{At: at}}
	bed, err := NewBed(b, longestBed)
	if err != nil {
		return 0, err
	}
	e, err := bed.subject().Expect(theta, lay)
	if err != nil {
		return 0, err
	}
	return e[0], nil
}

// Watched is what is noted of a state that comes at a time: told with an error, and noted some while after, as Seen takes it
// where no look before is told.
func Watched(s State, at float64, r *rand.Rand) Seen {
	told := at * Eye(r)
	late := r.Float64()
	return Seen{State: s, By: max(told/(1-unlooked*late), told+unlookedLeast*late)}
}

// Eye is a factor on a time by which a state is told too soon or too late.
func Eye(r *rand.Rand) float64 { return math.Exp(sdSeen * tails().Quantile(r.Float64())) }
