//go:build race

package season_test

// The race detector makes a lay ten times as dear, and looks for what more lays do not show.
func init() { raced = true }
