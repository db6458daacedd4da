package drying

import (
	"fmt"
	"math"
	"time"

	"limeday/drying/cure"
	"limeday/drying/material"
)

// Aftercare is something due on a wall after its last coat: from when, and until when it is a matter of the
// wall's own (From to Certain is the range that a wait is uncertain by).
type Aftercare struct {
	Code    CareCode
	Text    string
	Wall    string    // the name of a wall already laid; empty for the wall of the day
	From    time.Time // not before
	Certain time.Time // by then at the latest; zero where From is all that is known
}

// CareCode names a kind of care.
type CareCode string

// The kinds, in the order they come due.
const (
	CareTapeOff CareCode = "tape-off"
	CareTapeOn  CareCode = "tape-on"
	CareSoap    CareCode = "soap"
	CareWax     CareCode = "wax"
	CareSealer  CareCode = "sealer"
	CareShower  CareCode = "shower-use"
)

// CareCodes lists them.
func CareCodes() []CareCode {
	return []CareCode{CareTapeOff, CareTapeOn, CareSoap, CareWax, CareSealer, CareShower}
}

// The waits after the last coat (common practice, no source, but for the carbonation part of the wax; the
// product's own data sheet rules over each).
const (
	overnight  = 16 * time.Hour
	week       = 7 * 24 * time.Hour
	soapAfter  = 24 * time.Hour
	sealAfter  = 28 * 24 * time.Hour
	showerFree = 28 * 24 * time.Hour
)

// finished lists the care of a wall polished with f whose last coat was closed at done, its film m metres thick.
func finished(wall string, f material.Finish, done time.Time, m float64) []Aftercare {
	first, _, last := cure.Through(f, m)
	wait := func(s float64) time.Time { return done.Add(max(week, time.Duration(s*float64(time.Second)))) }
	wax, waxLate := wait(first), wait(last)
	return []Aftercare{
		{CareTapeOn, "Not onto the new face before overnight, better after a week.", wall, done.Add(overnight), done.Add(week)},
		{CareSoap, "Once the face is evenly pale; soap works on fresh lime, so not late.", wall, done.Add(soapAfter), time.Time{}},
		{CareWax, "Film at rest with the air and carbonated through; earlier, wax traps water and stops the lime hardening.", wall, wax, waxLate},
		{CareSealer, "When its data sheet allows, commonly after four weeks.", wall, done.Add(sealAfter), time.Time{}},
		{CareShower, "Commonly after four weeks; check the tanking behind first.", wall, done.Add(showerFree), time.Time{}},
	}
}

// care fills in what is due after the day's last coat, and on walls already laid.
func (a *Answer) care() {
	if n := len(a.Coats); n > 0 {
		last := a.Coats[n-1]
		if last.Last && !last.Closes.IsZero() && last.Coat.Finish.Polish {
			m := 0.0
			for _, c := range a.Coats {
				m += c.Coat.Thickness * (1 - shrinks(c.Coat.Finish))
			}
			a.Care = append(a.Care, Aftercare{Code: CareTapeOff, From: last.Burnish, Certain: last.Closes,
				Text: "Pull perimeter tape after the last pass while the edge is damp; else score it and pull next day."})
			a.Care = append(a.Care, finished("", last.Coat.Finish, last.Closes, m)...)
		}
	}
	for _, l := range a.Job.Laid {
		if !l.Finish.Polish {
			continue
		}
		a.Care = append(a.Care, finished(l.Name, l.Finish, l.On.Add(17*time.Hour), l.thickness()*(1-shrinks(l.Finish)))...)
	}
}

// shrinks is the share of a finish's wet thickness that drying takes off.
func shrinks(f material.Finish) float64 {
	return 1 - (1/f.SolidDensity.Value+f.ShrinkageLimit.Value/1000)/(1/f.SolidDensity.Value+f.WaterRatio.Value/1000)
}

// When says when the care is due, by the clock of the answer's zone, seen from day.
func (c Aftercare) When(day time.Time) string {
	date := func(t time.Time) string {
		t = t.In(day.Location())
		if t.Year() == day.Year() && t.YearDay() == day.YearDay() {
			return t.Format("15:04")
		}
		return t.Format("2 Jan")
	}
	switch {
	case c.Certain.IsZero() || math.Abs(c.Certain.Sub(c.From).Hours()) < 1 && c.Code != CareTapeOff:
		return "from " + date(c.From)
	case c.Code == CareTapeOff:
		from, to := RoundUp(c.From, 5*time.Minute), RoundDown(c.Certain, 5*time.Minute)
		if !from.Before(to) {
			return "at " + date(c.From)
		}
		return fmt.Sprintf("%s to %s", date(from), date(to))
	}
	return fmt.Sprintf("from %s, surely by %s", date(c.From), date(c.Certain))
}
