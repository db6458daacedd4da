package wall

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// The reference film problem of testdata/checks/film-cases.csv: one film on a primer on a board in
// constant air. Its values were COMPUTED with SUNDIALS CVODE 6.4 on refined grids; the definition below
// is that of the problem, not of any product material.

type refRigid struct{ wcap, a, mu, p50 float64 }

func (r refRigid) alpha() (al, n, m float64) {
	n = 1.6
	m = 1 - 1/n
	return math.Pow(math.Pow(2, 1/m)-1, 1/n) / r.p50, n, m
}

func (r refRigid) sat(y float64) (s, ds float64) {
	al, n, m := r.alpha()
	b := math.Pow(al*math.Exp(y), n)
	s = math.Pow(1+b, -m)
	return s, -m * n * b / (1 + b) * s
}

func (r refRigid) Water(y float64) (w, dw float64) {
	s, ds := r.sat(y)
	return r.wcap * s, r.wcap * ds
}

func (r refRigid) Potential(y float64) (phi, dphi float64) {
	s, ds := r.sat(y)
	d := 3.8 * (r.a / r.wcap) * (r.a / r.wcap) * math.Pow(1000, s-1)
	return r.wcap * d / math.Log(1000), r.wcap * d * ds
}
func (r refRigid) Vapour(float64) float64 { return 1 / r.mu }
func (r refRigid) Heat() Heat             { return Heat{Conductance: 0.3, Capacity: 1e6} }
func (r refRigid) Full() float64          { return r.wcap }

type refFilm struct{}

const (
	refRhoS, refU0, refUsh, refPae, refP0, refN = 2600.0, 0.36, 0.26, 5e5, 300.0, 1.7
)

func (refFilm) Water(y float64) (u, du float64) {
	m := 1 - 1/refN
	p := math.Exp(y)
	b := math.Pow(p/(3*refPae), refN)
	s := math.Pow(1+b, -m)
	u, du = refUsh*s, -refUsh*m*refN*b/(1+b)*s
	if k := (refU0 - refUsh) / math.Log(refPae/refP0); p < refPae {
		u += k * math.Log(refPae/math.Max(p, refP0))
		if p > refP0 {
			du -= k
		}
	}
	return u, du
}

func refBulk(u float64) float64 { return 1 / (1/refRhoS + math.Max(u, refUsh)/1000) }

func (f refFilm) Potential(y float64) (phi, dphi float64) {
	u, du := f.Water(y)
	r := 0.4e-3 / math.Sqrt(60)
	d := r * r / 0.2
	rs := refBulk(refUsh)
	if u < refUsh {
		e := d * rs * rs * refUsh / 4 * math.Exp(-4*(1-u/refUsh))
		return e, d * rs * rs * math.Exp(-4*(1-u/refUsh)) * du
	}
	rb := refBulk(u)
	return d*rs*rs*refUsh/4 + 1000*d*(rs-rb), d * rb * rb * du
}

func (f refFilm) Vapour(y float64) float64 {
	u, _ := f.Water(y)
	return refBulk(u) / 15
}

func (refFilm) Heat() Heat {
	return Heat{Conductance: 0.7 * refBulk(refUsh), Capacity: 900}
}
func (refFilm) Full() float64 { return refUsh }

func refFluid() *Fluid {
	return NewFluid(FluidSpec{
		Saturation:   func(c float64) float64 { return 611.2 * math.Exp(17.62*c/(243.12+c)) },
		Mobility:     func(float64) float64 { return 1 },
		Permeability: func(float64) float64 { return 1.9e-10 },
		LatentHeat:   2.45e6, VapourHeat: 0, WaterHeat: 0, WaterDensity: 998, GasConstant: 461.5,
	})
}

// refAir is the face of the reference problem: constant coefficients.
type refAir struct{ ta, pa, hc, beta float64 }

func newRefAir(ta, rh, hc float64, f *Fluid) *refAir {
	return &refAir{ta: ta, pa: rh * f.Saturation(ta), hc: hc,
		beta: hc / (1.2 * 1006 * math.Pow(0.85, 2.0/3)) / (461.5 * (ta + 273.15))}
}
func (*refAir) Prepare(float64)      {}
func (*refAir) Next(float64) float64 { return math.Inf(1) }
func (a *refAir) Exchange(s *Surface, x *Exchange) {
	*x = Exchange{Water: a.beta * (s.Pressure - a.pa), WaterPressure: a.beta,
		Heat: (a.hc + 5 + 3) * (a.ta - s.Temperature), HeatTemp: -(a.hc + 8)}
}

type refCase struct{ thick, ta, rh, hc, aw, opens, closes, recoat float64 }

// refProblem builds a case on cells per layer cut `refine` times finer.
func refProblem(t testing.TB, c refCase, grid [3][]float64, thermal Thermal) (*Problem, State, *Table) {
	t.Helper()
	tab := func(m Material) *Table {
		x, err := Tabulate(m)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	f := refFluid()
	film := tab(refFilm{})
	p := &Problem{
		Layers: []Layer{
			{Name: "film", Stuff: film, Cells: grid[0]},
			{Name: "primer", Stuff: tab(refRigid{250, c.aw / 60, 60, 5e4}), Cells: grid[1]},
			{Name: "board", Stuff: tab(refRigid{400, 1.0 / 60, 8, 3e4}), Cells: grid[2]},
		},
		Front: newRefAir(c.ta, c.rh, c.hc, f), Fluid: f, Thermal: thermal, FaceAtCentre: true,
	}
	room := f.Suction(c.rh, c.ta)
	return p, p.Uniform(0, []float64{math.Log(310), room, room}, c.ta), film
}

func refSolid(mm float64) float64 {
	return mm / 1000 * (1 + refU0) / (1.0/refRhoS + refU0/1000) / (1 + refU0)
}

// refGraded is the production way of cutting, fine at every wet/dry interface: 36 cells, the grid of the
// speed problem.
func refGraded(mm float64) [3][]float64 {
	m := refSolid(mm)
	return [3][]float64{GradedBothEnds(m, 6, m/16), GradedBothEnds(0.25e-3, 16, 8e-6), Graded(12e-3, 14, 50e-6)}
}

type refTimes struct{ opens, closes, recoat Crossing }

func refRun(t testing.TB, p *Problem, s State, set Settings, end float64) (refTimes, *Solver) {
	t.Helper()
	v, err := NewSolver(p, s, set)
	if err != nil {
		t.Fatal(err)
	}
	r := refTimes{
		opens:  Crossing{End: 1, Level: refUsh + 0.15*(refU0-refUsh)},
		closes: Crossing{End: 1, Level: 0.60 * refUsh},
		recoat: Crossing{End: 1, Level: 0.45 * refUsh},
	}
	if err := v.Advance(end, &r.opens, &r.closes, &r.recoat); err != nil {
		t.Fatal(err)
	}
	return r, v
}

func readFilmCases(t testing.TB) []refCase {
	t.Helper()
	f, err := os.Open("../../testdata/checks/film-cases.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("film-cases.csv: no rows (%v)", err)
	}
	col := map[string]int{}
	for i, h := range rows[0] {
		col[h] = i
	}
	num := func(r []string, name string) float64 {
		i, ok := col[name]
		if !ok {
			t.Fatalf("film-cases.csv: no column %s", name)
		}
		x, err := strconv.ParseFloat(r[i], 64)
		if err != nil {
			t.Fatalf("film-cases.csv: %s: %v", name, err)
		}
		return x
	}
	var cases []refCase
	for _, r := range rows[1:] {
		cases = append(cases, refCase{num(r, "thickness_mm"), num(r, "ta_c"), num(r, "rh"), num(r, "hc"), num(r, "aw"),
			num(r, "opens_min"), num(r, "closes_min"), num(r, "recoat_min")})
	}
	return cases
}

// TestFilmCases: every row of the reference file through the production solver, on the product's kind of
// grid. Tolerance: opens 2 %, closes and recoat 1 % (the design's ladder, rung 4).
func TestFilmCases(t *testing.T) {
	for _, c := range readFilmCases(t) {
		p, s, _ := refProblem(t, c, refGraded(c.thick), Lumped)
		r, v := refRun(t, p, s, Settings{}, 86400)
		t.Logf("%v steps %+v", c, v.Stats())
		for _, e := range []struct {
			name      string
			got       Crossing
			want, tol float64
		}{{"opens", r.opens, c.opens, 0.02}, {"closes", r.closes, c.closes, 0.01}, {"recoat", r.recoat, c.recoat, 0.01}} {
			if !e.got.Found {
				t.Errorf("%+v: %s never reached", c, e.name)
				continue
			}
			got := e.got.At / 60
			d := got/e.want - 1
			t.Logf("  %-7s %8.3f min, reference %8.3f, %+.2f %%", e.name, got, e.want, 100*d)
			if math.Abs(d) > e.tol {
				t.Errorf("%+v: %s %.3f min, want %.3f within %g %% (COMPUTED with SUNDIALS CVODE)", c, e.name, got, e.want, 100*e.tol)
			}
		}
	}
}
