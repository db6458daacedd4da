// Package weather holds what the air did or will do at a place: records in UTC and SI units in which
// every value is optional and says how it came to be. It knows no service and no file format; those
// live in the packages below it and end there.
//
// # Not modelled
//
// A Series is data, not a model: nothing is smoothed or guessed here. Filled in is only what is asked for, and
// tagged so: the pressure of the height (FillPressure), the hours between two records (interpolated).
package weather
