package app

import (
	"context"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/material"
)

type thicknessAnswer struct {
	Schema     string         `json:"schema"`
	Finish     string         `json:"finish"`
	Background string         `json:"background"`
	Primer     string         `json:"primer,omitempty"`
	Coat       int            `json:"coat"`
	Air        airAnswer      `json:"air"`
	AirSpeed   float64        `json:"air_speed_m_per_s"`
	WallTempC  float64        `json:"wall_temp_c"`
	Rows       []thicknessRow `json:"rows"`
}

// thicknessRow has minutes after laying, null where not reached within 45 days.
type thicknessRow struct {
	ThicknessMm float64  `json:"thickness_mm"`
	Spread      float64  `json:"spread_kg_per_m2"`
	Edge        *float64 `json:"edge_min"`
	Opens       *float64 `json:"opens_min"`
	Burnish     *float64 `json:"burnish_min"`
	Closes      *float64 `json:"closes_min"`
	Recoat      *float64 `json:"recoat_min"`
	Evaporation float64  `json:"evaporation_g_per_m2_h"`
	Cracks      bool     `json:"too_thick"`
}

func thicknessCommand() *command {
	return &command{
		name:    "thickness",
		summary: "the times of a coat for a ladder of film thicknesses",
		examples: []example{
			{"limeday thickness --temp 20C --rh 50", "the usual first coat of polished lime, thinner and thicker"},
			{"limeday thickness --temp 20C --rh 50 --coat 3 --thick 0.05mm,0.08mm", "over two dry coats"},
			{"limeday thickness --temp 68F --rh 50 --thick 4mil,8mil --primer tight --units us", "in US units"},
		},
		notes: `
The air stays as given. Times are minutes after laying; the sign on the wall
rules over the clock. --coat 3 lies on two coats of the usual thickness, each
laid as soon as the one before allowed it.`,
		setup: func(fs *pflag.FlagSet) runner {
			air := addAirFlags(fs)
			wallTemp := addQuantity(fs, "wall-temp", "11C", quantity.Temperature, quantity.AirTemperatures, "temperature of the wall's face; else that of the air")
			speed := addQuantity(fs, "air-speed", "0.2m/s", quantity.Speed, quantity.AirSpeeds, "speed of the air along the wall; else 0.1 m/s")
			finish := addWord(fs, "finish", "NAME", "finish", material.Finishes(), "what is laid; else polished-lime")
			background := addWord(fs, "background", "NAME", "background", material.Backgrounds(), "what it is laid on; else primed-board")
			primer := addWord(fs, "primer", "tight|fair|thirsty", "primer", primerWords(), "how the primer of a primed board drinks; else fair")
			number := fs.Int("coat", 1, "which coat it is: 1 on the background, 2 and 3 on dry coats")
			thick := addQuantity(fs, "thick", "0.1mm,8mil", quantity.Thickness, quantity.CoatThicknesses, "wet thicknesses, separated by commas")
			spread := addQuantity(fs, "spread", "0.3kg/m2", quantity.Spread, quantity.Spreads, "wet spreads in place of thicknesses")
			return func(ctx context.Context, inv *invocation) error {
				units := inv.Units(quantity.Metric)
				reading, err := air.Reading(units)
				if err != nil {
					return err
				}
				if reading == nil {
					return usage("--temp", "--temp and --rh", "thickness needs a reading of the air: give --temp and --rh, such as --temp 20C --rh 50")
				}
				ask := drying.LadderAsk{Air: reading.Air, Number: *number, AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}
				if *number < 1 || *number > 6 {
					return usage("--coat", "1 to 6", "--coat: %d cannot be the number of a coat; give 1 to 6", *number)
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
				if ask.Finish, err = material.FinishNamed(orWord(fin, "polished-lime")); err != nil {
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
				if ask.Background, err = material.BackgroundNamed(orWord(back, "primed-board"), material.Primer(prim)); err != nil {
					return err
				}
				if prim != "" && !ask.Background.Primed {
					return usage("--primer", "a primed background", "--primer goes with a primed background, and %s has none; leave it out", ask.Background.Name)
				}
				if ask.Thicknesses, err = thicknesses(thick, spread, ask.Finish, *number, units); err != nil {
					return err
				}
				rungs, err := drying.Ladder(ask)
				if err != nil {
					return err
				}
				a := answerThickness(ask, reading, rungs, prim)
				return inv.Answer(a, func() string { return thicknessText(a, ask, rungs, units) })
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
	for _, x := range t {
		if limit := 20 * f.Thickest.Value; x > limit || x > 0.06 {
			return nil, usage("--thick", "at most "+quantity.Format(quantity.Thickness, min(limit, 0.06), u, 1),
				"--thick: %s of %s is no coat; did you mean another unit, or another finish?", quantity.Format(quantity.Thickness, x, u, 1), f.Name)
		}
	}
	return t, nil
}

func answerThickness(ask drying.LadderAsk, r *airReading, rungs []drying.Rung, primer string) thicknessAnswer {
	a := thicknessAnswer{Schema: "limeday.thickness/1", Finish: ask.Finish.Name, Background: ask.Background.Name, Coat: ask.Number,
		Air: answerAir(r.Air, nil), AirSpeed: ask.AirSpeed, WallTempC: float64(ask.Air.Temperature()), Rows: []thicknessRow{}}
	a.Air.Schema, a.Air.RHPct = "", r.RHPct
	if ask.Background.Primed {
		a.Primer = orWord(primer, string(material.Fair))
	}
	if ask.WallTemp != nil {
		a.WallTempC = *ask.WallTemp
	}
	for _, g := range rungs {
		a.Rows = append(a.Rows, thicknessRow{g.Thickness * 1000, g.Spread, minutes(g.Edge), minutes(g.Opens), minutes(g.Burnish),
			minutes(g.Closes), minutes(g.Dry), g.Evaporation * 3.6e6, g.Cracks})
	}
	return a
}

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
	on := a.Background
	if a.Primer != "" {
		on += ", " + a.Primer + " primer"
	}
	if a.Coat > 1 {
		on = fmt.Sprintf("%d dry coat%s on %s", a.Coat-1, map[bool]string{true: "s"}[a.Coat > 2], on)
	}
	fmt.Fprintf(&b, "%s on %s\n", a.Finish, on)
	fmt.Fprintf(&b, "Air %s, %s relative humidity, moving at %s; wall %s at the start.\n\n",
		quantity.Format(quantity.Temperature, a.Air.TempC, u, 1), trimPercent(a.Air.RHPct),
		quantity.Format(quantity.Speed, a.AirSpeed, u, 1), quantity.Format(quantity.Temperature, a.WallTempC, u, 1))
	fmt.Fprintf(&b, "%9s %13s  %9s %8s %8s %8s %8s\n", "thickness", "spread", "edge good", "opens", "burnish", "gone by", "next coat")
	fmt.Fprintf(&b, "%9s %13s  %9s %8s %8s %8s %8s\n", "", "", "until", "", "from", "", "from")
	cracks := false
	for _, g := range rungs {
		mark := " "
		if g.Cracks {
			mark, cracks = "!", true
		}
		fmt.Fprintf(&b, "%9s %13s%s %9s %8s %8s %8s %8s\n",
			quantity.Format(quantity.Thickness, g.Thickness, u, map[quantity.Units]int{quantity.Metric: 3, quantity.US: 1}[u]),
			quantity.Format(quantity.Spread, g.Spread, u, 3), mark,
			after(g.Edge, down), after(g.Opens, up), after(g.Burnish, up), after(g.Closes, down), after(g.Dry, up))
	}
	b.WriteString("\nAfter laying. Only a last coat is closed: compress from opens to gone by.\n")
	if cracks {
		fmt.Fprintf(&b, "! Thicker than %s: %s this thick cracks, whatever the air. Lay two coats.\n",
			quantity.Format(quantity.Thickness, ask.Finish.Thickest.Value, u, 2), a.Finish)
	}
	b.WriteString("\nThe sign rules over the clock:\n")
	writeSigns(&b, []drying.Event{drying.EventOpens, drying.EventBurnish, drying.EventCloses, drying.EventNext})
	b.WriteString("\n" + wrap("", "Not known: "+drying.Unknowns()+".", 79))
	return b.String()
}

func writeSigns(b *strings.Builder, events []drying.Event) {
	for _, e := range events {
		fmt.Fprintf(b, "  %-14s  %s\n", e, e.Sign())
	}
}

// up and down round the way that is safe.
func up(x float64) float64   { return math.Ceil(x - 1e-6) }
func down(x float64) float64 { return math.Floor(x + 1e-6) }

// after writes a time of s seconds after laying as coarsely as it is known.
func after(s float64, round func(float64) float64) string {
	switch m := s / 60; {
	case math.IsInf(s, 1):
		return "never"
	case m < 1:
		return "at once"
	case m < 30:
		return fmt.Sprintf("%.0f min", round(m))
	case m < 120:
		return fmt.Sprintf("%.0f min", 5*round(m/5))
	case m < 48*60:
		return fmt.Sprintf("%.1f h", round(m/6)/10)
	default:
		return fmt.Sprintf("%.1f d", round(m/144)/10)
	}
}
