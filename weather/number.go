package weather

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
)

// Number is a number in JSON that may be null, or written as text, as some
// services do at times. Null, empty text and absence are not known; they are
// never 0.
type Number struct {
	V     float64
	Known bool
}

// UnmarshalJSON reads a number, a number as text, or null.
func (n *Number) UnmarshalJSON(raw []byte) error {
	v, known, err := ParseNumber(raw)
	if err != nil {
		return err
	}
	n.V, n.Known = v, known
	return nil
}

// ParseNumber reads what stands for a [Number] in JSON. Numbers that are not
// finite, and text that is no number, are errors.
func ParseNumber(raw []byte) (v float64, known bool, err error) {
	raw = bytes.TrimSpace(raw)
	if string(raw) == "null" {
		return 0, false, nil
	}
	text := raw
	if n := len(raw); n >= 2 && raw[0] == '"' && raw[n-1] == '"' {
		if text = bytes.TrimSpace(raw[1 : n-1]); len(text) == 0 {
			return 0, false, nil
		}
	}
	v, err = strconv.ParseFloat(string(text), 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, false, fmt.Errorf("%s is no number", shorten(string(raw)))
	}
	return v, true, nil
}
