package job

import (
	"fmt"
	"time"

	"limeday/cmd/internal/quantity"
)

// Job is a job file as read. Optional values that were not given are nil (or
// empty, for words). Lengths in m, temperatures in C, humidity in percent over
// liquid water, speeds in m/s, spread in kg/m2.
type Job struct {
	File       string         // as the user named it; "standard input" for -
	Units      quantity.Units // of the file's bare numbers, and for text unless a flag says otherwise
	UnitsGiven bool           // the file said units = ...

	Place  Place
	Room   *Room   // nil outdoors; indoors a Wall gives only its size
	Walls  []Wall  // outdoors each is one face with its own exposure
	Layers []Layer // from the background outwards; at least one
	Coats  []Coat  // in the order of laying; at least one
	Hours  *Hours  // nil when not given
	Free   [7]bool // days of the week without work, from Sunday on
	// Off are days without work, from midnight at the job's place; in UTC when it has no zone.
	Off     []time.Time
	Limits  Limits   // from the data sheet
	Suction *Suction // measured on the wall; nil when not given
	// TimingFile is where what was learned of the plasterer is kept; empty when not given.
	TimingFile string
	Crew       Crew
	People     int    // of the crew, counted or by its hands; 0 when not given
	Laid       []Laid // walls already laid, still to be cared for
	Own        []Own  // finishes of the user's own
	// Readings pins how a logger's CSV is read: each decision by its key, with dashes.
	Readings map[string]Pin
}

// Where names a line of the job's file, as file:line.
func (j *Job) Where(line int) string { return fmt.Sprintf("%s:%d", j.File, line) }

// Place says where the job is.
type Place struct {
	Name                string
	Latitude, Longitude *float64       // degrees, north and east positive
	Altitude            *float64       // m above the sea
	Zone                *time.Location // nil when not given
}

// Room is the air volume that an indoor job is laid in.
type Room struct {
	Volume        *float64 // m3
	AirChanges    *float64 // of the whole volume, 1/h
	Heating       *float64 // C that the room is heated to; nil when unheated or not said
	HeatingOff    bool     // the file said heating = "off"
	MoistureClass int      // EN ISO 13788:2012 annex A, 1 to 5; 0 when not given
	AirSpeed      *float64 // at the wall, m/s
	Vent          *float64 // where a vent blows along the wall, m/s
	Sun           *Hours   // in which the sun comes through glass onto the wall
}

// What is behind a wall.
const (
	BehindPartition = "partition" // indoors: its other face, in air like this room's
	BehindSolid     = "solid"     // masonry that goes on
	BehindRoom      = "room"
	BehindCavity    = "cavity" // and a room, or indoors the weather, beyond it
)

// Wall is one face.
type Wall struct {
	Bearing       *float64 // degrees that it faces, clockwise from north
	Shelter       *float64 // share of the open wind that reaches it, 0 to 1
	Height, Width *float64 // m
	Name          string
	Cover         string   // open, shaded, sheeted or tented; empty when not given
	Behind        string   // what is behind the wall; empty when not given
	BehindTemp    *float64 // C that a room or cavity behind it is kept at
	Left, Right   string   // what its sides end at: SideInternal, SideExternal or SideOpen; empty when not given
	Openings      []Opening
	Lifts         []float64 // m above the floor at which the scaffold's lifts meet, ascending, inside the height
	Joints        []float64 // m from the left at which a joint may be seen, ascending, inside the width
	Line          int
}

// What a side of a wall ends at: a corner, or nothing, where the wall goes on.
const (
	SideInternal = "internal"
	SideExternal = "external"
	SideOpen     = "open"
)

// Layer is one layer of the build-up that the first coat is laid on.
type Layer struct {
	Background string
	Primer     string   // tight, fair or thirsty; empty when not given
	Thickness  *float64 // m
	Damped     bool     // damped down before the first coat
	// Wet is how wet it is when work begins: dry, damp or wet; empty when not given. Of the outermost layer only.
	Wet string
	// BaseLaid is the day on which it was laid, a base coat, as Off has days; zero when not given. Not with Wet.
	BaseLaid time.Time
	Line     int
}

// Coat is one application of a finish: Thickness or Spread is given, not both.
type Coat struct {
	Finish    string
	Thickness *float64 // wet, m
	Spread    *float64 // wet, kg/m2
	Tint      string
	Green     bool  // the next coat is laid on it as soon as it opens
	Wait      *Wait // until the next coat, whatever its water; nil when not given
	NoMist    bool  // what it is laid on is not misted
	Mist      bool  // it is, however short it stood
	Line      int
}

// Wait is how long a coat is left at the least, and to be careful.
type Wait struct{ Least, Careful time.Duration }

// Hours is the working day, From before To, on the clock of the job's place.
type Hours struct{ From, To Clock }

// Clock is a time of day.
type Clock struct{ Hour, Minute int }

// On is that time on t's day in t's zone. Where the clock is put forward over
// it, it is the moment that the hands would have shown it.
func (c Clock) On(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), c.Hour, c.Minute, 0, 0, t.Location())
}

// String is hh:mm.
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", c.Hour, c.Minute) }

func (c Clock) minutes() int { return 60*c.Hour + c.Minute }

// Limits are those of the material's data sheet; nil where it gives none.
type Limits struct {
	MinWall, MaxWall           *float64 // C
	MinAir, MaxAir             *float64 // C
	MinRH, MaxRH               *float64 // percent
	MinThickness, MaxThickness *float64 // of a coat, m
}

// Suction is what was measured on the wall.
type Suction struct {
	DropTest []time.Duration // for a drop of water to go in, one per spot
	Tube     *Tube
}

// Tube is a reading of the water absorption tube of RILEM Test II.4.
type Tube struct {
	Millilitres float64
	After       time.Duration
}

// Laid is a wall already laid.
type Laid struct {
	Name      string
	Finish    string
	Thickness *float64  // of the last coat, m
	On        time.Time // start of that day at the job's place; in UTC when it has no zone
	Line      int
}

// Pin is a word with its line.
type Pin struct {
	Value string
	Line  int
}

// Own is a finish of the user's own: like a known one but for some numbers.
type Own struct {
	Name, Like string
	Values     map[string]float64 // SI units
	Lines      map[string]int     // where each value stands
	Line       int
}

// Names are the words known for finishes and backgrounds, for the numbers of a
// finish, and for the decisions of reading a logger's CSV. A nil list accepts any word.
type Names struct{ Finishes, Backgrounds, FinishNumbers, ReadAs []string }
