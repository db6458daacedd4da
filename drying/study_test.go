//go:build study

package drying_test

// The study takes every band as wide as a plasterer's, and a lay of every fourth day.
func init() { members, longStep = 0, 4 }
