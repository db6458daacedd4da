package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
	"limeday/drying"
	"limeday/drying/season"
	"limeday/weather"
	"limeday/weather/source"
)

// seasonPlace is where, and by which clock, a season is worked out.
type seasonPlace struct {
	place    weather.Place
	zone     *time.Location
	anywhere bool
	skip     []int
}

// yearsFromFiles reads years of weather; - is standard input.
func (inv *invocation) yearsFromFiles(ctx context.Context, names []string, p seasonPlace) (source.Years, error) {
	var files []source.File
	for _, name := range names {
		f := source.File{Name: name, Open: func() (io.ReadCloser, error) { return infile.Open(name) }}
		if name == "-" {
			f = source.File{Name: "standard input", Open: func() (io.ReadCloser, error) { return io.NopCloser(inv.Stdin), nil }}
		}
		files = append(files, f)
	}
	y, err := source.ReadYears(ctx, files, source.YearsOptions{Place: &p.place, Zone: p.zone, Anywhere: p.anywhere, Skip: p.skip})
	return y, yearsFault(err)
}

// yearsOfPlace asks the service for the years of the job's place.
func (inv *invocation) yearsOfPlace(ctx context.Context, d drying.Job, q seasonQuestion) (source.Years, error) {
	first, last := q.first, q.last
	if first == 0 {
		last = source.Before(inv.Now(), d.Place.Lat < 0)
		first = last - season.UsualYears + 1
	}
	if !q.offline {
		fmt.Fprintf(inv.Notes, "Asking NASA POWER for %d to %d at %s.\n", first, last, source.Told(d.Place))
	}
	said := 0
	y, err := source.New(inv.sourceSettings(q.offline)).History(ctx, d.Place, first, last, source.YearsOptions{Zone: d.Zone, Skip: q.skip,
		Told: func(done, total int) {
			if done > said && inv.Patience > 0 {
				said = done
				fmt.Fprintf(inv.Notes, "Weather: %d of %d years.\n", done, total)
			}
		}})
	var gone *source.HistoryError
	if errors.As(err, &gone) {
		return y, &Error{Exit: ExitNoWeather, Where: "NASA POWER", Expected: "years of hourly weather, or --weather FILE", Err: err,
			Message: oneLine(err.Error()) + "; what came is kept, so ask again, or give --weather with an EPW, ISD-Lite or CSV file"}
	}
	return y, yearsFault(err)
}

// mostOdds is how many years back odds are looked for in the cache.
const mostOdds = 25

// oddsAfter is what the history kept of a place says of frost from one moment to another: nobody is asked. none where no
// history is kept.
func (inv *invocation) oddsAfter(ctx context.Context, d drying.Job, from, to time.Time) (share float64, years int) {
	if inv.CacheDir == "" || !to.After(from) {
		return 0, 0
	}
	set := inv.sourceSettings(true)
	set.Tell = nil
	kept := source.New(set)
	var all weather.Series
	last := source.Before(inv.Now(), d.Place.Lat < 0)
	for y := last - mostOdds + 1; y <= last; y++ { // year by year: some may not be there
		if h, err := kept.History(ctx, d.Place, y, y, source.YearsOptions{Zone: d.Zone}); err == nil {
			all.Records = append(all.Records, h.Series.Records...)
		}
	}
	return drying.FrostOdds(all, from, to)
}

// yearsFault words why there are no years.
func yearsFault(err error) error {
	var hole *source.HoleError
	var none *source.NoYearError
	var dark *source.LightError
	var far *source.FarError
	var data *weather.DataError
	var twice *weather.ConflictError
	var path *os.PathError
	bad := func(where, expected string) error {
		return &Error{Exit: ExitBadInput, Where: where, Expected: expected, Message: oneLine(err.Error()), Err: err}
	}
	switch {
	case err == nil, errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &hole):
		return &Error{Exit: ExitBadInput, Where: hole.Source, Expected: "years without long holes", Message: err.Error() + fmt.Sprintf(" with --skip %d", hole.Label), Err: err}
	case errors.As(err, &none):
		return bad(none.Source, "a whole year of hourly weather")
	case errors.As(err, &dark):
		return &Error{Exit: ExitBadInput, Where: dark.Source, Expected: "radiation or cloud", Message: err.Error() + fmt.Sprintf(" with --skip %d", dark.Label), Err: err}
	case errors.As(err, &far):
		return &Error{Exit: ExitBadInput, Where: far.Source, Expected: "weather of the job's place", Message: err.Error() + " with --anywhere", Err: err}
	case errors.As(err, &data):
		return bad("--weather", "hourly weather of years: EPW, ISD-Lite or CSV")
	case errors.As(err, &twice):
		return bad("--weather", "one value for each hour")
	case errors.As(err, &path):
		return &Error{Exit: ExitBadInput, Where: path.Path, Expected: "a file of hourly weather", Message: path.Path + ": could not be read: " + fault.Plain(path.Err), Err: err}
	}
	return err
}

// workSeason works a season out from years of weather for a job's walls.
func (inv *invocation) workSeason(ctx context.Context, walls []drying.Job, y source.Years, starts []time.Duration, also func(share float64)) (season.Result, error) {
	w := season.Weather{Series: y.Series, Typical: y.Typical, Lacks: y.Lacks, South: y.South}
	w.Series.Notes = y.Notes
	for _, s := range y.Span {
		w.Years = append(w.Years, season.Year{Label: s.Label, From: s.From, To: s.To})
	}
	ask := season.Ask{Walls: walls, Weather: w, Starts: starts, Need: season.NeedOf(walls)}
	ask.Keep = newSeasonKeeper(ctx, inv.CacheDir, ask)
	tell, told := inv.progress(fmt.Sprintf("Trying every day of %s on %s", plural(len(w.Years), "year"), plural(len(walls), "wall")))
	defer told()
	ask.Tell = func(share float64) {
		tell(share)
		if also != nil {
			also(share)
		}
	}
	return season.Work(ctx, ask)
}
