package intake

import (
	"context"
	"fmt"
	"io"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/job"
	"limeday/drying"
	"limeday/weather"
)

// Intake reads questions.
type Intake struct {
	Now   func() time.Time // in the zone of who asks
	Stdin io.Reader
	// Ask asks the weather services for a place: the one named or, for the empty name, each in its usual order. It tells what was from
	// since on, where that is not zero.
	Ask func(ctx context.Context, place weather.Place, name string, offline bool, since time.Time) (weather.Series, error)
}

// Request is a question about a day, in plain values.
type Request struct {
	File    *job.Job
	Example Example // File is that built-in one, with its own moment and air where nothing was measured
	Given
	Moment string // by the clock of the job's zone; empty: now
	For    string // the day asked about: today, tomorrow (the next working day) or a date; empty: as the hours have it
	Start  string // a time of that day, at which the next coat due is to be laid; empty: the best

	Reading *Reading // typed in
	Logger  string   // a CSV of readings in place of it, - for standard input
	ReadAs  string   // how that is read, KEY=VALUE separated by commas

	WallTemp *float64 // measured on the face at the moment of asking, C

	Source  string // the weather service; empty: the usual ones, where nothing was measured
	Offline bool
	Lenient bool // what was measured indoors serves where no service answers

	Since string        // what was seen, as --since has it; empty: what the diary says
	Diary []diary.Entry // of the job: its readings join what is measured, its events are what was seen
}

// Reading is one of the air.
type Reading struct {
	At       time.Time // zero: at the moment of asking
	Temp, RH float64   // C, percent
	Wall     *float64  // of the face, C; nil where it was not measured
}

// Again reports whether o is r sent once more within the minute.
func (r Reading) Again(o Reading) bool {
	walls := r.Wall == nil && o.Wall == nil || r.Wall != nil && o.Wall != nil && *r.Wall == *o.Wall
	return walls && r.Temp == o.Temp && r.RH == o.RH && o.At.Sub(r.At) < time.Minute
}

func (r *Request) measured() bool { return r.Reading != nil || r.Logger != "" }

// Day is a question as it is worked out.
type Day struct {
	Site
	Ask  drying.Ask
	Seen []drying.Seen
	Late []diary.Entry // of the diary's events of the day, those after the moment of asking: not in Seen

	Reading *Reading // the last one typed, where the air of now is known by it

	readings []Reading // typed, in order of time
}

// Day reads a question about a day. Where there is an error what is known so far stands; File is nil where the file itself is wrong.
func (in *Intake) Day(ctx context.Context, r Request) (d Day, err error) {
	d.Ask.At = in.Now()
	if r.Example != "" && r.measured() {
		r.File = borrowed(r.File, r.Example)
	}
	if d.Site, err = in.Site(r.File, r.Given); err != nil {
		return d, err
	}
	if d.Ask.At, err = in.moment(r, d.Job.Zone); err != nil {
		return d, err
	}
	if d.Ask.For, err = dayFor(r.For, d.Ask.At.In(d.Job.Zone), d.Job.Hours); err != nil {
		return d, err
	}
	on := d.Ask.For
	if on.IsZero() {
		on = d.Ask.At
	}
	if d.Ask.Start, err = start(r.Start, on, d.Job.Zone); err != nil {
		return d, err
	}
	if base := d.Job.BaseLaid; base.After(d.Ask.At) {
		return d, inJob(d.File, d.File.Layers[len(d.File.Layers)-1].Line, fmt.Errorf("the base coat was laid on %s, which is after the moment of asking, %s; check the dates",
			base.Format(time.DateOnly), d.Ask.At.In(d.Job.Zone).Format(time.DateOnly)))
	}
	if err = d.remember(r); err != nil {
		return d, err
	}
	if len(d.Walls) < 2 { // what was seen is of one wall
		d.Ask.Seen = d.Seen
	}
	d.Ask.Air, err = in.air(ctx, r, &d)
	return d, err
}

// moment is that of asking.
func (in *Intake) moment(r Request, zone *time.Location) (time.Time, error) {
	switch {
	case r.Moment != "":
		return Moment("--at", r.Moment, zone)
	case r.Example != "" && !r.measured():
		return time.Parse(time.RFC3339, job.ExampleAt)
	}
	return in.Now(), nil
}

// dayFor reads the day asked about, as --for has it.
func dayFor(text string, at time.Time, hours drying.Hours) (time.Time, error) {
	switch text {
	case "":
		return time.Time{}, nil
	case "today":
		return at, nil
	case "tomorrow":
		if next := hours.Next(at); !next.IsZero() {
			return next, nil
		}
		return at, question("--for", "a job with working days", "--for: the job has no working day after %s", at.Format(time.DateOnly))
	}
	day, err := time.ParseInLocation(time.DateOnly, text, at.Location())
	if err != nil {
		return at, question("--for", "today, tomorrow or a date such as 2026-04-15", "--for: %q is not a day; write today, tomorrow or a date such as 2026-04-15", text)
	}
	return day, nil
}

// borrowed is an example's wall and coats, for the user's own air, room, place and time.
func borrowed(j *job.Job, e Example) *job.Job {
	k := *j
	k.Place = job.Place{}
	if e != Stair {
		k.Walls = nil
	}
	if k.Room != nil {
		r := *k.Room
		r.Volume = nil
		k.Room = &r
	}
	return &k
}
