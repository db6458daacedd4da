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
func (v *Solver) Advance(until float64, obs ...Observer) error {
	if !(until >= v.time) || math.IsInf(until, 0) {
		panic("wall: Advance to a time before the present, or to no time")
	}
	for steps := 0; v.time < until; {
		stop := v.nextStop(until)
		if v.fresh {
			if err := v.consistent(); err != nil {
				return err
			}
		}
		h := min(v.h, v.set.MaxStep)
		left := stop - v.time
		lands := false
		switch {
		case h >= left*(1-1e-9):
			h, lands = left, true
		case h > left/2:
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
			}
			v.restore()
			if v.h < v.set.MinStep {
				return v.failure("the step became too small; suction or temperature may be out of range there")
			}
			continue
		}
		v.stats.Steps++
		v.accept(h, lands, stop)
		grow := min(5, 0.9/math.Cbrt(max(norm, 1e-6)))
		if !lands || grow < 1 { // a step cut short to land says nothing against the one planned
			v.h = h * grow
		} else {
			v.h = max(v.h, h*grow)
		}
		for _, o := range obs {
			o.Observe(&v.step)
		}
		if lands && stop < until {
			v.fresh = true
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

	// Trapezoidal stage to gamma h, from a linear prediction.
	if v.hPrev > 0 {
		r := gamma * h / v.hPrev
		for i := range n {
			v.y[i] += min(max(r*(v.y0[i]-v.yPrev[i]), -1), 1)
			v.temp[i] += min(max(r*(v.t0[i]-v.tPrev[i]), -2), 2)
		}
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
	for e := range v.ends {
		v.ends[e].mid, v.ends[e].heatMid = v.ends[e].now, v.ends[e].heatNow
	}

	// BDF2 stage to h.
	for i := range n {
		v.y[i] = v.y0[i] + min(max((v.y[i]-v.y0[i])/gamma, -2), 2)
		v.temp[i] = v.t0[i] + (v.temp[i]-v.t0[i])/gamma
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

// errorNorm is the root mean square of the step's local error over the cells, in units of the tolerance,
// filtered through the last stage's matrix so that stiff components that have died out do not count.
func (v *Solver) errorNorm(h float64) float64 {
	cond := v.p.Thermal == Conducting
	for i := range v.n {
		v.res[i], v.resH[i] = 0, 0
		if v.size[i] > 0 {
			v.res[i] = -h * (err0*v.f0[i] + err1*v.f1[i] + err2*v.f[i])
			if cond {
				v.resH[i] = -h * (err0*v.q0[i] + err1*v.q1[i] + err2*v.q[i])
			}
		}
	}
	v.solve(v.res, v.resH, 0)
	sum, count := 0.0, 0
	for i := range v.n {
		if v.size[i] == 0 {
			continue
		}
		e := v.dw[i] * v.dy[i] * v.size[i] / (v.full[i] * v.set.Tolerance)
		sum += e * e
		count++
		if cond {
			e = v.dt[i] / v.set.TempTol
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
	copy(v.f, v.f0)
	copy(v.q, v.q0)
	for e := range v.ends {
		v.ends[e].now, v.ends[e].heatNow = v.ends[e].w0, v.ends[e].q0
	}
}

// accept carries water and enthalpy over the step by the fluxes themselves.
func (v *Solver) accept(h float64, lands bool, stop float64) {
	for i := range v.n {
		if v.size[i] == 0 {
			continue
		}
		v.water[i] = v.w0[i] + h*(outer*(v.f0[i]+v.f1[i])+diagRK*v.f[i])/v.size[i]
		v.hea[i] = v.h0[i] + h*(outer*(v.q0[i]+v.q1[i])+diagRK*v.q[i])
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
	v.hPrev = h
	v.step.From = v.time
	if lands {
		v.time = stop
	} else {
		v.time += h
	}
	v.step.To = v.time
}
