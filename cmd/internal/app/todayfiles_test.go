package app

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// filesRun runs today on the built-in example, or with args of its own.
func filesRun(ctx context.Context, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	now := func() time.Time { return time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC) }
	code = Run(ctx, append([]string{"today"}, args...), Env{Members: 60, Stdin: strings.NewReader(""), Stdout: &o, Stderr: &e, Now: now, Transport: noNetwork{}})
	return code, o.String(), e.String()
}

func TestDayFiles(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	_, plain, _ := filesRun(context.Background())
	code, out, errs := filesRun(context.Background(), "--sheet", in("a.html"), "--picture", in("a.svg"), "--calendar", in("a.ics"))
	if code != ExitOK || out != plain || strings.Count(errs, "\n") != 3 || !strings.Contains(errs, "The picture is in "+in("a.svg")+".\n") {
		t.Fatalf("exit status %d, %q", code, errs)
	}
	for name, want := range map[string][]string{
		"a.html": {"<strong>GO</strong>", "Stair hall, Alder House", "Wet lime burns", "<svg", "What you can change", "tape off", "next coat from"},
		"a.svg":  {"<svg xmlns", "<style>", "1 polished-lime 0.2 mm", `class="face"`, `class="burnish"`, "wall at least 10 C"},
		"a.ics":  {"DTSTAMP:20260414T053000Z\r\n", "SUMMARY:Lay coat 1 polished-lime 0.2 mm\r\n", "TRIGGER:-PT10M\r\n", "DTSTART:20260414T063000Z\r\n"},
	} {
		b, err := os.ReadFile(in(name))
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range want {
			if !strings.Contains(string(b), w) {
				t.Errorf("%q is not in %s", w, name)
			}
		}
	}
	// Again: refused before anything is computed, nothing touched; with --force replaced.
	before, _ := os.ReadFile(in("a.svg"))
	code, out, errs = filesRun(context.Background(), "--picture", in("a.svg"), "--units", "us")
	if code != ExitUsage || out != "" || !strings.Contains(errs, "--picture: "+in("a.svg")+": it exists and is left as it is") {
		t.Errorf("exit status %d, %q", code, errs)
	}
	if after, _ := os.ReadFile(in("a.svg")); !bytes.Equal(before, after) {
		t.Error("the file was touched")
	}
	code, out, _ = filesRun(context.Background(), "--picture", in("a.svg"), "--units", "us", "--force", "--json")
	if after, _ := os.ReadFile(in("a.svg")); code != ExitOK || !strings.HasPrefix(out, "{") || !strings.Contains(string(after), "Air and wall, F") {
		t.Errorf("exit status %d, %s", code, after)
	}
	if left, err := filepath.Glob(in(".*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

func TestDayFilesRefused(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	job := in("hall.toml")
	text := "[room]\n[[layer]]\nbackground = \"primed-board\"\n[[coat]]\nfinish = \"polished-lime\"\nthickness = \"0.1mm\"\n"
	if err := os.WriteFile(job, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		args []string
		says string
		code int
	}{
		{[]string{"--sheet", "-"}, "not to standard output", ExitUsage},
		{[]string{"--sheet", ""}, "--sheet is empty", ExitUsage},
		{[]string{"--sheet", in("x"), "--picture", in("x")}, "both name", ExitUsage},
		{[]string{"--sheet", dir, "--force"}, "is a folder", ExitUsage},
		{[]string{"--calendar", in("no/such/x.ics")}, "no folder", ExitUsage},
		{[]string{job, "--temp", "15", "--rh", "60", "--sheet", job, "--force"}, "what the answer is made from", ExitUsage},
		{[]string{"--picture", in("fresh.svg"), "--temp", "15"}, "--rh", ExitUsage},
	} {
		code, out, errs := filesRun(context.Background(), tc.args...)
		if code != tc.code || out != "" || !strings.Contains(errs, tc.says) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%q: exit status %d, %q", tc.args, code, errs)
		}
	}
	if left, err := filepath.Glob(in("*")); err != nil || len(left) != 1 {
		t.Errorf("left behind: %v %v", left, err)
	}
	if b, _ := os.ReadFile(job); string(b) != text {
		t.Error("the job was touched")
	}
}

// On a no-go day there is nothing to enter in a calendar; page and picture say why.
func TestNoCalendarOnANoGo(t *testing.T) {
	dir := t.TempDir()
	code, out, errs := filesRun(context.Background(), "--temp", "6", "--rh", "90", "--wall-temp", "5", "--calendar", filepath.Join(dir, "a.ics"), "--sheet", filepath.Join(dir, "a.html"))
	if code != ExitOK || !strings.Contains(out, "NO-GO") || !strings.Contains(errs, "No calendar: today is a no-go") {
		t.Errorf("exit status %d, %q", code, errs)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) != 1 || filepath.Base(left[0]) != "a.html" {
		t.Errorf("%v", left)
	}
}

func TestDayFilesInterrupted(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	code, out, _ := filesRun(ctx, "--sheet", filepath.Join(dir, "a.html"))
	time.Sleep(2 * grace) // what was still at work may finish; it must leave nothing either
	if left, _ := os.ReadDir(dir); code != ExitInterrupted || out != "" || len(left) > 0 {
		t.Errorf("exit status %d, %v left", code, left)
	}
}
