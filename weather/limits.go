package weather

import (
	"fmt"
	"strconv"
)

// Quantity is a kind of number in the weather, with the range beyond which it is
// a fault of the data, such as a unit that is not what was stated.
type Quantity uint8

// The quantities, in the units of [Record]; dew point in C, relative humidity
// over water in percent.
const (
	Temperature Quantity = iota
	DewPoint
	RelativeHumidity
	Pressure
	Wind
	Gust
	WindFrom
	Cloud
	Rain
	RainChance
	Radiation
)

// quantities holds the ranges. Temperature and pressure are those of the EPW
// data dictionary (NREL, EnergyPlus auxiliary programs, weather converter);
// RH above 100 is a wet sensor, beyond 105 a fault (common practice, no source).
// The rest lies a little beyond the records of the Earth's surface (from memory):
// wind 103 m/s in a gust off a mountain, 113 m/s in a cyclone; 1361 W/m2 above the
// air, over which edges of cloud can add. Only rain is bounded below its record, 401 mm
// in an hour: tenths or hundredths read as mm are far commoner than hours over 250 mm.
var quantities = [...]struct {
	name, unit string
	min, max   float64
}{
	Temperature:      {"temperature", "C", -70, 70},
	DewPoint:         {"dew point", "C", -90, 40},
	RelativeHumidity: {"relative humidity", "%", 0.5, 105},
	Pressure:         {"pressure", "Pa", 31e3, 120e3},
	Wind:             {"wind", "m/s", 0, 75},
	Gust:             {"gust", "m/s", 0, 120},
	WindFrom:         {"wind direction", "degrees", 0, 360},
	Cloud:            {"cloud cover", "of the sky", 0, 1},
	Rain:             {"rain", "mm/h", 0, 250},
	RainChance:       {"chance of rain", "of 1", 0, 1},
	Radiation:        {"radiation", "W/m2", 0, 1700},
}

// String is the quantity in words.
func (q Quantity) String() string { return quantities[q].name }

// RangeError is a number that no weather has.
type RangeError struct {
	Quantity Quantity
	Value    float64 // in the quantity's unit
	Min, Max float64
}

// Error is the number and its range, for example
// "wind 468.7 m/s is outside 0 to 75 m/s".
func (e *RangeError) Error() string {
	q := quantities[e.Quantity]
	return fmt.Sprintf("%s %.4g %s is outside %s %s", q.name, e.Value, q.unit, e.Range(), q.unit)
}

// Range is the range in words.
func (e *RangeError) Range() string {
	return strconv.FormatFloat(e.Min, 'g', -1, 64) + " to " + strconv.FormatFloat(e.Max, 'g', -1, 64)
}

// Check returns a [*RangeError] where v is outside the range of q or no number.
func (q Quantity) Check(v float64) error {
	if r := quantities[q]; !(v >= r.min && v <= r.max) {
		return &RangeError{Quantity: q, Value: v, Min: r.min, Max: r.max}
	}
	return nil
}
