package app

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"limeday/cmd/internal/job"
	"limeday/drying"
	"limeday/weather"
	"limeday/weather/source"
)

// nearBy is how much later than the moment of asking a forecast may begin: services give whole hours, and
// those to come.
const nearBy = 2 * time.Hour

// anySource is the word for the services in their usual order.
const anySource = "any"

// forecast is the air of the job's room from a weather service, with readings blended in where there are any.
func (inv *invocation) forecast(ctx context.Context, j *job.Job, d drying.Job, at time.Time, name string, offline bool, readings weather.Series) (weather.Series, error) {
	if j.Place.Latitude == nil || j.Place.Longitude == nil {
		return weather.Series{}, &Error{Exit: ExitNoWeather, Where: j.File, Expected: "lat and lon in [place]",
			Message: j.File + " does not say where it is, so there is no forecast for it: give lat and lon in [place], or a reading with --temp and --rh"}
	}
	place := weather.Place{Name: j.Place.Name, Lat: *j.Place.Latitude, Lon: *j.Place.Longitude, Altitude: d.Place.Altitude}
	s := source.New(inv.sourceSettings(offline))
	if name == anySource {
		name = ""
	}
	if !offline {
		asked := name
		if asked == "" {
			asked = s.Order(place)[0]
		}
		fmt.Fprintf(inv.Notes, "Asking %s for the weather at %s.\n", asked, source.Told(place))
	}
	out, err := s.Forecast(ctx, place, name, laidSince(j, d, at))
	var none *source.NoneError
	if errors.As(err, &none) {
		return weather.Series{}, &Error{Exit: ExitNoWeather, Where: j.File, Expected: "a weather service that answers, or a reading with --temp and --rh",
			Message: "no forecast for " + j.File + ": " + err.Error() + ". Give a reading with --temp and --rh", Err: err}
	} else if err != nil {
		return weather.Series{}, err
	}
	in := out
	if j.Room != nil {
		in = d.Inside(out)
	}
	in = startingBy(in, at)
	if len(readings.Records) > 0 {
		in = source.Blend(in, readings)
	}
	return in, nil
}

// sourceSettings are what weather services are asked with.
func (inv *invocation) sourceSettings(offline bool) source.Settings {
	set := source.Settings{Contact: inv.config.Contact, Services: map[string]source.Service{}, Offline: offline,
		UserAgent: "limeday/" + Version, Now: inv.Now, Transport: inv.Transport, Sleep: inv.Sleep,
		Tell: func(s string) { fmt.Fprintln(inv.Notes, s) }}
	if inv.CacheDir != "" {
		set.CacheDir = filepath.Join(inv.CacheDir, "limeday")
	}
	for n, s := range inv.config.Source {
		set.Services[n] = source.Service(s)
	}
	return set
}

// laidSince is when the first of the walls outdoors that still need care was laid, as far back as weather is told for
// the asking; zero where there is none.
func laidSince(j *job.Job, d drying.Job, at time.Time) (since time.Time) {
	for _, l := range d.Laid {
		if j.Room != nil || !l.On.Before(at) || at.Sub(l.On) > source.Remembers {
			continue
		}
		if since.IsZero() || l.On.Before(since) {
			since = l.On
		}
	}
	return since
}

// startingBy makes a forecast begin no later than t, by keeping its first hour back to t where that is near.
func startingBy(s weather.Series, t time.Time) weather.Series {
	if len(s.Records) == 0 || !s.Records[0].Time.After(t) || s.Records[0].Time.Sub(t) > nearBy {
		return s
	}
	first := s.Records[0]
	first.Time = t.UTC()
	first.Temperature.Tag, first.Vapour.Tag = weather.Held, weather.Held
	s.Records = append([]weather.Record{first}, s.Records...)
	return s
}
