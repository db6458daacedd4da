package practice_test

import (
	"flag"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/message"
	"limeday/drying/practice"
)

// quick are the levels whose exercises take a fraction of a second; a whole day takes a second or two.
const quick = 4

// bands is the one of the quick levels whose exercises take seconds: each thickness asked about has its bands.
const bands = 3

// studied is whether several exercises of each topic are drawn of that level too.
var studied bool

// drawn draws exercises, once for all tests: several of the quick levels, and of the others one of each topic.
var drawn = sync.OnceValues(func() (out []practice.Exercise, err error) {
	for level := practice.Level(1); int(level) <= len(practice.Levels()); level++ {
		n := 10
		if level > quick || level == bands && !studied || raced > 1 {
			n = len(practice.Topics(level))
		}
		for number := 1; number <= n; number++ {
			x, err := practice.New(practice.ID{Level: level, Seed: 11, Number: number})
			if err != nil {
				return nil, fmt.Errorf("level %d, %d: %w", level, number, err)
			}
			out = append(out, x)
		}
	}
	return out, nil
})

// raced is 1, or under the race detector the share of the draws that is enough for it: one in so many.
var raced = 1

// some checks them.
func some(t *testing.T, check func(t *testing.T, x practice.Exercise)) {
	t.Helper()
	all, err := drawn()
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range all {
		check(t, x)
	}
}

// metric writes quantities for a test to look at.
func metric(q message.Quantity) string { return "<" + string(q.Kind) + ">" }

// fewer checks a property on one case in share of those asked for (-rapid.checks): a case costs much.
func fewer(t *testing.T, share int, property func(*rapid.T)) {
	t.Helper()
	checks := flag.Lookup("rapid.checks").Value
	was := checks.String()
	n, err := strconv.Atoi(was)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = checks.Set(was) }()
	if err := checks.Set(strconv.Itoa(max(n/(share*raced), 2))); err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, property)
}

// The same level, seed and number are the same exercise.
func TestSame(t *testing.T) {
	fewer(t, 7, func(t *rapid.T) {
		id := practice.ID{Level: practice.Level(rapid.IntRange(1, 2).Draw(t, "level")), Seed: rapid.Uint64().Draw(t, "seed"), Number: rapid.IntRange(1, 500).Draw(t, "number")}
		x, err := practice.New(id)
		y, err2 := practice.New(id)
		if err != nil || err2 != nil || !reflect.DeepEqual(plain(x), plain(y)) {
			t.Fatalf("%v, %v:\n%+v\n%+v", err, err2, plain(x), plain(y))
		}
	})
}

// plain is what an exercise says and how it marks.
func plain(x practice.Exercise) any {
	return []any{x.ID, x.Topic, x.Given, x.Asks, x.Choices, x.Answer.Choice, x.Answer.Near, x.Answer.Value, x.Answer.Earliest, x.Answer.Latest, x.Answer.At, x.Answer.Says, len(x.Answer.Reasons)}
}

// Every exercise is whole: it asks, has its kind of answer, says why in words that do not repeat, and its right answer marks as right.
func TestWhole(t *testing.T) {
	topics := map[practice.Topic]bool{}
	some(t, func(t *testing.T, x practice.Exercise) {
		topics[x.Topic] = true
		a := x.Answer
		if len(x.Given) == 0 || len(x.Asks) == 0 || len(x.Hint) == 0 || len(a.Says) == 0 {
			t.Errorf("%v %s: an empty part: %+v", x.ID, x.Topic, x)
		}
		if n := len(a.Reasons); n < 1 || n > 2 && x.Topic != practice.WhichCoat {
			t.Errorf("%v %s: %d reasons", x.ID, x.Topic, n)
		}
		if m := x.Mark(x.Right()); m.Mark != practice.Right || len(m.Says) > 0 {
			t.Errorf("%v %s: the right answer is marked %s", x.ID, x.Topic, m.Mark)
		}
		switch x.Wants {
		case practice.WantChoice, practice.WantVerdict:
			if len(x.Choices) < 3 || a.Choice < 0 || a.Choice >= len(x.Choices) || slices.Contains(a.Near, a.Choice) {
				t.Errorf("%v %s: choices %d, right %d, near %v", x.ID, x.Topic, len(x.Choices), a.Choice, a.Near)
			}
			for i := range x.Choices {
				want := practice.Not
				if i == a.Choice {
					want = practice.Right
				} else if slices.Contains(a.Near, i) {
					want = practice.Near
				}
				if m := x.Mark(practice.Given{Choice: i}); m.Mark != want {
					t.Errorf("%v %s: choice %d is marked %s, want %s", x.ID, x.Topic, i, m.Mark, want)
				}
			}
		case practice.WantClock:
			if x.Day.IsZero() || !(a.From.Before(a.Until) && !a.At.Before(a.From) && !a.At.After(a.Until)) {
				t.Errorf("%v %s: %s in %s to %s", x.ID, x.Topic, a.At, a.From, a.Until)
			}
			marks(t, x, []practice.Given{{At: a.From.Add(-2 * time.Hour)}, {At: a.From.Add(-20 * time.Minute)}, {At: a.From}, {At: a.Until}, {At: a.Until.Add(20 * time.Minute)}, {At: a.Until.Add(2 * time.Hour)}})
		default:
			if !(a.Earliest < a.Latest && a.Value >= a.Earliest && a.Value <= a.Latest) || math.IsInf(a.Latest, 1) {
				t.Errorf("%v %s: %g in %g to %g", x.ID, x.Topic, a.Value, a.Earliest, a.Latest)
			}
			far := a.Latest - a.Earliest
			low, high := a.Earliest/1.2, a.Latest*1.2
			if x.Wants == practice.WantTemperature {
				low, high = a.Earliest-0.5*far, a.Latest+0.5*far
			}
			marks(t, x, []practice.Given{{Value: a.Earliest/2 - 5*far}, {Value: low}, {Value: a.Earliest}, {Value: a.Latest}, {Value: high}, {Value: 2*a.Latest + 5*far}})
		}
		for i, r := range a.Reasons {
			said := r.Text.Format(metric)
			for _, q := range a.Reasons[:i] {
				if q.Text.Format(func(q message.Quantity) string { return "" }) == r.Text.Format(func(q message.Quantity) string { return "" }) {
					t.Errorf("%v %s: said twice: %s", x.ID, x.Topic, said)
				}
			}
			if c := said[:1]; c != "<" && strings.ToUpper(c) != c || strings.Contains(said, "{}") {
				t.Errorf("%v %s: %q is no sentence", x.ID, x.Topic, said)
			}
		}
	})
	for level := range practice.Levels() {
		for _, want := range practice.Topics(practice.Level(level + 1)) {
			if !topics[want] {
				t.Errorf("level %d: nothing about %s", level+1, want)
			}
		}
	}
}

// marks checks answers from far below to far above: not, near, right, right, near, not, each with its direction.
func marks(t *testing.T, x practice.Exercise, given []practice.Given) {
	t.Helper()
	for i, want := range []practice.Mark{practice.Not, practice.Near, practice.Right, practice.Right, practice.Near, practice.Not} {
		m := x.Mark(given[i])
		if m.Mark != want || (want == practice.Right) != (len(m.Says) == 0) {
			t.Errorf("%v %s: %+v is marked %s, want %s", x.ID, x.Topic, given[i], m.Mark, want)
		}
		says := m.Says.Format(metric)
		if below := strings.Contains(says, "before") || strings.Contains(says, "thinner") || strings.Contains(says, "less") || strings.Contains(says, "low"); want != practice.Right && below != (i < 3) {
			t.Errorf("%v %s: %+v: %s", x.ID, x.Topic, given[i], says)
		}
	}
}

// likely runs a case afresh, as the command thickness would, apart from the package's own runs.
func likely(t *testing.T, c practice.Case) drying.Rung {
	t.Helper()
	ask := c.LadderAsk
	ask.Thicknesses = []float64{c.Thickness}
	rungs, err := drying.Ladder(ask)
	if err != nil {
		t.Fatal(err)
	}
	return rungs[0]
}

// Right answers agree with the model run again: of two walls, of three airs and three coats the one that is dry first or
// last, of times the middle of the band.
func TestAgreesWithModel(t *testing.T) {
	some(t, func(t *testing.T, x practice.Exercise) {
		a := x.Answer
		var rungs []drying.Rung
		for _, r := range a.Coats {
			rungs = append(rungs, likely(t, r.Case))
		}
		bad := func(format string, args ...any) {
			t.Helper()
			t.Errorf("%v %s: "+format, append([]any{x.ID, x.Topic}, args...)...)
		}
		switch x.Topic {
		case practice.DriesFirst:
			p, q := rungs[0].Next, rungs[1].Next
			if strings.Contains(x.Asks.Format(metric), "gone by") {
				p, q = rungs[0].Closes, rungs[1].Closes
			}
			want := 2
			if p >= 1.3*q {
				want = 1
			} else if q >= 1.3*p {
				want = 0
			} else if max(p, q) > 1.1*min(p, q) {
				bad("%g and %g s are too close to tell", p, q)
			}
			if want != a.Choice {
				bad("%g and %g s: %d, want %d", p, q, a.Choice, want)
			}
		case practice.ThirstyAir:
			for i, r := range rungs {
				if i != a.Choice && r.Next < 1.3*rungs[a.Choice].Next {
					bad("%d is dry after %g s, %d after %g", i, r.Next, a.Choice, rungs[a.Choice].Next)
				}
			}
		case practice.SlowestCoat:
			for i, r := range rungs {
				if i != a.Choice && 1.3*r.Next > rungs[a.Choice].Next {
					bad("%d is dry after %g s, %d after %g", i, r.Next, a.Choice, rungs[a.Choice].Next)
				}
			}
		case practice.DryTheAir:
			if !(rungs[1].Next < rungs[0].Next/1.2) {
				bad("%g s becomes %g", rungs[0].Next, rungs[1].Next)
			}
		case practice.GoneBy, practice.BurnishFrom, practice.NextCoat:
			want := map[practice.Topic]float64{practice.GoneBy: rungs[0].Closes, practice.BurnishFrom: rungs[0].Burnish, practice.NextCoat: rungs[0].Next}[x.Topic]
			if a.Value != want || want < a.Earliest || want > a.Latest {
				bad("%g s in %g to %g, want %g", a.Value, a.Earliest, a.Latest, want)
			}
		case practice.HowThick: // its next coat comes about when it is wanted: the thickness is between two that were run
			var limit float64
			for _, g := range x.Given {
				for _, p := range g {
					if p.Kind == message.Spell {
						limit = p.Value
					}
				}
			}
			if got := rungs[0].Next; math.Abs(got-limit) > 0.1*limit {
				bad("at the likely thickness it is dry after %g s, wanted %g", got, limit)
			}
		case practice.WhichCoat:
			var limit float64
			for _, p := range x.Given[1] {
				if p.Kind == message.Spell {
					limit = p.Value
				}
			}
			for i, r := range rungs {
				if math.Abs(math.Log(r.Closes/limit)) < math.Abs(math.Log(rungs[a.Choice].Closes/limit)) {
					bad("%d comes nearer to %g s: %g, and not %g", i, limit, r.Closes, rungs[a.Choice].Closes)
				}
			}
		case practice.AtTheBlade, practice.WhatToSee:
			var t float64
			for _, p := range x.Given[len(x.Given)-1] {
				if p.Kind == message.Spell {
					t = p.Value
				}
			}
			r := rungs[0]
			sign := a.Sign.Format(metric)
			if i := slices.IndexFunc([]float64{r.Opens, r.Burnish, r.Closes, r.Next, math.Inf(1)}, func(end float64) bool { return t < end }); !slices.Contains([][]string{
				practice.Signs()[:3], practice.Signs()[3:4], practice.Signs()[4:5], practice.Signs()[5:8], practice.Signs()[8:]}[i], sign) {
				bad("after %g s it shows %q; it opens at %g, burnishes at %g, is gone at %g, dry at %g", t, sign, r.Opens, r.Burnish, r.Closes, r.Next)
			}
		case practice.MorningGo, practice.OutdoorsGo:
			b, err := drying.Check(a.Morning.Job, a.Morning.Ask)
			if err == nil {
				err = b.Band(a.Morning.Ask, drying.Bands{Members: 60, Seed: 1})
			}
			if err != nil || string(b.Verdict) != x.Choices[a.Choice].Key {
				bad("%v, %v", b.Verdict, err)
			}
		case practice.MorningHelp, practice.OutdoorsHelp:
			b, err := drying.Check(a.Morning.Job, a.Morning.Ask)
			if err != nil || !b.Changes[0].Helps {
				bad("%+v, %v", b.Changes, err)
			}
			for _, c := range b.Changes[1:] {
				if c.Helps && c.Verdict == b.Changes[0].Verdict {
					bad("%s helps as much", c.Code)
				}
			}
		}
	})
}

// A reason that names a factor names one that moves the time, in the direction and by as much as it says, and the first one
// moves it most.
func TestReasonsMove(t *testing.T) {
	named := map[practice.Factor]int{}
	some(t, func(t *testing.T, x practice.Exercise) {
		was := math.Inf(1)
		for _, r := range x.Answer.Reasons {
			if r.Factor == "" {
				continue
			}
			named[r.Factor]++
			with, without := eventOf(likely(t, r.Case), r.Event), eventOf(likely(t, r.Than), r.Event)
			got := with / without
			if math.Abs(got/r.Ratio-1) > 1e-9 || math.Abs(math.Log(got)) < math.Log(1.1) {
				t.Errorf("%v %s: %s: %g s with, %g without; it says %g times", x.ID, x.Topic, r.Factor, with, without, r.Ratio)
			}
			says := r.Text.Format(metric)
			if later := strings.Contains(says, "as late"); later != (got > 1) {
				t.Errorf("%v %s: %g times: %s", x.ID, x.Topic, got, says)
			}
			if s := math.Abs(math.Log(got)); s > was+1e-9 {
				t.Errorf("%v %s: %s moves more than the reason before it", x.ID, x.Topic, r.Factor)
			} else {
				was = s
			}
			// It differs in that one thing.
			if back, _ := r.Than.With(r.Factor, r.Case); math.Abs(eventOf(likely(t, back), r.Event)/with-1) > 1e-6 {
				t.Errorf("%v %s: %s is not all that differs", x.ID, x.Topic, r.Factor)
			}
		}
	})
	t.Log(named)
	if len(named) < 5 && raced == 1 {
		t.Errorf("only %v were ever named", named)
	}
}

func eventOf(r drying.Rung, e drying.Event) float64 {
	t, _, _ := practice.TimesOf(r, e)
	return t
}

// What a blade meets is covered: tears, bubbles, dark marks, dust and dull patches are all shown.
func TestSignsCovered(t *testing.T) {
	shown := map[string]bool{}
	turn := len(practice.Topics(4)) // the topics come in turn
	words := []string{"tears", "bubbles", "dark marks", "dust", "dull patches"}
	unseen := func(word string) bool {
		for s := range shown {
			if strings.Contains(s, word) {
				return false
			}
		}
		return true
	}
	for first := 1; first <= turn && slices.ContainsFunc(words, unseen); first++ {
		for number := first; number < first+60*turn; number += turn {
			x, err := practice.New(practice.ID{Level: 4, Seed: 3, Number: number})
			if err != nil {
				t.Fatal(err)
			}
			if x.Topic == practice.AtTheBlade || x.Topic == practice.DullPatches {
				shown[x.Answer.Sign.Format(metric)] = true
			}
			if x.Topic != practice.AtTheBlade && number > first || !slices.ContainsFunc(words, unseen) {
				break
			}
		}
	}
	all := strings.Join(practice.Signs(), "\n")
	for _, word := range words {
		if word != "dull patches" && !strings.Contains(all, word) {
			t.Errorf("no sign says %s", word)
		}
		if unseen(word) {
			t.Errorf("%s was never shown", word)
		}
	}
}

// Any seed has a clear exercise in every quick level.
func TestAlwaysOne(t *testing.T) {
	fewer(t, 7, func(t *rapid.T) {
		id := practice.ID{Level: practice.Level(rapid.IntRange(1, quick).Draw(t, "level")), Seed: rapid.Uint64().Draw(t, "seed"), Number: rapid.IntRange(1, 1<<20).Draw(t, "number")}
		if _, err := practice.New(id); err != nil {
			t.Fatal(err)
		}
	})
}

func TestStand(t *testing.T) {
	did := func(level practice.Level, marks ...practice.Mark) (out []practice.Attempt) {
		for i, m := range marks {
			topics := practice.Topics(level)
			out = append(out, practice.Attempt{Level: level, Topic: topics[i%len(topics)], Mark: m})
		}
		return out
	}
	const r, n, x = practice.Right, practice.Near, practice.Not
	for _, tc := range []struct {
		name  string
		did   []practice.Attempt
		next  practice.Level
		topic practice.Topic
	}{
		{"nothing", nil, 1, ""},
		{"too little to tell", did(1, r, r), 1, practice.DriesFirst},
		{"three right", did(1, r, r, r), 2, ""},
		{"one near", did(1, r, n, r), 2, ""},
		{"two near", did(1, r, n, n), 1, practice.DriesFirst},
		{"one not", did(1, r, r, r, x), 1, practice.DriesFirst},
		{"right again", did(1, x, r, r, r), 2, ""},
		{"the topic that went wrong", append(did(1, r, r, r), did(2, r, x, r, r)...), 2, practice.WallAboveDew},
		{"another level does not count", append(did(1, r, r, r), did(3, r, r, r)...), 2, ""},
	} {
		got := practice.Stand(tc.did)
		if tc.name == "too little to tell" {
			tc.topic = "" // both were right
		}
		if got.Next != tc.next || got.Topic != tc.topic || got.All {
			t.Errorf("%s: level %d, %q; want %d, %q", tc.name, got.Next, got.Topic, tc.next, tc.topic)
		}
	}
	var all []practice.Attempt
	for l := range practice.Levels() {
		all = append(all, did(practice.Level(l+1), r, r, r)...)
	}
	if got := practice.Stand(all); !got.All {
		t.Errorf("%+v", got)
	}
}

// A deck has a card for each coat in each air; drier, warmer air makes every card's times come sooner.
func TestCards(t *testing.T) {
	x, err := practice.New(practice.ID{Level: 1, Seed: 1, Number: 1})
	if err != nil {
		t.Fatal(err)
	}
	base := x.Answer.Coats[0].Case
	airs := practice.Airs(101325)
	told := 0.0
	cards, err := practice.Cards([]practice.Case{base}, airs, drying.Bands{Members: 20, Tell: func(s float64) { told = max(told, s) }})
	if err != nil || len(cards) != len(airs) || told == 0 || told > 1 {
		t.Fatalf("%d cards, told %g, %v", len(cards), told, err)
	}
	for i, c := range cards {
		if i > 0 && !(c.Rung.Next < cards[i-1].Rung.Next) {
			t.Errorf("%s: %g s, after %g", c.Air.Name, c.Rung.Next, cards[i-1].Rung.Next)
		}
		likely, low, high := practice.TimesOf(c.Rung, drying.EventNext)
		if !(low < likely && likely < high) || !c.Last {
			t.Errorf("%s: %g in %g to %g", c.Air.Name, likely, low, high)
		}
	}
}

func TestNoSuchExercise(t *testing.T) {
	for _, id := range []practice.ID{{Level: 0, Number: 1}, {Level: practice.Level(len(practice.Levels()) + 1), Number: 1}, {Level: 1, Number: 0}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%+v was drawn", id)
				}
			}()
			_, _ = practice.New(id)
		}()
	}
}

func BenchmarkNew(b *testing.B) {
	for level := range practice.Levels() {
		b.Run(string(rune('1'+level)), func(b *testing.B) {
			for i := range b.N {
				if _, err := practice.New(practice.ID{Level: practice.Level(level + 1), Seed: 4, Number: i + 1}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
