package wall

import "math"

// link is what lies between node k and node k+1: its network, fixed, and the fluxes of the last assembly with their
// derivatives by the unknowns of its left and its right node. Fluxes run from left to right, inwards.
type link struct {
	stuff *Table  // what it runs through; nil for contact resistance
	inv   float64 // 1/distance, or 1/resistance

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

// assemble evaluates, at the present unknowns, every flux with its derivatives and the residual and
// Jacobian of one implicit stage: W - rw - hd (inflow) = 0 at cells, inflow = 0 at faces and joints, and
// likewise for heat; and eliminates on its way from the rear to the front. With frozen set, cells are held and only faces
// and joints are solved for.
func (v *Solver) assemble(hd float64, frozen bool) {
	if v.p.Thermal == Conducting {
		v.assembleHeat(hd, frozen)
	} else {
		v.assembleWater(hd, frozen)
	}
}

// assembleWater is assemble for a wall of one temperature.
func (v *Solver) assembleWater(hd float64, frozen bool) {
	var th wet
	v.p.Fluid.at(v.temp[0], &th)
	var (
		n                         = v.n
		phiR, dphR, gR, dgR       float64 // of the right node in the link to its left
		pvR, pvRY, pvRT           float64
		in, diY, up, col          float64 // of the right node's row, without the link on its left
		store, storeY             float64 // water stored beyond what it should be, and its derivative
		cell                      bool
		lastC, lastA, lastZ       float64 // of the row eliminated last
		ys, sizes, stuff, ws, dws = v.y[:n], v.size[:n], v.stuff[:n], v.wNow[:n], v.dw[:n]
		rw, rows, links           = v.rw[:n], v.rows[:n], v.links
	)
	for i := n - 1; i >= -1; i-- {
		var flux, fluxL, fluxR, fluxT float64 // of the link between i and i+1
		var phi, dph, g, dg, phiL, dphL, gL, dgL, pv, pvY, pvT, over, overY float64
		var tab *Table
		if i >= 0 {
			y := ys[i]
			h, dh := kelvins.at(y - th.span)
			pv, pvY = th.ps*h, th.ps*dh
			pvT = th.dps*h - pvY*th.inv
			tab = stuff[i]
			if tab != nil {
				s, x := tab.locate(y)
				if x >= 0 && x <= 1 {
					const per = 1 / tableStep
					c := &s.phi
					phi, dph = c[0]+x*(c[1]+x*(c[2]+x*c[3])), (c[1]+x*(2*c[2]+3*x*c[3]))*per
					g = s.vap[0]
					if !tab.flatVap {
						g += x * s.vap[1]
						dg = s.vap[1] * per
					}
				} else {
					phi, dph, g, dg = tab.flow(y)
				}
				phiL, dphL, gL, dgL = phi, dph, g, dg
				var w, dw float64
				if x >= 0 && x <= 1 && (!tab.play || y >= v.eff[i]+scanning*(y-v.base[i])) {
					const per = 1 / tableStep
					c := &s.w
					w, dw = c[0]+x*(c[1]+x*(c[2]+x*c[3])), (c[1]+x*(2*c[2]+3*x*c[3]))*per
				} else {
					w, dw = v.storage(i)
				}
				ws[i], dws[i] = w, dw
				over, overY = (w-rw[i])*sizes[i], dw*sizes[i]
			} else {
				if i < n-1 && links[i].stuff != nil {
					phi, dph, g, dg = v.flowAt(i, links[i].stuff)
				}
				if i > 0 && links[i-1].stuff != nil {
					phiL, dphL, gL, dgL = v.flowAt(i, links[i-1].stuff)
				}
			}
			if i < n-1 {
				l := &links[i]
				if l.stuff == nil {
					v.contact(i)
					flux, fluxL, fluxR, fluxT = l.water, l.waterL, l.waterR, 0
				} else {
					flow, del := l.inv*th.flow, l.inv*th.del
					gm, dpv, dphi := (g+gR)/2, pv-pvR, phi-phiR
					flux = flow*dphi + del*gm*dpv
					fluxL = flow*dph + del*(gm*pvY+dg/2*dpv)
					fluxR = del*(dgR/2*dpv-gm*pvRY) - flow*dphR
					fluxT = l.inv * (th.dflow*dphi + gm*(th.ddel*dpv+th.del*(pvT-pvRT)))
					l.water, l.waterL, l.waterR, l.waterTL = flux, fluxL, fluxR, fluxT
				}
			}
		}
		if i < n-1 { // the row of the right node is complete: eliminate it
			r := &rows[i+1]
			r.up = -hd * up
			switch {
			case !cell:
				r.res, r.lo, r.di, r.col = -hd*(in+flux), -hd*fluxL, -hd*(diY+fluxR), -hd*(col+fluxT)
				if r.di == 0 { // nothing reaches this face or joint: its suction stays
					r.di = 1
				}
			case frozen:
				r.res, r.lo, r.di, r.up, r.col = 0, 0, 1, 0, 0
			default:
				r.res, r.lo, r.di, r.col = store-hd*(in+flux), -hd*fluxL, storeY-hd*(diY+fluxR), -hd*(col+fluxT)
			}
			r.inv = 1 / (r.di - r.up*lastC)
			r.a = (-r.res - r.up*lastA) * r.inv
			r.z = (r.col - r.up*lastZ) * r.inv
			r.c = r.lo * r.inv
			lastC, lastA, lastZ = r.c, r.a, r.z
		}
		if i < 0 {
			break
		}
		in, diY, up, col = -flux, -fluxL, -fluxR, -fluxT
		store, storeY, cell = over, overY, tab != nil
		phiR, dphR, gR, dgR, pvR, pvRY, pvRT = phiL, dphL, gL, dgL, pv, pvY, pvT
		if i == 0 || i == n-1 {
			for e := range v.ends {
				if d := &v.ends[e]; d.b != nil && i == e*(n-1) {
					v.atEnd(e, i, pv, pvY, pvT)
					in, diY, col = in-d.x.Water, diY-d.waterY, col-d.waterT
				}
			}
		}
	}
}

// assembleHeat is assemble for a wall in which every node has its temperature.
func (v *Solver) assembleHeat(hd float64, frozen bool) {
	var (
		fluid                         = v.p.Fluid
		waterHeat, latent, vapourHeat = fluid.waterHeat, fluid.latent, fluid.vapourHeat
		n                             = v.n
		wets                          [2]wet
		th, tr                        = &wets[0], &wets[1] // of the node and of the one on its right
		none                          link
		phiR, dphR, gR, dgR           float64 // of the right node in the link to its left
		pvR, pvRY, pvRT               float64
		kR, kRY                       float64 // its thermal conductance, that of a cell
		tempR                         float64
		cell                          bool    // whether the right node is one
		in, inH                       float64 // its row without the link on its left: what flows in
		di, up                        square
		store, storeH                 float64 // water and heat stored beyond what they should be, and their derivatives
		storeD                        square
		c                             square // of the row eliminated last
		aY, aT                        float64
		ys, temps, sizes, stuff       = v.y[:n], v.temp[:n], v.size[:n], v.stuff[:n]
		rw, rh, ws, dws               = v.rw[:n], v.rh[:n], v.wNow[:n], v.dw[:n]
		blocks, links                 = v.blocks[:n], v.links
	)
	for i := n - 1; i >= -1; i-- {
		l := &none // the link between i and i+1
		var phi, dph, g, dg, phiL, dphL, gL, dgL, pv, pvY, pvT, k, kY, temp, over, overH float64
		var overD square
		var tab *Table
		if i >= 0 {
			y := ys[i]
			temp = temps[i]
			fluid.at(temp, th)
			h, dh := kelvins.at(y - th.span)
			pv, pvY = th.ps*h, th.ps*dh
			pvT = th.dps*h - pvY*th.inv
			tab = stuff[i]
			if tab != nil {
				s, x := tab.locate(y)
				if x >= 0 && x <= 1 {
					const per = 1 / tableStep
					q := &s.phi
					phi, dph = q[0]+x*(q[1]+x*(q[2]+x*q[3])), (q[1]+x*(2*q[2]+3*x*q[3]))*per
					g = s.vap[0]
					if !tab.flatVap {
						g += x * s.vap[1]
						dg = s.vap[1] * per
					}
				} else {
					phi, dph, g, dg = tab.flow(y)
				}
				phiL, dphL, gL, dgL = phi, dph, g, dg
				var w, dw float64
				if x >= 0 && x <= 1 && (!tab.play || y >= v.eff[i]+scanning*(y-v.base[i])) {
					const per = 1 / tableStep
					q := &s.w
					w, dw = q[0]+x*(q[1]+x*(q[2]+x*q[3])), (q[1]+x*(2*q[2]+3*x*q[3]))*per
				} else {
					w, dw = v.storage(i)
				}
				ws[i], dws[i] = w, dw
				k, kY = tab.heat.Conductance+tab.heat.PerWater*w, tab.heat.PerWater*dw
				size, heat, byY := sizes[i], tab.heat.Capacity, 0.0
				if !tab.heat.WaterMissing {
					heat, byY = heat+waterHeat*w, waterHeat*dw*temp*size
				}
				over, overH = (w-rw[i])*size, heat*temp*size-rh[i]
				overD = square{dw * size, 0, byY, heat * size}
			} else {
				if i < n-1 && links[i].stuff != nil {
					phi, dph, g, dg = v.flowAt(i, links[i].stuff)
				}
				if i > 0 && links[i-1].stuff != nil {
					phiL, dphL, gL, dgL = v.flowAt(i, links[i-1].stuff)
				}
			}
			if i < n-1 {
				l = &links[i]
				if l.stuff == nil {
					v.contact(i)
				} else {
					inv := l.inv
					flow, del := inv*(th.flow+tr.flow)/2, inv*(th.del+tr.del)/2
					gm, dpv, dphi := (g+gR)/2, pv-pvR, phi-phiR
					vg := del * gm
					liq, vap := flow*dphi, vg*dpv
					liqL, liqR := flow*dph, -flow*dphR
					half := del * dpv / 2
					vapL, vapR := vg*pvY+dg*half, dgR*half-vg*pvRY
					half = inv * dphi / 2
					liqTL, liqTR := th.dflow*half, tr.dflow*half
					half = inv * gm * dpv / 2
					vapTL, vapTR := th.ddel*half+vg*pvT, tr.ddel*half-vg*pvRT
					l.water, l.waterL, l.waterR = liq+vap, liqL+vapL, liqR+vapR
					l.waterTL, l.waterTR = liqTL+vapTL, liqTR+vapTR
					km, kmL, kmR := (k+kR)/2, kY/2, kRY/2
					if !cell { // the conductance is that of the cell at one end
						km, kmL, kmR = k, kY, 0
					} else if tab == nil {
						km, kmL, kmR = kR, 0, kRY
					}
					km *= inv
					dt, tm := inv*(temp-tempR), (temp+tempR)/2
					hl, hv := waterHeat*tm, latent+vapourHeat*tm
					half = (liq*waterHeat + vap*vapourHeat) / 2
					l.heat = km*(temp-tempR) + liq*hl + vap*hv
					l.heatL, l.heatR = liqL*hl+vapL*hv+kmL*dt, liqR*hl+vapR*hv+kmR*dt
					l.heatTL = half + km + liqTL*hl + vapTL*hv
					l.heatTR = half - km + liqTR*hl + vapTR*hv
				}
			}
		}
		if i < n-1 { // the row of the right node is complete: eliminate it
			water, heat := -hd*(in+l.water), -hd*(inH+l.heat)
			lo := square{-hd * l.waterL, -hd * l.waterTL, -hd * l.heatL, -hd * l.heatTL}
			d := square{-hd * (di.wy + l.waterR), -hd * (di.wt + l.waterTR), -hd * (di.hy + l.heatR), -hd * (di.ht + l.heatTR)}
			u := square{-hd * up.wy, -hd * up.wt, -hd * up.hy, -hd * up.ht}
			switch {
			case !cell:
				if d.wy == 0 { // nothing reaches this face or joint: its suction stays
					d.wy = 1
				}
			case frozen:
				water, heat, lo, d, u = 0, 0, square{}, square{wy: 1, ht: 1}, square{}
			default:
				water, heat = water+store, heat+storeH
				d.wy, d.hy, d.ht = d.wy+storeD.wy, d.hy+storeD.hy, d.ht+storeD.ht
			}
			b := &blocks[i+1]
			b.water, b.heat, b.lo, b.di, b.up = water, heat, lo, d, u
			d = d.minus(u.times(c)).inverse()
			c = d.times(lo)
			aY, aT = b.reduce(d, u, -water, -heat, aY, aT)
			b.inv, b.c = d, c
		}
		if i < 0 {
			break
		}
		in, inH = -l.water, -l.heat
		di = square{-l.waterL, -l.waterTL, -l.heatL, -l.heatTL}
		up = square{-l.waterR, -l.waterTR, -l.heatR, -l.heatTR}
		store, storeH, storeD, cell = over, overH, overD, tab != nil
		phiR, dphR, gR, dgR, pvR, pvRY, pvRT = phiL, dphL, gL, dgL, pv, pvY, pvT
		kR, kRY, tempR = k, kY, temp
		th, tr = tr, th
		if i == 0 || i == n-1 {
			for e := range v.ends {
				if d := &v.ends[e]; d.b != nil && i == e*(n-1) {
					v.atEnd(e, i, pv, pvY, pvT)
					in, inH = in-d.x.Water, inH+d.heat
					di = square{di.wy - d.waterY, di.wt - d.waterT, di.hy + d.heatY, di.ht + d.heatT}
				}
			}
		}
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

// flowAt evaluates potential and vapour factor of a link's stuff at face or joint i.
func (v *Solver) flowAt(i int, t *Table) (phi, dphi, g, dg float64) {
	y := v.y[i]
	phi, dphi, g, dg = t.flow(y)
	if y < tableMin && (i == 0 && v.ends[0].b != nil || i == v.n-1 && v.ends[1].b != nil) {
		phi, dphi = t.seg[0].phi[0], 0 // a face runs off instead of pushing in
	}
	return
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
