package drying

import (
	"math"
	"slices"
	"sort"
	"time"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/cure"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/drying/wall"
	"limeday/weather"
)

// Long is a wall outdoors through a long stretch of weather: coats are tried on it at one start after the other, and what
// becomes of them after two days is read from a wall that was laid before it all.
type Long struct {
	day   *day
	air   []wall.Air
	rules cure.Rules
	laid  []cure.Hour // of the wall laid before it all, hourly
	cold  []float64   // times of laid at which air or face freezes, s

	screen bool                 // lays that are surely lost are not worked out
	frost  bool                 // of the lay being tried what frost does to it is asked though it is lost
	later  map[[2]float64]onDay // by coat and moment
	own    float64              // how long a lay is followed on its own wall, s
}

// known is how long what becomes of a lay is followed on its own wall, s; after it the wall laid before it all stands for it.
const ownDays = 2 * 86400.0

// judged is how far ahead a lay is judged hour by hour, s; frost after it, up to the end of the frost-free days, is looked up.
const judged = 8 * 86400.0

// NewLong sets a wall up in weather that begins some days before from, for lays from then to until. The weather may go on after
// that: what becomes of the lays is known as far as it goes. The error is an *AskError, a *NoAirError, a *WeatherError or the
// solver's.
func NewLong(job Job, s weather.Series, from, until time.Time) (*Long, error) {
	job.Laid = nil
	if err := job.Check(); err != nil {
		return nil, err
	}
	if err := checkAir(s); err != nil {
		return nil, err
	}
	begin, end := from.Add(-lead), until.Add(Afterwards(job))
	seen := filter(s, func(r weather.Record) bool {
		return !r.Time.Before(begin) && !r.Time.After(end) && r.Temperature.Known() && r.Vapour.Known()
	})
	if len(seen.Records) == 0 {
		return nil, &NoAirError{At: from}
	}
	if first := seen.Records[0].Time; first.After(from) {
		from = first // nothing is known before
	}
	d, err := newDayIn(job, Ask{At: from, Air: seen}, seen, seen, true, false)
	if err != nil {
		return nil, err
	}
	l := &Long{day: d, air: d.spots[0].Setting.Air, rules: cure.DefaultRules(), later: map[[2]float64]onDay{}, screen: true, own: ownDays}
	return l, l.lay()
}

// Afterwards is how long after a lay the weather counts: until the longest wait for frost is over, in the cold.
func Afterwards(job Job) time.Duration {
	r := cure.DefaultRules()
	if len(job.Coats) == 0 {
		return time.Duration(judged) * time.Second
	}
	days := job.Coats[len(job.Coats)-1].Finish.FrostFree.High * (1 + r.LongerAt5.Value)
	return time.Duration(max(days*86400, judged)) * time.Second
}

// lay lays the job's coats at the beginning, on a copy of the wall, and follows it to the end.
func (l *Long) lay() error {
	begin := l.air[0].Time
	w, err := course.Begin(l.day.spots[:1], begin)
	if err != nil {
		return err
	}
	for _, c := range l.day.job.Coats {
		if err := w.Lay(coat.Coat{Finish: c.Finish, Thickness: c.Thickness}); err != nil {
			return err
		}
		if err := w.To(w.Time() + 6*3600); err != nil {
			return err
		}
	}
	var samples []coat.Sample
	w.Record(&samples, coat.Seldom)
	end := l.air[len(l.air)-1].Time
	if err := w.To(end); err != nil {
		return err
	}
	for i, s := range samples { // of every hour the coldest
		h := l.day.hour(s)
		if n := len(l.laid); i > 0 && math.Floor(s.Time/3600) == math.Floor(l.laid[n-1].Time/3600) {
			if h.Face < l.laid[n-1].Face {
				l.laid[n-1] = h
			}
			continue
		}
		l.laid = append(l.laid, h)
	}
	for _, h := range l.laid {
		if h.Face <= l.rules.FreezesAt.Value || h.Air <= 0 {
			l.cold = append(l.cold, h.Time)
		}
	}
	return nil
}

// Until is where the weather ends.
func (l *Long) Until() time.Time { return l.day.moment(l.air[len(l.air)-1].Time) }

// Known tells whether the weather of the two days after a moment is known, without a gap over three hours.
func (l *Long) Known(t time.Time) bool {
	s := l.day.seconds(t)
	i := sort.Search(len(l.air), func(i int) bool { return l.air[i].Time > s })
	if i == 0 || l.air[len(l.air)-1].Time < s+ownDays {
		return false
	}
	for ; i < len(l.air) && l.air[i-1].Time < s+ownDays; i++ {
		if l.air[i].Time-l.air[i-1].Time > weather.MaxFill.Seconds() {
			return false
		}
	}
	return true
}

// FrostFree is how many days without frost published advice wants after the last coat, before the cold lengthens them: the
// boldest, the middle and the most careful.
func (l *Long) FrostFree() [3]float64 {
	f := l.finish().FrostFree
	return [3]float64{f.Low, f.Value, f.High}
}

func (l *Long) finish() material.Finish { return l.day.job.Coats[len(l.day.job.Coats)-1].Finish }

// Exposure is the frost after a lay.
type Exposure struct {
	First time.Time    // of wall or air; zero: none as far as the weather goes
	Free  [3]time.Time // until when published advice wants none, the cold counted in: boldest, middle, most careful
}

// Exposure looks the frost after a lay up in the wall that was laid before it all.
func (l *Long) Exposure(start time.Time) Exposure {
	s := l.day.seconds(start)
	i := sort.Search(len(l.laid), func(i int) bool { return l.laid[i].Time >= s })
	var x Exposure
	if i+2 < len(l.laid) {
		// Hours are even: the mean of the wait's air is all that FrostFree takes of them.
		n := min(i+int(l.finish().FrostFree.High*24)+1, len(l.laid)-1)
		if record, err := cure.NewRecord(l.laid[i:n], l.laid[n].Time); err == nil {
			f := l.rules.FrostFree(record, l.finish())
			x.Free = [3]time.Time{l.day.moment(f.Earliest), l.day.moment(f.Likely), l.day.moment(f.Latest)}
		}
	}
	if k, _ := slices.BinarySearch(l.cold, s); k < len(l.cold) {
		x.First = l.day.moment(l.cold[k])
	}
	return x
}

// Frosts are the moments at which the wall laid before it all, or the air, freezes.
func (l *Long) Frosts() []time.Time {
	var out []time.Time
	for _, t := range l.cold {
		out = append(out, l.day.moment(t))
	}
	return out
}

// farOn is how many working days in a row a coat after the first is tried on in a season, before the begin counts as lost.
const farOn = 5

// Try answers for the job's coats, the first laid at start; starts must be asked for in order of time. to is the end of the working hours
// of that day. Coats that do not fit into it are laid on the first working day on which they serve, through the weather as it was: the answer is
// then of all of them, with what befalls the last. Where none is found for them it is a no-go, for the
// reasons of the day tried last. What is surely a no-go is not worked out: its answer has the reason and little else.
func (l *Long) Try(start, to time.Time) (Answer, error) { return l.try(start, to, true) }

// Judge is Try where nothing is asked of the frost on a lay that is lost: its Exterior may then be missing.
func (l *Long) Judge(start, to time.Time) (Answer, error) { return l.try(start, to, false) }

func (l *Long) try(start, to time.Time, frost bool) (Answer, error) {
	d := l.day
	l.frost = frost
	s, end := d.seconds(start), d.seconds(to)
	if no := l.undamped(s); no != nil {
		return *no, d.bare.To(s - d.job.dampedBefore()) // as if it were laid on
	}
	c, err := d.standing(s)
	if err != nil {
		return Answer{}, err
	}
	t := &trial{start: s, c: d.under(c, d.middle).Slowest()}
	a, err := l.one(t, nil, to)
	for tries := 0; err == nil && a.Verdict != NoGo && len(a.runs) < len(d.job.Coats); tries++ {
		i := len(a.runs)
		lay, until := d.working(max(end, d.grained(a.runs[i-1].next, i-1)))
		if until > l.air[len(l.air)-1].Time {
			return a, nil // what becomes of it is not known
		}
		b, next, err := l.goOn(t, &a, lay, d.moment(until))
		if err != nil {
			return a, err
		}
		end = until
		if b.Verdict == NoGo {
			if tries == farOn-1 {
				a.Verdict, a.Reasons = NoGo, b.Reasons
			}
			continue
		}
		if a.Verdict.Better(b.Verdict) {
			a.Verdict, a.Reasons = b.Verdict, b.Reasons
		}
		a.Coats, a.runs, a.Exterior, t, tries = b.Coats, b.runs, b.Exterior, next, -1
	}
	return a, err
}

// onDay is what became of the coats from one on that were laid on a later day.
type onDay struct {
	answer Answer
	next   *trial
}

// goOn answers for what is laid on a later day, after what the answer has. A bed of days before is much like another: where lays are screened, what became of
// the coat on that day counts for all begins that come to it.
func (l *Long) goOn(t *trial, a *Answer, lay float64, to time.Time) (Answer, *trial, error) {
	d, i := l.day, len(a.runs)
	key := [2]float64{float64(i), lay}
	if x, ok := l.later[key]; ok && l.screen {
		b := x.answer
		b.Coats, b.runs = append(a.Coats[:i:i], b.Coats[i:]...), append(a.runs[:i:i], b.runs[i:]...)
		return b, x.next, nil
	}
	next := &trial{start: lay, c: t.c.Branch(), from: i}
	if d.job.mists(i, a.runs[i-1].lay+a.runs[i-1].times.Dry, lay) {
		next.mist, next.start = true, lay+coat.MistingTime
	}
	if err := next.c.To(lay); err != nil {
		return *a, nil, err
	}
	b, err := l.one(next, a.runs, to)
	if err == nil && l.screen {
		l.later[key] = onDay{b, next}
	}
	return b, next, err
}

// one answers for what is laid on one day, after what was laid before. The trial's wall stands after it.
func (l *Long) one(t *trial, done []coatRun, to time.Time) (Answer, error) {
	d := l.day
	start := d.moment(t.start)
	a := Answer{Job: d.job, At: start, Start: start, Spots: 1}
	if l.screen && len(done) == 0 {
		if no, err := l.hopeless(a, t); no != nil || err != nil {
			return *no, err
		}
	}
	a, err := a.with(d, t, done, to)
	a.Trace = nil
	if err != nil || len(a.Coats) == 0 || a.Verdict == NoGo && (len(done) > 0 || l.decided(&a)) {
		return a, err
	}
	s, samples, c := t.start, t.samples, t.c.Branch()
	x := &Exterior{Frost: FrostNone, FaceMin: a.WallTemp, Radiation: d.facts.Radiation.String()}
	a.Exterior = x
	end := min(s+judged, l.air[len(l.air)-1].Time)
	x.Horizon = d.moment(end)
	own := min(s+l.own, end)
	if dry := reached(a.Coats[len(a.Coats)-1].Times.Dry); l.screen && dry && l.calm(c.Time(), own) {
		own = min(c.Time(), own)
	}
	if c.Time() < own {
		c.Record(&samples, coat.Seldom)
		if err := c.To(own); err != nil {
			return a, err
		}
	}
	laid := a.runs[len(a.runs)-1].lay
	var hours []cure.Hour
	for _, p := range samples {
		x.FaceMin = min(x.FaceMin, p.Face)
		if p.Time >= laid && p.Time < own {
			hours = append(hours, d.hour(p))
		}
	}
	if len(hours) == 0 {
		return a, nil
	}
	i := sort.Search(len(l.laid), func(i int) bool { return l.laid[i].Time >= own })
	for ; i < len(l.laid) && l.laid[i].Time < end; i++ {
		if l.laid[i].Time > hours[len(hours)-1].Time {
			hours = append(hours, l.laid[i])
			x.FaceMin = min(x.FaceMin, l.laid[i].Face)
		}
	}
	report, ok, err := a.assess(d, hours, end)
	if err != nil || !ok {
		return a, err
	}
	l.frostLater(x, report.FrostFree, end)
	first := sort.Search(len(l.air), func(i int) bool { return l.air[i].Time >= s })
	n := sort.Search(len(l.air), func(i int) bool { return l.air[i].Time >= s+86400 })
	if err := a.exposed(d, l.air[first:n], laid, l.rules); err != nil {
		return a, err
	}
	a.judgeExterior(l.rules)
	return a, nil
}

// frostLater looks the frost after what was judged hour by hour up: of the face or the air within the frost-free days.
func (l *Long) frostLater(x *Exterior, free cure.FrostFree, from float64) {
	if x.Frost != FrostNone {
		return
	}
	i, _ := slices.BinarySearch(l.cold, from)
	if i < len(l.cold) && l.cold[i] <= free.Latest {
		x.Frost, x.FirstFrost = FrostPossible, l.day.moment(l.cold[i])
	}
}

// hopeless is the answer where the bare wall alone makes it a no-go, or rain on a single coat that no frost follows: nothing
// that comes of the coat can better that, and Stop names the same reason; see TestLongLikeFull.
func (l *Long) hopeless(a Answer, t *trial) (*Answer, error) {
	if err := a.stand(t.c, l.day); err != nil {
		return &a, err
	}
	a.judgeWall()
	a.sortReasons()
	if a.Verdict == NoGo {
		return &a, nil
	}
	if at, surely := l.rainSoon(t.start); surely {
		return a.rainedOff(l.day.moment(at)), nil
	}
	return nil, nil
}

// rainedOff is the answer for a lay that rain comes to.
func (a Answer) rainedOff(at time.Time) *Answer {
	a.Reasons = []Reason{{Code: CodeRain, Severity: Stops, Says: message.Say("Rain drives onto the wall at {}.", comes(at))}}
	a.Verdict = NoGo
	return &a
}

// How much colder, and how much warmer, than the wall laid before it all a wall may be that was damped for laying, K: it dries, and its dark face
// takes up more sun. A hot one is hardly warmer. Of 22,000 lays in two years of Chicago and one of Portland none was colder by over 7.4 where that
// counts (below 20 C), warmer by over 3.0, or hot and warmer by over 0.4; see TestLongJudge.
const (
	dampColder = 8.0
	dampWarmer = 4.0
	dampHotter = 2.0
)

// undamped is hopeless for a damped wall, where that is sure without damping it; nil where it is not.
func (l *Long) undamped(s float64) *Answer {
	d := l.day
	if !l.screen || !d.job.Damped || d.job.Background.Sealed || s < l.air[0].Time+lead.Seconds() { // at first the other wall is fresh itself
		return nil
	}
	low, high := math.Inf(1), math.Inf(-1)
	i := sort.Search(len(l.laid), func(i int) bool { return l.laid[i].Time >= s-3600 })
	for ; i < len(l.laid) && l.laid[i].Time < s+3600; i++ {
		low, high = min(low, l.laid[i].Face), max(high, l.laid[i].Face)
	}
	if low > high { // there are no such hours
		return nil
	}
	cold, hot := d.job.FaceLimits()
	start := d.moment(s)
	a := Answer{Job: d.job, At: start, Start: start, Spots: 1}
	if high+dampWarmer < cold {
		a.Reasons = []Reason{{Code: CodeWallCold, Severity: Stops, Says: message.Words("The wall is too cold."), Value: high, Limit: cold, Unit: "C"}}
		a.Verdict = NoGo
		return &a
	}
	if low-dampColder > cold && high+dampHotter < hot {
		if at, surely := l.rainSoon(s); surely {
			return a.rainedOff(d.moment(at))
		}
	}
	return nil
}

// decided tells that neither rain nor, where that is asked, frost can say more of a lay that is lost already.
func (l *Long) decided(a *Answer) bool {
	if !l.screen {
		return false
	}
	r := a.runs[len(a.runs)-1]
	_, wets := l.rains(r.lay-rainSurely, r.lay+max(l.finish().RainFree.Value*3600, min(r.times.Dry, judged))+rainSurely, l.rules.RainWets.Value/rainWell)
	return !wets && (!l.frost || l.warm(r.lay))
}

// How far from all doubt rain and frost must be for a lay not to be worked out: by its hours, and its rate, and the warmth of
// the wall laid before it all and of the air.
const (
	rainSurely = 3600.0 // s inside the rain-free hours
	rainWell   = 1.2    // times the rain that wets
	warmWall   = 3.0    // C
	warmAir    = 4.0    // C
)

// rainSoon is when rain surely falls on a single coat laid at s within its rain-free hours, with no frost near in all the time
// that is judged where that is asked; not where it is not sure.
func (l *Long) rainSoon(s float64) (at float64, surely bool) {
	if len(l.day.job.Coats) != 1 {
		return 0, false
	}
	at, falls := l.rains(s+rainSurely, s+l.finish().RainFree.Value*3600-rainSurely, rainWell*l.rules.RainWets.Value)
	return at, falls && (!l.frost || l.warm(s))
}

// rains is when the first rain of a rate, kg/(m2 h), falls from one moment to another, if any does.
func (l *Long) rains(from, to, rate float64) (at float64, falls bool) {
	i := sort.Search(len(l.air), func(i int) bool { return l.air[i].Time >= from })
	for ; i < len(l.air) && l.air[i].Time < to; i++ {
		if l.air[i].Rain*3600 >= rate {
			return l.air[i].Time, true
		}
	}
	return 0, false
}

// warm tells that no frost is near in all the time for which a lay is judged.
func (l *Long) warm(s float64) bool {
	i := sort.Search(len(l.laid), func(i int) bool { return l.laid[i].Time >= s })
	for ; i < len(l.laid) && l.laid[i].Time < s+judged; i++ {
		if l.laid[i].Face < warmWall || l.laid[i].Air < warmAir {
			return false
		}
	}
	return true
}

// calm tells that neither rain nor frost comes near from one moment to another: a dry coat then goes on like any other.
func (l *Long) calm(from, to float64) bool {
	i := sort.Search(len(l.air), func(i int) bool { return l.air[i].Time >= from-rainSurely })
	for ; i < len(l.air) && l.air[i].Time < to+rainSurely; i++ {
		if l.air[i].Rain > 0 || l.air[i].Temperature < warmAir {
			return false
		}
	}
	k := sort.Search(len(l.laid), func(i int) bool { return l.laid[i].Time >= from })
	for ; k < len(l.laid) && l.laid[k].Time < to; k++ {
		if l.laid[k].Face < warmWall {
			return false
		}
	}
	return true
}

// Stop is the reason that a day is lost to: what the bare wall forbids first, then rain, then the rest in their order.
func (a *Answer) Stop() (Code, bool) {
	if a.Verdict != NoGo || len(a.Reasons) == 0 {
		return "", false
	}
	first := a.Reasons[0].Code
	if slices.Contains([]Code{CodeWallCold, CodeWallHot, CodeDewPoint, CodeBackground}, first) {
		return first, true
	}
	for _, r := range a.Reasons {
		if r.Code == CodeRain && r.Severity == Stops {
			return CodeRain, true
		}
	}
	return first, true
}
