// Package season tries a job's coats on every day of many years of weather and says in which half-months exterior lime can
// be laid, how long its windows are, what the days are lost to, and between which dates a wall stays safe from frost until
// it may have some.
//
// Every day is worked out with the model itself, from the bare wall as the weather has left it; see drying.Long.
//
// # Not modelled
//
// The weather of the past is taken for that of the future. A typical year, put together from months of many, holds no
// extremes (ISO 15927-4 itself leaves those that do moisture damage out), so no odds of frost are drawn from one. Bands of
// what is not known of hand and material are not in the shares: they are of the weather alone.
package season
