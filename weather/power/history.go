package power

import (
	"context"
	"fmt"
	"time"

	"limeday/weather"
)

// Getter is a client that has the body of a URL. It calls validate before it
// keeps a body, and says when the body came from the service.
type Getter interface {
	Get(ctx context.Context, url string, validate func(body []byte) error) (body []byte, fetched time.Time, err error)
}

// History is the hours of the days from and to, both included, at a place, a request for
// each year after the other. Fetched is that of the oldest answer.
func History(ctx context.Context, get Getter, s Settings, p weather.Place, from, to time.Time) (weather.Series, error) {
	urls := s.URLs(p, from, to)
	if len(urls) == 0 {
		return weather.Series{}, &weather.DataError{Source: service, Message: fmt.Sprintf("no day from %s to %s can be asked for",
			from.Format(time.DateOnly), to.Format(time.DateOnly)), Want: fmt.Sprintf("days from %d on, the first before the last", FirstYear)}
	}
	bodies := make([][]byte, len(urls))
	var oldest time.Time
	for i, u := range urls {
		body, fetched, err := get.Get(ctx, u, Validate)
		if err != nil {
			return weather.Series{}, err
		}
		bodies[i] = body
		if i == 0 || fetched.Before(oldest) {
			oldest = fetched
		}
	}
	return Parse(bodies, oldest)
}

// Validate reports what is wrong with an answer, so that none that is broken
// is kept. A year without values is no fault.
func Validate(body []byte) error {
	return (&hours{}).add(body)
}
