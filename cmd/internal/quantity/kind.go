package quantity

import (
	"fmt"
	"slices"
	"strings"
)

// Units says how a bare number is read and how people are answered.
type Units int

// The two sets of units.
const (
	Metric Units = iota // C, m, mm, m/s, kg/m2, hPa
	US                  // F, ft, mil, mph, lb/ft2, inHg
)

// String is the word used at --units and in a job file.
func (u Units) String() string {
	if u == US {
		return "us"
	}
	return "metric"
}

// ParseUnits reads "metric" or "us".
func ParseUnits(s string) (Units, error) {
	switch strings.ToLower(s) {
	case "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, &Error{Text: s, Reason: fmt.Sprintf("%q is not a set of units; use metric or us", s), Expected: "metric or us"}
}

// unit turns a number of itself into the kind's base unit: base = (x + shift) * scale.
type unit struct {
	name  string   // as printed
	also  []string // other spellings accepted
	scale float64
	shift float64
}

func (u unit) toBase(x float64) float64   { return (x + u.shift) * u.scale }
func (u unit) fromBase(b float64) float64 { return b/u.scale - u.shift }

func (u unit) is(name string) bool {
	return strings.EqualFold(u.name, name) || slices.ContainsFunc(u.also, func(a string) bool { return strings.EqualFold(a, name) })
}

// Kind is a physical quantity with the units it is written in. Values are held
// in its base unit, the first of its doc comment below.
type Kind struct {
	name   string
	units  []unit
	metric string // unit of a bare number and of text, by Units
	us     string
}

// String is the quantity's name in plain words.
func (k *Kind) String() string { return k.name }

// a is the quantity's name with its article.
func (k *Kind) a() string {
	if strings.ContainsRune("aeiou", rune(k.name[0])) {
		return "an " + k.name
	}
	return "a " + k.name
}

// UnitNames lists the accepted units, e.g. "C, F or K".
func (k *Kind) UnitNames() string {
	names := make([]string, len(k.units))
	for i, u := range k.units {
		names[i] = u.name
	}
	return orList(names)
}

// Unit is the unit that a bare number has, and that text is printed in.
func (k *Kind) Unit(u Units) string {
	if u == US {
		return k.us
	}
	return k.metric
}

func (k *Kind) unit(name string) (unit, bool) {
	for _, u := range k.units {
		if u.is(name) {
			return u, true
		}
	}
	return unit{}, false
}

// Exact by definition; see the package comment for the sources.
const (
	metrePerFoot    = 0.3048
	metrePerMil     = 0.3048 / 12 / 1000
	kilogramPerLb   = 0.45359237
	pascalPerInHg   = 13595.1 * 9.80665 * 0.0254
	metrePerMile    = 5280 * metrePerFoot
	metrePerSeaMile = 1852
)

// The kinds, each with its base unit.
var (
	// Temperature in degrees Celsius. ITS-90: 0 C = 273.15 K; 1 F step = 5/9 K, 32 F = 0 C.
	Temperature = &Kind{"temperature", []unit{
		{"C", []string{"°C", "degC"}, 1, 0}, {"F", []string{"°F", "degF"}, 5.0 / 9, -32}, {"K", nil, 1, -273.15}}, "C", "F"}
	// Humidity: relative humidity over liquid water, in percent.
	Humidity = &Kind{"relative humidity", []unit{{"%", []string{"%RH"}, 1, 0}}, "%", "%"}
	// Moisture: water in a wall, in percent as the instrument that measured it has them.
	Moisture = &Kind{"moisture", []unit{{"%", nil, 1, 0}}, "%", "%"}
	// Pressure in pascals.
	Pressure = &Kind{"air pressure", []unit{
		{"Pa", nil, 1, 0}, {"hPa", []string{"mbar"}, 100, 0}, {"kPa", nil, 1000, 0}, {"inHg", nil, pascalPerInHg, 0}}, "hPa", "inHg"}
	// Length in metres: altitudes, heights and widths.
	Length = &Kind{"length", []unit{{"m", nil, 1, 0}, {"ft", nil, metrePerFoot, 0}}, "m", "ft"}
	// Altitude in metres above the sea.
	Altitude = &Kind{"altitude", []unit{{"m", nil, 1, 0}, {"ft", nil, metrePerFoot, 0}}, "m", "ft"}
	// Distance over land, in metres.
	Distance = &Kind{"distance", []unit{{"km", nil, 1000, 0}, {"mi", nil, metrePerMile, 0}}, "km", "mi"}
	// Thickness of a film or coat, in metres.
	Thickness = &Kind{"thickness", []unit{{"mm", nil, 1e-3, 0}, {"mil", nil, metrePerMil, 0}}, "mm", "mil"}
	// Speed of the air, in metres per second.
	Speed = &Kind{"air speed", []unit{
		{"m/s", nil, 1, 0}, {"km/h", nil, 1 / 3.6, 0}, {"mph", nil, metrePerMile / 3600, 0}, {"kn", nil, metrePerSeaMile / 3600.0, 0}}, "m/s", "mph"}
	// Spread of a material over an area, in kilograms per square metre.
	Spread = &Kind{"spread", []unit{
		{"kg/m2", []string{"kg/m²"}, 1, 0}, {"lb/ft2", []string{"lb/ft²"}, kilogramPerLb / (metrePerFoot * metrePerFoot), 0}}, "kg/m2", "lb/ft2"}
	// Mass in kilograms.
	Mass = &Kind{"mass", []unit{{"kg", nil, 1, 0}, {"g", nil, 1e-3, 0}, {"lb", nil, kilogramPerLb, 0}}, "kg", "lb"}
	// Area in square metres.
	Area = &Kind{"area", []unit{{"m2", []string{"m²"}, 1, 0}, {"ft2", []string{"ft²"}, metrePerFoot * metrePerFoot, 0}}, "m2", "ft2"}
	// Volume of a room, in cubic metres.
	Volume = &Kind{"volume", []unit{
		{"m3", []string{"m³"}, 1, 0}, {"ft3", []string{"ft³"}, metrePerFoot * metrePerFoot * metrePerFoot, 0}}, "m3", "ft3"}
	// WorkRate is the rate of work of one hand, in square metres per hour of one pass.
	WorkRate = &Kind{"rate of work", []unit{
		{"m2/h", []string{"m²/h"}, 1, 0}, {"ft2/h", []string{"ft²/h"}, metrePerFoot * metrePerFoot, 0}}, "m2/h", "ft2/h"}
	// Waste: material mixed that does not stay on the wall, in percent.
	Waste = &Kind{"waste", []unit{{"%", nil, 1, 0}}, "%", "%"}
	// Duration in seconds. A bare number is refused: it has no usual unit.
	Duration = &Kind{"duration", []unit{
		{"s", nil, 1, 0}, {"min", nil, 60, 0}, {"h", nil, 3600, 0}}, "", ""}
	// Wait in seconds: between coats. A bare number is refused.
	Wait = &Kind{"wait", []unit{{"d", []string{"day", "days"}, 86400, 0}, {"h", nil, 3600, 0}}, "", ""}
)

// orList joins words as "a, b or c".
func orList(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
}
