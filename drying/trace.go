package drying

import (
	"time"

	"limeday/drying/coat"
	"limeday/psychro"
)

// TracePoint is the day at a moment.
type TracePoint struct {
	Time                time.Time
	Air, DewPoint, Face float64 // C
	Sun                 float64 // on the wall, W/m2
	Rain                float64 // driven onto the wall, kg/(m2 h)
}

// trace turns what a wall recorded into the course of the day.
func (d *day) trace(samples []coat.Sample) []TracePoint {
	var points []TracePoint
	for _, s := range samples {
		dew, err := psychro.DewPoint(psychro.Pascal(s.Vapour))
		if err != nil {
			continue // drier than any air of a building
		}
		points = append(points, TracePoint{d.moment(s.Time), s.Air, float64(dew), s.Face, s.Sun, s.Rain * 3600})
	}
	return points
}
