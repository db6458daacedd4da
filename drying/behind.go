package drying

import "limeday/drying/exposure"

// BehindNamed is what is behind a wall indoors, of a name ("" where it is not said), and what the air there is kept at, C; nil where that
// is not known.
func BehindNamed(name string, temp *float64) exposure.Behind {
	return exposure.Behind{Kind: exposure.BehindKind(name), Temp: temp}
}
