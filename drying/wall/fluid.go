package wall

import (
	"math"

	"limeday/psychro"
)

// Fluid holds what temperature does to water and vapour, tabulated over -45..95 C and clamped outside.
// The zero value is not usable; see NewFluid.
type Fluid struct {
	seg        [fluidCells]fluidSegment
	latent     float64 // enthalpy of vapour at 0 C, J/kg
	vapourHeat float64 // J/(kg K)
	waterHeat  float64 // J/(kg K)
	kelvinSpan float64 // rho_w R_v, Pa/K: suction = -kelvinSpan T ln(RH)
}

type fluidSegment struct {
	psat  [4]float64
	flow  [3]float64 // liquid mobility relative to 20 C
	delta [2]float64 // vapour permeability of still air, kg/(m s Pa)
	inv   float64    // 1/T at the start of the cell, 1/K
	span  float64    // ln(rho_w R_v T) there
}

const (
	fluidMin   = -45.0
	fluidCells = 140
	fluidStep  = 1.0
)

// FluidSpec says how a Fluid is made. Functions take degrees Celsius.
type FluidSpec struct {
	Saturation   func(c float64) float64 // saturation vapour pressure over water, Pa
	Mobility     func(c float64) float64 // liquid mobility relative to 20 C
	Permeability func(c float64) float64 // vapour permeability of still air, kg/(m s Pa)
	LatentHeat   float64                 // enthalpy of vapour at 0 C, J/kg
	VapourHeat   float64                 // c_p of vapour, J/(kg K)
	WaterHeat    float64                 // c of liquid water, J/(kg K)
	WaterDensity float64                 // kg/m3
	GasConstant  float64                 // of water vapour, J/(kg K)
}

// StandardFluid is the specification used for real walls at the given air pressure: saturation after
// IAPWS, diffusivity after Massman 1998 (both in psychro), and liquid flow scaled by surface tension
// (IAPWS R1-76(2014), eq. 1, from memory) over viscosity (Vogel form, from memory): a cold wall sucks
// more slowly.
func StandardFluid(pressure psychro.Pascal) FluidSpec {
	const rv = psychro.GasConstantVapour
	mobility := func(c float64) float64 {
		k := max(c, 0) + psychro.ZeroCelsius
		tau := 1 - k/647.096
		sigma := 0.2358 * math.Exp(1.256*math.Log(tau)) * (1 - 0.625*tau)
		eta := 2.414e-5 * math.Exp(math.Ln10*247.8/(k-140))
		return sigma / eta
	}
	at20 := mobility(20)
	return FluidSpec{
		Saturation: func(c float64) float64 { return float64(psychro.SaturationWater(psychro.Celsius(c))) },
		Mobility:   func(c float64) float64 { return mobility(c) / at20 },
		Permeability: func(c float64) float64 {
			return psychro.VapourDiffusivity(psychro.Celsius(c), pressure) / (rv * (c + zeroCelsius))
		},
		LatentHeat: psychro.LatentHeat(0), VapourHeat: psychro.HeatCapacityVapour, WaterHeat: psychro.HeatCapacityWater,
		WaterDensity: 998.2, // kg/m3 at 20 C, IAPWS-95
		GasConstant:  rv,
	}
}

// NewFluid tabulates a specification.
func NewFluid(s FluidSpec) *Fluid {
	f := &Fluid{latent: s.LatentHeat, vapourHeat: s.VapourHeat, waterHeat: s.WaterHeat, kelvinSpan: s.WaterDensity * s.GasConstant}
	node := func(i int) float64 { return fluidMin + float64(i)*fluidStep }
	var ps [fluidCells + 5]float64 // from two nodes before the first to two after the last
	for i := range ps {
		ps[i] = s.Saturation(node(i - 2))
	}
	slope := func(i int) float64 { // of the fourth order
		p := ps[i:]
		return (8*(p[3]-p[1]) - (p[4] - p[0])) / 12
	}
	flow, delta := s.Mobility(fluidMin), s.Permeability(fluidMin)
	for i := range f.seg {
		g := &f.seg[i]
		g.psat = hermite(ps[i+2], ps[i+3], slope(i), slope(i+1))
		mid, next := s.Mobility(node(i)+fluidStep/2), s.Mobility(node(i+1))
		g.flow = [3]float64{flow, 4*mid - 3*flow - next, 2 * (flow + next - 2*mid)}
		flow = next
		end := s.Permeability(node(i + 1))
		g.delta = [2]float64{delta, end - delta}
		delta = end
		g.inv = 1 / (node(i) + zeroCelsius)
		g.span = math.Log(f.kelvinSpan / g.inv)
	}
	return f
}

// wet holds a fluid's properties at one temperature.
type wet struct {
	ps, dps     float64 // Pa, Pa/K
	flow, dflow float64
	del, ddel   float64
	span, inv   float64 // ln(rho_w R_v T), T in kelvin, and its derivative 1/T
}

const zeroCelsius = 273.15 // K

func (f *Fluid) at(c float64, w *wet) {
	x := (c - fluidMin) * (1 / fluidStep)
	i := int(x)
	if x < 0 {
		i, x = 0, 0
	} else if i >= fluidCells {
		i, x = fluidCells-1, fluidCells
	}
	g := &f.seg[i]
	x -= float64(i)
	const per = 1 / fluidStep
	w.ps = g.psat[0] + x*(g.psat[1]+x*(g.psat[2]+x*g.psat[3]))
	w.dps = (g.psat[1] + x*(2*g.psat[2]+3*x*g.psat[3])) * per
	w.flow, w.dflow = g.flow[0]+x*(g.flow[1]+x*g.flow[2]), (g.flow[1]+2*x*g.flow[2])*per
	w.del, w.ddel = g.delta[0]+x*g.delta[1], g.delta[1]*per
	d := x * fluidStep * g.inv // ln(1+d) and 1/(1+d), d being at most 0.0044
	w.span = g.span + d*(1-d*(1.0/2-d*(1.0/3-d/4)))
	w.inv = g.inv * (1 - d*(1-d*(1-d)))
}

// Saturation returns the tabulated saturation pressure in Pa at c degrees Celsius.
func (f *Fluid) Saturation(c float64) float64 {
	var w wet
	f.at(c, &w)
	return w.ps
}

// Suction returns y = ln(suction) of pore water in equilibrium with air of relative humidity rh
// (0 < rh < 1) at c degrees Celsius (Kelvin's equation).
func (f *Fluid) Suction(rh, c float64) float64 {
	return math.Log(-math.Log(rh) * f.kelvinSpan * (c + zeroCelsius))
}

// Humidity returns the relative humidity of air in equilibrium with suction exp(y) at c degrees Celsius.
func (f *Fluid) Humidity(y, c float64) float64 {
	return math.Exp(-math.Exp(y) / (f.kelvinSpan * (c + zeroCelsius)))
}
