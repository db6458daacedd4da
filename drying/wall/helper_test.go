package wall

import (
	"math"
	"testing"
)

// Helpers of the verification ladder. A rung is one comparison; its tolerance is a claim, and why says
// where the claim comes from.

// rung logs and checks got against want within tol, absolute.
func rung(t testing.TB, what string, want, got, tol float64, why string) {
	t.Helper()
	d := got - want
	t.Logf("%-34s expected %-12.6g got %-12.6g difference %+.2e (allowed %.1e: %s)", what, want, got, d, tol, why)
	if !(math.Abs(d) <= tol) {
		t.Errorf("%s: %g, want %g within %g (%s)", what, got, want, tol, why)
	}
}

// rungRel is rung with the tolerance a share of want.
func rungRel(t testing.TB, what string, want, got, tol float64, why string) {
	t.Helper()
	d := got/want - 1
	t.Logf("%-34s expected %-12.6g got %-12.6g difference %+.3f %% (allowed %.2g %%: %s)", what, want, got, 100*d, 100*tol, why)
	if !(math.Abs(d) <= tol) {
		t.Errorf("%s: %g, want %g within %g %% (%s)", what, got, want, 100*tol, why)
	}
}

func tabulate(t testing.TB, m Material) *Table {
	t.Helper()
	x, err := Tabulate(m)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func newSolver(t testing.TB, p *Problem, s State, set Settings) *Solver {
	t.Helper()
	v, err := NewSolver(p, s, set)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func advance(t testing.TB, v *Solver, until float64, obs ...Observer) {
	t.Helper()
	if err := v.Advance(until, obs...); err != nil {
		t.Fatal(err)
	}
}

// equal cuts size into n equal cells.
func equal(size float64, n int) []float64 { return Graded(size, n, size) }

// centres of the cells of one layer.
func centres(cells []float64) []float64 {
	x := make([]float64, len(cells))
	at := 0.0
	for i, c := range cells {
		x[i] = at + c/2
		at += c
	}
	return x
}

// between interpolates v, given at increasing x, linearly at one place.
func between(x, v []float64, at float64) float64 {
	i := 1
	for i < len(x)-1 && x[i] < at {
		i++
	}
	return v[i-1] + (at-x[i-1])/(x[i]-x[i-1])*(v[i]-v[i-1])
}

// profile is W of the cells now.
func profile(v *Solver) []float64 {
	w := make([]float64, len(v.cell))
	for i, k := range v.cell {
		w[i] = v.water[k]
	}
	return w
}

// linear is the test material that makes drying linear: W = full exp(-p/hk) at the fluid's temperature,
// so that W is proportional to vapour pressure, and Phi = D W.
type linear struct{ full, d, hk float64 }

func (l linear) Water(y float64) (w, dw float64) {
	a := math.Exp(y) / l.hk
	w = l.full * math.Exp(-a)
	return w, -a * w
}

func (l linear) Potential(y float64) (phi, dphi float64) {
	w, dw := l.Water(y)
	return l.d * w, l.d * dw
}
func (linear) Vapour(float64) float64 { return 0 }
func (linear) Heat() Heat             { return Heat{Conductance: 1, Capacity: 1e6} }
func (l linear) Full() float64        { return l.full }

// y at which the material holds w.
func (l linear) y(w float64) float64 { return math.Log(-math.Log(w/l.full) * l.hk) }

// stillFluid has no temperature dependence but saturation, and a permeability of its own.
func stillFluid(permeability float64) *Fluid {
	return NewFluid(FluidSpec{
		Saturation:   func(c float64) float64 { return 611.2 * math.Exp(17.62*c/(243.12+c)) },
		Mobility:     func(float64) float64 { return 1 },
		Permeability: func(float64) float64 { return permeability },
		LatentHeat:   2.5e6, WaterDensity: 1000, GasConstant: 461.5,
	})
}

func newLinear(f *Fluid, c, full, d float64) linear {
	return linear{full: full, d: d, hk: f.kelvinSpan * (c + 273.15)}
}

// potential is an integral over y from the wet end of the tables, at their nodes: for materials whose
// Kirchhoff potential has no closed form.
type potential []float64

// integrate sums slope, dPhi/dy, by Gauss's three points a table cell.
func integrate(slope func(y float64) float64) potential {
	p := make(potential, tableCells+1)
	for i := range tableCells {
		a := tableMin + float64(i)*tableStep
		sum := 0.0
		for k, x := range [3]float64{0.5 - math.Sqrt(0.15), 0.5, 0.5 + math.Sqrt(0.15)} {
			sum += [3]float64{5.0 / 18, 8.0 / 18, 5.0 / 18}[k] * slope(a+x*tableStep)
		}
		p[i+1] = p[i] + sum*tableStep
	}
	return p
}

func (p potential) at(y float64) float64 {
	return p[min(max(int(math.Round((y-tableMin)/tableStep)), 0), tableCells)]
}
