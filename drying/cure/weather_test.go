package cure_test

import (
	"math"
	"slices"
	"testing"

	"limeday/drying/cure"
	"limeday/psychro"
)

// gm2h is g/(m2 h) in kg/(m2 s).
const gm2h = 1 / 3.6e6

// TestTooFast: rates count only until the coat has first dried, by the limits that fit the film.
func TestTooFast(t *testing.T) {
	r := cure.DefaultRules()
	c := course(t, 48, func(i int, h *cure.Hour) {
		h.Saturation = max(0.3, 1-float64(i)*0.05) // dry (0.45) at hour 11
		h.Evaporation = 60 * gm2h
		switch i {
		case 2, 3:
			h.Evaporation = 150 * gm2h
		case 4:
			h.Evaporation, h.Sun = 250*gm2h, 400
		case 11: // dry by then
			h.Evaporation, h.Sun = 900*gm2h, 800
		case 20:
			h.Evaporation, h.Sun, h.Wind = 900*gm2h, 800, 20 // long dry: not its first drying
		}
		if i >= 5 && i <= 7 {
			h.Wind = 9
		}
		if i < 3 {
			h.RH = 0.3
		}
	})
	w := r.TooFast(c, finish(t, "float-coat"), 8e-3)
	if !w.Lime || w.Caution != 100 || w.Stop != 200 {
		t.Errorf("limits %+v", w)
	}
	near(t, "dry at", w.Dried.At, 11*hour, 1e-9)
	near(t, "most", w.Most, 250, 1e-9)
	if w.MostAt != 4*hour || !slices.Equal(w.Cautions, []cure.Span{{Begin: 2 * hour, End: 5 * hour}}) || !slices.Equal(w.Stops, []cure.Span{{Begin: 4 * hour, End: 5 * hour}}) ||
		!slices.Equal(w.Sun, []cure.Span{{Begin: 4 * hour, End: 5 * hour}}) {
		t.Errorf("%+v", w)
	}
	// From no wind at hour 4 to 9 m/s at 5 the wind passes 5 m/s after 5/9 h, and likewise going down.
	near(t, "wind", cure.Total(w.Wind), (2+8.0/9)*hour, 1e-9)
	if w.WindStop != nil {
		t.Errorf("a thick coat is not stopped by wind: %+v", w.WindStop)
	}
	if len(w.DryAir) != 1 || w.DryAir[0].Begin != 0 || w.Chalk != cure.Likely {
		t.Errorf("%+v", w)
	}
	// A thin film that is not of putty is held against the figures for concrete; polish against those for lime.
	if w := r.TooFast(c, finish(t, "grit-primer"), 0.3e-3); w.Lime || w.Caution != 500 || w.Stop != 1000 || w.Cautions != nil || w.WindStop == nil || w.Chalk != cure.None {
		t.Errorf("primer: %+v", w)
	}
	if w := r.TooFast(c, finish(t, "polished-lime"), 0.3e-3); !w.Lime || len(w.Stops) != 1 {
		t.Errorf("polish: %+v", w)
	}
}

// TestChalk: by when a thick coat has dried; where the horizon comes first it is unknown.
func TestChalk(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "nhl-render")
	for _, c := range []struct {
		dry, known int // h
		want       cure.Grade
	}{{10, 72, cure.Likely}, {23, 72, cure.Likely}, {25, 72, cure.Possible}, {47, 72, cure.Possible}, {49, 72, cure.None},
		{60, 30, cure.Unknown}, {60, 50, cure.None}, {10, 12, cure.Likely}} {
		co := course(t, c.known, func(i int, h *cure.Hour) { h.Saturation = max(0, 1-0.55*float64(i)/(float64(c.dry)-0.5)) })
		if got := r.TooFast(co, f, 10e-3).Chalk; got != c.want {
			t.Errorf("dry at %d h, known to %d h: %v, want %v", c.dry, c.known, got, c.want)
		}
	}
}

// TestRain: what the same rain does, by the state of the face.
func TestRain(t *testing.T) {
	r := cure.DefaultRules()
	wet := func(rain ...int) cure.Record {
		return course(t, 120, func(i int, h *cure.Hour) {
			h.Saturation = max(0.5, 1-float64(i)*0.01) // 0.95 at hour 5
			if slices.Contains(rain, i) {
				h.Rain = 0.5 / 3600
			}
		})
	}
	w := r.RainOn(wet(4, 5, 60, 80), finish(t, "nhl-render"))
	want := []cure.Shower{
		{Span: cure.Span{Begin: 4 * hour, End: 5 * hour}, State: cure.WashOut, Amount: 0.5},
		{Span: cure.Span{Begin: 5 * hour, End: 6 * hour}, State: cure.NoRain, Amount: 0.5},
		{Span: cure.Span{Begin: 60 * hour, End: 61 * hour}, State: cure.Rewets, Amount: 0.5},
		{Span: cure.Span{Begin: 80 * hour, End: 81 * hour}, State: cure.Rewets, Amount: 0.5},
	}
	if len(w.Showers) != len(want) {
		t.Fatalf("%+v", w.Showers)
	}
	for i, s := range w.Showers {
		if s.State != want[i].State || math.Abs(s.Begin-want[i].Begin) > 1e-6 || math.Abs(s.End-want[i].End) > 1e-6 || math.Abs(s.Amount-want[i].Amount) > 1e-9 {
			t.Errorf("shower %d: %+v, want %+v", i, s, want[i])
		}
	}
	if w.First == nil || w.First.Begin != 4*hour || w.Outlook.Comes.At != 4*hour || w.Safe != 48*hour {
		t.Errorf("%+v", w)
	}
	// Putty waits 72 h, so that hour 60 harms it.
	if w := r.RainOn(wet(60), finish(t, "float-coat")); w.First == nil || w.First.State != cure.NoRain || w.First.Begin != 60*hour {
		t.Errorf("%+v", w)
	}
	// No rain known: clear only where the wait is known to its end.
	if w := r.RainOn(wet(), finish(t, "float-coat")); !w.Outlook.Clear() || w.First != nil {
		t.Errorf("%+v", w)
	}
	short := course(t, 24, nil)
	if w := r.RainOn(short, finish(t, "float-coat")); !w.Outlook.Open() {
		t.Errorf("24 h cannot clear a wait of 72: %+v", w)
	}
	// A coat that never drains stays vulnerable, and its end is not known.
	soggy := course(t, 120, func(_ int, h *cure.Hour) { h.Saturation = 1 })
	if w := r.RainOn(soggy, finish(t, "nhl-render")); !w.Drained.Beyond || w.Outlook.Clear() || w.Safe != 120*hour {
		t.Errorf("%+v", w)
	}
	// Less than wets it is no rain.
	if w := r.RainOn(course(t, 24, func(_ int, h *cure.Hour) { h.Rain = 0.04 / 3600 }), finish(t, "nhl-render")); w.Showers != nil {
		t.Errorf("%+v", w.Showers)
	}
}

// TestDewOnMassiveWall: a warm damp morning after a cold week puts dew on a wall that is still cold, though the air
// is far from saturated.
func TestDewOnMassiveWall(t *testing.T) {
	r := cure.DefaultRules()
	c := course(t, 24, func(i int, h *cure.Hour) {
		h.Face, h.Air, h.RH = 4, 4, 0.7
		if i >= 8 {
			h.Air, h.RH, h.Face = 14, 0.85, min(14, 5+float64(i-8)*0.5)
		}
	})
	var dew []cure.Damped
	for _, d := range r.DewAndFog(c) {
		if d.Kind == cure.Dew {
			dew = append(dew, d)
		}
	}
	if len(dew) != 1 || dew[0].Begin < 7*hour || dew[0].Begin > 8*hour {
		t.Fatalf("%+v", dew)
	}
	// It ends when the face has warmed to the dew point of 14 C and 85 %.
	a, err := psychro.NewAir(14, 0.85, 101325)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "end of dew", dew[0].End, (8+(float64(a.DewPoint())-5)/0.5)*hour, 1e-6)
	near(t, "margin", dew[0].Margin, 5-float64(a.DewPoint()), 1e-6)
}

// frostPoint is that of air, C.
func frostPoint(t *testing.T, air, rh float64) float64 {
	t.Helper()
	a, err := psychro.NewAir(psychro.Celsius(air), psychro.Fraction(rh), 101325)
	if err != nil {
		t.Fatal(err)
	}
	p, _ := a.FrostPoint()
	return float64(p)
}

// TestHoarAndFog: below 0 C the frost point counts; saturated air over a warmer face is fog, not dew.
func TestHoarAndFog(t *testing.T) {
	r := cure.DefaultRules()
	kinds := func(face, air, rh float64) (out []cure.Dampness) {
		for _, d := range r.DewAndFog(course(t, 5, func(_ int, h *cure.Hour) { h.Face, h.Air, h.RH = face, air, rh })) {
			if d.Kind == cure.Hoar && face == -5 {
				near(t, "margin above the frost point", d.Margin, face-frostPoint(t, air, rh), 1e-6)
			}
			if d.Length() != 5*hour {
				t.Errorf("%+v is not all five hours", d)
			}
			out = append(out, d.Kind)
		}
		return out
	}
	for _, c := range []struct {
		face, air, rh float64
		want          cure.Dampness
	}{
		{-5, -2, 0.78, cure.Hoar},  // dew point -5.3 C, frost point -4.7 C
		{-5, -2, 0.72, ""},         // frost point -5.6 C
		{8, 8, 1, cure.Dew},        //
		{8.5, 8, 0.99, cure.Fog},   //
		{8.5, 8, 0.95, ""},         //
		{-1, 12, 0.6, cure.Hoar},   // no frost point in such damp air: its dew point is above 0 C
		{0, 12, 0.6, cure.Dew},     //
		{20, 20, 0.0, ""},          // no vapour at all
		{-3, -3, 0.995, cure.Hoar}, // saturated over ice
	} {
		got := kinds(c.face, c.air, c.rh)
		if c.want == "" && len(got) != 0 || c.want != "" && (len(got) != 1 || got[0] != c.want) {
			t.Errorf("face %g C, air %g C %g: %v, want %q", c.face, c.air, c.rh, got, c.want)
		}
	}
}
