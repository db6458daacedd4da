package drying_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/psychro"
)

var faceLadder = []drying.FaceState{drying.FaceHoar, drying.FaceFreezes, drying.FaceDew, drying.FaceAtDew, drying.FaceNearDew, drying.FaceClear}

func airOf(t interface{ Fatal(...any) }, temp, rh float64) psychro.Air {
	air, err := psychro.NewAir(psychro.Celsius(temp), psychro.Fraction(rh), psychro.StandardPressure(0))
	if err != nil {
		t.Fatal(err)
	}
	return air
}

// Each rung of the ladder, on both sides of its limit.
func TestStateOfFace(t *testing.T) {
	warm, cold := airOf(t, 20, 0.6), airOf(t, 2, 0.8) // dew points 12.0 and -1.1 C, frost point -1.0 C
	dew := float64(warm.DewPoint())
	for _, tc := range []struct {
		face float64
		air  psychro.Air
		want drying.FaceState
	}{
		{dew + 3.01, warm, drying.FaceClear}, {dew + 2.99, warm, drying.FaceNearDew}, {dew + 1.01, warm, drying.FaceNearDew}, {dew + 0.99, warm, drying.FaceAtDew},
		{dew + 0.01, warm, drying.FaceAtDew}, {dew - 0.01, warm, drying.FaceDew}, {-0.4, cold, drying.FaceFreezes}, {-0.6, cold, drying.FaceFreezes}, {-2, cold, drying.FaceHoar},
		{-3, airOf(t, 10, 0.2), drying.FaceFreezes}, {-0.1, airOf(t, 10, 0.2), drying.FaceFreezes}, {0.1, airOf(t, 10, 0.2), drying.FaceClear},
	} {
		if got := drying.StateOfFace(tc.face, tc.air); got != tc.want {
			t.Errorf("a face of %.2f C in air of dew point %.2f C: %s, want %s", tc.face, float64(tc.air.DewPoint()), got, tc.want)
		}
	}
}

// Above freezing a warmer face in the same air is never worse, nor a drier air on the same face.
func TestFaceStateIsMonotone(t *testing.T) {
	rank := func(s drying.FaceState) int { return slices.Index(faceLadder, s) }
	rapid.Check(t, func(t *rapid.T) {
		temp, rh, face := rapid.Float64Range(-10, 40).Draw(t, "air"), rapid.Float64Range(0.1, 1).Draw(t, "rh"), rapid.Float64Range(0.1, 40).Draw(t, "face")
		air := airOf(t, temp, rh)
		at := rank(drying.StateOfFace(face, air))
		if at < 0 || rank(drying.StateOfFace(face+rapid.Float64Range(0, 10).Draw(t, "warmer"), air)) < at {
			t.Fatalf("a warmer face is worse than %s", faceLadder[max(at, 0)])
		}
		if rank(drying.StateOfFace(face, airOf(t, temp, rh*rapid.Float64Range(0.1, 1).Draw(t, "drier")))) < at {
			t.Fatalf("a drier air is worse than %s", faceLadder[at])
		}
	})
}
