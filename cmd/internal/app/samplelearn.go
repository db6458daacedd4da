package app

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	timingfile "limeday/cmd/internal/timing"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
	"limeday/weather"
)

type sampleLearnAnswer struct {
	Schema  string         `json:"schema"`
	Finish  string         `json:"finish"`
	Boards  int            `json:"boards"` // those of an earlier timing counted
	Samples []learnedBoard `json:"samples"`
	Facts   []learnedFact  `json:"facts"`
	Usual   []learnedTime  `json:"usual_first_coat"` // in the first board's place
	Timing  *string        `json:"timing_file"`
}

type learnedBoard struct {
	File  string        `json:"file"`
	Board int           `json:"board"`
	Name  string        `json:"name"`
	Times []learnedSeen `json:"times"`
	Clock float64       `json:"clock"` // the board's own factor on its times
	Odd   bool          `json:"odd"`
}

// learnedSeen has minutes after laying; seen is null for a state that had not come.
type learnedSeen struct {
	What drying.SeenState `json:"what"`
	Seen *float64         `json:"seen_min"`
	Was  float64          `json:"expected_before_min"`
	Is   float64          `json:"expected_now_min"`
}

type learnedFact struct {
	Name  string  `json:"name"`
	Known float64 `json:"known"`
	Text  string  `json:"text"`

	Strange bool `json:"strange"` // hardly a plasterer's: the model, or what it was told, may be wrong
}

type learnedTime struct {
	What           string   `json:"what"`
	EarliestBefore *float64 `json:"earliest_before_min"`
	LatestBefore   *float64 `json:"latest_before_min"`
	Earliest       *float64 `json:"earliest_min"`
	Latest         *float64 `json:"latest_min"`
}

// sampleLearn learns a timing from the boards of diaries.
func sampleLearn(ctx context.Context, inv *invocation, f sampleFlags, args []string) error {
	if err := f.timing.check(args...); err != nil {
		return err
	}
	earlier, err := f.earlier.Value()
	if err != nil {
		return err
	}
	var prior *drying.Timing
	if earlier != "" {
		t, err := timingfile.Load(earlier)
		if err != nil {
			return err
		}
		prior = &t
	}
	only, err := f.finish.Value()
	if err != nil {
		return err
	}
	logger, err := f.logger(inv)
	if err != nil {
		return err
	}
	samples, boards, from, err := inv.boardsOf(args, only, logger)
	if err != nil {
		return err
	}
	want := only
	if want == "" && prior != nil {
		want = prior.Finish
	}
	if err := ofOneFinish(samples, boards, want, args); err != nil {
		return err
	}
	tell, told := inv.progress(fmt.Sprintf("Learning from %s", plural(len(samples), "board")))
	got, err := drying.Teach(samples, prior, drying.Bands{Members: inv.Members, Seed: uint64(*f.seed), Tell: tell})
	told()
	if err != nil {
		return err
	}
	a := sampleLearnAnswer{Schema: "limeday.sample-learn/1", Finish: got.Timing.Finish, Boards: got.Timing.Boards}
	for i, t := range got.Samples {
		b := boards[i]
		b.Clock, b.Odd, b.Times = t.Clock, t.Odd, []learnedSeen{}
		for k, what := range t.States {
			b.Times = append(b.Times, learnedSeen{what, minutes(t.Seen[k]), t.Was[k] / 60, t.Is[k] / 60})
		}
		a.Samples = append(a.Samples, b)
	}
	for _, x := range got.Facts {
		a.Facts = append(a.Facts, learnedFact(x))
	}
	for i, what := range []string{"opens", "closes", "recoat"} {
		b, n := got.Before[i], got.After[i]
		a.Usual = append(a.Usual, learnedTime{what, minutes(b.Earliest), minutes(b.Latest), minutes(n.Earliest), minutes(n.Latest)})
	}
	if out, _ := f.timing.flags[0].Value(); out != "" {
		a.Timing = &out
	}
	if err := inv.Answer(a, func() string { return learnText(a, got) }); err != nil {
		return err
	}
	return f.timing.write(ctx, inv, []func(io.Writer) error{func(w io.Writer) error { return timingfile.Write(w, got.Timing, inv.Now(), from) }})
}

// logger is the air of --readings.
func (f sampleFlags) logger(inv *invocation) (weather.Series, error) {
	readings, err := f.readings.Value()
	if err != nil || readings == "" {
		return weather.Series{}, err
	}
	o, err := intake.ReadOptions(&job.Job{}, "", inv.Now().Location())
	if err != nil {
		return weather.Series{}, err
	}
	return intake.ReadLogger(readings, inv.Stdin, o)
}

// boardsOf are the boards of diaries that were laid and watched, of one finish where it is named, with what each is called.
func (inv *invocation) boardsOf(paths []string, finish string, logger weather.Series) (samples []drying.Sample, boards []learnedBoard, from []string, err error) {
	for _, path := range paths {
		entries, faults, err := diary.Read(path)
		if err != nil {
			return nil, nil, nil, err
		}
		if err := tellFaults(inv, faults); err != nil {
			return nil, nil, nil, err
		}
		for _, s := range diary.Samples(entries) {
			laid, ok := s.Reached(diary.Laid)
			if !ok || finish != "" && s.Board.Text("finish") != finish {
				continue
			}
			if err := s.Sound(); err != nil {
				return nil, nil, nil, fmt.Errorf("%s, board %d: %w", path, s.Board.N, err)
			}
			x, err := sampleFrom(path, s, laid, entries, logger)
			if err != nil {
				return nil, nil, nil, err
			}
			if len(x.Seen) < 2 && len(x.Weighings) < 2 {
				continue // laid, and nothing seen of it yet
			}
			samples, boards = append(samples, x), append(boards, learnedBoard{File: path, Board: s.Board.N, Name: s.Board.Text("name")})
			from = append(from, fmt.Sprintf("%s of %s", x.Name, laid.Format("2006-01-02 15:04 -07:00")))
		}
	}
	return samples, boards, from, nil
}

// ofOneFinish refuses boards of several finishes, and none.
func ofOneFinish(samples []drying.Sample, boards []learnedBoard, want string, paths []string) error {
	if len(samples) == 0 {
		return &Error{Exit: ExitBadInput, Where: paths[0], Expected: "sample boards that were laid and watched",
			Message: strings.Join(paths, ", ") + ": nothing was seen of any sample board" + of(want) + "; time one with limeday sample time " + paths[0]}
	}
	for i, s := range samples {
		if want == "" {
			want = s.Finish.Name
		}
		if s.Finish.Name != want {
			return &Error{Exit: ExitBadInput, Where: boards[i].File, Expected: "boards of one finish",
				Message: fmt.Sprintf("%s is of %s, and others are of %s; a timing is of one finish: choose with --finish", s.Name, s.Finish.Name, want)}
		}
	}
	return nil
}

func of(finish string) string {
	if finish == "" {
		return ""
	}
	return " of " + finish
}

// sampleFrom is a board of a diary, laid at a moment, in the air that logger, the board itself and the diary's readings give.
func sampleFrom(path string, s diary.Sample, laid time.Time, entries []diary.Entry, logger weather.Series) (drying.Sample, error) {
	e := s.Board
	x := drying.Sample{Name: fmt.Sprintf("%s, board %d", filepath.Base(path), e.N), Number: 1, Laid: laid, AirSpeed: drying.DefaultAirSpeed,
		Pressure: psychro.StandardPressure(0), Weighed: e.Text("thickness_from") == "tub-weight", Damped: e.Flag("damped")}
	var err error
	if x.Finish, err = material.FinishNamed(e.Text("finish")); err != nil {
		return x, err
	}
	if x.Background, err = material.BackgroundNamed(e.Text("background"), material.Primer(e.Text("primer"))); err != nil {
		return x, err
	}
	if n, ok := e.Number("coat"); ok {
		x.Number = int(n)
	}
	if t, ok := e.Number("thickness"); ok {
		x.Thickness = t
	} else if kg, ok := e.Number("spread"); ok {
		x.Thickness = x.Finish.Thickness(kg)
	}
	if v, ok := e.Number("air_speed"); ok {
		x.AirSpeed = v
	}
	if v, ok := e.Number("wall_temp"); ok {
		x.WallTemp = &v
	}
	if v, ok := e.Number("pressure"); ok {
		x.Pressure = psychro.Pascal(v)
	}
	x.Area, _ = e.Number("area")
	for _, v := range s.Events {
		x.Seen = append(x.Seen, drying.Seen{What: drying.SeenState(v.Text("what")), At: v.At, Not: v.Flag("looked")})
	}
	for _, w := range s.Weighings {
		m, _ := w.Number("mass")
		x.Weighings = append(x.Weighings, drying.Weighing{At: w.At, Mass: m})
	}
	within := func(t time.Time) bool { return drying.Counts(laid, t) }
	for _, r := range logger.Records {
		if within(r.Time) {
			x.Air.Records = append(x.Air.Records, r)
		}
	}
	if len(logger.Records) > 0 {
		return x, nil
	}
	for _, r := range append([]diary.Entry{e}, diary.Amended(entries)...) {
		temp, hasTemp := r.Number("temp")
		rh, hasRH := r.Number("rh")
		at := r.At
		if r.Kind == diary.Board {
			if r.N != e.N || len(x.Air.Records) > 0 {
				continue
			}
			at = laid // it is told of the laying
		}
		if r.Kind != diary.Reading && r.Kind != diary.Board || !hasTemp || !hasRH || !within(at) {
			continue
		}
		vapour := rh / 100 * float64(psychro.SaturationWater(psychro.Celsius(temp)))
		x.Air.Records = append(x.Air.Records, weather.Record{Time: at.UTC(), Temperature: weather.Value{V: temp, Tag: weather.Measured}, Vapour: weather.Value{V: vapour, Tag: weather.Measured}})
	}
	slices.SortStableFunc(x.Air.Records, func(a, b weather.Record) int { return a.Time.Compare(b.Time) })
	x.Air.Records = slices.CompactFunc(x.Air.Records, func(a, b weather.Record) bool { return a.Time.Equal(b.Time) })
	return x, nil
}

func learnText(a sampleLearnAnswer, got drying.Taught) string {
	var b strings.Builder
	b.WriteString(wrap("", fmt.Sprintf("Learned from %s of %s.", plural(a.Boards, "board"), a.Finish)) + "\n")
	fmt.Fprintf(&b, "%-28s %-6s %10s %10s %10s\n", "Board", "", "seen", "expected", "now")
	for i, s := range a.Samples {
		name := fmt.Sprintf("%d %s", s.Board, quantity.Short(quantity.Thickness, got.Samples[i].Sample.Thickness, quantity.Metric)) + " on " + got.Samples[i].Sample.Background.Name
		for _, t := range s.Times {
			at := "not yet"
			if t.Seen != nil {
				at = view.AfterLaying(*t.Seen*60, message.Ends, true)
			}
			fmt.Fprintf(&b, "%-28s %-6s %10s %10s %10s\n", name, t.What, at, view.AfterLaying(t.Was*60, message.Ends, true), view.AfterLaying(t.Is*60, message.Ends, true))
			name = ""
		}
		if name != "" {
			fmt.Fprintf(&b, "%-28s weighed\n", name)
		}
		if s.Odd {
			b.WriteString(wrap("  ! ", fmt.Sprintf("Board %d goes its own way, by %.1f times; it hardly counts. Look at it again: its air, its thickness, its times.", s.Board, s.Clock)))
		}
	}
	b.WriteString("\nWhat they tell:\n")
	for _, f := range a.Facts {
		text := f.Text + "."
		if f.Strange {
			text += " So far off that something else is wrong: check the boards' air, background and times before you trust it."
		}
		b.WriteString(wrap(fmt.Sprintf("  %-18s  ", f.Name), text))
	}
	b.WriteString("\nThe usual first coat in the first board's place, eight cases in ten:\n")
	fmt.Fprintf(&b, "  %-10s %14s %14s\n", "", "before", "now")
	for i, what := range []string{"opens", "gone by", "next coat"} {
		x, y := got.Before[i], got.After[i]
		fmt.Fprintf(&b, "  %-10s %14s %14s\n", what, view.Narrow(x.Earliest, x.Latest), view.Narrow(y.Earliest, y.Latest))
	}
	if a.Timing == nil {
		b.WriteString("\n" + wrap("", "Keep it with --timing me.toml."))
	} else {
		b.WriteString("\n" + wrap("", fmt.Sprintf("Use it with --timing %s, or in the job: [timing] file = %q.", *a.Timing, *a.Timing)))
	}
	return b.String()
}

type samplePlanAnswer struct {
	Schema string      `json:"schema"`
	Finish string      `json:"finish"`
	Before float64     `json:"width_before"` // latest over earliest time of gone by of the job's last coat
	Boards []planBoard `json:"boards"`
}

type planBoard struct {
	Background  string  `json:"background"`
	Coat        int     `json:"coat"`
	ThicknessMm float64 `json:"thickness_mm"`
	TempC       float64 `json:"temp_c"`
	RHPct       float64 `json:"rh_pct"`
	Width       float64 `json:"width"` // with this board and those before it
}

// mostPlanned is how many boards are proposed.
const mostPlanned = 3

// samplePlan proposes the boards that would narrow a job's timing most.
func samplePlan(_ context.Context, inv *invocation, f sampleFlags, args []string) error {
	earlier, err := f.earlier.Value()
	if err != nil {
		return err
	}
	s, err := inv.siteOf(args[0], intake.Given{Timing: earlier})
	if err != nil {
		return err
	}
	d, units := s.Job, inv.UnitsOf(s.File)
	reading, err := f.air.Reading(units)
	if err != nil {
		return err
	}
	if reading == nil {
		return usage("--temp", "--temp and --rh", "sample plan needs the air that the boards will stand in: give --temp and --rh, such as --temp 18C --rh 55")
	}
	last := d.Coats[len(d.Coats)-1]
	at := inv.Now()
	base := drying.Sample{Name: "the job", Finish: last.Finish, Background: d.Background, Number: len(d.Coats), Thickness: last.Thickness, Damped: d.Damped,
		Laid: at, Air: intake.OneReading(at, reading.Air), AirSpeed: drying.DefaultAirSpeed, Pressure: d.Pressure()}
	tell, told := inv.progress("Trying boards")
	defer told()
	tell(0)
	worth, before, err := drying.PlanSamples(d.Timing, drying.Boards(base, reading.Air), base, mostPlanned)
	if err != nil {
		return err
	}
	a := samplePlanAnswer{Schema: "limeday.sample-plan/1", Finish: last.Finish.Name, Before: before, Boards: []planBoard{}}
	for _, w := range worth {
		r := w.Sample.Air.Records[0]
		rh := 100 * r.Vapour.V / float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V)))
		a.Boards = append(a.Boards, planBoard{w.Sample.Background.Name, w.Sample.Number, millimetres(w.Sample.Thickness), r.Temperature.V, rh, w.Width})
	}
	return inv.Answer(a, func() string { return planSampleText(a, len(d.Coats), units) })
}

func planSampleText(a samplePlanAnswer, coat int, u quantity.Units) string {
	var b strings.Builder
	b.WriteString(wrap("", fmt.Sprintf("Coat %d of the job, %s: gone by is known within a factor of %.1f (latest over earliest).", coat, a.Finish, a.Before)))
	if len(a.Boards) == 0 {
		b.WriteString("No board would narrow that.\n")
		return b.String()
	}
	b.WriteString("\nBoards worth making, best first; time damp, gone by and dry of each:\n")
	for i, p := range a.Boards {
		over := ""
		if p.Coat > 1 {
			over = " over " + drying.DryCoats(p.Coat-1)
		}
		b.WriteString(wrap(fmt.Sprintf("  %d  ", i+1), fmt.Sprintf("%s on %s%s, in %s and %s: then %.1f.", keeping(u).Quantity(message.Thick(p.ThicknessMm/1000)), p.Background, over,
			together(quantity.Format(quantity.Temperature, p.TempC, u, 0)), together(trimPercent(math.Round(p.RHPct))), p.Width)))
	}
	b.WriteString("\n" + wrap("", "A board in the shop teaches the material, not the wall's suction. Weigh the tub before and after: a thickness laid by hand is known to an eighth or so. Boards rigid, upright, at least 600 mm, on the wall's own primer."))
	return b.String()
}
