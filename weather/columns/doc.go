// Package columns reads hourly weather as CSV with a header: an airport's record or a
// download of any service, gzip or plain, by the names of its columns.
//
// [Read] is the whole of it. For the CSV of a temperature and humidity logger there is
// weather/logfile, which knows more ways to write a number.
//
// # Rules
//
//   - Delimiter: comma, semicolon, tab or bar, whichever cuts the header into most
//     columns. Decimals have a point. A row has as many cells as the header.
//     Records and quotes are those of RFC 4180 (2005), section 2; text that is no UTF-8
//     does not matter outside the columns read.
//   - Names are known in English, with what is around them: temp, temperature,
//     air_temp; dewp, dew_point; humid, rh; wind_speed, wind_dir, wind_gust;
//     pressure, slp, station_pressure; precip, rain; cloud; radiation. [Options.Columns]
//     settles what they leave open; other columns are left out, and noted.
//   - Units stand in a name, as temp_f, "Wind (mph)" or precip_in; else
//     [Options.Units] says which; else the file is refused. Pressure without a unit
//     is told by its size: inHg, kPa, hPa and Pa do not overlap.
//   - Time: a column of RFC 3339 with an offset; else such text without one, or
//     year, month, day and hour (and minute), in [Options.Zone]. Of two passes
//     through the hour in which clocks go back, the first is summer time.
//   - A file of several stations needs [Options.Station].
//   - NA, N/A, null, NaN, -, empty and -9999 are missing; T is a trace of rain, which counts
//     as 0. A value beyond all weather refuses the file with its line,
//     unless [Options.DropBad] leaves it out with a note.
//   - Sums are taken to be those of the hour before their row, as weather stations
//     report (common practice, no source), unless [Options.SumsAfter].
//   - Pressure said to be reduced to sea level becomes that at the place with
//     [Options.Altitude]; pressure of which neither the name nor
//     [Options.PressureAt] says where it holds is left out, with a note.
//
// # Not handled
//
//   - Decimal commas, dates as in 4/14/26, several years' columns side by side.
//   - Sums of more or less than an hour.
//   - Direct and diffuse radiation by other names than dni and dhi.
package columns
