package psychro

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats/scalar"
	"pgregory.net/rapid"
)

// inverse is the accuracy promised for the inverses, in K.
const inverse = 1e-6

// drawAir draws a state from the range for which the accuracy is promised.
func drawAir(t *rapid.T) Air {
	a, err := NewAir(
		Celsius(rapid.Float64Range(-40, 60).Draw(t, "t")),
		Fraction(rapid.Float64Range(0.005, 1).Draw(t, "rh")),
		Pascal(rapid.Float64Range(50e3, 108e3).Draw(t, "p")))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestDewPointInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := Celsius(rapid.Float64Range(-90, 150).Draw(t, "t"))
		got, err := DewPoint(SaturationWater(want))
		if err != nil || !scalar.EqualWithinAbs(float64(got), float64(want), inverse) {
			t.Fatalf("dew point of saturated air at %v C is %v C, %v", want, got, err)
		}
	})
}

func TestFrostPointInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := Celsius(rapid.Float64Range(-90, 0.0099).Draw(t, "t"))
		got, err := FrostPoint(SaturationIce(want))
		if err != nil || !scalar.EqualWithinAbs(float64(got), float64(want), inverse) {
			t.Fatalf("frost point of saturated air at %v C is %v C, %v", want, got, err)
		}
	})
}

func TestInversesAtTheEnds(t *testing.T) {
	for _, c := range []struct {
		name string
		f    func(Pascal) (Celsius, error)
		e    Pascal
		want Celsius // NaN: an error
	}{
		{"dew point", DewPoint, 0, -273.15},
		{"dew point", DewPoint, criticalPressure, criticalTemperature - ZeroCelsius},
		{"dew point", DewPoint, -1, Celsius(math.NaN())},
		{"dew point", DewPoint, 22.1e6, Celsius(math.NaN())},
		{"dew point", DewPoint, Pascal(math.NaN()), Celsius(math.NaN())},
		{"dew point", DewPoint, Pascal(math.Inf(1)), Celsius(math.NaN())},
		{"frost point", FrostPoint, 0, -273.15},
		{"frost point", FrostPoint, TriplePointPressure, TriplePoint},
		{"frost point", FrostPoint, TriplePointPressure + 0.001, Celsius(math.NaN())},
		{"frost point", FrostPoint, -1, Celsius(math.NaN())},
		{"frost point", FrostPoint, Pascal(math.NaN()), Celsius(math.NaN())},
	} {
		got, err := c.f(c.e)
		if math.IsNaN(float64(c.want)) {
			if err == nil {
				t.Errorf("%s of %v Pa: %v, want an error", c.name, c.e, got)
			}
		} else if err != nil || !scalar.EqualWithinAbs(float64(got), float64(c.want), inverse) {
			t.Errorf("%s of %v Pa: %v, %v, want %v", c.name, c.e, got, err, c.want)
		}
	}
}

func TestVapourPressureRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAir(t)
		b, err := NewAirFromVapourPressure(a.Temperature(), a.VapourPressure(), a.Pressure())
		if err != nil {
			t.Fatal(err)
		}
		if b.VapourPressure() != a.VapourPressure() ||
			!scalar.EqualWithinRel(float64(b.RelativeHumidity()), float64(a.RelativeHumidity()), 1e-14) {
			t.Fatalf("%+v came back as %+v", a, b)
		}
	})
}

// TestWetBulbInverts goes from a state to its wet bulb and back, and compares
// there what the accuracy in kelvin amounts to in vapour pressure.
func TestWetBulbInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAir(t)
		wet := a.WetBulb()
		moved := func(d Celsius) float64 {
			w := waterBulb()
			if wet < 0 || a.t < 0 {
				w = iceBulb()
			}
			return w.humidityRatio(float64(a.t), float64(wet+d), float64(a.p))
		}
		// Moving the bulb by the promised accuracy either way brackets the state.
		if w := a.HumidityRatio(); !(moved(-inverse) < w && w < moved(inverse)) {
			t.Fatalf("%+v: W = %v, but the wet bulb %v gives %v to %v", a, w, wet, moved(-inverse), moved(inverse))
		}
		b, err := NewAirFromWetBulb(a.Temperature(), wet, a.Pressure())
		if err != nil {
			// The one way out: saturated air, whose bulb lies on the air temperature
			// to the last digit or a hair past it.
			if a.RelativeHumidity() > 1-1e-9 {
				return
			}
			t.Fatalf("%+v: %v", a, err)
		}
		if !scalar.EqualWithinAbsOrRel(float64(b.VapourPressure()), float64(a.VapourPressure()), 1e-4, 1e-6) {
			t.Fatalf("%+v came back from its wet bulb %v as %+v", a, wet, b)
		}
	})
}

// TestWetBulbJump holds the wet bulb to its promise at 0 C: water whenever the
// water bulb is 0 C or more, ice below, and nothing in the gap between.
func TestWetBulbJump(t *testing.T) {
	const tc, p = 3.0, 101325.0
	var last float64
	jumps := 0
	for i := 0; i <= 4000; i++ {
		a, err := NewAir(tc, Fraction(0.3+0.4*float64(i)/4000), p)
		if err != nil {
			t.Fatal(err)
		}
		wet := float64(a.WetBulb())
		if i > 0 && !(wet > last) {
			t.Fatalf("wet bulb falls from %v to %v as the air gets damper", last, wet)
		}
		if i > 0 && wet-last > 0.05 {
			jumps++
			t.Logf("at %.2f %% it jumps from %.4f to %.4f C", 100*a.RelativeHumidity(), last, wet)
			if !(last < 0 && wet >= 0 && wet < 0.01) {
				t.Errorf("it jumps from %v to %v, not from the ice bulb to 0 C", last, wet)
			}
		}
		last = wet
	}
	if jumps != 1 {
		t.Errorf("%d jumps, want one", jumps)
	}
}

func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAir(t)
		dry, wet, dew := a.Temperature(), a.WetBulb(), a.DewPoint()
		if !(dew <= wet+inverse) {
			t.Fatalf("%+v: dew point %v above wet bulb %v", a, dew, wet)
		}
		frost, ok := a.FrostPoint()
		overIce := dry < 0 && a.VapourPressure() > SaturationIce(dry)
		switch {
		case overIce && !(dry <= wet+inverse && wet <= frost+inverse):
			t.Fatalf("%+v, supersaturated over ice: want dry %v <= ice bulb %v <= frost point %v", a, dry, wet, frost)
		case !overIce && !(wet <= dry+inverse):
			t.Fatalf("%+v: wet bulb %v above dry %v", a, wet, dry)
		case ok && frost < 0 && !(frost > dew):
			t.Fatalf("%+v: frost point %v not above dew point %v", a, frost, dew)
		case ok != (a.VapourPressure() < TriplePointPressure):
			t.Fatalf("%+v: frost point reported %v at %v Pa", a, ok, a.VapourPressure())
		}
	})
}

// TestDamperAir checks that every measure of humidity grows with humidity.
func TestDamperAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAir(t)
		more := a.RelativeHumidity() + Fraction(rapid.Float64Range(1e-4, 0.2).Draw(t, "more"))
		if more > 1 {
			t.Skip("full")
		}
		b, err := NewAir(a.Temperature(), more, a.Pressure())
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			name     string
			dry, wet float64
		}{
			{"vapour pressure", float64(a.VapourPressure()), float64(b.VapourPressure())},
			{"dew point", float64(a.DewPoint()), float64(b.DewPoint())},
			{"wet bulb", float64(a.WetBulb()), float64(b.WetBulb())},
			{"humidity ratio", a.HumidityRatio(), b.HumidityRatio()},
			{"enthalpy", a.Enthalpy(), b.Enthalpy()},
			{"specific volume", a.SpecificVolume(), b.SpecificVolume()},
			{"absolute humidity", a.AbsoluteHumidity(), b.AbsoluteHumidity()},
			{"virtual temperature", float64(a.VirtualTemperature()), float64(b.VirtualTemperature())},
			{"deficit, downwards", -float64(a.VapourPressureDeficit()), -float64(b.VapourPressureDeficit())},
			{"density, downwards", -a.Density(), -b.Density()},
		} {
			if !(c.dry < c.wet) {
				t.Fatalf("%s: %v at %v, %v at %v", c.name, c.dry, a.RelativeHumidity(), c.wet, b.RelativeHumidity())
			}
		}
	})
}

// TestConsistent checks the identities that tie the properties together.
func TestConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAir(t)
		w, v := a.HumidityRatio(), a.SpecificVolume()
		for _, c := range []struct {
			name      string
			got, want float64
		}{
			{"density", a.Density(), (1 + w) / v},
			{"absolute humidity", a.AbsoluteHumidity(), w / v},
			{"dew point's pressure", float64(SaturationWater(a.DewPoint())), float64(a.VapourPressure())},
			{"virtual temperature", float64(a.Pressure()) / (GasConstantDryAir * float64(a.VirtualTemperature())), a.Density()},
			{"deficit", float64(a.VapourPressureDeficit() + a.VapourPressure()), float64(SaturationWater(a.Temperature()))},
		} {
			if !scalar.EqualWithinRel(c.got, c.want, 1e-9) {
				t.Fatalf("%s: %v, want %v", c.name, c.got, c.want)
			}
		}
	})
}

func TestSaturationSlopes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tc := rapid.Float64Range(-60, 150).Draw(t, "t")
		water := func(x float64) float64 { return float64(SaturationWater(Celsius(x))) }
		// Central differences of step 1e-3 K are good to some 1e-9 of the pressure.
		step := &fd.Settings{Formula: fd.Central, Step: 1e-3}
		if got, want := SaturationWaterSlope(Celsius(tc)), fd.Derivative(water, tc, step); !scalar.EqualWithinRel(got, want, 1e-7) {
			t.Fatalf("slope over water at %v C: %v, by differences %v", tc, got, want)
		}
		if tc > -0.01 {
			return
		}
		ice := func(x float64) float64 { return float64(SaturationIce(Celsius(x))) }
		_, dln := lnSaturationIce(tc + ZeroCelsius)
		if got, want := ice(tc)*dln, fd.Derivative(ice, tc, step); !scalar.EqualWithinRel(got, want, 1e-7) {
			t.Fatalf("slope over ice at %v C: %v, by differences %v", tc, got, want)
		}
	})
}

func TestWetBulbSlopes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAir(t)
		b, top := waterBulb(), 60.0
		if rapid.Bool().Draw(t, "ice") {
			b, top = iceBulb(), 0
		}
		tb := rapid.Float64Range(-40, top).Draw(t, "bulb")
		f := func(x float64) float64 {
			r, _ := b.residual(x, float64(a.t), a.HumidityRatio(), float64(a.p))
			return r
		}
		_, got := b.residual(tb, float64(a.t), a.HumidityRatio(), float64(a.p))
		want := fd.Derivative(f, tb, &fd.Settings{Formula: fd.Central, Step: 1e-3})
		if !scalar.EqualWithinRel(got, want, 1e-6) {
			t.Fatalf("slope of the bulb's balance at %v C: %v, by differences %v", tb, got, want)
		}
	})
}

// TestIceAndWaterDiffer keeps the two saturation curves apart below 0 C, and
// together at the triple point.
func TestIceAndWaterDiffer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tc := Celsius(rapid.Float64Range(-90, -0.001).Draw(t, "t"))
		ratio := float64(SaturationWater(tc) / SaturationIce(tc))
		// The curves part by L_f/(R_v T^2), about 0.01 per kelvin (a fall of some
		// 334 kJ/kg in latent heat, less in the cold).
		depth := float64(TriplePoint - tc)
		if !(ratio > 1+0.006*depth && ratio < math.Exp(0.0100*depth)) {
			t.Fatalf("at %v C water over ice is %v", tc, ratio)
		}
	})
	for _, p := range []Pascal{SaturationWater(TriplePoint), SaturationIce(TriplePoint)} {
		// R14-08's own value, to the 0.001 Pa that SR1-86 reproduces.
		if !scalar.EqualWithinAbs(float64(p), float64(TriplePointPressure), 1e-3) {
			t.Errorf("%v Pa at the triple point", p)
		}
	}
	for _, tc := range []Celsius{0.011, 20, Celsius(math.NaN()), -274} {
		if p := SaturationIce(tc); !math.IsNaN(float64(p)) {
			t.Errorf("saturation over ice at %v C is %v, want NaN", tc, p)
		}
	}
}
