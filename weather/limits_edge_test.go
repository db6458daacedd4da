package weather_test

import (
	"errors"
	"testing"

	"limeday/weather"
)

// TestRainLimits: hours that hardly ever come are believed up to 250 mm; 300 mm, below the most ever measured in an
// hour (401 mm, from memory), is more likely hundredths of a millimetre, and the most of a day, 1825 mm (from memory),
// a total taken for an hour.
func TestRainLimits(t *testing.T) {
	for _, v := range []float64{0, 30, 180, 250} {
		if err := weather.Rain.Check(v); err != nil {
			t.Errorf("%g mm/h: %v", v, err)
		}
	}
	var bad *weather.RangeError
	if err := weather.Rain.Check(1825); !errors.As(err, &bad) || err.Error() != "rain 1825 mm/h is outside 0 to 250 mm/h" {
		t.Errorf("1825 mm in an hour: %v", err)
	}
	if err := weather.Rain.Check(300); !errors.As(err, &bad) {
		t.Errorf("300 mm in an hour: %v", err)
	}
	if weather.Rain.Check(-0.1) == nil {
		t.Error("rain below 0 passes")
	}
}

// TestRadiationLimits: radiation in kJ/m2 of an hour, read as W/m2, shows by its size.
func TestRadiationLimits(t *testing.T) {
	var bad *weather.RangeError
	for _, v := range []float64{-1, 1701, 2520} { // 2520 kJ/m2 are an hour of 700 W/m2
		if err := weather.Radiation.Check(v); !errors.As(err, &bad) {
			t.Errorf("%g W/m2: %v", v, err)
		}
	}
	if err := weather.Radiation.Check(1400); err != nil {
		t.Error(err)
	}
}
