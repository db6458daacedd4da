package drying

import (
	"fmt"
	"time"

	"limeday/drying/material"
)

// Verdict is the answer in a word.
type Verdict string

// The verdicts.
const (
	Go   Verdict = "go"
	Care Verdict = "care"
	NoGo Verdict = "no-go"
)

// Severity says what a reason does to the verdict.
type Severity string

// The severities.
const (
	Stops Severity = "no-go"
	Warns Severity = "care"
	Notes Severity = "note"
)

// Reason is one reason for the verdict.
type Reason struct {
	Code     Code
	Severity Severity
	Text     string
	Value    float64
	Limit    float64
	Unit     string
}

// Code names the kind of a reason.
type Code string

// The codes.
const (
	CodeWallCold     Code = "wall-cold"
	CodeWallCools    Code = "wall-cools"
	CodeWallHot      Code = "wall-hot"
	CodeDewPoint     Code = "near-dew-point"
	CodeAirDry       Code = "air-dry"
	CodeDriesFast    Code = "dries-fast"
	CodeTooThick     Code = "too-thick"
	CodeThickForCoat Code = "thick-for-coat"
	CodeNeverOpens   Code = "never-opens"
	CodeNotToday     Code = "not-today"
	CodeWindowLate   Code = "window-after-hours"
	CodeWindowShort  Code = "window-short"
	CodeDayOver      Code = "day-over"
	CodeAirHeld      Code = "air-held"
	CodeSheetLimit   Code = "sheet-limit"
)

// Codes lists them, for the documentation and its test.
func Codes() []Code {
	return []Code{CodeWallCold, CodeWallCools, CodeWallHot, CodeDewPoint, CodeAirDry, CodeDriesFast, CodeTooThick, CodeThickForCoat,
		CodeNeverOpens, CodeNotToday, CodeWindowLate, CodeWindowShort, CodeDayOver, CodeAirHeld, CodeSheetLimit}
}

// The limits judged by; those of a finish are with its numbers in drying/material.
const (
	dewCare       = 3.0   // K; ISO 8502-4's margin, a coatings standard
	dewStop       = 1.0   // K, on a sealed face; common practice, no source
	dryAir        = 0.40  // relative humidity; common practice, no source
	fastCare      = 100.0 // g/(m2 h); judgement, no source: areal rate above which putty-rich films are at risk
	fastStop      = 200.0
	shortestBurn  = 5 * time.Minute  // below this no face of useful size can be burnished; judgement, no source
	shortBurnCare = 12 * time.Minute // common practice, no source: "gone in a quarter of an hour" is usual
)

func (a *Answer) add(r Reason) { a.Reasons = append(a.Reasons, r) }

// judge fills Reasons and Verdict; to is the end of the working hours.
func (a *Answer) judge(to time.Time) {
	a.judgeWall()
	a.judgeSheet()
	a.judgeCoats(to)
	if a.Known.Held {
		a.add(Reason{Code: CodeAirHeld, Severity: Notes,
			Text:  "The air after the last reading is taken to stay as it was; read again before the last coat.",
			Value: a.Known.Age.Hours(), Unit: "h"})
	}
	a.Verdict = Go
	for _, r := range a.Reasons {
		switch {
		case r.Severity == Stops:
			a.Verdict = NoGo
		case r.Severity == Warns && a.Verdict == Go:
			a.Verdict = Care
		}
	}
}

func (a *Answer) judgeWall() {
	f := strictest(a.Job.Coats)
	if lim := f.MinFace.Value; a.WallTemp < lim {
		a.add(Reason{CodeWallCold, Stops, "The wall is too cold for " + f.Name + ".", a.WallTemp, lim, "C"})
	}
	if lim := f.MaxFace.Value; a.WallTemp > lim {
		a.add(Reason{CodeWallHot, Stops, "The wall is too hot: the coat would dry before it is worked.", a.WallTemp, lim, "C"})
	}
	margin := a.WallTemp - float64(a.Now.DewPoint())
	switch {
	case margin < dewStop && a.Job.Background.Sealed:
		a.add(Reason{CodeDewPoint, Stops, "The wall is at its dew point and the face is sealed: water would stand on it.", margin, dewStop, "K"})
	case margin < dewCare:
		a.add(Reason{CodeDewPoint, Warns, "The wall is close to its dew point: warm the room or wait.", margin, dewCare, "K"})
	}
	if rh := float64(a.Now.RelativeHumidity()); rh < dryAir {
		a.add(Reason{CodeAirDry, Warns, "The air is dry: small sections, no draught, and watch for fine cracks.", rh * 100, dryAir * 100, "%"})
	}
}

// strictest is the finish with the highest least temperature.
func strictest(coats []Coat) material.Finish {
	f := coats[0].Finish
	for _, c := range coats {
		if c.Finish.MinFace.Value > f.MinFace.Value {
			f = c.Finish
		}
	}
	return f
}

// judgeSheet holds the day against the data sheet's own limits.
func (a *Answer) judgeSheet() {
	l := a.Job.Limits
	check := func(limit *float64, value, sign, scale float64, unit, what string) {
		if limit == nil || sign*(value-*limit) >= 0 {
			return
		}
		word := "below"
		if sign < 0 {
			word = "above"
		}
		a.add(Reason{CodeSheetLimit, Stops, fmt.Sprintf("The data sheet's limit is broken: %s is %s it.", what, word), value * scale, *limit * scale, unit})
	}
	air, rh := float64(a.Now.Temperature()), float64(a.Now.RelativeHumidity())
	check(l.MinWall, a.WallTemp, 1, 1, "C", "the wall")
	check(l.MaxWall, a.WallTemp, -1, 1, "C", "the wall")
	check(l.MinAir, air, 1, 1, "C", "the air")
	check(l.MaxAir, air, -1, 1, "C", "the air")
	check(l.MinRH, rh, 1, 100, "%", "the humidity")
	check(l.MaxRH, rh, -1, 100, "%", "the humidity")
	for i, c := range a.Job.Coats {
		check(l.MinThickness, c.Thickness, 1, 1000, "mm", fmt.Sprintf("coat %d", i+1))
		check(l.MaxThickness, c.Thickness, -1, 1000, "mm", fmt.Sprintf("coat %d", i+1))
	}
}

func (a *Answer) judgeCoats(to time.Time) {
	if !a.Start.Before(to) {
		a.add(Reason{Code: CodeDayOver, Severity: Stops, Text: "The working hours are over: ask again tomorrow."})
	}
	for i, c := range a.Job.Coats {
		if lim := c.Finish.Thickest.Value; c.Thickness > lim*(1+1e-9) {
			a.add(Reason{CodeTooThick, Stops, fmt.Sprintf("Coat %d is too thick: %s of this thickness cracks.", i+1, c.Finish.Name), c.Thickness * 1000, lim * 1000, "mm"})
		} else if u := c.Finish.Coats[coatKind(i, len(a.Job.Coats))]; c.Thickness > u.High*(1+1e-9) {
			a.add(Reason{CodeThickForCoat, Warns, fmt.Sprintf("Coat %d is thicker than usual in its place.", i+1), c.Thickness * 1000, u.High * 1000, "mm"})
		}
	}
	var coolest, fastest float64
	for i, p := range a.Coats {
		if i == 0 || p.Times.FaceMin < coolest {
			coolest = p.Times.FaceMin
		}
		fastest = max(fastest, p.Times.Evaporation*3.6e6)
	}
	if lim := strictest(a.Job.Coats).MinFace.Value; a.WallTemp >= lim && coolest < lim {
		a.add(Reason{CodeWallCools, Warns, "Drying cools the face below the finish's limit, though the wall starts above it.", coolest, lim, "C"})
	}
	switch {
	case fastest > fastStop:
		a.add(Reason{CodeDriesFast, Stops, "The coat dries too fast to be safe from cracks: still the air, shade it.", fastest, fastStop, "g/m2h"})
	case fastest > fastCare:
		a.add(Reason{CodeDriesFast, Warns, "The coat dries fast: still the air, work small sections.", fastest, fastCare, "g/m2h"})
	}
	last := a.Coats[len(a.Coats)-1]
	if !last.Last {
		text := fmt.Sprintf("Coat %d is not dry within the working hours: lay the rest another day.", last.Number)
		if last.Recoat.IsZero() {
			text = fmt.Sprintf("Coat %d does not dry within two days in this air.", last.Number)
		}
		a.add(Reason{Code: CodeNotToday, Severity: Stops, Text: text,
			Value: float64(len(a.Coats)), Limit: float64(len(a.Job.Coats)), Unit: "coats"})
		return
	}
	switch {
	case last.Opens.IsZero() || last.Burnish.IsZero():
		a.add(Reason{Code: CodeNeverOpens, Severity: Stops, Text: "The last coat never becomes ready to close in this air."})
		return
	case last.Burnish.After(to) || !last.Closes.IsZero() && last.Closes.After(to) && to.Sub(last.Burnish) < shortBurnCare:
		a.add(Reason{CodeWindowLate, Stops, "The last coat is ready to burnish only after the working hours.", last.Burnish.Sub(a.Start).Hours(), to.Sub(a.Start).Hours(), "h"})
		return
	}
	if last.Closes.IsZero() {
		return
	}
	switch span := last.Closes.Sub(last.Burnish); {
	case span < shortestBurn:
		a.add(Reason{CodeWindowShort, Stops, "The last coat is gone by before it can be burnished.", span.Minutes(), shortestBurn.Minutes(), "min"})
	case span < shortBurnCare:
		a.add(Reason{CodeWindowShort, Warns, "The last coat is gone by quickly: small sections, a second hand.", span.Minutes(), shortBurnCare.Minutes(), "min"})
	}
}

// coatKind is the place of coat i (from 0) of n among first, second and last.
func coatKind(i, n int) int {
	if i == n-1 && n > 1 {
		return 2
	}
	return min(i, 1)
}
