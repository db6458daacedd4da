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

// block is a row of a Conducting wall: water and heat by suction and temperature, {water by y, water by T, heat by y, heat by T}.
type block struct {
	res        [2]float64
	lo, di, up [4]float64
	inv, c     [4]float64
	a          [2]float64
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
		for e := range v.ends {
			if d := &v.ends[e]; d.b != nil && i == e*(n-1) {
				v.atEnd(e, i, pv, pvY, pvT)
				in, diY, col = in-d.x.Water, diY-d.waterY, col-d.waterT
			}
		}
	}
}

// assembleHeat is assemble for a wall in which every node has its temperature.
func (v *Solver) assembleHeat(hd float64, frozen bool) {
	var (
		fluid                    = v.p.Fluid
		n                        = v.n
		th, tr                   wet     // of the node and of the one on its right
		phiR, dphR, gR, dgR      float64 // of the right node in the link to its left
		pvR, pvRY, pvRT          float64
		kR, kRY                  float64    // its thermal conductance, that of a cell
		last                     block      // of the row eliminated last: c and a
		next                     block      // the right node's row, without the link on its left: inflows
		store, storeH            float64    // water and heat stored beyond what they should be
		storeD                   [4]float64 // and their derivatives
		cell                     bool       // whether the right node is one
		ys, temps, sizes, stuff  = v.y[:n], v.temp[:n], v.size[:n], v.stuff[:n]
		rw, rh, ws, dws          = v.rw[:n], v.rh[:n], v.wNow[:n], v.dw[:n]
		blocks, links, waterHeat = v.blocks[:n], v.links, fluid.waterHeat
	)
	for i := n - 1; i >= -1; i-- {
		var f link // of the link between i and i+1
		var phi, dph, g, dg, phiL, dphL, gL, dgL, pv, pvY, pvT, k, kY, over, overH float64
		var overD [4]float64
		var tab *Table
		if i >= 0 {
			fluid.at(temps[i], &th)
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
				k, kY = tab.heat.Conductance+tab.heat.PerWater*w, tab.heat.PerWater*dw
				size, t := sizes[i], temps[i]
				c, cW := tab.heat.Capacity, 0.0
				if !tab.heat.WaterMissing {
					c, cW = c+waterHeat*w, waterHeat*dw*t*size
				}
				over, overH = (w-rw[i])*size, c*t*size-rh[i]
				overD = [4]float64{dw * size, 0, cW, c * size}
			} else {
				k = math.NaN()
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
				} else {
					inv := l.inv
					flow, del := (th.flow+tr.flow)/2, (th.del+tr.del)/2
					gm, dpv, dphi := (g+gR)/2, pv-pvR, phi-phiR
					liq, vap := inv*flow*dphi, inv*del*gm*dpv
					liqL, liqR := inv*flow*dph, -inv*flow*dphR
					vapL := inv * del * (gm*pvY + dg/2*dpv)
					vapR := inv * del * (dgR/2*dpv - gm*pvRY)
					liqTL, liqTR := inv*th.dflow*dphi/2, inv*tr.dflow*dphi/2
					vapTL, vapTR := inv*gm*(th.ddel*dpv/2+del*pvT), inv*gm*(tr.ddel*dpv/2-del*pvRT)
					l.water, l.waterL, l.waterR = liq+vap, liqL+vapL, liqR+vapR
					l.waterTL, l.waterTR = liqTL+vapTL, liqTR+vapTR
					km, kmL, kmR := (k+kR)/2, kY/2, kRY/2
					if !cell { // the conductance is that of the cell at one end
						km, kmL, kmR = k, kY, 0
					} else if tab == nil {
						km, kmL, kmR = kR, 0, kRY
					}
					tl, t := temps[i], temps[i+1]
					tm := (tl + t) / 2
					hl, hv := waterHeat*tm, fluid.latent+fluid.vapourHeat*tm
					half := (liq*waterHeat + vap*fluid.vapourHeat) / 2
					l.heat = inv*km*(tl-t) + liq*hl + vap*hv
					l.heatL, l.heatR = liqL*hl+vapL*hv+inv*kmL*(tl-t), liqR*hl+vapR*hv+inv*kmR*(tl-t)
					l.heatTL = inv*km + half + liqTL*hl + vapTL*hv
					l.heatTR = -inv*km + half + liqTR*hl + vapTR*hv
				}
				f = *l
			}
		}
		if i < n-1 { // the row of the right node is complete: eliminate it
			b := &blocks[i+1]
			b.res = [2]float64{-hd * (next.res[0] + f.water), -hd * (next.res[1] + f.heat)}
			b.lo = [4]float64{-hd * f.waterL, -hd * f.waterTL, -hd * f.heatL, -hd * f.heatTL}
			b.di = [4]float64{-hd * (next.di[0] + f.waterR), -hd * (next.di[1] + f.waterTR), -hd * (next.di[2] + f.heatR), -hd * (next.di[3] + f.heatTR)}
			b.up = [4]float64{-hd * next.up[0], -hd * next.up[1], -hd * next.up[2], -hd * next.up[3]}
			switch {
			case !cell:
				if b.di[0] == 0 { // nothing reaches this face or joint: its suction stays
					b.di[0] = 1
				}
			case frozen:
				*b = block{di: [4]float64{1, 0, 0, 1}}
			default:
				b.res[0] += store
				b.res[1] += storeH
				b.di[0] += storeD[0]
				b.di[2] += storeD[2]
				b.di[3] += storeD[3]
			}
			b.eliminate(&last)
			last.c, last.a = b.c, b.a
		}
		if i < 0 {
			break
		}
		next.res = [2]float64{-f.water, -f.heat}
		next.di = [4]float64{-f.waterL, -f.waterTL, -f.heatL, -f.heatTL}
		next.up = [4]float64{-f.waterR, -f.waterTR, -f.heatR, -f.heatTR}
		store, storeH, storeD, cell = over, overH, overD, tab != nil
		phiR, dphR, gR, dgR, pvR, pvRY, pvRT = phiL, dphL, gL, dgL, pv, pvY, pvT
		kR, kRY, tr = k, kY, th
		for e := range v.ends {
			if d := &v.ends[e]; d.b != nil && i == e*(n-1) {
				v.atEnd(e, i, pv, pvY, pvT)
				next.res[0] -= d.x.Water
				next.di[0] -= d.waterY
				next.di[1] -= d.waterT
				next.res[1] += d.heat
				next.di[2] += d.heatY
				next.di[3] += d.heatT
			}
		}
	}
}

// eliminate takes the row behind, which has been eliminated, out of b.
func (b *block) eliminate(behind *block) {
	u, c := &b.up, &behind.c
	d0, d1 := b.di[0]-u[0]*c[0]-u[1]*c[2], b.di[1]-u[0]*c[1]-u[1]*c[3]
	d2, d3 := b.di[2]-u[2]*c[0]-u[3]*c[2], b.di[3]-u[2]*c[1]-u[3]*c[3]
	per := 1 / (d0*d3 - d1*d2)
	d0, d1, d2, d3 = d3*per, -d1*per, -d2*per, d0*per
	b.inv = [4]float64{d0, d1, d2, d3}
	l := &b.lo
	b.c = [4]float64{d0*l[0] + d1*l[2], d0*l[1] + d1*l[3], d2*l[0] + d3*l[2], d2*l[1] + d3*l[3]}
	b.reduce(-b.res[0], -b.res[1], behind)
}

// reduce does the same to a right-hand side.
func (b *block) reduce(water, heat float64, behind *block) {
	u, d := &b.up, &b.inv
	water -= u[0]*behind.a[0] + u[1]*behind.a[1]
	heat -= u[2]*behind.a[0] + u[3]*behind.a[1]
	b.a = [2]float64{d[0]*water + d[1]*heat, d[2]*water + d[3]*heat}
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
