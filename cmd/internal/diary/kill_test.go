package diary

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// The test binary started with childVar set is a program that keeps a diary: "PATH WRITER ENTRIES POINT". It appends
// so many notes and says "ack N" on standard output after each; it kills itself at POINT, if that is given.
const childVar = "LIMEDAY_TEST_DIARY_WRITER"

func TestMain(m *testing.M) {
	if job := os.Getenv(childVar); job != "" {
		child(strings.Fields(job))
		return
	}
	os.Exit(m.Run())
}

func child(job []string) {
	entries, err := strconv.Atoi(job[2])
	if err == nil {
		b := &Book{path: job[0], now: clock, disk: realDisk{}, wait: time.Minute}
		if len(job) > 3 {
			b.disk = &killing{point: job[3]}
		}
		if err = b.make(); err == nil {
			for i := 0; i < entries && err == nil; i++ {
				var e Entry
				if e, err = b.Append(Entry{Kind: Note, Note: fmt.Sprintf("%s/%d", job[1], i)}); err == nil {
					fmt.Println("ack", e.N)
				}
			}
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// killing is a disk on which the process dies at one point: "write:K" after K bytes of a line, or before or after a
// call named here.
type killing struct {
	realDisk
	point string
}

type killingFile struct {
	file
	d *killing
}

func (d *killing) reached(point string) {
	if d.point != point {
		return
	}
	p, err := os.FindProcess(os.Getpid())
	if err == nil {
		err = p.Kill()
	}
	if err != nil {
		panic(err)
	}
	select {}
}

func (d *killing) around(name string, do func() error) error {
	d.reached(name + ":before")
	err := do()
	d.reached(name + ":after")
	return err
}

func (d *killing) open(path string, flag int) (f file, err error) {
	err = d.around("open", func() error { f, err = d.realDisk.open(path, flag); return err })
	return &killingFile{f, d}, err
}

func (d *killing) syncDir(path string) error {
	return d.around("syncdir", func() error { return d.realDisk.syncDir(path) })
}

func (f *killingFile) Write(p []byte) (int, error) {
	if k, ok := strings.CutPrefix(f.d.point, "write:"); ok {
		n, err := strconv.Atoi(k)
		if err == nil && n <= len(p) {
			if _, err = f.file.Write(p[:n]); err == nil {
				f.d.reached(f.d.point)
			}
		}
		if err != nil {
			return 0, err
		}
	}
	return f.file.Write(p)
}

func (f *killingFile) Sync() error  { return f.d.around("sync", f.file.Sync) }
func (f *killingFile) Close() error { return f.d.around("close", f.file.Close) }

func writer(ctx context.Context, job string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, os.Args[0])
	cmd.Env = append(os.Environ(), childVar+"="+job, "GORACE=atexit_sleep_ms=0")
	return cmd
}

// acks are the numbers that a writer acknowledged before it ended.
func acks(out []byte) []int {
	var n []int
	for _, line := range strings.Split(string(out), "\n") {
		if s, ok := strings.CutPrefix(line, "ack "); ok {
			if i, err := strconv.Atoi(s); err == nil {
				n = append(n, i)
			}
		}
	}
	return n
}

// The process is killed after every byte of a line and around every other thing that is asked of the disk, in a new
// diary, in one with entries, and in one whose last line was cut off. Every entry that was acknowledged is there
// and whole, what stood in the file is untouched, and the next entry is taken.
func TestKilledAtEveryPoint(t *testing.T) {
	three := content(t, keep(t, event(Laid), event(Damp), event(Gone)))
	dir := t.TempDir()
	points, lost, torn, never := 0, 0, 0, 0
	var mu sync.Mutex
	run := make(chan func(), 2)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for f := range run {
				f()
			}
		})
	}
	for name, before := range map[string]string{"new": "", "three": three, "cutoff": three[:len(three)-60]} {
		had, _, err := Parse("a", []byte(before))
		if err != nil {
			t.Fatal(err)
		}
		kill := func(point string) {
			path := filepath.Join(dir, name+strings.ReplaceAll(point, ":", "-"))
			if before != "" {
				if err := os.WriteFile(path, []byte(before), 0o600); err != nil {
					t.Error(err)
				}
			}
			cmd := writer(context.Background(), path+" w 1 "+point)
			out, err := cmd.Output()
			if err == nil {
				mu.Lock()
				never++ // the line has fewer bytes
				mu.Unlock()
				return
			}
			if cmd.ProcessState == nil || cmd.ProcessState.ExitCode() >= 0 {
				t.Errorf("%s: not killed: %v", point, err)
				return
			}
			entries, faults, left := readBack(t, path)
			at := name + " " + point
			if !strings.HasPrefix(left, before) {
				t.Errorf("%s: what stood in the file was changed:\n%s", at, left)
			}
			if n := len(entries) - len(had); n < len(acks(out)) || n > 1 || !slices.Equal(numbers(entries[:len(had)]), numbers(had)) {
				t.Errorf("%s: %d entries of %d, %d acknowledged", at, len(entries), len(had), len(acks(out)))
			}
			b, err := Open(path, clock)
			if err != nil {
				t.Errorf("%s: %v", at, err)
				return
			}
			e, err := b.Append(event(Dry))
			if err != nil {
				t.Errorf("%s: %v", at, err)
				return
			}
			after, _, now := readBack(t, path)
			if !slices.Equal(numbers(after), append(numbers(entries), e.N)) || !strings.HasPrefix(now, left) {
				t.Errorf("%s: then %v:\n%s", at, numbers(after), now)
			}
			mu.Lock()
			defer mu.Unlock()
			points++
			lost += max(0, len(had)+len(acks(out))-len(entries))
			if len(faults) > 0 && len(entries) == len(had) {
				torn++
			}
		}
		for _, call := range []string{"open", "sync", "syncdir", "close"} {
			run <- func() { kill(call + ":before") }
			run <- func() { kill(call + ":after") }
		}
		for k := 0; k <= 190; k++ { // the line has some 180 bytes
			run <- func() { kill(fmt.Sprintf("write:%d", k)) }
		}
	}
	close(run)
	workers.Wait()
	t.Logf("killed at %d points: %d acknowledged entries lost, %d times the entry being written was cut off", points, lost, torn)
	if points < 3*150 || torn < 3*150 || never == 0 {
		t.Errorf("only %d points, %d of them in mid-line; %d past the end of the line", points, torn, never)
	}
}

func readBack(t *testing.T, path string) ([]Entry, []string, string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		t.Error(err)
	}
	entries, faults, err := Parse("a", text)
	if err != nil {
		t.Errorf("%v:\n%s", err, text)
	}
	var told []string
	for _, f := range faults {
		told = append(told, f.String())
	}
	return entries, told, string(text)
}

// Two programs write to one diary at once, and one of them is killed at a random moment, again and again.
func TestKilledAtAnyMoment(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a")
	rng := rand.New(rand.NewPCG(7, 4))
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute) // so that a hang fails
	defer cancel()
	var acknowledged []int
	rounds := 15
	for round := range rounds {
		victim := writer(ctx, fmt.Sprintf("%s v%d 1000000", path, round))
		pipe, err := victim.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := victim.Start(); err != nil {
			t.Fatal(err)
		}
		other := writer(ctx, fmt.Sprintf("%s o%d 10", path, round))
		var said bytes.Buffer
		other.Stdout, other.Stderr = &said, &said
		if err := other.Start(); err != nil {
			t.Fatal(err)
		}
		in := bufio.NewReader(pipe)
		first, err := in.ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(rng.IntN(20_000)) * time.Microsecond)
		if err := victim.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		rest, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		_ = victim.Wait() // it was killed
		if err := other.Wait(); err != nil || len(acks(said.Bytes())) != 10 {
			t.Fatalf("the other writer: %v: %s", err, said.String())
		}
		acknowledged = slices.Concat(acknowledged, acks([]byte(first)), acks(rest), acks(said.Bytes()))
	}
	entries, faults, err := Read(path)
	if err != nil {
		t.Fatal(err)
	}
	there := numbers(entries)
	lost := slices.DeleteFunc(slices.Clone(acknowledged), func(n int) bool { return slices.Contains(there, n) })
	slices.Sort(acknowledged)
	t.Logf("%d kills: %d entries acknowledged, %d lost; %d in the file, %d lines cut off", rounds, len(acknowledged), len(lost), len(there), len(faults))
	if len(lost) > 0 || len(slices.Compact(acknowledged)) < 10*rounds || len(there) > len(acknowledged)+rounds || len(faults) > rounds {
		t.Errorf("lost %v; told %v", lost, faults)
	}
}

// Two programs at once: every entry of both is there, once, and the lines follow each other.
func TestTwoWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a")
	const each = 60
	var wg sync.WaitGroup
	for _, name := range []string{"a", "b"} {
		wg.Go(func() {
			if out, err := writer(context.Background(), fmt.Sprintf("%s %s %d", path, name, each)).CombinedOutput(); err != nil {
				t.Errorf("%v: %s", err, out)
			}
		})
	}
	wg.Wait()
	entries, faults, err := Read(path)
	if err != nil || len(faults) > 0 || len(entries) != 2*each {
		t.Fatalf("%d entries, %v, %v", len(entries), faults, err)
	}
	seen := map[string]bool{}
	for i, e := range entries {
		if e.N != i+1 || seen[e.Note] {
			t.Errorf("entry %d: %+v", i+1, e)
		}
		seen[e.Note] = true
	}
}

// After a power cut the disk has all that it vouched for, and of the line being written any part: cut off, or with
// zeros for what was not there yet, before it or after it.
func TestPowerCutAtEveryByte(t *testing.T) {
	whole := content(t, keep(t, event(Laid), event(Damp), event(Gone)))
	start := strings.LastIndex(strings.TrimSuffix(whole, "\n"), "\n") + 1
	vouched, line := whole[:start], whole[start:]
	path := filepath.Join(t.TempDir(), "a")
	cuts := 0
	for k := range line {
		zeros := strings.Repeat("\x00", k)
		for _, left := range []string{line[:k], line[:k] + strings.Repeat("\x00", len(line)-k), zeros + line[k:]} {
			cuts++
			if err := os.WriteFile(path, []byte(vouched+left), 0o600); err != nil {
				t.Fatal(err)
			}
			entries, faults, _ := readBack(t, path)
			if n := len(entries); n < 2 || n > 3 || len(faults) > 1 || !slices.Equal(numbers(entries[:2]), []int{1, 2}) {
				t.Fatalf("after %d bytes: %v, %v of\n%q", k, numbers(entries), faults, left)
			}
			b, err := Open(path, clock)
			if err != nil {
				t.Fatal(err)
			}
			e, err := b.Append(event(Dry))
			if err != nil {
				t.Fatal(err)
			}
			after, faults, text := readBack(t, path)
			if !slices.Equal(numbers(after), append(numbers(entries), e.N)) || len(faults) > 1 || !strings.HasPrefix(text, vouched+left) {
				t.Fatalf("after %d bytes, then: %v, %v of\n%q", k, numbers(after), faults, text)
			}
		}
	}
	t.Logf("%d power cuts: no entry lost that the disk had vouched for", cuts)
}
