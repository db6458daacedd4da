//go:build study

package season_test

import (
	"testing"
	"time"

	"limeday/drying/season"
)

// BenchmarkTenYears is ten years of four walls, three starts a day, nothing kept: a minute or more.
func BenchmarkTenYears(b *testing.B) {
	ask := season.Ask{Starts: []time.Duration{8 * time.Hour, 11 * time.Hour, 14 * time.Hour},
		Weather: season.Weather{Series: invented(day(2010, 12, 20), 3653+100, north)}}
	for _, bearing := range []float64{0, 90, 180, 270} {
		ask.Walls = append(ask.Walls, job(b, 52, bearing))
	}
	for y := 2011; y <= 2020; y++ {
		ask.Weather.Years = append(ask.Weather.Years, season.Year{Label: y, From: day(y, 1, 1), To: day(y+1, 1, 1)})
	}
	for b.Loop() {
		work(b, ask)
	}
}
