package weather

import (
	"bufio"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
)

// MaxFile is the largest weather file read, unpacked, in bytes: decades of hours.
const MaxFile = 256 << 20

// MaxRecords is how many records of one file are kept: over a century of hours.
const MaxRecords = 1 << 20

// TooMany is the fault of a row that is one more than are kept.
func TooMany(name string, line, most int) error {
	return &DataError{File: name, Line: line, Message: fmt.Sprintf("holds more than %d rows", most), Want: "hourly weather, in files of some years"}
}

// Unpack returns what r holds: unpacked if it is gzip (RFC 1952), else as it is.
// Reading past [MaxFile] bytes, and a file cut off inside its packing, are a
// [*DataError] that calls it name.
func Unpack(name string, r io.Reader) (io.Reader, error) {
	b := bufio.NewReader(r)
	magic, err := b.Peek(2)
	if err != nil && err != io.EOF {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(magic) < 2 || magic[0] != 0x1f || magic[1] != 0x8b {
		return &capped{name: name, r: b}, nil
	}
	z, err := gzip.NewReader(b)
	if err != nil {
		return nil, &DataError{File: name, Message: "is no whole gzip file (" + err.Error() + ")", Want: "the file downloaded again"}
	}
	return &capped{name: name, r: z, packed: true}, nil
}

// capped reads no more than MaxFile bytes.
type capped struct {
	name   string
	r      io.Reader
	packed bool
	n      int64
}

func (c *capped) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	c.n += int64(n)
	switch {
	case c.n > MaxFile:
		return n, &DataError{File: c.name, Message: fmt.Sprintf("is larger than %d MiB", MaxFile>>20), Want: "hourly weather, in files of some years"}
	case c.packed && err != nil && !errors.Is(err, io.EOF):
		return n, &DataError{File: c.name, Message: "is no whole gzip file (" + err.Error() + ")", Want: "the file downloaded again"}
	}
	return n, err
}
