package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/page"
	"limeday/drying"
)

// buttons are what can be pressed now: of the coat that is being worked, or of the next.
func (d *desk) buttons(t *page.Today, j *deskJob, day intake.Day) {
	for _, s := range day.Seen {
		word := string(s.What)
		if s.Not {
			word = "not yet " + word
		}
		t.Seen = append(t.Seen, fmt.Sprintf("coat %d %s %s", s.Coat, word, clockOf(s.At, day)))
	}
	for _, x := range awaited(day.Job, day.Seen) {
		b := page.Button{Label: fmt.Sprintf("Coat %d %s", x.Coat, saidOf(x.What)), Coat: x.Coat, What: string(x.What)}
		if x.Event != "" {
			b.Sign = x.Event.Sign()
		}
		t.Presses = append(t.Presses, b)
		if x.Look {
			t.Presses = append(t.Presses, page.Button{Label: fmt.Sprintf("Looked: coat %d not yet %s", x.Coat, saidOf(x.What)), Coat: x.Coat, What: string(x.What), Looked: true})
		}
	}
	if e, ok := lastEvent(j.diary, day); ok {
		word := e.Text("what")
		if e.Flag("looked") {
			word = "not yet " + word
		}
		coat, _ := e.Number("coat")
		t.Undo = &page.Button{Label: fmt.Sprintf("Take back: coat %.0f %s %s", coat, word, clockOf(e.At, day)), What: "undo", Entry: e.N}
	}
}

// awaited is what can be seen next: after the last coat, the first of another wall like it.
func awaited(job drying.Job, seen []drying.Seen) []drying.Awaited {
	if next := drying.NextSeen(job, seen); len(next) > 0 {
		return next
	}
	return []drying.Awaited{{Coat: 1, What: drying.SeenLaid}}
}

// clockOf is a time of day, with the day where it is not that of asking.
func clockOf(t time.Time, day intake.Day) string {
	t, now := t.In(day.Job.Zone), day.Ask.At.In(day.Job.Zone)
	if t.Format(time.DateOnly) == now.Format(time.DateOnly) {
		return t.Format("15:04")
	}
	return t.Format("Mon 2 Jan 15:04")
}

// saidOf is a state as a button says it.
func saidOf(s drying.SeenState) string {
	if s == drying.SeenGone {
		return string(drying.EventCloses)
	}
	return string(s)
}

// lastEvent is what was last seen of the wall, as it stands in the diary.
func lastEvent(path string, day intake.Day) (diary.Entry, bool) {
	if len(day.Seen) == 0 {
		return diary.Entry{}, false
	}
	entries, _, err := diary.Read(path)
	if err != nil {
		return diary.Entry{}, false
	}
	var last diary.Entry
	for _, e := range diary.Amended(entries) {
		if _, ofBoard := e.Number("board"); e.Kind == diary.Event && !ofBoard && e.N > last.N && slices.ContainsFunc(day.Seen, func(s drying.Seen) bool {
			return s.At.Equal(e.At) && string(s.What) == e.Text("what")
		}) {
			last = e
		}
	}
	return last, last.N > 0
}

// Press implements page.Desk.
func (d *desk) Press(_ context.Context, n int, p page.Press) (string, error) {
	j := d.jobs[n]
	switch {
	case j.example != "":
		return "", errors.New("the examples keep no diary")
	case p.Job != j.name:
		return "", fmt.Errorf("it was pressed for %s, and this is %s; load the page again", oneLine(p.Job), j.name)
	}
	j.book.Lock()
	defer j.book.Unlock()
	entries, _, err := diary.Read(j.diary)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", pageError(err)
	}
	if i := slices.IndexFunc(entries, func(e diary.Entry) bool { return e.Text("press") == p.ID }); i >= 0 {
		return "Already in the diary: " + diary.Describe(entries[i]) + ".", nil
	}
	e := diary.Entry{Kind: diary.Event, At: d.inv.Now().Add(-p.Age), Data: map[string]any{"press": p.ID}}
	if p.What == "undo" {
		e.Kind, e.Amends, e.Data = diary.Withdrawal, p.Entry, nil
		i := slices.IndexFunc(entries, func(o diary.Entry) bool { return o.N == p.Entry })
		if i < 0 || entries[i].Kind != diary.Event {
			return "", errors.New("what is to be taken back is not in the diary; load the page again")
		}
		if slices.ContainsFunc(entries, func(o diary.Entry) bool { return o.Kind == diary.Withdrawal && o.Amends == p.Entry }) {
			return "Already taken back: " + diary.Describe(entries[i]) + ".", nil
		}
	} else if err := d.fits(j, p, &e); err != nil {
		return "", err
	}
	b, err := diary.Open(j.diary, d.inv.Now)
	if err == nil {
		e, err = b.Append(e)
	}
	if err != nil {
		return "", pageError(err)
	}
	j.changed(true)
	d.background.Go(d.caught(func() { d.Today(d.ctx, n, d.inv.Units()) })) // worked out, and noted, whether a phone asks again or not
	if p.What == "undo" {
		return "Taken back.", nil
	}
	return "In the diary: " + diary.Describe(e) + ". The rest of the day is being worked out.", nil
}

// fits refuses a press that cannot be beside what was seen before, and fills its entry in.
func (d *desk) fits(j *deskJob, p page.Press, e *diary.Entry) error {
	file, err := d.load(j)
	if err != nil {
		return errors.New(clause(err))
	}
	now := d.inv.Now()
	site, err := d.inv.intake().Site(file, intake.Given{Untimed: true})
	if err != nil {
		return errors.New(clause(err))
	}
	job := site.Job
	e.At = e.At.In(job.Zone)
	e.Data["coat"], e.Data["what"] = float64(p.Coat), p.What
	if p.Looked {
		e.Data["looked"] = true
	}
	if !slices.Contains(drying.SeenStates(), drying.SeenState(p.What)) {
		return fmt.Errorf("%q is nothing that is seen of a coat; load the page again", oneLine(p.What))
	}
	if err := diary.Check(*e); err != nil {
		return pageError(err)
	}
	seen, err := d.inv.fromDiary(j.diary, now, job.Zone)
	if err != nil {
		return pageError(err)
	}
	if p.Coat == 1 && p.What == string(drying.SeenLaid) && len(drying.NextSeen(job, seen)) == 0 {
		seen = nil // another wall like it is begun
	}
	if _, err := drying.SeenOf(job, now, append(seen, drying.Seen{Coat: p.Coat, What: drying.SeenState(p.What), At: e.At, Not: p.Looked})); err != nil {
		return errors.New(clause(err))
	}
	return nil
}
