package app

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/text"
	"limeday/drying"
	"limeday/drying/season"
	"limeday/weather/source"
)

// seasonSources are the services that have the history of hourly weather.
var seasonSources = []string{"power"}

func seasonCommand() *command {
	return &command{
		name:    "season",
		args:    "JOB",
		maxArgs: 1,
		files:   true,
		summary: "when in the year a wall outdoors can be laid",
		examples: []example{
			{"limeday season gable.toml --weather 2023.csv --weather 2024.csv", "from your own years of hourly weather"},
			{"limeday season gable.toml --weather typical.epw --starts 08:00,13:00", "a typical year: averages, and no frost odds"},
			{"limeday season gable.toml --weather ten.csv --picture year.svg", "the year drawn; --csv and --calendar write more"},
			{"limeday season gable.toml --sites sites.csv --shard 3/20 --results 3.jsonl", "one job at many places, a part of them"},
		},
		notes: `
JOB is a job file of a wall outdoors, or - for standard input. Its coats are
tried at every start of every day, with the model itself, and the wall then
followed for frost. Shares are of the days; low and high are over the years.

Weather is hourly: an EPW, ISD-Lite or CSV file of one year or many, or several
files. Rain that is missing is not taken for dry. A typical year, put together
from months of many, has no extremes, so no frost odds come from it.`,
		setup: func(fs *pflag.FlagSet) runner {
			q := seasonFlags{
				weather: addList(fs, "weather", "FILE", "hourly weather of a year or more; may be given again"),
				years:   addText(fs, "years", "2015-2024", "the years that count; else all there are"),
				skip:    addText(fs, "skip", "2016,2019", "years that do not"),
				starts:  addText(fs, "starts", "08:00,11:00,14:00", "times of day to start at; else these, as far as they are in the job's hours"),
				source:  addWord(fs, "source", "NAME", "weather service", seasonSources, "the service asked for the years, where no file is given"),
			}
			q.sites = addText(fs, "sites", "sites.csv", "many places in place of the job's: name, lat, lon and, if you like, altitude, zone, weather; - for standard input")
			q.shard = addText(fs, "shard", "I/N", "with --sites, every N-th of them from the I-th on")
			q.results = addText(fs, "results", "FILE.jsonl", "with --sites, the file that a line for each is added to; sites that are in it are not worked out again")
			offline := fs.Bool("offline", false, "no network: years kept from before")
			anywhere := fs.Bool("anywhere", false, "take weather of elsewhere than the job's place")
			detail := fs.Bool("detail", false, "the whole answer in text, every wall and year")
			q.files = addSeasonFiles(fs)
			return func(ctx context.Context, inv *invocation) error {
				return q.answer(ctx, inv, *offline, *anywhere, *detail)
			}
		},
	}
}

// listFlag is a flag that takes any text, and can be given again.
type listFlag struct {
	texts []string
	name  string
	hint  string
}

func (l *listFlag) String() string { return strings.Join(l.texts, ",") }
func (l *listFlag) Type() string   { return l.hint }
func (l *listFlag) Set(s string) error {
	switch {
	case s == "":
		return fmt.Errorf("it is empty; give it a value, such as %s", l.hint)
	case slices.Contains(l.texts, s):
		return fmt.Errorf("%s is given twice", s)
	}
	l.texts = append(l.texts, s)
	return nil
}

// addList declares a flag that can be given again; hint is the value in its help.
func addList(fs *pflag.FlagSet, name, hint, usage string) *listFlag {
	l := &listFlag{name: name, hint: hint}
	fs.Var(l, name, usage)
	return l
}

// seasonFlags are the flags as they are declared.
type seasonFlags struct {
	weather             *listFlag
	years, skip, starts *textFlag
	source              *wordFlag
	files               *seasonFiles

	sites, shard, results *textFlag
}

// seasonQuestion is what is asked.
type seasonQuestion struct {
	weather           []string // files; none: from the service
	first, last       int      // years by their labels; both 0 for all
	skip              []int
	source            string
	starts            []time.Duration // in order
	offline, anywhere bool
}

func (f *seasonFlags) answer(ctx context.Context, inv *invocation, offline, anywhere, detail bool) error {
	if len(inv.Args) == 0 || inv.Args[0] == "" {
		return usage("JOB", "a job file, or - for standard input", "season needs a job file of a wall outdoors, or - for standard input; limeday job new FILE writes one to start from")
	}
	path := inv.Args[0]
	q := seasonQuestion{weather: f.weather.texts, offline: offline, anywhere: anywhere}
	var err error
	if q.source, err = f.source.Value(); err != nil {
		return err
	}
	switch {
	case path == "-" && slices.Contains(q.weather, "-"):
		return usage("--weather", "one of the two", "the job and the weather cannot both come from standard input; give one as a file")
	case len(q.weather) > 0 && (q.source != "" || offline):
		return usage("--weather", "one of the two", "--weather reads files, and --source and --offline are of a service; give one or the other")
	}
	if q.first, q.last, err = f.span(); err != nil {
		return err
	}
	if q.skip, err = f.skipped(); err != nil {
		return err
	}
	if err := f.files.check(append([]string{path}, q.weather...)...); err != nil {
		return err
	}
	site, err := inv.seasonSite(path, "")
	if err != nil {
		return err
	}
	j, d := site.File, site.Job
	starts, err := f.starts.Value()
	if err != nil {
		return err
	}
	if q.starts, err = startsOf(starts, d.Hours); err != nil {
		return err
	}
	if done, err := f.many(ctx, inv, j, d, q); done || err != nil {
		return err
	}
	years, err := inv.seasonYears(ctx, j, d, q)
	if err != nil {
		return err
	}
	if years.Span = q.counted(years.Span); len(years.Span) == 0 {
		return usage("--years", "years that there is weather of", "none of the years of --years is in the weather; leave it out to use what there is")
	}
	r, err := inv.workSeason(ctx, site.Walls, years, q.starts, nil)
	if err != nil {
		return err
	}
	return f.tell(ctx, inv, r, j, assumedText(site.Assumed, inv.UnitsOf(j)), detail)
}

// seasonSite reads a job of walls outdoors.
func (inv *invocation) seasonSite(path string, e intake.Example) (intake.Site, error) {
	j, err := intake.Load(path, e, inv.Stdin)
	if err != nil {
		return intake.Site{}, err
	}
	if j.Room != nil {
		return intake.Site{}, fault.List{{File: j.File, Expected: "a job without [room], with bearing in every [[wall]]",
			Message: "season is for walls outdoors, and this job has [room]; today answers for it"}}
	}
	return inv.intake().Site(j, intake.Given{})
}

// tell writes the files and the answer.
func (f *seasonFlags) tell(ctx context.Context, inv *invocation, r season.Result, j *job.Job, assumed []string, detail bool) error {
	a := answerSeason(r)
	a.Assumed = append(a.Assumed, assumed...)
	if err := inv.Answer(a, func() string {
		s := seasonText(r, inv.UnitsOf(j), detail)
		if detail && len(assumed) > 0 {
			s += wrap(text.Label("Assumed"), strings.Join(assumed, "; "))
		}
		return s
	}); err != nil {
		return err
	}
	return f.files.write(ctx, inv, r)
}

// seasonYears is the weather that a season is worked out from.
func (inv *invocation) seasonYears(ctx context.Context, j *job.Job, d drying.Job, q seasonQuestion) (source.Years, error) {
	if len(q.weather) == 0 {
		return inv.yearsOfPlace(ctx, d, q)
	}
	return inv.yearsFromFiles(ctx, q.weather, seasonPlace{place: d.Place, zone: d.Zone, anywhere: q.anywhere, skip: q.skip})
}

// counted are the years that are asked for.
func (q seasonQuestion) counted(all []source.Year) []source.Year {
	if q.first == 0 {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(y source.Year) bool { return y.Label < q.first || y.Label > q.last })
}

// span reads --years: one, or from one to another.
func (f *seasonFlags) span() (first, last int, err error) {
	text, err := f.years.Value()
	if err != nil || text == "" {
		return 0, 0, err
	}
	a, b, two := strings.Cut(text, "-")
	first, bad := strconv.Atoi(strings.TrimSpace(a))
	last = first
	if two && bad == nil {
		last, bad = strconv.Atoi(strings.TrimSpace(b))
	}
	if bad != nil || first < intake.FirstYear || last > intake.LastYear || last < first {
		return 0, 0, usage("--years", "2015-2024, or one year", "--years: %q is not a year, or years from one to a later, of %d to %d; write it as 2015-2024", text, intake.FirstYear, intake.LastYear)
	}
	return first, last, nil
}

// skipped reads --skip.
func (f *seasonFlags) skipped() ([]int, error) {
	text, err := f.skip.Value()
	if err != nil || text == "" {
		return nil, err
	}
	var out []int
	for _, t := range strings.Split(text, ",") {
		y, err := strconv.Atoi(strings.TrimSpace(t))
		if err != nil || y < intake.FirstYear || y > intake.LastYear {
			return nil, usage("--skip", "years, such as 2016,2019", "--skip: %q is not a year of %d to %d; write them as 2016,2019", strings.TrimSpace(t), intake.FirstYear, intake.LastYear)
		}
		out = append(out, y)
	}
	return out, nil
}

// mostStarts can be asked for: every one costs a run of every day.
const mostStarts = 8

// startsOf reads --starts, or gives the usual ones that are in the hours.
func startsOf(text string, h drying.Hours) ([]time.Duration, error) {
	var out []time.Duration
	if text == "" {
		if out = slices.DeleteFunc(season.UsualStarts(), func(s time.Duration) bool { return s < h.From || s >= h.To }); len(out) == 0 {
			out = []time.Duration{h.From}
		}
		return out, nil
	}
	for _, t := range strings.Split(text, ",") {
		t = strings.TrimSpace(t)
		at, err := time.Parse("15:04", t)
		if err != nil {
			return nil, usage("--starts", "times of day, such as 08:00,11:00", "--starts: %q is not a time of day; write them as 08:00,11:00,14:00", t)
		}
		s := time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute
		switch {
		case s < h.From || s >= h.To:
			return nil, usage("--starts", clockAt(h.From)+" to "+clockAt(h.To), "--starts: %s is not in the working hours, %s to %s; give another, or other [hours] in the job", t, clockAt(h.From), clockAt(h.To))
		case slices.Contains(out, s):
			return nil, usage("--starts", "each once", "--starts: %s is there twice", t)
		}
		out = append(out, s)
	}
	if len(out) > mostStarts {
		return nil, usage("--starts", fmt.Sprintf("at most %d", mostStarts), "--starts: %d are too many; give %d at most", len(out), mostStarts)
	}
	slices.Sort(out)
	return out, nil
}
