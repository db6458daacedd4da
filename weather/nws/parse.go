package nws

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

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
// Vapour pressure is [weather.VapourOf] dew point or else relative humidity,
// both over liquid water, and left out with a note where it cannot be. The error is a
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
	s.Records, s.Notes, err = records(g.Properties)
	return s, err
}

// records lays the layers out as hours, and gives notes of what was left out.
func records(properties map[string]json.RawMessage) ([]weather.Record, []string, error) {
	var at [layers]map[time.Time]float64
	for i, l := range layerNames {
		in, err := intervals(properties, l.name, l.kind)
		if err != nil {
			return nil, nil, err
		}
		at[i] = levels(in)
	}
	wet, err := intervals(properties, "quantitativePrecipitation", fetch.Rain)
	if err != nil {
		return nil, nil, err
	}
	rain := amounts(wet)

	var dropped weather.Dropped
	vapour := map[time.Time]weather.Value{}
	var first, last time.Time
	for _, t := range slices.SortedFunc(maps.Keys(at[temperature]), time.Time.Compare) {
		e, err := weather.VapourOf(value(at[temperature], t), value(at[dewPoint], t), value(at[humidity], t))
		if err != nil {
			dropped.Add("humidity that cannot be", t.Format("2006-01-02 15:04Z: ")+err.Error())
		}
		if !e.Known() {
			continue
		}
		if len(vapour) == 0 {
			first = t
		}
		vapour[t], last = e, t
	}
	if len(vapour) == 0 {
		return nil, nil, &fetch.DecodeError{What: "no hour has both temperature and humidity"}
	}
	if last.Sub(first) > maxDuration {
		return nil, nil, &fetch.DecodeError{What: "it spans more than a month, which no forecast does"}
	}

	var out []weather.Record
	for t := first; !t.After(last); t = t.Add(time.Hour) {
		r := weather.Record{Time: t, Span: time.Hour, Vapour: vapour[t],
			Temperature: value(at[temperature], t), Wind: value(at[wind], t), Gust: value(at[gust], t),
			WindFrom: value(at[windFrom], t), Cloud: value(at[cloud], t), RainChance: value(at[chance], t)}
		if a, ok := rain[t]; ok {
			r.Rain = weather.Value{V: a.value, Tag: weather.Forecast}
			if a.coarse {
				r.Rain.Tag = weather.Coarse
			}
		}
		out = append(out, r)
	}
	return out, dropped.Notes(), nil
}

// value is what a layer says of an hour.
func value(layer map[time.Time]float64, t time.Time) weather.Value {
	if v, ok := layer[t]; ok {
		return weather.Value{V: v, Tag: weather.Forecast}
	}
	return weather.Value{}
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
