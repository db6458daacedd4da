package practice

import (
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
	Speed       Kind = "speed"       // m/s
	Thickness   Kind = "thickness"   // of a wet coat, m
	Spell       Kind = "spell"       // a length of time, s
	Between     Kind = "between"     // two of them, Value and To, s
	Clock       Kind = "clock"       // a moment, At
	Clocks      Kind = "clocks"      // two of them, At and Until
	Flux        Kind = "flux"        // of water, kg/(m2 s)
	Water       Kind = "water"       // on an area, kg/m2
	Share       Kind = "share"       // 0 to 1
	Times       Kind = "times"       // a factor
	Rain        Kind = "rain"        // mm/h
	Length      Kind = "length"      // of a wall, m
	Area        Kind = "area"        // of a wall, m2
	Pace        Kind = "pace"        // of a hand, m2/h
)

// Quantity is a value to be written in the reader's units.
type Quantity struct {
	Kind      Kind
	Value, To float64
	At, Until time.Time
	// Day is the day that a clock's weekday is left out for.
	Day time.Time
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

// say puts texts, quantities and words, in their order, in the place of each {} of a form.
func say(form string, args ...any) Text {
	var t Text
	pieces := strings.Split(form, "{}")
	if len(pieces) != len(args)+1 {
		panic("practice: " + form + ": as many {} as there are arguments")
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
			panic("practice: " + form + ": an argument is neither text nor quantity")
		}
	}
	return t
}

func celsius(c float64) Quantity         { return Quantity{Kind: Temperature, Value: c} }
func kelvins(k float64) Quantity         { return Quantity{Kind: Step, Value: k} }
func humidity(share float64) Quantity    { return Quantity{Kind: Humidity, Value: share} }
func pascals(p float64) Quantity         { return Quantity{Kind: Vapour, Value: p} }
func metresASecond(v float64) Quantity   { return Quantity{Kind: Speed, Value: v} }
func thick(m float64) Quantity           { return Quantity{Kind: Thickness, Value: m} }
func spell(s float64) Quantity           { return Quantity{Kind: Spell, Value: s} }
func between(low, high float64) Quantity { return Quantity{Kind: Between, Value: low, To: high} }
func flux(j float64) Quantity            { return Quantity{Kind: Flux, Value: j} }
func water(m float64) Quantity           { return Quantity{Kind: Water, Value: m} }
func share(x float64) Quantity           { return Quantity{Kind: Share, Value: x} }
func times(x float64) Quantity           { return Quantity{Kind: Times, Value: x} }
func metres(l float64) Quantity          { return Quantity{Kind: Length, Value: l} }
func squareMetres(a float64) Quantity    { return Quantity{Kind: Area, Value: a} }
func workRate(r float64) Quantity        { return Quantity{Kind: Pace, Value: r} }

func clock(t, day time.Time) Quantity { return Quantity{Kind: Clock, At: t, Day: day} }
func clocks(from, to, day time.Time) Quantity {
	return Quantity{Kind: Clocks, At: from, Until: to, Day: day}
}
