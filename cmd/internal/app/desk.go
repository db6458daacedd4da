package app

import (
	"context"
	"errors"
	"net/url"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/message"
	"limeday/psychro"
)

// benchRuns is how many drawings of the bench are worked out at a time; more wait for their turn.
var benchRuns = runtime.GOMAXPROCS(0)

// desk answers the pages of serve.
type desk struct {
	ctx     context.Context // of the command
	inv     *invocation
	jobs    []*deskJob
	weather []string // of the season
	source  string
	offline bool
	record  string
	seed    uint

	drawings, bands chan struct{} // turns
	background      sync.WaitGroup
	keeping         sync.Mutex // one answer of practice is kept at a time
}

// deskJob is one job of the page.
type deskJob struct {
	path, example, name, diary string

	work sync.Mutex // one answer at a time
	book sync.Mutex // one press or reading at a time: never held while an answer is worked out

	mu      sync.Mutex // over all below
	reading *deskReading
	kept    map[quantity.Units]keptToday
	walls   map[quantity.Units]keptWall
	changes int  // how often the diary or the reading has
	note    bool // the next answer is noted in the diary
	year    deskYear
}

// deskReading is a reading typed in.
type deskReading struct {
	at       time.Time
	temp, rh float64 // C, percent
	wall     *float64
}

// same tells a reading sent again within the minute.
func (r deskReading) same(o deskReading) bool {
	walls := r.wall == nil && o.wall == nil || r.wall != nil && o.wall != nil && *r.wall == *o.wall
	return walls && r.temp == o.temp && r.rh == o.rh && o.at.Sub(r.at) < time.Minute
}

type keptToday struct {
	today page.Today
	at    time.Time
}

// stale is how long an answer serves again: the forecast and the clock move on.
const stale = 10 * time.Minute

// Jobs implements page.Desk.
func (d *desk) Jobs() []string {
	var names []string
	for _, j := range d.jobs {
		names = append(names, j.name)
	}
	return names
}

// warm works every job out before anyone asks.
func (d *desk) warm() {
	for i := range d.jobs {
		if d.ctx.Err() == nil {
			d.Today(d.ctx, i, d.inv.Units())
		}
	}
}

// wait waits for what goes on behind the pages, which ends with the command.
func (d *desk) wait() { d.background.Wait() }

func (d *desk) load(j *deskJob) (*job.Job, error) {
	return loadJob(j.path, j.example != "", j.example == exampleGable, j.example == exampleStair, nil)
}

// Today implements page.Desk.
func (d *desk) Today(ctx context.Context, n int, u quantity.Units) page.Today {
	j := d.jobs[n]
	j.work.Lock()
	defer j.work.Unlock()
	now := d.inv.Now()
	j.mu.Lock()
	k, ok := j.kept[u]
	was := j.changes
	j.mu.Unlock()
	if !ok || now.Sub(k.at).Abs() > stale || k.today.Fault != "" {
		k = keptToday{d.today(ctx, j, u), now}
		j.mu.Lock()
		if ctx.Err() == nil && was == j.changes {
			j.kept[u] = k
		}
		j.mu.Unlock()
	}
	t := k.today
	t.Presses = slices.Clone(t.Presses)
	for i := range t.Presses {
		t.Presses[i].ID = page.NewID()
	}
	if t.Undo != nil {
		undo := *t.Undo
		undo.ID = page.NewID()
		t.Undo = &undo
	}
	t.Reading = slices.Clone(t.Reading)
	return t
}

// changed forgets the answers, as there is something new to answer from; tell has the next one noted in the diary.
func (j *deskJob) changed(reading *deskReading, tell bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.kept, j.walls, j.note = map[quantity.Units]keptToday{}, map[quantity.Units]keptWall{}, j.note || tell
	j.changes++
	if reading != nil {
		j.reading = reading
	}
}

// current is the reading of the day, nil where there is none.
func (j *deskJob) current(now time.Time, zone *time.Location) *deskReading {
	j.mu.Lock()
	defer j.mu.Unlock()
	if r := j.reading; r != nil && r.at.In(zone).Format(time.DateOnly) == now.In(zone).Format(time.DateOnly) {
		return r
	}
	return nil
}

// dayOf is what a job's day is worked out from.
type dayOf struct {
	file    *job.Job
	job     drying.Job
	walls   []drying.Job
	ask     drying.Ask
	seen    []drying.Seen
	reading *deskReading
	assumed []string
}

// today works a job's answer out.
func (d *desk) today(ctx context.Context, j *deskJob, u quantity.Units) page.Today {
	t := page.Today{Name: j.name, NoPress: "The examples keep no diary: serve a job of your own to note what you see."}
	if j.example == "" {
		t.NoPress = ""
		t.Reading = readingForm(u)
	}
	day, err := d.day(ctx, j, u)
	t.ReadSay = day.reading.say(day.ask.At, u)
	if day.file != nil && j.example == "" {
		if len(day.walls) > 1 {
			t.NoPress = "This job has several walls, and what is seen is of one: serve a job with that wall alone to note it."
		} else {
			d.buttons(&t, j, day)
		}
	}
	if err == nil {
		err = d.answer(ctx, &t, j, day, u)
	}
	if err != nil {
		t.Fault = pageSentence(err)
	}
	return t
}

// pageSentence is an error for people on a page; clause is it within a sentence.
func pageSentence(err error) string { return sentence(clause(err)) }

func clause(err error) string {
	if errors.Is(err, context.Canceled) {
		return "it was broken off; load the page again"
	}
	e, _ := told(err)
	return strings.TrimSuffix(oneLine(e.Message), ".")
}

// day gathers what the answer is worked out from. Where there is an error, what is known so far stands.
func (d *desk) day(ctx context.Context, j *deskJob, u quantity.Units) (day dayOf, err error) {
	if day.file, err = d.load(j); err != nil {
		day.file = nil
		return day, err
	}
	now := d.inv.Now()
	if day.job, day.assumed, err = toDrying(day.file, givenAtFlags{home: now.Location()}, u); err != nil {
		day.file = nil
		return day, err
	}
	var unused string
	if day.job.Timing, unused, err = timingFor("", day.file, day.job.Coats); err != nil {
		return day, err
	} else if unused != "" {
		day.assumed = append(day.assumed, unused)
	}
	day.walls = []drying.Job{day.job}
	if day.file.Room == nil {
		var more []string
		day.walls, more = outdoorWalls(day.file, day.job)
		day.assumed = append(day.assumed, more...)
	}
	day.ask.At = now
	if j.diary != "" {
		if day.seen, err = d.inv.fromDiary(j.diary, now, day.job.Zone); err != nil {
			return day, err
		}
	}
	return day, d.air(ctx, j, &day)
}

// air finds the air of the day: the example's own, the reading, the forecast, or the forecast shifted by the reading.
func (d *desk) air(ctx context.Context, j *deskJob, day *dayOf) (err error) {
	at := &day.ask.At
	switch j.example {
	case exampleHall, exampleGable, exampleStair:
		if *at, err = time.Parse(time.RFC3339, job.ExampleAt); err != nil {
			return err
		}
		if j.example == exampleGable {
			day.ask.Air, err = gableAir(*at)
		} else {
			day.ask.Air, err = exampleAir()
		}
		return err
	}
	r := j.current(*at, day.job.Zone)
	day.reading = r
	if r != nil {
		air, err := psychro.NewAir(psychro.Celsius(r.temp), psychro.Fraction(r.rh/100), day.job.Pressure())
		if err != nil {
			return err
		}
		day.ask.Air = oneReading(r.at, air)
		if r.wall != nil && at.Sub(r.at) < time.Hour {
			day.ask.WallTemp = r.wall
		}
	}
	placed := day.file.Place.Latitude != nil && day.file.Place.Longitude != nil
	switch {
	case !placed && r == nil:
		return errors.New("there is no reading yet, and the job does not say where it is, so no forecast can be asked for: give the reading below")
	case !placed:
		return nil
	}
	air, err := d.inv.forecast(ctx, day.file, day.job, *at, d.source, d.offline, day.ask.Air)
	var none *Error
	if errors.As(err, &none) && none.Exit == ExitNoWeather && r != nil && day.file.Room != nil {
		day.ask.Air.Notes = append(day.ask.Air.Notes, none.Message)
		return nil // the reading alone serves indoors
	}
	if err == nil {
		day.ask.Air = air
	}
	return err
}

// answer works the day out and says it.
func (d *desk) answer(ctx context.Context, t *page.Today, j *deskJob, day dayOf, u quantity.Units) error {
	seen := day.seen
	if len(day.walls) > 1 {
		seen = nil
	}
	answers, best, err := d.inv.workDay(day.walls, day.ask, seen, d.seed)
	if err != nil {
		return noCheck(err, day.ask.Air.Source)
	}
	a := answers[best]
	if x := a.Exterior; x != nil && j.example == "" {
		x.Odds, x.OddsYears = d.inv.oddsAfter(ctx, day.walls[best], x.Horizon, x.FrostFree[1])
	}
	v, err := d.inv.viewDay(day.file, headOf(day.file, j.example != "", false), day.walls[best], day.ask, answers, best, seen, day.assumed)
	if err != nil {
		return err
	}
	p := view.Printer{Units: u, Day: a.At}
	t.Day = &sheet.Shown{Day: v, Printer: p}
	drawn := drawing.OfDay(v, p)
	t.Picture, t.Course = drawing.Inline(drawn), courseTable(drawn)
	t.Worked = "Worked out " + stamp(a.At) + "."
	j.mu.Lock()
	note := j.note
	j.note = false
	j.mu.Unlock()
	if note {
		return d.inv.keep(j.diary, a)
	}
	return nil
}

// courseTable is the table beside a day's picture.
func courseTable(d drawing.Day) *page.Table {
	head, rows := drawing.Table(d, 12)
	if len(rows) == 0 {
		return nil
	}
	return &page.Table{Caption: "Air and wall, in numbers", Head: head, Rows: rows}
}

// apart is a text without the marks that keep words together on a screen.
func apart(s string) string { return strings.ReplaceAll(s, noBreak, " ") }

// The form of a reading.
func readingForm(u quantity.Units) []page.Field {
	t := quantity.Temperature.Unit(u)
	return []page.Field{
		{Name: "temp", Label: "Air", Unit: t, Numeric: true},
		{Name: "rh", Label: "Humidity", Unit: "%", Numeric: true},
		{Name: "wall_temp", Label: "Wall, if measured", Unit: t, Numeric: true},
	}
}

func (r *deskReading) say(now time.Time, u quantity.Units) string {
	if r == nil {
		return ""
	}
	t := message.Say("In use: {}, {}", message.Celsius(r.temp), message.RH(r.rh/100))
	if r.wall != nil {
		t = message.Say("{}, wall {}", t, message.Celsius(*r.wall))
	}
	return view.Printer{Units: u}.Text(message.Say("{}, {} old.", t, message.Quantity{Kind: message.Age, Value: now.Sub(r.at).Seconds()}))
}

// Read implements page.Desk.
func (d *desk) Read(_ context.Context, n int, form url.Values, u quantity.Units) error {
	j := d.jobs[n]
	if j.example != "" {
		return errors.New("the examples have their own air: serve a job of your own")
	}
	r := deskReading{at: d.inv.Now()}
	bad := page.FormError{Fields: map[string]string{}}
	number := func(name string, k *quantity.Kind, valid quantity.Range, must bool) *float64 {
		text := form.Get(name)
		if text == "" && !must {
			return nil
		}
		v, err := quantity.Parse(k, text, u, valid)
		if err != nil {
			bad.Fields[name] = err.Error()
			return nil
		}
		return &v
	}
	temp := number("temp", quantity.Temperature, quantity.AirTemperatures, true)
	rh := number("rh", quantity.Humidity, quantity.Humidities, true)
	r.wall = number("wall_temp", quantity.Temperature, quantity.AirTemperatures, false)
	if len(bad.Fields) > 0 {
		return &bad
	}
	r.temp, r.rh = *temp, *rh
	j.book.Lock()
	defer j.book.Unlock()
	b, err := diary.Open(j.diary, d.inv.Now)
	if err != nil {
		return pageError(err)
	}
	e := diary.Entry{Kind: diary.Reading, At: r.at, Data: map[string]any{"temp": r.temp, "rh": r.rh}}
	if r.wall != nil {
		e.Data["wall_temp"] = *r.wall
	}
	if last := j.current(r.at, r.at.Location()); last != nil && last.same(r) { // a form sent twice is one reading
		return nil
	}
	if _, err := b.Append(e); err != nil {
		return pageError(err)
	}
	j.changed(&r, false)
	return nil
}

// pageError words an error for a page; one of the disk's or of another program's hold can be tried again.
func pageError(err error) error {
	var file *diary.FileError
	said := errors.New(clause(err))
	if errors.As(err, &file) && !file.NoDiary {
		return &page.BusyError{Err: said}
	}
	return said
}
