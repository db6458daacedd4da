package openmeteo

import (
	"errors"
	"fmt"
	"math"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
)

// Kind is which of the two an answer is.
type Kind uint8

// The kinds.
const (
	Ahead   Kind = iota // a forecast: values are tagged so, those of past days too
	Archive             // a reanalysis: values are tagged estimated
)

// hour is an hour of the answer with its own meaning of the time.
type hour struct {
	weather.Record
	dew, rh weather.Value
}

// variables are what is asked for, how their units are read and where they
// belong. ahead is for those that only forecasts have.
var variables = []struct {
	key   string
	ahead bool
	si    func(n fetch.Number, unit, where string) (fetch.Number, error)
	check weather.Quantity
	at    func(*hour) *weather.Value
}{
	{"temperature_2m", false, fetch.Temperature.SI, weather.Temperature, func(h *hour) *weather.Value { return &h.Temperature }},
	{"dew_point_2m", false, fetch.Temperature.SI, weather.DewPoint, func(h *hour) *weather.Value { return &h.dew }},
	{"relative_humidity_2m", false, fetch.Humidity.SI, weather.RelativeHumidity, func(h *hour) *weather.Value { return &h.rh }},
	{"surface_pressure", false, fetch.Pressure.SI, weather.Pressure, func(h *hour) *weather.Value { return &h.Pressure }},
	{"wind_speed_10m", false, fetch.Speed.SI, weather.Wind, func(h *hour) *weather.Value { return &h.Wind }},
	{"wind_gusts_10m", true, fetch.Speed.SI, weather.Gust, func(h *hour) *weather.Value { return &h.Gust }},
	{"wind_direction_10m", false, fetch.Direction.SI, weather.WindFrom, func(h *hour) *weather.Value { return &h.WindFrom }},
	{"cloud_cover", false, fetch.Share.SI, weather.Cloud, func(h *hour) *weather.Value { return &h.Cloud }},
	{"precipitation", false, fetch.Rain.SI, weather.Rain, func(h *hour) *weather.Value { return &h.Rain }},
	{"precipitation_probability", true, fetch.Share.SI, weather.RainChance, func(h *hour) *weather.Value { return &h.RainChance }},
	{"shortwave_radiation", false, radiation, weather.Radiation, func(h *hour) *weather.Value { return &h.Global }},
	{"direct_normal_irradiance", false, radiation, weather.Radiation, func(h *hour) *weather.Value { return &h.Direct }},
	{"diffuse_radiation", false, radiation, weather.Radiation, func(h *hour) *weather.Value { return &h.Diffuse }},
}

// Parse reads an answer. See the package for what its times mean. The error is a
// *[RefusalError] where the service refuses, else a *[fetch.DecodeError].
func Parse(body []byte, kind Kind) (weather.Series, error) {
	a, err := decode(body)
	if err != nil {
		return weather.Series{}, err
	}
	hours, err := a.hours(kind)
	if err != nil {
		return weather.Series{}, err
	}
	s := weather.Series{Source: Name, Credit: Credit}
	if kind == Archive {
		s.Source = Name + " archive (ERA5)"
	}
	var dropped weather.Dropped
	records := make([]weather.Record, len(hours))
	end := 0 // behind the last hour with temperature and humidity
	for i := range hours {
		h := &hours[i]
		if h.Vapour, err = weather.VapourOf(h.Temperature, h.dew, h.rh); err != nil {
			dropped.Add("humidity that cannot be", fmt.Sprintf("%s: %v", stamp(h.Time), err))
		}
		if h.Temperature.Known() && h.Vapour.Known() {
			end = i + 1
		}
		records[i] = h.Record
	}
	if end == 0 {
		return weather.Series{}, &fetch.DecodeError{What: "no hour holds temperature and humidity"}
	}
	s.Records = weather.SumsBefore(records, time.Hour, true)
	for s.Records[len(s.Records)-1].Time.After(records[end-1].Time) {
		s.Records = s.Records[:len(s.Records)-1]
	}
	if s.Records[0].Time.Before(records[0].Time) {
		s.Records = s.Records[1:] // amounts of the hour before the first
	}
	if a.Lat.OK && a.Lon.OK {
		s.Grid = &weather.Place{Lat: a.Lat.V, Lon: a.Lon.V, Altitude: math.NaN()}
		if a.Height.OK {
			s.Grid.Altitude = a.Height.V
		}
	}
	if n := len(records) - end; n > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("the last %d hours lack temperature or humidity and are left out", n))
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
	if kind == Archive {
		tag = weather.Estimated
	}
	hours := make([]hour, len(times))
	for i, t := range times {
		hours[i].Time = t
	}
	for _, v := range variables {
		where := "hourly." + v.key
		values, err := a.numbers(v.key)
		switch {
		case err != nil:
			return nil, err
		case values == nil && v.key == "temperature_2m":
			return nil, &fetch.DecodeError{Where: where, What: "it is missing"}
		case values == nil:
			continue
		case len(values) != len(times):
			return nil, &fetch.DecodeError{Where: where, What: fmt.Sprintf("it has %d values for %d hours", len(values), len(times))}
		}
		for i, n := range values {
			n, err := v.si(n, a.Units[v.key], where)
			if err == nil && n.OK {
				if bad := v.check.Check(n.V); bad != nil && v.check != weather.RelativeHumidity {
					err = &fetch.DecodeError{Where: where, What: bad.Error()}
				}
			}
			var at *fetch.DecodeError
			if errors.As(err, &at) {
				at.Where = where + " at " + stamp(times[i])
			}
			if err != nil {
				return nil, err
			}
			if n.OK {
				*v.at(&hours[i]) = weather.Value{V: n.V, Tag: tag}
			}
		}
	}
	return hours, nil
}

// stamp is an hour for people.
func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15Z") }
