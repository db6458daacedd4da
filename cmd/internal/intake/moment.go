package intake

import (
	"time"
)

// Years that a moment of asking can be in.
const FirstYear, LastYear = 1900, 2200

// Moment reads what stands at where, such as --at: with an offset, or by the clock of zone. A time that the clock skips, or shows
// twice, is refused.
func Moment(where, text string, zone *time.Location) (time.Time, error) {
	t, byClock, ok := ReadMoment(text, zone)
	if !ok || t.Year() < FirstYear || t.Year() > LastYear {
		return time.Time{}, question(where, "2026-04-14T06:30, with or without an offset",
			"%s: %q is not a moment from %d to %d; write it as 2026-04-14T06:30, or with an offset as 2026-04-14T06:30+01:00", where, text, FirstYear, LastYear)
	}
	if !byClock {
		return t, nil
	}
	switch moments := OnTheClock(t, text); len(moments) {
	case 0:
		return time.Time{}, question(where, "a time that the clock shows", "%s: the clock %s skips %s; it is put forward over it", where, ZoneName(zone), text)
	case 1:
		return moments[0], nil
	default:
		return time.Time{}, question(where, "the time with its offset", "%s: the clock %s shows %s twice, as it is put back; say which with the offset: %s or %s",
			where, ZoneName(zone), text, moments[0].Format(time.RFC3339), moments[1].Format(time.RFC3339))
	}
}

const clockLayout = "2006-01-02T15:04:05"

// ReadMoment reads text in one of the accepted layouts; byClock tells that it has no offset.
func ReadMoment(text string, zone *time.Location) (t time.Time, byClock, ok bool) {
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
		if t, err := time.Parse(layout, text); err == nil {
			return t, false, true
		}
	}
	for _, layout := range []string{clockLayout, "2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(layout, text, zone); err == nil {
			return t, true, true
		}
	}
	return time.Time{}, false, false
}

// OnTheClock gives every moment, in order, at which the clock of t's zone shows the text t was read from:
// none where it is put forward over it, two where it is put back.
func OnTheClock(t time.Time, text string) []time.Time {
	shown, _, _ := ReadMoment(text, time.UTC)
	begins, ends := t.ZoneBounds()
	var moments []time.Time
	seen := map[int]bool{}
	// The offsets in force before, at and after t; where a bound is zero there is no change on that side.
	for _, near := range []time.Time{begins.Add(-time.Second), t, ends} {
		_, offset := near.In(t.Location()).Zone()
		if seen[offset] {
			continue
		}
		seen[offset] = true
		m := shown.Add(-time.Duration(offset) * time.Second).In(t.Location())
		if m.Format(clockLayout) == shown.Format(clockLayout) {
			moments = append(moments, m)
		}
	}
	if len(moments) == 2 && moments[1].Before(moments[0]) {
		moments[0], moments[1] = moments[1], moments[0]
	}
	return moments
}

// ZoneName says of which place a zone's clock is.
func ZoneName(zone *time.Location) string {
	if zone == time.Local {
		return "of this computer"
	}
	return "in " + zone.String()
}
