package practice

import (
	"math"
	"strings"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
)

// Case is one coat in constant air: a ladder's coat and its thickness.
type Case struct {
	drying.LadderAsk
	Thickness float64 // wet, m
}

// rung is the case's times, banded where wanted.
func (c Case) rung(banded bool) (drying.Rung, error) {
	c.Thicknesses = []float64{c.Thickness}
	rungs, err := drying.Ladder(c.LadderAsk)
	if err == nil && banded {
		err = c.Band(rungs, bands)
	}
	if err != nil {
		return drying.Rung{}, err
	}
	return rungs[0], nil
}

// course is the case followed.
func (c Case) course() (drying.Trace, error) { return drying.Follow(c.LadderAsk, c.Thickness) }

// of is a rung's time of an event, s after laying.
func of(r drying.Rung, e drying.Event) float64 {
	switch e {
	case drying.EventEdge:
		return r.Edge
	case drying.EventOpens:
		return r.Opens
	case drying.EventBurnish:
		return r.Burnish
	case drying.EventCloses:
		return r.Closes
	}
	return r.Next
}

// band is a banded rung's earliest and latest time of an event.
func band(r drying.Rung, e drying.Event) (low, high float64) {
	s, l := drying.Rung{Times: r.Soonest, Next: r.NextSoonest}, drying.Rung{Times: r.Slowest, Next: r.NextSlowest}
	return of(s, e), of(l, e)
}

// at is a course's state at a time after laying, between its points.
func at(c drying.Trace, t float64) drying.CoatPoint {
	p := c.Points
	for i := 1; i < len(p); i++ {
		if p[i].After >= t {
			a, b := p[i-1], p[i]
			x := 1.0
			if b.After > a.After {
				x = (t - a.After) / (b.After - a.After)
			}
			mix := func(u, v float64) float64 { return u + x*(v-u) }
			return drying.CoatPoint{After: t, Water: mix(a.Water, b.Water), Face: mix(a.Face, b.Face), Flux: mix(a.Flux, b.Flux), Gone: mix(a.Gone, b.Gone), Drawn: mix(a.Drawn, b.Drawn)}
		}
	}
	return p[len(p)-1]
}

// seaLevel is the pressure of every exercise's air, Pa.
var seaLevel = psychro.StandardPressure(0)

// airOf is air of a temperature in C and a relative humidity.
func airOf(c, rh float64) psychro.Air {
	a, err := psychro.NewAir(psychro.Celsius(c), psychro.Fraction(rh), seaLevel)
	if err != nil {
		panic("practice: " + err.Error()) // no exercise has such air
	}
	return a
}

func finish(name string) material.Finish {
	f, err := material.FinishNamed(name)
	if err != nil {
		panic("practice: " + err.Error())
	}
	return f
}

func background(name string, p material.Primer) material.Background {
	b, err := material.BackgroundNamed(name, p)
	if err != nil {
		panic("practice: " + err.Error())
	}
	return b
}

// usual is the case on an ordinary day: 20 C and 50 %, no draught, the first coat at its usual thickness on a fair primer.
func usual(f material.Finish, number int) Case {
	return Case{drying.LadderAsk{Finish: f, Spots: []material.Background{background("primed-board", material.Fair)}, Number: number, Air: airOf(20, 0.5),
		AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}, f.Coats[min(number, 3)-1].Value}
}

// coat draws a case of a polish, of a coat in order of number.
func (m *maker) coat(number int) Case {
	c := usual(finish(oneOf(m, "polished-lime", "polished-lime", "marble-coat")), number)
	c.Air = airOf(m.whole(10, 26, 1), m.whole(0.35, 0.8, 0.05))
	c.AirSpeed = oneOf(m, 0.1, 0.1, 0.1, 0.3, 0.5)
	u := c.Finish.Coats[min(number, 3)-1]
	c.Thickness = rounded(oneOf(m, u.Low, u.Value, u.High))
	switch m.IntN(5) {
	case 0, 1:
		c.Spots = []material.Background{background("primed-board", oneOf(m, material.Primers()...))}
	default:
		c.Spots = []material.Background{background(oneOf(m, "gypsum-board", "brick", "aerated-block", "cement-board", "old-lime"), "")}
	}
	return c
}

// rounded is a thickness as people give it, m: to 0.01 mm.
func rounded(m float64) float64 { return math.Round(m*1e5) / 1e5 }

// plain is a name of a finish in words.
func plain(name string) string { return strings.ReplaceAll(name, "-", " ") }

// onWhat is what the coat lies on, in words.
func (c Case) onWhat() string {
	about := c.Spots[0].About
	if c.Damped {
		about = "damped " + about
	}
	return drying.Over(c.Number, about)
}

func ordinal(n int) string {
	return []string{"first", "second", "third", "fourth", "fifth", "sixth"}[n-1]
}

// coatText is the coat and what it lies on; airText, what it stands in.
func (c Case) coatText() message.Text {
	return message.Say("{} of {}, the "+ordinal(c.Number)+" coat, on "+c.onWhat(), message.Thick(c.Thickness), plain(c.Finish.Name))
}

func (c Case) airText() message.Text {
	t := message.Say("air {} and {}, moving at {}", message.Celsius(float64(c.Air.Temperature())), message.Parts(float64(c.Air.RelativeHumidity())), message.MetresASecond(c.AirSpeed))
	if c.WallTemp != nil {
		t = append(t, message.Say(", wall {}", message.Celsius(*c.WallTemp))...)
	}
	return t
}
