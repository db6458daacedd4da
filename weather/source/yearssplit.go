package source

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"limeday/weather"
)

// span is a time from one instant to, but not including, another.
type span struct{ from, to time.Time }

// within is the part of s inside o; its length may be 0.
func (s span) within(o span) span {
	if s.from.Before(o.from) {
		s.from = o.from
	}
	if s.to.After(o.to) {
		s.to = o.to
	}
	if s.to.Before(s.from) {
		s.to = s.from
	}
	return s
}

func (s span) length() time.Duration { return s.to.Sub(s.from) }

// holes are the times, over a minute long, for which there is no value: records stand for an hour each, and a line
// bridges [weather.MaxFill]. times are in order; before and after them all is a hole, up to the bounds given.
func holes(times []time.Time, from, to time.Time) []span {
	var out []span
	last := from
	for i, t := range times {
		if i == 0 || t.Sub(times[i-1]) > weather.MaxFill {
			if t.After(last) {
				out = append(out, span{last, t})
			}
		}
		last = t.Add(time.Hour)
	}
	return append(out, span{last, to})
}

// measured is how much of s is in holes, the longest piece of it, and the pieces at its ends.
func measured(hs []span, s span) (all time.Duration, longest span, ends time.Duration) {
	i := sort.Search(len(hs), func(i int) bool { return hs[i].to.After(s.from) })
	for ; i < len(hs) && hs[i].from.Before(s.to); i++ {
		h := hs[i].within(s)
		all += h.length()
		if h.length() > longest.length() {
			longest = h
		}
		if !h.from.After(s.from) || !h.to.Before(s.to) {
			ends += h.length()
		}
	}
	return all, longest, ends
}

// tooMuch reports whether a year of length whole has too much missing.
func tooMuch(missing, longest, whole time.Duration) bool {
	return float64(missing) > MaxHoles*float64(whole) || longest > MaxHole
}

// crumbs are the hours of a year of which nothing is said: the zone's, beyond the years of the files.
const crumbs = 48 * time.Hour

// begin is when a year begins.
func (y *Years) begin(label int, zone *time.Location) time.Time {
	if y.South {
		return time.Date(label, 7, 1, 0, 0, 0, 0, zone)
	}
	return time.Date(label, 1, 1, 0, 0, 0, 0, zone)
}

// wrap makes a typical year, which has no before and after, run round: from the begin of a year in the zone, and
// in the south from July.
func (y *Years) wrap(zone *time.Location) {
	rs := y.Series.Records
	from := y.begin(rs[len(rs)/2].Time.In(zone).Year(), zone)
	if y.South {
		from = from.AddDate(-1, 0, 0)
	}
	to := from.AddDate(1, 0, 0)
	before := sort.Search(len(rs), func(i int) bool { return !rs[i].Time.Before(from) })
	after := sort.Search(len(rs), func(i int) bool { return !rs[i].Time.Before(to) })
	for i := range rs[:before] {
		rs[i].Time = rs[i].Time.AddDate(1, 0, 0)
	}
	for i := after; i < len(rs); i++ {
		rs[i].Time = rs[i].Time.AddDate(-1, 0, 0)
	}
	// Where the ends meet, one holds the state of the hour and the other its light and rain: a join makes one of them.
	round := y.Series
	round.Records, y.Series.Records = slices.Clone(rs[after:]), rs[:after]
	y.Series, _ = weather.Join(weather.KeepFirst, round, y.Series) // which has nothing to refuse
	if y.South {
		y.Notes = append(y.Notes, "The typical year is begun with July.")
	}
}

// split finds the years, refuses those with holes, and keeps the records of the others alone.
func (y *Years) split(zone *time.Location, skip []int) error {
	times := make([]time.Time, 0, len(y.Series.Records))
	for _, r := range y.Series.Records {
		if r.Temperature.Known() && r.Vapour.Known() {
			times = append(times, r.Time)
		}
	}
	if len(times) == 0 {
		return &weather.DataError{File: y.from, Message: "holds no hour with temperature and humidity", Want: "hourly weather of a year"}
	}
	first, last := times[0].In(zone), times[len(times)-1].In(zone)
	hs := holes(times, first.AddDate(-2, 0, 0), last.AddDate(2, 0, 0))
	skipped := 0
	for label := first.Year() - 1; label <= last.Year(); label++ {
		year := Year{Label: label, From: y.begin(label, zone), To: y.begin(label+1, zone)}
		s := span{year.From, year.To}
		missing, longest, ends := measured(hs, s)
		if s.length()-missing < crumbs {
			continue
		}
		name := y.name(label)
		if slices.Contains(skip, label) {
			skipped++
			y.Notes = append(y.Notes, name+" is left out, as asked.")
			continue
		}
		if tooMuch(ends, min(ends, longest.length()), s.length()) {
			from, to := year.From, year.To
			for _, h := range hs {
				h = h.within(s)
				switch {
				case h.length() == 0:
				case h.from.Equal(s.from):
					from = h.to
				case h.to.Equal(s.to):
					to = h.from
				}
			}
			y.Notes = append(y.Notes, fmt.Sprintf("Of %s there is only the time from %s to %s: it is left out.", name,
				from.Format(time.DateOnly), to.Add(-time.Second).Format(time.DateOnly)))
			continue
		}
		year.Holes = float64(missing) / float64(s.length())
		if tooMuch(missing, longest.length(), s.length()) {
			return &HoleError{Source: y.from, Label: label, What: "temperature or humidity", Share: year.Holes,
				Longest: longest.length(), From: longest.from.In(zone)}
		}
		y.Span = append(y.Span, year)
	}
	if len(y.Span) == 0 {
		return &NoYearError{Source: y.from, First: first, Last: last, South: y.South, Skipped: skipped > 0}
	}
	for _, label := range skip {
		if label < first.Year()-1 || label > last.Year() {
			y.Notes = append(y.Notes, fmt.Sprintf("%s was to be left out, and is not there.", y.name(label)))
		}
	}
	var says []string
	for _, h := range y.Span {
		if h.Holes > 0 {
			says = append(says, fmt.Sprintf("%s %.2g %%", y.name(h.Label), 100*h.Holes))
		}
	}
	if len(says) > 0 {
		y.Notes = append(y.Notes, "Hours without temperature or humidity: "+strings.Join(says, ", ")+".")
	}
	y.Series.Records = slices.DeleteFunc(y.Series.Records, func(r weather.Record) bool { return y.index(r.Time) < 0 })
	return nil
}

// index is the year that t is in, or -1.
func (y *Years) index(t time.Time) int {
	i, found := slices.BinarySearchFunc(y.Span, t, func(s Year, t time.Time) int { return s.From.Compare(t) })
	if found {
		return i
	}
	if i == 0 || !t.Before(y.Span[i-1].To) {
		return -1
	}
	return i - 1
}

// name is a year in words.
func (y *Years) name(label int) string {
	switch {
	case y.Typical:
		return "the typical year"
	case y.South:
		return fmt.Sprintf("%d/%02d", label, (label+1)%100)
	}
	return fmt.Sprint(label)
}
