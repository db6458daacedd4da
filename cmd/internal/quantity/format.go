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
	name := k.Unit(u)
	if name == "" {
		name = k.units[0].name
	}
	un, _ := k.unit(name)
	return fixed(un.fromBase(v), decimals) + " " + name
}

// FormatStep writes a temperature difference in kelvins for people: "3.0 K",
// or "5.4 F (3.0 K)".
func FormatStep(kelvins float64, u Units, decimals int) string {
	if u == US {
		return fixed(kelvins*9/5, decimals) + " F (" + fixed(kelvins, decimals) + " K)"
	}
	return fixed(kelvins, decimals) + " K"
}

func fixed(x float64, decimals int) string {
	// Half away from zero, as a person rounds.
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
	s := strconv.FormatFloat(x, 'g', digits, 64)
	r, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return s
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}
