// Package nws reads the forecast of the US National Weather Service for a place
// in the fifty states and the territories: the numbers behind its maps, a grid
// of some 2.5 km. The service's addresses, names, units and gaps end here.
//
// [Service.Forecast] asks and reads; [Parse] and [ParsePoint] only read.
//
// # How it is asked
//
// First which cell the place lies in, which is kept for a week and names the time zone as well; then for the cell. If the
// service no longer knows the cell, the place is asked about once more. It demands
// a contact in the User-Agent. Source: the service's OpenAPI document 1.9.0
// and its questions and answers, as of May 2024.
//
// # Times
//
// A value holds over an interval, written as start/duration. Levels are repeated for every
// hour that starts in it, amounts are spread evenly, so that totals stay.
// A record stands at the start of its hour. Nothing is read beyond the last hour with
// both temperature and humidity.
//
// # Not handled
//
//   - Radiation: the service gives none.
//   - Pressure: the layer is empty in every answer seen, so it is not read, and
//     pressure is missing.
//   - The height of the wind is not stated; it is taken as 10 m (from memory, no source). The service
//     calls it the maximum prevailing speed, so it is no mean.
//   - Snow, ice, hazards, text forecasts and observations.
//   - Durations in years or months, which have no fixed length.
package nws
