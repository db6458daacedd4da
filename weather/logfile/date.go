package logfile

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// form is how a time is written.
type form uint8

const (
	noForm   form = iota
	yearForm      // four digits first
	dayForm       // four digits last
	short         // no four digits
	unixS
	unixMS
	serial // days of a spreadsheet
)

func (f form) String() string {
	return [...]string{"nothing", "a date with the year first", "a date with the year last", "a date with a two-digit year", "Unix seconds", "Unix milliseconds", "spreadsheet days"}[f]
}

// stamp is a time as written, before the order of its date is known.
type stamp struct {
	form  form
	part  [3]int // of the date
	since time.Duration
	twice bool // written with AM or PM
	zoned bool // written with its offset
	east  time.Duration
	num   string // of a time that is a number
}

// scanner walks over a text.
type scanner struct {
	s string
	i int
}

func (c *scanner) peek() byte {
	if c.i < len(c.s) {
		return c.s[c.i]
	}
	return 0
}

// digits reads a run of digits: its value and length.
func (c *scanner) digits() (v, n int) {
	for c.i < len(c.s) && c.s[c.i] >= '0' && c.s[c.i] <= '9' {
		if n < 9 {
			v = v*10 + int(c.s[c.i]-'0')
		}
		n++
		c.i++
	}
	return v, n
}

func (c *scanner) blanks() (n int) {
	for {
		switch rest := c.s[c.i:]; {
		case strings.HasPrefix(rest, " "), strings.HasPrefix(rest, "\t"):
			c.i++
		case strings.HasPrefix(rest, "\u00a0"):
			c.i += len("\u00a0")
		case strings.HasPrefix(rest, "\u202f"):
			c.i += len("\u202f")
		default:
			return n
		}
		n++
	}
}

// parseStamp reads a time. why is empty if it is one.
func parseStamp(s string) (st stamp, why string) {
	c := &scanner{s: s}
	a, an := c.digits()
	if an == 0 {
		return st, "it does not begin with a date"
	}
	if sep := c.peek(); (sep == '-' || sep == '/' || sep == '.') && an <= 4 {
		c.i++
		b, bn := c.digits()
		if c.peek() != sep || bn == 0 || bn > 2 {
			return st, "a date has three numbers"
		}
		c.i++
		d, dn := c.digits()
		st.part = [3]int{a, b, d}
		switch {
		case an == 4 && (dn == 1 || dn == 2):
			st.form = yearForm
		case an <= 2 && dn == 4:
			st.form = dayForm
		case an <= 2 && dn == 2:
			st.form = short
		default:
			return st, "a year has four digits or two, a day and a month one or two"
		}
	} else if rest := s[c.i:]; strings.IndexFunc(rest, func(r rune) bool { return r < '0' || r > '9' }) <= 0 && isNumber(rest) {
		// Nothing but a number, perhaps with a fraction.
		switch {
		case an == 5:
			st.form = serial
		case an == 9 || an == 10:
			st.form = unixS
		case an == 12 || an == 13:
			st.form = unixMS
			if v := s[:4]; an == 12 && v >= "1900" && v <= "2099" {
				return compact(s)
			}
		case an == 14:
			return compact(s)
		case an == 8:
			return st, "it has no time of day"
		default:
			return st, "a number of this length is no time"
		}
		st.num = s
		return st, ""
	} else if an == 8 {
		// ISO 8601 basic form.
		st.form, st.part = yearForm, [3]int{a / 10000, a / 100 % 100, a % 100}
	} else {
		return st, "it does not begin with a date"
	}
	if c.peek() == ',' {
		c.i++
	}
	if c.peek() == 'T' || c.peek() == 't' {
		c.i++
	} else if c.blanks() == 0 {
		if c.i == len(c.s) {
			return st, "it has no time of day"
		}
		return st, "a blank or a T goes between date and time"
	}
	return st, st.clock(c)
}

// compact reads 202606011300 and 20260601130000.
func compact(s string) (stamp, string) {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return stamp{}, "a number of this length is no time"
		}
	}
	return parseStamp(s[:8] + "T" + s[8:])
}

// isNumber reports whether rest is the fraction of a number, or nothing.
func isNumber(rest string) bool {
	if rest == "" {
		return true
	}
	if rest[0] != '.' && rest[0] != ',' {
		return false
	}
	for i := 1; i < len(rest); i++ {
		if rest[i] < '0' || rest[i] > '9' {
			return false
		}
	}
	return true
}

// clock reads the time of day and what may follow it.
func (st *stamp) clock(c *scanner) string {
	h, hn := c.digits()
	m, sec := 0, 0
	var frac time.Duration
	switch {
	case hn == 4 || hn == 6: // ISO 8601 basic form
		if hn == 6 {
			sec = h % 100
			h /= 100
		}
		h, m = h/100, h%100
	case hn == 1 || hn == 2:
		if c.peek() == ':' {
			c.i++
			var n int
			if m, n = c.digits(); n != 2 {
				return "minutes have two digits"
			}
			if c.peek() == ':' {
				c.i++
				if sec, n = c.digits(); n != 2 {
					return "seconds have two digits"
				}
			}
		} else {
			m = -1 // only 5 PM may go without minutes
		}
	default:
		return "it has no time of day"
	}
	if p := c.peek(); (p == '.' || p == ',') && m >= 0 && c.i+1 < len(c.s) && c.s[c.i+1] >= '0' && c.s[c.i+1] <= '9' {
		c.i++
		for scale := 100 * time.Millisecond; c.peek() >= '0' && c.peek() <= '9'; scale /= 10 {
			frac += time.Duration(c.peek()-'0') * scale
			c.i++
		}
	}
	c.blanks()
	if half := strings.ToLower(c.s[c.i:]); half != "" && (half[0] == 'a' || half[0] == 'p') {
		// AM, a.m., a. m. (with any blank)
		pm := half[0] == 'p'
		c.i++
		if c.peek() == '.' {
			c.i++
		}
		c.blanks()
		if c.peek() != 'm' && c.peek() != 'M' {
			return "AM or PM goes behind the time"
		}
		c.i++
		if c.peek() == '.' {
			c.i++
		}
		c.blanks()
		if h < 1 || h > 12 {
			return "with AM and PM hours run from 1 to 12"
		}
		h %= 12
		if pm {
			h += 12
		}
		m = max(m, 0)
		st.twice = true
	}
	if m < 0 {
		return "it has no minutes"
	}
	if h > 24 || m > 59 || sec > 59 || h == 24 && (m > 0 || sec > 0 || frac > 0 || st.twice) {
		return "there is no such time of day"
	}
	st.since = time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(sec)*time.Second + frac
	rest := c.s[c.i:]
	if rest == "" {
		return ""
	}
	east, ok := offset(rest)
	if !ok {
		return fmt.Sprintf("%q behind the time is no offset", shorten(rest))
	}
	st.zoned, st.east = true, east
	return ""
}

// civil is the wall clock of a written date under an order, as if it were UTC.
func (st stamp) civil(o DateOrder) (time.Time, bool) {
	y, m, d := st.part[0], st.part[1], st.part[2]
	switch o {
	case DayFirst:
		d, m, y = st.part[0], st.part[1], st.part[2]
	case MonthFirst:
		m, d, y = st.part[0], st.part[1], st.part[2]
	}
	if st.form == short { // POSIX strptime %y, from memory
		if y < 69 {
			y += 100
		}
		y += 1900
	}
	day := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if m < 1 || m > 12 || day.Day() != d || y < 1900 || y > 2100 {
		return time.Time{}, false
	}
	return day.Add(st.since), true
}

// orders are the orders that a form allows.
func (f form) orders() []DateOrder {
	switch f {
	case yearForm:
		return []DateOrder{YearFirst}
	case dayForm:
		return []DateOrder{DayFirst, MonthFirst}
	case short:
		return []DateOrder{DayFirst, MonthFirst, YearFirst}
	}
	return nil
}

// chooseOrder decides the order of the dates over the whole column.
func (t *table) chooseOrder(stamps []stamp, pin DateOrder) (DateOrder, error) {
	f := stamps[0].form
	if f.orders() == nil {
		if pin != "" {
			return "", &PinError{At: t.cell(t.rows[0].line, t.moment, t.rows[0].when), Option: OptDateOrder, Pinned: string(pin), Found: "the times are " + f.String()}
		}
		return "", nil
	}
	var left []DateOrder
	broken := map[DateOrder]int{} // the first row an order cannot be
	for _, o := range f.orders() {
		i := slices.IndexFunc(stamps, func(st stamp) bool { _, ok := st.civil(o); return !ok })
		if i < 0 {
			left = append(left, o)
		} else {
			broken[o] = i
		}
	}
	at := func(i int) At { return t.cell(t.rows[i].line, t.moment, t.rows[i].when) }
	switch {
	case pin != "" && !slices.Contains(left, pin):
		return "", &PinError{At: at(broken[pin]), Option: OptDateOrder, Pinned: string(pin), Found: "a date cannot be read so"}
	case pin != "":
		return pin, nil
	case len(left) == 1:
		return left[0], nil
	case len(left) == 0:
		worst := 0 // the row that leaves nothing
		for _, i := range broken {
			worst = max(worst, i)
		}
		return "", &Error{At: at(worst), Message: "there is no such date", Want: "dates that are all written in one order"}
	}
	var good []DateOrder
	for _, o := range left {
		if runsOn(stamps, o) {
			good = append(good, o)
		}
	}
	if len(good) == 1 {
		return good[0], nil
	}
	ways := [2]string{}
	for i := range ways {
		wall, _ := stamps[0].civil(left[i])
		ways[i] = fmt.Sprintf("%s (%s first)", wall.Format("2 January 2006"), left[i])
	}
	return "", &AmbiguityError{At: at(0), What: "the date", Ways: ways, Option: OptDateOrder}
}

// A reading of a column of dates runs on if its times go one way and never
// leap, and nearly all of its steps are equal and shorter than a day. The wrong
// order takes days for months and leaps. Common sense, no source.
const (
	leap        = 20 * 24 * time.Hour
	steadyShare = 0.8
)

func runsOn(stamps []stamp, o DateOrder) bool {
	if len(stamps) < 3 {
		return false
	}
	steps := make([]time.Duration, 0, len(stamps)-1)
	falling := false
	last, _ := stamps[0].civil(o)
	for _, st := range stamps[1:] {
		next, _ := st.civil(o)
		d := next.Sub(last)
		if d != 0 {
			if len(steps) == 0 {
				falling = d < 0
			}
			// Back by an hour or two is a clock put back, not a wrong order.
			if d.Abs() > leap || d < 0 != falling && d.Abs() > 2*time.Hour {
				return false
			}
			steps = append(steps, d.Abs())
		}
		last = next
	}
	if len(steps) < 2 {
		return false
	}
	slices.Sort(steps)
	step := steps[len(steps)/2]
	if step >= 24*time.Hour {
		return false
	}
	equal := 0
	for _, d := range steps {
		if (d - step).Abs() <= step/10 {
			equal++
		}
	}
	return float64(equal) >= steadyShare*float64(len(steps))
}

// value is the time of a number of Unix seconds or milliseconds, or the wall
// clock of spreadsheet days: 1 is 1900-01-01 and 1900 counts as a leap year, so
// from March 1900 on days count from 1899-12-30 (from memory).
func (st stamp) value() time.Time {
	v, _ := number(strings.Replace(st.num, ",", ".", 1), Point)
	switch st.form {
	case unixS:
		return time.UnixMilli(int64(math.Round(v * 1e3))).UTC()
	case unixMS:
		return time.UnixMilli(int64(math.Round(v))).UTC()
	}
	days := math.Floor(v)
	// Whole seconds: a spreadsheet's fractions of a day are not exact.
	return time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(days)).Add(time.Duration(math.Round((v-days)*86400)) * time.Second)
}
