package cure

import (
	"math"
	"slices"

	"limeday/drying/material"
)

// AdviceCode names a kind of protection.
type AdviceCode string

// The kinds, in the order they are given.
const (
	CoverBy     AdviceCode = "cover-by"
	SheetUntil  AdviceCode = "sheet-until"
	MistUntil   AdviceCode = "mist-until"
	UncoverFrom AdviceCode = "uncover-from"
	NoFrost     AdviceCode = "no-frost-until"
)

// AdviceCodes lists them.
func AdviceCodes() []AdviceCode {
	return []AdviceCode{CoverBy, SheetUntil, MistUntil, UncoverFrom, NoFrost}
}

// Advice is one piece of protection due on a wall.
type Advice struct {
	Code     AdviceCode
	Text     string    // what to do, a plain sentence; the time is At
	Reason   string    // why, a plain sentence
	At       Moment    // by, until or from, as Code says
	Least    float64   // where At varies, its earliest, s; else At. Of an At beyond what is known: not before
	Most     float64   // its latest
	Times    []float64 // for misting: when it is worth it, by day or night, s
	Evidence material.Evidence
	Source   string
}

// Report is all that is judged of a face.
type Report struct {
	Horizon     float64 // s
	Carbonation Carbonation
	Through     Moments // when the film has carbonated through
	Depth       Depth   // at the horizon
	Freezes     []Freeze
	Freezing    Outlook // of the first Freeze, before the frost-free days are over
	Worst       Grade   // the gravest Freeze; Unknown where none is known
	NearFrost   []Span
	FrostFree   FrostFree
	Fast        Fast
	Rain        RainOn
	Damped      []Damped
	Advice      []Advice
}

// Assess judges the face of a coat of m metres (dried; all of one day's coats together) over a course. Advice is
// what is still due at now.
func (r Rules) Assess(c Record, f material.Finish, m, now float64) Report {
	p := Report{Horizon: c.Horizon(), Carbonation: Carbonates(c, f), NearFrost: r.NearFrost(c), Freezes: r.Freezes(c, f, m),
		FrostFree: r.FrostFree(c, f), Fast: r.TooFast(c, f, m), Rain: r.RainOn(c, f), Damped: r.DewAndFog(c)}
	p.Through, p.Depth, p.Worst = p.Carbonation.Reaches(m), p.Carbonation.Depth(p.Horizon), worst(p.Freezes)
	var spans []Span
	for _, z := range p.Freezes {
		spans = append(spans, z.Span)
	}
	p.Freezing = c.outlook(spans, p.FrostFree.Latest)
	for _, a := range []Advice{r.cover(c, f, p, now), r.sheet(c, f, m, p), r.mist(c, f, m, p, now), r.uncover(c, f, m, p, now), r.frost(f, p)} {
		if a.Code != "" && (a.At.Beyond || a.Most >= now) {
			p.Advice = append(p.Advice, a)
		}
	}
	return p
}

// at gives advice a time without a range.
func (a Advice) at(t Moment) Advice {
	a.At, a.Least, a.Most = t, t.At, t.At
	return a
}

// from gives advice the evidence of a number.
func (a Advice) from(p material.Property) Advice {
	a.Evidence, a.Source = p.Evidence, p.Source
	return a
}

// cover is by when the face must be covered: before the first rain, frost or stopping evaporation to come.
func (r Rules) cover(c Record, f material.Finish, p Report, now float64) Advice {
	a := Advice{Code: CoverBy, Text: "Keep sheeting at hand until then: nothing known yet calls for it.",
		Reason: "Neither rain in its vulnerable hours, nor harmful frost, nor too fast drying is known to come."}.
		at(Moment{At: c.Horizon(), Beyond: true}).from(f.RainFree)
	sooner := func(s Span, text, reason string, why material.Property) {
		if t := max(s.Begin, now); s.End > now && (a.At.Beyond || t < a.At.At) {
			a = Advice{Code: CoverBy, Text: text, Reason: reason}.at(Moment{At: t}).from(why)
		}
	}
	for _, s := range p.Rain.Showers {
		switch s.State {
		case WashOut:
			sooner(s.Span, "Have it sheeted by then, clear of the face.", "Rain comes while the coat is wet or firming, and washes it out.", r.WashesOut)
		case NoRain:
			sooner(s.Span, "Have it sheeted by then, clear of the face.", "Rain comes before the coat can take any.", f.RainFree)
		}
	}
	if z, ok := firstFreeze(p.Freezes, now); ok {
		reason := "The coat freezes while its pores hold too much water."
		if z.Soaked {
			reason = "Rain soaks the wall and then it freezes: the worst that can come to lime."
		}
		sooner(z.Span, "Have it covered by then with something that keeps warmth in, clear of the face.", reason, f.CriticalSaturation)
	}
	for _, s := range p.FrostFree.Frosts {
		if slices.ContainsFunc(p.Freezes, func(z Freeze) bool { return z.Span.overlaps([]Span{s}) }) {
			continue // that freezing says more
		}
		sooner(s, "Have it covered by then with something that keeps warmth in, clear of the face.",
			"Frost comes before published advice lets the wall have any.", f.FrostFree)
	}
	for _, s := range p.Fast.Stops {
		why := r.OtherStop
		if p.Fast.Lime {
			why = r.LimeStop
		}
		sooner(s, "Have it shaded and out of the wind by then.", "The face dries so fast that it may crack.", why)
	}
	return a
}

// sheet is until when the face stays sheeted.
func (r Rules) sheet(c Record, f material.Finish, m float64, p Report) Advice {
	a := Advice{Code: SheetUntil, Text: "Keep it sheeted, clear of the face, with the air open at the edges.",
		Reason: "Until then rain does harm."}.at(Moment{At: p.Rain.Safe, Beyond: p.Rain.Drained.Beyond}).from(f.RainFree)
	later := func(t Moment, reason string, why material.Property) {
		if t.At > a.At.At || t.At == a.At.At && t.Beyond {
			a.Reason = reason
			a = a.at(t).from(why)
		}
	}
	if m > r.ThickFilm.Value {
		later(Moment{At: c.Laid() + r.DampCure.Value*day}, "Until then a thick coat wants to be kept damp, out of sun and wind.", r.DampCure)
	}
	for _, s := range p.Fast.Cautions {
		why := r.OtherCaution
		if p.Fast.Lime {
			why = r.LimeCaution
		}
		later(Moment{At: s.End, Beyond: s.End >= c.Horizon()}, "Until then the face would dry too fast.", why)
	}
	for _, z := range p.Freezes {
		later(Moment{At: z.End, Beyond: z.Open}, "Until then it freezes while its pores hold too much water.", f.CriticalSaturation)
	}
	return a
}

// mist is until when a thick coat is kept damp, and when misting is worth it.
func (r Rules) mist(c Record, f material.Finish, m float64, p Report, now float64) Advice {
	if m <= r.ThickFilm.Value {
		return Advice{}
	}
	a := Advice{Code: MistUntil, Text: "Keep it damp: mist it lightly as its face pales, never so that it runs.",
		Reason: "A thick coat that dries early chalks and cracks."}.from(r.DampCure)
	a.At = Moment{At: c.Laid() + r.DampCure.Value*day}
	a.Least, a.Most = c.Laid()+r.DampCure.Low*day, c.Laid()+r.DampCure.High*day
	last := math.Inf(-1)
	for _, h := range c.part(c.Laid(), a.At.At).hours {
		z, frost := firstFreeze(p.Freezes, h.Time)
		switch {
		case h.Time < now || h.Time-last < r.MistEvery.Value*hour:
		case h.Saturation >= f.Burnish.Value || h.Rain > 0 || h.Evaporation <= 0: // damp enough
		case h.Face < r.MistAbove.Value || frost && z.Begin < h.Time+r.Calm.Value*hour: // no water to freeze
		default:
			a.Times = append(a.Times, h.Time)
			last = h.Time
		}
	}
	return a
}

// uncover is the first hour, once sheeting is over (and with it every freeze known), that a dry day is known to follow.
func (r Rules) uncover(c Record, f material.Finish, m float64, p Report, now float64) Advice {
	a := Advice{Code: UncoverFrom, Text: "Take the sheeting off in a dull, mild hour, a side at a time.",
		Reason: "Sheeting also slows the drying and the hardening: take it off once rain, sun and frost no longer harm."}.from(r.Calm)
	sheet, calm := r.sheet(c, f, m, p), r.Calm.Value*hour
	if sheet.At.Beyond {
		return a.at(Moment{At: c.Horizon(), Beyond: true})
	}
	for t := max(sheet.At.At, now); t+calm <= c.Horizon(); t += hour {
		if c.rain(t, t+calm) < r.SoakedBy.Value {
			return a.at(Moment{At: t})
		}
	}
	a.At, a.Least, a.Most = Moment{At: c.Horizon(), Beyond: true}, sheet.At.At, sheet.At.At
	return a
}

// frost is until when published advice wants no frost.
func (r Rules) frost(f material.Finish, p Report) Advice {
	a := Advice{Code: NoFrost, Text: "Keep frost off it.", Reason: "Published advice varies: this is its middle, for a mean as cold as the one known."}.from(f.FrostFree)
	a.At, a.Least, a.Most = Moment{At: p.FrostFree.Likely}, p.FrostFree.Earliest, p.FrostFree.Latest
	return a
}
