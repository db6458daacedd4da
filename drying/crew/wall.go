package crew

import (
	"fmt"
	"math"
	"slices"

	"limeday/drying/message"
)

// Corner is what a side of a wall ends at.
type Corner string

// The ends of a wall. A joint hides in either corner; where the wall goes on without one it does not.
const (
	Internal Corner = "internal"
	External Corner = "external"
	Open     Corner = "open"
)

// Wall is one face to be laid, seen from the front. Lengths in m.
type Wall struct {
	Name          string
	Width, Height float64
	Left, Right   Corner // empty where not said; it is laid from the left unless only the right is Internal
	Openings      []Opening
	Lifts         []float64 // heights above the floor at which the lifts of a scaffold meet
	Joints        []float64 // from the left, where a joint may be seen
}

// Opening is a door or a window.
type Opening struct {
	Name                      string
	Left, Sill, Width, Height float64 // from the wall's left, above the floor
	Reveal                    float64 // depth of what is plastered at its sides, head and sill; 0 for none
}

// WallError says what is wrong with a wall.
type WallError struct{ Wall, Reason string }

func (e *WallError) Error() string { return e.Wall + ": " + e.Reason }

// same is the distance in m under which two lines of a wall are one.
const same = 1e-6

// Check refuses a wall that cannot be: the error is a *WallError.
func (w Wall) Check() error {
	bad := func(format string, a ...any) error { return &WallError{w.name(), fmt.Sprintf(format, a...)} }
	if !(w.Width > 0) || !(w.Height > 0) || math.IsInf(w.Width*w.Height, 0) {
		return bad("it needs its width and its height")
	}
	for i, o := range w.Openings {
		name := o.named(i)
		switch {
		case !(o.Width > 0) || !(o.Height > 0) || !(o.Left >= 0) || !(o.Sill >= 0) || !(o.Reveal >= 0):
			return bad("%s needs a width and a height, and lies at or right of the wall's left and at or above the floor", name)
		case o.Left+o.Width > w.Width+same:
			return bad("%s ends %.2f m from the left, and the wall is %.2f m wide; make it fit", name, o.Left+o.Width, w.Width)
		case o.Sill+o.Height > w.Height+same:
			return bad("%s reaches %.2f m up, and the wall is %.2f m high; make it fit", name, o.Sill+o.Height, w.Height)
		}
		for k, p := range w.Openings[:i] {
			if o.Left < p.Left+p.Width-same && p.Left < o.Left+o.Width-same && o.Sill < p.Sill+p.Height-same && p.Sill < o.Sill+o.Height-same {
				return bad("%s and %s overlap; part them, or give them as one", p.named(k), name)
			}
		}
	}
	for _, x := range w.Joints {
		if !(x > 0) || x >= w.Width {
			return bad("a joint at %.2f m does not lie on the wall, which is %.2f m wide", x, w.Width)
		}
	}
	for _, y := range w.Lifts {
		if !(y > 0) || y >= w.Height {
			return bad("a lift at %.2f m does not part the wall, which is %.2f m high", y, w.Height)
		}
	}
	if area(w.Patches(w.Width, w.Height)) <= same {
		return bad("its openings leave nothing to lay")
	}
	return nil
}

func (w Wall) name() string {
	if w.Name == "" {
		return "the wall"
	}
	return w.Name
}

func (o Opening) named(i int) string {
	if o.Name == "" {
		return fmt.Sprintf("opening %d", i+1)
	}
	return o.Name
}

// Area is what is to be laid, without openings and with reveals, m2.
func (w Wall) Area() float64 { return area(w.Patches(w.Width, w.Height)) }

// Box is a rectangle on a wall, m: from its left and above the floor.
type Box struct{ Left, Sill, Width, Height float64 }

// Patch is a part of a wall that is laid, compressed and burnished as one.
type Patch struct {
	Number     int   // in the order of laying, from 1
	Strip, Row int   // strips in the order of laying and rows from the top, from 0
	Lift       int   // of the scaffold, from 0 at the floor
	Boxes      []Box // one, or two beside an opening in the middle of it
	Area       float64
	cut        message.Text // why a section may end after it, of the last of a strip; nil where it may not
	at         float64
}

// middle is how far from the left of the wall the patch lies, m.
func (p *Patch) middle() float64 { return p.Boxes[0].Left + p.Boxes[0].Width/2 }

func area(patches []Patch) (a float64) {
	for _, p := range patches {
		a += p.Area
	}
	return a
}

// Patches cuts the wall, which is sound, into patches at most strip wide and row high, in the order of laying: strip by strip
// from an internal corner, each from the top down.
func (w Wall) Patches(strip, row float64) []Patch {
	xs := []float64{0, w.Width}
	for _, o := range w.Openings {
		xs = append(xs, o.Left, o.Left+o.Width)
	}
	xs = lines(append(xs, w.Joints...), strip)
	lifts := lines(append([]float64{0, w.Height}, w.Lifts...), math.Inf(1))
	ys := lines(lifts, row)
	right := w.Right != Internal || w.Left == Internal // it is laid towards the right
	var out []Patch
	for i := range len(xs) - 1 {
		k := i
		if !right {
			k = len(xs) - 2 - i
		}
		begun := len(out)
		for j := len(ys) - 2; j >= 0; j-- {
			p := Patch{Number: len(out) + 1, Strip: i, Row: len(ys) - 2 - j}
			for p.Lift = 0; p.Lift < len(lifts)-2 && lifts[p.Lift+1] <= ys[j]+same; p.Lift++ {
			}
			p.Boxes = w.less(Box{xs[k], ys[j], xs[k+1] - xs[k], ys[j+1] - ys[j]})
			if len(p.Boxes) == 0 {
				continue
			}
			for _, b := range p.Boxes {
				p.Area += b.Width*b.Height + w.reveals(b)
			}
			out = append(out, p)
		}
		end := xs[k+1]
		if !right {
			end = xs[k]
		}
		if len(out) > begun {
			last := &out[len(out)-1]
			last.at, last.cut = end, w.hides(end)
		}
	}
	if n := len(out); n > 0 && out[n-1].cut == nil {
		out[n-1].cut = message.Words("the end of the wall")
	}
	return out
}

// hides says what a joint at x, m from the left, hides in; nil for nothing.
func (w Wall) hides(x float64) message.Text {
	switch {
	case math.Abs(x) < same || math.Abs(x-w.Width) < same:
		side := w.Left
		if x > same {
			side = w.Right
		}
		switch side {
		case Internal:
			return message.Words("the internal corner")
		case External:
			return message.Words("the external corner")
		}
		return message.Words("the end of the wall")
	case slices.ContainsFunc(w.Joints, func(j float64) bool { return math.Abs(j-x) < same }):
		return message.Say("the joint at {}", message.MetresAlong(x))
	}
	for i, o := range w.Openings {
		if math.Abs(o.Left-x) < same || math.Abs(o.Left+o.Width-x) < same {
			return message.Words("the side of " + o.named(i))
		}
	}
	return nil
}

// less is what the openings leave of a cell, which they cross from side to side or not at all, from the top down.
func (w Wall) less(c Box) []Box {
	var holes []Box
	for _, o := range w.Openings {
		if o.Left < c.Left+c.Width-same && c.Left < o.Left+o.Width-same && o.Sill < c.Sill+c.Height && c.Sill < o.Sill+o.Height {
			holes = append(holes, Box{c.Left, o.Sill, c.Width, o.Height})
		}
	}
	slices.SortFunc(holes, func(a, b Box) int { return int(math.Copysign(1, b.Sill-a.Sill)) })
	var out []Box
	top := c.Sill + c.Height
	add := func(from, to float64) {
		if to-from > same {
			out = append(out, Box{c.Left, from, c.Width, to - from})
		}
	}
	for _, h := range holes {
		add(h.Sill+h.Height, top)
		top = min(top, h.Sill)
	}
	add(c.Sill, top)
	return out
}

// reveals is the area of the reveals that go with a box: those of the sides, heads and sills that it touches.
func (w Wall) reveals(b Box) float64 {
	a := 0.0
	touch := func(x, y float64) bool { return math.Abs(x-y) < same }
	for _, o := range w.Openings {
		tall := min(b.Sill+b.Height, o.Sill+o.Height) - max(b.Sill, o.Sill)
		if tall > 0 && (touch(b.Left+b.Width, o.Left) || touch(b.Left, o.Left+o.Width)) {
			a += o.Reveal * tall
		}
		broad := min(b.Left+b.Width, o.Left+o.Width) - max(b.Left, o.Left)
		if broad > same && (touch(b.Sill, o.Sill+o.Height) || touch(b.Sill+b.Height, o.Sill)) {
			a += o.Reveal * broad
		}
	}
	return a
}

// lines sorts the lines of a wall, and puts others evenly between those that lie further apart than most.
func lines(at []float64, most float64) []float64 {
	slices.Sort(at)
	at = slices.CompactFunc(at, func(a, b float64) bool { return math.Abs(a-b) < same })
	out := at[:1:1]
	for i := 1; i < len(at); i++ {
		a, b := at[i-1], at[i]
		n := max(int(math.Ceil((b-a)/most-1e-9)), 1)
		for k := 1; k < n; k++ {
			out = append(out, a+(b-a)*float64(k)/float64(n))
		}
		out = append(out, b)
	}
	return out
}
