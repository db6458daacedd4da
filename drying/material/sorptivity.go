package material

import "math"

// sorptivity solves dc/dt = d/dx (D(c) dc/dx) on a half-space that starts at c = 0 and is held at c = 1:
// what goes in is the returned number times the square root of time. It is the similarity solution, by the
// iteration of Philip & Knight (1974, Soil Sci. 117, 1-13) on the flux-concentration relation, which
// settles in a few rounds, on intervals of c and on three times as many, taken to none (Richardson).
func sorptivity(d func(c float64) float64) float64 {
	const few, many = 24, 72
	var all [many]interval
	for i := range all {
		// The flux turns sharply at c = 0: intervals even in sqrt(c) crowd there.
		x := (float64(i) + 0.5) / many
		all[i] = interval{c: x * x, dc: 2 * x / many, d: d(x * x)}
	}
	var third [few]interval // each in the middle of three
	for i := range third {
		third[i] = all[3*i+1]
		third[i].dc *= 3
	}
	return (9*similar(all[:]) - similar(third[:])) / 8
}

// interval of c, known by its middle.
type interval struct{ c, dc, d, flux, phi float64 }

// similar is the sorptivity on given intervals.
func similar(cells []interval) float64 {
	for i := range cells {
		cells[i].d *= cells[i].dc
		cells[i].flux = cells[i].c
	}
	s, step := 0.0, 0.0
	for range 60 {
		// phi(c) is the integral of D/F from c to 1, up to a factor; F(c) its own integral from 0 over the whole.
		sum, acc, total := 0.0, 0.0, 0.0
		for i := len(cells) - 1; i >= 0; i-- {
			k := &cells[i]
			part := k.d / k.flux
			sum += k.c * part
			k.phi = (acc + part/2) * k.dc
			acc += part
			total += k.phi
		}
		run, per := 0.0, 1/total
		for i := range cells {
			k := &cells[i]
			k.flux = (run + k.phi/2) * per
			run += k.phi
		}
		last := step
		next := math.Sqrt(2 * sum)
		step, s = next-s, next
		// Each round leaves about the same share of the change before it: what all the rest would change.
		if rest := step * step / (last - step); math.Abs(rest) < 1e-7*s || math.Abs(step) < 1e-10*s {
			if math.Abs(rest) < math.Abs(step) {
				s += rest
			}
			break
		}
	}
	return s
}
