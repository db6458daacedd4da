package practice

import (
	"math"
	"time"

	"limeday/drying"
	"limeday/drying/crew"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
	"limeday/weather"
)

// stretch is a wall of one coat, in constant air, with who works on it.
type stretch struct {
	Case
	at     time.Time // of asking, half an hour before work
	wall   crew.Wall
	laying float64 // rate, m2/h
	rate   float64 // of closing in, m2/h in one pass
	passes int     // of closing in, one strip after the other
}

// closing is the rate at which a strip is closed in by all passes, m2/h.
func (s *stretch) closing() float64 { return s.rate / float64(s.passes) }

// stretch draws a first coat with the rates of its hands: slow, those who close it in are slower than who lays it. Rates as alike as
// that are told apart by nobody.
func (m *maker) stretch(slow bool) (stretch, error) {
	s := stretch{Case: m.coat(1)}
	s.Spots = []material.Background{background("primed-board", oneOf(m, material.Primers()...))}
	s.laying, s.rate, s.passes = m.whole(6, 12, 1), m.whole(14, 30, 2), 1+m.IntN(3)
	if r := s.closing() / s.laying; slow && r > 1/apart || !slow && r < apart {
		return s, errUnclear
	}
	s.wall.Height = oneOf(m, 2.4, 2.5, 2.6, 2.8)
	s.at = time.Date(2026, 4, 14, 7, 30, 0, 0, time.UTC)
	return s, nil
}

// ask is the question of the wall to who plans it, by the hands.
func (s *stretch) ask(hands ...crew.Hand) crew.Ask {
	got := func(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Measured} }
	t := float64(s.Air.Temperature())
	e := float64(s.Air.RelativeHumidity()) * float64(psychro.SaturationWater(s.Air.Temperature()))
	j := &drying.Job{Zone: time.UTC, Background: s.Spots[0], Hours: working, Coats: []drying.Coat{{Finish: s.Finish, Thickness: s.Thickness}},
		Room: drying.Room{AirSpeed: s.AirSpeed, WallHeight: s.WallHeight}}
	a := crew.Ask{Sites: []crew.Site{{Wall: s.wall, Job: j}}, Set: drying.Bands{Members: aFew, Seed: bands.Seed},
		Ask: drying.Ask{At: s.at, Faces: []drying.FaceReading{{At: s.at, Temp: t}}, Air: weather.Series{Source: "a reading", Records: []weather.Record{{Time: s.at, Temperature: got(t), Vapour: got(e)}}}}}
	a.Crew = crew.Crew{Hands: hands, Hours: working, Travel: crew.UsualTravel}
	a.Crew.Passes[crew.Lay], a.Crew.Passes[crew.Compress] = 1, s.passes
	return a
}

// aFew is how many draws a plan is timed under: whether it holds is known well enough by them, as its answer's band is not theirs.
const aFew = 20

// hand is one that lays, closes in, or both.
func (s *stretch) hand(name string, lays, closes bool) crew.Hand {
	h := crew.Hand{Name: name}
	if lays {
		h.Rate[crew.Lay] = s.laying
	}
	if closes {
		h.Rate[crew.Compress] = s.rate
	}
	return h
}

// window is when a coat opens and is gone by, s after laying.
type window struct{ opens, gone float64 }

// windows are a rung's: likely, at the earliest and at the latest.
func windows(r drying.Rung) [3]window {
	return [3]window{{r.Opens, r.Closes}, {r.Soonest.Opens, r.Soonest.Closes}, {r.Slowest.Opens, r.Slowest.Closes}}
}

// holds tells whether a square metres are closed in before they are gone by, where one hand lays all of it and then turns back. The age
// of what is closed in falls or rises steadily from the first strip to the last, so that those two decide.
func (s *stretch) holds(a float64, w window) bool {
	laid := a / s.laying * 3600
	turned := math.Max(laid+crew.UsualTravel.Seconds(), w.opens)
	return turned <= w.gone && turned+a/s.closing()*3600 <= laid+w.gone
}

// most is the largest area that holds, m2.
func (s *stretch) most(w window) float64 {
	lo, hi := 0.0, s.laying*w.gone/3600
	for range 50 {
		if mid := (lo + hi) / 2; s.holds(mid, w) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// often is a number of passes in words.
func often(n int) string { return []string{"once", "twice", "three times"}[n-1] }

// The areas that are asked for, m2: what one hand would see as a piece of work.
const (
	leastArea, mostArea = 2.0, 40.0
	areaGrain           = 0.5 // that bands are rounded to
)

// sectionSize asks how much one hand can lay before turning back.
func sectionSize(m *maker) (Exercise, error) {
	s, err := m.stretch(m.lot%2 == 0)
	if err != nil {
		return Exercise{}, err
	}
	r, err := s.rung(true)
	if err != nil {
		return Exercise{}, err
	}
	var area [3]float64
	for i, w := range windows(r) {
		if area[i] = 0; w.gone < 24*3600 {
			area[i] = s.most(w)
		}
	}
	low, high := areaGrain*math.Floor(area[1]/areaGrain), areaGrain*math.Ceil(area[2]/areaGrain)
	if low < leastArea || high > mostArea || high > widest*low || area[0] < low || area[0] > high {
		return Exercise{}, errUnclear
	}
	s.wall.Width = 0.5 * math.Ceil((1.25*high/s.wall.Height+0.5)/0.5)
	ask := s.ask(s.hand("the hand", true, true))
	x := Exercise{
		Given: []message.Text{message.Say("{}.", s.coatText()), message.Say("It stands in {}.", s.airText()),
			message.Say("The wall is {} wide and {} high, without an opening. One hand, alone on it, lays it strip by strip at {}, without a stop, turns back to the first strip, which takes {}, "+
				"and closes it in, strip by strip in the same order, going over each "+often(s.passes)+" at {}.", message.Metres(s.wall.Width), message.Metres(s.wall.Height), message.WorkRate(s.laying), message.Seconds(crew.UsualTravel.Seconds()), message.WorkRate(s.rate))},
		Asks:  message.Say("How much of the wall may be laid at most before turning back, so that nothing is gone by before it is closed in?"),
		Wants: WantArea,
		Hint: append(message.Say("Two strips decide: the first, which waits for all the laying, and the last, which waits for all the closing in. "),
			hintFor(s.Case)...),
		Answer: Answer{Value: area[0], Earliest: low, Latest: high, Sign: message.Say("{}: "+drying.EventCloses.Sign(), string(drying.EventCloses)),
			Coats: []Run{{"", s.Case}}, Wall: &ask},
	}
	x.Answer.Says = message.Say("{}, as likely as not; {} to be nine times in ten sure of it, and {} if all goes well. It is gone by after {}; eight times in ten within {}.",
		message.SquareMetres(area[0]), message.SquareMetres(low), message.SquareMetres(high), message.Seconds(r.Closes), message.Spells(outward(r.Soonest.Closes, r.Slowest.Closes)))
	ruling, err := s.ruling(area[0], windows(r)[0])
	if err != nil {
		return x, err
	}
	x.Answer.Reasons, err = s.because(ruling)
	return x, err
}

// because puts what makes the window as long as it is behind what makes it decide.
func (s *stretch) because(ruling Reason) ([]Reason, error) {
	course, err := s.course()
	if err != nil {
		return nil, err
	}
	more, err := whyAtAll(s.Case, course, drying.EventCloses)
	if err != nil {
		return nil, err
	}
	return append([]Reason{ruling}, about("When it is gone by", more[:1])...), nil
}

// halfAgain is how much faster a hand is made, to find which of its rates decides.
const halfAgain = 1.5

// ruling says which strip decides how much can be laid: by what a faster trowel and a faster blade would each bring.
func (s *stretch) ruling(area float64, w window) (Reason, error) {
	trowel, blade := *s, *s
	trowel.laying *= halfAgain
	blade.rate *= halfAgain
	byTrowel, byBlade := trowel.most(w), blade.most(w)
	laid, closed := area/s.laying*3600, area/s.closing()*3600
	than := func(a float64) message.Text {
		if a > 1.01*area {
			return message.Say("only {}", message.SquareMetres(a))
		}
		return message.Say("no more")
	}
	switch {
	case byTrowel > alike*area && byTrowel > apart*byBlade:
		return Reason{Text: message.Say("The first strip decides: it waits {} until the rest is laid. Laying half as fast again would make it {}; closing in half as fast again {}.", message.Seconds(laid), message.SquareMetres(byTrowel), than(byBlade))}, nil
	case byBlade > alike*area && byBlade > apart*byTrowel:
		return Reason{Text: message.Say("The last strip decides: it waits {} until the rest is closed in. Closing in half as fast again would make it {}; laying half as fast again {}.", message.Seconds(closed), message.SquareMetres(byBlade), than(byTrowel))}, nil
	}
	return Reason{}, errUnclear
}

// lane is what a plan has of one who lays and one who follows, s after the laying began: when each patch is laid, from and to, and how long
// it takes to close it in.
type lane struct{ from, to, takes []float64 }

// follows plans the wall by one who lays and one who closes in; false where it does not hold without a stop of the laying.
func follows(a crew.Ask) (l lane, holds bool, err error) {
	p, err := crew.New(a)
	if err != nil || !p.Whole || !p.Band || len(p.Sections) != 1 {
		return l, false, err
	}
	begun := p.Sections[0].From
	after := func(t time.Time) float64 { return t.Sub(begun).Seconds() }
	for _, k := range p.Sections[0].Tasks {
		switch k.Op {
		case crew.Lay:
			if n := len(l.to); n > 0 && after(k.Start) > l.to[n-1]+1 {
				return l, false, nil
			}
			l.from, l.to = append(l.from, after(k.Start)), append(l.to, after(k.End))
		case crew.Compress:
			l.takes = append(l.takes, k.End.Sub(k.Start).Seconds())
		}
	}
	return l, len(l.takes) == len(l.to), nil
}

// latest is when the one who follows must begin at the latest, s after the laying began: as late as each patch, from the last
// to the first, lets begin what closes it in.
func (l *lane) latest(gone float64) float64 {
	by := math.Inf(1)
	for i := len(l.takes) - 1; i >= 0; i-- {
		by = min(l.from[i]+gone, l.to[i]+gone-l.takes[i], by-l.takes[i])
	}
	return by
}

// helperStarts asks when a helper must begin to close in what another goes on laying.
func helperStarts(m *maker) (Exercise, error) {
	slow := m.lot%3 > 0
	s, err := m.stretch(slow)
	if err != nil {
		return Exercise{}, err
	}
	s.wall.Width = m.whole(2, 8, 0.5)
	r, err := s.rung(true)
	if err != nil {
		return Exercise{}, err
	}
	if r.Soonest.Closes < soonest || r.Slowest.Closes > 12*3600 {
		return Exercise{}, errUnclear
	}
	ask := s.ask(s.hand("the layer", true, false), s.hand("the helper", false, true))
	l, ok, err := follows(ask)
	if err != nil || !ok {
		return Exercise{}, or(err)
	}
	var by [3]float64
	for i, w := range windows(r) {
		if by[i] = l.latest(w.gone); by[i] < w.opens {
			return Exercise{}, errUnclear
		}
	}
	low, high := outward(by[1], by[2])
	if low < soonest || high > widest*low || by[0] < low || by[0] > high || slow && by[0] > r.Closes/alike {
		return Exercise{}, errUnclear
	}
	x := Exercise{
		Given: []message.Text{message.Say("{}.", s.coatText()), message.Say("It stands in {}.", s.airText()),
			message.Say("The wall is {} wide and {} high, without an opening. One lays it from one side to the other at {}, without a stop. A helper follows from the first strip on and closes it in, going over each strip "+
				often(s.passes)+" at {}.", message.Metres(s.wall.Width), message.Metres(s.wall.Height), message.WorkRate(s.laying), message.WorkRate(s.rate))},
		Asks:  message.Say("How long after the laying began must the helper begin at the latest, so that nothing is gone by before it is closed in?"),
		Wants: WantMinutes,
		Hint:  append(message.Say("Who is faster? Whoever closes in more slowly than the other lays falls behind, strip by strip, up to the last. "), hintFor(s.Case)...),
		Answer: Answer{Value: by[0], Earliest: low, Latest: high, Sign: message.Say("{}: "+drying.EventCloses.Sign(), string(drying.EventCloses)),
			Coats: []Run{{"", s.Case}}, Wall: &ask},
	}
	x.Answer.Says = message.Say("After {}, as likely as not; after {} to be nine times in ten sure of it, and after {} if all goes well.", message.Seconds(by[0]), message.Seconds(low), message.Seconds(high))
	if r.Opens < 60 {
		x.Answer.Says = append(x.Answer.Says, message.Say(" It opens at once, and is gone by after {}.", message.Seconds(r.Closes))...)
	} else {
		x.Answer.Says = append(x.Answer.Says, message.Say(" Not before it opens, after {}; it is gone by after {}.", message.Seconds(r.Opens), message.Seconds(r.Closes))...)
	}
	ruling, err := l.behind(by[0], windows(r)[0], slow)
	if err != nil {
		return x, err
	}
	x.Answer.Reasons, err = s.because(ruling)
	return x, err
}

// behind says which strip decides when the helper must begin: by what another pace of the helper would bring, at the likely window.
func (l *lane) behind(by float64, w window, slow bool) (Reason, error) {
	laid, takes := l.to[len(l.to)-1], 0.0
	for _, t := range l.takes {
		takes += t
	}
	other := lane{from: l.from, to: l.to}
	for i := range l.takes {
		t := l.to[i] - l.from[i]
		if !slow {
			t *= halfAgain
		}
		other.takes = append(other.takes, t)
	}
	then := other.latest(w.gone)
	both := message.Say("laying the wall takes {} and closing it in {}", message.Seconds(laid), message.Seconds(takes))
	switch {
	case slow && then > by*alike:
		return Reason{Text: message.Say("The last strip decides: {}, so that the helper falls behind. One who closes in as fast as the other lays could wait {}.", both, message.Seconds(then))}, nil
	case slow || then > by/alike:
		return Reason{}, errUnclear
	case then < w.opens:
		return Reason{Text: message.Say("The first strip decides: {}, so that the helper gains from strip to strip. One who takes half as long again as the laying would lose some of it, even from its opening on.", both)}, nil
	}
	return Reason{Text: message.Say("The first strip decides: {}, so that the helper gains from strip to strip. One who takes half as long again as the laying would have to begin after {}.", both, message.Seconds(then))}, nil
}
