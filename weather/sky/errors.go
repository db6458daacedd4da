package sky

import (
	"fmt"
	"strconv"
	"time"
)

// RangeError is an angle or share that there is not.
type RangeError struct {
	Name     string // what it is
	Unit     string
	Value    float64
	Min, Max float64
}

// Error is the number and its range, for example
// "bearing 400 degrees is outside 0 to 360 degrees".
func (e *RangeError) Error() string {
	g := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	return fmt.Sprintf("%s %s %s is outside %s to %s %s", e.Name, g(e.Value), e.Unit, g(e.Min), g(e.Max), e.Unit)
}

func within(name, unit string, v, low, high float64) error {
	if !(v >= low && v <= high) {
		return &RangeError{Name: name, Unit: unit, Value: v, Min: low, Max: high}
	}
	return nil
}

// MissingError is an hour of day with neither radiation nor cloud, of which
// nothing can be estimated.
type MissingError struct{ Time time.Time }

// Error says when, and what was expected.
func (e *MissingError) Error() string {
	return fmt.Sprintf("no radiation and no cloud cover at %s; expected global radiation, direct and diffuse, or cloud cover",
		e.Time.UTC().Format(time.RFC3339))
}

// NightError is sunshine with the sun well down: most often times that are not
// in the zone they were said to be in.
type NightError struct {
	Time      time.Time
	Value     float64 // W/m2
	Elevation Degrees // of the sun, in the middle of the span
}

// Error says when, what, and what to look at.
func (e *NightError) Error() string {
	return fmt.Sprintf("radiation of %.0f W/m2 at %s, with the sun %.0f degrees below the horizon; expected none: check the time zone and the place's longitude",
		e.Value, e.Time.UTC().Format(time.RFC3339), -e.Elevation)
}
