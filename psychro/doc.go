// Package psychro computes the state of moist air: vapour pressure, dew and
// frost point, wet bulb, humidity ratio, vapour-pressure deficit, enthalpy and
// density, from one reading of temperature and humidity.
//
// Most callers need two functions: [NewAir], for a thermometer and a
// hygrometer, and the methods of [Air]. [NewAirFromVapourPressure] and
// [NewAirFromWetBulb] build the same state from other readings.
//
// # Units
//
// Temperatures are [Celsius] at the edge and [Kelvin] where absolute; pressures
// are [Pascal]; altitudes are [Metre]. Everything else is plain SI in a float64.
// Relative humidity is a [Fraction] from 0 to 1 and is over LIQUID WATER at
// every temperature, also below 0 C, as weather services report it. Air at
// -10 C with a relative humidity of 0.85 is therefore at 0.937 over ice: its dew
// point is -12.0 C and its frost point -10.7 C.
//
// # Validity
//
// [Air] is accepted from -100 to 100 C, 0 to 1 relative humidity and 20 to
// 120 kPa, with the vapour pressure below the total pressure. The inverses
// (dew point, frost point, wet bulb) are accurate to 1e-6 K against their own
// equations from -40 to 60 C, 0.5 to 100 % and 50 to 108 kPa. The equation over
// water is fitted from 0.01 C up; below, down to about -40 C, it is an
// extrapolation to supercooled water, the usual one.
//
// # Sources
//
//   - Saturation over water: Wagner and Pruss 1993, J. Phys. Chem. Ref. Data 22,
//     783-787, eq 1 (the auxiliary equation of IAPWS SR1-86(1992)).
//   - Saturation over ice: IAPWS R14-08(2011).
//   - Moist air as a mixture of ideal gases, and the wet bulb: ASHRAE Handbook,
//     Fundamentals (SI) 2017, chapter 1, eqs 20 to 36.
//   - Standard atmosphere: ISO 2533:1975 (= U.S. Standard Atmosphere 1976 below
//     11 km).
//   - Diffusivity of water vapour: Massman 1998.
//
// # What is not modelled
//
//   - The enhancement factor: air and vapour are ideal gases and ignore each
//     other, so a saturated humidity ratio is about 0.5 % below real air at
//     ordinary pressure and up to 2 % at 85 C.
//   - The pressure dependence and curvature of the specific heats: they are
//     constants.
//   - Fog, ice fog and supersaturation over water: a relative humidity above 1
//     is refused. Supersaturation over ice is allowed, since air below 0 C is
//     often so.
//   - Salts, pores and curved menisci: saturation is over a flat pure surface.
package psychro
