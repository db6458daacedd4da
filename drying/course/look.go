package course

import (
	"math"

	"limeday/drying/coat"
	"limeday/drying/wall"
	"limeday/psychro"
)

// Look is what a wall was seen to be at a time. It tells the course what it has come to; but for Aired it is nothing that was done.
type Look struct {
	At   float64  // s
	Face *float64 // the temperature of its face, C; nil where that was not measured
	// Fade is how much of what the face differs by is found at a depth, m, behind the face of the bare wall: 1 at the face.
	Fade func(depth float64) float64
	Room *RoomAir // the air of its room; nil where that was not read. It counts in a closed room alone
	// Aired are the air changes, 1/h, that its room has at least from then on; 0: as it has.
	Aired float64
}

// RoomAir is air as read in a room.
type RoomAir struct {
	Temperature float64 // C
	Vapour      float64 // Pa
}

// Seen gives the course its looks, in order of time. Those before its time, or at it, are taken as soon as time passes.
func (c *Course) Seen(looks []Look) { c.looks = looks }

// Measured has the wall go on from the temperature of its face, C, as measured now; see Look.
func (c *Course) Measured(face float64, fade func(depth float64) float64) {
	for _, w := range c.walls {
		w.Measured(face, fade)
	}
}

// ahead is the time up to which a spot goes on its way to t, and the look it comes to then; nil for none.
func (c *Course) ahead(spot int, t float64) (float64, *Look) {
	if k := c.taken[spot]; k < len(c.looks) && c.looks[k].At <= t {
		return c.looks[k].At, &c.looks[k]
	}
	return t, nil
}

// take has a spot go on from what was seen.
func (c *Course) take(spot int, l *Look) {
	c.taken[spot]++
	w := c.walls[spot]
	if l.Face != nil {
		w.Measured(*l.Face, l.Fade)
	}
	if l.Room != nil {
		c.read(spot, *l.Room)
	}
	if l.Aired > w.AirChanges() {
		w.SetAirChanges(l.Aired)
	}
}

// How far the air changes of a room and the air that comes into it are known between readings: the air changes to a factor of
// two (model), the vapour of the air that comes in to some hundredths (ESTIMATE, as of a reading kept for some hours).
const (
	changesKnown = math.Ln2
	comesKnown   = 0.06
)

// What is read of a room and differs by less from its own air tells nothing: the solver knows it no better.
const (
	sameRoom   = 0.02 // K
	sameVapour = 1e-3 // of the vapour pressure
)

// read has a spot go on from the air that was read in its room. What the wet wall has added tells of the air changes; what
// it cannot tell of is laid to the air that comes in, from now on.
func (c *Course) read(spot int, got RoomAir) {
	w := c.walls[spot]
	t, v, closed := w.Inside()
	if !closed {
		return
	}
	got.Vapour = min(got.Vapour, float64(psychro.SaturationWater(psychro.Celsius(got.Temperature))))
	dt, dv := got.Temperature-t, got.Vapour-v
	if math.Abs(dt) < sameRoom && math.Abs(dv) < sameVapour*v {
		return
	}
	set := &c.spots[spot].Setting
	in := wall.NewFace(set.Face, set.Air).At(w.Time())
	risen := v - in.Vapour
	a, b := risen*changesKnown, in.Vapour*comesKnown
	all := a*a + b*b
	w.SetAirChanges(w.AirChanges() * math.Exp(-a*changesKnown*dv/all))
	set.Air = shifted(set.Air, w.Time(), dt, b*b*dv/all)
	*w = *w.In(set.Air)
	w.SetInside(got.Temperature, got.Vapour)
}

// shifted is the air with its temperature and vapour shifted from a time on.
func shifted(air []wall.Air, from, dt, dv float64) []wall.Air {
	face := wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, air)
	shift := func(a wall.Air) wall.Air {
		a.Temperature, a.Radiant = a.Temperature+dt, a.Radiant+dt
		a.Vapour = min(max(a.Vapour+dv, 1), float64(psychro.SaturationWater(psychro.Celsius(a.Temperature))))
		return a
	}
	const jump = 1.0 // s in which it does
	var out []wall.Air
	for _, a := range air {
		if a.Time < from {
			out = append(out, a)
		}
	}
	out = append(out, face.At(from), shift(face.At(from+jump)))
	for _, a := range air {
		if a.Time > from+jump {
			out = append(out, shift(a))
		}
	}
	return out
}

// dry follows the coat of one spot, past the looks on the way.
func (c *Course) dry(spot int, limit float64) (coat.Times, error) {
	w := c.walls[spot]
	laid := w.Time()
	for c.taken[spot] < len(c.looks) && c.looks[c.taken[spot]].At <= laid {
		c.take(spot, &c.looks[c.taken[spot]])
	}
	all := coat.Never()
	for gone := 0.0; ; {
		end, look := c.ahead(spot, laid+limit)
		t, err := w.Dry(end - w.Time())
		if err != nil {
			return all, err
		}
		all = all.Then(gone, w.Time()-laid, t)
		if look == nil || !math.IsInf(t.Dry, 1) {
			return all, nil
		}
		c.take(spot, look)
		gone = w.Time() - laid
	}
}
