package drying

import (
	"strings"
	"time"

	"limeday/drying/cure"
	"limeday/drying/material"
	"limeday/drying/message"
)

// Aftercare is something due on a wall after its last coat: from when, and until when it is a matter of the
// wall's own (From to Certain is the range that a wait is uncertain by).
type Aftercare struct {
	Code    CareCode
	Do      string        // a sentence; of a wait, what must have come about
	Why     string        // likewise; may be empty
	Wall    string        // the name of a wall already laid; empty for the wall of the day
	From    time.Time     // not before
	Certain time.Time     // by then at the latest; zero where From is all that is known
	Grain   time.Duration // that both are told by; zero: they are known to the day
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
		{Code: CareTapeOn, Do: "Not onto the new face before overnight, better after a week.", Wall: wall, From: done.Add(overnight), Certain: done.Add(week)},
		{Code: CareSoap, Do: "Once the face is evenly pale; soap works on fresh lime, so not late.", Wall: wall, From: done.Add(soapAfter)},
		{Code: CareWax, Do: "Film at rest with the air and carbonated through.", Why: "Earlier, wax traps water and stops the lime hardening.", Wall: wall, From: wax, Certain: waxLate},
		{Code: CareSealer, Do: "When its data sheet allows, commonly after four weeks.", Wall: wall, From: done.Add(sealAfter)},
		{Code: CareShower, Do: "Commonly after four weeks; check the tanking behind first.", Wall: wall, From: done.Add(showerFree)},
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
			a.Care = append(a.Care, Aftercare{Code: CareTapeOff, From: last.Burnish, Certain: last.Closes, Grain: last.When(EventCloses).Grain,
				Do: "Pull perimeter tape after the last pass while the edge is damp.", Why: "Else score it and pull next day."})
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

// First reports whether the care is among what is shown where there is room for little: the first to come due, and the wait that is
// worked out.
func (c Aftercare) First() bool { return c.Code == CareTapeOff || c.Code == CareWax }

// When says when the care is due.
func (c Aftercare) When() message.Text {
	date := func(t time.Time) message.Quantity { return message.On(t) }
	if c.Grain > 0 {
		edge := message.Begins // what must last is told longer, what must have begun sooner
		if c.Code == CareTapeOff || c.Code == coverBy {
			edge = message.Ends
		}
		date = func(t time.Time) message.Quantity {
			return message.Quantity{Kind: message.Due, At: t, Edge: edge, Grain: c.Grain}
		}
	}
	from, certain := date(c.From), date(c.Certain)
	one := c.Certain.IsZero()
	switch {
	case c.Code == CareTapeOff:
		from.Edge = message.Begins
		return message.Say("{} to {}", from, certain)
	case c.Grain > 0 && one && c.Code == coverBy:
		return message.Say("to {}", from)
	case c.Grain > 0 && one:
		return message.Say("{} at least", from)
	case c.Grain > 0 && c.Certain.Sub(c.From) < time.Hour:
		return message.Say("{}", from)
	case c.Grain > 0:
		return message.Say("{} to {}", from, certain)
	case one || c.Certain.Sub(c.From) < time.Hour:
		return message.Say("from {}", from)
	}
	return message.Say("from {}, surely by {}", from, certain)
}

const coverBy = CareCode(cure.CoverBy)

// Idle reports whether nothing known calls for the care yet.
func (c Aftercare) Idle() bool { return c.Code == coverBy && c.Certain.IsZero() }

// Name is the care in a word or two.
func (c Aftercare) Name() string {
	switch c.Code {
	case CareTapeOff:
		return "tape off"
	case CareTapeOn:
		return "tape on"
	case CareSoap:
		return "soap"
	case CareWax:
		return "wax"
	case CareSealer:
		return "sealer"
	case CareShower:
		return "shower"
	}
	return strings.ReplaceAll(string(c.Code), "-", " ") // cover by, sheet until and their like: what protects a wall
}
