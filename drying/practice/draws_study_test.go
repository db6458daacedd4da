//go:build study

package practice_test

// The study draws several exercises of each topic of every quick level.
func init() { studied = true }
