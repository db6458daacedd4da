package drying

import (
	"fmt"
	"math"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/weather"
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
	Says     message.Text
	Value    float64
	Limit    float64
	Unit     string // of both, as JSON has them; empty where the reason is no matter of a number
}

// Figure is a value of a reason or a limit of the data sheet, in its unit.
func Figure(v float64, unit string) message.Quantity {
	switch unit {
	case "C":
		return message.Celsius(v)
	case "K":
		return message.Kelvins(v)
	case "mm":
		return message.Thick(v / 1000)
	case "%":
		return message.RH(v / 100)
	case "h":
		return message.Quantity{Kind: message.Hours, Value: v * 3600}
	case "min":
		return message.Quantity{Kind: message.Minutes, Value: v * 60}
	case "g/m2h":
		return message.Evaporation(v / 3.6e6)
	case "m/s":
		return message.MetresASecond(v)
	}
	panic("drying: a figure in " + unit)
}

// Figures are a reason's value and limit as people read them; nothing where they add nothing to its words.
func (r Reason) Figures() message.Text {
	if r.Unit == "" || r.Severity == Notes || r.Code == CodeNotToday || r.Code == CodeAirFar || r.Code == CodeAirHeld {
		return nil
	}
	value, limit := Figure(r.Value, r.Unit), Figure(r.Limit, r.Unit)
	value.Edge, limit.Edge = message.Ends, message.Begins // a window is no longer than it is told, what is wanted no shorter
	switch r.Code {
	case CodeSpots:
		value.Edge, limit.Edge = message.Begins, message.Ends // here they are the moments it lies between
		return message.Say("{} against {}", value, limit)
	case CodeWindowLate:
		return message.Say("{} after the start; the day has {}", value, limit)
	case CodeWindowWall:
		return message.Say("{} against {}", value, limit)
	}
	return message.Say("{}; limit {}", value, limit)
}

// Told is what a reason says, with its figures.
func (r Reason) Told() message.Text {
	if f := r.Figures(); f != nil {
		return message.Say("{} ({})", r.Says, f)
	}
	return r.Says
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
	CodeFrost        Code = "frost"
	CodeRain         Code = "rain"
	CodeWind         Code = "wind"
	CodeDew          Code = "dew"
	CodeHorizon      Code = "forecast-ends"
	CodeLatest       Code = "late-at-the-latest"
	CodeFreeDay      Code = "free-day"
	CodeAirFar       Code = "air-far"
	CodeMishap       Code = "mishap"
)

// Codes lists them, for the documentation and its test.
func Codes() []Code {
	return []Code{CodeWallCold, CodeWallCools, CodeWallHot, CodeFreezes, CodeDewPoint, CodeAirDry, CodeDriesFast, CodeTooThick,
		CodeThickForCoat, CodeNeverOpens, CodeNotToday, CodeWindowLate, CodeWindowShort, CodeDayOver, CodeAirHeld, CodeAirOld,
		CodeSheetLimit, CodeSpots, CodeWindowWall, CodeBackground,
		CodeFrost, CodeRain, CodeWind, CodeDew, CodeHorizon, CodeLatest, CodeFreeDay, CodeAirFar, CodeMishap}
}

// Words are the code as people read it, within a sentence.
func (c Code) Words() string {
	words := map[Code]string{
		CodeWallCold: "the wall too cold", CodeWallCools: "the wall cools as it dries", CodeWallHot: "the wall too hot", CodeFreezes: "the face freezes",
		CodeDewPoint: "the wall near its dew point", CodeAirDry: "dry air", CodeDriesFast: "dries too fast", CodeTooThick: "too thick",
		CodeThickForCoat: "thick for its place", CodeNeverOpens: "never ready to close", CodeNotToday: "not all of it today",
		CodeWindowLate: "the window comes after hours", CodeWindowShort: "a short window", CodeDayOver: "the hours are over", CodeAirHeld: "no later reading",
		CodeAirOld: "an old reading", CodeSheetLimit: "a limit of the data sheet", CodeSpots: "no window in common", CodeWindowWall: "the window short for the wall",
		CodeBackground: "the wrong background", CodeFrost: "frost", CodeRain: "rain", CodeWind: "wind", CodeDew: "dew",
		CodeHorizon: "the forecast ends", CodeLatest: "late at the latest", CodeFreeDay: "a day off", CodeAirFar: "the weather of a far point", CodeMishap: "what went wrong",
	}
	if w, ok := words[c]; ok {
		return w
	}
	panic("drying: no such code: " + string(c))
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
	oldForecast   = 24 * time.Hour // a forecast made before that is of another day, though it covers this one; judgement, no source
	oldAir        = 12 * time.Hour // a reading older than this is of another day's air; common practice, no source
	fastCare      = 100.0          // g/(m2 h); judgement, no source: areal rate above which putty-rich films are at risk
	fastStop      = 200.0
	shortestBurn  = 5 * time.Minute  // below this no face of useful size can be burnished; judgement, no source
	shortBurnCare = 12 * time.Minute // common practice, no source: "gone in a quarter of an hour" is usual
)

func (a *Answer) add(r Reason) { a.Reasons = append(a.Reasons, r) }

// judge fills Reasons and Verdict; to is the end of the working hours.
func (a *Answer) judge(to time.Time) {
	if a.due[0] == 0 || a.due[1] > a.due[0] { // else there is nothing to lay
		a.judgeWall()
		a.judgeSheet()
	}
	a.judgeCoats(to)
	switch k := a.Known; {
	case k.Forecast && k.Age > oldForecast:
		a.add(Reason{CodeAirOld, Warns, message.Words("The forecast is an old one: ask for a new one, or read the air."), k.Age.Hours(), oldForecast.Hours(), "h"})
	case !k.Forecast && k.Age > oldAir:
		a.add(Reason{CodeAirOld, Warns, message.Words("The last reading is old: read the air and the wall again."), k.Age.Hours(), oldAir.Hours(), "h"})
	}
	if o := a.Known.Off; o != nil && o.TooFar() {
		a.add(Reason{CodeAirFar, Warns, message.Words("The weather is of a point too far from the job: read the air on site."), o.Away / 1000, weather.HardlyHere / 1000, "km"})
	}
	switch {
	case a.kept:
		a.add(Reason{Code: CodeAirHeld, Severity: Warns,
			Says:  message.Words(upper(a.DayWord()) + "'s air is not known: this is for air that stays as read. Read again first thing."),
			Value: a.Known.Age.Hours(), Unit: "h"})
	case a.Known.Held:
		a.add(Reason{Code: CodeAirHeld, Severity: Notes,
			Says:  message.Words("The air after the last reading is taken to stay as it was; read again before the last coat."),
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
	a.settle()
}

// settle puts the verdict on the day asked about and on its coats.
func (a *Answer) settle() {
	due := a.dueThen()
	for i := range a.Coats {
		if a.Asked(a.Coats[i]) {
			a.Coats[i].Due = due
		}
	}
	for i := range a.Days {
		if d := &a.Days[i]; d.Date.Equal(a.Day) && d.Due != "" {
			if d.Due, d.Verdict = due, a.Verdict; a.Ahead() {
				d.Reasons = a.warnings()
			}
		}
	}
}

func (a *Answer) judgeWall() {
	f := strictest(a.Job.Coats)
	if lim, whose := stricter(f.MinFace.Value, a.Job.Limits.MinWall, 1); a.wall < lim {
		a.add(Reason{CodeWallCold, Stops, message.Words("The wall is too cold for " + f.Name + ", by " + whose + "."), a.wall, lim, "C"})
	}
	if lim, whose := stricter(f.MaxFace.Value, a.Job.Limits.MaxWall, -1); a.WallTemp > lim {
		a.add(Reason{CodeWallHot, Stops, message.Words("The wall is too hot, by " + whose + ": the coat would dry before it is worked."), a.WallTemp, lim, "C"})
	}
	switch first := a.Job.Coats[0].Finish; {
	case a.Job.Background.Name == "painted":
		a.add(Reason{Code: CodeBackground, Severity: Warns, Says: message.Words("Lime hardly keys to old paint: strip it, or prime it and test the bond first.")})
	case a.Job.Background.Name == "gypsum-board" && first.Polish:
		a.add(Reason{Code: CodeBackground, Severity: Warns, Says: message.Words("Bare board paper is no key for polish: a gritty primer belongs under it.")})
	}
	margin, sealed := a.WallTemp-float64(a.Now.DewPoint()), a.Job.Background.Sealed
	warm, orWarm := "warm the room or wait", "Warm the room or wait"
	if a.Job.Room.Unheated || a.Job.Outdoors != nil {
		warm, orWarm = "wait", "Wait"
	}
	switch state := StateOfFace(a.WallTemp, a.Now); {
	case (state == FaceDew || state == FaceHoar) && sealed:
		a.add(Reason{CodeDewPoint, Stops, message.Words("The wall is below its dew point: dew forms on it, and its sealed face leaves the water standing."), margin, DewStop, "K"})
	case state == FaceAtDew && sealed:
		a.add(Reason{CodeDewPoint, Stops, message.Words("The wall is all but at its dew point, and its face is sealed: " + warm + "."), margin, DewStop, "K"})
	case state == FaceDew || state == FaceHoar:
		a.add(Reason{CodeDewPoint, Warns, message.Words("The wall is below its dew point: dew forms on it. " + orWarm + "."), margin, DewCare, "K"})
	case state != FaceClear && margin < DewCare:
		a.add(Reason{CodeDewPoint, Warns, message.Words("The wall is close to its dew point: " + warm + "."), margin, DewCare, "K"})
	}
	if rh := float64(a.Now.RelativeHumidity()); rh < dryAir {
		a.add(Reason{CodeAirDry, Warns, message.Words("The air is dry: small sections, no draught, and watch for fine cracks."), rh * 100, dryAir * 100, "%"})
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

// FaceLimits are the strictest of the coats' limits and the data sheet's for the face of the wall, C.
func (j Job) FaceLimits() (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	for _, c := range j.Coats {
		low, high = max(low, c.Finish.MinFace.Value), min(high, c.Finish.MaxFace.Value)
	}
	if l := j.Limits.MinWall; l != nil {
		low = max(low, *l)
	}
	if l := j.Limits.MaxWall; l != nil {
		high = min(high, *l)
	}
	return low, high
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
				a.add(Reason{CodeSheetLimit, Stops, message.Words(what + " is " + below + " the data sheet allows."), value * scale, *low * scale, unit})
			}
		}
		if high != nil && value > *high*(1+within) {
			s.Met = false
			if say {
				a.add(Reason{CodeSheetLimit, Stops, message.Words(what + " is " + above + " the data sheet allows."), value * scale, *high * scale, unit})
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

// judgeCoats judges the coats laid on the day, and one laid before that still dries.
func (a *Answer) judgeCoats(to time.Time) {
	day := a.Coats[a.due[0]:a.due[1]]
	if len(day) == 0 {
		a.judgeIdle(to)
	}
	for i, c := range a.Job.Coats {
		if i < a.due[0] {
			continue // it is on the wall
		}
		if lim := c.Finish.Thickest.Value; c.Thickness > lim*(1+within) {
			a.add(Reason{CodeTooThick, Stops, message.Say("Coat {} is too thick: {} of this thickness cracks.", message.Number(i+1), c.Finish.Name), c.Thickness * 1000, lim * 1000, "mm"})
		} else if u := c.Finish.Coats[coat.Place(i, len(a.Job.Coats))]; c.Thickness > u.High*(1+within) {
			a.add(Reason{CodeThickForCoat, Warns, message.Say("Coat {} is thicker than usual in its place.", message.Number(i+1)), c.Thickness * 1000, u.High * 1000, "mm"})
		}
	}
	if n := a.due[0]; n > 0 && n == len(a.Coats) && a.drying(a.Coats[n-1]) {
		day = a.Coats[n-1 : n]
	} else if n > 0 && len(day) > 0 && a.drying(a.Coats[n-1]) {
		day = a.Coats[n-1 : a.due[1]]
	}
	if len(day) == 0 {
		return
	}
	last := day[len(day)-1]
	coolest, fastest := a.WallTemp, 0.0
	for _, p := range day {
		fastest = max(fastest, p.Times.Evaporation*3.6e6)
		coolest = min(coolest, p.Times.FaceMin)
	}
	if coolest < FreezesAt {
		a.add(Reason{CodeFreezes, Stops, message.Words("The face falls below freezing: ice breaks fresh lime, and no time below holds."), coolest, FreezesAt, "C"})
	}
	if lim := strictest(a.Job.Coats).MinFace.Value; a.wall >= lim && coolest < lim {
		a.add(Reason{CodeWallCools, Warns, message.Words("Drying cools the face below the finish's limit, though the wall starts above it."), coolest, lim, "C"})
	}
	switch {
	case fastest > fastStop:
		a.add(Reason{CodeDriesFast, Stops, message.Words("The coat dries too fast to be safe from cracks: still the air, shade it."), fastest, fastStop, "g/m2h"})
	case fastest > fastCare:
		a.add(Reason{CodeDriesFast, Warns, message.Words("The coat dries fast: still the air, work small sections."), fastest, fastCare, "g/m2h"})
	}
	if last.Last {
		a.judgeClosing(last, to)
	} else if a.due[1] > a.due[0] {
		a.judgeLeft(last, to)
	}
}

// drying tells whether a coat laid before still dries at the moment of asking, or when the work of a later day can begin.
func (a *Answer) drying(c CoatPlan) bool {
	end, at := c.Recoat, a.At
	if c.Last && !c.Closes.IsZero() {
		end = c.Closes
	}
	if a.Ahead() {
		at, _ = a.Job.Hours.On(a.Day)
	}
	return end.IsZero() || end.After(at)
}

// judgeIdle says why no coat is laid on the day.
func (a *Answer) judgeIdle(to time.Time) {
	n := a.due[0]
	if n == len(a.Job.Coats) {
		return // all are laid
	}
	stop := func(c Code, says message.Text) { a.add(Reason{Code: c, Severity: Stops, Says: says}) }
	if n > 0 && a.Coats[n-1].Lay.Format(time.DateOnly) == a.Day.Format(time.DateOnly) { // the day has done its work
		stop = func(c Code, says message.Text) { a.add(Reason{Code: c, Severity: Notes, Says: says}) }
	}
	if n > 0 {
		c, next := a.Coats[n-1], a.next()
		switch {
		case next.IsZero():
			stop(CodeNotToday, message.Say("Coat {} does not dry in this air.", message.Number(n)))
			return
		case !next.Before(to) && next.Equal(c.Custom):
			stop(CodeNotToday, message.Say("The trade leaves coat {} for longer.", message.Number(n)))
			return
		case !next.Before(to):
			stop(CodeNotToday, message.Say("Coat {} is not dry within the working hours.", message.Number(n)))
			return
		}
	}
	if !a.Job.Hours.Works(a.Day) {
		stop(CodeFreeDay, message.Words("No working day: nothing is due."))
		return
	}
	stop(CodeDayOver, message.Words("The working hours are over: ask again tomorrow."))
}

// next is when the coat after the last of those in the answer can follow; zero for never.
func (a *Answer) next() time.Time {
	if n := len(a.runs); n > 0 && reached(a.runs[n-1].next) {
		c := a.Coats[n-1]
		return c.Lay.Add(time.Duration((a.runs[n-1].next - a.runs[n-1].lay) * float64(time.Second)))
	}
	return time.Time{}
}

// NextLay is when the first coat that is not laid yet is planned; zero where none is.
func (a *Answer) NextLay() time.Time {
	for _, c := range a.Coats {
		if !c.Done {
			return c.Lay
		}
	}
	return time.Time{}
}

// ofAnyStart tells that every start of a bare wall has the reason.
func ofAnyStart(r Reason) bool {
	return slices.Contains([]Code{CodeAirOld, CodeAirFar, CodeAirHeld, CodeBackground, CodeThickForCoat}, r.Code)
}

// judgeLeft says why the coats after the last of the day are another day's.
func (a *Answer) judgeLeft(last CoatPlan, to time.Time) {
	n := message.Number(last.Number)
	left := func(s Severity, says message.Text) {
		a.add(Reason{Code: CodeNotToday, Severity: s, Says: says, Value: float64(last.Number), Limit: float64(len(a.Job.Coats)), Unit: "coats"})
	}
	next := a.next()
	switch {
	case last.Number == a.stop:
		left(Notes, message.Say("The day stops after coat {}, as asked.", n))
	case next.IsZero(), last.Coat.Finish.Polish && next.Sub(last.Lay) > longDrying:
		left(Stops, message.Say("Coat {} does not dry within two days in this air.", n))
	case next.Equal(last.Custom) && !next.Before(to):
		left(Notes, message.Say("Coat {} is another day's: the trade leaves coat {} for longer.", message.Number(last.Number+1), n))
	case !next.Before(to):
		left(Notes, message.Say("Coat {} is not dry within the working hours: lay the rest another day.", n))
	case a.unfit != nil && a.unfit.times.Closes-a.unfit.times.Burnish < shortestBurn.Seconds() && a.Spots == 1:
		span := max(0, a.unfit.times.Closes-a.unfit.times.Burnish)
		a.add(Reason{CodeWindowShort, Warns, message.Say("Coat {} is another day's: in this air it is gone by before it can be burnished.", message.Number(last.Number+1)),
			span / 60, shortestBurn.Minutes(), "min"})
	default:
		left(Notes, message.Say("Coat {} could not be closed within {}'s hours: lay it another day.", message.Number(last.Number+1), a.DayWord()))
	}
}

// longDrying is longer than a thin coat may take to dry and be safe (judgement, no source).
const longDrying = 48 * time.Hour

// judgeClosing judges the closing of the last coat.
func (a *Answer) judgeClosing(last CoatPlan, to time.Time) {
	late := Stops
	if last.Done {
		late = Warns // it is on the wall
	}
	switch {
	case last.Opens.IsZero() || last.Burnish.IsZero():
		a.add(Reason{Code: CodeNeverOpens, Severity: Stops, Says: message.Words("The last coat never becomes ready to close in this air.")})
		return
	case last.Burnish.After(to) || !last.Closes.IsZero() && last.Closes.After(to) && to.Sub(last.Burnish) < shortBurnCare:
		a.add(Reason{CodeWindowLate, late, message.Words("The last coat is ready to burnish only after the working hours."), last.Burnish.Sub(a.Start).Hours(), to.Sub(a.Start).Hours(), "h"})
		return
	}
	if last.Closes.IsZero() {
		return
	}
	if a.Spots > 1 && !last.Burnish.Before(last.Closes) {
		a.add(Reason{CodeSpots, Warns, message.Words("The spots have no window in common: the fast one is gone by before the slow one is ready. Close each in its own time."),
			last.Burnish.Sub(last.Lay).Minutes(), last.Closes.Sub(last.Lay).Minutes(), "min"})
		return
	}
	switch span := last.Closes.Sub(last.Burnish); {
	case span < shortestBurn:
		a.add(Reason{CodeWindowShort, late, message.Words("The last coat is gone by before it can be burnished."), span.Minutes(), shortestBurn.Minutes(), "min"})
	case span < shortBurnCare:
		a.add(Reason{CodeWindowShort, Warns, message.Words("The last coat is gone by quickly: small sections, a second hand."), span.Minutes(), shortBurnCare.Minutes(), "min"})
	default:
		if need := a.burnishing(); span < need {
			a.add(Reason{CodeWindowWall, Warns, message.Words("The window is short for this wall and crew: lay and close it in sections."), span.Minutes(), need.Minutes(), "min"})
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
		if !a.Asked(p) && !p.Done {
			continue
		}
		t = min(t, p.Times.FaceMin)
	}
	return t
}

// within is the round-off allowed where a value is held against its limit.
const within = 1e-9
