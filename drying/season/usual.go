package season

import "time"

// UsualYears is how many years a season is worked out from where none are named, and EnoughYears how many it takes before one in ten is more
// than a guess (judgement, no source).
const UsualYears, EnoughYears = 10, 10

// UsualStarts are tried where none are given: morning, before noon, and after it (judgement, no source).
func UsualStarts() []time.Duration {
	return []time.Duration{8 * time.Hour, 11 * time.Hour, 14 * time.Hour}
}

// Custom is what the trade goes by where nothing is worked out.
func Custom() string {
	return "By custom putty lime is laid outdoors in Britain from about April to September, the last some 12 weeks before the first frost to expect (guidance tradition, no table seen)."
}

// LostTo is the share of the period's days lost to a reason.
func (p Period) LostTo(why Why) float64 {
	for _, l := range p.Lost {
		if l.Why == why {
			return l.Share
		}
	}
	return 0
}

// Known reports whether enough of the period's weather is known for its shares: half of its days, or some that can be worked (judgement, no
// source).
func (p Period) Known() bool {
	unknown := p.LostTo(NoData)
	return p.Days > 0 && unknown < 1 && (unknown <= 0.5 || p.Workable.High > 0)
}

// Often is how often a day can be worked, in words.
type Often struct {
	Share float64
	Says  string
}

// Oftens are those told of, the most first (judgement, no source).
func Oftens() []Often { return []Often{{0.8, "eight in ten or more"}, {0.5, "half of them or more"}} }

// Of reports whether a period has so many.
func (o Often) Of(p Period) bool { return p.Known() && p.Workable.Likely >= o.Share-1e-9 }
