package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"

	"limeday/cmd/internal/near"
	"limeday/cmd/internal/quantity"
)

// section reads one table key by key. Each reading method notes the key as
// known; done then reports the others.
type section struct {
	d     *decoder
	t     *table
	title string // as it stands in the file, e.g. "[[coat]]"; empty at the top
	units quantity.Units
	known []string
}

func (s *section) line() int { return s.t.line }

func (s *section) get(key string) (value, bool) {
	s.known = append(s.known, key)
	v, ok := s.t.values[key]
	return v, ok
}

func (s *section) in(key string) string {
	if s.title == "" {
		return key
	}
	return key + " in " + s.title
}

func (s *section) wrong(key string, v value, want string) {
	s.d.fault(v.line, want, "%s is %s; give %s", s.in(key), kindName(v.kind), want)
}

// done reports every key that was not asked for, nearest known name first.
func (s *section) done() {
	for _, key := range s.t.keys {
		if slices.Contains(s.known, key) {
			continue
		}
		v := s.t.values[key]
		what := "unknown key " + strconv.Quote(key)
		if v.kind == unstable.Table || v.kind == unstable.ArrayTable {
			what = "unknown section " + strconv.Quote(key)
		}
		if s.title != "" {
			what += " in " + s.title
		}
		want := strings.Join(near.Sort(key, s.known), ", ")
		if best, ok := near.Best(key, s.known); ok {
			s.d.fault(v.line, want, "%s; did you mean %q?", what, best)
		} else {
			s.d.fault(v.line, want, "%s; known here: %s", what, want)
		}
	}
}

// text reads a string; empty strings are refused.
func (s *section) text(key string) (string, value, bool) {
	v, ok := s.get(key)
	if !ok {
		return "", v, false
	}
	if v.kind != unstable.String {
		s.wrong(key, v, "text in double quotes")
		return "", v, false
	}
	if strings.TrimSpace(v.text) == "" {
		s.d.fault(v.line, "text", "%s is empty; give it a value or leave it out", s.in(key))
		return "", v, false
	}
	return v.text, v, true
}

// maxName is the most characters that a name has: more would be a text, and no drawing or table has room for it.
const maxName = 100

// name reads what something is called.
func (s *section) name(key string) (string, value, bool) {
	name, v, ok := s.text(key)
	if ok && !s.shortEnough(v.line, s.in(key), name) {
		return "", v, false
	}
	return name, v, ok
}

// shortEnough reports a name that is too long.
func (s *section) shortEnough(line int, what, name string) bool {
	n := utf8.RuneCountInString(name)
	if n > maxName {
		s.d.fault(line, fmt.Sprintf("a name of at most %d characters", maxName), "%s has %d characters; give a name of at most %d", what, n, maxName)
	}
	return n <= maxName
}

// word reads one of names; a nil list accepts any word.
func (s *section) word(key, what string, names []string) string {
	w, v, ok := s.text(key)
	if !ok {
		return ""
	}
	if names != nil && !slices.Contains(names, w) {
		e := quantity.Unknown(what, w, names)
		s.d.fault(v.line, e.Expected, "%s: %s", s.in(key), e.Reason)
		return ""
	}
	return w
}

// quantity reads a number with or without unit, in the kind's base unit.
func (s *section) quantity(key string, k *quantity.Kind, r quantity.Range) *float64 {
	v, ok := s.get(key)
	if !ok {
		return nil
	}
	return s.quantityOf(key, v, k, r)
}

func (s *section) quantityOf(key string, v value, k *quantity.Kind, r quantity.Range) *float64 {
	text, ok := s.written(key, v, k)
	if !ok {
		return nil
	}
	x, err := quantity.Parse(k, text, s.units, r)
	if err != nil {
		var e *quantity.Error
		if errors.As(err, &e) {
			s.d.fault(v.line, e.Expected, "%s: %s", s.in(key), e.Reason)
		}
		return nil
	}
	return &x
}

// written is a quantity's text, with or without unit.
func (s *section) written(key string, v value, k *quantity.Kind) (string, bool) {
	switch v.kind {
	case unstable.String:
		return v.text, true
	case unstable.Integer, unstable.Float:
		x, ok := s.finite(key, v)
		return strconv.FormatFloat(x, 'f', -1, 64), ok
	default:
		s.wrong(key, v, fmt.Sprintf("a number, or a number with its unit (%s) in double quotes", k.UnitNames()))
		return "", false
	}
}

// maxItems is the most that a list holds, and the most sections of one name in another.
const maxItems = 500

// list reads a list, or one value that stands for a list of one; an empty one is refused.
func (s *section) list(key, of string) []value {
	v, ok := s.get(key)
	switch {
	case !ok:
		return nil
	case v.kind != unstable.Array:
		return []value{v}
	case len(v.items) == 0:
		s.d.fault(v.line, of, "%s is an empty list; give %s, or leave it out", s.in(key), of)
	case len(v.items) > maxItems:
		s.d.fault(v.line, of, "%s is a list of %d; give %d at most", s.in(key), len(v.items), maxItems)
		return nil
	}
	return v.items
}

// span reads a time of day to a later one; what says when it is, in words.
func (s *section) span(key string, v value, what, of string) (Hours, bool) {
	var h Hours
	if v.kind != unstable.String {
		s.wrong(key, v, of)
		return h, false
	}
	m := spanReading.FindStringSubmatch(v.text)
	if m == nil {
		s.d.fault(v.line, of, "%s: %q does not say %s; give %s", s.in(key), v.text, what, of)
		return h, false
	}
	h.From.Hour, _ = strconv.Atoi(m[1]) // the pattern holds digits only
	h.From.Minute, _ = strconv.Atoi(m[2])
	h.To.Hour, _ = strconv.Atoi(m[3])
	h.To.Minute, _ = strconv.Atoi(m[4])
	if h.From.minutes() >= h.To.minutes() {
		s.d.fault(v.line, of, "%s: %q runs backwards; give %s", s.in(key), v.text, of)
		return h, false
	}
	return h, true
}

// number reads a plain number in the range; of says what is expected in words.
func (s *section) number(key string, r quantity.Range, of string) *float64 {
	v, ok := s.get(key)
	if !ok {
		return nil
	}
	if v.kind != unstable.Integer && v.kind != unstable.Float {
		s.wrong(key, v, of)
		return nil
	}
	x, ok := s.finite(key, v)
	if !ok {
		return nil
	}
	if !r.Contains(x) {
		s.d.fault(v.line, of, "%s is %s; give %s", s.in(key), v.text, of)
		return nil
	}
	return &x
}

// boolean reads true or false; false when not given.
func (s *section) boolean(key string) bool {
	v, ok := s.get(key)
	if !ok {
		return false
	}
	if v.kind != unstable.Bool {
		s.wrong(key, v, "true or false, without quotes")
		return false
	}
	return v.text == "true"
}

// integer reads a whole number in lo..hi, or gives 0.
func (s *section) integer(key string, lo, hi int, of string) int {
	if n := s.whole(key, lo, hi, of); n != nil {
		return *n
	}
	return 0
}

// whole reads a whole number in lo..hi; nil when not given.
func (s *section) whole(key string, lo, hi int, of string) *int {
	v, ok := s.get(key)
	if !ok {
		return nil
	}
	n, err := strconv.ParseInt(v.text, 0, 32)
	if v.kind != unstable.Integer {
		s.wrong(key, v, of)
		return nil
	}
	if err != nil || n < int64(lo) || n > int64(hi) {
		s.d.fault(v.line, of, "%s is %s; give %s", s.in(key), v.text, of)
		return nil
	}
	whole := int(n)
	return &whole
}

func (s *section) finite(key string, v value) (float64, bool) {
	var x float64
	var err error
	if v.kind == unstable.Integer {
		var n int64
		n, err = strconv.ParseInt(strings.TrimPrefix(v.text, "+"), 0, 64)
		x = float64(n)
	} else {
		x, err = strconv.ParseFloat(strings.ReplaceAll(v.text, "_", ""), 64)
	}
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		s.d.fault(v.line, "a number", "%s is %s, which is no number to reckon with; give a plain decimal number", s.in(key), v.text)
		return 0, false
	}
	return x, true
}

// missing reports a key that must be there.
func (s *section) missing(key, want string) {
	if _, there := s.t.values[key]; !there && !s.d.broken {
		s.d.fault(s.line(), want, "%s has no %s; give %s", s.title, key, want)
	}
}

// under is the name that a section in s has in a header.
func (s *section) under(key string) string {
	if s.title == "" {
		return key
	}
	return strings.Trim(s.title, "[]") + "." + key
}

// one gives the section of a [table], or nil.
func (s *section) one(key string) *section {
	v, ok := s.get(key)
	if !ok {
		return nil
	}
	title := "[" + s.under(key) + "]"
	if v.table == nil || v.table.rows != nil {
		s.d.fault(v.line, title, "%q should be one section, written %s", key, title)
		return nil
	}
	return &section{d: s.d, t: v.table, title: title, units: s.units}
}

// each gives the sections of a [[table]].
func (s *section) each(key string) []*section {
	v, ok := s.get(key)
	if !ok {
		return nil
	}
	title := "[[" + s.under(key) + "]]"
	var rows []*table
	switch {
	case v.table != nil && v.table.rows != nil:
		rows = v.table.rows
	case v.kind == unstable.Array && len(v.items) > 0 && !slices.ContainsFunc(v.items, func(i value) bool { return i.table == nil }):
		for _, i := range v.items {
			rows = append(rows, i.table)
		}
	default:
		s.d.fault(v.line, title, "%q should be a section of its own for each, written %s with two brackets", key, title)
		return nil
	}
	out := make([]*section, len(rows))
	for i, t := range rows {
		out[i] = &section{d: s.d, t: t, title: title, units: s.units}
	}
	return out
}

func kindName(k unstable.Kind) string {
	switch k {
	case unstable.String:
		return "text"
	case unstable.Bool:
		return "true or false"
	case unstable.Integer, unstable.Float:
		return "a number"
	case unstable.Array:
		return "a list"
	case unstable.InlineTable, unstable.Table, unstable.ArrayTable:
		return "a section"
	default:
		return "a date or time"
	}
}
