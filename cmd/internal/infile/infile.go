// Package infile opens and reads the files that a user names, so that none of them fills the memory or is waited for
// without end: every read has a limit, a device is refused, and a pipe that nothing writes to is given up.
//
// Its errors are a [fs.PathError] or a plain sentence without the path, so that fault.Plain tells them.
//
// It does not guard against a pipe whose writer falls silent: that is waited for, as standard input is.
package infile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"
)

// Why a name is not read.
var (
	ErrDevice = errors.New("it is a device and no file; give the path of a file")
	ErrPipe   = errors.New("nothing writes to this pipe; begin what fills it first, or give the path of a file")
)

// SizeError says that there is more to read than is read.
type SizeError struct{ Most int64 } // bytes

// Error is a sentence without the path.
func (e *SizeError) Error() string {
	return fmt.Sprintf("it is larger than %s, which no such file is; give another", Size(e.Most))
}

// Size is a number of bytes for people, in whole units.
func Size(n int64) string {
	if n >= 1<<20 && n%(1<<20) == 0 {
		return fmt.Sprintf("%d MiB", n>>20)
	}
	return fmt.Sprintf("%d KiB", n>>10)
}

// patience is how long a pipe is waited for that nothing writes to.
const patience = 2 * time.Second

// Open opens a file for reading. A folder opens, as with [os.Open], and cannot be read.
func Open(path string) (*os.File, error) { return open(path, patience) }

func open(path string, patience time.Duration) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.Mode()&(fs.ModeDevice|fs.ModeCharDevice) != 0:
		return nil, &fs.PathError{Op: "open", Path: path, Err: ErrDevice}
	case info.Mode()&fs.ModeNamedPipe == 0:
		return os.Open(path)
	}
	type opened struct {
		f   *os.File
		err error
	}
	c := make(chan opened, 1)
	go func() {
		f, err := os.Open(path) // comes back once something writes
		c <- opened{f, err}
	}()
	select {
	case o := <-c:
		return o.f, o.err
	case <-time.After(patience):
		go func() {
			if o := <-c; o.err == nil {
				o.f.Close()
			}
		}()
		return nil, &fs.PathError{Op: "open", Path: path, Err: ErrPipe}
	}
}

// Read reads a file whole, up to a size. A larger one is a [*SizeError], and is not read.
func Read(path string, most int64) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.Mode().IsRegular() && info.Size() > most {
		return nil, &fs.PathError{Op: "read", Path: path, Err: &SizeError{most}}
	}
	data, err := All(f, most)
	var large *SizeError
	if errors.As(err, &large) {
		err = &fs.PathError{Op: "read", Path: path, Err: large}
	}
	return data, err
}

// All reads r to its end, up to a size. More is a [*SizeError].
func All(r io.Reader, most int64) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err == nil && int64(len(data)) > most {
		return nil, &SizeError{most}
	}
	return data, err
}
