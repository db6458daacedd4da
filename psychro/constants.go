package psychro

// Constants of dry air and water vapour. The primary ones are those of the
// ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1; the others are derived
// from them, not typed again.
const (
	// GasConstantDryAir is the specific gas constant of dry air R_da, in J/(kg K).
	// ASHRAE 2017 ch. 1, eq 1.
	GasConstantDryAir = 287.042

	// MolarRatio is the ratio of the molar masses of water and dry air, epsilon,
	// dimensionless. ASHRAE 2017 ch. 1, eq 20.
	MolarRatio = 0.621945

	// GasConstantVapour is the specific gas constant of water vapour R_v, in
	// J/(kg K). Derived: R_da / epsilon = 461.523.
	GasConstantVapour = GasConstantDryAir / MolarRatio

	// HeatCapacityDryAir is the specific heat of dry air at constant pressure
	// c_pa, in J/(kg K). ASHRAE 2017 ch. 1, eq 28.
	HeatCapacityDryAir = 1006.0

	// HeatCapacityVapour is the specific heat of water vapour at constant
	// pressure c_pv, in J/(kg K). ASHRAE 2017 ch. 1, eq 29.
	HeatCapacityVapour = 1860.0

	// HeatCapacityWater is the specific heat of liquid water c_w, in J/(kg K).
	// ASHRAE 2017 ch. 1, eq 33.
	HeatCapacityWater = 4186.0

	// HeatCapacityIce is the specific heat of ice c_i, in J/(kg K). ASHRAE 2017
	// ch. 1, eq 35.
	HeatCapacityIce = 2100.0

	// TriplePointPressure is the pressure of water at its triple point (0.01 C),
	// in Pa. IAPWS R14-08(2011).
	TriplePointPressure Pascal = 611.657

	// TriplePoint is the temperature of the triple point of water, in C.
	// IAPWS R14-08(2011) (273.16 K).
	TriplePoint Celsius = 0.01
)

// Enthalpies at 0 C, in J/kg: of water vapour over liquid water (ASHRAE 2017
// ch. 1, eqs 29 and 33) and over ice (eq 35).
const (
	vaporisationAtZero = 2501e3
	sublimationAtZero  = 2830e3
)

// Critical point of water. Wagner and Pruss 1993, table 1.
const (
	criticalTemperature = 647.096  // K
	criticalPressure    = 22.064e6 // Pa
)
