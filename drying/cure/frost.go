package cure

import (
	"math"
	"slices"

	"limeday/drying/material"
)

// FreezingDepression is by how much water freezes lower in a pore of radius r m, K: 2 gamma T0/(rho_i L_f r),
// Gibbs and Thomson, with the surface energy of ice on water 0.029 J/m2, ice of 917 kg/m3, heat of fusion 335 kJ/kg.
func FreezingDepression(r float64) float64 {
	return 2 * 0.029 * 273.15 / (917 * 335000 * r)
}

// Freeze is a stretch in which the face freezes while the coat's pores, somewhere from there to its back, hold more
// water than they may. The coat is taken to be as cold as its face.
type Freeze struct {
	Span
	Grade      Grade   // Possible, Likely or Certain: above the highest, middle or lowest critical saturation
	Open       bool    // it still freezes at the horizon
	Lowest     float64 // of the face, C
	LowestAt   float64 // s
	Saturation float64 // the most within the coat in the span
	Rain       float64 // that fell on the face in the hours before and during, kg/m2
	Soaked     bool    // by that rain
}

// Critical is the range of a finish's critical saturation, lower until it has carbonated through.
func (r Rules) Critical(f material.Finish, through bool) material.Property {
	p := f.CriticalSaturation
	if !through {
		p.Value, p.Low, p.High = p.Value-r.Uncarbonated.Value, p.Low-r.Uncarbonated.Value, p.High-r.Uncarbonated.Value
	}
	return p
}

// Freezes lists the freezing of a film of m metres that is harmful by some reading at least. It counts as
// uncarbonated until the latest time that it can be through.
func (r Rules) Freezes(c Record, f material.Finish, m float64) []Freeze {
	through := Carbonates(c, f).Reaches(m).Latest
	frozen := func(h Hour) float64 { return r.FreezesAt.Value - h.Face }
	above := func(bound func(material.Property) float64) []Span {
		var out []Span
		for _, p := range []struct {
			part Record
			done bool
		}{{c.part(c.Laid(), through.At), false}, {c.part(through.At, c.Horizon()), true}} {
			s := math.Nextafter(bound(r.Critical(f, p.done)), 2) // above, not at
			for _, span := range p.part.spans(frozen, func(h Hour) float64 { return h.Within - s }) {
				out = join(out, span)
			}
		}
		return out
	}
	certain := above(func(p material.Property) float64 { return p.High })
	likely := above(func(p material.Property) float64 { return p.Value })
	var out []Freeze
	for _, s := range above(func(p material.Property) float64 { return p.Low }) {
		z := Freeze{Span: s, Grade: Possible, Open: s.End >= c.Horizon(), Lowest: math.Inf(1)}
		switch {
		case s.overlaps(certain):
			z.Grade = Certain
		case s.overlaps(likely):
			z.Grade = Likely
		}
		for _, h := range c.part(s.Begin, s.End).hours {
			if h.Face < z.Lowest {
				z.Lowest, z.LowestAt = h.Face, h.Time
			}
			z.Saturation = max(z.Saturation, h.Within)
		}
		z.Rain = c.rain(s.Begin-r.SoakedFor.Value*hour, s.End)
		z.Soaked = z.Rain >= r.SoakedBy.Value
		out = append(out, z)
	}
	return out
}

// worst is the gravest grade among freezes; Unknown where there is none.
func worst(zs []Freeze) Grade {
	g := Unknown
	for _, z := range zs {
		g = max(g, z.Grade)
	}
	return g
}

// NearFrost is when the air is so cold that a clear sky may freeze the face, whatever it is computed to be.
func (r Rules) NearFrost(c Record) []Span {
	return c.spans(func(h Hour) float64 { return r.SkyWarning.Value - h.Air })
}

// FrostFree is until when published advice wants a wall free of frost. The advice varies: Earliest is when the
// boldest lets frost come, Latest the most careful.
type FrostFree struct {
	Earliest, Likely, Latest float64 // s
	Longer                   float64 // share by which the cold lengthens it
	Mean                     float64 // temperature of the air it is lengthened for, C: over the known part of the wait
	Assumed                  bool    // that mean is taken to go on beyond the horizon
	Frosts                   []Span  // face or air at or below 0 C, before Latest
	Outlook                  Outlook // of frost before Latest
	Grade                    Grade   // of the first frost by the advice; Unknown where none is known and the horizon comes first
}

// FrostFree works out the advice for a finish. The days lengthen evenly, by LongerAt10 at a mean of 10 C and
// LongerAt5 at 5 C; by the same line not at all from 15 C on, and below 5 C no more than at 5, though lime then
// hardly gains (all ESTIMATE).
func (r Rules) FrostFree(c Record, f material.Finish) FrostFree {
	laid, d := c.Laid(), f.FrostFree
	known := c.part(laid, laid+d.High*day)
	w := FrostFree{Mean: known.mean(func(h Hour) float64 { return h.Air })}
	slope := (r.LongerAt5.Value - r.LongerAt10.Value) / 5
	w.Longer = max(0, r.LongerAt10.Value+slope*(10-max(w.Mean, 5)))
	end := func(days float64) float64 { return laid + days*day*(1+w.Longer) }
	w.Earliest, w.Likely, w.Latest = end(d.Low), end(d.Value), end(d.High)
	w.Assumed = c.Horizon() < w.Latest
	wait := c.part(laid, w.Latest)
	w.Frosts = wait.spans(func(h Hour) float64 { return -min(h.Face, h.Air) })
	w.Outlook = c.outlook(w.Frosts, w.Latest)
	switch t := w.Outlook.Comes; {
	case w.Outlook.Open():
		w.Grade = Unknown
	case t.Beyond:
		w.Grade = None
	case t.At < w.Earliest:
		w.Grade = Certain
	case t.At < w.Likely:
		w.Grade = Likely
	default:
		w.Grade = Possible
	}
	return w
}

// mean is the mean of a quantity over the course.
func (c Record) mean(of func(Hour) float64) float64 {
	if len(c.hours) == 1 {
		return of(c.hours[0])
	}
	sum := 0.0
	for i := 1; i < len(c.hours); i++ {
		sum += (of(c.hours[i-1]) + of(c.hours[i])) / 2 * (c.hours[i].Time - c.hours[i-1].Time)
	}
	return sum / (c.Horizon() - c.Laid())
}

// firstFreeze is the first freeze that begins or goes on after t.
func firstFreeze(zs []Freeze, t float64) (Freeze, bool) {
	i := slices.IndexFunc(zs, func(z Freeze) bool { return z.End > t })
	if i < 0 {
		return Freeze{}, false
	}
	return zs[i], true
}
