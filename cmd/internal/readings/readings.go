package readings

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"time"
	"unicode/utf8"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/quantity"
)

// Reading is the air at one moment.
type Reading struct {
	Time time.Time
	Temp float64 // C
	RH   float64 // percent over liquid water
}

// A sensor counts as stuck when both values stand still for this many readings
// in a row over this long. Common practice, no source.
const (
	stuckReadings = 12
	stuckFor      = 3 * time.Hour
)

// MaxSize is the largest file read, in bytes: a year of one a minute.
const MaxSize = 32 << 20

// maxFaults is how many faults of one file are listed; the rest are counted.
const maxFaults = 20

var header = []string{"time", "temp_c", "rh_pct"}

// Parse reads a CSV of readings in time order. name is what faults call the
// file. Its error is a [fault.List] naming the faulty lines: a value out of
// -40..50 C or 1..100 %, a time not later than the one before, a stuck sensor.
func Parse(name string, r io.Reader) ([]Reading, error) {
	var faults fault.List
	more := 0
	blame := func(line int, expected, format string, args ...any) {
		if len(faults) == maxFaults {
			more++
			return
		}
		faults = append(faults, fault.Fault{File: name, Line: line, Message: fmt.Sprintf(format, args...), Expected: expected})
	}
	const columns = "time,temp_c,rh_pct"
	data, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	switch {
	case err != nil:
		blame(0, columns, "could not be read: %v", err)
	case len(data) > MaxSize:
		blame(0, columns, "is larger than %d MiB; give the readings of the last weeks", MaxSize>>20)
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		blame(1+bytes.Count(data[:firstBad(data)], []byte("\n")), columns, "is not UTF-8 text, so it is no CSV of readings; save it as plain text")
	}
	if len(faults) > 0 {
		return nil, faults
	}
	c := csv.NewReader(bytes.NewReader(data))
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	head, err := c.Read()
	switch {
	case errors.Is(err, io.EOF):
		blame(0, columns, "is empty; readings start with the line %s", columns)
		return nil, faults
	case err == nil && !slices.Equal(head, header):
		blame(1, columns, "the first line is %q; it should be %s", shorten(fmt.Sprint(head)), columns)
		return nil, faults
	}
	var out []Reading
	same, stuckSaid := 0, false // readings in a row equal to the last
	for err == nil {
		var rec []string
		if rec, err = c.Read(); err != nil {
			break
		}
		line, _ := c.FieldPos(0)
		if len(rec) != len(header) {
			blame(line, columns, "has %d values; there should be three, %s", len(rec), columns)
			continue
		}
		before := len(faults) + more
		at, terr := time.Parse(time.RFC3339, rec[0])
		if terr != nil {
			blame(line, "RFC 3339 with offset", "%q is not a time with its offset, such as 2026-04-14T06:30:00+01:00", shorten(rec[0]))
		} else if n := len(out); n > 0 && !at.After(out[n-1].Time) {
			blame(line, "times in order", "the time %s is not later than the one before", rec[0])
		}
		temp := value(blame, line, "temp_c", rec[1], quantity.AirTemperatures, "-40 to 50 C")
		rh := value(blame, line, "rh_pct", rec[2], quantity.Humidities, "1 to 100 percent")
		if len(faults)+more > before {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Temp == temp && out[n-1].RH == rh {
			same++
		} else {
			same, stuckSaid = 0, false
		}
		out = append(out, Reading{at, temp, rh})
		if first := out[len(out)-1-same]; same+1 >= stuckReadings && at.Sub(first.Time) >= stuckFor && !stuckSaid {
			stuckSaid = true
			blame(line, "a sensor that moves", "temperature and humidity have not moved since %s; the sensor is stuck, so take these readings out", first.Time.Format(time.RFC3339))
		}
	}
	var pe *csv.ParseError
	switch {
	case errors.As(err, &pe):
		blame(pe.Line, "CSV", "is not readable CSV: %v", pe.Err)
	case !errors.Is(err, io.EOF):
		blame(0, columns, "could not be read: %v", err)
	case len(out) == 0 && len(faults) == 0:
		blame(0, "at least one reading", "has no readings under its first line")
	}
	if more > 0 {
		faults = append(faults, fault.Fault{File: name, Message: fmt.Sprintf("has %d more faults", more), Expected: columns})
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return out, nil
}

// firstBad is where data stops being text.
func firstBad(data []byte) int {
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == 0 || r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return len(data)
}

func value(blame func(int, string, string, ...any), line int, column, text string, r quantity.Range, want string) float64 {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(x) || !r.Contains(x) {
		blame(line, want, "%s is %q; it should be a number from %s", column, shorten(text), want)
		return 0
	}
	return x
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:37]) + "..."
	}
	return s
}
