package psychro

import "math"

// The states accepted, both ends included.
const (
	minTemperature, maxTemperature = -100.0, 100.0 // C
	minPressure, maxPressure       = 20e3, 120e3   // Pa: 11 km up to a deep mine
)

// Air is a state of moist air: a temperature, a humidity and a pressure. It is
// a small value to be copied; make one with [NewAir], [NewAirFromVapourPressure]
// or [NewAirFromWetBulb]. The zero Air is no state: its results are NaN.
type Air struct {
	t  Celsius
	rh Fraction
	p  Pascal
	e  Pascal // vapour pressure; kept, since every property needs it
}

// NewAir returns air of temperature t, in C, relative humidity rh over liquid
// water, from 0 to 1, and total pressure p, in Pa.
//
// The error is a [*RangeError] if t is outside [-100, 100] C, rh outside [0, 1],
// p outside [20e3, 120e3] Pa, if any is NaN, or if the vapour pressure would
// reach p (the air would be steam).
func NewAir(t Celsius, rh Fraction, p Pascal) (Air, error) {
	if err := checkTemperatureAndPressure(t, p); err != nil {
		return Air{}, err
	}
	if err := within("relative humidity", "", float64(rh), 0, 1); err != nil {
		return Air{}, err
	}
	e := Pascal(rh) * SaturationWater(t)
	if e >= p {
		return Air{}, steam(e, p)
	}
	return Air{t: t, rh: rh, p: p, e: e}, nil
}

// NewAirFromVapourPressure returns air of temperature t, in C, vapour pressure
// e, in Pa, and total pressure p, in Pa.
//
// The error is a [*RangeError] if t is outside [-100, 100] C, p outside
// [20e3, 120e3] Pa, e outside 0 to saturation over liquid water at t, if any is
// NaN, or if e reaches p.
func NewAirFromVapourPressure(t Celsius, e, p Pascal) (Air, error) {
	if err := checkTemperatureAndPressure(t, p); err != nil {
		return Air{}, err
	}
	saturated := SaturationWater(t)
	if err := within("vapour pressure", "Pa", float64(e), 0, float64(saturated)); err != nil {
		return Air{}, err
	}
	if e >= p {
		return Air{}, steam(e, p)
	}
	return Air{t: t, rh: Fraction(e / saturated), p: p, e: e}, nil
}

// NewAirFromWetBulb returns air of temperature t and thermodynamic wet-bulb
// temperature wet, both in C, at total pressure p, in Pa: the reading of an
// aspirated psychrometer. The bulb carries ice if wet or t is below 0 C, liquid
// water otherwise.
//
// [Air.WetBulb] gives wet back, save for an ice bulb a few tenths of a kelvin
// below 0 C in air above 0 C that could as well keep the bulb liquid: there it
// answers for the liquid.
//
// The error is a [*RangeError] if t is outside [-100, 100] C, p outside
// [20e3, 120e3] Pa, wet above t (and above 0.01 C), if any is NaN, or if no air from
// dry to saturated has such a bulb (Quantity "vapour pressure", whose Value is
// what the bulb implies).
//
// Source: ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1, eqs 33 and 35.
func NewAirFromWetBulb(t, wet Celsius, p Pascal) (Air, error) {
	if err := checkTemperatureAndPressure(t, p); err != nil {
		return Air{}, err
	}
	if err := within("wet bulb", "C", float64(wet), minTemperature, max(float64(t), float64(TriplePoint))); err != nil {
		return Air{}, err
	}
	b := waterBulb()
	if wet < 0 || t < 0 { // wet may exceed t: air supersaturated over ice warms its bulb
		b = iceBulb()
	}
	w := b.humidityRatio(float64(t), float64(wet), float64(p))
	return NewAirFromVapourPressure(t, p*Pascal(w/(MolarRatio+w)), p)
}

func checkTemperatureAndPressure(t Celsius, p Pascal) error {
	if err := within("temperature", "C", float64(t), minTemperature, maxTemperature); err != nil {
		return err
	}
	return within("pressure", "Pa", float64(p), minPressure, maxPressure)
}

// steam reports a vapour pressure that leaves no room for dry air.
func steam(e, p Pascal) error {
	return &RangeError{
		Quantity: "vapour pressure", Value: float64(e),
		Min: 0, Max: math.Nextafter(float64(p), 0), Unit: "Pa",
	}
}

// Temperature returns the dry-bulb temperature t, in C.
func (a Air) Temperature() Celsius { return a.t }

// RelativeHumidity returns the relative humidity phi over liquid water, from 0
// to 1, at every temperature.
func (a Air) RelativeHumidity() Fraction { return a.rh }

// Pressure returns the total pressure p, in Pa.
func (a Air) Pressure() Pascal { return a.p }

// VapourPressure returns the partial pressure of water vapour e, in Pa.
func (a Air) VapourPressure() Pascal { return a.e }

// VapourPressureDeficit returns how far the vapour pressure is below saturation
// over liquid water at the air's temperature, in Pa, at every temperature. It is
// never negative.
func (a Air) VapourPressureDeficit() Pascal { return SaturationWater(a.t) - a.e }

// DewPoint returns the temperature, in C, at which the air, cooled at constant
// pressure, saturates over liquid water, also below 0 C. Air without vapour has
// none: the result is then -273.15 C. See [DewPoint].
func (a Air) DewPoint() Celsius { return dewPoint(float64(a.e)) }

// FrostPoint returns the temperature, in C, at which the air, cooled at constant
// pressure, saturates over ice, and true; or false when the vapour pressure is
// at or above that of the triple point, where dew forms and not frost. It is
// above the air's temperature when the air is supersaturated over ice, and
// -273.15 C for air without vapour. See [FrostPoint].
func (a Air) FrostPoint() (Celsius, bool) {
	if !(a.e < TriplePointPressure) {
		return 0, false
	}
	return frostPoint(float64(a.e)), true
}

// HumidityRatio returns the mass of vapour by mass of dry air W, in kg/kg.
//
// Source: ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1, eq 20.
func (a Air) HumidityRatio() float64 {
	return MolarRatio * float64(a.e) / float64(a.p-a.e)
}

// Enthalpy returns the specific enthalpy h of the air, in J by kg of dry air,
// zero for dry air and for liquid water at 0 C.
//
// Source: ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1, eq 30.
func (a Air) Enthalpy() float64 {
	t := float64(a.t)
	return HeatCapacityDryAir*t + a.HumidityRatio()*(vaporisationAtZero+HeatCapacityVapour*t)
}

// SpecificVolume returns the volume v of the moist air, in m3 by kg of dry air.
//
// Source: ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1, eq 26.
func (a Air) SpecificVolume() float64 {
	return GasConstantDryAir * float64(a.t.Kelvin()) / float64(a.p-a.e)
}

// Density returns the density rho of the moist air, vapour included, in kg/m3.
//
// Source: ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1, eq 11.
func (a Air) Density() float64 {
	return (float64(a.p-a.e)/GasConstantDryAir + float64(a.e)/GasConstantVapour) / float64(a.t.Kelvin())
}

// AbsoluteHumidity returns the mass of vapour by volume of moist air, in kg/m3.
//
// Source: the ideal gas law.
func (a Air) AbsoluteHumidity() float64 {
	return float64(a.e) / (GasConstantVapour * float64(a.t.Kelvin()))
}

// VirtualTemperature returns the temperature, in K, at which dry air of the same
// pressure has the density of this air. Buoyancy between two states goes by its
// difference, since damp air is lighter than dry.
//
// Source: follows from the ideal gas law; T / (1 - (1 - epsilon) e/p).
func (a Air) VirtualTemperature() Kelvin {
	return a.t.Kelvin() / Kelvin(1-(1-MolarRatio)*float64(a.e/a.p))
}
