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
	logHalf := func(n float64) float64 { // ln(alpha p50)
		return math.Log(math.Expm1(n/(n-1)*math.Ln2)) / n
	}
	span := math.Log(p80 / r.MeanSuction.Value)
	n, err = solveRising(func(n float64) float64 {
		return (1 - 1/n) * math.Log1p(math.Exp(n*(logHalf(n)+span)))
	}, -math.Log(s80), 1.01, 8)
	if err != nil {
		return 0, 0, fmt.Errorf("material: %s: no retention curve holds half at %g Pa and %g kg/m3 at 80 %% RH", r.Name, r.MeanSuction.Value, r.W80.Value)
	}
	return math.Exp(logHalf(n)) / r.MeanSuction.Value, n, nil
}

// suction80 is the suction of pore water at 80 % RH and 20 C (Kelvin's equation), Pa.
var suction80 = -math.Log(0.8) * 998.2 * psychro.GasConstantVapour * (20 + psychro.ZeroCelsius)

// suction50 is the same at 50 % RH.
var suction50 = -math.Log(0.5) * 998.2 * psychro.GasConstantVapour * (20 + psychro.ZeroCelsius)

// solveRising finds x in [lo, hi] with f(x) = target, f rising, by Ridders' method (1979, IEEE Trans. Circuits
// Syst. 26, 979-980, from memory): false position, after an exponential factor has put the ends and the middle on a line.
func solveRising(f func(float64) float64, target, lo, hi float64) (float64, error) {
	a, b := f(lo)-target, f(hi)-target
	if !(a <= 0 && 0 <= b) {
		return 0, fmt.Errorf("material: no solution")
	}
	x := lo
	for range 60 {
		mid := (lo + hi) / 2
		m := f(mid) - target
		root := math.Sqrt(m*m - a*b)
		if root == 0 {
			return mid, nil
		}
		last := x
		x = mid - (mid-lo)*m/root
		if math.Abs(x-last) <= 1e-14*math.Abs(x) {
			break
		}
		for _, p := range [2][2]float64{{mid, m}, {x, f(x) - target}} {
			if at, v := p[0], p[1]; v < 0 && at >= lo {
				lo, a = at, v
			} else if v >= 0 && at <= hi {
				hi, b = at, v
			}
		}
	}
	return x, nil
}

// Table gives the layer's properties to the solver; its measure is depth in metres.
func (r Rigid) Table() (*wall.Table, error) {
	m, err := r.curves()
	if err != nil {
		return nil, err
	}
	return wall.Tabulate(m)
}

func (r Rigid) curves() (rigid, error) {
	alpha, n, err := r.Retention()
	if err != nil {
		return rigid{}, err
	}
	m := rigid{
		logAlpha: math.Log(alpha), n: n, m: 1 - 1/n, wcap: r.Capillary.Value, perMu: 1 / r.Mu.Value,
		heat:   wall.Heat{Conductance: r.Conductivity.Value, PerWater: waterConducts, Capacity: r.Density.Value * r.HeatCapacity.Value},
		offset: -math.Log(r.Wetting.Value),
	}
	// A_w is measured on specimens in equilibrium with 50 % RH (EN ISO 15148, from memory): that much of the
	// pores is full already.
	// Drinking goes along the wetting curve, on which suction is lower than at the same water in draining,
	// while the potential is a function of suction alone.
	m.d0 = 1
	s0, _ := m.saturation(math.Log(suction50))
	unit := sorptivity(func(c float64) float64 { return m.drinking(s0 + c*(1-s0)) }) * (1 - s0) * m.wcap
	d := r.Absorption.Value / unit
	m.d0 = d * d
	return m, nil
}

// waterConducts is the rise of a layer's conductivity with its water, W/(m K) per kg/m3: the conductivity
// of water, 0.6 W/(m K), in the pores it fills. ESTIMATE (a parallel path; the true rise is steeper at first).
const waterConducts = 0.6e-3

// rigid implements wall.Material.
type rigid struct {
	logAlpha, n, m, wcap, d0, perMu float64
	heat                            wall.Heat
	offset                          float64
}

func (r rigid) saturation(y float64) (s, ds float64) {
	b := math.Exp(r.n * (y + r.logAlpha))
	s = math.Exp(-r.m * math.Log1p(b))
	return s, -r.m * r.n * b / (1 + b) * s
}

// drinking is the diffusivity along the wetting curve at saturation s, below 1.
func (r rigid) drinking(s float64) float64 {
	b := math.Expm1(-math.Log(s) / r.m) // (alpha p)^n at s in draining
	wet := b * math.Exp(-r.n*r.offset)
	sWet := math.Exp(-r.m * math.Log1p(wet))
	return r.d0 * math.Exp(ln1000*(sWet-1)) * wet / (1 + wet) * sWet * (1 + b) / (b * s)
}

func (r rigid) Water(y float64) (w, dw float64) {
	s, ds := r.saturation(y)
	return r.wcap * s, r.wcap * ds
}

func (r rigid) Potential(y float64) (phi, dphi float64) {
	_, _, phi, dphi, _ = r.Together(y)
	return phi, dphi
}

// Together implements wall.Together.
func (r rigid) Together(y float64) (w, dw, phi, dphi, vapour float64) {
	s, ds := r.saturation(y)
	d := r.wcap * r.d0 * math.Exp(ln1000*(s-1))
	return r.wcap * s, r.wcap * ds, d / ln1000, d * ds, r.perMu
}

const ln1000 = 3 * math.Ln10

func (r rigid) Vapour(float64) float64 { return r.perMu }
func (r rigid) Heat() wall.Heat        { return r.heat }
func (r rigid) Full() float64          { return r.wcap }
func (r rigid) Wetting() (offset, shrunk float64) {
	return r.offset, math.Inf(-1)
}
