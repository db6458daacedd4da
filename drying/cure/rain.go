package cure

import (
	"math"

	"limeday/drying/material"
)

// RainState is what rain does to a face.
type RainState string

// The states, in their order.
const (
	WashOut RainState = "wash-out" // wet or firming: rain washes the lime out
	NoRain  RainState = "no rain"  // drained, but too young to take rain
	Rewets  RainState = "re-wets"  // rain only wets it again
)

// Shower is rain on the face without a break, within one state of it.
type Shower struct {
	Span
	State  RainState
	Amount float64 // kg/m2
}

// RainOn is the rain on a face.
type RainOn struct {
	Drained Moment   // until then rain washes the lime out
	Safe    float64  // until then no rain; after, it only re-wets, s. The earliest, where Drained is beyond what is known
	Showers []Shower // all that are known
	First   *Shower  // the first within the vulnerable hours; nil where none is known
	Outlook Outlook  // of rain in the vulnerable hours; Until is infinite where their end is not known
}

// RainOn judges the rain on a finish that is not sheeted. The vulnerable hours are the finish's rain-free
// hours, or longer while it has not drained.
func (r Rules) RainOn(c Record, f material.Finish) RainOn {
	w := RainOn{Drained: c.drained(r.WashesOut.Value)}
	w.Safe = max(c.Laid()+f.RainFree.Value*hour, w.Drained.At)
	for _, part := range []struct {
		Span
		state RainState
	}{{Span{c.Laid(), w.Drained.At}, WashOut}, {Span{w.Drained.At, w.Safe}, NoRain}, {Span{w.Safe, c.Horizon()}, Rewets}} {
		if part.Begin >= part.End {
			continue
		}
		for _, s := range c.part(part.Begin, part.End).steps(func(h Hour) bool { return h.Rain*hour >= r.RainWets.Value }) {
			w.Showers = append(w.Showers, Shower{s, part.state, c.rain(s.Begin, s.End)})
		}
	}
	var bad []Span
	for i, s := range w.Showers {
		if s.State == Rewets {
			continue
		}
		if w.First == nil {
			w.First = &w.Showers[i]
		}
		bad = append(bad, s.Span)
	}
	until := w.Safe
	if w.Drained.Beyond {
		until = math.Inf(1)
	}
	w.Outlook = c.outlook(bad, until)
	return w
}
