package app

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/calendar"
	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/season"
)

// seasonFiles are the files that season writes besides its answer.
type seasonFiles struct{ outFiles } // picture, csv, calendar

func addSeasonFiles(fs *pflag.FlagSet) *seasonFiles {
	return &seasonFiles{filesAt(fs,
		addText(fs, "picture", "FILE.svg", "write the drawing of the year"),
		addText(fs, "csv", "FILE.csv", "write a row for each wall and half-month, in SI units"),
		addText(fs, "calendar", "FILE.ics", "write the first and last safe days to come as a calendar"),
	)}
}

// write writes the files that are asked for, all or none.
func (f *seasonFiles) write(ctx context.Context, inv *invocation, r season.Result) error {
	now := inv.Now()
	dates := seasonCalendar(r, now)
	writers := []func(io.Writer) error{
		func(w io.Writer) error { return drawing.SeasonSVG(w, seasonDrawing(r)) },
		func(w io.Writer) error { return seasonCSV(w, r) },
		func(w io.Writer) error { return calendar.Write(w, dates) },
	}
	told := ""
	if path, err := f.flags[2].Value(); err == nil && path != "" && len(dates.Events) == 0 {
		writers[2] = nil
		told = "No calendar: there are no frost-safe dates to enter; " + oneLine(path) + " is not written.\n"
	}
	if err := f.outFiles.write(ctx, inv, writers); err != nil {
		return err
	}
	return write(inv.Notes, told)
}

// seasonCSV writes a row for each wall and half-month, in the order of the year. A cell is empty where nothing is known.
func seasonCSV(w io.Writer, r season.Result) error {
	head := []string{"wall", "bearing_deg", "from", "to", "days", "workable_share_low", "workable_share", "workable_share_high", "care_share", "best_start"}
	for _, s := range r.Starts {
		head = append(head, "workable_share_"+strings.ReplaceAll(clockAt(s), ":", ""))
	}
	for _, t := range []string{"opens", "closes"} {
		head = append(head, t+"_min_earliest", t+"_min", t+"_min_latest")
	}
	head = append(head, "window_min_low", "window_min", "window_min_high", "run_share")
	for _, why := range season.Whys() {
		head = append(head, "lost_"+strings.ReplaceAll(whyCode(why), "-", "_")+"_share")
	}
	c := csv.NewWriter(w)
	if err := c.Write(head); err != nil {
		return err
	}
	number := func(x float64) string { return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64) }
	perhaps := func(x *float64) string {
		if x == nil {
			return ""
		}
		return number(*x)
	}
	for _, wall := range r.Walls {
		for _, p := range wall.Periods {
			a := answerPeriod(r, p)
			best := ""
			if a.BestStart != nil {
				best = *a.BestStart
			}
			row := []string{wall.Name, number(wall.Bearing), a.From, a.To, strconv.Itoa(a.Days), perhaps(a.WorkableLow), perhaps(a.Workable), perhaps(a.WorkableHigh), perhaps(a.Care), best}
			for i := range r.Starts {
				s := ""
				if i < len(a.ByStart) {
					s = number(a.ByStart[i])
				}
				row = append(row, s)
			}
			for _, x := range []*float64{a.OpensEarliest, a.Opens, a.OpensLatest, a.ClosesEarly, a.Closes, a.ClosesLatest, a.WindowLow, a.Window, a.WindowHigh, a.Run} {
				row = append(row, perhaps(x))
			}
			for _, why := range season.Whys() {
				row = append(row, number(p.LostTo(why)))
			}
			if err := c.Write(row); err != nil {
				return err
			}
		}
	}
	c.Flush()
	return c.Error()
}

// coming is the next day, from t's on, that is the day of a year.
func coming(d season.MonthDay, t time.Time) time.Time {
	today := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
	for year := today.Year(); ; year++ {
		last := time.Date(year, d.Month+1, 0, 0, 0, 0, 0, t.Location()).Day()
		day := time.Date(year, d.Month, min(d.Day, last), 0, 0, 0, 0, t.Location())
		if !day.Before(today) {
			return day
		}
	}
}

// seasonCalendar has the first and the last safe laying day of each share, the next time that each comes: once for walls that
// have it in common. It is empty where there are no odds.
func seasonCalendar(r season.Result, now time.Time) calendar.Day {
	zone := r.Zone
	if zone == nil {
		zone = now.Location()
	}
	d := calendar.Day{Job: seasonTitle(r), Date: "season", Place: r.Place.Name, Stamp: now}
	type what struct {
		last  bool
		share float64
		date  season.MonthDay
	}
	var order []what
	walls, first := map[what][]string{}, map[what]int{}
	enter := func(w what, i int) {
		if walls[w] == nil {
			order, first[w] = append(order, w), i+1
		}
		walls[w] = append(walls[w], r.Walls[i].Name)
	}
	finish := ""
	for i, w := range r.Walls {
		if noOdds(r, w.Frost) != "" {
			continue
		}
		finish = w.Frost.Finish
		for _, s := range w.Frost.Safe {
			if !s.None {
				enter(what{false, s.Share, s.First}, i)
				enter(what{true, s.Share, s.Last}, i)
			}
		}
	}
	for _, w := range order {
		end, title := "first", "First frost-safe day to lay, "
		if w.last {
			end, title = "last", "Last frost-safe day to lay, "
		}
		title += inYears(w.share)
		if len(r.Walls) > 1 && len(walls[w]) < len(r.Walls) {
			title += ": " + strings.Join(walls[w], ", ")
		}
		day := coming(w.date, now.In(zone))
		d.Events = append(d.Events, calendar.Event{
			Key:   fmt.Sprintf("%s-%.0f-%d-wall-%d", end, 100*w.share, day.Year(), first[w]),
			Start: day, Whole: true, Title: title,
			Note: fmt.Sprintf("%s, by %s of %s. Years gone by are no promise of this one: ask for the frost to come before laying. This is no warranty.\n%s",
				orWord(finish, "The last coat"), strings.TrimPrefix(yearsText(r), "the "), sourceName(r), strings.Join(drying.Cautions(), " ")),
		})
	}
	slices.SortStableFunc(d.Events, func(a, b calendar.Event) int { return a.Start.Compare(b.Start) })
	return d
}

// seasonDrawing is the season as it is drawn: the band of the first wall, then the walls, then each wall's starts.
func seasonDrawing(r season.Result) drawing.Season {
	d := drawing.Season{Title: seasonTitle(r), July: r.South, From: sourceName(r) + ", " + yearsText(r)}
	if slices.Contains(r.Lacks, "rain") {
		d.From += "; rain is not known, and not taken for dry"
	}
	if len(r.Walls) == 0 {
		return d
	}
	first := r.Walls[0]
	d.Says = frostHeadline(r, first.Frost)
	d.Band = seasonBand(r, first)
	walls := drawing.Map{Head: "Days in ten that can be worked, whatever the start"}
	for _, w := range r.Walls {
		walls.Rows = append(walls.Rows, drawing.MapRow{Label: orWord(w.Name, "the wall") + ", looking " + view.Looking(w.Bearing),
			Shares: shares(w, func(p season.Period) float64 { return p.Workable.Likely })})
	}
	d.Maps = append(d.Maps, walls)
	for _, w := range r.Walls {
		m := drawing.Map{Head: orWord(w.Name, "the wall") + ", by the start"}
		for k, s := range r.Starts {
			m.Rows = append(m.Rows, drawing.MapRow{Label: clockAt(s), Shares: shares(w, func(p season.Period) float64 {
				if k >= len(p.ByStart) {
					return math.NaN()
				}
				return p.ByStart[k]
			})})
		}
		d.Maps = append(d.Maps, m)
	}
	return d
}

// shares are a wall's by half-month, NaN where the weather is not known.
func shares(w season.Wall, of func(season.Period) float64) []float64 {
	var out []float64
	for _, p := range w.Periods {
		v := math.NaN()
		if p.Known() {
			v = of(p)
		}
		out = append(out, v)
	}
	return out
}

// frostHeadline is the answer in one sentence.
func frostHeadline(r season.Result, f season.FrostSafe) string {
	if s := noOdds(r, f); s != "" {
		s, _, _ = strings.Cut(s, ":")
		return strings.TrimSuffix(s, ".") + "."
	}
	for _, s := range f.Safe {
		if !s.None {
			return "Frost-safe to lay " + safeDates(s) + ", " + inYears(s.Share) + "."
		}
	}
	return "No day is frost-safe to lay in half the years."
}

func seasonBand(r season.Result, w season.Wall) drawing.Band {
	f := w.Frost
	b := drawing.Band{Head: "Frost-safe to lay, year by year"}
	if len(r.Walls) > 1 {
		b.Head += ": " + w.Name
	}
	if s := noOdds(r, f); s != "" {
		b.Head, b.Notes = "Frost", []string{s}
		return b
	}
	day := func(d season.MonthDay) drawing.Date { return drawing.Date{Month: d.Month, Day: d.Day} }
	of := func(t time.Time) drawing.Date { return drawing.Date{Month: t.Month(), Day: t.Day()} }
	for i, s := range f.Safe {
		says := strings.TrimPrefix(inYears(s.Share), "in ")
		if s.None {
			b.Notes = append(b.Notes, strings.ToUpper(says[:1])+says[1:]+": no safe day.")
			continue
		}
		b.Lines = append(b.Lines, drawing.DateLine{Date: day(s.First), Usual: i > 0, Says: says + ": from " + monthDay(s.First)},
			drawing.DateLine{Date: day(s.Last), End: true, Usual: i > 0, Says: "to " + monthDay(s.Last)})
	}
	if s := fewYears(r, f); s != "" {
		b.Notes = append(b.Notes, s)
	}
	for _, y := range f.Years {
		label := yearName(y.Year, r.South)
		if r.South {
			label = label[max(0, len(label)-5):]
		}
		x := drawing.SafeYear{Label: label, None: y.First.IsZero(), Open: y.Open}
		if !x.None {
			x.First, x.Last = of(y.First), of(y.Last)
		}
		b.Years = append(b.Years, x)
	}
	return b
}
