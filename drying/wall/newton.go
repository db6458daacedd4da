package wall

import "math"

// assemble evaluates, at the present unknowns, every flux with its derivatives and the residual and
// Jacobian of one implicit stage: W - rw - hd (inflow) = 0 at cells, inflow = 0 at faces and joints, and
// likewise for heat. With frozen set, cells are held and only faces and joints are solved for.
func (v *Solver) assemble(hd float64, frozen bool) {
	var (
		fluid      = v.p.Fluid
		thermal    = v.p.Thermal
		cond       = thermal == Conducting
		th, lt     wet
		phiL, dphL float64 // of the left node, in the link to its right
		gL, dgL    float64
		pvL, pvLY  float64
		pvLT       float64
		kL, kLY    float64 // thermal conductance of the left node and its derivative by y
		pL         float64
	)
	if !cond {
		fluid.at(v.temp[0], &th)
	}
	for i := range v.n {
		if cond {
			fluid.at(v.temp[i], &th)
		}
		y := v.y[i]
		p := math.Exp(y)
		a := p * th.perHk
		e := math.Exp(-a)
		pv := th.ps * e
		pvY := -pv * a
		pvT := th.dps*e + pv*a/th.kelvin

		tab := v.stuff[i]
		k, kY := math.NaN(), 0.0 // thermal conductance belongs to cells
		var phi, dph, g, dg float64
		have := false
		if i > 0 { // the link on the left
			t := v.link[i-1]
			if t == nil {
				v.contact(i-1, pL, p)
			} else {
				phi, dph, g, dg = t.flow(y)
				if y < tableMin && i == v.n-1 && tab == nil && v.ends[1].b != nil {
					phi, dph = t.seg[0].phi[0], 0 // a face runs off instead of pushing in
				}
				have = true
			}
		}
		if tab != nil {
			w, dw := v.storage(i)
			v.wNow[i], v.dw[i] = w, dw
			if cond {
				k, kY = tab.heat.Conductance+tab.heat.PerWater*w, tab.heat.PerWater*dw
			}
		}
		if i > 0 && v.link[i-1] != nil {
			l := i - 1
			inv := v.inv[l]
			flow, del := th.flow, th.del
			if cond {
				flow, del = (lt.flow+th.flow)/2, (lt.del+th.del)/2
			}
			gm, dpv, dphi := (gL+g)/2, pvL-pv, phiL-phi
			liq := inv * flow * dphi
			vap := inv * del * gm * dpv
			liqL, liqR := inv*flow*dphL, -inv*flow*dph
			vapL := inv * del * (gm*pvLY + dgL/2*dpv)
			vapR := inv * del * (dg/2*dpv - gm*pvY)
			v.fl[l], v.flL[l], v.flR[l] = liq+vap, liqL+vapL, liqR+vapR
			if !cond {
				v.flTL[l] = inv * (th.dflow*dphi + th.ddel*gm*dpv + del*gm*(pvLT-pvT))
			} else {
				liqTL, liqTR := inv*lt.dflow*dphi/2, inv*th.dflow*dphi/2
				vapTL, vapTR := inv*gm*(lt.ddel*dpv/2+del*pvLT), inv*gm*(th.ddel*dpv/2-del*pvT)
				v.flTL[l], v.flTR[l] = liqTL+vapTL, liqTR+vapTR
				km, kmL, kmR := (kL+k)/2, kLY/2, kY/2
				if math.IsNaN(kL) {
					km, kmR = k, kY
				} else if math.IsNaN(k) {
					km, kmL = kL, kLY
				}
				tl, tr := v.temp[l], v.temp[i]
				tm := (tl + tr) / 2
				hl, hv := fluid.waterHeat*tm, fluid.latent+fluid.vapourHeat*tm
				half := (liq*fluid.waterHeat + vap*fluid.vapourHeat) / 2
				v.ql[l] = inv*km*(tl-tr) + liq*hl + vap*hv
				v.qL[l], v.qR[l] = liqL*hl+vapL*hv+inv*kmL*(tl-tr), liqR*hl+vapR*hv+inv*kmR*(tl-tr)
				v.qTL[l] = inv*km + half + liqTL*hl + vapTL*hv
				v.qTR[l] = -inv*km + half + liqTR*hl + vapTR*hv
			}
		}
		if i == 0 {
			v.atEnd(0, i, pv, pvY, pvT)
		}
		if i == v.n-1 {
			v.atEnd(1, i, pv, pvY, pvT)
		} else if t := v.link[i]; t != nil {
			if have && i > 0 && v.link[i-1] == t {
				phiL, dphL, gL, dgL = phi, dph, g, dg
			} else {
				phiL, dphL, gL, dgL = t.flow(y)
				if y < tableMin && i == 0 && tab == nil && v.ends[0].b != nil {
					phiL, dphL = t.seg[0].phi[0], 0
				}
			}
		}
		pvL, pvLY, pvLT, kL, kLY, lt, pL = pv, pvY, pvT, k, kY, th, p
	}
	v.rows(hd, frozen)
}

// contact is a link of given resistance: water moves by the difference of suction, heat freely.
func (v *Solver) contact(l int, pL, pR float64) {
	inv := v.inv[l]
	v.fl[l], v.flL[l], v.flR[l] = inv*(pR-pL), -inv*pL, inv*pR
	v.flTL[l], v.flTR[l] = 0, 0
	if v.p.Thermal != Conducting {
		return
	}
	const free = 1e4 // W/(m2 K): an imperfect water contact is taken as a good thermal one
	tl, tr := v.temp[l], v.temp[l+1]
	h := v.p.Fluid.waterHeat * (tl + tr) / 2
	half := v.fl[l] * v.p.Fluid.waterHeat / 2
	v.ql[l] = free*(tl-tr) + v.fl[l]*h
	v.qL[l], v.qR[l] = v.flL[l]*h, v.flR[l]*h
	v.qTL[l], v.qTR[l] = free+half, -free+half
}

// flow evaluates potential and vapour factor together.
func (t *Table) flow(y float64) (phi, dphi, g, dg float64) {
	s, x := t.locate(y)
	if x < 0 {
		phi, dphi = s.phi[0]+t.push*tableStep*x, t.push
	} else {
		phi, dphi = cubic(&s.phi, x)
	}
	g = s.vap[0]
	if !t.flatVap {
		x = min(max(x, 0), 1)
		g += x * s.vap[1]
		dg = s.vap[1] * (1 / tableStep)
	}
	return
}

// storage is the water of cell node i at the present y, on the curve its history allows.
func (v *Solver) storage(i int) (w, dw float64) {
	t := v.stuff[i]
	if !t.play {
		return t.Water(v.y[i])
	}
	eff, slope := v.drained(i)
	w, dw = t.Water(eff)
	return w, dw * slope
}

// scanning is how far a cell follows along the draining curve while its suction moves between the
// draining and the wetting curve: a small specific storage.
const scanning = 0.02

// drained gives the point on the draining curve that holds the water of cell node i now, and its
// derivative by y. Suction may fall by the material's offset (draining over wetting suction) before the
// cell takes water up, and what has consolidated stays consolidated: a play operator.
func (v *Solver) drained(i int) (eff, slope float64) {
	t, y := v.stuff[i], v.y[i]
	eff, slope = v.eff[i]+scanning*(y-v.base[i]), scanning
	if y >= eff {
		return y, 1
	}
	bound, along := y+t.offset, 1.0 // the wetting curve
	if c := v.cons[i]; bound < c {  // which ends where the solid is consolidated
		bound, along = c-scanning*(c-bound), scanning
	}
	if eff > bound {
		return bound, along
	}
	return eff, slope
}

// Water that comes faster than a saturated face takes it stands before it as a film and runs off: below
// the suction at the wet end of the tables, which no pore of a wall has, runRate leaves per unit of
// ln(suction).
const runRate = 1e-3 // kg/(m2 s)

// atEnd evaluates the boundary before face node i.
func (v *Solver) atEnd(e, i int, pv, pvY, pvT float64) {
	d := &v.ends[e]
	if d.b == nil {
		return
	}
	t := v.temp[0]
	if v.p.Thermal == Conducting {
		t = v.temp[i]
	}
	d.s = Surface{Y: v.y[i], Pressure: pv, Temperature: t}
	d.b.Exchange(&d.s, &d.x)
	d.waterY = d.x.WaterPressure*pvY + d.x.WaterY
	d.waterT = d.x.WaterPressure*pvT + d.x.WaterTemp
	f := v.p.Fluid
	carried, per := f.latent+f.vapourHeat*t, f.vapourHeat
	if d.x.Liquid {
		carried, per = f.waterHeat*t, f.waterHeat
	}
	if v.p.Thermal == Lumped { // no heat is stored, so only the change of phase counts
		if d.x.Liquid {
			carried, per = 0, 0
		} else {
			carried, per = f.latent+(f.vapourHeat-f.waterHeat)*t, f.vapourHeat-f.waterHeat
		}
	}
	d.heat = d.x.Heat - d.x.Water*carried
	d.heatY = d.x.HeatPressure*pvY - d.waterY*carried
	d.heatT = d.x.HeatTemp + d.x.HeatPressure*pvT - d.waterT*carried - d.x.Water*per
	if r := d.x.Rain; r > 0 {
		d.x.Water -= r
		if v.p.Thermal == Conducting {
			d.heat += r * f.waterHeat * d.x.RainTemp
		}
	}
	d.run, d.runY = 0, 0
	if y := v.y[i]; y < tableMin {
		d.run, d.runY = runRate*(tableMin-y), -runRate
		d.x.Water += d.run
		d.waterY += d.runY
		if v.p.Thermal == Conducting {
			d.heat -= d.run * f.waterHeat * t
			d.heatY -= d.runY * f.waterHeat * t
			d.heatT -= d.run * f.waterHeat
		}
	}
}

// rows builds residual and Jacobian from fluxes.
func (v *Solver) rows(hd float64, frozen bool) {
	cond := v.p.Thermal == Conducting
	n := v.n
	for i := range n {
		cell := v.stuff[i] != nil
		if frozen && cell {
			v.res[i], v.lo[i], v.di[i], v.up[i], v.col[i] = 0, 0, 1, 0, 0
			if cond {
				v.resH[i] = 0
				v.blo[i], v.bdi[i], v.bup[i] = [4]float64{}, [4]float64{1, 0, 0, 1}, [4]float64{}
			}
			continue
		}
		var in, diY, diT, loY, loT, upY, upT float64 // inflow of water and its derivatives
		var inH, hdY, hdT, hlY, hlT, huY, huT float64
		if i > 0 {
			l := i - 1
			in, loY, loT, diY, diT = v.fl[l], v.flL[l], v.flTL[l], v.flR[l], v.flTR[l]
			if cond {
				inH, hlY, hlT, hdY, hdT = v.ql[l], v.qL[l], v.qTL[l], v.qR[l], v.qTR[l]
			}
		}
		if i < n-1 {
			in -= v.fl[i]
			diY -= v.flL[i]
			diT -= v.flTL[i]
			upY, upT = -v.flR[i], -v.flTR[i]
			if cond {
				inH -= v.ql[i]
				hdY -= v.qL[i]
				hdT -= v.qTL[i]
				huY, huT = -v.qR[i], -v.qTR[i]
			}
		}
		for e := range v.ends {
			if d := &v.ends[e]; d.b != nil && i == e*(n-1) {
				in -= d.x.Water
				diY -= d.waterY
				diT -= d.waterT
				inH += d.heat
				hdY += d.heatY
				hdT += d.heatT
			}
		}
		if !cond {
			// In a Lumped wall the two temperature columns are one, gathered in col; flTR is zero.
			v.col[i] = -hd * (diT + loT + upT)
			v.res[i] = -hd * in
			v.lo[i], v.di[i], v.up[i] = -hd*loY, -hd*diY, -hd*upY
			switch {
			case cell:
				v.res[i] += (v.wNow[i] - v.rw[i]) * v.size[i]
				v.di[i] += v.dw[i] * v.size[i]
			case v.di[i] == 0: // nothing reaches this face or joint: its suction stays
				v.di[i] = 1
			}
			continue
		}
		v.res[i], v.resH[i] = -hd*in, -hd*inH
		b := [4]float64{-hd * diY, -hd * diT, -hd * hdY, -hd * hdT}
		if !cell && b[0] == 0 {
			b[0] = 1
		}
		if cell {
			c := v.heatCapacity(i, v.wNow[i])
			v.res[i] += (v.wNow[i] - v.rw[i]) * v.size[i]
			v.resH[i] += c*v.temp[i]*v.size[i] - v.rh[i]
			b[0] += v.dw[i] * v.size[i]
			b[3] += c * v.size[i]
			if !v.noHeat[i] {
				b[2] += v.p.Fluid.waterHeat * v.dw[i] * v.temp[i] * v.size[i]
			}
		}
		v.bdi[i] = b
		v.blo[i] = [4]float64{-hd * loY, -hd * loT, -hd * hlY, -hd * hlT}
		v.bup[i] = [4]float64{-hd * upY, -hd * upT, -hd * huY, -hd * huT}
	}
}

// factor prepares the elimination of the assembled matrix in place.
func (v *Solver) factor() {
	n := v.n
	if v.p.Thermal == Conducting {
		for i := range n {
			b := v.bdi[i]
			if i > 0 {
				l := mul(v.blo[i], v.bdi[i-1]) // bdi already inverted
				v.blo[i] = l
				m := mul(l, v.bup[i-1])
				for k := range b {
					b[k] -= m[k]
				}
			}
			v.bdi[i] = inverse(b)
		}
		return
	}
	for i := range n {
		if i > 0 {
			v.lo[i] *= v.di[i-1]
			v.di[i] -= v.lo[i] * v.up[i-1]
		}
		v.di[i] = 1 / v.di[i]
	}
}

// solve puts the solution for right-hand side -(res, resH) into dy, dt; lumpRes is the residual of the
// lumped heat balance.
func (v *Solver) solve(res, resH []float64, lumpRes float64) {
	n := v.n
	switch v.p.Thermal {
	case Conducting:
		for i := range n {
			a, b := -res[i], -resH[i]
			if i > 0 {
				l := &v.blo[i]
				a, b = a-l[0]*v.dy[i-1]-l[1]*v.dt[i-1], b-l[2]*v.dy[i-1]-l[3]*v.dt[i-1]
			}
			v.dy[i], v.dt[i] = a, b
		}
		for i := n - 1; i >= 0; i-- {
			a, b := v.dy[i], v.dt[i]
			if i < n-1 {
				u := &v.bup[i]
				a, b = a-u[0]*v.dy[i+1]-u[1]*v.dt[i+1], b-u[2]*v.dy[i+1]-u[3]*v.dt[i+1]
			}
			d := &v.bdi[i]
			v.dy[i], v.dt[i] = d[0]*a+d[1]*b, d[2]*a+d[3]*b
		}
		return
	case Lumped:
		v.tri(res, -1, v.dy)
		v.tri(v.col, 1, v.z)
		a, b := &v.ends[0], &v.ends[1]
		g := -lumpRes
		row := 0.0
		for e, d := range [...]*ending{a, b} {
			if d.b != nil {
				g -= d.heatY * v.dy[e*(n-1)]
				row += d.heatT - d.heatY*v.z[e*(n-1)]
			}
		}
		t := 0.0
		if row != 0 {
			t = g / row
		}
		for i := range n {
			v.dy[i] -= v.z[i] * t
			v.dt[i] = t
		}
	default:
		v.tri(res, -1, v.dy)
	}
}

// tri solves the factored scalar system for sign*rhs.
func (v *Solver) tri(rhs []float64, sign float64, x []float64) {
	n := v.n
	x[0] = sign * rhs[0]
	for i := 1; i < n; i++ {
		x[i] = sign*rhs[i] - v.lo[i]*x[i-1]
	}
	x[n-1] *= v.di[n-1]
	for i := n - 2; i >= 0; i-- {
		x[i] = (x[i] - v.up[i]*x[i+1]) * v.di[i]
	}
}

func mul(a, b [4]float64) [4]float64 {
	return [4]float64{a[0]*b[0] + a[1]*b[2], a[0]*b[1] + a[1]*b[3], a[2]*b[0] + a[3]*b[2], a[2]*b[1] + a[3]*b[3]}
}

func inverse(a [4]float64) [4]float64 {
	d := 1 / (a[0]*a[3] - a[1]*a[2])
	return [4]float64{a[3] * d, -a[1] * d, -a[2] * d, a[0] * d}
}

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
	tol := 0.05 * v.set.Tolerance
	last, clip := math.Inf(1), clip
	for it := range limit {
		if it > patience {
			clip *= shrinkage
		}
		v.stats.Newton++
		v.assemble(hd, frozen)
		lump := 0.0
		for e := range v.ends {
			if v.ends[e].b != nil {
				lump += v.ends[e].heat
			}
		}
		for i := range v.n {
			if v.p.Thermal == Conducting {
				v.diag[i] = v.bdi[i][0]
			} else {
				v.diag[i] = v.di[i]
			}
		}
		worst, clipped := 0.0, false
		v.factor()
		v.solve(v.res, v.resH, lump)
		for i := range v.n {
			d := v.dy[i]
			if !(math.Abs(d) <= clip) {
				if math.IsNaN(d) {
					v.bad = i
					return false
				}
				d = math.Copysign(clip, d)
				clipped = true
				v.bad = i
			}
			if y := v.y[i] + d; y < yLow || y > yHigh {
				d = min(max(y, yLow), yHigh) - v.y[i]
				clipped, v.bad = true, i
			}
			// What this iteration leaves over is about second order in the change it made.
			if e := math.Abs(v.diag[i]*d) * min(math.Abs(d), 1) / (v.full[i] * tol); e > worst {
				worst = e
				v.bad = i
			}
			v.y[i] += d
			if v.p.Thermal == Isothermal {
				continue
			}
			dt := v.dt[i]
			if !(math.Abs(dt) <= tempClip) {
				if math.IsNaN(dt) {
					v.bad = i
					return false
				}
				dt, clipped = math.Copysign(tempClip, dt), true
				v.bad = i
			}
			v.temp[i] += dt
			worst = max(worst, math.Abs(dt)/(2*v.set.TempTol))
		}
		if worst <= 1 && !clipped {
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

// linearise turns the fluxes of the last assembly into those at the unknowns after the last change, to
// first order: exactly what the linear solve balanced.
func (v *Solver) linearise() {
	cond := v.p.Thermal == Conducting
	n := v.n
	for i := range n {
		v.f[i], v.q[i] = 0, 0
	}
	for l := range n - 1 {
		f := v.fl[l] + v.flL[l]*v.dy[l] + v.flR[l]*v.dy[l+1]
		switch {
		case cond:
			f += v.flTL[l]*v.dt[l] + v.flTR[l]*v.dt[l+1]
			q := v.ql[l] + v.qL[l]*v.dy[l] + v.qR[l]*v.dy[l+1] + v.qTL[l]*v.dt[l] + v.qTR[l]*v.dt[l+1]
			v.q[l] -= q
			v.q[l+1] += q
		case v.p.Thermal == Lumped:
			f += v.flTL[l] * v.dt[l]
		}
		v.f[l] -= f
		v.f[l+1] += f
	}
	for e := range v.ends {
		d := &v.ends[e]
		if d.b == nil {
			continue
		}
		i := e * (n - 1)
		t := 0.0
		if v.p.Thermal != Isothermal {
			t = v.dt[i]
		}
		d.now = d.x.Water + d.waterY*v.dy[i] + d.waterT*t
		d.heatNow = d.heat + d.heatY*v.dy[i] + d.heatT*t
		if d.keeper != nil {
			d.s.Temperature += t
			d.keeper.Settle(d.now-d.run-d.runY*v.dy[i], &d.s)
		}
		v.f[i] -= d.now
		v.q[i] += d.heatNow
	}
}
