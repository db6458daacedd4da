package metno

import (
	"context"
	"fmt"
	"math"
	"net/url"
	"strconv"
	"strings"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
)

// Name of the service, for people.
const Name = "MET Norway"

// DefaultURL is where the service lives.
const DefaultURL = "https://api.met.no/weatherapi/locationforecast/2.0"

// Credit is what the licence, CC BY 4.0 and NLOD 2.0, asks to be said beside the data.
const Credit = "Data from MET Norway (CC BY 4.0), https://api.met.no/"

// DefaultDecimals is how finely a place is told to the service: to some 1 km.
const DefaultDecimals = 2

// Service asks MET Norway.
type Service struct {
	Client   *fetch.Client
	BaseURL  string // empty: [DefaultURL]
	Decimals int    // of latitude and longitude; 0: [DefaultDecimals]; at most [fetch.MaxDecimals]
}

// Forecast is the forecast for a place, hourly, some ten days long. An Altitude of NaN lets the
// service take its own. [weather.Series.Grid] is the point the forecast is for.
//
// The error is a [fetch.Fault], among them *[fetch.ContactError] if nobody is
// named in the client's settings, or the context's.
func (s *Service) Forecast(ctx context.Context, place weather.Place) (weather.Series, error) {
	req := s.request(place)
	req.Validate = func(body []byte) error { _, err := Parse(body, place); return err }
	req.Issued = func(body []byte) time.Time { series, _ := Parse(body, place); return series.Issued }
	res, err := s.Client.Get(ctx, req)
	if err != nil {
		return weather.Series{}, err
	}
	series, err := Parse(res.Body, place)
	if err != nil {
		return weather.Series{}, fmt.Errorf("metno: an answer that was checked: %w", err)
	}
	series.Fetched = res.Fetched
	series.Notes = append(series.Notes, res.Notes...)
	return series, nil
}

func (s *Service) request(place weather.Place) fetch.Request {
	base, decimals := s.BaseURL, s.Decimals
	if base == "" {
		base = DefaultURL
	}
	if decimals == 0 {
		decimals = DefaultDecimals
	}
	q := url.Values{"lat": {fetch.Coordinate(place.Lat, decimals)}, "lon": {fetch.Coordinate(place.Lon, decimals)}}
	if !math.IsNaN(place.Altitude) {
		q.Set("altitude", strconv.Itoa(int(math.Round(place.Altitude))))
	}
	return fetch.Request{Service: Name, URL: strings.TrimRight(base, "/") + "/complete", Query: q, NeedsContact: true}
}
