package drying

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/exposure"
	"limeday/drying/learn"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// day is a job's wall from its beginning on, to be laid on from several starts. Times inside are seconds after the moment of asking.
type day struct {
	job      Job
	at       time.Time
	work     float64 // when the work asked about can begin, s: 0, or the hours of a later day
	pressure psychro.Pascal
	room     bool           // the moisture and heat that the wet wall gives its room are counted
	facts    exposure.Facts // outdoors: what the forcing rests on
	begin    float64        // when the bare wall is set up, s
	spots    []course.Spot  // the slowest and the fastest, or one
	bare     *course.Course // standing at the last start asked for
	behind   back
	second   bool          // what is behind it was settled by a second reading of its face
	found    float64       // how much warmer the face was found than the air, K, where what is behind it is not said: it is judged as if it stayed so
	doubts   []learn.Doubt // of the air
	middle   *draw         // what is taken of everything not known; nil: as the model has it
	told     []time.Time   // when coats were laid, as far as they were, and laid in s
	laid     []float64
	dry      []float64      // when coats were seen to be dry, s; NaN where they were not
	rained   [][]float64    // when they were rained on, s
	looks    [][]learn.Seen // what else was seen of them, in the order of the states
	coarse   bool
	before   Room              // of the job as it was up to now
	also     float64           // a start tried besides, s
	quick    bool              // until when a bare wall can be begun is not wanted
	stands   map[float64]stand // the bare wall at the starts tried, to be branched
}

// newDay sets the bare wall up in the air before the first thing known of it. A coarse day is for ensembles.
func newDay(job Job, ask Ask, readings weather.Series, coarse bool) (*day, error) {
	first := job.begins(ask)
	for _, s := range ask.Seen {
		if s.At.Before(first) {
			first = s.At
		}
	}
	first = midnight(first.In(job.Zone), 0) // whenever of the day, or of the evening before, it is asked
	return newDayIn(job, ask, readings, between(readings, first.Add(-lead), job.begins(ask).Add(reach)), coarse, coarse)
}

// newDayIn is newDay in the weather of seen, a part of the readings, thinned or as it is.
func newDayIn(job Job, ask Ask, readings, seen weather.Series, coarse, thin bool) (*day, error) {
	d := &day{job: job, at: ask.At, pressure: job.Pressure(), coarse: coarse}
	d.job.unsure = job.unsure && job.Behind.Kind != exposure.NotSaid // one of the kinds of an ensemble
	d.work = d.seconds(job.begins(ask))
	d.seen(ask.Seen)
	d.doubts = d.doubtsOf(readings)
	known, _ := readings.Before(ask.At)
	last := readings.Records[0] // of a year whose weather begins an hour into its first day
	if n := len(known.Records); n > 0 {
		last = known.Records[n-1]
	}
	begins := job.begins(ask)
	if from, _ := job.Hours.On(ask.At.In(job.Zone)); len(d.laid) == 0 && from.After(begins) {
		begins = from
	}
	lays := d.lays()
	if len(d.laid) == 0 { // whenever it is asked before work begins
		lays = d.seconds(begins)
	}
	base := &job // as it was up to now
	if ask.was != nil {
		base = ask.was
	}
	d.before = base.Room
	if job.Outdoors == nil && !lastMeasured(readings).After(begins) { // of a replay, what is read while the wall is wet holds what that gives off
		d.room = job.Room.closed(last.Temperature.V) != nil
	}
	looks, assumed := d.faces(ask), false
	if d.room && len(d.laid) > 0 {
		var inside []course.Look
		seen, inside, assumed = d.inside(seen)
		looks = append(looks, inside...)
		slices.SortStableFunc(looks, func(a, b course.Look) int { return cmp.Compare(a.At, b.At) })
	}
	air, err := d.forcing(ask.aired(seen))
	if err == nil && ask.was != nil {
		var before []wall.Air
		b := *d
		b.job = *ask.was
		if before, err = b.forcing(seen); err == nil {
			air = turned(before, air)
		}
	}
	if err != nil {
		return nil, err
	}
	switch changes := job.Room.AirChanges; {
	case !d.room:
	case ask.was == nil:
		d.room = ask.dry == nil // what the wall gives off is taken up by the dryer
	case ask.dry != nil || changes > base.Room.AirChanges:
		if ask.dry != nil {
			changes = takenUp
		}
		looks = append(looks, course.Look{Aired: changes})
		slices.SortStableFunc(looks, func(a, b course.Look) int { return cmp.Compare(a.At, b.At) })
	}
	if thin {
		air = thinned(air)
	}
	spots := job.spots
	if spots == nil {
		// The suction is measured before the first coat: no later reading changes it.
		then := wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, air).At(lays)
		rh := then.Vapour / float64(psychro.SaturationWater(psychro.Celsius(then.Temperature)))
		if spots, err = job.Suction.Spots(job.Background, then.Temperature, rh); err != nil {
			return nil, err
		}
		d.job.spots = spots
	}
	d.begin = min(air[0].Time, d.first())
	wet := 0.0
	switch base := d.seconds(job.BaseLaid.Add(laidBy)); {
	case !job.BaseLaid.IsZero() && d.work-base < longAgo.Seconds(): // it has dried since
		d.begin, wet = min(d.first(), base), coat.WetShare
	case job.Wet == BedDamp:
		d.begin, wet = d.lays()-job.dampedBefore(), coat.DampShare
	case job.Wet == BedWet:
		d.begin, wet = d.lays()-job.dampedBefore(), coat.WetShare
	}
	setting := coat.Setting{
		Face: wall.FaceSpec{Height: job.Room.WallHeight, Emissivity: job.Coats[0].Finish.Emissivity.Value, Pressure: d.pressure},
		Air:  air, Coarse: coarse, WallTemp: wall.NewFace(wall.FaceSpec{Height: 1, Pressure: 1}, air).At(d.begin).Temperature, Wet: wet,
	}
	if d.room {
		setting.Room = base.Room.closed(wall.NewFace(setting.Face, air).At(lays).Temperature)
	}
	if job.Outdoors != nil {
		setting.Face.Convection = func(a wall.Air) float64 { return exposure.OutdoorConvection(a.Speed) }
		setting.Face.Absorptance = ShadeOf(job.Coats[len(job.Coats)-1].Tint).absorptance()
		setting.Face.WetAbsorptance = min(setting.Face.Absorptance+wetDarker, 1)
		if t := job.Outdoors.Behind; t != nil {
			setting.Rear = exposure.RoomBehind(*t, job.Outdoors.Cavity)
		}
	}
	looks = slices.DeleteFunc(looks, func(l course.Look) bool { return l.At < d.begin }) // of another wall than this has become
	faces := slices.DeleteFunc(slices.Clone(looks), func(l course.Look) bool { return l.Face == nil })
	if job.Outdoors == nil {
		var found *float64
		there := 0.0
		if len(faces) > 0 {
			found, there = faces[0].Face, wall.NewFace(setting.Face, air).At(faces[0].At).Temperature
		}
		said := job.Behind
		switch {
		case said.Kind != exposure.NotSaid || found == nil:
		case len(faces) > 1 && faces[1].At <= d.lays():
			d.second = true
			if said, err = d.settled(setting, faces, there); err != nil {
				return nil, err
			}
		default:
			d.job.unsure = math.Abs(*found-there) > sameFace
			if day := faces[0].At; d.moment(day).Format(time.DateOnly) == d.moment(d.work).Format(time.DateOnly) {
				d.found = *found - there // of another day it tells the times alone
			}
		}
		d.behind = newBack(said, job.Background, there, found)
	}
	d.middle = middleOf(d.job)
	for _, b := range extremes(spots) {
		d.spots = append(d.spots, d.behind.spot(b, setting))
	}
	if v := base.Room.Vent; v > base.Room.AirSpeed { // where a vent blows, the fastest spot dries faster still
		fast := d.spots[len(d.spots)-1]
		fast.Setting.Air = slices.Clone(fast.Setting.Air)
		for i := range fast.Setting.Air {
			if fast.Setting.Air[i].Time > 0 {
				v = job.Room.Vent
			}
			fast.Setting.Air[i].Speed = max(fast.Setting.Air[i].Speed, v)
		}
		d.spots = []course.Spot{d.spots[0], fast}
	}
	for i := range looks {
		if looks[i].Face != nil {
			looks[i].Fade = d.fade()
		}
	}
	if assumed {
		if err := d.assume(looks); err != nil {
			return nil, err
		}
	}
	if d.bare, err = course.Begin(d.spots, d.begin); err != nil {
		return nil, err
	}
	d.bare.Seen(looks)
	return d, nil
}

// takenUp are the air changes, 1/h, at which a room keeps nothing of what its wall gives off.
const takenUp = 100.0

// longAgo is how long after it was laid a base coat is like any old face (judgement, no source).
const longAgo = 60 * 24 * time.Hour

// wetDarker is how much more sun a wet face takes up than a dry one (ESTIMATE; 0.1 to 0.3).
const wetDarker = 0.2

// seen takes what was seen of the coats.
func (d *day) seen(seen []Seen) {
	for _, s := range seen {
		switch {
		case s.What == SeenLaid:
			d.told = append(d.told, s.At)
			d.laid, d.dry, d.rained = append(d.laid, d.seconds(s.At)), append(d.dry, math.NaN()), append(d.rained, nil)
		case s.What == SeenDry && !s.Not && s.Coat <= len(d.dry):
			d.dry[s.Coat-1] = d.seconds(s.At)
		case s.What == SeenRained:
			d.rained[s.Coat-1] = append(d.rained[s.Coat-1], d.seconds(s.At))
		}
	}
	d.looks = d.looked(seen)
}

// lays is when the first coat was laid, or else can be, s.
func (d *day) lays() float64 {
	if len(d.laid) > 0 {
		return d.laid[0]
	}
	return d.work
}

// first is the first thing known that was done to the wall, s; now where nothing was.
func (d *day) first() float64 { return min(0, d.lays()-d.job.dampedBefore()) }

// faces are the temperatures that were measured on the wall, as looks.
func (d *day) faces(ask Ask) []course.Look {
	faces := ask.Faces
	if n := len(faces); n > mostLooks { // the first two tell what is behind the wall, the last how it is
		faces = append(slices.Clone(faces[:2]), faces[n-mostLooks+2:]...)
	}
	var looks []course.Look
	for _, f := range faces {
		looks = append(looks, course.Look{At: d.seconds(f.At), Face: &f.Temp})
	}
	return looks
}

// fade is how a difference of the face goes on into the wall: outdoors, as in masonry that goes on.
func (d *day) fade() func(float64) float64 {
	if d.job.Outdoors != nil {
		return exposure.Behind{Kind: exposure.Usual(d.job.Background)}.Fade(d.job.Background)
	}
	return d.behind.fade
}

// inside takes the readings of the room since the first coat, up to now, out of the air that comes into it: they are looks at what the
// wet wall has made of it. Where nothing was read before, the first of them stays for what comes in, less what the wall adds: that is assumed.
func (d *day) inside(s weather.Series) (kept weather.Series, looks []course.Look, assumed bool) {
	since, apart := d.moment(d.laid[0]), max(seldomLooked, -d.laid[0]/mostLooks)
	kept = filter(s, func(r weather.Record) bool {
		if r.Temperature.Tag != weather.Measured || !r.Time.After(since) || r.Time.After(d.at) {
			return true
		}
		t := d.seconds(r.Time)
		if n := len(looks); n == 0 || t-looks[n-1].At >= apart {
			looks = append(looks, course.Look{At: t, Room: &course.RoomAir{Temperature: r.Temperature.V, Vapour: r.Vapour.V}})
		}
		return false
	})
	if assumed = len(looks) > 0 && (len(kept.Records) == 0 || kept.Records[0].Time.After(since)); assumed {
		kept.Records = append([]weather.Record{s.Records[0]}, kept.Records...)
	}
	return kept, looks, assumed
}

// assumeRounds is how often at most the air that is assumed to come into a room is set right by what the wall adds to it.
const assumeRounds = 25

// assume shifts the air that comes in so that the room is as the first look at it found it.
func (d *day) assume(looks []course.Look) error {
	i := slices.IndexFunc(looks, func(l course.Look) bool { return l.Room != nil })
	at, got := looks[i].At, looks[i].Room
	for range assumeRounds {
		c, err := course.Begin(d.spots, d.begin)
		if err != nil {
			return err
		}
		for k, lay := range d.laid {
			if lay > at {
				break
			}
			if err := c.To(lay); err != nil {
				return err
			}
			if err := c.Lay(coat.Coat{Finish: d.job.Coats[k].Finish, Thickness: d.job.Coats[k].Thickness}); err != nil {
				return err
			}
		}
		if err := c.To(at); err != nil {
			return err
		}
		own := c.Air()
		if math.Abs(got.Temperature-own.Temperature) < 0.002 && math.Abs(got.Vapour-own.Vapour) < 1e-4*own.Vapour {
			return nil
		}
		for s := range d.spots {
			set := &d.spots[s].Setting
			set.Air = slices.Clone(set.Air)
			for k := range set.Air {
				a := &set.Air[k]
				a.Temperature, a.Radiant = a.Temperature+got.Temperature-own.Temperature, a.Radiant+got.Temperature-own.Temperature
				a.Vapour = max(a.Vapour+got.Vapour-own.Vapour, 1)
			}
			set.WallTemp += got.Temperature - own.Temperature
			set.Room = d.before.closed(wall.NewFace(set.Face, set.Air).At(d.lays()).Temperature)
		}
	}
	return nil
}

// seldomLooked is how far apart the looks at a room are at least that are taken of a logger's, s, and mostLooks how many are taken of a room or
// a face: every draw stops at each.
const (
	seldomLooked = 900.0
	mostLooks    = 40
)

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
	first := min(air[0].Time, d.lays(), 0)
	for day := int(math.Floor(first/86400)) - 1; day <= int(reach/(24*time.Hour)); day++ {
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
	return d.at.Add(time.Duration(math.Round(s * 1e9))).In(d.job.Zone)
}

// mark turns seconds after laying into moments.
func (p *CoatPlan) mark() {
	next := p.after(p.Times)
	for _, e := range []struct {
		s  float64
		at *time.Time
	}{{p.Times.Edge, &p.Edge}, {p.Times.Opens, &p.Opens}, {p.Times.Burnish, &p.Burnish}, {p.Times.Closes, &p.Closes}, {next, &p.Recoat}} {
		if reached(e.s) {
			*e.at = p.Lay.Add(time.Duration(e.s * float64(time.Second)))
		}
	}
}

// after is when the next coat can follow as far as water goes, s after laying.
func (p *CoatPlan) after(t coat.Times) float64 {
	if p.Coat.Green {
		return t.Opens
	}
	return t.Dry
}
