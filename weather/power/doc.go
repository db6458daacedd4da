// Package power reads the hourly history of NASA POWER: reanalysis and satellite
// values on a grid for any place on land or sea, from 2001 to a few days ago.
//
// [Service.History] asks, a calendar year at a time; [Parse] reads the answers,
// all years in one call.
//
// # What the times mean
//
// A stamp marks the start of its hour, in UTC, and every value is the mean over
// that hour (pvlib, iotools/nasa_power.py; the service's own documentation).
// Radiation and rain therefore stand at their stamp. A mean of a state value,
// such as temperature, belongs to the middle of the hour: the value at a full
// hour is put halfway between the means of the hour before it and the hour after
// it, and tagged interpolated. Humidity is so treated as vapour pressure, and the wind's
// direction as a direction of the circle. The first hour of all has no state, and the
// daily swing of temperature comes out 1 % too small, as it already does in
// hourly means.
//
// # Units and gaps
//
// Units are those that the answer states in its parameters block, converted where
// they are known and refused where not. The answer's fill value is a missing value,
// and so is null. An answer in local solar time, the service's default, is refused.
//
// # Not handled
//
//   - Cells are some 50 km wide and 100 km for the sun: poor at coasts and in
//     hills. [weather.GridNote] says how far the point is; temperature is not
//     corrected for its altitude.
//   - Gusts, cloud and probabilities, which are not asked for.
//   - Years before 2001 and the last days, in which the service has no values.
//   - Which version of the reanalysis a value is from.
package power
