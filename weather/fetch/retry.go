package fetch

import (
	"errors"
	"net/http"
	"time"
)

// How often and how long is tried again.
const (
	maxTries    = 3
	maxBackoff  = 30 * time.Second // in all, for a fault of the service or the line
	maxMinute   = 65 * time.Second // for a limit by the minute
	minCrowded  = 2 * time.Second  // for questions at the same time
	maxCrowded  = 10 * time.Second
	plainPause  = 5 * time.Second // for a limit that is not named: that of the NWS typically clears in 5 s
	firstPause  = time.Second     // doubled by each try
	maxScatter  = 2.0             // a pause is multiplied by 1 to this
	shortestAsk = time.Second
)

// count notes the number of tries in a fault.
func count(err error, tries int) {
	var status *StatusError
	var broken *BrokenError
	switch {
	case errors.As(err, &status):
		status.Tries = tries
	case errors.As(err, &broken):
		broken.Tries = tries
	}
}

// pause says how long to wait before the next try, or that there is none. tries
// have been made, and waited has been spent between them; scatter is from 0 to
// 1, so that many who failed together do not come back together.
func pause(err error, tries int, waited time.Duration, scatter float64) (time.Duration, bool) {
	spread := func(from, to time.Duration) time.Duration {
		return from + time.Duration(scatter*float64(to-from))
	}
	backoff := spread(firstPause, time.Duration(maxScatter*float64(firstPause))) << (tries - 1)

	var broken *BrokenError
	if errors.As(err, &broken) {
		return backoff, tries < maxTries
	}
	var s *StatusError
	if !errors.As(err, &s) {
		return 0, false
	}
	switch s.Status {
	case http.StatusInternalServerError, http.StatusBadGateway, http.StatusServiceUnavailable, http.StatusGatewayTimeout:
		wait := max(backoff, s.After)
		return wait, tries < maxTries && waited+wait <= maxBackoff
	case http.StatusTooManyRequests:
		switch s.Limit {
		case concurrent:
			wait := max(spread(minCrowded, maxCrowded), s.After)
			return wait, tries < maxTries && wait <= maxMinute
		case "minute":
			wait := s.After
			if wait == 0 {
				wait = spread(maxMinute-5*time.Second, maxMinute)
			}
			return wait, tries == 1 && wait <= maxMinute
		case "":
			wait := max(s.After, shortestAsk)
			if s.After == 0 {
				wait = spread(plainPause, 2*plainPause)
			}
			return wait, tries == 1 && wait <= maxMinute
		}
	}
	return 0, false
}
