package crew

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"limeday/drying"
)

type filmDay struct {
	film *film
	day  int
}

// calendar sets the working days and their shifts out from the moment of asking on.
func (p *planner) calendar() {
	at := p.epoch.In(p.zone())
	on := func(k int, d time.Duration) int {
		t := time.Date(at.Year(), at.Month(), at.Day()+k, int(d/time.Hour), int(d%time.Hour/time.Minute), 0, 0, at.Location())
		return int(math.Ceil(t.Sub(p.epoch).Seconds()))
	}
	if p.ask.From.After(at) {
		at = p.ask.From.In(p.zone())
	}
	first := int(math.Ceil(drying.RoundUp(at, 5*time.Minute).Sub(p.epoch).Seconds()))
	for k := range mostDays {
		d := day{from: max(on(k, p.ask.Crew.Hours.From), first), dusk: on(k, p.ask.Crew.Hours.To)}
		if u := p.ask.Until; !u.IsZero() && d.dusk > int(u.Sub(p.epoch).Seconds()) {
			break
		}
		if d.from >= d.dusk || !p.ask.Crew.Hours.Works(at.AddDate(0, 0, k)) {
			continue
		}
		p.days = append(p.days, d)
		for _, s := range p.ask.Crew.shifts() {
			if from, to := max(on(k, s.From), first), on(k, s.To); from < to {
				p.shifts = append(p.shifts, span{from, to})
			}
		}
	}
	for i := range p.days {
		p.days[i].end = p.days[len(p.days)-1].dusk
	}
}

// tryDay makes a film known on a day, and the days before it.
func (p *planner) tryDay(films []*film, c, k int) error {
	f := films[c]
	if p.known[filmDay{f, k}] {
		return nil
	}
	if k > 0 {
		if err := p.tryDay(films, c, k-1); err != nil {
			return err
		}
	}
	if c > 0 {
		if err := p.tryDay(films, c-1, k); err != nil {
			return err
		}
	}
	p.known[filmDay{f, k}] = true
	d := p.days[k]
	if c == 0 {
		if k == 0 {
			f.rows = []row{{place: drying.Bare}}
		}
		if err := f.through(&f.rows[0], d); err != nil {
			return err
		}
	} else {
		for i := range f.rows { // of the days before: by then they are dry
			if err := f.try(&f.rows[i], []int{max(d.from, f.rows[i].ready+1), max(d.dusk, f.rows[i].ready+2)}); err != nil {
				return err
			}
		}
		rows, err := p.layUnder(films, c, d)
		if err != nil {
			return err
		}
		f.rows = append(f.rows, rows...)
		slices.SortStableFunc(f.rows, func(a, b row) int { return cmp.Or(cmp.Compare(a.base, b.base), cmp.Compare(a.under, b.under)) })
	}
	switch {
	case f.stretch != nil || len(f.rows) == 0:
	case p.stretch != nil:
		f.stretch = p.stretch[c]
	default:
		if c > 0 && k > 0 {
			// The draws stand on what this row stands on: the coat before is laid when it was there. On the first day it was.
			if _, err := f.face.Spread(c-1, p.moment(f.rows[0].under)); err != nil {
				return err
			}
		}
		return f.spread()
	}
	return nil
}

// spot is a patch that stands for others: the coats that are planned are laid there too.
type spot struct {
	site, patch  int
	place        int
	under, ready int // when its last coat was laid, and can be laid on
}

// mostSpots is how many of a job's patches are followed: from those laid soonest to those laid latest.
const mostSpots = 2

// settle lays a coat that is planned in the job's spots; the first chooses them.
func (p *planner) settle(c int, w *runWorld, laid []int) error {
	for job, films := range p.films {
		if p.settled[job] > c || films[c].stretch == nil {
			continue
		}
		spots := p.spots[job]
		if c == 0 {
			spots = p.choose(job, w, laid)
		}
		var kept []spot
		for _, x := range spots {
			if x.patch >= laid[x.site] {
				continue
			}
			on := x.place
			x.under = w.under[x.site][x.patch]
			place, y, err := films[c].face.Put(on, p.moment(x.under))
			if err != nil {
				return err
			}
			if y.Next < never {
				x.place, x.ready = place, x.under+int(math.Ceil(y.Next))
				kept = append(kept, x)
			}
		}
		if len(kept) > 0 { // else a bolder plan may lay it yet
			p.spots[job], p.settled[job] = kept, c+1
		}
	}
	return nil
}

// choose are the spots of a job, by when the first coat is laid on them.
func (p *planner) choose(job *drying.Job, w *runWorld, laid []int) []spot {
	var all, out []spot
	for site, s := range p.ask.Sites {
		for i := 0; s.Job == job && i < laid[site]; i++ {
			all = append(all, spot{site: site, patch: i, place: drying.Bare})
		}
	}
	slices.SortStableFunc(all, func(a, b spot) int { return cmp.Compare(w.under[a.site][a.patch], w.under[b.site][b.patch]) })
	n := min(mostSpots, len(all))
	for k := range n {
		out = append(out, all[k*(len(all)-1)/max(n-1, 1)])
	}
	return out
}

// The time between the moments at which a coat is tried, or laid to be laid on, s: where the air is steady, at first, and at the
// least where what becomes of it changes by more than much from one to the next, beyond some seconds.
const (
	steadily = 5 * 3600
	firstly  = 2 * 3600
	closely  = 30 * 60
	much     = 0.10
	beyond   = 60.0
)

// through tries a bare wall through a day, closer where it changes.
func (f *film) through(r *row, d day) error {
	known := map[int]times{}
	err := refine(d.from, d.dusk, firstly, closely, func(t int) (times, error) {
		x := row{place: r.place}
		err := f.try(&x, []int{t})
		if err == nil {
			known[t] = x.tried[0]
		}
		return known[t], err
	})
	for _, t := range slices.Sorted(maps.Keys(known)) {
		r.after, r.tried = append(r.after, t), append(r.tried, known[t])
	}
	return err
}

// refine asks for what becomes of a coat from lo to hi, at moments no more than most apart, and closer, down to least, where it is not
// straight between them.
func refine(lo, hi, most, least int, of func(int) (times, error)) error {
	n := max(1, (hi-lo+most-1)/most)
	var at []int
	var got []times
	for i := range n + 1 {
		at = append(at, lo+(hi-lo)*i/n)
		x, err := of(at[i])
		if err != nil {
			return err
		}
		got = append(got, x)
	}
	var between func(a, b int, x, y times) error
	between = func(a, b int, x, y times) error {
		if b-a < 2*least {
			return nil
		}
		m := (a + b) / 2
		z, err := of(m)
		if err != nil || straight(x, z, y) {
			return err
		}
		if err := between(a, m, x, z); err != nil {
			return err
		}
		return between(m, b, z, y)
	}
	for i := range n {
		if err := between(at[i], at[i+1], got[i], got[i+1]); err != nil {
			return err
		}
	}
	return nil
}

// straight tells whether the middle one of three lies between the others as if on a line.
func straight(a, m, b times) bool {
	for e := range events {
		line := (a[e] + b[e]) / 2
		if math.Abs(m[e]-line) > much*line+beyond {
			return false
		}
	}
	return true
}

// changing tells whether a film changes in the course of the days known.
func (f *film) changing() bool {
	for _, x := range f.rows[0].tried {
		if !straight(f.rows[0].tried[0], x, f.rows[0].tried[0]) {
			return true
		}
	}
	return false
}

// layUnder makes the rows of a film for a day. Where the coat under it is planned and laid already, they are its spots; else that is
// laid through the day on the bare wall, or on each spot of the coat below.
func (p *planner) layUnder(films []*film, c int, d day) (rows []row, err error) {
	f := films[c]
	job := p.jobOf(films)
	if c > 1 && p.settled[job] == c {
		if len(f.rows) == 0 {
			for _, x := range p.spots[job] {
				rows = append(rows, row{place: x.place, under: x.under, ready: x.ready})
			}
		}
		for i := range rows {
			if err := f.try(&rows[i], []int{rows[i].ready}); err != nil {
				return nil, err
			}
		}
	} else {
		below := []spot{{place: drying.Bare}}
		if c > 1 {
			below = p.spots[job]
		}
		for _, x := range below {
			if rows, err = p.layOn(f, x, films[0].changing(), d, rows); err != nil {
				return nil, err
			}
		}
	}
	for i := range rows {
		r := &rows[i]
		var at []int
		for _, m := range []int{20, 40, 80, 160} {
			at = append(at, r.ready+m*60)
		}
		if d.dusk > at[len(at)-1] {
			at = append(at, d.dusk)
		}
		if err := f.try(r, at); err != nil {
			return nil, err
		}
	}
	return rows, nil
}

// layOn adds rows for the coat under a film, laid on a spot at moments through a day.
func (p *planner) layOn(f *film, x spot, changing bool, d day, rows []row) ([]row, error) {
	if x.ready > d.dusk {
		return rows, nil
	}
	most, least := steadily, steadily
	if changing {
		most, least = firstly, closely
	}
	err := refine(max(d.from, x.ready), d.dusk, most, least, func(at int) (times, error) {
		place, y, err := f.face.Put(x.place, p.moment(at))
		if err != nil || !(y.Next < never) {
			return times{}, err
		}
		r := row{place: place, base: x.under, under: at, ready: at + int(math.Ceil(y.Next))}
		err = f.try(&r, []int{r.ready})
		rows = append(rows, r)
		if err != nil {
			return times{}, err
		}
		return r.tried[0], nil
	})
	return rows, err
}

// jobOf is the job that films are of.
func (p *planner) jobOf(films []*film) *drying.Job {
	for job, fs := range p.films {
		if fs[0] == films[0] {
			return job
		}
	}
	panic("crew: films of no job")
}
