package weather

import (
	"slices"
	"time"
)

// MaxFill is the longest gap that may be filled: over three hours the weather
// changes. Common practice, no source.
const MaxFill = 3 * time.Hour

// Gap is a span without readings between two that are known.
type Gap struct{ From, To time.Time }

// steady is the share of equal steps from which a series has a step at all.
const steady = 0.8

// known reports whether a record holds both temperature and vapour pressure.
func (r Record) known() bool { return r.Temperature.Known() && r.Vapour.Known() }

// knownTimes are the times of the records that hold temperature and vapour.
func (s Series) knownTimes() []time.Time {
	var out []time.Time
	for _, r := range s.Records {
		if r.known() {
			out = append(out, r.Time)
		}
	}
	return out
}

// Step is the usual step between records that hold temperature and vapour
// pressure: the median, if at least 80 % of the steps are within a tenth of it.
// Readings taken by hand, or on change, have none: 0.
func (s Series) Step() time.Duration {
	times := s.knownTimes()
	if len(times) < 3 {
		return 0
	}
	steps := make([]time.Duration, len(times)-1)
	for i := range steps {
		steps[i] = times[i+1].Sub(times[i])
	}
	slices.Sort(steps)
	step := steps[len(steps)/2]
	equal := 0
	for _, d := range steps {
		if (d - step).Abs() <= step/10 {
			equal++
		}
	}
	if float64(equal) < steady*float64(len(steps)) {
		return 0
	}
	return step
}

// longest is the longest step that is no gap.
func longest(step time.Duration) time.Duration {
	if step == 0 {
		return MaxFill
	}
	return step * 3 / 2
}

// Gaps are the spans in which a reading is missing: longer than one and a half
// of the usual step, or than [MaxFill] where there is no usual step.
func (s Series) Gaps() []Gap {
	var out []Gap
	limit := longest(s.Step())
	times := s.knownTimes()
	for i := 1; i < len(times); i++ {
		if times[i].Sub(times[i-1]) > limit {
			out = append(out, Gap{times[i-1], times[i]})
		}
	}
	return out
}

// MissingShare is the share of the readings that the usual step would have
// given from the first to the last and that are not there. It is 0 for a series
// without a usual step, of which nothing can be said to be missing.
func (s Series) MissingShare() float64 {
	step := s.Step()
	if step == 0 {
		return 0
	}
	var lost time.Duration
	for _, g := range s.Gaps() {
		lost += g.To.Sub(g.From) - step
	}
	times := s.knownTimes()
	return float64(lost) / float64(times[len(times)-1].Sub(times[0])+step)
}

// FillGaps returns the series with temperature and vapour pressure on a straight
// line through each gap no longer than [MaxFill], at the usual step, tagged
// interpolated; and how many records were filled. Longer gaps stay open. The
// records of s are not changed.
func (s Series) FillGaps() (Series, int) {
	step := s.Step()
	filled := 0
	var out, waiting []Record // waiting: records since the last that is known
	var last Record
	for _, r := range s.Records {
		switch {
		case !r.known():
			waiting = append(waiting, r)
			continue
		case last.known() && r.Time.Sub(last.Time) <= MaxFill:
			times := make([]time.Time, 0, len(waiting))
			for _, w := range waiting {
				times = append(times, w.Time)
			}
			if step > 0 && r.Time.Sub(last.Time) > longest(step) {
				for at := last.Time.Add(step); at.Before(r.Time.Add(-step / 2)); at = at.Add(step) {
					if !slices.ContainsFunc(times, func(t time.Time) bool { return t.Sub(at).Abs() < step/2 }) {
						waiting = append(waiting, Record{Time: at})
					}
				}
			}
			slices.SortFunc(waiting, func(a, b Record) int { return a.Time.Compare(b.Time) })
			for i := range waiting {
				waiting[i] = between(last, r, waiting[i])
			}
			filled += len(waiting)
		}
		out = append(append(out, waiting...), r)
		waiting, last = nil, r
	}
	s.Records = append(out, waiting...)
	return s, filled
}

// between gives w what it lacks from a line through a and b.
func between(a, b, w Record) Record {
	x := float64(w.Time.Sub(a.Time)) / float64(b.Time.Sub(a.Time))
	line := func(p, q Value) Value { return Value{V: p.V + x*(q.V-p.V), Tag: Interpolated} }
	if !w.Temperature.Known() {
		w.Temperature = line(a.Temperature, b.Temperature)
	}
	if !w.Vapour.Known() {
		w.Vapour = line(a.Vapour, b.Vapour)
	}
	return w
}

// Hourly returns the means of temperature and vapour pressure over each hour of
// UTC, at the middle of the hour, weighted by time along straight lines between
// the records: for series of irregular or short steps. An hour counts if the
// lines cover at least half of it; they do not cross gaps, so fill those first.
// A mean has the tag of its records, and is interpolated if any of them is.
// Other values are dropped.
func (s Series) Hourly() Series {
	limit := longest(s.Step())
	type sum struct {
		temp, vapour, weight float64 // integrals over s
		tag                  Tag
	}
	sums := map[time.Time]*sum{}
	var hours []time.Time
	var a Record
	for _, b := range s.Records {
		if !b.known() {
			continue
		}
		if a.known() && b.Time.Sub(a.Time) <= limit {
			for from := a.Time; from.Before(b.Time); {
				hour := from.Truncate(time.Hour)
				to := hour.Add(time.Hour)
				if to.After(b.Time) {
					to = b.Time
				}
				h := sums[hour]
				if h == nil {
					h = &sum{tag: a.Temperature.Tag}
					sums[hour] = h
					hours = append(hours, hour)
				}
				middle := between(a, b, Record{Time: from.Add(to.Sub(from) / 2)})
				w := to.Sub(from).Seconds()
				h.temp += w * middle.Temperature.V
				h.vapour += w * middle.Vapour.V
				h.weight += w
				if a.interpolated() || b.interpolated() {
					h.tag = Interpolated
				}
				from = to
			}
		}
		a = b
	}
	s.Records = nil
	for _, hour := range hours {
		if h := sums[hour]; h.weight >= 1800 {
			s.Records = append(s.Records, Record{Time: hour.Add(30 * time.Minute),
				Temperature: Value{h.temp / h.weight, h.tag}, Vapour: Value{h.vapour / h.weight, h.tag}})
		}
	}
	return s
}

func (r Record) interpolated() bool {
	return r.Temperature.Tag == Interpolated || r.Vapour.Tag == Interpolated
}
