package view

import (
	"math"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/drying/message"
)

// Printer writes quantities, moments and spells for one reader.
type Printer struct {
	Units quantity.Units
	Day   time.Time // the day whose weekday is left out; its zone is the clock's
	// Keep writes the blanks inside a quantity as U+00A0, for a writer that breaks lines.
	Keep bool
}

// noBreak is a blank at which no line is broken.
const noBreak = "\u00a0"

// Unknown stands for a value, a moment or a date that is not known.
const Unknown = "not known"

// form is how a kind is written: in a unit, with decimals by Units; a whole number has none where it is trimmed.
type form struct {
	kind    *quantity.Kind
	digits  [2]int
	trimmed bool
}

// forms are the kinds that are a number with its unit.
var forms = map[message.Kind]form{
	message.Temperature: {kind: quantity.Temperature, digits: [2]int{1, 1}, trimmed: true},
	message.Vapour:      {kind: quantity.Pressure, digits: [2]int{1, 2}},
	message.Pressure:    {kind: quantity.Pressure, digits: [2]int{0, 2}},
	message.Speed:       {kind: quantity.Speed, digits: [2]int{1, 1}},
	message.Altitude:    {kind: quantity.Altitude, digits: [2]int{0, 0}},
	message.Distance:    {kind: quantity.Distance, digits: [2]int{0, 0}},
	message.Spread:      {kind: quantity.Spread, digits: [2]int{3, 3}},
	message.Length:      {kind: quantity.Length, digits: [2]int{1, 1}, trimmed: true},
	message.Along:       {kind: quantity.Length, digits: [2]int{2, 2}},
	message.Area:        {kind: quantity.Area, digits: [2]int{1, 0}, trimmed: true},
	message.Whole:       {kind: quantity.Area, digits: [2]int{0, 0}},
	message.Volume:      {kind: quantity.Volume, digits: [2]int{0, 0}},
	message.Pace:        {kind: quantity.WorkRate, digits: [2]int{0, 0}},
}

// write writes v, in the kind's base unit. A number that is whole as it is printed has no decimals.
func (f form) write(v float64, u quantity.Units) string {
	if f.trimmed && whole(quantity.In(f.kind, v, u)) {
		return quantity.Format(f.kind, v, u, 0)
	}
	return quantity.Format(f.kind, v, u, f.digits[u])
}

const litresPerQuart = 0.946352946 // US liquid

// coarse is how many decimals an amount of material has.
func coarse(v float64) int {
	if v < 10 {
		return 1
	}
	return 0
}

// beyond is what no quantity of a building site comes to, in any unit.
const beyond = 1e12

// Text writes a text.
func (p Printer) Text(t message.Text) string { return t.Format(p.Quantity) }

// Quantity writes a quantity.
func (p Printer) Quantity(q message.Quantity) string { return p.together(p.quantity(q)) }

func (p Printer) together(s string) string {
	if p.Keep {
		s = strings.ReplaceAll(s, " ", noBreak)
	}
	return s
}

func (p Printer) quantity(q message.Quantity) string {
	switch q.Kind {
	case message.Clock:
		return p.clock(p.shown(q, q.At))
	case message.Clocks:
		return p.clock(p.shown(q, q.At)) + " and " + p.clock(p.shown(q, q.Until))
	case message.Due:
		t := p.shown(q, q.At)
		if !p.Day.IsZero() && t.Sub(p.Day) > week-24*time.Hour {
			return p.date(t, "2 Jan")
		}
		return p.clock(t)
	case message.Date:
		return p.date(q.At, "2 Jan")
	case message.TimeOfDay:
		return p.date(q.At, "15:04")
	case message.Weekday:
		return p.date(q.At, "Mon 2 Jan")
	case message.Moment:
		return p.date(q.At, "Mon 2 Jan 15:04")
	case message.Spell:
		if q.Edge == message.Begins && q.Value < 60 {
			return atOnce
		}
		return p.Spell(q.Value)
	case message.Between:
		return p.Between(q.Value, q.To)
	case message.After:
		return AfterLaying(q.Value, q.Edge, false)
	}
	v := q.Value
	if math.IsNaN(v) || math.Abs(v) > beyond {
		return Unknown
	}
	if f, ok := forms[q.Kind]; ok {
		return f.write(v, p.Units)
	}
	us := p.Units == quantity.US
	switch q.Kind {
	case message.Step:
		if us {
			return tenths(v*9/5) + " F (" + tenths(v) + " K)"
		}
		return tenths(v) + " K"
	case message.Humidity:
		return strings.TrimSuffix(quantity.Fixed(100*v, 1), ".0") + " %"
	case message.Share:
		return quantity.Fixed(100*v, 0) + " %"
	case message.Thickness:
		return p.thickness(v)
	case message.Minutes:
		return quantity.Fixed(towards(v/60, q.Edge), 0) + " min"
	case message.Hours:
		return quantity.Fixed(v/3600, 1) + " h"
	case message.Age:
		return age(v)
	case message.Flux:
		if us {
			return quantity.Format(quantity.Spread, v*3600, p.Units, 4) + " an hour"
		}
		return quantity.Fixed(v*3.6e6, 0) + " g/m2 an hour"
	case message.Water:
		if us {
			return quantity.Format(quantity.Spread, v, p.Units, 4)
		}
		return quantity.Fixed(v*1000, 0) + " g/m2"
	case message.Times:
		return quantity.Fixed(v, 1) + " times"
	case message.Mass:
		return quantity.Format(quantity.Mass, v, p.Units, coarse(quantity.In(quantity.Mass, v, p.Units)))
	case message.Bucket:
		if us {
			return quantity.Fixed(v/litresPerQuart, coarse(v/litresPerQuart)) + " qt"
		}
		return quantity.Fixed(v, coarse(v)) + " l"
	case message.Rain:
		if us {
			return quantity.Fixed(v/25.4, 2) + " in/h"
		}
		return quantity.Fixed(v, 1) + " mm/h"
	case message.Count:
		return quantity.Fixed(v, 0)
	}
	panic("view: a quantity of no kind: " + string(q.Kind))
}

// thickness is that of a wet coat: three digits, of mils to the tenth, no closing zeros ("0.2 mm", "0.075 mm", "7.9 mil").
func (p Printer) thickness(m float64) string {
	n := quantity.In(quantity.Thickness, m, p.Units)
	told := significant(n, 3)
	if p.Units == quantity.US && math.Abs(n) >= 1 {
		told = math.Round(10*n) / 10
	}
	if n != 0 {
		m *= told / n
	}
	return quantity.Short(quantity.Thickness, m, p.Units)
}

// tenths writes a number to the tenth; one that is whole has none. Of what is worked out, 14.04 is 14.0: it is not known to be whole.
func tenths(v float64) string {
	if whole(v) {
		return quantity.Fixed(v, 0)
	}
	return quantity.Fixed(v, 1)
}

// whole reports whether a number is one: nothing here is known, or worked out, to a thousandth.
func whole(v float64) bool { return math.Abs(v-math.Round(v)) < 1e-3 }

// significant rounds to so many digits.
func significant(x float64, digits int) float64 {
	if x == 0 {
		return 0
	}
	p := math.Pow(10, float64(digits-1)-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*p) / p
}

// shown rounds a moment of a text by its edge.
func (p Printer) shown(q message.Quantity, t time.Time) time.Time {
	return Time{At: t, Edge: q.Edge, Grain: q.Grain}.Shown()
}

// clock is the time of day, with the weekday where it is another day's, and with the date where it is over six days away.
func (p Printer) clock(t time.Time) string {
	if t.IsZero() {
		return Unknown
	}
	t = p.here(t)
	switch {
	case p.Day.IsZero():
		return t.Format("Mon 15:04")
	case t.Format(time.DateOnly) == p.Day.Format(time.DateOnly):
		return t.Format("15:04")
	case t.Sub(p.Day).Abs() > week-24*time.Hour:
		return p.date(t, "2 Jan 15:04")
	}
	return t.Format("Mon 15:04")
}

const week = 7 * 24 * time.Hour

func (p Printer) date(t time.Time, layout string) string {
	if t.IsZero() {
		return Unknown
	}
	t = p.here(t)
	if !p.Day.IsZero() && t.Year() != p.Day.Year() {
		layout = strings.Replace(layout, "Jan", "Jan 2006", 1)
	}
	return t.Format(layout)
}

func (p Printer) here(t time.Time) time.Time {
	if p.Day.IsZero() {
		return t
	}
	return t.In(p.Day.Location())
}
