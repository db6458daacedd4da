package wall

import (
	"fmt"
	"math"
	"testing"
)

// order is the observed order between two errors at a ratio of two in step or cell.
func order(coarse, fine float64) float64 { return math.Log2(coarse / fine) }

// mode is a smooth linear problem: a sealed sheet holding one cosine of moisture about a mean, which
// decays as exp(-lambda t).
func mode(t testing.TB, cells int) (p *Problem, s State, amp, tau float64, stuff linear) {
	const depth, d, temp = 10e-3, 1e-9, 20.0
	fluid := stillFluid(0)
	stuff = newLinear(fluid, temp, 100, d)
	table := tabulate(t, stuff)
	p = &Problem{Layers: []Layer{{Name: "sheet", Stuff: table, Cells: equal(depth, cells)}}, Fluid: fluid}
	s = State{Cells: make([]Cell, cells)}
	for i, x := range centres(p.Layers[0].Cells) {
		w := 50 + 30*math.Cos(math.Pi*x/depth)
		s.Cells[i] = table.At(table.Suction(w), temp)
	}
	return p, s, 30, depth * depth / (math.Pi * math.Pi * d), stuff
}

// TestLadderTimeOrder: second order in time on the smooth problem, by fixed steps, against the exact
// decay of the same grid (the cosine is an eigenvector of it); and the error that a tolerance leaves.
// TR-BDF2's order is 2 (Hosea & Shampine 1996, from memory).
func TestLadderTimeOrder(t *testing.T) {
	const n = 24
	run := func(set Settings) (err float64, st Stats) {
		p, s, amp, tau, _ := mode(t, n)
		v := newSolver(t, p, s, set)
		end := tau
		advance(t, v, end)
		h := 1.0 / n
		grid := 2 / (h * h) * (1 - math.Cos(math.Pi*h)) / (math.Pi * math.Pi) // the grid's decay, as a share of the exact one
		for i, x := range centres(p.Layers[0].Cells) {
			want := 50 + amp*math.Cos(math.Pi*x/10e-3)*math.Exp(-grid*end/tau)
			err = max(err, math.Abs(v.water[v.cell[i]]-want)/amp)
		}
		return err, v.Stats()
	}
	_, _, _, tau, _ := mode(t, n)
	last := 0.0
	for k, steps := range []int{4, 8, 16, 32, 64} {
		h := tau / float64(steps)
		// The tolerance never binds; it only scales how far Newton goes.
		err, st := run(Settings{FirstStep: h, MaxStep: h, Tolerance: 0.02 / math.Pow(8, float64(k))})
		if st.Steps != steps || st.Rejected+st.Failed != 0 {
			t.Fatalf("steps were not fixed: %+v, want %d", st, steps)
		}
		if k > 0 {
			rung(t, fmt.Sprintf("order in time, %d to %d steps", steps/2, steps), 2, order(last, err), 0.15, fmt.Sprintf("asymptotic; error %.1e", err))
		}
		last = err
	}
	var first, end float64
	for k, tol := range []float64{1e-3, 1e-4, 1e-5, 1e-6, 1e-7} {
		err, st := run(Settings{Tolerance: tol, MaxStep: 1e9})
		t.Logf("tolerance %.0e: %4d steps, error %.1e", tol, st.Steps, err)
		if k == 0 {
			first = err
		}
		end = err
	}
	// Error goes with tolerance to the power 2/3: 4 decades of tolerance, 2.7 of error.
	rung(t, "decades of error by 4 of tolerance", 8.0/3, math.Log10(first/end), 0.7, "step control is not smooth")
}

// TestLadderSpaceOrder: second order in space, sealed and with an evaporating face, against the exact
// solutions of rung Crank.
func TestLadderSpaceOrder(t *testing.T) {
	last := 0.0
	for k, n := range []int{8, 16, 32, 64} {
		p, s, amp, tau, _ := mode(t, n)
		v := newSolver(t, p, s, Settings{Tolerance: 1e-8, MaxStep: 1e9})
		advance(t, v, tau)
		err := 0.0
		for i, x := range centres(p.Layers[0].Cells) {
			err = max(err, math.Abs(v.water[v.cell[i]]-50-amp*math.Cos(math.Pi*x/10e-3)*math.Exp(-1))/amp)
		}
		if k > 0 {
			rung(t, fmt.Sprintf("order in space, sealed, %d to %d", n/2, n), 2, order(last, err), 0.1, fmt.Sprintf("asymptotic; error %.1e", err))
		}
		last = err
	}
	exact := plate{5, plateRoots(5, 200)}
	for k, n := range []int{8, 16, 32, 64} {
		const depth, d, temp = 10e-3, 1e-9, 20.0
		fluid := stillFluid(0)
		stuff := newLinear(fluid, temp, 100, d)
		ps := fluid.Saturation(temp)
		p := &Problem{
			Layers: []Layer{{Name: "sheet", Stuff: tabulate(t, stuff), Cells: equal(depth, n)}},
			Front:  &Held{Pressure: 0.1 * ps, PressureBeta: 5 * d / depth * stuff.full / ps}, Fluid: fluid,
		}
		v := newSolver(t, p, p.Uniform(0, []float64{stuff.y(90)}, temp), Settings{Tolerance: 1e-8, MaxStep: 1e9})
		advance(t, v, 0.5*depth*depth/d)
		err := 0.0
		for i, x := range centres(p.Layers[0].Cells) {
			// A cell holds its mean: by Simpson.
			h := depth / float64(n) / 2
			f := func(x float64) float64 { return exact.remains(1-x/depth, 0.5) }
			err = max(err, math.Abs((v.water[v.cell[i]]/stuff.full-0.1)/0.8-(f(x-h)+4*f(x)+f(x+h))/6))
		}
		if k > 0 {
			rung(t, fmt.Sprintf("order in space, evaporating, %d to %d", n/2, n), 2, order(last, err), 0.15, fmt.Sprintf("asymptotic; error %.1e", err))
		}
		last = err
	}
}

// TestLadderConvergence: the events of the reference film problem on halved grids and at tighter
// tolerance. The claim (design's ladder, rung 4): tightening the tolerance tenfold moves an event by less
// than 0.5 %, halving every cell by less than 1 %. With heat cells on the same claims hold.
func TestLadderConvergence(t *testing.T) {
	for _, thermal := range []Thermal{Lumped, Conducting} {
		for _, c := range readFilmCases(t) {
			run := func(halvings int, tol float64) [3]float64 {
				grid := refGraded(c.thick)
				for range halvings {
					for l := range grid {
						grid[l] = Halved(grid[l])
					}
				}
				p, s, _ := refProblem(t, c, grid, thermal)
				r, _ := refRun(t, p, s, Settings{Tolerance: tol, TempTol: tol / 3e-4 * 0.05}, 86400)
				if !r.opens.Found || !r.closes.Found || !r.recoat.Found {
					t.Fatalf("%+v: an event was not reached", c)
				}
				return [3]float64{r.opens.At / 60, r.closes.At / 60, r.recoat.At / 60}
			}
			tols, grids := [3][3]float64{}, [4][3]float64{}
			for k, tol := range []float64{3e-4, 3e-5, 3e-6} {
				tols[k] = run(0, tol)
			}
			for k := range grids {
				grids[k] = run(k, 3e-5)
			}
			name := fmt.Sprintf("%g mm %g C %g %s", c.thick, c.ta, c.rh, [...]string{"", "lumped", "heat cells"}[thermal])
			for e, ev := range []string{"opens", "closes", "recoat"} {
				t.Logf("%s %-6s tolerance 3e-4 %.3f, 3e-5 %.3f, 3e-6 %.3f min; cells 36: %.3f, 72: %.3f, 144: %.3f, 288: %.3f min", name, ev,
					tols[0][e], tols[1][e], tols[2][e], grids[0][e], grids[1][e], grids[2][e], grids[3][e])
				rungRel(t, name+" "+ev+", tolerance/10", tols[1][e], tols[0][e], 0.005, "design's ladder")
				rungRel(t, name+" "+ev+", cells halved", grids[1][e], grids[0][e], 0.01, "design's ladder")
				rungRel(t, name+" "+ev+", as shipped", grids[3][e], tols[0][e], 0.005, "speed problem: within 0.5 % of the converged value")
			}
		}
	}
}
