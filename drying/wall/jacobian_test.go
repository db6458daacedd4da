package wall

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"limeday/psychro"
)

// reswell is the film of the reference problem with hysteresis: it wets at half the suction it drains
// at, and what has consolidated stays so.
type reswell struct{ refFilm }

func (reswell) Wetting() (offset, shrunk float64) { return math.Ln2, math.Log(refPae) }

// variable gives the vapour factor and the liquid flow of a rigid layer a dependence of every kind.
type variable struct{ refRigid }

func (r variable) Vapour(y float64) float64 {
	s, _ := r.sat(y)
	return (1 - 0.9*s) / r.mu
}

func (variable) Heat() Heat { return Heat{Conductance: 0.4, PerWater: 1e-3, Capacity: 1.2e6} }

// TestJacobian compares every entry of the assembled matrix with the central difference of the residual
// at random states: cells, faces, joints, contact, hysteresis, both boundaries, all three thermal modes.
func TestJacobian(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	fluid := NewFluid(StandardFluid(psychro.Pascal(101325)))
	film, skin, board := tabulate(t, reswell{}), tabulate(t, variable{refRigid{250, 0.1 / 60, 60, 5e4}}), tabulate(t, variable{refRigid{400, 1.0 / 60, 8, 3e4}})
	robin := newRefAir(21, 0.5, 3, fluid)
	for _, thermal := range []Thermal{Isothermal, Lumped, Conducting} {
		for _, centre := range []bool{false, true} {
			for trial := range 40 {
				p := &Problem{
					Layers: []Layer{
						{Name: "film", Stuff: film, Cells: GradedBothEnds(0.3, 4, 0.02)},
						{Name: "skin", Stuff: skin, Cells: equal(0.25e-3, 3), Contact: 1e5},
						{Name: "board", Stuff: board, Cells: Graded(12e-3, 4, 1e-4)},
					},
					Front: robin, Fluid: fluid, Thermal: thermal, FaceAtCentre: centre,
				}
				switch trial % 4 {
				case 0:
					p.Rear = &Held{Pressure: 1200, PressureBeta: 1e-8, Temperature: 18, HeatRate: 8}
				case 1:
					p.Rear = &Held{Suction: 9, SuctionRate: 1e-3, Temperature: 18, HeatRate: 100}
				case 2:
					p.Rear = &Held{Flux: 1e-6, Temperature: 18, HeatRate: 8}
				}
				s := State{Cells: make([]Cell, p.Cells())}
				i := 0
				for _, l := range p.Layers {
					for range l.Cells {
						y := rng.Float64()*14 + 4
						s.Cells[i] = l.Stuff.At(y, rng.Float64()*30+2)
						if l.Stuff.play { // somewhere below where it was, or above
							s.Cells[i].Consolidated = min(y+rng.Float64()*2, l.Stuff.shrunk)
							s.Cells[i].Drained = max(y, s.Cells[i].Consolidated-0.01)
						}
						i++
					}
				}
				v := newSolver(t, p, s, Settings{})
				for i := range v.n {
					v.y[i] += rng.Float64()*2 - 1
					v.rw[i], v.rh[i] = rng.Float64(), rng.Float64()
					if v.stuff[i] == nil && thermal == Conducting {
						v.temp[i] = rng.Float64()*30 + 2
					}
					v.y[i], v.temp[i] = offNodes(v.y[i], tableStep), offNodes(v.temp[i], fluidStep)
				}
				checkJacobian(t, v, fmt.Sprintf("thermal %d centre %v trial %d", thermal, centre, trial))
				if t.Failed() {
					return
				}
			}
		}
	}
}

// offNodes moves x off the nodes of a table of the given step, where piecewise linear properties have kinks.
// Both tables have a node at zero.
func offNodes(x, step float64) float64 {
	if f := x/step - math.Floor(x/step); f < 0.05 || f > 0.95 {
		x += 0.2 * step
	}
	return x
}

// checkSolved: the fluxes, linear in the changes solved for, balance at every face and joint, and what flows into a cell is what it
// comes to store, to the rounding of the largest of them. It reads the links and the faces, and nothing of the elimination.
func checkSolved(t *testing.T, v *Solver, hd float64, name string) {
	t.Helper()
	v.substitute(true)
	cond := v.p.Thermal == Conducting
	water, heat, scale, scaleH := make([]float64, v.n), make([]float64, v.n), make([]float64, v.n), make([]float64, v.n)
	add := func(i int, w, h float64) {
		water[i], heat[i] = water[i]+w, heat[i]+h
		scale[i], scaleH[i] = scale[i]+math.Abs(w), scaleH[i]+math.Abs(h)
	}
	for k, l := range v.links {
		for _, x := range [][2]float64{{l.water, l.heat}, {l.waterL * v.dy[k], l.heatL * v.dy[k]}, {l.waterR * v.dy[k+1], l.heatR * v.dy[k+1]},
			{l.waterTL * v.dt[k], l.heatTL * v.dt[k]}, {l.waterTR * v.dt[k+1], l.heatTR * v.dt[k+1]}} {
			add(k, -x[0], -x[1])
			add(k+1, x[0], x[1])
		}
	}
	for e := range v.ends {
		if d, i := &v.ends[e], e*(v.n-1); d.b != nil {
			for _, x := range [][2]float64{{d.x.Water, d.heat}, {d.waterY * v.dy[i], d.heatY * v.dy[i]}, {d.waterT * v.dt[i], d.heatT * v.dt[i]}} {
				add(i, -x[0], x[1])
			}
		}
	}
	for i, tab := range v.stuff {
		if tab != nil {
			add(i, -(v.wNow[i]-v.rw[i])*v.size[i]/hd, v.rh[i]/hd)
			add(i, -v.dw[i]*v.dy[i]*v.size[i]/hd, 0)
			c, byW := tab.heat.Capacity, 0.0
			if !tab.heat.WaterMissing {
				c, byW = c+v.p.Fluid.waterHeat*v.wNow[i], v.p.Fluid.waterHeat
			}
			add(i, 0, -c*v.temp[i]*v.size[i]/hd)
			add(i, 0, -(c*v.dt[i]+byW*v.dw[i]*v.dy[i]*v.temp[i])*v.size[i]/hd)
		}
		if !(math.Abs(water[i]) <= 1e-9*scale[i]) || cond && !(math.Abs(heat[i]) <= 1e-9*scaleH[i]) {
			t.Errorf("%s: node %d is left open by %g of %g kg/m2s, %g of %g W/m2", name, i, water[i], scale[i], heat[i], scaleH[i])
		}
	}
}

// rowOf is the row of node i as it was before elimination: its derivatives by the unknowns on its left, of its own and on its right
// (water by y, water by T, heat by y, heat by T), its residuals, and the derivative by the one temperature of a Lumped wall.
func (v *Solver) rowOf(i int) (lo, own, up [4]float64, water, heat, col float64) {
	var l, r link
	if i > 0 {
		l = v.links[i-1]
	}
	if i < v.n-1 {
		r = v.links[i]
	}
	if v.p.Thermal != Conducting {
		var next row
		if i < v.n-1 {
			next = v.rows[i+1]
		}
		x := v.rows[i]
		lo[0], own[0], up[0] = l.waterL, 1/x.inv-r.waterR*next.c, -r.waterR
		return lo, own, up, r.waterR*next.a - x.a/x.inv, 0, x.z/x.inv - r.waterR*next.z
	}
	var next block
	if i < v.n-1 {
		next = v.blocks[i+1]
	}
	x := v.blocks[i]
	right := square{r.waterR, r.waterTR, r.heatR, r.heatTR}
	d, c := x.inv.inverse(), right.times(next.c)
	lo = [4]float64{l.waterL, l.waterTL, l.heatL, l.heatTL}
	own = [4]float64{d.wy - c.wy, d.wt - c.wt, d.hy - c.hy, d.ht - c.ht}
	up = [4]float64{-r.waterR, -r.waterTR, -r.heatR, -r.heatTR}
	w, h := right.of(next.ay, next.at)
	y, t := d.of(x.ay, x.at)
	return lo, own, up, w - y, h - t, 0
}

func checkJacobian(t *testing.T, v *Solver, name string) {
	t.Helper()
	const hd = 50.0
	n := v.n
	cond := v.p.Thermal == Conducting
	v.prepare(0)
	v.assemble(hd, false)
	checkSolved(t, v, hd, name)
	type entry = [4]float64
	got := make([][]entry, n) // row i, column j: water by y, water by T, heat by y, heat by T
	for i := range got {
		got[i] = make([]entry, n)
		lo, di, up, _, _, _ := v.rowOf(i)
		for j, b := range map[int]entry{i - 1: lo, i: di, i + 1: up} {
			if j >= 0 && j < n {
				got[i][j] = b
			}
		}
	}
	var lump [3]float64 // heat balance of the faces, by y of the front, of the rear, by T
	residual := func() (water, heat []float64) {
		water, heat = make([]float64, n), make([]float64, n)
		for i := range n {
			_, _, _, water[i], heat[i], _ = v.rowOf(i)
		}
		return
	}
	col := make([]float64, n)
	for i := range n {
		_, _, _, _, _, col[i] = v.rowOf(i)
	}
	for e := range v.ends {
		if d := &v.ends[e]; d.b != nil {
			lump[e] = d.heatY
			lump[2] += d.heatT
		}
	}
	water, heat := residual()
	balance := func() (s float64) {
		for e := range v.ends {
			if v.ends[e].b != nil {
				s += v.ends[e].heat
			}
		}
		return
	}
	// diff is the central difference of every residual as x changes.
	diff := func(x []float64, eps float64) (dw, dh []float64, db float64) {
		old := append([]float64(nil), x...)
		for i := range x {
			x[i] = old[i] + eps
		}
		v.assemble(hd, false)
		dw, dh = residual()
		db = balance()
		for i := range x {
			x[i] = old[i] - eps
		}
		v.assemble(hd, false)
		water, heat := residual()
		for i := range n {
			dw[i], dh[i] = (dw[i]-water[i])/(2*eps), (dh[i]-heat[i])/(2*eps)
		}
		db = (db - balance()) / (2 * eps)
		copy(x, old)
		return
	}
	const (
		epsY, epsT = 1e-4, 1e-3
		tol        = 5e-5 // of the row's largest entry: third derivatives times eps^2, and rounding over eps
	)
	scale := func(i, k int) float64 { // of row i, equation and unknown k
		s := 0.0
		for j := range n {
			s = max(s, math.Abs(got[i][j][k]))
		}
		return s
	}
	check := func(what string, i, j int, analytic, fd, size, value float64) {
		t.Helper()
		if !(math.Abs(analytic-fd) <= tol*size+1e-15*math.Abs(value)/epsY+1e-13) { // the last two: rounding
			t.Errorf("%s: %s, row %d (y %.3f) by node %d: analytic %g, difference %g, row scale %g", name, what, i, v.y[i], j, analytic, fd, size)
		}
	}
	for j := range n {
		dw, dh, db := diff(v.y[j:j+1], epsY)
		for i := range n {
			check("water by y", i, j, got[i][j][0], dw[i], scale(i, 0), water[i])
			if cond {
				check("heat by y", i, j, got[i][j][2], dh[i], scale(i, 2), heat[i])
			}
		}
		if v.p.Thermal == Lumped && (j == 0 || j == n-1) {
			check("balance by y", -0, j, lump[j/max(1, n-1)], db, math.Abs(lump[0])+math.Abs(lump[1]), 0)
		}
		if cond {
			dw, dh, _ = diff(v.temp[j:j+1], epsT)
			for i := range n {
				check("water by T", i, j, got[i][j][1], dw[i], scale(i, 1), water[i])
				check("heat by T", i, j, got[i][j][3], dh[i], scale(i, 3), heat[i])
			}
		}
	}
	if v.p.Thermal == Lumped {
		dw, _, db := diff(v.temp[:1], epsT)
		big := 0.0
		for i := range n {
			big = max(big, math.Abs(col[i]))
		}
		for i := range n {
			check("water by the one T", i, 0, col[i], dw[i], big, water[i])
		}
		check("balance by the one T", 0, 0, lump[2], db, math.Abs(lump[2]), 0)
	}
}
