package diary

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"limeday/cmd/internal/quantity"
)

// Type says what a field holds.
type Type int

// The types of fields, with what Data holds for them.
const (
	Quantity Type = iota // float64 in the base unit of its quantity.Kind
	Count                // float64, a whole number
	Text                 // string
	Choice               // string, one of a few words
	Flag                 // bool
	Date                 // string, 2026-04-14
	Moment               // string, RFC 3339
)

// Field is one thing that a kind of entry can say.
type Field struct {
	Name     string
	Type     Type
	Quantity *quantity.Kind // of a Quantity
	Valid    quantity.Range // of a Quantity in its base unit, or of a Count
	Words    []string       // of a Choice
	Required bool
	Meaning  string // one line, no full stop
}

// units are the suffixes of names in the file, and how many of that unit the base unit is.
var units = map[*quantity.Kind]struct {
	suffix string
	per    float64
}{
	quantity.Temperature: {"_c", 1},
	quantity.Humidity:    {"_pct", 1},
	quantity.Moisture:    {"_pct", 1},
	quantity.Pressure:    {"_pa", 1},
	quantity.Thickness:   {"_mm", 1000},
	quantity.Speed:       {"_m_per_s", 1},
	quantity.Spread:      {"_kg_per_m2", 1},
	quantity.Mass:        {"_kg", 1},
	quantity.Area:        {"_m2", 1},
	quantity.Duration:    {"_s", 1},
}

// Key is the field's name in the file, with its unit: "temp_c".
func (f Field) Key() string {
	if f.Type != Quantity {
		return f.Name
	}
	return f.Name + units[f.Quantity].suffix
}

// toFile turns a value of Data into that of the file, and fromFile back.
func (f Field) toFile(v any) any {
	if x, ok := v.(float64); ok && f.Type == Quantity && units[f.Quantity].per != 1 {
		// Twelve digits hide the round-off of the change of unit: 0.2 and not 0.20000000000000001.
		r, err := strconv.ParseFloat(strconv.FormatFloat(x*units[f.Quantity].per, 'g', 12, 64), 64)
		if err == nil {
			return r
		}
	}
	return v
}

func (f Field) fromFile(v any) any {
	if x, ok := v.(float64); ok && f.Type == Quantity {
		return x / units[f.Quantity].per
	}
	return v
}

// longest is how many bytes a text may have.
const longest = 4000

// Parse reads a value as it is typed: a bare number follows u, and moment reads a time of day. A refusal is an
// [*EntryError] that names the field.
func (f Field) Parse(text string, u quantity.Units, moment func(string) (time.Time, error)) (any, error) {
	refuse := func(expected, format string, args ...any) (any, error) {
		return nil, &EntryError{Field: f.Name, Message: fmt.Sprintf(format, args...), Expected: expected}
	}
	text = strings.TrimSpace(text)
	if text == "" {
		return refuse(f.Wanted(u), "it is empty; give %s, or leave it out", f.Wanted(u))
	}
	var v any
	switch f.Type {
	case Quantity:
		x, err := quantity.Parse(f.Quantity, text, u, f.Valid)
		if err != nil {
			return refuse(f.Wanted(u), "%s", err)
		}
		v = x
	case Count:
		n, err := strconv.Atoi(text)
		if err != nil {
			return refuse(f.Wanted(u), "%q is not a whole number; give %s", text, f.Wanted(u))
		}
		v = float64(n)
	case Flag:
		b, known := map[string]bool{"yes": true, "no": false, "true": true, "false": false}[strings.ToLower(text)]
		if !known {
			return refuse(f.Wanted(u), "%q is neither yes nor no; give one of them", text)
		}
		v = b
	case Moment:
		t, err := moment(text)
		if err != nil {
			return nil, err
		}
		v = t.Format(time.RFC3339)
	default:
		v = text
	}
	if err := f.check(v); err != nil {
		return nil, err
	}
	return v, nil
}

// check refuses what cannot be a value of the field in Data.
func (f Field) check(v any) error {
	refuse := func(format string, args ...any) error {
		return &EntryError{Field: f.Name, Message: fmt.Sprintf(format, args...), Expected: f.Wanted(quantity.Metric)}
	}
	switch f.Type {
	case Quantity, Count:
		x, ok := v.(float64)
		switch {
		case !ok || math.IsNaN(x) || math.IsInf(x, 0) || f.Type == Count && x != math.Trunc(x):
			return refuse("%v is not a number; give %s", v, f.Wanted(quantity.Metric))
		case f.Type == Count && !f.Valid.Contains(x):
			return refuse("%.0f is outside %s", x, f.Wanted(quantity.Metric))
		case !f.Valid.Contains(x):
			return refuse("%s is outside %s", quantity.Short(f.Quantity, x, quantity.Metric), f.Wanted(quantity.Metric))
		}
		return nil
	case Flag:
		if _, ok := v.(bool); !ok {
			return refuse("%v is neither yes nor no", v)
		}
		return nil
	}
	s, ok := v.(string)
	if !ok || s == "" {
		return refuse("%v is no text; give %s", v, f.Wanted(quantity.Metric))
	}
	switch f.Type {
	case Choice:
		if !slices.Contains(f.Words, s) {
			return refuse("%s", quantity.Unknown(strings.ReplaceAll(f.Name, "_", " "), s, f.Words).Reason)
		}
	case Date:
		if _, err := time.Parse(time.DateOnly, s); err != nil {
			return refuse("%q is not a day; give it as year-month-day, such as 2026-04-14", s)
		}
	case Moment:
		if _, err := time.Parse(time.RFC3339, s); err != nil {
			return refuse("%q is not a moment; give it as 2026-04-14T06:30:00+01:00", s)
		}
	default:
		return checkText(f.Name, s)
	}
	return nil
}

func checkText(field, s string) error {
	if !utf8.ValidString(s) {
		return &EntryError{Field: field, Message: "it is not UTF-8 text; type it again", Expected: "text"}
	}
	if len(s) > longest {
		return &EntryError{Field: field, Message: fmt.Sprintf("it has %d bytes and may have %d; put the rest into another entry", len(s), longest), Expected: "text"}
	}
	return nil
}

// Wanted says what the field takes, for a refusal or the help.
func (f Field) Wanted(u quantity.Units) string {
	switch f.Type {
	case Quantity:
		return f.Valid.Text(f.Quantity, u)
	case Count:
		return fmt.Sprintf("a whole number from %.0f to %.0f", f.Valid.Min, f.Valid.Max)
	case Choice:
		return strings.Join(f.Words, ", ")
	case Flag:
		return "yes or no"
	case Date:
		return "a day, such as 2026-04-14"
	case Moment:
		return "a moment, such as 2026-04-14T06:30"
	}
	return "text"
}

// Show writes a value of Data for people, in u's units.
func (f Field) Show(v any, u quantity.Units) string {
	switch x := v.(type) {
	case bool:
		if x {
			return "yes"
		}
		return "no"
	case float64:
		if f.Type == Quantity {
			return quantity.Short(f.Quantity, x, u)
		}
	}
	if t, err := time.Parse(time.RFC3339, fmt.Sprint(v)); f.Type == Moment && err == nil {
		return t.Format("2006-01-02 15:04 -07:00")
	}
	return fmt.Sprint(v)
}
