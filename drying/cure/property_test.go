package cure_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"limeday/drying/cure"
	"limeday/drying/material"
)

// anyHours are hours as they may come: wandering, sometimes far from each other.
func anyHours(t *rapid.T) []cure.Hour {
	n := rapid.IntRange(2, 80).Draw(t, "hours")
	num := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	out := make([]cure.Hour, n)
	at := 0.0
	for i := range out {
		out[i] = cure.Hour{Time: at, Face: num("face", -12, 25), Air: num("air", -12, 25), RH: num("rh", 0.05, 1), Saturation: num("S", 0, 0.9),
			Evaporation: num("E", -1e-5, 1e-4), Wind: num("wind", 0, 15), Sun: num("sun", 0, 900),
			Rain: max(0, num("rain", -1e-3, 5e-4)), Wet: rapid.IntRange(0, 9).Draw(t, "wet") == 0}
		at += rapid.SampledFrom([]float64{600, 3600, 3600, 3600, 3 * 3600}).Draw(t, "step")
	}
	return out
}

// made is the course of hours, known to the last of them.
func made(t *rapid.T, hours []cure.Hour) cure.Record {
	c, err := cure.NewRecord(hours, hours[len(hours)-1].Time)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// changed is a copy of hours, each changed.
func changed(hours []cure.Hour, change func(h *cure.Hour)) []cure.Hour {
	out := append([]cure.Hour(nil), hours...)
	for i := range out {
		change(&out[i])
	}
	return out
}

func anyFinish(t *rapid.T) material.Finish {
	f, err := material.FinishNamed(rapid.SampledFrom(material.Finishes()).Draw(t, "finish"))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// thick is a film that no course here carbonates through, so that one critical saturation holds all along.
const thick = 20e-3

// holds fails where a freeze of some is not within one of more at the same grade or a graver. Their number may
// fall: two nights can grow into one.
func holds(t *rapid.T, some, more []cure.Freeze) {
	for _, s := range some {
		found := false
		for _, m := range more {
			found = found || m.Begin <= s.Begin+1e-6 && m.End >= s.End-1e-6 && m.Grade >= s.Grade && m.Lowest <= s.Lowest+1e-9 && m.Saturation >= s.Saturation-1e-9
		}
		if !found {
			t.Fatalf("%+v is in none of %+v", s, more)
		}
	}
}

// TestColderAndWetter: a colder or a wetter face never freezes less, nor less gravely; a colder spring never ends
// the frost-free days sooner; a colder face never has less dew; more rain is never less time of rain.
func TestColderAndWetter(t *testing.T) {
	r := cure.DefaultRules()
	rapid.Check(t, func(t *rapid.T) {
		hours, f := anyHours(t), anyFinish(t)
		by, wet := rapid.Float64Range(0, 5).Draw(t, "colder"), rapid.Float64Range(0, 0.1).Draw(t, "wetter")
		base := made(t, hours)
		cold := made(t, changed(hours, func(h *cure.Hour) { h.Face -= by; h.Air -= by }))
		holds(t, r.Freezes(base, f, thick), r.Freezes(cold, f, thick))
		holds(t, r.Freezes(base, f, thick), r.Freezes(made(t, changed(hours, func(h *cure.Hour) { h.Saturation += wet })), f, thick))
		a, b := r.FrostFree(base, f), r.FrostFree(cold, f)
		if b.Earliest < a.Earliest || b.Likely < a.Likely || b.Latest < a.Latest || cure.Total(b.Frosts) < cure.Total(a.Frosts)-1e-6 {
			t.Fatalf("colder: %+v, then %+v", a, b)
		}
		wetting := func(c cure.Record) (sum float64) {
			for _, d := range r.DewAndFog(c) {
				if d.Kind != cure.Fog {
					sum += d.Length()
				}
			}
			return sum
		}
		// Of a face that stays on one side of 0 C: across it the frost point takes over from the dew point.
		above := changed(hours, func(h *cure.Hour) { h.Face = math.Abs(h.Face) + by; h.Air = math.Abs(h.Air) })
		if w, c := wetting(made(t, above)), wetting(made(t, changed(above, func(h *cure.Hour) { h.Face -= by }))); c < w-1e-6 {
			t.Fatalf("dew %g s, on a colder face %g s", w, c)
		}
		raining := func(c cure.Record) (sum, mass float64) {
			for _, s := range r.RainOn(c, f).Showers {
				sum, mass = sum+s.Length(), mass+s.Amount
			}
			return sum, mass
		}
		ta, ma := raining(base)
		tb, mb := raining(made(t, changed(hours, func(h *cure.Hour) { h.Rain *= 1.5 })))
		if tb < ta-1e-6 || mb < ma-1e-9 {
			t.Fatalf("more rain: %g s, %g kg/m2; then %g s, %g kg/m2", ta, ma, tb, mb)
		}
	})
}

// TestLongerHorizon: seeing further never takes back what was seen, nor brings forward what is waited for.
func TestLongerHorizon(t *testing.T) {
	r := cure.DefaultRules()
	rapid.Check(t, func(t *rapid.T) {
		hours, f := anyHours(t), anyFinish(t)
		n := rapid.IntRange(1, len(hours)).Draw(t, "known")
		m := rapid.Float64Range(1e-5, 5e-3).Draw(t, "m")
		short, long := made(t, hours[:n]), made(t, hours)
		for k, h := range hours[:n] {
			a, b := cure.Carbonates(short, f).Depth(h.Time), cure.Carbonates(long, f).Depth(h.Time)
			if math.Abs(a.Likely-b.Likely) > 1e-12 {
				t.Fatalf("depth at hour %d: %+v, then %+v", k, a, b)
			}
		}
		// The film's carbonation is known alike in both up to the short one's end, and what the threshold is after
		// it does not touch the freezes before.
		holds(t, r.Freezes(short, f, m), r.Freezes(long, f, m))
		later := func(name string, a, b cure.Moment) {
			switch {
			case !a.Beyond && (b.Beyond || math.Abs(a.At-b.At) > 1e-6), a.Beyond && b.At < a.At-1e-6:
				t.Fatalf("%s: %+v, then %+v", name, a, b)
			}
		}
		a, b := r.RainOn(short, f), r.RainOn(long, f)
		later("drained", a.Drained, b.Drained)
		if b.Safe < a.Safe-1e-6 {
			t.Fatalf("rain harms to %g, then to %g", a.Safe, b.Safe)
		}
		if a.Outlook.Clear() && !b.Outlook.Clear() || !a.Outlook.Comes.Beyond && b.Outlook.Comes.Beyond {
			t.Fatalf("rain: %+v, then %+v", a.Outlook, b.Outlook)
		}
		through, further := cure.Carbonates(short, f).Reaches(m), cure.Carbonates(long, f).Reaches(m)
		later("earliest", through.Earliest, further.Earliest)
		later("likely", through.Likely, further.Likely)
		later("latest", through.Latest, further.Latest)
		sheet := func(c cure.Record) cure.Advice {
			x, _ := advice(r.Assess(c, f, m, 0), cure.SheetUntil)
			return x
		}
		if p, q := sheet(short), sheet(long); q.At.At < p.At.At-1e-6 {
			t.Fatalf("sheet until %+v, then %+v", p.At, q.At)
		}
	})
}

// TestCarbonationProperties: depth grows with time and k, x2 is a sum over parts, and Reaches is Depth's inverse.
func TestCarbonationProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hours, f := anyHours(t), anyFinish(t)
		c := made(t, hours)
		g := cure.Carbonates(c, f)
		last := cure.Depth{}
		for _, h := range hours {
			d := g.Depth(h.Time)
			if d.Likely < last.Likely || d.Least > d.Likely || d.Likely > d.Most {
				t.Fatalf("%+v after %+v", d, last)
			}
			last = d
		}
		if full := cure.Carbonates(made(t, changed(hours, func(h *cure.Hour) { h.Face, h.Air, h.RH, h.Saturation, h.Wet = 20, 20, 0.7, 0.5, false })), f).Depth(c.Horizon()); last.Most > full.Most*(1+1e-12) {
			t.Fatalf("%+v is more than in the best air, %+v", last, full)
		}
		k := rapid.IntRange(1, len(hours)).Draw(t, "cut")
		first := cure.Carbonates(made(t, hours[:k]), f).Depth(hours[k-1].Time).Likely
		second := cure.Carbonates(made(t, hours[k-1:]), f).Depth(c.Horizon()).Likely
		if math.Abs(first*first+second*second-last.Likely*last.Likely) > 1e-12*last.Likely*last.Likely+1e-24 {
			t.Fatalf("%g and %g make %g", first, second, last.Likely)
		}
		if last.Likely > 0 {
			m := last.Likely * rapid.Float64Range(0.05, 0.999).Draw(t, "share")
			at := g.Reaches(m).Likely
			if at.Beyond || math.Abs(g.Depth(at.At).Likely-m) > 1e-9*m {
				t.Fatalf("%g m at %+v, where it is %+v", m, at, g.Depth(at.At))
			}
		}
	})
}

// TestFreezesAreCold: each freeze lies within the course, apart from the next, and both conditions hold inside it.
func TestFreezesAreCold(t *testing.T) {
	r := cure.DefaultRules()
	rapid.Check(t, func(t *rapid.T) {
		c, f := made(t, anyHours(t)), anyFinish(t)
		m := rapid.Float64Range(1e-5, 5e-3).Draw(t, "m")
		end := math.Inf(-1)
		for _, z := range r.Freezes(c, f, m) {
			if z.Begin < max(end, c.Laid()) || z.End > c.Horizon() || z.Length() <= 0 || z.Grade < cure.Possible {
				t.Fatalf("%+v after %g", z, end)
			}
			end = z.End
			for _, x := range []float64{0.01, 0.5, 0.99} {
				h := c.At(z.Begin + x*z.Length())
				if h.Face > r.FreezesAt.Value+1e-9 || h.Saturation <= f.CriticalSaturation.Low-r.Uncarbonated.Value-1e-9 || h.Face < z.Lowest-1e-9 || h.Saturation > z.Saturation+1e-9 {
					t.Fatalf("at %g of %+v: %+v", x, z, h)
				}
			}
		}
	})
}

// BenchmarkAssess judges a fortnight of hours.
func BenchmarkAssess(b *testing.B) {
	f, r := finish(b, "nhl-render"), cure.DefaultRules()
	c := course(b, 14*24, func(i int, h *cure.Hour) {
		h.Face = 6 + 8*math.Sin(float64(i)*math.Pi/12)
		h.Air, h.RH = h.Face+1, 0.75
		h.Saturation = 0.8 + 0.15*math.Sin(float64(i)/20)
		h.Rain = max(0, math.Sin(float64(i)/7)-0.9) / 3600
	})
	for b.Loop() {
		r.Assess(c, f, 10e-3, 0)
	}
}
