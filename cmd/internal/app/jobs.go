package app

import (
	"errors"
	"fmt"
	"maps"
	"slices"
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
	room := j.Room
	if room == nil {
		if err := outdoorFaults(j); err != nil {
			return d, nil, err
		}
		room = &job.Room{}
	}
	assume := func(format string, args ...any) { assumed = append(assumed, fmt.Sprintf(format, args...)) }
	d.Place = weather.Place{Name: j.Place.Name}
	if j.Place.Latitude != nil && j.Place.Longitude != nil {
		d.Place.Lat, d.Place.Lon = *j.Place.Latitude, *j.Place.Longitude
	}
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
	case room.AirSpeed != nil:
		d.Room.AirSpeed = *room.AirSpeed
	case j.Room != nil:
		assume("air along the wall at %s", quantity.Format(quantity.Speed, d.Room.AirSpeed, u, 1))
	}
	if len(j.Walls) > 0 && j.Walls[0].Height != nil {
		d.Room.WallHeight = *j.Walls[0].Height
	}
	if n := len(j.Walls); n > 1 && j.Room != nil {
		assume("all %d walls as high as the first", n)
	}
	if slices.ContainsFunc(j.Walls, func(w job.Wall) bool { return w.Bearing != nil || w.Shelter != nil || w.Cover != "" }) && j.Room != nil {
		assume("bearing, shelter and cover of the walls not used, as the job has [room]")
	}
	if slices.ContainsFunc(j.Walls, func(w job.Wall) bool { return heated(w) && w.BehindTemp == nil }) {
		assume("the room behind the wall at %s", quantity.Format(quantity.Temperature, drying.DefaultBehind, u, 0))
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
	d.Room.Hands, d.Room.Heating, d.Room.Moisture = j.People, room.Heating, room.MoistureClass
	if room.Vent != nil {
		d.Room.Vent = *room.Vent
	}
	if h := room.Sun; h != nil {
		d.Room.Sun = drying.SunHours{From: clock(h.From), To: clock(h.To)}
		assume("the sun through the glass at a usual strength")
	}
	if room.Volume != nil {
		d.Room.Volume, d.Room.AirChanges = *room.Volume, drying.DefaultAirChanges
		if room.AirChanges != nil {
			d.Room.AirChanges = *room.AirChanges
		} else {
			assume("%g air changes an hour", drying.DefaultAirChanges)
		}
	}
	for _, w := range j.Walls {
		if w.Height == nil || w.Width == nil {
			d.Room.WetArea = 0
			break
		}
		d.Room.WetArea += wetArea(w)
	}
	own := map[string]material.Finish{}
	var faults fault.List
	for _, o := range j.Own {
		before := len(faults)
		for _, key := range slices.Sorted(maps.Keys(o.Values)) { // what a number cannot be by itself, each with its line
			_, err := material.Own(o.Name, o.Like, map[string]float64{key: o.Values[key]})
			var bad *material.FinishError
			if errors.As(err, &bad) && bad.Key == key {
				faults = append(faults, fault.Fault{File: j.File, Line: o.Lines[key], Message: err.Error()})
			}
		}
		f, err := material.Own(o.Name, o.Like, o.Values)
		if err != nil && len(faults) == before {
			faults = append(faults, fault.Fault{File: j.File, Line: o.Line, Message: err.Error()})
		}
		own[o.Name] = f
	}
	if len(faults) > 0 {
		slices.SortFunc(faults, func(a, b fault.Fault) int { return a.Line - b.Line })
		return d, nil, faults
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

// outdoorFaults refuses a job without a room that does not say what a wall outdoors must: where it is and which
// way it looks.
func outdoorFaults(j *job.Job) error {
	fault := func(line int, expected, message string) error {
		return fault.List{{File: j.File, Line: line, Message: message, Expected: expected}}
	}
	if j.Place.Latitude == nil || j.Place.Longitude == nil {
		return fault(0, "lat and lon in [place], or [room]", "there is no [room], so the walls are outdoors, and lat and lon in [place] do not say where: give them, or [room] if the wall is indoors")
	}
	if len(j.Walls) == 0 {
		return fault(0, "[[wall]] with bearing", "there is no [room], so the walls are outdoors, and no [[wall]] says which way it looks: give [[wall]] with bearing, or [room] if the wall is indoors")
	}
	for _, w := range j.Walls {
		if w.Bearing == nil {
			return fault(w.Line, "bearing, such as \"SW\" or 225", "a wall outdoors needs its bearing, the way it looks; give it as \"SW\" or in degrees clockwise from north")
		}
	}
	return nil
}

// heated reports whether a heated room is behind a wall.
func heated(w job.Wall) bool { return w.Behind == job.BehindRoom || w.Behind == job.BehindCavity }

// usualShelter is the share of the open wind taken to reach a wall among other houses, where the job gives none.
const usualShelter = 0.5

// outdoorWalls are the job's walls, each as a job of its own.
func outdoorWalls(j *job.Job, d drying.Job) (jobs []drying.Job, assumed []string) {
	for i, w := range j.Walls {
		o := drying.Outdoors{Name: w.Name, Bearing: *w.Bearing, Shelter: usualShelter, Cover: drying.CoverNamed(w.Cover)}
		if o.Name == "" {
			o.Name = fmt.Sprintf("wall %d", i+1)
			if len(j.Walls) == 1 {
				o.Name = "the wall"
			}
		}
		if heated(w) {
			o.Cavity = w.Behind == job.BehindCavity
			t := drying.DefaultBehind
			if w.BehindTemp != nil {
				t = *w.BehindTemp
			}
			o.Behind = &t
		}
		if w.Shelter != nil {
			o.Shelter = *w.Shelter
		} else if len(assumed) == 0 {
			assumed = append(assumed, fmt.Sprintf("%.0f %% of the open wind at the wall", 100*usualShelter))
		}
		e := d
		e.Outdoors = &o
		e.Room.WetArea = 0
		if w.Height != nil {
			e.Room.WallHeight = *w.Height
			if w.Width != nil {
				e.Room.WetArea = wetArea(w)
			}
		}
		jobs = append(jobs, e)
	}
	// A wall already laid is the one of its name.
	for i := range d.Laid {
		if at := slices.IndexFunc(jobs, func(e drying.Job) bool { return e.Outdoors.Name == d.Laid[i].Name }); at >= 0 {
			d.Laid[i].Outdoors = jobs[at].Outdoors
		}
	}
	return jobs, assumed
}

// wetArea is what is laid of a wall whose size is known, m2, without its openings.
func wetArea(w job.Wall) float64 {
	a := *w.Height * *w.Width
	for _, o := range w.Openings {
		a -= o.Width * o.Height
	}
	return a
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
