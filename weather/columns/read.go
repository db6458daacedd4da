package columns

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"limeday/weather"
)

// Units are those of columns whose names state none.
type Units string

// The units.
const (
	US     Units = "us"     // F, mph, inches
	Metric Units = "metric" // C, m/s, mm
)

// Options is how to read a file. What the file says itself needs no option.
type Options struct {
	Columns    map[string]Column // what columns hold, by their name in the header; "" leaves one out
	Units      Units
	Zone       *time.Location // of times without an offset
	Station    string         // whose rows to read, in a file of several
	Altitude   *float64       // of the place, m
	PressureAt Column         // what a pressure is whose name does not say: [SeaPressure] or [StationPressure]
	SumsAfter  bool           // rain and radiation are those of the hour that begins with the row, not of the one before it
	DropBad    bool           // leave values beyond all weather out, with a note, instead of refusing the file
}

// longestRow is the longest row read, in bytes, with what is read ahead of it.
const longestRow = 256 << 10

// reader is a file being read.
type reader struct {
	name    string
	o       Options
	csv     *csv.Reader
	limit   *weather.RowLimit
	header  []string
	at      map[Column]int
	units   map[Column]unit
	line    int
	clock   clock
	pending []pending // until the unit of pressure is known
	dropped weather.Dropped
	notes   []string
}

// pending is a row that has been read.
type pending struct {
	weather.Record
	line int
	p    float64 // pressure as it stands
	has  bool
}

// Read reads all of r, gzip or plain, as a series. Its errors, which call r name, are a
// [*weather.DataError], or from r.
func Read(name string, r io.Reader, o Options) (weather.Series, error) {
	d := &reader{name: name, o: o, at: map[Column]int{}, units: map[Column]unit{}}
	if o.Units != "" && o.Units != US && o.Units != Metric {
		return weather.Series{}, d.fault("units", "are not known", string(o.Units), "us or metric")
	}
	text, err := weather.Unpack(name, r)
	if err != nil {
		return weather.Series{}, err
	}
	if err := d.open(text); err != nil {
		return weather.Series{}, err
	}
	if err := d.rows(); err != nil {
		return weather.Series{}, err
	}
	records, err := d.records()
	if err != nil {
		return weather.Series{}, err
	}
	s := weather.Series{Source: name, Records: records}
	if o.Station != "" {
		s.Source += ", station " + o.Station
	}
	s.Notes = append(d.notes, d.dropped.Notes()...)
	return s, nil
}

func (d *reader) fault(key, message, text, want string) error {
	return &weather.DataError{File: d.name, Line: d.line, Key: key, Message: message, Text: text, Want: want}
}

// open reads the header.
func (d *reader) open(text io.Reader) error {
	b := bufio.NewReaderSize(text, 64<<10)
	if mark, _ := b.Peek(3); string(mark) == "\xef\xbb\xbf" {
		_, _ = b.Discard(3) // they have been peeked
	}
	start, err := b.Peek(4096)
	if len(start) == 0 {
		if err != nil && err != io.EOF {
			return d.broken(err)
		}
		return d.fault("", "is empty", "", "a header and rows")
	}
	first, _, _ := strings.Cut(strings.TrimLeft(string(start), "\r\n"), "\n")
	d.limit = &weather.RowLimit{R: b, Max: longestRow}
	d.csv = csv.NewReader(d.limit)
	d.csv.ReuseRecord = true
	for _, c := range ";\t|" {
		if strings.Count(first, string(c)) > strings.Count(first, string(d.csv.Comma)) {
			d.csv.Comma = c
		}
	}
	cells, err := d.csv.Read()
	switch {
	case err == io.EOF:
		return d.fault("", "is empty", "", "a header and rows")
	case err != nil:
		return d.broken(err)
	}
	d.line, _ = d.csv.FieldPos(0)
	d.header = slices.Clone(cells)
	for pin := range d.o.Columns {
		if !slices.Contains(d.header, pin) {
			return d.fault("columns", "the header has no column of this name", pin, "one of "+strings.Join(d.header, ", "))
		}
	}
	return d.columns()
}

// columns finds what the header names.
func (d *reader) columns() error {
	var unknown []string
	for i, name := range d.header {
		c, pinned := d.o.Columns[name]
		if !pinned {
			c = columnOf(name)
		}
		if c == "" {
			unknown = append(unknown, name)
			continue
		}
		if c == Pressure && d.o.PressureAt != "" {
			c = d.o.PressureAt
		}
		if j, twice := d.at[c]; twice {
			return d.fault("the header", fmt.Sprintf("both %q and %q may be the %s", d.header[j], name, c), "", "the option columns to say which, and \"\" for the other")
		}
		q, isNumber := quantities[c]
		if isNumber {
			u, err := d.unit(c, q, name)
			if err != nil {
				return err
			}
			d.units[c] = u
		}
		d.at[c] = i
	}
	if len(unknown) > 0 {
		d.notes = append(d.notes, "columns left out: "+strings.Join(unknown, ", "))
	}
	if _, ok := d.at[Temperature]; !ok {
		return d.fault("the header", "has no temperature", strings.Join(d.header, ", "), "a column such as temp_c")
	}
	_, dew := d.at[DewPoint]
	if _, rh := d.at[Humidity]; !dew && !rh {
		return d.fault("the header", "has no humidity", strings.Join(d.header, ", "), "a column of dew point or relative humidity")
	}
	if _, ok := d.at[Pressure]; ok {
		d.notes = append(d.notes, "pressure left out: nothing says whether it is that at the station or reduced to sea level")
		delete(d.at, Pressure)
	}
	return d.openClock()
}

// unit is that of a column: stated, or by the options. A pressure without one is
// the zero unit, told by its size later.
func (d *reader) unit(c Column, q quantity, name string) (unit, error) {
	if u, ok := q.statedUnit(name); ok {
		return u, nil
	}
	switch {
	case c == Pressure || c == SeaPressure || c == StationPressure:
		return unit{}, nil
	case q.us == "":
		return q.units[""], nil
	case d.o.Units == US:
		return q.units[q.us], nil
	case d.o.Units == Metric:
		return q.units[q.si], nil
	}
	return unit{}, d.fault("the header", "states no unit for the "+string(c), name,
		fmt.Sprintf("one in the name, as %s_%s or %s_%s, or the option units: us or metric", name, q.si, name, q.us))
}

// rows reads all rows.
func (d *reader) rows() error {
	var other string // another station
	station, several := d.at[Station]
	for {
		d.limit.Done(d.csv.InputOffset())
		cells, err := d.csv.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return d.broken(err)
		}
		d.line, _ = d.csv.FieldPos(0)
		if several {
			switch name := strings.TrimSpace(cells[station]); {
			case d.o.Station != "" && name != d.o.Station:
				if other == "" {
					other = name
				}
				continue
			case d.o.Station == "" && other == "":
				other = name
			case d.o.Station == "" && other != name:
				return d.fault(d.header[station], "holds several stations", other+", "+name, "the option station to say which")
			}
		}
		if err := d.row(cells); err != nil {
			return err
		}
	}
	switch {
	case d.o.Station != "" && !several:
		d.line = 1
		return d.fault("the header", "has no column of stations", strings.Join(d.header, ", "), "no option station")
	case len(d.pending) == 0 && d.o.Station != "":
		d.line = 0
		return d.fault("", "holds no rows of station "+d.o.Station, other, "a station that is in it")
	case len(d.pending) == 0:
		d.line = 0
		return d.fault("", "holds no rows", "", "a row for each hour")
	}
	return nil
}

// row reads the values of a row.
func (d *reader) row(cells []string) error {
	t, err := d.time(cells)
	if err != nil {
		return err
	}
	p := pending{Record: weather.Record{Time: t}, line: d.line}
	var dew, rh weather.Value
	for _, f := range []struct {
		c  Column
		to *weather.Value
	}{
		{Temperature, &p.Temperature}, {DewPoint, &dew}, {Humidity, &rh}, {Wind, &p.Wind}, {WindFrom, &p.WindFrom}, {Gust, &p.Gust},
		{Rain, &p.Rain}, {Cloud, &p.Cloud}, {Global, &p.Global}, {Direct, &p.Direct}, {Diffuse, &p.Diffuse},
	} {
		v, known, err := d.number(f.c, cells)
		if err != nil {
			return err
		}
		if !known {
			continue
		}
		u := d.units[f.c]
		v = v*u.scale + u.shift
		if err := quantities[f.c].check.Check(v); err != nil {
			if err := d.refuse(f.c, cells[d.at[f.c]], err); err != nil {
				return err
			}
			continue
		}
		*f.to = weather.Value{V: v, Tag: weather.Measured}
	}
	if p.Wind.Known() && p.Wind.V == 0 {
		p.WindFrom = weather.Value{} // calm
	}
	if p.Vapour, err = weather.VapourOf(p.Temperature, dew, rh); err != nil {
		if err := d.refuse(DewPoint, "", err); err != nil {
			return err
		}
	}
	for _, c := range []Column{StationPressure, SeaPressure} {
		if p.has {
			break
		}
		if p.p, p.has, err = d.number(c, cells); err != nil {
			return err
		}
	}
	if len(d.pending) == weather.MaxRecords {
		return weather.TooMany(d.name, d.line, weather.MaxRecords)
	}
	d.pending = append(d.pending, p)
	return nil
}

// missing are the texts of a value that is not there.
var missing = []string{"", "NA", "N/A", "NULL", "NAN", "-", "--", "M", "-9999", "-9999.0"}

// number reads the cell of a column.
func (d *reader) number(c Column, cells []string) (v float64, known bool, err error) {
	i, there := d.at[c]
	if !there {
		return 0, false, nil
	}
	text := strings.TrimSpace(cells[i])
	if slices.Contains(missing, strings.ToUpper(text)) {
		return 0, false, nil
	}
	if c == Rain && strings.EqualFold(text, "T") {
		return 0, true, nil
	}
	v, err = strconv.ParseFloat(text, 64)
	if err != nil || strings.ContainsAny(text, "xXpP_nN") {
		return 0, false, d.fault(d.header[i], "is no number", text, "a number with a decimal point, or NA")
	}
	return v, true, nil
}

// refuse is the fault of a value beyond all weather, or nil if it is to be
// dropped.
func (d *reader) refuse(c Column, cell string, err error) error {
	if d.o.DropBad {
		d.dropped.Add(string(c)+" out of range", fmt.Sprintf("%s:%d: %v", d.name, d.line, err))
		return nil
	}
	return d.fault(string(c), err.Error(), cell, "a value that weather has; take it out, or have such values dropped")
}

// broken words an error of the CSV, or of what is below it.
func (d *reader) broken(err error) error {
	var bad *weather.DataError
	var form *csv.ParseError
	switch {
	case errors.As(err, &bad):
		return err
	case errors.Is(err, weather.ErrLongRow):
		d.line++
		return d.fault("", fmt.Sprintf("a row is longer than %d KiB, or a quote in it is not closed", longestRow>>10), "", "a row for each hour")
	case errors.As(err, &form) && errors.Is(err, csv.ErrFieldCount):
		d.line = form.Line
		return d.fault("", "the row has not as many cells as the header", "", fmt.Sprintf("%d cells; a whole file", len(d.header)))
	case errors.As(err, &form):
		d.line = form.Line
		return d.fault("", form.Err.Error(), "", "CSV (RFC 4180)")
	}
	return fmt.Errorf("%s: %w", d.name, err)
}
