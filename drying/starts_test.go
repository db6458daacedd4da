package drying_test

import (
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
)

// The best start of a day, and the first and the last that serve, are those of all the starts, though not all of them are tried.
func TestStartsLikeAll(t *testing.T) {
	morning := time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC)
	evening := time.Date(2026, 4, 13, 17, 30, 0, 0, time.UTC)
	some, seen := 0, map[drying.Verdict]bool{}
	for _, c := range []struct {
		at       time.Time
		temp, rh float64
	}{{morning, 16, 62}, {evening, 16, 62}, {morning, 11, 70}, {morning, 24, 36}, {morning, 13, 88}, {morning, 20, 50}} {
		j := room(t, material.Fair)
		best, all, err := drying.Starts(j, drying.Ask{At: c.at, Air: steady(t, c.at, c.at, c.temp, c.rh)})
		if err != nil {
			t.Fatal(err)
		}
		k := 0
		for i := range all {
			if all[i].Before(&all[k]) {
				k = i
			}
		}
		var earliest, latest time.Time
		for i := range all {
			if all[i].Serves(&all[k]) {
				if earliest.IsZero() {
					earliest = all[i].Start
				}
				latest = all[i].Start
			}
		}
		if latest.After(earliest) {
			some++
		}
		seen[best.Verdict] = true
		if !best.Start.Equal(all[k].Start) || best.Verdict != all[k].Verdict || !best.Earliest.Equal(earliest) || !best.Latest.Equal(latest) {
			t.Errorf("%+v: %s at %s, from %s to %s; of all starts %s at %s, from %s to %s", c, best.Verdict, best.Start, best.Earliest, best.Latest,
				all[k].Verdict, all[k].Start, earliest, latest)
		}
	}
	if some < 2 || len(seen) < 2 {
		t.Errorf("days with several starts %d, verdicts %v: this tests nothing", some, seen)
	}
}
