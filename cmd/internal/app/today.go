package app

import (
	"context"
	"errors"
	"strings"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/cmd/internal/wire"
	"limeday/drying"
	"limeday/drying/message"
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
			{"limeday today hall.toml --for tomorrow", "the evening before: what to do tonight, then how likely it is"},
			{"limeday today hall.toml --if heat=18C,air-out", "what each would change, and both together"},
			{"limeday today hall.toml --start 13:00", "the day begun then, not at the best start"},
			{"limeday today hall.toml --since coat1=laid@09:10,damp@09:42", "the rest of the day, from what you have seen"},
			{"limeday today hall.toml --since coat1=laid@2026-04-13T15:10,dry@07:20", "what was seen over two days: a time alone is of today"},
		},
		notes: `
Without a reading, the forecast for the job's place is asked for and carried
into its room. With --source beside a reading, the reading shifts the forecast.

JOB is a job file, or - for standard input. Readings after --at are a replay;
those that end earlier hold their last value, for that day only; a last one over
two days old is refused. Readings are a logger's CSV in most shapes there are:
what was decided in reading it is told with --detail, and pinned by --read-as or
by [readings] in the job; what could be read in two ways is refused. --at
without an offset is by the clock of the job's zone.

After the working hours the answer is for the next working day; --for says which
day: today, tomorrow (the next working day) or a date, up to 7 days on. Where
nothing is known of its air, a room's is taken to stay as read: doubtful then.`,
		setup: func(fs *pflag.FlagSet) runner {
			q := todayFlags(fs)
			return q.answer
		},
	}
}

// todayFlags are those of today.
func todayFlags(fs *pflag.FlagSet) *todayQuestion {
	q := askFlags(fs)
	q.detail = fs.Bool("detail", false, "the whole answer in text, not the first screen of it")
	q.builtIn = intake.Hall
	q.which = addWord(fs, "example", "hall|gable", "example", []string{string(intake.Hall), string(intake.Gable)}, "which built-in example, indoors or outdoors")
	q.since = addText(fs, "since", "coat1=laid@09:10,damp@09:42", "what was seen of the coats laid: works the rest of the day out from it")
	q.dayFor = addText(fs, "for", "tomorrow", "the day asked about: today, tomorrow or a date; else today or, after the hours, the next working day")
	offer(fs, "for", "today", "tomorrow")
	q.book = addText(fs, "diary", "FILE", "a diary: its readings join the air, its events count as --since, and what is read and told is noted")
	q.start = addText(fs, "start", "13:00", "lay the next coat due at this time today; else at the best")
	q.wishes = addList(fs, "if", "heat=18C,air-out", "what a change would bring: "+strings.Join(drying.WishNames(), ", ")+"; may be given again")
	offer(fs, "if", drying.WishNames()...)
	q.files = addDayFiles(fs)
	return q
}

type todayQuestion struct {
	files           *dayFiles
	air             *airFlags
	wallTemp, speed *quantityFlag
	file, pins, at  *textFlag
	detail          *bool
	offline         *bool
	seed            *uint

	since, book, timing, dayFor, start *textFlag
	wishes                             *listFlag // nil: the command has none
	service, which                     *wordFlag
	builtIn                            intake.Example // where no job is given
	people                             uint           // so many hands in place of the job's; 0: as it says
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
		service:  addWord(fs, "source", "NAME", "weather service", append(source.Names(), intake.Any), "the weather service asked; any is their usual order"),
		offline:  fs.Bool("offline", false, "no network: a forecast kept from before, with its age"),
		timing:   addText(fs, "timing", "FILE", "what limeday sample learn has learned of you; else the job's"),
		seed:     addSeed(fs),
	}
}

// dayRead is a job with the air and the moment it is asked about.
type dayRead struct {
	intake.Day
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

// readOf is a day as it was read, for answers in units.
func readOf(d intake.Day, path string, units quantity.Units) *dayRead {
	return &dayRead{Day: d, path: path, job: d.File, units: units, jobs: d.Walls, ask: d.Ask, assumed: assumedText(d.Assumed, units)}
}

// read reads the job and its air; files are checked before anything is worked out.
func (q *todayQuestion) read(ctx context.Context, inv *invocation, files *outFiles) (*dayRead, error) {
	r, path, err := q.named(inv)
	if err != nil {
		return nil, err
	}
	if err := files.check(path, r.Logger); err != nil {
		return nil, err
	}
	if r.File, err = intake.Load(path, r.Example, inv.Stdin); err != nil {
		return nil, err
	}
	units, example := inv.UnitsOf(r.File), r.Example != ""
	reading, err := q.quantities(&r, units)
	if err != nil {
		return nil, err
	}
	own := reading != nil || r.Logger != ""
	switch {
	case reading != nil && r.Logger != "":
		return nil, usage("--readings", "one of the two", "--temp with --rh and --readings are both given; give one")
	case q.which.set && own:
		return nil, exampleAlone()
	case example && (r.Source != "" || r.Offline):
		return nil, usage("--source", "a job", "the built-in example has its own weather; give a job file to ask a service for its place")
	}
	book, err := q.book.Value()
	switch {
	case err != nil:
		return nil, err
	case book == "-":
		return nil, usage("--diary", "a file", "a diary is kept in a file: give its name, such as hall.diary")
	case book != "":
		if r.Diary, err = inv.entriesOf(book); err != nil {
			return nil, err
		}
	}
	d, err := inv.intake().Day(ctx, r)
	if err == nil {
		err = inv.tellLate(book, d.Late, d.Job.Zone)
	}
	if err != nil {
		return nil, err
	}
	day := readOf(d, path, units)
	day.reading, day.example, day.own = reading, example, own
	return day, nil
}

// named reads the flags that have no unit, and which job is asked about.
func (q *todayQuestion) named(inv *invocation) (r intake.Request, path string, err error) {
	if r, err = q.texts(); err != nil {
		return r, "", err
	}
	which, err := q.which.Value()
	if err != nil {
		return r, "", err
	}
	if len(inv.Args) == 0 {
		r.Example = intake.Example(orWord(which, string(q.builtIn)))
		return r, job.ExampleName, nil
	}
	switch path = inv.Args[0]; {
	case path == "":
		return r, path, usage("JOB", "a job file, or - for standard input", "the name of the job file is empty; give a job file, or - for standard input")
	case which != "":
		return r, path, exampleAlone()
	case path == "-" && r.Logger == "-":
		return r, path, usage("--readings", "one of the two", "the job and the readings cannot both come from standard input; give one as a file")
	}
	return r, path, nil
}

// exampleAlone refuses a job or a reading beside --example.
func exampleAlone() error {
	return usage("--example", "no job and no reading beside it", "--example has its own job and weather; leave it out, or leave out the job and the reading")
}

// texts are the flags that are words, and numbers without a unit.
func (q *todayQuestion) texts() (r intake.Request, err error) {
	r.Offline, r.People = *q.offline, int(q.people)
	for _, f := range []struct {
		value func() (string, error)
		to    *string
	}{{q.file.Value, &r.Logger}, {q.at.Value, &r.Moment}, {q.service.Value, &r.Source}, {q.timing.Value, &r.Timing}, {q.pins.Value, &r.ReadAs}, {q.since.Value, &r.Since}, {q.dayFor.Value, &r.For}, {q.start.Value, &r.Start}} {
		if *f.to, err = f.value(); err != nil {
			return r, err
		}
	}
	return r, nil
}

// quantities are the flags that have a unit; the reading is nil where there is none.
func (q *todayQuestion) quantities(r *intake.Request, units quantity.Units) (reading *airReading, err error) {
	if reading, err = q.air.Reading(units); err != nil {
		return nil, err
	}
	if reading != nil {
		r.Reading = &intake.Reading{Temp: float64(reading.Air.Temperature()), RH: reading.RHPct}
	}
	if r.AirSpeed, err = q.speed.Value(units); err != nil {
		return nil, err
	}
	if r.Pressure, r.Altitude, err = q.air.station(units); err != nil {
		return nil, err
	}
	r.WallTemp, err = q.wallTemp.Value(units)
	return reading, err
}

// answer writes the answer, then the files that are asked for.
func (q *todayQuestion) answer(ctx context.Context, inv *invocation) error {
	r, answer, day, err := q.day(ctx, inv)
	if err != nil {
		return err
	}
	p := view.Printer{Units: r.units, Day: day.ToldOn()}
	a := wire.NewToday(day)
	if r.reading != nil {
		a.Air.RHPct = r.reading.RHPct
	}
	if err := inv.Answer(a, func() string {
		p := p
		p.Keep = true
		return text.Day(day, p, *q.detail)
	}); err != nil {
		return err
	}
	if err := q.files.write(ctx, inv, day, p); err != nil {
		return err
	}
	if book, _ := q.book.Value(); book != "" {
		return inv.keep(book, answer, r.typed()...)
	}
	return nil
}

// typed is the reading at the flags, as a diary has it; none where there is none.
func (r *dayRead) typed() []diary.Entry {
	if r.reading == nil {
		return nil
	}
	e := diary.Entry{Kind: diary.Reading, At: r.ask.At, Data: map[string]any{"temp": float64(r.reading.Air.Temperature()), "rh": r.reading.RHPct}}
	if n := len(r.ask.Faces); n > 0 && r.ask.Faces[n-1].At.Equal(r.ask.At) {
		e.Data["wall_temp"] = r.ask.Faces[n-1].Temp
	}
	return []diary.Entry{e}
}

// day works the answer out.
func (q *todayQuestion) day(ctx context.Context, inv *invocation) (r *dayRead, answer drying.Answer, day view.Day, err error) {
	if r, err = q.read(ctx, inv, &q.files.outFiles); err != nil {
		return r, answer, day, err
	}
	wishes, err := intake.Wishes(strings.Join(q.wishes.texts, ","), r.units)
	if err != nil {
		return r, answer, day, err
	}
	seen := r.Seen
	if len(seen) > 0 && len(r.jobs) > 1 {
		return r, answer, day, usage("--since", "a job with one wall", "what was seen is of one wall, and %s has %d; give a job with that wall alone", r.path, len(r.jobs))
	}
	answers, best, err := inv.workDay(r.jobs, r.ask, seen, *q.seed)
	if err != nil {
		return r, answer, day, noCheck(err, r.ask.Air.Source)
	}
	answer = answers[best]
	if x := answer.Exterior; x != nil && !r.example {
		x.Odds, x.OddsYears = inv.oddsAfter(ctx, r.jobs[best], x.Horizon, x.FrostFree[1])
	}
	var what []drying.Change
	if len(wishes) > 0 {
		tell, told := inv.progress("Trying the changes")
		what, err = answers[best].WhatIf(r.ask, wishes, drying.Bands{Members: inv.Members, Seed: uint64(*q.seed), Tell: tell})
		told()
		if err != nil {
			return r, answer, day, noCheck(err, r.ask.Air.Source)
		}
	}
	day, err = inv.viewDay(r.job, r.head(), r.jobs[best], r.ask, answers, best, seen, r.Assumed)
	day.WhatIf = view.Changes(what, answers[best].Ahead())
	return r, answer, day, err
}

// viewDay makes the view of the best of a job's answers; of a no-go it looks for the next day that would do.
func (inv *invocation) viewDay(j *job.Job, head string, d drying.Job, ask drying.Ask, answers []drying.Answer, best int, seen []drying.Seen, assumed []message.Text) (view.Day, error) {
	in := view.Asked{Answer: answers[best], All: answers, Job: orWord(j.Place.Name, j.File), Head: head, Assumed: assumed}
	if in.Answer.Verdict == drying.NoGo && len(seen) == 0 {
		var err error
		if in.Next, err = drying.Next(d, ask); err != nil {
			return view.Day{}, err
		}
	}
	return view.NewDay(in), nil
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
	if answers, best, err = drying.CheckWalls(jobs, ask); err != nil {
		return nil, 0, err
	}
	return answers, best, answers[best].Band(ask, set)
}

// noCheck words why there is no answer.
func noCheck(err error, source string) error {
	var day *drying.DayError
	if errors.As(err, &day) {
		exit, expected, help := ExitUsage, "a day from the day of asking on, up to 7 days after", "give one from then on, up to 7 days after"
		if !day.Known.IsZero() {
			exit, expected, help = ExitNoWeather, "a day whose air is known", "give an earlier day, or a forecast that reaches it"
		}
		return &Error{Exit: exit, Where: "--for", Expected: expected, Message: "--for: " + err.Error() + "; " + help, Err: err}
	}
	var none *drying.NoAirError
	var old *drying.OldAirError
	var start *drying.StartError
	var wish *drying.WishError
	if errors.As(err, &start) {
		return usage("--start", "a time today at which the coat can be laid", "--start: %s", start)
	}
	if errors.As(err, &wish) {
		return usage("--if", "a change that the job allows for", "--if: %s", wish)
	}
	if errors.As(err, &old) && old.Forecast {
		return &Error{Exit: ExitNoWeather, Where: source, Expected: "a forecast of the day of asking, or a reading with --temp and --rh", Message: source + ": " + err.Error() + "; ask for a new one, or give a reading with --temp and --rh", Err: err}
	}
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
