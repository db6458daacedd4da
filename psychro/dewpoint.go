package psychro

import "math"

// DewPoint returns the temperature, in C, at which vapour of pressure e, in Pa,
// saturates over liquid water, also below 0 C. It is the inverse of
// [SaturationWater], to 1e-6 K or better.
//
// The vapour pressure must lie in [0, 22.064e6] Pa (the critical pressure), or
// the error is a [*RangeError]. At e = 0 there is no dew point and the result is
// the limit, -273.15 C.
func DewPoint(e Pascal) (Celsius, error) {
	if err := within("vapour pressure", "Pa", float64(e), 0, criticalPressure); err != nil {
		return 0, err
	}
	return dewPoint(float64(e)), nil
}

// FrostPoint returns the temperature, in C, at which vapour of pressure e, in
// Pa, saturates over ice. It is the inverse of [SaturationIce], to 1e-6 K or
// better.
//
// The vapour pressure must lie in [0, 611.657] Pa (the triple point, above which
// no ice forms), or the error is a [*RangeError]. At e = 0 there is no frost
// point and the result is the limit, -273.15 C.
func FrostPoint(e Pascal) (Celsius, error) {
	if err := within("vapour pressure", "Pa", float64(e), 0, float64(TriplePointPressure)); err != nil {
		return 0, err
	}
	return frostPoint(float64(e)), nil
}

// dewPoint is [DewPoint] without the check.
func dewPoint(e float64) Celsius {
	return invert(lnSaturationWater, e, criticalTemperature)
}

// frostPoint is [FrostPoint] without the check.
func frostPoint(e float64) Celsius {
	return invert(lnSaturationIce, e, float64(TriplePoint.Kelvin()))
}

// invert solves curve(T) = ln e for T in (0, top] K by Newton's method on 1/T,
// in which the curve is nearly straight, kept inside a shrinking bracket.
func invert(curve func(float64) (float64, float64), e, top float64) Celsius {
	if e == 0 {
		return -ZeroCelsius
	}
	target := math.Log(e)
	lo, hi := 0.0, top
	// The first guess only sets the number of steps: Clausius and Clapeyron's
	// line through the triple point.
	const vaporisationOverR = 5423.0 // K
	T := 1 / (1/273.16 - (target-math.Log(float64(TriplePointPressure)))/vaporisationOverR)
	if !(T > lo && T < hi) {
		T = 0.5 * hi
	}
	for range maxSteps {
		ln, slope := curve(T)
		f := ln - target
		if f > 0 {
			hi = T
		} else {
			lo = T
		}
		next := T / (1 + f/(T*slope)) // Newton in 1/T
		if !(next > lo && next < hi) {
			// At an end of the bracket Newton may point just outside it, on the root.
			if math.Abs(next-T) < tolerance {
				return Kelvin(T).Celsius()
			}
			next = 0.5 * (lo + hi)
		}
		done := math.Abs(next-T) < tolerance
		T = next
		if done {
			break
		}
	}
	return Kelvin(T).Celsius()
}

// The inverses stop when a step is below tolerance, in K. Newton's steps then
// shrink quadratically, so the result is far better than 1e-6 K. maxSteps
// bounds the bisections that a bracket of 650 K may need.
const (
	tolerance = 1e-9
	maxSteps  = 100
)
