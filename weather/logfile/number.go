package logfile

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// isMissing reports whether a cell says that there is no value: words, an
// open-line or error sign, or a filler that loggers write. The fillers (-9999,
// -999, 999.9, 850) are far outside what is measured here; common practice, no
// source.
func isMissing(s string) bool {
	switch strings.ToLower(s) {
	case "", "-", "--", "---", "nan", "n/a", "na", "#n/a", "#n/v", "#nv", "null", "none", "nil", "ol", "err", "err.", "error", "#value!", "#div/0!", "#ref!", "#num!", "#name?",
		"-9999", "-9999.0", "-9999,0", "-9999.00", "-9999,00", "-999", "-999.0", "-999,0", "-999.00", "-999,00", "-999.9", "-999,9",
		"999.9", "999,9", "999.90", "999,90", "850", "850.0", "850,0", "850.00", "850,00":
		return true
	}
	return false
}

// cutUnit splits what stands behind a number off it.
func cutUnit(s string) (num, unit string) {
	for i, r := range s {
		if !strings.ContainsRune("0123456789.,+-eE \u00a0\u202f\u2212", r) {
			return strings.TrimSpace(s[:i]), s[i:]
		}
	}
	return s, ""
}

// number reads s under one decimal mark; the other mark, a blank and the narrow
// blanks may group thousands, all of one kind.
func number(s string, d Decimal) (float64, bool) {
	mark, group := '.', ','
	if d == Comma {
		mark, group = ',', '.'
	}
	var buf [40]byte
	out := buf[:0]
	i := 0
	if r, n := utf8.DecodeRuneInString(s); r == '+' || r == '-' || r == '\u2212' {
		if r != '+' {
			out = append(out, '-')
		}
		i = n
	}
	digits, sinceGroup, grouped := 0, 0, rune(0)
	whole := true // before the mark
	for i < len(s) {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r >= '0' && r <= '9':
			digits++
			sinceGroup++
			out = append(out, byte(r))
		case r == mark && whole:
			if grouped != 0 && sinceGroup != 3 {
				return 0, false
			}
			whole = false
			out = append(out, '.')
		case whole && (r == group || r == ' ' || r == 0xa0 || r == 0x202f):
			first := grouped == 0
			if first && (digits < 1 || digits > 3 || s[i-digits] == '0') || !first && (r != grouped || sinceGroup != 3) {
				return 0, false
			}
			grouped, sinceGroup = r, 0
		case (r == 'e' || r == 'E') && digits > 0:
			if grouped != 0 && whole && sinceGroup != 3 {
				return 0, false
			}
			out = append(out, s[i:]...)
			i, grouped = len(s), 0
			n = 0
		default:
			return 0, false
		}
		i += n
	}
	if digits == 0 || whole && grouped != 0 && sinceGroup != 3 {
		return 0, false
	}
	v, err := strconv.ParseFloat(string(out), 64)
	return v, err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}

// marks is what the numbers of a column say about their decimal mark.
type marks struct {
	name          string
	column        int
	point, comma  int // numbers that only one reading allows
	neither       int // line of the first text that is no number
	neitherRaw    string
	onlyPoint     int // line of the first number that only a point allows
	onlyComma     int
	pointRaw      string
	commaRaw      string
	open          int // line of the first number that both allow, with different values
	openRaw       string
	openPoints    bool // all of those are like 21.345
	openCommas    bool // all of those are like 21,345
	openDifferent bool // there are at least two different ones
}

// look adds a number, without its unit.
func (m *marks) look(line int, num string) {
	if !strings.ContainsAny(num, ".,") {
		if _, ok := number(num, Point); !ok && m.neither == 0 {
			m.neither, m.neitherRaw = line, num
		}
		return
	}
	p, pok := number(num, Point)
	c, cok := number(num, Comma)
	switch {
	case pok && cok && p != c:
		if m.open == 0 {
			m.open, m.openRaw, m.openPoints, m.openCommas = line, num, true, true
		}
		m.openDifferent = m.openDifferent || num != m.openRaw
		m.openPoints = m.openPoints && !strings.Contains(num, ",")
		m.openCommas = m.openCommas && !strings.Contains(num, ".")
	case pok && !cok:
		if m.point++; m.point == 1 {
			m.onlyPoint, m.pointRaw = line, num
		}
	case cok && !pok:
		if m.comma++; m.comma == 1 {
			m.onlyComma, m.commaRaw = line, num
		}
	case !pok && !cok && m.neither == 0:
		m.neither, m.neitherRaw = line, num
	}
}

// chooseDecimal decides the decimal mark of the file from its columns.
func (t *table) chooseDecimal(cols []marks, pin Decimal) (Decimal, error) {
	var said Decimal
	var by marks
	for _, m := range cols {
		if m.neither > 0 {
			return "", &Error{At: t.cell(m.neither, m.column, m.neitherRaw), Message: fmt.Sprintf("the %s is no number", m.name),
				Want: "a number, or an empty cell where there is none"}
		}
		if m.point > 0 && m.comma > 0 {
			line, raw, most := m.onlyComma, m.commaRaw, "points"
			if m.comma > m.point {
				line, raw, most = m.onlyPoint, m.pointRaw, "commas"
			}
			return "", &Error{At: t.cell(line, m.column, raw), Message: fmt.Sprintf("the %s does not fit its column, where decimals have %s", m.name, most),
				Want: "one decimal mark in a column"}
		}
		mine, line, raw := Decimal(""), 0, ""
		switch {
		case m.point > 0:
			mine, line, raw = Point, m.onlyPoint, m.pointRaw
		case m.comma > 0:
			mine, line, raw = Comma, m.onlyComma, m.commaRaw
		default:
			continue
		}
		switch {
		case pin != "" && mine != pin:
			return "", &PinError{At: t.cell(line, m.column, raw), Option: OptDecimal, Pinned: string(pin),
				Found: fmt.Sprintf("the %s has a decimal %s", m.name, mine)}
		case said != "" && mine != said:
			return "", &Error{At: t.cell(line, m.column, raw), Message: fmt.Sprintf("the %s has a decimal %s and the %s a decimal %s", m.name, mine, by.name, said),
				Want: "one decimal mark in a file"}
		}
		said, by = mine, m
	}
	if pin != "" || said != "" {
		return max(pin, said), nil // one is empty, or they are equal
	}
	for _, m := range cols {
		switch {
		case m.open == 0:
			continue
		case t.delimiter == ',' && m.openPoints:
			said = Point
		case t.delimiter == ';' && m.openCommas && m.openDifferent:
			said = Comma
		default:
			return "", t.openNumber(m)
		}
		if by.open != 0 && by.openPoints != m.openPoints {
			return "", t.openNumber(m)
		}
		by = m
	}
	return said, nil
}

func (t *table) openNumber(m marks) error {
	p, _ := number(m.openRaw, Point)
	c, _ := number(m.openRaw, Comma)
	return &AmbiguityError{At: t.cell(m.open, m.column, m.openRaw), What: fmt.Sprintf("the %s", m.name),
		Ways:   [2]string{strconv.FormatFloat(p, 'f', -1, 64) + " (decimal point)", strconv.FormatFloat(c, 'f', -1, 64) + " (decimal comma)"},
		Option: OptDecimal}
}
