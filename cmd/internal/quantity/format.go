package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Format writes v, in k's base unit, for people: in u's unit, rounded to the
// given number of decimals, e.g. "14.0 C" or "29.92 inHg". A negative zero
// loses its sign.
func Format(k *Kind, v float64, u Units, decimals int) string {
	un := k.printed(u)
	return Fixed(un.fromBase(v), decimals) + " " + un.name
}

// In is v, in k's base unit, as a number of u's unit.
func In(k *Kind, v float64, u Units) float64 { return k.printed(u).fromBase(v) }

// Short writes v, in k's base unit, as it was written down: in u's unit, to six
// digits at most and without trailing zeros, e.g. "14 C" or "1.2345 kg".
func Short(k *Kind, v float64, u Units) string {
	un := k.printed(u)
	return trim(un.fromBase(v), 6) + " " + un.name
}

// printed is the unit that text is printed in.
func (k *Kind) printed(u Units) unit {
	if un, ok := k.unit(k.Unit(u)); ok {
		return un
	}
	return k.units[0]
}

// FormatStep writes a temperature difference in kelvins for people: "3.0 K",
// or "5.4 F (3.0 K)".
func FormatStep(kelvins float64, u Units, decimals int) string {
	if u == US {
		return Fixed(kelvins*9/5, decimals) + " F (" + Fixed(kelvins, decimals) + " K)"
	}
	return Fixed(kelvins, decimals) + " K"
}

// Fixed writes a number with so many decimals, half away from zero; a negative zero loses its sign.
func Fixed(x float64, decimals int) string {
	p := math.Pow(10, float64(decimals))
	if r := math.Round(x*p) / p; !math.IsInf(r, 0) && !math.IsNaN(r) {
		x = r
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// trim writes x to the given significant digits without trailing zeros.
func trim(x float64, digits int) string {
	if x == 0 {
		return "0" // of a negative one too
	}
	s := strconv.FormatFloat(x, 'g', digits, 64)
	r, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return s
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}
