package drying

import (
	"fmt"
	"slices"
	"time"

	"limeday/drying/coat"
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

// Better reports whether v is a better verdict than w.
func (v Verdict) Better(w Verdict) bool {
	rank := []Verdict{NoGo, Care, Go}
	return slices.Index(rank, v) > slices.Index(rank, w)
}

// Severity says what a reason does to the verdict.
type Severity string

// The severities.
const (
	Stops Severity = "no-go"
	Warns Severity = "care"
	Notes Severity = "note"
)

// rank is 0 for what decides most.
func (s Severity) rank() int { return slices.Index([]Severity{Stops, Warns, Notes}, s) }

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
	CodeFreezes      Code = "freezes"
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
	CodeAirOld       Code = "air-old"
	CodeSheetLimit   Code = "sheet-limit"
	CodeSpots        Code = "no-common-window"
	CodeWindowWall   Code = "window-short-for-wall"
	CodeBackground   Code = "background-wrong"
	CodePaleTint     Code = "pale-tint"
	CodeFrost        Code = "frost"
	CodeRain         Code = "rain"
	CodeWind         Code = "wind"
	CodeDew          Code = "dew"
	CodeHorizon      Code = "forecast-ends"
	CodeLatest       Code = "late-at-the-latest"
)

// Codes lists them, for the documentation and its test.
func Codes() []Code {
	return []Code{CodeWallCold, CodeWallCools, CodeWallHot, CodeFreezes, CodeDewPoint, CodeAirDry, CodeDriesFast, CodeTooThick,
		CodeThickForCoat, CodeNeverOpens, CodeNotToday, CodeWindowLate, CodeWindowShort, CodeDayOver, CodeAirHeld, CodeAirOld,
		CodeSheetLimit, CodeSpots, CodeWindowWall, CodeBackground, CodePaleTint,
		CodeFrost, CodeRain, CodeWind, CodeDew, CodeHorizon, CodeLatest}
}

// Margins of the face above the dew point, K.
const (
	DewCare = 3.0 // ISO 8502-4's margin, a coatings standard
	DewStop = 1.0 // on a sealed face; common practice, no source
)

// FreezesAt is the temperature of the face, C, under which the water in a fresh coat freezes. No time of a
// coat holds below it: ice is not modelled (judgement, no source: pore water of fresh lime, a little under 0).
const FreezesAt = -0.5

// The other limits judged by; those of a finish are with its numbers in drying/material.
const (
	dryAir        = 0.40           // relative humidity; common practice, no source
	oldAir        = 12 * time.Hour // a reading older than this is of another day's air; common practice, no source
	fastCare      = 100.0          // g/(m2 h); judgement, no source: areal rate above which putty-rich films are at risk
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
	if a.Known.Age > oldAir {
		a.add(Reason{CodeAirOld, Warns, "The last reading is old: read the air and the wall again.", a.Known.Age.Hours(), oldAir.Hours(), "h"})
	}
	if a.Known.Held {
		a.add(Reason{Code: CodeAirHeld, Severity: Notes,
			Text:  "The air after the last reading is taken to stay as it was; read again before the last coat.",
			Value: a.Known.Age.Hours(), Unit: "h"})
	}
	a.sortReasons()
}

// sortReasons puts what decides first and draws the verdict.
func (a *Answer) sortReasons() {
	slices.SortStableFunc(a.Reasons, func(r, s Reason) int { return r.Severity.rank() - s.Severity.rank() })
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
	if lim, whose := stricter(f.MinFace.Value, a.Job.Limits.MinWall, 1); a.WallTemp < lim {
		a.add(Reason{CodeWallCold, Stops, "The wall is too cold for " + f.Name + ", by " + whose + ".", a.WallTemp, lim, "C"})
	}
	if lim, whose := stricter(f.MaxFace.Value, a.Job.Limits.MaxWall, -1); a.WallTemp > lim {
		a.add(Reason{CodeWallHot, Stops, "The wall is too hot, by " + whose + ": the coat would dry before it is worked.", a.WallTemp, lim, "C"})
	}
	switch first := a.Job.Coats[0].Finish; {
	case a.Job.Background.Name == "painted":
		a.add(Reason{Code: CodeBackground, Severity: Warns, Text: "Lime hardly keys to old paint: strip it, or prime it and test the bond first."})
	case a.Job.Background.Name == "gypsum-board" && first.Polish:
		a.add(Reason{Code: CodeBackground, Severity: Warns, Text: "Bare board paper is no key for polish: a gritty primer belongs under it."})
	}
	switch margin, sealed := a.WallTemp-float64(a.Now.DewPoint()), a.Job.Background.Sealed; {
	case margin <= 0 && sealed:
		a.add(Reason{CodeDewPoint, Stops, "The wall is below its dew point: dew forms on it, and its sealed face leaves the water standing.", margin, DewStop, "K"})
	case margin < DewStop && sealed:
		a.add(Reason{CodeDewPoint, Stops, "The wall is all but at its dew point, and its face is sealed: warm the room or wait.", margin, DewStop, "K"})
	case margin <= 0:
		a.add(Reason{CodeDewPoint, Warns, "The wall is below its dew point: dew forms on it. Warm the room or wait.", margin, DewCare, "K"})
	case margin < DewCare:
		a.add(Reason{CodeDewPoint, Warns, "The wall is close to its dew point: warm the room or wait.", margin, DewCare, "K"})
	}
	if rh := float64(a.Now.RelativeHumidity()); rh < dryAir {
		a.add(Reason{CodeAirDry, Warns, "The air is dry: small sections, no draught, and watch for fine cracks.", rh * 100, dryAir * 100, "%"})
	}
}

// stricter is the stricter of the trade's limit and the data sheet's, and whose it is; sign is 1 for a lower
// limit, -1 for an upper.
func stricter(trade float64, sheet *float64, sign float64) (limit float64, whose string) {
	switch {
	case sheet == nil:
		return trade, "common practice"
	case sign*(*sheet-trade) >= 0:
		return *sheet, "the data sheet"
	}
	return trade, "common practice, stricter than the data sheet"
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

// SheetLimit is one limit of the data sheet and how the day stands to it.
type SheetLimit struct {
	What  string
	Value float64
	Low   *float64
	High  *float64
	Unit  string
	Met   bool
}

// judgeSheet holds the day against the data sheet's own limits.
func (a *Answer) judgeSheet() {
	l := a.Job.Limits
	scaled := func(x *float64, k float64) *float64 {
		if x == nil {
			return nil
		}
		y := *x * k
		return &y
	}
	check := func(what string, value float64, low, high *float64, below, above string, scale float64, unit string) {
		if low == nil && high == nil {
			return
		}
		say := what != "The wall" // judgeWall has said which limit is the stricter
		s := SheetLimit{What: what, Value: value * scale, Low: scaled(low, scale), High: scaled(high, scale), Unit: unit, Met: true}
		if low != nil && value < *low*(1-within) {
			s.Met = false
			if say {
				a.add(Reason{CodeSheetLimit, Stops, what + " is " + below + " the data sheet allows.", value * scale, *low * scale, unit})
			}
		}
		if high != nil && value > *high*(1+within) {
			s.Met = false
			if say {
				a.add(Reason{CodeSheetLimit, Stops, what + " is " + above + " the data sheet allows.", value * scale, *high * scale, unit})
			}
		}
		a.Sheet = append(a.Sheet, s)
	}
	check("The wall", a.WallTemp, l.MinWall, l.MaxWall, "colder than", "warmer than", 1, "C")
	check("The air", float64(a.Now.Temperature()), l.MinAir, l.MaxAir, "colder than", "warmer than", 1, "C")
	check("The air", float64(a.Now.RelativeHumidity()), l.MinRH, l.MaxRH, "drier than", "damper than", 100, "%")
	for i, c := range a.Job.Coats {
		check(fmt.Sprintf("Coat %d", i+1), c.Thickness, l.MinThickness, l.MaxThickness, "thinner than", "thicker than", 1000, "mm")
	}
}

func (a *Answer) judgeCoats(to time.Time) {
	if !a.Start.Before(to) {
		a.add(Reason{Code: CodeDayOver, Severity: Stops, Text: "The working hours are over: ask again tomorrow."})
	}
	for i, c := range a.Job.Coats {
		if lim := c.Finish.Thickest.Value; c.Thickness > lim*(1+within) {
			a.add(Reason{CodeTooThick, Stops, fmt.Sprintf("Coat %d is too thick: %s of this thickness cracks.", i+1, c.Finish.Name), c.Thickness * 1000, lim * 1000, "mm"})
		} else if u := c.Finish.Coats[coat.Place(i, len(a.Job.Coats))]; c.Thickness > u.High*(1+within) {
			a.add(Reason{CodeThickForCoat, Warns, fmt.Sprintf("Coat %d is thicker than usual in its place.", i+1), c.Thickness * 1000, u.High * 1000, "mm"})
		}
	}
	if len(a.Coats) == 0 {
		return
	}
	if c := a.Job.Coats[len(a.Job.Coats)-1]; c.Finish.Polish && ShadeOf(c.Tint) == Pale {
		a.add(Reason{Code: CodePaleTint, Severity: Warns, Text: "A pale tint takes grey marks from steel as it dries: stop sooner."})
	}
	coolest, fastest := a.Coolest(), 0.0
	for _, p := range a.Coats {
		fastest = max(fastest, p.Times.Evaporation*3.6e6)
	}
	if coolest < FreezesAt {
		a.add(Reason{CodeFreezes, Stops, "The face falls below freezing: ice breaks fresh lime, and no time below holds.", coolest, FreezesAt, "C"})
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
	if a.Spots > 1 && !last.Burnish.Before(last.Closes) {
		a.add(Reason{CodeSpots, Warns, "The spots have no window in common: the fast one is gone by before the slow one is ready. Close each in its own time.",
			last.Burnish.Sub(last.Lay).Minutes(), last.Closes.Sub(last.Lay).Minutes(), "min"})
		return
	}
	switch span := last.Closes.Sub(last.Burnish); {
	case span < shortestBurn:
		a.add(Reason{CodeWindowShort, Stops, "The last coat is gone by before it can be burnished.", span.Minutes(), shortestBurn.Minutes(), "min"})
	case span < shortBurnCare:
		a.add(Reason{CodeWindowShort, Warns, "The last coat is gone by quickly: small sections, a second hand.", span.Minutes(), shortBurnCare.Minutes(), "min"})
	default:
		if need := a.burnishing(); span < need {
			a.add(Reason{CodeWindowWall, Warns, "The window is short for this wall and crew: lay and close it in sections.", span.Minutes(), need.Minutes(), "min"})
		}
	}
}

// burnishing is how long the crew takes to close the wall; zero where its size is not known.
func (a *Answer) burnishing() time.Duration {
	r := a.Job.Room
	return time.Duration(r.WetArea / (burnishRate * float64(max(r.Hands, 1))) * float64(time.Hour))
}

// Coolest is the lowest temperature of the face while the coats dry, C; that of the wall where none is laid.
func (a *Answer) Coolest() float64 {
	t := a.WallTemp
	for _, p := range a.Coats {
		t = min(t, p.Times.FaceMin)
	}
	return t
}

// within is the round-off allowed where a value is held against its limit.
const within = 1e-9

// OverDays is the verdict where the coats may take as many days as they need, and the first reason for it, nil where there is none: what the
// answer says of all coats on one day does not count.
func (a *Answer) OverDays() (Verdict, *Reason) {
	v, first := Go, (*Reason)(nil)
	for i, r := range a.Reasons {
		switch r.Code {
		case CodeNotToday, CodeDayOver, CodeWindowLate, CodeWindowShort, CodeWindowWall, CodeLatest:
			continue
		}
		if r.Severity == Notes {
			continue
		}
		if first == nil {
			first = &a.Reasons[i]
		}
		if v == Go {
			v = Care
		}
		if r.Severity == Stops {
			v = NoGo
		}
	}
	return v, first
}
