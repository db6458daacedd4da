package psychro

import (
	"math"
	"testing"
)

// FuzzAir makes air from any three numbers, by all three ways in: it never
// panics, and a state that is given without an error has no property that is not
// a finite number.
func FuzzAir(f *testing.F) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, s := range [][3]float64{
		{20, 0.5, 101325}, {-10, 0.85, 101325}, {0, 1, 50e3}, {0.01, 1, 108e3}, {100, 0.1, 20e3},
		{-100, 1, 120e3}, {3, 0.555, 101325}, {20, 0, 101325}, {20, 1e-300, 101325}, {20, 5e-324, 101325},
		{nan, 0.5, 101325}, {20, nan, 101325}, {20, 0.5, nan}, {inf, -inf, inf}, {20, 15, 101325},
		{100, 95, 20e3}, {-5, -4.9, 101325}, {20, 2339, 101325}, {-0.001, 1, 101325},
	} {
		f.Add(s[0], s[1], s[2])
	}
	f.Fuzz(func(t *testing.T, tc, x, p float64) {
		for _, c := range []struct {
			name string
			make func() (Air, error)
		}{
			{"NewAir", func() (Air, error) { return NewAir(Celsius(tc), Fraction(x), Pascal(p)) }},
			{"NewAirFromVapourPressure", func() (Air, error) { return NewAirFromVapourPressure(Celsius(tc), Pascal(x), Pascal(p)) }},
			{"NewAirFromWetBulb", func() (Air, error) { return NewAirFromWetBulb(Celsius(tc), Celsius(x), Pascal(p)) }},
		} {
			a, err := c.make()
			if err != nil {
				if a != (Air{}) {
					t.Errorf("%s(%v, %v, %v): air beside the error %v", c.name, tc, x, p, err)
				}
				continue
			}
			frost, _ := a.FrostPoint()
			for name, v := range map[string]float64{
				"temperature": float64(a.Temperature()), "relative humidity": float64(a.RelativeHumidity()),
				"pressure": float64(a.Pressure()), "vapour pressure": float64(a.VapourPressure()),
				"deficit": float64(a.VapourPressureDeficit()), "dew point": float64(a.DewPoint()),
				"frost point": float64(frost), "wet bulb": float64(a.WetBulb()),
				"humidity ratio": a.HumidityRatio(), "enthalpy": a.Enthalpy(), "specific volume": a.SpecificVolume(),
				"density": a.Density(), "absolute humidity": a.AbsoluteHumidity(),
				"virtual temperature": float64(a.VirtualTemperature()),
			} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("%s(%v, %v, %v): %s is %v", c.name, tc, x, p, name, v)
				}
			}
			if !(a.RelativeHumidity() >= 0 && a.RelativeHumidity() <= 1 && a.VapourPressureDeficit() >= 0) {
				t.Errorf("%s(%v, %v, %v): humidity %v, deficit %v", c.name, tc, x, p, a.RelativeHumidity(), a.VapourPressureDeficit())
			}
		}
	})
}

// FuzzDewPoint: a dew or frost point without an error is a finite number at which
// the air is saturated.
func FuzzDewPoint(f *testing.F) {
	for _, e := range []float64{0, 1e-320, 1e-9, 1, 611.657, 2339, 22.064e6, -1, math.NaN(), math.Inf(1)} {
		f.Add(e)
	}
	f.Fuzz(func(t *testing.T, e float64) {
		for _, c := range []struct {
			name    string
			inverse func(Pascal) (Celsius, error)
			curve   func(float64) (float64, float64)
		}{
			{"DewPoint", DewPoint, lnSaturationWater},
			{"FrostPoint", FrostPoint, lnSaturationIce},
		} {
			td, err := c.inverse(Pascal(e))
			if err != nil || e == 0 {
				continue
			}
			ln, slope := c.curve(float64(td.Kelvin()))
			// Within the accuracy promised, in K, and the rounding of Celsius near
			// absolute zero, where the curve is endlessly steep.
			if miss := math.Abs(ln-math.Log(e)) / slope; !(miss < 1e-6) {
				t.Errorf("%s(%v) = %v, off by %v K", c.name, e, td, miss)
			}
		}
	})
}
