package wall

import (
	"math"

	"limeday/psychro"
)

// Keeper is a Boundary with a state of its own that is advanced together with the wall, by the same
// formulas: a room whose air the wet wall fills.
type Keeper interface {
	Boundary
	// Stage announces the stage to be solved next: Hold with the step's own state, or one of the two
	// implicit stages of a step of length h.
	Stage(s Stage, h float64)
	// Settle tells what the stage's solution passes to the keeper, kg/(m2 s), and its face.
	Settle(water float64, s *Surface)
	// Accept carries the state over the step.
	Accept(h float64)
	// Keep remembers what the step tried last is made of, for Recall.
	Keep()
	// Recall makes it the step tried last again.
	Recall()
	// Error is the local error of the step tried, in units of its tolerance.
	Error(h float64) float64
}

// Stage is a stage of a step.
type Stage int

// The stages: none (state as it is), the trapezoidal and the BDF2 stage.
const (
	Hold Stage = iota
	Trapezoid
	Backward
)

// RoomSpec describes the room a wet wall stands in. What is not said of it stays as the Face's air says:
// that is the air that comes in, and the temperature of the surfaces that stay dry.
type RoomSpec struct {
	Volume     float64 // m3
	AirChanges float64 // 1/h
	Area       float64 // wet wall when all is laid, m2
	LayTime    float64 // s from the start of laying until all is laid; the wet area grows evenly
	Rest       float64 // m2 of surfaces that stay dry and hold the air's temperature
	Buffer     float64 // vapour that a square metre of them takes up, kg/(m2 Pa)
}

// restCoefficient is the convective coefficient to the dry surfaces, W/(m2 K): ISO 6946 annex, horizontal
// heat flow, from memory.
const restCoefficient = 2.5

// Room is a Face whose air is that of a closed room: it takes up what the wall gives off, is diluted by
// air changes, is cooled by the wet face and warmed by the dry surfaces, and cannot hold more than
// saturation. The dry surfaces take vapour up and give it back through the boundary layer before them, as
// one store; without Buffer only the air stores vapour, and the room fills too fast. One Room serves one
// Solver at a time.
type Room struct {
	*Face
	spec  RoomSpec
	begin float64 // start of laying, s

	mass, heat float64 // vapour, kg; heat, J above 0 C
	store      float64 // vapour in the dry surfaces, kg
	condensed  float64 // kg
	vented     float64 // kg

	hd             float64
	rhsM, rhsH     float64
	rhsB           float64
	soak, hold     float64 // kg/(s Pa) to the dry surfaces; kg/Pa they hold
	area, cHeat    float64
	pOut, tOut     float64
	p, t, h        float64 // of the last Exchange
	stage          Stage
	f, q, v, c, b  [3]float64 // rates at the start and the two stages: vapour, heat, vented, condensed, stored
	sat, rise, ref float64    // saturation at the start of the stage, Pa, its slope and the temperature, C
	kept           [5][3]float64
}

func saturationOver(c float64) float64 { return float64(psychro.SaturationWater(psychro.Celsius(c))) }

// NewRoom makes a room whose air is, at time start (s), that of the face.
func NewRoom(spec RoomSpec, face *Face, start float64) *Room {
	if !(spec.Volume > 0 && spec.AirChanges >= 0 && spec.Area >= 0 && spec.LayTime >= 0 && spec.Rest >= 0 && spec.Buffer >= 0) {
		panic("wall: a room needs a volume, and no negative numbers")
	}
	r := &Room{Face: face, spec: spec, begin: start}
	a := face.At(start)
	r.cHeat = spec.Volume * float64(face.spec.Pressure) / (psychro.GasConstantDryAir * (a.Temperature + psychro.ZeroCelsius)) * psychro.HeatCapacityDryAir
	r.heat = r.cHeat * a.Temperature
	r.mass = a.Vapour * r.perPascal(a.Temperature)
	r.hold = spec.Buffer * spec.Rest
	r.store = r.hold * a.Vapour
	return r
}

// Clone copies the room with its state.
func (r *Room) Clone() *Room {
	c := *r
	f := *r.Face
	c.Face = &f
	return &c
}

// Before is a copy of the room with another face before the wall: its air is then what comes in.
func (r *Room) Before(face *Face) *Room {
	c := *r
	c.Face = face
	return &c
}

// BeginLaying starts the growth of the wet area anew at time t (s).
func (r *Room) BeginLaying(t float64) { r.begin = t }

// Inside is the air of the room: temperature (C) and vapour pressure (Pa).
func (r *Room) Inside() (temperature, vapour float64) {
	t := r.heat / r.cHeat
	return t, r.mass / r.perPascal(t)
}

// SetInside puts the room's air to what was read in it: temperature (C) and vapour pressure (Pa), at most saturation. What
// the dry surfaces hold is multiplied as the vapour pressure is: they hold most of a room's vapour and follow its air
// within minutes, so left as they were they would undo the reading, while their lag behind the air is not known better
// than before. The air that is read already changes nothing.
func (r *Room) SetInside(temperature, vapour float64) {
	if !(vapour >= 0) || math.IsInf(vapour, 0) || math.IsNaN(temperature) || math.IsInf(temperature, 0) {
		panic("wall: a room's air must have a temperature and a vapour pressure")
	}
	t, was := r.Inside()
	vapour = min(vapour, saturationOver(temperature))
	if temperature == t && vapour == was {
		return
	}
	r.heat = r.cHeat * temperature
	r.mass = vapour * r.perPascal(temperature)
	if was > 0 {
		r.store *= vapour / was
	} else {
		r.store = r.hold * vapour
	}
}

// AirChanges is the air change rate, 1/h; SetAirChanges makes it another from now on.
func (r *Room) AirChanges() float64 { return r.spec.AirChanges }

// SetAirChanges sets the air change rate, 1/h, not negative.
func (r *Room) SetAirChanges(perHour float64) {
	if !(perHour >= 0) || math.IsInf(perHour, 0) {
		panic("wall: air changes must not be negative")
	}
	r.spec.AirChanges = perHour
}

// Totals are what has left the air since the room was made, kg: out by air changes and condensed.
func (r *Room) Totals() (vented, condensed float64) { return r.vented, r.condensed }

// Vapour is the mass of vapour in the room's air and its dry surfaces, kg.
func (r *Room) Vapour() float64 { return r.mass + r.store }

// perPascal is the vapour held per pascal at c degrees, kg/Pa.
func (r *Room) perPascal(c float64) float64 {
	return r.spec.Volume / (psychro.GasConstantVapour * (c + psychro.ZeroCelsius))
}

// Next implements Boundary: the end of laying is a kink too.
func (r *Room) Next(t float64) float64 {
	n := r.Face.Next(t)
	for _, k := range [...]float64{r.begin, r.begin + r.spec.LayTime} {
		if k > t+1e-6 {
			n = min(n, k)
		}
	}
	return n
}

// Prepare implements Boundary.
func (r *Room) Prepare(t float64) {
	r.Face.Prepare(t)
	r.tOut, r.pOut = r.Face.now.Temperature, r.Face.now.Vapour
	r.soak = r.spec.Rest * restCoefficient * r.lewis
	switch {
	case t < r.begin:
		r.area = 0
	case t >= r.begin+r.spec.LayTime:
		r.area = r.spec.Area
	default:
		r.area = r.spec.Area * (t - r.begin) / r.spec.LayTime
	}
}

// Stage implements Keeper.
func (r *Room) Stage(s Stage, h float64) {
	const hd = diagRK
	r.stage = s
	switch s {
	case Hold:
		r.hd, r.rhsM, r.rhsH, r.rhsB = 0, r.mass, r.heat, r.store
	case Trapezoid:
		r.hd, r.rhsM, r.rhsH = hd*h, r.mass+hd*h*r.f[0], r.heat+hd*h*r.q[0]
		r.rhsB = r.store + hd*h*r.b[0]
	case Backward:
		r.hd, r.rhsM, r.rhsH = hd*h, r.mass+outer*h*(r.f[0]+r.f[1]), r.heat+outer*h*(r.q[0]+r.q[1])
		r.rhsB = r.store + outer*h*(r.b[0]+r.b[1])
	}
	r.t, r.p = r.Inside()
	r.sat, r.rise, r.ref = saturationOver(r.t), psychro.SaturationWaterSlope(psychro.Celsius(r.t)), r.t
}

// most is the lesser of the vapour pressure p and saturation at t, C, and whether it is saturation. That curves upwards, so
// what lies below its tangent need not be compared with it.
func (r *Room) most(p, t float64) (float64, bool) {
	if p <= r.sat+r.rise*(t-r.ref) {
		return p, false
	}
	top := saturationOver(t)
	return min(p, top), p > top
}

// changes is the air change rate in 1/s.
func (r *Room) changes() float64 { return r.spec.AirChanges / 3600 }

// warm gives the room's temperature at the stage for a face at ts and coefficient h, and its derivative by ts.
func (r *Room) warm(ts, h float64) (t, dt float64) {
	a, g := r.area*h, r.changes()*r.cHeat+r.spec.Rest*restCoefficient
	den := r.cHeat + r.hd*(a+g)
	return (r.rhsH + r.hd*(a*ts+g*r.tOut)) / den, r.hd * a / den
}

// soaked gives what the dry surfaces take up at room pressure p, as a + s p in kg/s, their own balance over
// the stage being solved already.
func (r *Room) soaked() (a, s float64) {
	if r.hold == 0 {
		return 0, 0
	}
	g := r.soak / (r.hold + r.hd*r.soak)
	return -g * r.rhsB, g * r.hold
}

// Exchange implements Boundary: the room's own balance over the stage is solved for the face as it is, so
// that wall and room are implicit together.
func (r *Room) Exchange(s *Surface, x *Exchange) {
	n := r.changes()
	sa, ss := r.soaked()
	var dt, dp, beta, byT, byP float64
	for range 3 { // the coefficient depends weakly on the room's own air
		r.setNow()
		wasT, wasP := r.t, r.p
		r.h, byT, byP = r.coefficient(s)
		r.t, dt = r.warm(s.Temperature, r.h)
		beta = r.h * r.lewis
		k := r.perPascal(r.t)
		den := k*(1+r.hd*n) + r.hd*(r.area*beta+ss)
		r.p, dp = (r.rhsM+r.hd*(r.area*beta*s.Pressure+n*k*r.pOut-sa))/den, r.hd*r.area*beta/den
		full := false
		if r.p, full = r.most(r.p, r.t); full {
			dp = 0
		}
		if math.Abs(r.t-wasT) < sameTemp && math.Abs(r.p-wasP) < samePressure {
			break
		}
	}
	r.setNow()
	gap := s.Pressure - r.p
	ts, tr := s.Temperature+psychro.ZeroCelsius, r.now.Radiant+psychro.ZeroCelsius
	es := r.Face.spec.Emissivity * stefanBoltzmann
	*x = Exchange{
		Water: beta * gap, WaterPressure: beta*(1-dp) + byP*r.lewis*gap, WaterTemp: byT * r.lewis * gap,
		Heat:         r.h*(r.t-s.Temperature) + es*(tr*tr*tr*tr-ts*ts*ts*ts) + r.absorbed(s.Y),
		HeatTemp:     byT*(r.t-s.Temperature) - r.h*(1-dt) - 4*es*ts*ts*ts,
		HeatPressure: byP * (r.t - s.Temperature),
	}
}

// A room's air that moved less in the last round would hardly move in the next: by a hundredth of that, C and Pa.
const sameTemp, samePressure = 1e-6, 1e-4

// setNow makes the room's air the air before the face.
func (r *Room) setNow() {
	r.now.Temperature, r.now.Vapour = r.t, r.p
	r.virtual, _, _ = virtual(r.t+psychro.ZeroCelsius, r.p, r.lightness)
}

// Settle implements Keeper.
func (r *Room) Settle(water float64, s *Surface) {
	n := r.changes()
	t, _ := r.warm(s.Temperature, r.h)
	k := r.perPascal(t)
	in := r.area * water
	sa, ss := r.soaked()
	p := (r.rhsM + r.hd*(in+n*k*r.pOut-sa)) / (k*(1+r.hd*n) + r.hd*ss)
	p, full := r.most(p, t)
	vent, soak, cond := n*k*(p-r.pOut), sa+ss*p, 0.0
	if full {
		if r.hd > 0 {
			cond = in - vent - soak - (k*p-r.rhsM)/r.hd
		} else {
			cond = max(in-vent-soak, 0)
		}
	}
	i := int(r.stage)
	r.f[i], r.v[i], r.c[i], r.b[i] = in-vent-soak-cond, vent, cond, soak
	r.q[i] = r.area*r.h*(s.Temperature-t) + (n*r.cHeat+r.spec.Rest*restCoefficient)*(r.tOut-t)
}

// Accept implements Keeper.
func (r *Room) Accept(h float64) {
	sum := func(a *[3]float64) float64 { return h * (outer*(a[0]+a[1]) + diagRK*a[2]) }
	r.mass += sum(&r.f)
	r.heat += sum(&r.q)
	r.vented += sum(&r.v)
	r.condensed += sum(&r.c)
	r.store += sum(&r.b)
	for _, a := range [...]*[3]float64{&r.f, &r.q, &r.v, &r.c, &r.b} {
		a[0] = a[2]
	}
}

// Keep implements Keeper.
func (r *Room) Keep() { r.kept = [...][3]float64{r.f, r.v, r.c, r.b, r.q} }

// Recall implements Keeper.
func (r *Room) Recall() {
	for i, a := range [...]*[3]float64{&r.f, &r.v, &r.c, &r.b, &r.q} {
		*a = r.kept[i]
	}
}

// roomTolerance is the local error allowed in the room's vapour, as a share of saturation, and roomTempTol
// that in its temperature, K.
const (
	roomTolerance = 3e-4
	roomTempTol   = 0.02
)

// Error implements Keeper.
func (r *Room) Error(h float64) float64 {
	est := func(a *[3]float64) float64 { return math.Abs(h * (err0*a[0] + err1*a[1] + err2*a[2])) }
	// Filtered like the wall's own: what the stage's implicit balance would damp does not count.
	n := r.changes()
	k := r.perPascal(r.t)
	damp := 1 + r.hd*(n+r.area*r.h*r.lewis/k)
	dampT := 1 + r.hd*(r.area*r.h/r.cHeat+n+r.spec.Rest*restCoefficient/r.cHeat)
	return max(est(&r.f)/damp/(roomTolerance*k*saturationOver(r.t)), est(&r.q)/dampT/(roomTempTol*r.cHeat))
}
