package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
	"limeday/drying/wall"
)

// BenchmarkRender is a 10 mm render on brick followed for 20 days of hourly weather.
func BenchmarkRender(b *testing.B) {
	s := setting(12, 0.75, 1)
	e := s.Air[0].Vapour
	s.Air = nil
	for h := range 20*24 + 1 {
		day := math.Sin(2 * math.Pi * float64(h-9) / 24)
		t := 12 + 5*day
		s.Air = append(s.Air, wall.Air{Time: float64(h) * 3600, Temperature: t, Vapour: e, Speed: 1 + 0.5*day, Radiant: t - 1})
	}
	f, _ := material.FinishNamed("nhl-render")
	base, err := Stand(background(b, "brick", ""), s, 0)
	if err != nil {
		b.Fatal(err)
	}
	if err := base.Lay(Coat{f, 10e-3}); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := base.Clone().Wait(20 * 86400); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkThreeCoats is three coats of polish on a primed board, each laid when the one before is dry.
func BenchmarkThreeCoats(b *testing.B) {
	f, _ := material.FinishNamed("polished-lime")
	base, err := Stand(background(b, "primed-board", ""), setting(15, 0.6, 0.1), 0)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		w := base.Clone()
		for _, x := range f.Coats {
			if err := w.Lay(Coat{f, x.Value}); err != nil {
				b.Fatal(err)
			}
			if _, err := w.Dry(2 * 86400); err != nil {
				b.Fatal(err)
			}
		}
	}
}
