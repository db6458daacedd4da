package learn

import (
	"math"
	"testing"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// TestAir: air as doubted is moved by as many standard deviations as drawn, no further than saturation, by the doubt of its
// time; the given air stays.
func TestAir(t *testing.T) {
	sat := func(c float64) float64 { return float64(psychro.SaturationWater(psychro.Celsius(c))) }
	given := []wall.Air{{Time: 0, Temperature: 15, Radiant: 16, Speed: 0.2, Vapour: 0.6 * sat(15), Rain: 1e-6, Sun: 3},
		{Time: 3600, Temperature: 10, Radiant: 10, Speed: 0.1, Vapour: 0.97 * sat(10)}}
	doubts := []Doubt{{Time: 0, Temperature: 1, Vapour: 0.1, Speed: 0.3}, {Time: 7200, Temperature: 3, Vapour: 0.3, Speed: 0.3}}
	got := Lay{Temperature: -0.5, Vapour: 1, Speed: -2}.Air(given, doubts)
	a, b := got[0], got[1]
	if !near(a.Temperature, 14.5, 1e-9) || !near(a.Radiant, 15.5, 1e-9) || !near(a.Speed, 0.2*math.Exp(-0.6), 1e-9) || !near(a.Vapour, 0.6*sat(15)*math.Exp(0.1), 1e-9) {
		t.Errorf("air at 0: %+v", a)
	}
	if a.Rain != given[0].Rain || a.Sun != given[0].Sun || a.Time != 0 {
		t.Errorf("rain, sun and time stay: %+v", a)
	}
	if !near(b.Temperature, 9, 1e-9) || !near(b.Vapour, sat(9), 1e-9) {
		t.Errorf("air at 3600, halfway between the doubts, cannot hold more than %g: %+v", sat(9), b)
	}
	if given[0].Temperature != 15 {
		t.Error("the given air was changed")
	}
	for i, x := range (Lay{Temperature: 1, Vapour: 1, Speed: 1}).Air(given, nil) {
		if x != given[i] {
			t.Errorf("without doubts: %+v", x)
		}
	}
	if far := (Lay{Temperature: 99}).Air(given, doubts)[0].Temperature; far != 15+steepest {
		t.Errorf("a fit may try anything: %g", far)
	}
}

// TestDoubtsInTime: a doubt holds before the first and after the last, and runs straight between.
func TestDoubtsInTime(t *testing.T) {
	ds := []Doubt{{100, 1, 0.1, 0.3}, {200, 2, 0.3, 0.4}, {400, 2, 0.5, 0.4}}
	for _, c := range []struct{ time, temperature, vapour float64 }{
		{-50, 1, 0.1}, {100, 1, 0.1}, {150, 1.5, 0.2}, {200, 2, 0.3}, {300, 2, 0.4}, {400, 2, 0.5}, {1e6, 2, 0.5},
	} {
		if d := at(ds, c.time); !near(d.Temperature, c.temperature, 1e-12) || !near(d.Vapour, c.vapour, 1e-12) {
			t.Errorf("at %g: %+v, want %g and %g", c.time, d, c.temperature, c.vapour)
		}
	}
	if d := at(nil, 5); d != (Doubt{}) {
		t.Errorf("none: %+v", d)
	}
}

// TestDoubtsGrow: a reading held is known worse by the hour, a forecast by the day, and none better than it was read.
func TestDoubtsGrow(t *testing.T) {
	if Held(0) != Read() || Held(-1) != Read() {
		t.Errorf("held for no time: %+v", Held(0))
	}
	for h := 0.0; h < 72; h++ {
		for what, of := range map[string]func(float64) Doubt{"held": Held, "forecast": Forecast} {
			a, b := of(h), of(h+1)
			if !(b.Temperature > a.Temperature && b.Vapour > a.Vapour && b.Speed >= a.Speed && a.Temperature >= Read().Temperature) {
				t.Errorf("%s %g h: %+v, an hour later %+v", what, h, a, b)
			}
		}
	}
}

// TestFactors: for every finish the middle of the unknowns is the model as it is; each factor rises with its own unknown
// alone, stays positive and finite, and comes to an end; the 5 and 95 % points of water and release are the finish's own range.
func TestFactors(t *testing.T) {
	for _, name := range material.Finishes() {
		m, err := material.FinishNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		if f := (Lay{}).Factors(m, make([]float64, unknowns)); f != coat.Neutral() {
			t.Errorf("%s: the middle is %+v", name, f)
		}
		under := func(u Unknown, z float64) []float64 {
			theta := make([]float64, unknowns)
			theta[u] = z
			f := Lay{}.Factors(m, theta)
			return []float64{f.Drying, f.Suction, f.Opens, f.Closes, f.Excess, f.Desorptivity}
		}
		for _, u := range Unknowns() {
			for z := -5.0; z <= 5; z += 0.25 {
				a, b := under(u, z), under(u, z+0.25)
				for i := range a {
					switch own := Unknown(i) == u; {
					case math.IsNaN(a[i]) || math.IsInf(a[i], 0) || i != int(OpeningLevel) && i != int(ClosingLevel) && !(a[i] > 0):
						t.Errorf("%s, %s at %g: factor %d is %g", name, u, z, i, a[i])
					case own && math.Abs(z+0.125) < steepest && !(b[i] > a[i]), (!own || math.Abs(z+0.125) > steepest) && b[i] != a[i]:
						t.Errorf("%s, %s from %g to %g: factor %d from %g to %g", name, u, z, z+0.25, i, a[i], b[i])
					}
				}
			}
		}
		r := m.Desorptivity
		if lo, hi := under(WaterRelease, -ninetyfive)[5], under(WaterRelease, ninetyfive)[5]; !near(lo*r.Value, r.Low, 1e-9) || !near(hi*r.Value, r.High, 1e-9) {
			t.Errorf("%s: water release from %g to %g, range %g to %g", name, lo*r.Value, hi*r.Value, r.Low, r.High)
		}
		sh := m.ShrinkageLimit.Value
		if hi := sh + under(BatchWater, ninetyfive)[4]*(m.WaterRatio.Value-sh); !near(hi, m.WaterRatio.High, 1e-9) {
			t.Errorf("%s: water up to %g, range up to %g", name, hi, m.WaterRatio.High)
		}
		if err := m.Batch(under(BatchWater, -steepest)[4]).Check(); err != nil {
			t.Errorf("%s: the driest batch: %v", name, err)
		}
	}
}

// TestLayFactors: what was measured is known better, and a lay's own numbers move what they are said to.
func TestLayFactors(t *testing.T) {
	m, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	f := func(l Lay) coat.Factors { return l.Factors(m, make([]float64, unknowns)) }
	for what, c := range map[string]struct{ got, want float64 }{
		"by hand":       {f(Lay{Thickness: 1}).Thickness, math.Exp(sdHand)},
		"by tub":        {f(Lay{Thickness: 1, Weighed: true}).Thickness, math.Exp(sdTub)},
		"wall":          {f(Lay{Wall: 1}).Suction, math.Exp(sdWall)},
		"wall measured": {f(Lay{Wall: 1, Measured: true}).Suction, math.Exp(sdTested)},
		"batch":         {f(Lay{Batch: -1}).Excess, math.Exp(-sdBatch)},
		"own clock":     {f(Lay{Clock: 2}).Drying, 1},
	} {
		if !near(c.got, c.want, 1e-9) {
			t.Errorf("%s: factor %g, want %g", what, c.got, c.want)
		}
	}
	if !(sdTested < sdWall && sdTub < sdHand) {
		t.Error("what was measured is not known better")
	}
}

// TestLearnedHolds: what a look taught of the air's error stays as it is where later hours are doubted more, and what it did not teach grows
// with their doubt.
func TestLearnedHolds(t *testing.T) {
	doubts := []Doubt{{Time: 0, Temperature: 0.5}, {Time: 3600, Temperature: 2}}
	air := []wall.Air{{Time: 0, Temperature: 15, Vapour: 900}, {Time: 3600, Temperature: 15, Vapour: 900}}
	l := Lay{Temperature: 1, Learned: Learned{Time: 0, Temperature: 1}}
	if got := l.Air(air, doubts)[1].Temperature; !near(got, 15.5, 1e-9) {
		t.Errorf("learned at 0.5 K, it is %g K off where 2 K are doubted", got-15)
	}
	l.Temperature = 2
	if got := l.Air(air, doubts)[1].Temperature; !near(got, 17.5, 1e-9) {
		t.Errorf("half of it learned, it is %g K off where 2 K are doubted", got-15)
	}
}
