package nws

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// maxDuration is the longest interval that is believed: no forecast is longer.
const maxDuration = 31 * 24 * time.Hour

// durationForm is ISO 8601's, without years, months and fractions. The digits allowed keep the sum from overflowing.
var durationForm = regexp.MustCompile(`^P(?:(\d{1,2})W)?(?:(\d{1,3})D)?(?:T(?:(\d{1,4})H)?(?:(\d{1,6})M)?(?:(\d{1,7})S)?)?$`)

// duration reads an ISO 8601 duration of whole weeks, days, hours, minutes and
// seconds, from 1 s to [maxDuration].
func duration(s string) (time.Duration, error) {
	parts := durationForm.FindStringSubmatch(s)
	if parts == nil || strings.HasSuffix(s, "T") {
		return 0, fmt.Errorf("expected a duration as PT1H or P1DT6H, found %.40q", s)
	}
	var total time.Duration
	for i, unit := range []time.Duration{7 * 24 * time.Hour, 24 * time.Hour, time.Hour, time.Minute, time.Second} {
		n, _ := strconv.Atoi(parts[i+1]) // digits, or nothing, which is 0
		total += time.Duration(n) * unit
	}
	if total <= 0 || total > maxDuration {
		return 0, fmt.Errorf("expected a duration from a second to 31 days, found %.40q", s)
	}
	return total, nil
}
