package wall

import "math"

// Graded cuts size into n cells growing geometrically from first at the front end. Where n equal cells
// would be smaller than first already, equal cells are returned.
func Graded(size float64, n int, first float64) []float64 {
	cells := make([]float64, n)
	r := ratio(size, n, first)
	c, sum := 1.0, 0.0
	for i := range cells {
		cells[i] = c
		sum += c
		c *= r
	}
	for i := range cells {
		cells[i] *= size / sum
	}
	return cells
}

// GradedBothEnds cuts size into n cells growing from first at both ends towards the middle.
func GradedBothEnds(size float64, n int, first float64) []float64 {
	half := (n + 1) / 2
	g := Graded(size/2, half, first)
	cells := append([]float64(nil), g...)
	if n%2 == 1 { // the middle cell belongs to both halves
		cells[half-1] *= 2
	}
	for i := n - half - 1; i >= 0; i-- {
		cells = append(cells, g[i])
	}
	sum := 0.0
	for _, c := range cells {
		sum += c
	}
	for i := range cells {
		cells[i] *= size / sum
	}
	return cells
}

// Halved cuts every cell in two: the grid for a convergence check.
func Halved(cells []float64) []float64 {
	h := make([]float64, 0, 2*len(cells))
	for _, c := range cells {
		h = append(h, c/2, c/2)
	}
	return h
}

// ratio finds r with first (1 + r + ... + r^(n-1)) = size, by bisection; 1 where equal cells are finer.
func ratio(size float64, n int, first float64) float64 {
	if n < 2 || first*float64(n) >= size {
		return 1
	}
	lo, hi := 1.0, 50.0
	for range 80 {
		r := (lo + hi) / 2
		if first*(math.Pow(r, float64(n))-1)/(r-1) < size {
			lo = r
		} else {
			hi = r
		}
	}
	return (lo + hi) / 2
}
