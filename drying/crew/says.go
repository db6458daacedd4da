package crew

import "limeday/drying"

// Unknowns are what a plan does not know.
func Unknowns() string {
	return drying.Unknowns() + "; that a hand tires; patches that differ from their neighbours"
}

// Cautions are the dangers of the work.
func Cautions() []string {
	return append(drying.Cautions(), "On a scaffold its own rules come first, and nobody stands under the work.")
}
