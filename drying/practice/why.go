package practice

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
)

// Factor is one thing that moves a coat's times.
type Factor string

// The factors.
const (
	AirTemperature  Factor = "air-temperature"
	AirHumidity     Factor = "air-humidity"
	AirMoving       Factor = "air-speed"
	WallTemperature Factor = "wall-temperature"
	CoatThickness   Factor = "thickness"
	Suction         Factor = "suction"       // what the wall drinks: its background, primer or damping
	CoatsBeneath    Factor = "coats-beneath" // dry ones
)

// Factors lists them.
func Factors() []Factor {
	return []Factor{AirTemperature, AirHumidity, AirMoving, WallTemperature, CoatThickness, Suction, CoatsBeneath}
}

// with gives c one thing of other; false where they have it in common.
func (c Case) with(f Factor, other Case) (Case, bool) {
	t, rh := float64(c.Air.Temperature()), float64(c.Air.RelativeHumidity())
	ot, orh := float64(other.Air.Temperature()), float64(other.Air.RelativeHumidity())
	same := func(x, y float64) bool { return math.Abs(x-y) <= 1e-9*math.Max(math.Abs(x), math.Abs(y)) }
	switch f {
	case AirTemperature:
		c.Air = airOf(ot, rh)
		if c.WallTemp != nil { // it stays as much colder or warmer than the air
			w := *c.WallTemp + ot - t
			c.WallTemp = &w
		}
		return c, !same(t, ot)
	case AirHumidity:
		c.Air = airOf(t, orh)
		return c, !same(rh, orh)
	case AirMoving:
		v := c.AirSpeed
		c.AirSpeed = other.AirSpeed
		return c, !same(v, other.AirSpeed)
	case WallTemperature:
		d, od := c.wallOff(), other.wallOff()
		w := t + od
		c.WallTemp = &w
		if other.WallTemp == nil {
			c.WallTemp = nil
		}
		return c, math.Abs(d-od) > 0.05
	case CoatThickness:
		h := c.Thickness
		c.Thickness = other.Thickness
		return c, !same(h, other.Thickness)
	case Suction:
		was, damped := c.Spots, c.Damped
		c.Spots, c.Damped, c.Measured = other.Spots, other.Damped, other.Measured
		return c, damped != other.Damped || len(was) != len(other.Spots) || !slices.EqualFunc(was, other.Spots, sameSuction)
	case CoatsBeneath:
		n := c.Number
		c.Number = other.Number
		return c, n != other.Number
	}
	panic("practice: no such factor")
}

// wallOff is how much warmer the wall is than the air, K.
func (c Case) wallOff() float64 {
	if c.WallTemp == nil {
		return 0
	}
	return *c.WallTemp - float64(c.Air.Temperature())
}

// tells is how much one thing must move a time to be named, as a factor.
const tells = 1.1

// why ranks what makes the time of an event differ between c and than: each thing that they do not have in common is put
// into c by itself, and the case followed again.
func why(c, than Case, e drying.Event) ([]Reason, error) {
	here, err := c.course()
	if err != nil {
		return nil, err
	}
	t := of(here.Rung, e)
	if math.IsInf(t, 1) || t < 30 {
		return nil, errUnclear
	}
	var out []Reason
	for _, f := range Factors() {
		other, differs := c.with(f, than)
		if !differs {
			continue
		}
		there, err := other.course()
		if err != nil {
			return nil, err
		}
		u := of(there.Rung, e)
		if math.IsInf(u, 1) || u < 30 {
			u = math.Max(30, math.Min(u, drying.Horizon))
		}
		r := Reason{Factor: f, Ratio: t / u, Case: c, Than: other, Event: e}
		r.Text = r.words(here, there, t, u)
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b Reason) int {
		return -cmp.Compare(math.Abs(math.Log(a.Ratio)), math.Abs(math.Log(b.Ratio)))
	})
	for i, r := range out {
		out[i].Text = capital(r.Text)
		if i == 2 || math.Abs(math.Log(r.Ratio)) < math.Log(tells) {
			return out[:i], nil
		}
	}
	return out, nil
}

// pace is the mean evaporation of a course up to a time, kg/(m2 s).
func pace(c drying.Trace, t float64) float64 { return at(c, t).Gone / t }

// words says what a factor does, by what the two courses have: with it, up to t, and without it, up to u.
func (r Reason) words(here, there drying.Trace, t, u float64) message.Text {
	c, o := r.Case, r.Than
	air := message.Say("the air takes up {}, against {}", message.Evaporation(pace(here, t)), message.Evaporation(pace(there, u)))
	drawn := message.Say("draws {} from the coat, against {}", message.OnArea(math.Max(0, at(here, t).Drawn)), message.OnArea(math.Max(0, at(there, u).Drawn)))
	var what message.Text
	switch r.Factor {
	case AirTemperature:
		warm := "colder"
		if c.Air.Temperature() > o.Air.Temperature() {
			warm = "warmer"
		}
		what = message.Say("the air is "+warm+", {} and not {}: {}", message.Celsius(float64(c.Air.Temperature())), message.Celsius(float64(o.Air.Temperature())), air)
	case AirHumidity:
		damp := "drier"
		if c.Air.RelativeHumidity() > o.Air.RelativeHumidity() {
			damp = "damper"
		}
		what = message.Say("the air is "+damp+", {} and not {}: {}", message.Parts(float64(c.Air.RelativeHumidity())), message.Parts(float64(o.Air.RelativeHumidity())), air)
	case AirMoving:
		moves := "less"
		if c.AirSpeed > o.AirSpeed {
			moves = "more"
		}
		what = message.Say("the air moves "+moves+", at {} and not {}: {}", message.MetresASecond(c.AirSpeed), message.MetresASecond(o.AirSpeed), air)
	case WallTemperature:
		cold := "colder"
		if c.wallOff() > o.wallOff() {
			cold = "warmer"
		}
		what = message.Say("the wall is "+cold+", {} and not {}: {}", message.Celsius(c.wallTemp()), message.Celsius(o.wallTemp()), air)
	case CoatThickness:
		thin := "thinner"
		if c.Thickness > o.Thickness {
			thin = "thicker"
		}
		what = message.Say("the coat is "+thin+", {} and not {}: {} of water has to leave it, and not {}", message.Thick(c.Thickness), message.Thick(o.Thickness),
			message.OnArea(left(here, t)), message.OnArea(left(there, u)))
	case Suction:
		drinks := "less"
		if at(here, t).Drawn > at(there, t).Drawn {
			drinks = "more"
		}
		what = message.Say("the wall drinks "+drinks+": until then it {}", drawn)
	case CoatsBeneath:
		what = message.Say("it lies on "+c.onWhat()+", and not on "+o.onWhat()+": until then that {}", drawn)
	}
	if r.Ratio >= 1 {
		return message.Say("{}. That alone makes it {} as late.", what, message.Factor(r.Ratio))
	}
	return message.Say("{}. That alone makes it come in {} of the time.", what, message.Parts(r.Ratio))
}

// left is the water that has left a coat by a time: to the air and into the wall, kg/m2.
func left(c drying.Trace, t float64) float64 {
	p := at(c, t)
	return p.Gone + p.Drawn
}

func (c Case) wallTemp() float64 { return float64(c.Air.Temperature()) + c.wallOff() }

// where tells where a coat's water goes until a time; empty where neither air nor wall rules.
func where(c drying.Trace, t float64) (Reason, bool) {
	all, drawn := left(c, t), at(c, t).Drawn
	switch x := drawn / all; {
	case all <= 0:
	case x > 0.6:
		return Reason{Text: message.Say("Most of the water, {} of what has left the coat by then, goes into the wall: what the air does counts for less.", message.Parts(x))}, true
	case x < 0.3:
		return Reason{Text: message.Say("Most of the water, {} of what has left the coat by then, goes into the air: the wall draws little.", message.Parts(1-x))}, true
	}
	return Reason{}, false
}

func sameSuction(a, b material.Background) bool {
	return a.Name == b.Name && len(a.Layers) == len(b.Layers) && a.Layers[0].Absorption.Value == b.Layers[0].Absorption.Value
}

// capital is a text with a capital at its beginning.
func capital(t message.Text) message.Text {
	if len(t) == 0 {
		return t
	}
	return append(message.Text{{Words: upper(t[0].Words), Quantity: t[0].Quantity}}, t[1:]...)
}

// about puts whose they are before reasons that were found by changing one thing.
func about(whose string, reasons []Reason) []Reason {
	out := slices.Clone(reasons)
	for i, r := range out {
		if r.Factor != "" {
			t := slices.Clone(r.Text)
			t[0].Words = strings.ToLower(t[0].Words[:1]) + t[0].Words[1:]
			out[i].Text = append(message.Say(whose+": "), t...)
		}
	}
	return out
}
