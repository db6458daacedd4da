package openmeteo

import (
	"context"
	"time"

	"limeday/weather"
)

// Getter is a client that has the body of a URL. It calls validate before it
// keeps a body, and says when the body came from the service.
type Getter interface {
	Get(ctx context.Context, url string, validate func(body []byte) error) (body []byte, fetched time.Time, err error)
}

// Forecast is the forecast at a place; see [Settings.ForecastURL] and [Parse].
func Forecast(ctx context.Context, get Getter, s Settings, p weather.Place, days, past int) (weather.Series, error) {
	u, err := s.ForecastURL(p, days, past)
	return fetch(ctx, get, u, err, ForecastKind)
}

// History is the past at a place; see [Settings.ArchiveURL] and [Parse].
func History(ctx context.Context, get Getter, s Settings, p weather.Place, from, to time.Time) (weather.Series, error) {
	u, err := s.ArchiveURL(p, from, to)
	return fetch(ctx, get, u, err, ArchiveKind)
}

func fetch(ctx context.Context, get Getter, url string, err error, kind Kind) (weather.Series, error) {
	if err != nil {
		return weather.Series{}, err
	}
	body, fetched, err := get.Get(ctx, url, func(body []byte) error {
		_, err := Parse(body, kind, time.Time{})
		return err
	})
	if err != nil {
		return weather.Series{}, err
	}
	return Parse(body, kind, fetched)
}
