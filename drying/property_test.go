package drying_test

import (
	"flag"
	"math"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/material"
)

// raced is what the share of fewer is multiplied with under the race detector.
var raced = 1

// fewer checks a property on one case in share of those asked for (-rapid.checks), at least two: for properties
// of which a case costs much.
func fewer(t *testing.T, share int, property func(*rapid.T)) {
	t.Helper()
	checks := flag.Lookup("rapid.checks").Value
	was := checks.String()
	n, err := strconv.Atoi(was)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = checks.Set(was) }()
	if err := checks.Set(strconv.Itoa(max(n/(share*raced), 2))); err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, property)
}

// drawAsk is any coat that can be asked for: every finish on every background, damped or not, in the air of a site.
func drawAsk(t *testing.T, r *rapid.T) drying.LadderAsk {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
	f, err := material.FinishNamed(rapid.SampledFrom(material.Finishes()).Draw(r, "finish"))
	if err != nil {
		t.Fatal(err)
	}
	b := background(t, rapid.SampledFrom(material.Backgrounds()).Draw(r, "background"), rapid.SampledFrom(material.Primers()).Draw(r, "primer"))
	return drying.LadderAsk{Finish: f, Spots: []material.Background{b}, Number: 1,
		Damped:      b.Masonry && rapid.Bool().Draw(r, "damped"),
		Thicknesses: []float64{math.Exp(number("ln m", math.Log(f.Coats[2].Low), math.Log(f.Thickest.High)))},
		Air:         moist(t, number("temp", 5, 30), number("rh", 35, 80)), AirSpeed: number("air speed", 0.05, 1), WallHeight: drying.DefaultWallHeight}
}

// atOnce is how soon after laying, s, a coat opens that suction opens at once: the times of such coats are those of
// the first grams drunk, and shorter than a plasterer lays.
const atOnce = 60.0

// airOpens tells whether air, and not suction, opens a coat: before it opens, over half of the water that must go
// for that evaporates.
func airOpens(f material.Finish, g drying.Rung) bool {
	must := f.SolidMass(g.Thickness) * (f.WaterRatio.Value - f.Levels().Opens)
	return g.Opens > atOnce && g.Evaporation*g.Opens > must/2
}

// Each rung of a ladder 1.25 times as thick opens, closes and dries at least 2 % later: a quarter more water has to go
// at the same rate or slower. Of a coat that suction opens at once, opening is left out; on a damped wall, whose own
// water outweighs a thin coat's, it is only later.
func TestThicknessTells(t *testing.T) {
	fewer(t, 1, func(r *rapid.T) {
		ask := drawAsk(t, r)
		for range 2 {
			ask.Thicknesses = append(ask.Thicknesses, ask.Thicknesses[len(ask.Thicknesses)-1]*1.25)
		}
		rungs := ladder(r, ask)
		for i, b := range rungs[1:] {
			a := rungs[i]
			for _, e := range []struct {
				name       string
				thin, more float64
				applies    bool
			}{{"opens", a.Opens, b.Opens, a.Opens > atOnce}, {"gone by", a.Closes, b.Closes, true}, {"next coat", a.Next, b.Next, true}} {
				if math.IsInf(e.more, 1) || !e.applies {
					continue
				}
				least := 1.02
				if ask.Damped {
					least = 1
				}
				if !(e.more > least*e.thin) {
					r.Errorf("%s %s, %.3g to %.3g mm: %s after %.1f and %.1f s", ask.Finish.Name, ask.Spots[0].Name, a.Thickness*1000, b.Thickness*1000, e.name, e.thin, e.more)
				}
			}
		}
	})
}

// Air that is damper by 10 % RH, colder by 4 K at the same humidity, or half as fast: gone by and next coat later, on
// whatever is laid on whatever; and opens later, if air opens it. Where suction does, air that dries less leaves the
// wall warmer, its water thinner, and the coat may even open a trifle sooner; in colder air it never does.
func TestWhatSlowsAnyCoat(t *testing.T) {
	for name, slower := range map[string]func(a *drying.LadderAsk){
		"damper": func(a *drying.LadderAsk) {
			a.Air = moist(t, float64(a.Air.Temperature()), 100*float64(a.Air.RelativeHumidity())+10)
		},
		"colder": func(a *drying.LadderAsk) {
			a.Air = moist(t, float64(a.Air.Temperature())-4, 100*float64(a.Air.RelativeHumidity()))
		},
		"stiller": func(a *drying.LadderAsk) { a.AirSpeed /= 2 },
	} {
		t.Run(name, func(t *testing.T) {
			fewer(t, 2, func(r *rapid.T) {
				ask := drawAsk(t, r)
				q := ladder(r, ask)[0]
				slower(&ask)
				s := ladder(r, ask)[0]
				for _, e := range []struct {
					event       string
					quick, slow float64
					applies     bool
				}{{"opens", q.Opens, s.Opens, name == "colder" && q.Opens > atOnce || airOpens(ask.Finish, q)}, {"gone by", q.Closes, s.Closes, true}, {"next coat", q.Next, s.Next, true}} {
					if !e.applies || math.IsInf(e.slow, 1) {
						continue
					}
					if !(e.slow > e.quick) {
						r.Errorf("%s %.3g mm on %s: %s after %.1f s, and %s after %.1f s", ask.Finish.Name, 1000*ask.Thicknesses[0], ask.Spots[0].Name, e.event, e.quick, name, e.slow)
					}
				}
			})
		})
	}
}

// Masonry that was damped opens and closes later, and drinks less, than dry.
func TestDampedOpensLater(t *testing.T) {
	masonry := slices.DeleteFunc(material.Backgrounds(), func(n string) bool { return !background(t, n, "").Masonry })
	fewer(t, 2, func(r *rapid.T) {
		ask := drawAsk(t, r)
		ask.Spots = []material.Background{background(t, rapid.SampledFrom(masonry).Draw(r, "masonry"), "")}
		ask.Damped = false
		dry := ladder(r, ask)[0]
		ask.Damped = true
		damp := ladder(r, ask)[0]
		if !(damp.Opens > dry.Opens) && !math.IsInf(dry.Opens, 1) {
			r.Errorf("%s on %s: opens after %.2f s, and damped after %.2f s", ask.Finish.Name, ask.Spots[0].Name, dry.Opens, damp.Opens)
		}
		if !(damp.Closes > dry.Closes) && !math.IsInf(dry.Closes, 1) {
			r.Errorf("%s on %s: gone by after %.2f s, and damped after %.2f s", ask.Finish.Name, ask.Spots[0].Name, dry.Closes, damp.Closes)
		}
	})
}
