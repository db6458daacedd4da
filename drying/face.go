package drying

import "limeday/psychro"

// FaceState is what a face comes to in an air, by its temperature alone.
type FaceState string

// The states, the worst first.
const (
	FaceHoar    FaceState = "hoar"     // frost grows on it: below 0 C, and at or below the frost point
	FaceFreezes FaceState = "freezes"  // below 0 C: water on it freezes, if not yet that in the pores of a fresh coat (FreezesAt)
	FaceDew     FaceState = "dew"      // at or below its dew point
	FaceAtDew   FaceState = "at-dew"   // less than DewStop above it
	FaceNearDew FaceState = "near-dew" // less than DewCare above it
	FaceClear   FaceState = "clear"
)

// StateOfFace is the state of a face of so many C in an air: the one ladder that every judgement of dew and freezing stands on.
func StateOfFace(face float64, air psychro.Air) FaceState {
	margin := face - float64(air.DewPoint())
	hoar := margin <= 0
	if frost, below := air.FrostPoint(); below && face <= float64(frost) {
		hoar = true
	}
	switch {
	case face < 0 && hoar:
		return FaceHoar
	case face < 0:
		return FaceFreezes
	case margin <= 0:
		return FaceDew
	case margin < DewStop:
		return FaceAtDew
	case margin < DewCare:
		return FaceNearDew
	}
	return FaceClear
}
