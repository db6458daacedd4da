package drying_test

import (
	"testing"
	"time"

	"limeday/drying"
	"limeday/weather"
)

// A forecast that begins within two hours is held back to the moment of asking, and called held; one that begins before it, later than
// that, or is empty stays as it is.
func TestStartingBy(t *testing.T) {
	s := spell(seven, 1, func(int, *weather.Record) {})
	for early, first := range map[time.Duration]time.Duration{-time.Hour: 0, 0: 0, time.Hour: -time.Hour, 2 * time.Hour: -2 * time.Hour, 2*time.Hour + time.Minute: 0} {
		got := drying.StartingBy(s, seven.Add(-early))
		if !got.Records[0].Time.Equal(seven.Add(first)) || first < 0 && (got.Records[0].Temperature.Tag != weather.Held || len(got.Records) != len(s.Records)+1) {
			t.Errorf("asked %v before: begins %v", early, got.Records[0])
		}
		if !s.Records[0].Time.Equal(seven) || s.Records[0].Temperature.Tag == weather.Held {
			t.Fatal("the forecast itself was changed")
		}
	}
	if got := drying.StartingBy(weather.Series{}, seven); len(got.Records) != 0 {
		t.Errorf("of nothing: %v", got)
	}
}

// The best wall is the one of the best verdict, then the one that starts first, then the first.
func TestBestWall(t *testing.T) {
	at := func(v drying.Verdict, hour int) drying.Answer {
		return drying.Answer{Verdict: v, Start: seven.Add(time.Duration(hour) * time.Hour)}
	}
	no, care, early, late := at(drying.NoGo, 0), at(drying.Care, 1), at(drying.Go, 2), at(drying.Go, 3)
	for i, tc := range []struct {
		answers []drying.Answer
		best    int
	}{{[]drying.Answer{no}, 0}, {[]drying.Answer{no, late, care, early}, 3}, {[]drying.Answer{early, late}, 0}, {[]drying.Answer{late, early, early}, 1}, {[]drying.Answer{care, no}, 0}} {
		if got := drying.BestWall(tc.answers); got != tc.best {
			t.Errorf("%d: wall %d, want %d", i, got, tc.best)
		}
	}
}

// Whatever is told of what can be seen next, in any order, is never refused, and ends once the last coat has gone by; nothing is
// asked for twice.
func TestNextSeenIsNeverRefused(t *testing.T) {
	j, _ := hall(t)
	ends := 0
	var walk func(seen []drying.Seen, looked int)
	walk = func(seen []drying.Seen, looked int) {
		next := drying.NextSeen(j, seen)
		if len(next) == 0 {
			if last := seen[len(seen)-1]; last.What != drying.SeenGone || last.Coat != len(j.Coats) {
				t.Errorf("ends with %+v", last)
			}
			ends++
			return
		}
		at := seven.Add(time.Duration(len(seen)) * 10 * time.Minute)
		for _, x := range next {
			for _, not := range []bool{false, true}[:1+min(1, looked)] {
				if not && !x.Look {
					continue
				}
				more := append(append([]drying.Seen(nil), seen...), drying.Seen{Coat: x.Coat, What: x.What, At: at, Not: not})
				if _, err := drying.SeenOf(j, at, more); err != nil {
					t.Fatalf("%+v after %+v: %v", x, seen, err)
				}
				if not {
					walk(more, looked-1)
				} else {
					walk(more, looked)
				}
			}
		}
	}
	walk(nil, 2)
	if ends < 20 {
		t.Errorf("%d ways through a day", ends)
	}
	first := drying.NextSeen(j, nil)
	if len(first) != 1 || first[0] != (drying.Awaited{Coat: 1, What: drying.SeenLaid}) {
		t.Errorf("at first %+v", first)
	}
}
