package drying

import (
	"fmt"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// FrostRisk says what is known of frost on the fresh wall.
type FrostRisk string

// The risks. Indoors frost is not judged.
const (
	FrostNotJudged FrostRisk = "not-judged"
	FrostNone      FrostRisk = "none-in-forecast"
	FrostPossible  FrostRisk = "possible" // the face freezes while wet enough for the most sensitive of lime
	FrostLikely    FrostRisk = "likely"   // while wetter than the usual critical saturation
)

// FrostRisks lists them.
func FrostRisks() []FrostRisk {
	return []FrostRisk{FrostNotJudged, FrostNone, FrostPossible, FrostLikely}
}

// Exterior is what the weather does to a wall outdoors after the last coat, as far as the forecast goes.
type Exterior struct {
	Horizon    time.Time // where the forecast ends: of frost and rain after it nothing is known
	Frost      FrostRisk
	FirstFrost time.Time    // zero for none
	FaceMin    float64      // lowest temperature of the face, C
	FrostFree  [2]time.Time // the wall wants no frost until somewhere between these (published advice varies)
	FirstRain  time.Time    // first rain on the face while it is vulnerable; zero for none
	RainFree   time.Time    // until when rain harms it
	Dew        time.Time    // first dew on the face after the last coat; zero for none
	Wind       float64      // strongest on the wall while coats are worked, m/s
	SunFrom    time.Time    // the sun is on the wall between these on the day; zero for not at all
	SunTo      time.Time
	Radiation  string // how sun was known: given, split, from cloud
}

// Saturations of the face at which frost does harm: Fagerlund's critical degree of saturation for mortars, 0.85
// (0.75 to 0.91; MacInnis & Beaudoin 1968 for 0.90, as abstracted; for lime nothing was found: ESTIMATE).
const (
	frostLikely   = 0.85
	frostPossible = 0.75
)

// Wind on thin coats, m/s (common practice, no source), and what counts as rain on the face and as sun on it.
const (
	windCare  = 5.0
	windStop  = 8.0
	someRain  = 0.02 / 3600 // kg/(m2 s): a fiftieth of a millimetre an hour
	sunOnWall = 120.0       // W/m2, the WMO's threshold of sunshine for the direct beam, here on the wall
)

// rainFree is how long unsheltered rain harms a finish, h (common practice, no source): hydraulic lime 48, putty 72.
func rainFree(f material.Finish) time.Duration {
	if f.Name == "nhl-render" {
		return 48 * time.Hour
	}
	return 72 * time.Hour
}

// frostFree is the range of days a finish is to be kept from frost (ESTIMATE from guidance; published advice
// varies tenfold): hydraulic 14 to 45, putty 60 to 120.
func frostFree(f material.Finish) (low, high int) {
	if f.Name == "nhl-render" {
		return 14, 45
	}
	return 60, 120
}

// outdoors takes the wall from its last coat to the end of the forecast and judges what the weather does to it.
func (a *Answer) outdoors(d *day, r run, air []wall.Air, to time.Time) error {
	w := r.walls[0]
	x := &Exterior{Horizon: d.moment(air[len(air)-1].Time), Frost: FrostNone, FaceMin: a.WallTemp, Radiation: d.facts.Radiation.String()}
	a.Exterior = x
	var after []coat.Sample
	w.Record(&after)
	if left := air[len(air)-1].Time - w.Time(); left > 0 && len(a.Coats) > 0 {
		if _, err := w.Wait(left); err != nil {
			return err
		}
	}
	w.Record(nil)
	samples := append(slices.Clone(r.samples), after...)
	a.Trace = d.trace(samples)
	last := a.Job.Coats[len(a.Job.Coats)-1].Finish
	laid, done := a.Start, a.Start
	if n := len(a.Coats); n > 0 {
		done = a.Coats[n-1].Lay
		if c := a.Coats[n-1].Closes; !c.IsZero() {
			done = c
		}
	}
	x.RainFree = done.Add(rainFree(last))
	low, high := frostFree(last)
	x.FrostFree = [2]time.Time{done.AddDate(0, 0, low), done.AddDate(0, 0, high)}
	for _, s := range samples {
		at := d.moment(s.Time)
		x.FaceMin = min(x.FaceMin, s.Face)
		if s.Face <= FreezesAt && s.Full >= frostPossible && x.Frost != FrostLikely {
			if x.Frost == FrostNone {
				x.FirstFrost = at
			}
			x.Frost = FrostPossible
			if s.Full >= frostLikely {
				x.Frost, x.FirstFrost = FrostLikely, at
			}
		}
		if dew, err := psychro.DewPoint(psychro.Pascal(s.Vapour)); err == nil && at.After(done) && x.Dew.IsZero() && s.Face < float64(dew) {
			x.Dew = at
		}
	}
	for _, p := range air {
		at := d.moment(p.Time)
		if p.Rain > someRain && !at.Before(laid) && !at.After(x.RainFree) && x.FirstRain.IsZero() {
			x.FirstRain = at
		}
		if !at.Before(laid) && !at.After(done.Add(time.Hour)) {
			x.Wind = max(x.Wind, p.Speed)
		}
		if y, m, day := at.Date(); p.Sun > sunOnWall {
			if ly, lm, ld := laid.Date(); y == ly && m == lm && day == ld {
				if x.SunFrom.IsZero() {
					x.SunFrom = at
				}
				x.SunTo = at
			}
		}
	}
	a.judgeExterior(done)
	return nil
}

func (a *Answer) judgeExterior(done time.Time) {
	x := a.Exterior
	clock := func(t time.Time) string { return t.Format("Mon 15:04") }
	switch x.Frost {
	case FrostLikely:
		a.add(Reason{CodeFrost, Stops, "Frost takes the fresh wall at " + clock(x.FirstFrost) + ": its face freezes while it is wet.", x.FaceMin, FreezesAt, "C"})
	case FrostPossible:
		a.add(Reason{CodeFrost, Warns, "The face may freeze at " + clock(x.FirstFrost) + " while still damp: sheet it, or wait.", x.FaceMin, FreezesAt, "C"})
	}
	if !x.FirstRain.IsZero() {
		a.add(Reason{Code: CodeRain, Severity: Stops, Text: fmt.Sprintf("Rain drives onto the wall at %s; it wants none until %s. Sheet it, or wait.", clock(x.FirstRain), clock(x.RainFree)),
			Value: x.FirstRain.Sub(a.Start).Hours(), Limit: x.RainFree.Sub(a.Start).Hours(), Unit: "h"})
	}
	switch {
	case x.Wind >= windStop:
		a.add(Reason{CodeWind, Stops, "The wind on the wall is too strong for a thin coat.", x.Wind, windStop, "m/s"})
	case x.Wind >= windCare:
		a.add(Reason{CodeWind, Warns, "The wind on the wall dries a thin coat fast: screen it.", x.Wind, windCare, "m/s"})
	}
	switch a.Job.Background.Name {
	case "painted", "gypsum-board", "primed-board":
		a.add(Reason{Code: CodeBackground, Severity: Stops, Text: "Outdoors lime wants a wall that breathes and stands water: gypsum board or film paint behind it does not."})
	}
	if !x.Dew.IsZero() {
		a.add(Reason{Code: CodeDew, Severity: Notes, Text: "Dew forms on the face at " + clock(x.Dew) + "."})
	}
	a.add(Reason{Code: CodeHorizon, Severity: Notes, Text: fmt.Sprintf("The forecast ends %s. Frost after that is not known; the wall wants none until %s to %s (published advice varies).",
		clock(x.Horizon), x.FrostFree[0].Format("2 Jan"), x.FrostFree[1].Format("2 Jan"))})
	a.sortReasons()
}
