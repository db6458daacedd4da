//go:build race

package practice_test

// The race detector makes an exercise ten times as dear, and looks for what more of them do not show.
func init() { raced = 5 }
