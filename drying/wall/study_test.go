//go:build study

package wall

// The study draws more walls, some of them stuck (see randomWalls), and times more often.
func init() { randomWalls, stuckWalls, precisionRuns = 360, 6, 40 }
