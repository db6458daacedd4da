//go:build study

package drying_test

// The study takes every band as wide as a plasterer's, a lay of every fourth day, every step, and one look in seven.
func init() { members, longStep, smoothEvery, everyLook = 0, 4, 1, 7 }
