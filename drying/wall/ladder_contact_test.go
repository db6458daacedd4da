package wall

import (
	"fmt"
	"math"
	"testing"
)

// sharp is a rigid medium whose liquid moves with one permeability at suctions below at and not at all
// above: water behind a sharp front, as the sharp-front formula supposes.
type sharp struct {
	full, k, at float64
	phi         potential
}

func newSharp(full, k, at float64) *sharp {
	s := &sharp{full: full, k: k, at: at}
	s.phi = integrate(s.slope)
	return s
}

func (s *sharp) Water(y float64) (w, dw float64) {
	const n = 12
	b := math.Pow(math.Exp(y)/s.at, n)
	w = s.full / (1 + b)
	return w, -n * b / (1 + b) * w
}

// slope is dPhi/dy = -K p with K = k S.
func (s *sharp) slope(y float64) float64 {
	w, _ := s.Water(y)
	return -s.k * w / s.full * math.Exp(y)
}

func (s *sharp) Potential(y float64) (phi, dphi float64) { return s.phi.at(y), s.slope(y) }
func (*sharp) Vapour(float64) float64                    { return 0 }
func (*sharp) Heat() Heat                                { return Heat{Conductance: 1, Capacity: 1e6} }
func (s *sharp) Full() float64                           { return s.full }

// cake is a slurry giving its water up to a filter cake of one permeability: as the sharp-front theory
// has it, R^2 is proportional to the suction.
type cake struct{ full, k, step float64 }

// Water falls by step across a suction so low (100 Pa) that the cake forms at once, and hardly after.
func (c cake) Water(y float64) (w, dw float64) {
	const n = 12
	b := math.Pow(math.Exp(y)/100, n)
	w = c.step / (1 + b)
	dw = -n * b / (1 + b) * w
	return c.full - c.step + w, dw
}

func (c cake) Potential(y float64) (phi, dphi float64) {
	p := math.Exp(y)
	return -c.k * p, -c.k * p
}
func (cake) Vapour(float64) float64 { return 0 }
func (cake) Heat() Heat             { return Heat{Conductance: 1, Capacity: 1e6} }
func (c cake) Full() float64        { return c.full }

// half is a half-space for a test: its material, where it starts, and cells deep enough.
type half struct {
	m     Material
	y     float64
	cells []float64
}

// through lets a half-space, its face held at suction exp(y), run to the end and returns the water that
// came out of it.
func (h half) through(t testing.TB, y, end float64) float64 {
	p := &Problem{
		Layers: []Layer{{Name: "medium", Stuff: tabulate(t, h.m), Cells: h.cells}},
		Front:  &Held{Suction: y, SuctionRate: 1e3}, Fluid: refFluid(),
	}
	v := newSolver(t, p, p.Uniform(0, []float64{h.y}, 20), Settings{Tolerance: 1e-5, MaxStep: 1e9})
	advance(t, v, end)
	return v.Stats().Evaporated
}

// contact lays wet on dry and returns what passed, and the interface's suction.
func contactRun(t testing.TB, wet, dry half, end float64) (passed, y float64) {
	wetCells := make([]float64, len(wet.cells)) // fine at the interface
	for i, c := range wet.cells {
		wetCells[len(wetCells)-1-i] = c
	}
	p := &Problem{
		Layers: []Layer{{Name: "wet", Stuff: tabulate(t, wet.m), Cells: wetCells}, {Name: "dry", Stuff: tabulate(t, dry.m), Cells: dry.cells}},
		Fluid:  refFluid(),
	}
	s := p.Uniform(0, []float64{wet.y, dry.y}, 20)
	v := newSolver(t, p, s, Settings{Tolerance: 1e-5, MaxStep: 1e9})
	n := len(wetCells)
	before := p.Water(s, n, p.Cells())
	advance(t, v, end)
	joint := v.cell[n-1] + 1
	if v.stuff[joint] != nil {
		t.Fatal("no joint where one was expected")
	}
	return p.Water(v.State(), n, p.Cells()) - before, v.y[joint]
}

// TestLadderContact: two half-spaces in contact. By similarity the suction p at their interface stays
// constant, and what passes is A sqrt(t) with A = R(p), the desorptivity of the wet one, = S(p), the
// sorptivity of the dry one at that suction: exact for any two media. The sharp-front formula
// 1/A^2 = 1/R^2 + 1/S^2 (Collier et al. 2007, J. Phys. D 40, 4049-4054, from memory), with R at the
// suction of the dry one's front and S at none, holds exactly for a filter cake on a sharp front, and is
// an approximation for others, whose difference is shown.
func TestLadderContact(t *testing.T) {
	const end = 1000.0
	film := func(depth float64) half { return half{refFilm{}, math.Log(310), Graded(depth, 120, depth/4000)} }
	board := func(aw, p50, depth float64) half {
		return half{refRigid{400, aw / 60, 8, p50}, math.Log(9e7), Graded(depth, 120, depth/4000)}
	}
	for _, c := range []struct {
		name     string
		wet, dry half
		front    float64 // suction of the dry medium's wetting front, Pa
		formula  float64 // claim on the sharp-front formula
		why      string
	}{
		{"cake on sharp front", half{cake{0.3, 1e-9, 0.1}, math.Log(2), equal(6, 200)},
			half{newSharp(200, 2e-12, 1e5), math.Log(1e6), equal(0.05, 400)}, 1e5, 0.025, "front rounded over a fifth of its suction: 1.9 % here, 1.4, 1.0, 0.8 % at exponents 16, 20, 24"},
		{"film on thirsty board", film(40), board(1.0, 1e5, 0.1), 1e5, 0.15, "design's ladder"},
		{"film on fair board", film(40), board(0.25, 1e5, 0.05), 1e5, 0.15, "design's ladder"},
		{"film on tight board", film(40), board(0.05, 1e5, 0.02), 1e5, 0.15, "design's ladder"},
	} {
		passed, y := contactRun(t, c.wet, c.dry, end)
		early, yEarly := contactRun(t, c.wet, c.dry, end/4)
		rt := math.Sqrt(end)
		a := passed / rt
		t.Logf("%s: interface suction %.4g Pa, A %.4g kg/(m2 s^0.5)", c.name, math.Exp(y), a)
		rungRel(t, c.name+": suction at t and t/4", math.Exp(y), math.Exp(yEarly), 0.01, "similarity: constant")
		rungRel(t, c.name+": A at t and t/4", a, early/math.Sqrt(end/4), 0.01, "similarity: constant")
		rungRel(t, c.name+": A = R(p)", c.wet.through(t, y, end)/rt, a, 0.01, "design's ladder")
		rungRel(t, c.name+": A = S(p)", -c.dry.through(t, y, end)/rt, a, 0.01, "design's ladder")
		r := c.wet.through(t, math.Log(c.front), end) / rt
		s := -c.dry.through(t, math.Log(1), end) / rt
		rungRel(t, c.name+": sharp-front formula", 1/math.Sqrt(1/(r*r)+1/(s*s)), a, c.formula, fmt.Sprintf("%s; R %.3g, S %.3g", c.why, r, s))
	}
	// The formula's own figures (COMPUTED), mm/min^0.5.
	rung(t, "formula R 1.8, S 2.0", 1.338, 1/math.Sqrt(1/(1.8*1.8)+1/(2.0*2.0)), 6e-4, "printed to 3 decimals")
	rung(t, "formula R 0.4, S 0.03", 0.0299, 1/math.Sqrt(1/(0.4*0.4)+1/(0.03*0.03)), 6e-5, "printed to 4 decimals")
}
