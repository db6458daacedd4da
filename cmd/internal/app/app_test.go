package app

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/fault"
	"limeday/psychro"
)

func run(ctx context.Context, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = Run(ctx, args, Env{Members: 3, Stdin: strings.NewReader(""), Stdout: &o, Stderr: &e, Now: func() time.Time { return time.Time{} }})
	return code, o.String(), e.String()
}

// Every command and every flag of it stands in each completion script, in a
// line that names the command or inside its part of the script.
func TestCompletionHasEveryFlag(t *testing.T) {
	for _, shell := range shells {
		script, err := completionScript(shell, commands())
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range commands() {
			part := regexp.MustCompile(`(?s)\n {8}` + c.name + `\).*?;;\n {8}\S`).FindString(script)
			flag := "--%s"
			if shell == "fish" {
				part = strings.Join(regexp.MustCompile(`(?m)^.*from `+c.name+`'.*$`).FindAllString(script, -1), "\n")
				flag = "-l %s"
			}
			if part == "" {
				t.Errorf("%s: nothing for %s", shell, c.name)
			}
			fs, _ := c.build(&invocation{})
			fs.VisitAll(func(f *pflag.Flag) {
				if !regexp.MustCompile(fmt.Sprintf(flag, f.Name) + `\b[^-]`).MatchString(part) {
					t.Errorf("%s: --%s of %s is missing", shell, f.Name, c.name)
				}
			})
		}
	}
}

// bash itself completes commands, flags and words with the script.
func TestCompletionInBash(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("bash is not installed")
	}
	script, err := completionScript("bash", commands())
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "limeday.bash")
	if err := os.WriteFile(file, []byte(script), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct{ words, want string }{
		{"limeday a", "air"},
		{"limeday air --wa", "--wall-temp"},
		{"limeday air --units u", "us"},
		{"limeday completion f", "fish"},
		{"limeday thickness --primer ti", "tight"},
		{"limeday today --readings ./app_t", "./app_test.go"},
		{"limeday today ./app_t", "./app_test.go"},
		{"limeday diary ex", "export"},
		{"limeday diary list ./app_t", "./app_test.go"},
		{"limeday diary write ./app_test.go tub", "tub-weight"},
	} {
		line := strings.Fields(tc.words)
		cmd := exec.Command(bash, "-c", fmt.Sprintf(
			`source "$1"; COMP_WORDS=(%s); COMP_CWORD=%d; _limeday; echo "${COMPREPLY[@]}"`, tc.words, len(line)-1), "bash", file)
		got, err := cmd.CombinedOutput()
		if err != nil || strings.TrimSpace(string(got)) != tc.want {
			t.Errorf("%q completes to %q (%v), want %q", tc.words, got, err, tc.want)
		}
	}
}

func TestExitStatusOfEveryError(t *testing.T) {
	_, outside := psychro.NewAir(20, 2, 101325)
	for _, tc := range []struct {
		err  error
		want int
	}{
		{errors.New("a disk is full"), ExitFailure},
		{usage("--temp", "C", "no"), ExitUsage},
		{fmt.Errorf("reading: %w", fault.List{{File: "a.toml", Line: 3, Message: "bad", Expected: "good"}}), ExitBadInput},
		{&Error{Exit: ExitNoWeather, Message: "no weather"}, ExitNoWeather},
		{fmt.Errorf("air: %w", outside), ExitNotValid},
		{fmt.Errorf("solving: %w", context.Canceled), ExitInterrupted},
	} {
		for _, asJSON := range []bool{false, true} {
			var b bytes.Buffer
			if got := report(&b, tc.err, asJSON); got != tc.want {
				t.Errorf("%v: exit status %d, want %d", tc.err, got, tc.want)
			}
			var a map[string]any
			if asJSON && (json.Unmarshal(b.Bytes(), &a) != nil || a["schema"] != "limeday.error/1" || a["exit"] != float64(tc.want)) {
				t.Errorf("%v: %s", tc.err, b.String())
			}
		}
	}
}

func TestEveryFaultOfAFileIsTold(t *testing.T) {
	l := fault.List{
		{File: "a.toml", Line: 3, Message: "bad", Expected: "good"},
		{File: "a.toml", Line: 9, Message: "worse", Expected: "better"},
	}
	var text, js bytes.Buffer
	report(&text, l, false)
	if want := "limeday: a.toml:3: bad\nlimeday: a.toml:9: worse\n"; text.String() != want {
		t.Errorf("got %q, want %q", text.String(), want)
	}
	report(&js, l, true)
	var a errorAnswer
	if err := json.Unmarshal(js.Bytes(), &a); err != nil || a.Where != "a.toml:3" || a.Expected != "good" || len(a.Faults) != 2 || a.Faults[1].Where != "a.toml:9" {
		t.Errorf("%s (%v)", js.String(), err)
	}
}

func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	code, out, errs := run(ctx, "air", "--temp", "14", "--rh", "72")
	if code != ExitInterrupted || out != "" || strings.Count(errs, "\n") != 1 {
		t.Errorf("exit status %d, stdout %q, stderr %q", code, out, errs)
	}
}

// A planted command prints and then fails, waits for input that never comes, or
// warns and answers.
func TestPlantedCommands(t *testing.T) {
	started := make(chan struct{})
	plant := func(name string, r runner) *command {
		return &command{name: name, summary: name, setup: func(*pflag.FlagSet) runner { return r }}
	}
	table := []*command{
		plant("fails", func(_ context.Context, inv *invocation) error {
			fmt.Fprintln(inv.Out, "half an answer")
			return fault.List{{File: "a.toml", Line: 3, Message: "bad"}}
		}),
		plant("waits", func(_ context.Context, inv *invocation) error {
			close(started)
			_, err := io.ReadAll(inv.Stdin)
			fmt.Fprintln(inv.Notes, "too late")
			return err
		}),
		plant("warns", func(_ context.Context, inv *invocation) error {
			fmt.Fprintln(inv.Notes, "a warning")
			return inv.Answer(nil, func() string { return "the answer\n" })
		}),
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	for _, tc := range []struct {
		name, out, errs string
		code            int
	}{
		{"warns", "the answer\n", "a warning\n", ExitOK},
		{"fails", "", "limeday: a.toml:3: bad\n", ExitBadInput},
		{"waits", "", "limeday: interrupted; nothing was answered\n", ExitInterrupted},
	} {
		if tc.name == "waits" {
			go func() { <-started; cancel() }()
		}
		stdin, typed := io.Pipe()
		defer typed.Close()
		var out, errs bytes.Buffer
		code := runTable(ctx, table, []string{tc.name}, Env{Members: 3, Stdin: stdin, Stdout: &out, Stderr: &errs})
		if code != tc.code || out.String() != tc.out || errs.String() != tc.errs {
			t.Errorf("%s: exit status %d, stdout %q, stderr %q", tc.name, code, out.String(), errs.String())
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestAnswerThatCannotBeWritten(t *testing.T) {
	var errs bytes.Buffer
	code := Run(context.Background(), []string{"--version"}, Env{Members: 3, Stdin: strings.NewReader(""), Stdout: fullDisk{}, Stderr: &errs})
	if code != ExitFailure || !strings.Contains(errs.String(), "no space left") {
		t.Errorf("exit status %d, %q", code, errs.String())
	}
}

// Whatever is typed, the run ends with a known status, and a failure leaves
// stdout empty and says something on stderr.
func FuzzRun(f *testing.F) {
	for _, s := range []string{"air\x00--temp\x0014", "air\x00--rh=0.72\x00--json", "--version", "completion\x00zsh", "\x00", "air\x00--", "help\x00help", "today\x00-", "today\x00--temp\x0015\x00--rh\x0064\x00--at=2026-03-29T01:30",
		"thickness\x00--temp=-5\x00--rh\x0050\x00--thick\x000.1mm,8mil\x00--coat\x003", "-\x00--=\x00---", "diary\x00write\x00a.diary\x00reading\x00temp=14\x00--at\x002026-04-14T06:30", "diary\x00list\x00-", "diary\x00kinds\x00board"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		var out, errs bytes.Buffer
		code := Run(context.Background(), strings.Split(line, "\x00"), Env{Members: 3, Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs, Now: func() time.Time { return time.Time{} }, Transport: noNetwork{}})
		switch {
		case code == ExitOK && (out.Len() == 0 || errs.Len() > 0):
			t.Fatalf("%q answered %q and said %q", line, out.String(), errs.String())
		case code != ExitOK && (out.Len() > 0 || errs.Len() == 0 || code < ExitUsage || code > ExitNotValid):
			t.Fatalf("%q gave %d, answered %q and said %q", line, code, out.String(), errs.String())
		}
	})
}

func BenchmarkAir(b *testing.B) {
	for b.Loop() {
		Run(context.Background(), []string{"air", "--temp", "14", "--rh", "72", "--json"}, Env{Members: 3, Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: io.Discard})
	}
}

// BenchmarkToday is the built-in example from its flags to its text.
func BenchmarkToday(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if Run(context.Background(), []string{"today"}, Env{Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: io.Discard, Now: time.Now}) != ExitOK {
			b.Fatal("no answer")
		}
	}
}
