// Package epw reads EPW weather files: hourly weather of a year as building
// simulation uses it, often a typical year put together from months of many.
//
// [Read] gives a [weather.Series]; [NewReader] and [Reader.Next] give every row
// with all 35 columns, one at a time.
//
// # What the times mean
//
// Hour h of 1 to 24 is the hour that ends at h:00, in local standard time all
// year, whatever the header says of daylight saving. State values are those at
// its end; radiation and rain are those of the hour. In the series they stand
// where [weather.Record] wants them, in UTC: the state of a row at its end,
// radiation and rain at its start. So the first record holds radiation alone and the
// last holds state alone.
//
// # Source
//
// The EPW data dictionary: NREL, EnergyPlus, Auxiliary Programs, "EnergyPlus
// Weather File (EPW) Data Dictionary", for columns, units, ranges and the codes
// of missing values. Temperature, dew point, pressure and wind count as measured.
// Radiation counts as estimated, since the typical years of the USA hold mostly
// modelled radiation (from memory of NREL/TP-581-43156, TMY3).
//
// # Not handled
//
//   - More than one row an hour: refused.
//   - Rain that a row gives for more than one hour: left out, with a note. The
//     column is missing in most rows of typical years, so no rain can be planned
//     from them.
//   - The header lines DESIGN CONDITIONS, TYPICAL/EXTREME PERIODS and
//     HOLIDAYS/DAYLIGHT SAVINGS are passed over, save for the leap year flag.
//   - Years that are typical hold no extremes: risk of frost must come from many
//     real years. [Header.Typical] and a note say what the file is.
package epw
