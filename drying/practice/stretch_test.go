package practice_test

import (
	"math"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/crew"
	"limeday/drying/message"
	"limeday/drying/practice"
)

// walls are exercises with a wall and its hands, once for all tests: of several sets, of twice as many in the study.
var walls = sync.OnceValues(func() (out []practice.Exercise, err error) {
	sets := uint64(4)
	if studied {
		sets = 8
	}
	for seed := range sets {
		for number := 1; number <= len(practice.Topics(7)); number++ {
			x, err := practice.New(practice.ID{Level: 7, Seed: seed, Number: number})
			if err != nil {
				return nil, err
			}
			out = append(out, x)
		}
		if raced > 1 {
			break
		}
	}
	return out, nil
})

// site is what a test needs of a wall: the rates of who lays and of who closes in by all passes, m2/h, and the area.
type site struct{ lays, closes, area float64 }

func siteOf(x practice.Exercise) site {
	a := x.Answer.Wall
	s := site{area: a.Sites[0].Wall.Area()}
	for _, h := range a.Crew.Hands {
		s.lays = max(s.lays, h.Rate[crew.Lay])
		s.closes = max(s.closes, h.Rate[crew.Compress]/float64(a.Crew.Passes[crew.Compress]))
	}
	return s
}

// strips is how finely the tests cut a wall.
const strips = 400

// lost tells how far the worst strip of an area is past its being gone by when it is closed in, s: laid from 0 on without a stop, closed in
// from begin on, each no sooner than it opens.
func (s site) lost(area, begin, opens, gone float64) float64 {
	lay, closing := area/strips/s.lays*3600, area/strips/s.closes*3600
	worst, now := math.Inf(-1), begin
	for i := range strips {
		from := float64(i) * lay
		now = math.Max(now, from+lay+opens-closing)
		worst = math.Max(worst, now-from-gone)
		now += closing
		worst = math.Max(worst, now-from-lay-gone)
	}
	return worst
}

// turned is the same where one hand lays all of it first and then turns back.
func (s site) turned(area, opens, gone float64) float64 {
	return s.lost(area, area/s.lays*3600+crew.UsualTravel.Seconds(), opens, gone)
}

// banded runs an exercise's coat afresh.
func banded(t *testing.T, x practice.Exercise) drying.Rung {
	t.Helper()
	ask := x.Answer.Coats[0].LadderAsk
	ask.Thicknesses = []float64{x.Answer.Coats[0].Thickness}
	rungs, err := drying.Ladder(ask)
	if err == nil {
		err = ask.Band(rungs, drying.Bands{Members: 60, Seed: 1})
	}
	if err != nil {
		t.Fatal(err)
	}
	return rungs[0]
}

// What one hand may lay is what can just be closed in, strip by strip: at the likely window, and at each end of the band.
func TestSectionSize(t *testing.T) {
	all, err := walls()
	if err != nil {
		t.Fatal(err)
	}
	ruled := map[bool]int{}
	for _, x := range all {
		if x.Topic != practice.SectionSize {
			continue
		}
		a, s, r := x.Answer, siteOf(x), banded(t, x)
		for _, end := range []struct{ area, grain, opens, gone float64 }{
			{a.Value, 0.02 * a.Value, r.Opens, r.Closes},
			{a.Earliest, 0.52, r.Soonest.Opens, r.Soonest.Closes},
			{a.Latest - 0.5, 0.52, r.Slowest.Opens, r.Slowest.Closes},
		} {
			if late := s.turned(end.area, end.opens, end.gone); late > 0.01*end.gone {
				t.Errorf("%v: of %g m2 a strip is closed in %g s after it has gone by", x.ID, end.area, late)
			}
			if late := s.turned(end.area+end.grain, end.opens, end.gone); late < 0 {
				t.Errorf("%v: more than %g m2 would hold, by %g s", x.ID, end.area, -late)
			}
		}
		if s.area <= a.Latest {
			t.Errorf("%v: the wall has %g m2, and %g may be laid", x.ID, s.area, a.Latest)
		}
		// The reason: what decides, made half as fast again, brings what it says; the other brings less.
		first := strings.HasPrefix(a.Reasons[0].Text.Format(metric), "The first")
		ruled[first]++
		faster := s
		if first {
			faster.lays *= 1.5
		} else {
			faster.closes *= 1.5
		}
		var says []float64
		for _, p := range a.Reasons[0].Text {
			if p.Kind == message.Area {
				says = append(says, p.Value)
			}
		}
		if late := faster.turned(says[0], r.Opens, r.Closes); math.Abs(late) > 0.01*r.Closes || says[0] < 1.1*a.Value || len(says) > 1 && says[1] >= says[0] {
			t.Errorf("%v: %s: %g m2, %g s past", x.ID, a.Reasons[0].Text.Format(metric), says, late)
		}
		// Who plans walls has a timetable for as much, all of it in one stretch.
		ask := *a.Wall
		ask.Sites = []crew.Site{a.Wall.Sites[0]}
		ask.Sites[0].Wall.Width = 0.9 * a.Earliest / ask.Sites[0].Wall.Height
		if p, err := crew.New(ask); err != nil || !p.Whole || !p.Band {
			t.Errorf("%v: %g m2 have no plan: %+v, %v", x.ID, 0.9*a.Earliest, p, err)
		}
	}
	if len(ruled) < 2 && raced == 1 {
		t.Errorf("the first strip or the last always decides: %v", ruled)
	}
}

// A helper who begins at the latest closes all of it in, and one who begins later does not; the windows are those of the plan.
func TestHelperStarts(t *testing.T) {
	all, err := walls()
	if err != nil {
		t.Fatal(err)
	}
	ruled := map[bool]int{}
	for _, x := range all {
		if x.Topic != practice.HelperStarts {
			continue
		}
		a, s, r := x.Answer, siteOf(x), banded(t, x)
		for _, end := range []struct{ begin, grain, opens, gone float64 }{
			{a.Value, 0.01 * r.Closes, r.Opens, r.Closes},
			{a.Earliest, 660, r.Soonest.Opens, r.Soonest.Closes},
			{a.Latest - 600, 660, r.Slowest.Opens, r.Slowest.Closes},
		} {
			if late := s.lost(s.area, end.begin, end.opens, end.gone); late > 0.01*end.gone {
				t.Errorf("%v: begun after %g s a strip is closed in %g s after it has gone by", x.ID, end.begin, late)
			}
			if late := s.lost(s.area, end.begin+end.grain, end.opens, end.gone); late < 0 {
				t.Errorf("%v: it would hold later than after %g s, by %g s", x.ID, end.begin, -late)
			}
		}
		if a.Value < r.Opens {
			t.Errorf("%v: it opens after %g s, and the helper is to begin after %g", x.ID, r.Opens, a.Value)
		}
		p, err := crew.New(*a.Wall)
		if err != nil || !p.Whole || !p.Band {
			t.Fatalf("%v: no plan holds: %v", x.ID, err)
		}
		var laid, closed crew.Task
		for _, k := range p.Sections[0].Tasks {
			if k.Patch == 1 && k.Op == crew.Lay {
				laid = k
			} else if k.Patch == 1 {
				closed = k
			}
		}
		if got := closed.Closes.Sub(laid.Start).Seconds(); math.Abs(got/r.Closes-1) > 0.01 || closed.Start.Sub(laid.Start).Seconds() > a.Value {
			t.Errorf("%v: in the plan it is gone by after %g s, by itself after %g; the plan closes it in from %s", x.ID, got, r.Closes, closed.Start)
		}
		// The reason: the last strip decides where the helper is slower, and then the start is sooner than the first has gone by.
		last := strings.HasPrefix(a.Reasons[0].Text.Format(metric), "The last")
		ruled[last]++
		if last != (s.closes < s.lays) || last != (a.Value < 0.95*r.Closes) {
			t.Errorf("%v: %g m2/h laid, %g closed in, %g s of %g: %s", x.ID, s.lays, s.closes, a.Value, r.Closes, a.Reasons[0].Text.Format(metric))
		}
		var says []float64
		for _, q := range a.Reasons[0].Text {
			if q.Kind == message.Spell {
				says = append(says, q.Value)
			}
		}
		other := s
		if other.closes = s.lays; !last {
			other.closes /= 1.5
		}
		if len(says) == 3 {
			if late := other.lost(s.area, says[2], r.Opens, r.Closes); math.Abs(late) > 0.01*r.Closes {
				t.Errorf("%v: %s: %g s past", x.ID, a.Reasons[0].Text.Format(metric), late)
			}
		} else if late := other.lost(s.area, r.Opens, r.Opens, r.Closes); late < 0 {
			t.Errorf("%v: such a helper could follow, by %g s: %s", x.ID, -late, a.Reasons[0].Text.Format(metric))
		}
	}
	if len(ruled) < 2 && raced == 1 {
		t.Errorf("the helper is always slower, or always faster: %v", ruled)
	}
}

// Any seed has a clear exercise with a wall.
func TestAlwaysOneOfAWall(t *testing.T) {
	fewer(t, 33, func(t *rapid.T) {
		id := practice.ID{Level: 7, Seed: rapid.Uint64().Draw(t, "seed"), Number: rapid.IntRange(1, 1<<20).Draw(t, "number")}
		x, err := practice.New(id)
		if err != nil {
			t.Fatal(err)
		}
		if y, err := practice.New(id); err != nil || x.Answer.Value != y.Answer.Value || x.Asks.Format(metric) != y.Asks.Format(metric) {
			t.Fatalf("%v: %g, then %g, %v", id, x.Answer.Value, y.Answer.Value, err)
		}
	})
}
