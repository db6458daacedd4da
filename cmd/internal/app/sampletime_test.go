package app

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/diary"
)

// boardIn sets up a board in a new diary, at 09:00 of the day of now.
func boardIn(t *testing.T, now time.Time) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.diary")
	code, _, errs := runIn(now, "", "sample", "board", path, "finish=polished-lime", "background=primed-board", "coat=1", "thickness=0.2mm")
	if code != ExitOK {
		t.Fatal(errs)
	}
	return path
}

func sampleIn(t *testing.T, path string) diary.Sample {
	t.Helper()
	entries, faults, err := diary.Read(path)
	all := diary.Samples(entries)
	if err != nil || len(faults) > 0 || len(all) == 0 {
		t.Fatalf("%v, %v, %v", entries, faults, err)
	}
	return all[len(all)-1]
}

// A board is timed in several sittings, over the hour at which the clock is put back: what has passed since laying
// is what passed, and each time keeps its offset.
func TestSampleTimeTakenUpAgain(t *testing.T) {
	start := time.Date(2026, 10, 25, 0, 40, 0, 0, zone(t, "Europe/Dublin"))
	path := boardIn(t, start)
	for _, sitting := range []struct {
		after      time.Duration
		keys, want string
	}{
		{0, "l\nq\nd\n", "   2  Sun 00:40     laid\n"},
		{30 * time.Minute, "w\n", "   3  Sun 01:10     not yet damp        0:30:00 after laying\n"},
		{90 * time.Minute, "d", "   4  Sun 01:10     damp                1:30:00 after laying\n"},
		{80 * time.Minute, "g\n", "Not entered: gone at 2026-10-25T01:00Z: damp comes before gone"},
		{3 * time.Hour, "n evenly, but for the corner\ne\n", "   6  Sun 02:40     dry                 3:00:00 after laying\n"},
	} {
		code, out, errs := runIn(start.Add(sitting.after), sitting.keys, "sample", "time", path)
		if said := out + errs; code != ExitOK || !strings.Contains(strings.ReplaceAll(said, "\n             ", " "), strings.ReplaceAll(sitting.want, "2026-10-25T01:00Z", "01:00")) {
			t.Errorf("%q: %d, %q in\n%s", sitting.keys, code, sitting.want, said)
		}
	}
	var got []string
	for _, e := range sampleIn(t, path).Events {
		got = append(got, e.At.Format(time.RFC3339))
	}
	if s := strings.Join(got, " "); s != "2026-10-25T00:40:00+01:00 2026-10-25T01:10:00+01:00 2026-10-25T01:10:00Z 2026-10-25T02:40:00Z" {
		t.Error(s)
	}
}

// A time that the clock skips or shows twice is not guessed at.
func TestSampleEnterOverClockChange(t *testing.T) {
	for _, tc := range []struct {
		now  time.Time
		word string
		want string
	}{
		{time.Date(2026, 10, 25, 12, 0, 0, 0, zone(t, "Europe/Dublin")), "laid@01:30", "shows 2026-10-25T01:30 twice, as it is put back; say which with the offset: "},
		{time.Date(2026, 3, 29, 12, 0, 0, 0, zone(t, "Europe/Dublin")), "laid@01:30", "skips 2026-03-29T01:30; it is put forward over it"},
		{time.Date(2026, 10, 25, 12, 0, 0, 0, zone(t, "Europe/Dublin")), "laid@01:30+01:00", ""},
		{time.Date(2026, 4, 14, 0, 10, 0, 0, zone(t, "Europe/Dublin")), "laid@23:50", "23:50 is still to come (it is Tue 14 Apr 2026, 00:10 +01:00); if it was another day, give it, as in --day 2026-04-13"},
	} {
		code, _, errs := runIn(tc.now, "", "sample", "enter", boardIn(t, tc.now), tc.word)
		if tc.want == "" && code != ExitOK || tc.want != "" && (code != ExitUsage || !strings.Contains(errs, tc.word+": ") || !strings.Contains(errs, tc.want)) {
			t.Errorf("%s: %d, %s", tc.word, code, errs)
		}
	}
}

// losing is a keyboard at which, after the first key is recorded, the diary goes missing.
type losing struct {
	t    *testing.T
	path string
	keys []string
}

func (l *losing) Read(p []byte) (int, error) {
	if len(l.keys) == 0 {
		return 0, io.EOF
	}
	if len(l.keys) == 1 {
		for range 1000 {
			if data, err := os.ReadFile(l.path); err == nil && bytes.Contains(data, []byte(`"laid"`)) {
				break
			}
			time.Sleep(5 * time.Millisecond)
		}
		if err := os.Rename(l.path, l.path+".away"); err != nil {
			l.t.Error(err)
		}
	}
	n := copy(p, l.keys[0])
	l.keys = l.keys[1:]
	return n, nil
}

// A key that could not be recorded is said at once, and again at the end, with a failure.
func TestSampleTimeNotRecorded(t *testing.T) {
	now := time.Date(2026, 4, 14, 9, 0, 0, 0, time.UTC)
	path := boardIn(t, now)
	var out, errs bytes.Buffer
	code := Run(context.Background(), []string{"sample", "time", path}, Env{Stdin: &losing{t, path, []string{"l\n", "d\n"}}, Stdout: &out, Stderr: &errs, Now: func() time.Time { return now }})
	said := strings.Join(strings.Fields(errs.String()), " ")
	if code != ExitFailure || out.Len() > 0 || !strings.Contains(said, "NOT RECORDED: "+path+": there is no such file") ||
		!strings.Contains(said, "limeday: 1 key could not be recorded: ") {
		t.Errorf("%d, %s, %s", code, out.String(), errs.String())
	}
	if s := sampleIn(t, path+".away"); s.Next() != diary.Damp {
		t.Errorf("%+v", s)
	}
}
