package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"

	"limeday/cmd/internal/diary"
)

// runIn is a run in a time zone.
func runIn(now time.Time, stdin string, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = Run(context.Background(), args, Env{Stdin: strings.NewReader(stdin), Stdout: &o, Stderr: &e, Transport: noNetwork{}, Now: func() time.Time { return now }})
	return code, o.String(), e.String()
}

// Where the clock is put back, an hour comes twice: which is meant must be said, and is kept; one that is skipped
// is refused.
func TestDiaryOverClockChange(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hall.diary")
	now := time.Date(2026, 10, 25, 12, 0, 0, 0, zone(t, "Europe/Dublin"))
	write := func(at string) (int, string) {
		code, _, errs := runIn(now, "", "diary", "write", path, "event", "coat=1", "what=laid", "--at", at)
		return code, errs
	}
	if code, errs := write("2026-10-25T01:30"); code != ExitUsage || !strings.Contains(errs, "shows 2026-10-25T01:30 twice") || !strings.Contains(errs, "2026-10-25T01:30:00+01:00 or 2026-10-25T01:30:00Z") {
		t.Errorf("%d, %q", code, errs)
	}
	if code, errs := write("2026-03-29T01:30"); code != ExitUsage || !strings.Contains(errs, "skips 2026-03-29T01:30") {
		t.Errorf("%d, %q", code, errs)
	}
	for _, at := range []string{"2026-10-25T01:30+01:00", "2026-10-25T01:30Z"} {
		if code, errs := write(at); code != ExitOK {
			t.Errorf("%d, %q", code, errs)
		}
	}
	_, out, _ := runIn(now, "", "diary", "list", path)
	if want := "Sun 25 Oct 2026, +01:00\n   1  01:30     event          coat 1 laid\n\nSun 25 Oct 2026, +00:00\n   2  01:30     event          coat 1 laid\n"; !strings.Contains(out, want) {
		t.Errorf("got\n%s", out)
	}
}

// A spreadsheet gets every text back as it was written.
func TestDiaryCSV(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hall.diary")
	now := time.Date(2026, 4, 14, 9, 0, 0, 0, time.UTC)
	note := "a \"b\", c\nd; =1+1"
	for _, args := range [][]string{{"note", "--note", note}, {"weighing", "mass=1234.5g"}, {"prediction", "finish=polished-lime", "coat=1", "lay=2026-04-14T09:00", "opens_latest=2026-04-14T09:20"}} {
		if code, _, errs := runIn(now, "", append([]string{"diary", "write", path}, args...)...); code != ExitOK {
			t.Fatal(errs)
		}
	}
	_, out, _ := runIn(now, "", "diary", "export", path, "--csv", "-")
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || len(rows) != 4 {
		t.Fatalf("%v, %v", rows, err)
	}
	for row, want := range []map[string]string{{"n": "1", "note": note, "mass_kg": ""}, {"kind": "weighing", "mass_kg": "1.2345"}, {"lay": "2026-04-14T09:00:00Z", "opens_latest": "2026-04-14T09:20:00Z", "coat": "1"}} {
		for i, column := range rows[0] {
			if v, ok := want[column]; ok && rows[row+1][i] != v {
				t.Errorf("row %d: %s is %q, want %q", row+1, column, rows[row+1][i], v)
			}
			delete(want, column)
		}
		if len(want) > 0 {
			t.Errorf("no columns for %v in %v", want, rows[0])
		}
	}
}

// A diary that another program holds is waited for, then left alone.
func TestDiaryHeld(t *testing.T) {
	path := filepath.Join(t.TempDir(), "hall.diary")
	now := time.Date(2026, 4, 14, 9, 0, 0, 0, time.UTC)
	if code, _, errs := runIn(now, "", "diary", "write", path, "note", "--note", "one"); code != ExitOK {
		t.Fatal(errs)
	}
	f, err := lockedfile.Edit(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	code, out, errs := runIn(now, "", "diary", "write", path, "note", "--note", "two")
	if code != ExitFailure || out != "" || !strings.HasSuffix(errs, "another program is writing to it, and nothing was added; try again\n") {
		t.Errorf("%d, %q, %q", code, out, errs)
	}
	if code, out, errs := runIn(now, "", "diary", "list", path); code != ExitOK || !strings.Contains(out, "1 entry\n") {
		t.Errorf("%d, %q, %q", code, out, errs)
	}
}

// Whatever is typed for an entry is refused in a sentence, or is an entry that can be written.
func FuzzEntryWords(f *testing.F) {
	for _, s := range []string{"temp=14C", "wall-temp=57", "note=x", "coat=1", "what=damp", "laid=2026-04-11", "issued=06:30", "damp@09:42", "notyet-gone@2026-04-13T09:42", "weigh@09:30=1.2kg", "laid@01:30+01:00", "=", "@=", "\xff@\x00"} {
		f.Add(s)
	}
	inv := &invocation{Env: Env{Now: func() time.Time { return time.Date(2026, 10, 25, 12, 0, 0, 0, time.FixedZone("", 3600)) }}}
	board := diary.Sample{Board: diary.Entry{N: 1, Kind: diary.Board, Data: map[string]any{"coat": 1.0}}}
	f.Fuzz(func(t *testing.T, word string) {
		for _, kind := range kindWords() {
			e := diary.Entry{Kind: diary.Kind(kind), At: inv.Now()}
			if err := fill(inv, &e, []string{word}); err != nil && err.Error() == "" {
				t.Fatal("refused without a word")
			}
		}
		e, err := enterWord(inv, board, word, "2026-10-25")
		if err == nil {
			err = diary.Check(e)
			if e.At.After(inv.Now()) {
				t.Fatalf("%q is at %s, still to come", word, e.At)
			}
		}
		if err != nil && err.Error() == "" {
			t.Fatal("refused without a word")
		}
	})
}
