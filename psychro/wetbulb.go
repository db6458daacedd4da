package psychro

import "math"

// WetBulb returns the thermodynamic wet-bulb temperature, in C: that at which
// water evaporating into the air saturates it adiabatically, at constant
// pressure.
//
// The bulb carries liquid water at or above 0 C and ice below, as ASHRAE has it,
// so the result jumps at 0 C: the wet bulb over liquid water is taken whenever
// it is 0 C or more, and the one over ice otherwise, which is then some tenths
// of a kelvin below 0 C. No result lies in the gap between. Air that is
// supersaturated over ice has its ice bulb above its own temperature, and, within
// 0.001 K below 0 C, up to 0.001 C.
//
// Source: ASHRAE Handbook, Fundamentals (SI) 2017, chapter 1, eqs 33 and 35,
// solved to 1e-6 K or better.
func (a Air) WetBulb() Celsius {
	w := a.HumidityRatio()
	t := float64(a.t)
	if t >= 0 {
		// The residual grows with temperature: its sign at 0 C tells which form holds.
		// Saturated air at 0 C has its bulb there, and must not lose it to rounding.
		if r, slope := waterBulb().residual(0, t, w, float64(a.p)); r <= slope*tolerance {
			return Celsius(waterBulb().solve(0, t, t, w, float64(a.p)))
		}
	}
	top := float64(TriplePoint)
	return Celsius(iceBulb().solve(-ZeroCelsius, top, t, w, float64(a.p)))
}

// bulb is a wet bulb covered with water in one phase.
type bulb struct {
	atZero   float64 // enthalpy of vapour over the condensed phase at 0 C, J/kg
	heat     float64 // specific heat of the condensed phase, J/(kg K)
	pressure func(T float64) (ln, slope float64)
}

func waterBulb() bulb { return bulb{vaporisationAtZero, HeatCapacityWater, lnSaturationWater} }
func iceBulb() bulb   { return bulb{sublimationAtZero, HeatCapacityIce, lnSaturationIce} }

// humidityRatio returns W of air at t with its wet bulb at tb, both in C, at
// pressure p: ASHRAE eqs 33 and 35. It is negative where no such air exists.
func (b bulb) humidityRatio(t, tb, p float64) float64 {
	ln, _ := b.pressure(tb + ZeroCelsius)
	e := math.Exp(ln)
	ws := MolarRatio * e / (p - e)
	latent := b.atZero + (HeatCapacityVapour-b.heat)*tb
	return (latent*ws - HeatCapacityDryAir*(t-tb)) / (b.atZero + HeatCapacityVapour*t - b.heat*tb)
}

// residual is the energy balance of the bulb, ASHRAE eqs 33 and 35 brought to
// one side and multiplied by p - e, so that it has no pole where the bulb boils;
// in Pa J/kg, with its derivative by tb. It is negative below the wet bulb and
// positive above.
func (b bulb) residual(tb, t, w, p float64) (r, slope float64) {
	ln, dln := b.pressure(tb + ZeroCelsius)
	e := math.Exp(ln)
	de := e * dln
	if e == 0 {
		de = 0
	}
	latent := b.atZero + (HeatCapacityVapour-b.heat)*tb
	need := HeatCapacityDryAir*(t-tb) + w*(b.atZero+HeatCapacityVapour*t-b.heat*tb)
	r = MolarRatio*latent*e - (p-e)*need
	slope = MolarRatio*((HeatCapacityVapour-b.heat)*e+latent*de) + de*need + (p-e)*(HeatCapacityDryAir+w*b.heat)
	return r, slope
}

// solve returns the zero of residual in [lo, hi] by Newton's method from the
// warm end, from which the convex residual is approached without overshoot,
// kept inside a shrinking bracket.
func (b bulb) solve(lo, hi, t, w, p float64) float64 {
	tb := math.Min(hi, t)
	for range maxSteps {
		r, slope := b.residual(tb, t, w, p)
		if r > 0 {
			hi = tb
		} else {
			lo = tb
		}
		next := tb - r/slope
		if !(next >= lo && next <= hi) {
			if math.Abs(next-tb) < tolerance {
				return tb
			}
			next = 0.5 * (lo + hi)
		}
		done := math.Abs(next-tb) < tolerance
		tb = next
		if done {
			break
		}
	}
	return tb
}
