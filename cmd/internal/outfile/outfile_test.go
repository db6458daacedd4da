package outfile

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// put stages and commits.
func put(path string, force bool, s string) error {
	f, err := Stage(context.Background(), path, force, text(s))
	if err != nil {
		return err
	}
	return f.Commit()
}

// holds asks for exactly these files in a folder, with these contents.
func holds(t *testing.T, dir string, want map[string]string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if _, ok := want[e.Name()]; !ok {
			t.Errorf("%s is left behind", e.Name())
		}
	}
	for name, s := range want {
		if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(got) != s {
			t.Errorf("%s holds %q (%v), want %q", name, got, err, s)
		}
	}
}

func refused(t *testing.T, err error, says string) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) || !e.Refused || !strings.Contains(err.Error(), says) {
		t.Errorf("%v, want a refusal that says %q", err, says)
	}
}

func TestNewFile(t *testing.T) {
	dir := t.TempDir()
	if err := put(filepath.Join(dir, "a"), false, "new"); err != nil {
		t.Fatal(err)
	}
	holds(t, dir, map[string]string{"a": "new"})
	plainFile := filepath.Join(t.TempDir(), "b")
	f, err := os.Create(plainFile) // as any program makes one, under the umask of the day
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	want, _ := os.Stat(plainFile)
	if got, err := os.Stat(filepath.Join(dir, "a")); err != nil || got.Mode() != want.Mode() {
		t.Errorf("mode %v (%v), want %v", got.Mode(), err, want.Mode())
	}
}

func TestExisting(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	if err := os.WriteFile(path, []byte("old"), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o666); err != nil { // wider than the umask lets through
		t.Fatal(err)
	}
	refused(t, Check(path, false), "--force")
	refused(t, put(path, false, "new"), "--force")
	holds(t, dir, map[string]string{"a": "old"})
	if err := Check(path, true); err != nil {
		t.Error(err)
	}
	if err := put(path, true, "new"); err != nil {
		t.Error(err)
	}
	holds(t, dir, map[string]string{"a": "new"})
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o666 {
		t.Errorf("mode %v (%v)", info.Mode(), err)
	}
}

// A file that comes into being after the check is not replaced either.
func TestMadeMeanwhile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	s, err := Stage(context.Background(), path, false, text("new"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("another's"), 0o600); err != nil {
		t.Fatal(err)
	}
	refused(t, s.Commit(), "meanwhile")
	holds(t, dir, map[string]string{"a": "another's"})
}

func TestNoFile(t *testing.T) {
	dir := t.TempDir()
	if err := os.Symlink(filepath.Join(dir, "gone", "file"), filepath.Join(dir, "dangling")); err != nil {
		t.Fatal(err)
	}
	for path, says := range map[string]string{
		dir:                                   "is a folder",
		filepath.Join(dir, "no", "such", "a"): "no folder",
		filepath.Join(dir, "dangling"):        "leads nowhere",
		os.DevNull:                            "not a plain file",
	} {
		refused(t, Check(path, true), says)
		refused(t, put(path, true, "new"), says)
	}
}

// Through a link the file it leads to is replaced, and the link stays.
func TestLink(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "a"), filepath.Join(dir, "link")
	if err := os.WriteFile(file, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("a", link); err != nil {
		t.Fatal(err)
	}
	if err := put(link, true, "new"); err != nil {
		t.Fatal(err)
	}
	holds(t, dir, map[string]string{"a": "new", "link": "new"})
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is %v (%v)", info.Mode(), err)
	}
}

func TestUnwritableFolder(t *testing.T) {
	if os.Getuid() == 0 {
		// Root may write in any folder but the kernel's own.
		err := put("/proc/self/a", false, "new")
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), "cannot be written") {
			t.Error(err)
		}
		return
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	err := put(filepath.Join(dir, "a"), false, "new")
	var e *Error
	if !errors.As(err, &e) || !errors.Is(err, fs.ErrPermission) || !strings.Contains(err.Error(), "cannot be written: permission denied") {
		t.Error(err)
	}
	holds(t, dir, nil)
}

// A disk that is full after some of the file, a new one and one that replaces.
func TestFullDisk(t *testing.T) {
	for _, force := range []bool{false, true} {
		dir := t.TempDir()
		want := map[string]string{}
		if force {
			want["a"] = "old"
			if err := os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		_, err := Stage(context.Background(), filepath.Join(dir, "a"), force, func(w io.Writer) error {
			if _, err := io.WriteString(w, "half a fi"); err != nil {
				return err
			}
			return &fs.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}
		})
		var e *Error
		if !errors.As(err, &e) || e.Refused || !errors.Is(err, syscall.ENOSPC) || !strings.HasSuffix(err.Error(), "nothing of it is kept: no space left on device") {
			t.Errorf("%v", err)
		}
		holds(t, dir, want)
	}
}

func TestInterrupted(t *testing.T) {
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(context.Background())
	written := 0
	_, err := Stage(ctx, filepath.Join(dir, "a"), false, func(w io.Writer) error {
		n, err := io.WriteString(w, "half a fi")
		written += n
		if err != nil {
			return err
		}
		cancel()
		n, err = w.Write(make([]byte, 10*piece))
		written += n
		return err
	})
	if !errors.Is(err, context.Canceled) || written != 9 {
		t.Errorf("%v after %d bytes", err, written)
	}
	holds(t, dir, nil)

	ctx, cancel = context.WithCancel(context.Background())
	_, err = Stage(ctx, filepath.Join(dir, "a"), false, func(io.Writer) error { cancel(); return nil })
	if !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	holds(t, dir, nil)
}

func TestDiscard(t *testing.T) {
	dir := t.TempDir()
	s, err := Stage(context.Background(), filepath.Join(dir, strings.Repeat("long", 60)), false, text("new"))
	if err != nil {
		t.Fatal(err)
	}
	s.Discard()
	s.Discard()
	holds(t, dir, nil)
}

// Another's half-written file beside the target is neither used nor harmed.
func TestNameTaken(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, ".a.0.part"), []byte("another's"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := put(filepath.Join(dir, "a"), false, "new"); err != nil {
		t.Fatal(err)
	}
	holds(t, dir, map[string]string{"a": "new", ".a.0.part": "another's"})
}
