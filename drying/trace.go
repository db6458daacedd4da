package drying

import (
	"time"

	"limeday/drying/coat"
	"limeday/psychro"
)

// TracePoint is the day at a moment, C.
type TracePoint struct {
	Time                time.Time
	Air, DewPoint, Face float64
}

// trace turns what a wall recorded into the course of the day.
func (d *day) trace(samples []coat.Sample) []TracePoint {
	var points []TracePoint
	for _, s := range samples {
		dew, err := psychro.DewPoint(psychro.Pascal(s.Vapour))
		if err != nil {
			continue // drier than any air of a building
		}
		points = append(points, TracePoint{d.moment(s.Time), s.Air, float64(dew), s.Face})
	}
	return points
}
