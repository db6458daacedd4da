package source

import (
	"fmt"
	"math"
	"time"

	"limeday/weather"
)

// The check of the zone. Common practice, no source: the mean day is warmest some two to four hours after the sun's
// noon, at coasts with a sea breeze or a trade wind as early as noon.
const (
	warmFrom, warmTo = 11.0, 18.0 // the sun's time, h
	swing            = 2.0        // K: of less, nothing can be said
)

// clock doubts times whose mean day is not warmest in the afternoon, by the sun's mean time at the place; it is
// empty where there is no doubt, or no place.
func (y *Years) clock(o YearsOptions) string {
	if o.Place == nil && y.Series.Grid == nil {
		return ""
	}
	var sum, n [24]float64
	for _, r := range y.Series.Records {
		if v := r.Temperature; v.Known() && v.Tag != weather.Estimated {
			t := r.Time.Add(time.Duration(y.Place.Lon / 15 * float64(time.Hour)))
			sum[t.Hour()] += v.V
			n[t.Hour()]++
		}
	}
	warm, low, high := 0, math.Inf(1), math.Inf(-1)
	for h := range sum {
		if n[h] == 0 {
			continue
		}
		v := sum[h] / n[h]
		low = math.Min(low, v)
		if v > high {
			warm, high = h, v
		}
	}
	if high-low < swing || float64(warm) >= warmFrom && float64(warm) < warmTo {
		return ""
	}
	return fmt.Sprintf("The mean day is warmest at %02d:00 by the sun at longitude %.1f; expected the afternoon: the times may be in another zone.", warm, y.Place.Lon)
}
