//go:build study

package drying_test

// The study takes every band as wide as a plasterer's, a lay of every fourth day, and every step.
func init() { members, longStep, smoothEvery = 0, 4, 1 }
