package material

import "math"

// sorptivity solves dc/dt = d/dx (D(c) dc/dx) on a half-space that starts at c = 0 and is held at c = 1:
// what goes in is the returned number times the square root of time. It is the similarity solution, by the
// iteration of Philip & Knight (1974, Soil Sci. 117, 1-13) on the flux-concentration relation, which
// settles in a few rounds.
func sorptivity(d func(c float64) float64) float64 {
	const n = 400
	var dc, flux, phi [n]float64 // at the middles of n intervals of c
	for i := range n {
		c := (float64(i) + 0.5) / n
		dc[i], flux[i] = d(c), c
	}
	s := 0.0
	for range 60 {
		sum := 0.0
		for i := range n {
			sum += (float64(i) + 0.5) / n * dc[i] / flux[i] / n
		}
		next := math.Sqrt(2 * sum)
		// phi(c) is the integral of D/F from c to 1, up to a factor; F(c) its own integral from 0 over the whole.
		acc := 0.0
		for i := n - 1; i >= 0; i-- {
			part := dc[i] / flux[i] / n
			phi[i] = acc + part/2
			acc += part
		}
		total := 0.0
		for i := range n {
			total += phi[i]
		}
		run := 0.0
		for i := range n {
			flux[i] = (run + phi[i]/2) / total
			run += phi[i]
		}
		done := math.Abs(next-s) < 1e-10*next
		s = next
		if done {
			break
		}
	}
	return s
}
