package fetch

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Kind is a kind of quantity in an answer: the units it may come in and the range it can have.
type Kind struct {
	name     string
	unit     string  // of min, max and what comes out
	min, max float64 // anything outside is a slip of unit or of a digit
	units    map[string]line
}

// line takes a unit to that of the kind: factor times the number, plus offset.
type line struct{ factor, offset float64 }

const (
	knot = 1852.0 / 3600   // m/s, exact
	mile = 1609.344 / 3600 // m/s by mile an hour, exact
	inch = 25.4            // mm, exact
)

// The kinds. Ranges are a little wider than the records of the Earth's surface
// (from memory, no source), but for humidity, which some services give as up to 105 %.
var (
	Temperature = Kind{"temperature", "C", -95, 65, map[string]line{
		"C": {1, 0}, "°C": {1, 0}, "celsius": {1, 0}, "degC": {1, 0}, "Cel": {1, 0},
		"F": {5. / 9, -160. / 9}, "°F": {5. / 9, -160. / 9}, "fahrenheit": {5. / 9, -160. / 9}, "degF": {5. / 9, -160. / 9},
		"K": {1, -273.15}, "kelvin": {1, -273.15}}}
	Humidity = Kind{"relative humidity", "%", 0, 105, map[string]line{"%": {1, 0}, "percent": {1, 0}}}
	Share    = Kind{"share", "of 1", 0, 1, map[string]line{"%": {.01, 0}, "percent": {.01, 0}}}
	Speed    = Kind{"wind", "m/s", 0, 150, map[string]line{
		"m/s": {1, 0}, "m s-1": {1, 0}, "m_s-1": {1, 0}, "ms": {1, 0},
		"km/h": {1 / 3.6, 0}, "km_h-1": {1 / 3.6, 0}, "kmh": {1 / 3.6, 0},
		"mph": {mile, 0}, "mp/h": {mile, 0}, "kn": {knot, 0}, "kt": {knot, 0}, "knots": {knot, 0}}}
	Pressure = Kind{"pressure", "Pa", 40e3, 110e3, map[string]line{
		"Pa": {1, 0}, "hPa": {100, 0}, "mbar": {100, 0}, "kPa": {1000, 0}}}
	Rain      = Kind{"rain", "mm", 0, 1000, map[string]line{"mm": {1, 0}, "inch": {inch, 0}, "in": {inch, 0}}}
	Direction = Kind{"wind direction", "degrees", 0, 360, map[string]line{
		"degrees": {1, 0}, "degree": {1, 0}, "°": {1, 0}, "degree_(angle)": {1, 0}, "deg": {1, 0}}}
	Length = Kind{"height", "m", -500, 9000, map[string]line{"m": {1, 0}, "ft": {0.3048, 0}}}
)

// SI is the number in the kind's own unit: C, %, m/s, Pa, mm, degrees, m, or a share of
// 1. A unit may carry a name space, as in "wmoUnit:degC". A missing number stays missing whatever
// its unit. The error is a *[DecodeError] for a unit that is not known and for a value
// that cannot be; where says where it stands.
func (k Kind) SI(n Number, unit, where string) (Number, error) {
	if !n.OK {
		return Number{}, nil
	}
	tail := unit[strings.LastIndex(unit, ":")+1:]
	by, known := k.units[tail]
	if !known {
		return Number{}, &DecodeError{Where: where, What: fmt.Sprintf("the unit %q of its %s is not known, and is not guessed", printable(unit, 30), k.name)}
	}
	v := n.V*by.factor + by.offset
	if !(v >= k.min && v <= k.max) {
		return Number{}, &DecodeError{Where: where, What: fmt.Sprintf("a %s of %.5g %s cannot be", k.name, v, k.unit)}
	}
	return Number{v, true}, nil
}

// MaxDecimals is the finest that coordinates are sent: some 11 m.
const MaxDecimals = 4

// Coordinate is a latitude or longitude, in degrees, as it is sent: rounded to so many decimals,
// never more than [MaxDecimals], a point before them, no zeros at the end. Two decimals are some 1 km.
func Coordinate(degrees float64, decimals int) string {
	scale := math.Pow10(min(max(decimals, 0), MaxDecimals))
	v := math.Round(degrees*scale) / scale
	if v == 0 {
		v = 0 // not -0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
