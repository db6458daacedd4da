package season

import (
	"context"
	"errors"
	"time"

	"limeday/drying"
	"limeday/drying/parallel"
)

// Ask is the question.
type Ask struct {
	Walls   []drying.Job // the job, once for each of its walls
	Weather Weather
	Starts  []time.Duration // tried each day, by the clock of the job
	Need    int             // workable days in a row that the job wants; 0 where not known
	// Tell, where not nil, is told how far the work is, 0 to 1; it may be called from several goroutines.
	Tell func(share float64)
	// Keep, where not nil, holds what was worked out before.
	Keep Keeper
}

// Keeper keeps the days of a wall in a year from one run to the next.
type Keeper interface {
	Load(wall, year int) (Days, bool)
	Save(wall, year int, d Days) error
}

// Days is one wall through one year, day by day.
type Days struct {
	Days  []Day
	Cold  []int64    // moments at which wall or air freezes, unix s
	Free  [3]float64 // frost-free days: boldest, middle, most careful, before the cold lengthens them
	Until int64      // unix s: where the weather ends
	Stuck int        // days that no solution was found for: they are not known
}

// Day is one day.
type Day struct {
	Date   int64 // unix s of its beginning
	Tries  []Try // by start; none where the weather is not known
	Frost  int64 // first frost of wall or air after its middle start, unix s; 0: none known
	Safe   int64 // until when published advice (middle) wants none after that start, unix s
	Likely bool  // the coat of that start freezes while wetter than the usual critical saturation
}

// Try is one start of a day.
type Try struct {
	Verdict                drying.Verdict
	Why                    Why     // where it is a no-go
	Opens, Burnish, Closes float64 // of the last coat, minutes after laying; below 0 where not reached
}

// Work works the season out, every wall and year by itself, on all the cores there are. The error is the first by wall and
// year, or ctx's.
func Work(ctx context.Context, ask Ask) (Result, error) {
	if len(ask.Walls) == 0 || len(ask.Starts) == 0 || len(ask.Weather.Years) == 0 {
		return Result{}, &drying.AskError{What: "the season", Reason: "it needs a wall, a start of the day and a year of weather"}
	}
	for _, j := range ask.Walls {
		if err := j.Check(); err != nil {
			return Result{}, err
		}
	}
	n := len(ask.Weather.Years)
	all := make([][]Days, len(ask.Walls))
	progress := newProgress(ask.Tell, len(ask.Walls)*n)
	errs := make([]error, len(ask.Walls)*n)
	for w := range all {
		all[w] = make([]Days, n)
	}
	_ = parallel.Each(len(errs), func(i int) error { // the errors are in errs, in their order
		if ctx.Err() != nil {
			return nil
		}
		w, y := i/n, i%n
		if ask.Keep != nil {
			if d, ok := ask.Keep.Load(w, y); ok {
				all[w][y] = d
				progress.done(1)
				return nil
			}
		}
		d, err := yearOf(ctx, ask, w, y, progress)
		if err == nil && ask.Keep != nil && ctx.Err() == nil {
			err = ask.Keep.Save(w, y, d)
		}
		all[w][y], errs[i] = d, err
		return nil
	})
	if ctx.Err() != nil {
		return Result{}, ctx.Err()
	}
	for _, err := range errs {
		if err != nil {
			return Result{}, err
		}
	}
	return ask.result(all), nil
}

// fewStuck is the share of a year's days that may be without a solution.
const fewStuck = 0.02

// spinUp is how long before a year the wall is set up.
const spinUp = 10 * 24 * time.Hour

// yearOf tries one wall on every day of one year.
func yearOf(ctx context.Context, ask Ask, w, y int, p *progress) (Days, error) {
	job, span := ask.Walls[w], ask.Weather.Years[y]
	l, err := drying.NewLong(job, ask.Weather.around(span, spinUp, drying.Afterwards(job)), span.From, span.To)
	if err != nil {
		return Days{}, err
	}
	out := Days{Until: l.Until().Unix(), Free: l.FrostFree()}
	for _, t := range l.Frosts() {
		out.Cold = append(out.Cold, t.Unix())
	}
	days := span.To.Sub(span.From).Hours() / 24
	for date := midnight(span.From.In(job.Zone)); date.Before(span.To); date = date.AddDate(0, 0, 1) {
		if ctx.Err() != nil {
			return out, nil
		}
		day := Day{Date: date.Unix()}
		middle := len(ask.Starts) / 2
		for i, at := range ask.Starts {
			start, to := onClock(date, at), onClock(date, job.Hours.To)
			if start.Before(span.From) || !l.Known(start) {
				break
			}
			try := l.Judge
			if i == middle { // its frost is asked
				try = l.Try
			}
			a, err := try(start, to)
			var stuck *drying.NotConvergedError
			if errors.As(err, &stuck) && float64(out.Stuck+1) <= fewStuck*days {
				out.Stuck++
				break
			}
			if err != nil {
				return out, err
			}
			day.Tries = append(day.Tries, tryOf(a))
			if i == middle {
				x := l.Exposure(start)
				if !x.First.IsZero() {
					day.Frost = x.First.Unix()
				}
				day.Safe = x.Free[1].Unix()
				day.Likely = a.Exterior != nil && a.Exterior.Frost == drying.FrostLikely
			}
		}
		if len(day.Tries) < len(ask.Starts) {
			day.Tries = nil
		}
		out.Days = append(out.Days, day)
		p.done(1 / days)
	}
	return out, nil
}

// tryOf is what counts of an answer.
func tryOf(a drying.Answer) Try {
	t := Try{Verdict: a.Verdict, Opens: -1, Burnish: -1, Closes: -1}
	if a.Verdict == drying.NoGo {
		t.Why = Other
		if code, ok := a.Stop(); ok {
			t.Why = whyOf(code)
		}
	}
	if n := len(a.Coats); n > 0 && a.Coats[n-1].Last {
		c := a.Coats[n-1]
		after := func(t time.Time) float64 {
			if t.IsZero() {
				return -1
			}
			return t.Sub(c.Lay).Minutes()
		}
		t.Opens, t.Burnish, t.Closes = after(c.Opens), after(c.Burnish), after(c.Closes)
	}
	return t
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

func onClock(date time.Time, at time.Duration) time.Time {
	return time.Date(date.Year(), date.Month(), date.Day(), int(at/time.Hour), int(at%time.Hour/time.Minute), 0, 0, date.Location())
}

// NeedOf is how many workable days in a row a job of these walls wants; 0 where an area is not known.
func NeedOf(walls []drying.Job) int {
	need := 0
	for _, j := range walls {
		days := j.LayDays()
		if days == 0 {
			return 0
		}
		need = max(need, days)
	}
	return need
}
