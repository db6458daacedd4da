package app

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/columns"
	"limeday/weather/logfile"
)

// oneReading is a series of a single reading, measured.
func oneReading(at time.Time, air psychro.Air) weather.Series {
	return weather.Series{Source: "your reading", Records: []weather.Record{{Time: at.UTC(),
		Temperature: weather.Value{V: float64(air.Temperature()), Tag: weather.Measured},
		Vapour:      weather.Value{V: float64(air.VapourPressure()), Tag: weather.Measured}}}}
}

// exampleAir is what the example's readings say.
func exampleAir() (weather.Series, error) {
	r, err := logfile.Read(job.ExampleName, bytes.NewReader(job.ExampleReadings()), logfile.Options{})
	r.Series.Source = "invented readings"
	return r.Series, err
}

// gableAir is the invented weather of the example outdoors: measured up to its moment, forecast after it.
func gableAir(at time.Time) (weather.Series, error) {
	s, err := columns.Read(job.ExampleName, bytes.NewReader(job.GableWeather()), columns.Options{SumsAfter: true})
	if err != nil {
		return s, err
	}
	s.Source, s.Issued = "invented forecast", at
	for i := range s.Records {
		r := &s.Records[i]
		if !r.Time.After(at) {
			continue
		}
		for _, v := range []*weather.Value{&r.Temperature, &r.Vapour, &r.Wind, &r.WindFrom, &r.Cloud, &r.Rain} {
			v.Tag = weather.Forecast
		}
	}
	return s, nil
}

// readLogger reads a logger's CSV, or standard input for "-".
func readLogger(path string, stdin io.Reader, o logfile.Options) (weather.Series, error) {
	name, from := path, stdin
	if path == "-" {
		name = "standard input"
	} else {
		f, err := infile.Open(path)
		if err != nil {
			return weather.Series{}, unreadable(path, err)
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return weather.Series{}, fault.List{{File: path, Message: "is a folder; give the path of a CSV of readings", Expected: "a CSV of readings"}}
		}
		from = f
	}
	r, err := logfile.Read(name, from, o)
	if err != nil {
		return weather.Series{}, err
	}
	s := r.Series
	s.Source = "readings in " + name
	s.Notes = append([]string{capital(r.Decided.String()) + "."}, r.Notes...)
	return s, nil
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func unreadable(path string, err error) error {
	message := "could not be opened"
	var pe *os.PathError
	switch {
	case errors.Is(err, os.ErrNotExist):
		message = "there is no such file; give the path of a CSV of readings"
	case errors.As(err, &pe):
		message += ": " + pe.Err.Error()
	}
	return fault.List{{File: path, Message: message, Expected: "a CSV of readings"}}
}

// readAsKeys are the decisions of reading a logger's CSV that can be pinned.
var readAsKeys = []string{"delimiter", "decimal", "date-order", "zone", "temp-unit", "humidity-unit", "time-column", "temp-column", "humidity-column"}

// readAs sets one pin of o.
func readAs(o *logfile.Options, key, value string) error {
	switch key {
	case "delimiter":
		known := map[string]rune{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|'}
		d, ok := known[value]
		if !ok {
			return fmt.Errorf("%q is no delimiter; give comma, semicolon, tab or bar", value)
		}
		o.Delimiter = d
	case "decimal":
		o.Decimal = logfile.Decimal(value)
	case "date-order":
		o.DateOrder = logfile.DateOrder(value)
	case "zone":
		z, err := time.LoadLocation(value)
		if err != nil || value == "Local" {
			return fmt.Errorf("%q is not a time zone; give its IANA name, such as Europe/Dublin", value)
		}
		o.Zone = z
	case "temp-unit":
		o.TempUnit = logfile.TempUnit(strings.ToUpper(value))
	case "humidity-unit":
		o.HumidityUnit = logfile.HumidityUnit(value)
	case "time-column":
		o.TimeColumn = value
	case "temp-column":
		o.TempColumn = value
	case "humidity-column":
		o.HumidityColumn = value
	default:
		return quantity.Unknown("decision", key, readAsKeys)
	}
	return nil
}

// readOptions are the pins of the job and, over them, those of --read-as.
func readOptions(j *job.Job, flag string, site *time.Location) (logfile.Options, error) {
	o := logfile.Options{SiteZone: site}
	for key, pin := range j.Readings {
		if err := readAs(&o, key, pin.Value); err != nil {
			return o, inJob(j, pin.Line, err)
		}
	}
	if flag == "" {
		return o, nil
	}
	for _, pair := range strings.Split(flag, ",") {
		key, value, ok := strings.Cut(strings.TrimSpace(pair), "=")
		if !ok || value == "" {
			return o, usage("--read-as", "KEY=VALUE", "--read-as: %q is not KEY=VALUE; such as date-order=day,temp-unit=F", pair)
		}
		if err := readAs(&o, key, value); err != nil {
			return o, badFlag("--read-as", err)
		}
	}
	return o, nil
}

// loggerFault words a fault of a logger's file.
func loggerFault(f logfile.Fault) *Error {
	e := &Error{Exit: ExitBadInput, Where: f.Place().String(), Expected: f.Expected(), Err: f,
		Message: fmt.Sprintf("%s: %s; expected %s", f.Place(), f.Says(), f.Expected())}
	var unsure *logfile.AmbiguityError
	if errors.As(f, &unsure) {
		e.Message += fmt.Sprintf(" (--read-as %s=..., or %s in [readings] of the job)", unsure.Option, strings.ReplaceAll(string(unsure.Option), "-", "_"))
	}
	return e
}
