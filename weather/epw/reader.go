package epw

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"limeday/weather"
)

// Options is how to read a file. The zero value refuses what is out of range and
// dates typical years by themselves.
type Options struct {
	// Year is the year to date a typical year with: 0 is 2001, or 2000 if the
	// file holds 29 February.
	Year int
	// DropBad leaves out values beyond all weather, with a note, instead of
	// refusing the file.
	DropBad bool
}

// Reader reads an EPW file row by row. Make one with [NewReader].
type Reader struct {
	name    string
	s       *bufio.Scanner
	line    int
	o       Options
	h       Header
	located bool
	years   bool // rows of more than one year, not following each other
	last    Row
	dropped weather.Dropped
	pending string // the first row, read with the header
	cut     bool   // the line read last has no end: the file may be cut off in it
}

// NewReader reads the header lines of r, gzip or plain, which errors call name. Its errors, and those
// of [Reader.Next], are a [*weather.DataError], or from r.
func NewReader(name string, r io.Reader, o Options) (*Reader, error) {
	plain, err := weather.Unpack(name, r)
	if err != nil {
		return nil, err
	}
	e := &Reader{name: name, s: bufio.NewScanner(plain), o: o}
	e.s.Buffer(nil, 1<<20)
	e.s.Split(func(data []byte, atEOF bool) (int, []byte, error) {
		n, line, err := bufio.ScanLines(data, atEOF)
		e.cut = line != nil && data[n-1] != '\n'
		return n, line, err
	})
	for {
		text, err := e.scan()
		switch {
		case err == io.EOF:
			return nil, e.fault("", "ends before its first row", "", "8 header lines and a row for each hour")
		case err != nil:
			return nil, err
		}
		if e.line == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if text != "" && text[0] >= '0' && text[0] <= '9' {
			e.pending = text
			break
		}
		if strings.TrimSpace(text) == "" {
			continue
		}
		if err := e.headerLine(text); err != nil {
			return nil, err
		}
	}
	if !e.located {
		return nil, e.fault("", "there is no LOCATION line above the first row", "", "the place and time zone of the file")
	}
	return e, nil
}

// Header is what stands above the rows.
func (e *Reader) Header() Header {
	h := e.h
	h.Typical = h.Typical || e.years
	return h
}

// scan is the next line.
func (e *Reader) scan() (string, error) {
	if e.s.Scan() {
		e.line++
		return e.s.Text(), nil
	}
	switch err := e.s.Err(); {
	case err == nil:
		return "", io.EOF
	case errors.Is(err, bufio.ErrTooLong):
		e.line++
		return "", e.fault("", "the line is longer than 1 MiB", "", "an EPW file")
	default:
		var bad *weather.DataError
		if errors.As(err, &bad) {
			return "", err
		}
		return "", fmt.Errorf("%s: %w", e.name, err)
	}
}

func (e *Reader) fault(key, message, text, want string) error {
	return &weather.DataError{File: e.name, Line: e.line, Key: key, Message: message, Text: decode(text), Want: want}
}

// Next is the next row, or [io.EOF].
func (e *Reader) Next() (Row, error) {
	text := e.pending
	e.pending = ""
	for strings.TrimSpace(text) == "" {
		var err error
		if text, err = e.scan(); err != nil {
			return Row{}, err
		}
	}
	row, err := e.row(text)
	if err == nil {
		err = e.follows(row)
	}
	if err != nil {
		return Row{}, err
	}
	e.last = row
	return row, nil
}

// row reads the columns of a line. A missing tail counts as missing values.
func (e *Reader) row(text string) (Row, error) {
	r := Row{Line: e.line}
	n := 0
	for rest, more := text, true; more; {
		var cell string
		cell, rest, more = strings.Cut(rest, ",")
		cell = strings.TrimSpace(cell)
		n++
		switch {
		case n <= 5:
			v, err := strconv.Atoi(cell)
			if err != nil {
				return r, e.fault("the date", "is no number", cell, "year, month, day, hour and minute")
			}
			*[...]*int{&r.Year, &r.Month, &r.Day, &r.Hour, &r.Minute}[n-1] = v
		case n == 6:
			r.Flags = cell
		case n == 28:
			r.PresentWeather = cell
		case n <= 35:
			v, err := e.number(n, cell)
			if err != nil {
				return r, err
			}
			*columns[n].at(&r) = v
		}
	}
	if n < 10 {
		return r, e.fault("", fmt.Sprintf("the row has %d columns", n), text, "35, of which those up to the pressure are needed")
	}
	if n < 35 && e.cut {
		return r, e.fault("", fmt.Sprintf("the file ends within the row, in column %d", n), text, "a whole file; download it again")
	}
	if r.Year < 1800 || r.Year > 2200 || r.Month < 1 || r.Month > 12 || r.Hour < 1 || r.Hour > 24 ||
		r.Day < 1 || r.Day > daysIn(r.Year, r.Month) || r.Minute != 0 && r.Minute != 60 {
		return r, e.fault("the date", "there is no such hour", text[:min(len(text), 20)], "year, month, day, hour 1 to 24, minute 0 or 60")
	}
	return r, nil
}

// number reads a value.
func (e *Reader) number(n int, cell string) (weather.Value, error) {
	if cell == "" {
		return weather.Value{}, nil
	}
	c := &columns[n]
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return weather.Value{}, e.fault(c.name, "is no number", cell, "a number, or the code of a missing value")
	}
	if v >= c.missing {
		return weather.Value{}, nil
	}
	if c.checked {
		if err := c.check.Check(v * c.scale); err != nil {
			return weather.Value{}, e.refuse(c.name, cell, err)
		}
	}
	return weather.Value{V: v, Tag: c.tag}, nil
}

// refuse returns the fault of a value beyond its range, or nil if it is to be
// dropped.
func (e *Reader) refuse(key, cell string, err error) error {
	if e.o.DropBad {
		e.dropped.Add(key+" out of range", fmt.Sprintf("%s:%d: %v", e.name, e.line, err))
		return nil
	}
	return e.fault(key, err.Error(), cell, "a value that weather has; take it out, or have such values dropped")
}

// follows checks that a row is the hour after the last, in a real or in a
// typical year, or after a gap.
func (e *Reader) follows(r Row) error {
	a := e.last
	if a.Line == 0 {
		return nil
	}
	if r.ends(r.Year, time.UTC).After(a.ends(a.Year, time.UTC)) && (r.Year == a.Year || r.Year == a.Year+1 && a.Month == 12 && r.Month == 1) {
		return nil
	}
	// The seam between two months of a typical year.
	if r.Year != a.Year && r.Month == a.Month%12+1 {
		e.years = true
		return nil
	}
	return e.fault("the date", fmt.Sprintf("does not follow line %d", a.Line),
		fmt.Sprintf("%d-%02d-%02d hour %d", r.Year, r.Month, r.Day, r.Hour), "rows in order of time, each hour once")
}

// ends is the end of the row's hour, in a year.
func (r Row) ends(year int, zone *time.Location) time.Time {
	return time.Date(year, time.Month(r.Month), r.Day, r.Hour, 0, 0, 0, zone)
}

func daysIn(year, month int) int {
	return time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}
