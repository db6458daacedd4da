package psychro

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func TestRangeErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		make     func() (Air, error)
		quantity string
		message  string
	}{
		{func() (Air, error) { return NewAir(20, 1.2, 101325) }, "relative humidity",
			"psychro: relative humidity 1.2 outside [0, 1]"},
		{func() (Air, error) { return NewAir(20, -0.01, 101325) }, "relative humidity",
			"psychro: relative humidity -0.01 outside [0, 1]"},
		{func() (Air, error) { return NewAir(20, Fraction(nan), 101325) }, "relative humidity",
			"psychro: relative humidity NaN outside [0, 1]"},
		{func() (Air, error) { return NewAir(Celsius(nan), 0.5, 101325) }, "temperature",
			"psychro: temperature NaN C outside [-100, 100] C"},
		{func() (Air, error) { return NewAir(Celsius(inf), 0.5, 101325) }, "temperature",
			"psychro: temperature +Inf C outside [-100, 100] C"},
		{func() (Air, error) { return NewAir(20, 0.5, 1013.25) }, "pressure",
			"psychro: pressure 1013.25 Pa outside [20000, 120000] Pa"},
		{func() (Air, error) { return NewAir(20, 0.5, Pascal(nan)) }, "pressure",
			"psychro: pressure NaN Pa outside [20000, 120000] Pa"},
		{func() (Air, error) { return NewAir(100, 1, 60000) }, "vapour pressure", ""},
		{func() (Air, error) { return NewAirFromVapourPressure(100, 60000, 60000) }, "vapour pressure", ""},
		{func() (Air, error) { return NewAirFromVapourPressure(20, 2400, 101325) }, "vapour pressure", ""},
		{func() (Air, error) { return NewAirFromVapourPressure(20, -1, 101325) }, "vapour pressure", ""},
		{func() (Air, error) { return NewAirFromVapourPressure(20, Pascal(nan), 101325) }, "vapour pressure", ""},
		{func() (Air, error) { return NewAirFromVapourPressure(-101, 0, 101325) }, "temperature", ""},
		{func() (Air, error) { return NewAirFromWetBulb(20, 20.1, 101325) }, "wet bulb",
			"psychro: wet bulb 20.1 C outside [-100, 20] C"},
		{func() (Air, error) { return NewAirFromWetBulb(20, Celsius(nan), 101325) }, "wet bulb", ""},
		{func() (Air, error) { return NewAirFromWetBulb(20, 5, 101325) }, "vapour pressure", ""}, // drier than dry
		{func() (Air, error) { return NewAirFromWetBulb(-5, -0.1, 101325) }, "vapour pressure", ""},
		{func() (Air, error) { return NewAirFromWetBulb(20, 15, 0) }, "pressure", ""},
	} {
		a, err := c.make()
		var r *RangeError
		if !errors.As(err, &r) || r.Quantity != c.quantity || a != (Air{}) {
			t.Errorf("got %+v, %v, want a range error about %s", a, err, c.quantity)
		} else if c.message != "" && err.Error() != c.message {
			t.Errorf("message %q, want %q", err, c.message)
		}
	}
}

func TestDryAir(t *testing.T) {
	a, err := NewAir(20, 0, 101325)
	if err != nil {
		t.Fatal(err)
	}
	frost, ok := a.FrostPoint()
	if a.DewPoint() != -ZeroCelsius || frost != -ZeroCelsius || !ok {
		t.Errorf("dry air has dew point %v and frost point %v, %v; want the limit", a.DewPoint(), frost, ok)
	}
	if a.HumidityRatio() != 0 || a.AbsoluteHumidity() != 0 || a.VirtualTemperature() != a.Temperature().Kelvin() {
		t.Errorf("dry air holds vapour: %+v", a)
	}
	b, err := NewAirFromWetBulb(20, a.WetBulb()+1e-7, 101325)
	if err != nil || b.RelativeHumidity() > 1e-5 {
		t.Errorf("the wet bulb of dry air, %v C, gives back %v, %v", a.WetBulb(), b.RelativeHumidity(), err)
	}
}

func TestSaturatedAir(t *testing.T) {
	for _, tc := range []Celsius{-40, -10, 0, 0.005, 20, 60} {
		a, err := NewAirFromVapourPressure(tc, SaturationWater(tc), 101325)
		if err != nil || a.RelativeHumidity() != 1 || a.VapourPressureDeficit() != 0 {
			t.Errorf("saturated at %v C: %+v, %v", tc, a, err)
		}
		if !scalar.EqualWithinAbs(float64(a.DewPoint()), float64(tc), 1e-9) {
			t.Errorf("saturated at %v C: dew point %v", tc, a.DewPoint())
		}
		if tc >= 0 && !scalar.EqualWithinAbs(float64(a.WetBulb()), float64(tc), 1e-9) {
			t.Errorf("saturated at %v C: wet bulb %v", tc, a.WetBulb())
		}
	}
}

// TestTransport checks the properties that no table of testdata holds, at the
// sea level of the U.S. Standard Atmosphere 1976 (15 C; printed values from
// memory).
func TestTransport(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
		relative  float64
	}{
		{"viscosity", DryAirViscosity(15), 1.7894e-5, 0.5e-4},
		{"conductivity", DryAirConductivity(15), 0.025326, 0.5e-4},
		// ASHRAE's 2501 - 2.326 t, by hand.
		{"latent heat at 20 C", LatentHeat(20), 2454480, 1e-12},
		// Half the pressure, twice the diffusivity: from the form of the equation.
		{"diffusivity at half pressure", VapourDiffusivity(20, 101325/2.), 2 * VapourDiffusivity(20, 101325), 1e-12},
	} {
		if !scalar.EqualWithinRel(c.got, c.want, c.relative) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
}

func TestAtmosphereRange(t *testing.T) {
	for _, h := range []Metre{-5001, 11001, Metre(math.NaN()), Metre(math.Inf(1)), Metre(math.Inf(-1))} {
		if p := StandardPressure(h); !math.IsNaN(float64(p)) {
			t.Errorf("standard pressure at %v m is %v, want NaN", h, p)
		}
		if p := StationPressure(101325, h, 15); !math.IsNaN(float64(p)) {
			t.Errorf("station pressure at %v m is %v, want NaN", h, p)
		}
	}
	if z := GeopotentialAltitude(Metre(math.Inf(1))); !math.IsNaN(float64(z)) {
		t.Errorf("geopotential altitude of infinity is %v, want NaN", z)
	}
	// The reduction and the standard atmosphere are the same column to second
	// order in height: its temperature at 1000 m is 8.5 C.
	if got, want := StationPressure(101325, 1000, 8.5), StandardPressure(1000); !scalar.EqualWithinRel(float64(got), float64(want), 1e-5) {
		t.Errorf("station pressure %v at 1000 m of the standard atmosphere, want %v", got, want)
	}
}

func TestNoAllocation(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() {
		a, _ := NewAir(12, 0.7, 98000)
		a.WetBulb()
		a.DewPoint()
		a.FrostPoint()
		sink += a.Density()
	}); n != 0 {
		t.Errorf("%v allocations for a state and its inverses", n)
	}
}
