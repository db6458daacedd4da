package epw

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"golang.org/x/text/encoding/charmap"

	"limeday/weather"
)

// Header is what stands above the rows.
type Header struct {
	City, State, Country string
	Source               string        // such as TMY3
	Station              string        // WMO number
	Lat, Lon             float64       // degrees north and east
	Zone                 time.Duration // of standard time, east of UTC
	Altitude             float64       // m
	Ground               []Ground      // undisturbed ground, by depth
	Comments             [2]string
	LeapYear             bool // whether 29 February is observed
	Typical              bool // months of different years, or a source that says so. Known for sure after the last row
}

// Ground is the temperature of undisturbed ground through the year.
type Ground struct {
	Depth float64     // m
	Month [12]float64 // January to December, C
}

// Place is where the station stands.
func (h Header) Place() weather.Place {
	return weather.Place{Name: h.City, Lat: h.Lat, Lon: h.Lon, Altitude: h.Altitude}
}

// location is the zone as Go has it.
func (h Header) location() *time.Location { return time.FixedZone("", int(h.Zone/time.Second)) }

// names of the eight lines, in their order.
var names = [...]string{"LOCATION", "DESIGN CONDITIONS", "TYPICAL/EXTREME PERIODS", "GROUND TEMPERATURES",
	"HOLIDAYS/DAYLIGHT SAVING", "COMMENTS 1", "COMMENTS 2", "DATA PERIODS"}

// typical are words of sources that are typical years (from memory).
var typical = []string{"TMY", "TMYX", "TYPICAL", "IWEC", "TRY", "CWEC", "CTZ", "WYEC", "RMY"}

// headerLine reads one header line. Their order is not held against a file.
func (e *Reader) headerLine(text string) error {
	f := strings.Split(decode(text), ",")
	for i := range f {
		f[i] = strings.Trim(strings.TrimSpace(f[i]), `"`)
	}
	switch name := strings.ToUpper(f[0]); {
	case name == "LOCATION":
		return e.location(f, text)
	case name == "GROUND TEMPERATURES":
		return e.ground(f)
	case strings.HasPrefix(name, "HOLIDAYS/DAYLIGHT SAVING"):
		e.h.LeapYear = len(f) > 1 && strings.EqualFold(f[1], "yes")
	case name == "COMMENTS 1", name == "COMMENTS 2":
		_, rest, _ := strings.Cut(decode(text), ",")
		e.h.Comments[name[len(name)-1]-'1'] = strings.TrimSpace(rest)
	case name == "DATA PERIODS":
		if len(f) > 2 && f[2] != "1" {
			return e.fault("DATA PERIODS", "there are "+f[2]+" rows an hour", text, "a file with one row an hour")
		}
	case name == "DESIGN CONDITIONS", name == "TYPICAL/EXTREME PERIODS":
	default:
		return e.fault("", "is no header line of an EPW file", text, "one of "+strings.Join(names[:], ", "))
	}
	return nil
}

func (e *Reader) location(f []string, text string) error {
	if len(f) < 10 {
		return e.fault("LOCATION", fmt.Sprintf("has %d fields", len(f)), text, "10: city, state, country, source, station, latitude, longitude, zone, altitude")
	}
	var v [4]float64
	for i, lim := range []struct {
		name     string
		min, max float64
	}{{"latitude", -90, 90}, {"longitude", -180, 180}, {"time zone", -12, 14}, {"altitude", -1000, 9999.9}} {
		x, err := strconv.ParseFloat(f[6+i], 64)
		if err != nil || !(x >= lim.min && x <= lim.max) {
			return e.fault("LOCATION", "the "+lim.name+" cannot be", f[6+i], fmt.Sprintf("a number from %g to %g", lim.min, lim.max))
		}
		v[i] = x
	}
	h := &e.h
	h.City, h.State, h.Country, h.Source, h.Station = f[1], f[2], f[3], f[4], f[5]
	h.Lat, h.Lon, h.Altitude = v[0], v[1], v[3]
	h.Zone = time.Duration(math.Round(v[2]*60)) * time.Minute // zones may be fractional
	notLetter := func(r rune) bool { return !unicode.IsLetter(r) }
	for _, word := range strings.FieldsFunc(strings.ToUpper(h.Source), notLetter) {
		h.Typical = h.Typical || slices.Contains(typical, word)
	}
	e.located = true
	return nil
}

// ground reads the depths: count, then for each depth, conductivity, density,
// specific heat and twelve months. Depths that are not whole are passed over.
func (e *Reader) ground(f []string) error {
	for f = f[min(2, len(f)):]; len(f) >= 16; f = f[16:] {
		var g Ground
		depth, err := strconv.ParseFloat(f[0], 64)
		if err != nil {
			return nil
		}
		g.Depth = depth
		for m := range g.Month {
			x, err := strconv.ParseFloat(f[4+m], 64)
			if err == nil {
				err = weather.Temperature.Check(x)
			}
			if err != nil {
				return e.fault("GROUND TEMPERATURES", "is no temperature of the ground", f[4+m], "a number in C")
			}
			g.Month[m] = x
		}
		e.h.Ground = append(e.h.Ground, g)
	}
	return nil
}

// decode returns text that is no UTF-8 as Windows-1252, in which every byte is
// a letter.
func decode(s string) string {
	if strings.ToValidUTF8(s, "") == s {
		return s
	}
	if d, err := charmap.Windows1252.NewDecoder().String(s); err == nil {
		return d
	}
	return strings.ToValidUTF8(s, "\ufffd")
}
