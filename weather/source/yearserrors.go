package source

import (
	"errors"
	"fmt"
	"time"

	"limeday/weather"
)

// BadData reports whether err says that the data of the years are at fault, rather than that there are none, and where
// and what was expected.
func BadData(err error) (where, expected string, bad bool) {
	var fault interface {
		Where() string
		Expected() string
	}
	var conflict *weather.ConflictError
	switch {
	case errors.As(err, &conflict):
		return conflict.Second, "one value an hour", true
	case errors.As(err, &fault):
		return fault.Where(), fault.Expected(), true
	}
	return "", "", false
}

// HoleError is a year with more missing than [MaxHoles] or [MaxHole].
type HoleError struct {
	Source  string // the file, or the first of several, or the service
	Label   int    // of the year
	What    string // what is missing
	Share   float64
	Longest time.Duration // the longest piece
	From    time.Time     // its begin
}

// Error says what is missing, the limit and what to do.
func (e *HoleError) Error() string {
	return fmt.Sprintf("%s: %d lacks %s in %.1f %% of its hours, the longest time for %.1f days from %s; expected %s",
		e.Source, e.Label, e.What, 100*e.Share, e.Longest.Hours()/24, e.From.Format("2 January"), e.Expected())
}

// Where is the source.
func (e *HoleError) Where() string { return e.Source }

// Expected is the limit and what to do.
func (e *HoleError) Expected() string {
	return fmt.Sprintf("at most %.0f %%, and no more than %.0f days on end: fill the year from another source or skip it", 100*MaxHoles, MaxHole.Hours()/24)
}

// NoYearError is weather that holds no whole year.
type NoYearError struct {
	Source      string
	First, Last time.Time // with temperature and humidity
	South       bool
	Skipped     bool // there are whole years, but all are to be skipped
}

// Error says what there is, and what was expected.
func (e *NoYearError) Error() string {
	if e.Skipped {
		return e.Source + ": every year is to be skipped; expected " + e.Expected()
	}
	return fmt.Sprintf("%s: temperature and humidity from %s to %s hold no whole year; expected %s", e.Source,
		e.First.Format(time.DateOnly), e.Last.Format(time.DateOnly), e.Expected())
}

// Where is the source.
func (e *NoYearError) Where() string { return e.Source }

// Expected is what a year is.
func (e *NoYearError) Expected() string {
	switch {
	case e.Skipped:
		return "one at least to stay"
	case e.South:
		return "a whole season, from 1 July to 30 June: of calendar years two that follow each other"
	}
	return "a whole year, from 1 January to 31 December"
}

// LightError is a year of which neither the sun nor the cloud is known well enough.
type LightError struct {
	Source string
	Label  int
	Share  float64 // of the hours, without either
}

// Error says what was expected.
func (e *LightError) Error() string {
	return fmt.Sprintf("%s: %d has neither radiation nor cloud in %.2g %% of its hours; expected %s",
		e.Source, e.Label, 100*e.Share, e.Expected())
}

// Where is the source.
func (e *LightError) Where() string { return e.Source }

// Expected is what to do.
func (e *LightError) Expected() string {
	return "one of them, for the sun on the wall: use a file that has it, or skip the year"
}

// FarError is data for a place that is not the job's.
type FarError struct {
	Source    string
	Job, Data weather.Place
	Note      string // distance and height
}

// Error says how far, the limit and what to do.
func (e *FarError) Error() string {
	return fmt.Sprintf("%s: %s; expected %s", e.Source, e.Note, e.Expected())
}

// Where is the source.
func (e *FarError) Where() string { return e.Source }

// Expected is the limit and what to do.
func (e *FarError) Expected() string {
	return fmt.Sprintf("at most %.0f km and %.0f m of height from the job: use data of a nearer place, or say that these are meant", MaxAway/1000, MaxUp)
}
