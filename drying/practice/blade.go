package practice

import (
	"math"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
)

// face is a state of a face, as the blade meets it.
type face int

const (
	faceWet face = iota
	faceOpen
	faceDamp
	faceOff
	faceDry
)

// signs are what each state shows at the blade, and what to do (common practice, no source).
var signs = map[face][]string{
	faceWet:  {"the blade tears it", "it lifts and sticks to the blade", "bubbles come up under the blade"},
	faceOpen: {drying.EventOpens.Sign()},
	faceDamp: {drying.EventBurnish.Sign()},
	faceOff:  {"the blade drags", "dark marks follow the blade", "dust comes off under the blade"},
	faceDry:  {drying.EventNext.Sign()},
}

// todo is what to do in each state, with its name; of wet and gone by it is that of drying.Troubles.
func todo(f face) message.Text {
	switch f {
	case faceWet:
		return message.Say("wet: " + drying.Troubles()[0].Do)
	case faceOpen:
		return message.Say("open: compress it, lightly; to burnish it is early")
	case faceDamp:
		return message.Say("damp: burnish it now")
	case faceOff:
		return message.Say("gone by: " + drying.Troubles()[1].Do)
	}
	return message.Say("dry: the next coat can follow")
}

// stateAt is a face's state, and whether it is well inside it: what is a fifth off its time changes nothing.
func stateAt(r drying.Rung, t float64) (f face, clear bool) {
	in := func(t float64) face {
		switch {
		case t < r.Opens:
			return faceWet
		case t < r.Burnish:
			return faceOpen
		case t < r.Closes:
			return faceDamp
		case t < r.Next:
			return faceOff
		}
		return faceDry
	}
	return in(t), in(t/1.2) == in(t*1.2)
}

// moment draws a time in a state of a coat, whole minutes.
func (m *maker) moment(r drying.Rung, f face) (float64, bool) {
	ends := []float64{0, r.Opens, r.Burnish, r.Closes, r.Next, 2 * r.Next}
	low, high := ends[f], ends[f+1]
	if math.IsInf(high, 1) {
		return 0, false
	}
	t := 60 * math.Round((low+(0.25+0.5*m.Float64())*(high-low))/60)
	got, clear := stateAt(r, t)
	return t, t >= 60 && got == f && clear
}

// held says what the face holds then, and so why the blade does what it does.
func held(c drying.Trace, t float64) Reason {
	w := at(c, t).Water
	if w > c.Shrinkage {
		return Reason{Text: message.Say("Its face still holds {} of the water that keeps the grains of lime apart: they slide on it, and nothing holds them to the wall yet.", message.Parts((w-c.Shrinkage)/(c.Fresh-c.Shrinkage)))}
	}
	full := w / c.Shrinkage
	switch {
	case w > c.Levels.Burnish:
		return Reason{Text: message.Say("The grains touch, and their pores are still {} full: the face can be pressed together, and water still comes up to smear.", message.Parts(full))}
	case w > c.Levels.Closes:
		return Reason{Text: message.Say("The pores of its face are {} full: firm enough to bear the blade, and the water left still lets the grains turn and lie flat.", message.Parts(full))}
	case w > c.Levels.Dry:
		return Reason{Text: message.Say("The pores of its face are only {} full: the grains are locked, and steel rubs off on them, or rubs them off.", message.Parts(full))}
	}
	return Reason{Text: message.Say("The pores of its face are {} full, and the coat is evenly dry: it drinks again, and the next coat keys.", message.Parts(full))}
}

// atTheBlade shows a sign and asks what state the face is in.
func atTheBlade(m *maker) (Exercise, error) {
	c := m.coat(oneOf(m, 1, 1, 2, 3))
	course, err := c.course()
	if err != nil {
		return Exercise{}, err
	}
	r := course.Rung
	f := []face{faceWet, faceWet, faceOpen, faceDamp, faceOff, faceDry}[m.lot]
	t, ok := m.moment(r, f)
	if !ok || math.IsInf(r.Next, 1) || r.Next > 12*3600 {
		return Exercise{}, errUnclear
	}
	sign := oneOf(m, signs[f]...)
	x := Exercise{
		Given: []message.Text{message.Say("{}, in {}.", c.coatText(), c.airText()),
			message.Say("You come to it {} after it was laid: "+sign+".", message.Seconds(t))},
		Asks:    message.Say("What is its state, and what do you do?"),
		Wants:   WantChoice,
		Choices: inOrder(todo(faceWet), todo(faceOpen), todo(faceDamp), todo(faceOff), todo(faceDry)),
		Hint:    message.Say("Too wet, the lime moves as a whole and comes off with the blade; too dry, it does not move at all, and something is rubbed off."),
		Answer:  Answer{Choice: int(f), Sign: message.Say(sign), Coats: []Run{{"", c}}},
	}
	if f == faceOpen || f == faceDamp {
		x.Answer.Near = []int{int(faceOpen + faceDamp - f)}
	}
	x.Answer.Says = timesText(r)
	x.Answer.Reasons = []Reason{held(course, t)}
	if more, ok := where(course, t); ok {
		x.Answer.Reasons = append(x.Answer.Reasons, more)
	}
	return x, nil
}

// whatToSee gives a time and asks what is seen.
func whatToSee(m *maker) (Exercise, error) {
	c := m.coat(oneOf(m, 1, 1, 2, 3))
	course, err := c.course()
	if err != nil {
		return Exercise{}, err
	}
	r := course.Rung
	f := []face{faceWet, faceDamp, faceOff, faceDry}[m.lot%4]
	t, ok := m.moment(r, f)
	if !ok || math.IsInf(r.Next, 1) || r.Next > 12*3600 {
		return Exercise{}, errUnclear
	}
	shown := []face{faceWet, faceDamp, faceOff, faceDry}
	var texts []message.Text
	right := 0
	for i, g := range shown {
		texts = append(texts, message.Say(signs[g][0]))
		if g == f {
			right = i
		}
	}
	x := Exercise{
		Given:  []message.Text{message.Say("{}, in {}.", c.coatText(), c.airText()), message.Say("It was laid {} ago.", message.Seconds(t))},
		Asks:   message.Say("What do you find at the blade?"),
		Wants:  WantChoice,
		Hint:   hintFor(c),
		Answer: Answer{Sign: message.Say(signs[f][0]), Coats: []Run{{"", c}}},
	}
	var order []int
	x.Choices, order = m.choose(texts...)
	x.Answer.Choice = order[right]
	banded, err := c.rung(true)
	if err != nil {
		return x, err
	}
	// What the band of the times allows besides is near.
	for i, g := range shown {
		slow := drying.Rung{Times: banded.Slowest, Next: banded.NextSlowest}
		fast := drying.Rung{Times: banded.Soonest, Next: banded.NextSoonest}
		late, _ := stateAt(slow, t)
		soon, _ := stateAt(fast, t)
		if g != f && g >= min(late, f) && g <= max(soon, f) {
			x.Answer.Near = append(x.Answer.Near, order[i])
		}
	}
	x.Answer.Says = timesText(r)
	x.Answer.Reasons = []Reason{held(course, t)}
	more, err := whyAtAll(c, course, drying.EventNext)
	if err != nil {
		return x, err
	}
	x.Answer.Reasons = append(x.Answer.Reasons, more[0])
	return x, nil
}

// timesText is a coat's likely times in a line.
func timesText(r drying.Rung) message.Text {
	t := message.Say("It opens at once")
	if r.Opens >= 60 {
		t = message.Say("It opens after {}", message.Seconds(r.Opens))
	}
	return append(t, message.Say(", can be burnished from {}, is gone by after {}, and takes the next coat after {}: the likely times.", message.Seconds(r.Burnish), message.Seconds(r.Closes), message.Seconds(r.Next))...)
}

// dullPatches sets a wall whose spots drink differently.
func dullPatches(m *maker) (Exercise, error) {
	c := m.coat(1)
	slow, fast := material.Tight, material.Thirsty
	switch m.IntN(3) {
	case 0:
		slow, fast = material.Fair, material.Thirsty
	case 1:
		slow, fast = material.Tight, material.Fair
	}
	c.Spots = []material.Background{background("primed-board", slow)}
	there := c
	there.Spots = []material.Background{background("primed-board", fast)}
	here, err := c.course()
	if err != nil {
		return Exercise{}, err
	}
	patch, err := there.course()
	if err != nil {
		return Exercise{}, err
	}
	f := oneOf(m, faceDamp, faceDamp, faceOpen, faceWet)
	t, ok := m.moment(here.Rung, f)
	at, clear := stateAt(patch.Rung, t)
	if !ok || !clear || math.IsInf(here.Next, 1) || at == faceDry || at == faceOpen {
		return Exercise{}, errUnclear
	}
	right := -1
	switch {
	case f == faceDamp && at == faceOff:
		right = 0
	case f < faceDamp && at == faceDamp:
		right = 1
	case f == faceDamp && at == faceDamp:
		right = 2
	case f < faceDamp && at == faceOff:
		right = 3
	}
	if right < 0 || m.try < patience && right != []int{0, 0, 0, 1, 2, 3}[m.lot] {
		return Exercise{}, errUnclear
	}
	x := Exercise{
		Given: []message.Text{message.Say("{} of {} on primed board, the only coat, in {}. Over most of the wall "+primers[slow]+"; in one corner "+primers[fast]+".", message.Thick(c.Thickness), plain(c.Finish.Name), c.airText()),
			message.Say("You burnish the whole of it {} after it was laid.", message.Seconds(t))},
		Asks:  message.Say("What comes of it?"),
		Wants: WantChoice,
		Choices: inOrder(message.Say("a shine, and dull patches in the corner: it was gone by"),
			message.Say("a shine in the corner; elsewhere it tears or stays smeared: too wet"),
			message.Say("a shine all over"),
			message.Say("a shine nowhere: too wet here, gone by there")),
		Hint: message.Say("Each patch has its own window: what drinks more is there sooner, and gone sooner."),
		Answer: Answer{Choice: right, Sign: message.Say("dull patches: " + drying.Troubles()[2].Do),
			Coats: []Run{{"most of the wall", c}, {"the corner", there}}},
	}
	x.Answer.Says = message.Say("Most of the wall can be burnished from {} and is gone by after {}; the corner from {}, and after {}.", message.Seconds(here.Burnish), message.Seconds(here.Closes), message.Seconds(patch.Burnish), message.Seconds(patch.Closes))
	if x.Answer.Reasons, err = why(there, c, drying.EventCloses); err != nil {
		return x, err
	}
	if len(x.Answer.Reasons) == 0 {
		return x, errUnclear
	}
	worst, place := patch, "in the corner"
	if right == 1 {
		worst, place = here, "on most of the wall"
	}
	x.Answer.Reasons = append(about("In the corner", x.Answer.Reasons[:1]), Reason{Text: append(message.Say("Then, "+place+": "), held(worst, t).Text...)})
	return x, nil
}

// slowestCoat asks which of three coats is waited for longest.
func slowestCoat(m *maker) (Exercise, error) {
	base := m.coat(1)
	var next [3]float64
	var cases [3]Case
	for i := range cases {
		c := base
		c.Number, c.Thickness = i+1, c.Finish.Coats[i].Value
		r, err := c.rung(false)
		if err != nil {
			return Exercise{}, err
		}
		cases[i], next[i] = c, r.Next
	}
	slow := 0
	for i, t := range next {
		if t > next[slow] {
			slow = i
		}
	}
	second := 0.0
	for i, t := range next {
		if i != slow {
			second = math.Max(second, t)
		}
	}
	if math.IsInf(next[slow], 1) || next[slow] < apart*second {
		return Exercise{}, errUnclear
	}
	x := Exercise{
		Given: []message.Text{message.Say("Three coats of {} on "+base.onWhat()+": {}, {} and {}, each laid as soon as the one before is dry, in {}.", plain(base.Finish.Name),
			message.Thick(cases[0].Thickness), message.Thick(cases[1].Thickness), message.Thick(cases[2].Thickness), base.airText())},
		Asks:    message.Say("Which of them is longest in drying?"),
		Wants:   WantChoice,
		Choices: inOrder(message.Say("the first"), message.Say("the second"), message.Say("the third")),
		Hint:    message.Say("A dry coat of lime drinks. What does the wall beneath do?"),
		Answer:  Answer{Choice: slow, Sign: message.Say("{}: "+drying.EventNext.Sign(), string(drying.EventNext))},
	}
	for i, c := range cases {
		x.Answer.Coats = append(x.Answer.Coats, Run{"the " + ordinal(i+1), c})
	}
	x.Answer.Says = message.Say("The first is dry after {}, the second after {}, the third after {}.", message.Seconds(next[0]), message.Seconds(next[1]), message.Seconds(next[2]))
	other := 0
	if slow == 0 {
		other = 1
	}
	var err error
	if x.Answer.Reasons, err = why(cases[slow], cases[other], drying.EventNext); err != nil {
		return x, err
	}
	if len(x.Answer.Reasons) == 0 {
		return x, errUnclear
	}
	return x, nil
}
