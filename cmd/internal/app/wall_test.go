package app

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/crew"
)

// smallHall is a job small enough to be read whole: one coat that is closed in, by two hands.
const smallHall = `
[place]
zone = "Europe/Dublin"
[room]
[[wall]]
name = "back wall"
width = "3m"
height = "2m"
right = "external"
[[layer]]
background = "primed-board"
[[coat]]
finish = "polished-lime"
thickness = "0.15mm"
[crew]
people = 2
strip = "0.5m"
bucket = "5kg"
`

func wallOf1(t *testing.T, job string, args ...string) wallPlanned {
	t.Helper()
	code, out, errs := runAt(job, append([]string{"wall", "-", "--json"}, args...)...)
	if code != ExitOK {
		t.Fatalf("exit status %d: %s", code, errs)
	}
	var a wallPlanned
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

// The answer hangs together: every patch is laid, compressed and burnished once, inside its window, and nobody is in two places.
func TestWallAnswer(t *testing.T) {
	a := wallOf1(t, smallHall, "--temp", "18C", "--rh", "50")
	if !a.Whole || !a.Band || len(a.Left) > 0 || len(a.Sections) != 1 {
		t.Fatalf("%+v", a)
	}
	patches := a.Walls[0].Patches
	sum := 0.0
	for _, p := range patches {
		sum += p.AreaM2
	}
	if d := sum - 6; d > 1e-9 || d < -1e-9 {
		t.Errorf("the patches have %g m2 of 6", sum)
	}
	at := func(s string) time.Time {
		x, err := time.Parse(time.RFC3339, s)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	done := map[[2]string]int{}
	busy := map[string][]wallTask{}
	for _, x := range a.Tasks {
		done[[2]string{x.Op, string(rune(x.Patch))}]++
		busy[x.Hand] = append(busy[x.Hand], x)
		if x.Op == "lay" {
			continue
		}
		if x.Opens == nil || x.Closes == nil || at(x.End).Before(at(*x.Opens)) || at(x.Start).After(at(*x.Closes)) {
			t.Errorf("%s of patch %d from %s to %s, its window is %v to %v", x.Op, x.Patch, x.Start, x.End, *x.Opens, *x.Closes)
		}
	}
	if len(done) != 3*len(patches) || len(a.Tasks) != len(done) {
		t.Errorf("%d tasks, %d of them different, on %d patches", len(a.Tasks), len(done), len(patches))
	}
	for hand, tasks := range busy {
		slices.SortFunc(tasks, func(x, y wallTask) int { return at(x.Start).Compare(at(y.Start)) })
		for i := 1; i < len(tasks); i++ {
			if at(tasks[i].Start).Before(at(tasks[i-1].End)) {
				t.Errorf("%s is in two places at %s", hand, tasks[i].Start)
			}
		}
	}
	// 6 m2 of 0.15 mm: the spread by the material's density, and a tenth more.
	if b := a.Material[0]; b.MassKg < b.SpreadKg*6*1.0999 || b.MassKg > b.SpreadKg*6*1.1001 || *b.Buckets != 1 || len(b.Opened) != 1 {
		t.Errorf("%+v", b)
	}
	if a.Runs[0].Hand != "hand 1" || a.Walls[0].Name != "back wall" || !a.Kept {
		t.Errorf("%+v", a.Runs[0])
	}
}

// What cannot be planned is refused with its line, and what can be is planned.
func TestWallRefusals(t *testing.T) {
	for _, tc := range []struct {
		name, old, new string
		args           []string
		code           int
		says           string
	}{
		{"no size", `width = "3m"`, ``, nil, ExitBadInput, `standard input:5: .*its width and its height`},
		{"no wall", "[[wall]]\nname = \"back wall\"\nwidth = \"3m\"\nheight = \"2m\"\nright = \"external\"\n", "", nil, ExitBadInput, `no \[\[wall\]\] to plan`},
		{"opening too large", `right = "external"`, "[[wall.opening]]\nleft = \"1m\"\nwidth = \"4m\"\nheight = \"1m\"", nil, ExitBadInput, `standard input:9: `},
		{"rate of nothing", `people = 2`, "laying = \"0m2/h\"", nil, ExitBadInput, `standard input:16: laying`},
		{"breaks all day", `people = 2`, "breaks = [\"06:00-20:00\"]", nil, ExitBadInput, `breaks cover the whole working day`},
		{"too many", ``, ``, []string{"--people", "900"}, ExitUsage, `900`},
		{"after hours", ``, ``, []string{"--at", "2026-04-14T19:00"}, ExitOK, ``},
	} {
		args := append([]string{"wall", "-", "--temp", "18C", "--rh", "50"}, tc.args...)
		code, _, errs := runAt(strings.Replace(smallHall, tc.old, tc.new, 1), args...)
		if code != tc.code || !regexp.MustCompile(tc.says).MatchString(errs) {
			t.Errorf("%s: exit status %d: %s", tc.name, code, errs)
		}
	}
}

// A hand that never compresses: the coats under the last are planned, the last is not, and it says why.
func TestWallNobodyCloses(t *testing.T) {
	job := strings.Replace(smallHall, "people = 2", "[[crew.hand]]\nname = \"Ida\"\ndoes = [\"lay\"]", 1)
	job = strings.Replace(job, "strip = \"0.5m\"\nbucket = \"5kg\"\n", "", 1)
	two := strings.Replace(job, "[crew]", "[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.08mm\"\n[crew]", 1)
	a := wallOf1(t, two, "--temp", "18C", "--rh", "50")
	if a.Whole || len(a.Sections) != 1 || a.Sections[0].Coat != 1 || len(a.Left) != 1 || a.Left[0].Coat != 2 || !strings.Contains(a.Left[0].Why, "compress") {
		t.Errorf("%+v %+v", a.Sections, a.Left)
	}
}

// The files: two drawings and a calendar, none written over.
func TestWallFiles(t *testing.T) {
	in := t.TempDir()
	name := func(s string) string { return filepath.Join(in, s) }
	args := []string{"wall", "-", "--temp", "18C", "--rh", "50", "--picture", name("wall.svg"), "--hands", name("hands.svg"), "--calendar", name("wall.ics")}
	if code, _, errs := runAt(smallHall, args...); code != ExitOK {
		t.Fatalf("exit status %d: %s", code, errs)
	}
	for file, want := range map[string]string{"wall.svg": "section 1: 1-", "hands.svg": "hand 2", "wall.ics": "SUMMARY:hand 1 lays coat 1"} {
		data, err := os.ReadFile(name(file))
		if err != nil || !strings.Contains(string(data), want) {
			t.Errorf("%s, %v: nothing of %q in\n%.400s", file, err, want, data)
		}
	}
	if code, _, errs := runAt(smallHall, args...); code != ExitUsage || !strings.Contains(errs, "--picture") {
		t.Errorf("written over: exit status %d: %s", code, errs)
	}
}

// On the day the clocks go forward the hours are those of the clock.
func TestWallClock(t *testing.T) {
	a := wallOf1(t, smallHall, "--temp", "18C", "--rh", "50", "--at", "2026-03-29T00:30")
	if got := a.Runs[0].From; got != "2026-03-29T08:00:00+01:00" {
		t.Errorf("work begins at %s", got)
	}
}

// The README lists every code of a change that only a plan has.
func TestWallCodes(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, code := range []drying.ChangeCode{crew.ChangeSideBySide, crew.ChangeMoreHands, crew.ChangeEarlier, crew.ChangeNarrower, crew.ChangeJoint} {
		if !strings.Contains(string(readme), "`"+string(code)+"`") {
			t.Errorf("%s is not in the README", code)
		}
	}
}

// Hands at the flag are hands in the job: the plan, and the air that the wet wall of the room gives them, are the same.
func TestWallPeople(t *testing.T) {
	job := strings.Replace(smallHall, "[room]\n", "[room]\nvolume = \"20m3\"\n", 1)
	four := strings.Replace(job, "people = 2", "people = 4", 1)
	ask := []string{"--temp", "18C", "--rh", "60"}
	at, in, two := wallOf1(t, job, append(ask, "--people", "4")...), wallOf1(t, four, ask...), wallOf1(t, job, ask...)
	if !reflect.DeepEqual(at, in) {
		t.Errorf("--people 4 is\n%+v\nand people = 4\n%+v", at, in)
	}
	if reflect.DeepEqual(two, in) {
		t.Error("four hands plan as two do")
	}
}

// Times of a wall are told to the minute, the safe way: a window never wider than it is, work never sooner than it is planned, and every run on
// the screen as it is in the calendar.
func TestWallTimesAreSafe(t *testing.T) {
	args := []string{"--temp", "18C", "--rh", "50"}
	a := wallOf1(t, smallHall, args...)
	ics := filepath.Join(t.TempDir(), "a.ics")
	code, out, errs := runAt(smallHall, append([]string{"wall", "-", "--detail", "--calendar", ics}, args...)...)
	if code != ExitOK {
		t.Fatal(errs)
	}
	at := func(s *string) time.Time {
		x, err := time.Parse(time.RFC3339, *s)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	shown := func(of time.Time, clock string) time.Time {
		x, err := time.Parse("15:04", clock)
		if err != nil {
			t.Fatal(err)
		}
		return time.Date(of.Year(), of.Month(), of.Day(), x.Hour(), x.Minute(), 0, 0, of.Location())
	}
	windows := map[int][]string{}
	for _, m := range regexp.MustCompile(`(?m)^ +([0-9]+)  .* ([0-9:]+)-([0-9:]+)$`).FindAllStringSubmatch(out, -1) {
		patch, err := strconv.Atoi(m[1])
		if err != nil {
			t.Fatal(err)
		}
		windows[patch] = m
	}
	n := 0
	for _, x := range a.Tasks {
		if x.Op != "compress" || x.Opens == nil || x.Closes == nil {
			continue
		}
		m := windows[x.Patch]
		if m == nil {
			t.Fatalf("patch %d has no row in\n%s", x.Patch, out)
		}
		n++
		opens, closes := at(x.Opens), at(x.Closes)
		if o, c := shown(opens, m[2]), shown(closes, m[3]); o.Before(opens) || o.Sub(opens) >= time.Minute || c.After(closes) || closes.Sub(c) > time.Minute {
			t.Errorf("patch %d: %s to %s is told as %s to %s", x.Patch, *x.Opens, *x.Closes, m[2], m[3])
		}
	}
	if n == 0 {
		t.Fatal("nothing is compressed")
	}
	events, err := os.ReadFile(ics)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range a.Runs {
		from, to := begun(at(&r.From)), begun(at(&r.To))
		if from.Before(at(&r.From)) || !strings.Contains(out, from.Format("Mon 15:04")+"-"+to.Format("15:04")) || !strings.Contains(string(events), "DTSTART:"+from.UTC().Format("20060102T150405Z")) {
			t.Errorf("a run from %s to %s is not told alike:\n%s\n%s", r.From, r.To, out, events)
		}
	}
}
