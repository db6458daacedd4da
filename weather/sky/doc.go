// Package sky computes what a face outdoors gets from above: where the sun is,
// the sunshine on a wall of any bearing and tilt, and the long wave of the sky.
//
// Most callers need four things: [NewSite] for a place, [Site.SunOver] for the
// sun in a record's span, [Site.Light] for what a record says or leaves out, and
// [Surface.Irradiance] for the wall. [Emissivity] and [View.Longwave] are the night.
//
// # Conventions
//
// Angles are [Degrees] at the edge and radians inside. Bearings and azimuths run
// clockwise from north; tilt is 0 for a face that looks straight up, 90 for a
// wall, 180 for a soffit. Times are instants: no time zone enters. Radiation is
// W/m2. Nothing here reads a clock or keeps state.
//
// # Accuracy
//
// The sun's place follows the low-accuracy solar theory of Meeus, Astronomical
// Algorithms (2nd ed. 1998), chapters 12, 13, 16, 25 and 28, whose author states
// 0.01 degrees; the constants are from memory, and are held to 0.05 degrees
// against 120 positions of NREL's SPA (the largest difference is 0.006 degrees of
// arc; in our time it is 0.004 ahead on average). Delta T is a constant 69 s, which is
// within 0.001 degrees from 1950 to 2100.
//
// # Published coefficients that contradict each other
//
//	what                    here                         also printed
//	clear-sky emissivity    0.758 0.521 0.625 (2017)     0.711 0.56 0.73 (1984); 0.038 lower at a dew point of 16.7 C
//	its pressure term       left out                     0.00012 (P - P0), P0 1013.25 or 1000 hPa
//	its hour term           left out                     0.013 cos(2 pi h/24), of the 1984 set
//	Walton's cloud factor   0.0224 -0.0035 0.00028       +0.0035; 0.0028; 0.024
//	Idso, calibrated        not used                     3.2e-5, elsewhere 3.2 * 10E-5
//	solar constant          1361 (Kopp and Lean 2011)    1367 (Duffie and Beckman; FAO-56 has 0.0820 MJ/m2/min), 1364, 1353
//	declination by day      not used: from the position  23.45 sin(...) (Cooper 1969); 0.409 sin(...) (FAO-56)
//	ASHRAE tau exponents    not used                     2009 and 2013/2017 sets, which do not mix
//
// The first five are recorded in testdata/checks; why the 2017 set is used is
// said at [ClearEmissivity]. The authors of the 2017 paper are given as Li, Jiang
// and Coimbra, and elsewhere as Li, Coimbra and Walsh.
//
// # What is not modelled
//
//   - The horizon: hills, trees and buildings neither shade the beam nor hide the
//     diffuse sky; only the long wave takes an obstruction, as a share.
//   - Aerosol: the clear sky has one typical haze. Smoke, dust, town air and very
//     clean air are up to some 15 % off in global and more in the beam (ESTIMATE).
//   - The kind and height of cloud: thin cirrus counts as much as low stratus.
//   - The brightening of the sky towards the horizon, polarisation, spectrum.
//   - Snow on the ground, unless the caller raises the albedo, and shade on the
//     ground before the wall.
//   - The dip of the horizon from a height, and air far from 10 C in refraction:
//     20 K move the sun on the horizon by 0.04 degrees.
//   - The temperature of the ground: the caller gives it.
package sky
