package nws

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
)

// Name of the service, for people.
const Name = "US National Weather Service"

// DefaultURL is where the service lives.
const DefaultURL = "https://api.weather.gov"

// Credit names the source; the service asks for nothing.
const Credit = "Forecast: US National Weather Service"

// DefaultDecimals is how finely a place is told to the service: to some 1 km.
const DefaultDecimals = 2

// pointAge is how long a place's cell is kept: grids are moved now and then, and
// the service then says that it does not know the cell.
const pointAge = 7 * 24 * time.Hour

// Service asks the US National Weather Service.
type Service struct {
	Client   *fetch.Client
	BaseURL  string // empty: [DefaultURL]
	Decimals int    // of latitude and longitude; 0: [DefaultDecimals]; at most [fetch.MaxDecimals]
}

// Forecast is the forecast for the cell a place lies in, hourly, some seven
// days long. [weather.Series.Grid] is the middle of the cell.
//
// The error is a [fetch.Fault], among them *[fetch.ContactError] if nobody is
// named in the client's settings, and *[fetch.StatusError] with status 404 outside the area served; or the context's.
func (s *Service) Forecast(ctx context.Context, place weather.Place) (weather.Series, error) {
	point, wasKept, err := s.point(ctx, place)
	if err != nil {
		return weather.Series{}, err
	}
	series, err := s.cell(ctx, point)
	var status *fetch.StatusError
	if !wasKept || !errors.As(err, &status) || status.Status != http.StatusNotFound {
		return series, err
	}
	// The grid was moved since the place was asked about.
	if err := s.Client.Drop(s.pointRequest(place)); err != nil {
		return weather.Series{}, fmt.Errorf("nws: the cell of the place, which has moved, cannot be forgotten: %w", err)
	}
	if point, _, err = s.point(ctx, place); err != nil {
		return weather.Series{}, err
	}
	return s.cell(ctx, point)
}

// Point is where a place lies in the grid, and its time zone. The error is as of [Service.Forecast].
func (s *Service) Point(ctx context.Context, place weather.Place) (Point, error) {
	p, _, err := s.point(ctx, place)
	return p, err
}

func (s *Service) point(ctx context.Context, place weather.Place) (p Point, wasKept bool, err error) {
	req := s.pointRequest(place)
	req.Validate = func(body []byte) error { _, err := ParsePoint(body); return err }
	res, err := s.Client.Get(ctx, req)
	if err != nil {
		return Point{}, false, err
	}
	p, err = ParsePoint(res.Body)
	return p, res.FromCache, err
}

func (s *Service) cell(ctx context.Context, p Point) (weather.Series, error) {
	res, err := s.Client.Get(ctx, fetch.Request{
		Service: Name, URL: fmt.Sprintf("%s/gridpoints/%s/%d,%d", s.base(), p.Office, p.X, p.Y), NeedsContact: true,
		Validate: func(body []byte) error { _, err := Parse(body); return err },
		Issued:   func(body []byte) time.Time { series, _ := Parse(body); return series.Issued },
	})
	if err != nil {
		return weather.Series{}, err
	}
	series, err := Parse(res.Body)
	if err != nil {
		return weather.Series{}, fmt.Errorf("nws: an answer that was checked: %w", err)
	}
	series.Fetched = res.Fetched
	series.Notes = append(series.Notes, res.Notes...)
	return series, nil
}

func (s *Service) pointRequest(place weather.Place) fetch.Request {
	decimals := s.Decimals
	if decimals == 0 {
		decimals = DefaultDecimals
	}
	return fetch.Request{Service: Name, NeedsContact: true, MaxAge: pointAge, URL: fmt.Sprintf("%s/points/%s,%s",
		s.base(), fetch.Coordinate(place.Lat, decimals), fetch.Coordinate(place.Lon, decimals))}
}

func (s *Service) base() string {
	if s.BaseURL == "" {
		return DefaultURL
	}
	return strings.TrimRight(s.BaseURL, "/")
}
