package drying

import "strings"

// Shade is how a tint behaves under the blade.
type Shade string

// The shades. A tint in words that tell neither pale nor dark is Middling.
const (
	Pale     Shade = "pale"
	Middling Shade = "middling"
	Dark     Shade = "dark"
)

// ShadeOf reads a tint's name.
func ShadeOf(tint string) Shade {
	has := func(words ...string) bool {
		for _, f := range strings.FieldsFunc(strings.ToLower(tint), func(r rune) bool { return r < 'a' || r > 'z' }) {
			for _, w := range words {
				if f == w {
					return true
				}
			}
		}
		return false
	}
	switch {
	case has("dark", "deep", "black", "charcoal", "anthracite", "navy", "slate", "umber", "oxblood"):
		return Dark
	case has("pale", "light", "white", "ivory", "cream", "chalk", "bone", "off", "natural"):
		return Pale
	}
	return Middling
}

// Advice is what the shade asks of the hand, within a sentence; empty of a middling one (common practice, no source).
func (s Shade) Advice() string {
	switch s {
	case Pale:
		return "pale tint: test the blade in a corner, and stop sooner, before it greys"
	case Dark:
		return "dark tint: do not mist, keep condensation off, spots and bloom show"
	}
	return ""
}

// JudgeDry is how a tint is judged (common practice, no source).
func JudgeDry() string {
	return "Judge a tint dry, against the approved sample: a polished lime dries markedly lighter (common practice, no source)."
}

// absorptance is the share of sunlight a face of the shade takes up (ESTIMATE: 0.2-0.4, 0.4-0.7, 0.7-0.9).
func (s Shade) absorptance() float64 {
	switch s {
	case Pale:
		return 0.3
	case Dark:
		return 0.8
	}
	return 0.55
}
