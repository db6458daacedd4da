package drying_test

import (
	"testing"
	"time"

	"limeday/drying"
)

// BenchmarkFiveDays is a bathroom of four coats on its third day, with two coats laid and one seen to be dry, and its bands.
func BenchmarkFiveDays(b *testing.B) {
	monday := time.Date(2026, 4, 13, 8, 0, 0, 0, time.UTC)
	at := monday.AddDate(0, 0, 2).Add(-90 * time.Minute)
	j := bathroom(b)
	seen := []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: monday}, {Coat: 2, What: drying.SeenLaid, At: monday.AddDate(0, 0, 1)}, {Coat: 2, What: drying.SeenDry, At: monday.AddDate(0, 0, 1).Add(5 * time.Hour)}}
	ask := drying.Ask{At: at, Air: foretold(b, monday.AddDate(0, 0, -1), monday.AddDate(0, 0, 6), 16, 62)}
	for b.Loop() {
		if _, err := drying.Resume(j, ask, seen, drying.Bands{}); err != nil {
			b.Fatal(err)
		}
	}
}
