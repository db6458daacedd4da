package drying

import (
	"fmt"
	"time"

	"limeday/drying/coat"
	"limeday/drying/cure"
	"limeday/drying/message"
)

// laidBy is the hour by which a wall said to be laid on a day is taken to be laid (common practice, no source).
const laidBy = 12 * time.Hour

// laidOutdoors follows the walls already laid outdoors through the weather since, and on through the forecast, and
// adds what protects them still. Where the weather since is not known a wall is taken to be as fresh as when it was
// laid, which errs on the side of care, and that is noted; waits count from the day it was laid all the same.
func (a *Answer) laidOutdoors(m *morning) error {
	for _, l := range a.Job.Laid {
		o := l.Outdoors
		if o == nil {
			o = a.Job.Outdoors
		}
		laid := l.On.Add(laidBy)
		if o == nil || !laid.Before(a.At) {
			continue
		}
		from := laid
		if first := m.readings.Records[0].Time; first.After(laid) {
			from = first
			a.Known.Notes = append(a.Known.Notes, message.Say("{}: the weather from the day it was laid to {} is not known; it is taken to be still fresh then.",
				l.Name, message.Stamp(from.In(a.Job.Zone))))
		}
		if err := a.protect(l, *o, from, from.Sub(laid), m); err != nil {
			return fmt.Errorf("the wall already laid, %s: %w", l.Name, err)
		}
	}
	return nil
}

// protect adds what is due on one wall, followed from a moment at which it had been laid for the time unseen.
func (a *Answer) protect(l Laid, o Outdoors, from time.Time, unseen time.Duration, m *morning) error {
	job := a.Job
	job.Outdoors, job.Coats, job.Damped, job.spots = &o, []Coat{{Finish: l.Finish, Thickness: l.thickness()}}, false, nil
	d, err := newDay(job, Ask{At: from, Air: m.ask.Air}, m.readings, false)
	if err != nil {
		return err
	}
	c, err := d.standing(0)
	if err != nil {
		return err
	}
	w, air := d.under(c, d.middle).Slowest(), d.spots[0].Setting.Air
	end := air[len(air)-1].Time
	var samples []coat.Sample
	w.Record(&samples, coat.Seldom)
	if err := w.Lay(coat.Coat{Finish: l.Finish, Thickness: l.thickness()}); err != nil {
		return err
	}
	if err := w.To(end); err != nil {
		return err
	}
	var hours []cure.Hour
	for _, s := range samples {
		if s.Time < end {
			hours = append(hours, d.hour(s))
		}
	}
	record, err := cure.NewRecord(hours, end)
	if err != nil {
		return err
	}
	report := cure.DefaultRules().Assess(record, l.Finish, l.thickness()*(1-shrinks(l.Finish)), d.seconds(a.At))
	for _, c := range d.protects(report) {
		if c.Idle() {
			continue
		}
		c.Wall = l.Name
		if c.Code != coverBy {
			c.From = c.From.Add(-unseen)
			if !c.Certain.IsZero() {
				c.Certain = c.Certain.Add(-unseen)
			}
		}
		if c.From.After(a.At) || c.Certain.After(a.At) {
			a.Care = append(a.Care, c)
		}
	}
	return nil
}

// thickness is that of all its coats, wet, m: as given, or the finish's usual.
func (l Laid) thickness() float64 {
	t := l.Thickness
	if t == 0 {
		for _, c := range l.Finish.Coats {
			t += c.Value
		}
	}
	return t
}
