package epw

import (
	"fmt"
	"io"
	"time"

	"limeday/weather"
)

// maxRows is how many rows of a file are kept: some thirty years.
const maxRows = weather.MaxRecords / 4

// Read reads all of r as a series. See the package for what its times mean. The
// series' grid is the station. Its errors are a [*weather.DataError], or from r.
func Read(name string, r io.Reader, o Options) (weather.Series, Header, error) {
	e, err := NewReader(name, r, o)
	if err != nil {
		return weather.Series{}, Header{}, err
	}
	rows := make([]Row, 0, 8784)
	for {
		row, err := e.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return weather.Series{}, Header{}, err
		}
		if len(rows) == maxRows {
			return weather.Series{}, Header{}, weather.TooMany(name, row.Line, maxRows)
		}
		rows = append(rows, row)
	}
	h := e.Header()
	s := weather.Series{Source: fmt.Sprintf("%s, %s (EPW file %s)", h.City, h.Source, name)}
	place := h.Place()
	s.Grid = &place
	if err := e.date(rows, &s); err != nil {
		return weather.Series{}, Header{}, err
	}
	s.Notes = append(s.Notes, e.dropped.Notes()...)
	return s, h, nil
}

// date turns rows into records in UTC.
func (e *Reader) date(rows []Row, s *weather.Series) error {
	h, zone := e.Header(), e.h.location()
	year := 0 // of the first row, if not its own
	if e.years {
		year = e.o.Year
		if year == 0 {
			year = 2001
			for _, r := range rows {
				if r.Month == 2 && r.Day == 29 {
					year = 2000
				}
			}
		}
	}
	if h.Typical {
		first, last := rows[0].Year, rows[0].Year
		for _, r := range rows {
			first, last = min(first, r.Year), max(last, r.Year)
		}
		note := fmt.Sprintf("a typical year, of months from %d to %d: no extremes, and not for the risk of frost", first, last)
		if e.years {
			note += fmt.Sprintf("; dated as %d", year)
		}
		s.Notes = append(s.Notes, note)
	}
	records := make([]weather.Record, 0, len(rows)+1)
	long := 0
	for i := range rows {
		r := &rows[i]
		y := r.Year
		if e.years {
			if i > 0 && r.Month < rows[i-1].Month {
				year++
			}
			y = year
		}
		t := r.ends(y, zone)
		if r.Month == 2 && r.Day == 29 && time.Date(y, 2, 29, 0, 0, 0, 0, time.UTC).Day() != 29 {
			e.line = r.Line
			return e.fault("the date", fmt.Sprintf("there is no 29 February in %d", y), "", "a leap year to date the file with")
		}
		vapour, err := weather.VapourOf(r.DryBulb, r.DewPoint, r.RelativeHumidity)
		if err != nil {
			e.line = r.Line
			if err := e.refuse("humidity", "", err); err != nil {
				return err
			}
		}
		rec := weather.Record{Time: t.UTC(), Temperature: r.DryBulb, Vapour: vapour, Pressure: r.Pressure,
			Wind: r.Wind, WindFrom: r.WindFrom, Global: r.Global, Direct: r.Direct, Diffuse: r.Diffuse}
		if r.Wind.Known() && r.Wind.V == 0 {
			rec.WindFrom = weather.Value{}
		}
		if r.Cloud.Known() {
			rec.Cloud = weather.Value{V: r.Cloud.V / 10, Tag: r.Cloud.Tag}
		}
		switch hours := r.RainHours; {
		case !r.RainDepth.Known():
		case !hours.Known() || hours.V == 1:
			rec.Rain = r.RainDepth // mm in an hour
		default:
			long++
		}
		records = append(records, rec)
	}
	if long > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("rain of %d rows left out: it is not of one hour", long))
	}
	s.Records = weather.SumsBefore(records, time.Hour, false)
	return nil
}
