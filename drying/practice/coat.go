package practice

import (
	"math"
	"slices"

	"limeday/drying"
	"limeday/drying/message"
)

// A band that is asked for tells something: it is at most widest times as late at its end as at its beginning, and begins
// after soonest.
const (
	widest  = 4.5
	soonest = 5 * 60.0
)

// verbs are the events in a sentence.
var verbs = map[drying.Event]string{
	drying.EventOpens:   "it opens: it can be compressed",
	drying.EventBurnish: "it can be burnished",
	drying.EventCloses:  "it is gone by",
	drying.EventNext:    "the next coat can follow",
}

func goneBy(m *maker) (Exercise, error) {
	return minutes(m, m.coat(oneOf(m, 1, 1, 2, 3)), drying.EventCloses)
}

func burnishFrom(m *maker) (Exercise, error) {
	return minutes(m, m.coat(1), drying.EventBurnish)
}

func nextCoat(m *maker) (Exercise, error) {
	return minutes(m, m.coat(oneOf(m, 2, 2, 3)), drying.EventNext)
}

// minutes asks for a time after laying.
func minutes(m *maker, c Case, e drying.Event) (Exercise, error) {
	if m.IntN(3) == 0 {
		w := float64(c.Air.Temperature()) - m.whole(1, 3, 1)
		if w < float64(c.Air.DewPoint())+1 {
			return Exercise{}, errUnclear
		}
		c.WallTemp = &w
	}
	r, err := c.rung(true)
	if err != nil {
		return Exercise{}, err
	}
	low, high := band(r, e)
	low, high = outward(low, high)
	if math.IsInf(high, 1) || high > 12*3600 || low < soonest || high > widest*low {
		return Exercise{}, errUnclear
	}
	course, err := c.course()
	if err != nil {
		return Exercise{}, err
	}
	asks := map[drying.Event]string{
		drying.EventBurnish: "How long after laying can its face be burnished?",
		drying.EventCloses:  "How long after laying is it gone by, too dry to burnish?",
		drying.EventNext:    "How long after laying can the next coat follow?",
	}[e]
	x := Exercise{
		Given: []message.Text{message.Say("{}.", c.coatText()), message.Say("It stands in {}.", c.airText())},
		Asks:  message.Say(asks),
		Wants: WantMinutes,
		Hint:  hintFor(c),
		Answer: Answer{Value: of(r, e), Earliest: low, Latest: high, Sign: message.Say("{}: "+e.Sign(), string(e)),
			Coats: []Run{{"", c}}},
	}
	x.Answer.Says = message.Say("{} after {}; eight times in ten within {}.", upper(verbs[e]), message.Seconds(of(r, e)), message.Spells(low, high))
	x.Answer.Reasons, err = whyAtAll(c, course, e)
	return x, err
}

// outward rounds a band to what people are told of it: whole minutes and, from two hours on, ten.
func outward(low, high float64) (float64, float64) {
	grain := func(t float64) float64 {
		if t < 2*3600 {
			return 60
		}
		return 600
	}
	return grain(low) * math.Floor(low/grain(low)), grain(high) * math.Ceil(high/grain(high))
}

// hintFor gives the usual coat's times to go from: the same finish and coat on an ordinary day.
func hintFor(c Case) message.Text {
	u := usual(c.Finish, c.Number)
	r, err := u.rung(false)
	if err != nil {
		return message.Say("Think of a coat that you know, and of what is other here: air, wall, thickness.")
	}
	return message.Say("On an ordinary day, {} and {}, {} of it "+onUsual(c.Number)+" is gone by after {} and lets the next follow after {}. What is other here?",
		message.Celsius(20), message.Parts(0.5), message.Thick(u.Thickness), message.Seconds(r.Closes), message.Seconds(r.Next))
}

func onUsual(number int) string {
	return usual(finish("polished-lime"), number).preposition()
}

// preposition is the place of a coat in words: "on a fair primer".
func (c Case) preposition() string {
	switch c.Number {
	case 1:
		return "as the first coat, on a fair primer,"
	case 2:
		return "as the second coat, over a fair primer,"
	}
	return "as the third coat, over a fair primer,"
}

// whyAtAll says what makes a coat's time other than on an ordinary day, and whether air or wall rules it.
func whyAtAll(c Case, course drying.Trace, e drying.Event) ([]Reason, error) {
	reasons, err := why(c, usual(c.Finish, c.Number), e)
	if err != nil {
		return nil, err
	}
	if len(reasons) > 1 {
		return reasons[:2], nil
	}
	if r, ok := where(course, of(course.Rung, e)); ok {
		reasons = append(reasons, r)
	}
	if len(reasons) == 0 {
		return nil, errUnclear
	}
	return reasons, nil
}

func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// openings are the times of opening to choose from, s: each ends where the next begins.
var openings = []float64{60, 15 * 60, 45 * 60}

// opensWhen asks when a face can be compressed. What a band spans besides counts as near.
func opensWhen(m *maker) (Exercise, error) {
	c := m.coat(oneOf(m, 1, 1, 2, 3))
	r, err := c.rung(true)
	if err != nil {
		return Exercise{}, err
	}
	in := func(t float64) int {
		i := slices.IndexFunc(openings, func(end float64) bool { return t < end })
		if i < 0 {
			i = len(openings)
		}
		return i
	}
	low, high := band(r, drying.EventOpens)
	right := in(r.Opens)
	if m.try < patience && right != []int{0, 0, 1, 1, 2, 3}[m.lot] {
		return Exercise{}, errUnclear
	}
	for _, end := range openings {
		if r.Opens > end/1.25 && r.Opens < end*1.25 {
			return Exercise{}, errUnclear
		}
	}
	course, err := c.course()
	if err != nil {
		return Exercise{}, err
	}
	x := Exercise{
		Given: []message.Text{message.Say("{}.", c.coatText()), message.Say("It stands in {}.", c.airText())},
		Asks:  message.Say("When does its face open, so that it can be compressed without tearing?"),
		Wants: WantChoice,
		Choices: inOrder(message.Say("at once, straight behind the trowel"), message.Say("within the first {}", message.Seconds(openings[1])),
			message.Say("after {}", message.Spells(openings[1], openings[2])), message.Say("later than that")),
		Hint:   message.Say("A face opens when the grains of lime touch: so much water must be gone. A dry coat or masonry drinks that in seconds, a tight primer not at all."),
		Answer: Answer{Choice: right, Sign: message.Say("{}: "+drying.EventOpens.Sign(), string(drying.EventOpens)), Coats: []Run{{"", c}}},
	}
	for i := in(low); i <= in(high); i++ {
		if i != right {
			x.Answer.Near = append(x.Answer.Near, i)
		}
	}
	if r.Opens < 60 {
		x.Answer.Says = message.Say("It opens at once; eight times in ten within {}.", message.Seconds(math.Max(high, 60)))
	} else {
		x.Answer.Says = message.Say("It opens after {}; eight times in ten within {}.", message.Seconds(r.Opens), message.Spells(low, high))
		if low < 60 {
			x.Answer.Says = message.Say("It opens after {}; eight times in ten within the first {}.", message.Seconds(r.Opens), message.Seconds(high))
		}
	}
	if rr, ok := where(course, math.Max(r.Opens, 60)); ok {
		x.Answer.Reasons = append(x.Answer.Reasons, rr)
	}
	more, err := why(c, usual(c.Finish, 1), drying.EventNext)
	if err != nil {
		return x, err
	}
	for _, f := range more {
		if f.Factor == Suction || f.Factor == CoatsBeneath || len(x.Answer.Reasons) == 0 {
			x.Answer.Reasons = append(x.Answer.Reasons, about("For its drying as a whole", []Reason{f})...)
			break
		}
	}
	if len(x.Answer.Reasons) == 0 {
		return x, errUnclear
	}
	return x, nil
}

// whichCoat asks which thickness of a coat stays workable for so long.
func whichCoat(m *maker) (Exercise, error) {
	c := m.coat(oneOf(m, 1, 2, 3))
	u := c.Finish.Coats[c.Number-1]
	offered := []float64{rounded(u.Low), rounded(u.Value), rounded(u.High)}
	gone := make([]float64, len(offered))
	bandOf := make([][2]float64, len(offered))
	ask := c.LadderAsk
	ask.Thicknesses = offered
	rungs, err := drying.Ladder(ask)
	if err == nil {
		err = ask.Band(rungs, bands)
	}
	if err != nil {
		return Exercise{}, err
	}
	for i, r := range rungs {
		gone[i] = r.Closes
		bandOf[i][0], bandOf[i][1] = band(r, drying.EventCloses)
		if math.IsInf(r.Closes, 1) || r.Closes < soonest || i > 0 && r.Closes < 1.2*gone[i-1] {
			return Exercise{}, errUnclear
		}
	}
	right := m.IntN(len(offered))
	need := 60 * math.Round(gone[right]/60)
	if need >= 30*60 {
		need = 300 * math.Round(gone[right]/300)
	}
	c.Thickness = offered[right]
	x := Exercise{
		Given: []message.Text{message.Say("A "+ordinal(c.Number)+" coat of {}, on "+c.onWhat()+", in {}.", plain(c.Finish.Name), c.airText()),
			message.Say("It is to be closed, and the crew wants {} from laying until it is gone by.", message.Seconds(need))},
		Asks:    message.Say("How thick do you lay it?"),
		Wants:   WantChoice,
		Choices: inOrder(message.Say("{}", message.Thick(offered[0])), message.Say("{}", message.Thick(offered[1])), message.Say("{}", message.Thick(offered[2]))),
		Hint:    message.Say("A coat half as thick again holds half as much water again, and its face is at the end of it a little later than that."),
		Answer:  Answer{Choice: right, Sign: message.Say("{}: "+drying.EventCloses.Sign(), string(drying.EventCloses))},
	}
	for i := range offered {
		if i != right && need >= bandOf[i][0] && need <= bandOf[i][1] && math.Abs(float64(i-right)) == 1 {
			x.Answer.Near = append(x.Answer.Near, i)
		}
		k := c
		k.Thickness = offered[i]
		x.Answer.Coats = append(x.Answer.Coats, Run{x.Choices[i].Key, k})
	}
	x.Answer.Says = message.Say("At {} it is gone by after {}, at {} after {}, at {} after {}; of {} eight times in ten within {}.", message.Thick(offered[0]), message.Seconds(gone[0]),
		message.Thick(offered[1]), message.Seconds(gone[1]), message.Thick(offered[2]), message.Seconds(gone[2]), message.Thick(offered[right]), message.Spells(bandOf[right][0], bandOf[right][1]))
	other := c
	other.Thickness = offered[(right+1)%len(offered)]
	if right == 0 {
		other.Thickness = offered[1]
	}
	if x.Answer.Reasons, err = why(c, other, drying.EventCloses); err != nil {
		return x, err
	}
	course, err := c.course()
	if err != nil {
		return x, err
	}
	if r, ok := where(course, gone[right]); ok {
		x.Answer.Reasons = append(x.Answer.Reasons, r)
	}
	if len(x.Answer.Reasons) == 0 {
		return x, errUnclear
	}
	return x, nil
}

// howThick asks for the most that can be laid for the next coat to follow in time.
func howThick(m *maker) (Exercise, error) {
	c := m.coat(oneOf(m, 1, 1, 2))
	u := c.Finish.Coats[c.Number-1]
	ask := c.LadderAsk
	const steps = 8
	low, high := 0.5*u.Low, c.Finish.Thickest.Value
	for i := range steps {
		ask.Thicknesses = append(ask.Thicknesses, low+(high-low)*float64(i)/(steps-1))
	}
	rungs, err := drying.Ladder(ask)
	if err == nil {
		err = ask.Band(rungs, bands)
	}
	if err != nil {
		return Exercise{}, err
	}
	// thickest is where a time of the rungs reaches the limit.
	thickest := func(limit float64, time func(drying.Rung) float64) float64 {
		for i, r := range rungs {
			if t := time(r); t > limit {
				if i == 0 {
					return 0
				}
				was := time(rungs[i-1])
				if math.IsInf(t, 1) {
					return rungs[i-1].Thickness
				}
				return rungs[i-1].Thickness + (limit-was)/(t-was)*(r.Thickness-rungs[i-1].Thickness)
			}
		}
		return rungs[len(rungs)-1].Thickness
	}
	target := m.whole(u.Low*1e5, u.High*1e5, 1) / 1e5
	var limit float64
	for i, r := range rungs[1:] {
		if r.Thickness >= target {
			was := rungs[i]
			limit = was.Next + (target-was.Thickness)/(r.Thickness-was.Thickness)*(r.Next-was.Next)
			break
		}
	}
	step := 300.0
	if limit > 2*3600 {
		step = 1800
	}
	limit = step * math.Round(limit/step)
	if math.IsInf(limit, 1) || limit < 900 || limit > 10*3600 {
		return Exercise{}, errUnclear
	}
	likely := thickest(limit, func(r drying.Rung) float64 { return r.Next })
	sure := thickest(limit, func(r drying.Rung) float64 { return r.NextSlowest })
	bold := thickest(limit, func(r drying.Rung) float64 { return r.NextSoonest })
	if sure < low || bold >= high || likely >= high || bold > widest*sure || rounded(sure) == rounded(bold) {
		return Exercise{}, errUnclear
	}
	c.Thickness = likely
	course, err := c.course()
	if err != nil {
		return Exercise{}, err
	}
	x := Exercise{
		Given: []message.Text{message.Say("A "+ordinal(c.Number)+" coat of {}, on "+c.onWhat()+", in {}.", plain(c.Finish.Name), c.airText()),
			message.Say("The next coat is to follow {} after this one.", message.Seconds(limit))},
		Asks:  message.Say("How thick, wet, may you lay it at most?"),
		Wants: WantThickness,
		Hint:  hintFor(c),
		Answer: Answer{Value: likely, Earliest: rounded(sure), Latest: rounded(bold), Sign: message.Say("{}: "+drying.EventNext.Sign(), string(drying.EventNext)),
			Coats: []Run{{"", c}}},
	}
	x.Answer.Says = message.Say("{}, as likely as not; {} to be nine times in ten sure of it, and {} if all goes well.", message.Thick(rounded(likely)), message.Thick(rounded(sure)), message.Thick(rounded(bold)))
	x.Answer.Reasons, err = whyAtAll(c, course, drying.EventNext)
	return x, err
}
