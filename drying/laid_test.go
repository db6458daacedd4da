package drying_test

import (
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// TestLaidOutdoors: a wall laid the day before is followed through the weather since: what is due on it changes with
// that weather and with the side it is on; one laid before the weather is known says so.
func TestLaidOutdoors(t *testing.T) {
	render, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	due := func(bearing float64, on time.Time, frost bool) (map[drying.CareCode]drying.Aftercare, drying.Answer) {
		j := wallOutside(t, 180)
		j.Background = background(t, "brick", "")
		j.Laid = []drying.Laid{{Name: "yard", Finish: render, On: on,
			Outdoors: &drying.Outdoors{Name: "yard", Bearing: bearing, Shelter: 0.5}}}
		a := ask(t, j, spell(april, 6, func(h int, r *weather.Record) {
			if frost && h >= 46 && h < 54 {
				r.Temperature.V, r.Cloud.V, r.Wind.V = -4, 0, 0.5
				r.Vapour.V = 0.8 * float64(psychro.SaturationWater(-4))
			}
			if h >= 60 && h < 63 {
				r.Rain.V, r.Wind.V, r.WindFrom.V = 3, 6, 0
			}
		}))
		m := map[drying.CareCode]drying.Aftercare{}
		for _, c := range a.Care {
			if c.Wall == "yard" {
				m[c.Code] = c
			}
		}
		return m, a
	}
	clear, _ := due(0, april, false)
	frost, _ := due(0, april, true)
	lee, _ := due(180, april, false)
	t.Logf("north: cover by %s; before frost by %s; south %s; no frost until %s", clear["cover-by"].From.Format("Mon 15:04"),
		frost["cover-by"].From.Format("Mon 15:04"), lee["cover-by"].From.Format("Mon 15:04"), clear["no-frost-until"].From.Format("2 Jan"))
	if !frost["cover-by"].From.Before(clear["cover-by"].From) && !clear["cover-by"].From.IsZero() || frost["cover-by"].From.IsZero() {
		t.Errorf("cover by %s before frost, %s without", frost["cover-by"].From, clear["cover-by"].From)
	}
	if got, want := frost["cover-by"].From, april.Add(45*time.Hour); got.Before(want) || got.After(want.Add(3*time.Hour)) {
		t.Errorf("cover by %s; the air freezes in the hour from %s", got, want)
	}
	if clear["no-frost-until"].From.IsZero() || clear["sheet-until"].From.IsZero() {
		t.Errorf("%+v", clear)
	}
	// Three days older, its waits end three days sooner, and that the weather of those days is not known is said.
	older, a := due(0, april.AddDate(0, 0, -3), false)
	if d := clear["no-frost-until"].From.Sub(older["no-frost-until"].From); d < 60*time.Hour || d > 84*time.Hour {
		t.Errorf("no frost until %s and %s, if three days older", clear["no-frost-until"].From, older["no-frost-until"].From)
	}
	said := false
	for _, n := range a.Known.Notes {
		said = said || len(n) > 0 && n[0].Words == "yard"
	}
	if !said {
		t.Errorf("notes %v", a.Known.Notes)
	}
	if tomorrow, _ := due(0, april.AddDate(0, 0, 2), false); tomorrow["no-frost-until"].From != (time.Time{}) {
		t.Error("care of a wall that is not laid yet")
	}
}
