package drying

import "time"

// Whole makes every lay be followed on its own wall to the end of what is judged, and none be left out: what Long takes short
// cuts to.
func (l *Long) Whole() { l.screen, l.own = false, judged }

// Starts is the answer for the best start of a bare wall's day indoors, and what every start by itself comes to.
func Starts(job Job, ask Ask) (best Answer, all []Answer, err error) {
	m, err := wake(job, ask)
	if err != nil {
		return best, nil, err
	}
	if best, _, err = m.best(state{}, stride); err != nil {
		return best, nil, err
	}
	if m, err = wake(job, ask); err != nil {
		return best, nil, err
	}
	trials, err := m.day.trials(state{}, m.day.seconds(m.first), m.day.seconds(m.to), stride, time.Time{})
	if err != nil {
		return best, nil, err
	}
	for _, t := range trials {
		if t.c, err = t.bare(); err != nil {
			return best, nil, err
		}
		a := m.Answer
		a.Start, a.soonest = m.day.moment(t.start), trials[0].start
		if a, err = a.with(m.day, t, nil, m.to); err != nil {
			return best, nil, err
		}
		all = append(all, a)
	}
	return best, all, nil
}

// Before reports whether a is the better start of a day than b.
func (a *Answer) Before(b *Answer) bool { return a.better(b) }

// Serves reports whether a start serves for as many coats as b.
func (a *Answer) Serves(b *Answer) bool { return a.Verdict != NoGo && a.due == b.due }

// Unscreened makes none be left out.
func (l *Long) Unscreened() { l.screen = false }
