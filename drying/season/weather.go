package season

import (
	"slices"
	"sort"
	"time"

	"limeday/weather"
)

// Weather is hourly weather of a place over one or more years.
type Weather struct {
	Series  weather.Series
	Years   []Year
	Typical bool     // one year put together from months of many
	Lacks   []string // what it never or hardly ever has, such as rain
	South   bool     // the years run from July
}

// around is the weather of a year with what goes before and after it: a typical year is followed by itself.
func (w Weather) around(y Year, before, after time.Duration) weather.Series {
	s := w.Series
	if !w.Typical || len(s.Records) == 0 {
		from := sort.Search(len(s.Records), func(i int) bool { return !s.Records[i].Time.Before(y.From.Add(-before)) })
		to := sort.Search(len(s.Records), func(i int) bool { return s.Records[i].Time.After(y.To.Add(after)) })
		s.Records = s.Records[from:max(from, to):max(from, to)]
		return s
	}
	long := y.To.Sub(y.From)
	var head, tail []weather.Record
	for _, r := range s.Records {
		if !r.Time.Before(y.To.Add(-before)) && r.Time.Before(y.To) {
			r.Time = r.Time.Add(-long)
			head = append(head, r)
		} else if r.Time.Before(y.From.Add(after)) && !r.Time.Before(y.From) {
			r.Time = r.Time.Add(long)
			tail = append(tail, r)
		}
	}
	var middle []weather.Record
	for _, r := range s.Records {
		if !r.Time.Before(y.From) && r.Time.Before(y.To) {
			middle = append(middle, r)
		}
	}
	s.Records = slices.Concat(head, middle, tail)
	return s
}

// Year is one year of it, or one season that spans New Year.
type Year struct {
	Label    int
	From, To time.Time
}
