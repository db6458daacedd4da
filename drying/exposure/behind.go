package exposure

import "limeday/drying/wall"

// What lies between the layers of a wall outdoors and a heated room behind them.
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
	Temp *float64 // C, what the air there is kept at; nil where that is not known
}

// BehindKind names what lies behind a wall.
type BehindKind string

// The kinds. The zero value is not said.
const (
	NotSaid     BehindKind = ""
	Partition   BehindKind = "partition" // its other face, in the same air
	Solid       BehindKind = "solid"     // masonry that goes on
	Cavity      BehindKind = "cavity"    // an air gap, and the weather or a room beyond it
	AnotherRoom BehindKind = "room"
)
