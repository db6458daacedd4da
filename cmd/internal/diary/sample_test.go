package diary

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func boardEntry(n int) Entry {
	return Entry{N: n, Kind: Board, Data: map[string]any{"finish": "polished-lime", "background": "primed-board", "coat": 1.0, "thickness": 2e-4, "bare_mass": 1.0}}
}

// seen is an event, or with a mass a weighing, of board 1 some minutes after nine.
func seen(n int, what string, minutes float64) Entry {
	e := Entry{N: n, Kind: Event, At: time.Date(2026, 4, 14, 9, 0, 0, 0, dublin).Add(time.Duration(minutes * float64(time.Minute))),
		Data: map[string]any{"coat": 1.0, "what": what, "board": 1.0}}
	if state, ok := strings.CutPrefix(what, "not "); ok {
		e.Data["what"], e.Data["looked"] = state, true
	}
	if what == "weighed" {
		e.Kind, e.Data = Weighing, map[string]any{"mass": 1.2, "board": 1.0}
	}
	return e
}

func TestSampleCheck(t *testing.T) {
	light := seen(0, "weighed", 20)
	light.Data["mass"] = 0.9
	for _, tc := range []struct {
		known []Entry
		e     Entry
		want  string
	}{
		{nil, seen(0, Laid, 10), ""},
		{nil, seen(0, Damp, 10), "damp at 09:10: board 1 has not been laid; enter that first"},
		{nil, seen(0, "not damp", 10), "not yet damp at 09:10: board 1 has not been laid"},
		{nil, seen(0, "weighed", 10), "weighed at 09:10: board 1 has not been laid"},
		{[]Entry{seen(2, Laid, 10)}, seen(0, Laid, 20), "laid at 09:20: entry 2 has it already, at 09:10; amend that one, or take it back"},
		{[]Entry{seen(2, Laid, 10)}, seen(0, Damp, 10), ""},
		{[]Entry{seen(2, Laid, 10)}, seen(0, Damp, 9.5), "damp at 09:09:30: the board was laid later, at 09:10; check the times"},
		{[]Entry{seen(2, Laid, 10)}, seen(0, Damp, -10*60), "damp at 23:00: the board was laid later, at 2026-04-14T09:10+01:00"},
		{[]Entry{seen(2, Laid, 10)}, seen(0, "weighed", 9), "weighed at 09:09: the board was laid later"},
		{[]Entry{seen(2, Laid, 10)}, light, "weighed at 09:20: it is no heavier than the bare board"},
		{[]Entry{seen(2, Laid, 10), seen(3, "weighed", 20)}, seen(0, "weighed", 20), "weighed at 09:20: entry 3 is a weighing at the same time"},
		{[]Entry{seen(2, Laid, 10), seen(3, "weighed", 20)}, seen(0, "weighed", 21), ""},
		{[]Entry{seen(2, Laid, 10), seen(3, Gone, 40)}, seen(0, Damp, 41), "damp at 09:41: damp comes before gone, which entry 3 has at 09:40; check the times"},
		{[]Entry{seen(2, Laid, 10), seen(3, Gone, 40)}, seen(0, Damp, 39), ""},
		{[]Entry{seen(2, Laid, 10), seen(3, Gone, 40)}, seen(0, Dry, 39), "dry at 09:39: gone comes before dry, and entry 3 has it at 09:40; check the times"},
		{[]Entry{seen(2, Laid, 10), seen(3, Damp, 30)}, seen(0, Damp, 31), "damp at 09:31: entry 3 has it already"},
		{[]Entry{seen(2, Laid, 10), seen(3, Damp, 30)}, seen(0, "not damp", 20), ""},
		{[]Entry{seen(2, Laid, 10), seen(3, Damp, 30)}, seen(0, "not damp", 31), "not yet damp at 09:31: by entry 3 it was damp at 09:30, before that; check the times"},
		{[]Entry{seen(2, Laid, 10), seen(3, Gone, 30)}, seen(0, "not damp", 31), "not yet damp at 09:31: by entry 3 it was gone at 09:30, before that"},
		{[]Entry{seen(2, Laid, 10), seen(3, Damp, 30)}, seen(0, "not gone", 31), ""},
		{[]Entry{seen(2, Laid, 10), seen(3, "not damp", 30)}, seen(0, Damp, 29), "damp at 09:29: by entry 3 it was not yet damp at 09:30, after that; check the times"},
		{[]Entry{seen(2, Laid, 10), seen(3, "not damp", 30)}, seen(0, Dry, 29), "dry at 09:29: by entry 3 it was not yet damp at 09:30, after that"},
		{[]Entry{seen(2, Laid, 10), seen(3, "not damp", 30)}, seen(0, "not damp", 30), "not yet damp at 09:30: entry 3 has it already"},
		{[]Entry{seen(2, Laid, 10), seen(3, "not damp", 30)}, seen(0, "not damp", 35), ""},
		{[]Entry{seen(2, Laid, 10), seen(3, "not gone", 30)}, seen(0, "not damp", 35), ""},
		{[]Entry{seen(2, Laid, 10)}, seen(0, "burnished", 35), ""},
		{[]Entry{seen(3, "not damp", 30)}, seen(0, Laid, 35), "laid at 09:35: entry 3 is earlier, not yet damp at 09:30; check the times"},
		{[]Entry{seen(3, "weighed", 30)}, seen(0, Laid, 35), "laid at 09:35: entry 3 is earlier, weighed at 09:30; check the times"},
	} {
		s := Sample{Board: boardEntry(1)}
		for _, e := range tc.known {
			s.Add(e)
		}
		err := s.Check(tc.e)
		var refused *EntryError
		if tc.want == "" && err != nil || tc.want != "" && (!errors.As(err, &refused) || !strings.HasPrefix(err.Error(), tc.want)) {
			t.Errorf("%v beside %v: %v, want %q", Describe(tc.e), tc.known, err, tc.want)
		}
	}
}

// A course that can be is taken in whatever order it is entered once the board is laid, and is sound; with two of
// its states exchanged it is neither.
func TestSampleCourse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var course []Entry
		at := 0.0
		for i, what := range states {
			for range rapid.IntRange(0, 2).Draw(t, "looks") {
				if i > 0 {
					at += rapid.Float64Range(1, 50).Draw(t, "minutes")
					course = append(course, seen(0, "not "+what, at))
				}
			}
			at += rapid.Float64Range(1, 50).Draw(t, "minutes")
			course = append(course, seen(0, what, at))
		}
		at += 5
		course = append(course, seen(0, "weighed", at))
		rest := rapid.Permutation(course[1:]).Draw(t, "order")
		s := Sample{Board: boardEntry(1)}
		for i, e := range append([]Entry{course[0]}, rest...) {
			e.N = i + 2
			if err := s.Check(e); err != nil {
				t.Fatal(err)
			}
			s.Add(e)
		}
		if err := s.Sound(); err != nil || s.Next() != "" || !slices.IsSortedFunc(s.Events, func(a, b Entry) int { return a.At.Compare(b.At) }) {
			t.Fatalf("%v, next %q", err, s.Next())
		}
		var reached []int
		for i, e := range s.Events {
			if !e.Flag("looked") {
				reached = append(reached, i)
			}
		}
		two := rapid.Permutation(reached).Draw(t, "exchanged")
		a, b := &s.Events[two[0]], &s.Events[two[1]]
		a.At, b.At = b.At, a.At
		if err := s.Sound(); err == nil {
			t.Fatalf("%s and %s are taken", Describe(*a), Describe(*b))
		}
	})
}

func TestSamples(t *testing.T) {
	wall := seen(3, Laid, 1)
	delete(wall.Data, "board")
	later := Entry{N: 6, Kind: Weighing, Data: map[string]any{"mass": 1.1}}
	second := boardEntry(5)
	amended := seen(8, Damp, 33)
	amended.Amends = 4
	entries := []Entry{boardEntry(1), seen(2, Laid, 10), wall, seen(4, Damp, 30), second, later, seen(7, Gone, 50), amended, {N: 9, Kind: Withdrawal, Amends: 7}, seen(10, "burnished", 60)}
	got := Samples(entries)
	if len(got) != 2 || got[0].Board.N != 1 || got[1].Board.N != 5 {
		t.Fatalf("%+v", got)
	}
	if !slices.Equal(numbers(got[0].Events), []int{2, 4}) || got[0].Events[1].At.Minute() != 33 || len(got[0].Weighings) != 0 || got[0].Next() != Gone {
		t.Errorf("%+v", got[0])
	}
	if len(got[1].Events) != 0 || !slices.Equal(numbers(got[1].Weighings), []int{6}) || got[1].Next() != Laid {
		t.Errorf("%+v", got[1])
	}
	if got := Samples(nil); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}
