//go:build race

package drying_test

// The race detector makes a case ten times as dear, and looks for what more cases do not show.
func init() { raced, members = 5, 16 }
