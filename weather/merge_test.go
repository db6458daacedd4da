package weather_test

import (
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/weather"
)

// Any split of one series into pieces, given in any order, merges back to it, parts and all.
func TestMergeSplits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 30).Draw(t, "records")
		whole := weather.Series{Source: "a", Credit: "c", Issued: hours(3), Notes: []string{"n"}}
		when := hours(0)
		tags := rapid.SampledFrom([]weather.Tag{weather.Measured, weather.Forecast, weather.Interpolated})
		for range n {
			when = when.Add(time.Duration(rapid.IntRange(1, 400).Draw(t, "minutes")) * time.Minute)
			whole.Records = append(whole.Records, weather.Record{Time: when, Temperature: weather.Value{V: rapid.Float64Range(-9, 30).Draw(t, "t"), Tag: tags.Draw(t, "tag")}})
		}
		whole = weather.Merge(whole) // its parts, by its tags
		pieces := make([]weather.Series, rapid.IntRange(1, 4).Draw(t, "pieces"))
		for i := range pieces {
			pieces[i] = whole
			pieces[i].Records, pieces[i].Parts = nil, nil
		}
		for _, r := range whole.Records {
			into := &pieces[rapid.IntRange(0, len(pieces)-1).Draw(t, "into")]
			for _, p := range whole.Parts {
				if r.Time.Before(p.From) || r.Time.After(p.To) {
					continue
				}
				if k := len(into.Parts); k > 0 && into.Parts[k-1].Kind == p.Kind && !into.Parts[k-1].From.Before(p.From) {
					into.Parts[k-1].To = r.Time
				} else {
					p.From, p.To = r.Time, r.Time
					into.Parts = append(into.Parts, p)
				}
			}
			into.Records = append(into.Records, r)
		}
		if got := weather.Merge(pieces...); !reflect.DeepEqual(got, whole) {
			t.Fatalf("got %+v, not %+v", got, whole)
		}
		for _, r := range whole.Records {
			if !whole.Covers(r.Time) {
				t.Fatalf("%v is not covered by %+v", r.Time, whole.Parts)
			}
		}
		if end := whole.End(); n > 0 && (!end.Equal(when) || whole.Covers(end.Add(time.Second)) || whole.Covers(whole.Records[0].Time.Add(-time.Second))) {
			t.Fatalf("it ends at %v, covers %+v", end, whole.Parts)
		}
	})
}

// Of two records at one moment the later argument's stands, with what it lacks from the other; the words are those of the last with records.
func TestMerge(t *testing.T) {
	a := weather.Series{Source: "a", Credit: "c", Issued: hours(0), Fetched: hours(1), Notes: []string{"n"}, Off: &weather.Offset{Away: 1},
		Records: []weather.Record{{Time: hours(0), Temperature: got(1), Wind: got(4)}, {Time: hours(2), Temperature: got(3), Wind: got(5), Span: time.Hour}}}.Told()
	b := weather.Series{Source: "b", Notes: []string{"m", "n"}, Records: []weather.Record{{Time: hours(1), Temperature: got(7)}, {Time: hours(2), Temperature: got(8)}}}.Of(weather.Typed)
	s := weather.Merge(a, b, weather.Series{Source: "c", Notes: []string{"o"}})
	want := []weather.Record{a.Records[0], b.Records[0], {Time: hours(2), Temperature: got(8), Wind: got(5), Span: time.Hour}}
	if !reflect.DeepEqual(s.Records, want) || s.Source != "b" || s.Credit != "" || !s.Issued.IsZero() || s.Off != nil || !reflect.DeepEqual(s.Notes, []string{"n", "m", "o"}) {
		t.Errorf("%+v", s)
	}
	parts := []weather.Part{{Kind: weather.Past, Source: "a", From: hours(0), To: hours(0)}, {Kind: weather.Typed, Source: "b", From: hours(1), To: hours(2)},
		{Kind: weather.Foretold, Source: "a", From: hours(2), To: hours(2), Issued: hours(0)}}
	if !reflect.DeepEqual(s.Parts, parts) {
		t.Errorf("%+v", s.Parts)
	}
	if s := weather.Merge(); len(s.Records) != 0 || !s.End().IsZero() || s.Covers(hours(0)) {
		t.Errorf("nothing is %+v", s)
	}
	if s := b.Over(a); s.Records[0].Wind.V != 4 || s.Records[0].Temperature.V != 7 || s.Records[1].Span != time.Hour || b.Records[0].Wind.Known() {
		t.Errorf("%+v", s.Records)
	}
	if s, err := weather.Join(weather.KeepFirst, b, a); err != nil || len(s.Parts) != 3 {
		t.Errorf("%+v, %v", s.Parts, err)
	}
}

func TestOffset(t *testing.T) {
	p := weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 433}
	for _, tc := range []struct {
		grid        weather.Place
		far, tooFar bool
	}{
		{weather.Place{Lat: 47.05, Lon: -92.22, Altitude: 433}, false, false}, // 24 km
		{weather.Place{Lat: 47.06, Lon: -92.22, Altitude: 433}, true, false},
		{weather.Place{Lat: 47.72, Lon: -92.22, Altitude: 433}, true, false}, // 99 km
		{weather.Place{Lat: 47.74, Lon: -92.22, Altitude: math.NaN()}, true, true},
		{weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 282}, true, false},
		{weather.Place{Lat: 46.83, Lon: -92.22, Altitude: 284}, false, false},
		{weather.Place{Lat: 46.83, Lon: -92.22, Altitude: math.NaN()}, false, false},
	} {
		if o := tc.grid.From(p); o.Far() != tc.far || o.TooFar() != tc.tooFar {
			t.Errorf("%+v: %+v", tc.grid, o)
		}
	}
}
