package drying

import (
	"fmt"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/message"
	"limeday/drying/parallel"
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

// Until is until when days after that of asking are planned on air that is known; zero where today's is taken to come again, which is so
// indoors where no more than a day is known.
func (a Ask) Until(outdoors bool) time.Time {
	n := len(a.Air.Records)
	if n == 0 {
		return time.Time{}
	}
	if last := a.Air.Records[n-1].Time; outdoors || last.After(a.At.Add(24*time.Hour)) {
		return last
	}
	return time.Time{}
}

// Answer is the morning check's whole answer; every output is made from it.
type Answer struct {
	Job   Job
	At    time.Time
	Start time.Time // when the first coat is laid
	// Earliest and Latest bound the starts tried that are not a no-go; zero where all are.
	Earliest, Latest time.Time
	Verdict          Verdict
	Reasons          []Reason
	Coats            []CoatPlan
	Now              psychro.Air // the air at the start
	// WallTemp is the temperature of the face at the start, C; Measured tells whether it was given.
	WallTemp     float64
	WallMeasured bool
	RoomCounted  bool // the moisture and heat that the wet wall itself gives the room are counted
	Spots        int  // how many different suctions the times cover
	Known        Knowledge
	Changes      []Change     // what could be changed, best first
	Care         []Aftercare  // what is due later, and on walls already laid
	Protect      []Aftercare  // what protects a wall outdoors, with its times
	Sheet        []SheetLimit // the data sheet's limits, met or not
	Trace        []TracePoint // air and face from the start on
	Exterior     *Exterior    // what the weather does to a wall outdoors; nil indoors
	Banded       bool         // the times have an earliest and a latest
	Seen         []Seen       // of the coats laid, where the answer is for the rest of a day
}

// Knowledge says what the answer rests on.
type Knowledge struct {
	Source string
	Credit string        // words the source's licence asks for; may be empty
	Last   time.Time     // the last reading at or before the moment of asking; of a forecast, when it was made
	Age    time.Duration // of Last at the moment of asking
	// Forecast is set where the air of the day comes from a forecast.
	Forecast bool
	End      time.Time      // the last reading of all
	Held     bool           // the last reading is kept for the rest of the day
	Replay   bool           // readings from after the moment of asking are used
	Notes    []message.Text // how the readings were read, and what is missing in them
}

// CoatPlan is the timetable of one coat. A zero time is one not reached.
type CoatPlan struct {
	Number                               int
	Coat                                 Coat
	Last                                 bool
	Lay                                  time.Time
	Edge, Opens, Burnish, Closes, Recoat time.Time
	Times                                coat.Times
	Earliest, Latest                     Stages     // once the answer is Banded
	Soonest, Slowest                     coat.Times // likewise, of the times after laying
	Due                                  Due
	// Custom is until when the trade leaves the coat before the next one, at the least, and Careful to be careful; zero where it
	// does not wait but for its water.
	Custom, Careful time.Time
	Misted          bool // what it is laid on is misted before
	Done            bool // it was laid before the moment of asking
}

// Due says what a plan says of a coat or a day.
type Due string

// The dues, from what is certain to what is not known. Of a coat not before its Lay no time after laying is known.
const (
	DueToday  Due = "due"
	Likely    Due = "likely"
	Doubtful  Due = "doubtful"
	NotBefore Due = "not-before"
)

// DayPlan is what a plan says of one day.
type DayPlan struct {
	Date    time.Time // its midnight, by the job's clock
	Due     Due
	Verdict Verdict  // of the coats due on it; empty where its air is not known
	Reasons []Reason // of a later day that is not a go
	Coats   []int    // numbers of those laid on it
	Tend    []Aftercare
}

// Window is the time from when a coat can be burnished, or else compressed, to when it has gone by; of one that is not closed in, from laying to the
// next. Zero where either is not reached.
func (p CoatPlan) Window() time.Duration {
	from, to := p.Burnish, p.Closes
	if from.IsZero() {
		from = p.Opens
	}
	if !p.Last {
		from, to = p.Lay, p.Recoat
	}
	if from.IsZero() || to.IsZero() || to.Before(from) {
		return 0
	}
	return to.Sub(from)
}

// When is the moment of an event, with how coarsely it is told and which way. A zero At is one not reached.
func (p CoatPlan) When(e Event) message.Quantity {
	q := message.Quantity{Kind: message.Clock, Edge: message.Begins}
	window := p.Window()
	switch e {
	case EventEdge:
		q.At, q.Edge, window = p.Edge, message.Ends, 0
	case EventOpens:
		q.At = p.Opens
	case EventBurnish:
		q.At = p.Burnish
	case EventCloses:
		q.At, q.Edge = p.Closes, message.Ends
	case EventNext:
		q.At = p.Recoat
	}
	if !q.At.IsZero() {
		q.Grain = message.Coarse(time.Duration(p.Coat.Finish.Grain)*time.Second, q.At.Sub(p.Lay), window)
	}
	return q
}

// NoAirError says that no reading can be used.
type NoAirError struct {
	At    time.Time
	First time.Time // the first reading, after At; zero where there is none at all
}

func (e *NoAirError) Error() string {
	if e.First.IsZero() {
		return "there is no reading of temperature and humidity"
	}
	return fmt.Sprintf("the first reading, of %s, is later than the moment of asking, %s", e.First.Format(minute), e.At.Format(minute))
}

// OldAirError says that the last reading is too old to say anything of today.
type OldAirError struct{ At, Last time.Time }

func (e *OldAirError) Error() string {
	return fmt.Sprintf("the last reading, of %s, is over two days older than the moment of asking, %s", e.Last.Format(minute), e.At.Format(minute))
}

const minute = "2006-01-02 15:04"

// NotConvergedError is the solver's own: no solution was found.
type NotConvergedError = wall.ConvergenceError

// Readings looked at: a wall has forgotten the air of lead before the start (its slowest part, half a
// brick, follows the air within a day or so), and no coat is followed past reach. A last reading older than
// tooOld is refused: readings hold their last value for the day, not for the week.
const (
	lead   = 7 * 24 * time.Hour
	reach  = 7 * 24 * time.Hour
	tooOld = 48 * time.Hour
)

// Check answers whether the job's coats can be laid today, from the moment of asking on. Starts are tried
// through the working hours; the answer is for the earliest of those with the best verdict. Errors are *AskError,
// *NoAirError, *OldAirError, *SuctionError, *WeatherError and the solver's.
func Check(job Job, ask Ask) (Answer, error) {
	m, err := wake(job, ask)
	if err != nil {
		return Answer{}, err
	}
	a, atFirst, err := m.best(stride)
	if err != nil {
		return a, err
	}
	a.care()
	if err := a.laidOutdoors(m, ask); err != nil {
		return a, err
	}
	return a, a.change(ask, m.readings, m.first, m.to, atFirst)
}

// morning is a day before any start has been tried.
type morning struct {
	Answer    // what is known before a start is chosen
	day       *day
	readings  weather.Series
	first, to time.Time // the first start, and the end of the hours
}

// wake sets up the day of ask.At.
func wake(job Job, ask Ask) (*morning, error) {
	if err := job.Check(); err != nil {
		return nil, err
	}
	if err := ask.check(); err != nil {
		return nil, err
	}
	at := ask.At.In(job.Zone)
	from, to := job.Hours.On(at)
	readings := complete(ask.Air)
	known, later := readings.Before(ask.At)
	switch n := len(known.Records); {
	case n == 0 && later == 0:
		return nil, &NoAirError{At: at}
	case n == 0:
		return nil, &NoAirError{At: at, First: readings.Records[0].Time.In(job.Zone)}
	}
	last := known.Records[len(known.Records)-1].Time
	end := readings.Records[len(readings.Records)-1].Time
	a := Answer{Job: job, At: at, Known: Knowledge{Source: ask.Air.Source, Credit: ask.Air.Credit, Last: last.In(job.Zone), Age: ask.At.Sub(last),
		End: end.In(job.Zone), Held: end.Before(to), Replay: lastMeasured(readings).After(ask.At), Notes: words(ask.Air.Notes)}}
	if a.Known.Forecast = later > 0 && !a.Known.Replay; a.Known.Forecast && !ask.Air.Issued.IsZero() {
		a.Known.Last, a.Known.Age = ask.Air.Issued.In(job.Zone), ask.At.Sub(ask.Air.Issued)
	}
	for _, g := range between(readings, ask.At.Add(-lead), to).Gaps() {
		a.Known.Notes = append(a.Known.Notes, message.Say("No reading from {} to {}: taken as a straight line.", message.Stamp(g.From.In(job.Zone)), message.Stamp(g.To.In(job.Zone))))
	}
	if a.Known.Age > tooOld {
		return nil, &OldAirError{At: at, Last: a.Known.Last}
	}
	first := RoundUp(at, 5*time.Minute)
	if first.Before(from) {
		first = from
	}
	d, err := newDay(job, ask, readings, first, false)
	if err != nil {
		return nil, err
	}
	a.Job = d.job // with its spots worked out
	a.WallMeasured, a.RoomCounted, a.Spots = ask.WallTemp != nil, d.room, len(d.spots)
	return &morning{Answer: a, day: d, readings: readings, first: first, to: to}, nil
}

// stride is the time between the starts tried.
const stride = 30 * time.Minute

// best tries the starts of the day, each stride after the one before, and gives the answer for the best and for
// the first.
func (m *morning) best(stride time.Duration) (best, atFirst Answer, err error) {
	d, first, to := m.day, m.first, m.to
	var runs []run
	for t := first; t.Equal(first) || t.Before(to); t = t.Add(stride) {
		walls, err := d.bare(t)
		if err != nil {
			return m.Answer, m.Answer, err
		}
		runs = append(runs, run{start: t, walls: walls})
	}
	answers, errs := make([]Answer, len(runs)), make([]error, len(runs))
	_ = parallel.Each(len(runs), func(i int) error { // the errors are in errs, in their order
		answers[i], errs[i] = m.with(d, &runs[i], to)
		return nil
	})
	chosen := 0
	for i, err := range errs {
		if err != nil {
			return m.Answer, m.Answer, err
		}
		if answers[i].Verdict.Better(answers[chosen].Verdict) {
			chosen = i
		}
	}
	b := answers[chosen]
	if d.job.Outdoors != nil {
		if err := b.outdoors(d, runs[chosen], d.spots[0].setting.Air); err != nil {
			return b, b, err
		}
	}
	for _, x := range answers {
		if x.Verdict != NoGo {
			if b.Earliest.IsZero() {
				b.Earliest = x.Start
			}
			b.Latest = x.Start
		}
	}
	return b, answers[0], nil
}

// with completes the answer for one start.
func (a Answer) with(d *day, r *run, to time.Time) (Answer, error) {
	if err := a.stand(r, d.pressure); err != nil {
		return a, err
	}
	r.walls[0].Record(&r.samples, coat.Seldom)
	courses, err := d.lay(r.start, r.walls, d.middle, to)
	if err != nil {
		return a, err
	}
	a.Coats = d.plan(courses)
	a.Trace = d.trace(r.samples)
	a.judge(to)
	return a, nil
}

// stand notes the bare wall and the air at a start.
func (a *Answer) stand(r *run, pressure psychro.Pascal) (err error) {
	a.Start = r.start
	a.WallTemp = r.walls[0].FaceTemperature()
	now := r.walls[0].Air()
	// Between two readings of fog the straight line lies above saturation.
	vapour := min(psychro.Pascal(now.Vapour), psychro.SaturationWater(psychro.Celsius(now.Temperature)))
	a.Now, err = psychro.NewAirFromVapourPressure(psychro.Celsius(now.Temperature), vapour, pressure)
	return err
}

// words are notes that the weather came with.
func words(notes []string) []message.Text {
	var texts []message.Text
	for _, n := range notes {
		texts = append(texts, message.Words(n))
	}
	return texts
}

// lastMeasured is when the last reading was taken; the zero time where all is forecast.
func lastMeasured(s weather.Series) time.Time {
	for _, r := range slices.Backward(s.Records) {
		if r.Temperature.Tag == weather.Measured {
			return r.Time
		}
	}
	return time.Time{}
}

// complete keeps the readings that have temperature and humidity.
func complete(s weather.Series) weather.Series {
	return filter(s, func(r weather.Record) bool { return r.Temperature.Known() && r.Vapour.Known() })
}

// between keeps the readings from one moment to another.
func between(s weather.Series, from, to time.Time) weather.Series {
	return filter(s, func(r weather.Record) bool { return !r.Time.Before(from) && !r.Time.After(to) })
}

func filter(s weather.Series, keep func(weather.Record) bool) weather.Series {
	var kept []weather.Record
	for _, r := range s.Records {
		if keep(r) {
			kept = append(kept, r)
		}
	}
	s.Records = kept
	return s
}

// On gives the working hours on the day of t, by its clock.
func (h Hours) On(t time.Time) (from, to time.Time) {
	day := func(d time.Duration) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), int(d/time.Hour), int(d%time.Hour/time.Minute), 0, 0, t.Location())
	}
	return day(h.From), day(h.To)
}

// RoundUp is the first moment not before t whose time of day, by the clock of t's zone, is a multiple of grain.
func RoundUp(t time.Time, grain time.Duration) time.Time {
	r := RoundDown(t, grain)
	if r.Before(t) {
		r = r.Add(grain)
	}
	return r
}

// RoundDown is the last such moment not after t.
func RoundDown(t time.Time, grain time.Duration) time.Time {
	_, offset := t.Zone()
	shift := time.Duration(offset) * time.Second
	return t.Add(shift).Truncate(grain).Add(-shift)
}
