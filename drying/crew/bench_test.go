package crew

import "testing"

// BenchmarkPlan plans three coats on 60 m2 by four hands, with its band, from nothing but the job and the air. Run it with -cpu 1.
func BenchmarkPlan(b *testing.B) {
	ask := hall(b, 0.2e-3, 0.15e-3, 0.1e-3)
	ask.Crew.Hands = hands(4)
	ask.Sites[0].Wall = Wall{Width: 20, Height: 3}
	b.Run("unbroken", func(b *testing.B) { plan(b, ask) })
	ask.Sites[0].Wall.Width = 21.7
	for _, x := range []float64{4, 10, 15} {
		ask.Sites[0].Wall.Openings = append(ask.Sites[0].Wall.Openings, Opening{Left: x, Sill: 0.9, Width: 1.2, Height: 1.4})
	}
	b.Run("windows", func(b *testing.B) { plan(b, ask) })
}

func plan(b *testing.B, ask Ask) {
	for range b.N {
		if _, err := New(ask); err != nil {
			b.Fatal(err)
		}
	}
}
