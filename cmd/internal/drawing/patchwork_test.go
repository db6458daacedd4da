package drawing

import (
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"limeday/cmd/internal/quantity"
)

// patchworkOf has strips 0.2 m wide from the left, in rows from the top, without what the openings take, in sections that end where given.
func patchworkOf(width, height float64, rows int, openings []Box, sections []float64) Patchwork {
	p := Patchwork{Title: "Alder House, stair wall", Width: width, Height: height, Openings: openings}
	each := height / float64(rows)
	left := 0.0
	for s, end := range sections {
		for ; left < end-0.01; left += 0.2 {
			for r := range rows {
				w := WallPatch{Number: len(p.Patches) + 1, Section: s + 1}
				lo, hi := height-each*float64(r+1), height-each*float64(r)
				for _, o := range openings {
					if mid := left + 0.1; mid > o.Left && mid < o.Left+o.Width && o.Sill < hi && o.Sill+o.Height > lo {
						if o.Sill > lo {
							w.Boxes = append(w.Boxes, Box{left, lo, 0.2, o.Sill - lo})
						}
						lo = min(hi, o.Sill+o.Height)
					}
				}
				if hi > lo+0.001 {
					w.Boxes = append(w.Boxes, Box{left, lo, 0.2, hi - lo})
				}
				for _, b := range w.Boxes {
					w.Area += b.Width * b.Height
				}
				p.Patches = append(p.Patches, w)
			}
		}
	}
	return p
}

// doorWall is 4.4 m by 2.9 m with a door, in 22 strips; longWall 20 m by 3 m with three windows, in 100 strips of two rows.
func doorWall() Patchwork {
	p := patchworkOf(4.4, 2.9, 1, []Box{{2.8, 0, 1, 2.1}}, []float64{2.2, 4.4})
	p.OpeningNames, p.Joints, p.May = []string{"door"}, []float64{2.2}, []float64{1.2, 2.8, 3.8}
	return p
}

func longWall() Patchwork {
	p := patchworkOf(20, 3, 2, []Box{{3, 0.9, 1.4, 1.4}, {9, 0.9, 2, 1.4}, {15, 0.9, 1.4, 1.4}}, []float64{5, 10, 15.6, 20})
	p.OpeningNames, p.Joints, p.May, p.Lifts = []string{"window", "bay window", "window"}, []float64{5, 10, 15.6}, []float64{3, 9, 15}, []float64{1.5}
	for i := range p.Patches {
		if p.Patches[i].Section == 4 {
			p.Patches[i].Section = 0
		}
	}
	return p
}

// tallWall is 2 m by 8 m in four lifts.
func tallWall() Patchwork {
	p := Patchwork{Title: "Alder House, stair tower", Width: 2, Height: 8, Openings: []Box{{0.6, 5, 0.8, 1.2}}, OpeningNames: []string{"window"}, Lifts: []float64{2, 4, 6}, Joints: []float64{1}}
	for k := range 4 {
		for i := range 10 {
			p.Patches = append(p.Patches, WallPatch{Number: 10*k + i + 1, Section: k/2 + 1, Boxes: []Box{{0.2 * float64(i), 6 - 2*float64(k), 0.2, 2}}, Area: 0.4})
		}
	}
	return p
}

func patchworkPicture(t fataler, p Patchwork) []element {
	return elements(t, func(w io.Writer) error { return PatchworkSVG(w, p) })
}

// bounds are the least rectangle round a path.
func bounds(d string) area {
	a := area{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range walked(d) {
		a = area{min(a.x0, p.x), min(a.y0, p.y), max(a.x1, p.x), max(a.y1, p.y)}
	}
	return a
}

func (a area) near(b area) bool {
	return math.Abs(a.x0-b.x0) < 0.02 && math.Abs(a.y0-b.y0) < 0.02 && math.Abs(a.x1-b.x1) < 0.02 && math.Abs(a.y1-b.y1) < 0.02
}

// inWall are the marks of a class in the wall, or in another part of the picture.
func inWall(all []element, group, class string) (out []element) {
	for _, e := range all {
		if e.group == "svg "+group && e.attr["class"] == class {
			out = append(out, e)
		}
	}
	return out
}

// Patches, openings, day joints, lifts and the scale are where they are on the wall, to one scale across and up: 4.4 m are 440 wide.
func TestPatchworkTrueToScale(t *testing.T) {
	p := doorWall()
	p.Lifts = []float64{1.45}
	all := patchworkPicture(t, p)
	frame := inWall(all, "wall", "frame")
	if len(frame) != 1 {
		t.Fatalf("%d frames", len(frame))
	}
	wall := bounds(frame[0].attr["d"])
	if math.Abs(wall.x1-wall.x0-440) > 0.02 || math.Abs(wall.y1-wall.y0-290) > 0.02 {
		t.Fatalf("the wall is at %v", wall)
	}
	at := func(b Box) area {
		return area{wall.x0 + 100*b.Left, wall.y1 - 100*(b.Sill+b.Height), wall.x0 + 100*(b.Left+b.Width), wall.y1 - 100*b.Sill}
	}
	patches := inWall(all, "wall", "patch")
	if len(patches) != 22 {
		t.Fatalf("%d patches", len(patches))
	}
	for i, e := range patches {
		if got, want := bounds(e.attr["d"]), at(p.Patches[i].Boxes[0]); !got.near(want) {
			t.Errorf("patch %d is at %v, want %v", i+1, got, want)
		}
	}
	door := inWall(all, "wall", "opening")
	if len(door) != 1 {
		t.Fatalf("%d openings", len(door))
	}
	x, y := door[0].num(t, "x"), door[0].num(t, "y")
	if got := (area{x, y, x + door[0].num(t, "width"), y + door[0].num(t, "height")}); !got.near(at(p.Openings[0])) {
		t.Errorf("the door is at %v", got)
	}
	joint, lift := inWall(all, "wall", "joint"), inWall(all, "wall", "lift")
	if len(joint) != 1 || len(lift) != 1 || math.Abs(joint[0].num(t, "x1")-wall.x0-220) > 0.02 || joint[0].attr["x1"] != joint[0].attr["x2"] ||
		math.Abs(wall.y1-lift[0].num(t, "y1")-145) > 0.02 || lift[0].attr["y1"] != lift[0].attr["y2"] {
		t.Errorf("day joints %v, lifts %v", joint, lift)
	}
	may := inWall(all, "wall", "may")
	if len(may) != 3 || math.Abs(walked(may[1].attr["d"])[0].x-wall.x0-280) > 0.02 {
		t.Errorf("joints may be at %v", may)
	}
	ticks := 0
	for _, e := range inWall(all, "scale", "s q mid") {
		m, err := strconv.ParseFloat(e.text, 64)
		if err != nil || math.Abs(e.num(t, "x")-wall.x0-100*m) > 0.02 {
			t.Errorf("%q at %v: %v", e.text, e.attr["x"], err)
		}
		ticks++
	}
	if ticks < 4 {
		t.Errorf("%d ticks", ticks)
	}
}

// Feet are marked at feet: 10 ft are 3.048 m.
func TestPatchworkInFeet(t *testing.T) {
	p := doorWall()
	p.Units = quantity.US
	all := patchworkPicture(t, p)
	wall := bounds(inWall(all, "wall", "frame")[0].attr["d"])
	seen := map[string]bool{}
	for _, e := range all {
		seen[e.text] = true
		if e.text == "10" && e.group == "svg scale" && math.Abs(e.num(t, "x")-wall.x0-304.8) > 0.02 {
			t.Errorf("10 ft at %v", e.attr["x"])
		}
	}
	for _, want := range []string{"10", "day joint 7.2 ft", "from the left, ft", "14.4 ft wide, 9.5 ft high, seen from the front", "section 1: 1-11, 68.7 ft2"} {
		if !seen[want] {
			t.Errorf("%q is not said", want)
		}
	}
}

// A patch of several boxes is drawn as one: no line where they touch.
func TestPatchOutline(t *testing.T) {
	v := front{0, 0, 100, 100, 100}
	length := func(boxes ...Box) (sum float64) {
		var at spot
		for _, s := range step.FindAllString(v.outline(boxes), -1) {
			to := at
			n := number.FindAllString(s, -1)
			switch s[0] {
			case 'M':
				to.x, _ = strconv.ParseFloat(n[0], 64)
				to.y, _ = strconv.ParseFloat(n[1], 64)
				at = to
			case 'H':
				to.x, _ = strconv.ParseFloat(n[0], 64)
			case 'V':
				to.y, _ = strconv.ParseFloat(n[0], 64)
			}
			sum += math.Hypot(to.x-at.x, to.y-at.y)
			at = to
		}
		return sum
	}
	for _, tc := range []struct {
		boxes []Box
		want  float64
	}{
		{[]Box{{0, 0, 0.5, 0.2}}, 140},
		{[]Box{{0, 0, 0.5, 0.2}, {0.5, 0, 0.3, 0.2}}, 200},   // side by side
		{[]Box{{0, 0, 0.5, 0.2}, {0, 0.2, 0.2, 0.3}}, 200},   // an L
		{[]Box{{0, 0, 0.2, 0.2}, {0.5, 0.5, 0.1, 0.1}}, 120}, // apart, as round a window
		{[]Box{{0, 0, 0.4, 0.2}, {0.2, 0, 0.4, 0.2}}, 160},   // on each other
		{[]Box{{0, 0, 0.2, 0.2}, {0.2, 0.2, 0.2, 0.2}}, 160}, // corner to corner
	} {
		if got := length(tc.boxes...); math.Abs(got-tc.want) > 0.01 {
			t.Errorf("%v: outline of %v, want %v", tc.boxes, got, tc.want)
		}
	}
}

// numbersOf are the patches' numbers in the wall.
func numbersOf(all []element) map[int]element {
	out := map[int]element{}
	for _, e := range inWall(all, "wall", "s halo mid") {
		if n, err := strconv.Atoi(e.text); err == nil {
			out[n] = e
		}
	}
	return out
}

// Where there is room each patch has its number, on it; else the rule that is said is kept to.
func TestPatchNumbers(t *testing.T) {
	p := doorWall()
	all := patchworkPicture(t, p)
	got, patches := numbersOf(all), inWall(all, "wall", "patch")
	for i := range p.Patches {
		e, ok := got[i+1]
		b := bounds(patches[i].attr["d"])
		if x := e.num(t, "x"); !ok || math.Abs(x-(b.x0+b.x1)/2) > 4.01 || e.num(t, "y") < b.y0+10 || e.num(t, "y") > b.y1 {
			t.Errorf("number %d: %v on %v", i+1, e, b)
		}
	}
	if heavy := inWall(all, "wall", "numbered"); len(heavy) > 0 || !strings.Contains(drawPatchwork(p).Desc, "The numbers are the order of laying.") {
		t.Errorf("%d in heavy outline; %s", len(heavy), drawPatchwork(p).Desc)
	}

	p = longWall()
	all = patchworkPicture(t, p)
	got = numbersOf(all)
	if heavy := inWall(all, "wall", "numbered"); len(heavy) != len(got) {
		t.Errorf("%d heavy outlines for %d numbers", len(heavy), len(got))
	}
	ends := map[int]bool{1: true, 50: true, 51: true, 100: true, 101: true, 156: true}
	for n := range got {
		if !ends[n] && n%20 != 0 || n > 156 {
			t.Errorf("%d has a number", n)
		}
	}
	for _, n := range []int{1, 20, 51, 100, 101, 156} {
		if _, ok := got[n]; !ok {
			t.Errorf("%d has no number", n)
		}
	}
	if desc := drawPatchwork(p).Desc; !strings.Contains(desc, "the first and last patch of each section, and every 20th.") {
		t.Error(desc)
	}

	p = doorWall()
	p.Height, p.Openings = 0.1, nil
	for i := range p.Patches {
		p.Patches[i].Boxes = []Box{{0.2 * float64(i), 0, 0.2, 0.1}}
	}
	all = patchworkPicture(t, p)
	if desc := drawPatchwork(p).Desc; len(numbersOf(all)) > 0 || !strings.Contains(desc, "too small here") {
		t.Error(desc)
	}
}

// Sections are told by words over their own width and by patterns in turn; what is not planned is blank and said to be.
func TestPatchworkSections(t *testing.T) {
	p := longWall()
	all := patchworkPicture(t, p)
	wall := bounds(inWall(all, "wall", "frame")[0].attr["d"])
	var brackets []area
	for _, e := range inWall(all, "sections", "rule") {
		brackets = append(brackets, bounds(e.attr["d"]))
	}
	fills := []element{}
	for _, class := range parts {
		fills = append(fills, inWall(all, "wall", class)...)
	}
	if len(brackets) != 3 || len(fills) != 3 {
		t.Fatalf("%v; %v", brackets, fills)
	}
	for i, m := range [][2]float64{{0, 5}, {5, 10}, {10, 15.6}} {
		b, a := bounds(fills[i].attr["d"]), brackets[i]
		if x0, x1 := wall.x0+22*m[0], wall.x0+22*m[1]; math.Abs(b.x0-x0) > 0.02 || math.Abs(b.x1-x1) > 0.02 || math.Abs(a.x0-x0) > 2 || math.Abs(a.x1-x1) > 2 {
			t.Errorf("section %d is filled at %v, its bracket at %v", i+1, b, a)
		}
	}
	texts := map[string]bool{}
	for _, e := range all {
		texts[e.text] = true
	}
	for _, want := range []string{"section 1: 1-50, 13.0 m2", "section 3: 101-156, 14.6 m2", "day joint 15.60 m", "1.50 m", "not in", "plan", "blank: not in this plan", "a joint may hide here"} {
		if !texts[want] {
			t.Errorf("%q is not said", want)
		}
	}
	desc := drawPatchwork(p).Desc
	for _, want := range []string{"A wall 20.00 m wide, 3.00 m high", "44 of 200 patches are not in this plan", "Day joints, from the left: 5.00 m, 10.00 m, 15.60 m",
		"A joint may also hide, from the left: 3.00 m", "bay window, 2.00 m wide and 1.40 m high, 9.00 m from the left and 0.90 m above the floor", "Tops of the lifts, above the floor: 1.50 m"} {
		if !strings.Contains(desc, want) {
			t.Errorf("%q is not in %q", want, desc)
		}
	}
	// Many sections have shorter names rather than a tower of them.
	p = patchworkOf(20, 3, 1, nil, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
	all = patchworkPicture(t, p)
	soundAll(t, all)
	tiers := map[string]bool{}
	for _, e := range inWall(all, "sections", "s mid") {
		tiers[e.attr["y"]] = true
	}
	if n := len(inWall(all, "sections", "s mid")); n != 20 || len(tiers) > sectionTiers || !strings.Contains(drawPatchwork(p).Desc, "Over the wall: the sections' numbers.") || len(numbersOf(all)) != 39 { // 100 is wider than its section
		t.Errorf("%d names on %d rows, %d numbers; %s", n, len(tiers), len(numbersOf(all)), drawPatchwork(p).Desc)
	}
}

func TestPatchworkTable(t *testing.T) {
	p := longWall()
	head, rows := PatchworkTable(p)
	// Patch 31 is the sixteenth strip's upper one, over the first window.
	if len(head) != 5 || len(rows) != 200 || !slices.Equal(rows[30], []string{"31", "1", "3.00-3.20 m", "2.30-3.00 m", "0.14 m2"}) || rows[199][1] != notPlanned {
		t.Errorf("%v %v %v", head, rows[30], rows[199])
	}
	p.Patches[0].Boxes = []Box{{0, 0, 0.2, 1}, {0, 2, 0.2, 1}, {0.2, 2, 0.2, 1}}
	p.Units = quantity.US
	if _, rows = PatchworkTable(p); !slices.Equal(rows[0], []string{"1", "1", "0.0-1.3 ft", "0.0-3.3 ft, 6.6-9.8 ft", "3.23 ft2"}) {
		t.Errorf("%v", rows[0])
	}
	p.Patches[0].Boxes[0].Left, p.Patches[0].Area = math.NaN(), math.Inf(1)
	if _, rows = PatchworkTable(p); strings.Contains(fmt.Sprint(rows[0]), "N") || rows[0][4] != "" {
		t.Errorf("%v", rows[0])
	}
}

func TestPatchworkSound(t *testing.T) {
	us := doorWall()
	us.Units = quantity.US
	sizes := []Patchwork{{}, {Width: 4}, {Width: -1, Height: 2}, {Width: math.NaN(), Height: 2}, {Width: math.Inf(1), Height: 2}, {Width: 1000, Height: 1}, {Width: 5e-324, Height: 5e-324}, {Width: 1e300, Height: 1e300}}
	for _, p := range sizes {
		soundAll(t, patchworkPicture(t, p))
	}
	for i, p := range sizes[:6] {
		if desc := drawPatchwork(p).Desc; !strings.Contains(desc, "not such that it can be drawn") {
			t.Errorf("%d: %s", i, desc)
		}
	}
	for _, p := range []Patchwork{doorWall(), longWall(), tallWall(), us, {Width: 4, Height: 3}, {Width: 4, Height: 3, Patches: []WallPatch{{Number: 1, Section: 1}}}} {
		soundAll(t, patchworkPicture(t, p))
	}
}

// Any wall at all gives a sound picture.
func TestAnyPatchwork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		metres := rapid.OneOf(rapid.Float64Range(-1, 21), rapid.SampledFrom([]float64{0, 0.2, 1, 2.9, 8, 20, 1e6, 1e12, math.NaN(), math.Inf(1), math.Inf(-1), 1e-9}))
		box := rapid.Custom(func(t *rapid.T) Box {
			return Box{metres.Draw(t, "left"), metres.Draw(t, "sill"), metres.Draw(t, "width"), metres.Draw(t, "height")}
		})
		p := Patchwork{Title: rapid.String().Draw(t, "title"), Width: metres.Draw(t, "wide"), Height: metres.Draw(t, "high"), Units: rapid.SampledFrom([]quantity.Units{quantity.Metric, quantity.US}).Draw(t, "units")}
		if rapid.Bool().Draw(t, "plausible") {
			rows, sections := rapid.IntRange(1, 3).Draw(t, "rows"), rapid.IntRange(1, 12).Draw(t, "sections")
			wide, high := rapid.Float64Range(1, 25).Draw(t, "m wide"), rapid.Float64Range(0.3, 9).Draw(t, "m high")
			var ends []float64
			for i := range sections {
				ends = append(ends, wide*float64(i+1)/float64(sections))
			}
			o := Box{wide * rapid.Float64Range(0, 1).Draw(t, "opening"), rapid.SampledFrom([]float64{0, 0.9}).Draw(t, "its sill"), 1, 1.5}
			title := p.Title
			units := p.Units
			p = patchworkOf(wide, high, rows, []Box{o}, ends)
			p.Title, p.Units, p.Joints = title, units, ends[:sections-1]
			from := rapid.IntRange(0, len(p.Patches)).Draw(t, "out from")
			for i := from; i < len(p.Patches); i += rapid.SampledFrom([]int{1, 1, 1, 7}).Draw(t, "out") {
				p.Patches[i].Section = 0
			}
		}
		p.Openings = append(p.Openings, rapid.SliceOfN(box, 0, 4).Draw(t, "openings")...)
		p.OpeningNames = rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom([]string{"", "door", "bay window"}), rapid.String()), 0, 6).Draw(t, "names")
		for range rapid.SampledFrom([]int{0, 1, 3, 40}).Draw(t, "patches") {
			p.Patches = append(p.Patches, WallPatch{rapid.IntRange(-2, 2000).Draw(t, "number"), rapid.SliceOfN(box, 0, 3).Draw(t, "boxes"), rapid.IntRange(-1, 30).Draw(t, "section"), metres.Draw(t, "area")})
		}
		p.Joints = append(p.Joints, rapid.SliceOfN(metres, 0, 20).Draw(t, "joints")...)
		p.May, p.Lifts = rapid.SliceOfN(metres, 0, 6).Draw(t, "may"), rapid.SliceOfN(metres, 0, 12).Draw(t, "lifts")
		PatchworkTable(p)
		soundAll(t, patchworkPicture(t, p))
	})
}

var hostile = []string{`</title><script>alert(1)</script>`, `"><svg onload="x">`, "]]>&amp;&#0;\x00\x01\uFFFE\xff", strings.Repeat("漢字", 200), strings.Repeat("W", 300), "\u202egnp"}

func TestPatchworkHostileNames(t *testing.T) {
	for _, bad := range hostile {
		p := doorWall()
		p.Title, p.OpeningNames[0] = bad, bad
		soundAll(t, patchworkPicture(t, p))
	}
}

// Without colour the sections, the lines and the openings still differ, by pattern, dash or weight.
func TestPatchworkGreyscale(t *testing.T) {
	differ(t, "part-a", "part-b", "part-c", "unplanned")
	differ(t, "joint", "lift", "patch", "numbered", "frame", "opening")
	for theme, c := range themes(t) {
		if got := contrast(c["off"], c["paper"]); got < 3 {
			t.Errorf("%s: a section's pattern has %.2f:1", theme, got)
		}
	}
}

// differ asks that classes look different without colour.
func differ(t *testing.T, classes ...string) {
	t.Helper()
	seen := map[string]string{}
	for _, class := range classes {
		m := regexp.MustCompile(`(?m)^\.ld \.` + class + `\{(.*)\}$`).FindStringSubmatch(Style)
		if m == nil {
			t.Fatalf("no rule for %s", class)
		}
		r := regexp.MustCompile(`var\(--(wet|work|off|ink|quiet)\)`).ReplaceAllString(m[1], "dark")
		for _, p := range patterns {
			if p.Class == class {
				r += " filled with " + p.D
			}
		}
		if other, ok := seen[r]; ok {
			t.Errorf("%s and %s differ by colour alone", class, other)
		}
		seen[r] = class
	}
}

// ruled asks of an inline drawing that each class has a rule, save those of structure.
func ruled(t *testing.T, s string, structure ...string) {
	t.Helper()
	if strings.Contains(s, "<style") || strings.Contains(s, "style=") || strings.Count(s, "http") != 1 {
		t.Error(s)
	}
	for _, u := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(s, -1) {
		for _, class := range strings.Fields(u[1]) {
			if !slices.Contains(structure, class) && !strings.Contains(Style, ".ld ."+class+"{") {
				t.Errorf("class %s has no rule", class)
			}
		}
	}
}

func TestPatchworkInline(t *testing.T) {
	for i, p := range []Patchwork{doorWall(), longWall(), {}} {
		p.ID = fmt.Sprintf("wall-%d", i)
		s := string(PatchworkInline(p))
		ruled(t, s, "ld", "t", "key", "sections", "wall", "scale")
		if !strings.Contains(s, `id="`+p.ID+`-title"`) || i < 2 && !strings.Contains(s, `fill="url(#`+p.ID+`-part-b)"`) {
			t.Error(s)
		}
	}
	if err := PatchworkSVG(full{}, doorWall()); err == nil {
		t.Error("no error")
	}
}
