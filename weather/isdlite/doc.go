// Package isdlite reads ISD-Lite, the hourly weather of a station and a year as
// the US National Centers for Environmental Information published it until
// August 2025.
//
// # Format
//
// Twelve integers in fixed columns, blank between: year, month, day and hour in
// UTC; temperature and dew point in tenths of a degree C; pressure reduced to sea
// level in tenths of hPa; wind direction in degrees; wind in tenths of m/s; a code
// of the sky; rain of one and of six hours in tenths of mm. -9999 is missing, and
// rain of -1 is a trace. Source: NOAA NCEI, "ISD-Lite format" (from memory, held
// against real files).
//
// # What the times mean
//
// A row is the observation nearest the hour. State stands at that hour. Rain of
// one hour is that of the hour before it, and stands at that hour's start in the
// series. Six-hour rain is spread evenly, tagged coarse, over six hours of which
// none has rain of its own. A trace counts as 0 mm, as it does in sums
// (common practice, no source), and is noted.
//
// # Not handled
//
//   - Radiation and gusts: the format has none.
//   - The place: no file says it. [Options.Altitude] makes the pressure that at
//     the station; without it pressure stays missing.
//   - Sky codes above 8 oktas, which do not say a share of the sky.
//   - Quality codes: the format has dropped them.
package isdlite
