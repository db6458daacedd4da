package cure

import (
	"math"

	"limeday/psychro"
)

// Dampness names how the air wets a face without rain.
type Dampness string

// Its kinds.
const (
	Dew  Dampness = "dew"  // the face is at or below the dew point
	Hoar Dampness = "hoar" // it is below 0 C and at or below the frost point
	Fog  Dampness = "fog"  // the air is all but saturated; the face itself is warmer
)

// Damped is a stretch in which the air wets the face, or keeps it from drying.
type Damped struct {
	Span
	Kind   Dampness
	Margin float64 // the least of the face above the dew point (the frost point for hoar), K
}

// margins are how far the face is above the air's dew point, and above its frost point, K.
func (h Hour) margins() (dew, frost float64) {
	e := psychro.Pascal(h.RH) * psychro.SaturationWater(psychro.Celsius(h.Air))
	d, err := psychro.DewPoint(e)
	if err != nil {
		panic(err) // a course's air is within range
	}
	dew, frost = h.Face-float64(d), math.Inf(1)
	if i, err := psychro.FrostPoint(e); err == nil {
		frost = h.Face - float64(i)
	}
	return dew, frost
}

// atPoint is how near to its dew point a face counts as at it, K: the accuracy of the dew point.
const atPoint = 1e-6

// DewAndFog lists when the air wets the face: dew and hoar first, then fog, each in order of time.
func (r Rules) DewAndFog(c Record) []Damped {
	// The two points of each hour once: they cost a root each.
	dews, frosts := map[float64]float64{}, map[float64]float64{}
	for _, h := range c.hours {
		dews[h.Time], frosts[h.Time] = h.margins()
	}
	above := func(h Hour) float64 { return h.Face }
	below := func(h Hour) float64 { return math.Nextafter(0, -1) - h.Face }
	// Where no frost point exists the air's dew point is above 0 C, and so above a face below 0 C.
	hoar := func(h Hour) float64 {
		if m := frosts[h.Time]; !math.IsInf(m, 1) {
			return atPoint - m
		}
		return atPoint - dews[h.Time]
	}
	dew := func(h Hour) float64 { return atPoint - dews[h.Time] }
	fog := func(h Hour) float64 { return h.RH - r.FogFrom.Value }
	var out []Damped
	add := func(kind Dampness, conditions ...func(Hour) float64) {
		for _, s := range c.spans(conditions...) {
			d := Damped{s, kind, math.Inf(1)}
			for _, h := range c.part(s.Begin, s.End).hours {
				m, ice := h.margins()
				if kind == Hoar && !math.IsInf(ice, 1) {
					m = ice
				}
				d.Margin = min(d.Margin, m)
			}
			out = append(out, d)
		}
	}
	add(Dew, above, dew)
	add(Hoar, below, hoar)
	add(Fog, fog, func(h Hour) float64 { return min(dews[h.Time], frosts[h.Time]) - atPoint })
	return out
}
