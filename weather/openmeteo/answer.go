package openmeteo

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"limeday/weather"
)

// service is what errors call it.
const service = "Open-Meteo"

// answer is what comes.
type answer struct {
	Lat    weather.Number             `json:"latitude"`
	Lon    weather.Number             `json:"longitude"`
	Height weather.Number             `json:"elevation"`
	Offset weather.Number             `json:"utc_offset_seconds"`
	Units  map[string]string          `json:"hourly_units"`
	Hourly map[string]json.RawMessage `json:"hourly"`
}

// midStream is what the service appends to half an answer when it fails after
// its status went out (open-meteo, JsonWriter.swift).
const midStream = "Unexpected error while streaming data"

// decode reads the frame of an answer.
func decode(body []byte) (answer, error) {
	var a answer
	if err := json.Unmarshal(body, &a); err != nil {
		if i := bytes.Index(body, []byte(midStream)); i >= 0 {
			return a, &weather.DataError{Source: service, Message: "the service failed within its answer", Text: string(body[i:]), Want: "a whole answer; ask again later"}
		}
		return a, &weather.DataError{Source: service, Message: "the answer is no whole JSON of the form expected (" + err.Error() + ")",
			Text: string(body[:min(len(body), 80)]), Want: "hourly values; ask again"}
	}
	if e := Refusal(body); e != nil {
		return a, e
	}
	switch {
	case a.Hourly == nil:
		return a, &weather.DataError{Source: service, Key: "hourly", Message: "is not in the answer", Want: "hourly values"}
	case a.Offset.Known && a.Offset.V != 0:
		return a, &weather.DataError{Source: service, Key: "utc_offset_seconds", Message: fmt.Sprintf("is %g", a.Offset.V), Want: "0; the request needs timezone=GMT"}
	case a.Units["time"] != "unixtime":
		return a, &weather.DataError{Source: service, Key: "hourly_units.time", Message: "is not as asked", Text: a.Units["time"], Want: "unixtime"}
	}
	return a, nil
}

// numbers reads the array of a key.
func (a answer) numbers(key string) ([]weather.Number, error) {
	raw, there := a.Hourly[key]
	if !there {
		return nil, nil
	}
	var out []weather.Number
	if err := json.Unmarshal(raw, &out); err != nil {
		return nil, &weather.DataError{Source: service, Key: "hourly." + key, Message: "is no array of numbers (" + err.Error() + ")", Want: "numbers and nulls"}
	}
	return out, nil
}

// unit turns a stated unit into that of a Record: v*scale + shift.
type unit struct {
	name         string // as the service writes it, in lower case
	scale, shift float64
}

// The units the service can be asked for, and its spellings of miles an hour and knots
// (openapi; the spelling of mp/h from memory). The mile, knot and inch are
// exact (international yard and pound agreement of 1959).
var (
	temperatures = []unit{{"°c", 1, 0}, {"°f", 1 / 1.8, -32 / 1.8}}
	percents     = []unit{{"%", 1, 0}}
	shares       = []unit{{"%", 0.01, 0}}
	pressures    = []unit{{"hpa", 100, 0}}
	speeds       = []unit{{"m/s", 1, 0}, {"km/h", 1 / 3.6, 0}, {"mp/h", 0.44704, 0}, {"mph", 0.44704, 0}, {"kn", 1852.0 / 3600, 0}}
	degrees      = []unit{{"°", 1, 0}}
	depths       = []unit{{"mm", 1, 0}, {"inch", 25.4, 0}}
	radiation    = []unit{{"w/m²", 1, 0}}
)

// unitOf finds a stated unit.
func unitOf(stated string, known []unit) (unit, bool) {
	s := strings.ToLower(strings.TrimSpace(stated))
	for _, u := range known {
		if u.name == s {
			return u, true
		}
	}
	return unit{}, false
}
