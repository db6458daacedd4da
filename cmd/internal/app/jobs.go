package app

import (
	"errors"
	"fmt"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// Hours where a job gives none.
var usualHours = drying.Hours{From: 8 * time.Hour, To: 17 * time.Hour}

func knownNames() job.Names {
	return job.Names{Finishes: material.Finishes(), Backgrounds: material.Backgrounds(), FinishNumbers: material.OwnKeys(), ReadAs: readAsKeys}
}

// givenAtFlags is what the flags say in place of the job.
type givenAtFlags struct {
	home         *time.Location // where the job has no zone
	airSpeed     *float64       // m/s
	pressure     psychro.Pascal // zero: from the job's altitude
	pressureFrom string         // a clause, with pressure
}

// toDrying turns a job file into the job that is computed; assumed tells, in clauses, what was taken for
// granted and what in the file is not used.
func toDrying(j *job.Job, given givenAtFlags, u quantity.Units) (d drying.Job, assumed []string, err error) {
	if j.Room == nil {
		return d, nil, &Error{Exit: ExitNotValid, Where: j.File, Expected: "[room]",
			Message: j.File + " has no [room], and walls outdoors, in sun, wind and rain, are not judged; add [room] if the wall is indoors"}
	}
	assume := func(format string, args ...any) { assumed = append(assumed, fmt.Sprintf(format, args...)) }
	d.Place = weather.Place{Name: j.Place.Name}
	d.Room = drying.Room{AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight, Pressure: given.pressure}
	if j.Place.Altitude != nil {
		d.Place.Altitude = *j.Place.Altitude
	}
	pressure := quantity.Format(quantity.Pressure, float64(d.Pressure()), u, pressureDigits(u))
	switch {
	case given.pressure > 0 && given.pressureFrom == pressureGiven:
	case given.pressure > 0:
		assume("pressure %s, %s", pressure, given.pressureFrom)
	case j.Place.Altitude != nil:
		assume("pressure %s, estimated from %s", pressure, quantity.Format(quantity.Altitude, d.Place.Altitude, u, 0))
	default:
		assume("pressure %s, at sea level", pressure)
	}
	switch {
	case given.airSpeed != nil:
		d.Room.AirSpeed = *given.airSpeed
	case j.Room.AirSpeed != nil:
		d.Room.AirSpeed = *j.Room.AirSpeed
	default:
		assume("air along the wall at %s", quantity.Format(quantity.Speed, d.Room.AirSpeed, u, 1))
	}
	if len(j.Walls) > 0 && j.Walls[0].Height != nil {
		d.Room.WallHeight = *j.Walls[0].Height
	}
	if n := len(j.Walls); n > 1 {
		assume("all %d walls as high as the first", n)
	}
	if d.Zone = j.Place.Zone; d.Zone == nil {
		d.Zone = given.home
		assume("this computer's time zone")
	}
	d.Hours = usualHours
	if j.Hours != nil {
		d.Hours = drying.Hours{From: clock(j.Hours.From), To: clock(j.Hours.To)}
	} else {
		assume("hours 08:00 to 17:00")
	}
	if j.Suction != nil {
		for _, t := range j.Suction.DropTest {
			d.Suction.Drops = append(d.Suction.Drops, t.Seconds())
		}
		if t := j.Suction.Tube; t != nil {
			d.Suction.Tubes = append(d.Suction.Tubes, drying.Tube{Millilitres: t.Millilitres, Seconds: t.After.Seconds()})
		}
	}
	d.Room.Hands, d.Room.Heating, d.Room.Moisture = j.People, j.Room.Heating, j.Room.MoistureClass
	if j.Room.Vent != nil {
		d.Room.Vent = *j.Room.Vent
	}
	if h := j.Room.Sun; h != nil {
		d.Room.Sun = drying.SunHours{From: clock(h.From), To: clock(h.To)}
		assume("the sun through the glass at a usual strength")
	}
	if j.Room.Volume != nil {
		d.Room.Volume, d.Room.AirChanges = *j.Room.Volume, drying.DefaultAirChanges
		if j.Room.AirChanges != nil {
			d.Room.AirChanges = *j.Room.AirChanges
		} else {
			assume("%g air changes an hour", drying.DefaultAirChanges)
		}
	}
	for _, w := range j.Walls {
		if w.Height == nil || w.Width == nil {
			d.Room.WetArea = 0
			break
		}
		d.Room.WetArea += *w.Height * *w.Width
	}
	own := map[string]material.Finish{}
	for _, o := range j.Own {
		f, err := material.Own(o.Name, o.Like, o.Values)
		var bad *material.FinishError
		if errors.As(err, &bad) && o.Lines[bad.Key] > 0 {
			return d, nil, inJob(j, o.Lines[bad.Key], err)
		} else if err != nil {
			return d, nil, inJob(j, o.Line, err)
		}
		own[o.Name] = f
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
		if l.Damped && !b.Masonry {
			return d, nil, inJob(j, l.Line, errNotMasonry(b.Name))
		}
		d.Damped = l.Damped // of the face-most layer
	}
	for _, c := range j.Coats {
		f, ok := own[c.Finish]
		if !ok {
			var err error
			if f, err = material.FinishNamed(c.Finish); err != nil {
				return d, nil, inJob(j, c.Line, err)
			}
		}
		k := drying.Coat{Finish: f, Tint: c.Tint, Green: c.Green}
		if c.Spread != nil {
			k.Thickness = f.Thickness(*c.Spread)
		} else {
			k.Thickness = *c.Thickness
		}
		if err := notACoat(f, k.Thickness, j.Units); err != nil {
			return d, nil, inJob(j, c.Line, err)
		}
		d.Coats = append(d.Coats, k)
	}
	for _, l := range j.Laid {
		f, ok := own[l.Finish]
		if !ok {
			var err error
			if f, err = material.FinishNamed(l.Finish); err != nil {
				return d, nil, inJob(j, l.Line, err)
			}
		}
		w := drying.Laid{Name: orWord(l.Name, l.Finish), Finish: f, On: l.On}
		if l.Thickness != nil {
			w.Thickness = *l.Thickness
		}
		d.Laid = append(d.Laid, w)
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

// thinnest is the wet thickness in m under which nothing is a coat: that of a grain or two.
const thinnest = 0.01e-3

// notACoat refuses a thickness in m that no hand lays: a slip in the unit or the finish. What is too thick
// to be safe is answered, and said to be.
func notACoat(f material.Finish, thickness float64, u quantity.Units) error {
	thickest := min(20*f.Thickest.Value, quantity.CoatThicknesses.Max)
	if thickness >= thinnest && thickness <= thickest {
		return nil
	}
	show := func(m float64) string { return quantity.Format(quantity.Thickness, m, u, 2) }
	said := show(thickness)
	if thickness < thinnest {
		said = "less than " + show(thinnest)
	}
	return &quantity.Error{Text: said, Expected: show(thinnest) + " to " + show(thickest),
		Reason: fmt.Sprintf("%s of %s is no coat; give %s to %s, or did you mean another unit or finish?", said, f.Name, show(thinnest), show(thickest))}
}

// errNotMasonry refuses to damp what is not masonry.
func errNotMasonry(background string) error {
	return fmt.Errorf("%s is not damped down: water spoils board and stands on a sealed face; only masonry is", background)
}

func clock(c job.Clock) time.Duration {
	return time.Duration(c.Hour)*time.Hour + time.Duration(c.Minute)*time.Minute
}

func inJob(j *job.Job, line int, err error) error {
	return fault.List{{File: j.File, Line: line, Message: err.Error()}}
}
