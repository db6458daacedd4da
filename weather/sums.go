package weather

import "time"

// SumsBefore returns the records of a source whose amounts and radiation are
// those of the span that ends at a record's time, as they are in [Record]: of
// the span that starts there. Amounts move back by span, to the record that is
// there or to one of their own without state, so an amount before a gap stays in
// its hour. With gusts, the highest gust of the span moves too. Values of state
// stay where they are.
//
// The records must be in order of time, no two at one time; rs is not changed.
func SumsBefore(rs []Record, span time.Duration, gusts bool) []Record {
	out := make([]Record, 0, len(rs)+1)
	for _, r := range rs {
		amounts := Record{Time: r.Time.Add(-span), Span: span, Rain: r.Rain, RainChance: r.RainChance,
			Global: r.Global, Direct: r.Direct, Diffuse: r.Diffuse}
		r.Span, r.Rain, r.RainChance, r.Global, r.Direct, r.Diffuse = 0, Value{}, Value{}, Value{}, Value{}, Value{}
		if gusts {
			amounts.Gust, r.Gust = r.Gust, Value{}
		}
		if amounts != (Record{Time: amounts.Time, Span: span}) {
			out = place(out, amounts)
		}
		out = append(out, r)
	}
	return out
}

// place puts amounts into the records, of which only the last ones can be later.
func place(out []Record, a Record) []Record {
	i := len(out)
	for i > 0 && out[i-1].Time.After(a.Time) {
		i--
	}
	if i > 0 && out[i-1].Time.Equal(a.Time) {
		r := &out[i-1]
		r.Span, r.Rain, r.RainChance, r.Global, r.Direct, r.Diffuse = a.Span, a.Rain, a.RainChance, a.Global, a.Direct, a.Diffuse
		if a.Gust.Known() {
			r.Gust = a.Gust
		}
		return out
	}
	out = append(out, Record{})
	copy(out[i+1:], out[i:])
	out[i] = a
	return out
}
