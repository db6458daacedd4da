package coat

import (
	"math"
	"testing"

	"limeday/drying/material"
	"limeday/drying/wall"
)

// TestFactors: what each factor does to the times of a coat on brick and on a primed board is what it means. Neutral
// factors change nothing, and factors are not taken on top of the last ones.
func TestFactors(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	times := func(name string, x Factors, air []wall.Air) Times {
		w, err := Stand(background(t, name, ""), setting(15, 0.6, 0.1), 0)
		if err != nil {
			t.Fatal(err)
		}
		if x != (Factors{}) {
			strange := Factors{Drying: 0.5, Suction: 3, Desorptivity: 1, Excess: 2, Thickness: 1}
			w = w.With(strange, air).With(x, air)
		}
		if err := w.Lay(Coat{f, 0.2e-3}); err != nil {
			t.Fatal(err)
		}
		got, err := w.Dry(48 * 3600)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	with := func(set func(*Factors)) Factors {
		x := Neutral()
		set(&x)
		return x
	}
	same := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*b }
	for _, name := range []string{"brick", "primed-board"} {
		plain := times(name, Factors{}, nil)
		if got := times(name, Neutral(), nil); !same(got.Opens, plain.Opens) || !same(got.Closes, plain.Closes) || !same(got.Dry, plain.Dry) {
			t.Errorf("%s: neutral factors: %+v, %+v", name, got, plain)
		}
		for _, c := range []struct {
			what  string
			x     Factors
			holds func(Times) bool
		}{
			{"faster drying", with(func(x *Factors) { x.Drying = 1.3 }), func(y Times) bool { return y.Closes < 0.97*plain.Closes && y.Evaporation > plain.Evaporation }},
			{"more suction", with(func(x *Factors) { x.Suction = 2 }), func(y Times) bool { return y.Opens < 0.99*plain.Opens }},
			{"less desorptivity", with(func(x *Factors) { x.Desorptivity = 0.5 }), func(y Times) bool { return y.Opens >= 0.999*plain.Opens && y != plain }},
			{"wetter batch", with(func(x *Factors) { x.Excess = 1.5 }), func(y Times) bool { return y.Opens > 1.05*plain.Opens && y.Closes > plain.Closes }},
			{"thicker", with(func(x *Factors) { x.Thickness = 1.2 }), func(y Times) bool { return y.Opens > 1.02*plain.Opens && y.Closes > 1.1*plain.Closes }},
			{"opens wetter", with(func(x *Factors) { x.Opens = 1 }), func(y Times) bool {
				return y.Opens < plain.Opens && y.Opens > plain.Edge && same(y.Closes, plain.Closes)
			}},
			{"goes by later", with(func(x *Factors) { x.Closes = -1 }), func(y Times) bool {
				return y.Closes > plain.Closes && y.Closes < plain.Dry && same(y.Opens, plain.Opens)
			}},
		} {
			if y := times(name, c.x, nil); !c.holds(y) {
				t.Errorf("%s, %s: %+v, plain %+v", name, c.what, y, plain)
			}
		}
	}
	damp := setting(15, 0.9, 0.1).Air
	if y := times("primed-board", Neutral(), damp); !(y.Closes > 2*times("primed-board", Factors{}, nil).Closes) {
		t.Errorf("other air: %+v", y)
	}
}

// TestSuctionFactor: the factor on A_w is that of the layer itself: a brick tabulated with twice the absorption drinks
// like one under twice the factor.
func TestSuctionFactor(t *testing.T) {
	f, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	b := background(t, "brick", "")
	twice := b
	twice.Layers = append([]material.Rigid(nil), b.Layers...)
	for i := range twice.Layers {
		twice.Layers[i].Absorption.Value *= 2
	}
	opens := func(b material.Background, k float64) float64 {
		w, err := Stand(b, setting(15, 0.6, 0.1), 0)
		if err != nil {
			t.Fatal(err)
		}
		x := Neutral()
		x.Suction = k
		w = w.With(x, nil)
		if err := w.Lay(Coat{f, 10e-3}); err != nil {
			t.Fatal(err)
		}
		got, err := w.Dry(48 * 3600)
		if err != nil {
			t.Fatal(err)
		}
		return got.Opens
	}
	if a, b := opens(b, 2), opens(twice, 1); math.Abs(a-b) > 0.002*b {
		t.Errorf("opens after %.1f s under twice the factor, %.1f on a brick of twice the absorption", a, b)
	}
}
