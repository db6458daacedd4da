package cure

import (
	"fmt"
	"math"
	"sort"

	"limeday/psychro"
)

// Hour is the face and what meets it, from Time on.
type Hour struct {
	Time        float64 // s
	Face        float64 // temperature of the face, C
	Air         float64 // C
	RH          float64 // of the air, over water, 0 to 1
	Saturation  float64 // S of the pores at the face, 0 to 1; 1 while the coat is wet and firming
	Within      float64 // of the wettest pores of the coat, from the face to its back: at least Saturation
	Evaporation float64 // kg/(m2 s); below 0 while dew forms
	Wind        float64 // along the wall, m/s
	Sun         float64 // that falls on the face, W/m2
	Rain        float64 // on the face, kg/(m2 s)
	Wet         bool    // water stands on the face: its pores then count as full
}

// Record is what a face went through from laying to a horizon. It never changes once made.
type Record struct {
	hours []Hour // the last one is at the horizon
}

// LongestGap is the longest step of a Record, s: frost can come and go in a longer one.
const LongestGap = 6 * 3600.0

// HourError says which hour of a course cannot be, and why.
type HourError struct {
	Index    int // from 0
	Quantity string
	Value    float64
	Expected string
}

func (e *HourError) Error() string {
	return fmt.Sprintf("cure: hour %d: %s is %g, expected %s", e.Index, e.Quantity, e.Value, e.Expected)
}

// NewRecord makes a record of hours in order of time, the first at laying. The last holds until end, the horizon
// beyond which nothing is known. The error is an *HourError.
func NewRecord(hours []Hour, end float64) (Record, error) {
	if len(hours) == 0 {
		return Record{}, &HourError{Quantity: "number of hours", Expected: "at least one"}
	}
	c := Record{hours: make([]Hour, 0, len(hours)+1)}
	for i, h := range hours {
		next := end
		if i+1 < len(hours) {
			next = hours[i+1].Time
		}
		for _, q := range []struct {
			name      string
			v         float64
			low, high float64
			expected  string
		}{
			{"time", h.Time, -math.MaxFloat64, math.MaxFloat64, "a number"},
			{"time to the next hour", next - h.Time, 0, LongestGap, fmt.Sprintf("0 to %g s, in order of time", LongestGap)},
			{"temperature of the face", h.Face, -60, 90, "-60 to 90 C"},
			{"temperature of the air", h.Air, -60, 60, "-60 to 60 C"},
			{"relative humidity", h.RH, 0, 1, "0 to 1"},
			{"saturation", h.Saturation, 0, 1, "0 to 1"},
			{"saturation within", h.Within, 0, 1, "0 to 1"},
			{"evaporation", h.Evaporation, -0.01, 0.01, "-0.01 to 0.01 kg/(m2 s)"},
			{"wind", h.Wind, 0, 100, "0 to 100 m/s"},
			{"sun", h.Sun, 0, 1500, "0 to 1500 W/m2"},
			{"rain", h.Rain, 0, 0.09, "0 to 0.09 kg/(m2 s)"}, // 324 mm/h: above the record hour
		} {
			if !(q.v >= q.low && q.v <= q.high) {
				return Record{}, &HourError{Index: i, Quantity: q.name, Value: q.v, Expected: q.expected}
			}
		}
		if next == h.Time && i+1 < len(hours) {
			return Record{}, &HourError{Index: i + 1, Quantity: "time", Value: next, Expected: "later than the hour before"}
		}
		if h.Wet {
			h.Saturation = 1
		}
		h.Within = max(h.Within, h.Saturation)
		c.hours = append(c.hours, h)
	}
	if last := c.hours[len(c.hours)-1]; end > last.Time {
		last.Time = end
		c.hours = append(c.hours, last)
	}
	return c, nil
}

// Laid is the time of laying, s.
func (c Record) Laid() float64 { return c.hours[0].Time }

// Horizon is the time up to which the face is known, s.
func (c Record) Horizon() float64 { return c.hours[len(c.hours)-1].Time }

// At is the face at time t, s; before laying as at laying, after the horizon as at the horizon.
func (c Record) At(t float64) Hour {
	i := max(c.after(t), 1)
	if i == len(c.hours) {
		return c.hours[i-1]
	}
	return between(c.hours[i-1], c.hours[i], (t-c.hours[i-1].Time)/(c.hours[i].Time-c.hours[i-1].Time))
}

// after is the place of the first hour later than t, and until that of the first not earlier.
func (c Record) after(t float64) int {
	return sort.Search(len(c.hours), func(i int) bool { return c.hours[i].Time > t })
}

func (c Record) until(t float64) int {
	return sort.Search(len(c.hours), func(i int) bool { return c.hours[i].Time >= t })
}

// between is the face at the share x of the way from a to b.
func between(a, b Hour, x float64) Hour {
	x = min(max(x, 0), 1)
	mix := func(p, q float64) float64 { return p + x*(q-p) }
	h := a // amounts hold from a on
	h.Time = mix(a.Time, b.Time)
	h.Face, h.Air, h.RH = mix(a.Face, b.Face), mix(a.Air, b.Air), mix(a.RH, b.RH)
	h.Saturation, h.Within, h.Wind = mix(a.Saturation, b.Saturation), mix(a.Within, b.Within), mix(a.Wind, b.Wind)
	return h
}

// part is the course from time a to b only.
func (c Record) part(a, b float64) Record {
	a, b = max(a, c.Laid()), min(b, c.Horizon())
	if a > b {
		a = b
	}
	from, to := c.after(a), c.until(b)
	p := Record{hours: make([]Hour, 1, max(to-from, 0)+2)}
	p.hours[0] = c.At(a)
	if from < to {
		p.hours = append(p.hours, c.hours[from:to]...)
	}
	if b > a {
		p.hours = append(p.hours, c.At(b))
	}
	return p
}

// faceRH is the relative humidity of the air once it has the temperature of the face; at most 1.
func (h Hour) faceRH() float64 {
	if h.Face == h.Air {
		return h.RH
	}
	return min(1, h.RH*float64(psychro.SaturationWater(psychro.Celsius(h.Air))/psychro.SaturationWater(psychro.Celsius(h.Face))))
}

// Span is a stretch of time, s.
type Span struct{ Begin, End float64 }

// Length is how long it lasts, s.
func (s Span) Length() float64 { return s.End - s.Begin }

// Total is how long all the spans last, s; they must not overlap.
func Total(spans []Span) float64 {
	sum := 0.0
	for _, s := range spans {
		sum += s.Length()
	}
	return sum
}

// overlaps tells whether any of spans shares time with s.
func (s Span) overlaps(spans []Span) bool {
	for _, o := range spans {
		if o.Begin < s.End && s.Begin < o.End {
			return true
		}
	}
	return false
}

// join appends s to spans, as part of the last where the two touch.
func join(spans []Span, s Span) []Span {
	if n := len(spans); n > 0 && spans[n-1].End >= s.Begin {
		spans[n-1].End = max(spans[n-1].End, s.End)
		return spans
	}
	return append(spans, s)
}

// spans is when every condition is at least 0, each taken to vary evenly between hours.
func (c Record) spans(conditions ...func(Hour) float64) []Span {
	var out []Span
	for i := 1; i < len(c.hours); i++ {
		a, b := c.hours[i-1], c.hours[i]
		lo, hi := 0.0, 1.0
		for _, g := range conditions {
			switch p, q := g(a), g(b); {
			case p >= 0 && q >= 0:
			case p < 0 && q < 0:
				hi = -1
			case p < 0:
				lo = max(lo, p/(p-q))
			default:
				hi = min(hi, p/(p-q))
			}
		}
		if lo < hi {
			s := Span{a.Time + lo*(b.Time-a.Time), b.Time}
			if hi < 1 {
				s.End = a.Time + hi*(b.Time-a.Time)
			}
			if s.Begin < s.End {
				out = join(out, s)
			}
		}
	}
	return out
}

// steps is when holds is true of the amounts of an hour, each hour whole.
func (c Record) steps(holds func(Hour) bool) []Span {
	var out []Span
	for i := 1; i < len(c.hours); i++ {
		if holds(c.hours[i-1]) {
			out = join(out, Span{c.hours[i-1].Time, c.hours[i].Time})
		}
	}
	return out
}

// rain is what falls on the face from a to b, kg/m2.
func (c Record) rain(a, b float64) float64 {
	sum := 0.0
	for i := 1; i < len(c.hours); i++ {
		sum += c.hours[i-1].Rain * max(0, min(b, c.hours[i].Time)-max(a, c.hours[i-1].Time))
	}
	return sum
}

// drained is the first time that the face's saturation is at or below s.
func (c Record) drained(s float64) Moment {
	if c.hours[0].Saturation <= s {
		return Moment{At: c.Laid()}
	}
	for i := 1; i < len(c.hours); i++ {
		if a, b := c.hours[i-1], c.hours[i]; b.Saturation <= s {
			return Moment{At: a.Time + (b.Time-a.Time)*(a.Saturation-s)/(a.Saturation-b.Saturation)}
		}
	}
	return Moment{At: c.Horizon(), Beyond: true}
}

// Moment is a time that may lie beyond what is known: then At is the horizon.
type Moment struct {
	At     float64 // s
	Beyond bool    // not by At, and not known beyond it
}

// Says puts the moment in words, when being how the caller writes a time.
func (m Moment) Says(when func(float64) string) string {
	if m.Beyond {
		return "not known beyond " + when(m.At)
	}
	return when(m.At)
}

// Moments are the earliest, likely and latest point of a time.
type Moments struct{ Earliest, Likely, Latest Moment }

// Grade says how surely a harm comes, as far as it can be known.
type Grade int

// The grades, least first.
const (
	None     Grade = iota
	Unknown        // the course ends before it could be told
	Possible       // by the strictest reading of the range only
	Likely         // by the middle of the range
	Certain        // by every reading of the range
)

func (g Grade) String() string {
	switch g {
	case None:
		return "none"
	case Unknown:
		return "unknown"
	case Possible:
		return "possible"
	case Likely:
		return "likely"
	case Certain:
		return "certain"
	}
	panic("cure: no such grade")
}

// Outlook is whether something comes before a time, with how far can be seen.
type Outlook struct {
	Comes   Moment  // when it first comes; Beyond where it does not by the end of Seen
	Until   float64 // the time that it is asked for
	Horizon float64 // how far is known
}

// Clear tells that it is known not to come before Until.
func (o Outlook) Clear() bool { return o.Comes.Beyond && o.Horizon >= o.Until }

// Open tells that it does not come as far as is known, and that more than is known is asked for.
func (o Outlook) Open() bool { return o.Comes.Beyond && o.Horizon < o.Until }

// Says puts the outlook for what, a noun, in words.
func (o Outlook) Says(what string, when func(float64) string) string {
	switch {
	case !o.Comes.Beyond:
		return fmt.Sprintf("%s at %s", what, when(o.Comes.At))
	case o.Open():
		return fmt.Sprintf("no %s to %s; not known beyond %s", what, when(o.Horizon), when(o.Horizon))
	}
	return fmt.Sprintf("no %s to %s", what, when(o.Until))
}

// outlook is when the first of spans comes before until.
func (c Record) outlook(spans []Span, until float64) Outlook {
	o := Outlook{Comes: Moment{At: min(c.Horizon(), until), Beyond: true}, Until: until, Horizon: c.Horizon()}
	for _, s := range spans {
		if s.Begin < until {
			o.Comes = Moment{At: s.Begin}
			break
		}
	}
	return o
}
