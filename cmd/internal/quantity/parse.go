package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"limeday/cmd/internal/near"
)

// Error refuses one written quantity. Reason is a whole clause that names the
// offender; Expected says what is accepted.
type Error struct {
	Text     string
	Reason   string
	Expected string
}

func (e *Error) Error() string { return e.Reason }

// Range is what a value may be, in the kind's base unit. The zero Range
// accepts every finite number.
type Range struct {
	Min, Max float64
	Above    bool // Min itself is refused
}

// Contains reports whether v, in the kind's base unit, lies in the range.
func (r Range) Contains(v float64) bool {
	if r == (Range{}) {
		return true
	}
	return v >= r.Min && v <= r.Max && !(r.Above && v == r.Min)
}

// Text is the range in words, e.g. "-40 to 50 C" or "above 0, up to 60 mm".
func (r Range) Text(k *Kind, u Units) string {
	if k == Duration {
		u = Metric
	}
	un := k.printed(u)
	name := un.name
	// Rounding to six digits hides only the round-off of exact conversions.
	lo, hi := trim(un.fromBase(r.Min), 6), trim(un.fromBase(r.Max), 6)
	if r.Above {
		return fmt.Sprintf("above %s, up to %s %s", lo, hi, name)
	}
	return fmt.Sprintf("%s to %s %s", lo, hi, name)
}

var (
	number     = regexp.MustCompile(`^[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?`)
	bareDigits = regexp.MustCompile(`^\s*[+-]?[0-9]+\s*$`)
	comma      = regexp.MustCompile(`^([+-]?[0-9]+),([0-9]+)`)
)

// Parse reads s as a quantity of kind k and returns it in k's base unit. A
// bare number has the unit that u gives k. It refuses, with an [*Error], what
// is not a plain decimal number, an unknown unit, and a value outside r; where
// the same number would be in range in another unit, it asks whether that was
// meant.
func Parse(k *Kind, s string, u Units, r Range) (float64, error) {
	refuse := func(format string, args ...any) (float64, error) {
		return 0, &Error{Text: s, Reason: fmt.Sprintf(format, args...), Expected: expected(k, u, r)}
	}
	text := strings.TrimSpace(strings.ReplaceAll(s, "−", "-"))
	if text == "" {
		return refuse("the %s is empty; give %s", k, expected(k, u, r))
	}
	if m := comma.FindStringSubmatch(text); m != nil {
		return refuse("%q has a comma; write the decimals with a point: %s.%s", s, m[1], m[2])
	}
	digits := number.FindString(text)
	if digits == "" {
		return refuse("%q is not a number; give %s: %s", s, k.a(), expected(k, u, r))
	}
	x, err := strconv.ParseFloat(digits, 64)
	if err != nil || math.IsInf(x, 0) {
		return refuse("%q is too large to be %s; give %s", s, k.a(), expected(k, u, r))
	}
	name, bare := strings.TrimSpace(text[len(digits):]), false
	if name == "" {
		name, bare = k.Unit(u), true
		if name == "" {
			return refuse("%q needs a unit: %s", s, k.UnitNames())
		}
	}
	un, known := k.unit(name)
	if !known {
		return refuse("%q is not a unit of %s; use %s", name, k, k.UnitNames())
	}
	v := un.toBase(x)
	if math.IsInf(v, 0) {
		return refuse("%q is too large to be %s; give %s", s, k.a(), expected(k, u, r))
	}
	if r.Contains(v) {
		return v, nil
	}
	read := digits + un.name
	if len(un.name) > 1 {
		read = digits + " " + un.name
	}
	where := "is outside"
	if r.Above {
		where = "must be"
	}
	said := fmt.Sprintf("%s %s %s %s", k, read, where, r.Text(k, u))
	if bare && k != Humidity {
		said = fmt.Sprintf("%s %s, read as %s, %s %s", k, digits, read, where, r.Text(k, u))
	}
	if q := meant(k, digits, x, un, r); q != "" {
		return refuse("%s; did you mean %s?", said, q)
	}
	return refuse("%s", said)
}

// ParseList reads a comma-separated list, each item as [Parse] does. "1,5" may
// be one number with a decimal comma or two numbers, so an item of bare digits
// before another item is refused, not guessed at.
func ParseList(k *Kind, s string, u Units, r Range) ([]float64, error) {
	items := strings.Split(s, ",")
	out := make([]float64, 0, len(items))
	for i, item := range items {
		if i+1 < len(items) && bareDigits.MatchString(item) {
			return nil, &Error{Text: s, Expected: expected(k, u, r), Reason: fmt.Sprintf(
				"%q may be a decimal comma or a list; write decimals with a point and give every item its unit, as in 0.2%[2]s,0.3%[2]s", s, k.Unit(u))}
		}
		v, err := Parse(k, item, u, r)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// meant looks for the unit in which the same number would have been in range.
// More than one, or none, and there is no question to ask.
func meant(k *Kind, digits string, x float64, not unit, r Range) string {
	if k == Humidity {
		if x > 0 && x < 1 && r.Contains(100*x) {
			return trim(100*x, 6) + "%"
		}
		return ""
	}
	found := ""
	for _, un := range k.units {
		if un.name == not.name || !r.Contains(un.toBase(x)) {
			continue
		}
		if found != "" {
			return ""
		}
		found = digits + un.name
	}
	return found
}

func expected(k *Kind, u Units, r Range) string {
	if r == (Range{}) {
		return fmt.Sprintf("a number in %s", k.UnitNames())
	}
	if len(k.units) == 1 {
		return r.Text(k, u)
	}
	return fmt.Sprintf("%s, in %s", r.Text(k, u), k.UnitNames())
}

// Unknown refuses a word that should have been one of names, nearest first.
// what says what the word is, e.g. "finish".
func Unknown(what, word string, names []string) *Error {
	e := &Error{Text: word, Expected: orList(names)}
	sorted := near.Sort(word, names)
	if best, ok := near.Best(word, names); ok {
		e.Reason = fmt.Sprintf("%q is not a known %s; did you mean %s? Known: %s", word, what, best, strings.Join(sorted, ", "))
	} else {
		e.Reason = fmt.Sprintf("%q is not a known %s; known: %s", word, what, strings.Join(sorted, ", "))
	}
	return e
}
