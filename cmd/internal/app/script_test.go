package app

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// The scripts run the program as a process, in their own folder, at a moment
// that never changes.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"limeday": func() {
			now := func() time.Time { return time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC) }
			os.Exit(Run(context.Background(), os.Args[1:], Env{Members: 3, Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Now: now, Transport: noNetwork{}}))
		},
	})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"jsonnum":  jsonnum,
			"jsonis":   jsonis,
			"oneline":  oneline,
			"columns":  withinColumns,
			"exitcode": exitcode,
			"process":  process,
			"nul":      nul,
		},
	})
}

// jsonnum FILE PATH WANT TOLERANCE SOURCE compares a number in a JSON file
// with a value, within an absolute tolerance. SOURCE says where WANT is from.
func jsonnum(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 5 || args[4] == "" {
		ts.Fatalf("usage: jsonnum FILE PATH WANT TOLERANCE SOURCE")
	}
	got, ok := at(ts, args[0], args[1]).(float64)
	if !ok {
		ts.Fatalf("%s is no number: %v", args[1], at(ts, args[0], args[1]))
	}
	want, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	tol, err := strconv.ParseFloat(args[3], 64)
	ts.Check(err)
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		ts.Fatalf("%s is %v, want %v within %v (%s)", args[1], got, want, tol, args[4])
	}
}

// jsonis FILE PATH JSON compares a value in a JSON file with a JSON value;
// "absent" asks that there be none.
func jsonis(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: [!] jsonis FILE PATH JSON|absent")
	}
	got := "absent"
	if v := at(ts, args[0], args[1]); v != (missing{}) {
		b, err := json.Marshal(v)
		ts.Check(err)
		got = string(b)
	}
	if (got == args[2]) == neg {
		ts.Fatalf("%s is %s", args[1], got)
	}
}

type missing struct{}

// at follows a dotted path of keys and indices.
func at(ts *testscript.TestScript, file, path string) any {
	var v any
	dec := json.NewDecoder(strings.NewReader(ts.ReadFile(file)))
	ts.Check(dec.Decode(&v))
	if dec.More() {
		ts.Fatalf("%s has more than one JSON value", file)
	}
	for _, key := range strings.Split(path, ".") {
		switch c := v.(type) {
		case map[string]any:
			next, ok := c[key]
			if !ok {
				return missing{}
			}
			v = next
		case []any:
			i, err := strconv.Atoi(key)
			if err != nil || i < 0 || i >= len(c) {
				return missing{}
			}
			v = c[i]
		default:
			return missing{}
		}
	}
	return v
}

// oneline FILE asks for exactly one line that is a sentence.
func oneline(ts *testscript.TestScript, neg bool, args []string) {
	text := ts.ReadFile(args[0])
	if neg || strings.Count(text, "\n") != 1 || !strings.HasSuffix(text, "\n") || len(text) < 20 {
		ts.Fatalf("%s is not one line:\n%s", args[0], text)
	}
}

// nul FILE writes a file that is no text.
func nul(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: nul FILE")
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte("[place]\x00\xff\n"), 0o600))
}

// withinColumns FILE asks that no line be wider than 80 characters.
func withinColumns(ts *testscript.TestScript, neg bool, args []string) {
	for _, line := range strings.Split(ts.ReadFile(args[0]), "\n") {
		if n := len([]rune(line)); neg || n > 80 {
			ts.Fatalf("%d columns: %s", n, line)
		}
	}
}

// exitcode WANT ARG... runs limeday and compares its exit status; on failure
// stdout must be empty. Its output is left in the files out and err.
func exitcode(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if neg {
		ts.Fatalf("usage: exitcode WANT ARG...")
	}
	var out, errs bytes.Buffer
	now := func() time.Time { return time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC) }
	got := Run(context.Background(), args[1:], Env{Members: 3, Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs, Now: now, Transport: noNetwork{}})
	ended(ts, got, want, out.String(), errs.String())
}

// ended leaves the output of a run in the files out and err, and compares its exit status.
func ended(ts *testscript.TestScript, got, want int, out, errs string) {
	ts.Check(os.WriteFile(ts.MkAbs("out"), []byte(out), 0o600))
	ts.Check(os.WriteFile(ts.MkAbs("err"), []byte(errs), 0o600))
	if got != want {
		ts.Fatalf("exit status %d, want %d\n%s", got, want, errs)
	}
	if want != 0 && out != "" {
		ts.Fatalf("a failure printed on stdout:\n%s", out)
	}
}

// process WANT ARG... is exitcode as a process in the script's folder, where files have short names.
func process(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if neg {
		ts.Fatalf("usage: process WANT ARG...")
	}
	err = ts.Exec("limeday", args[1:]...)
	var exit *exec.ExitError
	got := 0
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	ended(ts, got, want, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
}
