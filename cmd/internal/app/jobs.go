package app

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/readings"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// Hours where a job gives none.
var usualHours = drying.Hours{From: 8 * time.Hour, To: 17 * time.Hour}

func knownNames() job.Names {
	return job.Names{Finishes: material.Finishes(), Backgrounds: material.Backgrounds()}
}

// toDrying turns a job file into the job that is computed. home is the zone taken where the job has none;
// assumed tells, in clauses, what was taken for granted.
func toDrying(j *job.Job, home *time.Location) (d drying.Job, assumed []string, err error) {
	if j.Room == nil {
		return d, nil, &Error{Exit: ExitNotValid, Where: j.File, Expected: "[room]",
			Message: j.File + " has no [room]: walls outdoors, in sun, wind and rain, are not judged; add a [room] for a wall indoors"}
	}
	d.Place = weather.Place{Name: j.Place.Name}
	switch {
	case j.Place.Altitude != nil:
		d.Place.Altitude = *j.Place.Altitude
	default:
		assumed = append(assumed, "sea level")
	}
	d.Zone = j.Place.Zone
	if d.Zone == nil {
		d.Zone = home
		assumed = append(assumed, "this computer's time zone")
	}
	d.Hours = usualHours
	if j.Hours != nil {
		clock := func(c job.Clock) time.Duration {
			return time.Duration(c.Hour)*time.Hour + time.Duration(c.Minute)*time.Minute
		}
		d.Hours = drying.Hours{From: clock(j.Hours.From), To: clock(j.Hours.To)}
	} else {
		assumed = append(assumed, "hours 08:00 to 17:00")
	}
	d.Room = drying.Room{AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}
	if j.Room.AirSpeed != nil {
		d.Room.AirSpeed = *j.Room.AirSpeed
	}
	if len(j.Walls) > 0 && j.Walls[0].Height != nil {
		d.Room.WallHeight = *j.Walls[0].Height
	}
	for _, l := range j.Layers {
		b, err := material.BackgroundNamed(l.Background, material.Primer(l.Primer))
		if err != nil {
			return d, nil, inJob(j, l.Line, err)
		}
		if l.Primer != "" && !b.Primed {
			return d, nil, inJob(j, l.Line, fmt.Errorf("primer = %q goes with a primed background, and %s has none; leave it out", l.Primer, b.Name))
		}
		if l.Thickness != nil {
			b = b.WithThickness(*l.Thickness)
		}
		if d.Background.Name != "" {
			b = b.On(d.Background)
		}
		d.Background = b
	}
	for _, c := range j.Coats {
		f, err := material.FinishNamed(c.Finish)
		if err != nil {
			return d, nil, inJob(j, c.Line, err)
		}
		k := drying.Coat{Finish: f, Tint: c.Tint}
		if c.Spread != nil {
			k.Thickness = f.Thickness(*c.Spread)
		} else {
			k.Thickness = *c.Thickness
		}
		if limit := 20 * f.Thickest.Value; k.Thickness > limit {
			return d, nil, inJob(j, c.Line, fmt.Errorf("a coat of %s cannot be %s thick; did you mean another unit, or another finish?",
				f.Name, quantity.Format(quantity.Thickness, k.Thickness, j.Units, 2)))
		}
		d.Coats = append(d.Coats, k)
	}
	share := func(pct *float64) *float64 {
		if pct == nil {
			return nil
		}
		f := *pct / 100
		return &f
	}
	l := j.Limits
	d.Limits = drying.Limits{MinWall: l.MinWall, MaxWall: l.MaxWall, MinAir: l.MinAir, MaxAir: l.MaxAir,
		MinRH: share(l.MinRH), MaxRH: share(l.MaxRH), MinThickness: l.MinThickness, MaxThickness: l.MaxThickness}
	return d, assumed, nil
}

func inJob(j *job.Job, line int, err error) error {
	return fault.List{{File: j.File, Line: line, Message: err.Error()}}
}

// seriesOf turns readings into a weather series.
func seriesOf(source string, rs []readings.Reading, p psychro.Pascal) (weather.Series, error) {
	s := weather.Series{Source: source}
	for _, r := range rs {
		air, err := psychro.NewAir(psychro.Celsius(r.Temp), psychro.Fraction(r.RH/100), p)
		if err != nil {
			return s, err
		}
		s.Records = append(s.Records, weather.Record{Time: r.Time.UTC(),
			Temperature: weather.Value{V: r.Temp, Tag: weather.Measured},
			Vapour:      weather.Value{V: float64(air.VapourPressure()), Tag: weather.Measured}})
	}
	return s, nil
}

// readFile reads a CSV of readings, or standard input for "-".
func readFile(path string, stdin io.Reader, p psychro.Pascal) (weather.Series, error) {
	name, from := path, stdin
	if path == "-" {
		name = "standard input"
	} else {
		f, err := os.Open(path)
		if err != nil {
			var pe *os.PathError
			if errors.As(err, &pe) {
				err = pe.Err
			}
			return weather.Series{}, fault.List{{File: path, Message: "could not be opened: " + err.Error(), Expected: "a CSV of readings"}}
		}
		defer f.Close()
		from = f
	}
	rs, err := readings.Parse(name, from)
	if err != nil {
		return weather.Series{}, err
	}
	return seriesOf("readings in "+name, rs, p)
}

// parseMoment reads --at: with an offset, or by the clock of the job's zone, where a time that the clock
// skips is refused.
func parseMoment(text string, zone *time.Location) (time.Time, error) {
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, nil
	}
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04"} {
		t, err := time.ParseInLocation(layout, text, zone)
		if err != nil {
			continue
		}
		if t.Format(layout) != text {
			return t, usage("--at", "a time the clock shows", "--at: the clock in %s skips %s; it is put forward over it", zone, text)
		}
		return t, nil
	}
	return time.Time{}, usage("--at", "2026-04-14T06:30, with or without an offset",
		"--at: %q is not a moment; write it as 2026-04-14T06:30, or with an offset as 2026-04-14T06:30+01:00", text)
}
