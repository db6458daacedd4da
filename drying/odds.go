package drying

import (
	"time"

	"limeday/weather"
)

// FrostOdds is the share of the years of a history in which the air froze between two moments of the year, and how many years
// know of all of that time. A span over New Year counts with the year that it begins in.
func FrostOdds(history weather.Series, from, to time.Time) (share float64, years int) {
	if !to.After(from) || len(history.Records) == 0 {
		return 0, 0
	}
	at := 0
	frosty := 0
	for back := 200; back >= 0; back-- {
		a, b := from.AddDate(-back, 0, 0), to.AddDate(-back, 0, 0)
		for at < len(history.Records) && history.Records[at].Time.Before(a) {
			at++
		}
		known, frost := 0, false
		for i := at; i < len(history.Records) && !history.Records[i].Time.After(b); i++ {
			if t := history.Records[i].Temperature; t.Known() {
				known++
				frost = frost || t.V <= 0
			}
		}
		if float64(known) < nearlyAll*b.Sub(a).Hours() {
			continue
		}
		years++
		if frost {
			frosty++
		}
	}
	if years == 0 {
		return 0, 0
	}
	return float64(frosty) / float64(years), years
}

// nearlyAll is the share of its hours that a span must have to count.
const nearlyAll = 0.95
