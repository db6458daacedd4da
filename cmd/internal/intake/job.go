package intake

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/job"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
	"limeday/weather"
)

// Example is one of the built-in jobs.
type Example string

// The examples; empty for a job of the user's.
const (
	Hall  Example = "hall"
	Gable Example = "gable" // outdoors
	Stair Example = "stair" // a wall and its crew
)

// Names are those that a job's file can name.
func Names() job.Names {
	return job.Names{Finishes: material.Finishes(), Backgrounds: material.Backgrounds(), FinishNumbers: material.OwnKeys(), ReadAs: readAsKeys}
}

// Load reads a job's file, - for stdin, or an example.
func Load(path string, e Example, stdin io.Reader) (*job.Job, error) {
	switch e {
	case Hall:
		return job.Parse(job.ExampleName, job.ExampleJob(), Names())
	case Gable:
		return job.Parse(job.ExampleName, job.GableJob(), Names())
	case Stair:
		return job.Parse(job.ExampleName, job.StairJob(), Names())
	}
	return job.Load(path, stdin, Names())
}

// Given is what is said in place of the job's file.
type Given struct {
	AirSpeed *float64 // m/s
	Pressure *float64 // of the air at the job, Pa
	Altitude *float64 // m, to estimate the pressure; not with Pressure
	Timing   string   // a timing's file; empty: the job's
	Untimed  bool     // no timing is read
	People   int      // so many hands, all alike; 0: the job's
}

// Site is a job as it is worked out.
type Site struct {
	File    *job.Job // as it is asked about
	Job     drying.Job
	Walls   []drying.Job   // outdoors one for each wall, indoors Job alone
	Assumed []message.Text // clauses: what was taken for granted, and what of the file is not used
}

// Site reads a job. Where there is an error what is known so far stands; File is nil where the file itself is wrong.
func (in *Intake) Site(j *job.Job, given Given) (s Site, err error) {
	if given.People > 0 {
		k := *j
		k.People, k.Crew.People, k.Crew.Hands = given.People, given.People, nil
		j = &k
	}
	b := builder{file: j, given: given, home: in.Now().Location()}
	if s.Job, err = b.build(); err != nil {
		return s, err
	}
	s.File, s.Assumed = j, b.assumed
	if path := orWord(given.Timing, j.TimingFile); path != "" && !given.Untimed {
		var unused message.Text
		if s.Job.Timing, unused, err = Timing(path, s.Job.Coats); err != nil {
			return s, err
		} else if unused != nil {
			s.Assumed = append(s.Assumed, unused)
		}
	}
	var more []message.Text
	s.Walls, more = Walls(j, s.Job)
	s.Assumed = append(s.Assumed, more...)
	return s, nil
}

func orWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// builder turns a job's file into the job that is worked out.
type builder struct {
	file    *job.Job
	given   Given
	home    *time.Location // where the file gives no zone
	job     drying.Job
	assumed []message.Text
}

func (b *builder) assume(form string, args ...any) {
	b.assumed = append(b.assumed, message.Say(form, args...))
}

func (b *builder) build() (drying.Job, error) {
	if b.file.Room == nil {
		if err := outdoorFaults(b.file); err != nil {
			return b.job, err
		}
	}
	b.place()
	b.pressure()
	b.air()
	if err := b.walls(); err != nil {
		return b.job, err
	}
	b.times()
	b.suction()
	b.room()
	own, err := ownFinishes(b.file)
	if err != nil {
		return b.job, err
	}
	for _, step := range []func(finishes) error{b.layers, b.coats, b.laid} {
		if err := step(own); err != nil {
			return b.job, err
		}
	}
	b.limits()
	return b.job, nil
}

func (b *builder) place() {
	p := b.file.Place
	b.job.Place = weather.Place{Name: p.Name}
	if p.Latitude != nil && p.Longitude != nil {
		b.job.Place.Lat, b.job.Place.Lon = *p.Latitude, *p.Longitude
	}
	if p.Altitude != nil {
		b.job.Place.Altitude = *p.Altitude
	}
}

func (b *builder) pressure() {
	high := func(m float64) message.Quantity { return message.Quantity{Kind: message.Altitude, Value: m} }
	switch g := b.given; {
	case g.Pressure != nil:
		b.job.Room.Pressure = psychro.Pascal(*g.Pressure)
		return
	case g.Altitude != nil:
		b.job.Room.Pressure = psychro.StandardPressure(psychro.Metre(*g.Altitude))
	}
	p := message.Quantity{Kind: message.Pressure, Value: float64(b.job.Pressure())}
	switch {
	case b.given.Altitude != nil:
		b.assume("pressure {}, estimated: the standard atmosphere at {}", p, high(*b.given.Altitude))
	case b.file.Place.Altitude != nil:
		b.assume("pressure {}, estimated from {}", p, high(b.job.Place.Altitude))
	default:
		b.assume("pressure {}, at sea level", p)
	}
}

func (b *builder) air() {
	b.job.Room.AirSpeed = drying.DefaultAirSpeed
	switch room := b.file.Room; {
	case b.given.AirSpeed != nil:
		b.job.Room.AirSpeed = *b.given.AirSpeed
	case room != nil && room.AirSpeed != nil:
		b.job.Room.AirSpeed = *room.AirSpeed
	case room != nil:
		b.assume("air along the wall at {}", message.MetresASecond(b.job.Room.AirSpeed))
	}
}

// walls are those of a room together, and what of them is not used.
func (b *builder) walls() error {
	all, indoors := b.file.Walls, b.file.Room != nil
	if indoors {
		if err := b.behind(); err != nil {
			return err
		}
	}
	b.job.Room.WallHeight = drying.DefaultWallHeight
	if len(all) > 0 && all[0].Height != nil {
		b.job.Room.WallHeight = *all[0].Height
	}
	for _, w := range all {
		if w.Height == nil || w.Width == nil {
			b.job.Room.WetArea = 0
			break
		}
		b.job.Room.WetArea += wetArea(w)
	}
	if n := len(all); n > 1 && indoors {
		b.assume("all {} walls as high as the first", message.Number(n))
	}
	if indoors && slices.ContainsFunc(all, func(w job.Wall) bool { return w.Bearing != nil || w.Shelter != nil || w.Cover != "" }) {
		b.assume("bearing, shelter and cover of the walls not used, as the job has [room]")
	}
	if !indoors && slices.ContainsFunc(all, func(w job.Wall) bool { return heated(w) && w.BehindTemp == nil }) {
		b.assume("the room behind the wall at {}", message.Celsius(drying.DefaultBehind))
	}
	return nil
}

// behind is what is behind a room's walls, which are worked out as one.
func (b *builder) behind() error {
	var one *job.Wall
	for i := range b.file.Walls {
		w := &b.file.Walls[i]
		same := one == nil || w.Behind == one.Behind && (w.BehindTemp == nil) == (one.BehindTemp == nil) && (w.BehindTemp == nil || *w.BehindTemp == *one.BehindTemp)
		switch {
		case w.Behind == "":
		case !same:
			return inJob(b.file, w.Line, errors.New("the walls of a room are worked out as one, and what is behind them differs; give each kind of wall a job of its own"))
		default:
			one = w
		}
	}
	if one != nil {
		b.job.Behind = drying.BehindNamed(one.Behind, one.BehindTemp)
	}
	return nil
}

func (b *builder) times() {
	if b.job.Zone = b.file.Place.Zone; b.job.Zone == nil {
		b.job.Zone = b.home
		b.assume("this computer's time zone")
	}
	if h := b.file.Hours; h != nil {
		b.job.Hours = drying.Hours{From: Clock(h.From), To: Clock(h.To), Free: b.file.Free}
		for _, off := range b.file.Off {
			y, m, d := off.Date()
			b.job.Hours.Off = append(b.job.Hours.Off, time.Date(y, m, d, 12, 0, 0, 0, b.job.Zone)) // noon is in every day of every clock
		}
		return
	}
	b.job.Hours = drying.UsualHours()
	b.assume("hours {} to {}", clockText(b.job.Hours.From), clockText(b.job.Hours.To))
}

// Clock is a time of day since midnight.
func Clock(c job.Clock) time.Duration {
	return time.Duration(c.Hour)*time.Hour + time.Duration(c.Minute)*time.Minute
}

func clockText(d time.Duration) string {
	return fmt.Sprintf("%02d:%02d", int(d.Hours()), int(d.Minutes())%60)
}

func (b *builder) suction() {
	s := b.file.Suction
	if s == nil {
		return
	}
	for _, t := range s.DropTest {
		b.job.Suction.Drops = append(b.job.Suction.Drops, t.Seconds())
	}
	if t := s.Tube; t != nil {
		b.job.Suction.Tubes = append(b.job.Suction.Tubes, drying.Tube{Millilitres: t.Millilitres, Seconds: t.After.Seconds()})
	}
}

func (b *builder) room() {
	r := &b.job.Room
	r.Hands = b.file.People
	room := b.file.Room
	if room == nil {
		return
	}
	r.Heating, r.Unheated, r.Moisture = room.Heating, room.HeatingOff, room.MoistureClass
	if room.Vent != nil {
		r.Vent = *room.Vent
	}
	if h := room.Sun; h != nil {
		r.Sun = drying.SunHours{From: Clock(h.From), To: Clock(h.To)}
		b.assume("the sun through the glass at a usual strength")
	}
	if room.Volume == nil {
		return
	}
	r.Volume, r.AirChanges = *room.Volume, drying.DefaultAirChanges
	if room.AirChanges != nil {
		r.AirChanges = *room.AirChanges
	} else {
		b.assume("{} air changes an hour", fmt.Sprint(drying.DefaultAirChanges))
	}
}

func (b *builder) limits() {
	share := func(pct *float64) *float64 {
		if pct == nil {
			return nil
		}
		f := *pct / 100
		return &f
	}
	l := b.file.Limits
	b.job.Limits = drying.Limits{MinWall: l.MinWall, MaxWall: l.MaxWall, MinAir: l.MinAir, MaxAir: l.MaxAir,
		MinRH: share(l.MinRH), MaxRH: share(l.MaxRH), MinThickness: l.MinThickness, MaxThickness: l.MaxThickness}
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
