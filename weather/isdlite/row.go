package isdlite

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"limeday/weather"
)

// width is how long a row is.
const width = 61

// missing is the code of a value that is not there; trace that of rain too little
// to measure.
const (
	missing = -9999
	trace   = -1
)

// fields are the twelve columns: from, to in the line, counted from 0.
var fields = [12]struct {
	name     string
	from, to int
}{
	{"year", 0, 4}, {"month", 5, 7}, {"day", 8, 10}, {"hour", 11, 13},
	{"temperature", 13, 19}, {"dew point", 19, 25}, {"sea level pressure", 25, 31}, {"wind direction", 31, 37},
	{"wind", 37, 43}, {"sky", 43, 49}, {"rain of 1 h", 49, 55}, {"rain of 6 h", 55, 61},
}

// row is one line.
type row struct {
	line int
	time time.Time
	v    [12]int
}

// parse reads a line.
func parse(name string, line int, text string) (row, error) {
	r := row{line: line}
	text = strings.TrimRight(text, "\r")
	fault := func(key, message, text, want string) (row, error) {
		return r, &weather.DataError{File: name, Line: line, Key: key, Message: message, Text: text, Want: want}
	}
	if len(text) < width {
		return fault("", fmt.Sprintf("the row has %d characters", len(text)), text, "61: a whole ISD-Lite file")
	}
	for i, f := range fields {
		raw := strings.TrimSpace(text[f.from:f.to])
		v, err := strconv.Atoi(raw)
		if err != nil {
			return fault(f.name, "is no whole number", raw, fmt.Sprintf("one in characters %d to %d of the row", f.from+1, f.to))
		}
		r.v[i] = v
	}
	if strings.TrimSpace(text[width:]) != "" {
		return fault("", "the row goes on", text[width:], "61 characters: an ISD-Lite file")
	}
	r.time = time.Date(r.v[0], time.Month(r.v[1]), r.v[2], r.v[3], 0, 0, 0, time.UTC)
	if y, m, d := r.time.Date(); y < 1900 || y > 2100 || y != r.v[0] || int(m) != r.v[1] || d != r.v[2] || r.time.Hour() != r.v[3] {
		return fault("the date", "there is no such hour", text[:13], "year, month, day and hour 0 to 23 in UTC")
	}
	return r, nil
}
