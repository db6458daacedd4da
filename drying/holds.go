package drying

import (
	"math"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/parallel"
	"limeday/drying/wall"
	"limeday/psychro"
)

// Holds is the air that a plan stands in: while the air differs from what it was taken to be by no more than this, temperature and humidity each
// alone, the verdict stays, and no time moves by more than its band.
type Holds struct {
	Colder, Warmer float64 // K
	Drier, Damper  float64 // of relative humidity, 0 to 1
	Steady         bool    // the air of the work hardly changes: what it may be can be told of it as a whole
}

// How far the air is tried: steps of temperature, K, and of relative humidity.
var (
	holdSteps   = [...]float64{1, 2, 3, 4, 6, 8}
	holdDampens = [...]float64{0.03, 0.06, 0.09, 0.12, 0.16, 0.20, 0.25}
)

// No air drier or damper than this is told of: there it is fog, or no air of a wall.
const driestHeld, dampestHeld = 0.15, 0.97

// steadyTemp and steadyRH are by how much the air of the work may change for its range to be told as a whole: K, and relative humidity.
const (
	steadyTemp = 2.0
	steadyRH   = 0.08
)

// holder tries an answer in other air from now on.
type holder struct {
	a     *Answer
	day   *day // coarse
	state state
	base  *course.Course // the wall now, or when damping begins; the next coat is to be laid on it
	wet   *course.Course // the wall now, where the coat on it is not dry yet, and how that dries; else nil
	dries coat.Times
	first float64 // when work can begin, s
	to    time.Time
	ref   Verdict // of the same coarse course in the air as it is
}

// hold finds the air that the answer's plan of the day stands in; none of a no-go, or where nothing is due.
func (e *ensemble) hold(a *Answer, middle *draw) error {
	if a.Verdict == NoGo || a.due[1] == a.due[0] {
		return nil
	}
	d, err := newDay(a.Job, e.ask, e.readings, true)
	if err != nil {
		return err
	}
	d.middle, d.looks = middle, e.day.looks
	h := &holder{a: a, day: d, first: d.seconds(e.first), to: e.to}
	if h.state, err = d.now(middle); err != nil {
		return err
	}
	if h.state.c == nil {
		at := min(0, a.runs[0].lay-d.job.dampedBefore())
		if err := d.bare.To(at); err != nil {
			return err
		}
		h.base = d.under(d.bare.Branch(), middle)
	} else if err := h.begun(); err != nil {
		return err
	}
	ref, err := h.try(0, 0)
	if err != nil {
		return err
	}
	h.ref = ref.Verdict
	x := &Holds{Steady: h.steady()}
	ways := []struct {
		to    *float64
		steps []float64
		shift func(s float64) (dt, drh float64)
	}{
		{&x.Colder, holdSteps[:], func(s float64) (float64, float64) { return -s, 0 }}, {&x.Warmer, holdSteps[:], func(s float64) (float64, float64) { return s, 0 }},
		{&x.Drier, holdDampens[:], func(s float64) (float64, float64) { return 0, -s }}, {&x.Damper, holdDampens[:], func(s float64) (float64, float64) { return 0, s }},
	}
	if err := parallel.Each(len(ways), func(i int) error {
		for _, s := range ways[i].steps {
			if err := e.set.stopped(); err != nil {
				return err
			}
			dt, drh := ways[i].shift(s)
			if rh := float64(a.Now.RelativeHumidity()) + drh; rh < driestHeld || rh > dampestHeld {
				return nil
			}
			b, err := h.try(dt, drh)
			if err != nil {
				var none []coatRun
				return lost(err, &none) // no solution: not known to hold so far
			}
			if h.moved(&b) {
				return nil
			}
			*ways[i].to = s
		}
		return nil
	}); err != nil {
		return err
	}
	a.Holds = x
	return nil
}

// begun is the wall that the next coat is to be laid on: now or, where the coat on it is not dry yet, as it is when it is.
func (h *holder) begun() (err error) {
	dry := h.state.dry
	if h.base, err = h.state.at(0); err != nil || dry == nil || !(dry.Time() > 0) {
		return err
	}
	h.wet, h.base = h.base, dry.Branch()
	h.dries, err = h.wet.Branch().Dry(follow)
	return err
}

// try is the answer for the same start in air that is warmer by dt, K, and damper by drh from now on.
func (h *holder) try(dt, drh float64) (Answer, error) {
	d := *h.day
	shift := func(air []wall.Air) []wall.Air { return otherwise(air, dt, drh) }
	d.spots = slices.Clone(d.spots)
	for i := range d.spots {
		d.spots[i].Setting.Air = shift(d.spots[i].Setting.Air)
	}
	a := h.a
	i := a.due[0]
	room := func(r course.RoomAir) course.RoomAir {
		r.Temperature, r.Vapour = other(r.Temperature, r.Vapour, dt, drh)
		return r
	}
	t := &trial{start: a.runs[i].lay, from: i, mist: a.runs[i].misted, c: h.base.In(shift, room)}
	done := h.state.runs
	if i > 0 {
		last := done[i-1]
		if h.wet != nil {
			other, err := h.wet.In(shift, room).Dry(follow)
			if err != nil {
				return *a, err
			}
			later := other.Dry - h.dries.Dry
			last.next = max(last.lay+last.times.Dry+later, last.custom)
			t.c.Late(later)
			done = append(done[:i-1:i-1], last)
		}
		t.start = max(d.grained(last.next, i-1), h.first)
		if a.runs[i].lay > a.soonest {
			t.start = max(t.start, a.runs[i].lay)
		}
	}
	b := a.anew(a.Job)
	if !reached(t.start) {
		b.due = [2]int{i, i}
		return b, nil
	}
	if i == 0 && d.job.Damped {
		if err := t.c.Damp(t.start); err != nil {
			return b, err
		}
	}
	stands := t.start
	if t.mist {
		stands -= coat.MistingTime
	}
	if err := t.c.To(stands); err != nil {
		return b, err
	}
	b.Start, b.soonest = d.moment(t.start), t.start
	b, err := b.with(&d, t, done, h.to)
	if err == nil && d.job.Outdoors != nil {
		err = b.outdoors(&d, t)
	}
	return b, err
}

// moved reports whether the verdict of an answer in other air, or a time by more than its band, is not that of the plan.
func (h *holder) moved(b *Answer) bool {
	a := h.a
	if b.due != a.due || b.Verdict != h.ref && b.without(byAHair) != h.ref {
		return true
	}
	for i := a.due[0]; i < a.due[1]; i++ {
		p, q := a.Coats[i], b.Coats[i]
		out := func(e Event, at, earliest, latest time.Time) bool {
			slack := max(p.When(e).Grain, time.Minute)
			if at.IsZero() {
				return !latest.IsZero()
			}
			return at.Before(earliest.Add(-slack)) || !latest.IsZero() && at.After(latest.Add(slack))
		}
		if !p.Last {
			if out(EventNext, q.Recoat, p.Earliest.Recoat, p.Latest.Recoat) {
				return true
			}
			continue
		}
		if out(EventOpens, q.Opens, p.Earliest.Opens, p.Latest.Opens) || out(EventBurnish, q.Burnish, p.Earliest.Burnish, p.Latest.Burnish) ||
			out(EventCloses, q.Closes, p.Earliest.Closes, p.Latest.Closes) {
			return true
		}
	}
	return false
}

// hair is the share by which a window that is too short may miss its limit and not count for another verdict: it is known no better.
const hair = 0.10

func byAHair(r Reason) bool { return r.Unit == "min" && math.Abs(r.Value-r.Limit) < hair*r.Limit }

// without is the verdict but for some of the reasons.
func (a *Answer) without(some func(Reason) bool) Verdict {
	b := *a
	b.Days, b.Reasons = nil, slices.DeleteFunc(slices.Clone(a.Reasons), some)
	b.sortReasons()
	return b.Verdict
}

// steady reports whether the air of the day's work hardly changes.
func (h *holder) steady() bool {
	face := wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, h.day.spots[0].Setting.Air)
	low, high, dry, damp := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	const often = 900.0
	for t := h.a.runs[h.a.due[0]].lay; t <= h.day.seconds(h.to); t += often {
		x := face.At(t)
		rh := x.Vapour / float64(psychro.SaturationWater(psychro.Celsius(x.Temperature)))
		low, high, dry, damp = min(low, x.Temperature), max(high, x.Temperature), min(dry, rh), max(damp, rh)
	}
	return high-low <= steadyTemp && damp-dry <= steadyRH
}

// other is air of t, C, and v, Pa, warmer by dt with its relative humidity higher by drh.
func other(t, v, dt, drh float64) (temperature, vapour float64) {
	rh := v/float64(psychro.SaturationWater(psychro.Celsius(t))) + drh
	return t + dt, min(max(rh, 0.01), 1) * float64(psychro.SaturationWater(psychro.Celsius(t+dt)))
}

// otherwise is the air warmer by dt, K, with its relative humidity higher by drh, from now on; the sky's and the sun's part stay.
func otherwise(air []wall.Air, dt, drh float64) []wall.Air {
	if dt == 0 && drh == 0 {
		return air
	}
	face := wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, air)
	shift := func(a wall.Air) wall.Air {
		a.Radiant += dt
		a.Temperature, a.Vapour = other(a.Temperature, a.Vapour, dt, drh)
		return a
	}
	const jump = 1.0 // s in which it changes
	i := slices.IndexFunc(air, func(a wall.Air) bool { return a.Time >= 0 })
	if i < 0 {
		i = len(air)
	}
	out := append(slices.Clone(air[:i]), face.At(0), shift(face.At(jump)))
	for _, a := range air[i:] {
		if a.Time > jump {
			out = append(out, shift(a))
		}
	}
	return out
}
