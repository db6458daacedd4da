package app

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/calendar"
	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/drying"
)

// dayFiles are the files that today writes besides its answer.
type dayFiles struct{ outFiles } // sheet, picture, calendar

func addDayFiles(fs *pflag.FlagSet) *dayFiles {
	return &dayFiles{outFiles{
		flags: []*textFlag{
			addText(fs, "sheet", "FILE.html", "write the answer as a page to print"),
			addText(fs, "picture", "FILE.svg", "write the drawing of the day"),
			addText(fs, "calendar", "FILE.ics", "write what is to be done, and when, as a calendar"),
		},
		force: addForce(fs),
	}}
}

// write writes the files that are asked for, all or none.
func (f *dayFiles) write(ctx context.Context, inv *invocation, s dayScreen) error {
	stamp := inv.Now()
	writers := []func(io.Writer) error{
		func(w io.Writer) error { return sheet.Write(w, s.page()) },
		func(w io.Writer) error { return drawing.SVG(w, s.drawing()) },
		func(w io.Writer) error { return calendar.Write(w, s.calendar(stamp)) },
	}
	told := ""
	if path, err := f.flags[2].Value(); err == nil && path != "" && s.answer.Verdict == drying.NoGo {
		writers[2] = nil
		told = "No calendar: today is a no-go, so there is nothing to enter; " + oneLine(path) + " is not written.\n"
	}
	if err := f.outFiles.write(ctx, inv, writers); err != nil {
		return err
	}
	return write(inv.Notes, told)
}

// dayScreen is what the files are made from: the answer, and how the screen says it.
type dayScreen struct {
	answer  drying.Answer
	head    string
	assumed []string
	units   quantity.Units
}

// hours are the working hours of the day.
func (s dayScreen) hours() (from, to time.Time) {
	t := s.answer.At
	day := func(d time.Duration) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), int(d/time.Hour), int(d%time.Hour/time.Minute), 0, 0, t.Location())
	}
	return day(s.answer.Job.Hours.From), day(s.answer.Job.Hours.To)
}

// verdict is the answer in one short sentence.
func (s dayScreen) verdict() string {
	if s.answer.Verdict == drying.NoGo {
		return verdictWords[drying.NoGo] + " today."
	}
	return verdictWords[s.answer.Verdict] + ". First coat at " + s.answer.Start.Format("15:04") + "."
}

func (s dayScreen) title() string { return orWord(s.answer.Job.Place.Name, "A wall") }

func (s dayScreen) coatName(c drying.CoatPlan) string {
	digits := 2
	if s.units == quantity.US {
		digits = 1
	}
	return fmt.Sprintf("%d %s %s", c.Number, c.Coat.Finish.Name, quantity.Format(quantity.Thickness, c.Coat.Thickness, s.units, digits))
}

// drawing is the day as it is drawn.
func (s dayScreen) drawing() drawing.Day {
	a := s.answer
	d := drawing.Day{Title: s.title(), Date: stamp(a.At), Verdict: s.verdict(), KnownTo: a.Known.End, Units: s.units}
	d.From, d.To = s.hours()
	for _, c := range a.Coats {
		t := timesOf(c, a.Start)
		says := drawing.Says{Lay: t.clock(c.Lay), Edge: t.until(c.Edge)}
		if c.Last {
			says.Opens, says.Burnish, says.Closes = t.from(c.Opens), t.from(c.Burnish), t.gone(c.Closes)
		} else {
			says.Next = t.from(c.Recoat)
		}
		d.Coats = append(d.Coats, drawing.Coat{Name: s.coatName(c), Last: c.Last, Lay: c.Lay, Edge: c.Edge, Opens: c.Opens,
			Burnish: c.Burnish, Closes: c.Closes, Next: c.Recoat, Says: says, Sure: sureOf(a, c), Band: apart(bandSays(a, c))})
	}
	for _, p := range a.Trace {
		d.Course = append(d.Course, drawing.Point(p))
	}
	if x := a.Exterior; x != nil {
		d.SunFrom, d.SunTo = x.SunFrom, x.SunTo
	}
	d.Limits = s.limits()
	return d
}

// bandSays is bandOf where there are bands.
func bandSays(a drying.Answer, c drying.CoatPlan) string {
	if !a.Banded {
		return ""
	}
	return bandOf(a, c)
}

// sureOf is how sure a coat's times are: those of the last coat from its likely laying on, as the text has them.
func sureOf(a drying.Answer, c drying.CoatPlan) (s drawing.Sure) {
	if !a.Banded {
		return s
	}
	after := func(from, to float64) (b drawing.Between) {
		if math.IsInf(from, 1) {
			return b
		}
		b.From = c.Lay.Add(time.Duration(from * float64(time.Second)))
		if !math.IsInf(to, 1) {
			b.To = c.Lay.Add(time.Duration(to * float64(time.Second)))
		}
		return b
	}
	return drawing.Sure{Next: drawing.Between{From: c.Earliest.Recoat, To: c.Latest.Recoat}, Opens: after(c.Soonest.Opens, c.Slowest.Opens),
		Burnish: after(c.Soonest.Burnish, c.Slowest.Burnish), Closes: after(c.Soonest.Closes, c.Slowest.Closes)}
}

// limits are the strictest of the finishes' and the data sheet's for the face.
func (s dayScreen) limits() []drawing.Limit {
	coats := s.answer.Job.Coats
	if len(coats) == 0 {
		return nil
	}
	low, high := coats[0].Finish.MinFace.Value, coats[0].Finish.MaxFace.Value
	for _, c := range coats {
		low, high = max(low, c.Finish.MinFace.Value), min(high, c.Finish.MaxFace.Value)
	}
	if l := s.answer.Job.Limits.MinWall; l != nil {
		low = max(low, *l)
	}
	if l := s.answer.Job.Limits.MaxWall; l != nil {
		high = min(high, *l)
	}
	temp := func(c float64) string { return quantity.Format(quantity.Temperature, c, s.units, 0) }
	return []drawing.Limit{{C: low, Above: true, Says: "wall at least " + temp(low)}, {C: high, Says: "wall at most " + temp(high)}}
}

// page is the answer as a page.
func (s dayScreen) page() sheet.Page {
	a := s.answer
	says, _ := strings.CutPrefix(strings.Join(strings.Fields(verdictText(a)), " "), verdictWords[a.Verdict])
	p := sheet.Page{Head: s.head, Date: stamp(a.At), Verdict: verdictWords[a.Verdict], Says: strings.TrimLeft(says, ".,: "),
		Facts: screenRows(stateText(a, s.assumed, s.units, true)), Day: s.drawing()}
	for _, r := range a.Reasons {
		p.Reasons = append(p.Reasons, r.Text+reasonFigures(r, s.units))
	}
	for _, c := range a.Coats {
		p.Coats = append(p.Coats, s.row(c))
	}
	if a.Verdict == drying.NoGo {
		p.PlanHead = "Were it laid all the same"
	}
	if n := len(a.Job.Coats) - len(a.Coats); n > 0 && len(a.Coats) > 0 {
		p.Rest = plural(n, "coat") + " more to lay another day."
	}
	if n := len(a.Coats); n > 0 {
		events := []drying.Event{drying.EventEdge, drying.EventNext}
		if a.Coats[n-1].Last {
			events = append(events, drying.EventOpens, drying.EventBurnish, drying.EventCloses)
			for _, t := range drying.Troubles() {
				p.Watch = append(p.Watch, sheet.Fact{Name: t.Seen, Says: t.Do})
			}
		}
		for _, e := range events {
			p.Signs = append(p.Signs, sheet.Fact{Name: string(e), Says: e.Sign()})
		}
	}
	for _, c := range a.Changes {
		name := c.Text
		if c.Tomorrow {
			name += " (for tomorrow)"
		}
		p.Changes = append(p.Changes, sheet.Fact{Name: name, Says: c.Effect})
	}
	for _, r := range screenRows(restText(a, s.units, true)) {
		switch r.Name {
		case "Tint":
			p.Tint = append(p.Tint, r.Says)
		case "Sheet", "":
			p.Limits = append(p.Limits, r)
		case "Unknown", "Danger": // each has a place of its own below
		default:
			p.Care = append(p.Care, r)
		}
	}
	p.Unknown, p.Cautions = drying.Unknowns()+".", drying.Cautions()
	return p
}

func (s dayScreen) row(c drying.CoatPlan) sheet.Coat {
	t := timesOf(c, s.answer.Start)
	r := sheet.Coat{Name: s.coatName(c), Lay: t.clock(c.Lay), Edge: t.until(c.Edge)}
	if c.Last {
		r.Compress, r.Burnish, r.Gone = t.from(c.Opens), t.from(c.Burnish), t.gone(c.Closes)
	} else {
		r.Next = t.from(c.Recoat)
	}
	return r
}

// screenRows turns rows of the screen, a label and what it says, back into their parts, so that the page says
// what the screen says. Points under a row have no label.
func screenRows(text string) []sheet.Fact {
	indent := len(label(""))
	var rows []sheet.Fact
	inPoint := false
	for _, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		point, isPoint := strings.CutPrefix(line, "  - ")
		switch {
		case isPoint:
			rows = append(rows, sheet.Fact{Says: point})
		case strings.HasPrefix(line, "  ") && len(rows) > 0 && (inPoint || strings.HasPrefix(line, label(""))):
			rows[len(rows)-1].Says += " " + strings.TrimSpace(line)
			continue
		case len(line) > indent:
			rows = append(rows, sheet.Fact{Name: strings.TrimSpace(line[:indent]), Says: strings.TrimSpace(line[indent:])})
		}
		inPoint = isPoint
	}
	return rows
}

// alarm is how long before the last coat's window the calendar calls.
const alarm = 10 * time.Minute

// calendar is what is to be done, and when.
func (s dayScreen) calendar(now time.Time) calendar.Day {
	a := s.answer
	d := calendar.Day{Job: s.head, Date: a.Start.Format(time.DateOnly), Place: a.Job.Place.Name, Stamp: now}
	for i, c := range a.Coats {
		t := timesOf(c, a.Start)
		name := s.coatName(c)
		key := fmt.Sprintf("coat-%d-", c.Number)
		rules := func(e drying.Event) string { return string(e) + ": " + e.Sign() + "." }
		lay := calendar.Event{Key: key + "lay", Start: c.Lay, Title: "Lay coat " + name, Note: s.title()}
		if i > 0 {
			lay.Note = "The sign rules over the clock. " + rules(drying.EventNext)
		}
		d.Events = append(d.Events, lay)
		if !c.Last {
			if !c.Recoat.IsZero() && i == len(a.Coats)-1 {
				d.Events = append(d.Events, calendar.Event{Key: key + "next", Start: drying.RoundUp(c.Recoat, t.grain), Title: "Next coat can follow on coat " + name,
					Note: "The sign rules over the clock. " + rules(drying.EventNext)})
			}
			continue
		}
		gone := t.earlier(c.Closes)
		opens, burnish := t.later(c.Opens), t.later(c.Burnish)
		note := "The sign rules over the clock. "
		switch {
		case c.Opens.IsZero():
		case !c.Burnish.IsZero() && !burnish.After(opens):
			d.Events = append(d.Events, calendar.Event{Key: key + "close", Start: burnish, End: gone, Title: "Compress and burnish coat " + name, Alarm: alarm,
				Note: note + rules(drying.EventOpens) + " " + rules(drying.EventBurnish) + " " + rules(drying.EventCloses)})
		default:
			d.Events = append(d.Events, calendar.Event{Key: key + "close", Start: opens, End: gone, Title: "Compress coat " + name, Alarm: alarm,
				Note: note + rules(drying.EventOpens) + " " + rules(drying.EventCloses)})
			if !c.Burnish.IsZero() {
				d.Events = append(d.Events, calendar.Event{Key: key + "burnish", Start: burnish, End: gone, Title: "Burnish coat " + name, Alarm: alarm,
					Note: note + rules(drying.EventBurnish) + " " + rules(drying.EventCloses)})
			}
		}
	}
	return d
}

// later is t as coarsely as people are told when something begins, earlier when something ends; zero stays so.
func (d dayTimes) later(t time.Time) time.Time {
	if t.IsZero() || t.Sub(d.lay) < time.Minute { // never, or at once
		return t
	}
	return drying.RoundUp(t, d.grainAt(t))
}

func (d dayTimes) earlier(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return drying.RoundDown(t, d.grainAt(t))
}

func (d dayTimes) grainAt(t time.Time) time.Duration {
	if t.Sub(d.lay) < soon {
		return time.Minute
	}
	return d.grain
}
