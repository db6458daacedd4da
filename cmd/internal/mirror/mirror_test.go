//go:build mirror

package mirror

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

var (
	only = flag.String("only", "", "only the command lines that match this regular expression")
	into = flag.String("out", "", "folder for both answers of each case that differs")
)

// patience is how long one command may take.
const patience = 60 * time.Second

// TestMirror compares the base commit with the tree on the disk.
func TestMirror(t *testing.T) {
	pick, err := regexp.Compile(*only)
	if err != nil {
		t.Fatal(err)
	}
	root := output(t, "", "go", "list", "-m", "-f", "{{.Dir}}")
	hash := baseCommit(t)
	old := t.TempDir()
	archive := filepath.Join(old, "base.tar")
	output(t, root, "git", "archive", "-o", archive, hash)
	output(t, old, "tar", "-xf", archive)
	files := gathered(t, root)
	base, tree := build(t, old), build(t, root)
	weather := filepath.Join(root, "testdata", "weather")
	replay := t.TempDir()
	copyFile(t, filepath.Join(weather, "metno", "complete.json"), filepath.Join(replay, "metno.json"))
	copyFile(t, filepath.Join(weather, "openmeteo", "forecast-invented.json"), filepath.Join(replay, "openmeteo.json"))

	var ran, differ atomic.Int64
	t.Cleanup(func() { t.Logf("%d of %d cases differ from %.7s", differ.Load(), ran.Load(), hash) })
	for i, c := range cases(t) {
		if !pick.MatchString(c.line) {
			continue
		}
		t.Run(fmt.Sprintf("%03d", i+1), func(t *testing.T) {
			t.Parallel()
			ran.Add(1)
			was, is := c.run(t, base, files, replay), c.run(t, tree, files, replay)
			all := differences(was, is)
			if len(all) == 0 {
				return
			}
			differ.Add(1)
			t.Errorf("limeday %s   (clock %s)\n%s", c.line, c.clock, strings.Join(all, "\n"))
			if *into != "" {
				keep(t, filepath.Join(*into, fmt.Sprintf("%03d", i+1)), c.line, was, is)
			}
		})
	}
}

func output(t *testing.T, dir, name string, args ...string) string {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Dir = dir
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, errs.String())
	}
	return strings.TrimSpace(string(out))
}

func baseCommit(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("testdata/base")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			return line
		}
	}
	t.Fatal("testdata/base names no commit")
	return ""
}

// build builds the command of a tree round the mirror's own main.
func build(t *testing.T, root string) string {
	t.Helper()
	own, err := filepath.Abs("testdata/main.go.txt")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	overlay, err := json.Marshal(map[string]any{"Replace": map[string]string{filepath.Join(root, "cmd", "limeday", "main.go"): own}})
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "overlay.json"), overlay)
	binary := filepath.Join(dir, "limeday")
	output(t, root, "go", "build", "-buildvcs=false", "-trimpath", "-overlay", filepath.Join(dir, "overlay.json"), "-o", binary, "./cmd/limeday")
	return binary
}

// gathered is a folder with the files that a case finds: those of testdata/files, the built-in examples, and real weather.
func gathered(t *testing.T, root string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("testdata/files")); err != nil {
		t.Fatal(err)
	}
	weather := filepath.Join(root, "testdata", "weather")
	for _, from := range []string{
		filepath.Join(weather, "epw", "duluth.epw.gz"), filepath.Join(weather, "isdlite", "725300-2016.gz"), filepath.Join(weather, "isdlite", "725300-2017.gz"),
		filepath.Join(root, "testdata", "logger", "logger-a.csv"), filepath.Join(root, "testdata", "logger", "logger-b.csv"),
	} {
		copyFile(t, from, filepath.Join(dir, filepath.Base(from)))
	}
	return dir
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	write(t, to, data)
}

func write(t *testing.T, to string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(to), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// one is a case: command lines run in a folder of their own, one after the other.
type one struct{ line, clock string }

func cases(t *testing.T) []one {
	t.Helper()
	data, err := os.ReadFile("testdata/cases.txt")
	if err != nil {
		t.Fatal(err)
	}
	var all []one
	clock := ""
	for row := range strings.Lines(string(data)) {
		row = strings.TrimSpace(row)
		if row == "" || strings.HasPrefix(row, "#") {
			continue
		}
		if at, yes := strings.CutPrefix(row, "clock "); yes {
			clock = at
			continue
		}
		for _, line := range expand(row) {
			all = append(all, one{line, clock})
		}
	}
	if len(all) < 200 {
		t.Fatalf("only %d cases", len(all))
	}
	return all
}

func (c one) run(t *testing.T, binary, files, replay string) said {
	t.Helper()
	dir, cache := t.TempDir(), t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(files)); err != nil {
		t.Fatal(err)
	}
	got := said{}
	add := func(name string, b []byte) {
		got[name] = bytes.ReplaceAll(bytes.ReplaceAll(steady(b), []byte(dir), []byte("FOLDER")), []byte(cache), []byte("CACHE"))
	}
	start := func(ctx context.Context, args []string) *exec.Cmd {
		cmd := exec.CommandContext(ctx, binary, args...)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "TZ=UTC", "NO_COLOR=1", "MIRROR_NOW="+c.clock, "MIRROR_CACHE="+cache, "MIRROR_WEATHER="+replay)
		return cmd
	}
	steps := strings.Split(c.line, " && ")
	for i, step := range steps {
		n := ""
		if len(steps) > 1 {
			n = fmt.Sprintf(" of step %d", i+1)
		}
		args := words(step)
		if len(args) > 0 && args[0] == "serve" && i+1 < len(steps) {
			c.pages(t, start, args, steps[i+1:], add)
			break
		}
		func() {
			ctx, cancel := context.WithTimeout(t.Context(), patience)
			defer cancel()
			var in []byte
			if k := len(args) - 2; k >= 0 && args[k] == "<" {
				var err error
				if in, err = os.ReadFile(filepath.Join(dir, args[k+1])); err != nil {
					t.Fatal(err)
				}
				args = args[:k]
			}
			cmd := start(ctx, args)
			var out, errs bytes.Buffer
			cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(in), &out, &errs
			err := cmd.Run()
			if ctx.Err() != nil || cmd.ProcessState == nil {
				t.Fatalf("limeday %s: %v, %v", step, err, ctx.Err())
			}
			add("status"+n, fmt.Append(nil, cmd.ProcessState.ExitCode()))
			add("stdout"+n, out.Bytes())
			add("stderr"+n, errs.Bytes())
		}()
	}
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(name, ".gz") {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		add("file "+name, data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

var address = regexp.MustCompile(`http://127\.0\.0\.1:[0-9]+`)

// pages starts serve and asks it, as one visitor: "GET /path" or "POST /path a=b&c=d".
func (c one) pages(t *testing.T, start func(context.Context, []string) *exec.Cmd, args, asked []string, add func(string, []byte)) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 2*patience)
	defer cancel()
	cmd := start(ctx, append(args, "--listen", "127.0.0.1:0"))
	errs, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines, told := bufio.NewReader(errs), ""
	at := ""
	for at == "" {
		line, err := lines.ReadString('\n')
		told += line
		if at = address.FindString(line); at == "" && err != nil {
			t.Fatalf("serve ended: %s", told)
		}
	}
	rest := make(chan []byte, 1)
	go func() {
		b, _ := io.ReadAll(lines)
		rest <- b
	}()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := http.Client{Jar: jar}
	for i, ask := range asked {
		method, path, _ := strings.Cut(ask, " ")
		path, form, _ := strings.Cut(path, " ")
		r, err := http.NewRequestWithContext(ctx, method, at+path, strings.NewReader(form))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		resp, err := client.Do(r)
		if err != nil {
			t.Fatalf("%s: %v", ask, err)
		}
		body, err := io.ReadAll(resp.Body)
		_ = resp.Body.Close()
		if err != nil {
			t.Fatalf("%s: %v", ask, err)
		}
		add(fmt.Sprintf("page %d, %s", i+1, ask), append(fmt.Appendf(nil, "%s\n", resp.Status), body...))
	}
	_ = cmd.Process.Signal(os.Interrupt)
	told += string(<-rest)
	_ = cmd.Wait()
	add("status of serve", fmt.Append(nil, cmd.ProcessState.ExitCode()))
	add("stderr of serve", []byte(told))
}

// keep writes both answers to a folder, the base's under base and the tree's under tree.
func keep(t *testing.T, dir, line string, was, is said) {
	t.Helper()
	write(t, filepath.Join(dir, "command"), []byte("limeday "+line+"\n"))
	for side, s := range map[string]said{"base": was, "tree": is} {
		for name, b := range s {
			write(t, filepath.Join(dir, side, strings.Map(func(r rune) rune {
				if strings.ContainsRune(`/\?&`, r) {
					return '_'
				}
				return r
			}, name)), b)
		}
	}
}
