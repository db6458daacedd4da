package intake

import (
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
	"limeday/weather"
	"limeday/weather/logfile"
)

// ReadLogger reads a logger's CSV, or standard input for "-".
func ReadLogger(path string, stdin io.Reader, o logfile.Options) (weather.Series, error) {
	name, from := path, stdin
	if path == "-" {
		name = "standard input"
	} else {
		f, err := infile.Open(path)
		if err != nil {
			return weather.Series{}, Unreadable(path, err)
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
	return s.Of(weather.Logged), nil
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// Unreadable words why a file of readings or places cannot be opened.
func Unreadable(path string, err error) error {
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

// ReadOptions are the pins of the job and, over them, those of --read-as.
func ReadOptions(j *job.Job, flag string, site *time.Location) (logfile.Options, error) {
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
			return o, question("--read-as", "KEY=VALUE", "--read-as: %q is not KEY=VALUE; such as date-order=day,temp-unit=F", pair)
		}
		if err := readAs(&o, key, value); err != nil {
			e := question("--read-as", "", "--read-as: %s", err)
			var unknown *quantity.Error
			if e.Err = err; errors.As(err, &unknown) {
				e.Expected = unknown.Expected
			}
			return o, e
		}
	}
	return o, nil
}
