package weather

import "time"

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

// Record is the air at an instant.
type Record struct {
	Time        time.Time // UTC
	Temperature Value     // C
	Vapour      Value     // vapour pressure, Pa
	Pressure    Value     // at the place, Pa
	AirSpeed    Value     // along the wall indoors, m/s
}

// Place is where a job is.
type Place struct {
	Name     string
	Lat, Lon float64 // degrees north and east
	Altitude float64 // m
}

// Series is a run of records in order of time.
type Series struct {
	Source  string // for people: where it came from
	Issued  time.Time
	Records []Record
}

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
