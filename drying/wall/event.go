package wall

import "math"

// Water0 and Water1 give W of cell i at the start and the end of the step; Slope0 and Slope1 dW/dt there.
func (s *Step) Water0(i int) float64 { return s.v.w0[s.v.cell[i]] }

// Water1 gives W of cell i at the end of the step.
func (s *Step) Water1(i int) float64 { return s.v.water[s.v.cell[i]] }

// Within returns W of cell i at time t within the step: by the parabola through both ends and the stage between them,
// or by straight lines where that would turn. The slopes at the ends are no help: in a thin film, where the cells are
// in balance with one another, they hold the rounding of large fluxes.
func (s *Step) Within(i int, t float64) float64 {
	k := s.v.cell[i]
	h := s.To - s.From
	x := (t - s.From) / h
	a, b := s.v.w0[k], s.v.water[k]
	mid := a + diagRK*h*(s.v.f0[k]+s.v.f1[k])/s.v.size[k]
	d0, d1 := (mid-a)/gamma, (b-mid)/(1-gamma)
	bend := d1 - d0
	if (d0-bend*gamma)*(d0+bend*(2-gamma)) < 0 {
		if x > gamma {
			return b + d1*(x-1)
		}
		bend = 0
	}
	return a + x*(d0+bend*(x-gamma))
}

// Evaporation is the water leaving through the front at the end of the step, kg/(m2 s).
func (s *Step) Evaporation() float64 { return s.v.ends[0].now }

// FaceTemperature is the temperature of the front face at the end of the step, C.
func (s *Step) FaceTemperature() float64 { return s.v.temp[0] }

// FaceSuction is ln(suction/Pa) at the front face at the end of the step.
func (s *Step) FaceSuction() float64 { return s.v.y[0] }

// Solver returns the solver, standing at the end of the step.
func (s *Step) Solver() *Solver { return s.v }

// Crossing is an Observer that notes when the water content of every one of the cells First <= i < End
// has fallen to Level: with one cell, when that cell has. The time is found to about a hundredth of a
// per cent of the time gone, however long the steps (TestNotedCrossings); AdvanceTo ends on it.
type Crossing struct {
	First, End int
	Level      float64 // W
	At         float64 // s; meaningful when Found
	Found      bool
}

// Below reports whether the wall stands at or below the level already, and if so notes the present time.
func (c *Crossing) Below(v *Solver) bool {
	if c.Found {
		return true
	}
	for i := c.First; i < c.End; i++ {
		if v.water[v.cell[i]] > c.Level {
			return false
		}
	}
	c.Found, c.At = true, v.time
	return true
}

// Observe implements Observer.
func (c *Crossing) Observe(s *Step) {
	if !c.Found {
		c.At, c.Found = c.within(s)
	}
}

// within is when the crossing comes true in the step, if the step ends with it true.
func (c *Crossing) within(s *Step) (at float64, ok bool) {
	at = s.From
	for i := c.First; i < c.End; i++ {
		if s.Water1(i) > c.Level {
			return 0, false
		}
		if s.Water0(i) > c.Level {
			at = max(at, s.fall(i, c.Level))
		}
	}
	return at, true
}

// above is how far the wettest of the cells is above the level at the end of the step.
func (c *Crossing) above(s *Step) float64 {
	most := math.Inf(-1)
	for i := c.First; i < c.End; i++ {
		most = max(most, s.Water1(i)-c.Level)
	}
	return most
}

// fall is the first time within the step at which cell i is down to level, by bisection.
func (s *Step) fall(i int, level float64) float64 {
	a, b := s.From, s.To
	for b-a > 1e-3 && b-a > 1e-9*math.Abs(b) {
		if mid := (a + b) / 2; s.Within(i, mid) > level {
			a = mid
		} else {
			b = mid
		}
	}
	return b
}
