package coat

import (
	"math"

	"limeday/drying/wall"
)

// A masonry background is damped the evening before and again shortly before laying, and laid on when the
// shine has gone (common practice, no source). How long brushed water stands on the face is an ESTIMATE.
const (
	Brushed    = 30.0        // s that water stands on the face
	overnight  = 12.5 * 3600 // s from the first damping to the second
	shineGone  = 25 * 60.0   // s from the second damping to laying
	standing   = 100.0       // Pa: suction of a face with water on it
	wettingOut = 1.0         // kg/(m2 s) for each unit of ln(suction): as good as water itself
)

// DampingTime is how long before laying the first damping starts, s, and DampingAgain the second.
const (
	DampingAgain = Brushed + shineGone
	DampingTime  = Brushed + overnight + DampingAgain
)

// Damp wets the face with brushed water for the given seconds and returns the water taken up, kg/m2.
func (w *Wall) Damp(seconds float64) (float64, error) {
	p := *w.problem
	p.Front = &wall.Held{Suction: math.Log(standing), SuctionRate: wettingOut}
	set := w.set
	set.FirstStep = 1e-4 // s: water on a dry face goes in fast
	w.state.Step = 0
	v, err := wall.NewSolver(&p, w.state, set)
	if err != nil {
		return 0, err
	}
	if err := v.Advance(w.state.Time + seconds); err != nil {
		return 0, err
	}
	w.state = v.State()
	w.state.Step = 0
	return -v.Stats().Evaporated, nil
}
