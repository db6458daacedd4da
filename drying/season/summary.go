package season

import (
	"fmt"
	"math"
	"slices"
	"time"

	"limeday/drying"
)

// halves is how many half-months a year has.
const halves = 24

// half is the half-month of a date, from 0 for early January.
func half(t time.Time) int {
	h := 2 * (int(t.Month()) - 1)
	if t.Day() > 15 {
		h++
	}
	return h
}

// bounds are the first and the last day of a half-month.
func bounds(h int) (from, to MonthDay) {
	m := time.Month(h/2 + 1)
	if h%2 == 0 {
		return MonthDay{m, 1}, MonthDay{m, 15}
	}
	last := time.Date(2023, m+1, 0, 0, 0, 0, 0, time.UTC).Day() // 29 February counts with the 28th
	return MonthDay{m, 16}, MonthDay{m, last}
}

// result gathers the days of every wall and year.
func (ask Ask) result(all [][]Days) Result {
	w := ask.Weather
	first := ask.Walls[0]
	r := Result{Place: first.Place, Zone: first.Zone, Source: w.Series.Source, Credit: w.Series.Credit, Notes: slices.Clone(w.Series.Notes), Typical: w.Typical,
		Lacks: slices.Clone(w.Lacks), South: w.South, Starts: slices.Clone(ask.Starts), Need: ask.Need}
	for _, y := range w.Years {
		r.Years = append(r.Years, y.Label)
	}
	for i, j := range ask.Walls {
		x := Wall{Name: j.Outdoors.Name, Bearing: j.Outdoors.Bearing, Frost: ask.frostSafe(j, all[i])}
		for h := range halves {
			if w.South {
				h = (h + halves/2) % halves
			}
			x.Periods = append(x.Periods, ask.period(j, all[i], h))
		}
		stuck := 0
		for _, d := range all[i] {
			stuck += d.Stuck
			for _, day := range d.Days {
				x.Lays += len(day.Tries)
			}
		}
		if stuck > 0 {
			r.Notes = append(r.Notes, fmt.Sprintf("%s: on %d days the model found no solution; they count as not known.", x.Name, stuck))
		}
		r.Walls = append(r.Walls, x)
	}
	return r
}

// good tells whether a day can be worked: some start of it is not a no-go.
func (d Day) good() bool {
	return slices.ContainsFunc(d.Tries, func(t Try) bool { return t.Verdict != drying.NoGo })
}

// best is the day's best start: the first of those with the best verdict.
func (d Day) best() Try {
	b := d.Tries[0]
	for _, t := range d.Tries[1:] {
		if t.Verdict.Better(b.Verdict) {
			b = t
		}
	}
	return b
}

// period sums one half-month up.
func (ask Ask) period(j drying.Job, years []Days, h int) Period {
	p := Period{Best: -1, ByStart: make([]float64, len(ask.Starts))}
	p.From, p.To = bounds(h)
	lost := map[Why]int{}
	var shares, opens, closes, windows []float64
	care, runs, counted := 0, 0, 0
	for _, y := range years {
		days, good, unknown, run := 0, 0, 0, 0
		begins := false
		for i, d := range y.Days {
			date := time.Unix(d.Date, 0).In(j.Zone)
			if half(date) != h {
				continue
			}
			days++
			if len(d.Tries) == 0 {
				unknown++
				lost[NoData]++
				continue
			}
			for k, t := range d.Tries {
				if t.Verdict != drying.NoGo {
					p.ByStart[k]++
				}
			}
			b := d.best()
			if b.Verdict == drying.NoGo {
				lost[b.Why]++
				continue
			}
			good++
			if b.Verdict == drying.Care {
				care++
			}
			if b.Opens >= 0 {
				opens = append(opens, b.Opens)
			}
			if b.Closes >= 0 {
				closes = append(closes, b.Closes)
				windows = append(windows, max(b.Closes-max(b.Burnish, 0), 0))
			}
			if ask.Need > 0 && !begins {
				for run = 0; run < ask.Need && i+run < len(y.Days) && len(y.Days[i+run].Tries) > 0 && y.Days[i+run].good(); run++ {
				}
				begins = run == ask.Need
			}
		}
		if days == 0 || unknown*2 > days {
			p.Days += days
			continue
		}
		p.Days += days
		counted++
		shares = append(shares, float64(good)/float64(days-unknown))
		if begins {
			runs++
		}
	}
	known := max(p.Days-lost[NoData], 1)
	for k := range p.ByStart {
		p.ByStart[k] /= float64(known)
		if p.ByStart[k] > 0 && (p.Best < 0 || p.ByStart[k] > p.ByStart[p.Best]+1e-12) {
			p.Best = k
		}
	}
	p.Workable, p.Opens, p.Closes, p.Window, p.Good = spread(shares), spread(opens), spread(closes), spread(windows), len(closes)
	p.Care = float64(care) / float64(known)
	for _, w := range Whys() {
		if lost[w] > 0 {
			p.Lost = append(p.Lost, Lost{w, float64(lost[w]) / float64(p.Days)})
		}
	}
	slices.SortStableFunc(p.Lost, func(a, b Lost) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	if counted > 0 {
		p.Run = float64(runs) / float64(counted)
	}
	return p
}

// spread is the 10, 50 and 90 % points of values, between the two nearest by a straight line; all 0 where there are none.
func spread(x []float64) Spread {
	if len(x) == 0 {
		return Spread{}
	}
	x = slices.Sorted(slices.Values(x))
	at := func(p float64) float64 {
		k := p * float64(len(x)-1)
		i := int(math.Floor(k))
		if i+1 >= len(x) {
			return x[len(x)-1]
		}
		return x[i] + (k-float64(i))*(x[i+1]-x[i])
	}
	return Spread{at(0.1), at(0.5), at(0.9)}
}

// frostSafe finds the part of every year whose lays are safe from frost, and that of most years.
func (ask Ask) frostSafe(j drying.Job, years []Days) FrostSafe {
	f := FrostSafe{Finish: j.Coats[len(j.Coats)-1].Finish.Name, Never: true}
	type ends struct{ first, last float64 } // days since the year's beginning; +Inf, -Inf where no day is safe
	var found []ends
	some := false
	for i, y := range years {
		f.Days = y.Free
		f.Never = f.Never && len(y.Cold) == 0
		yf := YearFrost{Year: ask.Weather.Years[i].Label}
		// The longest run of safe days; a day whose wait ends beyond the weather is not known to be safe.
		best, from := [2]int{0, 0}, 0
		for k := 0; k <= len(y.Days); k++ {
			if k < len(y.Days) && y.Days[k].safe(y.Until) {
				if k == 0 || !y.Days[k-1].safe(y.Until) {
					from = k
				}
				if k+1-from > best[1]-best[0] {
					best = [2]int{from, k + 1}
				}
			}
		}
		for _, d := range y.Days {
			if d.Likely {
				yf.Physics++
			}
			if len(d.Tries) > 0 && !d.Likely && d.Frost != 0 && d.Frost < d.Safe {
				yf.Rule++
			}
		}
		e := ends{math.Inf(1), math.Inf(-1)}
		if best[1] > best[0] {
			some = true
			day := func(k int) time.Time { return time.Unix(y.Days[k].Date, 0).In(j.Zone) }
			yf.First, yf.Last = day(best[0]), day(best[1]-1)
			yf.Open = best[1] < len(y.Days) && y.Days[best[1]].Frost == 0
			e = ends{sinceStart(yf.First, ask.Weather.South), sinceStart(yf.Last, ask.Weather.South)}
			if yf.Open { // it would go on: at least to there
				e.last = math.Inf(1)
			}
		}
		found = append(found, e)
		f.Years = append(f.Years, yf)
	}
	f.Always = !some
	if ask.Weather.Typical || f.Never || f.Always {
		return f
	}
	for _, share := range []float64{0.9, 0.5} {
		var firsts, lasts []float64
		for _, e := range found {
			firsts = append(firsts, e.first)
			if !math.IsInf(e.last, 1) {
				lasts = append(lasts, e.last)
			}
		}
		slices.Sort(firsts)
		slices.Sort(lasts)
		first := firsts[int(math.Ceil(share*float64(len(firsts))))-1]
		s := Share{Share: share, None: math.IsInf(first, 1) || len(lasts) == 0}
		if !s.None {
			last := lasts[int(math.Floor((1-share)*float64(len(lasts))))]
			s.None = math.IsInf(last, -1) || last < first
			s.First, s.Last = ofYear(first, ask.Weather.South), ofYear(max(last, first), ask.Weather.South)
		}
		f.Safe = append(f.Safe, s)
	}
	return f
}

// safe tells whether published advice (middle) would have the day's lay: no frost is known before its wait is over, and the
// weather is known up to then.
func (d Day) safe(until int64) bool {
	return d.Safe != 0 && !d.Likely && (d.Frost == 0 || d.Frost >= d.Safe) && d.Safe <= until
}

// sinceStart is the day of a year that begins in January, or in July; 29 February counts with the 28th.
func sinceStart(t time.Time, south bool) float64 {
	day := float64(time.Date(2023, t.Month(), min(t.Day(), lastOf(t.Month())), 0, 0, 0, 0, time.UTC).YearDay() - 1)
	if !south {
		return day
	}
	return math.Mod(day+365-julyFirst, 365)
}

const julyFirst = 181 // of a year without 29 February, from 0

func lastOf(m time.Month) int { return time.Date(2023, m+1, 0, 0, 0, 0, 0, time.UTC).Day() }

func ofYear(day float64, south bool) MonthDay {
	if south {
		day = math.Mod(day+julyFirst, 365)
	}
	t := time.Date(2023, 1, 1+int(day), 0, 0, 0, 0, time.UTC)
	return MonthDay{t.Month(), t.Day()}
}
