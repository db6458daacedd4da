package openmeteo

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"limeday/weather/fetch"
)

// answer is what comes, or a refusal.
type answer struct {
	Lat    fetch.Number               `json:"latitude"`
	Lon    fetch.Number               `json:"longitude"`
	Height fetch.Number               `json:"elevation"` // left out where it is not finite
	Offset fetch.Number               `json:"utc_offset_seconds"`
	Units  map[string]string          `json:"hourly_units"`
	Hourly map[string]json.RawMessage `json:"hourly"`
	Error  bool                       `json:"error"`
	Reason string                     `json:"reason"`
}

// midStream is what the service appends to half an answer when it fails after
// its status went out (open-meteo, JsonWriter.swift).
const midStream = "Unexpected error while streaming data"

// decode reads the frame of an answer.
func decode(body []byte) (answer, error) {
	var a answer
	if err := fetch.Decode(body, &a); err != nil {
		if bytes.Contains(body, []byte(midStream)) {
			return a, &fetch.DecodeError{What: "the service failed in the middle of it", Cause: err}
		}
		return a, err
	}
	switch {
	case a.Error && a.Reason == "":
		return a, &RefusalError{Reason: "it gives no reason"}
	case a.Error:
		return a, &RefusalError{Reason: a.Reason}
	case a.Hourly == nil:
		return a, &fetch.DecodeError{Where: "hourly", What: "it is missing"}
	case a.Offset.OK && a.Offset.V != 0:
		return a, &fetch.DecodeError{Where: "utc_offset_seconds", What: fmt.Sprintf("expected 0, found %g", a.Offset.V)}
	case a.Units["time"] != "unixtime":
		return a, &fetch.DecodeError{Where: "hourly_units.time", What: fmt.Sprintf("expected unixtime, found %.20q", a.Units["time"])}
	}
	return a, nil
}

// numbers reads the array of a key; nil if it is missing.
func (a answer) numbers(key string) ([]fetch.Number, error) {
	raw, there := a.Hourly[key]
	if !there || string(raw) == "null" {
		return nil, nil
	}
	out := []fetch.Number{}
	if err := fetch.Decode(raw, &out); err != nil {
		var at *fetch.DecodeError
		if errors.As(err, &at) {
			at.Where = "hourly." + key
		}
		return nil, err
	}
	return out, nil
}

// times reads the hours, which follow each other.
func (a answer) times() ([]time.Time, error) {
	fault := func(format string, args ...any) error {
		return &fetch.DecodeError{Where: "hourly.time", What: fmt.Sprintf(format, args...)}
	}
	raw, err := a.numbers("time")
	switch {
	case err != nil:
		return nil, err
	case len(raw) == 0:
		return nil, fault("it is missing")
	}
	out := make([]time.Time, len(raw))
	for i, n := range raw {
		// Up to the year 2200: beyond, it is no number of seconds.
		if !n.OK || n.V < 0 || n.V > 7258118400 || math.Mod(n.V, 3600) != 0 {
			return nil, fault("value %d is no full hour", i+1)
		}
		out[i] = time.Unix(int64(n.V), 0).UTC()
		if i > 0 && out[i].Sub(out[i-1]) != time.Hour {
			return nil, fault("value %d is not an hour after the one before it", i+1)
		}
	}
	return out, nil
}

// radiation reads W/m2.
func radiation(n fetch.Number, unit, where string) (fetch.Number, error) {
	if unit != "W/m²" && n.OK {
		return n, &fetch.DecodeError{Where: where, What: fmt.Sprintf("the unit %.30q of its radiation is not known, and is not guessed", unit)}
	}
	return n, nil
}
