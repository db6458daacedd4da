package diary

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"
)

// trial is a disk with faults, and a record of what was asked of it.
type trial struct {
	realDisk
	openErr, syncErr, dirErr error
	full                     int    // bytes that find room; -1: all
	onto                     string // a file that the writes go to instead
	did                      []string
}

type trialFile struct {
	file
	d *trial
}

func (d *trial) open(path string, flag int) (file, error) {
	if d.openErr != nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: d.openErr}
	}
	f, err := d.realDisk.open(path, flag)
	return &trialFile{f, d}, err
}

func (d *trial) syncDir(path string) error {
	d.did = append(d.did, "folder on disk")
	if d.dirErr != nil {
		return d.dirErr
	}
	return d.realDisk.syncDir(path)
}

func (f *trialFile) Write(p []byte) (int, error) {
	f.d.did = append(f.d.did, fmt.Sprintf("write of %d lines", strings.Count(string(p), "\n")))
	if f.d.onto != "" {
		other, err := os.OpenFile(f.d.onto, os.O_WRONLY, 0)
		if err != nil {
			return 0, err
		}
		defer other.Close()
		return other.Write(p)
	}
	if f.d.full >= 0 && len(p) > f.d.full {
		n, err := f.file.Write(p[:f.d.full])
		if err == nil {
			err = &fs.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}
		}
		return n, err
	}
	return f.file.Write(p)
}

func (f *trialFile) Sync() error {
	f.d.did = append(f.d.did, "file on disk")
	if f.d.syncErr != nil {
		return f.d.syncErr
	}
	return f.file.Sync()
}

func (f *trialFile) Close() error {
	f.d.did = append(f.d.did, "let go")
	return f.file.Close()
}

// An entry is one write, and on the disk before it is said to be there; a new file's name is, too.
func TestOrderOfWork(t *testing.T) {
	d := &trial{full: -1}
	b := &Book{path: filepath.Join(t.TempDir(), "a"), now: clock, disk: d, wait: wait}
	if err := b.make(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"write of 1 lines, file on disk, folder on disk, let go",
		"write of 1 lines, file on disk, let go",
	} {
		d.did = nil
		if _, err := b.Append(event(Laid)); err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(d.did, ", "); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestNotWritten(t *testing.T) {
	path := keep(t, event(Laid))
	was := content(t, path)
	for _, tc := range []struct {
		name   string
		d      trial
		cause  error
		says   string
		left   int // bytes that the file grew by; -1: a whole line
		faults int
	}{
		{"read-only", trial{full: -1, openErr: syscall.EACCES}, fs.ErrPermission, "cannot be written, and nothing was added: permission denied", 0, 0},
		{"read-only disk", trial{full: -1, openErr: syscall.EROFS}, syscall.EROFS, "cannot be written, and nothing was added: read-only file system", 0, 0},
		{"no locks", trial{full: -1, openErr: errors.ErrUnsupported}, errors.ErrUnsupported, "its disk cannot lock files", 0, 0},
		{"gone", trial{full: -1, openErr: syscall.ENOENT}, fs.ErrNotExist, "the file is gone, and nothing was added", 0, 0},
		{"full", trial{}, syscall.ENOSPC, "the entry could not be written, and the diary is as it was: no space left on device", 0, 0},
		{"full in mid-line", trial{full: 50}, syscall.ENOSPC, "the entry could not be written whole, all before it are as they were: no space left on device", 50, 1},
		{"the system's full disk", trial{full: -1, onto: "/dev/full"}, syscall.ENOSPC, "the diary is as it was: no space left on device", 0, 0},
		{"not confirmed", trial{full: -1, syncErr: syscall.EIO}, syscall.EIO, "entry 2 was written, but the disk did not confirm it", -1, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if tc.d.onto != "" {
				if _, err := os.Stat(tc.d.onto); err != nil {
					t.Skip(err)
				}
			}
			if err := os.WriteFile(path, []byte(was), 0o600); err != nil {
				t.Fatal(err)
			}
			b := &Book{path: path, now: clock, disk: &tc.d, wait: wait}
			_, err := b.Append(event(Damp))
			var told *FileError
			if !errors.As(err, &told) || !errors.Is(err, tc.cause) || !strings.HasPrefix(told.Message, tc.says) && !strings.HasSuffix(told.Message, tc.says) || told.NoDiary {
				t.Errorf("%v, want %q", err, tc.says)
			}
			now := content(t, path)
			if !strings.HasPrefix(now, was) || tc.left >= 0 && len(now)-len(was) != tc.left || tc.left < 0 && strings.Count(now, "\n") != 2 {
				t.Errorf("the file now holds\n%s", now)
			}
			if entries, faults, err := Read(path); len(entries) < 1 || len(faults) != tc.faults || err != nil {
				t.Errorf("%v, %v, %v", entries, faults, err)
			}
		})
	}
	// The name of a new file is vouched for as well.
	d := &trial{full: -1, dirErr: syscall.EIO}
	b := &Book{path: filepath.Join(t.TempDir(), "new"), now: clock, disk: d, wait: wait}
	if err := b.make(); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Append(event(Laid)); err == nil || !strings.Contains(err.Error(), "entry 1 was written, but the disk did not confirm it") {
		t.Error(err)
	}
}

// A real file without permission, where the user is not the one who may do all.
func TestReadOnly(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("root may write to a read-only file")
	}
	path := keep(t, event(Laid))
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path, clock); err == nil || !strings.Contains(err.Error(), "cannot be written, and nothing was added: permission denied") {
		t.Error(err)
	}
	if entries, faults, err := Read(path); len(entries) != 1 || len(faults) > 0 || err != nil {
		t.Errorf("%v, %v, %v", entries, faults, err)
	}
}

func TestNoDiary(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "hall.toml")
	if err := os.WriteFile(text, []byte("[place]\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for path, says := range map[string]string{
		dir:                           "is a folder; give the name of a diary in it",
		filepath.Join(dir, "no", "a"): "there is no folder " + filepath.Join(dir, "no"),
		text:                          "is no diary: no line of it is an entry",
		os.DevNull:                    "is not a plain file",
	} {
		_, err := Open(path, clock)
		var told *FileError
		if !errors.As(err, &told) || !told.NoDiary || !strings.HasPrefix(told.Message, says) {
			t.Errorf("%s: %v, want %q", path, err, says)
		}
		if says = strings.TrimSuffix(says, filepath.Join(dir, "no")); strings.HasPrefix(says, "there is") {
			says = "there is no such file"
		}
		if entries, faults, err := Read(path); err == nil || len(entries)+len(faults) > 0 || !strings.HasPrefix(err.Error(), path+": "+says) {
			t.Errorf("%s: read %v, %v, %v", path, entries, faults, err)
		}
	}
	if got := content(t, text); got != "[place]\n" {
		t.Errorf("%q", got)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
}

// A file that another holds is waited for a little. It can be read meanwhile, and written once it is let go.
func TestHeldByAnother(t *testing.T) {
	path := keep(t, event(Laid))
	b, err := Open(path, clock)
	if err != nil {
		t.Fatal(err)
	}
	b.wait = 50 * time.Millisecond
	other, err := lockedfile.Edit(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Append(event(Damp)); !errors.Is(err, errLocked) || !strings.Contains(err.Error(), "another program is writing to it, and nothing was added; try again") {
		t.Error(err)
	}
	go func() {
		time.Sleep(20 * time.Millisecond)
		other.Close()
	}()
	b.wait = time.Minute
	if e, err := b.Append(event(Damp)); err != nil || e.N != 2 {
		t.Errorf("%+v, %v", e, err)
	}
}

// A file that was put in place of the one waited for gets the entry; the one that lost its name would lose it.
func TestReplaced(t *testing.T) {
	path := keep(t, event(Laid))
	d := &replacing{path: path, t: t}
	b := &Book{path: path, now: clock, disk: d, wait: wait}
	if e, err := b.Append(event(Damp)); err != nil || e.N != 2 || d.opened != 2 {
		t.Fatalf("%+v, %v, opened %d times", e, err, d.opened)
	}
	if entries, faults, err := Read(path); len(entries) != 2 || len(faults) > 0 || err != nil {
		t.Errorf("%v, %v, %v", entries, faults, err)
	}
}

// replacing puts another file in place of the one that it opens first.
type replacing struct {
	realDisk
	path   string
	opened int
	t      *testing.T
}

func (d *replacing) open(path string, flag int) (file, error) {
	f, err := d.realDisk.open(path, flag)
	if d.opened++; d.opened == 1 {
		if err := os.WriteFile(d.path+"2", []byte(content(d.t, d.path)), 0o600); err != nil {
			d.t.Error(err)
		}
		if err := os.Rename(d.path+"2", d.path); err != nil {
			d.t.Error(err)
		}
	}
	return f, err
}
