package columns

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// clock is how a file tells the time.
type clock struct {
	column int    // of times as text; -1: year, month, day and hour
	parts  [5]int // the columns of year to minute; the last may be -1
	zoned  bool   // text has offsets
	last   time.Time
}

// layouts are the ways to write a time without an offset.
var layouts = []string{"2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02T15:04"}

// openClock finds the columns of time.
func (d *reader) openClock() error {
	d.clock.column = -1
	if i, ok := d.at[Time]; ok {
		d.clock.column = i
		return nil
	}
	for i, c := range []Column{Year, Month, Day, Hour, Minute} {
		at, ok := d.at[c]
		switch {
		case ok:
			d.clock.parts[i] = at
		case c == Minute:
			d.clock.parts[i] = -1
		default:
			return d.fault("the header", "tells no time: it has no "+string(c), strings.Join(d.header, ", "), "a column time as 2026-04-14T06:00:00Z, or year, month, day and hour")
		}
	}
	return d.needZone()
}

func (d *reader) needZone() error {
	if d.o.Zone == nil {
		return d.fault("the time", "has no offset from UTC", "", "times as 2026-04-14T06:00:00Z, or the option zone")
	}
	return nil
}

// time is that of a row, UTC.
func (d *reader) time(cells []string) (time.Time, error) {
	if d.clock.column < 0 {
		return d.fromParts(cells)
	}
	text := strings.TrimSpace(cells[d.clock.column])
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		if !d.clock.zoned && len(d.pending) > 0 {
			return t, d.fault("the time", "has an offset, those above have none", text, "one way to write it")
		}
		d.clock.zoned = true
		return d.sane(t, text)
	}
	if !d.clock.zoned {
		for _, layout := range layouts {
			if t, err := time.Parse(layout, text); err == nil {
				if err := d.needZone(); err != nil {
					return t, err
				}
				return d.local(t, text)
			}
		}
	}
	return time.Time{}, d.fault("the time", "cannot be read", text, "2026-04-14T06:00:00Z in all rows, or 2026-04-14 06:00 in all")
}

// fromParts reads year, month, day, hour and minute.
func (d *reader) fromParts(cells []string) (time.Time, error) {
	var v [5]int
	for i, at := range d.clock.parts {
		if at < 0 {
			continue
		}
		n, err := strconv.Atoi(strings.TrimSpace(cells[at]))
		if err != nil {
			return time.Time{}, d.fault(d.header[at], "is no whole number", cells[at], "a part of the date")
		}
		v[i] = n
	}
	t := time.Date(v[0], time.Month(v[1]), v[2], v[3], v[4], 0, 0, time.UTC)
	text := fmt.Sprintf("%d-%02d-%02d %02d:%02d", v[0], v[1], v[2], v[3], v[4])
	if y, m, day := t.Date(); y != v[0] || int(m) != v[1] || day != v[2] || t.Hour() != v[3] || t.Minute() != v[4] {
		return t, d.fault("the time", "there is no such hour", text, "hours 0 to 23 of a day of the calendar")
	}
	return d.local(t, text)
}

// local gives wall-clock time, in t, its zone: time.Date picks one of two
// instants, or one that the clocks skip, so both are looked at.
func (d *reader) local(t time.Time, text string) (time.Time, error) {
	y, m, day := t.Date()
	in := func(shift time.Duration) (time.Time, bool) {
		u := time.Date(y, m, day, t.Hour(), t.Minute(), t.Second(), 0, d.o.Zone).Add(shift)
		const wall = "2006-01-02 15:04:05"
		return u, u.Format(wall) == t.Format(wall)
	}
	var found []time.Time // in order: the first is summer time
	for _, shift := range []time.Duration{-2 * time.Hour, -time.Hour, -30 * time.Minute, 0, 30 * time.Minute, time.Hour, 2 * time.Hour} {
		if u, ok := in(shift); ok {
			found = append(found, u)
		}
	}
	switch {
	case len(found) == 0:
		return t, d.fault("the time", "does not exist: the clocks go forward over it", text, "times in "+d.o.Zone.String())
	case len(found) == 2 && !d.clock.last.IsZero() && !d.clock.last.Before(found[0]):
		return d.sane(found[1], text)
	}
	return d.sane(found[0], text)
}

// sane keeps times in the centuries with weather records.
func (d *reader) sane(t time.Time, text string) (time.Time, error) {
	if t.Year() < 1800 || t.Year() > 2200 {
		return t, d.fault("the time", "is of another age", text, "1800 to 2200")
	}
	d.clock.last = t
	return t.UTC(), nil
}
