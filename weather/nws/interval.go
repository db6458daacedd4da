package nws

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"limeday/weather/fetch"
)

// layer is a quantity of the grid as it is sent.
type layer struct {
	UOM    string `json:"uom"`
	Values []struct {
		ValidTime string       `json:"validTime"`
		Value     fetch.Number `json:"value"`
	} `json:"values"`
}

// interval is a value and the time it holds over.
type interval struct {
	from, to time.Time
	value    float64
}

// intervals reads a layer: in order, without overlap, what is null left out.
func intervals(properties map[string]json.RawMessage, name string, kind fetch.Kind) ([]interval, error) {
	raw, there := properties[name]
	if !there {
		return nil, nil
	}
	var l layer
	if err := fetch.Decode(raw, &l); err != nil {
		return nil, &fetch.DecodeError{Where: name, What: "expected intervals with a number each", Cause: err}
	}
	var out []interval
	for i, v := range l.Values {
		where := fmt.Sprintf("%s.values[%d]", name, i)
		start, span, _ := strings.Cut(v.ValidTime, "/")
		from, err := time.Parse(time.RFC3339, start)
		if err != nil {
			return nil, &fetch.DecodeError{Where: where, What: fmt.Sprintf("expected start/duration, found %.60q", v.ValidTime)}
		}
		d, err := duration(span)
		if err != nil {
			return nil, &fetch.DecodeError{Where: where, What: err.Error()}
		}
		n, err := kind.SI(v.Value, l.UOM, where)
		if err != nil {
			return nil, err
		}
		if n.OK {
			out = append(out, interval{from.UTC(), from.UTC().Add(d), n.V})
		}
	}
	slices.SortFunc(out, func(a, b interval) int { return a.from.Compare(b.from) })
	for i := 1; i < len(out); i++ {
		if out[i].from.Before(out[i-1].to) {
			return nil, &fetch.DecodeError{Where: name, What: "two of its intervals overlap"}
		}
	}
	if n := len(out); n > 0 && out[n-1].to.Sub(out[0].from) > 2*maxDuration {
		return nil, &fetch.DecodeError{Where: name, What: "it spans more than two months, which no forecast does"}
	}
	return out, nil
}

// levels gives the value that holds at the start of each hour of UTC.
func levels(in []interval) map[time.Time]float64 {
	out := map[time.Time]float64{}
	for _, v := range in {
		at := v.from.Truncate(time.Hour)
		if at.Before(v.from) {
			at = at.Add(time.Hour)
		}
		for ; at.Before(v.to); at = at.Add(time.Hour) {
			out[at] = v.value
		}
	}
	return out
}

// amount is what falls in an hour.
type amount struct {
	value  float64
	coarse bool // it was given for longer than an hour
}

// amounts spreads each value evenly over its interval and sums what falls in each hour of UTC: the
// total stays.
func amounts(in []interval) map[time.Time]amount {
	out := map[time.Time]amount{}
	for _, v := range in {
		whole := v.to.Sub(v.from)
		for at := v.from.Truncate(time.Hour); at.Before(v.to); at = at.Add(time.Hour) {
			from, to := at, at.Add(time.Hour)
			if from.Before(v.from) {
				from = v.from
			}
			if to.After(v.to) {
				to = v.to
			}
			a := out[at]
			a.value += v.value * float64(to.Sub(from)) / float64(whole)
			a.coarse = a.coarse || whole > time.Hour
			out[at] = a
		}
	}
	return out
}
