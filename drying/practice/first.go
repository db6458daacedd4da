package practice

import (
	"math"

	"limeday/drying"
	"limeday/drying/material"
)

// Two times are told apart where the longer is at least apart times the shorter, and are the same where it is at most alike
// times (judgement: between lies what no wall of that kind would show).
const (
	apart = 1.3
	alike = 1.1
)

// driesFirst sets two walls beside each other that differ in one thing.
func driesFirst(m *maker) (Exercise, error) {
	e := oneOf(m, drying.EventNext, drying.EventNext, drying.EventCloses)
	a := m.coat(1)
	b, f := a, oneOf(m, AirTemperature, AirHumidity, AirMoving, CoatThickness, Suction, Suction)
	t, rh := float64(a.Air.Temperature()), float64(a.Air.RelativeHumidity())
	var unlike Text
	switch f {
	case AirTemperature:
		bt := t + oneOf(m, -1.0, 1)*m.whole(5, 9, 1)
		if bt < 8 || bt > 32 {
			return Exercise{}, errUnclear
		}
		b.Air = airOf(bt, rh)
		unlike = say("the temperature of the air: {} at A, {} at B", celsius(t), celsius(float64(b.Air.Temperature())))
	case AirHumidity:
		brh := math.Round(20*(rh+oneOf(m, -1.0, 1)*m.whole(0.15, 0.3, 0.05))) / 20
		if brh < 0.3 || brh > 0.9 {
			return Exercise{}, errUnclear
		}
		b.Air = airOf(t, brh)
		unlike = say("the humidity of the air: {} at A, {} at B", humidity(rh), humidity(float64(b.Air.RelativeHumidity())))
	case AirMoving:
		a.AirSpeed, b.AirSpeed = 0.1, oneOf(m, 0.5, 1, 2)
		unlike = say("how the air moves: {} at A, doors shut, and {} at B, in a draught", metresASecond(a.AirSpeed), metresASecond(b.AirSpeed))
	case CoatThickness:
		u := a.Finish.Coats[0]
		a.Thickness, b.Thickness = rounded(u.Low), rounded(u.High)
		if m.IntN(2) == 0 {
			a.Thickness, b.Thickness = b.Thickness, a.Thickness
		}
		unlike = say("the thickness: {} at A, {} at B", thick(a.Thickness), thick(b.Thickness))
	case Suction:
		names := []material.Background{background("primed-board", material.Tight), background("primed-board", material.Fair), background("primed-board", material.Thirsty),
			background("gypsum-board", ""), background("brick", ""), background("aerated-block", ""), background("cement-board", ""), background("old-lime", "")}
		p := m.Perm(len(names))
		a.Spots, b.Spots = names[p[0]:p[0]+1], names[p[1]:p[1]+1]
		unlike = say("what they are: A is " + a.onWhat() + "; B is " + b.onWhat())
	}
	ca, err := a.course()
	if err != nil {
		return Exercise{}, err
	}
	cb, err := b.course()
	if err != nil {
		return Exercise{}, err
	}
	ta, tb := of(ca.Rung, e), of(cb.Rung, e)
	if math.IsInf(ta, 1) || math.IsInf(tb, 1) || math.Min(ta, tb) < 120 {
		return Exercise{}, errUnclear
	}
	right := 0
	ratio := ta / tb
	if m.try < patience && m.lot == 0 && (ratio > alike || ratio < 1/alike) {
		return Exercise{}, errUnclear
	}
	switch {
	case ratio >= apart:
		right = 1
	case ratio <= 1/apart:
	case ratio <= alike && ratio >= 1/alike:
		right = 2
	default:
		return Exercise{}, errUnclear
	}
	what := "lets the next coat follow first"
	if e == drying.EventCloses {
		what = "is gone by first, too dry to burnish"
	}
	given := say("Both get {} of {} at the same moment, as the first coat. They differ in one thing: {}.", thick(a.Thickness), plain(a.Finish.Name), unlike)
	if f == CoatThickness {
		given = say("Both get {}, as the first coat, at the same moment. They differ in one thing: {}.", plain(a.Finish.Name), unlike)
	}
	same := Text(nil)
	switch f {
	case AirTemperature:
		same = say("Both: "+a.onWhat()+"; humidity {}, air moving at {}.", humidity(rh), metresASecond(a.AirSpeed))
	case AirHumidity:
		same = say("Both: "+a.onWhat()+"; air {}, moving at {}.", celsius(t), metresASecond(a.AirSpeed))
	case AirMoving:
		same = say("Both: "+a.onWhat()+"; air {} and {}.", celsius(t), humidity(rh))
	case CoatThickness:
		same = say("Both: "+a.onWhat()+"; {}.", a.airText())
	case Suction:
		same = say("Both: {}.", a.airText())
	}
	x := Exercise{
		Given:   []Text{say("Two walls, A and B."), given, same},
		Asks:    say("Which of them " + what + "?"),
		Wants:   WantChoice,
		Choices: inOrder(say("A"), say("B"), say("about the same: within a tenth")),
		Hint:    say("Water leaves a coat two ways: into the air and into the wall. Ask which of the two does most here, and whether what differs changes it."),
		Answer: Answer{Choice: right, Sign: say("{}: "+e.Sign(), string(e)),
			Coats: []Run{{"A", a}, {"B", b}}},
	}
	verb := map[drying.Event]string{drying.EventNext: "the next coat can follow", drying.EventCloses: "it is gone by"}[e]
	x.Answer.Says = say("At A {} after {}, at B after {}.", verb, spell(ta), spell(tb))
	if f == AirMoving {
		x.Answer.Says = append(x.Answer.Says, say(" That is no advice: nobody blows air at wet lime, for it cracks.")...)
	}
	x.Answer.Reasons, err = whyFirst(a, b, ca, cb, f, right, e)
	return x, err
}

// whyFirst says what makes the later of two walls later, and whether air or wall rules; of two alike, why the difference
// does nothing.
func whyFirst(a, b Case, ca, cb drying.Course, f Factor, right int, e drying.Event) ([]Reason, error) {
	later, first, course, name := b, a, cb, "B"
	if right == 1 || right == 2 && of(ca.Rung, e) > of(cb.Rung, e) {
		later, first, course, name = a, b, ca, "A"
	}
	reasons, err := why(later, first, e)
	if err != nil {
		return nil, err
	}
	reasons = about(name+" is the later one", reasons)
	if right == 2 {
		reasons = nil // what differs moves it by less than a tenth
	}
	r, ok := where(course, of(course.Rung, e))
	if ok && (f != Suction || right == 2) {
		reasons = append(reasons, r)
	}
	if len(reasons) == 0 {
		return nil, errUnclear
	}
	return reasons, nil
}
