package openmeteo

import (
	"encoding/json"
	"strings"
)

// Limit is a limit of the service on how often it may be asked.
type Limit uint8

// The limits.
const (
	NoLimit    Limit = iota // the refusal is for another reason
	Minute                  // wait a minute, ask once more
	Hour                    // use what is there
	Day                     // use what is there
	Concurrent              // one request at a time; wait some seconds
)

// RefusalError is what the service says instead of an answer.
type RefusalError struct {
	Reason string // the service's own words
	Limit  Limit
}

// Error is the service's own words.
func (e *RefusalError) Error() string { return service + " says: " + e.Reason }

// Refusal is the refusal that body is, or nil: {"error":true,"reason":"..."},
// with whatever status it came.
func Refusal(body []byte) *RefusalError {
	var r struct {
		Error  any    `json:"error"`
		Reason string `json:"reason"`
	}
	if json.Unmarshal(body, &r) != nil || r.Error != true && r.Error != "true" {
		return nil
	}
	e := &RefusalError{Reason: r.Reason}
	if e.Reason == "" {
		e.Reason = "no reason given"
	}
	for _, l := range []struct {
		word  string
		limit Limit
	}{{"minutely api request limit", Minute}, {"hourly api request limit", Hour}, {"daily api request limit", Day}, {"too many concurrent", Concurrent}} {
		if strings.Contains(strings.ToLower(r.Reason), l.word) {
			e.Limit = l.limit
		}
	}
	return e
}
