package coat

import (
	"fmt"
	"math"

	"limeday/drying/material"
	"limeday/drying/wall"
)

// Setting is what the wall stands in.
type Setting struct {
	Face wall.FaceSpec
	Air  []wall.Air // in order of time, s
	// Room, where not nil, is the closed room whose air the wet wall fills; Air is then what comes in.
	Room *wall.RoomSpec
	// WallTemp is the temperature of the face at the start, C.
	WallTemp float64
	// Hold keeps heat leaving (or entering) behind the wall at the rate that holds a dry face at WallTemp in
	// the air of the start; without it the wall is sealed to heat behind.
	Hold bool
	// Rear is where heat goes behind the wall, in place of Hold; where it lets heat through, the wall starts with
	// the steady fall of temperature from there to its face.
	Rear wall.RearSpec
	// Wet is the share of its capillary water that the background holds at the start, from 0 to 1 (more than 0.98 is
	// taken as that): its outermost 30 mm and all of a board, but nothing drier than in balance with the air. Layers of less
	// than 1 mm have the suction of the layer behind them. Beyond, and with 0, it is in balance with the air. Its
	// temperature is WallTemp all the same: a wet face that dries is colder after some minutes.
	Wet float64
	// Coarse cuts the wall and its time into fewer pieces: about twice as fast, and within some 3 % of the
	// times (TestCoarse), for where many walls are followed that differ by far more.
	Coarse bool
}

// Wall is a build-up and its state. The zero value is not usable; see Stand.
type Wall struct {
	problem *wall.Problem
	state   wall.State
	setting Setting
	room    *wall.Room // nil in open air
	trace   *[]Sample  // nil unless recorded
	every   float64    // s between samples, at least
	set     wall.Settings
	top     *material.Finish // the coat at the face, nil before the first
	lost    float64          // water that has left through the face since the last coat was laid, kg/m2
	weighed []Weighing       // in order of time, filled in as their times pass
	factors Factors
	tables  *tables
	levels  material.Levels // of the coat at the face
	full    []float64       // of each coat laid, from the face inwards: the water that fills its pores
}

// Shares for Setting.Wet (ESTIMATE): damp is dark and cool to the hand without shining, about what damping down leaves in
// the outermost 30 mm of brick (0.27 in this model); wet has been hosed or rained on until it drank no more, and has just
// stopped shining (0.8 in brick after an hour of it).
const (
	DampShare = 0.30
	WetShare  = 0.80
)

// wetDepth is how far into a background Wet reaches, m (ESTIMATE: what a hose or a night of driving rain wets), and
// wettestStart bounds it, so that the first step has a suction to start from.
const (
	wetDepth     = 30e-3
	wettestStart = 0.98
)

// driest and wettest bound the humidity that a build-up can start in equilibrium with.
const driest, wettest = 0.02, 0.985

// mostSteps is many times what any wall takes from one record of the air to the next: what needs more is no wall.
const mostSteps = 5000

// longestStep, s: a coat that has dried changes little, and a step held by the tolerance alone would be longer; but how dry it is
// moves the times of the coat that is laid on it, by some 1 %.
const longestStep = 3600.0

// Stand sets up a bare background, in moisture equilibrium with the air at time start (s).
func Stand(b material.Background, s Setting, start float64) (*Wall, error) {
	fluid := wall.NewFluid(wall.StandardFluid(s.Face.Pressure))
	face := wall.NewFace(s.Face, s.Air)
	air := face.At(start)
	rh := min(max(air.Vapour/fluid.Saturation(s.WallTemp), driest), wettest)
	w := &Wall{setting: s, factors: Neutral(), tables: newTables(), problem: &wall.Problem{Front: face, Fluid: fluid, Thermal: wall.Conducting}}
	w.set = wall.Settings{MaxSteps: mostSteps, MaxStep: longestStep}
	if s.Coarse {
		w.set = wall.Settings{Tolerance: 2e-3, TempTol: 0.1, FirstStep: 2e-3, MaxSteps: mostSteps, MaxStep: longestStep}
	}
	if s.Room != nil {
		w.room = wall.NewRoom(*s.Room, wall.NewFace(s.Face, s.Air), start)
		w.room.BeginLaying(math.Inf(1)) // nothing is wet yet
		w.problem.Front = w.room
	}

	// The heat that passes through the wall at the start: what comes from or goes to a room behind it, or what
	// passes a dry face at WallTemp and goes out behind.
	var x wall.Exchange
	switch {
	case s.Rear.Transmittance > 0:
		r := 1 / s.Rear.Transmittance
		for _, l := range b.Layers {
			r += l.Thickness.Value / l.Conductivity.Value
		}
		x.Heat = (s.WallTemp - s.Rear.Temperature) / r
		w.problem.Rear = s.Rear.Boundary()
	case s.Hold:
		face.Prepare(start)
		face.Exchange(&wall.Surface{Y: fluid.Suction(rh, s.WallTemp), Pressure: air.Vapour, Temperature: s.WallTemp}, &x)
		w.problem.Rear = steadyLoss(x.Heat)
	}
	t := s.WallTemp
	w.state.Time = start
	for i, r := range b.Layers {
		tab, err := r.Table()
		if err != nil {
			return nil, err
		}
		w.problem.Layers = append(w.problem.Layers, wall.Layer{Name: r.Name, Stuff: tab, Cells: rigidCells(r, i, s.Coarse)})
	}
	depth := 0.0
	for i, l := range w.problem.Layers {
		y := fluid.Suction(rh, s.WallTemp)
		for _, c := range l.Cells {
			r := c / b.Layers[i].Conductivity.Value
			w.state.Cells = append(w.state.Cells, l.Stuff.At(w.begins(i, y, (wetDepth-depth)/c), t-x.Heat*r/2))
			t -= x.Heat * r
			depth += c
		}
	}
	return w, nil
}

// begins is the suction, ln(Pa), that a cell of layer i starts with: y of the air, or wetter as the setting says, of which
// the cell has share (cut to 0 to 1).
func (w *Wall) begins(i int, y, share float64) float64 {
	share = min(max(share, 0), 1)
	wet := min(w.setting.Wet, wettestStart)
	if !(wet > 0) || share == 0 {
		return y
	}
	l, behind := w.problem.Layers[i], i
	for w.problem.Layers[behind].Size() < 1e-3 && behind < len(w.problem.Layers)-1 {
		behind++
	}
	of := w.problem.Layers[behind].Stuff
	soaked := min(of.Suction(wet*of.Full()), y)
	if share == 1 {
		return soaked
	}
	dry, _ := l.Stuff.Water(y)
	full, _ := l.Stuff.Water(soaked)
	return l.Stuff.Suction(dry + share*(full-dry))
}

// rigidCells cuts a layer of a background. A front that advances into it from a coat of 0.05 mm upwards
// is followed from the first micrometres.
func rigidCells(r material.Rigid, depth int, coarse bool) []float64 {
	d, n := r.Thickness.Value, [4]int{16, 10, 28, 14}
	if coarse {
		n = [4]int{14, 8, 24, 10}
	}
	switch {
	case d < 1e-3 && depth == 0:
		return wall.GradedBothEnds(d, n[0], d/60)
	case d < 1e-3:
		return wall.GradedBothEnds(d, n[1], d/40)
	case depth == 0:
		return wall.Graded(d, n[2], 3e-6)
	default:
		return wall.Graded(d, n[3], 4e-5)
	}
}

// steadyLoss is a rear face that lets a constant heat flux out and no water.
type steadyLoss float64

func (steadyLoss) Prepare(float64)      {}
func (steadyLoss) Next(float64) float64 { return math.Inf(1) }
func (q steadyLoss) Exchange(_ *wall.Surface, x *wall.Exchange) {
	*x = wall.Exchange{Heat: -float64(q), Liquid: true}
}

// filmCells cuts a coat of given solid mass.
func (w *Wall) filmCells(solid float64) []float64 {
	n := 8
	if w.setting.Coarse {
		n = 6
	}
	return wall.GradedBothEnds(solid, n, solid/16)
}

// Time is the time the wall stands at, s.
func (w *Wall) Time() float64 { return w.state.Time }

// Late has the wall stand later by so many seconds than it did, or sooner, as it is: it was seen to come to its state then.
func (w *Wall) Late(seconds float64) { w.state.Time += seconds }

// FaceTemperature is that of the outermost cell, C.
func (w *Wall) FaceTemperature() float64 { return w.state.Cells[0].Temperature }

// Air is the air before the wall now; in a closed room, with what the wall has added.
func (w *Wall) Air() wall.Air {
	a := wall.NewFace(w.setting.Face, w.setting.Air).At(w.state.Time)
	if w.room != nil {
		a.Temperature, a.Vapour = w.room.Inside()
	}
	return a
}

// Inside is the air of the room the wall stands in: temperature (C) and vapour pressure (Pa); ok is false in open air.
func (w *Wall) Inside() (temperature, vapour float64, ok bool) {
	if w.room == nil {
		return 0, 0, false
	}
	temperature, vapour = w.room.Inside()
	return temperature, vapour, true
}

// SetInside puts the room's air to what was read in it now, C and Pa, as wall.Room has it; nothing in open air.
func (w *Wall) SetInside(temperature, vapour float64) {
	if w.room != nil {
		w.room.SetInside(temperature, vapour)
	}
}

// AirChanges is the air change rate of the room, 1/h; 0 in open air.
func (w *Wall) AirChanges() float64 {
	if w.room == nil {
		return 0
	}
	return w.room.AirChanges()
}

// SetAirChanges makes it another, 1/h, from now on; nothing in open air.
func (w *Wall) SetAirChanges(perHour float64) {
	if w.room != nil {
		w.room.SetAirChanges(perHour)
	}
}

// Measured takes a reading of the face, C, at the present time: by how much it differs from FaceTemperature, the whole
// wall is warmed or cooled, each cell times fade of the depth of its middle behind the face of the bare wall (m; of the
// coats 0). Water stays as it is, and so do time and what lies before and behind the wall. It returns the heat added,
// J/m2.
func (w *Wall) Measured(face float64, fade func(depth float64) float64) (heat float64) {
	d := face - w.FaceTemperature()
	if d == 0 {
		return 0
	}
	by := make([]float64, 0, len(w.state.Cells))
	depth := 0.0
	for i, l := range w.problem.Layers {
		for _, c := range l.Cells {
			if i < len(w.full) {
				c = 0
			}
			by = append(by, d*fade(depth+c/2))
			depth += c
		}
	}
	return w.problem.Warm(w.state, func(cell int) float64 { return by[cell] })
}

// Coat is one application.
type Coat struct {
	Finish    material.Finish
	Thickness float64 // wet, m
}

// Lay puts on a fresh coat, at the temperature of the face it meets.
func (w *Wall) Lay(c Coat) error {
	if !(c.Thickness > 0) || math.IsInf(c.Thickness, 0) {
		return fmt.Errorf("coat: a thickness of %g m; it must be positive", c.Thickness)
	}
	c, levels := w.factors.coat(c)
	tab, err := w.tables.of(c.Finish, w.factors.Desorptivity)
	if err != nil {
		return err
	}
	if w.top != nil && w.top.Sets != nil {
		if err := w.harden(*w.top.Sets); err != nil {
			return err
		}
	}
	solid := c.Finish.SolidMass(c.Thickness)
	w.problem, w.state = w.problem.Lay(w.state, wall.Layer{Name: c.Finish.Name, Stuff: tab, Cells: w.filmCells(solid)},
		c.Finish.FreshY(), w.state.Cells[0].Temperature)
	w.top, w.levels, w.lost = &c.Finish, levels, 0
	w.full = append([]float64{c.Finish.ShrinkageLimit.Value}, w.full...)
	if w.room != nil {
		w.room.BeginLaying(w.state.Time)
	}
	return nil
}

// Laid is the coat at the face as it was laid, with the water ratios at which its states begin: of the batch, the hand and
// the thresholds that the wall's factors make. It panics on a bare wall.
func (w *Wall) Laid() (material.Finish, material.Levels) { return *w.top, w.levels }

// Holds is the water in the layer at the face, kg/m2.
func (w *Wall) Holds() float64 {
	return w.problem.Water(w.state, 0, len(w.problem.Layers[0].Cells))
}

// harden turns the top coat into the layer it becomes once set, with the water it has: at the suction at
// which the layer holds as much, or full where it cannot.
func (w *Wall) harden(r material.Rigid) error {
	tab, err := r.Table()
	if err != nil {
		return err
	}
	n := len(w.problem.Layers[0].Cells)
	water := w.Holds()
	top, behind := w.state.Cells[0], w.state.Cells[n:]
	p := *w.problem
	p.Layers = append([]wall.Layer(nil), p.Layers...)
	p.Layers[0] = wall.Layer{Name: r.Name, Stuff: tab, Cells: rigidCells(r, 0, w.setting.Coarse)}
	w.full = append([]float64{tab.Full()}, w.full[1:]...)
	w.problem = &p
	y := max(tab.Suction(water/r.Thickness.Value), math.Log(standing))
	cells := make([]wall.Cell, 0, len(p.Layers[0].Cells)+len(behind))
	for range p.Layers[0].Cells {
		cells = append(cells, tab.At(y, top.Temperature))
	}
	w.state.Cells, w.state.Step = append(cells, behind...), 0
	return nil
}

// Sample is what a wall was like at a moment.
type Sample struct {
	Time   float64 // s
	Air    float64 // temperature before the face, C
	Vapour float64 // of that air, Pa
	Face   float64 // temperature of the face, C
	Full   float64 // pore saturation of the outermost cell, 1 while the coat there is wet
	Within float64 // of the wettest cell of the coats; of a bare wall, Full
	Speed  float64 // of the air along the wall, m/s
	Sun    float64 // on the face, W/m2
	Rain   float64 // driven onto the face, kg/(m2 s)
	Leaves float64 // evaporation, kg/(m2 s); below 0 while dew forms
	Water  float64 // of the outermost cell: W, kg/kg of a coat, kg/m3 of a bare layer
	Holds  float64 // water in the coat at the face, kg/m2; of a bare wall, in its first layer
	Gone   float64 // water that has left through the face since that coat was laid, kg/m2
}

// Seldom is how often Record samples where no more is wanted, s.
const Seldom = 300.0

// Record makes the wall append samples to to while time passes, at steps of its solver that lie every seconds apart or more,
// so with zero at each of them; nil stops it.
func (w *Wall) Record(to *[]Sample, every float64) { w.trace, w.every = to, every }

// Clone copies the wall, so that two futures can be tried.
func (w *Wall) Clone() *Wall {
	c := *w
	c.state = w.state.Clone()
	c.trace, c.weighed = nil, nil
	p := *w.problem
	if w.room != nil {
		c.room = w.room.Clone()
		p.Front = c.room
	} else {
		p.Front = wall.NewFace(w.setting.Face, w.setting.Air) // a Face keeps the time it was prepared for
	}
	c.problem = &p
	return &c
}

// Times are the times of one coat, in seconds after laying; +Inf where not reached.
type Times struct {
	Edge, Opens, Burnish, Closes, Dry float64
	// Evaporation is the mean rate from laying until the coat opens (or the end), kg/(m2 s).
	Evaporation float64
	// FaceMin and FaceMax bound the temperature of the face until the coat has gone by (or the end), C.
	FaceMin, FaceMax float64
}

// Dry lets the top coat dry until the next coat can follow, or for limit seconds at most, and returns its
// times. The wall then stands at that moment itself, Times.Dry after laying. A coat that is dry already takes no time.
func (w *Wall) Dry(limit float64) (Times, error) { return w.follow(limit, true) }

// Wait lets time pass for the given seconds.
func (w *Wall) Wait(seconds float64) (Times, error) { return w.follow(seconds, false) }

func (w *Wall) follow(limit float64, untilDry bool) (Times, error) {
	v, err := wall.NewSolver(w.problem, w.state, w.set)
	if err != nil {
		return Times{}, err
	}
	laid := w.state.Time
	rec := recorder{w: w, face: wall.NewFace(w.setting.Face, w.setting.Air), last: math.Inf(-1)}
	never := math.Inf(1)
	t := Times{Edge: never, Opens: never, Burnish: never, Closes: never, Dry: never}
	if w.top == nil {
		err := v.Advance(laid+limit, &rec)
		w.state = v.State()
		return t, err
	}
	lev := w.levels
	first, end := w.problem.Range(0)
	edge, opens := wall.Crossing{End: 1, Level: lev.Edge}, wall.Crossing{End: 1, Level: lev.Opens}
	burnish, closes := wall.Crossing{End: 1, Level: lev.Burnish}, wall.Crossing{End: 1, Level: lev.Closes}
	dry := wall.Crossing{First: first, End: end, Level: lev.Dry}
	log := faceLog{closes: &closes, opens: &opens, laid: laid, min: never, max: -never}
	scale := scales{w: w}
	obs := []wall.Observer{&edge, &opens, &burnish, &closes, &log, &rec, &scale}
	if untilDry {
		err = v.AdvanceTo(&dry, laid+limit, obs...)
	} else {
		err = v.Advance(laid+limit, append(obs, &dry)...)
	}
	if err != nil {
		return t, err
	}
	w.state = v.State()
	w.lost += v.Stats().Evaporated
	still := v.Time() == laid
	for _, e := range []struct {
		c  *wall.Crossing
		at *float64
	}{{&edge, &t.Edge}, {&opens, &t.Opens}, {&burnish, &t.Burnish}, {&closes, &t.Closes}, {&dry, &t.Dry}} {
		if e.c.Found || still && e.c.Below(v) {
			*e.at = e.c.At - laid
		}
	}
	if still {
		t.FaceMin, t.FaceMax = w.FaceTemperature(), w.FaceTemperature()
		return t, nil
	}
	t.FaceMin, t.FaceMax = log.min, log.max
	t.Evaporation = log.lost / log.span
	return t, nil
}

// recorder is the observer behind Record.
type recorder struct {
	w    *Wall
	face *wall.Face
	last float64
}

// Observe implements wall.Observer.
func (r *recorder) Observe(s *wall.Step) {
	if r.w.trace == nil || s.To-r.last < r.w.every {
		return
	}
	r.last = s.To
	a := r.face.At(s.To)
	if r.w.room != nil {
		a.Temperature, a.Vapour = r.w.room.Inside()
	}
	holds := 0.0
	for i, size := range r.w.problem.Layers[0].Cells {
		holds += s.Water1(i) * size
	}
	*r.w.trace = append(*r.w.trace, Sample{s.To, a.Temperature, a.Vapour, s.FaceTemperature(), r.full(s), r.within(s), a.Speed, a.Sun, a.Rain, s.Evaporation() + a.Rain,
		s.Water1(0), holds, r.w.lost + s.Solver().Stats().Evaporated})
}

// full is the saturation of the outermost cell: of the pores of a coat, or of a bare layer's capillaries.
func (r *recorder) full(s *wall.Step) float64 {
	w := s.Water1(0)
	if r.w.top != nil {
		return min(w/r.w.top.ShrinkageLimit.Value, 1)
	}
	return min(w/r.w.problem.Layers[0].Stuff.Full(), 1)
}

// within is the saturation of the wettest cell of the coats: a coat may stay wet behind a face that has dried.
func (r *recorder) within(s *wall.Step) float64 {
	most, cell := r.full(s), 0
	for i, full := range r.w.full {
		for range r.w.problem.Layers[i].Cells {
			most = max(most, s.Water1(cell)/full)
			cell++
		}
	}
	return min(most, 1)
}

// faceLog keeps what Times says of the face.
type faceLog struct {
	opens, closes *wall.Crossing
	laid          float64
	min, max      float64
	lost, span    float64
}

// Observe implements wall.Observer.
func (l *faceLog) Observe(s *wall.Step) {
	if !l.opens.Found || l.span == 0 {
		l.lost, l.span = s.Solver().Stats().Evaporated, s.To-l.laid
	}
	if !l.closes.Found {
		l.min, l.max = min(l.min, s.FaceTemperature()), max(l.max, s.FaceTemperature())
	}
}

// Place is the place of coat i (from 0) of n among first, second and last, as in a finish's usual thicknesses.
func Place(i, n int) int {
	if i == n-1 && n > 1 {
		return 2
	}
	return min(i, 1)
}

// Never are the times of a coat that comes to nothing.
func Never() Times {
	x := math.Inf(1)
	return Times{Edge: x, Opens: x, Burnish: x, Closes: x, Dry: x}
}

// Then joins the times of a coat that was followed for some seconds, t, with those of it followed on, up to a time after
// laying, whose own times count from then.
func (t Times) Then(gone, to float64, on Times) Times {
	if gone == 0 {
		return on
	}
	span := func(from, end, opens float64) float64 { return min(end-from, opens) }
	if math.IsInf(t.Opens, 1) {
		a, b := gone, span(gone, to, on.Opens)
		t.Evaporation = (t.Evaporation*a + on.Evaporation*b) / (a + b)
	}
	if math.IsInf(t.Closes, 1) {
		t.FaceMin, t.FaceMax = min(t.FaceMin, on.FaceMin), max(t.FaceMax, on.FaceMax)
	}
	for _, x := range []struct{ was, on *float64 }{{&t.Edge, &on.Edge}, {&t.Opens, &on.Opens}, {&t.Burnish, &on.Burnish}, {&t.Closes, &on.Closes}, {&t.Dry, &on.Dry}} {
		if math.IsInf(*x.was, 1) {
			*x.was = gone + *x.on
		}
	}
	return t
}
