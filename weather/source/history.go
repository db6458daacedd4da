package source

import (
	"context"
	"fmt"
	"time"

	"limeday/weather"
	"limeday/weather/power"
)

// Power is the name of the service of history in the settings; it gives no forecast.
const Power = "power"

// Services lists all that can be set in the settings: those of [Names] and [Power].
func Services() []string { return append(Names(), Power) }

// Lag is how long after a year's end its last hours are there: NASA POWER has the sun of a day a week later
// (power.larc.nasa.gov, "Data Sources").
const Lag = 8 * 24 * time.Hour

// HistoryError is history that did not come, or not all of it.
type HistoryError struct {
	Done, Total int  // years
	Kept        bool // what came is in the cache
	Err         error
}

// Error says how many years came and why no more.
func (e *HistoryError) Error() string {
	s := fmt.Sprintf("no weather of past years: %s", words(e.Err))
	switch {
	case e.Done == 0 || e.Done == e.Total:
	case e.Kept:
		s += fmt.Sprintf("; %d of %d years came and are kept, so that asking again goes on from there", e.Done, e.Total)
	default:
		s += fmt.Sprintf("; %d of %d years came", e.Done, e.Total)
	}
	return s
}

// Unwrap gives the cause.
func (e *HistoryError) Unwrap() error { return e.Err }

// Before is the last year of which History has all: over for [Lag] at now.
func Before(now time.Time, south bool) int {
	t := now.UTC().Add(-Lag)
	if south && t.Month() < time.July {
		return t.Year() - 2
	}
	return t.Year() - 1
}

// History is the weather of the years from and to, both included, from NASA POWER, asked for a calendar year after
// the other. Each is kept as it comes, so that a run that was stopped goes on where it was; o.Told hears how many
// years of how many there are. Years before the service begins, and those that are not over for [Lag], are left out,
// with a note. In the south years are seasons, and the last one needs the calendar year after it up to June.
// o.Place is not looked at; place.Altitude may be NaN.
//
// The errors are a [*HistoryError], the context's, and those of [ReadYears] that are not of files.
func (s *Source) History(ctx context.Context, place weather.Place, from, to int, o YearsOptions) (Years, error) {
	o.Place = &place
	south := o.South || place.Lat < 0
	var notes []string
	last := Before(s.set.Now(), south)
	if from < power.FirstYear {
		notes = append(notes, fmt.Sprintf("%s begins with %d.", power.Name, power.FirstYear))
		from = power.FirstYear
	}
	if to > last {
		notes = append(notes, fmt.Sprintf("%s has whole years up to %d only.", power.Name, last))
		to = last
	}
	if from > to {
		return Years{}, &HistoryError{Err: fmt.Errorf("%s has whole years from %d to %d; none was asked for", power.Name, power.FirstYear, last)}
	}
	begin, end := time.Date(from, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(to, 12, 31, 0, 0, 0, 0, time.UTC)
	if south {
		end = end.AddDate(1, 0, 0)
		if end.Year() > Before(s.set.Now(), false) {
			end = time.Date(to+1, 6, 30, 0, 0, 0, 0, time.UTC)
		}
	}
	done, total := 0, 0
	service := &power.Service{Client: s.client, BaseURL: s.set.Services[Power].BaseURL, Told: func(d, t int) {
		done, total = d, t
		if o.Told != nil {
			o.Told(d, t)
		}
	}}
	series, err := service.History(ctx, place, begin, end, s.set.Now())
	if ctx.Err() != nil {
		return Years{}, ctx.Err()
	}
	if err != nil {
		return Years{}, &HistoryError{Done: done, Total: total, Kept: s.set.CacheDir != "", Err: err}
	}
	y := Years{Series: series, from: power.Name, Notes: append(notes, sentences(series.Notes)...)}
	return y.finish(ctx, o)
}
