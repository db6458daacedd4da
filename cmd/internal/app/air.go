package app

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/cmd/internal/wire"
	"limeday/drying"
	"limeday/drying/message"
)

func airCommand() *command {
	return &command{
		name:    "air",
		summary: "the air from one reading, and the wall above its dew point",
		examples: []example{
			{"limeday air --temp 14C --rh 72 --wall-temp 11C", "is this wall warm enough for this air?"},
			{"limeday air --temp 57F --rh 72 --altitude 5280ft --units us", "a mile up, in US units"},
			{"limeday air --temp 14 --rh 72 --json", "every figure, for a program"},
		},
		notes: `
Humidity is over liquid water at every temperature, as weather services give it.
Without --pressure or --altitude the air is taken at sea level, 1013.25 hPa.`,
		setup: func(fs *pflag.FlagSet) runner {
			air := addAirFlags(fs)
			wall := addQuantity(fs, "wall-temp", "11C", quantity.Temperature, quantity.AirTemperatures, "temperature of the wall's face")
			return func(_ context.Context, inv *invocation) error {
				units := inv.Units()
				reading, err := air.Reading(units)
				if err != nil {
					return err
				}
				face, err := wall.Value(units)
				if err != nil {
					return err
				}
				if reading == nil {
					return usage("--temp", "--temp and --rh", "air needs a reading of the air: give --temp and --rh, such as --temp 14C --rh 72")
				}
				a := wire.NewAir(reading.Air, face)
				a.RHPct = reading.RHPct
				return inv.Answer(a, func() string { return airText(a, reading, units) })
			}
		},
	}
}

func airText(a wire.Air, r *airReading, u quantity.Units) string {
	p := view.Printer{Units: u}
	temp := func(c float64) string { return p.Quantity(message.Celsius(c)) }
	vapour := func(pa float64) string { return fmt.Sprintf("%.0f Pa", pa) }
	water := fmt.Sprintf("%.1f g/m3", a.AbsoluteHumidity)
	perDryAir := fmt.Sprintf("%.1f g in each kg of dry air", 1000*a.HumidityRatio)
	if u == quantity.US {
		vapour = func(pa float64) string { return quantity.Format(quantity.Pressure, pa, u, 3) }
		const grainsPerLb = 7000 // exact: the grain is 1/7000 of the international pound
		water = fmt.Sprintf("%.0f gr/lb", grainsPerLb*a.HumidityRatio)
		perDryAir = "grains in each pound of dry air"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Air at %s and %s relative humidity, pressure %s\n(%s).\n\n",
		temp(a.TempC), p.Quantity(message.RH(a.RHPct/100)), p.Quantity(message.Quantity{Kind: message.Pressure, Value: a.PressurePa}), r.PressureFrom)
	row := func(name, value, says string) { fmt.Fprintf(&b, "  %-17s %10s   %s\n", name, value, says) }
	if a.FrostPointC == nil {
		row("Dew point", temp(a.DewPointC), "a face at or below it sweats")
	} else {
		row("Dew point", temp(a.DewPointC), "over liquid water, as services give it")
		row("Frost point", temp(*a.FrostPointC), "a face at or below it grows frost")
	}
	row("Wet bulb", temp(a.WetBulbC), "a wet face in the shade cools to about this")
	row("Drying pull", vapour(a.VPDPa), "vapour-pressure deficit: at none, nothing dries")
	row("Water in the air", water, perDryAir)
	if a.Wall == nil {
		fmt.Fprintf(&b, "\nA wall under %s is less than 3 K above the dew point, the margin that\n", temp(a.DewPointC+drying.DewCare))
		b.WriteString("ISO 8502-4, a coatings standard, asks for. Measure the face: --wall-temp.\n")
		return b.String()
	}
	margin := a.Wall.AboveDewPointK
	above := p.Quantity(message.Kelvins(margin)) + " above the dew point"
	if margin < 0 {
		above = p.Quantity(message.Kelvins(-margin)) + " below the dew point"
	}
	row("Wall", temp(a.Wall.TempC), above)
	b.WriteString("\n" + wrap("", faceSays(drying.StateOfFace(a.Wall.TempC, r.Air))))
	b.WriteString("A wall damped down on purpose is not judged by this. The material's data sheet\ncomes first.\n")
	return b.String()
}

func trimPercent(pct float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", pct), ".0") + " %"
}

// faceSays is what the wall's temperature means for laying, in the words of the verdict.
func faceSays(s drying.FaceState) string {
	switch s {
	case drying.FaceHoar:
		return "No-go: frost is growing on this wall."
	case drying.FaceFreezes:
		return "No-go: the wall is below freezing."
	case drying.FaceDew:
		return "No-go on a sealed primer: dew is forming on this wall."
	case drying.FaceAtDew:
		return "No-go on a sealed primer: less than 1 K above the dew point (common practice)."
	case drying.FaceNearDew:
		return "Go with care: less than the 3 K that ISO 8502-4, a coatings standard, asks for."
	}
	return "Dry enough at the face: at least the 3 K that ISO 8502-4, a coatings standard, asks for. This says nothing of suction, or of warmth enough for lime."
}
