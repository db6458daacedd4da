package drying

import (
	"fmt"
	"math"
	"slices"

	"limeday/drying/coat"
	"limeday/drying/exposure"
	"limeday/drying/message"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// What a change goes to where nothing is said (common practice, no source).
const (
	HeatedRoom  = 17.0 // C; 15 to 18
	DriedRoom   = 0.50 // relative humidity
	windowsOpen = 3.0  // air changes an hour (judgement, no source; 2 to 10)
	stillAir    = 0.05 // m/s along the wall
	dampRoom    = 0.65 // relative humidity from which drying the air is worth a try
)

// Wish is a change asked for by its name, one of [WishNames]. Value is what it goes to: of heat in C, of dehumidify a relative humidity from 0 to 1,
// of stop the number of a coat; nil is the usual, of stop none.
type Wish struct {
	Name  string
	Value *float64
}

// WishNames lists the names, in the order they are tried.
func WishNames() []string {
	return []string{"thin", "thick", "damp", "mist", "still", "shade", "heat", "air-out", "dehumidify", "sheet", "net", "half", "hand", "stop"}
}

// WishError says why a change cannot be had.
type WishError struct{ Name, Reason string }

func (e *WishError) Error() string { return e.Name + ": " + e.Reason }

// Standing is what a change is asked upon.
type Standing struct {
	Temp, RH float64 // of the air, C, and 0 to 1
	Laid     int     // how many coats are
	Counted  bool    // what the wet wall gives its room is
}

// Variant is a change to try: Apply makes it on a copy of the question whose job has coats of its own.
type Variant struct {
	Code     ChangeCode
	Says     message.Text
	Tomorrow bool // it must be done the day before
	bare     bool // it does nothing to a wall without coats
	Apply    func(*Job, *Ask)
}

// Variants lists the changes that make sense for the job as it stands.
func (j Job) Variants(s Standing) (out []Variant) {
	for _, name := range WishNames() {
		switch {
		case name == "heat" && (s.Laid > 0 || s.Temp >= HeatedRoom-1), name == "dehumidify" && s.RH < dampRoom, name == "shade" && j.Outdoors != nil: // as net
			continue
		}
		if v, err := j.Variant(Wish{Name: name}, s); err == nil {
			out = append(out, v)
		}
	}
	return out
}

// Variant is the change that is wished for. The error is a *WishError where the job does not allow for it.
func (j Job) Variant(w Wish, s Standing) (v Variant, err error) {
	no := func(format string, a ...any) (Variant, error) {
		return v, &WishError{w.Name, fmt.Sprintf(format, a...)}
	}
	n, begun := len(j.Coats), s.Laid > 0
	if s.Laid >= n && n > 0 {
		return no("all coats are laid")
	}
	to := func(usual float64) float64 {
		if w.Value != nil {
			return *w.Value
		}
		return usual
	}
	if j.Outdoors != nil && slices.Contains([]string{"heat", "air-out", "dehumidify", "still"}, w.Name) {
		return no("the wall is outdoors")
	}
	switch w.Name {
	case "thin":
		v.Code, v.bare, v.Says = ChangeThinner, true, message.Words("Lay the fill coats at the thin end of their range")
		low := func(j *Job, i int) float64 { return j.Coats[i].Finish.Coats[coat.Place(i, n)].Low }
		fits := false
		for i := s.Laid; i < n-1; i++ {
			fits = fits || j.Coats[i].Thickness > low(&j, i)*(1+1e-6)
		}
		if !fits {
			return no("no fill coat is left that could be laid thinner")
		}
		v.Apply = func(j *Job, _ *Ask) {
			for i := s.Laid; i < n-1; i++ {
				j.Coats[i].Thickness = min(j.Coats[i].Thickness, low(j, i))
			}
		}
	case "thick":
		v.Code, v.bare, v.Says = ChangeThicker, true, message.Words("Lay the last coat at the thick end of its range")
		if n == 0 {
			return no("there is no coat")
		}
		last := j.Coats[n-1]
		high := min(last.Finish.Coats[coat.Place(n-1, n)].High, last.Finish.Thickest.Value)
		if last.Thickness >= high*(1-1e-6) {
			return no("the last coat is at the thick end already")
		}
		v.Apply = func(j *Job, _ *Ask) { j.Coats[n-1].Thickness = high }
	case "damp":
		v.Code, v.Says, v.Tomorrow = ChangeDamp, message.Words("Damp the masonry this evening and again before laying"), true
		switch {
		case !j.Background.Masonry:
			return no("%s is not damped, only masonry is", j.Background.Name)
		case j.Damped:
			return no("the wall is damped already")
		case begun:
			return no("coats are on the wall; mist their face instead")
		}
		v.Apply = func(j *Job, _ *Ask) { j.Damped = true }
	case "mist":
		v.Code, v.bare = ChangeMist, true
		i := n - 1 // the last coat's window gains most by it
		for i >= s.Laid && (!j.Mistable(i) || j.Coats[i].Mist) {
			i--
		}
		if i < s.Laid {
			return no("no coat is left whose bed can be misted: polish on polish is, and no dark tint")
		}
		v.Says = message.Say("Mist the bed of coat {} before it", message.Number(i+1))
		v.Apply = func(j *Job, _ *Ask) { j.Coats[i].Mist, j.Coats[i].NoMist = true, false }
	case "still":
		v.Code, v.Says = ChangeStill, message.Words("Still the air: shut doors, turn fans and vents away")
		if j.Room.AirSpeed <= stillAir && j.Room.Vent == 0 {
			return no("the air is still already")
		}
		v.Apply = func(j *Job, _ *Ask) { j.Room.AirSpeed, j.Room.Vent = min(j.Room.AirSpeed, stillAir), 0 }
	case "heat":
		c := to(HeatedRoom)
		v.Code, v.Tomorrow, v.Says = ChangeHeat, true, message.Say("Heat the room to {} from the day before, vented, not at the wall", message.Celsius(c))
		if begun {
			v.Tomorrow, v.Says = false, message.Say("Heat the room to {} from now on, vented, not at the wall", message.Celsius(c))
		}
		if j.Room.Unheated {
			return no("the room is said to have no heating")
		}
		v.Apply = func(_ *Job, ask *Ask) {
			ask.warm = &c
			if !begun { // the wall was measured unheated
				ask.Faces = nil
			}
		}
	case "air-out":
		v.Code, v.Says = ChangeAirOut, message.Words("Air the room: open windows and doors, no draught at the wall")
		switch {
		case j.Room.Volume == 0 || j.Room.WetArea == 0:
			return no("what the wet wall gives the air is not counted: give the room's volume and the wall's height and width in a job")
		case !s.Counted:
			return no("the readings hold what the wet wall gives off")
		case j.Room.AirChanges >= windowsOpen:
			return no("the room has %g air changes an hour already", j.Room.AirChanges)
		}
		v.Apply = func(j *Job, _ *Ask) { j.Room.AirChanges = max(j.Room.AirChanges, windowsOpen) }
	case "dehumidify":
		rh := to(DriedRoom)
		v.Code, v.Says = ChangeDehumidify, message.Say("Dry the air: a dehumidifier at {}, not blowing at the wall", message.RH(rh))
		v.Apply = func(_ *Job, ask *Ask) { ask.dry = &rh }
	case "shade", "net":
		v.Code, v.Says = ChangeShade, message.Words("Shade the wall with a net")
		switch o := j.Outdoors; {
		case o == nil && w.Name == "net":
			return no("the wall is indoors")
		case o == nil && j.Room.Sun.To <= j.Room.Sun.From:
			return no("no sun falls on the wall: the job has none in [room]")
		case o == nil:
			v.Says = message.Words("Shade the wall from the sun through the glass")
			v.Apply = func(j *Job, _ *Ask) { j.Room.Sun = SunHours{} }
		case o.Cover != exposure.Open:
			return no("the wall is %s already", o.Cover)
		default:
			v.Apply = cover(exposure.Shaded)
		}
	case "sheet":
		v.Code, v.Says = ChangeSheet, message.Words("Sheet the wall from before the first coat on")
		switch o := j.Outdoors; {
		case o == nil:
			return no("the wall is indoors")
		case o.Cover == exposure.Sheeted || o.Cover == exposure.Tented:
			return no("the wall is %s already", o.Cover)
		case begun:
			v.Says = message.Words("Sheet the wall from now on")
		}
		v.Apply = cover(exposure.Sheeted)
	case "half", "hand":
		if j.Room.WetArea <= 1 {
			return no("the wall's size is not given: give its height and width in a job")
		}
		v.Code, v.bare, v.Says = ChangeSections, !s.Counted, message.Words("Lay half the wall today")
		v.Apply = func(j *Job, _ *Ask) { j.Room.WetArea /= 2 }
		if w.Name == "hand" {
			v.Code, v.Says = ChangeHand, message.Words("One more pair of hands")
			v.Apply = func(j *Job, _ *Ask) { j.Room.Hands = max(j.Room.Hands, 1) + 1 }
		}
	case "stop":
		k := int(to(0))
		v.Code, v.Says = ChangeStop, message.Say("Stop after coat {} today", message.Number(k))
		switch {
		case k <= s.Laid:
			return no("name a coat that is not laid, from %d to %d", s.Laid+1, n-1)
		case k >= n:
			return no("nothing is left after coat %d: the job has %d", k, n)
		}
		v.Apply = func(_ *Job, ask *Ask) { ask.stop = k }
	default:
		return no("no such change")
	}
	return v, nil
}

// cover covers a wall outdoors, where what it has is less.
func cover(c exposure.Cover) func(*Job, *Ask) {
	return func(j *Job, _ *Ask) {
		o := *j.Outdoors
		if o.Cover == exposure.Open || c == exposure.Sheeted {
			o.Cover = c
		}
		j.Outdoors = &o
	}
}

// aired is the air of a room as the crew keeps it: at least so warm, with the vapour it has, and no damper than that.
func (a Ask) aired(s weather.Series) weather.Series {
	if a.warm == nil && a.dry == nil {
		return s
	}
	s.Records = slices.Clone(s.Records)
	for i := range s.Records {
		t, e := &s.Records[i].Temperature, &s.Records[i].Vapour
		if a.warm != nil && t.Known() {
			t.V = math.Max(t.V, *a.warm)
		}
		if a.dry != nil && t.Known() && e.Known() {
			e.V = math.Min(e.V, *a.dry*float64(psychro.SaturationWater(psychro.Celsius(t.V))))
		}
	}
	return s
}

// turned is the air before up to now, 0 s, and the air after it from then on.
func turned(before, after []wall.Air) []wall.Air {
	at := func(air []wall.Air, t float64) wall.Air {
		return wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, air).At(t)
	}
	const jump = 1.0 // s in which it turns
	var out []wall.Air
	for _, a := range before {
		if a.Time < 0 {
			out = append(out, a)
		}
	}
	out = append(out, at(before, 0), at(after, jump))
	for _, a := range after {
		if a.Time > jump {
			out = append(out, a)
		}
	}
	return out
}
