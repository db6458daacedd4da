package weather

import (
	"slices"
	"time"
)

// Merge joins what was known with what came later, in the order given: all records in order of time, and of two at one moment the
// later argument's, which takes from the other what it lacks. Nothing else is mixed. The parts are those of all. Source, Credit, Issued,
// Fetched, Grid and Off are of the last argument that has records.
func Merge(series ...Series) Series {
	var out Series
	var all []Record
	for i, s := range series {
		if len(s.Records) > 0 || i == 0 {
			out.Source, out.Credit, out.Issued, out.Fetched, out.Grid, out.Off = s.Source, s.Credit, s.Issued, s.Fetched, s.Grid, s.Off
		}
		for _, n := range s.Notes {
			out.Notes = once(out.Notes, n)
		}
		all = append(all, s.Records...)
		out.Parts = append(out.Parts, s.parts()...)
	}
	slices.SortStableFunc(all, func(a, b Record) int { return a.Time.Compare(b.Time) })
	for _, r := range all {
		n := len(out.Records)
		if n == 0 || !out.Records[n-1].Time.Equal(r.Time) {
			out.Records = append(out.Records, r)
			continue
		}
		was := &out.Records[n-1]
		r.fill(*was)
		if r.Span == 0 {
			r.Span = was.Span
		}
		*was = r
	}
	out.Parts = inOrder(out.Parts)
	return out
}

// fill gives r the values that it lacks and from has.
func (r *Record) fill(from Record) {
	have := from.values()
	for i, v := range r.values() {
		if !v.Known() {
			*v = *have[i]
		}
	}
}

// Over gives the records of s what they lack, but temperature and vapour pressure, from the record of base before each, where that
// is no farther off than [MaxFill].
func (s Series) Over(base Series) Series {
	s.Records = slices.Clone(s.Records)
	k := 0
	for i := range s.Records {
		r := &s.Records[i]
		for k < len(base.Records) && !base.Records[k].Time.After(r.Time) {
			k++
		}
		if k == 0 || r.Time.Sub(base.Records[k-1].Time) > MaxFill {
			continue
		}
		was := base.Records[k-1]
		was.Temperature, was.Vapour, was.TempLow, was.TempHigh = Value{}, Value{}, Value{}, Value{}
		r.fill(was)
		if left := was.Time.Add(was.Span).Sub(r.Time); r.Span == 0 && was.Span > 0 && left > 0 {
			r.Span = left
		}
	}
	return s
}

// parts are where the stretches of s came from: as it says, or by the tags of its temperatures.
func (s Series) parts() []Part {
	if len(s.Parts) > 0 {
		return s.Parts
	}
	var out []Part
	for _, r := range s.Records {
		n := len(out)
		kind := Foretold
		switch r.Temperature.Tag {
		case Measured:
			kind = Logged
		case Forecast:
		default:
			if n > 0 {
				kind = out[n-1].Kind
			}
		}
		if n > 0 && out[n-1].Kind == kind {
			out[n-1].To = r.Time
			continue
		}
		p := Part{Kind: kind, Source: s.Source, From: r.Time, To: r.Time}
		if kind == Foretold {
			p.Issued = s.Issued
		}
		out = append(out, p)
	}
	return out
}

// inOrder sorts parts by their beginning, and makes one of those that follow one another and say the same.
func inOrder(parts []Part) []Part {
	slices.SortStableFunc(parts, func(a, b Part) int { return a.From.Compare(b.From) })
	var out []Part
	for _, p := range parts {
		if n := len(out); n > 0 && out[n-1].Kind == p.Kind && out[n-1].Source == p.Source && out[n-1].Issued.Equal(p.Issued) {
			if p.To.After(out[n-1].To) {
				out[n-1].To = p.To
			}
			continue
		}
		out = append(out, p)
	}
	return out
}

// Within is the parts of the series that tell of something between two moments, cut to them.
func (s Series) Within(from, to time.Time) []Part {
	var out []Part
	for _, p := range s.parts() {
		if p.To.Before(from) || p.From.After(to) {
			continue
		}
		if p.From.Before(from) {
			p.From = from
		}
		if p.To.After(to) {
			p.To = to
		}
		out = append(out, p)
	}
	return out
}

// Of is the series as one part of a kind.
func (s Series) Of(k Kind) Series {
	s.Parts = nil
	if n := len(s.Records); n > 0 {
		s.Parts = []Part{{Kind: k, Source: s.Source, From: s.Records[0].Time, To: s.Records[n-1].Time}}
	}
	return s
}

// Told is a service's series in its parts: hours gone by until it was made, or else had, and the forecast from then on.
func (s Series) Told() Series {
	made := s.Issued
	if made.IsZero() {
		made = s.Fetched
	}
	s.Parts = nil
	past, later := s.Before(made)
	if n := len(past.Records); n > 0 {
		s.Parts = append(s.Parts, Part{Kind: Past, Source: s.Source, From: past.Records[0].Time, To: past.Records[n-1].Time})
	}
	if n := len(s.Records); later > 0 {
		s.Parts = append(s.Parts, Part{Kind: Foretold, Source: s.Source, From: s.Records[n-later].Time, To: s.Records[n-1].Time, Issued: s.Issued})
	}
	return s
}

// Covers reports whether t lies within a stretch that the series tells of.
func (s Series) Covers(t time.Time) bool {
	return slices.ContainsFunc(s.parts(), func(p Part) bool { return !t.Before(p.From) && !t.After(p.To) })
}

// End is the last moment that the series tells of; zero where it tells of none.
func (s Series) End() time.Time {
	if n := len(s.Records); n > 0 {
		return s.Records[n-1].Time
	}
	return time.Time{}
}
