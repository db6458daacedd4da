package drying

import (
	"time"

	"limeday/weather"
)

// nearBy is how much later than the moment of asking a forecast may begin: services give whole hours, and those to come.
const nearBy = 2 * time.Hour

// StartingBy makes a forecast begin no later than at, by keeping its first hour back to at where that is near.
func StartingBy(forecast weather.Series, at time.Time) weather.Series {
	if len(forecast.Records) == 0 || !forecast.Records[0].Time.After(at) || forecast.Records[0].Time.Sub(at) > nearBy {
		return forecast
	}
	first := forecast.Records[0]
	first.Time = at.UTC()
	first.Temperature.Tag, first.Vapour.Tag = weather.Held, weather.Held
	forecast.Records = append([]weather.Record{first}, forecast.Records...)
	return forecast
}

// BestWall is which of several walls' answers, at least one, is the day's: the best verdict, and of those alike the first to start.
func BestWall(answers []Answer) (best int) {
	for i, a := range answers {
		if b := answers[best]; a.Verdict.Better(b.Verdict) || a.Verdict == b.Verdict && a.Start.Before(b.Start) {
			best = i
		}
	}
	return best
}

// WorstWall is which of several walls' answers, at least one, says the worst.
func WorstWall(answers []Answer) (worst int) {
	for i, a := range answers {
		if answers[worst].Verdict.Better(a.Verdict) {
			worst = i
		}
	}
	return worst
}

// First is the reason that decides first, nil where none stops or warns.
func (a *Answer) First() *Reason {
	for i, r := range a.Reasons {
		if r.Severity != Notes {
			return &a.Reasons[i]
		}
	}
	return nil
}
