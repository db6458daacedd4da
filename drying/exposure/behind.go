package exposure

import (
	"math"

	"limeday/drying/material"
	"limeday/drying/wall"
)

// What lies between the layers of a wall and what has a temperature of its own behind them.
const (
	surfaceInside = 0.13 // R_si of a wall, m2 K/W: ISO 6946, horizontal heat flow (from memory)
	// restOfWall is the thermal resistance of the rest of the wall, m2 K/W: half a brick of 0.1025 m and
	// 0.7 W/(m K) and a plaster of 15 mm and 0.8 W/(m K) (ESTIMATE; 0 for a wall of half a brick to 3 for an
	// insulated one).
	restOfWall = 0.165
	// airGap is the thermal resistance of an unventilated cavity of 25 mm and more, m2 K/W: ISO 6946, horizontal heat
	// flow (from memory); filled with insulation it is some 1 to 3.
	airGap = 0.18
)

// RoomBehind is a room kept at temperature t, C, behind a wall outdoors whose layers are the outer half of a wall
// one brick thick, or, before a cavity, its outer leaf.
func RoomBehind(t float64, cavity bool) wall.RearSpec {
	r := surfaceInside + restOfWall
	if cavity {
		r += airGap
	}
	return wall.RearSpec{Temperature: t, Transmittance: 1 / r}
}

// Behind is what lies behind the layers of a wall indoors.
type Behind struct {
	Kind BehindKind
	Temp *float64 // C, what the air beyond it is kept at; nil where that is not known
}

// BehindKind names what lies behind a wall.
type BehindKind string

// The kinds. The zero value is not said.
const (
	NotSaid     BehindKind = ""
	Partition   BehindKind = "partition" // its other face, in the same air
	Solid       BehindKind = "solid"     // masonry that goes on
	Cavity      BehindKind = "cavity"    // an air gap, another leaf, and air of its own
	AnotherRoom BehindKind = "room"      // another room
)

// Words are the kind as people read it.
func (k BehindKind) Words() string {
	switch k {
	case Partition:
		return "a partition"
	case Solid:
		return "solid masonry"
	case Cavity:
		return "a cavity"
	case AnotherRoom:
		return "another room"
	}
	return "not said"
}

// thickWall is how thick a wall's layers are, m, that are taken for masonry that goes on, where nothing is said (judgement, no source).
const thickWall = 0.05

// Usual is what is taken to be behind a background where nothing is said: a partition behind boards, and masonry that goes on
// behind masonry (judgement, no source).
func Usual(b material.Background) BehindKind {
	if thickness(b.Layers) >= thickWall {
		return Solid
	}
	return Partition
}

func thickness(layers []material.Rigid) (m float64) {
	for _, l := range layers {
		m += l.Thickness.Value
	}
	return m
}

// further is how much more masonry counts behind a solid wall's own layers, m: what a day's swing of temperature reaches is some 0.1 m
// in brick (see [Behind.Fade]), and what lies behind 0.2 m is not felt.
const further = 0.1

// Wall is the background with the mass behind it, and what heat passes to behind that.
func (b Behind) Wall(on material.Background) (material.Background, wall.RearSpec) {
	switch b.Kind {
	case Solid:
		mass := on.Layers[len(on.Layers)-1]
		if thickness(on.Layers) < thickWall { // boards against masonry
			brick, err := material.BackgroundNamed("brick", "")
			if err != nil {
				panic("exposure: no brick")
			}
			mass = brick.Layers[0]
		}
		mass.Thickness.Value = further
		on.Layers = append(on.Layers[:len(on.Layers):len(on.Layers)], mass)
	case Cavity:
		if b.Temp != nil { // its other leaf, and the surface beyond
			return on, wall.RearSpec{Temperature: *b.Temp, Transmittance: 1 / (airGap + restOfWall + surfaceInside)}
		}
	case AnotherRoom:
		if b.Temp != nil {
			return on, wall.RearSpec{Temperature: *b.Temp, Transmittance: 1 / surfaceInside}
		}
	}
	return on, wall.RearSpec{}
}

// Explains is what the air behind a wall is kept at, C, where its face was found at a temperature in air at another, and all is steady:
// what comes to the face from the air, by the coefficient of a room's surface, goes on through the wall.
func (b Behind) Explains(on material.Background, air, face float64) Behind {
	if b.Temp != nil || b.Kind != Cavity && b.Kind != AnotherRoom {
		return b
	}
	t := air
	b.Temp = &t
	_, rear := b.Wall(on)
	r := 1 / rear.Transmittance
	for _, l := range on.Layers {
		r += l.Thickness.Value / l.Conductivity.Value
	}
	t = face - (air-face)/surfaceInside*r
	return b
}

// day is the time over which a solid wall is taken to have come to differ, s.
const day = 86400.0

// Fade is how much of what the face of a wall differs by from what was worked out is found at a depth, m, behind the face of the bare
// wall: all of it in a partition, ever less towards air that has a temperature of its own, and in solid masonry as a swing of a day dies away,
// exp(-x sqrt(pi/(a t))) (textbook form, from memory; a = lambda/(rho c)).
func (b Behind) Fade(on material.Background) func(depth float64) float64 {
	switch b.Kind {
	case Solid:
		with, _ := b.Wall(on)
		m := with.Layers[len(with.Layers)-1]
		a := m.Conductivity.Value / (m.Density.Value * m.HeatCapacity.Value)
		k := math.Sqrt(math.Pi / (a * day))
		return func(x float64) float64 { return math.Exp(-k * x) }
	case Cavity, AnotherRoom:
		// By resistance the fall is straight within each layer.
		_, rear := b.Wall(on)
		if rear.Transmittance == 0 {
			break
		}
		all := 1 / rear.Transmittance
		for _, l := range on.Layers {
			all += l.Thickness.Value / l.Conductivity.Value
		}
		return func(x float64) float64 {
			r := 0.0
			for _, l := range on.Layers {
				d := min(x, l.Thickness.Value)
				r += d / l.Conductivity.Value
				x -= d
			}
			return 1 - r/all
		}
	}
	return func(float64) float64 { return 1 }
}

// SteadyFace is the temperature of a face in air at a temperature, C, when the heat that passes the wall is steady.
func SteadyFace(on material.Background, rear wall.RearSpec, air float64) float64 {
	if rear.Transmittance == 0 {
		return air
	}
	r := 1 / rear.Transmittance
	for _, l := range on.Layers {
		r += l.Thickness.Value / l.Conductivity.Value
	}
	return rear.Temperature + (air-rear.Temperature)*r/(r+surfaceInside)
}
