//go:build study

package logfile_test

import "testing"

// A logger of ten readings a second over six days, and over a month: a file of 900 MB.
func TestFastMemoryOfDays(t *testing.T)   { fastMemory(t, 5_000_000) }
func TestFastMemoryOfAMonth(t *testing.T) { fastMemory(t, 26_000_000) }
