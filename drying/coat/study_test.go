//go:build study

package coat

// The study takes all air from 3 C to 30 C, and more walls.
func init() {
	swept = 3000
	grid.from, grid.steps, grid.humidity = []float64{3}, 136, []float64{0.4, 0.475, 0.55, 0.625, 0.7, 0.775, 0.85}
}
