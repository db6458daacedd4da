package weather

import (
	"math"
	"time"
)

// Tag says how a value came to be. The zero Tag marks a value that is missing.
type Tag uint8

// The tags.
const (
	Missing      Tag = iota
	Measured         // read from an instrument, or typed in from one
	Forecast         // from a forecast service
	Estimated        // computed from other values, such as radiation from cloud
	Interpolated     // between two values of the same source
	Coarse           // stands for a longer span than its neighbours do
	Held             // the last value known, kept
)

var tagNames = [...]string{"missing", "measured", "forecast", "estimated", "interpolated", "coarse", "held"}

// String is the tag in words.
func (t Tag) String() string {
	if int(t) < len(tagNames) {
		return tagNames[t]
	}
	return "unknown"
}

// Value is an optional number.
type Value struct {
	V   float64
	Tag Tag
}

// Known reports whether the value is there.
func (v Value) Known() bool { return v.Tag != Missing }

// Record is the weather from an instant on. Values of state are those at Time; amounts and radiation are means
// over the span from Time to the next record, or over Span where it is set: every source's own meaning of
// its times ends in the package that reads it.
type Record struct {
	Time        time.Time     // UTC
	Span        time.Duration // of amounts and radiation; zero: to the next record
	Temperature Value         // 2 m above ground, or in the room, C
	Vapour      Value         // vapour pressure, Pa
	Pressure    Value         // at the place, not reduced to the sea, Pa
	AirSpeed    Value         // along the wall indoors, m/s
	Wind        Value         // 10 m above ground, m/s
	Gust        Value         // m/s
	WindFrom    Value         // direction it blows from, degrees clockwise from north
	Cloud       Value         // share of the sky, 0 to 1
	Rain        Value         // mean rate, mm/h
	RainChance  Value         // 0 to 1
	Global      Value         // sun on the flat, W/m2
	Direct      Value         // beam, on a face turned to the sun, W/m2
	Diffuse     Value         // sky on the flat, W/m2
	// TempLow and TempHigh are the 10 and 90 % points of Temperature, where a service gives them.
	TempLow, TempHigh Value
}

// Place is where a job is.
type Place struct {
	Name     string
	Lat, Lon float64 // degrees north and east
	Altitude float64 // m
}

// Series is a run of records in order of time.
type Series struct {
	Source  string    // for people: where it came from
	Credit  string    // words the source's licence asks for; may be empty
	Issued  time.Time // when the source made it; zero where it does not say
	Fetched time.Time // when it was had; zero for a file
	Grid    *Place    // the point it is for, where that is not the place asked for
	Off     *Offset   // how far Grid lies from the place asked for; nil where that is not known
	Notes   []string  // what people should know of it
	Parts   []Part    // where its stretches came from, in order of time; none: all of it from Source
	Records []Record
}

// Offset is how far the weather's point is from the place.
type Offset struct {
	Away float64 // m along the ground
	Up   float64 // m that it is higher; NaN where that is not known
}

// Far reports whether its weather may be another one: over [FarAway] or [FarUp].
func (o Offset) Far() bool { return o.Away > FarAway || math.Abs(o.Up) > FarUp }

// TooFar reports whether it is hardly the place's: over [HardlyHere].
func (o Offset) TooFar() bool { return o.Away > HardlyHere }

// Part is a stretch of a series that came from one source.
type Part struct {
	Kind     Kind
	Source   string    // for people
	From, To time.Time // its first and its last record
	Issued   time.Time // of a forecast, when it was made; zero where that is not known
}

// Kind says how a stretch of weather is known.
type Kind string

// The kinds.
const (
	Logged   Kind = "logged"   // a file of readings
	Typed    Kind = "read"     // single readings, typed in or from a diary
	Past     Kind = "past"     // hours gone by, from a service
	Foretold Kind = "forecast" // hours to come, from a service
	Assumed  Kind = "assumed"  // taken to have been there before the first that is known
	Kept     Kind = "held"     // the last that is known, kept
)

// Before splits off the records after t: what was known by then.
func (s Series) Before(t time.Time) (known Series, later int) {
	n := len(s.Records)
	for n > 0 && s.Records[n-1].Time.After(t) {
		n--
	}
	later = len(s.Records) - n
	s.Records = s.Records[:n:n]
	return s, later
}
