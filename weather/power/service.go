package power

import (
	"context"
	"fmt"
	"net/url"
	"strings"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
)

// Name of the service, for people.
const Name = "NASA POWER"

// DefaultURL is where the hours of a point are.
const DefaultURL = "https://power.larc.nasa.gov/api/temporal/hourly/point"

// Credit is how the service wishes to be cited. The data are CC0: awslabs,
// open-data-registry, datasets/nasa-power.yaml.
const Credit = "Data: NASA POWER Project (NASA Langley Research Center)"

// DefaultDecimals is how finely a place is told to the service: to some 1 km.
const DefaultDecimals = 2

// FirstYear is the first with hourly values.
const FirstYear = 2001

// Years that are over do not change any more; the one that runs grows daily.
const (
	settledAge = 365 * 24 * time.Hour
	runningAge = 24 * time.Hour
)

// settles is how long after a year's end its last values come in.
const settles = 31 * 24 * time.Hour

// Service asks NASA POWER.
type Service struct {
	Client   *fetch.Client
	BaseURL  string // empty: [DefaultURL]
	Decimals int    // of latitude and longitude; 0: [DefaultDecimals]; at most [fetch.MaxDecimals]
	// Told hears how many of the years asked for are there, from none on; may be nil.
	Told func(done, total int)
}

// History is the hours of the days from and to, both included, by their dates in UTC, at a place,
// asked for a calendar year after the other. now says how long an answer is good:
// years that are over are kept. Years before [FirstYear] are left out.
// Fetched is that of the oldest answer.
//
// The error is a [fetch.Fault], or the context's.
func (s *Service) History(ctx context.Context, place weather.Place, from, to, now time.Time) (weather.Series, error) {
	reqs := s.requests(place, from, to, now)
	if len(reqs) == 0 {
		return weather.Series{}, &fetch.DecodeError{Service: Name, What: fmt.Sprintf("there are no days from %s to %s; it begins with %d",
			from.UTC().Format(time.DateOnly), to.UTC().Format(time.DateOnly), FirstYear)}
	}
	tell := func(done int) {
		if s.Told != nil {
			s.Told(done, len(reqs))
		}
	}
	h := hours{stated: true}
	var oldest time.Time
	var notes []string
	tell(0)
	for i, req := range reqs {
		res, err := s.Client.Get(ctx, req)
		if err != nil {
			return weather.Series{}, err
		}
		if err := h.add(res.Body); err != nil {
			return weather.Series{}, err
		}
		if i == 0 || res.Fetched.Before(oldest) {
			oldest = res.Fetched
		}
		notes = append(notes, res.Notes...)
		tell(i + 1)
	}
	series, err := h.series()
	if err != nil {
		return weather.Series{}, err
	}
	series.Fetched = oldest
	series.Notes = append(series.Notes, notes...)
	return series, nil
}

// requests are one for each calendar year.
func (s *Service) requests(p weather.Place, from, to, now time.Time) []fetch.Request {
	from, to = from.UTC().Truncate(24*time.Hour), to.UTC().Truncate(24*time.Hour)
	if first := time.Date(FirstYear, 1, 1, 0, 0, 0, 0, time.UTC); from.Before(first) {
		from = first
	}
	base, decimals := s.BaseURL, s.Decimals
	if base == "" {
		base = DefaultURL
	}
	if decimals == 0 {
		decimals = DefaultDecimals
	}
	keys := make([]string, len(outside))
	for i, o := range outside {
		keys[i] = o.key
	}
	var out []fetch.Request
	for !from.After(to) {
		end := time.Date(from.Year(), 12, 31, 0, 0, 0, 0, time.UTC)
		if end.After(to) {
			end = to
		}
		age := settledAge
		if now.Sub(end) < settles {
			age = runningAge
		}
		out = append(out, fetch.Request{Service: Name, URL: base, MaxAge: age, Validate: validate, Query: url.Values{
			"parameters":    {strings.Join(keys, ",")},
			"community":     {"RE"},
			"longitude":     {fetch.Coordinate(p.Lon, decimals)},
			"latitude":      {fetch.Coordinate(p.Lat, decimals)},
			"start":         {from.Format("20060102")},
			"end":           {end.Format("20060102")},
			"format":        {"JSON"},
			"time-standard": {"UTC"}, // the default is local solar time
		}})
		from = end.AddDate(0, 0, 1)
	}
	return out
}

// validate says what is wrong with an answer. A year without values is no fault
// by itself.
func validate(body []byte) error { return new(hours).add(body) }
