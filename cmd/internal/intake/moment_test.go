package intake

import (
	"errors"
	"strings"
	"testing"
	"time"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func TestMoment(t *testing.T) {
	for _, tc := range []struct{ zone, text, want, refused string }{
		{"Europe/Dublin", "2026-04-14T06:30", "2026-04-14T06:30:00+01:00", ""},
		{"Europe/Dublin", "2026-04-14 06:30", "2026-04-14T06:30:00+01:00", ""},
		{"Europe/Dublin", "2026-01-14T06:30:10", "2026-01-14T06:30:10Z", ""},
		{"Europe/Dublin", "2026-04-14T06:30+05:45", "2026-04-14T06:30:00+05:45", ""},
		{"Europe/Dublin", "2026-04-14T06:30:00Z", "2026-04-14T06:30:00Z", ""},
		{"Europe/Dublin", "2026-03-29T00:59", "2026-03-29T00:59:00Z", ""},
		{"Europe/Dublin", "2026-03-29T01:00", "", "skips"},
		{"Europe/Dublin", "2026-03-29T01:59:59", "", "skips"},
		{"Europe/Dublin", "2026-03-29T02:00", "2026-03-29T02:00:00+01:00", ""},
		{"Europe/Dublin", "2026-10-25T00:59", "2026-10-25T00:59:00+01:00", ""},
		{"Europe/Dublin", "2026-10-25T01:00", "", "2026-10-25T01:00:00+01:00 or 2026-10-25T01:00:00Z"},
		{"Europe/Dublin", "2026-10-25T01:59", "", "twice"},
		{"Europe/Dublin", "2026-10-25T01:59Z", "2026-10-25T01:59:00Z", ""},
		{"Europe/Dublin", "2026-10-25T02:00", "2026-10-25T02:00:00Z", ""},
		{"America/Denver", "2026-03-08T02:30", "", "skips"},
		{"America/Denver", "2026-11-01T01:30", "", "twice"},
		{"Australia/Lord_Howe", "2026-10-04T02:15", "", "skips"}, // half an hour
		{"Australia/Lord_Howe", "2026-04-05T01:45", "", "twice"}, // half an hour
		{"Pacific/Apia", "2011-12-30T12:00", "", "skips"},        // a whole day
		{"UTC", "2026-03-29T01:30", "2026-03-29T01:30:00Z", ""},  // no change at all
		{"Asia/Kathmandu", "2026-03-29T01:30", "2026-03-29T01:30:00+05:45", ""},
		{"UTC", "2026-02-30T06:30", "", "is not a moment"},
		{"UTC", "2026-04-14", "", "is not a moment"},
		{"UTC", "06:30", "", "is not a moment"},
		{"UTC", "9999-12-31T23:59", "", "is not a moment"},
		{"UTC", "0000-01-01T00:00Z", "", "is not a moment"},
	} {
		got, err := Moment("--at", tc.text, zone(t, tc.zone))
		switch {
		case tc.refused == "" && (err != nil || got.Format(time.RFC3339) != tc.want):
			t.Errorf("%s %s: %s, %v; want %s", tc.zone, tc.text, got.Format(time.RFC3339), err, tc.want)
		case tc.refused != "" && (err == nil || !strings.Contains(err.Error(), tc.refused)):
			t.Errorf("%s %s: %s, %v; want a refusal that says %q", tc.zone, tc.text, got.Format(time.RFC3339), err, tc.refused)
		}
	}
}

// A moment taken without offset is one that the clock shows, and shows once: the same text an hour (or the
// half of Lord Howe) earlier or later is another time of the clock.
func FuzzMoment(f *testing.F) {
	for _, s := range []string{"2026-04-14T06:30", "2026-03-29T01:30", "2026-10-25T01:30", "2026-04-14T06:30:00+01:00", "2026-04-05T01:45", "2026-04-14 06:30", "1916-05-21T02:25"} {
		f.Add(s, uint8(0))
		f.Add(s, uint8(3))
	}
	names := []string{"Europe/Dublin", "America/Denver", "UTC", "Australia/Lord_Howe", "Asia/Kathmandu", "Pacific/Apia"}
	f.Fuzz(func(t *testing.T, text string, which uint8) {
		z := zone(t, names[int(which)%len(names)])
		m, err := Moment("--at", text, z)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.Reason != Question || e.Where != "--at" || e.Expected == "" {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		if y := m.Year(); y < FirstYear || y > LastYear {
			t.Fatalf("%q is in %d", text, y)
		}
		shown, byClock, ok := ReadMoment(text, time.UTC)
		if !ok {
			t.Fatalf("%q was taken but cannot be read", text)
		}
		if !byClock {
			if !m.Equal(shown) {
				t.Fatalf("%q is %s", text, m)
			}
			return
		}
		if m.Location() != z || m.Format(clockLayout) != shown.Format(clockLayout) {
			t.Fatalf("%q is %s by the clock", text, m)
		}
		for _, d := range []time.Duration{30 * time.Minute, time.Hour} {
			for _, other := range []time.Time{m.Add(d), m.Add(-d)} {
				if other.Format(clockLayout) == shown.Format(clockLayout) {
					t.Fatalf("%q is shown twice, at %s and %s", text, m, other)
				}
			}
		}
	})
}
