package psychro

import "math"

// SaturationWater returns the saturation vapour pressure over liquid water, in
// Pa, at temperature t in C.
//
// Valid from the triple point (0.01 C) to the critical point (373.946 C) within
// 0.025 % (from memory; it is within 0.01 % of IAPWS R7-97 up to 50 C). Below
// 0.01 C it is the extrapolation to supercooled water, 0.05 % above IAPWS-95 at
// -13 C. Above the critical point, below absolute zero and for NaN it is NaN.
//
// Source: Wagner and Pruss 1993, J. Phys. Chem. Ref. Data 22, 783-787, eq 1
// (IAPWS SR1-86(1992)).
func SaturationWater(t Celsius) Pascal {
	ln, _ := lnSaturationWater(float64(t.Kelvin()))
	return Pascal(math.Exp(ln))
}

// SaturationWaterSlope returns the derivative of [SaturationWater] by
// temperature, in Pa/K, at temperature t in C: the analytic derivative of the
// same equation, with the same range and special values.
func SaturationWaterSlope(t Celsius) float64 {
	ln, slope := lnSaturationWater(float64(t.Kelvin()))
	return math.Exp(ln) * slope
}

// SaturationIce returns the saturation vapour pressure over ice, in Pa, at
// temperature t in C.
//
// Valid from 50 K (-223.15 C) to the triple point. Above the triple point there
// is no ice: it is NaN there, below absolute zero and for NaN.
//
// Source: IAPWS R14-08(2011), the equation for the sublimation pressure of ice Ih.
func SaturationIce(t Celsius) Pascal {
	ln, _ := lnSaturationIce(float64(t.Kelvin()))
	return Pascal(math.Exp(ln))
}

// lnSaturationWater returns ln(p/Pa) over liquid water and its derivative by
// temperature, in 1/K, at the absolute temperature T in K. The logarithm is
// what the inverses solve, since it is nearly a straight line in 1/T.
func lnSaturationWater(T float64) (ln, slope float64) {
	// Wagner and Pruss 1993, table 1.
	const (
		a1 = -7.85951783
		a2 = 1.84408259
		a3 = -11.7866497
		a4 = 22.6807411
		a5 = -15.9618719
		a6 = 1.80122502
	)
	if !(T >= 0 && T <= criticalTemperature) {
		return math.NaN(), math.NaN()
	}
	if T == 0 {
		return math.Inf(-1), math.Inf(1)
	}
	tau := 1 - T/criticalTemperature
	root := math.Sqrt(tau) // the half powers come from it, not from math.Pow
	tau2 := tau * tau
	tau3 := tau2 * tau
	sum := a1*tau + a2*tau*root + a3*tau3 + a4*tau3*root + a5*tau2*tau2 + a6*tau3*tau3*tau*root
	dsum := a1 + 1.5*a2*root + 3*a3*tau2 + 3.5*a4*tau2*root + 4*a5*tau3 + 7.5*a6*tau3*tau3*root
	r := criticalTemperature / T * sum
	return math.Log(criticalPressure) + r, -(r + dsum) / T
}

// lnSaturationIce returns ln(p/Pa) over ice and its derivative by temperature,
// in 1/K, at the absolute temperature T in K.
func lnSaturationIce(T float64) (ln, slope float64) {
	// IAPWS R14-08(2011).
	const (
		a1, b1 = -21.2144006, 0.333333333e-2
		a2, b2 = 27.3203819, 1.20666667
		a3, b3 = -6.10598130, 1.70333333
		tt     = 273.16 // K, the triple point
	)
	if !(T >= 0 && T <= tt+tolerance) { // 0.01 C may be a rounding above 273.16 K
		return math.NaN(), math.NaN()
	}
	if T == 0 {
		return math.Inf(-1), math.Inf(1)
	}
	theta := T / tt
	l := math.Log(theta)
	p1 := a1 * math.Exp((b1-1)*l)
	p2 := a2 * math.Exp((b2-1)*l)
	p3 := a3 * math.Exp((b3-1)*l)
	ln = math.Log(float64(TriplePointPressure)) + p1 + p2 + p3
	slope = ((b1-1)*p1 + (b2-1)*p2 + (b3-1)*p3) / T
	return ln, slope
}
