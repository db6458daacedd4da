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
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
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
	path, name, diary string
	example           intake.Example

	work sync.Mutex // one answer at a time
	book sync.Mutex // one press or reading at a time: never held while an answer is worked out

	mu      sync.Mutex // over all below
	days    shelf[page.Today]
	walls   shelf[page.Wall]
	changes int  // how often the diary has
	note    bool // the next answer is noted in the diary
	year    deskYear
}

// shelf keeps a job's answers, by the units they are in; shelved is one, and when it was made.
type shelf[T any] map[quantity.Units]shelved[T]

type shelved[T any] struct {
	answer T
	at     time.Time
}

// keep gives the answer that a shelf of the job holds, or makes it: again where it is stale or has a fault. What changed meanwhile makes it
// an answer for once.
func keep[T any](ctx context.Context, j *deskJob, on *shelf[T], u quantity.Units, now time.Time, fault func(T) string, work func() T) T {
	j.mu.Lock()
	k, ok := (*on)[u]
	was := j.changes
	j.mu.Unlock()
	if ok && now.Sub(k.at).Abs() <= stale && fault(k.answer) == "" {
		return k.answer
	}
	k = shelved[T]{work(), now}
	j.mu.Lock()
	defer j.mu.Unlock()
	if ctx.Err() == nil && was == j.changes {
		if *on == nil {
			*on = shelf[T]{}
		}
		(*on)[u] = k
	}
	return k.answer
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
	return intake.Load(j.path, j.example, nil)
}

// Today implements page.Desk.
func (d *desk) Today(ctx context.Context, n int, u quantity.Units) page.Today {
	j := d.jobs[n]
	j.work.Lock()
	defer j.work.Unlock()
	t := keep(ctx, j, &j.days, u, d.inv.Now(), func(t page.Today) string { return t.Fault }, func() page.Today { return d.today(ctx, j, u) })
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
func (j *deskJob) changed(tell bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.days, j.walls, j.note = nil, nil, j.note || tell
	j.changes++
}

// today works a job's answer out.
func (d *desk) today(ctx context.Context, j *deskJob, u quantity.Units) page.Today {
	t := page.Today{Name: j.name, NoPress: "The examples keep no diary: serve a job of your own to note what you see."}
	if j.example == "" {
		t.NoPress = ""
		t.Reading = readingForm(u)
	}
	day, err := d.day(ctx, j)
	t.ReadSay = readSay(day.Reading, day.Ask.At, u)
	if day.File != nil && j.example == "" {
		if len(day.Walls) > 1 {
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
func (d *desk) day(ctx context.Context, j *deskJob) (day intake.Day, err error) {
	r := intake.Request{Example: j.example, Source: d.source, Offline: d.offline, Lenient: true}
	if r.File, err = d.load(j); err != nil {
		return day, err
	}
	in := d.inv.intake()
	if r.Diary, err = d.inv.entriesOf(j.diary); err != nil {
		var bad error
		if day.Site, bad = in.Site(r.File, r.Given); bad != nil {
			err = bad
		}
		return day, err
	}
	if day, err = in.Day(ctx, r); err == nil {
		err = d.inv.tellLate(j.diary, day.Late, day.Job.Zone)
	}
	var none *intake.Error
	if errors.As(err, &none) && none.Reason == intake.NoPlace {
		err = errors.New("there is no reading yet, and the job does not say where it is, so no forecast can be asked for: give the reading below")
	}
	return day, err
}

// answer works the day out and says it.
func (d *desk) answer(ctx context.Context, t *page.Today, j *deskJob, day intake.Day, u quantity.Units) error {
	seen := day.Seen
	if len(day.Walls) > 1 {
		seen = nil
	}
	answers, best, err := d.inv.workDay(day.Walls, day.Ask, seen, d.seed)
	if err != nil {
		return noCheck(err, day.Ask.Air.Source)
	}
	a := answers[best]
	if x := a.Exterior; x != nil && j.example == "" {
		x.Odds, x.OddsYears = d.inv.oddsAfter(ctx, day.Walls[best], x.Horizon, x.FrostFree[1])
	}
	v, err := d.inv.viewDay(day.File, headOf(day.File, j.example != "", false), day.Walls[best], day.Ask, answers, best, seen, day.Assumed)
	if err != nil {
		return err
	}
	p := view.Printer{Units: u, Day: v.ToldOn()}
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

// readSay says which reading is in use; empty where none is.
func readSay(r *intake.Reading, now time.Time, u quantity.Units) string {
	if r == nil {
		return ""
	}
	t := message.Say("In use: {}, {}", message.Celsius(r.Temp), message.RH(r.RH/100))
	if r.Wall != nil {
		t = message.Say("{}, wall {}", t, message.Celsius(*r.Wall))
	}
	return view.Printer{Units: u}.Text(message.Say("{}, {} old.", t, message.Quantity{Kind: message.Age, Value: now.Sub(r.At).Seconds()}))
}

// Read implements page.Desk.
func (d *desk) Read(_ context.Context, n int, form url.Values, u quantity.Units) error {
	j := d.jobs[n]
	if j.example != "" {
		return errors.New("the examples have their own air: serve a job of your own")
	}
	r := intake.Reading{At: d.inv.Now()}
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
	r.Wall = number("wall_temp", quantity.Temperature, quantity.AirTemperatures, false)
	if len(bad.Fields) > 0 {
		return &bad
	}
	r.Temp, r.RH = *temp, *rh
	j.book.Lock()
	defer j.book.Unlock()
	b, err := diary.Open(j.diary, d.inv.Now)
	if err != nil {
		return pageError(err)
	}
	e := diary.Entry{Kind: diary.Reading, At: r.At, Data: map[string]any{"temp": r.Temp, "rh": r.RH}}
	if r.Wall != nil {
		e.Data["wall_temp"] = *r.Wall
	}
	entries, _, err := diary.Read(j.diary)
	if err != nil {
		return pageError(err)
	}
	if all := intake.Readings(entries, r.At); len(all) > 0 && all[len(all)-1].Again(r) { // a form sent twice is one reading
		return nil
	}
	if _, err := b.Append(e); err != nil {
		return pageError(err)
	}
	j.changed(false)
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
