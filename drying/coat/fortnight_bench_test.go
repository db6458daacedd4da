package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// BenchmarkFortnight is one thin coat on old plaster and brick outdoors, followed for 14 days of hourly weather:
// every hour is a kink that ends a step, and rain on the third day soaks the face. Asked: 40 ms on one core.
func BenchmarkFortnight(b *testing.B) {
	s := setting(12, 0.75, 1)
	s.Air = nil
	e := 0.75 * float64(psychro.SaturationWater(12))
	for h := range 14*24 + 1 {
		day := math.Sin(2 * math.Pi * float64(h-9) / 24)
		t := 12 + 5*day
		a := wall.Air{Time: float64(h) * 3600, Temperature: t, Vapour: e, Speed: 0.75 + 0.4*day, Radiant: t - 6,
			Sun: 600 * max(0, math.Sin(2*math.Pi*float64(h-6)/24))}
		if h >= 58 && h < 62 {
			a.Vapour, a.Sun, a.Rain, a.Radiant = 0.95*float64(psychro.SaturationWater(psychro.Celsius(t))), 0, 0.6/3600, t-1
		}
		s.Air = append(s.Air, a)
	}
	s.Face.Convection = func(a wall.Air) float64 { return 4 + 4*a.Speed }
	s.Face.Absorptance, s.Face.WetAbsorptance = 0.3, 0.5
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		b.Fatal(err)
	}
	base, err := Stand(background(b, "old-lime", ""), s, 0)
	if err != nil {
		b.Fatal(err)
	}
	if base.problem.Thermal != wall.Conducting {
		b.Fatal("heat is not conducted")
	}
	if err := base.Lay(Coat{f, 0.2e-3}); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := base.Clone().Wait(14 * 86400); err != nil {
			b.Fatal(err)
		}
	}
}
