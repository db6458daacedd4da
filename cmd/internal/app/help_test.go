package app

import (
	"os"
	"strings"
	"testing"
	"unicode/utf8"
)

// The help of every command, word for word: what people learn the program from. go test -update rewrites it.
func TestHelpGolden(t *testing.T) {
	names := []string{""}
	for _, c := range commands() {
		names = append(names, c.name)
	}
	for _, name := range names {
		args, file := []string{"--help"}, "testdata/help/limeday.txt"
		if name != "" {
			args, file = []string{name, "--help"}, "testdata/help/"+name+".txt"
		}
		code, out, errs := runAt("", args...)
		if code != ExitOK || errs != "" {
			t.Fatalf("%v: exit status %d, %q", args, code, errs)
		}
		if *update {
			if err := os.WriteFile(file, []byte(out), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if out != string(want) {
			t.Errorf("%v differs from %s:\n%s", args, file, out)
		}
		for _, line := range strings.Split(string(want), "\n") {
			if n := utf8.RuneCountInString(line); n > width {
				t.Errorf("%s: %d columns: %s", file, n, line)
			}
		}
	}
}
