package openmeteo

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"limeday/weather"
)

// hour is an hour of the answer with its own meaning of the time.
type hour struct {
	weather.Record
	dew, rh weather.Value
}

// outside are the variables, their units and where they belong.
var outside = []struct {
	key   string
	units []unit
	check weather.Quantity
	at    func(*hour) *weather.Value
}{
	{"temperature_2m", temperatures, weather.Temperature, func(h *hour) *weather.Value { return &h.Temperature }},
	{"dew_point_2m", temperatures, weather.DewPoint, func(h *hour) *weather.Value { return &h.dew }},
	{"relative_humidity_2m", percents, weather.RelativeHumidity, func(h *hour) *weather.Value { return &h.rh }},
	{"surface_pressure", pressures, weather.Pressure, func(h *hour) *weather.Value { return &h.Pressure }},
	{"wind_speed_10m", speeds, weather.Wind, func(h *hour) *weather.Value { return &h.Wind }},
	{"wind_gusts_10m", speeds, weather.Gust, func(h *hour) *weather.Value { return &h.Gust }},
	{"wind_direction_10m", degrees, weather.WindFrom, func(h *hour) *weather.Value { return &h.WindFrom }},
	{"cloud_cover", shares, weather.Cloud, func(h *hour) *weather.Value { return &h.Cloud }},
	{"precipitation", depths, weather.Rain, func(h *hour) *weather.Value { return &h.Rain }},
	{"precipitation_probability", shares, weather.RainChance, func(h *hour) *weather.Value { return &h.RainChance }},
	{"shortwave_radiation", radiation, weather.Radiation, func(h *hour) *weather.Value { return &h.Global }},
	{"direct_normal_irradiance", radiation, weather.Radiation, func(h *hour) *weather.Value { return &h.Direct }},
	{"diffuse_radiation", radiation, weather.Radiation, func(h *hour) *weather.Value { return &h.Diffuse }},
}

// Kind is which of the two an answer is.
type Kind uint8

// The kinds.
const (
	ForecastKind Kind = iota // values are tagged forecast, those of past days too
	ArchiveKind              // a reanalysis: values are tagged estimated
)

// Parse reads an answer; fetched is when it was had. See the package for what its
// times mean. The errors are a [*RefusalError] where the service refuses, else a
// [*weather.DataError].
func Parse(body []byte, kind Kind, fetched time.Time) (weather.Series, error) {
	a, err := decode(body)
	if err != nil {
		return weather.Series{}, err
	}
	hours, err := a.hours(kind)
	if err != nil {
		return weather.Series{}, err
	}
	s := weather.Series{Source: service, Credit: Credit, Fetched: fetched}
	if kind == ArchiveKind {
		s.Source = service + " archive (ERA5)"
	}
	var dropped weather.Dropped
	records := make([]weather.Record, 0, len(hours))
	end := 0 // behind the last hour with temperature and humidity
	for i := range hours {
		h := &hours[i]
		h.Vapour, err = weather.VapourOf(h.Temperature, h.dew, h.rh)
		if err != nil {
			dropped.Add("dew point above temperature", fmt.Sprintf("%s: %v", h.Time.Format("2006-01-02T15Z"), err))
		}
		if h.Temperature.Known() && h.Vapour.Known() {
			end = i + 1
		}
		records = append(records, h.Record)
	}
	if end == 0 {
		return weather.Series{}, &weather.DataError{Source: service, Message: "no hour holds temperature and humidity", Want: "a place and days for which the service has values"}
	}
	s.Records = weather.SumsBefore(records[:end], time.Hour, true)
	if s.Records[0].Time.Before(records[0].Time) {
		s.Records = s.Records[1:] // amounts of the hour before the first
	}
	if a.Lat.Known && a.Lon.Known {
		s.Grid = &weather.Place{Name: service + " grid point", Lat: a.Lat.V, Lon: a.Lon.V, Altitude: math.NaN()}
		if a.Height.Known {
			s.Grid.Altitude = a.Height.V
		}
	}
	if n := len(records) - end; n > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("the last %d hours of the answer lack temperature or humidity and are left out", n))
	}
	s.Notes = append(s.Notes, dropped.Notes()...)
	return s, nil
}

// hours reads the arrays.
func (a answer) hours(kind Kind) ([]hour, error) {
	times, err := a.times()
	if err != nil {
		return nil, err
	}
	tag := weather.Forecast
	if kind == ArchiveKind {
		tag = weather.Estimated
	}
	hours := make([]hour, len(times))
	for i, t := range times {
		hours[i].Time = t
	}
	for _, o := range outside {
		values, err := a.numbers(o.key)
		switch {
		case err != nil:
			return nil, err
		case values == nil && o.key == "temperature_2m":
			return nil, &weather.DataError{Source: service, Key: "hourly." + o.key, Message: "is not in the answer", Want: "the variables asked for"}
		case values == nil:
			continue
		case len(values) != len(times):
			return nil, &weather.DataError{Source: service, Key: "hourly." + o.key,
				Message: fmt.Sprintf("has %d values for %d hours", len(values), len(times)), Want: "a value or null for each hour"}
		}
		u, ok := unitOf(a.Units[o.key], o.units)
		if !ok {
			return nil, &weather.DataError{Source: service, Key: "hourly_units." + o.key, Message: "the unit is not one that is known", Text: a.Units[o.key], Want: o.units[0].name}
		}
		for i, n := range values {
			if !n.Known {
				continue
			}
			v := n.V*u.scale + u.shift
			if err := o.check.Check(v); err != nil {
				return nil, &weather.DataError{Source: service, Key: "hourly." + o.key + " at " + times[i].Format("2006-01-02T15Z"), Message: err.Error(),
					Text: strconv.FormatFloat(n.V, 'g', -1, 64) + " " + a.Units[o.key], Want: "a value that weather has"}
			}
			*o.at(&hours[i]) = weather.Value{V: v, Tag: tag}
		}
	}
	return hours, nil
}

// times reads the hours, which follow each other.
func (a answer) times() ([]time.Time, error) {
	fault := func(message string) error {
		return &weather.DataError{Source: service, Key: "hourly.time", Message: message, Want: "full hours that follow each other"}
	}
	raw, err := a.numbers("time")
	switch {
	case err != nil:
		return nil, err
	case len(raw) == 0:
		return nil, fault("is not in the answer")
	}
	out := make([]time.Time, len(raw))
	for i, n := range raw {
		// Up to the year 2200: a number beyond is no number of seconds.
		if !n.Known || n.V < 0 || n.V > 7258118400 || math.Mod(n.V, 3600) != 0 {
			return nil, fault(fmt.Sprintf("value %d is no full hour", i+1))
		}
		out[i] = time.Unix(int64(n.V), 0).UTC()
		if i > 0 && out[i].Sub(out[i-1]) != time.Hour {
			return nil, fault(fmt.Sprintf("value %d is not an hour after the one before it", i+1))
		}
	}
	return out, nil
}
