package drawing

import (
	"cmp"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"limeday/cmd/internal/quantity"
)

// Box is a rectangle on a wall, m: from the wall's left and above the floor.
type Box struct{ Left, Sill, Width, Height float64 }

// WallPatch is one patch of a wall: what is laid, and closed, in one go.
type WallPatch struct {
	Number  int // in the order of laying, from 1
	Boxes   []Box
	Section int     // a day's work, from 1; 0: not in the plan
	Area    float64 // m2, with its reveals
}

// Patchwork is a wall seen from the front, with its patches in the order they are laid.
type Patchwork struct {
	ID            string  // begins the ids of a drawing that is one of several on a page; empty: it is the only one
	Title         string  // the wall
	Width, Height float64 // m
	Openings      []Box
	OpeningNames  []string // of Openings in their order; an empty or missing one is not written
	Patches       []WallPatch
	Joints        []float64 // day joints, m from the left
	May           []float64 // other places where a joint may hide, m from the left
	Lifts         []float64 // tops of the lifts, m above the floor
	Units         quantity.Units
}

// PatchworkSVG writes p as a file of its own, with its one style element.
func PatchworkSVG(w io.Writer, p Patchwork) error { return writeFile(w, drawPatchwork(p)) }

// PatchworkInline is p for a page whose style element holds Style.
func PatchworkInline(p Patchwork) template.HTML { return inline(drawPatchwork(p)) }

// notPlanned is what is said of a patch of no section.
const notPlanned = "not in this plan"

// PatchworkTable gives the patches in numbers: from where to where each lies, and its area with the reveals.
func PatchworkTable(p Patchwork) (head []string, rows [][]string) {
	head = []string{"patch", "section", "from the left", "above the floor", "area"}
	for _, w := range p.Patches {
		section := notPlanned
		if w.Section > 0 {
			section = strconv.Itoa(w.Section)
		}
		size := ""
		if w.Area >= 0 && !math.IsInf(w.Area, 1) {
			size = quantity.Format(quantity.Area, w.Area, p.Units, 2)
		}
		var across, up [][2]float64
		for _, b := range w.Boxes {
			if sum := b.Left + b.Sill + b.Width + b.Height; math.IsNaN(sum) || math.IsInf(sum, 0) {
				continue
			}
			across, up = append(across, [2]float64{b.Left, b.Left + b.Width}), append(up, [2]float64{b.Sill, b.Sill + b.Height})
		}
		rows = append(rows, []string{strconv.Itoa(w.Number), section, p.stretches(across), p.stretches(up), size})
	}
	return head, rows
}

// stretches writes lengths from and to, joined where they touch.
func (p Patchwork) stretches(list [][2]float64) string {
	slices.SortFunc(list, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var whole [][2]float64
	for _, s := range list {
		if n := len(whole); n > 0 && s[0] <= whole[n-1][1]+1e-6 {
			whole[n-1][1] = max(whole[n-1][1], s[1])
			continue
		}
		whole = append(whole, s)
	}
	var says []string
	for _, s := range whole {
		says = append(says, strings.TrimSuffix(p.length(s[0]), " "+quantity.Length.Unit(p.Units))+"-"+p.length(s[1]))
	}
	return strings.Join(says, ", ")
}

// length writes metres to the centimetre, feet to the tenth.
func (p Patchwork) length(m float64) string {
	if p.Units == quantity.US {
		return quantity.Format(quantity.Length, m, p.Units, 1)
	}
	return quantity.Format(quantity.Length, m, p.Units, 2)
}

// Where the wall stands, and how high it may be in the picture; one drawn lower or narrower than thinWall is not to be read.
const (
	wallLeft, wallRight = 66.0, 506.0
	wallTall            = 560.0
	thinWall            = 8.0
)

// front is where the wall is in the picture, to one scale across and up.
type front struct{ left, top, bottom, right, perMetre float64 }

func (p Patchwork) front() (front, bool) {
	s := min((wallRight-wallLeft)/p.Width, wallTall/p.Height)
	w, h := s*p.Width, s*p.Height
	if !(p.Width > 0 && p.Height > 0 && w >= thinWall && h >= thinWall) || math.IsInf(s, 1) {
		return front{}, false
	}
	left := (wallLeft + wallRight - w) / 2
	return front{left, 0, h, left + w, s}, true
}

// area is a rectangle of the picture.
type area struct{ x0, y0, x1, y1 float64 }

func (a area) meets(b area) bool { return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 }

func (v front) x(m float64) float64 { return v.left + v.perMetre*m }

func (v front) of(b Box) area {
	return area{v.x(b.Left), v.bottom - v.perMetre*(b.Sill+b.Height), v.x(b.Left + b.Width), v.bottom - v.perMetre*b.Sill}
}

// written is what a small text takes up whose middle is at x, y; its base line is lower by toBase.
func written(s string, x, y float64) area {
	w := wide(s, smallSize, false)
	return area{x - w/2, y + toBase - 0.76*smallSize, x + w/2, y + toBase + 0.22*smallSize}
}

const toBase = 5.0

// section is a day's work, as its patches make it.
type section struct {
	number, first, last, patches int
	area                         float64 // m2
	across                       area    // what its boxes span
}

// sections are those of the plan, in order.
func (p Patchwork) sections(v front) []section {
	var out []section
	for _, w := range p.Patches {
		if w.Section == 0 {
			continue
		}
		i, found := slices.BinarySearchFunc(out, w.Section, func(s section, n int) int { return cmp.Compare(s.number, n) })
		if !found {
			out = slices.Insert(out, i, section{number: w.Section, first: w.Number, last: w.Number, across: area{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}})
		}
		s := &out[i]
		s.first, s.last, s.patches, s.area = min(s.first, w.Number), max(s.last, w.Number), s.patches+1, s.area+w.Area
		for _, b := range w.Boxes {
			a := v.of(b)
			s.across = area{min(s.across.x0, a.x0), min(s.across.y0, a.y0), max(s.across.x1, a.x1), max(s.across.y1, a.y1)}
		}
	}
	return out
}

// drawPatchwork lays the picture out: the sections' names, the wall under them, its day joints and a scale.
func drawPatchwork(p Patchwork) *figure {
	f := newFigure(p.ID)
	p = p.tidy()
	f.Title = cmp.Or(p.Title, "A wall and its patches")
	y := f.lines("h", margin+15, 21, headSize, p.Title, 2)
	if v, ok := p.front(); ok {
		y = f.lines("s q", y, 18, smallSize, p.size(), 1) - 14
		y = f.patchwork(p, v, y)
	} else {
		f.Desc = "The wall's width and height are not such that it can be drawn; what is known of its patches stands in the table."
		y = f.lines("t", y, 19, textSize, f.Desc, 4) - 14
	}
	f.Height = num(y + margin)
	f.Marks[0].H = f.Height
	return f
}

func (p Patchwork) size() string {
	return p.length(p.Width) + " wide, " + p.length(p.Height) + " high, seen from the front"
}

// patchwork draws the wall from y on and what is told above and below it, and describes it.
func (f *figure) patchwork(p Patchwork, v front, y float64) float64 {
	sections := p.sections(v)
	y, named := f.sectionNames(p, sections, y)
	y += 6
	v.top, v.bottom = y, y+v.bottom
	sections = p.sections(v)
	rule := strings.TrimSpace(f.wall(p, v, sections) + " " + named)
	y = f.jointNames(p, v, v.bottom+12)
	y = f.wallScale(p, v, y)
	if len(p.Patches) == 0 {
		rule = "No patches are given."
	}
	y = f.lines("s", y+18, 18, smallSize, rule, 3) - 12
	f.Desc = p.describe(sections, rule)
	return f.keys([]keyed{{"joint", "day joint"}, {"may", "a joint may hide here"}, {"lift", "top of a lift"}, {"opening", "opening"}, {"numbered", "the patch numbered"}, {"unplanned", "blank: " + notPlanned}}, y)
}

// sectionTiers is how many rows the sections' names may take before they are shortened.
const sectionTiers = 6

// sectionNames writes each section over a bracket as wide as it is, in as many rows as keep them apart. It gives where they end, and
// what is to be said of names that had to be short.
func (f *figure) sectionNames(p Patchwork, sections []section, y float64) (end float64, says string) {
	f.open("sections")
	defer f.shut()
	type named struct {
		says     string
		at, a, b float64
		tier     int
	}
	var names []named
	const tall = 26.0
	tiers := 0
	for form := range 3 {
		var ends []struct{ name, bracket float64 }
		names = names[:0]
		for _, s := range slices.SortedStableFunc(slices.Values(sections), func(a, b section) int {
			return cmp.Or(cmp.Compare(a.across.x0, b.across.x0), cmp.Compare(b.across.y0, a.across.y0)) // of two on each other the upper's name is above
		}) {
			n := named{says: fit(s.words(p.Units, form), smallSize, false, width-2*margin), a: s.across.x0, b: s.across.x1}
			if math.IsInf(n.a, 0) {
				continue
			}
			w := wide(n.says, smallSize, false)
			n.at = max(margin, min((n.a+n.b-w)/2, width-margin-w))
			for n.tier < len(ends) && (ends[n.tier].name+8 > n.at || ends[n.tier].bracket > n.a+0.5) {
				n.tier++
			}
			if n.tier == len(ends) {
				ends = append(ends, struct{ name, bracket float64 }{})
			}
			ends[n.tier].name, ends[n.tier].bracket = n.at+w, n.b
			names = append(names, n)
		}
		if tiers = len(ends); tiers <= sectionTiers {
			break
		}
		if form == 1 {
			says = "Over the wall: the sections' numbers."
		}
	}
	if tiers > sectionTiers { // the rest are told by the table
		tiers = sectionTiers
		names = slices.DeleteFunc(names, func(n named) bool { return n.tier >= sectionTiers })
	}
	for _, n := range names {
		base := y + tall*float64(tiers-n.tier)
		f.text("s mid", n.at+wide(n.says, smallSize, false)/2, base-9, n.says)
		inset := min(1.5, (n.b-n.a)/4) // so that two side by side do not look like one
		f.path("rule", fmt.Sprintf("M%s %sv-5H%sv5", num(n.a+inset), num(base), num(n.b-inset)))
	}
	return y + tall*float64(tiers), says
}

// words name a section: in form 0 in full, in 1 without its patches, in 2 by its number.
func (s section) words(u quantity.Units, form int) string {
	out := "section " + strconv.Itoa(s.number)
	switch {
	case form == 2:
		return strconv.Itoa(s.number)
	case form == 0 && s.patches == 1:
		out += ": " + strconv.Itoa(s.first)
	case form == 0 && s.patches == s.last-s.first+1:
		out += fmt.Sprintf(": %d-%d", s.first, s.last)
	}
	return out + ", " + quantity.Format(quantity.Area, s.area, u, 1)
}

// parts are the looks that sections take in turn: with three, no two that lie side by side or on each other are often alike.
var parts = []string{"part-a", "part-b", "part-c"}

// wall draws the patches, the lifts, the day joints and the openings, and gives the rule by which patches are numbered.
func (f *figure) wall(p Patchwork, v front, sections []section) string {
	f.open("wall")
	defer f.shut()
	for i, s := range sections {
		var b strings.Builder
		for _, w := range p.Patches {
			if w.Section == s.number {
				b.WriteString(v.filling(w.Boxes))
			}
		}
		if b.Len() > 0 {
			f.path(parts[i%len(parts)], b.String())
		}
	}
	for _, w := range p.Patches {
		switch {
		case len(w.Boxes) == 0:
		case w.Section > 0:
			f.path("patch", v.outline(w.Boxes))
		default: // left blank
			f.has["unplanned"] = true
		}
	}
	var labelled []float64
	for _, l := range p.Lifts {
		y := v.bottom - v.perMetre*l
		f.line("lift", v.left-5, y, v.right, y)
		says := p.length(l)
		if wide(says, smallSize, false) > v.left-10 {
			says, _, _ = strings.Cut(says, " ")
		}
		if wide(says, smallSize, false) <= v.left-10 && !slices.ContainsFunc(labelled, func(at float64) bool { return math.Abs(at-y) < 16 }) {
			f.text("s q end", v.left-8, y+toBase, says)
			labelled = append(labelled, y)
		}
	}
	var taken []area
	for _, j := range p.Joints {
		x := v.x(j)
		f.line("joint", x, v.top, x, v.bottom+12)
		taken = append(taken, area{x - 2, v.top, x + 2, v.bottom})
	}
	for _, m := range p.May {
		f.path("may", fmt.Sprintf("M%s %sl4 8h-8z", num(v.x(m)), num(v.bottom+2)))
	}
	for i, o := range p.Openings {
		a := v.of(o)
		f.rect("opening", a.x0, a.y0, a.x1-a.x0, a.y1-a.y0)
		taken = append(taken, a)
		if i >= len(p.OpeningNames) {
			continue
		}
		if n := written(p.OpeningNames[i], (a.x0+a.x1)/2, (a.y0+a.y1)/2); n.x0 >= a.x0+4 && n.x1 <= a.x1-4 && n.y0 >= a.y0+2 && n.y1 <= a.y1-2 && !slices.ContainsFunc(taken[:len(taken)-1], n.meets) {
			f.text("s mid", (a.x0+a.x1)/2, (a.y0+a.y1)/2+toBase, p.OpeningNames[i])
		}
	}
	f.path("frame", v.filling([]Box{{0, 0, p.Width, p.Height}}))
	rule, numbers := f.numbers(p, v, sections, taken)
	f.unplanned(p, v, append(taken, numbers...))
	return rule
}

// filling is a path round each box.
func (v front) filling(boxes []Box) string {
	var b strings.Builder
	for _, x := range boxes {
		a := v.of(x)
		fmt.Fprintf(&b, "M%s %sH%sV%sH%sz", num(a.x0), num(a.y0), num(a.x1), num(a.y1), num(a.x0))
	}
	return b.String()
}

// outline is a path round boxes taken together, with no line where two of them touch.
func (v front) outline(boxes []Box) string {
	if len(boxes) > 50 { // no patch is of so many
		return v.filling(boxes)
	}
	var xs, ys []float64
	var areas []area
	for _, b := range boxes {
		a := v.of(b)
		areas = append(areas, a)
		xs, ys = append(xs, a.x0, a.x1), append(ys, a.y0, a.y1)
	}
	xs, ys = distinct(xs), distinct(ys)
	covers := func(i, j int) bool {
		if i < 0 || j < 0 || i+1 >= len(xs) || j+1 >= len(ys) {
			return false
		}
		x, y := (xs[i]+xs[i+1])/2, (ys[j]+ys[j+1])/2
		return slices.ContainsFunc(areas, func(a area) bool { return a.x0 < x && x < a.x1 && a.y0 < y && y < a.y1 })
	}
	var b strings.Builder
	for i := range xs { // the uprights, then the levels, each as long as it goes
		for j := 0; j+1 < len(ys); j++ {
			if from := j; covers(i-1, j) != covers(i, j) {
				for j+2 < len(ys) && covers(i-1, j+1) != covers(i, j+1) {
					j++
				}
				fmt.Fprintf(&b, "M%s %sV%s", num(xs[i]), num(ys[from]), num(ys[j+1]))
			}
		}
	}
	for j := range ys {
		for i := 0; i+1 < len(xs); i++ {
			if from := i; covers(i, j-1) != covers(i, j) {
				for i+2 < len(xs) && covers(i+1, j-1) != covers(i+1, j) {
					i++
				}
				fmt.Fprintf(&b, "M%s %sH%s", num(xs[from]), num(ys[j]), num(xs[i+1]))
			}
		}
	}
	if b.Len() == 0 { // all of them thinner than can be seen
		return v.filling(boxes)
	}
	return b.String()
}

// distinct are the values in order, those closer than can be seen taken as one.
func distinct(v []float64) []float64 {
	slices.Sort(v)
	return slices.CompactFunc(v, func(a, b float64) bool { return math.Abs(b-a) < 0.02 })
}

// numbers writes the patches' numbers: all of them where most have room, else the first and the last of each section and every
// few between, with a heavy outline round those that are smaller than their number. No number meets another or one of the lines.
// It gives the rule it kept to, and where the numbers stand.
func (f *figure) numbers(p Patchwork, v front, sections []section, lines []area) (rule string, taken []area) {
	type numbered struct {
		says  string
		home  area // the box that it stands in
		reach area // that of its section
		boxes []Box
		roomy bool
		ends  bool // the first or last of its section
		n     int
	}
	var list []numbered
	roomy := 0
	for _, w := range p.Patches {
		if w.Section == 0 || len(w.Boxes) == 0 {
			continue
		}
		i, _ := slices.BinarySearchFunc(sections, w.Section, func(s section, n int) int { return cmp.Compare(s.number, n) })
		e := numbered{says: strconv.Itoa(w.Number), reach: sections[i].across, boxes: w.Boxes, ends: w.Number == sections[i].first || w.Number == sections[i].last, n: w.Number}
		need := written(e.says, 0, 0)
		most := -1.0
		for _, b := range w.Boxes {
			a := v.of(b)
			fits := a.x1-a.x0 >= 0.75*(need.x1-need.x0) && a.y1-a.y0 >= need.y1-need.y0+1 // one that sticks out a little steps aside
			if size := (a.x1 - a.x0) * (a.y1 - a.y0) * (1 + 1e6*b2f(fits)); size > most {
				most, e.home, e.roomy = size, a, fits
			}
		}
		roomy += int(b2f(e.roomy))
		list = append(list, e)
	}
	if len(list) == 0 {
		return "", taken
	}
	// put writes one if it meets nothing: in the middle of its box, or near that and on its own side of a section's edge.
	put := func(e numbered) bool {
		need := written(e.says, 0, 0)
		half := need.x1 + 2.1
		x := (e.home.x0 + e.home.x1) / 2
		if 2*half <= e.reach.x1-e.reach.x0 {
			x = max(e.reach.x0+half, min(x, e.reach.x1-half))
		}
		y := (e.home.y0+e.home.y1)/2 - 1
		for _, dx := range []float64{0, -2, 2, -4, 4} {
			for _, dy := range []float64{0, -17, 17} {
				a := written(e.says, x+dx, y+dy)
				if dx != 0 && 2*math.Abs(dx) > max(2*half-(e.home.x1-e.home.x0)+4, 0) || dy != 0 && (a.y0 < e.home.y0 || a.y1 > e.home.y1) {
					continue
				}
				wider := area{a.x0 - 2, a.y0, a.x1 + 2, a.y1} // so that two side by side do not read as one
				if a.x0 < v.left || a.x1 > v.right || a.y0 < v.top || a.y1 > v.bottom || slices.ContainsFunc(lines, a.meets) || slices.ContainsFunc(taken, wider.meets) {
					continue
				}
				taken = append(taken, wider)
				if !e.roomy {
					f.path("numbered", v.outline(e.boxes))
				}
				f.text("s halo mid", x+dx, y+dy+toBase, e.says)
				return true
			}
		}
		return false
	}
	const most = 0.8 // of the patches must have room for each to be numbered
	if float64(roomy) >= most*float64(len(list)) {
		all := true
		for _, e := range list {
			all = (e.roomy || e.ends) && put(e) && all
		}
		if all {
			return "The numbers are the order of laying.", taken
		}
		return "The numbers are the order of laying; a patch too small for its number has none.", taken
	}
	every := 5
	for _, k := range []int{5, 10, 20, 50, 100, 200, 500, 1000} {
		every = k
		var would []area
		apart := true
		for _, e := range list {
			if e.n%k == 0 {
				a := written(e.says, (e.home.x0+e.home.x1)/2, (e.home.y0+e.home.y1)/2)
				a.x0, a.x1 = a.x0-3, a.x1+3
				if apart = !slices.ContainsFunc(would, a.meets); !apart {
					break
				}
				would = append(would, a)
			}
		}
		if apart {
			break
		}
	}
	some := false
	for _, ends := range []bool{true, false} {
		for _, e := range list {
			if e.ends == ends && (ends || e.n%every == 0) {
				some = put(e) || some
			}
		}
	}
	if !some {
		return "The patches are too small here for their numbers, which are in the table.", taken
	}
	return fmt.Sprintf("Numbered in the order of laying, where there is room: the first and last patch of each section, and every %dth.", every), taken
}

// unplanned says of patches that they are not in the plan, once for those that follow one another, where there is room.
func (f *figure) unplanned(p Patchwork, v front, taken []area) {
	for _, w := range p.Patches {
		if w.Section > 0 {
			for _, b := range w.Boxes {
				taken = append(taken, v.of(b))
			}
		}
	}
	say := func(run area) {
		const line = 17.0
		for _, lines := range [][]string{{notPlanned}, {"not in", "this plan"}, {"not in", "this", "plan"}} {
			for _, place := range []spot{{0.5, 0.5}, {0.25, 0.5}, {0.75, 0.5}, {0.5, 0.2}, {0.5, 0.8}} {
				x := run.x0 + place.x*(run.x1-run.x0)
				y := run.y0 + place.y*(run.y1-run.y0) - line*float64(len(lines)-1)/2
				var all []area
				for i, s := range lines {
					if a := written(s, x, y+line*float64(i)); a.x0 >= run.x0+2 && a.x1 <= run.x1-2 && a.y0 >= run.y0+2 && a.y1 <= run.y1-2 && !slices.ContainsFunc(taken, a.meets) {
						all = append(all, a)
					}
				}
				if len(all) < len(lines) {
					continue
				}
				for i, s := range lines {
					f.text("s halo mid", x, y+line*float64(i)+toBase, s)
				}
				taken = append(taken, all...)
				return
			}
		}
	}
	none := area{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	run := none
	for i, w := range p.Patches {
		if w.Section == 0 {
			for _, b := range w.Boxes {
				a := v.of(b)
				run = area{min(run.x0, a.x0), min(run.y0, a.y0), max(run.x1, a.x1), max(run.y1, a.y1)}
			}
		}
		if run != none && (w.Section > 0 || i == len(p.Patches)-1) {
			say(run)
			run = none
		}
	}
}

// jointTiers is how many rows the day joints' distances may take.
const jointTiers = 4

// jointNames writes the day joints under the wall, each with its distance from the left, and gives where they end.
func (f *figure) jointNames(p Patchwork, v front, y float64) float64 {
	if len(p.Joints) == 0 {
		return y
	}
	for _, before := range []string{"day joint ", ""} {
		var labels []label
		for _, j := range p.Joints {
			labels = append(labels, label{x: v.x(j), text: before + p.length(j)})
		}
		if tiers := pack(labels, smallSize, margin, width-margin); tiers <= jointTiers {
			for _, l := range labels {
				f.text("s", l.at, y+14+17*float64(l.tier), l.text)
			}
			return y + 17*float64(tiers) + 4
		}
	}
	f.text("s", margin, y+14, fmt.Sprintf("%d day joints", len(p.Joints)))
	return y + 21
}

// wallScale draws metres or feet from the left, from y on.
func (f *figure) wallScale(p Patchwork, v front, y float64) float64 {
	f.open("scale")
	defer f.shut()
	y += 6
	perUnit := 1.0 // m
	if p.Units == quantity.US {
		perUnit = 0.3048
	}
	f.line("rule", v.left, y, v.right, y)
	longest := max(wide(fmt.Sprintf("%.0f", p.Width/perUnit), smallSize, false), wide("0.25", smallSize, false))
	step := niceStep(p.Width/perUnit, max(1, int((v.right-v.left)/(longest+12))))
	end := math.Inf(-1) // of the number before
	for i := range 20 {
		at := step * float64(i)
		x := v.x(at * perUnit)
		if x > v.right+0.01 {
			break
		}
		f.line("rule", x, y, x, y+5)
		if says := num(at); (i == 0 || step >= 0.01) && x-wide(says, smallSize, false)/2 > end && x+wide(says, smallSize, false)/2 <= width {
			end = x + wide(says, smallSize, false)/2 + 4
			f.text("s q mid", x, y+20, says)
		}
	}
	f.text("s q end", max(v.right, wallLeft+100), y+37, "from the left, "+quantity.Length.Unit(p.Units))
	return y + 40
}

// describe says in words what the picture shows.
func (p Patchwork) describe(sections []section, rule string) string {
	out := []string{"A wall " + p.size()}
	for _, s := range sections {
		out = append(out, s.words(p.Units, 0))
	}
	if n := len(p.Patches); n > 0 {
		blank := 0
		for _, w := range p.Patches {
			blank += int(b2f(w.Section == 0))
		}
		if blank > 0 {
			out = append(out, fmt.Sprintf("%d of %d patches are %s", blank, n, notPlanned))
		}
	}
	for _, l := range []struct {
		head string
		at   []float64
	}{{"Day joints, from the left: ", p.Joints}, {"A joint may also hide, from the left: ", p.May}, {"Tops of the lifts, above the floor: ", p.Lifts}} {
		var says []string
		for _, m := range l.at {
			says = append(says, p.length(m))
		}
		if len(says) > 0 {
			out = append(out, l.head+strings.Join(says, ", "))
		}
	}
	for i, o := range p.Openings {
		name := "opening"
		if i < len(p.OpeningNames) && p.OpeningNames[i] != "" {
			name = p.OpeningNames[i]
		}
		out = append(out, fmt.Sprintf("%s, %s wide and %s high, %s from the left and %s above the floor", name, p.length(o.Width), p.length(o.Height), p.length(o.Left), p.length(o.Sill)))
	}
	out = append(out, rule)
	var b strings.Builder
	for _, o := range out {
		if o = strings.TrimRight(o, ". "); o != "" {
			b.WriteString(o + ". ")
		}
	}
	return strings.TrimSpace(b.String())
}

// tidy makes every text fit for XML and keeps what lies on the wall.
func (p Patchwork) tidy() Patchwork {
	p.Title = clean(p.Title)
	within := func(v []float64, most float64) []float64 {
		var out []float64
		for _, m := range v {
			if m > 0 && m < most {
				out = append(out, m)
			}
		}
		slices.Sort(out)
		return slices.Compact(out)
	}
	p.Joints, p.May, p.Lifts = within(p.Joints, p.Width), within(p.May, p.Width), within(p.Lifts, p.Height)
	p.May = slices.DeleteFunc(p.May, func(m float64) bool { return slices.Contains(p.Joints, m) })
	var openings []Box
	var names []string
	for i, o := range p.Openings {
		if o, ok := p.clip(o); ok {
			name := ""
			if i < len(p.OpeningNames) {
				name = strings.TrimSpace(clean(p.OpeningNames[i]))
			}
			openings, names = append(openings, o), append(names, name)
		}
	}
	p.Openings, p.OpeningNames = openings, names
	var patches []WallPatch
	for _, w := range p.Patches {
		var boxes []Box
		for _, b := range w.Boxes {
			if b, ok := p.clip(b); ok {
				boxes = append(boxes, b)
			}
		}
		w.Boxes, w.Section = boxes, max(w.Section, 0)
		if !(w.Area >= 0 && w.Area < 1e9) {
			w.Area = 0
		}
		patches = append(patches, w)
	}
	p.Patches = patches
	return p
}

// clip is the part of b that is on the wall; not ok where there is none.
func (p Patchwork) clip(b Box) (Box, bool) {
	x0, x1 := max(b.Left, 0), min(b.Left+b.Width, p.Width)
	y0, y1 := max(b.Sill, 0), min(b.Sill+b.Height, p.Height)
	return Box{x0, y0, x1 - x0, y1 - y0}, x1 > x0 && y1 > y0
}
