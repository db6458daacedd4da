package drying_test

import (
	"math"
	"testing"

	"limeday/drying"
	"limeday/drying/material"
)

// TestFollow: the course belongs to the times of the ladder, its flux to what has evaporated, and a dry wall draws.
func TestFollow(t *testing.T) {
	for number := 1; number <= 3; number++ {
		ask := usual(t, 20, 50, material.Fair, number, 0.2)
		rungs, err := drying.Ladder(ask)
		if err != nil {
			t.Fatal(err)
		}
		c, err := drying.Follow(ask, 2e-4)
		if err != nil {
			t.Fatal(err)
		}
		if c.Times != rungs[0].Times {
			t.Errorf("coat %d: times %+v, the ladder has %+v", number, c.Times, rungs[0].Times)
		}
		if c.Points[0].After != 0 || c.Points[0].Water != c.Fresh {
			t.Errorf("coat %d: begins with %+v", number, c.Points[0])
		}
		for _, e := range []struct {
			name      string
			at, level float64
		}{{"edge", c.Edge, c.Levels.Edge}, {"opens", c.Opens, c.Levels.Opens}, {"burnish", c.Burnish, c.Levels.Burnish}, {"closes", c.Closes, c.Levels.Closes}} {
			i := 1
			for i < len(c.Points)-1 && c.Points[i].After < e.at {
				i++
			}
			if a, b := c.Points[i-1], c.Points[i]; b.Water > e.level+1e-9 || a.After < e.at && a.Water < e.level-1e-9 {
				t.Errorf("coat %d: %s at %.0f s, %.4f, not between %+v and %+v", number, e.name, e.at, e.level, a, b)
			}
		}
		for i, p := range c.Points[1:] {
			if p.After <= c.Points[i].After {
				t.Fatalf("coat %d: %g s follows %g s", number, p.After, c.Points[i].After)
			}
			if p.After <= c.Opens && p.Drawn <= 0 {
				t.Errorf("coat %d: the dry wall has drawn %g kg/m2 by %g s", number, p.Drawn, p.After)
			}
		}
		sum := 0.0
		for i, p := range c.Points[1:] {
			sum += (p.Flux + c.Points[i].Flux) / 2 * (p.After - c.Points[i].After)
		}
		if end := c.Points[len(c.Points)-1]; math.Abs(sum-end.Gone) > 0.02*end.Gone {
			t.Errorf("coat %d: the flux adds up to %g kg/m2, and %g evaporated", number, sum, end.Gone)
		}
	}
}

// BenchmarkFollow is a change at the bench: one run of the third coat, with the two under it.
func BenchmarkFollow(b *testing.B) {
	for _, number := range []int{1, 3} {
		b.Run(map[int]string{1: "first", 3: "third"}[number], func(b *testing.B) {
			ask := usual(b, 20, 50, material.Fair, number, 0.1)
			for b.Loop() {
				if _, err := drying.Follow(ask, 1e-4); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
