package app

import (
	"context"
	"fmt"
	"io"
	"slices"
	"time"

	"limeday/cmd/internal/calendar"
	"limeday/cmd/internal/drawing"
	"limeday/drying"
	"limeday/drying/crew"
)

// write writes the files that are asked for, all or none.
func (s *wallScreen) write(ctx context.Context, inv *invocation, out *outFiles) error {
	now := inv.Now()
	days := s.days()
	writers := []func(io.Writer) error{
		func(w io.Writer) error { return drawing.PatchworkSVG(w, s.patchwork(0)) },
		nil,
		func(w io.Writer) error { return calendar.Write(w, s.calendar(now)) },
	}
	told := ""
	if len(days) > 0 {
		writers[1] = func(w io.Writer) error { return drawing.HandsSVG(w, s.hands(days[len(days)-1])) }
	}
	if len(s.plan.Sections) == 0 {
		writers[1], writers[2] = nil, nil
		for _, f := range out.flags[1:] {
			if path, err := f.Value(); err == nil && path != "" {
				told += "Nothing is planned, so " + oneLine(path) + " is not written.\n"
			}
		}
	}
	if path, err := out.flags[0].Value(); err == nil && path != "" && len(s.plan.Ask.Sites) > 1 {
		told += "The picture is of " + s.plan.Ask.Sites[0].Wall.Name + ", the first wall; limeday serve shows them all.\n"
	}
	if path, err := out.flags[1].Value(); err == nil && path != "" && len(days) > 1 {
		told += "The hands are those of " + days[len(days)-1].Format("Mon 2 January") + ", the last day; limeday serve shows every day.\n"
	}
	if err := out.write(ctx, inv, writers); err != nil {
		return err
	}
	return write(inv.Notes, told)
}

// days are the days with work, each from midnight.
func (s *wallScreen) days() []time.Time {
	var out []time.Time
	for _, r := range s.plan.Runs() {
		d := midnight(r.From)
		if !slices.ContainsFunc(out, d.Equal) {
			out = append(out, d)
		}
	}
	slices.SortFunc(out, time.Time.Compare)
	return out
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

// patchwork is a wall as it is drawn: with the sections of its last coat.
func (s *wallScreen) patchwork(site int) drawing.Patchwork {
	p := s.plan
	w := p.Ask.Sites[site].Wall
	d := drawing.Patchwork{Title: w.Name, Width: w.Width, Height: w.Height, Lifts: w.Lifts, May: w.Joints, Units: s.units}
	for _, o := range w.Openings {
		d.Openings = append(d.Openings, drawing.Box{Left: o.Left, Sill: o.Sill, Width: o.Width, Height: o.Height})
		d.OpeningNames = append(d.OpeningNames, o.Name)
	}
	last := len(p.Ask.Sites[site].Job.Coats) - 1
	section := func(n int) int {
		for _, c := range p.Sections {
			if c.Site == site && c.Coat == last && n >= c.First && n <= c.Last {
				return c.Number
			}
		}
		return 0
	}
	all := p.Patches[site]
	for i, x := range all {
		y := drawing.WallPatch{Number: x.Number, Section: section(x.Number), Area: x.Area}
		for _, b := range x.Boxes {
			y.Boxes = append(y.Boxes, drawing.Box(b))
		}
		d.Patches = append(d.Patches, y)
		if i+1 < len(all) && y.Section > 0 && section(all[i+1].Number) != y.Section {
			b, next := x.Boxes[0], all[i+1].Boxes[0]
			at := b.Left + b.Width
			if next.Left < b.Left {
				at = b.Left
			}
			d.Joints = append(d.Joints, at)
		}
	}
	return d
}

// hands are the hands over a day, with their breaks.
func (s *wallScreen) hands(day time.Time) drawing.Hands {
	p := s.plan
	on := func(d time.Duration) time.Time {
		return time.Date(day.Year(), day.Month(), day.Day(), int(d/time.Hour), int(d%time.Hour/time.Minute), 0, 0, day.Location())
	}
	out := drawing.Hands{Title: "The hands on " + day.Format("Mon 2 January"), From: on(p.Ask.Crew.Hours.From), To: on(p.Ask.Crew.Hours.To)}
	runs := p.Runs()
	for i, h := range p.Ask.Crew.Hands {
		row := drawing.HandRow{Name: h.Name}
		for _, r := range runs {
			if r.Hand != i || !midnight(r.From).Equal(day) {
				continue
			}
			b := drawing.HandBar{From: begun(r.From), To: begun(r.To), First: r.First, Last: r.Last, Opens: begun(r.Opens), Closes: over(r.Closes)}
			for _, o := range r.Does {
				b.Does = append(b.Does, o.String())
			}
			row.Bars = append(row.Bars, b)
		}
		for _, b := range p.Ask.Crew.Breaks {
			row.Bars = append(row.Bars, drawing.HandBar{From: on(b.From), To: on(b.To), Does: []string{"break"}})
		}
		slices.SortFunc(row.Bars, func(a, b drawing.HandBar) int { return a.From.Compare(b.From) })
		out.Rows = append(out.Rows, row)
	}
	return out
}

// calendar is the hands' work, run by run.
func (s *wallScreen) calendar(now time.Time) calendar.Day {
	p := s.plan
	d := calendar.Day{Job: s.head, Date: "wall-" + p.Ask.Ask.At.Format(time.DateOnly), Place: s.job.Place.Name, Stamp: now}
	for i, r := range p.Runs() {
		name := p.Ask.Crew.Hands[r.Hand].Name
		e := calendar.Event{Key: fmt.Sprintf("run-%d", i+1), Start: begun(r.From), End: begun(r.To),
			Title: fmt.Sprintf("%s %s coat %d, %s, %s", name, does(r), s.number(r.Coat), patches(r.First, r.Last), p.Ask.Sites[r.Site].Wall.Name),
			Note:  "The sign rules over the clock."}
		if r.Does[len(r.Does)-1] == crew.Lay {
			if r.Coat > 0 {
				e.Note += " " + string(drying.EventNext) + ": " + drying.EventNext.Sign() + "."
			}
		} else {
			e.Alarm = drying.CallBefore
			e.Note += " " + string(drying.EventOpens) + ": " + drying.EventOpens.Sign() + ". " + string(drying.EventCloses) + ": " + drying.EventCloses.Sign() + "."
		}
		d.Events = append(d.Events, e)
	}
	return d
}
