package psychro

import "math"

// VapourDiffusivity returns the diffusivity of water vapour in air D_v, in m2/s,
// at temperature t, in C, and total pressure p, in Pa.
//
// Valid from about -20 to 100 C near atmospheric pressure; NaN below absolute
// zero and for NaN. Authors differ: Marrero and Mason 1972 are 2.3 % lower at
// 20 C.
//
// Source: Massman 1998, Atmospheric Environment 32(6), 1111-1127, table 2.
func VapourDiffusivity(t Celsius, p Pascal) float64 {
	return 0.2178e-4 * math.Pow(float64(t.Kelvin())/ZeroCelsius, 1.81) * (standardPressureAtSea / float64(p))
}

// LatentHeat returns the heat of vaporisation of liquid water L_v, in J/kg, at
// temperature t, in C: the enthalpy of the vapour less that of the liquid, in
// the same linear forms as [Air.Enthalpy] and [Air.WetBulb], so that energy
// balances close.
//
// Valid from -40 to 60 C. It is within 0.2 % of the IAPWS value from 0 C up
// (2453.5 kJ/kg at 20 C, from memory); below, for supercooled water, there is
// none to compare.
//
// Source: ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1, eq 33
// (2501 - 2.326 t kJ/kg).
func LatentHeat(t Celsius) float64 {
	return vaporisationAtZero + (HeatCapacityVapour-HeatCapacityWater)*float64(t)
}

// DryAirConductivity returns the thermal conductivity of dry air, in W/(m K), at
// temperature t, in C.
//
// Valid from -100 to 200 C; NaN below absolute zero and for NaN. Moisture,
// which lowers it a little, is left out.
//
// Source: U.S. Standard Atmosphere 1976, eq 53 (coefficients from memory; they
// give its sea-level value, 0.025326 at 15 C).
func DryAirConductivity(t Celsius) float64 {
	T := float64(t.Kelvin())
	return 2.64638e-3 * T * math.Sqrt(T) / (T + 245.4*math.Pow(10, -12/T))
}

// DryAirViscosity returns the dynamic viscosity of dry air, in Pa s, at
// temperature t, in C, by Sutherland's law.
//
// Valid from -100 to 200 C; NaN below absolute zero and for NaN. Moisture,
// which lowers it a little, is left out.
//
// Source: U.S. Standard Atmosphere 1976, eq 51 (coefficients from memory; they
// give its sea-level value, 1.7894e-5 at 15 C).
func DryAirViscosity(t Celsius) float64 {
	T := float64(t.Kelvin())
	return 1.458e-6 * T * math.Sqrt(T) / (T + 110.4)
}
