package drying

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/exposure"
	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// day is one day's work, to be tried from several starts. Times inside are seconds after the moment of asking.
type day struct {
	job      Job
	at       time.Time
	spots    []spot // the slowest and the fastest, or one
	pressure psychro.Pascal
	room     bool
	facts    exposure.Facts // outdoors: what the forcing rests on
	begin    float64        // when the bare walls are set up, s
	walls    []*coat.Wall   // bare, one for each spot, standing at the last start asked for
	doubts   []learn.Doubt  // of the air
	middle   *draw          // what is taken of everything not known; nil: as the model has it
	laid     []time.Time    // when coats were laid, as far as they were
}

// newDay sets the bare wall up: as measured, which is taken to hold until first, the first start that will be
// tried; or in the oldest reading looked at. A coarse day is for ensembles.
func newDay(job Job, ask Ask, readings weather.Series, first time.Time, coarse bool) (*day, error) {
	return newDayIn(job, ask, readings, between(readings, ask.At.Add(-lead), ask.At.Add(reach)), first, coarse)
}

// newDayIn is newDay in the weather of seen, a part of the readings.
func newDayIn(job Job, ask Ask, readings, seen weather.Series, first time.Time, coarse bool) (*day, error) {
	d := &day{job: job, at: ask.At, pressure: job.Pressure(), middle: middleOf(job)}
	d.doubts = d.doubtsOf(readings)
	air, err := d.forcing(seen)
	if err != nil {
		return nil, err
	}
	known, _ := readings.Before(ask.At)
	last := readings.Records[0] // of a year whose weather begins an hour into its first day
	if n := len(known.Records); n > 0 {
		last = known.Records[n-1]
	}
	spots := job.spots
	if spots == nil {
		var err error
		rh := last.Vapour.V / float64(psychro.SaturationWater(psychro.Celsius(last.Temperature.V)))
		if spots, err = job.Suction.Spots(job.Background, last.Temperature.V, rh); err != nil {
			return nil, err
		}
		d.job.spots = spots
	}
	setting := coat.Setting{
		Face: wall.FaceSpec{Height: job.Room.WallHeight, Emissivity: job.Coats[0].Finish.Emissivity.Value, Pressure: d.pressure},
		Air:  air, Coarse: coarse,
	}
	if job.Outdoors != nil {
		setting.Face.Convection = func(a wall.Air) float64 { return exposure.OutdoorConvection(a.Speed) }
		setting.Face.Absorptance = ShadeOf(job.Coats[len(job.Coats)-1].Tint).absorptance()
		setting.Face.WetAbsorptance = min(setting.Face.Absorptance+wetDarker, 1)
		if t := job.Outdoors.Behind; t != nil {
			setting.Rear = exposure.RoomBehind(*t, job.Outdoors.Cavity)
		}
	}
	// Readings taken while the wall is wet hold what it gives off already.
	if job.Outdoors == nil && !lastMeasured(readings).After(first) {
		setting.Room = job.Room.closed(last.Temperature.V)
		d.room = setting.Room != nil
	}
	if ask.WallTemp != nil {
		setting.WallTemp, d.begin = *ask.WallTemp, d.seconds(first)
		setting.Hold = job.Outdoors == nil // indoors a wall stays as much colder as it was found
	} else {
		d.begin = min(air[0].Time, 0)
		setting.WallTemp = air[0].Temperature
	}
	for _, b := range extremes(spots) {
		d.spots = append(d.spots, spot{b, setting})
	}
	if v := job.Room.Vent; v > job.Room.AirSpeed { // where a vent blows, the fastest spot dries faster still
		fast := d.spots[len(d.spots)-1]
		fast.setting.Air = slices.Clone(fast.setting.Air)
		for i := range fast.setting.Air {
			fast.setting.Air[i].Speed = max(fast.setting.Air[i].Speed, v)
		}
		d.spots = []spot{d.spots[0], fast}
	}
	for _, p := range d.spots {
		w, err := coat.Stand(p.background, p.setting, d.begin)
		if err != nil {
			return nil, err
		}
		d.walls = append(d.walls, w)
	}
	return d, nil
}

// wetDarker is how much more sun a wet face takes up than a dry one (ESTIMATE; 0.1 to 0.3).
const wetDarker = 0.2

// forcing is what meets the wall: the room's air, with the sun through its glass, or the weather.
func (d *day) forcing(s weather.Series) ([]wall.Air, error) {
	o := d.job.Outdoors
	if o == nil {
		return d.sunlit(exposure.Indoor(s, d.at, d.job.Room.AirSpeed)), nil
	}
	out := exposure.Outside{Place: d.job.Place, Bearing: o.Bearing, Shelter: o.Shelter, Cover: o.Cover}
	air, facts, err := out.Forcing(s, d.at)
	if err != nil {
		return nil, &WeatherError{Err: err}
	}
	d.facts = facts
	return air, nil
}

// WeatherError says that the weather cannot tell what happens to a wall outdoors.
type WeatherError struct{ Err error }

func (e *WeatherError) Error() string {
	return "the weather does not serve for a wall outdoors: " + e.Err.Error()
}

// Unwrap gives the cause.
func (e *WeatherError) Unwrap() error { return e.Err }

// spot is a part of the wall that differs from the rest in its suction or its air.
type spot struct {
	background material.Background
	setting    coat.Setting
}

// sunlit adds the sun through glass to the air: absorbed evenly over its hours, on every day the air covers.
func (d *day) sunlit(air []wall.Air) []wall.Air {
	sun := d.job.Room.Sun
	if sun.To <= sun.From {
		return air
	}
	absorbed := sunThroughGlass * ShadeOf(d.job.Coats[0].Tint).absorptance()
	times := map[float64]float64{} // time to sun
	for _, a := range air {
		times[a.Time] = 0
	}
	at := d.at.In(d.job.Zone)
	var spans [][2]float64
	for day := -int(lead / (24 * time.Hour)); day <= int(reach/(24*time.Hour)); day++ {
		from, to := Hours{From: sun.From, To: sun.To}.On(at.AddDate(0, 0, day))
		a, b := d.seconds(from), d.seconds(to)
		spans = append(spans, [2]float64{a, b})
		times[a-1], times[a], times[b], times[b+1] = 0, 0, 0, 0
	}
	face := wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, air)
	var lit []wall.Air
	for _, t := range slices.Sorted(maps.Keys(times)) {
		a := face.At(t)
		for _, s := range spans {
			if t >= s[0] && t <= s[1] {
				a.Sun = absorbed
			}
		}
		lit = append(lit, a)
	}
	return lit
}

// seconds is t in the day's own time.
func (d *day) seconds(t time.Time) float64 { return t.Sub(d.at).Seconds() }

// moment is the time s seconds after the moment of asking, on the job's clock.
func (d *day) moment(s float64) time.Time {
	return d.at.Add(time.Duration(s * float64(time.Second))).In(d.job.Zone)
}

// bare gives the bare walls as they are at start, damped if the job says so. Starts must be asked for in order.
func (d *day) bare(start time.Time) ([]*coat.Wall, error) {
	s := d.seconds(start)
	out := make([]*coat.Wall, len(d.walls))
	for i, w := range d.walls {
		if d.job.Damped { // the evening before: a wall of its own for every start
			damp, err := coat.Stand(d.spots[i].background, d.spots[i].setting, s-coat.DampingTime)
			if err != nil {
				return nil, err
			}
			if _, err := damp.DampDown(); err != nil {
				return nil, fmt.Errorf("damping: %w", err)
			}
			out[i] = damp
		} else {
			if wait := s - w.Time(); wait > 0 {
				if _, err := w.Wait(wait); err != nil {
					return nil, err
				}
			}
			out[i] = w.Clone()
		}
	}
	return d.under(out, d.middle), nil
}

// under is the walls under a draw.
func (d *day) under(walls []*coat.Wall, x *draw) []*coat.Wall {
	if x == nil {
		return walls
	}
	out := make([]*coat.Wall, len(walls))
	for i, w := range walls {
		l := x.lay(d.job, 0)
		out[i] = w.With(l.Factors(d.job.Coats[0].Finish, x.of(d.job, 0)), l.Air(d.spots[i].setting.Air, d.doubts))
	}
	return out
}

// run is one start: when, and the bare walls then.
type run struct {
	start   time.Time
	walls   []*coat.Wall
	samples []coat.Sample // of the first wall while its coats are laid
}

// follow is how long a coat is followed, s.
const follow = 48 * 3600.0

// coatRun is one coat of a day: when it is laid and when the next can follow, s by the day's clock, and its times.
type coatRun struct {
	lay, next float64
	times     coat.Times
}

// lay runs the job's coats from a start, each as soon as the one before allows, or when it was laid; coats that fall
// after the working hours are left out. The walls are those of the draw, nil for the middle of all. They are laid on.
func (d *day) lay(start time.Time, walls []*coat.Wall, x *draw, to time.Time) ([]coatRun, error) {
	var out []coatRun
	lay := d.seconds(start)
	for i, c := range d.job.Coats {
		if !d.moment(lay).Before(to) && i >= len(d.laid) {
			break
		}
		last := i == len(d.job.Coats)-1
		grain := time.Duration(c.Finish.Grain) * time.Second // as coarsely as the time is known
		keep := !last && (c.Green || i+1 < len(d.laid))      // the wall itself stays, to be laid on before it is dry
		p, err := d.coat(i, lay, walls, x, keep)
		if err != nil {
			return nil, err
		}
		if c.Green {
			p.next, grain = lay+p.times.Opens, 5*time.Minute // a green base does not wait
		}
		out = append(out, p)
		if next := p.times.Dry; !c.Green && !reached(next) || c.Green && !reached(p.times.Opens) || last {
			break
		}
		lay = d.seconds(RoundUp(d.moment(p.next), grain))
		if i+1 < len(d.laid) {
			lay = d.seconds(d.laid[i+1])
		}
	}
	return out, nil
}

// coat lays coat i on the walls and dries it until the next one can follow, by the slowest wall. Walls that are kept stay
// as they are when it has just been laid.
func (d *day) coat(i int, lay float64, walls []*coat.Wall, x *draw, keep bool) (coatRun, error) {
	c := d.job.Coats[i]
	p := coatRun{lay: lay}
	for k, w := range walls {
		if wait := lay - w.Time(); wait > 0 {
			if _, err := w.Wait(wait); err != nil {
				return p, fmt.Errorf("coat %d: %w", i, err)
			}
		}
		if x != nil {
			w.Hand(x.lay(d.job, i).Factors(c.Finish, x.of(d.job, i)))
		}
		if err := w.Lay(coat.Coat{Finish: c.Finish, Thickness: c.Thickness}); err != nil {
			return p, err
		}
		ahead := w
		if keep {
			ahead = w.Clone()
		}
		t, err := ahead.Dry(follow)
		if err != nil {
			return p, fmt.Errorf("coat %d: %w", i+1, err)
		}
		if k == 0 {
			p.times = t
		} else {
			p.times = together(p.times, t)
		}
		p.next = max(p.next, ahead.Time()) // when the slowest wall is dry
	}
	if x != nil {
		p.times = p.times.Slowed(x.lay(d.job, i).Slow())
		p.next = lay + p.times.Dry // a coat's own clock is not the wall's
	}
	return p, nil
}

// plan is the timetable of courses.
func (d *day) plan(courses []coatRun) []CoatPlan {
	var plans []CoatPlan
	for i, x := range courses {
		c := d.job.Coats[i]
		p := CoatPlan{Number: i + 1, Coat: c, Last: i == len(d.job.Coats)-1, Lay: d.moment(x.lay), Times: x.times}
		p.mark(c)
		plans = append(plans, p)
	}
	return plans
}

// mark turns seconds after laying into moments.
func (p *CoatPlan) mark(c Coat) {
	next := p.Times.Dry
	if c.Green {
		next = p.Times.Opens
	}
	for _, e := range []struct {
		s  float64
		at *time.Time
	}{{p.Times.Edge, &p.Edge}, {p.Times.Opens, &p.Opens}, {p.Times.Burnish, &p.Burnish}, {p.Times.Closes, &p.Closes}, {next, &p.Recoat}} {
		if reached(e.s) {
			*e.at = p.Lay.Add(time.Duration(e.s * float64(time.Second)))
		}
	}
}
