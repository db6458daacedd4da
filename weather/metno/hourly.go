package metno

import (
	"math"
	"time"

	"limeday/psychro"
	"limeday/weather"
)

// maxStep is the longest step that is laid out as hours; beyond it a gap is left.
const maxStep = 12 * time.Hour

// hourly puts a record at every hour of the longer steps: state on straight
// lines, vapour pressure and not relative humidity among it, and amounts spread
// evenly over the hours they were given for. All of it is tagged coarse.
func hourly(in []weather.Record) []weather.Record {
	var out []weather.Record
	for i, a := range in {
		amounts := a.Time.Add(a.Span) // how far they reach
		if a.Span > time.Hour {
			a.Span = time.Hour
		}
		out = append(out, a)
		if i+1 == len(in) {
			// The last step has no end to draw a line to: only its first hour is known.
			break
		}
		b := in[i+1]
		step := b.Time.Sub(a.Time)
		if step > maxStep {
			continue
		}
		for at := a.Time.Add(time.Hour); at.Before(b.Time); at = at.Add(time.Hour) {
			r := between(a, b, at)
			if at.Before(amounts) {
				r.Rain, r.RainChance, r.Span = a.Rain, a.RainChance, min(b.Time.Sub(at), time.Hour)
			}
			out = append(out, r)
		}
	}
	return out
}

// states are the values of a record that hold at an instant, but for the wind's direction.
func states(r *weather.Record) []*weather.Value {
	return []*weather.Value{&r.Temperature, &r.Vapour, &r.Pressure, &r.Wind, &r.Gust, &r.Cloud, &r.TempLow, &r.TempHigh}
}

// between is the state on the line from a to b; what either lacks stays missing.
func between(a, b weather.Record, at time.Time) weather.Record {
	x := float64(at.Sub(a.Time)) / float64(b.Time.Sub(a.Time))
	r := weather.Record{Time: at}
	from, to := states(&a), states(&b)
	for i, v := range states(&r) {
		if from[i].Known() && to[i].Known() {
			*v = weather.Value{V: from[i].V + x*(to[i].V-from[i].V), Tag: weather.Coarse}
		}
	}
	if r.Temperature.Known() && r.Vapour.Known() {
		// A line between two damp points can pass above saturation, which is curved.
		r.Vapour.V = min(r.Vapour.V, float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V))))
	}
	if a.WindFrom.Known() && b.WindFrom.Known() { // the shorter way round
		turn := math.Mod(b.WindFrom.V-a.WindFrom.V+540, 360) - 180
		r.WindFrom = weather.Value{V: math.Mod(a.WindFrom.V+x*turn+360, 360), Tag: weather.Coarse}
	}
	return r
}
