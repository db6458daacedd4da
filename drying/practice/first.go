package practice

import (
	"math"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
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
	var unlike message.Text
	switch f {
	case AirTemperature:
		bt := t + oneOf(m, -1.0, 1)*m.whole(5, 9, 1)
		if bt < 8 || bt > 32 {
			return Exercise{}, errUnclear
		}
		b.Air = airOf(bt, rh)
		unlike = message.Say("the temperature of the air: {} at A, {} at B", message.Celsius(t), message.Celsius(float64(b.Air.Temperature())))
	case AirHumidity:
		brh := math.Round(20*(rh+oneOf(m, -1.0, 1)*m.whole(0.15, 0.3, 0.05))) / 20
		if brh < 0.3 || brh > 0.9 {
			return Exercise{}, errUnclear
		}
		b.Air = airOf(t, brh)
		unlike = message.Say("the humidity of the air: {} at A, {} at B", message.Parts(rh), message.Parts(float64(b.Air.RelativeHumidity())))
	case AirMoving:
		a.AirSpeed, b.AirSpeed = 0.1, oneOf(m, 0.5, 1, 2)
		unlike = message.Say("how the air moves: {} at A, doors shut, and {} at B, in a draught", message.MetresASecond(a.AirSpeed), message.MetresASecond(b.AirSpeed))
	case CoatThickness:
		u := a.Finish.Coats[0]
		a.Thickness, b.Thickness = rounded(u.Low), rounded(u.High)
		if m.IntN(2) == 0 {
			a.Thickness, b.Thickness = b.Thickness, a.Thickness
		}
		unlike = message.Say("the thickness: {} at A, {} at B", message.Thick(a.Thickness), message.Thick(b.Thickness))
	case Suction:
		names := []material.Background{background("primed-board", material.Tight), background("primed-board", material.Fair), background("primed-board", material.Thirsty),
			background("gypsum-board", ""), background("brick", ""), background("aerated-block", ""), background("cement-board", ""), background("old-lime", "")}
		p := m.Perm(len(names))
		a.Spots, b.Spots = names[p[0]:p[0]+1], names[p[1]:p[1]+1]
		unlike = message.Say("what they are: A is " + a.onWhat() + "; B is " + b.onWhat())
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
	given := message.Say("Both get {} of {} at the same moment, as the first coat. They differ in one thing: {}.", message.Thick(a.Thickness), plain(a.Finish.Name), unlike)
	if f == CoatThickness {
		given = message.Say("Both get {}, as the first coat, at the same moment. They differ in one thing: {}.", plain(a.Finish.Name), unlike)
	}
	same := message.Text(nil)
	switch f {
	case AirTemperature:
		same = message.Say("Both: "+a.onWhat()+"; humidity {}, air moving at {}.", message.Parts(rh), message.MetresASecond(a.AirSpeed))
	case AirHumidity:
		same = message.Say("Both: "+a.onWhat()+"; air {}, moving at {}.", message.Celsius(t), message.MetresASecond(a.AirSpeed))
	case AirMoving:
		same = message.Say("Both: "+a.onWhat()+"; air {} and {}.", message.Celsius(t), message.Parts(rh))
	case CoatThickness:
		same = message.Say("Both: "+a.onWhat()+"; {}.", a.airText())
	case Suction:
		same = message.Say("Both: {}.", a.airText())
	}
	x := Exercise{
		Given:   []message.Text{message.Say("Two walls, A and B."), given, same},
		Asks:    message.Say("Which of them " + what + "?"),
		Wants:   WantChoice,
		Choices: inOrder(message.Say("A"), message.Say("B"), message.Say("about the same: within a tenth")),
		Hint:    message.Say("Water leaves a coat two ways: into the air and into the wall. Ask which of the two does most here, and whether what differs changes it."),
		Answer: Answer{Choice: right, Sign: message.Say("{}: "+e.Sign(), string(e)),
			Coats: []Run{{"A", a}, {"B", b}}},
	}
	verb := map[drying.Event]string{drying.EventNext: "the next coat can follow", drying.EventCloses: "it is gone by"}[e]
	x.Answer.Says = message.Say("At A {} after {}, at B after {}.", verb, message.Seconds(ta), message.Seconds(tb))
	if f == AirMoving {
		x.Answer.Says = append(x.Answer.Says, message.Say(" That is no advice: nobody blows air at wet lime, for it cracks.")...)
	}
	x.Answer.Reasons, err = whyFirst(a, b, ca, cb, f, right, e)
	return x, err
}

// whyFirst says what makes the later of two walls later, and whether air or wall rules; of two alike, why the difference
// does nothing.
func whyFirst(a, b Case, ca, cb drying.Trace, f Factor, right int, e drying.Event) ([]Reason, error) {
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
