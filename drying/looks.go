package drying

import (
	"math"

	"limeday/drying/coat"
	"limeday/drying/learn"
	"limeday/drying/message"
)

// looked is what was seen of each coat laid, in the order of the states: each with the last look at which it had not come.
func (d *day) looked(seen []Seen) [][]learn.Seen {
	out := make([][]learn.Seen, len(d.laid))
	for i := range out {
		for _, what := range SeenStates()[1:] {
			x := learn.Seen{State: learn.State(what), By: math.Inf(1)}
			for _, s := range seen {
				switch {
				case s.Coat == i+1 && s.What == SeenTorn && what == SeenDamp: // it was too wet
					x.After = max(x.After, d.seconds(s.At)-d.laid[i])
				case s.Coat != i+1 || s.What != what:
				case s.Not:
					x.After = max(x.After, d.seconds(s.At)-d.laid[i])
				default:
					x.By = d.seconds(s.At) - d.laid[i]
				}
			}
			if x.After >= x.By { // it tore later, of another cause
				x.After = 0
			}
			if x.After > 0 || !math.IsInf(x.By, 1) {
				out[i] = append(out[i], x)
			}
		}
	}
	return out
}

// agreed is the times of coat i as they agree with what was seen of it: what comes after a state keeps its distance from it, or a longer
// one where the state came later than the model has it, and what comes before it came by then.
func (d *day) agreed(i int, t coat.Times, x *draw) coat.Times {
	late := 0.5
	if x != nil {
		late += x.late
	}
	f := d.job.Coats[i].Finish
	fresh, level := f.WaterRatio.Value, f.Levels()
	lost := []float64{fresh - level.Opens, fresh - level.Burnish, fresh - level.Closes, fresh - level.Dry} // of its water at each state, kg/kg
	order := []*float64{&t.Opens, &t.Burnish, &t.Closes, &t.Dry}
	place := map[learn.State]int{learn.Damp: 0, learn.Gone: 2, learn.Dry: 3}
	for _, s := range d.looks[i] {
		k := place[s.State]
		was := *order[k]
		if s.Course == 0 { // nothing is drawn from it
			s.Course = coatRun{times: t}.course()
		}
		now := s.Agree(was, late)
		come := now // when it is told to have
		if reached(s.By) {
			come = s.By
		}
		for j, at := range order {
			switch {
			case j < k && *at <= was:
				*at = min(*at, now)
			case j > k && reached(was):
				*at = max(*at+now-was, come)
				if now > was { // what it has still to lose goes no faster than what it lost
					*at = max(*at, now*lost[j]/lost[k])
				}
			}
		}
		*order[k] = now
	}
	return t
}

// course is the time to gone by of a coat, s; of one that a thirsty bed empties at once, as long as it takes to dry, as far as that is as short as a
// thin coat's.
func (r coatRun) course() float64 {
	return min(max(r.times.Closes, min(r.times.Dry, thinCourse), leastCourse), follow)
}

// thinCourse is the usual time to gone by of a thin coat, s, and leastCourse that of one which the model has gone at once: no hand sees one go by sooner
// (ESTIMATES).
const (
	thinCourse  = 1800.0
	leastCourse = 600.0
)

// oddLook is the share of the draws beyond which a look contradicts them: of two looks at each of three coats, one day in four then has an odd one
// (judgement), and few of those are without a cause.
const oddLook = 0.02

// odd says which look contradicts most what was to be expected before it, and what that may mean; nil where none does.
func (e *ensemble) odd(p learn.Posterior) (message.Text, error) {
	at, least, later, n := [2]int{}, oddLook, false, 0
	for i, looks := range e.day.looks {
		for k := range looks {
			if t := p.Told[n]; min(t.Sooner, t.Later) < least {
				at, least, later = [2]int{i, k}, min(t.Sooner, t.Later), t.Later < t.Sooner
			}
			n++
		}
	}
	if least == oddLook {
		return nil, nil
	}
	runs, err := e.untold(e.draw(make([]float64, len(p.Mean))), nil)
	if err = lost(err, &runs); err != nil {
		return nil, err
	}
	i, look := at[0], e.day.looks[at[0]][at[1]]
	says := map[learn.State]string{learn.Damp: "opens", learn.Gone: "goes by", learn.Dry: "dries"}[look.State]
	what, why := "sooner", "it may be thinner, the wall thirstier or in a draught"
	if later {
		what, why = "later", "it may be thicker or wetter, its bed damper or the wall colder"
	}
	if meantOther(runs, i, look) {
		why += ", or another coat was meant: check which"
	}
	return message.Say("Coat {} {} {} than expected: {}. The times follow what was seen.", message.Number(i+1), says, what, why), nil
}

// meantOther tells that a look at coat i fits another coat far better, or comes when that was long dry.
func meantOther(runs []coatRun, i int, look learn.Seen) bool {
	if i >= len(runs) {
		return false
	}
	x := look.By
	if !reached(x) {
		x = look.After
	}
	off := func(j int) float64 {
		return math.Abs(math.Log((runs[i].lay - runs[j].lay + x + 60) / (look.State.Of(runs[j].times) + 60)))
	}
	if dry := runs[i].times.Dry; x > 2*dry && x > dry+7200 {
		return true
	}
	for j := range i {
		if off(i) > math.Ln2 && off(j) < off(i)/3 {
			return true
		}
	}
	return false
}
