//go:build race

package app

// The race detector makes an answer ten times as dear, and looks for what more answers do not show.
func init() { raced = 8 }
