package exposure

import (
	"math"
	"testing"
	"time"

	"limeday/psychro"
	"limeday/weather"
)

func outdoors(temps []float64, rh float64) weather.Series {
	start := time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)
	s := weather.Series{Source: "test"}
	for i, t := range temps {
		s.Records = append(s.Records, weather.Record{Time: start.Add(time.Duration(i) * time.Hour),
			Temperature: weather.Value{V: t, Tag: weather.Forecast},
			Vapour:      weather.Value{V: rh * float64(psychro.SaturationWater(psychro.Celsius(t))), Tag: weather.Forecast}})
	}
	return s
}

// TestInside: vapour is carried in, heating sets the temperature, an unheated room lags, and the air never
// holds more than saturation.
func TestInside(t *testing.T) {
	temps := make([]float64, 72)
	for i := range temps {
		temps[i] = 8 + 5*math.Sin(2*math.Pi*float64(i)/24)
	}
	out := outdoors(temps, 0.8)
	heat := 16.0
	warm := Room{Heating: &heat}.Inside(out)
	for i, r := range warm.Records {
		if r.Temperature.V != 16 || r.Vapour.V != out.Records[i].Vapour.V || r.Temperature.Tag != weather.Estimated {
			t.Fatalf("heated, %d: %+v", i, r)
		}
	}
	lived := Room{Heating: &heat, MoistureClass: 3}.Inside(out)
	for i, r := range lived.Records {
		extra := r.Vapour.V - out.Records[i].Vapour.V
		low, high := MoistureExcess(2, temps[i]), MoistureExcess(3, temps[i])
		if extra < low || extra > high {
			t.Fatalf("class 3 adds %g Pa at %g C, outside its bounds %g to %g", extra, temps[i], low, high)
		}
	}
	cold := Room{}.Inside(out)
	swing := func(s weather.Series) float64 {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, r := range s.Records[30:] {
			lo, hi = min(lo, r.Temperature.V), max(hi, r.Temperature.V)
		}
		return hi - lo
	}
	if s := swing(cold); s > 1.5 {
		t.Errorf("an unheated room swings by %g K under 10 K outside", s)
	}
	for _, r := range cold.Records {
		if r.Vapour.V > float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V)))*(1+1e-12) {
			t.Errorf("%+v holds more than saturation", r)
		}
	}
}
