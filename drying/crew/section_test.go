package crew

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying/message"
)

// drawnSection is a section of random patches with a random crew in random windows.
type drawnSection struct {
	patches []Patch
	crew    Crew
	closing bool
	at      []int       // moments through the day
	kinds   [][]moments // by world: kinds of windows
	kind    []int       // by patch
	ready   [][]int     // by world and patch
	free    [][]span    // by hand
	day     day
	begins  []int
}

// moments are the events of one kind of window, s after laying, at moments through the day.
type moments struct{ edge, opens, burnish, closes []float64 }

func drawPatches(t *rapid.T, strips int) (ps []Patch) {
	rows, left, high := rapid.IntRange(1, 2).Draw(t, "rows"), 0.0, rapid.Float64Range(0.4, 1.2).Draw(t, "high")
	scaffold := rapid.Bool().Draw(t, "scaffold")
	for i := range rapid.IntRange(1, strips).Draw(t, "strips") {
		wide := rapid.Float64Range(0.3, 1.2).Draw(t, "wide")
		for r := range rows {
			p := Patch{Number: len(ps) + 1, Strip: i, Row: r, Boxes: []Box{{left, float64(rows-1-r) * high, wide, high}}, Area: wide * high}
			if scaffold {
				p.Lift = rows - 1 - r
			}
			if r == rows-1 && rapid.IntRange(0, 2).Draw(t, "joint") > 0 {
				p.cut = message.Words("a joint")
			}
			ps = append(ps, p)
		}
		left += wide
	}
	return ps
}

func drawHand(t *rapid.T, closing bool) (h Hand) {
	h = Hand{Name: "hand", Rate: [ops]float64{rapid.Float64Range(5, 14).Draw(t, "lays"), rapid.Float64Range(6, 40).Draw(t, "compresses"), rapid.Float64Range(10, 40).Draw(t, "burnishes")}}
	for o := range ops {
		if rapid.IntRange(0, 4).Draw(t, "cannot") == 0 {
			h.Rate[o] = 0
		}
	}
	if closing && h.Rate[Compress] == 0 && h.Rate[Lay] == 0 {
		h.Rate[Lay] = 8
	}
	return h
}

func drawSection(t *rapid.T, strips, hands int) *drawnSection {
	d := &drawnSection{patches: drawPatches(t, strips), closing: rapid.IntRange(0, 5).Draw(t, "closing") > 0}
	d.crew = Crew{Passes: [ops]int{1, rapid.IntRange(1, 2).Draw(t, "passes"), rapid.IntRange(0, 1).Draw(t, "burnishes")}, Travel: UsualTravel, SeveralLay: rapid.Bool().Draw(t, "several")}
	d.day = day{from: 3600, dusk: 3600 * rapid.IntRange(3, 9).Draw(t, "dusk")}
	d.day.end = d.day.dusk + 3600*rapid.IntRange(0, 4).Draw(t, "late")
	for i := range rapid.IntRange(1, hands).Draw(t, "hands") {
		h := drawHand(t, d.closing)
		if i == 0 { // one that can do everything
			h.Rate = [ops]float64{max(h.Rate[Lay], 6), max(h.Rate[Compress], 8), max(h.Rate[Burnish], 12)}
		}
		d.hire(t, h)
	}
	d.at = []int{3600, 3 * 3600, 5 * 3600, 9 * 3600}
	kinds := rapid.IntRange(1, 2).Draw(t, "kinds")
	for k := range rapid.IntRange(1, 3).Draw(t, "worlds") {
		var of []moments
		for i := range kinds {
			if k > 0 {
				of = append(of, scaled(d.kinds[0][i], rapid.Float64Range(0.6, 1.5).Draw(t, "world")))
				continue
			}
			of = append(of, drawMoments(t, len(d.at)))
		}
		d.kinds = append(d.kinds, of)
		d.ready = append(d.ready, nil)
		at := 0
		for range d.patches {
			if kinds > 1 { // the coat under it
				at += rapid.IntRange(0, 900).Draw(t, "ready")
			}
			d.ready[k] = append(d.ready[k], at)
		}
	}
	for i := range d.patches {
		d.kind = append(d.kind, (i*kinds)/len(d.patches))
	}
	d.begins = []int{3600, 3600 + 1800*rapid.IntRange(1, 6).Draw(t, "begin")}
	return d
}

func drawMoments(t *rapid.T, n int) (m moments) {
	opens := rapid.Float64Range(60, 2400).Draw(t, "opens")
	burnish := opens + rapid.Float64Range(0, 1800).Draw(t, "burnish")
	closes := burnish + rapid.Float64Range(300, 6000).Draw(t, "closes")
	edge := rapid.Float64Range(0.2, 1).Draw(t, "edge") * closes
	changes := rapid.Bool().Draw(t, "changes")
	for range n {
		f := 1.0
		if changes {
			f = rapid.Float64Range(0.4, 1.6).Draw(t, "change")
		}
		m.edge, m.opens, m.burnish, m.closes = append(m.edge, f*edge), append(m.opens, f*opens), append(m.burnish, f*burnish), append(m.closes, f*closes)
	}
	return m
}

func scaled(m moments, f float64) moments {
	by := func(x []float64) (out []float64) {
		for _, v := range x {
			out = append(out, v*f)
		}
		return out
	}
	return moments{by(m.edge), by(m.opens), by(m.burnish), by(m.closes)}
}

// hire adds a hand with breaks of its own.
func (d *drawnSection) hire(t *rapid.T, h Hand) {
	d.crew.Hands = append(d.crew.Hands, h)
	var free []span
	at := 3600 * rapid.IntRange(1, 2).Draw(t, "comes")
	for range rapid.IntRange(0, 2).Draw(t, "breaks") {
		to := at + 60*rapid.IntRange(30, 240).Draw(t, "works")
		free = append(free, span{at, to})
		at = to + 60*rapid.IntRange(10, 60).Draw(t, "rests")
	}
	d.free = append(d.free, append(free, span{at, 3600 * 14}))
}

// made are the section and its worlds.
func (d *drawnSection) made() (*section, []*world) {
	s := newSection(d.patches, d.crew, d.closing)
	var worlds []*world
	for k, of := range d.kinds {
		var kinds []*window
		for _, m := range of {
			kinds = append(kinds, &window{opens: newCurve(d.at, m.opens, later), burnish: newCurve(d.at, m.burnish, later),
				closes: newCurve(d.at, m.closes, sooner), edge: newCurve(d.at, m.edge, sooner), next: newCurve(d.at, m.closes, later)})
		}
		w := &world{free: d.free, ready: d.ready[k]}
		for i := range d.patches {
			w.windows = append(w.windows, kinds[d.kind[i]])
		}
		worlds = append(worlds, w)
	}
	return s, worlds
}

func (d *drawnSection) search() (*section, []*world, choice) {
	s, worlds := d.made()
	hands := make([]int, len(d.crew.Hands))
	for i := range hands {
		hands[i] = i
	}
	return s, worlds, s.search(worlds, d.day, d.begins, s.cuts(), hands, false)
}

// told is a timetable as the checker wants it: nothing but who does what when.
type told struct {
	op            Op
	patch, hand   int
	start, finish int
}

func tell(q order, t *timing) (out []told) {
	for i, x := range q {
		out = append(out, told{x.op, x.patch, x.hand, t.start[i], t.end[i]})
	}
	return out
}

// check is the list of what is wrong with a timetable of the first n patches, by the rules of the package and not by its code.
func check(d *drawnSection, w *world, tasks []told, n, begin int) (wrong []string) {
	bad := func(format string, a ...any) { wrong = append(wrong, fmt.Sprintf(format, a...)) }
	ops := []Op{Lay}
	if d.closing {
		ops = append(ops, Compress)
		if d.crew.Passes[Burnish] > 0 {
			ops = append(ops, Burnish)
		}
	}
	of := map[[2]int]told{}
	for _, x := range tasks {
		if _, twice := of[[2]int{int(x.op), x.patch}]; twice || x.patch >= n {
			bad("%v is once too often", x)
		}
		of[[2]int{int(x.op), x.patch}] = x
		takes := math.Inf(1)
		if r := d.crew.Hands[x.hand].Rate[x.op]; r > 0 {
			takes = d.patches[x.patch].Area * float64(d.crew.Passes[x.op]) / r * 3600
		}
		if long := float64(x.finish - x.start); long < takes-0.01 || long > takes+1 {
			bad("%v takes %g s, want %g", x, long, takes)
		}
		if !slices.ContainsFunc(w.free[x.hand], func(f span) bool { return f.from <= x.start && x.finish <= f.to }) {
			bad("%v falls into a break", x)
		}
		if x.op == Lay && x.finish > d.day.dusk || x.finish > d.day.end {
			bad("%v is done too late", x)
		}
	}
	if len(of) != n*len(ops) {
		bad("there are %d tasks, want %d", len(of), n*len(ops))
		return wrong
	}
	return append(wrong, slices.Concat(checkHands(d, tasks), checkWindows(w, of, ops, n), checkEdges(d, w, of, n), checkStart(d, w, of, ops, n, begin))...)
}

// checkHands finds those in two places: from one task to the next a hand goes along the wall.
func checkHands(d *drawnSection, tasks []told) (wrong []string) {
	byHand := map[int][]told{}
	for _, x := range tasks {
		byHand[x.hand] = append(byHand[x.hand], x)
	}
	for _, mine := range byHand {
		slices.SortFunc(mine, func(a, b told) int { return cmp.Compare(a.start, b.start) })
		for i := 1; i < len(mine); i++ {
			x, y := mine[i-1], mine[i]
			away, p, q := int(d.crew.Travel.Seconds()), d.patches[x.patch], d.patches[y.patch]
			along := math.Abs(p.Boxes[0].Left + p.Boxes[0].Width/2 - q.Boxes[0].Left - q.Boxes[0].Width/2)
			if x.patch == y.patch || p.Lift == q.Lift && along <= aStep {
				away = 0
			}
			if x.finish+away > y.start {
				wrong = append(wrong, fmt.Sprintf("%v and %v are of one hand", x, y))
			}
		}
	}
	return wrong
}

func checkWindows(w *world, of map[[2]int]told, ops []Op, n int) (wrong []string) {
	for i := range n {
		laid, before := of[[2]int{int(Lay), i}], of[[2]int{int(Lay), i}]
		for _, o := range ops[1:] {
			x := of[[2]int{int(o), i}]
			opens := w.windows[i].opens
			if o == Burnish {
				opens = w.windows[i].burnish
			}
			switch closes := w.windows[i].closes; {
			case x.start < before.finish:
				wrong = append(wrong, fmt.Sprintf("%v begins before %v is over", x, before))
			case x.start < opens.of(laid.start) || x.finish < opens.of(laid.finish):
				wrong = append(wrong, fmt.Sprintf("%v is too soon for %v", x, laid))
			case x.start > closes.of(laid.start) || x.finish > closes.of(laid.finish):
				wrong = append(wrong, fmt.Sprintf("%v is too late for %v", x, laid))
			}
			before = x
		}
	}
	return wrong
}

// checkEdges looks for patches that share an edge by where they lie.
func checkEdges(d *drawnSection, w *world, of map[[2]int]told, n int) (wrong []string) {
	for j := range n {
		for i := range j {
			p, q := d.patches[i].Boxes[0], d.patches[j].Boxes[0]
			x, y := of[[2]int{int(Lay), i}], of[[2]int{int(Lay), j}]
			edge := w.windows[i].edge
			side := near(p.Left+p.Width, q.Left) && p.Sill < q.Sill+q.Height-1e-9 && q.Sill < p.Sill+p.Height-1e-9
			under := near(q.Sill+q.Height, p.Sill) && p.Left < q.Left+q.Width-1e-9 && q.Left < p.Left+p.Width-1e-9
			if side && (y.start > edge.of(x.start) || y.finish > edge.of(x.finish)) || under && y.start > edge.of(x.finish) {
				wrong = append(wrong, fmt.Sprintf("%v meets a dry edge of %v", y, x))
			}
		}
	}
	return wrong
}

func checkStart(d *drawnSection, w *world, of map[[2]int]told, ops []Op, n, begin int) (wrong []string) {
	first := of[[2]int{int(Lay), 0}]
	soon, long := math.MaxInt, first.finish-first.start
	for _, f := range w.free[first.hand] {
		if at := max(f.from, begin, w.ready[0]); at+long <= f.to {
			soon = min(soon, at)
		}
	}
	if first.start != soon {
		wrong = append(wrong, fmt.Sprintf("%v begins the section, it could at %d", first, soon))
	}
	for i := range n {
		x := of[[2]int{int(Lay), i}]
		if x.start < w.ready[i] {
			wrong = append(wrong, fmt.Sprintf("%v is laid before the coat under it is ready", x))
		}
		if !d.crew.SeveralLay && x.hand != first.hand {
			wrong = append(wrong, fmt.Sprintf("%v is laid by another hand than %v", x, first))
		}
		for _, o := range ops {
			if i > 0 && of[[2]int{int(o), i}].start < of[[2]int{int(o), i - 1}].start {
				wrong = append(wrong, fmt.Sprintf("%v is before its turn", of[[2]int{int(o), i}]))
			}
		}
	}
	return wrong
}

// What is found keeps every rule in every world, and the bound is no less.
func TestSectionHolds(t *testing.T) {
	kinds := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		d := drawSection(t, 12, 4)
		s, worlds, got := d.search()
		kinds[fmt.Sprintf("nothing %v, whole %v", got.n == 0, got.whole)]++
		hands := s.all()
		if most := s.bound(worlds[0], d.day, d.begins, s.cuts(), hands); most < got.n {
			t.Errorf("%d patches hold, the bound is %d", got.n, most)
		}
		if got.n == 0 {
			return
		}
		if !slices.Contains(s.cuts(), got.n) || got.whole != (got.n == len(d.patches)) {
			t.Errorf("it ends after %d of %d patches, may after %v; whole %v", got.n, len(d.patches), s.cuts(), got.whole)
		}
		for k, w := range worlds {
			var tm timer
			if !s.place(w, got.order, got.n, got.begin, d.day.dusk, d.day.end, &tm) {
				t.Fatalf("world %d: no timetable", k)
			}
			for _, x := range check(d, w, tell(got.order, &tm.timing), got.n, got.begin) {
				t.Errorf("world %d: %s", k, x)
			}
			if k == 0 && got.done != slices.Max(tm.end) {
				t.Errorf("done at %d, its last task at %d", got.done, slices.Max(tm.end))
			}
		}
	})
	t.Log(kinds)
}

// The checker finds a timetable that is wrong: each start moved alone, sooner or later by enough, breaks some rule or another, or it
// could have been.
func TestCheckFinds(t *testing.T) {
	moved, found := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawSection(t, 6, 2)
		s, worlds, got := d.search()
		if got.n == 0 {
			return
		}
		var tm timer
		s.place(worlds[0], got.order, got.n, got.begin, d.day.dusk, d.day.end, &tm)
		for i := range got.order {
			tasks := tell(got.order, &tm.timing)
			tasks[i].start--
			tasks[i].finish--
			moved++
			if len(check(d, worlds[0], tasks, got.n, got.begin)) > 0 {
				found++
			}
		}
	})
	// The timetable is the earliest, so nothing but what something else waits for can come sooner; that is found too.
	if moved == 0 || found < moved {
		t.Errorf("of %d tasks moved %d were found", moved, found)
	}
}

// Another hand never makes a section smaller.
func TestSectionMoreHands(t *testing.T) {
	grew := 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawSection(t, 10, 3)
		_, _, before := d.search()
		d.hire(t, drawHand(t, d.closing))
		_, _, after := d.search()
		if after.n < before.n {
			t.Errorf("%d patches by %d hands, %d by one more", before.n, len(d.crew.Hands)-1, after.n)
		}
		if after.n > before.n {
			grew++
		}
	})
	t.Logf("%d grew", grew)
}

// A longer window never makes a section smaller.
func TestSectionLongerWindow(t *testing.T) {
	grew := 0
	rapid.Check(t, func(t *rapid.T) {
		d := drawSection(t, 10, 3)
		_, _, before := d.search()
		add := func(x []float64, by float64) {
			for i := range x {
				x[i] = max(0, x[i]+by)
			}
		}
		closes, edge := rapid.Float64Range(0, 3000).Draw(t, "closes later"), rapid.Float64Range(0, 3000).Draw(t, "edge later")
		opens, burnish := rapid.Float64Range(0, 1200).Draw(t, "opens sooner"), rapid.Float64Range(0, 1200).Draw(t, "burnished sooner")
		for _, of := range d.kinds {
			for i := range of {
				add(of[i].closes, closes)
				add(of[i].edge, edge)
				add(of[i].opens, -opens)
				add(of[i].burnish, -burnish)
			}
		}
		_, _, after := d.search()
		if after.n < before.n {
			t.Errorf("%d patches, %d with the longer window", before.n, after.n)
		}
		if after.n > before.n {
			grew++
		}
	})
	t.Logf("%d grew", grew)
}

// band is a wall 1 m high in strips of 1 m2, by one hand that only compresses; times in minutes.
func band(strips int, lays, compresses, opens, closes, edge float64) *drawnSection {
	all := func(m float64) []float64 { return []float64{m * 60} }
	d := &drawnSection{closing: true, at: []int{0}, kinds: [][]moments{{{all(edge), all(opens), all(opens), all(closes)}}},
		crew: Crew{Hands: []Hand{{"hand", [ops]float64{60 / lays, 60 / compresses, 0}}}, Passes: [ops]int{1, 1, 0}, Travel: time.Minute},
		free: [][]span{{{0, 86400}}}, day: day{0, 86400, 86400}, begins: []int{0}, ready: [][]int{make([]int, strips)}}
	for i := range strips {
		d.patches = append(d.patches, Patch{Number: i + 1, Strip: i, Boxes: []Box{{float64(i), 0, 1, 1}}, Area: 1, cut: message.Words("a joint")})
		d.kind = append(d.kind, 0)
	}
	return d
}

// One hand, one coat, worked by hand. A strip takes L to lay and C to compress; it opens O and has gone by K after it was laid. The
// next strip must follow within E, which is less than L and the way back and forth (2 T), so the hand cannot compress in between: it
// lays n strips, which takes b = L n, goes back, which takes T, and compresses them.
//
// The first strip is compressed at b + T, so b + T <= K. Laying a strip takes longer than compressing it where L > C, and then each
// strip after the first has more time than that one. Where C > L the last strip is the one that has the least: it was finished at b,
// is compressed by b + T + C n, and has gone by at b + K, so T + C n <= K.
//
// A pass that may not wait has a third condition: begun at K at the latest, it must find the last strip open, which was laid at b:
// K + C n >= b + O, that is b (1 - C/L) <= K - O. Here the hand may wait at each strip until it opens, so this is never what counts.
func TestSectionByHand(t *testing.T) {
	for _, c := range []struct {
		strips     int
		l, c, o, k float64
		want       int
	}{
		{12, 5, 2, 20, 50, 9},  // 5 n + 1 <= 50; 9 are back at 46, 10 at 51
		{7, 5, 2, 20, 50, 7},   // the same wall, smaller than that
		{12, 5, 2, 20, 51, 10}, // 10 are back at 51
		{12, 5, 4, 20, 50, 9},  // slower, but still faster than laying
		{12, 5, 5, 20, 50, 9},  // as fast as laying: both conditions are one
		{12, 5, 6, 20, 50, 8},  // 6 n + 1 <= 50; 8 take 49, 9 take 55
		{12, 5, 7.5, 20, 50, 6},
		{12, 5, 10, 20, 50, 4}, // 10 n + 1 <= 50; back at 21, when the first has just opened
		{12, 6, 2, 20, 60, 9},  // 6 n + 1 <= 60
		{12, 6, 2, 20, 61, 10},
		{12, 5, 2, 40, 50, 9}, // 45 (1 - 2/5) = 27 > 50 - 40: without waiting only 3 strips, 15 (1 - 2/5) = 9 <= 10
	} {
		d := band(c.strips, c.l, c.c, c.o, c.k, c.l+1)
		s, worlds, got := d.search()
		if got.n != c.want || got.whole != (c.want == c.strips) {
			t.Errorf("%+v: %d strips, whole %v", c, got.n, got.whole)
			continue
		}
		var tm timer
		s.place(worlds[0], got.order, got.n, 0, d.day.dusk, d.day.end, &tm)
		for _, x := range check(d, worlds[0], tell(got.order, &tm.timing), got.n, 0) {
			t.Errorf("%+v: %s", c, x)
		}
		for i, x := range got.order {
			if x.op == Lay && tm.end[i] != int(60*c.l)*(x.patch+1) {
				t.Errorf("%+v: strip %d is laid by %d s, not straight on", c, x.patch+1, tm.end[i])
			}
			if x.op == Compress && float64(tm.start[i]) < 60*(c.o+c.l*float64(x.patch)) {
				t.Errorf("%+v: strip %d is compressed at %d s, before it opens", c, x.patch+1, tm.start[i])
			}
		}
	}
}

// The timetable of the first of these: back at 46 min and 2 min a strip, but the ninth, laid from 40 to 45, must be open to its last
// part when that is reached, at 45 + 20 = 65, so it is begun at 63 and not at 62.
func TestTimetableByHand(t *testing.T) {
	d := band(12, 5, 2, 20, 50, 6)
	s, worlds, got := d.search()
	var tm timer
	s.place(worlds[0], got.order, got.n, 0, d.day.dusk, d.day.end, &tm)
	want := []int{46, 48, 50, 52, 54, 56, 58, 60, 63}
	for i, x := range got.order {
		if x.op == Compress && tm.start[i] != want[x.patch]*60 {
			t.Errorf("strip %d is compressed at %d s, want %d min", x.patch+1, tm.start[i], want[x.patch])
		}
	}
	if got.done != 65*60 {
		t.Errorf("done at %d s, want 65 min", got.done)
	}
}

// Laying alone, in windows that shrink through the day, the times creep up by the slack of one strip after another and are given up
// before they come to rest, while with the other work in the order they do. What was given up is no bound.
func TestBoundWhereTimesCreep(t *testing.T) {
	steady, changes := []float64{1, 1, 1, 1}, []float64{1.6, 0.927734375, 1.6, 1.6}
	by := func(x []float64, f float64) (out []float64) {
		for _, v := range x {
			out = append(out, v*f)
		}
		return out
	}
	d := &drawnSection{closing: true, at: []int{3600, 10800, 18000, 32400}, day: day{3600, 14400, 18000}, begins: []int{3600, 5400}, ready: [][]int{make([]int, 18)},
		kinds: [][]moments{{{by(steady, 2109), by(steady, 60), by(steady, 61), by(steady, 2109)}, {by(changes, 487.2155), by(changes, 1638), by(changes, 1694), by(changes, 2065.875)}}},
		crew: Crew{Passes: [ops]int{1, 1, 0}, Travel: time.Minute,
			Hands: []Hand{{"a", [ops]float64{8, 8, 0}}, {"b", [ops]float64{8, 0, 0}}, {"c", [ops]float64{14, 0, 0}}, {"d", [ops]float64{8, 0, 0}}}},
		free: [][]span{{{7200, 9000}, {9600, 50400}}, {{3600, 50400}}, {{7200, 50400}}, {{3600, 5400}, {6000, 50400}}}}
	left := 0.0
	for i := range 18 {
		wide := 1.2
		if i >= 10 {
			wide = 0.5
		}
		d.patches = append(d.patches, Patch{Number: i + 1, Strip: i / 2, Row: i % 2, Boxes: []Box{{left, 1.2 - 1.2*float64(i%2), wide, 1.2}}, Area: wide * 1.2})
		if i%2 == 1 {
			left += wide
		}
		d.kind = append(d.kind, i/9)
	}
	s, worlds, got := d.search()
	var tm timer
	lays := order{}
	for i := range d.patches {
		lays = append(lays, task{Lay, i, 2})
	}
	alone := *s
	alone.ops = 1
	if ok := alone.place(worlds[0], lays, 18, 3600, d.day.dusk, d.day.end, &tm); ok || !tm.tired {
		t.Error("laying alone is not given up: the test is of nothing")
	}
	if most := s.bound(worlds[0], d.day, d.begins, s.cuts(), s.all()); got.n != 18 || most < got.n {
		t.Errorf("%d patches hold, the bound is %d", got.n, most)
	}
}

// The bound in two sections that leave it no room.
func TestBoundByHand(t *testing.T) {
	// Two patches one above the other, 5 min to lay and 3 to compress; they open at once, have gone by after 5, and the edge is met for 3.
	// The hand is never idle: lays to 5, compresses to 8, by when it must have begun below, lays to 13, compresses to 16.
	under := band(2, 5, 3, 0, 5, 3)
	for i := range under.patches {
		under.patches[i] = Patch{Number: i + 1, Row: i, Boxes: []Box{{0, float64(1 - i), 1, 1}}, Area: 1, cut: message.Words("a joint")}
	}
	// One strip, laid by the one who comes after an hour and closes it: the other could lay it at once but goes after 3.
	late := band(1, 5, 2, 20, 50, 6)
	late.crew.Hands = append(late.crew.Hands, Hand{"early", [ops]float64{30, 0, 0}})
	late.free = [][]span{{{3600, 86400}}, {{0, 180}}}
	for _, d := range []*drawnSection{under, late} {
		s, worlds, got := d.search()
		if most := s.bound(worlds[0], d.day, d.begins, s.cuts(), s.all()); got.n != len(d.patches) || most != got.n {
			t.Errorf("%d of %d patches, the bound is %d", got.n, len(d.patches), most)
		}
	}
}
