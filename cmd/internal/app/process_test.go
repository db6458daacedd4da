package app

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A real Ctrl-C, to the program as it is built: today waits for a job on standard input that never ends.
func TestInterruptedProcess(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute) // so that a hang fails
	defer cancel()
	binary := filepath.Join(t.TempDir(), "limeday")
	if out, err := exec.CommandContext(ctx, "go", "build", "-o", binary, "limeday/cmd/limeday").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	cmd := exec.CommandContext(ctx, binary, "today", "-", "--temp", "15", "--rh", "64")
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	stdin, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer stdin.Close()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	// A pipe holds 64 KiB: once twice as much is gone, the program is reading.
	if _, err := stdin.Write(bytes.Repeat([]byte("# a comment\n"), 11_000)); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	err = cmd.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != ExitInterrupted || ctx.Err() != nil {
		t.Errorf("%v, want exit status %d", err, ExitInterrupted)
	}
	if out.Len() > 0 || errs.String() != "limeday: interrupted; nothing was answered\n" {
		t.Errorf("stdout %q, stderr %q", out.String(), errs.String())
	}
	if left, err := filepath.Glob(filepath.Join(filepath.Dir(binary), "*")); err != nil || strings.Join(left, " ") != binary {
		t.Errorf("files left: %v, %v", left, err)
	}
}
