package cure_test

import (
	"math"
	"testing"

	"limeday/drying/cure"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, rel)
	}
}

// TestCarbonationExact: in constant conditions x2 = k2 pace t, exactly.
func TestCarbonationExact(t *testing.T) {
	f := finish(t, "float-coat")
	for _, s := range []struct {
		face, rh, s, pace float64
	}{
		{20, 0.65, 0.5, 1}, {10, 0.65, 0.5, 0.6}, {5, 0.55, 0.5, 0.35}, {20, 0.35, 0.5, 0.3}, {20, 0.90, 0.5, 0.5},
		{10, 0.90, 0.8, 0.6 * 0.5 * 0.5}, {0, 0.65, 0.5, 0}, {-5, 0.65, 0.5, 0}, {20, 0.65, 0.9, 0}, {20, 0.65, 1, 0}, {30, 0.8, 0.7, 1},
	} {
		c := course(t, 28*24, func(_ int, h *cure.Hour) { h.Face, h.Air, h.RH, h.Saturation = s.face, s.face, s.rh, s.s })
		g := cure.Carbonates(c, f)
		for _, d := range []float64{0, 1, 3.3, 28} {
			x := g.Depth(d * day)
			root := math.Sqrt(s.pace*d) * 1e-3
			near(t, "least", x.Least, f.Carbonation.Low*root, 1e-9)
			near(t, "likely", x.Likely, f.Carbonation.Value*root, 1e-9)
			near(t, "most", x.Most, f.Carbonation.High*root, 1e-9)
		}
		m := 1e-3
		r := g.Reaches(m)
		if s.pace == 0 {
			if want := (cure.Moment{At: 28 * day, Beyond: true}); r.Earliest != want || r.Latest != want {
				t.Errorf("at %+v it never carbonates, got %+v", s, r)
			}
			continue
		}
		first, likely, last := cure.Through(f, m)
		for _, p := range []struct {
			got  cure.Moment
			want float64
		}{{r.Earliest, first / s.pace}, {r.Likely, likely / s.pace}, {r.Latest, last / s.pace}} {
			if p.want > 28*day {
				if !p.got.Beyond || p.got.At != 28*day {
					t.Errorf("at %+v: %+v, but it is through only at %g d", s, p.got, p.want/day)
				}
				continue
			}
			near(t, "time through", p.got.At, p.want, 1e-9)
		}
	}
}

// TestCarbonationDepths: the depths that the coefficients were set down with: k 0.3 mm/d^0.5 makes 1 mm in 11 d;
// 0.7 makes 3.7 mm at 28 d (arithmetic, no measurement).
func TestCarbonationDepths(t *testing.T) {
	_, likely, _ := cure.Through(finish(t, "polished-lime"), 1e-3)
	near(t, "days for 1 mm of polish", likely/day, 11, 0.02)
	c := course(t, 28*24, func(_ int, h *cure.Hour) { h.Face, h.Air = 20, 20 })
	near(t, "float coat at 28 d", cure.Carbonates(c, finish(t, "float-coat")).Depth(28*day).Likely, 3.7e-3, 0.01)
}

// TestFaceHumidity: the air's humidity counts at the temperature of the face: at a face below the dew point nothing
// carbonates, though the air is in the best range.
func TestFaceHumidity(t *testing.T) {
	c := course(t, 48, func(_ int, h *cure.Hour) { h.Face, h.Air, h.RH = 8, 20, 0.65 })
	if d := cure.Carbonates(c, finish(t, "float-coat")).Depth(2 * day); d.Most != 0 {
		t.Errorf("%+v on a face with dew on it", d)
	}
}

// TestWaterReleased: 74 g of Ca(OH)2 give 18 g of water (stoichiometry; the molar masses differ from these whole
// numbers by 0.1 %). A polish film of 0.5 mm as laid sets free some 50 g/m2 (arithmetic from its mix).
func TestWaterReleased(t *testing.T) {
	f := finish(t, "polished-lime")
	lime := f.Portlandite.Value * f.SolidMass(0.5e-3)
	got := cure.WaterReleased(f, f.SolidMass(0.5e-3)/f.DriedDensity())
	near(t, "water for lime", got/lime, 18.0/74, 1e-3)
	near(t, "0.5 mm of polish", got, 0.050, 0.06)
}
