package sky

import "time"

// Kind says what the sun does in a day.
type Kind uint8

// The kinds of day.
const (
	Ordinary   Kind = iota // it rises, or sets, or both
	PolarDay               // it does not set
	PolarNight             // it does not rise
)

// String is the kind in words.
func (k Kind) String() string {
	switch k {
	case PolarDay:
		return "the sun does not set"
	case PolarNight:
		return "the sun does not rise"
	}
	return "the sun rises and sets"
}

// Day is the sun from the midnight before a noon to the midnight after it.
type Day struct {
	Kind Kind
	Noon time.Time // the sun crosses the meridian; UTC, as the others
	// Rise and Set are when the upper edge is on a level horizon (-0.8333 degrees).
	// They are zero in a polar day or night; on the first and last day of one,
	// one of them may be.
	Rise, Set time.Time
	Sunshine  time.Duration // possible, that is with the sun up
}

const halfDay = 12 * time.Hour

// Day is the day around the noon that is nearest to t: ask with the local noon of
// a date. Rise and set are within some seconds where the sun crosses the horizon
// steeply, and within minutes near the poles.
func (s Site) Day(t time.Time) Day {
	noon := t.UTC()
	for range 4 { // the hour angle grows by 15.04 degrees/h less what the sun moves: each pass gains three digits
		e := ephemerisAt(noon)
		noon = noon.Add(-time.Duration(half(e.sidereal+s.lon-e.ascension) / 15 * float64(time.Hour)))
	}
	d := Day{Noon: noon}
	before, after := noon.Add(-halfDay), noon.Add(halfDay)
	high, low1, low2 := s.above(noon), s.above(before), s.above(after)
	switch {
	case high && low1 && low2:
		d.Kind, d.Sunshine = PolarDay, 2*halfDay
		return d
	case !high && !low1 && !low2:
		d.Kind = PolarNight
		return d
	}
	d.Sunshine = 0
	if high != low1 {
		c := s.crossing(before, noon)
		if high {
			d.Rise = c
			d.Sunshine += noon.Sub(c)
		} else { // at a pole the sun may set before noon
			d.Set = c
			d.Sunshine += c.Sub(before)
		}
	} else if high {
		d.Sunshine += halfDay
	}
	if high != low2 {
		c := s.crossing(noon, after)
		if high {
			d.Set = c
			d.Sunshine += c.Sub(noon)
		} else {
			d.Rise = c
			d.Sunshine += after.Sub(c)
		}
	} else if high {
		d.Sunshine += halfDay
	}
	return d
}

// above reports whether any of the sun is up by the convention of tables.
func (s Site) above(t time.Time) bool { return s.elevation(t) >= lastLight }

// crossing is when above changes between a and b, at which it differs.
func (s Site) crossing(a, b time.Time) time.Time {
	from := s.above(a)
	for b.Sub(a) > 10*time.Millisecond {
		if m := a.Add(b.Sub(a) / 2); s.above(m) == from {
			a = m
		} else {
			b = m
		}
	}
	return b
}

// SunOver is where the sun is in the middle of the part of a span in which it is
// up, and which share of the span that is: the place to take for the means of a
// record. With the sun down throughout the share is 0 and the place that of the
// middle. The span is an hour or less: cut longer ones.
func (s Site) SunOver(from time.Time, span time.Duration) (Position, float64) {
	to, middle := from.Add(span), from.Add(span/2)
	up, upLast := s.above(from), s.above(to)
	switch {
	case up && upLast:
		return s.Sun(middle), 1
	case !up && !upLast:
		// A sun that only grazes the horizon inside the span gives next to nothing.
		return s.Sun(middle), 0
	}
	c := s.crossing(from, to)
	if up {
		to = c
	} else {
		from = c
	}
	lit := to.Sub(from)
	return s.Sun(from.Add(lit / 2)), float64(lit) / float64(span)
}
