package drying

import (
	"fmt"
	"math"
	"time"

	"limeday/drying/coat"
	"limeday/drying/exposure"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// Ask is the morning's question.
type Ask struct {
	At       time.Time      // the moment of asking
	Air      weather.Series // of the room; what lies after At is a replay of what was read later
	WallTemp *float64       // C, measured at At; nil: worked out from the readings before
}

// Answer is the morning check's whole answer; every output is made from it.
type Answer struct {
	Job     Job
	At      time.Time
	Start   time.Time // when the first coat is laid
	Verdict Verdict
	Reasons []Reason
	Coats   []CoatPlan
	Now     psychro.Air // the air at the start
	// WallTemp is the temperature of the face at the start, C; Measured tells whether it was given.
	WallTemp     float64
	WallMeasured bool
	Known        Knowledge
}

// Knowledge says what the answer rests on.
type Knowledge struct {
	Source string
	Last   time.Time // the last reading used
	Age    time.Duration
	Held   bool // the last reading is kept for the rest of the day
	Replay bool // readings from after the moment of asking are used
}

// CoatPlan is the timetable of one coat. A zero time is one not reached.
type CoatPlan struct {
	Number                               int
	Coat                                 Coat
	Last                                 bool
	Lay                                  time.Time
	Edge, Opens, Burnish, Closes, Recoat time.Time
	Times                                coat.Times
}

// NoAirError says that no reading can be used.
type NoAirError struct{ At time.Time }

func (e *NoAirError) Error() string {
	return fmt.Sprintf("no reading of temperature and humidity at or before %s", e.At.Format("2006-01-02 15:04"))
}

// Check answers whether the job's coats can be laid today, from the moment of asking on.
func Check(job Job, ask Ask) (Answer, error) {
	if len(job.Coats) == 0 || job.Zone == nil {
		panic("drying: a job needs coats and a zone")
	}
	at := ask.At.In(job.Zone)
	known, later := ask.Air.Before(ask.At)
	if len(known.Records) == 0 {
		return Answer{}, &NoAirError{At: at}
	}
	a := Answer{Job: job, At: at, Known: Knowledge{Source: ask.Air.Source, Replay: later > 0}}
	last := known.Records[len(known.Records)-1]
	a.Known.Last = last.Time.In(job.Zone)
	a.Known.Age = ask.At.Sub(last.Time)

	from, to := job.Hours.on(at)
	a.Start = roundUp(at)
	if a.Start.Before(from) {
		a.Start = from
	}
	final := ask.Air.Records[len(ask.Air.Records)-1].Time
	a.Known.Held = final.Before(to)

	air := exposure.Indoor(ask.Air, a.Start, job.Room.AirSpeed)
	if len(air) == 0 {
		return Answer{}, &NoAirError{At: at}
	}
	p := job.Pressure()
	w, err := a.stand(job, ask, air, p)
	if err != nil {
		return Answer{}, err
	}
	lay := a.Start
	for i, c := range job.Coats {
		if i > 0 && !lay.Before(to) {
			break // left for another day; the verdict says so
		}
		plan := CoatPlan{Number: i + 1, Coat: c, Last: i == len(job.Coats)-1, Lay: lay}
		if err := w.Lay(coat.Coat{Finish: c.Finish, Thickness: c.Thickness}); err != nil {
			return Answer{}, err
		}
		if plan.Times, err = w.Dry(follow); err != nil {
			return Answer{}, fmt.Errorf("coat %d: %w", i+1, err)
		}
		for _, e := range []struct {
			s  float64
			at *time.Time
		}{{plan.Times.Edge, &plan.Edge}, {plan.Times.Opens, &plan.Opens}, {plan.Times.Burnish, &plan.Burnish},
			{plan.Times.Closes, &plan.Closes}, {plan.Times.Dry, &plan.Recoat}} {
			if reached(e.s) {
				*e.at = lay.Add(time.Duration(e.s * float64(time.Second)))
			}
		}
		a.Coats = append(a.Coats, plan)
		lay = a.Start.Add(time.Duration(math.Round(w.Time())) * time.Second)
		if plan.Recoat.IsZero() {
			break
		}
	}
	a.judge(to)
	return a, nil
}

// follow is how long a coat is followed, s.
const follow = 48 * 3600.0

// stand brings the bare wall to the start: as measured, or through the readings before it.
func (a *Answer) stand(job Job, ask Ask, air []wall.Air, p psychro.Pascal) (*coat.Wall, error) {
	set := coat.Setting{
		Face: wall.FaceSpec{Height: job.Room.WallHeight, Emissivity: job.Coats[0].Finish.Emissivity.Value, Pressure: p},
		Air:  air,
	}
	begin := 0.0
	if ask.WallTemp != nil {
		a.WallMeasured = true
		set.WallTemp = *ask.WallTemp
	} else {
		begin = min(air[0].Time, 0)
		set.WallTemp = air[0].Temperature
	}
	w, err := coat.Stand(job.Background, set, begin)
	if err != nil {
		return nil, err
	}
	if begin < 0 {
		if _, err := w.Wait(-begin); err != nil {
			return nil, err
		}
	}
	a.WallTemp = w.FaceTemperature()
	now := w.Air()
	a.Now, err = psychro.NewAirFromVapourPressure(psychro.Celsius(now.Temperature), psychro.Pascal(now.Vapour), p)
	return w, err
}

// on gives the working hours on the day of t.
func (h Hours) on(t time.Time) (from, to time.Time) {
	day := func(d time.Duration) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), int(d/time.Hour), int(d%time.Hour/time.Minute), 0, 0, t.Location())
	}
	return day(h.From), day(h.To)
}

// roundUp is the next full five minutes.
func roundUp(t time.Time) time.Time {
	r := t.Truncate(5 * time.Minute)
	if r.Before(t) {
		r = r.Add(5 * time.Minute)
	}
	return r
}
