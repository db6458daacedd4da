package drying

import (
	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/exposure"
	"limeday/drying/material"
)

// back is what is behind a wall indoors, settled.
type back struct {
	exposure.Behind
	on   material.Background
	fade func(depth float64) float64
}

// newBack settles what is behind a wall, as said, or as is usual where its face was found colder or warmer than the air; face is nil where
// it was not measured. Temperatures are in C.
func newBack(said exposure.Behind, on material.Background, air float64, face *float64) back {
	if face != nil {
		if said.Kind == exposure.NotSaid {
			said.Kind = exposure.Usual(on)
		}
		said = said.Explains(on, air, *face)
	}
	return back{said, on, said.Fade(on)}
}

// spot is a spot of the wall with what is behind it.
func (b back) spot(on material.Background, s coat.Setting) course.Spot {
	p := course.Spot{Background: on, Setting: s}
	if b.Kind != exposure.NotSaid {
		p.Background, p.Setting.Rear = b.Wall(on)
		p.Setting.WallTemp = exposure.SteadyFace(p.Background, p.Setting.Rear, s.WallTemp)
	}
	return p
}
