//go:build race

package app

// The race detector makes an answer ten times as dear, and looks for what more answers do not show.
// The browser's tests (browser*_test.go) are left out: their tools are dear to build twice, and they run the same code.
func init() { raced = 8 }
