package app

import (
	"context"
	"errors"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
	"limeday/drying/season"
)

// deskYear is how far the year of a job is.
type deskYear struct {
	working bool
	done    float64
	result  *season.Result
	fault   string
}

// errNoYear refuses the year of a wall that has none.
var errNoYear = errors.New("the year is of walls outdoors; this job has a room, and Today answers for it")

// Year implements page.Desk.
func (d *desk) Year(_ context.Context, n int, _ quantity.Units) page.Year {
	j := d.jobs[n]
	y := page.Year{Name: j.name}
	file, err := d.load(j)
	switch {
	case err != nil:
		y.Fault = pageSentence(err)
		return y
	case file.Room != nil:
		y.Fault = pageSentence(errNoYear)
		return y
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	y.Working, y.Done, y.Fault = j.year.working, j.year.done, j.year.fault
	y.Asked = !y.Working && j.year.result == nil
	if r := j.year.result; r != nil {
		s := seasonDrawing(*r)
		y.Picture = drawing.SeasonInline(s)
		y.Says = append(y.Says, s.Says, s.From+".", "Years gone by are the best guess of the next, and no warranty.")
		for _, m := range s.Maps {
			head, rows := s.Table(m)
			y.Tables = append(y.Tables, page.Table{Caption: m.Head, Head: head, Rows: rows})
		}
	}
	if y.Asked && y.Fault == "" {
		y.Says = append(y.Says, "Every start of every day of many years is tried with the model: it takes a minute or two, and is kept.")
	}
	return y
}

// WorkYear implements page.Desk.
func (d *desk) WorkYear(n int) error {
	j := d.jobs[n]
	file, err := d.load(j)
	switch {
	case err != nil:
		return errors.New(clause(err))
	case file.Room != nil:
		return errNoYear
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.year.working {
		return nil
	}
	j.year = deskYear{working: true}
	d.background.Go(func() {
		var r *season.Result
		var err error
		if p := d.catch(func() { r, err = d.season(j) }); p != nil {
			err = p
		}
		j.mu.Lock()
		defer j.mu.Unlock()
		j.year = deskYear{result: r}
		if err != nil {
			j.year.fault = pageSentence(err)
		}
	})
	return nil
}

// season works a job's season out, as the command does.
func (d *desk) season(j *deskJob) (*season.Result, error) {
	site, err := d.inv.seasonSite(j.path, j.example)
	if err != nil {
		return nil, err
	}
	q := seasonQuestion{weather: d.weather, offline: d.offline}
	if q.starts, err = startsOf("", site.Job.Hours); err != nil {
		return nil, err
	}
	years, err := d.inv.seasonYears(d.ctx, site.File, site.Job, q)
	if err != nil {
		return nil, err
	}
	r, err := d.inv.workSeason(d.ctx, site.Walls, years, q.starts, func(share float64) {
		j.mu.Lock()
		j.year.done = share
		j.mu.Unlock()
	})
	return &r, err
}
