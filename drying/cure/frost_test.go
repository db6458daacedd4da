package cure_test

import (
	"math"
	"testing"

	"limeday/drying/cure"
)

// TestFreezesAt: it is the depression in pores of 0.1 um radius. FreezingDepression itself is held to the rows of
// testdata/checks by package drying.
func TestFreezesAt(t *testing.T) {
	near(t, "FreezesAt", -cure.DefaultRules().FreezesAt.Value, cure.FreezingDepression(1e-7), 0.05)
}

// night gives a face of saturation s a V-shaped night from +2 C at hour 12 to low at hour 18 and back at hour 24.
func night(low, s float64) func(i int, h *cure.Hour) {
	return func(i int, h *cure.Hour) {
		h.Saturation, h.Face, h.Air = s, 2, 2
		if i >= 12 && i <= 24 {
			h.Face = low + (2-low)*math.Abs(float64(i-18))/6
			h.Air = max(h.Face, 2)
		}
	}
}

// TestFreezeExact: a face falling evenly from 2 C to -3 C and back within 12 h is under -0.5 C for half of it.
func TestFreezeExact(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "nhl-render")
	zs := r.Freezes(course(t, 48, night(-3, 0.95)), f, 10e-3)
	if len(zs) != 1 {
		t.Fatalf("%+v", zs)
	}
	z := zs[0]
	near(t, "begin", z.Begin, 15*hour, 1e-12)
	near(t, "end", z.End, 21*hour, 1e-12)
	if z.Lowest != -3 || z.LowestAt != 18*hour || z.Saturation != 0.95 || z.Grade != cure.Certain || z.Open || z.Soaked {
		t.Errorf("%+v", z)
	}
	// The saturation, too, is located: it falls evenly through the lowest critical one, 0.70 while uncarbonated.
	drying := course(t, 48, func(i int, h *cure.Hour) { h.Face, h.Saturation = -2, 1-float64(i)*0.01 })
	zs = r.Freezes(drying, f, 10e-3)
	if len(zs) != 1 || math.Abs(zs[0].End-30*hour) > 1e-6*hour {
		t.Errorf("dries through 0.70 at hour 30: %+v", zs)
	}
}

// TestFreezeGrades: the grade follows the range of the critical saturation, lower while uncarbonated.
func TestFreezeGrades(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "float-coat")
	for _, c := range []struct {
		s       float64
		young   cure.Grade // a coat of 8 mm, not through
		through cure.Grade // a film so thin that it is through at once
	}{
		{0.70, cure.None, cure.None}, {0.72, cure.Possible, cure.None}, {0.75, cure.Possible, cure.None},
		{0.78, cure.Possible, cure.Possible}, {0.82, cure.Likely, cure.Possible}, {0.87, cure.Certain, cure.Likely},
		{0.91, cure.Certain, cure.Likely}, {0.95, cure.Certain, cure.Certain}, {1, cure.Certain, cure.Certain},
	} {
		// Before the night the coat carbonates: 20 C, 65 %, drained.
		history := func(i int, h *cure.Hour) {
			h.Face, h.Air, h.Saturation = 20, 20, 0.5
			if i >= 24 {
				h.Face, h.Saturation = -3, c.s
			}
		}
		for m, want := range map[float64]cure.Grade{8e-3: c.young, 1e-5: c.through} {
			got := cure.None
			for _, z := range r.Freezes(course(t, 36, history), f, m) {
				got = max(got, z.Grade)
			}
			if got != want {
				t.Errorf("S %g in a film of %g m: %v, want %v", c.s, m, got, want)
			}
		}
	}
	// Just not cold enough, however wet.
	if zs := r.Freezes(course(t, 48, night(-0.49, 1)), f, 8e-3); zs != nil {
		t.Errorf("-0.49 C: %+v", zs)
	}
}

// TestWorstCase: rain that soaks the wall and then a clear frosty night is told apart from the same night dry,
// under cloud, and sheeted.
func TestWorstCase(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "nhl-render")
	// Ten mild days; rain in the afternoon of the tenth; then the night.
	tell := func(rain float64, sky bool) []cure.Freeze {
		return r.Freezes(course(t, 11*24, func(i int, h *cure.Hour) {
			h.Saturation = 0.5
			k := i - 10*24
			if k >= -8 && k < -4 {
				h.Rain = rain / 3600
			}
			if rain > 0 && k >= -8 {
				h.Saturation = 0.97
			}
			if k >= 0 && k < 8 {
				h.Air, h.Face = 1, 0.5
				if sky {
					h.Face = -2.5
				}
			}
		}), f, 10e-3)
	}
	zs := tell(1, true)
	if len(zs) != 1 || !zs[0].Soaked || zs[0].Grade != cure.Certain || math.Abs(zs[0].Rain-4) > 1e-9 {
		t.Errorf("soaked, then a clear night: %+v", zs)
	}
	if zs := tell(0.02, true); len(zs) != 1 || zs[0].Soaked || math.Abs(zs[0].Rain-0.08) > 1e-9 {
		t.Errorf("0.08 mm of drizzle soaks nothing: %+v", zs)
	}
	if zs := tell(1, false); zs != nil {
		t.Errorf("soaked, under cloud: %+v", zs)
	}
	if zs := tell(0, true); zs != nil {
		t.Errorf("kept dry, a clear night: %+v", zs)
	}
}

// TestNearFrost: air at 2 C and under warns, though the face does not freeze.
func TestNearFrost(t *testing.T) {
	r := cure.DefaultRules()
	c := course(t, 24, func(i int, h *cure.Hour) { h.Air = 5 - 0.5*float64(i) })
	if s := r.NearFrost(c); len(s) != 1 || math.Abs(s[0].Begin-6*hour) > 1e-6 || s[0].End != 24*hour {
		t.Errorf("%+v", s)
	}
}

// TestFrostFree: the published range, lengthened in the cold, and what a forecast can say of it.
func TestFrostFree(t *testing.T) {
	r := cure.DefaultRules()
	for _, c := range []struct {
		finish                 string
		air                    float64
		least, likely, most, x float64 // d, and the share they are lengthened by
	}{
		{"nhl-render", 20, 14, 28, 45, 0}, {"nhl-render", 15, 14, 28, 45, 0}, {"polished-lime", 18, 60, 90, 120, 0},
		{"marble-coat", 18, 60, 90, 120, 0}, {"float-coat", 10, 60, 90, 120, 0.25}, {"nhl-render", 5, 14, 28, 45, 0.5}, {"nhl-render", 2, 14, 28, 45, 0.5},
	} {
		w := r.FrostFree(course(t, 10*24, func(_ int, h *cure.Hour) { h.Air, h.Face = c.air, c.air }), finish(t, c.finish))
		near(t, "longer", 1+w.Longer, 1+c.x, 1e-12)
		near(t, "earliest", w.Earliest, c.least*(1+c.x)*day, 1e-12)
		near(t, "likely", w.Likely, c.likely*(1+c.x)*day, 1e-12)
		near(t, "latest", w.Latest, c.most*(1+c.x)*day, 1e-12)
		if !w.Assumed || !w.Outlook.Open() || w.Grade != cure.Unknown || w.Outlook.Horizon != 10*day {
			t.Errorf("a forecast of 10 d cannot clear %s: %+v", c.finish, w)
		}
	}
	// A frost in the wait, by where it falls in the range; and a wait that is wholly known.
	f := finish(t, "nhl-render")
	frostOn := func(d int) cure.FrostFree {
		return r.FrostFree(course(t, 60*24, func(i int, h *cure.Hour) {
			h.Air, h.Face = 16, 16
			if i/24 == d && i%24 > 2 && i%24 < 6 {
				h.Face = -1
			}
		}), f)
	}
	for d, want := range map[int]cure.Grade{5: cure.Certain, 20: cure.Likely, 40: cure.Possible, 50: cure.None, 99: cure.None} {
		w := frostOn(d)
		if w.Grade != want || w.Outlook.Clear() != (want == cure.None) || w.Assumed {
			t.Errorf("frost on day %d: %v, want %v: %+v", d, w.Grade, want, w)
		}
	}
}
