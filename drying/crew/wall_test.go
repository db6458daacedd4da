package crew

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"limeday/drying/message"
)

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// Areas worked by hand.
func TestWallAreas(t *testing.T) {
	for _, c := range []struct {
		name       string
		wall       Wall
		strip, row float64
		want       []float64 // by patch
	}{
		// Three strips, of 1, 1.2 and 1.8 m; beside the window 0.2 m of reveal, 1 m high; over and under it 1.2 m long.
		{"a window", Wall{Width: 4, Height: 3, Openings: []Opening{{Left: 1, Sill: 1, Width: 1.2, Height: 1, Reveal: 0.2}}}, 4, 3,
			[]float64{1*3 + 0.2*1, 1.2*2 + 2*0.2*1.2, 1.8*3 + 0.2*1}},
		// A door has no sill, and what lies over it is a strip 0.4 m high.
		{"a door to the floor", Wall{Width: 3, Height: 2.5, Openings: []Opening{{Left: 0.5, Width: 0.9, Height: 2.1, Reveal: 0.15}}}, 2, 3,
			[]float64{0.5*2.5 + 0.15*2.1, 0.9*0.4 + 0.15*0.9, 1.6*2.5 + 0.15*2.1}},
		// At the wall's left it has one side.
		{"a window at the edge", Wall{Width: 2, Height: 2, Openings: []Opening{{Sill: 0.5, Width: 1, Height: 1, Reveal: 0.1}}}, 2, 2,
			[]float64{1*1 + 2*0.1, 1*2 + 0.1*1}},
		// From top to bottom it parts the wall in two.
		{"an opening as high as the wall", Wall{Width: 3, Height: 2, Openings: []Opening{{Left: 1, Width: 1, Height: 2, Reveal: 0.1}}}, 3, 2,
			[]float64{1*2 + 0.1*2, 1*2 + 0.1*2}},
		// Rows of 1 m in the lift below, which is 2 m high, and of 0.75 m above it.
		{"a lift", Wall{Width: 1, Height: 3.5, Lifts: []float64{2}}, 1, 1, []float64{0.75, 0.75, 1, 1}},
		// A window above another: two boxes, 0.5 m between them and 0.5 m under them, 1 m above; heads and sills 4 m, sides 2 x 2 m.
		{"a window above another", Wall{Width: 1.5, Height: 4, Openings: []Opening{
			{Left: 0.5, Sill: 2, Width: 1, Height: 1, Reveal: 0.1}, {Left: 0.5, Sill: 0.5, Width: 1, Height: 1, Reveal: 0.1}}}, 2, 4,
			[]float64{0.5*4 + 0.1*2, 2 + 0.1*4}},
	} {
		ps := c.wall.Patches(c.strip, c.row)
		sum := 0.0
		var got []float64
		for _, p := range ps {
			got = append(got, p.Area)
			sum += p.Area
		}
		if !slices.EqualFunc(got, c.want, near) {
			t.Errorf("%s: the patches have %v, want %v m2", c.name, got, c.want)
		}
		if !near(c.wall.Area(), sum) {
			t.Errorf("%s: the wall has %g, its patches %g m2", c.name, c.wall.Area(), sum)
		}
	}
}

// The patches of a wall with two lifts: which lift, and which row.
func TestPatchesOfLifts(t *testing.T) {
	ps := Wall{Width: 1, Height: 5, Lifts: []float64{2, 4}}.Patches(1, 1.5)
	var lifts, rows []int
	for _, p := range ps {
		lifts, rows = append(lifts, p.Lift), append(rows, p.Row)
	}
	if want := []int{2, 1, 1, 0, 0}; !slices.Equal(lifts, want) {
		t.Errorf("lifts %v from the top, want %v", lifts, want)
	}
	if want := []int{0, 1, 2, 3, 4}; !slices.Equal(rows, want) {
		t.Errorf("rows %v from the top, want %v", rows, want)
	}
}

// Where a section may end.
func TestPatchesCuts(t *testing.T) {
	window := []Opening{{Name: "window", Left: 1, Sill: 1, Width: 1, Height: 1}}
	for _, c := range []struct {
		wall Wall
		want []string // of the strips, in the order of laying
	}{
		{Wall{Width: 3, Height: 2, Left: Internal, Right: Internal}, []string{"", "", "the internal corner"}},
		{Wall{Width: 2, Height: 2, Left: Internal, Right: External}, []string{"", "the external corner"}},
		{Wall{Width: 2, Height: 2, Left: External, Right: Internal}, []string{"", "the external corner"}},
		{Wall{Width: 2, Height: 2, Left: Open, Right: Open}, []string{"", "the end of the wall"}},
		{Wall{Width: 2, Height: 2, Right: External, Joints: []float64{0.5}}, []string{"the joint at 0.50 m", "", "the external corner"}},
		{Wall{Width: 3, Height: 3, Right: Internal, Left: Internal, Openings: window}, []string{"the side of window", "the side of window", "the internal corner"}},
		{Wall{Width: 2, Height: 2, Openings: []Opening{{Left: 1, Width: 1, Height: 2}}}, []string{"the side of opening 1"}},
	} {
		var got []string
		ps := c.wall.Patches(1, 3)
		for _, p := range ps {
			got = append(got, p.cut.Format(func(q message.Quantity) string { return fmt.Sprintf("%.2f m", q.Value) }))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%+v may end at %q, want %q", c.wall, got, c.want)
		}
	}
}

// dm is a length on the walls drawn, m: they lie on a grid of 0.1 m, so that areas can be counted in its squares.
func dm(n int) float64 { return float64(n) / 10 }

type drawnOpening struct{ left, sill, width, height, reveal int }

func drawWall(t *rapid.T) (Wall, []drawnOpening) {
	w, h := rapid.IntRange(3, 60).Draw(t, "width"), rapid.IntRange(3, 35).Draw(t, "height")
	corner := rapid.SampledFrom([]Corner{"", Internal, External, Open})
	wall := Wall{Width: dm(w), Height: dm(h), Left: corner.Draw(t, "left"), Right: corner.Draw(t, "right")}
	var open []drawnOpening
	for range rapid.IntRange(0, 4).Draw(t, "openings") {
		o := drawnOpening{left: rapid.IntRange(0, w-1).Draw(t, "left"), sill: rapid.IntRange(0, h-1).Draw(t, "sill"), reveal: rapid.IntRange(0, 4).Draw(t, "reveal")}
		o.width, o.height = rapid.IntRange(1, w-o.left).Draw(t, "width"), rapid.IntRange(1, h-o.sill).Draw(t, "height")
		if slices.ContainsFunc(open, func(p drawnOpening) bool {
			return o.left < p.left+p.width && p.left < o.left+o.width && o.sill < p.sill+p.height && p.sill < o.sill+o.height
		}) {
			continue
		}
		open = append(open, o)
		wall.Openings = append(wall.Openings, Opening{Left: dm(o.left), Sill: dm(o.sill), Width: dm(o.width), Height: dm(o.height), Reveal: dm(o.reveal)})
	}
	for range rapid.IntRange(0, 2).Draw(t, "joints") {
		wall.Joints = append(wall.Joints, dm(rapid.IntRange(1, w-1).Draw(t, "joint")))
	}
	for range rapid.IntRange(0, 2).Draw(t, "lifts") {
		wall.Lifts = append(wall.Lifts, dm(rapid.IntRange(1, h-1).Draw(t, "lift")))
	}
	return wall, open
}

// counted is what is to be laid on a wall, m2, by the squares of its grid: those outside the openings, and of each opening's edge
// what borders on one of these.
func counted(w Wall, open []drawnOpening) (face, reveals float64) {
	wide, high := int(math.Round(w.Width*10)), int(math.Round(w.Height*10))
	solid := func(x, y int) bool {
		if x < 0 || y < 0 || x >= wide || y >= high {
			return false
		}
		return !slices.ContainsFunc(open, func(o drawnOpening) bool {
			return x >= o.left && x < o.left+o.width && y >= o.sill && y < o.sill+o.height
		})
	}
	for x := range wide {
		for y := range high {
			if solid(x, y) {
				face += 0.01
			}
		}
	}
	for _, o := range open {
		edge := 0
		for x := o.left; x < o.left+o.width; x++ {
			for _, y := range []int{o.sill - 1, o.sill + o.height} {
				if solid(x, y) {
					edge++
				}
			}
		}
		for y := o.sill; y < o.sill+o.height; y++ {
			for _, x := range []int{o.left - 1, o.left + o.width} {
				if solid(x, y) {
					edge++
				}
			}
		}
		reveals += dm(o.reveal) * dm(edge)
	}
	return face, reveals
}

func overlap(a, b Box) bool {
	return min(a.Left+a.Width, b.Left+b.Width)-max(a.Left, b.Left) > 1e-9 && min(a.Sill+a.Height, b.Sill+b.Height)-max(a.Sill, b.Sill) > 1e-9
}

// Patches cover what is to be laid, once, in the order of laying.
func TestPatchesCoverWall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, open := drawWall(t)
		strip, row := rapid.Float64Range(0.2, 3).Draw(t, "strip"), rapid.Float64Range(0.2, 4).Draw(t, "row")
		face, reveals := counted(w, open)
		if err := w.Check(); (err == nil) != (face > 0) {
			t.Fatalf("there are %g m2 to lay, and it says %v", face, err)
		}
		if face == 0 {
			return
		}
		ps := w.Patches(strip, row)
		if !near(area(ps), face+reveals) || !near(w.Area(), face+reveals) {
			t.Errorf("patches have %g m2, the wall %g, want %g and %g of reveals", area(ps), w.Area(), face, reveals)
		}
		var boxes []Box
		boxed := 0.0
		for i := range ps {
			checkPatch(t, w, ps[i], strip, row)
			for _, b := range ps[i].Boxes {
				boxed += b.Width * b.Height
				for _, c := range boxes {
					if overlap(b, c) {
						t.Errorf("boxes %v and %v overlap", b, c)
					}
				}
				for _, o := range w.Openings {
					if overlap(b, Box{o.Left, o.Sill, o.Width, o.Height}) {
						t.Errorf("box %v overlaps opening %v", b, o)
					}
				}
				boxes = append(boxes, b)
			}
		}
		if !near(boxed, face) {
			t.Errorf("boxes have %g m2, want %g", boxed, face)
		}
		checkOrder(t, w, ps)
	})
}

func checkPatch(t *rapid.T, w Wall, p Patch, strip, row float64) {
	if len(p.Boxes) == 0 {
		t.Errorf("patch %d has no box", p.Number)
	}
	low, top := math.Inf(1), 0.0
	for _, b := range p.Boxes {
		if b.Left < -1e-9 || b.Sill < -1e-9 || b.Left+b.Width > w.Width+1e-9 || b.Sill+b.Height > w.Height+1e-9 || b.Width <= 0 || b.Height <= 0 {
			t.Errorf("box %v is not on the wall", b)
		}
		if b.Width > strip+1e-6 {
			t.Errorf("box %v is wider than a strip of %g m", b, strip)
		}
		low, top = min(low, b.Sill), max(top, b.Sill+b.Height)
	}
	if top-low > row+1e-6 {
		t.Errorf("patch %d is %g m high, rows are %g m", p.Number, top-low, row)
	}
	lift := map[float64]bool{}
	for _, y := range w.Lifts {
		if y > low+1e-9 && y < top-1e-9 {
			t.Errorf("patch %d lies on both sides of the lift at %g m", p.Number, y)
		}
		if y <= low+1e-9 {
			lift[y] = true
		}
	}
	if p.Lift != len(lift) {
		t.Errorf("patch %d from %g m up is of lift %d, lifts are %v", p.Number, low, p.Lift, w.Lifts)
	}
}

// checkOrder checks the order of laying, from an internal corner, and the ends of sections.
func checkOrder(t *rapid.T, w Wall, ps []Patch) {
	left, right := w.Left == Internal, w.Right == Internal
	towardsLeft := right && !left
	for i, p := range ps {
		if p.Number != i+1 {
			t.Errorf("patch %d is number %d", i+1, p.Number)
		}
		last := i == len(ps)-1 || ps[i+1].Strip != p.Strip
		if i > 0 {
			q := ps[i-1]
			switch {
			case q.Strip == p.Strip && (q.Row >= p.Row || q.Boxes[0].Left != p.Boxes[0].Left || q.Boxes[len(q.Boxes)-1].Sill <= p.Boxes[0].Sill):
				t.Errorf("patch %d does not follow the one above it", p.Number)
			case q.Strip > p.Strip || q.Strip != p.Strip && q.Boxes[0].Left < p.Boxes[0].Left == towardsLeft:
				t.Errorf("patch %d does not follow the strip before it", p.Number)
			}
		}
		if !last {
			if p.cut != nil {
				t.Errorf("a section may end after patch %d, in the middle of a strip", p.Number)
			}
			continue
		}
		x := p.Boxes[0].Left
		if !towardsLeft {
			x += p.Boxes[0].Width
		}
		at := near(x, 0) || near(x, w.Width) || slices.ContainsFunc(w.Joints, func(j float64) bool { return near(j, x) }) ||
			slices.ContainsFunc(w.Openings, func(o Opening) bool { return near(o.Left, x) || near(o.Left+o.Width, x) })
		if at != (p.cut != nil) {
			t.Errorf("the strip that ends at %g m says %q of a section's end", x, p.cut)
		}
	}
}

// What cannot be a wall is refused by name.
func TestWallCheck(t *testing.T) {
	with := func(o ...Opening) Wall { return Wall{Name: "gable", Width: 4, Height: 3, Openings: o} }
	for _, c := range []struct {
		wall Wall
		want string
	}{
		{Wall{Name: "gable", Height: 3}, "its width and its height"},
		{Wall{Name: "gable", Width: math.Inf(1), Height: 3}, "its width and its height"},
		{Wall{Name: "gable", Width: math.NaN(), Height: 3}, "its width and its height"},
		{Wall{Name: "gable", Width: 3, Height: -1}, "its width and its height"},
		{with(Opening{Name: "door", Left: 1, Width: 5, Height: 2}), "door ends 6.00 m from the left, and the wall is 4.00 m wide"},
		{with(Opening{Name: "door", Left: 3.5, Width: 1, Height: 2}), "door ends 4.50 m from the left"},
		{with(Opening{Name: "door", Left: 1, Width: 1, Height: 3.1}), "door reaches 3.10 m up, and the wall is 3.00 m high"},
		{with(Opening{Left: -1, Width: 1, Height: 2}), "opening 1 needs"},
		{with(Opening{Sill: -1, Width: 1, Height: 2}), "opening 1 needs"},
		{with(Opening{Left: 1, Width: 0, Height: 2}), "opening 1 needs"},
		{with(Opening{Left: 1, Width: 1, Height: math.NaN()}), "opening 1 needs"},
		{with(Opening{Left: 1, Width: 1, Height: 1, Reveal: -0.1}), "opening 1 needs"},
		{with(Opening{Name: "door", Width: 1, Height: 2}, Opening{Left: 0.5, Sill: 1, Width: 1, Height: 2}), "door and opening 2 overlap"},
		{with(Opening{Width: 4, Height: 3}), "leave nothing to lay"},
		{with(Opening{Width: 2, Height: 3}, Opening{Left: 2, Width: 2, Height: 3}), "leave nothing to lay"},
		{Wall{Name: "gable", Width: 4, Height: 3, Joints: []float64{4}}, "a joint at 4.00 m"},
		{Wall{Name: "gable", Width: 4, Height: 3, Joints: []float64{0}}, "a joint at 0.00 m"},
		{Wall{Name: "gable", Width: 4, Height: 3, Lifts: []float64{-2}}, "a lift at -2.00 m"},
		{Wall{Name: "gable", Width: 4, Height: 3, Lifts: []float64{3}}, "a lift at 3.00 m"},
	} {
		err := c.wall.Check()
		var bad *WallError
		if !errors.As(err, &bad) || bad.Wall != "gable" || !strings.Contains(bad.Reason, c.want) {
			t.Errorf("%+v: %v, want %q", c.wall, err, c.want)
		}
	}
	ok := with(Opening{Left: 0, Width: 1, Height: 2}, Opening{Left: 1, Width: 3, Height: 1}, Opening{Left: 1, Sill: 1, Width: 1, Height: 2})
	ok.Joints, ok.Lifts = []float64{2}, []float64{1.8}
	if err := ok.Check(); err != nil {
		t.Errorf("openings that touch: %v", err)
	}
}
