package view_test

import (
	"math"
	"regexp"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

// anyNumber is any, those that are none among them.
func anyNumber() *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64(), rapid.Float64Range(-1e3, 1e7), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 59.9, 60, 1e-9}))
}

var noNumber = regexp.MustCompile(`NaN|Inf|%!|e\+|--|-0 |-0$`)

// Whatever a length of time is, it is told in words or whole numbers.
func TestSpellsOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, high := anyNumber().Draw(t, "low"), anyNumber().Draw(t, "high")
		edge := rapid.SampledFrom([]message.Edge{message.Exact, message.Begins, message.Ends}).Draw(t, "edge")
		for form, s := range map[string]string{
			"spell": view.Printer{}.Spell(low), "between": view.Printer{}.Between(low, high), "narrow": view.Narrow(low, high), "counted": view.Counted(low, high),
			"after": view.AfterLaying(low, edge, false), "finely": view.AfterLaying(low, edge, true),
		} {
			if s == "" || noNumber.MatchString(s) || len(s) > 45 {
				t.Fatalf("%s of %g and %g: %q", form, low, high, s)
			}
		}
	})
}

// What a season counts on fits its column, and is never told longer than it is.
func TestCounted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0, 45*86400).Draw(t, "low")
		high := low + rapid.Float64Range(0, 45*86400).Draw(t, "more")
		if s := view.Counted(low, high); len(s) > 10 {
			t.Fatalf("%g to %g s: %q", low, high, s)
		}
		if s := view.Counted(high, high); high >= 60 && seconds(t, s) > high+1e-3 {
			t.Fatalf("%g s: %q", high, s)
		}
	})
	for want, m := range map[string][2]float64{"at once": {0.2, 0.9}, "6-29 min": {6.9, 29.9}, "28-45 min": {28.4, 48}, "30 min": {30, 34}, "75-120 min": {79, 120}, "1.5-2 h": {100, 121}, "0-1.5 d": {300, 1.9 * 1440}} {
		if got := view.Counted(60*m[0], 60*m[1]); got != want {
			t.Errorf("%g to %g min: %q, want %q", m[0], m[1], got, want)
		}
	}
}

// A number that is none is told as not known, in every kind.
func TestNoNumberIsNotKnown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]message.Kind{message.Temperature, message.Step, message.Humidity, message.Vapour, message.Pressure, message.Speed, message.Altitude, message.Thickness,
			message.Spread, message.Minutes, message.Hours, message.Age, message.Flux, message.Water, message.Share, message.Times, message.Rain, message.Length, message.Along, message.Area,
			message.Whole, message.Volume, message.Pace, message.Mass, message.Bucket, message.Count, message.Spell, message.Between, message.After}).Draw(t, "kind")
		p := view.Printer{Units: rapid.SampledFrom([]quantity.Units{quantity.Metric, quantity.US}).Draw(t, "units")}
		v := anyNumber().Draw(t, "value")
		s := p.Quantity(message.Quantity{Kind: kind, Value: v, To: anyNumber().Draw(t, "to")})
		if s == "" || noNumber.MatchString(s) {
			t.Fatalf("%s of %g: %q", kind, v, s)
		}
	})
}

// What is later is never shown sooner, by one rounding.
func TestShownKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		laid := moments(t, "laid")
		at := func(name string) time.Time {
			return laid.Add(time.Duration(rapid.Int64Range(0, int64(96*time.Hour)).Draw(t, name)))
		}
		a, b := at("one"), at("another")
		if b.Before(a) {
			a, b = b, a
		}
		grain := time.Duration(rapid.SampledFrom([]int{0, 60, 300, 600, 1800, 12 * 3600}).Draw(t, "grain")) * time.Second
		edge := rapid.SampledFrom([]message.Edge{message.Exact, message.Ends}).Draw(t, "edge")
		if x, y := (view.Time{At: a, Laid: laid, Edge: edge, Grain: grain}).Shown(), (view.Time{At: b, Laid: laid, Edge: edge, Grain: grain}).Shown(); y.Before(x) {
			t.Fatalf("%v and %v are shown as %v and %v", a, b, x, y)
		}
		if begins := (view.Time{At: a, Edge: message.Begins, Grain: grain}).Shown(); (view.Time{At: b, Edge: message.Begins, Grain: grain}).Shown().Before(begins) {
			t.Fatalf("%v and %v cross", a, b)
		}
	})
}

// A time after laying is told on the safe side of itself, and never by more than a quarter too far beside a window of ten minutes.
func TestAfterLayingIsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(60, 40*86400).Draw(t, "s")
		for _, finely := range []bool{false, true} {
			begins, ends := seconds(t, view.AfterLaying(s, message.Begins, finely)), seconds(t, view.AfterLaying(s, message.Ends, finely))
			if begins < s-1e-3 || ends > s+1e-3 || begins > 1.3*s+60 || ends < 0.7*s-60 {
				t.Fatalf("%g s: from %g, to %g", s, begins, ends)
			}
		}
		later := s + rapid.Float64Range(0, 86400).Draw(t, "more")
		for _, e := range []message.Edge{message.Begins, message.Ends} {
			if seconds(t, view.AfterLaying(later, e, false)) < seconds(t, view.AfterLaying(s, e, false))-1e-3 {
				t.Fatalf("%g and %g s change places: %s, %s", s, later, view.AfterLaying(s, e, false), view.AfterLaying(later, e, false))
			}
		}
	})
}

func seconds(t *rapid.T, s string) float64 {
	m := regexp.MustCompile(`^([0-9.]+) (min|h|d)$`).FindStringSubmatch(s)
	if m == nil {
		t.Fatalf("%q is no time after laying", s)
	}
	v, err := quantity.Parse(quantity.Duration, m[1]+map[string]string{"min": "min", "h": "h", "d": "h"}[m[2]], quantity.Metric, quantity.Range{})
	if err != nil {
		t.Fatal(err)
	}
	if m[2] == "d" {
		v *= 24
	}
	return v
}
