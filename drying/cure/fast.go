package cure

import "limeday/drying/material"

// Fast is drying too fast, while the coat first dries.
type Fast struct {
	Caution, Stop   float64           // the rates judged by, g/(m2 h)
	Lime            bool              // they are those for lime; else those published for concrete
	Young           Span              // while the coat first dries, as far as known
	Most            float64           // the highest rate in it, g/(m2 h)
	MostAt          float64           // s
	Cautions, Stops []Span            // above them
	Sun             []Span            // the sun on the face
	Wind, WindStop  []Span            // wind above the cautioning and, on thin films, the stopping speed
	DryAir          []Span            // air drier than is good
	Chalk           Grade             // of chalking, a thick coat having dried too early
	Dried           Moment            // when the face has first dried
	DriesAt         material.Property // S at which it counts as dry
}

// TooFast judges the first drying of a film of m metres.
func (r Rules) TooFast(c Record, f material.Finish, m float64) Fast {
	w := Fast{Caution: r.OtherCaution.Value, Stop: r.OtherStop.Value, Dried: c.drained(f.Dry.Value), DriesAt: f.Dry}
	thick := m > r.ThickFilm.Value
	if thick || f.Portlandite.Value >= r.PuttyRich.Value {
		w.Lime, w.Caution, w.Stop = true, r.LimeCaution.Value, r.LimeStop.Value
	}
	young := c.part(c.Laid(), w.Dried.At)
	w.Young = Span{c.Laid(), w.Dried.At}
	for _, h := range young.hours[:max(1, len(young.hours)-1)] { // the last only ends the one before
		if g := h.Evaporation * 3.6e6; g > w.Most {
			w.Most, w.MostAt = g, h.Time
		}
	}
	w.Cautions = young.steps(func(h Hour) bool { return h.Evaporation*3.6e6 > w.Caution })
	w.Stops = young.steps(func(h Hour) bool { return h.Evaporation*3.6e6 > w.Stop })
	w.Sun = young.steps(func(h Hour) bool { return h.Sun > r.SunOn.Value })
	w.Wind = young.spans(func(h Hour) float64 { return h.Wind - r.WindCaution.Value })
	if !thick {
		w.WindStop = young.spans(func(h Hour) float64 { return h.Wind - r.WindStop.Value })
	}
	w.DryAir = young.spans(func(h Hour) float64 { return r.DryAir.Value - h.RH })
	if !thick {
		return w
	}
	switch age := (w.Dried.At - c.Laid()) / hour; {
	case w.Dried.Beyond && age < r.ChalkPossibly.Value:
		w.Chalk = Unknown
	case w.Dried.Beyond || age >= r.ChalkPossibly.Value:
	case age < r.ChalkCertainly.Value:
		w.Chalk = Likely
	default:
		w.Chalk = Possible
	}
	return w
}
