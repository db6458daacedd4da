package isdlite

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"time"

	"limeday/weather"
)

// Options is how to read a file. The zero value is ready to use.
type Options struct {
	// Altitude of the station, in m. Where it is given, the pressure at the
	// station is computed from that reduced to sea level, and tagged estimated.
	Altitude *float64
	// DropBad leaves out values beyond all weather, with a note, instead of
	// refusing the file.
	DropBad bool
}

// reader turns rows into records.
type reader struct {
	name    string
	o       Options
	dropped weather.Dropped
	traces  int
	pressed int // rows with a pressure that cannot be used
	skies   int // rows with a sky code above 8
}

// Read reads all of r, gzip or plain, as a series; its errors, which call r name, are a
// [*weather.DataError], or from r. See the package for what the times mean. Files
// of several years are joined with [weather.Join].
func Read(name string, r io.Reader, o Options) (weather.Series, error) {
	plain, err := weather.Unpack(name, r)
	if err != nil {
		return weather.Series{}, err
	}
	d := &reader{name: name, o: o}
	var rows []row
	scan := bufio.NewScanner(plain)
	for line := 1; scan.Scan(); line++ {
		if len(scan.Bytes()) == 0 {
			continue
		}
		row, err := parse(name, line, scan.Text())
		if err != nil {
			if !scan.Scan() && scan.Err() != nil {
				break // the row ends where the file broke off
			}
			return weather.Series{}, err
		}
		if n := len(rows); n > 0 && !row.time.After(rows[n-1].time) {
			return weather.Series{}, &weather.DataError{File: name, Line: line, Key: "the date",
				Message: fmt.Sprintf("is not after that of line %d", rows[n-1].line), Want: "rows in order of time, each hour once"}
		}
		if len(rows) == weather.MaxRecords {
			return weather.Series{}, weather.TooMany(name, line, weather.MaxRecords)
		}
		rows = append(rows, row)
	}
	var bad *weather.DataError
	switch err := scan.Err(); {
	case errors.As(err, &bad):
		return weather.Series{}, err
	case errors.Is(err, bufio.ErrTooLong):
		return weather.Series{}, &weather.DataError{File: name, Message: "a line is longer than 64 KiB", Want: "an ISD-Lite file"}
	case err != nil:
		return weather.Series{}, fmt.Errorf("%s: %w", name, err)
	case len(rows) == 0:
		return weather.Series{}, &weather.DataError{File: name, Message: "holds no rows", Want: "a row for each hour"}
	}
	records := make([]weather.Record, len(rows), len(rows)+6)
	for i, row := range rows {
		if records[i], err = d.record(row); err != nil {
			return weather.Series{}, err
		}
	}
	if records, err = d.sixHours(weather.SumsBefore(records, time.Hour, false), rows); err != nil {
		return weather.Series{}, err
	}
	return weather.Series{Source: "NOAA ISD-Lite (" + name + ")", Credit: "NOAA National Centers for Environmental Information",
		Records: records, Notes: d.notes()}, nil
}

// record is a row as if rain were of the hour that begins with it.
func (d *reader) record(r row) (weather.Record, error) {
	out := weather.Record{Time: r.time}
	var dew, sea weather.Value
	for _, f := range []struct {
		field int
		scale float64
		q     weather.Quantity
		to    *weather.Value
	}{
		{4, 0.1, weather.Temperature, &out.Temperature}, {5, 0.1, weather.DewPoint, &dew}, {6, 10, weather.Pressure, &sea},
		{7, 1, weather.WindFrom, &out.WindFrom}, {8, 0.1, weather.Wind, &out.Wind}, {10, 0.1, weather.Rain, &out.Rain},
	} {
		var err error
		if *f.to, err = d.value(r, f.field, f.scale, f.q); err != nil {
			return out, err
		}
	}
	if out.Wind.Known() && out.Wind.V == 0 {
		out.WindFrom = weather.Value{} // calm
	}
	switch sky := r.v[9]; {
	case sky >= 0 && sky <= 8:
		out.Cloud = weather.Value{V: float64(sky) / 8, Tag: weather.Measured}
	case sky != missing:
		d.skies++
	}
	var err error
	if out.Vapour, err = weather.VapourOf(out.Temperature, dew, weather.Value{}); err != nil {
		if err = d.refuse(r.line, "dew point", err); err != nil {
			return out, err
		}
	}
	if d.o.Altitude != nil {
		out.Pressure = weather.PressureFromSea(sea, out.Temperature, *d.o.Altitude)
	} else if sea.Known() {
		d.pressed++
	}
	return out, nil
}

// value is one field in its unit.
func (d *reader) value(r row, field int, scale float64, q weather.Quantity) (weather.Value, error) {
	v := r.v[field]
	switch {
	case v == missing:
		return weather.Value{}, nil
	case v == trace && field >= 10:
		if field == 10 { // of six hours it is the same rain
			d.traces++
		}
		v = 0
	}
	x := float64(v) * scale
	if err := q.Check(x); err != nil {
		return weather.Value{}, d.refuse(r.line, fields[field].name, err)
	}
	return weather.Value{V: x, Tag: weather.Measured}, nil
}

// refuse is the fault of a value out of range, or nil if it is to be dropped.
func (d *reader) refuse(line int, key string, err error) error {
	if d.o.DropBad {
		d.dropped.Add(key+" out of range", fmt.Sprintf("%s:%d: %v", d.name, line, err))
		return nil
	}
	return &weather.DataError{File: d.name, Line: line, Key: key, Message: err.Error(),
		Want: "a value that weather has; take it out, or have such values dropped"}
}

// sixHours spreads the rain of six hours over those hours where there are records
// of all six and none has rain of its own.
func (d *reader) sixHours(records []weather.Record, rows []row) ([]weather.Record, error) {
	end := 0 // of the six: the first record not before the row
	for _, r := range rows {
		for end < len(records) && records[end].Time.Before(r.time) {
			end++
		}
		six, err := d.value(r, 11, 0.1/6, weather.Rain)
		if err != nil {
			return nil, err
		}
		if !six.Known() || end < 6 || !records[end-6].Time.Equal(r.time.Add(-6*time.Hour)) {
			continue
		}
		own := false
		for _, h := range records[end-6 : end] {
			own = own || h.Rain.Known()
		}
		for i := end - 6; i < end && !own; i++ {
			records[i].Rain = weather.Value{V: six.V, Tag: weather.Coarse}
			records[i].Span = time.Hour
		}
	}
	return records, nil
}

func (d *reader) notes() []string {
	out := d.dropped.Notes()
	switch {
	case d.traces == 1:
		out = append(out, "1 trace of rain counts as none")
	case d.traces > 1:
		out = append(out, fmt.Sprintf("%d traces of rain count as none", d.traces))
	}
	if d.pressed > 0 {
		out = append(out, "pressure left out: the file has it reduced to sea level, and the altitude of the station is not given")
	}
	switch {
	case d.skies == 1:
		out = append(out, "cloud left out in 1 row whose code is no share of the sky")
	case d.skies > 1:
		out = append(out, fmt.Sprintf("cloud left out in %d rows whose code is no share of the sky", d.skies))
	}
	return out
}
