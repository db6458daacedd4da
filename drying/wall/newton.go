package wall

import "math"

const (
	// The range unknowns are kept in. A layer may start with less water than its table ends with, as a thin primer left in
	// dry air does once set; at yHigh the line that goes on from there holds none.
	yLow, yHigh = -15, 30.0
	clip        = 2.5 // largest change of ln(suction) in one iteration, at first
	patience    = 5   // iterations after which it shrinks, so that none goes to and fro for ever
	shrinkage   = 0.85
	tempClip    = 15.0 // K
	shortest    = 1e-3 // s: steps below are given as many iterations as a face that is solved for alone
)

// When a stage is solved. An iteration that changed a cell's y by d leaves about dW/dy d^2 of water over, which the next step makes
// good, as water is carried by the fluxes: a step's own tolerance of that is enough. A face, joint or cell at a plateau of its curve
// stores nothing, but passes a flux wrong by a share of d^2, of which leastShare of the cells' water passes in a step. That the
// curves bend so little is then looked at, as kinks and hysteresis do not: see straight.
const (
	leastShare = 0.05
	heldShare  = 100  // where faces and joints alone are solved for, from which a course begins
	unbent     = 0.3  // of the tolerance
	unmoved    = 0.01 // of ln(suction): what a cell that stores little, full or between two curves, may have to move to make it good
)

// newton solves one stage by Newton's method from the present unknowns. On success the present unknowns
// are the solution, f and q hold the net inflow at every node, linearised to it, so that faces and
// joints balance to rounding, and ends[].now what passes the faces.
func (v *Solver) newton(hd float64, frozen bool) bool {
	// Where so short a step does not converge the face has jumped, to run off or dry: that takes its time.
	patient := frozen || hd < shortest
	limit := v.set.NewtonLimit
	if patient {
		limit *= 8
	}
	last, clip := math.Inf(1), clip
	for it := range limit {
		if it > patience {
			clip *= shrinkage
		}
		v.stats.Newton++
		v.assemble(hd, frozen)
		v.substitute(true)
		worst, clipped := v.change(clip, frozen)
		if math.IsNaN(worst) {
			return false
		}
		if worst <= 1 && !clipped {
			if !frozen && !v.straight() {
				continue
			}
			v.linearise()
			return true
		}
		if it >= 4 && !patient && worst > 0.5*last && !clipped {
			return false
		}
		last = worst
	}
	return false
}

// substitute ends the elimination: it puts the changes of the unknowns into dy and dt. A Lumped wall has one balance of heat,
// that of its faces, which counts where open is true.
func (v *Solver) substitute(open bool) {
	n := v.n
	dy, dt := v.dy[:n], v.dt[:n]
	if v.p.Thermal == Conducting {
		var y, t float64
		for i := range v.blocks[:n] {
			b := &v.blocks[i]
			y, t = b.ay-b.c.wy*y-b.c.wt*t, b.at-b.c.hy*y-b.c.ht*t
			dy[i], dt[i] = y, t
		}
		return
	}
	t := 0.0
	if v.p.Thermal == Lumped {
		t = v.lumpedChange(open)
		for i := range dt {
			dt[i] = t
		}
	}
	y := 0.0
	for i := range v.rows[:n] {
		r := &v.rows[i]
		y = r.a - r.z*t - r.c*y
		dy[i] = y
	}
}

// lumpedChange is the change of the one temperature that closes the faces' balance of heat.
func (v *Solver) lumpedChange(open bool) float64 {
	g, row := 0.0, 0.0
	for e := range v.ends {
		d := &v.ends[e]
		if d.b == nil {
			continue
		}
		a, z := v.rows[0].a, v.rows[0].z
		if e == 1 && d.heatY != 0 {
			for i := 1; i < v.n; i++ {
				r := &v.rows[i]
				a, z = r.a-r.c*a, r.z-r.c*z
			}
		}
		if open {
			g -= d.heat
		}
		g -= d.heatY * a
		row += d.heatT - d.heatY*z
	}
	if row == 0 {
		return 0
	}
	return g / row
}

// change adds the changes to the unknowns, none by more than clip, and returns the worst of them in units of what may be left
// over; not a number where one is none.
func (v *Solver) change(clip float64, frozen bool) (worst float64, clipped bool) {
	n := v.n
	perTemp := 1 / (2 * v.set.TempTol)
	perTol := 1 / v.set.Tolerance
	least := leastShare
	if frozen {
		least = heldShare
	}
	ys, temps, dy, dt, dws, part := v.y[:n], v.temps(v.temp), v.dy[:n], v.dt[:n], v.dw[:n], v.part[:n]
	for i := range ys {
		d := dy[i]
		if !(math.Abs(d) <= clip) {
			if math.IsNaN(d) {
				v.bad = i
				return d, true
			}
			d = math.Copysign(clip, d)
			clipped, v.bad = true, i
		}
		if y := ys[i] + d; y < yLow || y > yHigh {
			d = min(max(y, yLow), yHigh) - ys[i]
			clipped, v.bad = true, i
		}
		// What this iteration leaves over is about second order in the change it made.
		d2 := math.Abs(d) * min(math.Abs(d), 1)
		if e := max(least, -dws[i]*part[i]) * d2 * perTol; e > worst {
			worst, v.bad = e, i
		}
		ys[i] += d
	}
	if v.p.Thermal == Isothermal {
		return worst, clipped
	}
	for i := range temps {
		d := dt[i]
		if !(math.Abs(d) <= tempClip) {
			if math.IsNaN(d) {
				v.bad = i
				return d, true
			}
			d = math.Copysign(tempClip, d)
			clipped, v.bad = true, i
		}
		temps[i] += d
		worst = max(worst, math.Abs(d)*perTemp)
	}
	return worst, clipped
}

// linearise turns the fluxes of the last assembly into those at the unknowns after the last change, to
// first order: what the linear solve balanced. What comes to a face or joint goes on from it, so that its rounding, which is that of
// fluxes many times as large where suctions are great, makes and loses nothing.
func (v *Solver) linearise() {
	n := v.n
	f, q, dy, dt, size := v.f[:n], v.q[:n], v.dy[:n], v.dt[:n], v.size[:n]
	cond := v.p.Thermal == Conducting
	for e := range v.ends {
		d := &v.ends[e]
		if d.b == nil {
			continue
		}
		i := e * (n - 1)
		d.now = d.x.Water + d.waterY*dy[i] + d.waterT*dt[i]
		d.heatNow = d.heat + d.heatY*dy[i] + d.heatT*dt[i]
		if d.keeper != nil {
			d.s.Temperature += dt[i]
			d.keeper.Settle(d.now-d.run-d.runY*dy[i], &d.s)
		}
	}
	in, inH := -v.ends[0].now, v.ends[0].heatNow
	for k := range v.links {
		l := &v.links[k]
		flux, heat := in, inH
		switch {
		case k == n-2:
			flux, heat = v.ends[1].now, -v.ends[1].heatNow
		case size[k] > 0:
			flux = l.water + l.waterL*dy[k] + l.waterR*dy[k+1] + l.waterTL*dt[k]
			if cond {
				flux += l.waterTR * dt[k+1]
				heat = l.heat + l.heatL*dy[k] + l.heatR*dy[k+1] + l.heatTL*dt[k] + l.heatTR*dt[k+1]
			}
		}
		f[k], q[k] = in-flux, inH-heat
		in, inH = flux, heat
	}
	f[n-1], q[n-1] = 0, 0
	if !cond { // no heat is stored
		clear(q)
	}
}

// straight says whether every cell's water at the unknowns as changed is that of the linear solve, and none has come to be over
// full, or ceased to: from there on it pushes. No bend makes a difference to a change of less than still.
func (v *Solver) straight() bool {
	n := v.n
	most := unbent * v.set.Tolerance
	still := most
	ys, dys, stuff, ws, dws, part := v.y[:n], v.dy[:n], v.stuff[:n], v.wNow[:n], v.dw[:n], v.part[:n]
	for i, dy := range dys {
		y := ys[i]
		if over := y < tableMin; over != (y-dy < tableMin) {
			v.bad = i
			return false
		}
		t := stuff[i]
		if t == nil || math.Abs(dy) < still {
			continue
		}
		var w, dw float64
		if s, x := t.locate(y); x >= 0 && x <= 1 && !(t.play && y < v.eff[i]+scanning*(y-v.base[i])) {
			w, dw = value(&s.w, x), slope(&s.w, x)
		} else {
			w, dw = v.storage(i)
		}
		if off := math.Abs(w - ws[i] - dws[i]*dy); off > unmoved*math.Abs(dw) || off*part[i] > most {
			v.bad = i
			return false
		}
	}
	return true
}
