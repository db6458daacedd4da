package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
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
	"limeday/drying/message"
)

// viewOf is the view of one today command line, with the job on standard input.
func viewOf(t *testing.T, job string, members int, args ...string) view.Day {
	t.Helper()
	d, err := askedOf(t.Context(), job, members, args...)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func askedOf(ctx context.Context, job string, members int, args ...string) (view.Day, error) {
	inv := &invocation{Env: Env{Members: members, Stdin: strings.NewReader(job), Now: func() time.Time { return time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC) }, Transport: noNetwork{}},
		Out: &bytes.Buffer{}, Notes: &bytes.Buffer{}}
	fs := newFlags("today")
	q := todayFlags(fs)
	if err := fs.Parse(args); err != nil {
		return view.Day{}, err
	}
	inv.Args = fs.Args()
	_, _, d, err := q.day(ctx, inv)
	return d, err
}

// goldenViews are the views of the golden runs of today, by their names: worked out once.
var goldenViews = sync.OnceValues(func() (map[string]view.Day, error) {
	files, err := filepath.Glob("testdata/golden/*.json")
	out := map[string]view.Day{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		var g golden
		if err := json.Unmarshal(data, &g); err != nil {
			return nil, err
		}
		if g.Args[0] != "today" {
			continue
		}
		if out[filepath.Base(file)], err = askedOf(context.Background(), strings.Join(g.Job, "\n"), 10, g.Args[1:]...); err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
	}
	return out, err
})

func goldenDays(t *testing.T) map[string]view.Day {
	t.Helper()
	out, err := goldenViews()
	if err != nil || len(out) < 12 {
		t.Fatalf("%d days, %v", len(out), err)
	}
	return out
}

var (
	tags    = regexp.MustCompile(`<[^>]*>`)
	inWords = regexp.MustCompile(`\d\s?(C|F|K|mm|mil|min|h|m2|ft2|m/s|mph|%|kg|lb|l|qt|Pa|hPa|inHg|d)\b|\d\d:\d\d`)
)

// squashed is a text without its line breaks, blanks and tags.
func squashed(s string) string {
	s = html.UnescapeString(tags.ReplaceAllString(s, " "))
	return strings.Join(strings.Fields(s), " ")
}

// facts is everything that a view says, as it is printed.
func facts(d view.Day, p view.Printer) []string {
	out := []string{d.Head, p.Text(d.Verdict.Says), p.Text(d.Verdict.Start), d.Unknown, d.Tint, p.Text(d.Left), d.NoHelp}
	say := func(texts ...message.Text) {
		for _, t := range texts {
			out = append(out, p.Text(t))
		}
	}
	for _, r := range d.Reasons {
		say(r.Says)
	}
	if len(d.Eve) > 0 {
		out = append(out, d.EveOf)
	}
	for _, e := range d.Eve {
		say(e.Says)
	}
	for _, r := range append(append([]view.Row{}, d.State...), d.Later...) {
		out = append(out, r.Label)
		say(r.Says...)
	}
	for _, l := range d.Days {
		say(l.Day(), l.Says)
	}
	for _, c := range d.Plan {
		if say(c.Name, c.Band); len(c.Past) > 0 {
			say(c.Past)
			continue
		}
		say(c.Bed, c.Note)
		out = append(out, p.Clock(c.Lay), p.Brief(c.Edge))
		for _, s := range c.Then {
			out = append(out, s.Name, p.Time(s.At))
		}
	}
	for _, s := range d.Signs {
		out = append(out, s.Name, s.Says)
	}
	for _, w := range d.Watch {
		out = append(out, w.Name, w.Says)
	}
	for _, c := range d.Changes {
		say(c.Name(), c.Effect)
	}
	for _, c := range d.After {
		say(c.When)
		if out = append(out, c.Name); c.Wall == "" { // of walls already laid only when
			out = append(out, c.Do, c.Why)
		}
	}
	say(view.Laid(d.After)...)
	for _, l := range d.Limits {
		say(l.Says)
	}
	return append(out, d.Danger...)
}

// What the screen says, sheet and page say, word for word; what is told of a time stands in the calendar and the drawing too.
func TestWritersSayTheSame(t *testing.T) {
	for name, d := range allDays(t) {
		for _, u := range []quantity.Units{quantity.Metric, quantity.US} {
			p := view.Printer{Units: u, Day: d.ToldOn()}
			keep := p
			keep.Keep = true
			var page bytes.Buffer
			if err := sheet.Write(&page, d, p); err != nil {
				t.Fatal(err)
			}
			screen, printed := strings.ToLower(squashed(text.Day(d, keep, true))), strings.ToLower(squashed(page.String()))
			for _, f := range facts(d, p) {
				f = strings.ToLower(squashed(f))
				if f != d.NoHelp && !strings.Contains(screen, f) && !idle(d, f) {
					t.Errorf("%s: the screen lacks %q", name, f)
				}
				if f != d.NoHelp && !strings.Contains(printed, f) {
					t.Errorf("%s: the sheet lacks %q", name, f)
				}
			}
			for _, line := range strings.Split(text.Day(d, p, true), "\n") {
				if text.Wide(line) > text.Width {
					t.Errorf("%s: %q is too long", name, line)
				}
			}
			drawn := drawing.OfDay(d, p)
			for i, l := range d.Days {
				if x := drawn.Ahead[i]; x.Day != p.Text(l.Day()) || x.Says != p.Text(l.Says) {
					t.Errorf("%s: the drawing says %q of %s", name, x.Says, x.Day)
				}
			}
			i := -1
			for _, c := range d.Plan {
				if len(c.Past) > 0 {
					continue
				}
				i++
				for k, s := range c.Then {
					if x := drawn.Coats[i].Steps[k]; x.Says != p.Time(s.At) || !x.At.Equal(s.At.Shown()) {
						t.Errorf("%s: the drawing has coat %d %s %q at %s, not %q", name, c.Number, s.Name, x.Says, x.At, p.Time(s.At))
					}
				}
			}
			for _, e := range calendar.OfDay(d, p, d.At).Events {
				if !shown(d, e.Start) || !e.End.IsZero() && !shown(d, e.End) {
					t.Errorf("%s: the calendar has %q from %s to %s, which nothing else says", name, e.Title, e.Start, e.End)
				}
			}
		}
	}
}

// idle: the screen does not name protection that nothing calls for.
func idle(d view.Day, f string) bool {
	for _, c := range d.After {
		if c.Idle && f == c.Name {
			return true
		}
	}
	return false
}

// shown tells whether a moment is one of the plan's, as it is shown.
func shown(d view.Day, at time.Time) bool {
	for _, e := range d.Eve {
		if at.Equal(e.When()) {
			return true
		}
	}
	for _, l := range d.Days {
		for _, c := range l.Coats {
			if at.Equal(c.Lay.Shown()) || at.Equal(l.Date) {
				return true
			}
		}
	}
	for _, c := range d.Plan {
		if at.Equal(c.Lay.Shown()) {
			return true
		}
		for _, s := range c.Then {
			if at.Equal(s.At.Shown()) {
				return true
			}
		}
	}
	return false
}

// No words carry a number with its unit, or a clock: those are quantities, which the reader's units write. What services and loggers' files say
// of themselves are words of theirs, told with --detail.
func TestNoUnitsInWords(t *testing.T) {
	for name, d := range allDays(t) {
		d.Exact.Weather.Notes, d.Head, d.State = nil, "", slices.Clone(d.State)
		for i, r := range d.State {
			if r.Label == "Source" {
				d.State[i].Says = nil
			}
		}
		found := 0
		var walk func(v reflect.Value, path string)
		walk = func(v reflect.Value, path string) {
			switch v.Kind() {
			case reflect.Struct:
				if p, ok := v.Interface().(message.Part); ok {
					found++
					if inWords.MatchString(p.Words) {
						t.Errorf("%s: %s: %q", name, path, p.Words)
					}
					return
				}
				for i := range v.NumField() {
					if v.Type().Field(i).IsExported() {
						walk(v.Field(i), path+"."+v.Type().Field(i).Name)
					}
				}
			case reflect.Slice:
				for i := range v.Len() {
					walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
				}
			}
		}
		walk(reflect.ValueOf(d), "")
		if found < 50 {
			t.Errorf("%s: only %d parts", name, found)
		}
	}
	if !inWords.MatchString("Heat the room to 17 C") || !inWords.MatchString("at 09:15") || inWords.MatchString("coat 2 becomes care") {
		t.Error("the rule does not bite")
	}
}

// The same job and reading give one answer at the flags and on the page.
func TestTodayAndPageAnswerAlike(t *testing.T) {
	folder, path := stairsFolder(t)
	zone, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 4, 14, 6, 30, 0, 0, zone)
	inv := &invocation{Env: Env{Members: 10, Now: func() time.Time { return now }, Transport: noNetwork{}, CacheDir: folder, ConfigDir: folder}, Out: &bytes.Buffer{}, Notes: &bytes.Buffer{}}
	j := &deskJob{path: path, name: "Back stairs", diary: filepath.Join(folder, "stairs.diary")}
	d := &desk{ctx: t.Context(), inv: inv, jobs: []*deskJob{j}, seed: 1}
	if err := d.Read(t.Context(), 0, url.Values{"temp": {"15"}, "rh": {"64"}, "wall_temp": {"13.5"}}, quantity.Metric); err != nil {
		t.Fatal(err)
	}
	page := d.Today(t.Context(), 0, quantity.Metric)
	if page.Day == nil {
		t.Fatal(page.Fault)
	}
	flags := viewOf(t, "", 10, path, "--temp", "15", "--rh", "64", "--wall-temp", "13.5", "--at", "2026-04-14T06:30")
	a, b := wire.NewToday(flags), wire.NewToday(page.Day.Day)
	if !reflect.DeepEqual(a, b) {
		x, _ := json.MarshalIndent(a, "", " ")
		y, _ := json.MarshalIndent(b, "", " ")
		t.Errorf("at the flags %s\non the page %s", x, y)
	}
}

// One moment is told once: the next coat can follow from when it is laid, a change tells when the plan is done as the plan does, and tape comes
// off in the window of the last coat.
func TestOneMomentIsToldOnce(t *testing.T) {
	lays, dones, tapes := 0, 0, 0
	for name, d := range allDays(t) {
		p := view.Printer{Day: d.ToldOn()}
		if n := len(d.Plan); n > 0 && len(d.Days) > 0 && len(d.Plan[n-1].Past) == 0 {
			if next, lay := d.Plan[n-1].Then[0].At.At, d.Days[0].Coats[0].Lay.At; !next.Equal(lay) {
				t.Errorf("%s: next coat from %s, and it is laid at %s", name, next, lay)
			}
		}
		for i, c := range d.Plan[:max(len(d.Plan)-1, 0)] {
			if len(c.Past) > 0 {
				continue
			}
			if next, lay := p.Clock(c.Then[0].At), p.Clock(d.Plan[i+1].Lay); next != lay {
				t.Errorf("%s: next coat from %s, and it is laid at %s", name, next, lay)
			}
			lays++
		}
		if len(d.Plan) == 0 || !d.Plan[len(d.Plan)-1].Last || len(d.Plan[len(d.Plan)-1].Past) > 0 {
			continue
		}
		steps := d.Plan[len(d.Plan)-1].Then
		gone := steps[len(steps)-1]
		for _, c := range d.Changes {
			if _, told, ok := strings.Cut(p.Text(c.Effect), " instead of "); ok && c.Code != "start" {
				dones++
				if told != p.Clock(gone.At) {
					t.Errorf("%s: %s: done instead of %s, and the plan says %s", name, c.Code, told, p.Clock(gone.At))
				}
			}
		}
		for _, c := range d.After {
			if c.Code == "tape-off" {
				tapes++
				if told := p.Text(c.When); !strings.HasSuffix(told, " to "+p.Clock(gone.At)) {
					t.Errorf("%s: tape comes off %s, and the coat is gone by %s", name, told, p.Clock(gone.At))
				}
			}
		}
	}
	if lays < 10 || dones < 5 || tapes < 5 {
		t.Errorf("only %d layings, %d ends, %d tapes", lays, dones, tapes)
	}
}

// Where the fast spot is gone by before the slow one is ready, nobody is called to burnish what is gone: the slow spots are named, no step
// lasts past its end, and the drawing shades no window that there is not.
func TestSpotsWithoutACommonWindow(t *testing.T) {
	d := viewOf(t, stairsJob+"\n[suction]\ndrop_test = [\"10s\", \"30min\"]\n", 10, "-", "--temp", "18C", "--rh", "55", "--at", "2026-04-14T06:30")
	last := d.Plan[len(d.Plan)-1]
	if !last.Last {
		t.Fatalf("%s is no day with a last coat", d.Verdict.Code)
	}
	p := view.Printer{Day: d.ToldOn()}
	var gone, burnish view.Step
	for _, s := range last.Then {
		switch s.Code {
		case "gone":
			gone = s
		case "burnish", "close":
			burnish = s
		}
	}
	if !burnish.At.At.After(gone.At.At) {
		t.Fatalf("these spots share a window: %s to %s", p.Time(burnish.At), p.Time(gone.At))
	}
	if burnish.Name != "burnish the slow spots" || gone.Name != "the fast ones gone by" {
		t.Errorf("told as %q, %q", burnish.Name, gone.Name)
	}
	for _, s := range last.States {
		if s.Code == "burnish" {
			t.Errorf("a window is drawn to %s", s.End.At)
		}
	}
	for _, e := range calendar.OfDay(d, p, d.At).Events {
		if !e.End.IsZero() && !e.End.After(e.Start) || strings.HasPrefix(e.Title, "Burnish coat") {
			t.Errorf("%q from %s to %s", e.Title, e.Start, e.End)
		}
	}
}
