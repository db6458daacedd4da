package metno

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
)

// document is an answer, as far as it is read.
type document struct {
	Geometry struct {
		Coordinates []fetch.Number `json:"coordinates"` // degrees east, degrees north, m
	} `json:"geometry"`
	Properties struct {
		Meta struct {
			UpdatedAt string            `json:"updated_at"`
			Units     map[string]string `json:"units"`
		} `json:"meta"`
		Timeseries []stamp `json:"timeseries"`
	} `json:"properties"`
}

type details map[string]json.RawMessage

type stamp struct {
	Time string `json:"time"`
	Data struct {
		Instant struct {
			Details details `json:"details"`
		} `json:"instant"`
		Next1  window `json:"next_1_hours"`
		Next6  window `json:"next_6_hours"`
		Next12 window `json:"next_12_hours"`
	} `json:"data"`
}

type window struct {
	Details details `json:"details"`
}

// Parse reads an answer of Locationforecast 2.0, complete or compact, for a place
// whose altitude, in m, makes surface pressure of that at sea level (NaN: the altitude of the answer).
//
// Vapour pressure is [weather.VapourOf] dew point or else relative humidity, both over liquid water, and
// left out with a note where it cannot be; surface pressure is [weather.PressureFromSea]. The error is a
// *[fetch.DecodeError]: for anything that cannot be read, a unit that is not known, a value that
// cannot be, times out of order, or no hour with temperature and humidity.
func Parse(body []byte, place weather.Place) (weather.Series, error) {
	var doc document
	if err := fetch.Decode(body, &doc); err != nil {
		return weather.Series{}, err
	}
	p := &doc.Properties
	issued, err := time.Parse(time.RFC3339, p.Meta.UpdatedAt)
	if err != nil {
		return weather.Series{}, &fetch.DecodeError{Where: "meta.updated_at", What: "expected a time as 2026-04-14T06:00:00Z"}
	}
	series := weather.Series{Source: Name, Credit: Credit, Issued: issued.UTC()}
	altitude := place.Altitude
	if c := doc.Geometry.Coordinates; len(c) >= 2 && c[0].OK && c[1].OK {
		grid := weather.Place{Lat: c[1].V, Lon: c[0].V, Altitude: math.NaN()}
		if len(c) >= 3 && c[2].OK {
			grid.Altitude = c[2].V
		}
		if math.IsNaN(altitude) {
			altitude = grid.Altitude
		}
		series.Grid = &grid
	}
	r := &reader{units: p.Meta.Units}
	if series.Records, err = r.records(p.Timeseries, altitude); err != nil {
		return weather.Series{}, err
	}
	series.Notes = r.dropped.Notes()
	return series, nil
}

// reader reads numbers by name and stated unit, and keeps the first error.
type reader struct {
	units map[string]string
	at    string // which stamp
	err   error
	// dropped are values that are left out.
	dropped weather.Dropped
}

func (r *reader) number(d details, name string, kind fetch.Kind) fetch.Number {
	raw, there := d[name]
	if !there || r.err != nil {
		return fetch.Number{}
	}
	var n fetch.Number
	where := r.at + "." + name
	if err := fetch.Decode(raw, &n); err != nil {
		r.err = &fetch.DecodeError{Where: where, What: fmt.Sprintf("expected a number, found %.40q", raw)}
		return n
	}
	n, r.err = kind.SI(n, r.units[name], where)
	return n
}

// value tags a number.
func value(n fetch.Number, tag weather.Tag) weather.Value {
	if !n.OK {
		return weather.Value{}
	}
	return weather.Value{V: n.V, Tag: tag}
}

// records reads the stamps, lays long steps out as hours, and ends at the horizon.
func (r *reader) records(stamps []stamp, altitude float64) ([]weather.Record, error) {
	times := make([]time.Time, len(stamps))
	for i, s := range stamps {
		t, err := time.Parse(time.RFC3339, s.Time)
		if err != nil {
			return nil, &fetch.DecodeError{Where: fmt.Sprintf("timeseries[%d].time", i), What: fmt.Sprintf("expected a time, found %.40q", s.Time)}
		}
		if times[i] = t.UTC(); i > 0 && !times[i].After(times[i-1]) {
			return nil, &fetch.DecodeError{Where: fmt.Sprintf("timeseries[%d].time", i), What: "its times are out of order"}
		}
	}
	out := make([]weather.Record, len(stamps))
	horizon := -1
	for i := range stamps {
		r.at = fmt.Sprintf("timeseries[%d]", i)
		step := time.Hour // of the last stamp: as the one before it
		switch {
		case i+1 < len(stamps):
			step = times[i+1].Sub(times[i])
		case i > 0:
			step = times[i].Sub(times[i-1])
		}
		out[i] = r.record(stamps[i], times[i], step, altitude)
		if r.err != nil {
			return nil, r.err
		}
		if out[i].Temperature.Known() && out[i].Vapour.Known() {
			horizon = i
		}
	}
	if horizon < 0 {
		return nil, &fetch.DecodeError{Where: "timeseries", What: "no hour has both temperature and humidity"}
	}
	return hourly(out[:horizon+1]), nil
}

func (r *reader) record(s stamp, at time.Time, step time.Duration, altitude float64) weather.Record {
	tag := weather.Forecast
	if step > time.Hour {
		tag = weather.Coarse
	}
	d := s.Data.Instant.Details
	rec := weather.Record{
		Time:        at,
		Temperature: value(r.number(d, "air_temperature", fetch.Temperature), tag),
		Wind:        value(r.number(d, "wind_speed", fetch.Speed), tag),
		Gust:        value(r.number(d, "wind_speed_of_gust", fetch.Speed), tag),
		WindFrom:    value(r.number(d, "wind_from_direction", fetch.Direction), tag),
		Cloud:       value(r.number(d, "cloud_area_fraction", fetch.Share), tag),
		TempLow:     value(r.number(d, "air_temperature_percentile_10", fetch.Temperature), tag),
		TempHigh:    value(r.number(d, "air_temperature_percentile_90", fetch.Temperature), tag),
	}
	sea := value(r.number(d, "air_pressure_at_sea_level", fetch.Pressure), tag)
	rec.Pressure = weather.PressureFromSea(sea, rec.Temperature, altitude)
	dew := value(r.number(d, "dew_point_temperature", fetch.Temperature), tag)
	rh := value(r.number(d, "relative_humidity", fetch.Humidity), tag)
	var err error
	if rec.Vapour, err = weather.VapourOf(rec.Temperature, dew, rh); err != nil {
		r.dropped.Add("humidity that cannot be", at.Format("2006-01-02 15:04Z: ")+err.Error())
	}
	r.rain(&rec, s, step)
	return rec
}

// rain takes the amount over the following hours from the window as long as
// the step; else from the longest that is shorter; else from the shortest there is.
func (r *reader) rain(rec *weather.Record, s stamp, step time.Duration) {
	taken := 0
	for _, w := range []struct {
		hours int
		window
	}{{1, s.Data.Next1}, {6, s.Data.Next6}, {12, s.Data.Next12}} {
		amount := r.number(w.Details, "precipitation_amount", fetch.Rain)
		chance := r.number(w.Details, "probability_of_precipitation", fetch.Share)
		if !amount.OK || (taken > 0 && time.Duration(w.hours)*time.Hour > step) {
			continue
		}
		taken = w.hours
		tag := weather.Forecast
		if w.hours > 1 {
			tag = weather.Coarse
		}
		rec.Rain = weather.Value{V: amount.V / float64(w.hours), Tag: tag}
		rec.RainChance = value(chance, tag)
		rec.Span = min(time.Duration(w.hours)*time.Hour, step)
	}
}
