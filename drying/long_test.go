package drying_test

import (
	"math"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// wholeYear is an invented year with warm and cold, wet and dry spells.
func wholeYear(days int) weather.Series {
	return spell(time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), days, func(h int, r *weather.Record) {
		d := float64(h) / 24
		season := -math.Cos(2 * math.Pi * (d - 20) / 365)
		wave := math.Sin(2*math.Pi*d/9.3) + 0.6*math.Sin(2*math.Pi*d/5.1)
		r.Temperature.V = 9 + 9*season + 3*wave + 4*math.Sin(2*math.Pi*(float64(h%24)-9)/24)
		r.Cloud.V = min(max(0.5-0.4*wave, 0), 1)
		full := float64(psychro.SaturationWater(psychro.Celsius(9 + 9*season + 3*wave - 3)))
		r.Vapour.V = min(full, 0.97*float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V))))
		if wave < -0.9 && h%24 > 10 && h%24 < 16 {
			r.Rain.V, r.Wind.V = 2, 5
		}
	})
}

func BenchmarkLong(b *testing.B) {
	render, _ := material.FinishNamed("nhl-render")
	j := wallOutside(b, 180)
	j.Background = background(b, "brick", "")
	j.Coats = []drying.Coat{{Finish: render, Thickness: 10e-3}}
	s := wholeYear(130)
	from := time.Date(2025, 1, 15, 0, 0, 0, 0, time.UTC)
	for b.Loop() {
		t0 := time.Now()
		l, err := drying.NewLong(j, s, from, from.AddDate(0, 0, 100))
		if err != nil {
			b.Fatal(err)
		}
		t1 := time.Now()
		n := 0
		verdicts := map[drying.Verdict]int{}
		for d := range 90 {
			for _, h := range []int{8, 11, 14} {
				start := from.AddDate(0, 0, d).Add(time.Duration(h) * time.Hour)
				a, err := l.Try(start, from.AddDate(0, 0, d).Add(18*time.Hour))
				if err != nil {
					b.Fatal(err)
				}
				verdicts[a.Verdict]++
				n++
			}
		}
		b.Logf("new %s, %d lays in %s: %s each, %v", t1.Sub(t0), n, time.Since(t1), time.Since(t1)/time.Duration(n), verdicts)
	}
}
