package app

import (
	"context"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/calendar"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
)

// crewJob is a hall for two hands, on brick that is damped.
const crewJob = `[place]
name = "Mill house"
zone = "Europe/Dublin"
altitude = "85m"
[room]
heating = "18C"
[[wall]]
height = "2.9m"
width = "4.4m"
[[layer]]
background = "brick"
damped = true
[[coat]]
finish = "marble-coat"
thickness = "1mm"
[[coat]]
finish = "polished-lime"
thickness = "0.1mm"
[hours]
from = "07:30"
to = "17:00"
days = "Mon-Fri"
[crew]
people = 2
`

// screenOf is the screen of a day.
func screenOf(d view.Day) string {
	return text.Day(d, view.Printer{Day: d.ToldOn()}, false)
}

// After the hours the answer is tomorrow's, with and without --for; before them it is today's. Of a Friday evening it is Monday's.
func TestEveningAnswersForTomorrow(t *testing.T) {
	read := []string{"-", "--temp", "19C", "--rh", "55"}
	at := func(moment string, more ...string) view.Day {
		return viewOf(t, crewJob, 10, append(append(slices.Clone(read), "--at", moment), more...)...)
	}
	plain := at("2026-04-14T17:20")
	for _, said := range [][]string{{"--for", "tomorrow"}, {"--for", "2026-04-15"}} {
		if got := screenOf(at("2026-04-14T17:20", said...)); got != screenOf(plain) {
			t.Errorf("%v: %s\nis not\n%s", said, got, screenOf(plain))
		}
	}
	for name, c := range map[string]struct {
		day  view.Day
		want []string
	}{
		"evening":  {plain, []string{"Tue 14 Apr 2026, 17:20, Europe/Dublin, for Wed 15 Apr\n\nDOUBTFUL tomorrow: coat 1.", "Tomorrow's air is not known", "\nThis evening:\n", "07:30  "}},
		"noon":     {at("2026-04-14T12:00", "--for", "tomorrow"), []string{"for Wed 15 Apr", "DOUBTFUL tomorrow"}},
		"today":    {at("2026-04-14T17:20", "--for", "today"), []string{"NO-GO today.", "The working hours are over"}},
		"hours on": {at("2026-04-14T16:00"), []string{"today"}},
		"Friday":   {at("2026-04-17T17:20"), []string{"for Mon 20 Apr", "DOUBTFUL Monday: coat 1.", "Monday's air is not known", "\nSunday evening:\n"}},
		"free day": {at("2026-04-17T12:00", "--for", "2026-04-18"), []string{"NOT tomorrow.", "No working day: nothing is due."}},
	} {
		said := screenOf(c.day)
		for _, w := range c.want {
			if !strings.Contains(said, w) {
				t.Errorf("%s: %q is not in\n%s", name, w, said)
			}
		}
		if name != "evening" && strings.Contains(said, "Wed 15 Apr 07:30") {
			t.Errorf("%s: the day stands in a cell:\n%s", name, said)
		}
	}
}

// TestEveningBadDays: a day that cannot be asked about is refused with what can be.
func TestEveningBadDays(t *testing.T) {
	for _, c := range []struct {
		day  string
		code int
		says string
	}{
		{"2026-04-13", ExitUsage, "before the day of asking"},
		{"2026-05-13", ExitUsage, "over 7 days after"},
		{"2026-04-18", ExitNoWeather, "the air is known to"},
		{"soon", ExitUsage, "write today, tomorrow or a date"},
		{"2026-02-30", ExitUsage, "write today, tomorrow or a date"},
		{"", ExitUsage, "is empty"},
	} {
		code, out, errs := filesRun(context.Background(), "--temp", "18", "--rh", "60", "--for", c.day)
		if code != c.code || out != "" || !strings.Contains(errs, c.says) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%q: exit status %d, %q", c.day, code, errs)
		}
	}
}

// Each deed has an entry, at the end of the hours or now where that is later, or at its own time; a deed on a no-go is entered without the coats.
func TestEveningCalendar(t *testing.T) {
	entries := func(args ...string) map[string]calendar.Event {
		d := viewOf(t, crewJob, 10, append([]string{"-", "--rh", "55"}, args...)...)
		out := map[string]calendar.Event{}
		for _, e := range calendar.OfDay(d, view.Printer{Day: d.ToldOn()}, d.At).Events {
			out[e.Key] = e
		}
		return out
	}
	clock := func(e calendar.Event) string { return e.Start.In(zone(t, "Europe/Dublin")).Format("Mon 15:04") }
	for moment, eve := range map[string]string{"2026-04-14T17:20": "Tue 17:20", "2026-04-14T11:00": "Tue 17:00"} {
		got := entries("--temp", "19C", "--at", moment, "--for", "tomorrow")
		for key, want := range map[string]string{"eve-heat": eve, "eve-damp": eve, "eve-hands": eve, "eve-batch": eve, "eve-damp-again": "Wed 07:00", "coat-1-lay": "Wed 07:30"} {
			if e, ok := got[key]; !ok || clock(e) != want {
				t.Errorf("%s: %s is at %s, not %s: %+v", moment, key, clock(e), want, got)
			}
		}
		if lay := got["coat-1-lay"]; !strings.HasSuffix(lay.Title, "(doubtful)") {
			t.Errorf("%q does not say how likely it is", lay.Title)
		}
	}
	cold := entries("--temp", "8C", "--at", "2026-04-14T17:20")
	if _, heat := cold["eve-heat"]; !heat || len(cold) != 1 {
		t.Errorf("a cold room: %+v", cold)
	}
}

// TestEveningPage: the page follows the clock: after the hours it shows tomorrow, with what is to be done this evening.
func TestEveningPage(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "hall.toml")
	if err := os.WriteFile(path, []byte(crewJob), 0o600); err != nil {
		t.Fatal(err)
	}
	s := serving(t, dir, path)
	s.clock.add(10*time.Hour + 50*time.Minute)
	s.post("/job/1/reading", url.Values{"temp": {"19C"}, "rh": {"55"}})
	_, body := s.get("/job/1")
	for _, want := range []string{"<strong>DOUBTFUL</strong> tomorrow: coat 1.", "<h2>This evening</h2>", "for Wed 15 Apr", "Damp the masonry."} {
		if !strings.Contains(body, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
}
