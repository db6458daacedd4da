package drying

import (
	"math"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/message"
	"limeday/psychro"
)

// trial is a day's work from one start: the wall then, and what comes of it.
type trial struct {
	start   float64 // s
	c       *course.Course
	bare    stand         // where not nil, the bare wall that c is still to be made of
	from    int           // the first coat to be laid
	mist    bool          // its bed is misted before
	stop    int           // how many coats are on the wall when the work stops; 0: as many as fit
	samples []coat.Sample // of the slowest spot from the start on
}

// longStood is how long a bed stands dry, s, before it is misted where the finish may be: overnight (common practice, no source).
const longStood = 10 * 3600.0

// mists tells whether the bed of coat i is misted where it has stood dry since a time, s, and is laid on at another.
func (j Job) mists(i int, dry, lay float64) bool {
	c := j.Coats[i]
	return j.Mistable(i) && !c.NoMist && (c.Mist || lay-dry >= longStood)
}

// Mistable tells whether the bed of coat i may be misted: polish under polish, and no dark tint, which shows the spots.
func (j Job) Mistable(i int) bool {
	c := j.Coats[i]
	return i > 0 && c.Finish.Polish && j.Coats[i-1].Finish.Polish && ShadeOf(c.Tint) != Dark
}

// coats lays the coats that fit into a day which ends at to, s, from the trial's start on, each as soon as the one before allows. A last coat
// that could not be closed in within the day is left to another, where fits tells so; nil lays it all the same. The trial's wall stands after them.
func (d *day) coats(t *trial, x *draw, to float64, fits func(coatRun) bool) ([]coatRun, error) {
	var runs []coatRun
	lay := t.start
	for i := t.from; i < len(d.job.Coats) && (t.stop == 0 || i < t.stop); i++ {
		misted := i == t.from && t.mist
		if i > t.from {
			r := runs[len(runs)-1]
			lay = d.grained(r.next, i-1)
			if misted = reached(lay) && d.job.mists(i, r.lay+r.times.Dry, lay); misted {
				lay = d.seconds(RoundUp(d.moment(lay+coat.MistingTime), 5*time.Minute))
			}
			if !(lay < to) {
				break
			}
		}
		c, n := t.c, len(t.samples)
		whether := i == len(d.job.Coats)-1 && i > t.from && fits != nil
		if whether {
			c = t.c.Branch()
			c.Record(&t.samples, coat.Seldom)
		}
		if misted {
			if err := c.To(lay - coat.MistingTime); err != nil {
				return nil, err
			}
			if err := c.Mist(); err != nil {
				return nil, err
			}
		}
		r, err := d.coat(i, lay, c, x, false)
		if err != nil {
			return nil, err
		}
		if whether && !fits(r) {
			t.samples = t.samples[:n]
			break
		}
		r.misted = misted
		runs, t.c = append(runs, r), c
	}
	return runs, nil
}

// grained is the moment at which what can follow coat i from a time on is laid, s: as coarsely as the time is known, and not to
// the half day.
func (d *day) grained(next float64, i int) float64 {
	if !reached(next) {
		return next
	}
	grain := min(time.Duration(d.job.Coats[i].Finish.Grain)*time.Second, 30*time.Minute)
	if d.job.Coats[i].Green {
		grain = 5 * time.Minute // a green base does not wait
	}
	return d.seconds(RoundUp(d.moment(next), grain))
}

// closable tells whether a last coat can be closed in before to, s.
func (d *day) closable(r coatRun, to float64) bool {
	burnish, closes := r.lay+r.times.Burnish, r.lay+r.times.Closes
	switch {
	case !reached(r.times.Burnish) || burnish > to || closes > to && to-burnish < shortBurnCare.Seconds():
		return false
	case len(d.spots) > 1 && burnish >= closes: // each spot in its own time
		return true
	}
	return closes-burnish >= shortestBurn.Seconds()
}

// working is the first moment not before s, s, in working hours of a working day, and when those end.
func (d *day) working(s float64) (at, to float64) {
	if !reached(s) {
		return s, s
	}
	t := d.moment(s)
	for range farDays {
		from, until := d.job.Hours.On(t)
		if d.job.Hours.Works(t) && t.Before(until) {
			if t.Before(from) {
				t = from
			}
			return d.seconds(t), d.seconds(until)
		}
		t = midnight(t, 1)
	}
	return math.Inf(1), math.Inf(1)
}

// farDays is how many days are looked through for a working day: over a year of days off.
const farDays = 400

// plan is the timetable of runs; the first is coat 1.
func (d *day) plan(runs []coatRun) []CoatPlan {
	var plans []CoatPlan
	for i, r := range runs {
		plans = append(plans, d.planOf(i, r))
	}
	return plans
}

func (d *day) planOf(i int, r coatRun) CoatPlan {
	c := d.job.Coats[i]
	p := CoatPlan{Number: i + 1, Coat: c, Last: i == len(d.job.Coats)-1, Lay: d.moment(r.lay), Times: r.times, Done: r.done, Misted: r.misted, Due: DueToday}
	if r.done {
		p.Lay = d.told[i].In(d.job.Zone)
	}
	p.mark()
	if r.careful > r.lay && !p.Last {
		p.Custom, p.Careful = d.moment(r.custom), d.moment(r.careful)
	}
	return p
}

// stand notes the wall and the air where a course stands.
func (a *Answer) stand(c *course.Course, d *day) (err error) {
	a.WallTemp = c.Face()
	now := c.Air()
	switch x := d.found; { // as it was found, where what is behind it is not known
	case x < 0:
		a.WallTemp = min(a.WallTemp, now.Temperature+x)
	case x > 0:
		a.WallTemp = max(a.WallTemp, now.Temperature+x)
	}
	a.wall = a.WallTemp
	if len(d.laid) > 0 { // what dries on it cools it
		bare := d.bare.Slowest()
		if err := bare.To(c.Time()); err != nil {
			return err
		}
		a.wall = max(a.wall, bare.Face())
	}
	// Between two readings of fog the straight line lies above saturation.
	vapour := min(psychro.Pascal(now.Vapour), psychro.SaturationWater(psychro.Celsius(now.Temperature)))
	a.Now, err = psychro.NewAirFromVapourPressure(psychro.Celsius(now.Temperature), vapour, d.pressure)
	return err
}

// with completes the answer for one start, after what was done before; to is the end of the hours.
func (a Answer) with(d *day, t *trial, done []coatRun, to time.Time) (Answer, error) {
	if err := a.stand(t.c, d); err != nil {
		return a, err
	}
	t.c.Record(&t.samples, coat.Seldom)
	end := d.seconds(to)
	t.stop = a.stop
	a.unfit = nil
	runs, err := d.coats(t, d.middle, end, func(r coatRun) bool {
		fits := d.closable(r, end)
		if !fits {
			a.unfit = &r
		}
		return fits
	})
	if err != nil {
		return a, err
	}
	a.Coats = d.plan(append(append([]coatRun(nil), done...), runs...))
	a.runs = append(append([]coatRun(nil), done...), runs...)
	a.due = [2]int{len(done), len(a.Coats)}
	a.Trace = d.trace(t.samples)
	a.judge(to)
	return a, nil
}

// better reports whether a is the better start of a day than b: what is not a no-go, then more coats, then the better verdict.
func (a *Answer) better(b *Answer) bool {
	if x, y := a.Verdict != NoGo, b.Verdict != NoGo; x != y {
		return x
	}
	if x, y := a.due[1]-a.due[0], b.due[1]-b.due[0]; x != y && a.Verdict != NoGo {
		return x > y
	}
	return a.Verdict.Better(b.Verdict)
}

// later plans the coats that are left, each on the first working day on which it serves, as far as the air is known: up to until. After that
// a coat is not before. The trial's wall is as the last coat left it, done are the runs up to there, and from is when work can go on.
func (a *Answer) later(m *morning, t *trial, runs []coatRun, from time.Time) error {
	d := *m.day
	d.quick = true
	until := d.seconds(m.until)
	after := d.seconds(from)
	var last *Reason // that the day tried last was lost to
	for tries := 0; len(runs) < len(d.job.Coats); {
		i := len(runs)
		ready := after
		if i > 0 {
			ready = max(ready, d.grained(runs[i-1].next, i-1))
		}
		lay, to := d.working(ready)
		if !reached(lay) {
			return nil // it never dries, or there is no working day
		}
		day := d.moment(lay)
		if to > until || tries >= farTries {
			if tries > 0 && i > 0 && last != nil {
				a.add(Reason{Code: CodeNotToday, Severity: Warns, Says: message.Say("For coat {} no day is known yet on which it can be laid and closed: {}.", message.Number(i+1), last.Code.Words())})
				a.sortReasons()
				last = nil
			}
			r := coatRun{lay: lay, times: coat.Never(), next: math.Inf(1)}
			least, careful := d.job.Coats[i].waits()
			r.custom, r.careful = lay+least, lay+careful
			r.next = r.custom
			runs = append(runs, r)
			p := d.planOf(i, r)
			p.Due = NotBefore
			a.Coats = append(a.Coats, p)
			a.onDay(day, NotBefore, "", nil, i+1)
			continue
		}
		tries++
		now := state{runs: runs}
		if t.c != nil {
			now.c = t.c.Branch()
		}
		that := a.anew(d.job)
		that.Day = midnight(day, 0)
		b, next, err := d.choose(that, now, lay, to, stride)
		if err != nil {
			return err
		}
		if b.Verdict == NoGo {
			after, last = to, b.First()
			continue
		}
		due := Likely
		if b.Verdict == Care {
			due = Doubtful
		}
		var numbers []int
		for k, p := range b.Coats[b.due[0]:] {
			p.Due = due
			a.Coats = append(a.Coats, p)
			numbers = append(numbers, b.due[0]+k+1)
			runs = append(runs, b.runs[b.due[0]+k])
		}
		a.onDay(day, due, b.Verdict, b.warnings(), numbers...)
		t.c, after, tries = next.c, to, 0
	}
	return nil
}

// farTries is how many days in a row a coat is tried on.
const farTries = 10

// anew is the answer with nothing of a start in it.
func (a *Answer) anew(job Job) Answer {
	b := *a
	b.start, b.stop = time.Time{}, 0
	b.Job, b.Reasons, b.Coats, b.Changes, b.Care, b.Sheet, b.Exterior, b.Protect, b.Trace, b.Days = job, nil, nil, nil, nil, nil, nil, nil, nil, nil
	return b
}

// warnings are the reasons that stop or warn.
func (a *Answer) warnings() (out []Reason) {
	for _, r := range a.Reasons {
		if r.Severity != Notes {
			out = append(out, r)
		}
	}
	return out
}

// onDay notes coats on a day.
func (a *Answer) onDay(t time.Time, due Due, v Verdict, reasons []Reason, coats ...int) {
	date := midnight(t, 0)
	if n := len(a.Days); n > 0 && a.Days[n-1].Date.Equal(date) {
		a.Days[n-1].Coats = append(a.Days[n-1].Coats, coats...)
		return
	}
	a.Days = append(a.Days, DayPlan{Date: date, Due: due, Verdict: v, Reasons: reasons, Coats: coats})
}

// tend puts what the wall wants after its last coat on the days of the plan.
func (a *Answer) tend() {
	for _, list := range [][]Aftercare{a.Protect, a.Care} {
		for _, c := range list {
			if c.Wall != "" || c.Idle() || c.From.Before(a.At) {
				continue
			}
			date := midnight(c.From.In(a.Job.Zone), 0)
			i, found := slices.BinarySearchFunc(a.Days, date, func(p DayPlan, t time.Time) int { return p.Date.Compare(t) })
			if !found {
				a.Days = slices.Insert(a.Days, i, DayPlan{Date: date})
			}
			a.Days[i].Tend = append(a.Days[i].Tend, c)
		}
	}
}
