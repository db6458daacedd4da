package wall

import "math"

// Coefficients of TR-BDF2 and of the third-order formula embedded in it for the error (Hosea & Shampine 1996).
const (
	gamma  = 2 - math.Sqrt2
	diagRK = gamma / 2
	outer  = math.Sqrt2 / 4
	err0   = (1-outer)/3 - outer
	err1   = (3*outer+1)/3 - outer
	err2   = diagRK/3 - diagRK
)

// Observer watches accepted steps.
type Observer interface {
	// Observe is called after every accepted step; it must not keep s.
	Observe(s *Step)
}

// Step is one accepted step as an Observer sees it.
type Step struct {
	From, To float64 // s
	v        *Solver
}

// Advance runs the wall to time until, showing every step to the observers. The error, if any, is a
// *ConvergenceError; the solver then stands at the last time reached.
func (v *Solver) Advance(until float64, obs ...Observer) error { return v.advance(until, nil, obs) }

// AdvanceTo is Advance that ends when c comes true, or at time until where that is sooner. It ends on c.At itself, which
// is then at most landTime (or landShare of the time gone) late. Where c holds already, no time passes.
func (v *Solver) AdvanceTo(c *Crossing, until float64, obs ...Observer) error {
	if c.Below(v) {
		return nil
	}
	return v.advance(until, c, obs)
}

// How late a step may end after a crossing: s, or a share of the time gone since the advance began.
const (
	landTime  = 0.05 // on one that ends the advance
	landShare = 1e-7
	nearShare = 0.01 // after one that is only noted: within that its time is interpolated
	maxCuts   = 30   // of one step: each cut ends it sooner, one or two are usual
	maxProbes = 3
)

// probe notes the crossings that lie further than late before the end of the step of h just carried. Where a thin film
// dries evenly steps are long, and what is interpolated within one is worth less than its end: so shorter steps are
// tried that end near the crossing. They are not taken, and the step is as it was in the end: what is noted moves nothing.
// But where a shorter step errs by more than the tolerance the whole was too long for what happens within it: the length that is
// too long is returned, and the solver stands at the start of the step; 0 otherwise.
func (v *Solver) probe(h float64, obs []Observer, late float64) (long float64) {
	if h <= late {
		return 0
	}
	probed := false
	for _, o := range obs {
		c, is := o.(*Crossing)
		if !is || c.Found {
			continue
		}
		at, down := c.within(&v.step)
		end := v.step.To
		if !down || end-at <= late {
			continue
		}
		beyond := c.above(&v.step)
		if !probed {
			v.keep()
			probed = true
		}
		for range maxProbes {
			v.restore()
			short := at + 0.3*late - v.time
			norm, ok := v.try(short)
			if !ok {
				break
			}
			v.stats.Probed++
			if norm > 1 {
				v.restore()
				return short
			}
			v.carry(short, false, 0)
			at, down = c.within(&v.step)
			off := v.step.To - at
			if !down {
				x := c.above(&v.step)
				off = (end - v.step.To) * x / (x - beyond)
				at = v.step.To + off
			}
			if off <= late || end-at <= late {
				break
			}
		}
		c.Found, c.At = true, at
		v.recall()
	}
	return 0
}

// solved are the slices that a step is made of once it has been tried and carried.
func (v *Solver) solved() [10][]float64 {
	return [...][]float64{v.y, v.temp, v.water, v.hea, v.f, v.q, v.f1, v.q1, v.y1, v.t1}
}

// keep remembers the step tried and carried last, for recall.
func (v *Solver) keep() {
	all := v.solved()
	if v.kept.values == nil {
		v.kept.values = make([]float64, 0, len(all)*v.n)
	}
	v.kept.values = v.kept.values[:0]
	for _, s := range all {
		v.kept.values = append(v.kept.values, s...)
	}
	v.kept.ends, v.kept.to = v.ends, v.step.To
	for e := range v.ends {
		if k := v.ends[e].keeper; k != nil {
			k.Keep()
		}
	}
}

// recall makes it the step tried last again.
func (v *Solver) recall() {
	rest := v.kept.values
	for _, s := range v.solved() {
		rest = rest[copy(s, rest):]
	}
	v.ends, v.step.To = v.kept.ends, v.kept.to
	for e := range v.ends {
		if k := v.ends[e].keeper; k != nil {
			k.Recall()
		}
	}
}

func (v *Solver) advance(until float64, c *Crossing, obs []Observer) error {
	if !(until >= v.time) || math.IsInf(until, 0) {
		panic("wall: Advance to a time before the present, or to no time")
	}
	start := v.time
	cut, cuts := math.Inf(1), 0 // the step that is to end on the crossing
	for steps := 0; v.time < until; {
		stop := v.nextStop(until)
		if v.fresh {
			if err := v.consistent(); err != nil {
				return err
			}
		}
		h := min(v.h, v.set.MaxStep, cut)
		left := stop - v.time
		lands := false
		switch {
		case h >= left*(1-1e-9):
			h, lands = left, true
		case h > left/2 && cuts == 0:
			h = left / 2
		}
		if steps++; steps > v.set.MaxSteps {
			return v.failure("more steps than allowed")
		}
		norm, ok := v.try(h)
		if !ok || norm > 1 {
			if ok {
				v.stats.Rejected++
				v.h = h * max(0.2, 0.9/math.Cbrt(norm))
			} else {
				v.stats.Failed++
				v.h = h / 5
				v.hPrev = 0 // what was predicted may be to blame
			}
			v.restore()
			if v.h < v.set.MinStep {
				return v.failure("the step became too small; suction or temperature may be out of range there")
			}
			continue
		}
		v.carry(h, lands, stop)
		if c != nil && cuts < maxCuts {
			late := max(landTime, landShare*(v.step.To-start))
			if at, ok := c.within(&v.step); ok && v.step.To-at > late {
				cut = at + 0.3*late - v.time
				cuts++
				v.stats.Cut++
				v.restore()
				continue
			}
		}
		if long := v.probe(h, obs, max(landTime, nearShare*(v.step.To-start))); long > 0 {
			v.stats.Rejected++
			v.h = long / 2
			continue
		}
		v.stats.Steps++
		v.accept(h)
		grow := min(5, 0.9/math.Cbrt(max(norm, 1e-6)))
		if !lands && cuts == 0 || grow < 1 { // a step cut short to land says nothing against the one planned
			v.h = h * grow
		} else {
			v.h = max(v.h, h*grow)
		}
		cut, cuts = math.Inf(1), 0
		for _, o := range obs {
			o.Observe(&v.step)
		}
		if lands && stop < until {
			steps = 0
		}
		if c != nil {
			if c.Observe(&v.step); c.Found {
				c.At = v.time
				return nil
			}
		}
	}
	return nil
}

func (v *Solver) failure(cause string) error {
	e := &ConvergenceError{Time: v.time, Cell: -1, Cause: cause}
	layer := 0
	for i, k := range v.cell {
		var cell int
		layer, cell = v.p.layerOf(i)
		if k >= v.bad {
			if k == v.bad {
				e.Cell = cell
			}
			break
		}
	}
	e.Layer = v.p.Layers[layer].Name
	return e
}

// nextStop is the next time a step must end on.
func (v *Solver) nextStop(until float64) float64 {
	for e := range v.ends {
		if b := v.ends[e].b; b != nil {
			until = min(until, b.Next(v.time))
		}
	}
	return until
}

func (v *Solver) prepare(t float64) {
	for e := range v.ends {
		if b := v.ends[e].b; b != nil {
			b.Prepare(t)
		}
	}
}

// stageOf tells the boundaries that keep a state which stage is solved next.
func (v *Solver) stageOf(s Stage, h float64) {
	for e := range v.ends {
		if k := v.ends[e].keeper; k != nil {
			k.Stage(s, h)
		}
	}
}

// consistent solves faces and joints for the present cells and conditions, after anything jumped.
func (v *Solver) consistent() error {
	v.prepare(v.time)
	v.stageOf(Hold, 0)
	if !v.newton(diagRK*v.h, true) {
		return v.failure("no balance found for faces and joints")
	}
	v.fresh = false
	v.hPrev = 0
	return nil
}

// try attempts a step of h and returns the norm of its error.
func (v *Solver) try(h float64) (norm float64, ok bool) {
	copy(v.y0, v.y)
	copy(v.t0, v.temp)
	copy(v.w0, v.water)
	copy(v.h0, v.hea)
	copy(v.f0, v.f)
	copy(v.q0, v.q)
	for e := range v.ends {
		v.ends[e].w0, v.ends[e].q0 = v.ends[e].now, v.ends[e].heatNow
	}
	n, hd := v.n, diagRK*h

	// Trapezoidal stage to gamma h.
	if v.hPrev > 0 {
		predict(v.y, v.y0, v.yPrev, v.yMid, gamma*h, v.hPrev, 1, wetEnd)
		predict(v.temps(v.temp), v.temps(v.t0), v.tPrev, v.tMid, gamma*h, v.hPrev, 2, math.Inf(-1))
	}
	for i := range n {
		if v.size[i] > 0 {
			v.rw[i] = v.w0[i] + hd*v.f0[i]/v.size[i]
			v.rh[i] = v.h0[i] + hd*v.q0[i]
		}
	}
	v.prepare(v.time + gamma*h)
	v.stageOf(Trapezoid, h)
	if !v.newton(hd, false) {
		return 0, false
	}
	copy(v.f1, v.f)
	copy(v.q1, v.q)
	copy(v.y1, v.y)
	copy(v.t1, v.temp)
	for e := range v.ends {
		v.ends[e].mid, v.ends[e].heatMid = v.ends[e].now, v.ends[e].heatNow
	}

	// BDF2 stage to h.
	onward(v.y, v.y0, v.yPrev, h, v.hPrev, 2, wetEnd)
	onward(v.temps(v.temp), v.temps(v.t0), v.tPrev, h, v.hPrev, math.Inf(1), math.Inf(-1))
	for i := range n {
		if v.size[i] > 0 {
			v.rw[i] = v.w0[i] + outer*h*(v.f0[i]+v.f1[i])/v.size[i]
			v.rh[i] = v.h0[i] + outer*h*(v.q0[i]+v.q1[i])
		}
	}
	v.prepare(v.time + h)
	v.stageOf(Backward, h)
	if !v.newton(hd, false) {
		return 0, false
	}
	return v.errorNorm(h), true
}

// predict puts into x what it will be after h, from x0 now, mid and prev, which it was at the stage and the start of a step of
// length was: along the parabola through them where that leaves the line by less than the line goes, else along the line, and by
// no more than most. What is below curved, as the suction of a full cell, has no parabola: it goes by jumps.
func predict(x, x0, prev, mid []float64, h, was, most, curved float64) {
	late := (1 - gamma) * was // since the stage
	turn := h * (h + late) / was
	straight, recent, before := h/was, (h+turn)/late, turn/(gamma*was)
	for i, now := range x0 {
		line := straight * (now - prev[i])
		bent := recent*(now-mid[i]) - before*(mid[i]-prev[i])
		if math.Abs(bent-line) < math.Abs(line) && now > curved {
			line = bent
		}
		x[i] = now + min(max(line, -most), most)
	}
}

// onward takes x, solved for at the stage, on to the end of the step of h in the same way; was is 0 without a step before it.
func onward(x, x0, prev []float64, h, was, most, curved float64) {
	turn, before := 0.0, 0.0
	if was > 0 {
		turn = h * (1 - gamma) / (gamma*h + was)
		before = h / was
	}
	for i, from := range x0 {
		line := (x[i] - from) / gamma
		bend := turn * (line - before*(from-prev[i]))
		if math.Abs(bend) < math.Abs(line) && from > curved {
			line += bend
		}
		x[i] = from + min(max(line, -most), most)
	}
}

// errorNorm is the root mean square of the step's local error over the cells, in units of the tolerance,
// filtered through the last stage's matrix so that stiff components that have died out do not count.
func (v *Solver) errorNorm(h float64) float64 {
	cond := v.p.Thermal == Conducting
	right := &link{}
	var y, t float64
	for i := v.n - 1; i >= 0; i-- {
		water, heat := right.waterR*y, 0.0
		if v.size[i] > 0 {
			water -= (err0*v.f0[i] + err1*v.f1[i] + err2*v.f[i]) / diagRK
		}
		if cond {
			water += right.waterTR * t
			heat = right.heatR*y + right.heatTR*t
			if v.size[i] > 0 {
				heat -= (err0*v.q0[i] + err1*v.q1[i] + err2*v.q[i]) / diagRK
			}
			b := &v.blocks[i]
			y, t = b.inv.of(water, heat)
			b.ay, b.at = y, t
		} else {
			r := &v.rows[i]
			y = water * r.inv
			r.a = y
		}
		if i > 0 {
			right = &v.links[i-1]
		}
	}
	v.substitute(false)
	sum, count := 0.0, 0
	per, perTemp := 1/v.set.Tolerance, 1/v.set.TempTol
	for i, size := range v.size {
		if size == 0 {
			continue
		}
		e := v.dw[i] * v.dy[i] * v.part[i] * per
		sum += e * e
		count++
		if cond {
			e = v.dt[i] * perTemp
			sum += e * e
			count++
		}
	}
	norm := math.Sqrt(sum / float64(count))
	for e := range v.ends {
		if k := v.ends[e].keeper; k != nil {
			norm = max(norm, k.Error(h))
		}
	}
	return norm
}

func (v *Solver) restore() {
	copy(v.y, v.y0)
	copy(v.temp, v.t0)
	copy(v.water, v.w0)
	copy(v.hea, v.h0)
	copy(v.f, v.f0)
	copy(v.q, v.q0)
	for e := range v.ends {
		v.ends[e].now, v.ends[e].heatNow = v.ends[e].w0, v.ends[e].q0
	}
}

// carry takes water and enthalpy over the step by the fluxes themselves, and says in v.step what it spans. It can still
// be undone by restore.
func (v *Solver) carry(h float64, lands bool, stop float64) {
	for i := range v.n {
		if v.size[i] > 0 {
			v.water[i] = v.w0[i] + h*(outer*(v.f0[i]+v.f1[i])+diagRK*v.f[i])/v.size[i]
			v.hea[i] = v.h0[i] + h*(outer*(v.q0[i]+v.q1[i])+diagRK*v.q[i])
		}
	}
	v.step.From, v.step.To = v.time, v.time+h
	if lands {
		v.step.To = stop
	}
}

// accept makes the step that was carried the present: history, what has passed the faces, time.
func (v *Solver) accept(h float64) {
	for i := range v.n {
		if v.size[i] == 0 {
			continue
		}
		if v.play && v.stuff[i].play {
			v.eff[i], _ = v.drained(i)
			v.base[i] = v.y[i]
			v.cons[i] = max(v.cons[i], min(v.eff[i], v.stuff[i].shrunk))
		} else {
			v.eff[i] = v.y[i]
		}
	}
	for e := range v.ends {
		d := &v.ends[e]
		if d.b == nil {
			continue
		}
		if d.keeper != nil {
			d.keeper.Accept(h)
		}
		out := h * (outer*(d.w0+d.mid) + diagRK*d.now)
		if e == 0 {
			v.stats.Evaporated += out
		} else {
			v.stats.RearLoss += out
		}
		v.stats.HeatIn += h * (outer*(d.q0+d.heatMid) + diagRK*d.heatNow)
	}
	copy(v.yPrev, v.y0)
	copy(v.tPrev, v.t0)
	copy(v.yMid, v.y1)
	copy(v.tMid, v.t1)
	v.hPrev = h
	v.time = v.step.To
}
