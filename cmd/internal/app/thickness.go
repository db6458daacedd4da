package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/cmd/internal/wire"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
)

type thicknessAnswer struct {
	Schema     string `json:"schema"`
	Finish     string `json:"finish"`
	Background string `json:"background"`
	Primer     string `json:"primer,omitempty"`
	Coat       int    `json:"coat"`
	Damped     bool   `json:"damped"`
	Green      bool   `json:"green"`
	// Absorption is the water absorption coefficient of the face, one for each spot measured.
	Absorption []float64      `json:"absorption_kg_per_m2_s05"`
	Air        wire.Air       `json:"air"`
	AirSpeed   float64        `json:"air_speed_m_per_s"`
	WallTempC  float64        `json:"wall_temp_c"`
	Timing     *wire.Timing   `json:"timing"`
	Rows       []thicknessRow `json:"rows"`
}

// thicknessRow has minutes after laying, null where not reached within 45 days.
type thicknessRow struct {
	ThicknessMm float64       `json:"thickness_mm"`
	Spread      float64       `json:"spread_kg_per_m2"`
	Edge        *float64      `json:"edge_min"`
	Opens       *float64      `json:"opens_min"`
	Burnish     *float64      `json:"burnish_min"`
	Closes      *float64      `json:"closes_min"`
	Recoat      *float64      `json:"recoat_min"`
	Evaporation float64       `json:"evaporation_g_per_m2_h"`
	Next        *float64      `json:"next_coat_min"` // recoat, or opens on a green base
	WaitDays    *[2]float64   `json:"wait_days"`     // customary wait before the next coat, low and high; null for thin coats
	FrontMmDay  *float64      `json:"drying_front_mm_per_day"`
	Warnings    []drying.Code `json:"warnings"`

	// Eight cases in ten fall between.
	EdgeEarliest    *float64 `json:"edge_min_earliest"`
	EdgeLatest      *float64 `json:"edge_min_latest"`
	OpensEarliest   *float64 `json:"opens_min_earliest"`
	OpensLatest     *float64 `json:"opens_min_latest"`
	BurnishEarliest *float64 `json:"burnish_min_earliest"`
	BurnishLatest   *float64 `json:"burnish_min_latest"`
	ClosesEarliest  *float64 `json:"closes_min_earliest"`
	ClosesLatest    *float64 `json:"closes_min_latest"`
	RecoatEarliest  *float64 `json:"recoat_min_earliest"`
	RecoatLatest    *float64 `json:"recoat_min_latest"`
	NextEarliest    *float64 `json:"next_coat_min_earliest"`
	NextLatest      *float64 `json:"next_coat_min_latest"`

	EvaporationEarliest float64 `json:"evaporation_g_per_m2_h_earliest"` // the slowest
	EvaporationLatest   float64 `json:"evaporation_g_per_m2_h_latest"`   // the fastest
}

func thicknessCommand() *command {
	return &command{
		name:    "thickness",
		summary: "the times of a coat for a ladder of film thicknesses",
		examples: []example{
			{"limeday thickness --temp 20C --rh 50", "the usual first coat of polished lime, thinner and thicker"},
			{"limeday thickness --temp 20C --rh 50 --coat 3 --thick 0.05mm,0.08mm", "over two dry coats"},
			{"limeday thickness --temp 20C --rh 50 --picture coat.svg", "the same as a drawing"},
			{"limeday thickness --temp 68F --rh 50 --thick 8mil --primer tight --units us", "in US units"},
		},
		notes: `
The air stays as given. Times are minutes after laying; the sign on the wall
rules over the clock. --coat 3 lies on two coats of the usual thickness, each
laid as soon as the one before allowed it.

A drop test is the time for a drop of water to go into the bare background; with
several spots the slowest rules when a coat opens, the fastest when it has gone
by. A tube reading is of the absorption tube of RILEM Test II.4.

--picture draws several thicknesses as bars on one axis of time, with brackets
from earliest to latest; of one thickness it draws the water at the face, as of
a last coat.`,
		setup: func(fs *pflag.FlagSet) runner {
			air := addAirFlags(fs)
			wallTemp := addQuantity(fs, "wall-temp", "11C", quantity.Temperature, quantity.AirTemperatures, "temperature of the wall's face; else that of the air")
			speed := addQuantity(fs, "air-speed", "0.2m/s", quantity.Speed, quantity.AirSpeeds, "speed of the air along the wall; else 0.1 m/s")
			finish := addWord(fs, "finish", "NAME", "finish", material.Finishes(), "what is laid; else polished-lime")
			background := addWord(fs, "background", "NAME", "background", material.Backgrounds(), "what it is laid on; else primed-board")
			primer := addWord(fs, "primer", "tight|fair|thirsty", "primer", primerWords(), "how the primer of a primed board drinks; else fair")
			coat := addCount(fs, "coat", "3", "a coat", 1, 6, "which coat it is: 1 on the background, 3 on two dry coats")
			thick := addQuantity(fs, "thick", "0.1mm,8mil", quantity.Thickness, quantity.CoatThicknesses, "wet thicknesses, separated by commas")
			drops := addQuantity(fs, "drop-test", "40s,90s", quantity.Duration, quantity.DropTests, "time for a drop to go in, one for each spot")
			tube := addText(fs, "tube", "1.5ml/10min", "an absorption tube's reading")
			damped := fs.Bool("damped", false, "masonry damped the evening before and again before laying")
			green := fs.Bool("green", false, "the next coat goes on as soon as this one opens")
			spread := addQuantity(fs, "spread", "0.3kg/m2", quantity.Spread, quantity.Spreads, "wet spreads in place of thicknesses")
			timing := addText(fs, "timing", "FILE", "what limeday sample learn has learned of you")
			seed := addSeed(fs)
			files := new(filesAt(fs, addText(fs, "picture", "FILE.svg", "write the drawing: of one thickness the water at its face, of several their times")))
			return func(ctx context.Context, inv *invocation) error {
				units := inv.Units()
				if err := files.check(); err != nil {
					return err
				}
				reading, err := air.Reading(units)
				if err != nil {
					return err
				}
				if reading == nil {
					return usage("--temp", "--temp and --rh", "thickness needs a reading of the air: give --temp and --rh, such as --temp 20C --rh 50")
				}
				ask := drying.LadderAsk{Air: reading.Air, AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}
				if ask.Number, err = coat.Value(1); err != nil {
					return err
				}
				if ask.WallTemp, err = wallTemp.Value(units); err != nil {
					return err
				}
				if u, err := speed.Value(units); err != nil {
					return err
				} else if u != nil {
					ask.AirSpeed = *u
				}
				fin, err := finish.Value()
				if err != nil {
					return err
				}
				if ask.Finish, err = material.FinishNamed(orWord(fin, material.UsualFinish)); err != nil {
					return err
				}
				back, err := background.Value()
				if err != nil {
					return err
				}
				prim, err := primer.Value()
				if err != nil {
					return err
				}
				on, err := material.BackgroundNamed(orWord(back, material.UsualBackground), material.Primer(prim))
				if err != nil {
					return err
				}
				if prim != "" && !on.Primed {
					return usage("--primer", "a primed background", "--primer goes with a primed background, and %s has none; leave it out", on.Name)
				}
				if ask.Damped, ask.Green = *damped, *green; ask.Damped {
					if err := on.CheckDamp(); err != nil {
						return badFlag("--damped", err)
					}
				}
				var suction drying.Suction
				if suction.Drops, err = drops.List(units); err != nil {
					return err
				}
				if text, err := tube.Value(); err != nil {
					return err
				} else if text != "" {
					t, err := job.ParseTube(text)
					if err != nil {
						return badFlag("--tube", err)
					}
					suction.Tubes = []drying.Tube{{Millilitres: t.Millilitres, Seconds: t.After.Seconds()}}
				}
				ask.Measured = suction.Measured()
				learned, err := timing.Value()
				if err != nil {
					return err
				}
				var unused message.Text
				if ask.Timing, unused, err = intake.Timing(learned, []drying.Coat{{Finish: ask.Finish}}); err != nil {
					return err
				} else if unused != nil {
					return usage("--timing", "a timing of "+ask.Finish.Name, "--timing: %s is of another finish than %s; leave it out", learned, ask.Finish.Name)
				}
				if ask.Spots, err = suction.Spots(on, float64(ask.Air.Temperature()), float64(ask.Air.RelativeHumidity())); err != nil {
					return err
				}
				if ask.Thicknesses, err = thicknesses(thick, spread, ask.Finish, ask.Number, units); err != nil {
					return err
				}
				rungs, err := drying.Ladder(ask)
				if err != nil {
					return err
				}
				for _, g := range rungs {
					if err := frozen(g, units); err != nil {
						return err
					}
				}
				tell, told := inv.progress("Working out how sure the times are")
				err = ask.Band(rungs, drying.Bands{Members: inv.Members, Seed: uint64(*seed), Tell: tell})
				told()
				if err != nil {
					return err
				}
				a := answerThickness(ask, reading, rungs, prim)
				if err := inv.Answer(a, func() string { return thicknessText(a, ask, rungs, units) }); err != nil {
					return err
				}
				return files.write(ctx, inv, []func(io.Writer) error{func(w io.Writer) error { return writeThickness(w, a, ask, rungs, units) }})
			}
		},
	}
}

func primerWords() []string {
	var w []string
	for _, p := range material.Primers() {
		w = append(w, string(p))
	}
	return w
}

func orWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// thicknesses are those asked for, or a ladder about the usual one.
func thicknesses(thick, spread *quantityFlag, f material.Finish, number int, u quantity.Units) ([]float64, error) {
	t, err := thick.List(u)
	if err != nil {
		return nil, err
	}
	s, err := spread.List(u)
	if err != nil {
		return nil, err
	}
	switch {
	case t != nil && s != nil:
		return nil, usage("--spread", "--thick or --spread", "--thick and --spread are both given; give one")
	case s != nil:
		for _, kg := range s {
			t = append(t, f.Thickness(kg))
		}
	case t == nil:
		usual := f.Coats[min(number, 3)-1].Value
		for _, share := range []float64{0.5, 0.75, 1, 1.25, 1.5} {
			t = append(t, usual*share)
		}
	}
	flag := "--thick"
	if s != nil {
		flag = "--spread"
	}
	for _, x := range t {
		if err := intake.CheckCoat(f, x, u); err != nil {
			return nil, badFlag(flag, err)
		}
	}
	return t, nil
}

func answerThickness(ask drying.LadderAsk, r *airReading, rungs []drying.Rung, primer string) thicknessAnswer {
	a := thicknessAnswer{Schema: "limeday.thickness/1", Finish: ask.Finish.Name, Background: ask.Spots[0].Name, Coat: ask.Number,
		Damped: ask.Damped, Green: ask.Green,
		Air: wire.NewAir(r.Air, nil), AirSpeed: ask.AirSpeed, WallTempC: float64(ask.Air.Temperature()), Rows: []thicknessRow{}}
	a.Air.Schema, a.Air.RHPct = "", r.RHPct
	for _, b := range ask.Spots {
		a.Absorption = append(a.Absorption, b.Layers[0].Absorption.Value)
	}
	if ask.Spots[0].Primed {
		a.Primer = orWord(primer, string(material.Fair))
	}
	if ask.WallTemp != nil {
		a.WallTempC = *ask.WallTemp
	}
	if t := ask.Timing; t != nil {
		a.Timing = &wire.Timing{Finish: t.Finish, Boards: t.Boards}
	}
	for _, g := range rungs {
		row := thicknessRow{millimetres(g.Thickness), g.Spread, minutes(g.Edge), minutes(g.Opens), minutes(g.Burnish),
			minutes(g.Closes), minutes(g.Dry), g.Evaporation * 3.6e6, minutes(g.Next), nil, nil, append([]drying.Code{}, g.Warnings...),
			minutes(g.Soonest.Edge), minutes(g.Slowest.Edge), minutes(g.Soonest.Opens), minutes(g.Slowest.Opens),
			minutes(g.Soonest.Burnish), minutes(g.Slowest.Burnish), minutes(g.Soonest.Closes), minutes(g.Slowest.Closes),
			minutes(g.Soonest.Dry), minutes(g.Slowest.Dry), minutes(g.NextSoonest), minutes(g.NextSlowest),
			g.Soonest.Evaporation * 3.6e6, g.Slowest.Evaporation * 3.6e6}
		if g.WaitHigh > 0 {
			row.WaitDays = &[2]float64{g.WaitLow / 86400, g.WaitHigh / 86400}
		}
		if g.Front > 0 {
			f := g.Front * 1000 * 86400
			row.FrontMmDay = &f
		}
		a.Rows = append(a.Rows, row)
	}
	return a
}

// millimetres of m metres, to the nanometre: 0.12 and not 0.12000000000000001.
func millimetres(m float64) float64 { return math.Round(m*1e9) / 1e6 }

// minutes of s seconds, nil where s is +Inf.
func minutes(s float64) *float64 {
	if math.IsInf(s, 1) {
		return nil
	}
	m := s / 60
	return &m
}

func thicknessText(a thicknessAnswer, ask drying.LadderAsk, rungs []drying.Rung, u quantity.Units) string {
	var b strings.Builder
	on, air := thicknessHead(a, u)
	b.WriteString(wrap("", on) + wrap("", air))
	if t := ask.Timing; t != nil {
		b.WriteString(wrap("", fmt.Sprintf("By your own timing, from %s.", plural(t.Boards, "board"))))
	}
	const row = "%9s %13s%1s %10s %10s %10s %10s %10s\n"
	fmt.Fprintf(&b, "\n"+row, "thickness", "spread", "", "edge good", "opens", "burnish", "gone by", "next coat")
	fmt.Fprintf(&b, row, "", "", "", "until", "", "from", "", "from")
	p := view.Printer{Units: u}
	for _, g := range rungs {
		mark := ""
		if slices.Contains(g.Warnings, drying.CodeTooThick) {
			mark = "!"
		}
		finely := g.Closes-g.Burnish < 600 // rounded apart to five minutes, the window would seem to be none
		fmt.Fprintf(&b, row,
			p.Quantity(message.Thick(g.Thickness)), p.Quantity(message.Quantity{Kind: message.Spread, Value: g.Spread}), mark,
			view.AfterLaying(g.Edge, message.Ends, finely), view.AfterLaying(g.Opens, message.Begins, finely), view.AfterLaying(g.Burnish, message.Begins, finely), view.AfterLaying(g.Closes, message.Ends, finely),
			view.AfterLaying(g.Next, message.Begins, finely))
		fmt.Fprintf(&b, row, "", "8 in 10", "", view.Narrow(g.Soonest.Edge, g.Slowest.Edge), view.Narrow(g.Soonest.Opens, g.Slowest.Opens),
			view.Narrow(g.Soonest.Burnish, g.Slowest.Burnish), view.Narrow(g.Soonest.Closes, g.Slowest.Closes), view.Narrow(g.NextSoonest, g.NextSlowest))
	}
	b.WriteString("\nAfter laying. Only a last coat is closed: compress from opens to gone by.\n")
	for _, n := range drying.CoatNotes(ask.Finish, rungs...) {
		lead := ""
		if n.Code == drying.CodeTooThick {
			lead = "! " // as in its row
		}
		b.WriteString(wrap(lead, keeping(u).Text(n.Says())))
	}
	b.WriteString(waitsText(rungs, ask, u))
	b.WriteString("\nThe sign rules over the clock:\n")
	b.WriteString(text.Signs(view.Signs(drying.EventEdge, drying.EventOpens, drying.EventBurnish, drying.EventCloses, drying.EventNext), true))
	b.WriteString("\n" + wrap("", "Not known: "+drying.Unknowns()+"."))
	return b.String()
}

// thicknessHead says what is laid on what, and in what air.
func thicknessHead(a thicknessAnswer, u quantity.Units) (laid, air string) {
	on := a.Background
	if a.Primer != "" {
		on += ", " + a.Primer + " primer"
	}
	if a.Damped {
		on = "damped " + on
	}
	return a.Finish + " on " + drying.Over(a.Coat, on), keeping(u).Text(message.Say("Air {}, {} relative humidity, moving at {}; wall {} at the start.",
		message.Celsius(a.Air.TempC), message.RH(a.Air.RHPct/100), message.MetresASecond(a.AirSpeed), message.Celsius(a.WallTempC)))
}

// waitsText says what else a thick coat waits for, and how fast it dries; empty for thin coats.
func waitsText(rungs []drying.Rung, ask drying.LadderAsk, u quantity.Units) string {
	p := keeping(u)
	var lines []string
	for _, g := range rungs {
		if g.WaitHigh == 0 {
			continue
		}
		line := p.Text(message.Say("{}: {}", message.Thick(g.Thickness), message.Spells(g.WaitLow, g.WaitHigh)))
		if g.Front > 0 {
			line += fmt.Sprintf("; dries through at %s a day", p.Quantity(message.Thick(g.Front*86400)))
		}
		lines = append(lines, line)
	}
	if len(lines) == 0 {
		return ""
	}
	w := ask.Finish.Waits
	s := "\n" + wrap("", fmt.Sprintf("Dry is not all: before the next coat %s is left to harden and shrink, by custom, and published advice varies (%s):",
		ask.Finish.Name, w.Least.Source))
	for _, l := range lines {
		s += wrap("  ", l)
	}
	return s
}

// frozen refuses a coat whose face freezes.
func frozen(r drying.Rung, u quantity.Units) error {
	var e *drying.FrozenError
	if !errors.As(r.Frozen(), &e) {
		return nil
	}
	return &Error{Exit: ExitNotValid, Where: "--temp", Expected: "air and wall that keep the wet face above freezing", Message: view.Printer{Units: u}.Text(e.Says()), Err: e}
}
