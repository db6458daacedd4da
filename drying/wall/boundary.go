package wall

import "math"

// Surface is the state of a face as a Boundary sees it.
type Surface struct {
	Y           float64 // ln(suction/Pa)
	Pressure    float64 // vapour pressure at the face, Pa
	Temperature float64 // C
}

// Exchange is what a Boundary does to a face, with its derivatives.
type Exchange struct {
	Water         float64 // kg/(m2 s) leaving the wall
	WaterPressure float64 // d Water / d Surface.Pressure
	WaterTemp     float64 // d Water / d Surface.Temperature
	WaterY        float64 // d Water / d Surface.Y
	Liquid        bool    // the water leaves (or comes) as liquid, without latent heat
	Heat          float64 // W/m2 arriving, apart from what Water carries
	HeatTemp      float64 // d Heat / d Surface.Temperature
	HeatPressure  float64 // d Heat / d Surface.Pressure
	Rain          float64 // kg/(m2 s) arriving as liquid beside Water; what the face cannot take runs off
	RainTemp      float64 // its temperature, C
}

// Boundary is what lies before a face.
type Boundary interface {
	// Prepare fixes the time of the exchanges asked for next.
	Prepare(t float64)
	// Exchange computes the exchange at the surface; it is called many times a step and must not allocate.
	Exchange(s *Surface, x *Exchange)
	// Next returns the first time after t where the conditions have a kink, or +Inf. A step ends there. They must not jump.
	Next(t float64) float64
}

// Held is a Boundary that holds the face at given conditions (to within one part in 1e6 of the wall's
// own resistance for any real layer), or passes a given flux: the exact problems of the literature.
type Held struct {
	// Flux, kg/(m2 s) leaving as liquid, is used where Pressure and Suction are both zero.
	Flux float64
	// Pressure, Pa, is approached with PressureBeta, kg/(m2 s Pa).
	Pressure, PressureBeta float64
	// Suction is ln(suction), approached with SuctionRate, kg/(m2 s).
	Suction, SuctionRate float64
	// Temperature, C, is approached with HeatRate, W/(m2 K).
	Temperature, HeatRate float64
}

// Prepare does nothing: the conditions are constant.
func (h *Held) Prepare(float64) {}

// Next returns +Inf.
func (h *Held) Next(float64) float64 { return math.Inf(1) }

// Exchange implements Boundary.
func (h *Held) Exchange(s *Surface, x *Exchange) {
	*x = Exchange{Heat: h.HeatRate * (h.Temperature - s.Temperature), HeatTemp: -h.HeatRate}
	switch {
	case h.PressureBeta > 0:
		x.Water, x.WaterPressure = h.PressureBeta*(s.Pressure-h.Pressure), h.PressureBeta
	case h.SuctionRate > 0:
		x.Water, x.WaterY, x.Liquid = h.SuctionRate*(h.Suction-s.Y), -h.SuctionRate, true
	default:
		x.Water, x.Liquid = h.Flux, true
	}
}
