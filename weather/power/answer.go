package power

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"limeday/weather"
)

// service is what errors call it.
const service = "NASA POWER"

// answer is one year as it comes.
type answer struct {
	Geometry struct {
		Coordinates []weather.Number `json:"coordinates"` // east, north, m
	} `json:"geometry"`
	Properties struct {
		Parameter map[string]*column `json:"parameter"`
	} `json:"properties"`
	Header struct {
		Fill     weather.Number `json:"fill_value"`
		Standard string         `json:"time_standard"`
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
		v, known, err := weather.ParseNumber(raw[i : i+stop])
		if err != nil {
			return fmt.Errorf("at %s: %w", raw[start:end], err)
		}
		if known {
			c.cells = append(c.cells, cell{hour, v})
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

// unit is how a stated unit becomes that of a Record: v*scale.
type unit struct {
	of    []string // as plainUnit writes them
	scale float64
}

// plainUnit takes case, blanks and powers' carets away: Wh/m^2, W m-2, mm/hour.
func plainUnit(s string) string {
	return strings.NewReplacer(" ", "", "^", "", "**", "").Replace(strings.ToLower(s))
}

var (
	celsius   = []unit{{[]string{"c", "°c", "degc", "degreesc", "degreescelsius"}, 1}}
	percent   = []unit{{[]string{"%", "percent"}, 1}}
	pressures = []unit{{[]string{"kpa"}, 1000}, {[]string{"hpa", "mb", "mbar"}, 100}, {[]string{"pa"}, 1}}
	speeds    = []unit{{[]string{"m/s", "ms-1"}, 1}}
	degrees   = []unit{{[]string{"degrees", "degree", "deg", "°"}, 1}}
	rains     = []unit{{[]string{"mm/hour", "mm/hr", "mm/h", "mmh-1", "mmhr-1"}, 1}}
	// A sum over an hour in Wh/m2 is the mean in W/m2.
	radiation = []unit{{[]string{"wh/m2", "w/m2", "wm-2", "whm-2", "w-hr/m2", "w/m2/hour"}, 1},
		{[]string{"kwh/m2", "kw-hr/m2", "kwhm-2"}, 1000}, {[]string{"mj/hr", "mj/m2/hour", "mj/m2/hr", "mj/m2"}, 1e6 / 3600}}
)

// scaleOf is the factor of a stated unit.
func scaleOf(stated string, known []unit) (float64, bool) {
	p := plainUnit(stated)
	for _, u := range known {
		for _, name := range u.of {
			if name == p {
				return u.scale, true
			}
		}
	}
	return 0, false
}

// decode reads one answer and checks what it says of itself.
func decode(body []byte) (answer, error) {
	var a answer
	if err := json.Unmarshal(body, &a); err != nil {
		return a, &weather.DataError{Source: service, Message: "the answer is no whole JSON (" + err.Error() + ")",
			Text: string(body[:min(len(body), 80)]), Want: "hourly values; ask again"}
	}
	if a.Properties.Parameter == nil {
		said := string(a.Messages)
		if len(a.Detail) > 0 {
			said = string(a.Detail)
		}
		return a, &weather.DataError{Source: service, Key: "properties.parameter", Message: "is not in the answer", Text: said, Want: "hourly values"}
	}
	if s := strings.ToUpper(a.Header.Standard); s != "" && s != "UTC" && s != "GMT" {
		return a, &weather.DataError{Source: service, Key: "header.time_standard", Message: "the hours are not in UTC", Text: a.Header.Standard,
			Want: "UTC; the request needs time-standard=UTC"}
	}
	return a, nil
}

func stamp(hour int64) string {
	return time.Unix(hour*3600, 0).UTC().Format("2006-01-02T15Z")
}

func quoteFloat(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
