package job

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"limeday/cmd/internal/quantity"
)

const (
	wall43 = least + "[[wall]]\nwidth = 4\nheight = 3\n" // 8 lines
	door   = "[[wall.opening]]\nname = \"Door\"\nleft = 1\nwidth = 0.9\nheight = 2\n"
)

func TestCrew(t *testing.T) {
	j, err := Parse("hall.toml", []byte(least+`[crew]
people = 2
laying = 12
compressing = "20 m²/h"
burnishing = "100ft2/h"
compress_passes = 2
burnish_passes = 0
breaks = [
  "12:30-13:00",
  "10:00-10:15",
]
several_lay = true
joint = "blend"
travel = "1.5min"
strip = "3ft"
waste = "8%"
bucket = 15
[[crew.hand]]
name = "Aoife"
does = ["lay", "compress"]
laying = 10
[[crew.hand]]
`), known)
	if err != nil {
		t.Fatal(err)
	}
	c := j.Crew
	for _, tc := range []struct {
		name string
		got  *float64
		want float64
	}{
		{"laying", c.Laying, 12}, {"compressing", c.Compressing, 20}, {"burnishing, ft2/h", c.Burnishing, 9.290304},
		{"travel", c.Travel, 90}, {"strip, ft", c.Strip, 0.9144}, {"waste", c.Waste, 8}, {"bucket", c.Bucket, 15},
		{"laying of a hand", c.Hands[0].Laying, 10},
	} {
		if !about(tc.got, tc.want) {
			t.Errorf("%s: got %v, want %v", tc.name, tc.got, tc.want)
		}
	}
	if j.People != 2 || c.People != 2 || c.Line != 6 || *c.CompressPasses != 2 || *c.BurnishPasses != 0 || !c.SeveralLay || c.Joint != JointBlend {
		t.Errorf("crew %+v", c)
	}
	if got := fmt.Sprint(c.Breaks, c.BreakLines); got != "[10:00-10:15 12:30-13:00] [15 14]" {
		t.Errorf("breaks %s", got)
	}
	if len(c.Hands) != 2 || c.Hands[0].Name != "Aoife" || !slices.Equal(c.Hands[0].Does, []string{"lay", "compress"}) || c.Hands[0].Line != 23 ||
		c.Hands[1].Name != "" || c.Hands[1].Does != nil || c.Hands[1].Laying != nil || c.Hands[1].Line != 27 {
		t.Errorf("hands %+v", c.Hands)
	}

	j, err = Parse("hall.toml", []byte(least+"[[crew.hand]]\n[[crew.hand]]\n[[crew.hand]]\n"), known)
	if err != nil || j.People != 3 || j.Crew.People != 0 || j.Crew.Line == 0 {
		t.Errorf("three hands and no count: %v, %+v", err, j)
	}
	j, err = Parse("hall.toml", []byte(least), known)
	if err != nil || j.People != 0 || j.Crew.Line != 0 || j.Crew.Hands != nil || j.Crew.Laying != nil || j.Crew.CompressPasses != nil || j.Crew.Joint != "" {
		t.Errorf("no crew: %v, %+v", err, j)
	}
	j, err = Parse("hall.toml", []byte("units = \"us\"\n"+least+"[crew]\nlaying = 100\n"), known)
	if err != nil || !about(j.Crew.Laying, 9.290304) {
		t.Errorf("a bare rate in US units: %v", err)
	}
}

func TestWallParts(t *testing.T) {
	j, err := Parse("hall.toml", []byte(wall43+`left = "internal"
right = "open"
lifts = [1, "6ft"]
joints = "2m"
[[wall.opening]]
left = 3.1
sill = "0.9m"
width = 0.9
height = 2.1
reveal = "6ft"
`+door+"[[wall]]\nbearing = 3\nright = \"external\"\n"), known)
	if err != nil {
		t.Fatal(err)
	}
	w := j.Walls[0]
	if w.Left != SideInternal || w.Right != SideOpen || len(w.Lifts) != 2 || w.Lifts[0] != 1 || !about(&w.Lifts[1], 1.8288) || !slices.Equal(w.Joints, []float64{2}) {
		t.Errorf("wall %+v", w)
	}
	if len(w.Openings) != 2 {
		t.Fatalf("openings %+v", w.Openings)
	}
	// 3.1 + 0.9 is the wall's whole width, and 0.9 + 2.1 its height.
	a, b := w.Openings[0], w.Openings[1]
	if a.Name != "" || a.Left != 3.1 || a.Sill != 0.9 || a.Width != 0.9 || a.Height != 2.1 || !about(&a.Reveal, 1.8288) || a.Line != 13 {
		t.Errorf("opening %+v", a)
	}
	if b.Name != "Door" || b.Left != 1 || b.Sill != 0 || b.Reveal != 0 || b.Line != 19 {
		t.Errorf("opening %+v", b)
	}
	if w := j.Walls[1]; w.Right != SideExternal || w.Left != "" || w.Openings != nil || w.Lifts != nil || w.Joints != nil {
		t.Errorf("second wall %+v", w)
	}
}

func TestCrewFaults(t *testing.T) {
	const crew = least + "[crew]\n" // 6 lines
	const hand = least + "[[crew.hand]]\n"
	wantFaults(t, map[string]faulty{
		"rate zero":        {crew + "laying = 0\n", []string{`7: laying in [crew] is 0; give a rate above zero, and tell of a hand that does not lay with does = ["compress", "burnish"] in its [[crew.hand]]`}},
		"rate negative":    {crew + "burnishing = \"-3ft2/h\"\n", []string{`7: burnishing in [crew] is -3ft2/h; give a rate above zero, and tell of a hand that does not burnish with does = ["lay", "compress"]`}},
		"rate of a hand":   {hand + "compressing = -0.0\n", []string{`7: compressing in [[crew.hand]] is -0; give a rate above zero`}},
		"rate tiny":        {crew + "laying = 1e-300\n", []string{"7: laying in [crew]: rate of work 0.000"}},
		"rate in ft2/h":    {crew + "laying = 150\n", []string{"7: laying in [crew]: rate of work 150, read as 150 m2/h, is outside 0.1 to 100 m2/h; did you mean 150ft2/h?"}},
		"rate nan":         {crew + "laying = nan\n", []string{"7: laying in [crew] is nan"}},
		"rate a list":      {crew + "laying = [3]\n", []string{"7: laying in [crew] is a list; give a number"}},
		"people 0":         {crew + "people = 0\n", []string{"7: people in [crew] is 0; give a whole number of people, 1 to 200"}},
		"compress none":    {crew + "compress_passes = 0\n", []string{"7: compress_passes in [crew] is 0; give a whole number of passes, 1 to 10"}},
		"burnish 11":       {crew + "burnish_passes = 11\n", []string{"7: burnish_passes in [crew] is 11"}},
		"burnish by text":  {crew + "burnish_passes = \"2\"\n", []string{"7: burnish_passes in [crew] is text; give a whole number"}},
		"people and hands": {crew + "people = 3\n[[crew.hand]]\n[[crew.hand]]\n", []string{"7: people in [crew] is 3, and [[crew.hand]] stands there 2 times"}},
		"one name":         {hand + "name = \"Bran\"\n[[crew.hand]]\nname = \" bran\"\n", []string{`9: name in [[crew.hand]]: "bran" is also the name of the hand of line 6`}},
		"no name":          {hand + "name = \"\"\n", []string{"7: name in [[crew.hand]] is empty"}},
		"does":             {hand + "does = [\"lay\", \"burnsh\"]\n", []string{`7: does in [[crew.hand]]: "burnsh" is not a known task of a hand; did you mean burnish?`}},
		"does nothing":     {hand + "does = []\n", []string{"7: does in [[crew.hand]] is an empty list"}},
		"does it twice":    {hand + "does = [\"lay\",\n\"lay\"]\n", []string{`8: does in [[crew.hand]]: "lay" is given twice`}},
		"does a number":    {hand + "does = [\"lay\", 3]\n", []string{"7: does in [[crew.hand]] is a number"}},
		"rate not done":    {hand + "does = \"lay\"\nburnishing = 3\n", []string{`8: burnishing in [[crew.hand]] is the rate of a hand that does not burnish; add "burnish" to does, or leave out burnishing`}},
		"nobody lays":      {hand + "does = [\"burnish\"]\n[[crew.hand]]\ndoes = [\"compress\"]\n", []string{`6: no [[crew.hand]] lays`}},
		"hand's key":       {hand + "lays = 3\n", []string{`7: unknown key "lays" in [[crew.hand]]`}},
		"hand once":        {least + "[crew.hand]\nname = \"Bran\"\n", []string{`6: "hand" should be a section of its own for each, written [[crew.hand]] with two brackets`}},
		"many hands":       {least + strings.Repeat("[[crew.hand]]\n", 201), []string{"206: [crew] has 201 hands; give 200 at most"}},
		"break":            {crew + "breaks = [\"10:00\"]\n", []string{`7: breaks in [crew]: "10:00" does not say from when to when the break is; give each break as "10:00-10:15"`}},
		"break number":     {crew + "breaks = [10]\n", []string{"7: breaks in [crew] is a number"}},
		"break backwards":  {crew + "breaks = [\n\"10:00-10:15\",\n\"12:30-12:30\"]\n", []string{`9: breaks in [crew]: "12:30-12:30" runs backwards`}},
		"breaks overlap":   {crew + "breaks = [\n\"12:30-13:00\",\n\"12:00-12:31\"]\n", []string{"8: breaks in [crew]: 12:30-13:00 overlaps 12:00-12:31"}},
		"breaks all day":   {crew + "breaks = [\"12:00-17:00\", \"07:00-12:00\"]\n[hours]\nfrom = \"08:00\"\nto = \"17:00\"\n", []string{"7: the breaks cover the whole working day, 08:00-17:00 in [hours]"}},
		"no breaks":        {crew + "breaks = []\n", []string{"7: breaks in [crew] is an empty list"}},
		"joint":            {crew + "joint = \"dampp\"\n", []string{`7: joint in [crew]: "dampp" is not a known joint; did you mean damp?`}},
		"several":          {crew + "several_lay = 2\n", []string{"7: several_lay in [crew] is a number; give true or false"}},
		"travel bare":      {crew + "travel = 60\n", []string{`7: travel in [crew]: "60" needs a unit: s, min or h`}},
		"travel long":      {crew + "travel = \"2h\"\n", []string{"7: travel in [crew]: duration 2h is outside 0 to 3600 s"}},
		"strip":            {crew + "strip = 0.05\n", []string{"7: strip in [crew]: length 0.05, read as 0.05m, is outside 0.1 to 5 m"}},
		"waste":            {crew + "waste = 101\n", []string{"7: waste in [crew]: waste 101, read as 101%, is outside 0 to 100 %"}},
		"bucket":           {crew + "bucket = \"150kg\"\n", []string{"7: bucket in [crew]: mass 150 kg is outside 0.1 to 100 kg"}},
		"unknown":          {crew + "stripe = 1\n", []string{`7: unknown key "stripe" in [crew]; did you mean "strip"?`}},
	})
	// Breaks that touch, or leave some minutes of the day, are no fault.
	for _, breaks := range []string{`"10:00-10:15", "10:15-10:30"`, `"08:01-17:00"`, `"08:00-12:00", "12:01-17:00"`, `"06:00-16:59"`} {
		if _, err := Parse("hall.toml", []byte(crew+"breaks = ["+breaks+"]\n[hours]\nfrom = \"08:00\"\nto = \"17:00\"\n"), known); err != nil {
			t.Errorf("%s: %v", breaks, err)
		}
	}
}

func TestWallFaults(t *testing.T) {
	at := func(name, left, sill, width, height string) string {
		return fmt.Sprintf("[[wall.opening]]\n%sleft = %s\nsill = %s\nwidth = %s\nheight = %s\n", name, left, sill, width, height)
	}
	wantFaults(t, map[string]faulty{
		"side":             {wall43 + "left = \"inner\"\n", []string{`9: left in [[wall]]: "inner" is not a known end of a wall; `}},
		"side a number":    {wall43 + "right = 2\n", []string{"9: right in [[wall]] is a number"}},
		"wide":             {wall43 + at("name = \"Gate\"\n", "0", "0", "5", "2"), []string{`9: opening "Gate" is 5 m wide, and its wall only 4 m`}},
		"high":             {wall43 + at("", "0", "0", "1", "\"12ft\""), []string{"9: opening 1 is 3.6576 m high, and its wall only 3 m"}},
		"right and top":    {wall43 + at("", "3.5", "1.2", "0.8", "2"), []string{"9: opening 1 sticks out of its wall by 0.3 m on the right and 0.2 m at the top; the wall is 4 m wide and 3 m high"}},
		"left and floor":   {wall43 + door + at("", "-0.25", "-0.1", "0.8", "2"), []string{"14: opening 2 sticks out of its wall by 0.25 m on the left and 0.1 m below the floor"}},
		"in feet":          {"units = \"us\"\n" + least + "[[wall]]\nwidth = 10\nheight = 8\n" + at("", "8", "0", "3", "7"), []string{"10: opening 1 sticks out of its wall by 1 ft on the right; the wall is 10 ft wide and 8 ft high"}},
		"overlap":          {wall43 + door + at("", "1.8", "1.5", "1", "1"), []string{`14: opening 2 overlaps opening "Door" of line 9 by 0.1 m across and 0.5 m up`}},
		"within":           {wall43 + door + at("name = \"Hatch\"\n", "1.1", "1", "0.3", "0.3"), []string{`14: opening "Hatch" overlaps opening "Door" of line 9`}},
		"whole wall":       {wall43 + at("", "0", "0", "1.2", "3") + at("", "1.2", "0", "2.8", "3"), []string{"14: with opening 2 the openings take the whole of the wall"}},
		"no left":          {wall43 + "[[wall.opening]]\nwidth = 1\n", []string{"9: [[wall.opening]] has no left; give how far", "9: [[wall.opening]] has no height"}},
		"no size of wall":  {least + "[[wall]]\nwidth = 4\n" + door, []string{"8: opening in [[wall]] needs the wall's height; give height in [[wall]] too"}},
		"bad size of wall": {least + "[[wall]]\nwidth = 4\nheight = -3\n" + door, []string{"8: height in [[wall]]"}},
		"bad sill":         {wall43 + at("", "1", "\"x\"", "1", "1"), []string{`11: sill in [[wall.opening]]: "x" is not a number`}},
		"width 0":          {wall43 + at("", "1", "0", "0", "1"), []string{"12: width in [[wall.opening]]"}},
		"reveal":           {wall43 + door + "reveal = 6\n", []string{"14: reveal in [[wall.opening]]"}},
		"name":             {wall43 + door + "named = 6\n", []string{`14: unknown key "named" in [[wall.opening]]; did you mean "name"?`}},
		"one bracket":      {wall43 + "[wall.opening]\nleft = 1\n", []string{`9: "opening" should be a section of its own for each, written [[wall.opening]] with two brackets`}},
		"many":             {wall43 + "opening = [" + strings.Repeat("{},\n", 501) + "]\n", []string{"509: [[wall]] has 501 openings; give 500 at most"}},
		"lift too high":    {wall43 + "lifts = [\n1,\n\"10ft\"]\n", []string{"11: lifts in [[wall]]: 3.048 m is not inside the wall's height; give lengths above 0 and below 3 m"}},
		"lift at the top":  {wall43 + "lifts = [3]\n", []string{"9: lifts in [[wall]]: 3 m is not inside"}},
		"lift twice":       {wall43 + "lifts = [1, 1]\n", []string{"9: lifts in [[wall]]: 1 m comes after 1 m; give each once, from the floor up"}},
		"lift at 0":        {wall43 + "lifts = [0]\n", []string{"9: lifts in [[wall]]: length 0"}},
		"lift, no height":  {least + "[[wall]]\nlifts = [1]\n", []string{"7: lifts in [[wall]] needs the wall's height"}},
		"no lifts":         {wall43 + "lifts = []\n", []string{"9: lifts in [[wall]] is an empty list"}},
		"joints backwards": {wall43 + "joints = [3, 2]\n", []string{"9: joints in [[wall]]: 2 m comes after 3 m; give each once, from left to right"}},
		"joint outside":    {wall43 + "joints = [4.5]\n", []string{"9: joints in [[wall]]: 4.5 m is not inside the wall's width"}},
		"joint of words":   {wall43 + "joints = [true]\n", []string{"9: joints in [[wall]] is true or false; give a number"}},
		"joint in a list":  {wall43 + "joints = [[1]]\n", []string{"9: joints in [[wall]] is a list; give a number"}},
		"many joints":      {wall43 + "joints = [" + strings.Repeat("1,", 501) + "]\n", []string{"9: joints in [[wall]] is a list of 501; give 500 at most"}},
		"opening, no wall": {least + "[[wall.opening]]\nleft = 1\n", []string{`6: "wall" should be a section of its own for each, written [[wall]]`}},
	})
}

// sound checks what every job that was accepted must hold.
func sound(t interface{ Fatalf(string, ...any) }, j *Job) {
	rates := []*float64{j.Crew.Laying, j.Crew.Compressing, j.Crew.Burnishing}
	for _, h := range j.Crew.Hands {
		rates = append(rates, h.Laying, h.Compressing, h.Burnishing)
	}
	for _, r := range rates {
		if r != nil && !(*r > 0 && *r < math.Inf(1)) {
			t.Fatalf("a rate of %v was accepted", *r)
		}
	}
	if len(j.Crew.Breaks) != len(j.Crew.BreakLines) {
		t.Fatalf("breaks %v with lines %v", j.Crew.Breaks, j.Crew.BreakLines)
	}
	last := 0
	for _, b := range j.Crew.Breaks {
		if b.From.minutes() < last || b.To.minutes() <= b.From.minutes() || b.To.minutes() >= 24*60 {
			t.Fatalf("breaks %v were accepted", j.Crew.Breaks)
		}
		last = b.To.minutes()
	}
	const off = 2e-6 // m, twice the round-off allowed
	for _, w := range j.Walls {
		for i, o := range w.Openings {
			if o.Left < -off || o.Sill < -off || o.Width <= 0 || o.Height <= 0 || o.Left+o.Width > *w.Width+off || o.Sill+o.Height > *w.Height+off {
				t.Fatalf("opening %+v in a wall of %v by %v was accepted", o, *w.Width, *w.Height)
			}
			for _, p := range w.Openings[:i] {
				if o.Left+off < p.Left+p.Width && p.Left+off < o.Left+o.Width && o.Sill+off < p.Sill+p.Height && p.Sill+off < o.Sill+o.Height {
					t.Fatalf("openings %+v and %+v were accepted", p, o)
				}
			}
		}
		for _, at := range []struct {
			places []float64
			extent *float64
		}{{w.Lifts, w.Height}, {w.Joints, w.Width}} {
			for i, x := range at.places {
				if x <= 0 || x >= *at.extent || i > 0 && x <= at.places[i-1] {
					t.Fatalf("places %v along %v were accepted", at.places, *at.extent)
				}
			}
		}
	}
}

// On a grid of tenths of a metre, and of minutes, what fits is counted square by
// square: a file is accepted just when nothing is covered twice, nothing lies outside, and something is left.
func TestAcceptedJustWhenItFits(t *testing.T) {
	accepted, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		fits := true
		var b strings.Builder
		b.WriteString(least)
		wide, high := rapid.IntRange(1, 12).Draw(t, "wide"), rapid.IntRange(1, 9).Draw(t, "high")
		tenths := func(n int) string { return strconv.FormatFloat(float64(n)/10, 'f', 1, 64) }
		fmt.Fprintf(&b, "[[wall]]\nwidth = %s\nheight = \"%sm\"\n", tenths(wide), tenths(high))
		covered := map[[2]int]bool{}
		for range rapid.IntRange(0, 4).Draw(t, "openings") {
			left, sill := rapid.IntRange(-1, wide).Draw(t, "left"), rapid.IntRange(-1, high).Draw(t, "sill")
			w, h := rapid.IntRange(1, wide).Draw(t, "width"), rapid.IntRange(1, high).Draw(t, "height")
			fmt.Fprintf(&b, "[[wall.opening]]\nleft = %s\nsill = %s\nwidth = %s\nheight = %s\n", tenths(left), tenths(sill), tenths(w), tenths(h))
			for x := left; x < left+w; x++ {
				for y := sill; y < sill+h; y++ {
					fits = fits && x >= 0 && x < wide && y >= 0 && y < high && !covered[[2]int{x, y}]
					covered[[2]int{x, y}] = true
				}
			}
		}
		fits = fits && len(covered) < wide*high
		const from, to = 8 * 60, 9 * 60
		b.WriteString("[hours]\nfrom = \"08:00\"\nto = \"09:00\"\n[crew]\n")
		if tenth := rapid.IntRange(-1, 1000).Draw(t, "rate"); rapid.Bool().Draw(t, "rated") {
			fmt.Fprintf(&b, "laying = %s\n", tenths(tenth))
			fits = fits && tenth > 0
		}
		var breaks []string
		resting := map[int]bool{}
		for range rapid.IntRange(0, 3).Draw(t, "breaks") {
			start := rapid.IntRange(7*60+30, 9*60+20).Draw(t, "from")
			end := start + rapid.IntRange(-1, 60).Draw(t, "minutes")
			breaks = append(breaks, fmt.Sprintf("%q", fmt.Sprintf("%02d:%02d-%02d:%02d", start/60, start%60, end/60, end%60)))
			fits = fits && end > start
			for m := start; m < end; m++ {
				fits = fits && !resting[m]
				resting[m] = true
			}
		}
		if breaks != nil {
			fmt.Fprintf(&b, "breaks = [%s]\n", strings.Join(breaks, ", "))
		}
		left := 0
		for m := from; m < to; m++ {
			if !resting[m] {
				left++
			}
		}
		fits = fits && left > 0
		j, err := Parse("f.toml", []byte(b.String()), known)
		if (err == nil) != fits {
			t.Fatalf("fits: %v, but the file has %v:\n%s", fits, err, b.String())
		}
		if err != nil {
			refused++
			return
		}
		accepted++
		sound(t, j)
		if len(j.Crew.Breaks) != len(breaks) {
			t.Fatalf("%d breaks of %d", len(j.Crew.Breaks), len(breaks))
		}
	})
	if accepted == 0 || refused == 0 {
		t.Errorf("%d files were accepted and %d refused; the test needs both", accepted, refused)
	}
}

// Every key that a new job has left out can be put in as it stands.
func TestNewWithAllPutIn(t *testing.T) {
	names := known
	names.ReadAs = []string{"date-order"}
	out := regexp.MustCompile(`(?m)^# (\[|[a-z_]+ = )`)
	for _, u := range []quantity.Units{quantity.Metric, quantity.US} {
		text, err := New("Stair hall", "Europe/Dublin", u)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Parse("new.toml", text, names); err != nil {
			t.Errorf("as it stands: %v", err)
		}
		j, err := Parse("new.toml", out.ReplaceAll(text, []byte("$1")), names)
		if err != nil {
			t.Errorf("with all put in: %v", err)
			continue
		}
		if !j.Free[0] || j.Free[1] || len(j.Off) != 1 || j.Layers[0].Wet != "damp" || j.Coats[0].Wait == nil || !j.Coats[0].NoMist || j.Walls[0].BehindTemp == nil {
			t.Errorf("free %v, off %v, layer %+v, coat %+v", j.Free, j.Off, j.Layers[0], j.Coats[0])
		}
		w, c := j.Walls[0], j.Crew
		if len(w.Openings) != 1 || w.Openings[0].Reveal == 0 || len(w.Lifts) != 1 || len(w.Joints) != 1 || w.Left == "" || w.Right == "" {
			t.Errorf("wall %+v", w)
		}
		if c.Laying == nil || c.Compressing == nil || c.Burnishing == nil || c.CompressPasses == nil || c.BurnishPasses == nil || len(c.Breaks) != 2 ||
			!c.SeveralLay || c.Joint == "" || c.Travel == nil || c.Strip == nil || c.Waste == nil || c.Bucket == nil || len(c.Hands) != 2 {
			t.Errorf("crew %+v", c)
		}
		sound(t, j)
	}
}
