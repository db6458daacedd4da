package source

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"limeday/weather"
	"limeday/weather/fetch"
	"limeday/weather/metno"
	"limeday/weather/nws"
	"limeday/weather/openmeteo"
)

// The names of the services, as --source and the settings have them.
const (
	MetNo     = "metno"
	NWS       = "nws"
	OpenMeteo = "open-meteo"
)

// Remembers is how far back the weather before a forecast can be had.
const Remembers = openmeteo.MaxPastDays * 24 * time.Hour

// Names lists the services that give a forecast.
func Names() []string { return []string{MetNo, NWS, OpenMeteo} }

// Service is what the user has set of one service.
type Service struct {
	BaseURL       string // empty: the service's own
	Key           string
	NonCommercial bool // the user's word that the use is non-commercial
}

// Settings is what a Source is made with.
type Settings struct {
	Contact   string
	Services  map[string]Service
	CacheDir  string
	Offline   bool
	UserAgent string
	Tell      func(string) // told why it waits; may be nil
	Now       func() time.Time
	Transport http.RoundTripper // nil: the network
	Sleep     func(ctx context.Context, d time.Duration) error
}

// Source gives forecasts.
type Source struct {
	set    Settings
	client *fetch.Client
}

// New makes a Source; it asks nobody yet.
func New(s Settings) *Source {
	return &Source{set: s, client: fetch.New(fetch.Settings{UserAgent: s.UserAgent, Contact: s.Contact, CacheDir: s.CacheDir,
		Offline: s.Offline, Tell: s.Tell, Now: s.Now, Transport: s.Transport, Sleep: s.Sleep})}
}

// Order is the services asked for a place, first to last: in the United States their weather service, then
// the one that covers the world. Open-Meteo is asked only where the settings allow it, and never first.
func (s *Source) Order(p weather.Place) []string {
	order := []string{MetNo}
	if inUnitedStates(p) {
		order = []string{NWS, MetNo}
	}
	if s.mayAskOpenMeteo() {
		order = append(order, OpenMeteo)
	}
	return order
}

func (s *Source) mayAskOpenMeteo() bool {
	o := s.set.Services[OpenMeteo]
	return o.Key != "" || o.BaseURL != "" || o.NonCommercial
}

// Told is what the services are told of a place: its coordinates to about a kilometre.
func Told(p weather.Place) string {
	return fetch.Coordinate(p.Lat, metno.DefaultDecimals) + ", " + fetch.Coordinate(p.Lon, metno.DefaultDecimals)
}

// inUnitedStates is roughly so: boxes about the states and Puerto Rico. A place wrongly inside costs one
// answer that the service does not know it.
func inUnitedStates(p weather.Place) bool {
	for _, b := range [...][4]float64{ // south, north, west, east
		{24.4, 49.4, -125, -66.9}, {51, 71.5, -180, -129.9}, {18.8, 22.3, -160.3, -154.7}, {17.8, 18.6, -67.4, -65.2}} {
		if p.Lat >= b[0] && p.Lat <= b[1] && p.Lon >= b[2] && p.Lon <= b[3] {
			return true
		}
	}
	return false
}

// NoneError says that no service gave a forecast, and why.
type NoneError struct{ Tried []Failure }

// Failure is one service that gave nothing.
type Failure struct {
	Name string
	Err  error
}

// Error names every service with its reason.
func (e *NoneError) Error() string {
	var says []string
	for _, f := range e.Tried {
		says = append(says, words(f.Err))
	}
	return strings.Join(says, "; ")
}

// words is what people are told of err.
func words(err error) string {
	var f fetch.Fault
	if errors.As(err, &f) {
		return f.Words()
	}
	return err.Error()
}

// Forecast asks the services in order, or only the one named, for the weather at a place. The series' notes
// say which gave nothing before the one that answered. Forecasts begin now: where since is not zero and lies before,
// the hours from then on come from Open-Meteo, which alone tells them, if it may be asked. The error is a
// *NoneError, or the context's.
func (s *Source) Forecast(ctx context.Context, p weather.Place, name string, since time.Time) (weather.Series, error) {
	order := s.Order(p)
	if name != "" {
		if !slices.Contains(Names(), name) {
			panic("source: no service named " + name)
		}
		order = []string{name}
	}
	none := &NoneError{}
	for _, n := range order {
		series, err := s.ask(ctx, n, p, since)
		if ctx.Err() != nil {
			return weather.Series{}, ctx.Err()
		}
		if err != nil {
			none.Tried = append(none.Tried, Failure{n, err})
			continue
		}
		series = series.Told()
		for _, f := range none.Tried {
			series.Notes = append(series.Notes, "Not from "+f.Name+": "+words(f.Err)+".")
		}
		if series.Grid != nil {
			off := series.Grid.From(p)
			series.Off = &off
			note, _ := weather.GridNote(p, *series.Grid)
			series.Notes = append(series.Notes, note)
		}
		if n != OpenMeteo && !since.IsZero() && len(series.Records) > 0 && since.Before(series.Records[0].Time) && s.mayAskOpenMeteo() {
			series = s.before(ctx, p, series, since)
		}
		return series.FillPressure(p.Altitude), nil
	}
	return weather.Series{}, none
}

// before puts the hours that went before a forecast in front of it; where they cannot be had, a note says so.
func (s *Source) before(ctx context.Context, p weather.Place, series weather.Series, since time.Time) weather.Series {
	first := series.Records[0].Time
	past, err := s.ask(ctx, OpenMeteo, p, since)
	if err != nil {
		series.Notes = append(series.Notes, "The hours before "+first.UTC().Format(time.RFC3339)+" not from "+OpenMeteo+": "+words(err)+".")
		return series
	}
	past.Records = slices.DeleteFunc(past.Records, func(r weather.Record) bool { return !r.Time.Before(first) })
	grid, off := series.Grid, series.Off
	series, _ = weather.Join(weather.KeepFirst, series, past.Of(weather.Past)) // without a record in common there is nothing to refuse
	series.Grid, series.Off = grid, off
	return series
}

func (s *Source) ask(ctx context.Context, name string, p weather.Place, since time.Time) (weather.Series, error) {
	set := s.set.Services[name]
	switch name {
	case MetNo:
		return (&metno.Service{Client: s.client, BaseURL: set.BaseURL}).Forecast(ctx, p)
	case NWS:
		return (&nws.Service{Client: s.client, BaseURL: set.BaseURL}).Forecast(ctx, p)
	default:
		const days, least = 7, 2 // the wall's last two days come with it
		past := least
		if !since.IsZero() {
			past = max(past, int(s.set.Now().Sub(since).Hours()/24)+1)
		}
		return (&openmeteo.Service{Client: s.client, BaseURL: set.BaseURL, Key: set.Key, NonCommercial: set.NonCommercial}).Forecast(ctx, p, days, past)
	}
}
