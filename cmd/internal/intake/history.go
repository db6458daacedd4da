package intake

import (
	"slices"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/drying"
	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/source"
)

// Remembered is how long before the moment of asking what stands in a diary counts.
const Remembered = 60 * 24 * time.Hour

// lately are the entries of a diary as they stand, of up to Remembered before at and not after it, in order of time.
func lately(entries []diary.Entry, at time.Time) []diary.Entry {
	kept := slices.DeleteFunc(diary.Amended(entries), func(e diary.Entry) bool { return e.At.After(at) || at.Sub(e.At) > Remembered })
	slices.SortStableFunc(kept, func(a, b diary.Entry) int { return a.At.Compare(b.At) })
	return kept
}

// Readings are those of the air in a diary, of up to [Remembered] before at and not after it, in order of time.
func Readings(entries []diary.Entry, at time.Time) []Reading {
	var out []Reading
	for _, e := range lately(entries, at) {
		temp, warm := e.Number("temp")
		rh, damp := e.Number("rh")
		if e.Kind != diary.Reading || !warm || !damp {
			continue
		}
		r := Reading{At: e.At, Temp: temp, RH: rh}
		if wall, ok := e.Number("wall_temp"); ok {
			r.Wall = &wall
		}
		out = append(out, r)
	}
	return out
}

// remember takes what the diary and the question say of the days up to now.
func (d *Day) remember(r Request) (err error) {
	at := d.Ask.At
	d.Seen, d.Late = SeenIn(r.Diary, at, d.Job.Zone)
	if r.Since != "" {
		d.Late = nil
		if d.Seen, err = Since(r.Since, at, d.Job.Zone); err != nil {
			return err
		}
	}
	for _, e := range lately(r.Diary, at) {
		if t, ok := e.Number("wall_temp"); ok && e.Kind == diary.Reading {
			d.Ask.Faces = append(d.Ask.Faces, drying.FaceReading{At: e.At, Temp: t})
		}
	}
	if r.WallTemp != nil {
		d.Ask.Faces = append(d.Ask.Faces, drying.FaceReading{At: at, Temp: *r.WallTemp})
	}
	d.readings = Readings(r.Diary, at)
	if r.Reading != nil {
		typed := *r.Reading
		if typed.At.IsZero() {
			typed.At = at
		}
		d.readings = append(d.readings, typed)
	}
	return nil
}

// readToday reports whether the last reading is of the day of asking.
func (d *Day) readToday() bool {
	n := len(d.readings)
	return n > 0 && sameDay(d.readings[n-1].At, d.Ask.At, d.Job.Zone)
}

func sameDay(a, b time.Time, zone *time.Location) bool {
	return a.In(zone).Format(time.DateOnly) == b.In(zone).Format(time.DateOnly)
}

// byHand is the air of single readings.
func byHand(readings []Reading, pressure psychro.Pascal) (weather.Series, error) {
	s := weather.Series{}
	for _, r := range readings {
		air, err := psychro.NewAir(psychro.Celsius(r.Temp), psychro.Fraction(r.RH/100), pressure)
		if err != nil {
			return s, err
		}
		one := OneReading(r.At, air)
		s.Source, s.Records = one.Source, append(s.Records, one.Records...)
	}
	if len(readings) > 1 {
		s.Source = "your readings"
	}
	return weather.Merge(s).Of(weather.Typed), nil
}

// wallMemory is how long before its first coat the air of a wall counts; without it the wall would begin anew at each day's first hour told.
const wallMemory = 7 * 24 * time.Hour

// since is from when on the weather before the forecast is asked for: what the wall remembers before the first coat seen, or the first of the
// walls outdoors already laid that still need care, as far back as it is told; zero where there is none.
func (d *Day) since() (since time.Time) {
	at := d.Ask.At
	first := func(t time.Time) {
		if far := at.Add(-source.Remembers); t.Before(far) {
			t = far
		}
		if t.Before(at) && (since.IsZero() || t.Before(since)) {
			since = t
		}
	}
	for _, s := range d.Seen {
		first(s.At.Add(-wallMemory))
	}
	for _, l := range d.Job.Laid {
		if d.File.Room == nil && at.Sub(l.On) <= source.Remembers {
			first(l.On)
		}
	}
	return since
}

// SeenIn is what the entries of a diary say was seen of the job's coats: events without a board are of the wall. The last time that coat 1
// was laid begins the present round; what was before is of walls done. Nothing is told of a round that began over [Remembered] before at.
// Late are those of the day of at after it, which are left out.
func SeenIn(entries []diary.Entry, at time.Time, zone *time.Location) (seen []drying.Seen, late []diary.Entry) {
	for _, e := range diary.Amended(entries) {
		what := drying.SeenState(e.Text("what"))
		if _, ofBoard := e.Number("board"); e.Kind != diary.Event || ofBoard || !slices.Contains(known(), what) {
			continue
		}
		if e.At.After(at) {
			if sameDay(e.At, at, zone) {
				late = append(late, e)
			}
			continue
		}
		coat, _ := e.Number("coat")
		seen = append(seen, drying.Seen{Coat: int(coat), What: what, At: e.At, Not: e.Flag("looked")})
	}
	slices.SortStableFunc(seen, func(a, b drying.Seen) int { return a.At.Compare(b.At) })
	for i, s := range slices.Backward(seen) {
		if s.Coat == 1 && s.What == drying.SeenLaid {
			seen = seen[i:]
			break
		}
	}
	if len(seen) > 0 && at.Sub(seen[0].At) > Remembered {
		return nil, late
	}
	return seen, late
}
