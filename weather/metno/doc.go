// Package metno reads the forecast of MET Norway for any place on Earth:
// Locationforecast 2.0, "complete". The service's address, names, units and gaps end here.
//
// [Service.Forecast] asks and reads; [Parse] only reads.
//
// # What the service demands
//
// A contact in the User-Agent, at most four decimals of latitude and longitude (two are sent, unless told
// otherwise), no request before the last answer's Expires, then If-Modified-Since. weather/fetch sees to it. Source:
// MET Norway's terms of service and Locationforecast how-to, as of March 2023.
//
// # Times
//
// State values are those at the stamp; next_1_hours, next_6_hours and
// next_12_hours are sums over the hours that FOLLOW it. Steps are an hour at first and six hours
// later. Longer steps are laid out as hours, temperature, vapour pressure, wind and cloud on
// straight lines, rain spread evenly; these hours are tagged coarse, the first of a step included. Nothing is
// read beyond the last step with both temperature and humidity. Source: MET
// Norway's ForecastJSON document.
//
// # Not handled
//
//   - Radiation: the service gives none.
//   - Humidity percentiles: it gives none. Wind percentiles, least and most rain, fog,
//     thunder, ultraviolet and the symbols are not read.
//   - The error of a forecast that was adjusted to the altitude: the service shifts temperature by a
//     fixed gradient, and says nothing of valleys with cold air in them.
package metno
