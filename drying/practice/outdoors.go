package practice

import (
	"cmp"
	"math"
	"slices"
	"time"

	"limeday/drying"
	"limeday/drying/message"
	"limeday/psychro"
	"limeday/weather"
)

// wallOutside is a day outdoors, with its weather.
type wallOutside struct {
	job   drying.Job
	place string
	at    time.Time
	air   weather.Series
}

// The spans of the invented weather about the moment of asking.
const hoursBefore, hoursAfter = 24, 54

// spellOf is a kind of invented weather.
type spellOf int

const (
	frosty spellOf = iota
	showery
	stormy
	cold
	sunny
	dull
	ordinary
)

// outside draws a wall and its weather, of a kind.
func (m *maker) outside(kind spellOf) (wallOutside, error) {
	var w wallOutside
	var err error
	if w.job, w.place, w.at, err = m.job(90, 310); err != nil {
		return w, err
	}
	compass := []struct {
		name    string
		bearing float64
	}{{"north", 0}, {"east", 90}, {"south-east", 135}, {"south", 180}, {"south-west", 225}, {"west", 270}}
	looks := oneOf(m, compass...)
	w.place = "a wall of " + w.place + " that looks " + looks.name
	w.job.Outdoors = &drying.Outdoors{Name: "the wall", Bearing: looks.bearing, Shelter: oneOf(m, 0.3, 0.5), Cover: drying.CoverNamed(oneOf(m, "", "", "", "shaded", "sheeted"))}
	w.job.Damped = true
	switch {
	case kind == sunny || kind == ordinary && m.IntN(3) == 0:
		w.job.Background = background("old-lime", "")
		f := finish("marble-coat")
		w.job.Coats = []drying.Coat{{Finish: f, Thickness: f.Coats[0].Value}, {Finish: f, Thickness: f.Coats[2].Value}}
	default:
		w.job.Background = background(oneOf(m, "brick", "aerated-block"), "")
		f := finish("nhl-render")
		w.job.Coats = []drying.Coat{{Finish: f, Thickness: 1e-3 * m.whole(6, 10, 1)}}
	}
	season := -math.Cos(2 * math.Pi * float64(w.at.YearDay()-20) / 365) // -1 in January, 1 in July
	mean, swing, wind, cloud, damp, rainAt := 12+7*season+m.whole(-3, 3, 1), m.whole(3, 5, 1), m.whole(1, 3, 1), m.whole(0.3, 1, 0.1), m.whole(0.65, 0.85, 0.05), -1.0
	from := oneOf(m, 180.0, 200, 225, 250, 270, 20)
	switch kind {
	case frosty:
		mean, swing, wind, cloud = m.whole(2, 5, 1), 6, 1, 0
	case showery:
		rainAt, wind, from = m.whole(6, 40, 1), m.whole(5, 9, 1), math.Mod(looks.bearing+m.whole(0, 40, 10), 360)
	case stormy:
		wind, cloud, damp, w.job.Outdoors.Shelter = m.whole(13, 16, 1), 1, m.whole(0.8, 0.9, 0.05), 0.8
	case cold:
		mean, swing, cloud, wind, damp = m.whole(3.5, 4.5, 0.5), 1, 1, 2, 0.7
	case sunny:
		cloud, damp, swing = 0, m.whole(0.4, 0.55, 0.05), 8
	case dull:
		cloud, damp, swing, wind = 1, m.whole(0.85, 0.95, 0.05), 2, 1
	}
	vapour := damp * float64(psychro.SaturationWater(psychro.Celsius(mean)))
	fc := func(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Forecast} }
	w.air = weather.Series{Source: "invented weather", Issued: w.at.Add(-30 * time.Minute)}
	first := w.at.Truncate(time.Hour)
	for h := -hoursBefore; h <= hoursAfter; h++ {
		t := first.Add(time.Duration(h) * time.Hour)
		local := t.In(w.job.Zone)
		temp := mean + swing*math.Sin(2*math.Pi*float64(local.Hour()-9)/24)
		e := math.Min(vapour, 0.97*float64(psychro.SaturationWater(psychro.Celsius(temp))))
		rain, over := 0.0, cloud
		if s := float64(h); rainAt >= 0 && s >= rainAt && s < rainAt+3 {
			rain, over = 2, 1
		}
		gusty := 1 + 0.4*math.Sin(2*math.Pi*float64(local.Hour()-8)/24)
		w.air.Records = append(w.air.Records, weather.Record{Time: t.UTC(), Temperature: fc(math.Round(2*temp) / 2), Vapour: fc(e), Wind: fc(math.Round(2*wind*gusty) / 2), WindFrom: fc(from), Cloud: fc(over), Rain: fc(rain)})
	}
	return w, nil
}

// with is the weather changed hour by hour.
func (w wallOutside) with(change func(*weather.Record)) wallOutside {
	w.air.Records = slices.Clone(w.air.Records)
	for i := range w.air.Records {
		r := &w.air.Records[i]
		change(r)
		r.Vapour.V = math.Min(r.Vapour.V, float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V))))
	}
	return w
}

// check works the day out, without its bands.
func (w wallOutside) check() (Morning, error) {
	q := Morning{Job: w.job, Ask: drying.Ask{At: w.at, Air: w.air}}
	var err error
	q.Answer, err = drying.Check(w.job, q.Ask)
	return q, err
}

// steady tells whether weather a degree warmer or colder, and a fifth more or less windy, gives the same.
func (w wallOutside) steady(q Morning, same func(a, b drying.Answer) bool) (bool, error) {
	for _, s := range []float64{1, -1} {
		p, err := w.with(func(r *weather.Record) { r.Temperature.V += s; r.Wind.V *= 1 - 0.2*s }).check()
		if err != nil {
			return false, err
		}
		if !same(q.Answer, p.Answer) {
			return false, nil
		}
	}
	return true, nil
}

// every is how far apart the hours of the table are.
const every = 3

func (w wallOutside) given() ([]message.Text, *Table) {
	var what message.Text
	c := w.job.Coats
	if len(c) == 1 {
		what = message.Say("One coat of {}, {}, on damped "+w.job.Background.About, plain(c[0].Finish.Name), message.Thick(c[0].Thickness))
	} else {
		what = message.Say("Two coats of {}, {} and {}, on damped "+w.job.Background.About, plain(c[0].Finish.Name), message.Thick(c[0].Thickness), message.Thick(c[1].Thickness))
	}
	t := &Table{Head: []string{"time", "air", "humidity", "wind", "sky", "rain"}}
	for _, r := range w.air.Records {
		local := r.Time.In(w.job.Zone)
		if after := local.Sub(w.at); after < -time.Hour || after > 36*time.Hour || local.Hour()%every != 0 {
			continue
		}
		rh := r.Vapour.V / float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V)))
		rain := message.Say("-")
		if r.Rain.V > 0 {
			rain = message.Say("{}", message.Quantity{Kind: message.Rain, Value: r.Rain.V})
		}
		t.Rows = append(t.Rows, []message.Text{message.Say("{}", message.At(local)), message.Say("{}", message.Celsius(r.Temperature.V)), message.Say("{}", message.Parts(rh)), message.Say("{}", message.MetresASecond(r.Wind.V)), message.Say(skyWord(r.Cloud.V)), rain})
	}
	cover := map[string]string{"open": "", "shaded": ", behind a shading net", "sheeted": ", sheeted from before the first coat on"}[string(w.job.Outdoors.Cover)]
	return []message.Text{
		message.Say(w.at.Format("Monday 2 January")+", {}: "+w.place+cover+", {} of the open wind reaching it.", message.At(w.at), message.Parts(w.job.Outdoors.Shelter)),
		message.Say("{}. Hours {} to {}. The forecast:", what, hour(working.From, w.at), hour(working.To, w.at)),
	}, t
}

func skyWord(cloud float64) string {
	switch {
	case cloud < 0.15:
		return "clear"
	case cloud < 0.45:
		return "some cloud"
	case cloud < 0.85:
		return "mostly cloud"
	}
	return "overcast"
}

func outdoorsGo(m *maker) (Exercise, error) {
	kind := []spellOf{dull, ordinary, spellOf(m.IntN(int(dull)))}[m.lot%3]
	w, err := m.outside(kind)
	if err != nil {
		return Exercise{}, err
	}
	q, err := w.check()
	if err != nil {
		return Exercise{}, err
	}
	if err := settle(m, q.Answer.Verdict, drying.Go, drying.Care, drying.NoGo); err != nil {
		return Exercise{}, err
	}
	if ok, err := w.steady(q, sameVerdict); err != nil || !ok {
		return Exercise{}, or(err)
	}
	if err := q.band(); err != nil {
		return Exercise{}, err
	}
	v := q.Answer.Verdict
	x := Exercise{Asks: message.Say("Go, go with care, or no-go?"), Wants: WantVerdict, Choices: verdicts(), Day: w.at,
		Hint: message.Say("Look at the nights first, then for rain while it is fresh, then at the wind and the sun on it while you work, and last at the wall."),
		Answer: Answer{Choice: verdictAt(v), Near: nearVerdict(v), Says: verdictSays(q), Reasons: verdictReasons(q), Morning: &q,
			Sign: message.Say("{}: "+drying.EventCloses.Sign(), string(drying.EventCloses))}}
	x.Given, x.Table = w.given()
	return x, nil
}

// troubles are what can stop a day outdoors, with the codes that say so.
var troubles = []struct {
	says  string
	codes []drying.Code
}{
	{"frost: it freezes while the lime is fresh", []drying.Code{drying.CodeFrost, drying.CodeFreezes}},
	{"rain: it drives onto the fresh face", []drying.Code{drying.CodeRain}},
	{"wind: too strong on the wall for a thin coat", []drying.Code{drying.CodeWind}},
	{"cold: the wall is too cold for the finish", []drying.Code{drying.CodeWallCold}},
	{"it dries too fast to be closed", []drying.Code{drying.CodeDriesFast, drying.CodeWallHot, drying.CodeWindowShort, drying.CodeSpots}},
	{"it does not get ready within the hours", []drying.Code{drying.CodeNeverOpens, drying.CodeNotToday, drying.CodeWindowLate}},
}

// stopped is the one trouble that stops a day; false where there is none, or more than one.
func stopped(a drying.Answer) (int, bool) {
	found := -1
	for _, r := range a.Reasons {
		if r.Severity != drying.Stops {
			continue
		}
		for i, t := range troubles {
			if slices.Contains(t.codes, r.Code) {
				if found >= 0 && found != i {
					return 0, false
				}
				found = i
			}
		}
	}
	return found, found >= 0
}

func outdoorsStop(m *maker) (Exercise, error) {
	w, err := m.outside(spellOf(m.lot))
	if err != nil {
		return Exercise{}, err
	}
	q, err := w.check()
	if err != nil {
		return Exercise{}, err
	}
	right, ok := stopped(q.Answer)
	if !ok || m.try < hurry && right != m.lot {
		return Exercise{}, errUnclear
	}
	ok, err = w.steady(q, func(_, b drying.Answer) bool { i, ok := stopped(b); return ok && i == right })
	if err != nil || !ok {
		return Exercise{}, or(err)
	}
	if err := q.band(); err != nil {
		return Exercise{}, err
	}
	var texts []message.Text
	for _, t := range troubles {
		texts = append(texts, message.Say(t.says))
	}
	x := Exercise{Asks: message.Say("It is a no-go. What stops it?"), Wants: WantChoice, Choices: inOrder(texts...), Day: w.at,
		Hint:   message.Say("Go through them one by one with the table: nights, rain and its wind, wind while you work, sun on the wall, and how damp it stays."),
		Answer: Answer{Choice: right, Says: message.Say(upper(troubles[right].says) + "."), Reasons: verdictReasons(q), Morning: &q}}
	x.Given, x.Table = w.given()
	return x, nil
}

func outdoorsHelp(m *maker) (Exercise, error) {
	w, err := m.outside(oneOf(m, frosty, showery, stormy, sunny))
	if err != nil {
		return Exercise{}, err
	}
	q, err := w.check()
	if err != nil {
		return Exercise{}, err
	}
	x, err := helps(m, q, func(same func(a, b drying.Answer) bool) (bool, error) { return w.steady(q, same) })
	x.Given, x.Table = w.given()
	return x, err
}

// outdoorsGone asks when the last coat is gone by. What brings it about is found by taking sun, wind and warmth away.
func outdoorsGone(m *maker) (Exercise, error) {
	w, err := m.outside(oneOf(m, sunny, ordinary, ordinary, dull))
	if err != nil {
		return Exercise{}, err
	}
	q, err := w.check()
	if err != nil {
		return Exercise{}, err
	}
	if q.Answer.Verdict == drying.NoGo || len(q.Answer.Coats) < len(w.job.Coats) {
		return Exercise{}, errUnclear
	}
	if err := q.band(); err != nil {
		return Exercise{}, err
	}
	a := q.Answer
	last := a.Coats[len(a.Coats)-1]
	t, from, until := last.Closes, last.Earliest.Closes, last.Latest.Closes
	if t.IsZero() || from.IsZero() || until.IsZero() || until.Sub(from) > 6*time.Hour || until.Format(time.DateOnly) != w.at.Format(time.DateOnly) {
		return Exercise{}, errUnclear
	}
	x := Exercise{Asks: message.Say("When, by the clock, is the last coat gone by?"), Wants: WantClock, Day: w.at,
		Hint: message.Say("Sun on the wall and wind bring it on, a damped wall holds it back. When is the sun on this wall?"),
		Answer: Answer{At: t, From: drying.RoundDown(from, 5*time.Minute), Until: drying.RoundUp(until, 5*time.Minute), Morning: &q,
			Sign: message.Say("{}: "+drying.EventCloses.Sign(), string(drying.EventCloses))}}
	x.Given, x.Table = w.given()
	laid := message.Say("It is laid at {}.", message.At(a.Start))
	if len(w.job.Coats) > 1 {
		laid = message.Say("The first coat is laid at {}, each as soon as the one before is dry.", message.At(a.Start))
	}
	x.Given = slices.Insert(x.Given, 1, laid)
	x.Answer.Says = message.Say("The last coat is gone by at {}; eight days in ten between {}.", message.At(t), message.AtBoth(x.Answer.From, x.Answer.Until))
	x.Answer.Reasons, err = w.why(a)
	return x, err
}

// why ranks what of the weather moves the last coat's end: each taken away by itself, at the same start.
func (w wallOutside) why(a drying.Answer) ([]Reason, error) {
	took := func(a drying.Answer) float64 {
		c := a.Coats[len(a.Coats)-1]
		return c.Closes.Sub(a.Start).Seconds()
	}
	type effect struct {
		text  string
		ratio float64
		other float64
	}
	var out []effect
	dry := w
	dry.job.Damped = false
	for _, v := range []struct {
		text string
		w    wallOutside
	}{
		{"The sun: under an overcast sky", w.with(func(r *weather.Record) { r.Cloud.V = 1 })},
		{"The wind: in calm air", w.with(func(r *weather.Record) { r.Wind.V = 0.5 })},
		{"The damped wall: laid on it dry", dry},
	} {
		q, err := v.w.check()
		if err != nil {
			return nil, err
		}
		b := q.Answer
		if !b.Start.Equal(a.Start) || len(b.Coats) < len(a.Coats) || b.Coats[len(b.Coats)-1].Closes.IsZero() {
			continue
		}
		if r := took(a) / took(b); math.Abs(math.Log(r)) >= math.Log(tells) {
			out = append(out, effect{v.text, r, took(b)})
		}
	}
	if len(out) == 0 {
		return nil, errUnclear
	}
	slices.SortStableFunc(out, func(x, y effect) int { return -cmp.Compare(math.Abs(math.Log(x.ratio)), math.Abs(math.Log(y.ratio))) })
	var reasons []Reason
	for _, e := range out[:min(2, len(out))] {
		reasons = append(reasons, Reason{Ratio: e.ratio, Text: message.Say(e.text+" it would be gone by {} after the start, and not {}.", message.Seconds(e.other), message.Seconds(took(a)))})
	}
	return reasons, nil
}
