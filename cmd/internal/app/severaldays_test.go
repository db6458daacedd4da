package app

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"limeday/cmd/internal/calendar"
	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/cmd/internal/wire"
	"limeday/drying"
)

// severalJob is a job on a background, its coats as finish and thickness.
func severalJob(background string, coats ...string) string {
	job := "[place]\nname = \"Mill house\"\nzone = \"Europe/Dublin\"\naltitude = \"85m\"\n[room]\nvolume = \"62m3\"\nair_changes = 0.5\n" +
		"[[wall]]\nheight = \"2.9m\"\nwidth = \"4.4m\"\n[[layer]]\nbackground = \"" + background + "\"\n"
	for i := 0; i < len(coats); i += 2 {
		job += fmt.Sprintf("[[coat]]\nfinish = %q\nthickness = %q\n", coats[i], coats[i+1])
	}
	return job + "[hours]\nfrom = \"08:00\"\nto = \"17:00\"\n"
}

var (
	bathJob   = severalJob("gypsum-board", "grit-primer", "0.3mm", "marble-coat", "1mm", "polished-lime", "0.12mm", "polished-lime", "0.08mm")
	renderJob = severalJob("brick", "nhl-render", "8mm", "nhl-render", "6mm")
	hallJob   = severalJob("primed-board", "polished-lime", "0.2mm", "polished-lime", "0.12mm", "polished-lime", "0.08mm")
)

// severalDays are the views of jobs that take days.
func severalDays(t *testing.T) map[string]view.Day {
	t.Helper()
	days, err := severalViews()
	if err != nil {
		t.Fatal(err)
	}
	return days
}

// severalViews works them out once.
var severalViews = sync.OnceValues(func() (map[string]view.Day, error) {
	var air strings.Builder
	air.WriteString("time,temp,rh\n")
	for h := range 24 * 9 {
		fmt.Fprintf(&air, "2026-04-%02dT%02d:00,16,62\n", 12+h/24, h%24)
	}
	dir, err := os.MkdirTemp("", "several")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	week := filepath.Join(dir, "week.csv")
	if err := os.WriteFile(week, []byte(air.String()), 0o600); err != nil {
		return nil, err
	}
	known, typed := []string{"-", "--readings", week, "--at"}, []string{"-", "--temp", "16C", "--rh", "62", "--at"}
	out := map[string]view.Day{}
	for name, c := range map[string]struct {
		job  string
		air  []string
		more []string
	}{
		"three days":   {bathJob, known, []string{"2026-04-14T06:30"}},
		"one reading":  {bathJob, typed, []string{"2026-04-14T06:30"}},
		"render":       {renderJob, known, []string{"2026-04-14T06:30"}},
		"render waits": {renderJob, known, []string{"2026-04-14T06:30", "--since", "coat1=laid@2026-04-13T15:00"}},
		"from 15:00":   {hallJob, typed, []string{"2026-04-14T15:00"}},
		"evening":      {hallJob, known, []string{"2026-04-14T19:30"}},
		"misted":       {hallJob, typed, []string{"2026-04-14T06:30", "--since", "coat1=laid@2026-04-13T12:00"}},
		"all laid": {hallJob, known, []string{"2026-04-15T06:30", "--since",
			"coat1=laid@2026-04-14T09:00,coat2=laid@2026-04-14T12:00,coat3=laid@2026-04-14T14:00"}},
	} {
		if out[name], err = askedOf(context.Background(), c.job, 6, append(append([]string{}, c.air...), c.more...)...); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return out, nil
})

// allDays are the views of the golden runs and of jobs that take days.
func allDays(t *testing.T) map[string]view.Day {
	t.Helper()
	out := maps.Clone(goldenDays(t))
	maps.Copy(out, severalDays(t))
	return out
}

// The lead says what is due today, then when the rest is, and no more than that.
func TestLead(t *testing.T) {
	days := severalDays(t)
	for name, want := range map[string]string{
		"three days":   "GO: coat 1 today. Coat 2 Wed 15 Apr from 08:00.",
		"one reading":  "GO: coat 1 today. Coats 2 to 4 not before Wed 15 Apr: ask again that morning.",
		"render":       "GO: coat 1 today. Coat 2 Fri 17 Apr from 08:00.",
		"render waits": "NO-GO today. Coat 2 Thu 16 Apr from ",
		"from 15:00":   "GO: coat 1 today. Coats 2 and 3 not before Wed 15 Apr: ask again that morning.",
		"evening":      "DOUBTFUL tomorrow: coats 1 to 3.",
		"misted":       "GO WITH CARE: coats 2 and 3 today.",
		"all laid":     "All coats are laid. Next: soap from Wed 15 Apr.",
	} {
		d := days[name]
		if got := (view.Printer{Day: d.ToldOn()}).Text(d.Verdict.Sentence()); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q, not %q", name, got, want)
		}
	}
	for name, want := range map[string][]string{
		"three days":   {"the trade leaves it 12 h to 24 h, until 20:00 to Wed 08:00", "Wed 15 Apr likely: coat 2 from 08:00", "Thu 16 Apr ", ", on a misted bed"},
		"render waits": {"1 nhl-render 8 mm laid Mon 13 Apr 15:00"},
		"misted":       {"mist the bed 5 min before; next coat from", "Seen coat 1 laid Mon 12:00."},
		"all laid":     {"3 polished-lime 0.08 mm laid Tue 14 Apr 14:00"},
	} {
		d := days[name]
		said := squashed(text.Day(d, view.Printer{Day: d.ToldOn()}, false))
		for _, w := range want {
			if !strings.Contains(said, w) {
				t.Errorf("%s: %q is not in %q", name, w, said)
			}
		}
	}
}

// Programs are told of every day and every coat of the plan.
func TestPlanOnTheWire(t *testing.T) {
	for name, d := range severalDays(t) {
		out := wire.NewToday(d)
		on := map[int]string{}
		for _, day := range out.Days {
			for _, n := range day.Coats {
				on[n] = day.Date
			}
		}
		if len(out.Coats) != len(d.Exact.Coats) || len(out.Days) == 0 {
			t.Fatalf("%s: %d coats, %d days", name, len(out.Coats), len(out.Days))
		}
		for _, c := range out.Coats {
			switch {
			case c.Lay == nil:
				t.Errorf("%s: coat %d is not laid", name, c.Coat)
			case !c.Done && on[c.Coat] != (*c.Lay)[:10]:
				t.Errorf("%s: coat %d is laid at %s, and planned on %q", name, c.Coat, *c.Lay, on[c.Coat])
			case c.Due == "not-before" && (c.Edge != nil || c.Opens != nil || c.Burnish != nil || c.Closes != nil || c.Recoat != nil):
				t.Errorf("%s: coat %d has times though its air is not known", name, c.Coat)
			}
		}
	}
}

// The calendar has an entry for each coat that is planned, and none for one that is not known but that to ask again.
func TestLaterDaysInTheCalendar(t *testing.T) {
	for name, want := range map[string][]string{
		"three days":  {"Lay coat 1 grit-primer 0.3 mm", "Lay coat 2 marble-coat 1 mm (likely)", "Lay coat 3 polished-lime 0.12 mm (", "Lay coat 4 polished-lime 0.08 mm ("},
		"one reading": {"Lay coat 1 grit-primer 0.3 mm", "Ask again: coats 2 to 4"},
		"all laid":    nil,
	} {
		d := severalDays(t)[name]
		events := calendar.OfDay(d, view.Printer{Day: d.ToldOn()}, d.At).Events
		if len(events) != len(want) {
			t.Errorf("%s: %d entries", name, len(events))
			continue
		}
		for i, e := range events {
			if !strings.HasPrefix(e.Title, want[i]) || e.Whole != strings.HasPrefix(e.Title, "Ask again") {
				t.Errorf("%s: %q, whole day %t", name, e.Title, e.Whole)
			}
		}
	}
}

// A day off is no day of work: the coats are the next working day's.
func TestDayOffIsShown(t *testing.T) {
	inv := &invocation{Env: Env{Stdin: strings.NewReader(hallJob), Now: time.Now, Transport: noNetwork{}}, Out: &bytes.Buffer{}, Notes: &bytes.Buffer{}}
	fs := newFlags("today")
	q := todayFlags(fs)
	if err := fs.Parse([]string{"-", "--temp", "16C", "--rh", "62", "--at", "2026-04-18T06:30"}); err != nil {
		t.Fatal(err)
	}
	inv.Args = fs.Args()
	r, err := q.read(t.Context(), inv, &q.files.outFiles)
	if err != nil {
		t.Fatal(err)
	}
	r.jobs[0].Hours.Free[time.Saturday], r.jobs[0].Hours.Free[time.Sunday] = true, true
	a, err := drying.Check(r.jobs[0], r.ask)
	if err != nil {
		t.Fatal(err)
	}
	d := view.NewDay(view.Asked{Answer: a, Job: "hall", Head: "hall"})
	p := view.Printer{Day: d.ToldOn()}
	if got := p.Text(d.Verdict.Sentence()); !strings.HasPrefix(got, "NO-GO today. Coats 1 ") || !strings.Contains(got, " Mon 20 Apr") {
		t.Errorf("%q", got)
	}
	if d.Reasons[0].Code != string(drying.CodeFreeDay) || d.AllTheSame {
		t.Errorf("%+v, all the same %t", d.Reasons[0], d.AllTheSame)
	}
	said := text.Day(d, p, false)
	if !strings.Contains(squashed(said), "Later days: Mon 20 Apr ") {
		t.Errorf("%s", said)
	}
	var page bytes.Buffer
	if err := sheet.Write(&page, d, view.Printer{Units: quantity.US, Day: d.ToldOn()}); err != nil || !strings.Contains(page.String(), "<dt>Mon 20 Apr</dt>") {
		t.Errorf("%v: the sheet lacks the day", err)
	}
	if drawn := drawing.OfDay(d, p); len(drawn.Coats) > 0 || len(drawn.Ahead) == 0 || d.Drawn() {
		t.Errorf("%d coats, %d days are drawn", len(drawn.Coats), len(drawn.Ahead))
	}
}

// Where no coat is due any more there is no calendar to write, and that is said.
func TestNoEmptyCalendar(t *testing.T) {
	path := filepath.Join(t.TempDir(), "done.ics")
	seen := "coat1=laid@2026-04-14T09:00,coat2=laid@2026-04-14T12:00,coat3=laid@2026-04-14T14:00"
	_, _, notes := runAt(hallJob, "today", "-", "--temp", "16C", "--rh", "62", "--at", "2026-04-15T06:30", "--since", seen, "--calendar", path)
	if !strings.Contains(notes, "No calendar: no coat is due") {
		t.Errorf("%q", notes)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("an empty calendar is written")
	}
}
