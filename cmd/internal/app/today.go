package app

import (
	"context"
	"errors"
	"io"
	"slices"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/parallel"
	"limeday/weather/logfile"
	"limeday/weather/source"
)

type todayAnswer struct {
	Schema   string         `json:"schema"`
	Job      string         `json:"job"`
	At       string         `json:"at"`
	Start    string         `json:"start"`
	Verdict  drying.Verdict `json:"verdict"`
	Reasons  []todayReason  `json:"reasons"`
	Coats    []todayCoat    `json:"coats"`
	Earliest *string        `json:"earliest"` // of the starts that are not a no-go
	Latest   *string        `json:"latest"`
	Changes  []todayChange  `json:"changes"`
	Care     []todayCare    `json:"care"`
	Sheet    []todaySheet   `json:"sheet"`
	Frost    todayFrost     `json:"frost"`
	Air      airAnswer      `json:"air"`
	Weather  todayWeather   `json:"weather"`
	Next     todayNext      `json:"next"`            // the first later day that is not a no-go, where this one is
	Work     []string       `json:"work"`            // what a no-go still serves for
	Walls    []wallSummary  `json:"walls,omitempty"` // outdoors, where the job has several
	Since    []todaySeen    `json:"since,omitempty"` // what was seen of the coats laid, where the answer is for the rest of the day
	Timing   *todayTiming   `json:"timing"`          // what was learned of the plasterer; null where nothing was
	Assumed  []string       `json:"assumed"`
}

type todaySeen struct {
	Coat   int              `json:"coat"`
	What   drying.SeenState `json:"what"`
	At     string           `json:"at"`
	NotYet bool             `json:"not_yet"`
}

type todayTiming struct {
	Finish string `json:"finish"`
	Boards int    `json:"boards"`
}

type todayReason struct {
	Code     drying.Code     `json:"code"`
	Severity drying.Severity `json:"severity"`
	Text     string          `json:"text"`
	Value    float64         `json:"value"`
	Limit    float64         `json:"limit"`
	Unit     string          `json:"unit"`
}

// todayCoat has RFC 3339 times with offset, null where not reached.
type todayCoat struct {
	Coat        int     `json:"coat"`
	Finish      string  `json:"finish"`
	ThicknessMm float64 `json:"thickness_mm"`
	Lay         *string `json:"lay"`
	Edge        *string `json:"edge"`
	Opens       *string `json:"opens"`
	Burnish     *string `json:"burnish"`
	Closes      *string `json:"closes"`
	Recoat      *string `json:"recoat"`

	// Eight days in ten fall between.
	LayEarliest     *string `json:"lay_earliest"`
	LayLatest       *string `json:"lay_latest"`
	EdgeEarliest    *string `json:"edge_earliest"`
	EdgeLatest      *string `json:"edge_latest"`
	OpensEarliest   *string `json:"opens_earliest"`
	OpensLatest     *string `json:"opens_latest"`
	BurnishEarliest *string `json:"burnish_earliest"`
	BurnishLatest   *string `json:"burnish_latest"`
	ClosesEarliest  *string `json:"closes_earliest"`
	ClosesLatest    *string `json:"closes_latest"`
	RecoatEarliest  *string `json:"recoat_earliest"`
	RecoatLatest    *string `json:"recoat_latest"`
}

type wallSummary struct {
	Name     string         `json:"name"`
	Bearing  float64        `json:"bearing"`
	Verdict  drying.Verdict `json:"verdict"`
	Start    *string        `json:"start"`
	Earliest *string        `json:"earliest"`
	Latest   *string        `json:"latest"`
	Reasons  []drying.Code  `json:"reasons"`
}

type todayChange struct {
	Code      drying.ChangeCode `json:"code"`
	Text      string            `json:"text"`
	Effect    string            `json:"effect"`
	Helps     bool              `json:"helps"`
	Tomorrow  bool              `json:"tomorrow"`
	Verdict   drying.Verdict    `json:"verdict"`
	WindowMin float64           `json:"window_min"`
	Done      *string           `json:"done"`
}

// todayNext has nulls where the day itself can be worked, and where no later day is known.
type todayNext struct {
	Start    *string `json:"start"`
	Verdict  *string `json:"verdict"`
	Searched *string `json:"searched"`
}

type todayCare struct {
	Code    drying.CareCode `json:"code"`
	Wall    string          `json:"wall,omitempty"` // of a wall already laid
	Text    string          `json:"text"`
	From    *string         `json:"from"`
	Certain *string         `json:"certain"` // surely by then; null where only the start is known
}

type todaySheet struct {
	What  string   `json:"what"`
	Value float64  `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Unit  string   `json:"unit"`
	Met   bool     `json:"met"`
}

type todayFrost struct {
	Risk        string   `json:"risk"`
	FirstFreeze *string  `json:"first_freeze"`
	SurfaceMinC *float64 `json:"surface_min_c"`
	// After the forecast, up to the middle of what published advice wants: by the history kept of the place; null where none is.
	AfterForecast *todayOdds `json:"after_forecast"`
}

type todayOdds struct {
	Share float64 `json:"share"` // of the years in which the air froze
	Years int     `json:"years"`
	Until string  `json:"until"`
}

type todayWeather struct {
	Source    string   `json:"source"`
	Issued    string   `json:"issued"`
	AgeH      float64  `json:"age_h"`
	Radiation string   `json:"radiation"`
	Forecast  bool     `json:"forecast"`
	Credit    string   `json:"credit,omitempty"`
	Held      bool     `json:"held"`
	Replay    bool     `json:"replay"`
	Notes     []string `json:"notes"`
}

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
	var next drying.NextDay
	if answer.Verdict == drying.NoGo && len(seen) == 0 {
		if next, err = drying.Next(jobs[best], ask); err != nil {
			return err
		}
	}
	a := answerToday(answer, next, j, assumed)
	if len(answers) > 1 {
		a.Walls = wallAnswers(answers)
	}
	if r.reading != nil {
		a.Air.RHPct = r.reading.RHPct
	}
	if err := inv.Answer(a, func() string {
		return todayText(answer, answers, next, r.head(), assumed, units, q.detail)
	}); err != nil {
		return err
	}
	if err := q.files.write(ctx, inv, dayScreen{answer, r.head(), assumed, units}); err != nil {
		return err
	}
	if book, _ := q.book.Value(); book != "" {
		return inv.keep(book, answer)
	}
	return nil
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
	_ = parallel.Each(len(jobs), func(i int) error { // the errors are in errs, in their order
		answers[i], errs[i] = drying.Check(jobs[i], ask)
		return nil
	})
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

func wallAnswers(answers []drying.Answer) []wallSummary {
	var walls []wallSummary
	for _, a := range answers {
		w := wallSummary{a.Job.Outdoors.Name, a.Job.Outdoors.Bearing, a.Verdict, moment(a.Start), moment(a.Earliest), moment(a.Latest), []drying.Code{}}
		for _, r := range a.Reasons {
			if r.Severity != drying.Notes {
				w.Reasons = append(w.Reasons, r.Code)
			}
		}
		walls = append(walls, w)
	}
	return walls
}

func answerToday(a drying.Answer, next drying.NextDay, j *job.Job, assumed []string) todayAnswer {
	t := todayAnswer{
		Schema: "limeday.today/1", Job: orWord(j.Place.Name, j.File), At: a.At.Format(time.RFC3339), Start: a.Start.Format(time.RFC3339),
		Verdict: a.Verdict, Reasons: []todayReason{}, Coats: []todayCoat{}, Changes: []todayChange{}, Care: []todayCare{}, Sheet: []todaySheet{},
		Frost: todayFrost{Risk: "not-judged"}, Air: answerAir(a.Now, &a.WallTemp),
		Weather: todayWeather{Source: a.Known.Source, Issued: a.Known.Last.Format(time.RFC3339), AgeH: a.Known.Age.Hours(),
			Radiation: "none", Forecast: a.Known.Forecast, Credit: a.Known.Credit, Held: a.Known.Held, Replay: a.Known.Replay, Notes: append([]string{}, a.Known.Notes...)},
		Next: todayNext{Start: moment(next.Start), Searched: moment(next.Searched)}, Work: append([]string{}, a.Work()...),
		Assumed: append([]string{}, assumed...),
	}
	if next.Verdict != "" {
		v := string(next.Verdict)
		t.Next.Verdict = &v
	}
	t.Air.Schema = ""
	for _, s := range a.Seen {
		t.Since = append(t.Since, todaySeen{s.Coat, s.What, s.At.Format(time.RFC3339), s.Not})
	}
	if x := a.Job.Timing; x != nil {
		t.Timing = &todayTiming{x.Finish, x.Boards}
	}
	if x := a.Exterior; x != nil {
		t.Frost.Risk, t.Frost.FirstFreeze = string(x.Frost), moment(x.FirstFrost)
		t.Frost.SurfaceMinC = &x.FaceMin
		if x.OddsYears > 0 {
			t.Frost.AfterForecast = &todayOdds{x.Odds, x.OddsYears, x.FrostFree[1].Format(time.RFC3339)}
		}
		t.Weather.Radiation = "estimated"
		if x.Radiation == "given" || x.Radiation == "closed" {
			t.Weather.Radiation = "given"
		}
	}
	for _, r := range a.Reasons {
		t.Reasons = append(t.Reasons, todayReason(r))
	}
	t.Earliest, t.Latest = moment(a.Earliest), moment(a.Latest)
	for _, c := range a.Changes {
		t.Changes = append(t.Changes, todayChange{c.Code, c.Text, c.Effect, c.Helps, c.Tomorrow, c.Verdict, c.Window.Minutes(), moment(c.Done)})
	}
	for _, c := range append(slices.Clone(a.Protect), a.Care...) {
		t.Care = append(t.Care, todayCare{c.Code, c.Wall, c.Text, moment(c.From), moment(c.Certain)})
	}
	for _, l := range a.Sheet {
		t.Sheet = append(t.Sheet, todaySheet(l))
	}
	for _, c := range a.Coats {
		t.Coats = append(t.Coats, todayCoat{c.Number, c.Coat.Finish.Name, millimetres(c.Coat.Thickness), moment(c.Lay), moment(c.Edge),
			moment(c.Opens), moment(c.Burnish), moment(c.Closes), moment(c.Recoat),
			moment(c.Earliest.Lay), moment(c.Latest.Lay), moment(c.Earliest.Edge), moment(c.Latest.Edge),
			moment(c.Earliest.Opens), moment(c.Latest.Opens), moment(c.Earliest.Burnish), moment(c.Latest.Burnish),
			moment(c.Earliest.Closes), moment(c.Latest.Closes), moment(c.Earliest.Recoat), moment(c.Latest.Recoat)})
	}
	if len(a.Coats) > 0 && a.Exterior == nil {
		coolest := a.Coolest()
		t.Frost.SurfaceMinC = &coolest
	}
	return t
}
