package drawing

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// halves is how many half-months a year has: 1 to 15, and 16 to the end of the month.
const halves = 24

// Season is what is drawn of a place's years for a job.
type Season struct {
	ID    string // begins the ids of a drawing that is one of several on a page; empty: it is the only one
	Title string // of the job
	Says  string // one sentence, the answer
	From  string // the weather, and its years
	July  bool   // the year runs from July, so that a season spans New Year; else from January
	Band  Band
	Maps  []Map
}

// Band is between which dates of each year a wall can be laid and stays safe from frost.
type Band struct {
	Head  string
	Years []SafeYear // in order
	Lines []DateLine
	Notes []string // what is said in words, such as that there is no frost
}

// Date is a day of any year.
type Date struct {
	Month time.Month
	Day   int
}

// SafeYear is one year's, from First to Last.
type SafeYear struct {
	Label       string
	First, Last Date
	None        bool // no day is safe
	Open        bool // Last is where the weather ends
}

// DateLine is a date that holds in a share of the years. Its words say which.
type DateLine struct {
	Date  Date
	End   bool // of the season: the whole day still belongs to it
	Usual bool // in half of the years, not in nearly all
	Says  string
}

// Map is shares of days by half-month, a row for each wall or each start.
type Map struct {
	Head string
	Rows []MapRow
}

// MapRow has a share from 0 to 1 for each half-month in the order of the year, NaN where it is not known.
type MapRow struct {
	Label  string
	Shares []float64
}

// share is the row's in half-month i, kept to 0 to 1; NaN where there is none.
func (r MapRow) share(i int) float64 {
	if i >= len(r.Shares) || math.IsNaN(r.Shares[i]) {
		return math.NaN()
	}
	return max(0, min(1, r.Shares[i]))
}

// inTen writes a share as days in ten; empty where it is not known.
func inTen(share float64) string {
	if math.IsNaN(share) {
		return ""
	}
	return fmt.Sprintf("%.0f", math.Round(10*share))
}

// month is the one that column i of twelve stands for.
func (s Season) month(i int) time.Month {
	if s.July {
		i += 6
	}
	return time.Month(i%12 + 1)
}

// Table gives a map in numbers: the half-months, then each row's shares in percent.
func (s Season) Table(m Map) (head []string, rows [][]string) {
	head = []string{"Half-month"}
	for _, r := range m.Rows {
		head = append(head, r.Label)
	}
	for i := range halves {
		month := s.month(i / 2)
		days := "1-15 "
		if i%2 == 1 {
			days = fmt.Sprintf("16-%d ", longestMonth(month))
		}
		row := []string{days + month.String()[:3]}
		for _, r := range m.Rows {
			says := "not known"
			if v := r.share(i); !math.IsNaN(v) {
				says = fmt.Sprintf("%.0f %%", 100*v)
			}
			row = append(row, says)
		}
		rows = append(rows, row)
	}
	return head, rows
}

// longestMonth is how many days a month can have.
func longestMonth(m time.Month) int { return time.Date(2024, m+1, 0, 0, 0, 0, 0, time.UTC).Day() }

// tidy makes every text fit for XML and every date one that there is.
func (s Season) tidy() Season {
	s.Title, s.Says, s.From, s.Band.Head = clean(s.Title), clean(s.Says), clean(s.From), clean(s.Band.Head)
	years := make([]SafeYear, 0, len(s.Band.Years))
	for _, y := range s.Band.Years {
		y.Label, y.First, y.Last = clean(y.Label), y.First.tidy(), y.Last.tidy()
		years = append(years, y)
	}
	lines := make([]DateLine, 0, len(s.Band.Lines))
	for _, l := range s.Band.Lines {
		l.Says, l.Date = clean(l.Says), l.Date.tidy()
		lines = append(lines, l)
	}
	notes := make([]string, 0, len(s.Band.Notes))
	for _, n := range s.Band.Notes {
		notes = append(notes, clean(n))
	}
	maps := make([]Map, 0, len(s.Maps))
	for _, m := range s.Maps {
		rows := make([]MapRow, 0, len(m.Rows))
		for _, r := range m.Rows {
			rows = append(rows, MapRow{clean(r.Label), r.Shares})
		}
		maps = append(maps, Map{clean(m.Head), rows})
	}
	s.Band.Years, s.Band.Lines, s.Band.Notes, s.Maps = years, lines, notes, maps
	return s
}

func (d Date) tidy() Date {
	d.Month = max(time.January, min(time.December, d.Month))
	d.Day = max(1, min(longestMonth(d.Month), d.Day))
	return d
}

func (d Date) String() string { return fmt.Sprintf("%d %s", d.Day, d.Month.String()[:3]) }

// describe says in words and numbers what the picture shows.
func (s Season) describe() string {
	out := []string{s.From}
	if s.Band.Head != "" {
		out = append(out, s.Band.Head)
	}
	out = append(out, s.Band.Notes...)
	for _, y := range s.Band.Years {
		switch {
		case y.None:
			out = append(out, y.Label+": no safe day")
		case y.Open:
			out = append(out, fmt.Sprintf("%s: from %s to %s, where the weather ends", y.Label, y.First, y.Last))
		default:
			out = append(out, fmt.Sprintf("%s: from %s to %s", y.Label, y.First, y.Last))
		}
	}
	for _, l := range s.Band.Lines {
		out = append(out, l.Says)
	}
	for _, m := range s.Maps {
		out = append(out, fmt.Sprintf("%s, by half-month from %s", m.Head, s.month(0)))
		for _, r := range m.Rows {
			var v []string
			for i := range halves {
				says := inTen(r.share(i))
				if says == "" {
					says = "not known"
				}
				v = append(v, says)
			}
			out = append(out, r.Label+": "+strings.Join(v, ", "))
		}
	}
	var b strings.Builder
	for _, o := range out {
		if o = strings.TrimRight(o, ". "); o != "" {
			b.WriteString(o + ". ")
		}
	}
	return strings.TrimSpace(b.String())
}
