package psychro

import "math"

// The standard atmosphere up to 11 km. ISO 2533:1975.
const (
	standardPressureAtSea    = 101325.0  // Pa
	standardTemperatureAtSea = 288.15    // K
	standardLapse            = 0.0065    // K/m
	standardGravity          = 9.80665   // m/s2
	standardGasConstant      = 287.05287 // J/(kg K)
	nominalEarthRadius       = 6356766.0 // m

	minAltitude, maxAltitude = -5000.0, 11000.0 // m, ASHRAE's stated range for eqs 3 and 4
)

// StandardPressure returns the pressure of the standard atmosphere, in Pa, at
// the geopotential altitude h, in m. It is the pressure to assume where none is
// measured; real weather moves it by some 3 %.
//
// Valid from -5000 to 11000 m; outside, and for NaN, it is NaN.
//
// Source: ISO 2533:1975; ASHRAE Handbook, Fundamentals (SI) 2017,
// chapter 1, eq 3 is the same with rounded constants.
func StandardPressure(h Metre) Pascal {
	const exponent = standardGravity / (standardGasConstant * standardLapse)
	t := float64(StandardTemperature(h).Kelvin())
	return Pascal(standardPressureAtSea * math.Pow(t/standardTemperatureAtSea, exponent))
}

// StandardTemperature returns the temperature of the standard atmosphere, in C,
// at the geopotential altitude h, in m.
//
// Valid from -5000 to 11000 m; outside, and for NaN, it is NaN.
//
// Source: ISO 2533:1975; ASHRAE Handbook, Fundamentals (SI) 2017,
// chapter 1, eq 4.
func StandardTemperature(h Metre) Celsius {
	if !(h >= minAltitude && h <= maxAltitude) {
		return Celsius(math.NaN())
	}
	return Kelvin(standardTemperatureAtSea - standardLapse*float64(h)).Celsius()
}

// GeopotentialAltitude returns the geopotential altitude, in m, of the geometric
// altitude z, in m, which is the one on a map. They differ by 2.5 m at 4000 m.
// Infinite or NaN altitudes, and those at or below the Earth's centre, give NaN.
//
// Source: ISO 2533:1975; radius 6356.766 km.
func GeopotentialAltitude(z Metre) Metre {
	if !(z > -nominalEarthRadius) || math.IsInf(float64(z), 0) {
		return Metre(math.NaN())
	}
	return nominalEarthRadius * (z / (nominalEarthRadius + z))
}

// StationPressure returns the pressure at altitude h, in m, of a place, in Pa,
// where the weather service gives the pressure reduced to sea level, in Pa, and
// t is the air temperature at the place, in C. The column of air down to sea
// level is taken at its mean temperature under the standard lapse rate, as for
// the reduction itself; its humidity is left out (some 0.1 hPa at 300 m).
//
// Valid from -5000 to 11000 m; outside, and for NaN, it is NaN.
//
// Source: the hydrostatic equation with the constants of ISO 2533:1975.
func StationPressure(seaLevel Pascal, h Metre, t Celsius) Pascal {
	if !(h >= minAltitude && h <= maxAltitude) {
		return Pascal(math.NaN())
	}
	mean := float64(t.Kelvin()) + 0.5*standardLapse*float64(h)
	return seaLevel * Pascal(math.Exp(-standardGravity*float64(h)/(standardGasConstant*mean)))
}
