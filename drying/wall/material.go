package wall

// Material is what the solver needs to know of the stuff of one layer. All of it is a function of
// y = ln(suction in Pa) alone; temperature acts through the Fluid.
//
// A layer is cut into cells along its own measure, in which its solid does not move: depth in metres
// for a rigid layer (W in kg/m3), or solid mass in kg/m2 counted from the face for a fresh coat that
// shrinks as it dries (W in kg of water per kg of solid). "Unit measure" below means one metre or one
// kg/m2 accordingly.
//
// Test problems implement this interface too: there is no second solver.
type Material interface {
	// Water returns the water W held per unit measure and square metre of wall, and dW/dy (never positive).
	// Where water can be pushed in (rain, condensation) W and Potential should go on rising a little as y
	// falls, beyond saturation too.
	Water(y float64) (w, dw float64)
	// Potential returns the Kirchhoff potential of liquid flow at 20 C: the liquid mass flux over a
	// distance d of the layer's measure is (Phi(y1)-Phi(y2))/d in kg/(m2 s). dphi is dPhi/dy.
	Potential(y float64) (phi, dphi float64)
	// Vapour returns the layer's vapour conductance relative to still air: 1/mu for a rigid layer,
	// bulk solid density / mu for one measured in solid mass. It should vary little with y: between two
	// nodes their mean is used.
	Vapour(y float64) float64
	// Heat returns the thermal properties.
	Heat() Heat
	// Full returns the water content, per unit measure, against which solver errors are judged.
	Full() float64
}

// Heat holds the thermal properties of a layer per unit of its measure.
type Heat struct {
	Conductance  float64 // lambda, W/(m K), times bulk solid density where the measure is solid mass
	PerWater     float64 // increase of Conductance per unit of W
	Capacity     float64 // dry heat capacity, J/(m3 K) or J/(kg K); must be positive in a Conducting wall
	WaterMissing bool    // leave the stored water's own heat capacity out (test problems only)
}

// Hysteresis is implemented by a material whose wetting differs from its draining.
type Hysteresis interface {
	// Wetting returns offset = ln(draining suction / wetting suction), zero or positive, and
	// shrunk = y at the shrinkage limit: up to there loss of water is consolidation, which is not
	// undone. A rigid material returns -Inf for shrunk.
	Wetting() (offset, shrunk float64)
}
