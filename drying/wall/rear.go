package wall

// RearSpec says where heat goes behind a wall. Water does not pass there, but for what a rear face that is
// already full runs off. The zero value is sealed to heat as well.
type RearSpec struct {
	Temperature   float64 // kept behind the wall, theta_i, C
	Transmittance float64 // U from the rear face of the last layer to what has that temperature, W/(m2 K), not negative
}

// Boundary is the boundary that r describes, nil (sealed) where no heat passes. It keeps no state, so walls
// may share it.
func (r RearSpec) Boundary() Boundary {
	if r.Transmittance == 0 {
		return nil
	}
	if !(r.Transmittance > 0) {
		panic("wall: a negative transmittance behind a wall")
	}
	return &Held{Temperature: r.Temperature, HeatRate: r.Transmittance}
}
