package practice

import (
	"fmt"
	"math"
	"slices"
	"time"
	_ "time/tzdata" // an exercise is the same on a machine that has no zone files

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
	"limeday/weather"
)

// places are invented; their clocks are not.
var places = []struct {
	name string
	at   weather.Place
	zone string
}{
	{"Alder House", weather.Place{Name: "Alder House", Lat: 53.02, Lon: -7.30, Altitude: 85}, "Europe/Dublin"},
	{"Mill Lane", weather.Place{Name: "Mill Lane", Lat: 44.50, Lon: -72.60, Altitude: 210}, "America/New_York"},
	{"the Brick Yard", weather.Place{Name: "the Brick Yard", Lat: 51.20, Lon: 9.40, Altitude: 160}, "Europe/Berlin"},
}

// working are the hours of every exercise.
var working = drying.Hours{From: 8 * time.Hour, To: 17 * time.Hour}

// job draws a place and its day, asked of at 06:30.
func (m *maker) job(firstDay, lastDay int) (drying.Job, string, time.Time, error) {
	p := oneOf(m, places...)
	zone, err := time.LoadLocation(p.zone)
	if err != nil {
		return drying.Job{}, "", time.Time{}, fmt.Errorf("practice: %w", err)
	}
	day := firstDay + m.IntN(lastDay-firstDay+1)
	return drying.Job{Place: p.at, Zone: zone, Hours: working, Room: drying.Room{AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}}, p.name,
		time.Date(2026, 1, day, 6, 30, 0, 0, zone), nil
}

// room is a morning indoors: one reading, held for the day.
type room struct {
	job         drying.Job
	place       string
	at          time.Time
	t, rh, wall float64
}

// ask is the question that the room's reading, so far off, asks.
func (r room) ask(dt, drh, dwall float64) drying.Ask {
	got := func(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Measured} }
	t, w := r.t+dt, r.wall+dwall
	e := math.Min(1, r.rh+drh) * float64(psychro.SaturationWater(psychro.Celsius(t)))
	return drying.Ask{At: r.at, Faces: []drying.FaceReading{{At: r.at, Temp: w}}, Air: weather.Series{Source: "a reading", Records: []weather.Record{{Time: r.at.UTC(), Temperature: got(t), Vapour: got(e)}}}}
}

// room draws a morning.
func (m *maker) room() (room, error) {
	var r room
	var err error
	if r.job, r.place, r.at, err = m.job(60, 330); err != nil {
		return r, err
	}
	f := finish("polished-lime")
	for _, h := range []float64{0.20e-3, 0.12e-3, 0.08e-3} {
		r.job.Coats = append(r.job.Coats, drying.Coat{Finish: f, Thickness: h})
	}
	r.job.Background = oneOf(m, background("primed-board", material.Tight), background("primed-board", material.Fair), background("primed-board", material.Fair), background("primed-board", material.Thirsty),
		background("cement-board", ""), background("aerated-block", ""))
	r.job.Room.AirSpeed = oneOf(m, 0.1, 0.1, 0.1, 0.3)
	r.t, r.rh = m.whole(7, 26, 1), m.whole(0.3, 0.9, 0.05)
	r.wall = r.t - m.whole(0, 3, 1)
	return r, nil
}

// check works the morning out, without its bands.
func (r room) check() (Morning, error) {
	q := Morning{Job: r.job, Ask: r.ask(0, 0, 0)}
	var err error
	q.Answer, err = drying.Check(r.job, q.Ask)
	return q, err
}

// band works out how early and how late the times are. Days are refused whose latest time comes about the end of the hours:
// whether it is too late would hang on how many were drawn.
func (q *Morning) band() error {
	if err := q.Answer.Band(q.Ask, bands); err != nil || len(q.Answer.Coats) == 0 {
		return err
	}
	a := q.Answer
	late := a.Coats[len(a.Coats)-1].Latest.Burnish
	if end := hour(working.To, a.At).At; !late.IsZero() && late.Sub(end).Abs() < 30*time.Minute {
		return errUnclear
	}
	return nil
}

// steady tells whether readings as far off as an instrument's may be give the same, by what same has of an answer.
func (r room) steady(q Morning, same func(a, b drying.Answer) bool) (bool, error) {
	for _, d := range [][3]float64{{offTemp, -offRH, offTemp}, {-offTemp, offRH, -offTemp}, {0, offRH, -offTemp}} {
		a, err := drying.Check(r.job, r.ask(d[0], d[1], d[2]))
		if err != nil {
			return false, err
		}
		if !same(q.Answer, a) {
			return false, nil
		}
	}
	return true, nil
}

func sameVerdict(a, b drying.Answer) bool { return a.Verdict == b.Verdict }

// given is the morning in words.
func (r room) given() []message.Text {
	c := r.job.Coats
	return []message.Text{
		message.Say(r.at.Format("Monday 2 January")+", {}, at "+r.place+". A room with the doors shut, the air moving at {}. The air reads {} and {}, the wall {}; it stays so.",
			message.At(r.at), message.MetresASecond(r.job.Room.AirSpeed), message.Celsius(r.t), message.Parts(r.rh), message.Celsius(r.wall)),
		message.Say("Three coats of polished lime, {}, {} and {}, on "+r.job.Background.About+". Hours {} to {}.", message.Thick(c[0].Thickness), message.Thick(c[1].Thickness), message.Thick(c[2].Thickness), hour(working.From, r.at), hour(working.To, r.at)),
	}
}

// hour is a time of the day of at.
func hour(d time.Duration, at time.Time) message.Quantity {
	return message.At(time.Date(at.Year(), at.Month(), at.Day(), int(d/time.Hour), 0, 0, 0, at.Location()))
}

// verdictReasons are the first two reasons for a verdict; of a go, what makes it one.
func verdictReasons(q Morning) []Reason {
	a := q.Answer
	var out []Reason
	for _, r := range a.Reasons {
		if r.Severity != drying.Notes && len(out) < 2 {
			out = append(out, Reason{Text: r.Told()})
		}
	}
	if len(out) > 0 || len(a.Coats) == 0 {
		return out
	}
	last := a.Coats[len(a.Coats)-1]
	return []Reason{
		{Text: message.Say("The wall, {}, is {} above the dew point of the air, {}, and warm enough for the finish.", message.Celsius(a.WallTemp), message.Kelvins(a.WallTemp-float64(a.Now.DewPoint())), message.Celsius(float64(a.Now.DewPoint())))},
		{Text: message.Say("Every coat fits the hours: the last can be burnished from {} and is gone by {}.", message.At(last.Burnish), message.At(last.Closes))},
	}
}

// verdictSays is a verdict in a sentence, with the start.
func verdictSays(q Morning) message.Text {
	a := q.Answer
	switch a.Verdict {
	case drying.NoGo:
		return message.Say("No-go.")
	case drying.Care:
		return message.Say("Go, with care: the first coat at {}.", message.At(a.Start))
	}
	return message.Say("Go: the first coat at {}.", message.At(a.Start))
}

// nearVerdict is the verdict that is too careful by a step; a bolder one is not near.
func nearVerdict(v drying.Verdict) []int {
	if v == drying.NoGo {
		return nil
	}
	return []int{verdictAt(v) + 1}
}

func morningGo(m *maker) (Exercise, error) {
	r, err := m.room()
	if err != nil {
		return Exercise{}, err
	}
	q, err := r.check()
	if err != nil {
		return Exercise{}, err
	}
	if err := settle(m, q.Answer.Verdict, drying.Go, drying.Care, drying.NoGo); err != nil {
		return Exercise{}, err
	}
	if ok, err := r.steady(q, sameVerdict); err != nil || !ok {
		return Exercise{}, or(err)
	}
	if err := q.band(); err != nil {
		return Exercise{}, err
	}
	v := q.Answer.Verdict
	return Exercise{
		Given: r.given(), Asks: message.Say("Go, go with care, or no-go?"), Wants: WantVerdict, Choices: verdicts(), Day: r.at,
		Hint: message.Say("Three things: is the wall warm enough, is it far enough above its dew point, and do three coats fit the hours, the last with a window to burnish in?"),
		Answer: Answer{Choice: verdictAt(v), Near: nearVerdict(v), Says: verdictSays(q), Reasons: verdictReasons(q), Morning: &q,
			Sign: message.Say("{}: "+drying.EventNext.Sign(), string(drying.EventNext))},
	}, nil
}

func or(err error) error {
	if err == nil {
		return errUnclear
	}
	return err
}

func morningNext(m *maker) (Exercise, error) {
	return morningTime(m, 0, func(q Morning) (at, from, until time.Time) {
		if c := q.Answer.Coats; len(c) > 1 {
			return c[1].Lay, c[1].Earliest.Lay, c[1].Latest.Lay
		}
		return
	}, "When, by the clock, can the second coat go on?", "The second coat can go on at {}; eight days in ten between {}.", drying.EventNext)
}

func morningGone(m *maker) (Exercise, error) {
	return morningTime(m, 2, func(q Morning) (at, from, until time.Time) {
		if c := q.Answer.Coats; len(c) == 3 {
			return c[2].Closes, c[2].Earliest.Closes, c[2].Latest.Closes
		}
		return
	}, "When, by the clock, is the last coat gone by?", "The last coat is gone by at {}; eight days in ten between {}.", drying.EventCloses)
}

// morningTime asks for a time of day of a morning that is not a no-go. coat is the one that its reasons are of.
func morningTime(m *maker, coat int, of func(Morning) (at, from, until time.Time), asks, says string, e drying.Event) (Exercise, error) {
	r, err := m.room()
	if err != nil {
		return Exercise{}, err
	}
	q, err := r.check()
	if err != nil {
		return Exercise{}, err
	}
	if t, _, _ := of(q); q.Answer.Verdict == drying.NoGo || t.IsZero() {
		return Exercise{}, errUnclear
	}
	if err := q.band(); err != nil {
		return Exercise{}, err
	}
	t, from, until := of(q)
	if t.IsZero() || from.IsZero() || until.IsZero() || until.Sub(from) > 5*time.Hour || until.Format(time.DateOnly) != r.at.Format(time.DateOnly) {
		return Exercise{}, errUnclear
	}
	x := Exercise{
		Given: append(r.given(), message.Say("The first coat is laid at {}, each as soon as the one before is dry.", message.At(q.Answer.Start))),
		Asks:  message.Say(asks), Wants: WantClock, Day: r.at,
		Answer: Answer{At: t, From: drying.RoundDown(from, 5*time.Minute), Until: drying.RoundUp(until, 5*time.Minute), Morning: &q, Sign: message.Say("{}: "+e.Sign(), string(e))},
	}
	x.Answer.Says = message.Say(says, message.At(t), message.AtBoth(x.Answer.From, x.Answer.Until))
	c := usual(r.job.Coats[coat].Finish, coat+1)
	x.Hint = hintFor(c)
	c.Spots, c.Air, c.AirSpeed, c.Thickness = []material.Background{r.job.Background}, airOf(r.t, r.rh), r.job.Room.AirSpeed, r.job.Coats[coat].Thickness
	if r.wall != r.t {
		c.WallTemp = &r.wall
	}
	course, err := c.course()
	if err != nil {
		return x, err
	}
	x.Answer.Reasons, err = whyAtAll(c, course, e)
	return x, err
}

func morningHelp(m *maker) (Exercise, error) {
	r, err := m.room()
	if err != nil {
		return Exercise{}, err
	}
	q, err := r.check()
	if err != nil {
		return Exercise{}, err
	}
	steady := func(same func(a, b drying.Answer) bool) (bool, error) { return r.steady(q, same) }
	x, err := helps(m, q, steady)
	x.Given = r.given()
	return x, err
}

// helps asks what would help most on a day that is no plain go.
func helps(m *maker, q Morning, steady func(func(a, b drying.Answer) bool) (bool, error)) (Exercise, error) {
	a := q.Answer
	if a.Verdict == drying.Go || len(a.Changes) < 3 || !a.Changes[0].Helps {
		return Exercise{}, errUnclear
	}
	best := a.Changes[0]
	offered := []drying.Change{best}
	var less []drying.ChangeCode // helps, but not as much
	for _, c := range a.Changes[1:] {
		if c.Helps && !best.Verdict.Better(c.Verdict) {
			return Exercise{}, errUnclear
		}
		if len(offered) == 4 {
			continue
		}
		if c.Helps {
			less = append(less, c.Code)
		}
		offered = append(offered, c)
	}
	if len(offered) < 3 {
		return Exercise{}, errUnclear
	}
	ok, err := steady(func(a, b drying.Answer) bool {
		return a.Verdict == b.Verdict && len(b.Changes) > 0 && b.Changes[0].Helps && b.Changes[0].Code == best.Code
	})
	if err != nil || !ok {
		return Exercise{}, or(err)
	}
	if err := q.band(); err != nil {
		return Exercise{}, err
	}
	word := map[drying.Verdict]string{drying.Care: "It is a go with care", drying.NoGo: "It is a no-go"}[a.Verdict]
	x := Exercise{Asks: message.Say(word + " as it stands. Which of these helps most?"), Wants: WantChoice, Day: a.At,
		Hint:   message.Say("Ask what stands in the way first: cold, damp, dry, or the hours. What does not touch that does not help."),
		Answer: Answer{Morning: &q}}
	var texts []message.Text
	for _, c := range offered {
		texts = append(texts, c.Says)
	}
	var order []int
	x.Choices, order = m.choose(texts...)
	x.Answer.Choice = order[0]
	for i, c := range offered {
		if slices.Contains(less, c.Code) {
			x.Answer.Near = append(x.Answer.Near, order[i])
		}
	}
	x.Answer.Says = message.Say("With "+x.Choices[order[0]].Key+": {}.", best.Effect)
	for i := range x.Choices {
		k := slices.Index(order, i)
		if k != 0 {
			x.Answer.Says = append(x.Answer.Says, message.Say(" With "+x.Choices[i].Key+": {}.", offered[k].Effect)...)
		}
	}
	x.Answer.Reasons = verdictReasons(q)
	return x, nil
}
