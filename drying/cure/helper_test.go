package cure_test

import (
	"fmt"
	"testing"

	"limeday/drying/cure"
	"limeday/drying/material"
)

const (
	hour = 3600.0
	day  = 86400.0
)

// mild is an hour in which nothing happens: 15 C, 65 %, the coat drained.
var mild = cure.Hour{Face: 15, Air: 15, RH: 0.65, Saturation: 0.65}

// rows is n hours from zero on, each mild but for what change does to it.
func rows(n int, change func(i int, h *cure.Hour)) []cure.Hour {
	out := make([]cure.Hour, n)
	for i := range out {
		out[i] = mild
		out[i].Time = float64(i) * hour
		if change != nil {
			change(i, &out[i])
		}
	}
	return out
}

// course is rows made a course, known to the end of its last hour.
func course(t testing.TB, n int, change func(i int, h *cure.Hour)) cure.Record {
	t.Helper()
	c, err := cure.NewRecord(rows(n, change), float64(n)*hour)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func finish(t testing.TB, name string) material.Finish {
	t.Helper()
	f, err := material.FinishNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// when writes a time for the sentences.
func when(s float64) string { return fmt.Sprintf("%gh", s/hour) }
