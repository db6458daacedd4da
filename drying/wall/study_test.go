//go:build study

package wall

// The study draws more walls, some of them stuck: see randomWalls.
func init() { randomWalls, stuckWalls = 360, 13 }
