// Package source says which service is asked for a forecast, in what order, and blends a reading taken on
// site into it; and it puts many years of hourly weather of one place together, from files or from NASA POWER.
//
// # Forecasts
//
// [Source.Forecast] asks one service after the other; [Blend] shifts the answer by a reading.
//
// # Years
//
// [ReadYears] reads files and [Source.History] asks; both give [Years], in which every rule that was applied left a
// sentence in Notes. The rules and limits are common practice, no source, unless named.
//
//   - A file's kind is told by its content: EPW, ISD-Lite, CSV with a header, an hourly answer of NASA POWER;
//     plain or gzip. Files come in any order, and each may hold any part of the years. The same file twice counts
//     once; two values of one hour that differ, files of two places, and a typical year beside any other are refused.
//   - Years are calendar years in the zone given; in the south they run from 1 July to 30 June, so that a season
//     spans New Year. 29 February is kept where it is given.
//   - A year of which temperature or humidity is missing in more than [MaxHoles] of the hours, or for longer than
//     [MaxHole] on end, is refused, unless it is to be skipped. One that is only begun or only ends in the data is
//     left out, with a note; less than two days of one, without.
//   - Temperature and vapour pressure lie on a line across [weather.MaxFill] (interpolated). Longer holes get the mean
//     day of the ten days before and after, shifted to both ends (estimated): the day's swing is right, its weather is
//     anybody's.
//   - Cloud and wind lie on a line across six hours, the step of the main observations (interpolated); else they are
//     the month's mean at that hour in all years (estimated), which is never clear, overcast, calm or a storm. Where
//     there is no radiation and more than [MaxHoles] of a year's cloud is such a mean, the year is refused.
//   - Radiation is filled only where the cloud, from which it could be had, is not known either: by the mean day of
//     ten days before and after (estimated).
//   - Pressure that is missing is that of the altitude (estimated). Rain, gusts and the wind's direction are filled
//     nowhere. What is never or hardly ever given (rain: in less than nine hours of ten) stands in Lacks.
//   - Data for a place farther from the job than [MaxAway] or [MaxUp] are refused unless they are meant; from
//     [weather.FarAway] and [weather.FarUp] on they are said to be far.
//   - A mean day that is not warmest in the afternoon by the sun raises a doubt about the zone.
//   - A typical year runs round: its end stands before its begin. It gives averages and no odds: ISO 15927-4 says in
//     its scope that such years are not for extremes, such as those of moisture damage.
//
// # Not handled
//
// It does not average services: the first that answers is the answer. A bias blended in is one number that
// fades; a forecast that is wrong in its course stays so. Years are not corrected for the height or the exposure
// of their station, nor for a trend of the climate; instruments that were moved or stuck are not found. ISD-Lite and
// CSV files do not say where they are for, and are believed.
package source
