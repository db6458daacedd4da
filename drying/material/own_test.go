package material

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestOwn: a finish of the user's own keeps what was not given, marks what was, and is refused when it
// cannot be.
func TestOwn(t *testing.T) {
	f, err := Own("house-lime", "polished-lime", map[string]float64{"water_ratio": 0.42, "thickest": 0.3e-3})
	if err != nil {
		t.Fatal(err)
	}
	base, _ := FinishNamed("polished-lime")
	if f.WaterRatio.Value != 0.42 || f.WaterRatio.Evidence != User || f.Mu != base.Mu || f.Name != "house-lime" {
		t.Errorf("%+v", f)
	}
	for name, bad := range map[string]map[string]float64{
		"shrinkage limit above the water":  {"shrinkage_limit": 0.5},
		"negative suction":                 {"fresh_suction": -3},
		"fresh suction above air entry":    {"fresh_suction": 9e4, "air_entry": 5e3},
		"no water":                         {"water_ratio": 0},
		"not a number":                     {"mu": math.NaN()},
		"saturations out of order":         {"dry": 0.9},
		"more water at 80 % than pores":    {"w80": 290},
		"no such key":                      {"colour": 1},
		"edge ends after opening":          {"edge_share": 0.05},
		"desorptivity below fresh suction": {"desorbed_at": 200},
	} {
		_, err := Own("x", "polished-lime", bad)
		var e *FinishError
		if !errors.As(err, &e) {
			t.Errorf("%s: %v", name, err)
		}
	}
	var u *UnknownError
	if _, err := Own("x", "polish", nil); !errors.As(err, &u) {
		t.Errorf("like an unknown finish: %v", err)
	}
}

// TestOwnRandom: whatever numbers are given, a finish is refused or its curves are usable.
func TestOwnRandom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := map[string]float64{}
		for _, o := range owns() {
			if rapid.Bool().Draw(t, "give "+o.key) {
				values[o.key] = math.Exp(rapid.Float64Range(math.Log(max(o.low, 1e-3)/2), math.Log(o.high*2)).Draw(t, o.key))
			}
		}
		f, err := Own("x", rapid.SampledFrom(Finishes()).Draw(t, "like"), values)
		if err != nil {
			return
		}
		tab, err := f.Table()
		if err != nil {
			t.Fatalf("accepted, but: %v", err)
		}
		if u, _ := tab.Water(f.FreshY()); !(u > f.ShrinkageLimit.Value) {
			t.Fatalf("as laid %g, shrinkage limit %g", u, f.ShrinkageLimit.Value)
		}
	})
}
