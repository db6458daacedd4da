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

// row is what elimination from the rear makes of a node's water balance: the change of its unknown is
// a - z t - c (that of the node on its left), t being the change of the one temperature of a Lumped wall.
type row struct{ inv, a, z, c float64 }

// square is {water by y, water by T, heat by y, heat by T}.
type square struct{ wy, wt, hy, ht float64 }

// block is a row of a Conducting wall: water and heat by suction and temperature.
type block struct {
	inv, c square
	ay, at float64
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
		c, a, z      float64 // of the row eliminated last
		none         link
		right        = &none
	)
	for i := n - 1; i >= 0; i-- {
		left := &none
		if i > 0 {
			left = &links[i-1]
			if left.stuff == nil {
				v.contact(i - 1)
			} else {
				l, r := &pts[i-1], &pts[i]
				ls, rs := &l.left, &r.left
				if stuff[i-1] == nil {
					ls = &l.right
				}
				flow, del := left.liquid*th.flow, left.inv*th.del
				gm, dpv, dphi := (ls.g+rs.g)/2, l.pv-r.pv, ls.phi-rs.phi
				left.water = flow*dphi + del*gm*dpv
				left.waterL = flow*ls.phiY + del*(gm*l.pvY+ls.gY/2*dpv)
				left.waterR = del*(rs.gY/2*dpv-gm*r.pvY) - flow*rs.phiY
				left.waterTL = left.liquid*th.dflow*dphi + left.inv*gm*(th.ddel*dpv+th.del*(l.pvT-r.pvT))
			}
		}
		// What flows in, and its derivatives by the unknowns of the node itself, on its left and on its right, and by the temperature.
		in, own, lo, up, col := left.water-right.water, left.waterR-right.waterL, left.waterL, right.waterR, left.waterTL-right.waterTL
		for e := range v.ends {
			if d := &v.ends[e]; i == e*(n-1) && d.b != nil {
				in, own, col = in-d.x.Water, own-d.waterY, col-d.waterT
			}
		}
		switch {
		case stuff[i] == nil:
			if own == 0 { // nothing reaches this face or joint: its suction stays
				own = 1
			}
		case frozen:
			in, own, lo, up, col = 0, 1, 0, 0, 0
		default:
			size := sizes[i] * rate
			in, own = in-(ws[i]-rw[i])*size, own-dws[i]*size
		}
		inv := 1 / (own + up*c)
		a = (up*a - in) * inv
		z = (up*z + col) * inv
		c = lo * inv
		r := &rows[i]
		r.inv, r.a, r.z, r.c = inv, a, z, c
		right = left
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
		right                         = &none
	)
	for i := n - 1; i >= 0; i-- {
		left := &none
		if i > 0 {
			left = &links[i-1]
			if left.stuff == nil {
				v.contact(i - 1)
			} else {
				l, r := &pts[i-1], &pts[i]
				ls, rs := &l.left, &r.left
				if stuff[i-1] == nil {
					ls = &l.right
				}
				inv := left.inv
				flow, del := left.liquid*(l.wet.flow+r.wet.flow)/2, inv*(l.wet.del+r.wet.del)/2
				gm, dpv, dphi := (ls.g+rs.g)/2, l.pv-r.pv, ls.phi-rs.phi
				vg := del * gm
				liq, vap := flow*dphi, vg*dpv
				liqL, liqR := flow*ls.phiY, -flow*rs.phiY
				half := del * dpv / 2
				vapL, vapR := vg*l.pvY+ls.gY*half, rs.gY*half-vg*r.pvY
				half = left.liquid * dphi / 2
				liqTL, liqTR := l.wet.dflow*half, r.wet.dflow*half
				half = inv * gm * dpv / 2
				vapTL, vapTR := l.wet.ddel*half+vg*l.pvT, r.wet.ddel*half-vg*r.pvT
				left.water, left.waterL, left.waterR = liq+vap, liqL+vapL, liqR+vapR
				left.waterTL, left.waterTR = liqTL+vapTL, liqTR+vapTR
				km, kmL, kmR := (l.k+r.k)/2, l.kY/2, r.kY/2
				if stuff[i] == nil { // the conductance is that of the cell at one end
					km, kmL, kmR = l.k, l.kY, 0
				} else if stuff[i-1] == nil {
					km, kmL, kmR = r.k, 0, r.kY
				}
				km *= inv
				dT, tm := temps[i-1]-temps[i], (temps[i-1]+temps[i])/2
				hl, hv := waterHeat*tm, latent+vapourHeat*tm
				left.heat = km*dT + liq*hl + vap*hv
				dT *= inv
				left.heatL, left.heatR = liqL*hl+vapL*hv+kmL*dT, liqR*hl+vapR*hv+kmR*dT
				half = (liq*waterHeat + vap*vapourHeat) / 2
				left.heatTL = half + km + liqTL*hl + vapTL*hv
				left.heatTR = half - km + liqTR*hl + vapTR*hv
			}
		}
		// What flows in, and its derivatives by the unknowns of the node itself, on its left and on its right.
		in, inH := left.water-right.water, left.heat-right.heat
		own := square{left.waterR - right.waterL, left.waterTR - right.waterTL, left.heatR - right.heatL, left.heatTR - right.heatTL}
		lo := square{left.waterL, left.waterTL, left.heatL, left.heatTL}
		up := square{right.waterR, right.waterTR, right.heatR, right.heatTR}
		for e := range v.ends {
			if d := &v.ends[e]; i == e*(n-1) && d.b != nil {
				in, inH = in-d.x.Water, inH+d.heat
				own = square{own.wy - d.waterY, own.wt - d.waterT, own.hy + d.heatY, own.ht + d.heatT}
			}
		}
		tab := stuff[i]
		switch {
		case tab == nil:
			if own.wy == 0 { // nothing reaches this face or joint: its suction stays
				own.wy = 1
			}
		case frozen:
			in, inH, lo, own, up = 0, 0, square{}, square{wy: 1, ht: 1}, square{}
		default:
			w, dw, size, temp := ws[i], dws[i], sizes[i]*rate, temps[i]
			per := tab.heat.Capacity
			if !tab.heat.WaterMissing {
				per += waterHeat * w
				own.hy -= waterHeat * dw * temp * size
			}
			in, inH = in-(w-rw[i])*size, inH-per*temp*size+rh[i]*rate
			own.wy -= dw * size
			own.ht -= per * size
		}
		inv := own.plus(up.times(c)).inverse()
		c = inv.times(lo)
		aY, aT = inv.of(up.wy*aY+up.wt*aT-in, up.hy*aY+up.ht*aT-inH)
		b := &blocks[i]
		b.inv, b.c, b.ay, b.at = inv, c, aY, aT
		right = left
	}
}

func (a square) plus(b square) square {
	return square{a.wy + b.wy, a.wt + b.wt, a.hy + b.hy, a.ht + b.ht}
}

func (a square) times(b square) square {
	return square{a.wy*b.wy + a.wt*b.hy, a.wy*b.wt + a.wt*b.ht, a.hy*b.wy + a.ht*b.hy, a.hy*b.wt + a.ht*b.ht}
}

func (a square) inverse() square {
	d := 1 / (a.wy*a.ht - a.wt*a.hy)
	return square{a.ht * d, -a.wt * d, -a.hy * d, a.wy * d}
}

// of is a times a water and a heat.
func (a square) of(water, heat float64) (y, t float64) {
	return a.wy*water + a.wt*heat, a.hy*water + a.ht*heat
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
