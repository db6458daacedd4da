package coat

import "limeday/drying/wall"

// A bed that has stood is misted before the next coat: a fine spray, and a wait until its shine has gone (common
// practice, no source). How much and how long are ESTIMATES: a fine even wetting that does not yet run is 0.05 to 0.1 mm
// of water.
const (
	mistWater = 0.06  // kg/m2
	spraying  = 10.0  // s
	mistGone  = 290.0 // s until the shine has gone: some five minutes in all (ESTIMATE; common practice, no source)
)

// MistingTime is how long misting takes, s.
const MistingTime = spraying + mistGone

// Mist sprays the face, waits until the shine has gone and returns the water taken up, kg/m2. What the face does not
// drink during the spray runs off and is not kept as a film: a tight bed takes less than what is sprayed. Water comes at
// the temperature of the face.
func (w *Wall) Mist() (float64, error) {
	p := *w.problem
	p.Front = &wall.Held{Flux: -mistWater / spraying}
	w.state.Step = 0
	v, err := wall.NewSolver(&p, w.state, w.set)
	if err != nil {
		return 0, err
	}
	if err := v.Advance(w.state.Time + spraying); err != nil {
		return 0, err
	}
	w.state = v.State()
	w.state.Step = 0
	taken := -v.Stats().Evaporated
	_, err = w.Wait(mistGone)
	return taken, err
}
