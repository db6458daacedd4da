package view

import (
	"time"

	"limeday/drying/message"
	"limeday/psychro"
	"limeday/weather"
)

// Day is the morning check as it is read, from the top. A writer leaves out what is empty; one with little room what is Detail.
type Day struct {
	Job     string // its name, or its file's; Place is that of its place, which may be empty
	Place   string
	Head    string    // whose job, or that it is the example
	At      time.Time // the moment of asking
	For     time.Time // midnight of the day asked about
	Start   time.Time // when the first coat is laid
	Verdict Verdict
	Reasons []Reason // what decides first
	Eve     []Deed   // to be done before the coats of a later day
	EveOf   string   // when, where they have no time of their own: this evening
	State   []Row    // air, wall, weather: what the answer starts from
	// AllTheSame tells that the plan is of a day that is a no-go: were it laid all the same.
	AllTheSame bool
	Plan       []Coat       // those laid before, and those of the day
	Days       []Ahead      // on which the others are due
	Left       message.Text // coats of which no day is known
	Signs      []Sign
	Watch      []Pair
	Changes    []Change // what can be changed, best first
	WhatIf     []Change // what was asked for: the plan as it is, each change, and all together
	NoHelp     string   // told where none of them helps; empty on a go
	Later      []Row    // of a no-go: the next day that would do, and what this one serves for
	After      []Due    // what protects the wall, the care of it, and of walls already laid
	Tint       string
	Limits     []Limit // the data sheet's
	Unknown    string
	Danger     []string

	Call time.Duration // how long before a coat is worked its hands are called

	// Of the drawing: the working hours, the wall's course, and the limits of its face.
	Hours          Span
	Course         []Point
	FaceLow        float64 // C
	FaceHigh       float64
	KnownTo        time.Time // the last reading
	SunFrom, SunTo time.Time

	Exact Exact // what programs are told besides
}

// Ahead tells whether the day asked about is after that of asking.
func (d Day) Ahead() bool { return d.For.After(d.At) }

// ToldOn is a moment of the day whose times are told without it: the day asked about.
func (d Day) ToldOn() time.Time {
	if d.Ahead() {
		return d.For
	}
	return d.At
}

// Asked is the moment of asking, and for which day where that is a later one.
func (d Day) Asked() string {
	if d.Ahead() {
		return Stamp(d.At) + ", for " + d.For.Format("Mon 2 Jan")
	}
	return Stamp(d.At)
}

// Deed is something to be done before the coats of a later day.
type Deed struct {
	Code string
	Says message.Text
	At   time.Time // when it has its own time; else on the evening before, which is Eve
	Eve  time.Time
}

// When is its moment.
func (d Deed) When() time.Time {
	if d.At.IsZero() {
		return d.Eve
	}
	return d.At
}

// Verdict is the answer in a word, and how its sentence goes on.
type Verdict struct {
	Code  string // go, care, no-go
	Word  string
	Joint string // between the word and what it says
	Says  message.Text
	Start message.Text // when the first coat of the day is laid; empty where none is
	Brief message.Text // what is due with the start alone
}

// Sentence is the verdict's sentence.
func (v Verdict) Sentence() message.Text { return message.Say("{}{}{}", v.Word, v.Joint, v.Says) }

// Reason is one reason for the verdict.
type Reason struct {
	Code, Severity string
	Says           message.Text // with its figures
	Words          message.Text // without
	Value, Limit   float64
	Unit           string
	Detail         bool
}

// Row is something told under a label; several texts are several lines.
type Row struct {
	Label  string
	Says   []message.Text
	Detail bool
}

// Coat is a row of the timetable.
type Coat struct {
	Number int
	Finish string
	Thick  float64      // wet, m
	Name   message.Text // with its number and thickness
	Past   message.Text // all that is told of one laid on an earlier day; empty for any other
	Over   bool         // it was laid before, and nothing of it is still to come
	Last   bool         // it is closed in
	Lay    Time
	Edge   Time
	Then   []Step       // the steps that apply; two told alike are one
	Bed    message.Text // what is done to what it is laid on, before
	Note   message.Text // the trade's wait, where that is longer than it dries; of a last coat, what its tint asks of the hand
	Band   message.Text // how early and how late they may be; empty where that is not known
	Events []Event      // all its moments, exactly
	// States are what the coat comes to, each until its End, in their order.
	States []State

	// As programs are told them; see drying.CoatPlan.
	Due          string
	Custom       time.Time
	Misted, Done bool
}

// Step is something done to a coat, or that befalls it, at a time.
type Step struct {
	Code  string // compress, burnish, close (both at once), gone, next
	Name  string
	At    Time
	Sure  Span // eight cases in ten; none where it is not known
	Signs []Sign
}

// State is a stretch of a coat's drying. A zero End is one that is not reached.
type State struct {
	Code string // wet, compress, burnish, drying
	End  Time
}

// Span is two moments; the second is zero where it is not reached, both where there is none.
type Span struct{ From, To time.Time }

// Event is a moment of a coat with its earliest and latest; a zero one is not reached or not known.
type Event struct {
	Code                 string // lay, edge, opens, burnish, closes, recoat
	At, Earliest, Latest time.Time
}

// Sign is what is seen, heard or felt at an event.
type Sign struct {
	Name, Says string
	Detail     bool
}

// Pair is a thing and what is said of it.
type Pair struct{ Name, Says string }

// Change is something in the crew's power, with its effect.
type Change struct {
	Code     string
	Codes    []string // of several together
	Says     message.Text
	Effect   message.Text
	Moved    message.Text // the reasons that come and go
	Helps    bool
	Tomorrow bool // it is too late for the day asked about
	Verdict  string
	Word     string    // the verdict's
	Lay      time.Time // of the first coat that is not laid
	Due      []int     // coats laid on the day of asking
	Window   time.Duration
	Done     time.Time
	Gone     message.Quantity // Done as it is told
}

// Name is the change, and that it is for tomorrow.
func (c Change) Name() message.Text {
	if c.Tomorrow {
		return message.Say("{} (for tomorrow)", c.Says)
	}
	return c.Says
}

// Due is care that comes due.
type Due struct {
	Code, Name    string
	Wall          string // of a wall already laid; empty for the wall of the day
	When          message.Text
	Do, Why       string
	Protects      bool // against weather
	Idle          bool // nothing calls for it yet
	Detail        bool
	From, Certain time.Time
}

// Limit is one of the data sheet's, and how the day stands to it.
type Limit struct {
	What      string
	Says      message.Text
	Value     float64
	Low, High *float64
	Unit      string
	Met       bool
}

// Point is a moment of the day's course at the wall.
type Point struct {
	Time                time.Time
	Air, DewPoint, Face float64 // C
	Sun                 float64 // on the wall, W/m2
	Rain                float64 // driven onto it, kg/(m2 h)
}

// Exact is what programs are told besides the rest: numbers in SI, moments as they are.
type Exact struct {
	Earliest, Latest time.Time // of the starts that are not a no-go
	Coats            []Coat    // all that are planned
	Days             []Planned
	Air              psychro.Air
	Face             float64 // C
	Frost            Frost
	Weather          Weather
	Parts            []weather.Part // where each stretch of the air comes from
	Next             Next
	Work             []string
	Walls            []Wall
	Seen             []Seen
	Odd              message.Text // what was seen that was not to be expected
	Mend             *Mend
	Holds            *Holds
	Timing           *Timing
	Assumed          []message.Text
}

// Frost is what is known of frost on the fresh wall.
type Frost struct {
	Risk       string
	First      time.Time
	SurfaceMin *float64 // C
	Odds       float64  // of OddsYears, that it freezes after the forecast and up to OddsUntil
	OddsYears  int
	OddsUntil  time.Time
}

// Weather is where the air came from.
type Weather struct {
	Source, Credit         string
	Issued                 time.Time
	Age                    time.Duration
	Radiation              string // none, given, estimated
	Forecast, Held, Replay bool
	Notes                  []message.Text
}

// Next is the first later day that would do; Searched is how far was looked.
type Next struct {
	Start, Searched time.Time
	Verdict         string
}

// Wall is one of several walls outdoors.
type Wall struct {
	Name                    string
	Bearing                 float64
	Verdict                 string
	Start, Earliest, Latest time.Time
	Reasons                 []string
}

// Seen is something seen of a coat.
type Seen struct {
	Coat int
	What string
	At   time.Time
	Not  bool
}

// Holds is by how much the air may differ from what it was taken to be before the plan moves: K, and % of relative humidity.
type Holds struct{ Colder, Warmer, Drier, Damper float64 }

// Mend is what can be done about what went wrong with a coat.
type Mend struct {
	Seen
	Do []message.Text
}

// Timing is whose times they are.
type Timing struct {
	Finish string
	Boards int
}
