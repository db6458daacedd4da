package openmeteo

import (
	"context"
	"math"
	"net/url"
	"strconv"
	"strings"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
)

// Name of the service, for people.
const Name = "Open-Meteo"

// Credit is what the licence, CC BY 4.0, asks to be said beside the data.
const Credit = "Weather data by Open-Meteo.com (CC BY 4.0), https://open-meteo.com/; times and units changed"

// The hosts. The paid ones want a key.
const (
	FreeForecast = "https://api.open-meteo.com"
	FreeArchive  = "https://archive-api.open-meteo.com"
	PaidForecast = "https://customer-api.open-meteo.com"
	PaidArchive  = "https://customer-archive-api.open-meteo.com"
)

// DefaultDecimals is how finely a place is told to the service: to some 1 km.
const DefaultDecimals = 2

// The most days of a forecast.
const (
	MaxForecastDays = 16
	MaxPastDays     = 92
)

// How long answers are good. The service says nothing of it; days older than
// a week do not change any more.
const (
	forecastAge = time.Hour
	recentAge   = 24 * time.Hour
	settledAge  = 10 * 365 * 24 * time.Hour
	settles     = 7 * 24 * time.Hour
)

// Service asks Open-Meteo, if a field allows it: BaseURL, Key or NonCommercial.
type Service struct {
	Client        *fetch.Client
	BaseURL       string // of a server of one's own, such as https://weather.example, for forecast and archive
	Key           string // of a subscription
	NonCommercial bool   // the user's word that the use is not commercial
	Decimals      int    // of latitude and longitude; 0: [DefaultDecimals]; at most [fetch.MaxDecimals]
}

// Forecast is the forecast for a place, hourly, from past days ago over so many days, today included. An Altitude
// of NaN lets the service take its own. [weather.Series.Grid] is the point the forecast is for.
//
// The error is a [fetch.Fault], among them *[NotAllowedError] and *[RefusalError], or
// the context's.
func (s *Service) Forecast(ctx context.Context, place weather.Place, days, past int) (weather.Series, error) {
	req, err := s.request(place, FreeForecast, PaidForecast, "/v1/forecast", Ahead)
	if err != nil {
		return weather.Series{}, err
	}
	req.Query.Set("forecast_days", strconv.Itoa(min(max(days, 1), MaxForecastDays)))
	req.Query.Set("past_days", strconv.Itoa(min(max(past, 0), MaxPastDays)))
	req.MaxAge = forecastAge
	return s.get(ctx, req, Ahead)
}

// History is the hours of the days from and to, both included, by their dates in UTC, of one model, ERA5:
// the service warns of steps where models change. now says how long the answer is good.
// Errors are those of [Service.Forecast].
func (s *Service) History(ctx context.Context, place weather.Place, from, to, now time.Time) (weather.Series, error) {
	req, err := s.request(place, FreeArchive, PaidArchive, "/v1/archive", Archive)
	if err != nil {
		return weather.Series{}, err
	}
	req.Query.Set("start_date", from.UTC().Format(time.DateOnly))
	req.Query.Set("end_date", to.UTC().Format(time.DateOnly))
	req.Query.Set("models", "era5")
	if req.MaxAge = settledAge; now.Sub(to) < settles {
		req.MaxAge = recentAge
	}
	return s.get(ctx, req, Archive)
}

// request is what both have in common.
func (s *Service) request(p weather.Place, free, paid, path string, kind Kind) (fetch.Request, error) {
	base, decimals := strings.TrimRight(s.BaseURL, "/"), s.Decimals
	switch {
	case base != "":
	case s.Key != "":
		base = paid
	case s.NonCommercial:
		base = free
	default:
		return fetch.Request{}, &NotAllowedError{}
	}
	if decimals == 0 {
		decimals = DefaultDecimals
	}
	var keys []string
	for _, v := range variables {
		if kind == Ahead || !v.ahead {
			keys = append(keys, v.key)
		}
	}
	q := url.Values{
		"hourly":             {strings.Join(keys, ",")},
		"latitude":           {fetch.Coordinate(p.Lat, decimals)},
		"longitude":          {fetch.Coordinate(p.Lon, decimals)},
		"temperature_unit":   {"celsius"},
		"wind_speed_unit":    {"ms"},
		"precipitation_unit": {"mm"},
		"timeformat":         {"unixtime"},
		"timezone":           {"GMT"},
	}
	if !math.IsNaN(p.Altitude) {
		q.Set("elevation", strconv.FormatFloat(math.Round(p.Altitude), 'f', 0, 64))
	}
	if s.Key != "" {
		q.Set("apikey", s.Key)
	}
	return fetch.Request{Service: Name, URL: base + path, Query: q}, nil
}

func (s *Service) get(ctx context.Context, req fetch.Request, kind Kind) (weather.Series, error) {
	req.Validate = func(body []byte) error { _, err := Parse(body, kind); return err }
	res, err := s.Client.Get(ctx, req)
	if err != nil {
		return weather.Series{}, err
	}
	series, err := Parse(res.Body, kind)
	if err != nil {
		return weather.Series{}, err
	}
	series.Fetched = res.Fetched
	series.Notes = append(series.Notes, res.Notes...)
	return series, nil
}
