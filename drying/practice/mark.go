package practice

import (
	"limeday/drying/message"
	"math"
	"slices"
	"time"
)

// Mark is how an answer did.
type Mark string

// The marks.
const (
	Right Mark = "right"
	Near  Mark = "near"
	Not   Mark = "not"
)

// Marks lists them.
func Marks() []Mark { return []Mark{Right, Near, Not} }

// Given is an answer: which field counts hangs on what the exercise wants.
type Given struct {
	Choice int       // index of one of Choices
	Value  float64   // s after laying, m, C, or m2
	At     time.Time // a time of day
}

// Marking is an answer marked.
type Marking struct {
	Mark Mark
	Says message.Text // how far off it was, and in which direction; empty where it was right
}

// What is near a band: a time, thickness or area up to half as much again beyond it, a time of day up to half an hour, a temperature
// as far beyond it as the band is wide (judgement, no source: a plasterer who looks that much too soon or too late still
// sees the sign coming, or its last).
const (
	nearShare = 1.5
	nearClock = 30 * time.Minute
)

// Mark marks an answer.
func (x *Exercise) Mark(g Given) Marking {
	a := x.Answer
	switch x.Wants {
	case WantChoice, WantVerdict:
		switch {
		case g.Choice == a.Choice:
			return Marking{Mark: Right}
		case slices.Contains(a.Near, g.Choice):
			return Marking{Near, message.Say("Not far off.")}
		}
		return Marking{Mark: Not}
	case WantClock:
		switch {
		case g.At.Before(a.From):
			return off(a.From.Sub(g.At) <= nearClock, "{} before the earliest.", message.Seconds(a.From.Sub(g.At).Seconds()))
		case g.At.After(a.Until):
			return off(g.At.Sub(a.Until) <= nearClock, "{} after the latest.", message.Seconds(g.At.Sub(a.Until).Seconds()))
		}
		return Marking{Mark: Right}
	}
	below, above, by := "{} before the earliest.", "{} after the latest.", message.Seconds
	near := func(v float64) bool { return v*nearShare >= a.Earliest && v <= a.Latest*nearShare }
	switch x.Wants {
	case WantThickness:
		below, above, by = "{} thinner than need be, even to be sure.", "{} too thick, even if all goes well.", message.Thick
	case WantArea:
		below, above, by = "{} less than need be, even to be sure.", "{} too much, even if all goes well.", message.SquareMetres
	case WantTemperature:
		below, above, by = "{} too low.", "{} too high.", message.Kelvins
		near = func(v float64) bool {
			return math.Abs(v-(a.Earliest+a.Latest)/2) <= 1.5*(a.Latest-a.Earliest)
		}
	}
	switch {
	case g.Value < a.Earliest:
		return off(near(g.Value), below, by(a.Earliest-g.Value))
	case g.Value > a.Latest:
		return off(near(g.Value), above, by(g.Value-a.Latest))
	}
	return Marking{Mark: Right}
}

func off(near bool, form string, by message.Quantity) Marking {
	if near {
		return Marking{Near, message.Say(form, by)}
	}
	return Marking{Not, message.Say(form, by)}
}

// Right is the likely answer as if it had been given.
func (x *Exercise) Right() Given {
	return Given{x.Answer.Choice, x.Answer.Value, x.Answer.At}
}
