package drying

import (
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/learn"
	"limeday/drying/message"
	"limeday/drying/parallel"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// Ask is the question of a day: the morning's, or that of the evening before.
type Ask struct {
	At    time.Time      // the moment of asking
	For   time.Time      // a moment of the day asked about; zero: the day of At or, once its hours are over, the next working day
	Air   weather.Series // of the room, or at the place: what was there, and what is to come; of a room, what lies after At is a replay of what was read later
	Faces []FaceReading  // measured on the wall, in order of time, none after At
	Seen  []Seen         // of the coats laid; see SeenOf
	Start time.Time      // today, at which the next coat due is laid; zero: at the best

	// What the crew changes, from now on or, of a bare wall, from the day before; see Variant.
	warm, dry *float64 // the room's air is at least so warm, C, and no damper, 0 to 1
	stop      int      // the coat after which the day's work stops; 0: none
	was       *Job     // up to now, of a wall with coats on it; nil: as it is
}

// FaceReading is the temperature of a wall's face, C, measured at a moment.
type FaceReading struct {
	At   time.Time
	Temp float64
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
	Day   time.Time // midnight of the day asked about, by the job's clock
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
	Odd          message.Text // what was seen of them that was not to be expected; nil where nothing was
	Days         []DayPlan    // those on which something is due, in their order
	Holds        *Holds       // the air that the day's plan stands in, once its times have bands
	Mend         *Mend        // of what went wrong with the last coat laid; nil where nothing did

	wall      float64          // WallTemp, or warmer, as the wall would be were nothing drying on it, C
	runs      []coatRun        // of Coats
	due       [2]int           // of them, from and up to which are laid on the day judged
	soonest   float64          // when the first of those could be laid, s
	unfit     *coatRun         // a last coat that was left to another day
	kept      bool             // nothing is known of the air of a later day: the last reading is taken to stay
	start     time.Time        // the start asked for
	stop      int              // the coat after which the day is to stop; 0: none
	posterior *learn.Posterior // of a wall with coats on it: what is known of it
}

// Knowledge says what the answer rests on.
type Knowledge struct {
	Source string
	Credit string        // words the source's licence asks for; may be empty
	Last   time.Time     // the last reading at or before the moment of asking; of a forecast, when it was made
	Age    time.Duration // of Last at the moment of asking
	Issued time.Time     // when a forecast was made; zero where that is not known
	// Forecast is set where the air of the day comes from a forecast.
	Forecast bool
	End      time.Time       // the last reading of all
	Held     bool            // the last reading is kept for the rest of the day
	Replay   bool            // readings from after the moment of asking are used
	Notes    []message.Text  // how the readings were read, and what is missing in them
	Parts    []weather.Part  // where each stretch of the air comes from, from the first thing known of the wall on
	Off      *weather.Offset // how far from the job it is known; nil where that is not known
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

// The dues, from what is certain to what is not known. The day of asking has what is due; a later one that is asked about has likely and
// doubtful. Of a coat not before its Lay no time after laying is known.
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
	Verdict Verdict  // of the coats laid on it; empty where none is, or its air is not known
	Reasons []Reason // of a day after that of asking that is not a go
	Coats   []int    // numbers of those laid on it; none of a day of tending alone
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

// OldAirError says that nothing is known of the air of the day: the last reading is too old, or a forecast ended.
type OldAirError struct {
	At, Last time.Time
	Forecast bool
}

func (e *OldAirError) Error() string {
	if e.Forecast {
		return fmt.Sprintf("the forecast ended at %s, before the work of %s", e.Last.Format(minute), e.At.Format(minute))
	}
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

// Check answers what of the job's coats can be laid and closed on the day asked about, from the moment of asking on, and when the rest follows. Starts are
// tried through the working hours; the answer is for the best of them. The times of coats that were laid agree with ask.Seen, and nothing else is
// drawn from that; see [Resume]. Errors are *AskError, *DayError, *NoAirError, *OldAirError, *SeenError, *SuctionError, *WeatherError and the solver's.
func Check(job Job, ask Ask) (Answer, error) {
	m, err := wake(job, ask)
	if err != nil {
		return Answer{}, err
	}
	return m.weighed()
}

// CheckWalls answers for every wall of a job, and which is the day's: what could be changed is worked out for that one. Errors are those of [Check], the first
// wall's that has one.
func CheckWalls(walls []Job, ask Ask) (answers []Answer, best int, err error) {
	answers, days, errs := make([]Answer, len(walls)), make([]*Answer, len(walls)), make([]error, len(walls))
	mornings := make([]*morning, len(walls))
	_ = parallel.Each(len(walls), func(i int) error { // the errors are in errs, in their order
		if mornings[i], errs[i] = wake(walls[i], ask); errs[i] == nil {
			answers[i], days[i], errs[i] = mornings[i].answer()
		}
		return nil
	})
	for _, err := range errs {
		if err != nil {
			return nil, 0, err
		}
	}
	best = BestWall(answers)
	return answers, best, answers[best].change(mornings[best], days[best])
}

// morning is a day before any start has been tried.
type morning struct {
	Answer    // what is known before a start is chosen
	ask       Ask
	day       *day
	readings  weather.Series
	first, to time.Time // the first moment at which work can begin on the day, and the end of its hours
	until     time.Time // as far as the air is known
}

// wake sets up the day asked about.
func wake(job Job, ask Ask) (*morning, error) {
	if err := job.Check(); err != nil {
		return nil, err
	}
	if err := ask.check(); err != nil {
		return nil, err
	}
	job = job.mended(ask.Seen)
	var err error
	if ask.Seen, err = SeenOf(job, ask.At, ask.Seen); err != nil {
		return nil, err
	}
	at := ask.At.In(job.Zone)
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
	on := ask.For
	if ask.For, err = job.asked(ask, readings); err != nil {
		return nil, err
	}
	if s := ask.Start.In(job.Zone); !ask.Start.IsZero() && on.IsZero() && midnight(s, 0).Equal(midnight(at, 0)) { // at that time of the day that is answered for
		ask.Start = time.Date(ask.For.Year(), ask.For.Month(), ask.For.Day(), s.Hour(), s.Minute(), 0, 0, job.Zone)
	}
	from, to := job.Hours.On(ask.For)
	a := Answer{Job: job, At: at, Day: ask.For, Seen: ask.Seen, start: ask.Start, stop: ask.stop, Known: Knowledge{Source: ask.Air.Source, Credit: ask.Air.Credit, Last: last.In(job.Zone), Age: ask.At.Sub(last),
		End: end.In(job.Zone), Held: end.Before(to), Replay: lastMeasured(readings).After(ask.At), Notes: words(ask.Air.Notes)}}
	foretold := readings.Records[len(readings.Records)-1].Temperature.Tag != weather.Measured
	switch a.Known.Forecast = foretold && !a.Known.Replay; {
	case a.Known.Forecast && later == 0:
		return nil, &OldAirError{At: at, Last: a.Known.End, Forecast: true}
	case a.Known.Forecast && !ask.Air.Issued.IsZero():
		a.Known.Issued = ask.Air.Issued.In(job.Zone)
		a.Known.Last, a.Known.Age = a.Known.Issued, ask.At.Sub(ask.Air.Issued)
	case a.Known.Age > tooOld:
		return nil, &OldAirError{At: at, Last: a.Known.Last}
	}
	for _, g := range between(readings, ask.At.Add(-lead), to).Gaps() {
		if typed(ask.Air, g.From) {
			continue // read by hand now and then
		}
		a.Known.Notes = append(a.Known.Notes, message.Say("No reading from {} to {}: taken as a straight line.", message.Stamp(g.From.In(job.Zone)), message.Stamp(g.To.In(job.Zone))))
	}
	d, err := newDay(job, ask, readings, false)
	if err != nil {
		return nil, err
	}
	if n := d.behindNote(); n != nil {
		a.Known.Notes = append(a.Known.Notes, n)
	}
	a.Known.Off = ask.Air.Off
	far := job.begins(ask).In(job.Zone).Add(reach)
	a.Known.Parts = ask.Air.Within(d.moment(min(d.first(), 0)), far)
	if first := readings.Records[0].Time; first.After(d.moment(d.first())) {
		a.Known.Parts = append([]weather.Part{{Kind: weather.Assumed, From: d.moment(d.first()), To: first}}, a.Known.Parts...)
	}
	if a.Known.Held {
		a.Known.Parts = append(a.Known.Parts, weather.Part{Kind: weather.Kept, From: end, To: to})
	}
	a.Job = d.job // with its spots worked out
	a.WallMeasured, a.RoomCounted, a.Spots = len(ask.Faces) > 0, d.room, len(d.spots)
	m := &morning{Answer: a, ask: ask, day: d, readings: readings, first: RoundUp(at, 5*time.Minute), to: to, until: to}
	if m.first.Before(from) {
		m.first = from
	}
	m.kept = a.Ahead() && end.Before(m.first)
	switch {
	case a.Known.Forecast && end.Before(m.first):
		return nil, &OldAirError{At: at, Last: a.Known.End, Forecast: true}
	case end.After(far):
		m.until = far
	case !a.Known.Held:
		m.until = end
	}
	return m, nil
}

// stride is the time between the starts tried.
const stride = 30 * time.Minute

// now is the state at the moment of asking under a draw.
func (d *day) now(x *draw) (s state, err error) {
	if len(d.laid) == 0 {
		return s, nil
	}
	bare, err := d.standing(d.laid[0])
	if err != nil {
		return s, err
	}
	return d.past(bare, x, nil)
}

// trials are the starts of a day: the first, and one each stride of its hours after that, or the one asked for, s. The state's wall is laid on.
func (d *day) trials(s state, first, to float64, stride time.Duration, start time.Time) ([]*trial, error) {
	i, bed := len(s.runs), math.Inf(1) // since when the bed is dry
	if i > 0 {
		bed = s.runs[i-1].lay + s.runs[i-1].times.Dry
	}
	var out []*trial
	from, _ := d.job.Hours.On(d.moment(first))
	anchor := d.seconds(from) // whenever it is asked, the same starts are tried
	next := func(at float64) float64 {
		switch asked := d.seconds(start); {
		case start.IsZero():
			n := anchor + (math.Floor((at-anchor)/stride.Seconds()+1e-6)+1)*stride.Seconds()
			if at < d.also && d.also < n {
				return d.also
			}
			return n
		case at < asked:
			return asked
		}
		return math.Inf(1)
	}
	if !start.IsZero() {
		to = math.Inf(1)
	}
	for at := first; at == first || at < to-1; at = next(at) {
		x := &trial{start: at, from: i, mist: d.job.mists(i, bed, at)}
		stands := at
		if x.mist && at-coat.MistingTime < max(0, first) { // nothing is done before its time
			x.start = d.seconds(RoundUp(d.moment(at+coat.MistingTime), 5*time.Minute))
			stands = x.start - coat.MistingTime
		} else if x.mist {
			stands -= coat.MistingTime
		}
		var err error
		if s.c == nil {
			x.bare, err = d.stood(stands)
		} else {
			x.c, err = s.at(stands)
		}
		if err != nil {
			return nil, err
		}
		out = append(out, x)
	}
	return out, nil
}

// stood is the bare wall at a start, s, to be branched. Times must be asked for in order.
func (d *day) stood(at float64) (stand, error) {
	if known := d.stands[at]; known != nil {
		return known, nil
	}
	first, err := d.toStand(at)
	if err != nil {
		return nil, err
	}
	if d.stands == nil {
		d.stands = map[float64]stand{}
	}
	d.stands[at] = sync.OnceValues(first)
	return d.stands[at], nil
}

// choose is the answer for the best start of a day, with its trial: of a wall that is bare the best of all, of one with coats on it the first that
// is no no-go, since each coat goes on as soon as it can. a is the answer before there is a start.
func (d *day) choose(a Answer, s state, first, to float64, stride time.Duration) (best Answer, chosen *trial, err error) {
	end := d.moment(to)
	if n := len(s.runs); n > 0 && d.moment(s.runs[n-1].lay).Format(time.DateOnly) == end.Format(time.DateOnly) {
		to = first // a day that has begun goes on
	}
	trials, err := d.trials(s, first, to, stride, a.start)
	if err != nil {
		return a, nil, err
	}
	soonest := trials[0].start
	if !a.start.IsZero() {
		trials = trials[len(trials)-1:]
		if from := d.moment(max(soonest, trials[0].start)); from.After(a.start) {
			return a, nil, &StartError{Start: a.start, From: from, Reason: "its bed is misted before"}
		}
	}
	tries := make([]func() (Answer, error), len(trials))
	for i, t := range trials {
		tries[i] = sync.OnceValues(func() (Answer, error) {
			if t.bare != nil {
				c, err := t.bare()
				if err != nil {
					return a, err
				}
				t.c = d.under(c.Branch(), d.middle)
			}
			b := a
			b.Start, b.soonest = d.moment(t.start), soonest
			return b.with(d, t, s.runs, end)
		})
	}
	whole := func(b Answer, i int) (Answer, *trial, error) { // with what the weather does to it
		if d.job.Outdoors == nil {
			return b, trials[i], nil
		}
		err := b.outdoors(d, trials[i])
		return b, trials[i], err
	}
	if len(s.runs) > 0 {
		var atFirst Answer
		for i := range trials {
			b, err := tries[i]()
			if err != nil {
				return b, nil, err
			}
			if i == 0 {
				atFirst = b
			}
			if b.Verdict != NoGo {
				return whole(b, i)
			}
		}
		return whole(atFirst, 0)
	}
	good, err := parallel.First(len(tries), func(i int) (bool, error) { // no later start can be better than one that is good throughout
		b, err := tries[i]()
		return b.Verdict != NoGo && b.without(ofAnyStart) == Go && len(b.Coats) == len(d.job.Coats), err
	})
	if err != nil {
		return a, nil, err
	}
	k := 0
	var answers []Answer
	for i, try := range tries[:min(good+1, len(tries))] {
		b, _ := try()
		if answers = append(answers, b); b.better(&answers[k]) {
			k = i
		}
	}
	b := answers[k]
	if !a.start.IsZero() {
		return whole(b, k)
	}
	serves := func(x *Answer) bool { return x.Verdict != NoGo && x.due == b.due }
	soon := k // the first that serves
	for i, x := range answers {
		if serves(&x) {
			if b.Earliest.IsZero() {
				b.Earliest, soon = x.Start, i
			}
			b.Latest = x.Start
		}
	}
	if left := len(tries) - len(answers); left > 0 && !d.quick {
		last, err := parallel.First(left, func(i int) (bool, error) {
			x, err := tries[len(tries)-1-i]()
			return serves(&x), err
		})
		if err != nil {
			return a, nil, err
		}
		if last < left {
			b.Latest = d.moment(trials[len(tries)-1-last].start)
		}
	}
	best, chosen, err = whole(b, k)
	if err != nil || soon == k || d.job.Outdoors == nil {
		return best, chosen, err
	}
	early := answers[soon]
	early.Earliest, early.Latest = best.Earliest, best.Latest
	if x, t, err := whole(early, soon); err != nil || !best.Verdict.Better(x.Verdict) {
		return x, t, err // in this weather the later start is no better
	}
	return best, chosen, nil
}

// answer tries the starts of the day and plans on from the best; today is the answer before it did, nil where nothing is due.
func (m *morning) answer() (a Answer, today *Answer, err error) {
	s, err := m.day.now(m.day.middle)
	if err != nil {
		return m.Answer, nil, err
	}
	best, t, err := m.best(s, stride)
	if err != nil {
		return best, nil, err
	}
	if t != nil {
		b := best
		today = &b
	}
	a, err = m.plan(best, s, t)
	return a, today, err
}

// weighed is the answer with what can be changed.
func (m *morning) weighed() (Answer, error) {
	a, today, err := m.answer()
	if err == nil {
		err = a.change(m, today)
	}
	return a, err
}

// plan goes on from a day's answer: the coats left, the care, and the walls laid before.
func (m *morning) plan(a Answer, s state, t *trial) (Answer, error) {
	if a.due[1] > a.due[0] {
		var numbers []int
		for i := a.due[0]; i < a.due[1]; i++ {
			numbers = append(numbers, i+1)
		}
		a.onDay(a.Day, DueToday, a.Verdict, nil, numbers...)
		a.settle()
	}
	switch n := len(s.runs); {
	case a.Verdict == NoGo && n > 0 && t != nil: // what was due today is another day's
		a.Coats, a.runs, a.due, a.Days = a.Coats[:n:n], s.runs, [2]int{n, n}, nil
		t = &trial{c: s.c}
	case t == nil: // nothing is due today
		t = &trial{c: s.c}
	case a.Verdict == NoGo:
		t = nil
	}
	if t != nil && len(a.runs) < len(a.Job.Coats) {
		if err := a.later(m, t, a.runs, m.to); err != nil {
			return a, err
		}
	}
	a.mend()
	a.care()
	a.tend()
	return a, a.laidOutdoors(m)
}

// best is the answer for the best of the day's starts, or the one asked for, with its trial; no trial where nothing is due. The state's wall is laid on.
func (m *morning) best(s state, stride time.Duration) (best Answer, chosen *trial, err error) {
	d, i := m.day, len(s.runs)
	first, to := d.seconds(m.first), d.seconds(m.to)
	if i > 0 {
		first = max(first, d.grained(s.runs[i-1].next, i-1))
	}
	if err := m.refuse(s, first, to); err != nil {
		return m.Answer, nil, err
	}
	if i == len(d.job.Coats) || !d.job.Hours.Works(m.Day) || !(first < to) {
		a, err := m.idle(s)
		return a, nil, err
	}
	return d.choose(m.Answer, s, first, to, stride)
}

// StartError says why the next coat due cannot be laid when it was asked for, and from when it could be on that day; a zero From is not on that day.
type StartError struct {
	Start, From time.Time
	Reason      string
}

func (e *StartError) Error() string {
	s := fmt.Sprintf("no coat can be laid at %s: %s", e.Start.Format("15:04"), e.Reason)
	if !e.From.IsZero() {
		s += "; it can be from " + e.From.Format("15:04")
	}
	return s
}

// refuse refuses a start asked for that cannot be. The next coat can be laid from first, in hours up to to, s.
func (m *morning) refuse(s state, first, to float64) error {
	start, d, n := m.ask.Start, m.day, len(s.runs)
	if start.IsZero() {
		return nil
	}
	e := &StartError{Start: start.In(m.Job.Zone)}
	if first < to {
		e.From = d.moment(first)
	}
	switch at := d.seconds(start); {
	case n == len(d.job.Coats):
		e.Reason, e.From = "all coats are laid", time.Time{}
	case !d.job.Hours.Works(m.At):
		e.Reason, e.From = "it is no working day", time.Time{}
	case e.Start.Format(time.DateOnly) != m.At.Format(time.DateOnly):
		e.Reason = "that is not on the day asked about"
	case n > 0 && at < first && !reached(first):
		e.Reason = fmt.Sprintf("coat %d does not dry in this air", n)
	case n > 0 && at < first && first > d.seconds(m.first):
		e.Reason = fmt.Sprintf("coat %d is not ready for the next", n)
	case at < 0:
		e.Reason = "that is before the moment of asking, " + m.At.Format("15:04")
	case at < first:
		e.Reason = "that is before the working hours, or no time is left to begin"
	case at >= to:
		e.Reason = "that is after the working hours"
	default:
		return nil
	}
	return e
}

// idle is the answer of a day on which no coat is to be laid: the last one is there and is only to be closed in, or the next must wait.
func (m *morning) idle(s state) (Answer, error) {
	d, a := m.day, m.Answer
	a.Start = m.first
	at := max(0, d.seconds(m.first))
	var c *course.Course
	var err error
	if s.c == nil {
		c, err = d.standing(at)
	} else {
		c, err = s.at(at)
	}
	if err != nil {
		return a, err
	}
	if err := a.stand(c, d); err != nil {
		return a, err
	}
	a.Coats, a.runs = d.plan(s.runs), s.runs
	a.due = [2]int{len(s.runs), len(s.runs)}
	a.judge(m.to)
	return a, nil
}

// typed tells whether a moment lies within readings taken by hand.
func typed(s weather.Series, t time.Time) bool {
	return slices.ContainsFunc(s.Parts, func(p weather.Part) bool { return p.Kind == weather.Typed && !t.Before(p.From) && t.Before(p.To) })
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

// On gives the working hours on the day of t, by its clock.
func (h Hours) On(t time.Time) (from, to time.Time) {
	day := func(d time.Duration) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), int(d/time.Hour), int(d%time.Hour/time.Minute), 0, 0, t.Location())
	}
	return day(h.From), day(h.To)
}

// Next is the midnight of the first working day after that of t, by its clock; zero where over a year has none.
func (h Hours) Next(t time.Time) time.Time {
	for i := 1; i <= farDays; i++ {
		if day := midnight(t, i); h.Works(day) {
			return day
		}
	}
	return time.Time{}
}

// midnight is that of the day of t, by its clock, or of one some days after.
func midnight(t time.Time, days int) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d+days, 0, 0, 0, 0, t.Location())
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
