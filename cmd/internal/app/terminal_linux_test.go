package app

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"limeday/cmd/internal/diary"
)

// pseudo is a terminal: what a person sees and types at one end, the program's at the other.
type pseudo struct {
	person, program *os.File
	mu              sync.Mutex
	seen            strings.Builder
}

func newPseudo(t *testing.T) *pseudo {
	t.Helper()
	person, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { person.Close() })
	fd := int(person.Fd())
	if err := unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0); err != nil {
		t.Fatal(err)
	}
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(func() { program.Close() })
	p := &pseudo{person: person, program: program}
	go func() {
		buf := make([]byte, 4096)
		for {
			n, err := person.Read(buf)
			p.mu.Lock()
			p.seen.Write(buf[:n])
			p.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return p
}

func (p *pseudo) screen() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.seen.String()
}

// waits waits until text has come up, after what had come up before.
func (p *pseudo) waits(t *testing.T, from int, text string) {
	t.Helper()
	for range 2000 {
		if s := p.screen(); strings.Contains(s[min(from, len(s)):], text) {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Fatalf("%q never came up:\n%q", text, p.screen())
}

// types presses keys and waits for what follows on the screen.
func (p *pseudo) types(t *testing.T, keys, until string) {
	t.Helper()
	from := len(p.screen())
	if _, err := p.person.WriteString(keys); err != nil {
		t.Fatal(err)
	}
	p.waits(t, from, until)
}

func (p *pseudo) mode(t *testing.T) unix.Termios {
	t.Helper()
	m, err := unix.IoctlGetTermios(int(p.program.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	return *m
}

// At a real terminal: every key is on the disk when it shows, the board is taken up again, an arrow is no letter,
// Ctrl-C and an interrupt leave at once with the terminal as it was, and a kill loses nothing.
func TestSampleTimeAtTerminal(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute) // so that a hang fails
	defer cancel()
	binary := filepath.Join(t.TempDir(), "limeday")
	if out, err := exec.CommandContext(ctx, "go", "build", "-o", binary, "limeday/cmd/limeday").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	path := boardIn(t, time.Now())
	sit := func(p *pseudo) *exec.Cmd {
		was := p.mode(t)
		cmd := exec.CommandContext(ctx, binary, "sample", "time", path)
		cmd.Stdin, cmd.Stdout, cmd.Stderr = p.program, p.program, p.program
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		p.waits(t, 0, "Keys: ")
		if p.mode(t) == was {
			t.Error("the terminal is not in raw mode, so nothing is tested")
		}
		return cmd
	}
	left := func(p *pseudo, cmd *exec.Cmd, was unix.Termios, says string) {
		t.Helper()
		err := cmd.Wait()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != ExitInterrupted || ctx.Err() != nil {
			t.Errorf("%v, want exit status %d", err, ExitInterrupted)
		}
		p.waits(t, 0, says)
		if p.mode(t) != was {
			t.Error("the terminal was not put back")
		}
	}
	numbered := func(n int, what string) {
		t.Helper()
		entries, faults, err := diary.Read(path)
		if err != nil || len(faults) > 0 || len(entries) != n || entries[n-1].Text("what") != what {
			t.Fatalf("%d entries, want %d with %q last; %v, %v: %+v", len(entries), n, what, faults, err, entries)
		}
	}

	p := newPseudo(t)
	was := p.mode(t)
	cmd := sit(p)
	p.types(t, "l", "Look for damp")
	numbered(2, diary.Laid)
	p.waits(t, 0, "since laying; look for damp") // the clock at the bottom
	p.types(t, "\x1b[D\x1bOPw", "not yet damp")  // an arrow to the left, a function key
	numbered(3, diary.Damp)
	p.types(t, "nh\u00f6hx\x7fe 2 m\r", "note  h\u00f6he 2 m")
	p.types(t, "nnever mind\x1b", "No note")
	numbered(4, "")
	p.types(t, "u", "taken back: not yet damp")
	numbered(5, "")
	p.types(t, "d", "Look for gone by")
	numbered(6, diary.Damp)
	p.types(t, "\x03", "limeday: interrupted; every key that was shown is in "+path)
	left(p, cmd, was, "interrupted")

	p = newPseudo(t)
	was = p.mode(t)
	cmd = sit(p)
	p.waits(t, 0, "   6  ")
	p.types(t, "nhalf a note", "note: half a note")
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	left(p, cmd, was, "interrupted")
	numbered(6, diary.Damp)

	p = newPseudo(t)
	cmd = sit(p)
	p.types(t, "g", "Look for dry")
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // it was killed
	numbered(7, diary.Gone)

	p = newPseudo(t)
	was = p.mode(t)
	cmd = sit(p)
	p.types(t, "e", "nothing more to look for")
	numbered(8, diary.Dry)
	p.types(t, "q", "board 1: coat 1 of")
	if err := cmd.Wait(); err != nil || p.mode(t) != was {
		t.Errorf("%v, or the terminal was not put back", err)
	}
}
