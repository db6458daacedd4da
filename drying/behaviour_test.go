package drying_test

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"testing"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/psychro"
)

func polish(t testing.TB) material.Finish {
	t.Helper()
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func background(t testing.TB, name string, p material.Primer) material.Background {
	t.Helper()
	b, err := material.BackgroundNamed(name, p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func moist(t testing.TB, temp, rh float64) psychro.Air {
	t.Helper()
	a, err := psychro.NewAir(psychro.Celsius(temp), psychro.Fraction(rh/100), psychro.StandardPressure(0))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// usual is a coat of polished lime on primed board in the air of a room.
func usual(t testing.TB, temp, rh float64, primer material.Primer, number int, mm ...float64) drying.LadderAsk {
	t.Helper()
	ask := drying.LadderAsk{Finish: polish(t), Spots: []material.Background{background(t, "primed-board", primer)}, Number: number,
		Air: moist(t, temp, rh), AirSpeed: drying.DefaultAirSpeed, WallHeight: drying.DefaultWallHeight}
	for _, x := range mm {
		ask.Thicknesses = append(ask.Thicknesses, x/1000)
	}
	return ask
}

// Thicker, damper, colder or stiller air opens and closes later (model.md 8.7).
func TestWhatSlowsACoat(t *testing.T) {
	for name, slower := range map[string]func(a *drying.LadderAsk, temp, rh float64, share float64){
		"thicker": func(a *drying.LadderAsk, _, _, share float64) { a.Thicknesses[0] *= 1.1 + share },
		"damper":  func(a *drying.LadderAsk, temp, rh, share float64) { a.Air = moist(t, temp, rh+3+share*(95-rh-3)) },
		"colder":  func(a *drying.LadderAsk, temp, rh, share float64) { a.Air = moist(t, temp-2-share*5, rh) },
		"stiller": func(a *drying.LadderAsk, _, _, share float64) { a.AirSpeed *= 0.8 * share },
	} {
		t.Run(name, func(t *testing.T) {
			fewer(t, 2, func(r *rapid.T) {
				temp, rh := rapid.Float64Range(5, 30).Draw(r, "temp"), rapid.Float64Range(30, 85).Draw(r, "rh")
				primer := rapid.SampledFrom(material.Primers()).Draw(r, "primer")
				quick := usual(t, temp, rh, primer, 1, rapid.Float64Range(0.05, 0.4).Draw(r, "mm"))
				quick.AirSpeed = rapid.Float64Range(0.05, 1).Draw(r, "air speed")
				slow := quick
				slow.Thicknesses = append([]float64(nil), quick.Thicknesses...)
				slower(&slow, temp, rh, rapid.Float64Range(0, 1).Draw(r, "by"))
				q, s := ladder(r, quick)[0], ladder(r, slow)[0]
				for _, e := range []struct {
					name        string
					quick, slow float64
				}{{"opens", q.Opens, s.Opens}, {"closes", q.Closes, s.Closes}} {
					if !(e.slow > e.quick) && !(math.IsInf(e.quick, 1) && math.IsInf(e.slow, 1)) {
						r.Errorf("%s at %.1f s, and %s at %.1f s", e.name, e.quick, name, e.slow)
					}
				}
			})
		})
	}
}

type failer interface {
	Fatalf(string, ...any)
	Helper()
}

func ladder(t failer, ask drying.LadderAsk) []drying.Rung {
	t.Helper()
	r, err := drying.Ladder(ask)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return r
}

// The events of a coat come in their order, and the face is never warmer than the warmest thing about it nor
// colder than the wet bulb allows.
func TestOrderOfEvents(t *testing.T) {
	fewer(t, 1, func(r *rapid.T) {
		temp, rh := rapid.Float64Range(5, 30).Draw(r, "temp"), rapid.Float64Range(30, 85).Draw(r, "rh")
		ask := usual(t, temp, rh, rapid.SampledFrom(material.Primers()).Draw(r, "primer"), 1, rapid.Float64Range(0.02, 0.6).Draw(r, "mm"))
		g := ladder(r, ask)[0]
		times := []float64{0, g.Edge, g.Opens, g.Burnish, g.Closes, g.Dry}
		for i := 1; i < len(times); i++ {
			if !(times[i] >= times[i-1]) {
				r.Errorf("events out of order: %v", times)
			}
		}
		if wet := float64(ask.Air.WetBulb()); !(g.FaceMin > wet-0.3) || !(g.FaceMax < temp+0.5) || !(g.Evaporation > 0) {
			r.Errorf("face %.2f to %.2f C in air of %.2f C, wet bulb %.2f C; evaporation %g", g.FaceMin, g.FaceMax, temp, wet, g.Evaporation)
		}
	})
}

// A second and a third thin coat over dry lime open far sooner than the first over a tight primer.
func TestLaterCoatsOpenFarSooner(t *testing.T) {
	fewer(t, 2, func(r *rapid.T) {
		temp, rh, mm := rapid.Float64Range(10, 30).Draw(r, "temp"), rapid.Float64Range(30, 75).Draw(r, "rh"), rapid.Float64Range(0.05, 0.15).Draw(r, "mm")
		first := ladder(r, usual(t, temp, rh, material.Tight, 1, mm))[0].Opens
		for number := 2; number <= 3; number++ {
			g, err := drying.Ladder(usual(t, temp, rh, material.Tight, number, mm))
			var never *drying.NeverDryError
			if errors.As(err, &never) {
				return
			} else if err != nil {
				r.Fatal(err)
			}
			if !(g[0].Opens < first/5) {
				r.Errorf("coat %d opens at %.1f s, the first at %.1f s", number, g[0].Opens, first)
			}
		}
	})
}

// A background that drinks more opens a coat sooner: tight, fair, thirsty, brick.
func TestSuctionOpensSooner(t *testing.T) {
	fewer(t, 2, func(r *rapid.T) {
		temp, rh, mm := rapid.Float64Range(5, 30).Draw(r, "temp"), rapid.Float64Range(30, 85).Draw(r, "rh"), rapid.Float64Range(0.05, 0.4).Draw(r, "mm")
		before, slower := math.Inf(1), ""
		for _, b := range []struct {
			name, background string
			primer           material.Primer
		}{{"tight", "primed-board", material.Tight}, {"fair", "primed-board", material.Fair}, {"thirsty", "primed-board", material.Thirsty}, {"brick", "brick", ""}} {
			ask := usual(t, temp, rh, material.Fair, 1, mm)
			ask.Spots = []material.Background{background(t, b.background, b.primer)}
			opens := ladder(r, ask)[0].Opens
			if !(opens < before) {
				r.Errorf("%s opens at %.1f s, %s at %.1f s", b.name, opens, slower, before)
			}
			before, slower = opens, b.name
		}
	})
}

// What plasterers find (common practice, no source; product.md and model.md 8.7), at 20 C and 50 % with doors
// shut. A range that the physics misses is kept and marked: the model's numbers are estimates, and are not
// bent to fit. A mark that no longer holds fails too.
func TestCommonPractice(t *testing.T) {
	opens := func(g drying.Rung) float64 { return g.Opens }
	burnish := func(g drying.Rung) float64 { return g.Burnish }
	closes := func(g drying.Rung) float64 { return g.Closes }
	next := func(g drying.Rung) float64 { return g.Dry }
	for _, tc := range []struct {
		coat      int
		mm        float64
		event     string
		of        func(drying.Rung) float64
		low, high float64 // min
		missed    bool
	}{
		{1, 0.10, "opens", opens, 3, 30, false},
		{1, 0.10, "closes", closes, 20, 70, false},
		{1, 0.10, "next coat", next, 30, 120, false},
		{1, 0.15, "opens", opens, 3, 30, false},
		{1, 0.15, "closes", closes, 20, 70, false},
		{1, 0.15, "next coat", next, 30, 120, false},
		{1, 0.15, "next coat, as a first coat", next, 60, 240, false}, // 59.8 min: at the end itself
		{1, 0.20, "next coat, as a first coat", next, 60, 240, false},
		{1, 0.25, "next coat, as a first coat", next, 60, 240, false},
		{2, 0.10, "next coat", next, 30, 90, false},
		{2, 0.15, "next coat", next, 30, 90, false},
		{3, 0.05, "opens", opens, 0, 1, false},
		{3, 0.05, "burnish", burnish, 0, 5, false},
		{3, 0.05, "gone by", closes, 15, 30, true}, // 8 min
		{3, 0.075, "opens", opens, 0, 1, false},
		{3, 0.075, "burnish", burnish, 0, 5, false},
		{3, 0.075, "gone by", closes, 15, 30, true}, // 13 min
		{3, 0.10, "opens", opens, 0, 1, false},
		{3, 0.10, "burnish", burnish, 0, 5, false},
		{3, 0.10, "gone by", closes, 15, 30, false},
	} {
		t.Run(fmt.Sprintf("coat %d %g mm %s", tc.coat, tc.mm, tc.event), func(t *testing.T) {
			got := tc.of(ladder(t, usual(t, 20, 50, material.Fair, tc.coat, tc.mm))[0]) / 60
			t.Logf("%.1f min; practice %g to %g min", got, tc.low, tc.high)
			// Within 2 % of an end, twice what grid and tolerance move a time by, neither can be said.
			if math.Abs(got/tc.low-1) < 0.02 || math.Abs(got/tc.high-1) < 0.02 {
				return
			}
			if missed := got < tc.low || got > tc.high; missed != tc.missed {
				t.Errorf("%.2f min, practice %g to %g min; marked as missed: %v", got, tc.low, tc.high, tc.missed)
			}
		})
	}
	tight, fair := ladder(t, usual(t, 20, 50, material.Tight, 1, 0.1, 0.15)), ladder(t, usual(t, 20, 50, material.Fair, 1, 0.1, 0.15))
	for i := range tight {
		if !(tight[i].Opens > fair[i].Opens && tight[i].Closes > fair[i].Closes && tight[i].Dry > fair[i].Dry) {
			t.Errorf("%g mm over a tight primer is not later than over a fair one: %+v, %+v", tight[i].Thickness*1000, tight[i].Times, fair[i].Times)
		}
	}
}

// The answer is in the order of the question, and the same on one core as on several, and every time.
func TestLadderIsTheSameEveryTime(t *testing.T) {
	ask := usual(t, 18, 55, material.Fair, 2, 0.05, 0.3, 0.1, 0.25, 0.15, 0.2)
	want := ladder(t, ask)
	for i, g := range want {
		if g.Thickness != ask.Thicknesses[i] {
			t.Errorf("rung %d is of %g m, asked was %g m", i, g.Thickness, ask.Thicknesses[i])
		}
	}
	for _, cores := range []int{1, 2, 2} {
		before := runtime.GOMAXPROCS(cores)
		got := ladder(t, ask)
		runtime.GOMAXPROCS(before)
		if !reflect.DeepEqual(got, want) {
			t.Errorf("on %d cores: %+v, want %+v", cores, got, want)
		}
	}
	back := ask
	back.Thicknesses = []float64{0.0002, 0.00015, 0.00025, 0.0001, 0.0003, 0.00005}
	for i, g := range ladder(t, back) {
		if !reflect.DeepEqual(g, want[len(want)-1-i]) {
			t.Errorf("rung %d depends on its neighbours: %+v, want %+v", i, g, want[len(want)-1-i])
		}
	}
}

// BenchmarkLadder20 is twenty thicknesses of a first coat on all cores.
func BenchmarkLadder20(b *testing.B) { ladder20(b) }

// BenchmarkLadder20Serial is the same on one core.
func BenchmarkLadder20Serial(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	ladder20(b)
}

func ladder20(b *testing.B) {
	ask := usual(b, 20, 50, material.Fair, 1)
	for i := range 20 {
		ask.Thicknesses = append(ask.Thicknesses, (0.02+0.02*float64(i))/1000)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := drying.Ladder(ask); err != nil {
			b.Fatal(err)
		}
	}
}
