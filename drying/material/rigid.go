package material

import (
	"fmt"
	"math"

	"limeday/drying/wall"
	"limeday/psychro"
)

// Rigid is a layer that does not shrink: a background, a primer once set, an old plaster.
type Rigid struct {
	Name         string
	Thickness    Property // m
	Density      Property // rho_dry, kg/m3
	Capillary    Property // w_cap, capillary saturation, kg/m3
	Absorption   Property // A_w, water absorption coefficient, kg/(m2 s^0.5)
	MeanSuction  Property // p50: half full at this suction, Pa
	W80          Property // water at 80 % RH, kg/m3
	Mu           Property // vapour resistance factor
	Conductivity Property // lambda, dry, W/(m K)
	HeatCapacity Property // c, J/(kg K)
	Wetting      Property // wetting suction over draining suction
}

// Retention returns van Genuchten's alpha (1/Pa) and n of the layer.
func (r Rigid) Retention() (alpha, n float64, err error) {
	s80 := r.W80.Value / r.Capillary.Value
	if !(s80 > 0 && s80 < 0.5) {
		return 0, 0, fmt.Errorf("material: %s: water at 80 %% RH (%g kg/m3) must be positive and below half of saturation (%g kg/m3)", r.Name, r.W80.Value, r.Capillary.Value)
	}
	p80 := suction80
	if !(r.MeanSuction.Value > 0 && r.MeanSuction.Value < p80/2) {
		return 0, 0, fmt.Errorf("material: %s: mean suction %g Pa must be positive and below that of 80 %% RH", r.Name, r.MeanSuction.Value)
	}
	half := func(n float64) float64 { // alpha p50
		return math.Pow(math.Pow(2, n/(n-1))-1, 1/n)
	}
	n, err = solveRising(func(n float64) float64 {
		return (1 - 1/n) * math.Log1p(math.Pow(half(n)*p80/r.MeanSuction.Value, n))
	}, -math.Log(s80), 1.01, 8)
	if err != nil {
		return 0, 0, fmt.Errorf("material: %s: no retention curve holds half at %g Pa and %g kg/m3 at 80 %% RH", r.Name, r.MeanSuction.Value, r.W80.Value)
	}
	return half(n) / r.MeanSuction.Value, n, nil
}

// suction80 is the suction of pore water at 80 % RH and 20 C (Kelvin's equation), Pa.
var suction80 = -math.Log(0.8) * 998.2 * psychro.GasConstantVapour * (20 + psychro.ZeroCelsius)

// suction50 is the same at 50 % RH.
var suction50 = -math.Log(0.5) * 998.2 * psychro.GasConstantVapour * (20 + psychro.ZeroCelsius)

// solveRising finds x in [lo, hi] with f(x) = target, f rising.
func solveRising(f func(float64) float64, target, lo, hi float64) (float64, error) {
	if !(f(lo) <= target && target <= f(hi)) {
		return 0, fmt.Errorf("material: no solution")
	}
	for range 60 {
		if mid := (lo + hi) / 2; f(mid) < target {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, nil
}

// Table gives the layer's properties to the solver; its measure is depth in metres.
func (r Rigid) Table() (*wall.Table, error) {
	alpha, n, err := r.Retention()
	if err != nil {
		return nil, err
	}
	m := rigid{
		alpha: alpha, n: n, m: 1 - 1/n, wcap: r.Capillary.Value, perMu: 1 / r.Mu.Value,
		heat:   wall.Heat{Conductance: r.Conductivity.Value, PerWater: waterConducts, Capacity: r.Density.Value * r.HeatCapacity.Value},
		offset: -math.Log(r.Wetting.Value),
	}
	// A_w is measured on specimens in equilibrium with 50 % RH (EN ISO 15148, from memory): that much of the
	// pores is full already.
	// Drinking goes along the wetting curve, on which suction is lower than at the same water in draining,
	// while the potential is a function of suction alone.
	m.d0 = 1
	s0, _ := m.saturation(math.Log(suction50))
	unit := sorptivity(func(c float64) float64 {
		y := m.suction(s0 + c*(1-s0))
		_, ds := m.saturation(y)
		_, dphi := m.Potential(y - m.offset)
		return dphi / (m.wcap * ds)
	}) * (1 - s0) * m.wcap
	d := r.Absorption.Value / unit
	m.d0 = d * d
	return wall.Tabulate(m)
}

// waterConducts is the rise of a layer's conductivity with its water, W/(m K) per kg/m3: the conductivity
// of water, 0.6 W/(m K), in the pores it fills. ESTIMATE (a parallel path; the true rise is steeper at first).
const waterConducts = 0.6e-3

// rigid implements wall.Material.
type rigid struct {
	alpha, n, m, wcap, d0, perMu float64
	heat                         wall.Heat
	offset                       float64
}

func (r rigid) saturation(y float64) (s, ds float64) {
	b := math.Pow(r.alpha*math.Exp(y), r.n)
	s = math.Pow(1+b, -r.m)
	return s, -r.m * r.n * b / (1 + b) * s
}

// suction is y at saturation s on the draining curve.
func (r rigid) suction(s float64) float64 {
	return math.Log(math.Pow(math.Pow(s, -1/r.m)-1, 1/r.n) / r.alpha)
}

func (r rigid) Water(y float64) (w, dw float64) {
	s, ds := r.saturation(y)
	return r.wcap * s, r.wcap * ds
}

func (r rigid) Potential(y float64) (phi, dphi float64) {
	s, ds := r.saturation(y)
	d := r.d0 * math.Pow(1000, s-1)
	return r.wcap * d / math.Log(1000), r.wcap * d * ds
}

func (r rigid) Vapour(float64) float64 { return r.perMu }
func (r rigid) Heat() wall.Heat        { return r.heat }
func (r rigid) Full() float64          { return r.wcap }
func (r rigid) Wetting() (offset, shrunk float64) {
	return r.offset, math.Inf(-1)
}
