package view

import (
	"fmt"
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
	message.Spread:      {kind: quantity.Spread, digits: [2]int{3, 3}},
	message.Length:      {kind: quantity.Length, digits: [2]int{1, 1}, trimmed: true},
	message.Area:        {kind: quantity.Area, digits: [2]int{1, 0}, trimmed: true},
	message.Whole:       {kind: quantity.Area, digits: [2]int{0, 0}},
	message.Volume:      {kind: quantity.Volume, digits: [2]int{0, 0}},
	message.Pace:        {kind: quantity.WorkRate, digits: [2]int{0, 0}},
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
		digits := f.digits[p.Units]
		if f.trimmed {
			digits = decimals(v, digits)
		}
		return quantity.Format(f.kind, v, p.Units, digits)
	}
	us := p.Units == quantity.US
	switch q.Kind {
	case message.Step:
		return quantity.FormatStep(v, p.Units, decimals(v, 1))
	case message.Humidity:
		return strings.TrimSuffix(fmt.Sprintf("%.1f", 100*v), ".0") + " %"
	case message.Share:
		return fmt.Sprintf("%.0f %%", 100*v)
	case message.Thickness:
		return p.thickness(v)
	case message.Minutes:
		return fmt.Sprintf("%.0f min", towards(v/60, q.Edge))
	case message.Hours:
		return fmt.Sprintf("%.1f h", v/3600)
	case message.Age:
		return age(v)
	case message.Flux:
		if us {
			return quantity.Format(quantity.Spread, v*3600, p.Units, 4) + " an hour"
		}
		return fmt.Sprintf("%.0f g/m2 an hour", v*3.6e6)
	case message.Water:
		if us {
			return quantity.Format(quantity.Spread, v, p.Units, 4)
		}
		return fmt.Sprintf("%.0f g/m2", v*1000)
	case message.Times:
		return fmt.Sprintf("%.1f times", v)
	case message.Rain:
		if us {
			return fmt.Sprintf("%.2f in/h", v/25.4)
		}
		return fmt.Sprintf("%.1f mm/h", v)
	case message.Count:
		return fmt.Sprintf("%.0f", v)
	}
	panic("view: a quantity of no kind: " + string(q.Kind))
}

// thickness is that of a wet coat: three digits, no closing zeros ("0.2 mm", "0.075 mm", "7.9 mil").
func (p Printer) thickness(m float64) string {
	if p.Units == quantity.US {
		return quantity.Format(quantity.Thickness, m, p.Units, 1)
	}
	return quantity.Short(quantity.Thickness, significant(m, 3), p.Units)
}

// decimals are those that a value needs, up to most: none of a whole one.
func decimals(v float64, most int) int {
	if math.Abs(v-math.Round(v)) < 1e-3 { // nothing here is known, or worked out, to that
		return 0
	}
	return most
}

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

// Date is a day of the year, with the year where it is another than the reader's.
func (p Printer) Date(t time.Time) string { return p.date(t, "2 Jan") }

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
