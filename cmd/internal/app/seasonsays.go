package app

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"limeday/drying/season"
)

// What text, page, picture and calendar say of a season alike.

// seasonTitle names the job's place.
func seasonTitle(r season.Result) string { return orWord(r.Place.Name, "A wall") }

// sourceName is the weather's source without the names of its files.
func sourceName(r season.Result) string {
	name, _, _ := strings.Cut(r.Source, " (")
	return orWord(name, "weather of no name")
}

// yearName is a year's, 2015; from July it is 2015/16.
func yearName(y int, south bool) string {
	if south {
		return fmt.Sprintf("%d/%02d", y, (y+1)%100)
	}
	return fmt.Sprint(y)
}

// yearsText is how many years of weather there are, and which.
func yearsText(r season.Result) string {
	switch n := len(r.Years); {
	case r.Typical:
		return "a typical year"
	case n == 0:
		return "no year"
	case n == 1:
		return "the one year " + yearName(r.Years[0], r.South)
	default:
		return fmt.Sprintf("%d years, %s to %s", n, yearName(slices.Min(r.Years), r.South), yearName(slices.Max(r.Years), r.South))
	}
}

func monthDay(d season.MonthDay) string { return fmt.Sprintf("%d %s", d.Day, monthName(d.Month)) }

func monthName(m time.Month) string { return m.String()[:3] }

// halfName is a half-month, "1-15 Mar".
func halfName(p season.Period) string {
	return fmt.Sprintf("%d-%d %s", p.From.Day, p.To.Day, monthName(p.From.Month))
}

// inYears is a share of the years in words.
func inYears(share float64) string {
	if math.Abs(share-0.5) < 1e-9 {
		return "in half the years"
	}
	return fmt.Sprintf("in %.0f years of 10", 10*share)
}

// percent is a share as a whole number of hundredths.
func percent(share float64) string { return fmt.Sprintf("%.0f", 100*share) }

// clockAt is a time of day, 08:00.
func clockAt(d time.Duration) string {
	return fmt.Sprintf("%02d:%02d", int(d.Hours()), int(d.Minutes())%60)
}

// workableDays is about how many days of a year can be worked on a wall.
func workableDays(r season.Result, w season.Wall) float64 {
	days := 0.0
	for _, p := range w.Periods {
		if p.Known() {
			days += p.Workable.Likely * float64(p.Days)
		}
	}
	return days / float64(max(len(r.Years), 1))
}

// noOdds says why a season has no dates, in one sentence; empty where it has some.
func noOdds(r season.Result, f season.FrostSafe) string {
	switch {
	case f.Never:
		return "No frost of air or wall in " + theseYears(r) + "."
	case f.Always:
		return "No safe day: frost comes before the wall may have any, whenever it is laid, or the weather ends too soon to tell."
	case r.Typical:
		return "A typical year gives averages only: no frost odds are drawn from it."
	}
	return ""
}

func theseYears(r season.Result) string {
	if r.Typical {
		return "this typical year"
	}
	return "these years"
}

// fewYears says that there are too few years for the odds that are given; empty where there are enough, or no odds.
func fewYears(r season.Result, f season.FrostSafe) string {
	if n := len(r.Years); n > 0 && n < season.EnoughYears && noOdds(r, f) == "" {
		return fmt.Sprintf("From %s only: too few for such odds to be counted on.", plural(n, "year"))
	}
	return ""
}

// safeDates are a share's dates in words.
func safeDates(s season.Share) string {
	if s.None {
		return "no safe day"
	}
	return monthDay(s.First) + " to " + monthDay(s.Last)
}

// halfRanges joins the half-months that are so into ranges, "16 Apr to 31 Aug"; one over the end of the list is one.
func halfRanges(ps []season.Period, so func(season.Period) bool) []string {
	type stretch struct{ from, to int }
	var found []stretch
	for i, p := range ps {
		switch n := len(found); {
		case !so(p):
		case n > 0 && found[n-1].to == i-1:
			found[n-1].to = i
		default:
			found = append(found, stretch{i, i})
		}
	}
	if n := len(found); n == 1 && found[0] == (stretch{0, len(ps) - 1}) {
		return []string{"the whole year"}
	} else if n > 1 && found[0].from == 0 && found[n-1].to == len(ps)-1 {
		found[0].from = found[n-1].from
		found = found[:n-1]
	}
	var out []string
	for _, f := range found {
		out = append(out, monthDay(ps[f.from].From)+" to "+monthDay(ps[f.to].To))
	}
	return out
}
