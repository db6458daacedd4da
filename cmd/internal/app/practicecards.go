package app

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/drying/practice"
	"limeday/psychro"
)

type cardsAnswer struct {
	Schema string      `json:"schema"`
	File   string      `json:"file"`
	Head   string      `json:"head"`
	Cards  []cardEntry `json:"cards"`
}

type cardEntry struct {
	Air    string       `json:"air"`
	TempC  float64      `json:"temp_c"`
	RHPct  float64      `json:"rh_pct"`
	Finish string       `json:"finish"`
	Coat   int          `json:"coat"`
	Last   bool         `json:"last"`
	Times  thicknessRow `json:"times"`
}

// practiceCards writes a deck of timing cards.
func practiceCards(ctx context.Context, inv *invocation, f practiceFlags) error {
	units := inv.Units()
	var head string
	var coats []practice.Case
	var pressure psychro.Pascal
	var notes []string
	if len(inv.Args) > 0 {
		for _, w := range []*wordFlag{f.finish, f.background, f.primer} {
			if w.set {
				return usage("--"+w.name, "a job, or flags", "--%s is for cards without a job, which says it itself; leave it out", w.name)
			}
		}
		learned, err := f.timing.Value()
		if err != nil {
			return err
		}
		s, err := inv.siteOf(inv.Args[0], intake.Given{Timing: learned})
		if err != nil {
			return err
		}
		j, d := s.File, s.Job
		units = inv.UnitsOf(j)
		pressure, head = d.Pressure(), orWord(d.Place.Name, nameOf(inv.Args[0]))
		if coats, err = practice.Coats(d); err != nil {
			return err
		}
		if j.Room == nil {
			notes = append(notes, "In the shade, as the air alone dries it: sun and wind bring every time on.")
		}
		if slices.ContainsFunc(d.Coats, func(c drying.Coat) bool { return c.Finish.Name != d.Coats[0].Finish.Name }) {
			notes = append(notes, "Each coat is taken to lie on coats of its own finish.")
		}
		if d.Timing != nil {
			notes = append(notes, fmt.Sprintf("By the timing learned from %s of %s.", plural(d.Timing.Boards, "board"), d.Timing.Finish))
		}
	} else {
		c, err := cardCoats(f)
		if err != nil {
			return err
		}
		pressure, coats = psychro.StandardPressure(0), c
		head = "Timing cards: " + strings.ReplaceAll(c[0].Finish.Name, "-", " ")
	}
	if u, err := f.speed.Value(units); err != nil {
		return err
	} else if u != nil {
		for i := range coats {
			coats[i].AirSpeed = *u
		}
	}
	airs, err := cardAirs(f, units, pressure)
	if err != nil {
		return err
	}
	tell, told := inv.progress("Working the cards out")
	cards, err := practice.Cards(coats, airs, drying.Bands{Members: inv.Members, Seed: 1, Tell: tell})
	told()
	if err != nil {
		return err
	}
	for _, c := range cards {
		if err := frozen(c.Rung, units); err != nil {
			return err
		}
	}
	deck := deckOf(head, coats, cards, notes, units)
	path, err := f.cards.Value()
	if err != nil {
		return err
	}
	a := cardsAnswer{Schema: "limeday.practice-cards/1", File: path, Head: head, Cards: []cardEntry{}}
	for _, c := range cards {
		ask := c.Case.LadderAsk
		rows := answerThickness(ask, &airReading{Air: c.Air.Air, RHPct: 100 * float64(c.Air.Air.RelativeHumidity())}, []drying.Rung{c.Rung}, "").Rows
		a.Cards = append(a.Cards, cardEntry{c.Air.Name, float64(c.Air.Air.Temperature()), 100 * float64(c.Air.Air.RelativeHumidity()), ask.Finish.Name, ask.Number, c.Last, rows[0]})
	}
	if err := inv.Answer(a, func() string {
		return wrap("", fmt.Sprintf("%s on %s: print both sides, turned on the long edge, and cut along the lines.", plural(len(cards), "card"), plural((len(cards)+sheet.PerPage-1)/sheet.PerPage, "sheet")))
	}); err != nil {
		return err
	}
	return f.out.write(ctx, inv, []func(io.Writer) error{nil, func(w io.Writer) error { return sheet.WriteDeck(w, deck) }})
}

// cardCoats are the coats that the flags name: the usual three of a polish, or the first of another finish.
func cardCoats(f practiceFlags) ([]practice.Case, error) {
	name, err := f.finish.Value()
	if err != nil {
		return nil, err
	}
	back, err := f.background.Value()
	if err != nil {
		return nil, err
	}
	prim, err := f.primer.Value()
	if err != nil {
		return nil, err
	}
	fin, err := material.FinishNamed(orWord(name, material.UsualFinish))
	if err != nil {
		return nil, err
	}
	on, err := material.BackgroundNamed(orWord(back, material.UsualBackground), material.Primer(prim))
	if err != nil {
		return nil, err
	}
	if prim != "" && !on.Primed {
		return nil, usage("--primer", "a primed background", "--primer goes with a primed background, and %s has none; leave it out", on.Name)
	}
	learned, err := f.timing.Value()
	if err != nil {
		return nil, err
	}
	timing, unused, err := intake.Timing(learned, []drying.Coat{{Finish: fin}})
	if err != nil {
		return nil, err
	}
	if unused != nil {
		return nil, usage("--timing", "a timing of "+fin.Name, "--timing: %s is of another finish than %s; leave it out", learned, fin.Name)
	}
	d := drying.Job{Background: on, Timing: timing, Room: drying.Room{AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}}
	for i, c := range fin.Coats {
		if i == 0 || fin.Polish {
			d.Coats = append(d.Coats, drying.Coat{Finish: fin, Thickness: c.Value})
		}
	}
	return practice.Coats(d)
}

// cardAirs are the airs of --temp and --rh, or the usual ones.
func cardAirs(f practiceFlags, u quantity.Units, p psychro.Pascal) ([]practice.NamedAir, error) {
	temps, err := f.temp.List(u)
	if err != nil {
		return nil, err
	}
	rhs, err := f.rh.List(u)
	if err != nil {
		return nil, err
	}
	switch {
	case temps == nil && rhs == nil:
		return practice.Airs(p), nil
	case len(temps) != len(rhs):
		return nil, usage("--rh", "a humidity for each temperature", "--temp has %s and --rh %s; give a humidity for each temperature, as in --temp 10C,18C --rh 80%%,55%%",
			plural(len(temps), "value"), plural(len(rhs), "value"))
	case len(temps) > 20:
		return nil, usage("--temp", "up to 20 airs", "--temp has %d airs; give 20 at most", len(temps))
	}
	var out []practice.NamedAir
	for i, t := range temps {
		air, err := psychro.NewAir(psychro.Celsius(t), psychro.Fraction(rhs[i]/100), p)
		if err != nil {
			return nil, err
		}
		out = append(out, practice.NamedAir{Air: air})
	}
	return out, nil
}

// cardTime is a time with its band, for a card.
func cardTime(e drying.Event, likely, low, high float64) sheet.CardTime {
	edge := message.Begins
	if e == drying.EventCloses {
		edge = message.Ends
	}
	t := sheet.CardTime{Name: string(e), Likely: view.AfterLaying(likely, edge, false), Band: view.Printer{}.Between(low, high)}
	if high < 60 {
		t.Band = ""
	}
	return t
}

// deckOf puts cards into words.
func deckOf(head string, coats []practice.Case, cards []practice.Card, notes []string, u quantity.Units) sheet.Deck {
	d := sheet.Deck{Head: head, Cautions: drying.Cautions()}
	slices.Reverse(d.Cautions) // the data sheet first
	p := view.Printer{Units: u}
	about := coats[0].Spots[0].About
	if coats[0].Damped {
		about = "damped " + about
	}
	d.About = append(d.About, p.Text(message.Say("On {}; air moving at {}, wall as warm as the air.", about, message.MetresASecond(coats[0].AirSpeed))))
	d.About = append(d.About, notes...)
	d.About = append(d.About, "Times after laying: the likely one, and what eight cases in ten fall in. The sign rules over the clock.")
	for _, c := range cards {
		k := sheet.Card{
			Air:  c.Air.Name,
			Temp: p.Quantity(message.Celsius(float64(c.Air.Air.Temperature()))), RH: p.Quantity(message.RH(float64(c.Air.Air.RelativeHumidity()))),
			Coat:   fmt.Sprintf("coat %d of %s", c.Case.Number, strings.ReplaceAll(c.Case.Finish.Name, "-", " ")),
			Thick:  p.Quantity(message.Thick(c.Case.Thickness)) + " wet",
			Spread: p.Quantity(message.Quantity{Kind: message.Spread, Value: c.Rung.Spread}),
		}
		if k.Last = "The last coat: the one that is closed."; !c.Last {
			k.Last = "Not the last coat: its window passes."
		}
		for _, e := range []drying.Event{drying.EventOpens, drying.EventCloses, drying.EventNext} {
			likely, low, high := practice.TimesOf(c.Rung, e)
			k.Asks = append(k.Asks, string(e)+"?")
			k.Times = append(k.Times, cardTime(e, likely, low, high))
			if c.Last || e == drying.EventNext {
				k.Signs = append(k.Signs, sheet.Fact{Name: string(e), Says: e.Sign()})
			}
		}
		if w := c.Rung.WaitHigh; w > 0 {
			k.Times = append(k.Times, sheet.CardTime{Name: "wait, by custom", Band: view.Printer{}.Between(c.Rung.WaitLow, w)})
		}
		for _, n := range drying.CoatNotes(c.Case.Finish, c.Rung) {
			k.Warn = strings.TrimSpace(k.Warn + " " + p.Text(n.Is))
		}
		d.Cards = append(d.Cards, k)
	}
	return d
}
