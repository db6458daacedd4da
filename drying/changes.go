package drying

import (
	"cmp"
	"math"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/exposure"
	"limeday/drying/message"
	"limeday/drying/parallel"
	"limeday/weather"
)

// Change is something in the crew's power, with its effect worked out by running the day again. None of
// them blows air at wet lime or forces it with heat.
type Change struct {
	Code   ChangeCode
	Says   message.Text
	Effect message.Text // begins with "no" where it does not help
	Helps  bool
	// Tomorrow is set for what must be done the day before.
	Tomorrow bool
	Verdict  Verdict
	Window   time.Duration // from burnish to gone by of the last coat, within the hours
	Done     time.Time     // when the last coat has gone by; zero where it does not
}

// ChangeCode names a kind of change.
type ChangeCode string

// The kinds.
const (
	ChangeStart    ChangeCode = "start"
	ChangeThinner  ChangeCode = "thinner-fill-coats"
	ChangeThicker  ChangeCode = "thicker-last-coat"
	ChangeDamp     ChangeCode = "damp-the-background"
	ChangeStill    ChangeCode = "still-the-air"
	ChangeShade    ChangeCode = "shade-the-wall"
	ChangeHeat     ChangeCode = "heat-from-the-day-before"
	ChangeSections ChangeCode = "smaller-section"
	ChangeHand     ChangeCode = "another-hand"
	ChangeSheet    ChangeCode = "sheet-the-wall"
)

// ChangeCodes lists them.
func ChangeCodes() []ChangeCode {
	return []ChangeCode{ChangeStart, ChangeThinner, ChangeThicker, ChangeDamp, ChangeStill, ChangeShade, ChangeHeat, ChangeSections, ChangeHand, ChangeSheet}
}

// HeatedRoom is the temperature a room is brought to from the day before, C (common practice, no source: 15-18).
const HeatedRoom = 17.0

// Variant is one change to try. Apply changes copies: the job's coats are cloned before.
type Variant struct {
	Code     ChangeCode
	Says     message.Text
	Tomorrow bool // it must be done the day before
	Apply    func(*Job, *Ask)
}

// Variants lists the changes that make sense for the job where its air is at temp, C.
func (j Job) Variants(temp float64) []Variant {
	var v []Variant
	add := func(code ChangeCode, words string, apply func(*Job, *Ask)) {
		v = append(v, Variant{Code: code, Says: message.Words(words), Apply: apply})
	}
	n := len(j.Coats)
	thinner, thicker := false, false
	for i, c := range j.Coats {
		u := c.Finish.Coats[coat.Place(i, n)]
		if i < n-1 && c.Thickness > u.Low*(1+1e-6) {
			thinner = true
		}
		if i == n-1 && c.Thickness < min(u.High, c.Finish.Thickest.Value)*(1-1e-6) {
			thicker = true
		}
	}
	if thinner {
		add(ChangeThinner, "Lay the fill coats at the thin end of their range", func(j *Job, _ *Ask) {
			for i := range n - 1 {
				j.Coats[i].Thickness = min(j.Coats[i].Thickness, j.Coats[i].Finish.Coats[coat.Place(i, n)].Low)
			}
		})
	}
	if thicker {
		last := j.Coats[n-1]
		to := min(last.Finish.Coats[coat.Place(n-1, n)].High, last.Finish.Thickest.Value)
		add(ChangeThicker, "Lay the last coat at the thick end of its range", func(j *Job, _ *Ask) { j.Coats[n-1].Thickness = to })
	}
	if j.Background.Masonry && !j.Damped {
		v = append(v, Variant{ChangeDamp, message.Words("Damp the masonry this evening and again before laying"), true, func(j *Job, _ *Ask) { j.Damped = true }})
	}
	if j.Outdoors == nil && (j.Room.AirSpeed > 0.05 || j.Room.Vent > 0) {
		add(ChangeStill, "Still the air: shut doors, turn fans and vents away", func(j *Job, _ *Ask) {
			j.Room.AirSpeed, j.Room.Vent = min(j.Room.AirSpeed, 0.05), 0
		})
	}
	if j.Room.Sun.To > j.Room.Sun.From {
		add(ChangeShade, "Shade the wall from the sun through the glass", func(j *Job, _ *Ask) { j.Room.Sun = SunHours{} })
	}
	if j.Outdoors == nil && temp < HeatedRoom-1 {
		v = append(v, Variant{ChangeHeat, message.Say("Heat the room to {} from the day before, vented, not at the wall", message.Celsius(HeatedRoom)), true, func(_ *Job, ask *Ask) {
			warm(ask)
		}})
	}
	if o := j.Outdoors; o != nil && o.Cover != exposure.Sheeted && o.Cover != exposure.Tented {
		add(ChangeSheet, "Sheet the wall from before the first coat on", func(j *Job, _ *Ask) {
			o := *j.Outdoors
			o.Cover = exposure.Sheeted
			j.Outdoors = &o
		})
		if o.Cover == exposure.Open {
			add(ChangeShade, "Shade the wall with a net", func(j *Job, _ *Ask) {
				o := *j.Outdoors
				o.Cover = exposure.Shaded
				j.Outdoors = &o
			})
		}
	}
	if j.Room.WetArea > 1 {
		add(ChangeSections, "Lay half the wall today", func(j *Job, _ *Ask) { j.Room.WetArea /= 2 })
		add(ChangeHand, "One more pair of hands", func(j *Job, _ *Ask) { j.Room.Hands = max(j.Room.Hands, 1) + 1 })
	}
	return v
}

// warm heats the air of the readings to at least HeatedRoom, with the vapour it has, and the wall with it.
func warm(ask *Ask) {
	s := ask.Air
	s.Records = slices.Clone(s.Records)
	for i, r := range s.Records {
		if r.Temperature.Known() {
			s.Records[i].Temperature = weather.Value{V: math.Max(r.Temperature.V, HeatedRoom), Tag: r.Temperature.Tag}
		}
	}
	ask.Air, ask.Faces = s, nil
}

// change works every variant out at the start chosen and ranks them by what they bring.
func (a *Answer) change(m *morning, atFirst Answer) error {
	if len(a.Coats) == 0 {
		return nil
	}
	first, to := atFirst.Start, m.to
	vs := a.Job.Variants(float64(a.Now.Temperature()))
	changes, errs := make([]Change, len(vs)), make([]error, len(vs))
	_ = parallel.Each(len(vs), func(i int) error { // the errors are in errs, in their order
		changes[i], errs[i] = a.try(vs[i], m)
		return nil
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	if a.Start.After(first) {
		c := Change{Code: ChangeStart, Says: message.Say("Start at {} rather than {}", message.At(a.Start), message.At(first))}
		c.outcome(*a, to)
		c.compare(atFirst, *a, to)
		changes = append(changes, c)
	}
	slices.SortStableFunc(changes, func(x, y Change) int {
		if x.Helps != y.Helps {
			if x.Helps {
				return -1
			}
			return 1
		}
		if x.Verdict != y.Verdict {
			if x.Verdict.Better(y.Verdict) {
				return -1
			}
			return 1
		}
		return cmp.Compare(y.Window, x.Window)
	})
	a.Changes = changes
	return nil
}

// try works one variant out.
func (a *Answer) try(v Variant, m *morning) (Change, error) {
	job, ask := a.Job, m.ask
	job.Coats = slices.Clone(job.Coats)
	ask.Air = m.readings
	v.Apply(&job, &ask)
	c := Change{Code: v.Code, Says: v.Says, Tomorrow: v.Tomorrow}
	d, err := newDay(job, ask, ask.Air, false)
	if err != nil {
		return c, err
	}
	t := &trial{start: d.seconds(a.Start)}
	if t.c, err = d.standing(t.start); err != nil {
		return c, err
	}
	t.c = d.under(t.c, d.middle)
	b := a.anew(job)
	if b, err = b.with(d, t, nil, m.to); err != nil {
		return c, err
	}
	if job.Outdoors != nil {
		err = b.outdoors(d, t)
	}
	if err != nil {
		return c, err
	}
	c.outcome(b, m.to)
	c.compare(*a, b, m.to)
	return c, nil
}

func (c *Change) outcome(b Answer, to time.Time) {
	c.Verdict = b.Verdict
	c.Window, c.Done = b.window(to)
}

// window is the last coat's window from burnish to gone by within the hours, and when it has gone by.
func (a *Answer) window(to time.Time) (time.Duration, time.Time) {
	if a.due[1] == 0 {
		return 0, time.Time{}
	}
	last := a.Coats[a.due[1]-1]
	if !last.Last || last.Burnish.IsZero() {
		return 0, time.Time{}
	}
	end := to
	if !last.Closes.IsZero() && last.Closes.Before(to) {
		end = last.Closes
	}
	return max(end.Sub(last.Burnish), 0), last.Closes
}

// compare words the effect of going from before to after.
func (c *Change) compare(before, after Answer, to time.Time) {
	var says []message.Text
	if after.Verdict != before.Verdict {
		says = append(says, message.Say("{} becomes {}", string(before.Verdict), string(after.Verdict)))
		c.Helps = after.Verdict.Better(before.Verdict)
	} else if x, y := before.troubles(), after.troubles(); len(y) < len(x) {
		says = append(says, message.Words("one reason less: "+gone(x, y)))
		c.Helps = true
	}
	w0, _ := before.window(to)
	w1, d1 := after.window(to)
	_, d0 := before.window(to)
	if d := w1 - w0; d.Abs() >= 3*time.Minute {
		says = append(says, message.Say("the last coat's window goes from {} to {}", message.In(w0.Seconds(), message.Ends), message.In(w1.Seconds(), message.Ends)))
		// A longer window helps where it is what is short.
		if d > 0 && before.has(CodeWindowShort, CodeWindowWall, CodeWindowLate, CodeNeverOpens) && after.Verdict == before.Verdict {
			c.Helps = true
		}
	}
	if !d0.IsZero() && !d1.IsZero() && d1.Sub(d0).Abs() >= 10*time.Minute {
		done := func(a Answer) message.Quantity { return a.Coats[len(a.Coats)-1].When(EventCloses) }
		says = append(says, message.Say("done at {} instead of {}", done(after), done(before)))
	}
	if len(says) == 0 || before.Verdict.Better(after.Verdict) {
		c.Helps = false
	}
	c.Effect = message.Join(says, "; ")
	switch {
	case c.Helps:
	case len(says) == 0:
		c.Effect = message.Words("no")
	default:
		c.Effect = message.Say("no: {}", c.Effect)
	}
}

// troubles are the codes of the reasons that stop or warn.
func (a *Answer) troubles() []Code {
	var c []Code
	for _, r := range a.Reasons {
		if r.Severity != Notes {
			c = append(c, r.Code)
		}
	}
	return c
}

func (a *Answer) has(codes ...Code) bool {
	return slices.ContainsFunc(a.Reasons, func(r Reason) bool { return slices.Contains(codes, r.Code) })
}

// gone is the first of x that is not in y, in words.
func gone(x, y []Code) string {
	for _, c := range x {
		if !slices.Contains(y, c) {
			return c.Words()
		}
	}
	return "a reason"
}
