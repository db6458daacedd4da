package app

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"limeday/cmd/internal/text"
)

// namedJob is a job in which everything that can have a name has this one.
func namedJob(t *testing.T, name string) string {
	t.Helper()
	q := fmt.Sprintf("%q", name)
	job := `[place]
name = ` + q + `
zone = "Europe/Dublin"
[room]
volume = "60m3"
[[wall]]
name = ` + q + `
height = "2.5m"
width = "3m"
[[wall.opening]]
name = ` + q + `
left = "1m"
sill = "1m"
width = "0.5m"
height = "0.5m"
[[layer]]
background = "primed-board"
primer = "fair"
[[coat]]
finish = ` + q + `
thickness = "0.2mm"
tint = ` + q + `
[[coat]]
finish = ` + q + `
thickness = "0.1mm"
[finish.` + q + `]
like = "polished-lime"
[crew]
[[crew.hand]]
name = ` + q + `
[[crew.hand]]
name = "Ada"
`
	path := filepath.Join(t.TempDir(), "named.toml")
	if err := os.WriteFile(path, []byte(job), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func checkScreen(t *testing.T, out string) {
	t.Helper()
	for line := range strings.Lines(out) {
		line = strings.TrimSuffix(line, "\n")
		if w := text.Wide(line); w > text.Width {
			t.Errorf("a line of %d cells: %q", w, line)
		}
		if strings.ContainsFunc(line, func(r rune) bool { return r != ' ' && !unicode.IsPrint(r) }) {
			t.Errorf("control codes: %q", line)
		}
	}
}

// letterOf are what names are made of, repeated.
var letterOf = map[string]string{"narrow": "n", "wide": "壁", "combining": "é", "two words": "lime wall ", "emoji": "👷"}

// A name of any length is read or refused with one sentence, and what is read fits the screen.
func TestNamesOfAnyLength(t *testing.T) {
	for kind, letter := range letterOf {
		for n := 1; n <= 200; n++ {
			if kind != "narrow" && n%10 > 1 {
				continue
			}
			name := strings.TrimSpace(string([]rune(strings.Repeat(letter, n))[:n]))
			code, out, errs := runAt("", "job", "check", namedJob(t, name))
			switch {
			case len([]rune(name)) > 100:
				if code != ExitBadInput || !strings.Contains(errs, "give a name of at most 100") || out != "" {
					t.Errorf("%d %s: exit status %d, %s", n, kind, code, errs)
				}
			case code != ExitOK:
				t.Errorf("%d %s: exit status %d, %s", n, kind, code, errs)
			default:
				checkScreen(t, out)
				if !strings.Contains(strings.Join(strings.Fields(out), ""), strings.Join(strings.Fields(name), "")) {
					t.Errorf("%d %s: the name is not whole in\n%s", n, kind, out)
				}
			}
		}
	}
}

// Every answer that holds names does: text, sheet, drawing, calendar.
func TestAnswersWithAnyName(t *testing.T) {
	for _, tc := range []struct {
		kind string
		n    int
		wall bool // which takes its time
	}{{"narrow", 49, false}, {"narrow", 55, false}, {"narrow", 100, true}, {"wide", 100, true}, {"two words", 60, false}, {"emoji", 99, false}, {"combining", 100, false}} {
		name := strings.TrimSpace(string([]rune(strings.Repeat(letterOf[tc.kind], tc.n))[:tc.n]))
		job, dir := namedJob(t, name), t.TempDir()
		made := []string{"day.html", "day.svg", "day.ics"}
		if tc.wall {
			made = append(made, "wall.svg", "hands.svg", "wall.ics")
		}
		file := func(name string) string { return filepath.Join(dir, name) }
		for _, args := range [][]string{
			{"today", job, "--temp", "18C", "--rh", "55", "--detail", "--sheet", file("day.html"), "--picture", file("day.svg"), "--calendar", file("day.ics")},
			{"today", job, "--temp", "18C", "--rh", "55", "--units", "us"},
			{"wall", job, "--temp", "18C", "--rh", "55", "--detail", "--picture", file("wall.svg"), "--hands", file("hands.svg"), "--calendar", file("wall.ics")},
		} {
			if args[0] == "wall" && !tc.wall {
				continue
			}
			code, out, errs := runAt("", args...)
			if code != ExitOK {
				t.Fatalf("%d %s, %s: exit status %d, %s", tc.n, tc.kind, args[0], code, errs)
			}
			checkScreen(t, out)
			if args[0] == "today" && !strings.Contains(strings.Join(strings.Fields(out), ""), strings.Join(strings.Fields(name), "")) {
				t.Errorf("%d %s: the name is not whole in\n%s", tc.n, tc.kind, out)
			}
		}
		for _, m := range made {
			data, err := os.ReadFile(file(m))
			if err != nil || len(data) == 0 {
				t.Fatalf("%s: %d bytes, %v", m, len(data), err)
			}
			for line := range strings.Lines(string(data)) { // RFC 5545, section 3.1
				if strings.HasSuffix(m, ".ics") && (len(strings.TrimSuffix(line, "\r\n")) > 75 || !strings.HasSuffix(line, "\r\n")) {
					t.Errorf("%s: a line of %d octets: %q", m, len(line), line)
				}
			}
		}
	}
}

// A diary's words are set too.
func TestDiaryWithAnyWords(t *testing.T) {
	for kind, letter := range letterOf {
		path := filepath.Join(t.TempDir(), "d.jsonl")
		for _, n := range []int{1, 79, 80, 200, 390} {
			note := strings.Repeat(letter, n)
			if code, _, errs := runAt("", "diary", "write", path, "note", "--note", note); code != ExitOK {
				t.Fatalf("%d %s: exit status %d, %s", n, kind, code, errs)
			}
		}
		code, out, errs := runAt("", "diary", "list", path)
		if code != ExitOK {
			t.Fatalf("%s: exit status %d, %s", kind, code, errs)
		}
		checkScreen(t, out)
	}
}
