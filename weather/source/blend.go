package source

import (
	"fmt"
	"math"
	"time"

	"limeday/psychro"
	"limeday/weather"
)

// fades is the time in which a reading's say over the forecast falls to 1/e (ESTIMATE: a few hours).
const fades = 6 * time.Hour

// Blend shifts a forecast by what a reading on site differs from it, most at the reading and fading over the
// hours before and after. Temperature and vapour pressure are shifted; the air never holds more than
// saturation. The readings themselves stand where they were taken. It returns the forecast as it was where no
// reading falls within it.
func Blend(forecast, readings weather.Series) weather.Series {
	var last *weather.Record
	for i := len(readings.Records) - 1; i >= 0 && last == nil; i-- {
		if r := readings.Records[i]; r.Temperature.Known() && r.Vapour.Known() {
			last = &readings.Records[i]
		}
	}
	if last == nil {
		return forecast
	}
	at, ok := between(forecast, last.Time)
	if !ok {
		return forecast
	}
	dt, de := last.Temperature.V-at.Temperature.V, last.Vapour.V-at.Vapour.V
	out := forecast
	out.Records = nil
	first := readings.Records[0].Time
	for _, r := range forecast.Records {
		if !r.Time.Before(first) && !r.Time.After(last.Time) {
			continue // the readings stand there
		}
		if r.Temperature.Known() && r.Vapour.Known() {
			k := math.Exp(-math.Abs(r.Time.Sub(last.Time).Hours()) / fades.Hours())
			r.Temperature.V += k * dt
			top := float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V)))
			r.Vapour.V = min(max(r.Vapour.V+k*de, 0.01*top), top)
		}
		out.Records = append(out.Records, r)
	}
	merged := make([]weather.Record, 0, len(out.Records)+len(readings.Records))
	i, j := 0, 0
	for i < len(out.Records) || j < len(readings.Records) {
		if j == len(readings.Records) || i < len(out.Records) && out.Records[i].Time.Before(readings.Records[j].Time) {
			merged = append(merged, out.Records[i])
			i++
		} else {
			merged = append(merged, readings.Records[j])
			j++
		}
	}
	out.Records = merged
	out.Notes = append(append([]string(nil), forecast.Notes...),
		fmt.Sprintf("The reading of %s shifts the forecast by %+.1f K and %+.0f Pa of vapour, fading over some %.0f hours.", last.Time.Format("15:04 MST"), dt, de, fades.Hours()))
	return out
}

// between is the forecast at t, by a straight line of temperature and vapour pressure.
func between(s weather.Series, t time.Time) (weather.Record, bool) {
	var before, after *weather.Record
	for i := range s.Records {
		r := &s.Records[i]
		if !r.Temperature.Known() || !r.Vapour.Known() {
			continue
		}
		if !r.Time.After(t) {
			before = r
		} else if after == nil {
			after = r
		}
	}
	switch {
	case before == nil:
		return weather.Record{}, false
	case after == nil:
		return *before, before.Time.Equal(t)
	}
	x := float64(t.Sub(before.Time)) / float64(after.Time.Sub(before.Time))
	mix := func(a, b weather.Value) weather.Value {
		return weather.Value{V: a.V + x*(b.V-a.V), Tag: weather.Interpolated}
	}
	return weather.Record{Time: t, Temperature: mix(before.Temperature, after.Temperature), Vapour: mix(before.Vapour, after.Vapour)}, true
}
