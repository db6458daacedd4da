package logfile

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// offset reads Z, UTC, GMT, +02:00, +0200, +02 and UTC+2 (ISO 8601 and what is
// seen; from memory).
func offset(s string) (east time.Duration, ok bool) {
	s = strings.TrimSpace(s)
	rest, named := s, false
	for _, name := range []string{"UTC", "GMT", "Z", "z"} {
		if r, found := strings.CutPrefix(s, name); found {
			rest, named = strings.TrimSpace(r), true
			break
		}
	}
	if rest == "" {
		return 0, named
	}
	sign := time.Duration(1)
	switch {
	case strings.HasPrefix(rest, "+"):
		rest = rest[1:]
	case strings.HasPrefix(rest, "-"):
		rest, sign = rest[1:], -1
	case strings.HasPrefix(rest, "\u2212"):
		rest, sign = rest[len("\u2212"):], -1
	default:
		return 0, false
	}
	c := &scanner{s: rest}
	h, hn := c.digits()
	m := 0
	switch {
	case hn == 4:
		h, m = h/100, h%100
	case hn == 2 || hn == 1:
		if c.peek() == ':' {
			c.i++
			var n int
			if m, n = c.digits(); n != 2 {
				return 0, false
			}
		}
	default:
		return 0, false
	}
	// Civil offsets run from -12:00 to +14:00 (from memory).
	if c.i != len(rest) || m > 59 {
		return 0, false
	}
	east = sign * (time.Duration(h)*time.Hour + time.Duration(m)*time.Minute)
	return east, east >= -12*time.Hour && east <= 14*time.Hour
}

var (
	headerOffset = regexp.MustCompile(`(?i)\b(?:UTC|GMT)\s*(?:[+\-\x{2212}]\s*\d{1,2}(?::?\d{2})?)?|[+\-\x{2212}]\d{2}:\d{2}\b`)
	// Names of zones in capitals, which stand for more than one zone each.
	headerZone = regexp.MustCompile(`\b(?:[CEW]ES?T|MEZ|MESZ|BST|IST|[ECMP][SD]T|AK[SD]T|HST|A[EWC][SD]T)\b`)
)

// statedOffset is the offset that the header of the time column states.
func (t *table) statedOffset() (east time.Duration, stated bool, err error) {
	names := t.names[t.moment]
	if t.clock >= 0 {
		names += " " + t.names[t.clock]
	}
	if m := headerOffset.FindString(names); m != "" {
		east, ok := offset(strings.Join(strings.Fields(strings.ToUpper(m)), ""))
		if !ok {
			return 0, false, &Error{At: At{File: t.file, Line: t.line, Text: m}, Message: "the header states an offset that does not exist",
				Want: "-12:00 to +14:00"}
		}
		return east, true, nil
	}
	return 0, false, nil
}

// zoneName is an offset for people.
func zoneName(east time.Duration) string {
	sign := '+'
	if east < 0 {
		sign, east = '-', -east
	}
	return fmt.Sprintf("%c%02d:%02d", sign, int(east.Hours()), int(east.Minutes())%60)
}

// sample is a reading in SI units but for its humidity, which is as the sensor
// gave it, in percent.
type sample struct {
	line              int
	time              time.Time
	temp, rh          float64
	hasTemp, hasHumid bool
	run               int    // rows between two falls of the time
	bad               *Error // what cannot be; nil where all can

	averaged bool    // over a minute; hasHumid then says that vapour is there
	vapour   float64 // Pa
}

// locate gives every row its instant. Offsets in the text come before the
// header's, that before the user's zone, and that before the place's.
func (t *table) locate(stamps []stamp, o Options, d *Decisions) ([]time.Time, error) {
	out := make([]time.Time, len(stamps))
	cell := func(i int) At { return t.cell(t.rows[i].line, t.moment, t.rows[i].when) }
	if f := stamps[0].form; f == unixS || f == unixMS {
		for i, st := range stamps {
			out[i] = st.value()
			if y := out[i].Year(); y < 1970 || y > 2100 {
				return nil, &Error{At: cell(i), Message: fmt.Sprintf("as %s this is the year %d", f, y), Want: "a time from 1970 to 2100"}
			}
		}
		d.Zone = f.String()
		return out, nil
	}
	header, stated, err := t.statedOffset()
	if err != nil {
		return nil, err
	}
	zone, label := o.Zone, ""
	switch {
	case stated:
		label = zoneName(header)
		zone = time.FixedZone(label, int(header/time.Second))
	case zone != nil:
		label = zone.String()
	case o.SiteZone != nil:
		zone = o.SiteZone
		label = zone.String() + " (the place's)"
	}
	walls := make([]time.Time, len(stamps))
	var local []int // rows that need the zone
	offsets := map[time.Duration]bool{}
	for i, st := range stamps {
		if st.form == serial {
			walls[i] = st.value()
		} else {
			walls[i], _ = st.civil(d.DateOrder)
		}
		if !st.zoned {
			local = append(local, i)
			continue
		}
		offsets[st.east] = true
		out[i] = walls[i].Add(-st.east)
	}
	switch {
	case len(local) == 0 && len(offsets) == 1:
		d.Zone = zoneName(stamps[0].east)
	case len(local) == 0:
		d.Zone = "offsets in the times"
	case len(offsets) > 0:
		return nil, &Error{At: cell(local[0]), Message: "this time states no offset, others do", Want: "an offset in every time, or in none"}
	case zone == nil:
		what := "the zone of the times"
		if name := headerZone.FindString(t.names[t.moment]); name != "" {
			what += " (" + name + " means more than one)"
		}
		return nil, &AmbiguityError{At: cell(0), What: what, Ways: [2]string{"UTC", "the local time of the place"}, Option: OptZone}
	default:
		if name := headerZone.FindString(t.names[t.moment]); name != "" && !stated && o.Zone == nil {
			return nil, &AmbiguityError{At: At{File: t.file, Line: t.line, Text: t.names[t.moment]}, What: "the zone " + name,
				Ways: [2]string{"that of " + o.SiteZone.String(), "another of that name"}, Option: OptZone}
		}
		d.Zone, d.zone = label, zone
		if err := t.settle(walls, local, zone, out); err != nil {
			return nil, err
		}
	}
	if stated && len(local) == 0 && (len(offsets) > 1 || !offsets[header]) {
		t.note("the offset in the times was taken, not the header's %s", zoneName(header))
	}
	// The user's zone must be that of the file.
	if o.Zone != nil && (stated || len(local) == 0) {
		for i, at := range out {
			east := header
			if stamps[i].zoned {
				east = stamps[i].east
			}
			if _, s := at.In(o.Zone).Zone(); time.Duration(s)*time.Second != east {
				return nil, &PinError{At: cell(i), Option: OptZone, Pinned: o.Zone.String(),
					Found: fmt.Sprintf("the file states %s, where that zone had %s", zoneName(east), zoneName(time.Duration(s)*time.Second))}
			}
		}
	}
	return out, nil
}

// instants are the moments at which a clock on the wall of a zone shows wall:
// none in the hour that is left out, two in the hour that comes twice.
// (time.Date would pick one without a word.)
func instants(wall time.Time, zone *time.Location) (first, second time.Time, n int) {
	_, before := wall.Add(-36 * time.Hour).In(zone).Zone()
	_, after := wall.Add(36 * time.Hour).In(zone).Zone()
	for k, s := range [2]int{before, after} {
		if k == 1 && after == before {
			break
		}
		at := wall.Add(-time.Duration(s) * time.Second)
		if _, is := at.In(zone).Zone(); is != s {
			continue
		}
		if n++; n == 1 {
			first = at
		} else {
			second = at
		}
	}
	if n == 2 && second.Before(first) {
		first, second = second, first
	}
	return first, second, n
}

// settle finds the instants of local times. Those of the hour that comes twice
// are told apart by their order in the file: the first pass is before the
// clocks went back. A single pass, or one that breaks off, could be either; so
// could two in a file that runs neither up nor down.
func (t *table) settle(walls []time.Time, rows []int, zone *time.Location, out []time.Time) error {
	rows = slices.Clone(rows)
	falls, rises := 0, 0
	inOrder := make([]time.Time, len(rows))
	for k := 1; k < len(rows); k++ {
		switch walls[rows[k]].Compare(walls[rows[k-1]]) {
		case 1:
			rises++
		case -1:
			falls++
		}
	}
	if falls > rises {
		slices.Reverse(rows)
	}
	for k, i := range rows {
		inOrder[k] = walls[i]
	}
	step := usualStep(inOrder)
	cell := func(i int) At { return t.cell(t.rows[i].line, t.moment, t.rows[i].when) }
	for k := 0; k < len(rows); k++ {
		i := rows[k]
		first, second, n := instants(walls[i], zone)
		switch n {
		case 0:
			return &Error{At: cell(i), Message: fmt.Sprintf("%s does not exist on %s in %s, where clocks went forward",
				walls[i].Format("15:04"), walls[i].Format("2006-01-02"), zone), Want: "the logger's own fixed offset as the option " + string(OptZone)}
		case 1:
			out[i] = first
			continue
		}
		// All rows of this night's hour, in one or two passes.
		gap := second.Sub(first)
		_, change := first.In(zone).ZoneBounds()
		end := walls[i].Add(change.Sub(first)) // what the clock showed as it was put back
		late := []time.Time{second}
		early := []time.Time{first}
		passes, turn, last := 1, k, k
		for j := k + 1; j < len(rows); j++ {
			w := walls[rows[j]]
			if w.Before(end.Add(-gap)) || !w.Before(end) {
				break
			}
			if !w.After(walls[rows[j-1]]) {
				passes++
				turn = j
			}
			f, s, _ := instants(w, zone)
			early, late = append(early, f), append(late, s)
			last = j
		}
		if passes != 2 || falls == rises || step > 0 && walls[rows[turn-1]].Add(step*3/2).Before(end) {
			return &AmbiguityError{At: cell(i), What: fmt.Sprintf("which %s of %s", walls[i].Format("15:04"), walls[i].Format("2006-01-02")),
				Ways: [2]string{zoneOf(first, zone), zoneOf(second, zone)}, Option: OptZone}
		}
		for j := k; j <= last; j++ {
			if j < turn {
				out[rows[j]] = early[j-k]
			} else {
				out[rows[j]] = late[j-k]
			}
		}
		k = last
	}
	return nil
}

func zoneOf(t time.Time, zone *time.Location) string {
	_, s := t.In(zone).Zone()
	return "at " + zoneName(time.Duration(s)*time.Second)
}

// usualStep is the median step forward; 0 if there is none.
func usualStep(times []time.Time) time.Duration {
	var steps []time.Duration
	for i := 1; i < len(times); i++ {
		if d := times[i].Sub(times[i-1]); d > 0 {
			steps = append(steps, d)
		}
	}
	if len(steps) == 0 {
		return 0
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}
