package infile

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

func TestRead(t *testing.T) {
	dir := t.TempDir()
	path := func(name, text string) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return p
	}
	if data, err := Read(path("full", "12345"), 5); err != nil || string(data) != "12345" {
		t.Errorf("%q %v", data, err)
	}
	large := path("large", "123456")
	if err := os.Truncate(path("huge", "1"), 4<<30); err != nil {
		t.Fatal(err)
	}
	fifo := filepath.Join(dir, "fifo")
	if err := syscall.Mkfifo(fifo, 0o600); err != nil {
		t.Fatal(err)
	}
	var size *SizeError
	for _, p := range []string{large, filepath.Join(dir, "huge"), "/proc/self/maps"} { // the last has no size
		if _, err := Read(p, 5); !errors.As(err, &size) || !strings.Contains(err.Error(), p) {
			t.Errorf("%s: %v", p, err)
		}
	}
	for _, p := range []string{"/dev/zero", "/dev/null", "/dev/full"} {
		if _, err := Read(p, 5); !errors.Is(err, ErrDevice) {
			t.Errorf("%s: %v", p, err)
		}
	}
	if _, err := Read(filepath.Join(dir, "none"), 5); !errors.Is(err, os.ErrNotExist) {
		t.Error(err)
	}
	if _, err := Read(dir, 5); !errors.Is(err, syscall.EISDIR) {
		t.Error(err)
	}
	if _, err := open(fifo, 10*time.Millisecond); !errors.Is(err, ErrPipe) {
		t.Error(err)
	}
	// A pipe that something writes to is read as a file.
	second := filepath.Join(dir, "second")
	if err := syscall.Mkfifo(second, 0o600); err != nil {
		t.Fatal(err)
	}
	wrote := make(chan error, 1)
	go func() { wrote <- os.WriteFile(second, []byte("12345"), 0o600) }()
	if data, err := Read(second, 5); err != nil || string(data) != "12345" {
		t.Errorf("%q %v", data, err)
	}
	if err := <-wrote; err != nil {
		t.Error(err)
	}
}

func TestSize(t *testing.T) {
	for n, want := range map[int64]string{64 << 10: "64 KiB", 1 << 20: "1 MiB", 1536 << 10: "1536 KiB", 32 << 20: "32 MiB"} {
		if got := Size(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}
