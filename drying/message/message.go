package message

import (
	"strconv"
	"strings"
	"time"
)

// Kind says what a Quantity is of, and so how it is written.
type Kind string

// The kinds, with the unit of a Value.
const (
	Temperature Kind = "temperature" // C
	Step        Kind = "step"        // a difference of temperatures, K
	Humidity    Kind = "humidity"    // relative, over liquid water, 0 to 1
	Vapour      Kind = "vapour"      // a difference of vapour pressures, Pa
	Pressure    Kind = "pressure"    // of the air, Pa
	Speed       Kind = "speed"       // m/s
	Altitude    Kind = "altitude"    // above the sea, m
	Distance    Kind = "distance"    // over land, m
	Thickness   Kind = "thickness"   // of a wet coat, m
	Spread      Kind = "spread"      // of a material on an area, kg/m2
	Spell       Kind = "spell"       // a length of time, s; +Inf for longer than is followed
	Between     Kind = "between"     // two of them, Value and To, s
	After       Kind = "after"       // a time after laying, s, rounded by Edge
	Minutes     Kind = "minutes"     // a length of time in whole minutes, s
	Hours       Kind = "hours"       // a length of time in hours and tenths, s
	Age         Kind = "age"         // how long ago, s
	Clock       Kind = "clock"       // a moment near the day, At
	Clocks      Kind = "clocks"      // two of them, At and Until
	Due         Kind = "due"         // a moment within some days by its clock, a later one by its date, At
	Date        Kind = "date"        // a day of the year, At
	TimeOfDay   Kind = "time of day" // of a day that is told beside it, At
	Weekday     Kind = "weekday"     // a day with its weekday, At
	Moment      Kind = "moment"      // a moment with its day and clock, At
	Flux        Kind = "flux"        // of water, kg/(m2 s)
	Water       Kind = "water"       // on an area, kg/m2
	Share       Kind = "share"       // 0 to 1
	Times       Kind = "times"       // a factor
	Rain        Kind = "rain"        // mm/h
	Length      Kind = "length"      // of a wall, m
	Along       Kind = "along"       // how far along a wall, m, to the centimetre
	Area        Kind = "area"        // of a wall, m2
	Whole       Kind = "whole"       // an area in whole units, m2
	Volume      Kind = "volume"      // of a room, m3
	Pace        Kind = "pace"        // of a hand, m2/h
	Mass        Kind = "mass"        // of a material, kg
	Bucket      Kind = "bucket"      // a volume of it, l
	Count       Kind = "count"       // a whole number
)

// Edge says what a moment bounds, and so which way it may be rounded.
type Edge int8

// The edges.
const (
	Exact  Edge = iota // told to the minute
	Begins             // something can be done from then on: never shown sooner
	Ends               // something can be done until then: never shown later
)

// Soon is the time after a coat is laid within which its moments are told to the minute.
const Soon = 30 * time.Minute

// grains are those that a clock is read in, each a multiple of the next.
var grains = []time.Duration{12 * time.Hour, 6 * time.Hour, 2 * time.Hour, time.Hour, 30 * time.Minute, 10 * time.Minute, 5 * time.Minute}

// Coarse is how coarsely a moment of a coat is told: as its finish's times are known, but rounding may not take more than a quarter of the
// window that the moment bounds or, where there is none, of the time since laying (judgement, no source). Soon after laying it is a minute.
func Coarse(known, since, window time.Duration) time.Duration {
	if since < Soon {
		return time.Minute
	}
	if window <= 0 {
		window = since
	}
	most := min(known, window/4)
	for _, g := range grains {
		if g <= most {
			return g
		}
	}
	return time.Minute
}

// Quantity is a value to be written in the reader's units. A zero At is a moment that is not known or not reached.
type Quantity struct {
	Kind      Kind
	Value, To float64
	At, Until time.Time
	Edge      Edge          // of At and Until, or of a length of time
	Grain     time.Duration // that At and Until are rounded to; zero: the minute
}

// Part of a text is words or, where Words is empty, a quantity.
type Part struct {
	Words string
	Quantity
}

// Text is words with quantities between them.
type Text []Part

// Format writes the text, with the quantities as f has them.
func (t Text) Format(f func(Quantity) string) string {
	var b strings.Builder
	for _, p := range t {
		if p.Words != "" || p.Kind == "" {
			b.WriteString(p.Words)
		} else {
			b.WriteString(f(p.Quantity))
		}
	}
	return b.String()
}

// String is the text for a log, its quantities as bare numbers in SI and moments.
func (t Text) String() string {
	return t.Format(func(q Quantity) string {
		if !q.At.IsZero() {
			return q.At.Format(time.RFC3339)
		}
		return strconv.FormatFloat(q.Value, 'g', 6, 64)
	})
}

// Say puts texts, quantities and words, in their order, in the place of each {} of a form. It panics where their numbers differ:
// that is a caller's bug.
func Say(form string, args ...any) Text {
	var t Text
	pieces := strings.Split(form, "{}")
	if len(pieces) != len(args)+1 {
		panic("message: " + form + ": as many {} as there are arguments")
	}
	for i, words := range pieces {
		if words != "" {
			t = append(t, Part{Words: words})
		}
		if i == len(args) {
			break
		}
		switch a := args[i].(type) {
		case Quantity:
			t = append(t, Part{Quantity: a})
		case Text:
			t = append(t, a...)
		case string:
			t = append(t, Part{Words: a})
		default:
			panic("message: " + form + ": an argument is neither text nor quantity")
		}
	}
	return t
}

// Words is a text without quantities. Braces in it mean nothing.
func Words(s string) Text {
	if s == "" {
		return nil
	}
	return Text{{Words: s}}
}

// Join puts between between texts.
func Join(texts []Text, between string) Text {
	var t Text
	for i, x := range texts {
		if i > 0 {
			t = append(t, Part{Words: between})
		}
		t = append(t, x...)
	}
	return t
}

// Celsius is a temperature, C.
func Celsius(c float64) Quantity { return Quantity{Kind: Temperature, Value: c} }

// Kelvins is a difference of temperatures, K.
func Kelvins(k float64) Quantity { return Quantity{Kind: Step, Value: k} }

// RH is a relative humidity, 0 to 1.
func RH(share float64) Quantity { return Quantity{Kind: Humidity, Value: share} }

// Pascals is a difference of vapour pressures, Pa.
func Pascals(p float64) Quantity { return Quantity{Kind: Vapour, Value: p} }

// MetresASecond is a speed, m/s.
func MetresASecond(v float64) Quantity { return Quantity{Kind: Speed, Value: v} }

// Thick is a thickness of a wet coat, m.
func Thick(m float64) Quantity { return Quantity{Kind: Thickness, Value: m} }

// Seconds is a length of time, s.
func Seconds(s float64) Quantity { return Quantity{Kind: Spell, Value: s} }

// Kilos is a mass, kg.
func Kilos(m float64) Quantity { return Quantity{Kind: Mass, Value: m} }

// Litres is a volume of a material, l.
func Litres(v float64) Quantity { return Quantity{Kind: Bucket, Value: v} }

// Spells is two lengths of time, s.
func Spells(low, high float64) Quantity { return Quantity{Kind: Between, Value: low, To: high} }

// Evaporation is a flux of water, kg/(m2 s).
func Evaporation(j float64) Quantity { return Quantity{Kind: Flux, Value: j} }

// OnArea is water on an area, kg/m2.
func OnArea(m float64) Quantity { return Quantity{Kind: Water, Value: m} }

// Parts is a share, 0 to 1.
func Parts(x float64) Quantity { return Quantity{Kind: Share, Value: x} }

// Factor is how many times.
func Factor(x float64) Quantity { return Quantity{Kind: Times, Value: x} }

// Metres is a length of a wall, m.
func Metres(l float64) Quantity { return Quantity{Kind: Length, Value: l} }

// MetresAlong is how far along a wall something is, m.
func MetresAlong(x float64) Quantity { return Quantity{Kind: Along, Value: x} }

// SquareMetres is an area of a wall, m2.
func SquareMetres(a float64) Quantity { return Quantity{Kind: Area, Value: a} }

// WorkRate is the pace of a hand, m2/h.
func WorkRate(r float64) Quantity { return Quantity{Kind: Pace, Value: r} }

// Number is a whole number.
func Number(n int) Quantity { return Quantity{Kind: Count, Value: float64(n)} }

// At is a moment near the day, by its clock.
func At(t time.Time) Quantity { return Quantity{Kind: Clock, At: t} }

// AtBoth is two moments near the day.
func AtBoth(from, to time.Time) Quantity { return Quantity{Kind: Clocks, At: from, Until: to} }

// In is a count of minutes, s, rounded as edge says.
func In(s float64, edge Edge) Quantity { return Quantity{Kind: Minutes, Value: s, Edge: edge} }

// AfterLaying is a time after laying, s.
func AfterLaying(s float64, edge Edge) Quantity { return Quantity{Kind: After, Value: s, Edge: edge} }

// On is a day of the year.
func On(t time.Time) Quantity { return Quantity{Kind: Date, At: t} }

// OnDay is a day with its weekday.
func OnDay(t time.Time) Quantity { return Quantity{Kind: Weekday, At: t} }

// Stamp is a moment with its day.
func Stamp(t time.Time) Quantity { return Quantity{Kind: Moment, At: t} }
