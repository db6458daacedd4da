package weather

import (
	"errors"
	"io"
)

// ErrLongRow ends a [RowLimit] within a row that is too long.
var ErrLongRow = errors.New("a row is too long, or a quote in it is not closed")

// RowLimit reads R for a parser of rows, which tells with Done how far it has
// come, and fails with [ErrLongRow] where a row is longer than Max. A parser
// else keeps all of a file in memory that has no line ends, or a quote that is
// not closed.
type RowLimit struct {
	R   io.Reader
	Max int64 // bytes, counting what is read ahead

	read, done int64
	last       byte
	ended      bool
}

// Read implements [io.Reader].
func (l *RowLimit) Read(p []byte) (int, error) {
	n, err := l.R.Read(p)
	if n > 0 {
		l.read += int64(n)
		l.last = p[n-1]
	}
	l.ended = l.ended || err == io.EOF
	if l.read-l.done > l.Max {
		return 0, ErrLongRow
	}
	return n, err
}

// Done says that all rows up to a byte have been parsed.
func (l *RowLimit) Done(offset int64) { l.done = offset }

// Open reports whether the row that ends at a byte is the last of all and has no line
// end; last is the byte it ends with.
func (l *RowLimit) Open(offset int64) (last byte, open bool) {
	return l.last, l.ended && offset == l.read && l.last != '\n'
}
