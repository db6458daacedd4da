package crew

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawn is a curve with what it was made of.
type drawn struct {
	curve
	after []float64
	side  careful
}

func drawCurve(t *rapid.T, most float64) drawn {
	n := rapid.IntRange(1, 5).Draw(t, "knots")
	d := drawn{side: careful(rapid.Bool().Draw(t, "later"))}
	var at []int
	x := rapid.IntRange(0, 20).Draw(t, "first")
	for range n {
		at = append(at, x)
		x += rapid.IntRange(1, 40).Draw(t, "step")
		s := rapid.Float64Range(-5, most).Draw(t, "after")
		if rapid.IntRange(0, 9).Draw(t, "never") == 0 {
			s = math.Inf(1)
		}
		d.after = append(d.after, s)
	}
	d.curve = newCurve(at, d.after, d.side)
	return d
}

// What is laid later comes no sooner, and from finds the first moment that is late enough.
func TestCurveRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawCurve(t, 120)
		for x := -30; x < 250; x++ {
			if d.of(x) > d.of(x+1) {
				t.Fatalf("of falls from %d to %d", d.of(x), d.of(x+1))
			}
		}
		lo, y := rapid.IntRange(-20, 200).Draw(t, "lo"), rapid.IntRange(-50, 400).Draw(t, "y")
		want := lo
		for d.of(want) < y {
			want++
		}
		if got := d.from(lo, y); got != want {
			t.Errorf("from(%d, %d) = %d, want %d", lo, y, got, want)
		}
	})
}

// A curve is what it was made of, turned to the careful side: of what must be waited for, the latest of what was laid up to then; of
// what must be met, the soonest of what is laid from then on.
func TestCurveIsCareful(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawCurve(t, 120)
		comes := func(i int) float64 { return float64(d.at[i]) + max(0, d.after[i]) }
		for i := range d.at {
			want := comes(i)
			for j := range d.at {
				if d.side == later && j < i {
					want = max(want, comes(j))
				}
				if d.side == sooner && j > i {
					want = min(want, comes(j))
				}
			}
			got := float64(d.of(d.at[i]))
			switch {
			case math.IsInf(want, 1):
				if got != never {
					t.Errorf("at knot %d it comes at %v, want never", i, got)
				}
			case d.side == later && (got < want || got > want+1):
				t.Errorf("at knot %d it opens at %v, want the second after %v", i, got, want)
			case d.side == sooner && (got > want || got < want-1):
				t.Errorf("at knot %d it has gone by at %v, want the second before %v", i, got, want)
			}
		}
	})
}

// Between knots a curve is straight, but for the part of a second; where one of them is never, it is never.
func TestCurveBetweenKnots(t *testing.T) {
	c := newCurve([]int{100, 200, 300}, []float64{50, 150, math.Inf(1)}, later)
	for _, x := range []struct{ x, want int }{{0, 50}, {100, 150}, {101, 152}, {150, 250}, {199, 348}, {200, 350}, {201, never}, {300, never}, {9999, never}} {
		if got := c.of(x.x); got != x.want {
			t.Errorf("of(%d) = %d, want %d", x.x, got, x.want)
		}
	}
	met := newCurve([]int{100, 200, 300}, []float64{50, 150, math.Inf(1)}, sooner)
	for _, x := range []struct{ x, want int }{{150, 250}, {200, 350}, {250, 400}, {299, 449}, {300, never}} {
		if got := met.of(x.x); got != x.want {
			t.Errorf("what must be met: of(%d) = %d, want %d, as soon after as where it was last known", x.x, got, x.want)
		}
	}
	if got := met.from(210, 449); got != 299 {
		t.Errorf("from(210, 449) = %d, want 299", got)
	}
	for _, x := range []float64{never, 1e12, math.Inf(1), math.NaN()} {
		if c := newCurve([]int{10}, []float64{x}, sooner); c.of(0) != never || c.of(10) != never || c.of(20) != never {
			t.Errorf("%g s after laying is not never", x)
		}
	}
	gone, open := newCurve([]int{0, 100}, []float64{500, 50}, sooner), newCurve([]int{0, 100}, []float64{500, 50}, later)
	if got := gone.of(0); got != 150 {
		t.Errorf("what is laid before a faster hour has gone by at %d, want with that at 150", got)
	}
	if got := open.of(100); got != 500 {
		t.Errorf("what is laid in a faster hour opens at %d, want with what was laid before it at 500", got)
	}
}

// Free time against a row of minutes, each free or not.
func TestFreeTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const minutes = 120
		var is [minutes]bool
		for at := rapid.IntRange(0, 9).Draw(t, "first"); at < minutes; {
			n := rapid.IntRange(1, 15).Draw(t, "long")
			for i := at; i < min(at+n, minutes); i++ {
				is[i] = true
			}
			at += n + rapid.IntRange(1, 5).Draw(t, "away")
		}
		spans := func() (out []span) {
			for i := range minutes {
				switch {
				case is[i] && (i == 0 || !is[i-1]):
					out = append(out, span{i, i + 1})
				case is[i]:
					out[len(out)-1].to++
				}
			}
			return out
		}
		free := spans()
		for range 20 {
			lo, d := rapid.IntRange(-5, minutes+5).Draw(t, "lo"), rapid.IntRange(1, 12).Draw(t, "d")
			want := never
			for at := max(lo, 0); at+d <= minutes && want == never; at++ {
				want = at
				for i := at; i < at+d; i++ {
					if !is[i] {
						want = never
					}
				}
			}
			got := fit(free, lo, d)
			if got != want {
				t.Fatalf("%d minutes from %d on go in at %d, want %d: %v", d, lo, got, want, free)
			}
			if got == never {
				continue
			}
			before := len(free)
			for i := got; i < got+d; i++ {
				is[i] = false
			}
			rest := taken(free, got, got+d)
			if w := spans(); len(rest) != len(w) || len(free) != before {
				t.Fatalf("%v less %d to %d leaves %v, want %v", free, got, got+d, rest, w)
			}
			for i, f := range spans() {
				if rest[i] != f {
					t.Fatalf("%v less %d to %d leaves %v, want %v", free, got, got+d, rest, spans())
				}
			}
			free = rest
		}
	})
}
