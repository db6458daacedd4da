package diary

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"syscall"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"

	"limeday/cmd/internal/fault"
)

// wait is how long a file that another holds is waited for.
const wait = 2 * time.Second

// Book is a diary that entries are added to. It holds nothing open between two of them, so several programs can
// write to one file in turn. It is not for several goroutines at once.
type Book struct {
	path  string
	now   func() time.Time
	disk  disk
	wait  time.Duration
	named bool // the file's name is known to be on the disk
}

// disk is where the file is; a test puts one in between that fails, or kills the process, at a given point.
type disk interface {
	open(path string, flag int) (file, error) // and lock, for as long as it is open
	syncDir(path string) error
}

type file interface {
	io.ReadWriteCloser
	Stat() (fs.FileInfo, error)
	Sync() error
}

type realDisk struct{}

func (realDisk) open(path string, flag int) (file, error) {
	return lockedfile.OpenFile(path, flag, 0o666)
}

func (realDisk) syncDir(path string) error {
	if runtime.GOOS == "windows" {
		return nil // has no such call; NTFS keeps its own journal of names
	}
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) { // some network folders have no such call
		return err
	}
	return nil
}

// Open opens the diary at path, or makes an empty one; its folder must exist. now is the clock of the site, whose
// zone the times are written in. The error is a [*FileError].
func Open(path string, now func() time.Time) (*Book, error) {
	b := &Book{path: path, now: now, disk: realDisk{}, wait: wait}
	return b, b.make()
}

// make sees that there is a diary to write to. It changes nothing in one that is there.
func (b *Book) make() error {
	if folder, err := os.Stat(filepath.Dir(b.path)); err != nil || !folder.IsDir() {
		return &FileError{Path: b.path, Message: "there is no folder " + filepath.Dir(b.path) + "; make it first, or give another name", NoDiary: true, Err: err}
	}
	f, err := b.lock(os.O_RDWR | os.O_APPEND | os.O_CREATE)
	if err != nil {
		return b.refuse(err)
	}
	defer f.Close()
	_, err = b.read(f)
	return err
}

// read reads the whole file through f.
func (b *Book) read(f file) (*record, error) {
	data, err := whole(b.path, f)
	if err != nil {
		return nil, b.refuse(err)
	}
	r := scan(b.path, data)
	if r.foreign() {
		return nil, &FileError{Path: b.path, Message: notDiary, NoDiary: true}
	}
	return r, nil
}

// Append adds an entry and returns it as it stands in the file, with its number. When it returns without an error
// the entry is on the disk, and so is a new file's name. A zero At is now. The error is an [*EntryError] where the entry cannot be, else a
// [*FileError]; the file then is as it was but, where its disk is full, for a last line that was cut off.
func (b *Book) Append(e Entry) (Entry, error) {
	now := b.now()
	if e.At.IsZero() {
		e.At = now
	}
	e.At, e.Written = onSite(e.At), onSite(now)
	if err := Check(e); err != nil {
		return Entry{}, err
	}
	f, err := b.lock(os.O_RDWR | os.O_APPEND)
	if err != nil {
		return Entry{}, b.refuse(err)
	}
	defer f.Close()
	r, err := b.read(f)
	if err != nil {
		return Entry{}, err
	}
	if err := amendable(e, r.entries); err != nil {
		return Entry{}, err
	}
	e.N = r.last + 1
	text, err := encode(e, r.sum)
	if err != nil {
		return Entry{}, &EntryError{Message: "the entry cannot be written down: " + err.Error()}
	}
	if !r.ended {
		text = append([]byte("\n"), text...) // end what was cut off
	}
	if n, err := f.Write(append(text, '\n')); err != nil {
		said := "the entry could not be written, and the diary is as it was: "
		if n > 0 {
			said = "the entry could not be written whole, all before it are as they were: "
		}
		return Entry{}, &FileError{Path: b.path, Message: said + fault.Plain(err), Err: err}
	}
	if err := f.Sync(); err != nil {
		return Entry{}, b.unsure(e.N, err)
	}
	if !b.named {
		// Also of a file with entries: who wrote them may have been killed before this. Where it cannot be done then,
		// the name has long been there.
		if err := b.disk.syncDir(filepath.Dir(b.path)); err != nil && len(r.entries) == 0 {
			return Entry{}, b.unsure(e.N, err)
		}
		b.named = true
	}
	return e, nil
}

// unsure says that an entry was handed to the system, which did not vouch for it.
func (b *Book) unsure(n int, err error) error {
	return &FileError{Path: b.path, Err: err,
		Message: fmt.Sprintf("entry %d was written, but the disk did not confirm it; list the diary to see whether it is there: %s", n, fault.Plain(err))}
}

// onSite is t to the second, with an offset that RFC 3339 can write.
func onSite(t time.Time) time.Time {
	t = t.Truncate(time.Second)
	name, offset := t.Zone()
	if offset%60 != 0 {
		return t.In(time.FixedZone(name, offset-offset%60))
	}
	return t
}

// amendable refuses to amend an entry that is not there or is of another kind.
func amendable(e Entry, entries []Entry) error {
	if e.Amends == 0 {
		return nil
	}
	i := slices.IndexFunc(entries, func(o Entry) bool { return o.N == e.Amends })
	switch {
	case i < 0:
		return &EntryError{Message: fmt.Sprintf("there is no entry %d to amend; list the diary to see the numbers", e.Amends), Expected: "the number of an entry"}
	case e.Kind != Withdrawal && entries[i].Kind != e.Kind:
		return &EntryError{Message: fmt.Sprintf("entry %d is of the kind %s, not %s; withdraw it, and write another", e.Amends, entries[i].Kind, e.Kind), Expected: string(entries[i].Kind)}
	}
	return nil
}

var errLocked = errors.New("another program holds it")

// tries is how often a file that was replaced while it was waited for is opened anew.
const tries = 5

// lock opens the file and locks it against every other program that keeps diaries.
func (b *Book) lock(flag int) (file, error) {
	for range tries {
		if info, err := os.Stat(b.path); err == nil && info.IsDir() {
			return nil, &FileError{Path: b.path, Message: "is a folder; give the name of a diary in it", NoDiary: true}
		} else if err == nil && !info.Mode().IsRegular() && (flag != os.O_RDONLY || info.Mode()&fs.ModeDevice != 0) {
			return nil, &FileError{Path: b.path, Message: "is not a plain file, so no diary can be kept in it; give another name", NoDiary: true}
		}
		f, err := b.lockOnce(flag)
		if err != nil {
			return nil, err
		}
		held, err := f.Stat()
		if err == nil {
			var now fs.FileInfo
			if now, err = os.Stat(b.path); err == nil && os.SameFile(held, now) {
				return f, nil
			}
		}
		f.Close()
		if err != nil {
			return nil, err
		}
	}
	return nil, errLocked
}

// lockOnce gives up after a while. The lock that it then no longer wants is let go as soon as it is had.
func (b *Book) lockOnce(flag int) (file, error) {
	type opened struct {
		f   file
		err error
	}
	c := make(chan opened, 1)
	go func() {
		f, err := b.disk.open(b.path, flag)
		c <- opened{f, err}
	}()
	select {
	case o := <-c:
		return o.f, o.err
	case <-time.After(b.wait):
		go func() {
			if o := <-c; o.err == nil {
				o.f.Close()
			}
		}()
		return nil, errLocked
	}
}

// refuse words why nothing was added.
func (b *Book) refuse(err error) error {
	var told *FileError
	if errors.As(err, &told) {
		return err
	}
	e := &FileError{Path: b.path, Err: err, Message: "cannot be written, and nothing was added: " + fault.Plain(err)}
	switch {
	case errors.Is(err, errLocked):
		e.Message = "another program is writing to it, and nothing was added; try again"
	case errors.Is(err, errors.ErrUnsupported):
		e.Message = "its disk cannot lock files, so nothing was added; keep the diary on another"
	case errors.Is(err, fs.ErrNotExist):
		e.Message = "the file is gone, and nothing was added; put it back, or begin a new one"
	}
	return e
}
