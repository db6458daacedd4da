package drying

import (
	"math"
	"slices"
	"time"

	"limeday/drying/exposure"
	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// Job is one wall or room, as the plasterer describes it.
type Job struct {
	Place      weather.Place
	Zone       *time.Location
	Background material.Background
	Suction    Suction         // measured on the wall; overrides that of the background
	Damped     bool            // masonry is damped down the evening before and again before laying
	Wet        Wetness         // how wet it is at the beginning
	BaseLaid   time.Time       // when its own face, a base coat, was laid; zero where it is old
	Behind     exposure.Behind // what is behind the wall, of one indoors
	Coats      []Coat          // in the order of laying
	Hours      Hours
	Room       Room
	Outdoors   *Outdoors // nil for a wall indoors
	Limits     Limits
	Laid       []Laid // walls already laid, still to be cared for
	// Timing is what was learned of the plasterer; nil where nothing was. It counts for coats of its finish.
	Timing *learn.Timing

	spots []material.Background // Background as Suction explains it, once worked out
	under []Coat                // laid already, of a job whose Coats are those left
	// unsure is set where what is behind the wall matters and is not said: it is then one of the unknowns.
	unsure bool
}

// Laid is a wall already laid.
type Laid struct {
	Name      string
	Finish    material.Finish
	Thickness float64   // of all its coats, wet, m; zero: the usual
	On        time.Time // the day, from midnight
	Outdoors  *Outdoors // where it is, of a job outdoors; nil: where the job's own wall is
}

// SunHours are the hours in which the sun comes through glass onto the wall; none where To is not after From.
type SunHours struct {
	From, To time.Duration // since midnight by the clock
}

// Coat is one coat of a job.
type Coat struct {
	Finish    material.Finish
	Thickness float64 // wet, m
	Tint      string
	Green     bool // the next coat follows as soon as this one opens, instead of when it is dry
	Wait      *Wait
	NoMist    bool // what this coat is laid on is not misted, however long it stood
	Mist      bool // it is, however short it stood: polish on polish, and no dark tint
	Mend      bool // a further coat over one that was missed
}

// Wait is how long the trade leaves a coat before the next one, whatever its water: at the least, and to be careful.
type Wait struct{ Least, Careful time.Duration }

// Hours are the working hours, as time of day, on working days.
type Hours struct {
	From, To time.Duration // since midnight by the clock
	Free     [7]bool       // days of the week without work, from Sunday on; none: every day is worked
	Off      []time.Time   // days without work; a moment of each, by the job's clock
}

// Works reports whether the day of t, by its clock, is a working day.
func (h Hours) Works(t time.Time) bool {
	if h.Free[t.Weekday()] {
		return false
	}
	y, m, d := t.Date()
	return !slices.ContainsFunc(h.Off, func(o time.Time) bool {
		oy, om, od := o.In(t.Location()).Date()
		return oy == y && om == m && od == d
	})
}

// Wetness is how wet a bed is when work begins.
type Wetness string

// The wetnesses. The zero value is in balance with the air.
const (
	BedDry  Wetness = ""
	BedDamp Wetness = "damp" // it has drunk, and its face is pale again
	BedWet  Wetness = "wet"  // soaked: its face is dark
)

// UsualHours are the working hours where none are given (common practice, no source).
func UsualHours() Hours { return Hours{From: 8 * time.Hour, To: 17 * time.Hour} }

// Room is what the wall stands in.
type Room struct {
	AirSpeed   float64        // along the wall, m/s
	WallHeight float64        // m
	Pressure   psychro.Pascal // of the air; zero: from the place's altitude
	Volume     float64        // m3; zero where not known: then the wall's own moisture is not counted
	AirChanges float64        // 1/h
	WetArea    float64        // m2 of wall to be laid; zero where not known
	Hands      int            // at work; zero counts as one
	Heating    *float64       // what the room is heated to, C; nil where it is not
	Unheated   bool           // it has no heating, so none is offered
	Moisture   int            // class of EN ISO 13788, 1 to 5; 0 for a room nobody lives in
	Vent       float64        // m/s along the part of the wall that a vent blows on; zero where none does
	Sun        SunHours
}

// DefaultAirChanges is the air change rate of a room with doors and windows shut, 1/h (judgement, no source;
// 0.2 to 1).
const DefaultAirChanges = 0.5

// sunThroughGlass is the sunlight that falls on a wall behind a window it shines through, W/m2 (ESTIMATE; 100
// to 500: half of a clear vertical beam).
const sunThroughGlass = 250.0

// burnishRate is the wall one hand closes in an hour, m2 (common practice, no source: 10 to 20).
const burnishRate = 15.0

// layRate is the wall one hand lays in an hour, m2 (common practice, no source: thin coats, 6 to 12).
const layRate = 8.0

// bufferClass is what a square metre of the room's dry surfaces takes up, kg for each 1 % RH: within the
// class "limited" (0.2 to 0.5 g) of the Nordtest classification (Rode et al. 2005, from memory).
const bufferClass = 0.3e-3

// closed describes the room's own balance of vapour and heat, or nil where too little is known for one.
// t is the room's temperature, C.
func (r Room) closed(t float64) *wall.RoomSpec {
	if r.Volume <= 0 || r.WetArea <= 0 {
		return nil
	}
	floor := r.Volume / r.WallHeight
	all := 2*floor + 4*math.Sqrt(floor)*r.WallHeight // as if it were square
	percent := float64(psychro.SaturationWater(psychro.Celsius(t))) / 100
	return &wall.RoomSpec{Volume: r.Volume, AirChanges: r.AirChanges, Area: r.WetArea, LayTime: r.WetArea / (layRate * float64(max(r.Hands, 1))) * 3600,
		Rest: max(all-r.WetArea, 0), Buffer: bufferClass / percent}
}

// Outdoors is a wall in the weather.
type Outdoors struct {
	Name    string
	Bearing float64 // degrees clockwise from north that it looks to
	Shelter float64 // share of the open wind that reaches it, 0 to 1
	Cover   exposure.Cover
	// Behind is what the room behind the wall is heated to, C; nil where no heat passes behind the wall's layers.
	Behind *float64
	Cavity bool // between the wall's layers and that room
}

// UsualShelter is the share of the open wind taken to reach a wall among other houses (judgement, no source; 0.3 to 0.8).
const UsualShelter = 0.5

// CoverNamed is the cover of a name, open for the empty one.
func CoverNamed(name string) exposure.Cover {
	if name == "" {
		return exposure.Open
	}
	return exposure.Cover(name)
}

// Limits are those of the finish's data sheet; a nil limit is not stated.
type Limits struct {
	MinWall, MaxWall           *float64 // C
	MinAir, MaxAir             *float64 // C
	MinRH, MaxRH               *float64 // fraction
	MinThickness, MaxThickness *float64 // m, wet
}

// DefaultAirSpeed is that of a room without draught, m/s (common practice, no source: doors shut, no fan).
const DefaultAirSpeed = 0.1

// DefaultBehind is what a heated room behind a wall outdoors is taken to be kept at, C (the 20 C of living rooms
// in EN 12831, from memory).
const DefaultBehind = 20.0

// DefaultWallHeight is the height of a storey, m.
const DefaultWallHeight = 2.5

// Left is the job with the coats that are left after those seen to be laid.
func (j Job) Left(seen []Seen) Job {
	j = j.mended(seen)
	n := 0
	for _, s := range seen {
		if s.What == SeenLaid {
			n = max(n, s.Coat)
		}
	}
	n = min(n, len(j.Coats))
	j.under, j.Coats = j.Coats[:n:n], j.Coats[n:]
	return j
}

// whole is the job with all its coats.
func (j Job) whole() Job {
	j.Coats, j.under = append(append([]Coat(nil), j.under...), j.Coats...), nil
	return j
}

// Inside is the air of the job's room where the air outside is out.
func (j Job) Inside(out weather.Series) weather.Series {
	return exposure.Room{Heating: j.Room.Heating, MoistureClass: j.Room.Moisture}.Inside(out)
}

// Pressure is that of the room's air: as given, or the standard atmosphere's at the place.
func (j Job) Pressure() psychro.Pascal {
	if j.Room.Pressure > 0 {
		return j.Room.Pressure
	}
	return psychro.StandardPressure(psychro.Metre(j.Place.Altitude))
}

// LayDays is how many days the crew lays the wall in, all its coats, each day but for the last two hours; 0 where its area or
// the hours are not known.
func (j Job) LayDays() int {
	hours := (j.Hours.To - j.Hours.From).Hours() - 2
	if j.Room.WetArea <= 0 || hours <= 0 {
		return 0
	}
	return int(math.Ceil(j.Room.WetArea * float64(len(j.Coats)) / (layRate * float64(max(j.Room.Hands, 1)) * hours)))
}
