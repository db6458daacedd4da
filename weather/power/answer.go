package power

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"limeday/weather/fetch"
)

// answer is one year as it comes.
type answer struct {
	Geometry struct {
		Coordinates []fetch.Number `json:"coordinates"` // east, north, m
	} `json:"geometry"`
	Properties struct {
		Parameter map[string]*column `json:"parameter"`
	} `json:"properties"`
	Header struct {
		Fill     fetch.Number `json:"fill_value"`
		Standard string       `json:"time_standard"`
	} `json:"header"`
	Parameters map[string]struct {
		Units string `json:"units"`
	} `json:"parameters"`
	Messages json.RawMessage `json:"messages"`
	Detail   json.RawMessage `json:"detail"` // of an error
}

// column is the values of a parameter by hour. A year of them is a large object
// with keys in no order, so it is read by hand instead of into a map.
type column struct {
	cells []cell
}

type cell struct {
	hour int64 // since 1970-01-01T00Z
	v    float64
}

// UnmarshalJSON reads {"2015010100": -12.3, ...}. Nulls are left out.
func (c *column) UnmarshalJSON(raw []byte) error {
	raw = bytes.TrimSpace(raw)
	if len(raw) == 0 || raw[0] != '{' {
		return errors.New("is no object of hours")
	}
	c.cells = make([]cell, 0, len(raw)/20+1)
	// raw is valid JSON, so every key is followed by a colon and a value.
	for i := 1; ; {
		start := bytes.IndexByte(raw[i:], '"')
		if start < 0 {
			return nil
		}
		start += i + 1
		end := bytes.IndexByte(raw[start:], '"')
		if end < 0 {
			return errors.New("ends within a key")
		}
		end += start
		hour, ok := parseHour(raw[start:end])
		if !ok {
			return fmt.Errorf("%q is no hour, as 2015010123", raw[start:end])
		}
		colon := bytes.IndexByte(raw[end:], ':')
		if colon < 0 {
			return errors.New("ends behind a key")
		}
		i = end + colon + 1
		stop := bytes.IndexAny(raw[i:], ",}")
		if stop < 0 {
			return errors.New("ends within a value")
		}
		var n fetch.Number
		if err := n.UnmarshalJSON(bytes.TrimSpace(raw[i : i+stop])); err != nil {
			return fmt.Errorf("at %s: %w", raw[start:end], err)
		}
		if n.OK {
			c.cells = append(c.cells, cell{hour, n.V})
		}
		i += stop
	}
}

// parseHour reads YYYYMMDDHH as hours since 1970.
func parseHour(b []byte) (int64, bool) {
	if len(b) != 10 {
		return 0, false
	}
	n := 0
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	y, m, d, h := n/1000000, n/10000%100, n/100%100, n%100
	t := time.Date(y, time.Month(m), d, h, 0, 0, 0, time.UTC)
	if y < 1900 || y > 2200 || int(t.Month()) != m || t.Day() != d || h > 23 {
		return 0, false
	}
	return t.Unix() / 3600, true
}

// decode reads one answer and checks what it says of itself.
func decode(body []byte) (answer, error) {
	var a answer
	if err := fetch.Decode(body, &a); err != nil {
		return a, err
	}
	if a.Properties.Parameter == nil {
		said := a.Messages
		if len(a.Detail) > 0 {
			said = a.Detail
		}
		return a, &fetch.DecodeError{Where: "properties.parameter", What: fmt.Sprintf("it is missing; the answer says %.100q", said)}
	}
	if s := strings.ToUpper(a.Header.Standard); s != "" && s != "UTC" && s != "GMT" {
		return a, &fetch.DecodeError{Where: "header.time_standard", What: fmt.Sprintf("expected UTC, found %.20q", a.Header.Standard)}
	}
	return a, nil
}

// stamp is an hour for people.
func stamp(hour int64) string {
	return time.Unix(hour*3600, 0).UTC().Format("2006-01-02T15Z")
}
