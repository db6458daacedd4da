package source

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"limeday/weather"
	"limeday/weather/columns"
	"limeday/weather/epw"
	"limeday/weather/isdlite"
	"limeday/weather/power"
)

// kind is a kind of weather file.
type kind uint8

const (
	unknown kind = iota
	isEPW
	isISDLite
	isPower
	isColumns
)

// kinds says what files are known.
const kinds = "an EPW file, an ISD-Lite file, a CSV of hours with a header, or an hourly answer of NASA POWER as JSON"

// peeked is how much of a file tells its kind, bytes.
const peeked = 8 << 10

var (
	epwLine = regexp.MustCompile(`(?i)^(LOCATION|DESIGN CONDITIONS|TYPICAL/EXTREME PERIODS|GROUND TEMPERATURES|HOLIDAYS/DAYLIGHT SAVINGS?|COMMENTS [12]|DATA PERIODS),`)
	isdLine = regexp.MustCompile(`^\d{4} \d\d \d\d \d\d[ -]`)
	letter  = regexp.MustCompile(`[A-Za-z]`)
)

// kindOf tells the kind of a file by how it begins, unpacked.
func kindOf(start []byte) kind {
	start = bytes.TrimPrefix(start, []byte("\xef\xbb\xbf"))
	if bytes.IndexByte(start, 0) >= 0 {
		return unknown // no text, or UTF-16
	}
	text := strings.TrimLeft(string(start), " \t\r\n")
	first, _, _ := strings.Cut(text, "\n")
	first = strings.TrimRight(first, "\r")
	switch {
	case epwLine.MatchString(first):
		return isEPW
	case isdLine.MatchString(first):
		return isISDLite
	case strings.HasPrefix(first, "{"):
		return isPower
	case strings.HasPrefix(first, "<"):
		return unknown // a web page
	case strings.ContainsAny(first, ",;\t|") && letter.MatchString(first):
		return isColumns
	}
	return unknown
}

// readFile reads a file of any kind, and says whether it is a typical year.
func readFile(ctx context.Context, f File, o YearsOptions) (weather.Series, bool, error) {
	none := weather.Series{}
	if err := ctx.Err(); err != nil {
		return none, false, err
	}
	raw, err := f.Open()
	if err != nil {
		return none, false, err
	}
	defer raw.Close()
	plain, err := weather.Unpack(f.Name, stoppable{ctx, raw})
	if err != nil {
		return none, false, err
	}
	b := bufio.NewReaderSize(plain, peeked)
	start, err := b.Peek(peeked)
	var bad *weather.DataError
	switch {
	case errors.As(err, &bad):
		return none, false, err
	case err != nil && !errors.Is(err, io.EOF):
		return none, false, fmt.Errorf("%s: %w", f.Name, err)
	}
	if len(bytes.TrimSpace(start)) == 0 {
		return none, false, &weather.DataError{File: f.Name, Message: "is empty", Want: kinds}
	}
	switch kindOf(start) {
	case isEPW:
		s, h, err := epw.Read(f.Name, b, epw.Options{DropBad: o.DropBad})
		return s, h.Typical, err
	case isISDLite:
		lite := isdlite.Options{DropBad: o.DropBad}
		if o.Place != nil && !unknownAltitude(*o.Place) {
			lite.Altitude = &o.Place.Altitude
		}
		s, err := isdlite.Read(f.Name, b, lite)
		return s, false, err
	case isPower:
		s, err := readPower(f.Name, b)
		return s, false, err
	case isColumns:
		co := o.Columns
		co.DropBad = co.DropBad || o.DropBad
		if co.Zone == nil {
			co.Zone = o.Zone
		}
		if co.Altitude == nil && o.Place != nil && !unknownAltitude(*o.Place) {
			co.Altitude = &o.Place.Altitude
		}
		s, err := columns.Read(f.Name, b, co)
		return s, false, err
	}
	first, _, _ := strings.Cut(strings.TrimSpace(string(start[:min(len(start), 200)])), "\n")
	return none, false, &weather.DataError{File: f.Name, Message: "is no kind of weather file that is known; it begins", Text: strings.ToValidUTF8(first, "?"), Want: kinds}
}

// maxPower is the largest saved answer read, in bytes: some thirty years.
const maxPower = 64 << 20

// readPower reads a saved answer.
func readPower(name string, r io.Reader) (weather.Series, error) {
	body, err := io.ReadAll(io.LimitReader(r, maxPower+1))
	var bad *weather.DataError
	switch {
	case len(body) > maxPower:
		return weather.Series{}, &weather.DataError{File: name, Message: fmt.Sprintf("is an answer of NASA POWER larger than %d MiB", maxPower>>20), Want: "the answers of some years each"}
	case errors.As(err, &bad):
		return weather.Series{}, err
	case err != nil:
		return weather.Series{}, fmt.Errorf("%s: %w", name, err)
	}
	s, err := power.Parse([][]byte{body})
	if err != nil {
		return s, &weather.DataError{File: name, Message: words(err), Want: "an hourly answer of NASA POWER in UTC, whole"}
	}
	s.Source += " (" + name + ")"
	return s, nil
}

// stoppable reads until the context ends.
type stoppable struct {
	ctx context.Context
	r   io.Reader
}

func (s stoppable) Read(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.r.Read(p)
}
