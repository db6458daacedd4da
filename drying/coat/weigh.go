package coat

import "limeday/drying/wall"

// Weighing is the water that a wall has lost through its face since its last coat was laid, at a time.
type Weighing struct {
	Time float64 // s, of the wall's own time
	Lost float64 // kg/m2
}

// Weigh asks for the water lost at times to come, in order; see Weighed.
func (w *Wall) Weigh(times ...float64) {
	w.weighed = make([]Weighing, len(times))
	for i, t := range times {
		w.weighed[i].Time = t
	}
}

// Weighed is what was asked for with Weigh, as far as the coat has been followed: later ones are as at its end.
func (w *Wall) Weighed() []Weighing { return w.weighed }

// scales is the observer behind Weigh.
type scales struct {
	w   *Wall
	was float64 // lost at the beginning of the step
}

// Observe implements wall.Observer. Within a step the loss is even.
func (o *scales) Observe(s *wall.Step) {
	now := s.Solver().Stats().Evaporated
	for i := range o.w.weighed {
		z := &o.w.weighed[i]
		if z.Time < s.From {
			continue
		}
		x := min((z.Time-s.From)/(s.To-s.From), 1)
		z.Lost = o.w.lost + o.was + x*(now-o.was)
	}
	o.was = now
}
