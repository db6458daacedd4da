package drying

import (
	"math"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/material"
)

// Trace is how one coat dries: its times, as Ladder has them, and what its face goes through. It ends soon after the coat
// is dry, or with Horizon.
type Trace struct {
	Rung
	Fresh     float64         // W as laid, kg/kg
	Shrinkage float64         // W at the shrinkage limit, under which air enters the pores, kg/kg
	Levels    material.Levels // of W at the face (Dry: anywhere in the coat), at which its times come
	Points    []CoatPoint     // the first at laying
}

// CoatPoint is a coat at a moment.
type CoatPoint struct {
	After float64 // s after laying
	Water float64 // W at the face, kg/kg
	Face  float64 // temperature of the face, C
	Flux  float64 // evaporation from the face, kg/(m2 s); below 0 while dew forms
	Gone  float64 // evaporated since laying, kg/m2
	Drawn float64 // what the wall behind has drawn from the coat since laying, kg/m2; below 0 once it gives
}

// Follow runs one thickness of a ladder's coat and keeps its course. With several spots it is that of the slowest; the times
// are of all of them, as in Ladder. The errors are those of Ladder.
func Follow(ask LadderAsk, thickness float64) (Trace, error) {
	ask.Thicknesses = []float64{thickness}
	if err := ask.Check(); err != nil {
		return Trace{}, err
	}
	base, err := ask.stand(ask.setting())
	if err != nil {
		return Trace{}, err
	}
	var c Trace
	var samples []coat.Sample
	var start, fresh float64
	rung, err := ask.rung(base, thickness, func(w *course.Course) {
		var f material.Finish
		f, c.Levels = w.Laid()
		c.Fresh, c.Shrinkage = f.WaterRatio.Value, f.ShrinkageLimit.Value
		start, fresh = w.Time(), w.Holds()
		c.Points = []CoatPoint{{Water: c.Fresh, Face: w.Face()}}
		w.Record(&samples, 0)
	})
	if err != nil {
		return Trace{}, err
	}
	c.Rung = rung
	for _, s := range samples {
		c.Points = append(c.Points, CoatPoint{s.Time - start, s.Water, s.Face, s.Leaves, s.Gone, fresh - s.Holds - s.Gone})
	}
	if len(samples) > 0 {
		c.Points[0].Flux = c.Points[1].Flux
	}
	return c, nil
}

// Telling is how much a number must move to be told of, as a share (judgement, no source: a few times what the solver may be off).
const Telling = 0.03

// Differ reports whether two times or rates differ by enough to be told of.
func Differ(a, b float64) bool {
	return math.IsInf(a, 1) != math.IsInf(b, 1) || math.Abs(a-b) > Telling*math.Max(math.Abs(a), math.Abs(b))
}
