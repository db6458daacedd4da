package outfile

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"limeday/cmd/internal/fault"
)

// Error says why a file is not written, in one sentence.
type Error struct {
	Path    string
	Message string
	Refused bool  // as it was asked for it cannot be done: the target exists, or is no file
	Err     error // cause; may be nil
}

func (e *Error) Error() string { return e.Path + ": " + e.Message }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// Check refuses a target that cannot be written, before any work is done for it: one that exists without force,
// one that is not a plain file, or one whose folder does not exist. It writes nothing.
func Check(path string, force bool) error {
	_, err := target(path, force)
	return err
}

// target gives the file that path leads to, through links, and refuses what may not be replaced.
func target(path string, force bool) (string, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Lstat(path); err == nil {
			return "", &Error{Path: path, Message: "it is a link that leads nowhere; give another name", Refused: true}
		}
		if folder, err := os.Stat(filepath.Dir(path)); err != nil || !folder.IsDir() {
			return "", &Error{Path: path, Message: "there is no folder " + filepath.Dir(path) + "; make it first, or give another name", Refused: true, Err: err}
		}
		return path, nil
	case err != nil:
		return "", &Error{Path: path, Message: "it cannot be written: " + fault.Plain(err), Err: err}
	case info.IsDir():
		return "", &Error{Path: path, Message: "it is a folder; give the name of a file in it", Refused: true}
	case !info.Mode().IsRegular():
		return "", &Error{Path: path, Message: "it is not a plain file; give another name", Refused: true}
	case !force:
		return "", &Error{Path: path, Message: "it exists and is left as it is; give another name, or --force to replace it", Refused: true, Err: fs.ErrExist}
	}
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return "", &Error{Path: path, Message: "it cannot be written: " + fault.Plain(err), Err: err}
	}
	return real, nil
}

// Staged is a file that is complete on the disk under another name and waits for Commit.
type Staged struct {
	path   string // as asked for
	target string
	temp   string
	force  bool
}

// Stage writes what write gives to a file beside path. On any error, that of write and of ctx included, nothing is
// left behind. The caller calls Commit or Discard.
func Stage(ctx context.Context, path string, force bool, write func(io.Writer) error) (*Staged, error) {
	to, err := target(path, force)
	if err != nil {
		return nil, err
	}
	mode := fs.FileMode(0o666) // less the umask
	old, err := os.Stat(to)
	if err == nil {
		mode = old.Mode().Perm()
	}
	f, err := beside(to, mode)
	if err != nil {
		return nil, &Error{Path: path, Message: "it cannot be written: " + fault.Plain(err), Err: err}
	}
	s := &Staged{path: path, target: to, temp: f.Name(), force: force}
	if old != nil {
		err = f.Chmod(mode) // the umask does not count for a file that was there
	}
	if err == nil {
		err = write(&heeding{ctx, f})
	}
	if err == nil {
		err = f.Sync()
	}
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		s.Discard()
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, &Error{Path: path, Message: "it could not be written, and nothing of it is kept: " + fault.Plain(err), Err: err}
	}
	return s, nil
}

// Commit gives the file its name.
func (s *Staged) Commit() error {
	if !s.force {
		// A link never replaces a file that has come into being meanwhile.
		switch err := os.Link(s.temp, s.target); {
		case err == nil:
			s.Discard()
			return nil
		case errors.Is(err, fs.ErrExist):
			s.Discard()
			return &Error{Path: s.path, Message: "it has come to exist meanwhile and is left as it is; give another name, or --force to replace it", Refused: true, Err: err}
		} // else the disk has no links
		if err := Check(s.path, false); err != nil {
			s.Discard()
			return err
		}
	}
	if err := os.Rename(s.temp, s.target); err != nil {
		s.Discard()
		return &Error{Path: s.path, Message: "it could not be written, and nothing of it is kept: " + fault.Plain(err), Err: err}
	}
	return nil
}

// Discard removes what was staged. After Commit it does nothing.
func (s *Staged) Discard() { _ = os.Remove(s.temp) } // nothing better can be done than leave it

// most is how many names are tried for a file beside the target.
const most = 1000

// beside makes a new file in the folder of path.
func beside(path string, mode fs.FileMode) (*os.File, error) {
	dir, name := filepath.Split(path)
	if len(name) > 100 {
		name = name[:100] // room for what is added, in folders that allow 255 bytes
	}
	for i := 0; ; i++ {
		f, err := os.OpenFile(filepath.Join(dir, fmt.Sprintf(".%s.%d.part", name, i)), os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if err == nil || !errors.Is(err, fs.ErrExist) || i == most {
			return f, err
		}
	}
}

// heeding writes in pieces and stops when ctx does.
type heeding struct {
	ctx context.Context
	w   io.Writer
}

const piece = 64 << 10

// Write implements io.Writer.
func (h *heeding) Write(p []byte) (int, error) {
	done := 0
	for done < len(p) {
		if err := h.ctx.Err(); err != nil {
			return done, err
		}
		n, err := h.w.Write(p[done:min(done+piece, len(p))])
		done += n
		if err != nil {
			return done, err
		}
	}
	return done, nil
}
