//go:build study

package logfile_test

import (
	"strings"
	"testing"

	"limeday/weather/logfile"
)

// A logger of ten readings a second over six days, and over a month: a file of 900 MB.
func TestFastMemoryOfDays(t *testing.T)   { fastMemory(t, 5_000_000) }
func TestFastMemoryOfAMonth(t *testing.T) { fastMemory(t, 26_000_000) }

// More than a year is refused.
func TestFastOfYears(t *testing.T) {
	_, err := logfile.Read("half.csv", &stream{rows: 2*logfile.MaxMinutes + 100, step: 30_000}, utc)
	if err == nil || !strings.Contains(err.Error(), "holds more than 527040 minutes") {
		t.Error(err)
	}
}
