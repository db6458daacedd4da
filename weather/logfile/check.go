package logfile

import (
	"fmt"
	"slices"
	"time"
)

// The limits of what is believed. Common practice, no source.
const (
	minTemp, maxTemp = -40.0, 60.0 // C
	minRH, maxRH     = 1.0, 105.0  // percent; above 100 the sensor is wet
	dewSlack         = 0.5         // K, of a dew point above the temperature
	maxMissing       = 0.10        // of the readings
	maxJump          = 10.0        // K between neighbours
	jumpWithin       = time.Hour   // of neighbours between which a jump counts
	stuckRH          = 95.0        // percent, from which air counts as wet
	stuckFor         = 12 * time.Hour
)

// judge refuses readings that cannot be believed, up to the moment at; those
// after it only replay what came, and are left out from the first of them that
// cannot be believed.
func (t *table) judge(samples []sample, at time.Time) ([]sample, error) {
	known := len(samples)
	if !at.IsZero() {
		known, _ = slices.BinarySearchFunc(samples, at, func(s sample, at time.Time) int {
			if s.time.After(at) {
				return 1
			}
			return -1
		})
	}
	checks := []func([]sample) (int, Fault){bad, t.stuck, t.jump}
	for _, check := range checks {
		if _, err := check(samples[:known]); err != nil {
			return nil, err
		}
	}
	end, why := len(samples), Fault(nil)
	for _, check := range checks {
		if i, err := check(samples); err != nil && i < end {
			end, why = i, err
		}
	}
	if why == nil {
		return samples, nil
	}
	if end = max(end, known); end == 0 { // it may have been stuck since before the moment
		return nil, why
	}
	t.note("the rows from line %d on, later than the moment asked, are left out: %s", samples[end].line, why.Says())
	return samples[:end], nil
}

// bad finds a value out of all range.
func bad(samples []sample) (int, Fault) {
	for i, s := range samples {
		if s.bad != nil {
			return i, s.bad
		}
	}
	return 0, nil
}

// stuck finds a sensor that stands still in wet air: temperature and humidity
// both exactly as they were, at 95 % or more, for 12 hours or longer. In dry air
// a room can stand still that long; wet sensors saturate. Common practice, no
// source.
func (t *table) stuck(samples []sample) (int, Fault) {
	start, last := -1, -1 // of the run
	check := func() Fault {
		if start < 0 || samples[last].time.Sub(samples[start].time) < stuckFor {
			return nil
		}
		a, b := samples[start], samples[last]
		return &StuckError{At: t.cell(a.line, t.rh, t.row(a.line).humidity), LastLine: b.line, From: a.time, To: b.time, Temp: a.temp, RH: a.rh}
	}
	for i, s := range samples {
		if !s.hasTemp || !s.hasHumid {
			continue
		}
		if start >= 0 && s.temp == samples[start].temp && s.rh == samples[start].rh {
			last = i
			continue
		}
		if err := check(); err != nil {
			return start, err
		}
		start, last = -1, -1
		if s.rh >= stuckRH {
			start, last = i, i
		}
	}
	return start, check()
}

// jump finds a temperature that leaps from one reading to the next.
func (t *table) jump(samples []sample) (int, Fault) {
	before := -1
	for i, s := range samples {
		if !s.hasTemp {
			continue
		}
		if before >= 0 {
			a := samples[before]
			if leaps(a.temp, s.temp) && s.time.Sub(a.time) <= jumpWithin {
				return i, t.jumpError(s.line, t.row(s.line).temp, s.temp-a.temp, s.time.Sub(a.time))
			}
		}
		before = i
	}
	return 0, nil
}

func leaps(a, b float64) bool { return b-a > maxJump || b-a < -maxJump }

func (t *table) jumpError(line int, raw string, by float64, in time.Duration) *Error {
	return &Error{At: t.cell(line, t.temp, raw), Message: fmt.Sprintf("the temperature jumps by %.1f K in %s", by, span(in)),
		Want: fmt.Sprintf("no more than %.0f K; take out the rows from before the logger was hung up, or the wrong value", maxJump)}
}
