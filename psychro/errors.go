package psychro

import (
	"math"
	"strconv"
)

// RangeError reports a quantity that is outside the range in which the package
// can answer, or is not a number. Find it with [errors.As].
type RangeError struct {
	Quantity string  // what it is, in plain words: "relative humidity"
	Value    float64 // the value given; may be NaN or infinite
	Min, Max float64 // the range accepted
	Unit     string  // the unit of all three; empty for a pure number
}

// Error says what was out of range and what the range is, for example
// "psychro: relative humidity 1.2 outside [0, 1]".
func (e *RangeError) Error() string {
	s := "psychro: " + e.Quantity + " " + number(e.Value)
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	return s + unit + " outside [" + number(e.Min) + ", " + number(e.Max) + "]" + unit
}

// number writes v with as many digits as it takes to tell it from a limit.
func number(v float64) string {
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// within returns nil when v lies in [min, max], both included, and a
// [*RangeError] otherwise; NaN lies nowhere.
func within(quantity, unit string, v, min, max float64) error {
	if v >= min && v <= max && !math.IsInf(v, 0) {
		return nil
	}
	return &RangeError{Quantity: quantity, Value: v, Min: min, Max: max, Unit: unit}
}
