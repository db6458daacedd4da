package drying_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// TestNext: the day after is no-go in a hard frost and found again once it is over; without a thaw none is found, and
// the search ends with the forecast; with one reading nothing is said of tomorrow.
func TestNext(t *testing.T) {
	cold := func(until int) weather.Series {
		return spell(april, 7, func(h int, r *weather.Record) {
			if h < until {
				r.Temperature.V = -8
				r.Vapour.V = 0.7 * float64(psychro.SaturationWater(-8))
			}
		})
	}
	j := wallOutside(t, 180)
	render, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	j.Background, j.Damped = background(t, "brick", ""), true
	j.Coats = []drying.Coat{{Finish: render, Thickness: 8e-3}}
	thaw := april.Add(72 * time.Hour)
	next, err := drying.Next(j, drying.Ask{At: seven, Air: cold(72)})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("frost to %s: %s, %s", thaw.Format("Mon 15:04"), next.Start.Format("Mon 15:04"), next.Verdict)
	if next.Start.Before(thaw) || next.Verdict == drying.NoGo || next.Verdict == "" {
		t.Errorf("%+v", next)
	}
	that := cold(72)
	that.Issued = thaw
	later, err := drying.Check(j, drying.Ask{At: thaw, Air: that})
	if err == nil && later.Verdict == drying.NoGo {
		t.Errorf("the day named is a no-go itself: %+v", later.Reasons)
	} else if err != nil {
		t.Error(err)
	}
	never, err := drying.Next(j, drying.Ask{At: seven, Air: cold(1000)})
	last := april.AddDate(0, 0, 6)
	if err != nil || !never.Start.IsZero() || never.Searched.Day() != last.Day() {
		t.Errorf("no thaw: %+v, %v; want none to %s", never, err, last)
	}
	one := weather.Series{Records: cold(0).Records[31:32]}
	if n, err := drying.Next(j, drying.Ask{At: seven, Air: one}); err != nil || n != (drying.NextDay{}) {
		t.Errorf("one reading: %+v, %v", n, err)
	}
}

// TestWork: a day too cold serves for no coat; one that fails only for its last coat is no no-go, and that coat is another day's.
func TestWork(t *testing.T) {
	a := ask(t, wallOutside(t, 180), spell(april, 3, func(_ int, r *weather.Record) {
		r.Temperature.V, r.Vapour.V = -4, 0.8*float64(psychro.SaturationWater(-4))
	}))
	if w := strings.Join(a.Work(), "; "); a.Verdict != drying.NoGo || strings.Contains(w, "lay the") || w == "" {
		t.Errorf("%s: %q", a.Verdict, w)
	}
	j := wallOutside(t, 180)
	j.Coats[2].Thickness = 0.05e-3 // on old lime it is gone before the blade is fetched
	a = ask(t, j, spell(april, 6, func(_ int, r *weather.Record) { r.Temperature.V = 15 }))
	if a.Verdict == drying.NoGo || a.Work() != nil || len(a.Days) == 0 || !slices.Equal(a.Days[0].Coats, []int{1, 2}) || !slices.ContainsFunc(a.Reasons, func(r drying.Reason) bool {
		return r.Code == drying.CodeWindowShort && r.Severity == drying.Warns
	}) {
		t.Errorf("%s: %+v, %+v", a.Verdict, a.Days, a.Reasons)
	}
	if a := ask(t, wallOutside(t, 180), spell(april, 3, func(int, *weather.Record) {})); a.Verdict != drying.NoGo && a.Work() != nil {
		t.Errorf("%s: %q", a.Verdict, a.Work())
	}
}
