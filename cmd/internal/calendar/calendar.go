package calendar

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"

	ics "github.com/arran4/golang-ical"
)

// Day is what goes into one file: a day's things to do, or a season's dates.
type Day struct {
	Job    string    // its name; with Date and an event's Key it makes the event's identity
	Date   string    // the day, 2026-04-14, or another name that stays the same from answer to answer
	Place  string    // may be empty
	Stamp  time.Time // when the file is made
	Events []Event   // in order
}

// Event is one thing to do.
type Event struct {
	Key   string    // stable and unique within the day, such as "coat-1-lay"
	Start time.Time // UTC or any zone
	Whole bool      // the whole day that Start falls on, by Start's own zone; it has no End and no Alarm
	End   time.Time // zero, or not after Start: a moment
	Title string
	Note  string        // may be empty
	Alarm time.Duration // before Start; zero: none
}

// Write writes d. It panics on an event without key or start, or two with one key: those are the caller's.
func Write(w io.Writer, d Day) error {
	cal := ics.NewCalendarFor("limeday")
	cal.SetProductId("-//limeday//limeday//EN")
	cal.SetCalscale("GREGORIAN")
	seen := map[string]bool{}
	for _, e := range d.Events {
		if e.Key == "" || e.Start.IsZero() || seen[e.Key] {
			panic(fmt.Sprintf("calendar: event %q has no start, no key or another's", e.Key))
		}
		seen[e.Key] = true
		v := cal.AddEvent(uid(d.Job, d.Date, e.Key))
		v.SetDtStampTime(d.Stamp)
		v.SetLastModifiedAt(d.Stamp) // so that a later answer for the same day replaces this one
		if e.Whole {
			v.SetAllDayStartAt(e.Start)
		} else {
			v.SetStartAt(e.Start)
		}
		if !e.Whole && e.End.After(e.Start) {
			v.SetEndAt(e.End)
		}
		v.SetSummary(clean(e.Title))
		if e.Note != "" {
			v.SetDescription(clean(e.Note))
		}
		if d.Place != "" {
			v.SetLocation(clean(d.Place))
		}
		v.SetTimeTransparency(ics.TransparencyTransparent) // the hands are not booked: the wall decides
		if !e.Whole && e.Alarm > 0 {
			var a ics.VAlarm
			a.SetAction(ics.ActionDisplay)
			a.SetTrigger(fmt.Sprintf("-PT%dM", int(e.Alarm.Minutes())))
			a.SetDescription(clean(e.Title))
			v.AddVAlarm(&a)
		}
	}
	return cal.SerializeTo(w, ics.WithNewLineWindows)
}

// uid is the same for the same job, day and thing to do, and tells nothing of them.
func uid(parts ...string) string {
	sum := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	return hex.EncodeToString(sum[:16]) + "@limeday"
}

// clean drops what a text value may not hold: control characters other than line ends, and what is not UTF-8.
func clean(s string) string {
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(s)
	return strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}
