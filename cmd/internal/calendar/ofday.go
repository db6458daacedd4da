package calendar

import (
	"strings"
	"time"

	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

// rules begins the note of an event with a sign.
const rules = "The sign rules over the clock."

// OfDay is what is to be done, and when: an entry for each deed of the evening before, an entry for each laying, and for each step of the day's coats with a sign. A day on which coats
// cannot be told yet has one entry: to ask again.
func OfDay(v view.Day, p view.Printer, now time.Time) Day {
	d := Day{Job: v.Head, Date: v.Start.Format(time.DateOnly), Place: v.Place, Stamp: now}
	place := v.Place
	if place == "" {
		place = "A wall"
	}
	for _, e := range v.Eve {
		d.Events = append(d.Events, Event{Key: "eve-" + e.Code, Start: e.When(), Title: strings.TrimSuffix(p.Text(e.Says), "."), Note: place})
	}
	for i, c := range v.Plan {
		if c.Over || len(c.Past) > 0 || v.AllTheSame {
			continue
		}
		name := p.Text(c.Name)
		key := p.Text(message.Say("coat-{}-", message.Number(c.Number)))
		lay := Event{Key: key + "lay", Start: c.Lay.Shown(), Title: "Lay coat " + name, Note: place}
		if v.Ahead() {
			lay.Title += " (" + c.Due + ")"
		}
		if i > 0 {
			lay.Note = layNote(p, v.Plan[i-1].Then, c)
		}
		d.Events = append(d.Events, lay)
		for k, s := range c.Then {
			e := Event{Key: key + s.Code, Start: s.At.Shown(), Title: view.Capital(s.Name) + " coat " + name}
			switch {
			case !s.At.Reached() || s.Code == "gone": // what has gone by ends what can be done
				continue
			case s.Code == "next" && (i < len(v.Plan)-1 || len(v.Days) > 0):
				continue // the laying of it has an entry
			case s.Code == "next":
				e.Title, e.Note = "Next coat can follow on coat "+name, note(c.Then[k:])
			default:
				if s.Code != "burnish" {
					e.Key = key + "close"
				}
				e.Alarm, e.Note = v.Call, note(append([]view.Step{s}, ends(c.Then)...))
				if end := ends(c.Then); len(end) > 0 && end[0].At.Shown().After(e.Start) {
					e.End = end[0].At.Shown()
				}
			}
			d.Events = append(d.Events, e)
		}
	}
	var before []view.Step
	if n := len(v.Plan); n > 0 {
		before = v.Plan[n-1].Then
	}
	for _, l := range v.Days {
		for _, c := range l.Coats {
			key := p.Text(message.Say("coat-{}-lay", message.Number(c.Number)))
			if l.Due == "not-before" {
				d.Events = append(d.Events, Event{Key: key, Start: l.Date, Whole: true, Title: "Ask again: " + l.Named, Note: place})
				break
			}
			lay := Event{Key: key, Start: c.Lay.Shown(), Title: "Lay coat " + p.Text(c.Name) + " (" + l.Due + ")", Note: place}
			if len(before) > 0 {
				lay.Note = layNote(p, before, c)
			}
			d.Events, before = append(d.Events, lay), c.Then
		}
	}
	return d
}

// layNote has the signs of the coat before, and what is done to it before c is laid.
func layNote(p view.Printer, before []view.Step, c view.Coat) string {
	s := note(before)
	if len(c.Bed) > 0 {
		s += " " + view.Capital(p.Text(c.Bed)) + "."
	}
	return s
}

// ends are the steps that end what can be done.
func ends(steps []view.Step) []view.Step {
	for _, s := range steps {
		if s.Code == "gone" && s.At.Reached() {
			return []view.Step{s}
		}
	}
	return nil
}

// note has the signs of steps.
func note(steps []view.Step) string {
	says := []string{rules}
	for _, s := range steps {
		for _, x := range s.Signs {
			says = append(says, x.Name+": "+x.Says+".")
		}
	}
	return strings.Join(says, " ")
}
