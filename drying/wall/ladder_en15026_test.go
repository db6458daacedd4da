package wall

import (
	"fmt"
	"math"
	"testing"
)

// en15026 is the material of EN 15026:2007 Annex A: liquid flux K ds/dx with s the suction.
type en15026 struct {
	vapour bool
	phi    potential
}

func newEN15026(vapour bool) *en15026 {
	m := &en15026{vapour: vapour}
	m.phi = integrate(m.slope)
	return m
}

func (m *en15026) Water(y float64) (w, dw float64) {
	b := math.Pow(8e-8*math.Exp(y), 1.6)
	w = 146 * math.Pow(1+b, -0.375)
	return w, -0.375 * 1.6 * b / (1 + b) * w
}

// slope is dPhi/dy = -K s.
func (m *en15026) slope(y float64) float64 {
	w, _ := m.Water(y)
	u := w - 73
	k := math.Exp(-39.2619 + u*(0.0704+u*(-1.7420e-4+u*(-2.7953e-6+u*(-1.1566e-7+u*2.5969e-9)))))
	return -k * math.Exp(y)
}

func (m *en15026) Potential(y float64) (phi, dphi float64) { return m.phi.at(y), m.slope(y) }

func (m *en15026) Vapour(y float64) float64 {
	if !m.vapour {
		return 0
	}
	w, _ := m.Water(y)
	a := 1 - w/146
	return a / 200 / (0.503*a*a + 0.497)
}
func (m *en15026) Heat() Heat    { return Heat{Conductance: 1.5, PerWater: 15.8e-3, Capacity: 1.824e6} }
func (m *en15026) Full() float64 { return 146 }

// TestLadderEN15026: the half-space of EN 15026:2007 Annex A, from 20 C and 50 % to a face held at 30 C
// (cases C, D: 20 C) and 95 %. The standard's own acceptance table was not at hand: expected values are
// COMPUTED similarity solutions of the same equations, and the vapour permeability, which cases A and C
// use, is from memory. The standard asks 2.5 %; the claim here is 0.1 kg/m3 in w, 0.2 % in uptake and
// 0.01 K.
func TestLadderEN15026(t *testing.T) {
	const day = 86400.0
	places := []float64{0.005, 0.01, 0.02, 0.03, 0.05, 0.1}
	type row struct {
		days   float64
		w      []float64
		uptake float64
		temp   map[float64]float64
	}
	for _, c := range []struct {
		name    string
		vapour  bool
		thermal Thermal
		face    float64
		rows    []row
	}{
		{"D (liquid only, isothermal)", false, Isothermal, 20, []row{
			{7, []float64{81.83, 42.95, 42.94}, 0.382, nil},
			{30, []float64{113.15, 84.59, 42.96, 42.94}, 0.790, nil},
			{365, []float64{125.54, 121.23, 109.89, 94.37, 49.53, 42.94}, 2.755, nil},
		}},
		{"C (isothermal)", true, Isothermal, 20, []row{
			{7, []float64{80.81, 48.84, 43.01, 42.94}, 0.429, nil},
			{30, []float64{111.29, 82.96, 49.63, 43.94, 42.95, 42.94}, 0.888, nil},
			{365, []float64{125.14, 120.30, 107.72, 91.63, 61.49, 44.25}, 3.098, nil},
		}},
		{"A (heat and moisture)", true, Conducting, 30, []row{
			{7, []float64{80.29, 51.90, 43.39, 42.95, 42.94, 42.94}, 0.450, map[float64]float64{0.1: 29.32, 0.5: 26.64, 1: 23.84, 2: 20.81}},
			{30, []float64{109.31, 82.13, 52.77, 45.52, 43.04, 42.94}, 0.933, map[float64]float64{0.5: 28.35, 1: 26.75, 2: 24.00, 3: 22.07}},
			{365, []float64{124.05, 118.83, 105.62, 89.86, 64.09, 46.04}, 3.253, map[float64]float64{1: 29.06, 3: 27.18, 5: 25.47, 10: 22.28}},
		}},
	} {
		fluid := NewFluid(FluidSpec{
			Saturation:   func(c float64) float64 { return 611.2 * math.Exp(17.62*c/(243.12+c)) },
			Mobility:     func(float64) float64 { return 1 },
			Permeability: func(c float64) float64 { return 0.018 / (8.314 * (c + 273.15)) * 26.1e-6 },
			LatentHeat:   2.5e6, VapourHeat: 4180, WaterHeat: 4180, // one capacity: vapour carries 2.5 MJ/kg more than liquid at any temperature
			WaterDensity: 1000, GasConstant: 461.5,
		})
		// 0.25 mm to 0.12 m, then growing to 60 m, which heat does not cross in a year.
		cells := append(equal(0.12, 480), Graded(60, 120, 0.3e-3)...)
		p := &Problem{
			Layers: []Layer{{Name: "half-space", Stuff: tabulate(t, newEN15026(c.vapour)), Cells: cells}},
			Front:  &Held{Pressure: 0.95 * fluid.Saturation(c.face), PressureBeta: 1e-4, Temperature: c.face, HeatRate: 1e6},
			Fluid:  fluid, Thermal: c.thermal,
		}
		start := fluid.Suction(0.5, 20)
		v := newSolver(t, p, p.Uniform(0, []float64{start}, 20), Settings{Tolerance: 1e-5, TempTol: 1e-3, MaxStep: 1e9})
		w0, _ := p.Layers[0].Stuff.Water(start)
		rung(t, c.name+": w at the start", 42.94, w0, 0.006, "constants of the Kelvin equation")
		x := centres(cells)
		for _, r := range c.rows {
			advance(t, v, r.days*day)
			name := fmt.Sprintf("%s %g d", c.name[:1], r.days)
			w := profile(v)
			for i, want := range r.w {
				rung(t, fmt.Sprintf("%s w at %g m", name, places[i]), want, between(x, w, places[i]), 0.1, "COMPUTED; 0.07 % of full, the early sharp front being 20 cells deep")
			}
			rungRel(t, name+" uptake", r.uptake, -v.Stats().Evaporated, 0.002, "COMPUTED, printed to 3 decimals")
			temp := make([]float64, len(x))
			for i, k := range v.cell {
				temp[i] = v.temp[k]
			}
			for at, want := range r.temp {
				rung(t, fmt.Sprintf("%s T at %g m", name, at), want, between(x, temp, at), 0.01, "COMPUTED, printed to 2 decimals")
			}
		}
		face, _ := p.Layers[0].Stuff.Water(v.FaceSuction())
		rung(t, c.name+": w at the face", map[float64]float64{20: 129.04, 30: 128.30}[c.face], face, 0.006, "constants of the Kelvin equation")
	}
}
