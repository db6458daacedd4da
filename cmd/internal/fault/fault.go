// Package fault is how a file's faults are told: what is wrong, where, and
// what was expected. Every reader of a user's file collects its faults in a
// List rather than stopping at the first.
package fault

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
)

// Fault is one thing wrong with a file.
type Fault struct {
	File     string // as the user named it; "standard input" for -
	Line     int    // from 1; 0 when the whole file is meant
	Message  string // one sentence: the offender, and what to do
	Expected string // what would have been accepted; may be empty
}

// Where is file:line, or the file alone when no line is meant.
func (f Fault) Where() string {
	if f.Line < 1 {
		return f.File
	}
	return fmt.Sprintf("%s:%d", f.File, f.Line)
}

// String is "file:line: message".
func (f Fault) String() string { return f.Where() + ": " + f.Message }

// List is the error of a file with at least one fault, in line order.
type List []Fault

// Error gives one fault per line.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, f := range l {
		lines[i] = f.String()
	}
	return strings.Join(lines, "\n")
}

// Plain is what the system says of a file, without the path and the call that
// it puts before it: those are said already.
func Plain(err error) string {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err.Error()
	case errors.As(err, &l):
		return l.Err.Error()
	}
	return err.Error()
}
