package crew

import (
	"math"

	"limeday/drying"
	"limeday/drying/message"
)

// The widths of strips and the areas of patches, m and m2, and what share of the shortest window a strip and a patch may take to
// lay (judgements).
const (
	widest, narrowest  = 1.2, 0.2
	largest, smallest  = 2.0, 0.15
	stripIn, patchIn   = 0.4, 0.3
	tallest            = 3.0
	usualWindow        = 3600.0
	mostPatchesOfAWall = 400
)

// cut cuts the walls: so that a strip is laid well within the shortest window that the first day's earliest times leave.
func (p *planner) cut() error {
	for _, site := range p.ask.Sites {
		short := usualWindow
		films := p.films[site.Job]
		if err := p.tryDay(films, 0, 0); err != nil {
			return err
		}
		short = min(short, lastWindow(*site.Job, p.shortest(films[0])))
		rate := 0.0
		for _, h := range p.ask.Crew.Hands {
			if rate == 0 || h.Rate[Lay] > 0 && h.Rate[Lay] < rate {
				rate = h.Rate[Lay]
			}
		}
		tall := site.Wall.Height
		wide := min(max(stripIn*short/3600*rate/tall, narrowest), widest)
		if p.ask.Crew.Strip > 0 {
			wide = p.ask.Crew.Strip
		}
		high := min(max(patchIn*short/3600*rate, smallest)/wide, largest/wide, tallest)
		for math.Ceil(site.Wall.Width/wide)*math.Ceil(tall/high) > mostPatchesOfAWall {
			if high *= 1.1; p.ask.Crew.Strip == 0 {
				wide *= 1.1
			} else if high > tall {
				break // strips as they are wanted
			}
		}
		all := site.Wall.Patches(wide, high)
		for i := range all {
			if last := i+1 == len(all) || all[i+1].Strip != all[i].Strip; p.ask.Anywhere && last && all[i].cut == nil {
				all[i].cut = message.Words("a joint that shows")
			}
		}
		p.patches = append(p.patches, all)
	}
	return nil
}

// lastWindow guesses the window of the last coat, s, as its own is not known before those under it are planned: from the first's where they are
// of one finish, as both dry at about the rate of the air; else a quarter of an hour for each tenth of a millimetre (judgement). It only
// decides how narrow the strips are.
func lastWindow(j drying.Job, first float64) float64 {
	last := j.Coats[len(j.Coats)-1]
	switch {
	case len(j.Coats) == 1:
		return first
	case last.Finish.Name == j.Coats[0].Finish.Name:
		return first * min(last.Thickness/j.Coats[0].Thickness, 1) / 2
	}
	return 900 * last.Thickness / 1e-4
}

// shortest is how soon the edge is lost at the earliest, at the worst of the moments tried, s.
func (p *planner) shortest(f *film) float64 {
	e := closes
	if p.ask.Crew.Blend {
		e = edge
	}
	least := math.Inf(1)
	for _, t := range f.rows[0].tried {
		least = min(least, (t[e]+aMinute)*f.stretch[earliest][e]-aMinute)
	}
	return least
}
