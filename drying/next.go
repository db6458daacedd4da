package drying

import (
	"time"
)

// NextDay is what the forecast says of the days after the one asked about.
type NextDay struct {
	Start    time.Time // the best start of the first day that is not a no-go; zero where there is none
	Verdict  Verdict   // of that day; empty where there is none
	Searched time.Time // the end of the last working day that the readings or the forecast cover; zero for none
}

// nextStride is the time between the starts tried on a later day: its weather is not known to the half hour.
const nextStride = 2 * time.Hour

// Next looks for the first day after that asked about on which the job's coats can be laid, as far as the air is known
// for the whole of the working hours; nothing is kept or guessed beyond it. The wall is followed to that day through
// the air before it. The errors are those of [Check].
func Next(job Job, ask Ask) (NextDay, error) {
	var next NextDay
	if err := job.Check(); err != nil {
		return next, err
	}
	if err := ask.check(); err != nil {
		return next, err
	}
	known := complete(ask.Air)
	if len(known.Records) == 0 {
		return next, nil
	}
	end := known.Records[len(known.Records)-1].Time
	day, err := job.asked(ask, known)
	if err != nil {
		return next, err
	}
	ask.Faces, ask.Start = nil, time.Time{} // of that morning, not of this one
	for i := 1; ; i++ {
		from, to := job.Hours.On(midnight(day, i))
		if i > farDays {
			return next, nil
		}
		if !job.Hours.Works(from) {
			continue
		}
		if end.Before(to) {
			return next, nil
		}
		next.Searched = to
		later := ask
		later.At, later.For = from, time.Time{}
		m, err := wake(job, later)
		if err != nil {
			return next, err
		}
		m.day.quick = true
		a, _, err := m.best(state{}, nextStride)
		if err != nil {
			return next, err
		}
		if a.Verdict != NoGo {
			next.Start, next.Verdict = a.Start, a.Verdict
			return next, nil
		}
	}
}

// Work is what a day that is a no-go still serves for (common practice, no source); nil for any other day.
func (a *Answer) Work() []string {
	if a.Verdict != NoGo {
		return nil
	}
	var work []string
	if o := a.Job.Outdoors; o != nil && a.has(CodeRain, CodeFrost, CodeWind, CodeDriesFast) {
		work = append(work, "hang sheeting and screens, so that they stand before the first coat")
	}
	if a.Job.Outdoors == nil && !a.Job.Room.Unheated && a.has(CodeWallCold, CodeDewPoint, CodeFreezes) {
		work = append(work, "warm and air the room from now on, so that the wall itself is warm")
	}
	if a.Job.Background.Masonry && !a.Job.Damped && a.has(CodeDriesFast, CodeWindowShort, CodeSpots) {
		work = append(work, "try the suction with a drop of water, and damp the masonry this evening")
	}
	return append(work, "tape, mark out the sections, and make tint samples to be judged dry")
}
