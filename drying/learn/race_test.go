//go:build race

package learn_test

// The race detector makes a board ten times as dear, and looks for what more boards do not show.
func init() { raced = true }
