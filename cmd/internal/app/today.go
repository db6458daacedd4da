package app

import (
	"context"
	"errors"
	"io"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/cmd/internal/wire"
	"limeday/drying"
	"limeday/drying/message"
	"limeday/weather/logfile"
	"limeday/weather/source"
)

func todayCommand() *command {
	return &command{
		name:    "today",
		args:    "[JOB]",
		maxArgs: 1,
		files:   true,
		summary: "the morning check: go or no-go, and the times of each coat",
		examples: []example{
			{"limeday today", "the built-in example: an invented job, its readings and moment"},
			{"limeday today --example gable", "the example outdoors: two walls, and a frosty night to come"},
			{"limeday today --temp 15C --rh 64 --wall-temp 13C", "your reading, for the usual three coats of polished lime"},
			{"limeday today hall.toml --temp 15C --rh 64", "your reading, for your job"},
			{"limeday today hall.toml --readings logger.csv", "what a logger read overnight"},
			{"limeday today hall.toml", "the forecast for the job's place, through its room"},
			{"limeday today hall.toml --since coat1=laid@09:10,damp@09:42", "the rest of the day, from what you have seen"},
		},
		notes: `
Without a reading, the forecast for the job's place is asked for and carried
into its room. With --source beside a reading, the reading shifts the forecast.

JOB is a job file, or - for standard input. Readings after --at are a replay;
those that end earlier hold their last value, for today only; a last one over
two days old is refused. Readings are a logger's CSV in most shapes there are:
what was decided in reading it is told with --detail, and pinned by --read-as or
by [readings] in the job; what could be read in two ways is refused. --at
without an offset is by the clock of the job's zone.`,
		setup: func(fs *pflag.FlagSet) runner {
			q := askFlags(fs)
			detail := fs.Bool("detail", false, "the whole answer in text, not the first screen of it")
			q.which = addWord(fs, "example", "hall|gable", "example", []string{exampleHall, exampleGable}, "which built-in example, indoors or outdoors")
			q.since = addText(fs, "since", "coat1=laid@09:10,damp@09:42", "what was seen of the coats laid: works the rest of the day out from it")
			q.book = addText(fs, "diary", "FILE", "a diary: its events of today count as --since, and the answer is noted in it")
			q.files = addDayFiles(fs)
			return func(ctx context.Context, inv *invocation) error {
				q.detail = *detail
				return q.answer(ctx, inv)
			}
		},
	}
}

type todayQuestion struct {
	files           *dayFiles
	air             *airFlags
	wallTemp, speed *quantityFlag
	file, pins, at  *textFlag
	detail          bool
	offline         *bool
	seed            *uint

	since, book, timing *textFlag
	service, which      *wordFlag
	stair               bool // the built-in example is that of a wall and its crew
}

// askFlags declares what a job is asked about with: its air, its moment, whose timing.
func askFlags(fs *pflag.FlagSet) *todayQuestion {
	return &todayQuestion{
		air:      addAirFlags(fs),
		wallTemp: addQuantity(fs, "wall-temp", "11C", quantity.Temperature, quantity.AirTemperatures, "temperature of the wall's face; else worked out from the air"),
		speed:    addQuantity(fs, "air-speed", "0.2m/s", quantity.Speed, quantity.AirSpeeds, "speed of the air along the wall"),
		file:     addText(fs, "readings", "FILE", "a CSV of readings, or - for standard input"),
		pins:     addText(fs, "read-as", "date-order=day", "how the CSV is read, as KEY=VALUE separated by commas"),
		at:       addText(fs, "at", "2026-04-14T06:30", "the moment of asking; else now"),
		service:  addWord(fs, "source", "NAME", "weather service", append(source.Names(), anySource), "the weather service asked; any is their usual order"),
		offline:  fs.Bool("offline", false, "no network: a forecast kept from before, with its age"),
		timing:   addText(fs, "timing", "FILE", "what limeday sample learn has learned of you; else the job's"),
		seed:     addSeed(fs),
	}
}

// The built-in examples.
const (
	exampleHall  = "hall"
	exampleGable = "gable"
	exampleStair = "stair" // of a wall and its crew
)

// dayRead is a job with the air and the moment it is asked about.
type dayRead struct {
	path    string
	job     *job.Job
	units   quantity.Units
	reading *airReading // at the flags; nil where there is none
	example bool
	own     bool // the air is the user's
	jobs    []drying.Job
	ask     drying.Ask
	assumed []string
}

func (r *dayRead) head() string { return headOf(r.job, r.example, r.own) }

// read reads the job and its air; files are checked before anything is worked out.
func (q *todayQuestion) read(ctx context.Context, inv *invocation, files *outFiles) (*dayRead, error) {
	file, err := q.file.Value()
	if err != nil {
		return nil, err
	}
	moment, err := q.at.Value()
	if err != nil {
		return nil, err
	}
	service, err := q.service.Value()
	if err != nil {
		return nil, err
	}
	which, err := q.which.Value()
	if err != nil {
		return nil, err
	}
	example, outside := len(inv.Args) == 0, which == exampleGable
	path := job.ExampleName
	if !example {
		path = inv.Args[0]
	}
	switch {
	case path == "":
		return nil, usage("JOB", "a job file, or - for standard input", "the name of the job file is empty; give a job file, or - for standard input")
	case path == "-" && file == "-":
		return nil, usage("--readings", "one of the two", "the job and the readings cannot both come from standard input; give one as a file")
	}
	if err := files.check(path, file); err != nil {
		return nil, err
	}
	j, err := loadJob(path, example, outside, q.stair, inv.Stdin)
	if err != nil {
		return nil, err
	}
	units := inv.UnitsOf(j)
	reading, err := q.air.Reading(units)
	if err != nil {
		return nil, err
	}
	own := reading != nil || file != ""
	switch {
	case reading != nil && file != "":
		return nil, usage("--readings", "one of the two", "--temp with --rh and --readings are both given; give one")
	case which != "" && (!example || own):
		return nil, usage("--example", "no job and no reading beside it", "--example has its own job and weather; leave it out, or leave out the job and the reading")
	case example && (service != "" || *q.offline):
		return nil, usage("--source", "a job", "the built-in example has its own weather; give a job file to ask a service for its place")
	case example && own: // the example's wall and coats with the user's air, in the user's room, place and time
		j.Place, j.Room.Volume = job.Place{}, nil
		if !q.stair {
			j.Walls = nil
		}
	}
	now := inv.Now()
	given := givenAtFlags{home: now.Location()}
	if given.airSpeed, err = q.speed.Value(units); err != nil {
		return nil, err
	}
	if q.air.pressure.set || q.air.altitude.set {
		if given.pressure, given.pressureFrom, err = q.air.Pressure(units); err != nil {
			return nil, err
		}
	}
	d, assumed, err := toDrying(j, given, units)
	if err != nil {
		return nil, err
	}
	learned, err := q.timing.Value()
	if err != nil {
		return nil, err
	}
	var unused string
	if d.Timing, unused, err = timingFor(learned, j, d.Coats); err != nil {
		return nil, err
	} else if unused != "" {
		assumed = append(assumed, unused)
	}
	ask := drying.Ask{At: now}
	if ask.WallTemp, err = q.wallTemp.Value(units); err != nil {
		return nil, err
	}
	if example && !own {
		if ask.At, err = time.Parse(time.RFC3339, job.ExampleAt); err != nil {
			return nil, err
		}
	}
	if moment != "" {
		if ask.At, err = parseMoment(moment, d.Zone); err != nil {
			return nil, err
		}
	}
	switch {
	case reading != nil:
		ask.Air = oneReading(ask.At, reading.Air)
	case file != "":
		var pins string
		if pins, err = q.pins.Value(); err != nil {
			return nil, err
		}
		var o logfile.Options
		if o, err = readOptions(j, pins, d.Zone); err != nil {
			return nil, err
		}
		o.At = ask.At
		ask.Air, err = readLogger(file, inv.Stdin, o)
	case outside:
		ask.Air, err = gableAir(ask.At)
	case example:
		ask.Air, err = exampleAir()
	}
	if err == nil && j.Room == nil && own && service == "" {
		return nil, &Error{Exit: ExitNoWeather, Where: path, Expected: "a forecast",
			Message: path + ": a wall outdoors needs the forecast, for sky, wind and rain, which no reading holds; leave the reading out, or add --source any to shift the forecast by it"}
	}
	if err == nil && !example && (!own || service != "") {
		ask.Air, err = inv.forecast(ctx, j, d, ask.At, service, *q.offline, ask.Air)
	}
	if err != nil {
		return nil, err
	}
	jobs := []drying.Job{d}
	if j.Room == nil {
		var more []string
		jobs, more = outdoorWalls(j, d)
		assumed = append(assumed, more...)
	}
	return &dayRead{path: path, job: j, units: units, reading: reading, example: example, own: own, jobs: jobs, ask: ask, assumed: assumed}, nil
}

func (q *todayQuestion) answer(ctx context.Context, inv *invocation) error {
	r, err := q.read(ctx, inv, &q.files.outFiles)
	if err != nil {
		return err
	}
	j, units, jobs, ask, assumed := r.job, r.units, r.jobs, r.ask, r.assumed
	seen, err := q.seen(inv, ask.At, jobs[0].Zone)
	if err != nil {
		return err
	}
	if len(seen) > 0 && len(jobs) > 1 {
		return usage("--since", "a job with one wall", "what was seen is of one wall, and %s has %d; give a job with that wall alone", r.path, len(jobs))
	}
	answers, best, err := inv.workDay(jobs, ask, seen, *q.seed)
	if err != nil {
		return noCheck(err, ask.Air.Source)
	}
	answer := answers[best]
	if x := answer.Exterior; x != nil && !r.example {
		x.Odds, x.OddsYears = inv.oddsAfter(ctx, jobs[best], x.Horizon, x.FrostFree[1])
	}
	day, err := inv.viewDay(j, r.head(), jobs[best], ask, answers, best, seen, assumed)
	if err != nil {
		return err
	}
	p := view.Printer{Units: units, Day: answer.At}
	if err := q.files.write(ctx, inv, day, p); err != nil {
		return err
	}
	if book, _ := q.book.Value(); book != "" {
		if err := inv.keep(book, answer); err != nil {
			return err
		}
	}
	a := wire.NewToday(day)
	if r.reading != nil {
		a.Air.RHPct = r.reading.RHPct
	}
	return inv.Answer(a, func() string {
		p.Keep = true
		return todayText(day, p, q.detail)
	})
}

// viewDay makes the view of the best of a job's answers; of a no-go it looks for the next day that would do.
func (inv *invocation) viewDay(j *job.Job, head string, d drying.Job, ask drying.Ask, answers []drying.Answer, best int, seen []drying.Seen, assumed []string) (view.Day, error) {
	in := view.Asked{Answer: answers[best], All: answers, Job: orWord(j.Place.Name, j.File), Head: head}
	for _, s := range assumed {
		in.Assumed = append(in.Assumed, message.Words(s))
	}
	if in.Answer.Verdict == drying.NoGo && len(seen) == 0 {
		var err error
		if in.Next, err = drying.Next(d, ask); err != nil {
			return view.Day{}, err
		}
	}
	return view.NewDay(in), nil
}

// seen is what was seen of the coats of the day, at the flag or in the diary.
func (q *todayQuestion) seen(inv *invocation, at time.Time, zone *time.Location) ([]drying.Seen, error) {
	text, err := q.since.Value()
	if err != nil {
		return nil, err
	}
	book, err := q.book.Value()
	switch {
	case err != nil:
		return nil, err
	case text != "":
		return parseSince(text, at, zone)
	case book == "-":
		return nil, usage("--diary", "a file", "a diary is kept in a file: give its name, such as hall.diary")
	case book != "":
		return inv.fromDiary(book, at, zone)
	}
	return nil, nil
}

// workDay answers for every wall, with the bands of the best.
func (inv *invocation) workDay(jobs []drying.Job, ask drying.Ask, seen []drying.Seen, seed uint) (answers []drying.Answer, best int, err error) {
	tell, told := inv.progress("Working out how sure the times are")
	defer told()
	set := drying.Bands{Members: inv.Members, Seed: uint64(seed), Tell: tell}
	if len(seen) > 0 {
		a, err := drying.Resume(jobs[0], ask, seen, set)
		return []drying.Answer{a}, 0, err
	}
	if answers, err = checkAll(jobs, ask); err != nil {
		return nil, 0, err
	}
	for i, a := range answers {
		if b := answers[best]; a.Verdict.Better(b.Verdict) || a.Verdict == b.Verdict && a.Start.Before(b.Start) {
			best = i
		}
	}
	return answers, best, answers[best].Band(ask, set)
}

// checkAll answers for every wall at once; an error is that of the first wall that has one.
func checkAll(jobs []drying.Job, ask drying.Ask) ([]drying.Answer, error) {
	answers, errs := make([]drying.Answer, len(jobs)), make([]error, len(jobs))
	var wg sync.WaitGroup
	for i, d := range jobs {
		wg.Add(1)
		go func() {
			defer wg.Done()
			answers[i], errs[i] = drying.Check(d, ask)
		}()
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return answers, nil
}

func loadJob(path string, example, outside, stair bool, stdin io.Reader) (*job.Job, error) {
	switch {
	case outside:
		return job.Parse(path, job.GableJob(), knownNames())
	case example && stair:
		return job.Parse(path, job.StairJob(), knownNames())
	case example:
		return job.Parse(path, job.ExampleJob(), knownNames())
	}
	return job.Load(path, stdin, knownNames())
}

// noCheck words why there is no answer.
func noCheck(err error, source string) error {
	var none *drying.NoAirError
	var old *drying.OldAirError
	if errors.As(err, &none) || errors.As(err, &old) {
		return &Error{Exit: ExitBadInput, Where: source, Expected: "a reading in the two days before the moment of asking",
			Message: source + ": " + err.Error() + "; check the dates, or set --at", Err: err}
	}
	return err
}

// headOf is the first line.
func headOf(j *job.Job, example, own bool) string {
	switch {
	case example && own:
		return "Your reading, with the wall and coats of the built-in example."
	case example:
		return "Built-in example, all invented: " + j.Place.Name + ", weather, moment."
	}
	return j.File + ": " + orWord(j.Place.Name, "a job without a name")
}

// moment is m in RFC 3339, nil where it is zero.
func moment(m time.Time) *string {
	if m.IsZero() {
		return nil
	}
	s := m.Format(time.RFC3339)
	return &s
}
