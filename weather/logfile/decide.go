package logfile

import (
	"strings"
	"time"
)

// Decimal is the mark between units and tenths.
type Decimal string

// The decimal marks.
const (
	Point Decimal = "point"
	Comma Decimal = "comma"
)

// DateOrder is which part of a date comes first.
type DateOrder string

// The orders: day, month, year; month, day, year; year, month, day.
const (
	DayFirst   DateOrder = "day"
	MonthFirst DateOrder = "month"
	YearFirst  DateOrder = "year"
)

// TempUnit is the unit of the temperature column.
type TempUnit string

// The units of temperature.
const (
	Celsius    TempUnit = "C"
	Fahrenheit TempUnit = "F"
	Kelvin     TempUnit = "K"
)

// HumidityUnit is the unit of the humidity column.
type HumidityUnit string

// The units of relative humidity: 0 to 100, 0 to 1.
const (
	Percent  HumidityUnit = "%"
	FromZero HumidityUnit = "fraction"
)

// Options pin decisions. The zero value leaves everything to the file, and judges all of it.
type Options struct {
	// At is the moment that is asked about: up to it the readings are judged. Where those after it cannot be believed, they are
	// left out from there on, with a note. Zero: all are judged.
	At time.Time

	Delimiter    rune // one of , ; TAB |
	Decimal      Decimal
	DateOrder    DateOrder
	Zone         *time.Location // of times that say no offset, as the user states it
	SiteZone     *time.Location // the same where nobody states it: the zone of the place
	TempUnit     TempUnit
	HumidityUnit HumidityUnit

	// Columns by their name in the header, or by their number from 1. A date
	// and a time of day in two columns are "NAME + NAME".
	TimeColumn, TempColumn, HumidityColumn string
}

// check refuses pins that mean nothing.
func (o Options) check(name string) error {
	bad := func(opt Option, pinned, found string) error {
		return &PinError{At: At{File: name}, Option: opt, Pinned: pinned, Found: found}
	}
	if o.Delimiter != 0 && !strings.ContainsRune(delimiters, o.Delimiter) {
		return bad(OptDelimiter, string(o.Delimiter), "it is one of comma, semicolon, tab and bar")
	}
	switch o.Decimal {
	case "", Point, Comma:
	default:
		return bad(OptDecimal, string(o.Decimal), "it is point or comma")
	}
	switch o.DateOrder {
	case "", DayFirst, MonthFirst, YearFirst:
	default:
		return bad(OptDateOrder, string(o.DateOrder), "it is day, month or year")
	}
	switch o.TempUnit {
	case "", Celsius, Fahrenheit, Kelvin:
	default:
		return bad(OptTempUnit, string(o.TempUnit), "it is C, F or K")
	}
	switch o.HumidityUnit {
	case "", Percent, FromZero:
	default:
		return bad(OptHumidityUnit, string(o.HumidityUnit), "it is % or fraction")
	}
	return nil
}

// Decisions is how a file was read. A field is empty where the file left
// nothing to decide.
type Decisions struct {
	Rows           int // readings
	Encoding       string
	Delimiter      rune
	Decimal        Decimal   // empty: no number has a decimal mark
	DateOrder      DateOrder // empty: the times are numbers
	Zone           string    // for people: +05:00, a zone's name, or what kind of number the times are
	TempUnit       TempUnit
	TempUnitStated bool // false: C was assumed
	HumidityUnit   HumidityUnit

	TimeColumn, TempColumn, HumidityColumn string

	zone *time.Location // nil where the times are instants by themselves
}

// String is one line: read 998 rows; comma; decimal point; year first; +05:00; F; %.
func (d Decisions) String() string {
	parts := []string{"read " + count(d.Rows, "row")}
	if d.Encoding != utf8Text {
		parts = append(parts, d.Encoding)
	}
	parts = append(parts, delimiterName(d.Delimiter))
	if d.Decimal != "" {
		parts = append(parts, "decimal "+string(d.Decimal))
	}
	if d.DateOrder != "" {
		parts = append(parts, string(d.DateOrder)+" first")
	}
	unit := string(d.TempUnit)
	if !d.TempUnitStated {
		unit += " (not stated)"
	}
	return strings.Join(append(parts, d.Zone, unit, string(d.HumidityUnit)), "; ")
}

// Pins are the options under which the same file is read the same way, and
// another of its kind likewise or not at all.
func (d Decisions) Pins() Options {
	return Options{
		Delimiter: d.Delimiter, Decimal: d.Decimal, DateOrder: d.DateOrder, Zone: d.zone,
		TempUnit: d.TempUnit, HumidityUnit: d.HumidityUnit,
		TimeColumn: d.TimeColumn, TempColumn: d.TempColumn, HumidityColumn: d.HumidityColumn,
	}
}

func delimiterName(r rune) string {
	switch r {
	case ',':
		return "comma"
	case ';':
		return "semicolon"
	case '\t':
		return "tab"
	case '|':
		return "bar"
	}
	return string(r)
}
