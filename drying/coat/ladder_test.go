package coat

import (
	"fmt"
	"math"
	"testing"

	"limeday/drying/material"
)

// The rungs of the ladder that need a real build-up, all through Wall. Each names its source; a measured range that
// the model misses is kept, marked and told, and a mark that no longer holds fails.

// span is a range of a measured or computed quantity.
type span struct{ low, high float64 }

func (s *span) add(x float64)        { s.low, s.high = min(s.low, x), max(s.high, x) }
func (s span) overlaps(o span) bool  { return s.low <= o.high && o.low <= s.high }
func (s span) holds(x float64) bool  { return s.low <= x && x <= s.high }
func (s span) String() string        { return fmt.Sprintf("%.3g to %.3g", s.low, s.high) }
func empty() span                    { return span{math.Inf(1), math.Inf(-1)} }
func (s span) factor(o span) float64 { return max(s.low/o.high, o.low/s.high, 1) }
func fixed(v float64) material.Property {
	return material.Property{Value: v, Low: v, High: v, Unit: "-", Evidence: material.User, Source: "a test"}
}

// suckedOut lays a coat at 20 C and 50 % and returns the share of its mix water gone at moments rising geometrically
// to half an hour. In that time the air takes 1 % of it.
func suckedOut(t *testing.T, b material.Background, f material.Finish, thickness float64) (at, share []float64) {
	t.Helper()
	w, err := Stand(b, setting(20, 0.5, 0.1), 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Lay(Coat{f, thickness}); err != nil {
		t.Fatal(err)
	}
	first, end := w.problem.Range(0)
	start := w.problem.Water(w.state, first, end)
	at, share = []float64{0}, []float64{0}
	for next := 1.0; next <= 1800; next *= 1.1 {
		if _, err := w.Wait(next - w.Time()); err != nil {
			t.Fatal(err)
		}
		at, share = append(at, next), append(share, 1-w.problem.Water(w.state, first, end)/start)
	}
	return at, share
}

// when is the moment at which share reaches level, linear between moments.
func when(at, share []float64, level float64) float64 {
	for i := 1; i < len(at); i++ {
		if share[i] >= level {
			return at[i-1] + (level-share[i-1])/(share[i]-share[i-1])*(at[i]-at[i-1])
		}
	}
	return math.Inf(1)
}

// sharpFront is the time of dewatering as the sharp-front theory reads it: the square root of time law of the first
// tenth of the water, extrapolated to the share lost in the end.
func sharpFront(at, share []float64, end float64) float64 {
	a := 0.1 / math.Sqrt(when(at, share, 0.1))
	return end / a * end / a
}

// settled is when an eye on profiles taken every 90 s sees no more change: less than 2 % of the mix water goes
// before the next (2 % is an ESTIMATE of what such profiles show).
func settled(at, share []float64) float64 {
	later := func(x float64) float64 {
		for i := 1; i < len(at); i++ {
			if at[i] >= x {
				return share[i-1] + (x-at[i-1])/(at[i]-at[i-1])*(share[i]-share[i-1])
			}
		}
		return share[len(share)-1]
	}
	for s := 1.0; s < 1700; s++ {
		if later(s+90)-later(s) < 0.02 {
			return s
		}
	}
	return math.Inf(1)
}

// sandLime is a sand-lime brick (from memory: 0.3 to 0.9 mm/min^0.5; pores finer than brick's, ESTIMATE).
func sandLime(b material.Background) material.Background {
	r := b.Layers[0]
	r.Name, r.Absorption, r.MeanSuction, r.W80, r.Capillary = "sand-lime", fixed(0.065), fixed(2e5), fixed(25), fixed(220)
	r.Absorption.Low, r.Absorption.High = 0.039, 0.116
	b.Name, b.Layers = "sand-lime", []material.Rigid{r}
	return b
}

// TestLadderDewatering: how fast bricks drink mortar dry, against measured times. The two sources contradict each other
// (a thicker joint ready sooner), their ends differ, and the mortars are not ours: so ranges are compared, over the
// ranges of the material table, and the table is not tuned to one of them.
func TestLadderDewatering(t *testing.T) {
	render, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name      string
		on        material.Background
		thickness float64
		measured  span // s
		missed    bool // the spans do not meet
		usualOut  bool // what the table's own values give lies outside
		end       func(at, share []float64) float64
		source    string
	}{
		{"10 mm joint on facing brick", background(t, "brick", ""), 10e-3, span{20, 60}, false, true,
			func(at, share []float64) float64 { return sharpFront(at, share, 0.4) },
			"20 s (Portland) to 60 s (NHL 2), 40-60 % of the mix water lost: Mater. Struct. 43 (2010) 985-992, abstract"},
		{"6 mm on fired clay", background(t, "brick", ""), 6e-3, span{0, 180}, false, false, settled,
			"at most 3 min: Brocken et al. 1998, Mater. Struct. 31, 49-57, NMR, abstract"},
		{"6 mm on sand-lime", sandLime(background(t, "brick", "")), 6e-3, span{480, 720}, true, true, settled,
			"about 10 min, most in the first 3 (20 % either way is an ESTIMATE): the same"},
	} {
		times, lost, early := empty(), empty(), empty()
		usual := 0.0
		a, r := tc.on.Layers[0].Absorption, render.Desorptivity
		for _, absorbs := range []float64{a.Low, a.Value, a.High} {
			for _, gives := range []float64{r.Low, r.Value, r.High} {
				b, f := tc.on, render
				b.Layers = append([]material.Rigid(nil), b.Layers...)
				b.Layers[0].Absorption.Value, f.Desorptivity.Value = absorbs, gives
				at, share := suckedOut(t, b, f, tc.thickness)
				s := tc.end(at, share)
				times.add(s)
				lost.add(share[len(share)-1])
				early.add(when(at, share, share[len(share)-1]/2))
				if absorbs == a.Value && gives == r.Value {
					usual = s
				}
				t.Logf("%s: A_w %.3f, R %.1e: %.0f s; lost %.0f %% in half an hour, half of it in %.0f s", tc.name, absorbs, gives, s,
					100*share[len(share)-1], when(at, share, share[len(share)-1]/2))
			}
		}
		t.Logf("%s: model %s s (table's own values %.0f s), measured %s s (%s); apart by a factor of %.2g; lost %s of the mix water, half within %s s",
			tc.name, times, usual, tc.measured, tc.source, times.factor(tc.measured), lost, early)
		if times.overlaps(tc.measured) == tc.missed {
			t.Errorf("%s: model %s s, measured %s s; marked as missed: %v", tc.name, times, tc.measured, tc.missed)
		}
		if tc.measured.holds(usual) == tc.usualOut {
			t.Errorf("%s: the table's own values give %.0f s, measured %s s; marked as outside: %v", tc.name, usual, tc.measured, tc.usualOut)
		}
		if !lost.overlaps(span{0.4, 0.6}) {
			t.Errorf("%s: %s of the mix water lost, measured 0.4 to 0.6", tc.name, lost)
		}
		if times.factor(tc.measured) > 3 {
			t.Errorf("%s: %s s against %s s is beyond what the two sources differ by", tc.name, times, tc.measured)
		}
	}
}

// TestLadderScreedRule: the published rule of a day for each mm of screed up to 40-50 mm (20 C, at most 65 % RH; texts
// quoting BS 8204 and BS 5385-3, whose attribution differs), beside sanded coats as thick drying on a sealed back to 75 % RH
// at the back, the floor layer's "dry" (texts quoting BS 8203). The rule is for cement screeds, holds a margin and
// has no air speed, so no more is asserted than the order of magnitude; the difference is shown.
func TestLadderScreedRule(t *testing.T) {
	sealed := material.Background{Name: "sealed", Layers: []material.Rigid{{Name: "foil", Thickness: fixed(1e-3), Density: fixed(1400),
		Capillary: fixed(10), Absorption: fixed(1e-7), MeanSuction: fixed(1e5), W80: fixed(1), Mu: fixed(1e6), Conductivity: fixed(0.3),
		HeatCapacity: fixed(1300), Wetting: fixed(0.5)}}}
	for _, name := range []string{"float-coat", "nhl-render"} {
		f, err := material.FinishNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, rh := range []float64{0.5, 0.65} {
			for _, mm := range []float64{40, 50} {
				w, err := Stand(sealed, setting(20, rh, 0.1), 0)
				if err != nil {
					t.Fatal(err)
				}
				if err := w.Lay(Coat{f, mm / 1000}); err != nil {
					t.Fatal(err)
				}
				x, err := w.Dry(200 * 86400)
				if err != nil {
					t.Fatal(err)
				}
				_, end := w.problem.Range(0)
				for w.problem.Fluid.Humidity(w.state.Cells[end-1].Y, 20) > 0.75 && w.Time() < 200*86400 {
					if _, err := w.Wait(6 * 3600); err != nil {
						t.Fatal(err)
					}
				}
				days := w.Time() / 86400
				t.Logf("%s, %g mm, 20 C, %g %%: pores 45 %% full throughout after %.1f d, back at 75 %% RH after %.1f d = %.2f d/mm; the rule has 1", name, mm, 100*rh, x.Dry/86400, days, days/mm)
				if perMm := days / mm; !(perMm > 1.0/3 && perMm < 3) {
					t.Errorf("%s: %.2f d/mm, not of the rule's order", name, perMm)
				}
			}
		}
	}
}

// TestLadderReWetting: a fresh coat of polish on a dry one wets it but cannot swell it: consolidation is for good
// (model.md 3; Scherer 1990, J. Am. Ceram. Soc. 73, 3-14, from memory). Usual coats, and a thick one on a thin one over a
// tight primer in damp air, which soaks the thin one to suctions at which a film that could swell would. Water is
// conserved in laying.
func TestLadderReWetting(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	tab, err := f.Table()
	if err != nil {
		t.Fatal(err)
	}
	limit := f.ShrinkageLimit.Value
	for _, tc := range []struct {
		name  string
		on    material.Primer
		rh    float64
		mm    []float64
		soaks bool
	}{
		{"usual coats", material.Fair, 0.5, []float64{0.2, 0.125, 0.075}, false},
		{"thick on thin", material.Tight, 0.85, []float64{0.05, 0.4}, true},
	} {
		w := stand(t, "primed-board", tc.on, 20, tc.rh, 0.1)
		for n, mm := range tc.mm {
			held := w.problem.Water(w.state, 0, w.problem.Cells())
			if err := w.Lay(Coat{f, mm / 1000}); err != nil {
				t.Fatal(err)
			}
			fresh := f.SolidMass(mm/1000) * f.WaterRatio.Value
			now := w.problem.Water(w.state, 0, w.problem.Cells())
			if d := now - held - fresh; math.Abs(d) > 1e-4*fresh { // the table's own interpolation of u0
				t.Errorf("%s, coat %d: laying it made %.2g kg/m2 of water", tc.name, n+1, d)
			}
			if n > 0 {
				_, end := w.problem.Range(n) // of the coats beneath the fresh one
				first := len(w.problem.Layers[0].Cells)
				before, wettest, slack := 0.0, 0.0, math.Inf(1)
				for _, c := range w.state.Cells[first:end] {
					before = max(before, c.Water)
				}
				for range 360 {
					if _, err := w.Wait(5); err != nil {
						t.Fatal(err)
					}
					for _, c := range w.state.Cells[first:end] {
						wettest, slack = max(wettest, c.Water), min(slack, c.Y)
					}
				}
				could, _ := tab.Water(slack)
				t.Logf("%s, under coat %d: wettest cell from %.3f to %.4f kg/kg (shrinkage limit %.2f, as laid %.2f); suction down to %.3g Pa, at which a fresh film holds %.3f",
					tc.name, n+1, before, wettest, limit, f.WaterRatio.Value, math.Exp(slack), could)
				// Rigid but for the slope within the play, 2 % of the draining curve's (wall/doc.go), from the shrinkage
				// limit down to the slackest suction.
				if back := (wettest - limit) / (f.WaterRatio.Value - limit); back > 0.03 {
					t.Errorf("%s: coat %d finds the one beneath at %.4f kg/kg: it took back %.1f %% of its shrinkage", tc.name, n+1, wettest, 100*back)
				}
				if !(wettest > 1.3*before) {
					t.Errorf("%s: coat %d did not wet the one beneath: %.4f to %.4f kg/kg", tc.name, n+1, before, wettest)
				}
				if tc.soaks && !(could > 1.1*limit) {
					t.Errorf("%s: nothing could have swelled at %.3g Pa", tc.name, math.Exp(slack))
				}
			}
			if _, err := w.Dry(20 * 86400); err != nil {
				t.Fatal(err)
			}
		}
	}
}
