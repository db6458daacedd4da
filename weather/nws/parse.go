package nws

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/fetch"
)

// grid is an answer, as far as it is read.
type grid struct {
	Geometry struct {
		Coordinates json.RawMessage `json:"coordinates"` // rings of degrees east and north, if it is a polygon
	} `json:"geometry"`
	Properties map[string]json.RawMessage `json:"properties"`
}

// the layers that are read.
const (
	temperature = iota
	dewPoint
	humidity
	wind
	gust
	windFrom
	cloud
	chance
	layers
)

var layerNames = [layers]struct {
	name string
	kind fetch.Kind
}{
	temperature: {"temperature", fetch.Temperature},
	dewPoint:    {"dewpoint", fetch.Temperature},
	humidity:    {"relativeHumidity", fetch.Humidity},
	wind:        {"windSpeed", fetch.Speed},
	gust:        {"windGust", fetch.Speed},
	windFrom:    {"windDirection", fetch.Direction},
	cloud:       {"skyCover", fetch.Share},
	chance:      {"probabilityOfPrecipitation", fetch.Share},
}

// Parse reads the raw answer for a grid cell.
//
// Vapour pressure comes from the dew point, over liquid water, or else from the relative humidity over liquid water. Pressure is that of the
// standard atmosphere at the height of the cell, tagged estimated. The error is a
// *[fetch.DecodeError]: for anything that cannot be read, a unit that is not
// known, a value that cannot be, intervals that overlap, or no hour with
// temperature and humidity.
func Parse(body []byte) (weather.Series, error) {
	var g grid
	if err := fetch.Decode(body, &g); err != nil {
		return weather.Series{}, err
	}
	var updated string
	if raw := g.Properties["updateTime"]; raw != nil {
		_ = json.Unmarshal(raw, &updated) // what is no text is no time either
	}
	issued, err := time.Parse(time.RFC3339, updated)
	if err != nil {
		return weather.Series{}, &fetch.DecodeError{Where: "updateTime", What: "expected a time as 2026-04-14T06:00:00+00:00"}
	}
	s := weather.Series{Source: Name, Credit: Credit, Issued: issued.UTC()}
	altitude, err := elevation(g.Properties["elevation"])
	if err != nil {
		return weather.Series{}, err
	}
	if lat, lon, ok := centre(g.Geometry.Coordinates); ok {
		s.Grid = &weather.Place{Lat: lat, Lon: lon, Altitude: altitude}
	}
	s.Records, err = records(g.Properties, altitude)
	return s, err
}

func records(properties map[string]json.RawMessage, altitude float64) ([]weather.Record, error) {
	var at [layers]map[time.Time]float64
	for i, l := range layerNames {
		in, err := intervals(properties, l.name, l.kind)
		if err != nil {
			return nil, err
		}
		at[i] = levels(in)
	}
	wet, err := intervals(properties, "quantitativePrecipitation", fetch.Rain)
	if err != nil {
		return nil, err
	}
	rain := amounts(wet)

	vapour := map[time.Time]float64{}
	var first, last time.Time
	for t, temp := range at[temperature] {
		e, ok, err := vapourAt(t, temp, at[dewPoint], at[humidity])
		if err != nil {
			return nil, err
		}
		if !ok {
			continue
		}
		vapour[t] = e
		if first.IsZero() || t.Before(first) {
			first = t
		}
		if t.After(last) {
			last = t
		}
	}
	if len(vapour) == 0 {
		return nil, &fetch.DecodeError{What: "no hour has both temperature and humidity"}
	}
	if last.Sub(first) > maxDuration {
		return nil, &fetch.DecodeError{What: "it spans more than a month, which no forecast does"}
	}

	pressure := weather.Value{}
	if p := psychro.StandardPressure(psychro.GeopotentialAltitude(psychro.Metre(altitude))); !math.IsNaN(float64(p)) {
		pressure = weather.Value{V: float64(p), Tag: weather.Estimated}
	}
	var out []weather.Record
	for t := first; !t.After(last); t = t.Add(time.Hour) {
		get := func(m map[time.Time]float64) weather.Value {
			if v, ok := m[t]; ok {
				return weather.Value{V: v, Tag: weather.Forecast}
			}
			return weather.Value{}
		}
		r := weather.Record{Time: t, Span: time.Hour, Pressure: pressure,
			Temperature: get(at[temperature]), Vapour: get(vapour), Wind: get(at[wind]), Gust: get(at[gust]),
			WindFrom: get(at[windFrom]), Cloud: get(at[cloud]), RainChance: get(at[chance])}
		if a, ok := rain[t]; ok {
			r.Rain = weather.Value{V: a.value, Tag: weather.Forecast}
			if a.coarse {
				r.Rain.Tag = weather.Coarse
			}
		}
		out = append(out, r)
	}
	return out, nil
}

// dewSlack is how far a dew point may lie above the temperature by rounding to
// whole degrees F of either, K.
const dewSlack = 0.6

// vapourAt is the vapour pressure at an hour, Pa, if it is known.
func vapourAt(t time.Time, temp float64, dew, rh map[time.Time]float64) (float64, bool, error) {
	saturation := func(c float64) float64 { return float64(psychro.SaturationWater(psychro.Celsius(c))) }
	if d, ok := dew[t]; ok {
		if d > temp+dewSlack {
			return 0, false, &fetch.DecodeError{Where: "dewpoint at " + t.Format(time.RFC3339), What: "it lies above the temperature"}
		}
		return saturation(min(d, temp)), true, nil
	}
	h, ok := rh[t]
	if ok && h <= 0 {
		return 0, false, &fetch.DecodeError{Where: "relativeHumidity at " + t.Format(time.RFC3339), What: "air without any vapour cannot be"}
	}
	return min(h/100, 1) * saturation(temp), ok, nil
}

// elevation reads the height of the cell, m; NaN if it is not said.
func elevation(raw json.RawMessage) (float64, error) {
	if raw == nil {
		return math.NaN(), nil
	}
	var e struct {
		UnitCode string       `json:"unitCode"`
		Value    fetch.Number `json:"value"`
	}
	if err := fetch.Decode(raw, &e); err != nil {
		return 0, &fetch.DecodeError{Where: "elevation", What: fmt.Sprintf("expected a number with its unit, found %.60q", raw)}
	}
	n, err := fetch.Length.SI(e.Value, e.UnitCode, "elevation")
	if err == nil && !n.OK {
		n.V = math.NaN()
	}
	return n.V, err
}

// centre is the middle of a cell's corners.
func centre(raw json.RawMessage) (lat, lon float64, ok bool) {
	var rings [][][]float64
	if json.Unmarshal(raw, &rings) != nil || len(rings) == 0 || len(rings[0]) < 4 {
		return 0, 0, false
	}
	corners := rings[0][1:] // the first is the last again
	for _, c := range corners {
		if len(c) < 2 {
			return 0, 0, false
		}
		lon += c[0] / float64(len(corners))
		lat += c[1] / float64(len(corners))
	}
	return lat, lon, true
}
