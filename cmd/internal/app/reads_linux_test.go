package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"limeday/cmd/internal/job"
)

// endless is a file of 4 GB that begins with a text and takes no room on the disk.
func endless(t *testing.T, path, begins string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(begins), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(path, 4<<30); err != nil {
		t.Fatal(err)
	}
	return path
}

// Whatever file is named, of any length, and whatever device or pipe: it ends in a sentence, and the memory does not grow.
func TestReadsAreBounded(t *testing.T) {
	dir := t.TempDir()
	hall := filepath.Join(dir, "hall.toml")
	if err := os.WriteFile(hall, job.ExampleJob(), 0o600); err != nil {
		t.Fatal(err)
	}
	gable := filepath.Join(dir, "gable.toml")
	outdoors := "[place]\nzone = \"Europe/Dublin\"\nlat = 53\nlon = -6\n[[wall]]\nbearing = \"S\"\n[[layer]]\nbackground = \"brick\"\n[[coat]]\nfinish = \"nhl-render\"\nthickness = \"8mm\"\n"
	if err := os.WriteFile(gable, []byte(outdoors), 0o600); err != nil {
		t.Fatal(err)
	}
	sites := filepath.Join(dir, "sites.csv")
	if err := os.WriteFile(sites, []byte("name,lat,lon\nA,53,-6\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	fifo := filepath.Join(dir, "fifo")
	if err := syscall.Mkfifo(fifo, 0o600); err != nil {
		t.Fatal(err)
	}
	zeros := endless(t, filepath.Join(dir, "zeros"), "")
	logger := endless(t, filepath.Join(dir, "logger.csv"), "time,temp (C),rh\n2026-04-14 06:00,15,60\n2026-04-14 06:15,15,60\n")
	diary := endless(t, filepath.Join(dir, "hall.diary"), "")
	run := func(stdin io.Reader, args ...string) (code int, out, errs string, took uint64) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		var o, e bytes.Buffer
		code = Run(context.Background(), args, Env{Members: 3, Stdin: stdin, Stdout: &o, Stderr: &e, Transport: noNetwork{},
			ConfigDir: filepath.Join(dir, "home"), CacheDir: filepath.Join(dir, "cache"), Now: func() time.Time { return time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC) }})
		runtime.ReadMemStats(&after)
		return code, o.String(), e.String(), after.TotalAlloc - before.TotalAlloc
	}
	results := filepath.Join(dir, "new.jsonl")
	const tooLarge, device = "larger than", "it is a device and no file"
	for _, tc := range []struct {
		what string
		args func(path string) []string
		file string // of 4 GB
		says string // of it
		zero string // of /dev/zero
	}{
		{"job", func(p string) []string { return []string{"today", p, "--temp", "15", "--rh", "60"} }, zeros, "larger than 1024 KiB", device},
		{"readings", func(p string) []string { return []string{"today", hall, "--readings", p} }, zeros, "holds NUL bytes", device},
		{"readings, begun well", func(p string) []string { return []string{"today", hall, "--readings", p} }, logger, "logger.csv:4: holds NUL bytes", device},
		{"timing", func(p string) []string { return []string{"today", hall, "--temp", "15", "--rh", "60", "--timing", p} }, zeros, "larger than 1 MiB", device},
		{"earlier timing", func(p string) []string { return []string{"sample", "learn", diary, "--earlier", p} }, zeros, tooLarge, device},
		{"diary", func(p string) []string { return []string{"diary", "list", p} }, diary, "larger than 64 MiB", "is not a plain file"},
		{"weather", func(p string) []string { return []string{"season", gable, "--weather", p} }, zeros, "no kind of weather file", device},
		{"sites", func(p string) []string { return []string{"season", gable, "--sites", p, "--results", results} }, zeros, tooLarge, device},
		{"results", func(p string) []string { return []string{"season", gable, "--sites", sites, "--results", p} }, zeros, "zeros:1: this line is longer than 16 MiB", device},
	} {
		for path, want := range map[string]string{tc.file: tc.says, "/dev/zero": tc.zero} {
			code, out, errs, took := run(strings.NewReader(""), tc.args(path)...)
			if code == ExitOK || out != "" || strings.Count(errs, "\n") > 2 || !strings.Contains(errs, want) {
				t.Errorf("%s, %s: exit %d, %q %q, want %q", tc.what, path, code, out, errs, want)
			}
			if took > 100<<20 {
				t.Errorf("%s, %s: %d MB of memory", tc.what, path, took>>20)
			}
			t.Logf("%s: %s", tc.what, strings.TrimSpace(errs))
		}
	}
	// A pipe that nothing writes to is waited for a little.
	var wg sync.WaitGroup
	for _, args := range [][]string{{"today", fifo, "--temp", "15", "--rh", "60"}, {"today", hall, "--readings", fifo}, {"diary", "list", fifo}} {
		wg.Go(func() {
			if code, out, errs, _ := run(strings.NewReader(""), args...); code != ExitBadInput || out != "" || !strings.Contains(errs, "nothing writes to this pipe") {
				t.Errorf("%v: exit %d, %q %q", args, code, out, errs)
			}
		})
	}
	wg.Wait()
	// Standard input without end.
	for _, args := range [][]string{{"today", "-", "--temp", "15", "--rh", "60"}, {"today", hall, "--readings", "-"}, {"practice", "--answer", "-"}, {"practice"}, {"diary", "list", "-"}} {
		code, out, errs, took := run(forever("2026-04-14 06:00,15,60 "), args...)
		if code == ExitOK || out != "" && len(args) > 1 || !strings.Contains(errs, "standard input") || took > 700<<20 {
			t.Errorf("%v: exit %d, %q %q, %d MB", args, code, out, errs, took>>20)
		}
		t.Logf("%v: %s", args, strings.TrimSpace(errs))
	}
	// The user's own settings, for every command.
	if err := os.MkdirAll(filepath.Join(dir, "home", "limeday"), 0o700); err != nil {
		t.Fatal(err)
	}
	endless(t, filepath.Join(dir, "home", "limeday", "config.toml"), "# mine\n")
	code, out, errs, took := run(strings.NewReader(""), "today", hall, "--temp", "15", "--rh", "60")
	if code != ExitBadInput || out != "" || !strings.Contains(errs, "config.toml: could not be read: it is larger than 64 KiB, which no such file is; give another") || took > 20<<20 {
		t.Errorf("exit %d, %q %q, %d MB", code, out, errs, took>>20)
	}
}

// forever repeats a text.
type forever string

func (f forever) Read(p []byte) (int, error) {
	return copy(p, strings.Repeat(string(f), 1+4096/len(f))), nil
}

// plainAnswer is an answer without its notes.
func plainAnswer(t *testing.T, text string) string {
	t.Helper()
	var a map[string]any
	if err := json.Unmarshal([]byte(text), &a); err != nil {
		t.Fatal(err)
	}
	var strip func(v any)
	strip = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			delete(v, "notes")
			for _, x := range v {
				strip(x)
			}
		case []any:
			for _, x := range v {
				strip(x)
			}
		}
	}
	strip(a)
	out, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// A sensor that sticks three weeks after the moment asked, and a row that was cut off, do not change the answer.
func TestReadingsUpToTheMoment(t *testing.T) {
	dir := t.TempDir()
	hall := filepath.Join(dir, "hall.toml")
	if err := os.WriteFile(hall, job.ExampleJob(), 0o600); err != nil {
		t.Fatal(err)
	}
	write := func(text string) string {
		path := filepath.Join(dir, "readings.csv")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	rows := func(hours int, stuck int) string {
		var b strings.Builder
		b.WriteString("time,temp (C),rh\n")
		at := time.Date(2026, 4, 13, 6, 0, 0, 0, time.UTC)
		for i := range hours {
			if v := fmt.Sprintf("%s,%.2f,%.2f\n", at.Add(time.Duration(i)*time.Hour).Format("2006-01-02 15:04"), 14+0.1*float64(i%9), 60+0.25*float64(i%7)); stuck == 0 || i < stuck {
				b.WriteString(v)
			} else {
				fmt.Fprintf(&b, "%s,8.50,99.00\n", at.Add(time.Duration(i)*time.Hour).Format("2006-01-02 15:04"))
			}
		}
		return b.String()
	}
	ask := func(text string, args ...string) (string, string) {
		code, out, errs := runAt("", append([]string{"today", hall, "--readings", write(text), "--read-as", "zone=UTC"}, args...)...)
		if code != ExitOK {
			return "", errs
		}
		return out, errs
	}
	later, errs := ask(rows(24*22, 24*21), "--at", "2026-04-14T06:30Z", "--json")
	if later == "" {
		t.Fatal(errs)
	}
	if !strings.Contains(later, "later than the moment asked, are left out: the sensor is stuck") {
		t.Error("nothing is told of the sensor")
	}
	if out, errs := ask(rows(24*22, 24*21), "--at", "2026-05-04T20:30Z"); out != "" || !strings.Contains(errs, "the sensor is stuck") {
		t.Errorf("stuck for over twelve hours: %q %q", out, errs)
	}
	// 60.50 as 6: the same answer as without the row, and it is told.
	whole := rows(25, 0)
	short, errs := ask(strings.Join(strings.SplitAfter(whole, "\n")[:25], ""), "--json")
	cut, errs2 := ask(whole[:len(whole)-5], "--json")
	if short == "" || cut == "" {
		t.Fatal(errs, errs2)
	}
	if told := "line 26 has no line end and may be cut short at"; !strings.Contains(cut, told) || plainAnswer(t, short) != plainAnswer(t, cut) {
		t.Errorf("without the row:\n%s\nwith it cut off:\n%s", short, cut)
	}
	// With and without the last line end.
	ended, _ := ask(whole)
	open, _ := ask(strings.TrimSuffix(whole, "\n"))
	if ended == "" || ended != open {
		t.Errorf("with its last line end:\n%s\nwithout:\n%s", ended, open)
	}
}
