package logfile

import (
	"fmt"
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

// stuck refuses a sensor that stands still in wet air: temperature and humidity
// both exactly as they were, at 95 % or more, for 12 hours or longer. In dry air
// a room can stand still that long; wet sensors saturate. Common practice, no
// source.
func (t *table) stuck(samples []sample) error {
	start, last := -1, -1 // of the run
	check := func() error {
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
			return err
		}
		start, last = -1, -1
		if s.rh >= stuckRH {
			start, last = i, i
		}
	}
	return check()
}

// jumps refuses a temperature that leaps from one reading to the next.
func (t *table) jumps(samples []sample) error {
	before := -1
	for i, s := range samples {
		if !s.hasTemp {
			continue
		}
		if before >= 0 {
			a := samples[before]
			if d := s.temp - a.temp; (d > maxJump || d < -maxJump) && s.time.Sub(a.time) <= jumpWithin {
				return &Error{At: t.cell(s.line, t.temp, t.row(s.line).temp),
					Message: fmt.Sprintf("the temperature jumps by %.1f K in %s", d, span(s.time.Sub(a.time))),
					Want:    fmt.Sprintf("no more than %.0f K; take out the rows from before the logger was hung up, or the wrong value", maxJump)}
			}
		}
		before = i
	}
	return nil
}
