package openmeteo

import (
	"errors"
	"net/url"
	"strconv"
	"strings"
	"time"

	"limeday/weather"
)

// Credit is what the licence asks for: CC BY 4.0, with a link to open-meteo.com
// beside the data and a word if they were changed.
const Credit = "Weather data by Open-Meteo.com (https://open-meteo.com/), CC BY 4.0; times and units changed"

// The hosts. The paid ones want a key.
const (
	freeForecast = "https://api.open-meteo.com"
	freeArchive  = "https://archive-api.open-meteo.com"
	paidForecast = "https://customer-api.open-meteo.com"
	paidArchive  = "https://customer-archive-api.open-meteo.com"
)

// ErrNotAllowed is the refusal to use the free hosts without the user's word.
var ErrNotAllowed = errors.New("the free hosts of Open-Meteo are for non-commercial use only; expected in the configuration a key, " +
	"the base_url of your own server, or non_commercial = true if your use is not commercial")

// Settings is how to ask, and what allows it.
type Settings struct {
	BaseURL       string // of a server of one's own, such as https://weather.example; for both forecast and archive
	Key           string // of a subscription; goes into the URL
	NonCommercial bool   // the user's word that the use is non-commercial
	Decimals      int    // of the coordinates; see [weather.Coordinate]
}

// The variables: all the forecast's, and the archive's.
var (
	always       = []string{"temperature_2m", "relative_humidity_2m", "dew_point_2m", "wind_speed_10m", "wind_direction_10m", "surface_pressure", "cloud_cover", "precipitation", "shortwave_radiation", "direct_normal_irradiance", "diffuse_radiation"}
	forecastOnly = []string{"wind_gusts_10m", "precipitation_probability"}
)

// The most days that can be asked for.
const (
	MaxForecastDays = 16
	MaxPastDays     = 92
)

// ForecastURL is the request for the days from past days ago to days ahead, today included. An
// altitude that is 0 is not sent; the service then takes that of its own map.
// The error is [ErrNotAllowed].
func (s Settings) ForecastURL(p weather.Place, days, past int) (string, error) {
	base, err := s.base(freeForecast, paidForecast)
	if err != nil {
		return "", err
	}
	q := url.Values{
		"forecast_days": {strconv.Itoa(min(max(days, 1), MaxForecastDays))},
		"past_days":     {strconv.Itoa(min(max(past, 0), MaxPastDays))},
	}
	return s.url(base+"/v1/forecast", p, append(always[:len(always):len(always)], forecastOnly...), q), nil
}

// ArchiveURL is the request for the days from and to, both included, by their dates in UTC, of
// one model, ERA5: the service warns of steps where models change. The error is [ErrNotAllowed].
func (s Settings) ArchiveURL(p weather.Place, from, to time.Time) (string, error) {
	base, err := s.base(freeArchive, paidArchive)
	if err != nil {
		return "", err
	}
	q := url.Values{
		"start_date": {from.UTC().Format(time.DateOnly)},
		"end_date":   {to.UTC().Format(time.DateOnly)},
		"models":     {"era5"},
	}
	return s.url(base+"/v1/archive", p, always, q), nil
}

// base is the host to ask.
func (s Settings) base(free, paid string) (string, error) {
	switch {
	case s.BaseURL != "":
		return strings.TrimRight(s.BaseURL, "/"), nil
	case s.Key != "":
		return paid, nil
	case s.NonCommercial:
		return free, nil
	}
	return "", ErrNotAllowed
}

func (s Settings) url(path string, p weather.Place, variables []string, q url.Values) string {
	q.Set("latitude", weather.Coordinate(p.Lat, s.Decimals))
	q.Set("longitude", weather.Coordinate(p.Lon, s.Decimals))
	if p.Altitude != 0 {
		q.Set("elevation", strconv.FormatFloat(p.Altitude, 'f', 0, 64))
	}
	q.Set("temperature_unit", "celsius")
	q.Set("wind_speed_unit", "ms")
	q.Set("precipitation_unit", "mm")
	q.Set("timeformat", "unixtime")
	q.Set("timezone", "GMT")
	if s.Key != "" {
		q.Set("apikey", s.Key)
	}
	return path + "?hourly=" + strings.Join(variables, ",") + "&" + q.Encode()
}
