package logfile

import (
	"strconv"
	"strings"
)

// A logger copied while it was writing ends within a row: 65.58 may stand there
// as 65.5, 6 or nothing. Many good files have no line end behind their last row
// either. So a last row without one is kept only if nothing more can have stood
// in its last value that is read:
//
//   - other cells follow, or the closing quote; or
//   - it has as many decimals as any row has in that column, and the same unit
//     behind it; or
//   - no row has decimals, and no number that begins with these digits is nearer
//     to the row before: 6 after 65 may be 65, 66 after 65 may not be 660.
//
// What is left out is one reading, and told. Where rows write 65.5 and 65 for
// 65.50 and 65.00, a whole row may be lost; a wrong value for the moment that is
// asked about would be worse. A single row shows nothing: it is kept, and told.
type shapes struct {
	n, least int    // rows, and the fewest cells of one
	decimals int    // the most, in the last column that is read
	number   string // there, in the row before
	behind   string // it
	when     string // likewise, if that column is a time
}

// lastColumn is the last column that is read, as it stands in a row.
func (t *table) lastColumn(r row) (cell string, isTime bool) {
	switch t.need() - 1 {
	case t.temp:
		return r.temp, false
	case t.rh:
		return r.humidity, false
	case t.clock:
		return r.clock, true
	}
	return r.when, true
}

func (s *shapes) add(t *table, r row, width int) {
	if s.n == 0 {
		s.least = width
	}
	s.n++
	s.least = min(s.least, width)
	cell, isTime := t.lastColumn(r)
	switch {
	case isTime:
		s.when = cell
	case !isMissing(cell):
		s.number, s.behind = cutUnit(cell)
		s.decimals = max(s.decimals, decimals(s.number))
	}
}

// cutShort says what is told of a last row without a line end, if anything, and
// whether it is left out.
func (t *table) cutShort(r *row, width int, quoted bool, before shapes) (told string, out bool) {
	const skipped = "is cut short and was skipped"
	if width < t.need() {
		return skipped, true
	}
	if width > t.need() {
		if width-1 == t.dew {
			r.dewPnt = "" // only a check
		}
		return "", false
	}
	cell, isTime := t.lastColumn(*r)
	switch {
	case quoted && cell != "":
		return "", false
	case before.n > 0 && width < before.least, !isTime && isMissing(cell):
		return skipped, true
	case isTime && before.n > 0:
		if shape(cell) == shape(before.when) {
			return "", false
		}
		return skipped, true
	case before.number == "":
		return "has no line end, and no other row shows whether it is whole; it was taken as it stands", false
	}
	if num, behind := cutUnit(cell); behind == before.behind && before.whole(num) {
		return "", false
	}
	return "has no line end and may be cut short at " + strconv.Quote(shorten(cell)) + "; it was skipped", true
}

// whole reports whether a number at the end of a file is all that stood there.
func (s shapes) whole(num string) bool {
	if s.decimals > 0 {
		return decimals(num) >= s.decimals
	}
	v, err := strconv.Atoi(strings.Replace(num, "\u2212", "-", 1))
	last, err2 := strconv.Atoi(strings.Replace(s.number, "\u2212", "-", 1))
	if err != nil || err2 != nil {
		return false
	}
	if v < 0 || v == 0 && num[0] == '-' {
		v, last = -v, -last
	}
	// The nearest of the numbers with up to two digits more: no reading has over three.
	off := max(v-last, last-v)
	for _, scale := range []int{10, 100} {
		low := v * scale
		nearest := min(max(last, low), low+scale-1)
		if v > 0 && v < 1000 && max(nearest-last, last-nearest) < off {
			return false
		}
	}
	return v < 1000
}

// decimals is how many characters follow the decimal mark of a number.
func decimals(num string) int {
	if i := strings.LastIndexAny(num, ".,"); i >= 0 {
		return len(num) - i - 1
	}
	return 0
}

// shape is a time with every digit as 0, but for the first number's: 9:05 and
// 12:05 are whole alike.
func shape(when string) string {
	s := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return '0'
		}
		return r
	}, when)
	if rest := strings.TrimLeft(s, "0"); rest != "" {
		return "0" + rest
	}
	return s
}
