package drying_test

import (
	"cmp"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"limeday/drying"
	"limeday/drying/material"
)

// TestWhatMovesTheAnswer takes every number of the material table that goes into a first coat of polish on primed board,
// and what the plasterer brings, to the ends of their ranges one at a time, and holds the contributors' guide to what it says
// of them: which moves opening most, and which the end of the window.
func TestWhatMovesTheAnswer(t *testing.T) {
	base := usual(t, 20, 50, material.Fair, 1, 0.2)
	ref := ladder(t, base)[0]
	type mover struct {
		name          string
		opens, closes float64 // the larger over the smaller time of the two ends
	}
	var movers []mover
	try := func(name string, ends ...func(*drying.LadderAsk)) {
		lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{}
		for _, end := range append(ends, func(*drying.LadderAsk) {}) {
			ask := base
			ask.Spots = []material.Background{base.Spots[0]}
			ask.Spots[0].Layers = slices.Clone(base.Spots[0].Layers)
			ask.Thicknesses = slices.Clone(base.Thicknesses)
			end(&ask)
			r, err := drying.Ladder(ask)
			if err != nil {
				t.Logf("%s: %v", name, err) // an end of the range that does not go with the other numbers
				continue
			}
			for i, x := range []float64{r[0].Opens, r[0].Closes} {
				lo[i], hi[i] = min(lo[i], x), max(hi[i], x)
			}
		}
		movers = append(movers, mover{name, hi[0] / lo[0], hi[1] / lo[1]})
	}
	property := reflect.TypeFor[material.Property]()
	each := func(kind string, of func(*drying.LadderAsk) reflect.Value) {
		probe := base
		v := of(&probe)
		for i := range v.NumField() {
			if v.Type().Field(i).Type != property || v.Type().Field(i).Name == "Thickest" {
				continue
			}
			p := v.Field(i).Interface().(material.Property)
			set := func(x float64) func(*drying.LadderAsk) {
				return func(a *drying.LadderAsk) { of(a).Field(i).FieldByName("Value").SetFloat(x) }
			}
			try(kind+" "+v.Type().Field(i).Name+" ("+string(p.Evidence)+")", set(p.Low), set(p.High))
		}
	}
	each("finish", func(a *drying.LadderAsk) reflect.Value { return reflect.ValueOf(&a.Finish).Elem() })
	for i, name := range []string{"primer", "paper", "gypsum"} {
		each(name, func(a *drying.LadderAsk) reflect.Value { return reflect.ValueOf(&a.Spots[0].Layers[i]).Elem() })
	}
	try("thickness as laid, 20 % either way", func(a *drying.LadderAsk) { a.Thicknesses[0] *= 0.8 }, func(a *drying.LadderAsk) { a.Thicknesses[0] *= 1.2 })
	try("air speed, 0.05 to 0.3 m/s", func(a *drying.LadderAsk) { a.AirSpeed = 0.05 }, func(a *drying.LadderAsk) { a.AirSpeed = 0.3 })
	try("humidity, 5 % either way", func(a *drying.LadderAsk) { a.Air = moist(t, 20, 45) }, func(a *drying.LadderAsk) { a.Air = moist(t, 20, 55) })
	try("temperature, 2 K either way", func(a *drying.LadderAsk) { a.Air = moist(t, 18, 50) }, func(a *drying.LadderAsk) { a.Air = moist(t, 22, 50) })
	t.Logf("opens %.1f min, gone by %.1f, next coat %.1f", ref.Opens/60, ref.Closes/60, ref.Next/60)
	for _, e := range []struct {
		what  string
		of    func(mover) float64
		first []string // the largest movers, as DEVELOPERS.md names them
	}{
		{"opens", func(m mover) float64 { return m.opens }, []string{"finish WaterRatio", "primer MeanSuction", "finish OpensShare", "finish ShrinkageLimit", "primer Absorption"}},
		{"gone by", func(m mover) float64 { return m.closes }, []string{"finish WaterRatio", "thickness as laid", "finish Closes"}},
	} {
		slices.SortStableFunc(movers, func(a, b mover) int { return cmp.Compare(e.of(b), e.of(a)) })
		for i, m := range movers[:8] {
			t.Logf("%-8s x %.2f  %s", e.what, e.of(m), m.name)
			if i < len(e.first) && !strings.HasPrefix(m.name, e.first[i]) {
				t.Errorf("%s is moved most, at place %d, by %s; the guide says %s", e.what, i+1, m.name, e.first[i])
			}
		}
	}
}
