// Package openmeteo reads the forecast and the archive of Open-Meteo, or of a
// server that runs its software.
//
// The service's own free hosts are for non-commercial use alone, so nothing is
// asked of them unless [Service] holds a key, another server or the user's word that the
// use is non-commercial: else the error is a [*NotAllowedError].
//
// [Service.Forecast] and [Service.History] ask; [Parse] reads an answer.
//
// # What the times mean
//
// Values of state are those at their stamp. Radiation, rain, its chance and the
// highest gust are those of the hour before it (Open-Meteo documentation, hourly
// parameters), and are put at that hour's start. Times are asked for as Unix
// seconds in GMT, since the local times of the service have one fixed offset.
//
// # Units and gaps
//
// Units are those that hourly_units states, converted where known and refused
// where not. Null is a missing value. The series ends with the last hour that has
// temperature and humidity.
//
// # Not handled
//
//   - Ensembles, several models or several places in one answer.
//   - The run of the model: a forecast does not say when it was made, so
//     [weather.Series.Issued] is zero and only its Fetched says how old it is.
//   - The archive's gusts, which its model does not have.
//   - Correction for the altitude: the service does that itself, for the altitude
//     asked for.
package openmeteo
