package app

import (
	"time"

	"limeday/cmd/internal/view"
)

// Years that a moment of asking can be in.
const firstYear, lastYear = 1900, 2200

// parseMoment reads --at: with an offset, or by the clock of the job's zone. A time that the clock skips, or
// shows twice, is refused.
func parseMoment(text string, zone *time.Location) (time.Time, error) {
	return momentOf("--at", text, zone)
}

// momentOf does so for what stands at where.
func momentOf(where, text string, zone *time.Location) (time.Time, error) {
	t, byClock, ok := readMoment(text, zone)
	if !ok || t.Year() < firstYear || t.Year() > lastYear {
		return time.Time{}, usage(where, "2026-04-14T06:30, with or without an offset",
			"%s: %q is not a moment from %d to %d; write it as 2026-04-14T06:30, or with an offset as 2026-04-14T06:30+01:00", where, text, firstYear, lastYear)
	}
	if !byClock {
		return t, nil
	}
	switch moments := onTheClock(t, text); len(moments) {
	case 0:
		return time.Time{}, usage(where, "a time that the clock shows", "%s: the clock %s skips %s; it is put forward over it", where, zoneName(zone), text)
	case 1:
		return moments[0], nil
	default:
		return time.Time{}, usage(where, "the time with its offset", "%s: the clock %s shows %s twice, as it is put back; say which with the offset: %s or %s",
			where, zoneName(zone), text, moments[0].Format(time.RFC3339), moments[1].Format(time.RFC3339))
	}
}

const clockLayout = "2006-01-02T15:04:05"

// readMoment reads text in one of the accepted layouts; byClock tells that it has no offset.
func readMoment(text string, zone *time.Location) (t time.Time, byClock, ok bool) {
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

// onTheClock gives every moment, in order, at which the clock of t's zone shows the text t was read from:
// none where it is put forward over it, two where it is put back.
func onTheClock(t time.Time, text string) []time.Time {
	shown, _, _ := readMoment(text, time.UTC)
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

// zoneName says of which place a zone's clock is.
func zoneName(zone *time.Location) string {
	if zone == time.Local {
		return "of this computer"
	}
	return "in " + zone.String()
}

// stamp is a day and time with its zone.
func stamp(t time.Time) string { return view.Stamp(t) }
