package power

import (
	"math"
	"time"

	"limeday/weather"
)

// records puts the means where a Record wants them: amounts at the start of
// their hour, state at full hours between two means.
func (h *hours) records() []weather.Record {
	out := make([]weather.Record, 0, len(h.means))
	lastVapour := math.NaN()
	for i := range h.means {
		m := &h.means[i]
		r := weather.Record{
			Time: time.Unix(m.hour*3600, 0).UTC(), Span: time.Hour,
			Rain: amount(m.v[rain]), Global: amount(m.v[global]), Direct: amount(m.v[direct]), Diffuse: amount(m.v[diffuse]),
		}
		vapour := h.vapour(m)
		if i > 0 && h.means[i-1].hour == m.hour-1 {
			a := &h.means[i-1]
			r.Temperature = between(a.v[temp], m.v[temp])
			r.Vapour = between(lastVapour, vapour)
			r.Pressure = between(a.v[pressure], m.v[pressure])
			r.Wind = between(a.v[wind], m.v[wind])
			r.WindFrom = direction(a.v[windFrom], m.v[windFrom])
		}
		lastVapour = vapour
		out = append(out, r)
	}
	return out
}

// vapour is the mean vapour pressure of an hour, Pa.
func (h *hours) vapour(m *mean) float64 {
	v, err := weather.VapourOf(amount(m.v[temp]), amount(m.v[dew]), amount(m.v[humidity]))
	if err != nil {
		h.dropped.Add("dew point above temperature", stamp(m.hour)+": "+err.Error())
		return math.NaN()
	}
	if !v.Known() {
		return math.NaN()
	}
	return v.V
}

// amount is a mean where it stands; NaN is missing.
func amount(v float64) weather.Value {
	if math.IsNaN(v) {
		return weather.Value{}
	}
	return weather.Value{V: v, Tag: weather.Estimated}
}

// between is halfway between two means; missing if one is.
func between(a, b float64) weather.Value {
	if v := (a + b) / 2; !math.IsNaN(v) {
		return weather.Value{V: v, Tag: weather.Interpolated}
	}
	return weather.Value{}
}

// direction is halfway between two directions, the shorter way round; opposite
// ones have no middle.
func direction(a, b float64) weather.Value {
	turn := math.Mod(b-a+540, 360) - 180
	if math.IsNaN(turn) || math.Abs(turn) > 179 {
		return weather.Value{}
	}
	return weather.Value{V: math.Mod(a+turn/2+360, 360), Tag: weather.Interpolated}
}
