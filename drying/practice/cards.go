package practice

import (
	"limeday/drying"
	"limeday/drying/message"
	"limeday/psychro"
)

// NamedAir is air with what people call it.
type NamedAir struct {
	Name string
	Air  psychro.Air
}

// Airs are the airs of a set of cards, from cool and damp to warm and dry, at a pressure in Pa.
func Airs(p psychro.Pascal) []NamedAir {
	var out []NamedAir
	for _, a := range []struct {
		name  string
		c, rh float64
	}{{"cool and damp", 10, 0.80}, {"cool", 13, 0.65}, {"mild", 17, 0.55}, {"warm", 21, 0.45}, {"warm and dry", 25, 0.35}} {
		air, err := psychro.NewAir(psychro.Celsius(a.c), psychro.Fraction(a.rh), p)
		if err != nil {
			panic("practice: " + err.Error()) // pressures are checked where they are read
		}
		out = append(out, NamedAir{a.name, air})
	}
	return out
}

// Card is a coat in one air, with its times and their bands.
type Card struct {
	Air  NamedAir
	Case Case
	Rung drying.Rung
	// Sign is the one of the time that matters most: of a last coat when it opens, of others when the next can follow.
	Sign message.Text
	Last bool // it is the last coat: the one that is closed
}

// Cards works out a card for each coat in each air, air by air. set is for their bands. The errors are those of drying.Ladder.
func Cards(coats []Case, airs []NamedAir, set drying.Bands) ([]Card, error) {
	var out []Card
	tell := set.Tell
	for _, a := range airs {
		for i, c := range coats {
			c.Air = a.Air
			c.Thicknesses = []float64{c.Thickness}
			if done := float64(len(out)); tell != nil {
				set.Tell = func(share float64) { tell((done + share) / float64(len(airs)*len(coats))) }
			}
			rungs, err := drying.Ladder(c.LadderAsk)
			if err == nil {
				err = c.Band(rungs, set)
			}
			if err != nil {
				return nil, err
			}
			k := Card{Air: a, Case: c, Rung: rungs[0], Last: i == len(coats)-1}
			e := drying.EventNext
			if k.Last {
				e = drying.EventOpens
			}
			k.Sign = message.Say(string(e) + ": " + e.Sign())
			out = append(out, k)
		}
	}
	return out, nil
}

// TimesOf is the likely time of an event, s after laying, and the band that eight cases in ten fall in.
func TimesOf(r drying.Rung, e drying.Event) (likely, earliest, latest float64) {
	earliest, latest = band(r, e)
	return of(r, e), earliest, latest
}

// Coats are the cases of a job's coats, each over those before it, which are taken to be of its own finish and usual
// thickness. The error is a *drying.SuctionError.
func Coats(job drying.Job) ([]Case, error) {
	spots, err := job.Suction.Spots(job.Background, 20, 0.5)
	if err != nil {
		return nil, err
	}
	var out []Case
	for i, c := range job.Coats {
		k := Case{drying.LadderAsk{Finish: c.Finish, Damped: job.Damped, Measured: job.Suction.Measured(), Green: c.Green, Number: i + 1, AirSpeed: job.Room.AirSpeed,
			WallHeight: job.Room.WallHeight, Timing: job.Timing}, c.Thickness}
		k.Spots = spots
		out = append(out, k)
	}
	return out, nil
}
