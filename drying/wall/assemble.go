package wall

import "math"

// link is what lies between node k and node k+1: its network, fixed, and the fluxes of the last assembly with their
// derivatives by the unknowns of its left and its right node. Fluxes run from left to right, inwards.
type link struct {
	stuff  *Table  // what it runs through; nil for contact resistance
	inv    float64 // 1/distance, or 1/resistance
	liquid float64 // the same times the stuff's factor on its potential

	water, waterL, waterR float64
	waterTL, waterTR      float64 // in a Lumped wall the first holds both
	heat, heatL, heatR    float64
	heatTL, heatTR        float64
}

// row is a node's water balance linearised, lo by the node on its left, di by itself, up by the one on its right, col by the one
// temperature of a Lumped wall, and what elimination from the rear makes of it: the unknown is
// a - z t - c (the one on its left), t being the change of the one temperature.
type row struct {
	res, lo, di, up, col float64
	inv, a, z, c         float64
}

// square is {water by y, water by T, heat by y, heat by T}.
type square struct{ wy, wt, hy, ht float64 }

// block is a row of a Conducting wall: water and heat by suction and temperature.
type block struct {
	water, heat float64 // the residuals
	lo, di, up  square
	inv, c      square
	ay, at      float64
}

// side is the liquid potential, but for the stuff's factor on it, and the vapour factor of a link's stuff at a node, with their
// derivatives by y.
type side struct{ phi, phiY, g, gY float64 }

// point is what the stuff and the fluid are at a node, at the present unknowns.
type point struct {
	pv, pvY, pvT float64 // vapour pressure
	wet          wet     // of a Conducting wall
	left, right  side    // in the link to its left and to its right; a cell's are the same, and the first alone is set
	k, kY        float64 // thermal conductance of a cell
}

// assemble evaluates, at the present unknowns, every flux with its derivatives and the residual and
// Jacobian of one implicit stage: inflow - (W - rw)/hd = 0 at cells, inflow = 0 at faces and joints, and
// likewise for heat; and eliminates on its way from the rear to the front. With frozen set, cells are held and only faces
// and joints are solved for.
func (v *Solver) assemble(hd float64, frozen bool) {
	v.evaluate()
	for e := range v.ends {
		if v.ends[e].b != nil {
			i := e * (v.n - 1)
			p := &v.points[i]
			v.atEnd(e, i, p.pv, p.pvY, p.pvT)
		}
	}
	if v.p.Thermal == Conducting {
		v.eliminateHeat(hd, frozen)
	} else {
		v.eliminateWater(hd, frozen)
	}
}

// evaluate looks everything up that the nodes' unknowns decide.
func (v *Solver) evaluate() {
	var (
		n     = v.n
		fluid = v.p.Fluid
		cond  = v.p.Thermal == Conducting
		ys    = v.y[:n]
		temps = v.temp[:n]
		stuff = v.stuff[:n]
		pts   = v.points[:n]
		th    = &pts[0].wet
	)
	// In three loops: the nodes of a short one are worked out side by side.
	if cond {
		for i, t := range temps {
			fluid.at(t, &pts[i].wet)
		}
	} else {
		fluid.at(temps[0], th)
	}
	for i, y := range ys {
		p := &pts[i]
		if cond {
			th = &p.wet
		}
		var h, dh float64
		if c, x := kelvins.cell(y - th.span); c != nil {
			h, dh = value(c, x), (c[1]+x*(2*c[2]+3*x*c[3]))*kelvinPer
		} else {
			h, dh = kelvin(y - th.span)
		}
		p.pv, p.pvY = th.ps*h, th.ps*dh
		p.pvT = th.dps*h - p.pvY*th.inv
	}
	for i, y := range ys {
		p := &pts[i]
		tab := stuff[i]
		if tab == nil {
			if i > 0 && v.links[i-1].stuff != nil {
				p.left = v.flowAt(i, v.links[i-1].stuff)
			}
			if i < n-1 && v.links[i].stuff != nil {
				p.right = v.flowAt(i, v.links[i].stuff)
			}
			continue
		}
		s, x := tab.locate(y)
		inside := x >= 0 && x <= 1
		if inside {
			q := side{phi: value(&s.phi, x), phiY: slope(&s.phi, x), g: s.vap[0]}
			if !tab.flatVap {
				q.g += x * s.vap[1]
				q.gY = s.vap[1] * (1 / tableStep)
			}
			p.left = q
		} else {
			p.left = tab.flow(y)
		}
		along := 1.0
		if tab.play && y < v.eff[i]+scanning*(y-v.base[i]) {
			y, along = v.drained(i)
			s, x = tab.locate(y)
			inside = x >= 0 && x <= 1
		}
		var w, dw float64
		if inside {
			w, dw = value(&s.w, x), slope(&s.w, x)*along
		} else {
			w, dw = v.storage(i)
		}
		v.wNow[i], v.dw[i] = w, dw
		p.k, p.kY = tab.heat.Conductance+tab.heat.PerWater*w, tab.heat.PerWater*dw
	}
}

// eliminateWater makes the rows of a wall of one temperature.
func (v *Solver) eliminateWater(hd float64, frozen bool) {
	var (
		n            = v.n
		pts, rows    = v.points[:n], v.rows[:n]
		links        = v.links[:n-1]
		sizes, stuff = v.size[:n], v.stuff[:n]
		ws, dws, rw  = v.wNow[:n], v.dw[:n], v.rw[:n]
		rate         = 1 / hd
		th           = &pts[0].wet
		lastC        float64 // of the row eliminated last
		lastA, lastZ float64
		in, inY, inT float64 // what flows into the node from its right, with its derivatives by the node's unknowns
		inR          float64 // and by those of the node on its right
	)
	for i := n - 1; i >= 0; i-- {
		for e := range v.ends {
			if d := &v.ends[e]; i == e*(n-1) && d.b != nil {
				in, inY, inT = in-d.x.Water, inY-d.waterY, inT-d.waterT
			}
		}
		var flux, fluxL, fluxR, fluxT float64 // of the link on the left
		if i > 0 {
			l := &links[i-1]
			if l.stuff == nil {
				v.contact(i - 1)
			} else {
				pL, p := &pts[i-1], &pts[i]
				a, b := &pL.left, &p.left
				if stuff[i-1] == nil {
					a = &pL.right
				}
				flow, del := l.liquid*th.flow, l.inv*th.del
				gm, dpv, dphi := (a.g+b.g)/2, pL.pv-p.pv, a.phi-b.phi
				l.water = flow*dphi + del*gm*dpv
				l.waterL = flow*a.phiY + del*(gm*pL.pvY+a.gY/2*dpv)
				l.waterR = del*(b.gY/2*dpv-gm*p.pvY) - flow*b.phiY
				l.waterTL = l.liquid*th.dflow*dphi + l.inv*gm*(th.ddel*dpv+th.del*(pL.pvT-p.pvT))
			}
			flux, fluxL, fluxR, fluxT = l.water, l.waterL, l.waterR, l.waterTL
		}
		r := &rows[i]
		res, lo, di, up, col := in+flux, fluxL, inY+fluxR, inR, inT+fluxT
		switch {
		case stuff[i] == nil:
			if di == 0 { // nothing reaches this face or joint: its suction stays
				di = 1
			}
		case frozen:
			res, lo, di, up, col = 0, 0, 1, 0, 0
		default:
			size := sizes[i] * rate
			res, di = res-(ws[i]-rw[i])*size, di-dws[i]*size
		}
		r.res, r.lo, r.di, r.up, r.col = res, lo, di, up, col
		inv := 1 / (di - up*lastC)
		lastA = (-res - up*lastA) * inv
		lastZ = (col - up*lastZ) * inv
		lastC = lo * inv
		r.inv, r.a, r.z, r.c = inv, lastA, lastZ, lastC
		in, inY, inT, inR = -flux, -fluxL, -fluxT, -fluxR
	}
}

// eliminateHeat makes the rows of a wall in which every node has its temperature.
func (v *Solver) eliminateHeat(hd float64, frozen bool) {
	var (
		n                             = v.n
		waterHeat, latent, vapourHeat = v.p.Fluid.waterHeat, v.p.Fluid.latent, v.p.Fluid.vapourHeat
		pts, blocks                   = v.points[:n], v.blocks[:n]
		links                         = v.links[:n-1]
		sizes, stuff, temps           = v.size[:n], v.stuff[:n], v.temp[:n]
		ws, dws, rw, rh               = v.wNow[:n], v.dw[:n], v.rw[:n], v.rh[:n]
		rate                          = 1 / hd
		c                             square // of the row eliminated last
		aY, aT                        float64
		none                          link
		in, inH                       float64 // what flows into the node from its right
		di, up                        square  // its derivatives by the node's unknowns, and by those of the node on its right
	)
	for i := n - 1; i >= 0; i-- {
		for e := range v.ends {
			if d := &v.ends[e]; i == e*(n-1) && d.b != nil {
				in, inH = in-d.x.Water, inH+d.heat
				di = square{di.wy - d.waterY, di.wt - d.waterT, di.hy + d.heatY, di.ht + d.heatT}
			}
		}
		l := &none // on the left
		if i > 0 {
			l = &links[i-1]
			if l.stuff == nil {
				v.contact(i - 1)
			} else {
				pL, p := &pts[i-1], &pts[i]
				a, b := &pL.left, &p.left
				if stuff[i-1] == nil {
					a = &pL.right
				}
				inv := l.inv
				flow, del := l.liquid*(pL.wet.flow+p.wet.flow)/2, inv*(pL.wet.del+p.wet.del)/2
				gm, dpv, dphi := (a.g+b.g)/2, pL.pv-p.pv, a.phi-b.phi
				vg := del * gm
				liq, vap := flow*dphi, vg*dpv
				liqL, liqR := flow*a.phiY, -flow*b.phiY
				half := del * dpv / 2
				vapL, vapR := vg*pL.pvY+a.gY*half, b.gY*half-vg*p.pvY
				half = l.liquid * dphi / 2
				liqTL, liqTR := pL.wet.dflow*half, p.wet.dflow*half
				half = inv * gm * dpv / 2
				vapTL, vapTR := pL.wet.ddel*half+vg*pL.pvT, p.wet.ddel*half-vg*p.pvT
				l.water, l.waterL, l.waterR = liq+vap, liqL+vapL, liqR+vapR
				l.waterTL, l.waterTR = liqTL+vapTL, liqTR+vapTR
				km, kmL, kmR := (pL.k+p.k)/2, pL.kY/2, p.kY/2
				if stuff[i] == nil { // the conductance is that of the cell at one end
					km, kmL, kmR = pL.k, pL.kY, 0
				} else if stuff[i-1] == nil {
					km, kmL, kmR = p.k, 0, p.kY
				}
				km *= inv
				dT, tm := temps[i-1]-temps[i], (temps[i-1]+temps[i])/2
				hl, hv := waterHeat*tm, latent+vapourHeat*tm
				l.heat = km*dT + liq*hl + vap*hv
				dT *= inv
				l.heatL, l.heatR = liqL*hl+vapL*hv+kmL*dT, liqR*hl+vapR*hv+kmR*dT
				half = (liq*waterHeat + vap*vapourHeat) / 2
				l.heatTL = half + km + liqTL*hl + vapTL*hv
				l.heatTR = half - km + liqTR*hl + vapTR*hv
			}
		}
		water, heat := in+l.water, inH+l.heat
		lo, u := square{l.waterL, l.waterTL, l.heatL, l.heatTL}, up
		d := square{di.wy + l.waterR, di.wt + l.waterTR, di.hy + l.heatR, di.ht + l.heatTR}
		tab := stuff[i]
		switch {
		case tab == nil:
			if d.wy == 0 { // nothing reaches this face or joint: its suction stays
				d.wy = 1
			}
		case frozen:
			water, heat, lo, d, u = 0, 0, square{}, square{wy: 1, ht: 1}, square{}
		default:
			w, dw, size, temp := ws[i], dws[i], sizes[i]*rate, temps[i]
			per := tab.heat.Capacity
			if !tab.heat.WaterMissing {
				per += waterHeat * w
				d.hy -= waterHeat * dw * temp * size
			}
			water, heat = water-(w-rw[i])*size, heat-per*temp*size+rh[i]*rate
			d.wy -= dw * size
			d.ht -= per * size
		}
		b := &blocks[i]
		b.water, b.heat, b.lo, b.di, b.up = water, heat, lo, d, u
		d = d.minus(u.times(c)).inverse()
		c = d.times(lo)
		aY, aT = b.reduce(d, u, -water, -heat, aY, aT)
		b.inv, b.c = d, c
		in, inH = -l.water, -l.heat
		di = square{-l.waterL, -l.waterTL, -l.heatL, -l.heatTL}
		up = square{-l.waterR, -l.waterTR, -l.heatR, -l.heatTR}
	}
}

func (a square) minus(b square) square {
	return square{a.wy - b.wy, a.wt - b.wt, a.hy - b.hy, a.ht - b.ht}
}

func (a square) times(b square) square {
	return square{a.wy*b.wy + a.wt*b.hy, a.wy*b.wt + a.wt*b.ht, a.hy*b.wy + a.ht*b.hy, a.hy*b.wt + a.ht*b.ht}
}

func (a square) inverse() square {
	d := 1 / (a.wy*a.ht - a.wt*a.hy)
	return square{a.ht * d, -a.wt * d, -a.hy * d, a.wy * d}
}

// reduce makes b.ay and b.at of a right-hand side and those of the row behind, with inv and up those of b.
func (b *block) reduce(inv, up square, water, heat, ay, at float64) (float64, float64) {
	water -= up.wy*ay + up.wt*at
	heat -= up.hy*ay + up.ht*at
	ay, at = inv.wy*water+inv.wt*heat, inv.hy*water+inv.ht*heat
	b.ay, b.at = ay, at
	return ay, at
}

// flowAt is the side of a link's stuff at face or joint i.
func (v *Solver) flowAt(i int, t *Table) side {
	y := v.y[i]
	s := t.flow(y)
	if y < tableMin && (i == 0 && v.ends[0].b != nil || i == v.n-1 && v.ends[1].b != nil) {
		s.phi, s.phiY = t.seg[0].phi[0], 0 // a face runs off instead of pushing in
	}
	return s
}

// contact is a link of given resistance: water moves by the difference of suction, heat freely.
func (v *Solver) contact(k int) {
	l := &v.links[k]
	pL, pR := math.Exp(v.y[k]), math.Exp(v.y[k+1])
	l.water, l.waterL, l.waterR = l.inv*(pR-pL), -l.inv*pL, l.inv*pR
	l.waterTL, l.waterTR = 0, 0
	if v.p.Thermal != Conducting {
		return
	}
	const free = 1e4 // W/(m2 K): an imperfect water contact is taken as a good thermal one
	tl, tr := v.temp[k], v.temp[k+1]
	h := v.p.Fluid.waterHeat * (tl + tr) / 2
	half := l.water * v.p.Fluid.waterHeat / 2
	l.heat = free*(tl-tr) + l.water*h
	l.heatL, l.heatR = l.waterL*h, l.waterR*h
	l.heatTL, l.heatTR = free+half, -free+half
}

// flow evaluates potential, but for the factor on it, and vapour factor together.
func (t *Table) flow(y float64) (q side) {
	s, x := t.locate(y)
	if x < 0 {
		q.phi, q.phiY = s.phi[0]+t.push*tableStep*x, t.push
	} else {
		q.phi, q.phiY = cubic(&s.phi, x)
	}
	q.g = s.vap[0]
	if !t.flatVap {
		x = min(max(x, 0), 1)
		q.g += x * s.vap[1]
		q.gY = s.vap[1] * (1 / tableStep)
	}
	return q
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
