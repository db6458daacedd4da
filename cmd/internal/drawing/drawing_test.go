package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/cmd/internal/quantity"
)

// element is one element of a picture, with the class of the group that it is in.
type element struct {
	name, group string
	attr        map[string]string
	text        string
}

func (e element) num(t fataler, name string) float64 {
	v, err := strconv.ParseFloat(e.attr[name], 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		t.Fatalf("%s of %v is %q", name, e, e.attr[name])
	}
	return v
}

type fataler interface{ Fatalf(string, ...any) }

// picture is the drawing of a day.
func picture(t fataler, d Day) []element {
	return elements(t, func(w io.Writer) error { return SVG(w, d) })
}

// elements are an SVG file read back as XML, strictly.
func elements(t fataler, write func(io.Writer) error) []element {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatalf("%v", err)
	}
	var out []element
	var open []int
	var groups []string
	dec := xml.NewDecoder(bytes.NewReader(b.Bytes()))
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, b.String())
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			e := element{name: tok.Name.Local, group: strings.Join(groups, " "), attr: map[string]string{}}
			for _, a := range tok.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			groups = append(groups, map[bool]string{true: e.attr["class"], false: e.name}[e.name == "g"])
			open = append(open, len(out))
			out = append(out, e)
		case xml.EndElement:
			open, groups = open[:len(open)-1], groups[:len(groups)-1]
		case xml.CharData:
			if len(open) > 0 {
				out[open[len(open)-1]].text += string(tok)
			}
		}
	}
	return out
}

var dublin = func() *time.Location {
	l, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		panic(err)
	}
	return l
}()

func clock(day, h, m int) time.Time { return time.Date(2026, 4, day, h, m, 0, 0, dublin) }

func example() Day {
	d := Day{Title: "Stair hall", Date: "Tue 14 Apr 2026", Verdict: "GO. Lay the first coat at 08:00.", From: clock(14, 8, 0), To: clock(14, 17, 0),
		KnownTo: clock(14, 9, 0), Limits: []Limit{{C: 10, Above: true, Says: "wall at least 10 C"}, {C: 30, Says: "wall at most 30 C"}},
		Coats: []Coat{
			{Name: "1 polished-lime 0.20 mm", Lay: clock(14, 8, 0), Edge: clock(14, 8, 20), Opens: clock(14, 9, 0), Next: clock(14, 11, 0),
				Says: Says{Lay: "08:00", Edge: "20 min", Next: "from 11:00"}},
			{Name: "2 polished-lime 0.08 mm", Last: true, Lay: clock(14, 11, 0), Opens: clock(14, 12, 0), Burnish: clock(14, 13, 0), Closes: clock(14, 16, 30), Next: clock(14, 16, 45),
				Says: Says{Lay: "11:00", Opens: "from 12:00", Burnish: "from 13:00", Closes: "16:30"}},
		}}
	for t := d.From; !t.After(d.To); t = t.Add(5 * time.Minute) {
		h := t.Sub(d.From).Hours()
		d.Course = append(d.Course, Point{Time: t, Air: 14 + h/4, DewPoint: 8 + h/9, Face: 13 + h/5})
	}
	return d
}

// Every bar begins and ends within a pixel of where its times are on the axis of the hours.
func TestBarsStandAtTheirTimes(t *testing.T) {
	d := example()
	at := func(h, m int) float64 {
		return plotLeft + (plotRight-plotLeft)*(float64(h-8)+float64(m)/60)/9
	}
	want := []struct {
		class    string
		from, to float64
	}{
		{"wet", at(8, 0), at(9, 0)}, {"drying", at(9, 0), at(11, 0)},
		{"wet", at(11, 0), at(12, 0)}, {"compress", at(12, 0), at(13, 0)}, {"burnish", at(13, 0), at(16, 30)}, {"drying", at(16, 30), at(16, 45)},
	}
	var heights = map[string]float64{}
	i := 0
	for _, e := range picture(t, d) {
		if e.name != "rect" || e.group != "svg coat" {
			continue
		}
		if i == len(want) {
			t.Fatalf("one bar more: %v", e)
		}
		x, w := e.num(t, "x"), e.num(t, "width")
		if e.attr["class"] != want[i].class || math.Abs(x-want[i].from) > 1 || math.Abs(x+w-want[i].to) > 1 {
			t.Errorf("bar %d is %s from %.1f to %.1f, want %v", i, e.attr["class"], x, x+w, want[i])
		}
		heights[e.attr["class"]] = e.num(t, "height")
		i++
	}
	if i != len(want) {
		t.Errorf("%d bars, want %d", i, len(want))
	}
	// The state shows by height alone, save the two that are worked in, which differ by pattern.
	if !(heights["compress"] == heights["burnish"] && heights["burnish"] > heights["wet"] && heights["wet"] > heights["drying"]) {
		t.Errorf("heights %v", heights)
	}
}

// A window of eight minutes is drawn again on an axis of its own, true to it, with its times beside it.
func TestShortWindowCloseUp(t *testing.T) {
	d := example()
	c := &d.Coats[1]
	c.Opens, c.Burnish, c.Closes = clock(14, 11, 2), clock(14, 11, 4), clock(14, 11, 10)
	c.Says = Says{Lay: "11:00", Opens: "2 min after laying", Burnish: "4 min after laying", Closes: "10 min after laying, 11:10"}
	var bars []element
	texts := ""
	for _, e := range picture(t, d) {
		if strings.HasSuffix(e.group, "closeup") {
			texts += e.text + "|"
			if e.name == "rect" && e.attr["class"] != "paper" {
				bars = append(bars, e)
			}
		}
	}
	if len(bars) != 4 || bars[2].attr["class"] != "burnish" {
		t.Fatalf("%v", bars)
	}
	minute := bars[0].num(t, "width") / 2
	if math.Abs(bars[1].num(t, "width")-2*minute) > 1 || math.Abs(bars[2].num(t, "width")-6*minute) > 1 || minute < 20 {
		t.Errorf("%v", bars)
	}
	for _, want := range []string{"compress 2 min after laying", "burnish 4 min after laying", "gone by 10 min after laying, 11:10", "11:06"} {
		if !strings.Contains(texts, want) {
			t.Errorf("%q is not in %q", want, texts)
		}
	}
}

// What is not reached, or lies past a day, is an open end with its words.
func TestNeverReached(t *testing.T) {
	d := example()
	d.Coats = d.Coats[:1]
	for _, next := range []time.Time{{}, clock(17, 9, 0)} {
		d.Coats[0].Next, d.Coats[0].Says.Next = next, "not within two days"
		open, says := false, false
		for _, e := range picture(t, d) {
			open = open || e.attr["class"] == "open"
			says = says || e.text == "next coat not within two days"
		}
		if !open || !says {
			t.Errorf("next at %v: open %v, said %v", next, open, says)
		}
	}
}

// Hours are the clock's: the one put back comes twice, the one put forward over is left out, midnight is a day.
func TestClock(t *testing.T) {
	for _, tc := range []struct {
		from time.Time
		want string
	}{
		{time.Date(2026, 3, 28, 23, 0, 0, 0, dublin), "23:00 Sun 02:00 03:00 04:00"},
		{time.Date(2026, 10, 24, 23, 0, 0, 0, dublin), "23:00 Sun 01:00 01:00 02:00"},
		{time.Date(2026, 4, 14, 8, 30, 0, 0, dublin), "09:00 10:00 11:00 12:00"},
	} {
		ax := axis{lo: tc.from, hi: tc.from.Add(4 * time.Hour), zone: dublin}
		var got []string
		for _, h := range ax.hours(1) {
			got = append(got, ax.clock(h))
		}
		if strings.Join(got, " ") != tc.want {
			t.Errorf("from %v: %v", tc.from, got)
		}
	}
}

func TestUnits(t *testing.T) {
	d := example()
	d.Units = quantity.US
	seen := map[string]bool{}
	for _, e := range picture(t, d) {
		seen[e.text] = true
	}
	if !seen["Air and wall, F"] || !seen["60"] {
		t.Errorf("%v", seen)
	}
	_, rows := Table(d, 12)
	if len(rows) != 10 || !slices.Equal(rows[0], []string{"08:00", "57.2 F", "46.4 F", "55.4 F"}) {
		t.Errorf("%v", rows)
	}
	if _, rows = Table(d, 5); len(rows) != 5 || rows[1][0] != "10:00" {
		t.Errorf("%v", rows)
	}
	for i := range d.Course {
		d.Course[i].Sun, d.Course[i].Rain = 10*float64(i), 0.01*float64(i)
	}
	head, rows := Table(d, 12)
	if want := []string{"17:00", "61.3 F", "48.2 F", "58.6 F", "1080 W/m2", "0.04 in/h"}; !slices.Equal(rows[len(rows)-1], want) || head[5] != "rain" {
		t.Errorf("%v %v", head, rows[len(rows)-1])
	}
}

var (
	number = regexp.MustCompile(`-?\d+(\.\d+)?`)
	path   = regexp.MustCompile(`^([MLHVhvlmz][-\d. ]*)+$`)
)

// sound asks of any picture: well-formed, numbers that are numbers, nothing of negative size, everything inside
// the view box, labels that do not meet, no style attribute, no script, no address.
func sound(t fataler, d Day) { soundAll(t, picture(t, d)) }

func soundAll(t fataler, all []element) {
	var w, h float64
	type box struct {
		x0, x1, y, size float64
		text            string
	}
	var texts []box
	for i, e := range all {
		for name, v := range e.attr {
			if name == "style" || strings.HasPrefix(name, "on") || name == "href" || strings.Contains(v, "NaN") || strings.Contains(v, "Inf") {
				t.Fatalf("%s=%q in %v", name, v, e)
			}
		}
		if i == 0 {
			if _, err := fmt.Sscanf(e.attr["viewBox"], "0 0 %f %f", &w, &h); err != nil || w != width || h <= 0 || h > 5000 {
				t.Fatalf("view box %q", e.attr["viewBox"])
			}
			if e.attr["role"] != "img" || e.attr["aria-labelledby"] != "ld-title ld-desc" {
				t.Fatalf("%v", e.attr)
			}
		}
		if strings.Contains(e.group, "defs") {
			continue
		}
		inside := func(x, y float64) {
			if x < -0.01 || x > w+0.01 || y < -0.01 || y > h+0.01 {
				t.Fatalf("outside the view box of %v x %v: %v", w, h, e)
			}
		}
		switch e.name {
		case "script", "image", "use", "foreignObject":
			t.Fatalf("%v", e)
		case "rect":
			x, y, rw, rh := e.num(t, "x"), e.num(t, "y"), e.num(t, "width"), e.num(t, "height")
			if rw < 0 || rh < 0 {
				t.Fatalf("negative size: %v", e)
			}
			inside(x, y)
			inside(x+rw, y+rh)
		case "line":
			inside(e.num(t, "x1"), e.num(t, "y1"))
			inside(e.num(t, "x2"), e.num(t, "y2"))
		case "path":
			if !path.MatchString(e.attr["d"]) {
				t.Fatalf("path %q", e.attr["d"])
			}
			if class := e.attr["class"]; class == "air" || class == "face" || class == "dew" {
				n := number.FindAllString(e.attr["d"], -1)
				for k := 0; k+1 < len(n); k += 2 {
					x, _ := strconv.ParseFloat(n[k], 64)
					y, _ := strconv.ParseFloat(n[k+1], 64)
					inside(x, y)
				}
			}
		case "text":
			class := " " + e.attr["class"] + " "
			size, bold := textSize, strings.Contains(class, " h ")
			if bold {
				size = headSize
			} else if strings.Contains(class, " s ") {
				size = smallSize
			}
			x, y, tw := e.num(t, "x"), e.num(t, "y"), wide(e.text, size, bold)
			switch {
			case strings.Contains(class, " end "):
				x -= tw
			case strings.Contains(class, " mid "):
				x -= tw / 2
			}
			inside(x, y-size*0.75)
			inside(x+tw, y+size*0.22)
			texts = append(texts, box{x, x + tw, y, size, e.text})
		}
	}
	for i, a := range texts {
		for _, b := range texts[:i] {
			if a.x0 < b.x1 && b.x0 < a.x1 && a.y-0.74*a.size < b.y+0.2*b.size && b.y-0.74*b.size < a.y+0.2*a.size {
				t.Fatalf("%q at %.0f,%.0f meets %q at %.0f,%.0f", a.text, a.x0, a.y, b.text, b.x0, b.y)
			}
		}
	}
}

func TestSound(t *testing.T) { sound(t, example()) }

func TestNothingKnown(t *testing.T) {
	sound(t, Day{})
	sound(t, Day{Title: "x", Coats: []Coat{{Name: "never laid"}}})
	if _, rows := Table(Day{}, 12); rows != nil {
		t.Error("numbers from nothing")
	}
}

// Any answer at all gives a sound picture.
func TestAnyDay(t *testing.T) {
	zones := []*time.Location{time.UTC, dublin, time.FixedZone("odd", 5*3600+45*60), time.FixedZone("", -9*3600-30*60)}
	if l, err := time.LoadLocation("Australia/Lord_Howe"); err == nil { // put forward by half an hour
		zones = append(zones, l)
	}
	rapid.Check(t, func(t *rapid.T) {
		zone := rapid.SampledFrom(zones).Draw(t, "zone")
		base := time.Date(2026, time.Month(rapid.IntRange(1, 12).Draw(t, "month")), rapid.IntRange(1, 31).Draw(t, "day"), rapid.IntRange(0, 23).Draw(t, "hour"), 0, 0, 0, zone)
		some := rapid.Custom(func(t *rapid.T) time.Time {
			switch rapid.IntRange(0, 9).Draw(t, "kind") {
			case 0:
				return time.Time{}
			case 1:
				return base.AddDate(rapid.IntRange(-300, 300).Draw(t, "years"), 0, 0)
			case 2, 3:
				return base.Add(time.Duration(rapid.Int64Range(0, int64(20*time.Minute)).Draw(t, "soon")))
			default:
				return base.Add(time.Duration(rapid.Int64Range(-int64(6*time.Hour), int64(50*time.Hour)).Draw(t, "later")))
			}
		})
		says := rapid.OneOf(rapid.SampledFrom([]string{"", "at once", "from 10:15", "not within two days", "12 min after laying, 13:05"}), rapid.String())
		float := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-30, 60), rapid.Just(math.NaN()), rapid.Just(math.Inf(1)))
		d := Day{Title: rapid.String().Draw(t, "title"), Date: says.Draw(t, "date"), Verdict: says.Draw(t, "verdict"), From: some.Draw(t, "from"), To: some.Draw(t, "to"),
			KnownTo: some.Draw(t, "known"), Units: rapid.SampledFrom([]quantity.Units{quantity.Metric, quantity.US}).Draw(t, "units")}
		for range rapid.IntRange(0, 5).Draw(t, "coats") {
			d.Coats = append(d.Coats, Coat{Name: says.Draw(t, "name"), Last: rapid.Bool().Draw(t, "last"), Lay: some.Draw(t, "lay"), Edge: some.Draw(t, "edge"),
				Opens: some.Draw(t, "opens"), Burnish: some.Draw(t, "burnish"), Closes: some.Draw(t, "closes"), Next: some.Draw(t, "next"),
				Says: Says{says.Draw(t, "1"), says.Draw(t, "2"), says.Draw(t, "3"), says.Draw(t, "4"), says.Draw(t, "5"), says.Draw(t, "6")},
				Sure: Sure{Opens: Between{some.Draw(t, "7"), some.Draw(t, "8")}, Closes: Between{some.Draw(t, "9"), some.Draw(t, "10")}, Next: Between{some.Draw(t, "11"), some.Draw(t, "12")}}})
		}
		for range rapid.IntRange(0, 30).Draw(t, "points") {
			d.Course = append(d.Course, Point{some.Draw(t, "time"), float.Draw(t, "air"), float.Draw(t, "dew"), float.Draw(t, "face"), float.Draw(t, "sun"), float.Draw(t, "rain")})
		}
		for range rapid.IntRange(0, 2).Draw(t, "limits") {
			d.Limits = append(d.Limits, Limit{float.Draw(t, "limit"), rapid.Bool().Draw(t, "above"), says.Draw(t, "limit says")})
		}
		sound(t, d)
		Table(d, 12)
	})
}

// A day of the kind people have, however short its window and however long the day: labels never meet.
func TestAnyPlausibleDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := example()
		d.To = d.From.Add(time.Duration(rapid.IntRange(2, 16).Draw(t, "hours")) * time.Hour)
		at := d.From
		for i := range d.Coats {
			c := &d.Coats[i]
			after := func(name string, most time.Duration) time.Time {
				at = at.Add(time.Duration(rapid.Int64Range(0, int64(most)).Draw(t, name)))
				return at
			}
			c.Lay = at
			c.Opens, c.Burnish, c.Closes, c.Next = after("opens", 5*time.Hour), after("burnish", time.Hour), after("closes", time.Hour), after("next", 6*time.Hour)
			early := func(m time.Time) Between { return Between{m.Add(-20 * time.Minute), m.Add(50 * time.Minute)} }
			c.Sure = Sure{Opens: early(c.Opens), Burnish: early(c.Burnish), Closes: early(c.Closes), Next: early(c.Next)}
		}
		sound(t, d)
	})
}

func TestHostileNames(t *testing.T) {
	for _, s := range []string{`</title><script>alert(1)</script>`, `"><svg onload="x">`, "]]>&amp;&#0;\x00\x01\uFFFE\xff", strings.Repeat("漢字", 200), strings.Repeat("W", 300), "\u202egnp"} {
		d := example()
		d.Title, d.Verdict, d.Coats[0].Name, d.Limits[0].Says, d.Coats[1].Says.Closes = s, s, s, s, s
		sound(t, d)
		for _, e := range picture(t, d) {
			if e.name == "title" && !strings.Contains(e.text, clean(s)) {
				t.Errorf("the title of %q is %q", s, e.text)
			}
		}
	}
}

// rgb reads the colour variables of each theme.
func themes(t *testing.T) map[string]map[string][3]float64 {
	out := map[string]map[string][3]float64{}
	light, dark, ok := strings.Cut(Style, "prefers-color-scheme:dark")
	if !ok {
		t.Fatal("no dark theme")
	}
	for name, css := range map[string]string{"light": light, "dark": dark} {
		out[name] = map[string][3]float64{}
		for _, m := range regexp.MustCompile(`--([a-z]+):#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})[;}]`).FindAllStringSubmatch(css, -1) {
			var c [3]float64
			for i := range c {
				v, err := strconv.ParseUint(m[2+i], 16, 8)
				if err != nil {
					t.Fatal(err)
				}
				c[i] = float64(v) / 255
			}
			out[name][m[1]] = c
		}
		if len(out[name]) != 8 {
			t.Fatalf("%s has %d colours", name, len(out[name]))
		}
	}
	return out
}

// luminance and contrast are those of WCAG 2.2 ("relative luminance", "contrast ratio").
func luminance(c [3]float64) float64 {
	for i, v := range c {
		if v <= 0.04045 {
			c[i] = v / 12.92
		} else {
			c[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
}

func contrast(a, b [3]float64) float64 {
	x, y := luminance(a)+0.05, luminance(b)+0.05
	return max(x, y) / min(x, y)
}

// Text has 4.5:1 (WCAG 2.2, 1.4.3) and what must be told apart by its outline 3:1 (1.4.11), in both themes.
func TestContrast(t *testing.T) {
	for theme, c := range themes(t) {
		for _, ground := range []string{"paper", "hours"} {
			for front, least := range map[string]float64{"ink": 4.5, "quiet": 4.5, "wet": 3, "work": 3, "off": 3} {
				if got := contrast(c[front], c[ground]); got < least {
					t.Errorf("%s: %s on %s has %.2f:1, want %.1f", theme, front, ground, got, least)
				}
			}
		}
	}
}

// Without colour the four states and the four lines still differ: each has a pattern, dash or weight of its own.
func TestGreyscale(t *testing.T) {
	rule := func(class string) string {
		m := regexp.MustCompile(`(?m)^\.ld \.` + class + `\{(.*)\}$`).FindStringSubmatch(Style)
		if m == nil {
			t.Fatalf("no rule for %s", class)
		}
		return regexp.MustCompile(`var\(--[a-z]+\)`).ReplaceAllString(m[1], "grey")
	}
	for _, group := range [][]string{{"wet", "firming", "compress", "burnish", "drying"}, {"air", "face", "dew", "limit", "known"}, {"face", "was", "level", "sure"}, {"sun", "rain"}} {
		seen := map[string]string{}
		for _, class := range group {
			r := rule(class)
			if other, ok := seen[r]; ok {
				t.Errorf("%s and %s differ by colour alone", class, other)
			}
			seen[r] = class
		}
	}
	patterns := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?s)<pattern id="[^"]*"[^>]*>(.*?)</pattern>`).FindAllStringSubmatch(string(Inline(example())), -1) {
		patterns[regexp.MustCompile(`class="[^"]*"|height="[^"]*"|width="[^"]*"`).ReplaceAllString(m[1], "")] = true
	}
	if len(patterns) != 6 {
		t.Errorf("%d patterns", len(patterns))
	}
}

func TestInlineHasNoStyle(t *testing.T) {
	s := string(Inline(example()))
	if strings.Contains(s, "<style") || strings.Contains(s, "style=") || strings.Contains(s, "http://") && strings.Count(s, "http") != 1 {
		t.Error(s)
	}
	if used := regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(s, -1); true {
		for _, u := range used {
			for _, class := range strings.Fields(u[1]) {
				switch class {
				case "ld", "t", "coat", "closeup", "course", "key": // of structure, not looks
					continue
				}
				if !strings.Contains(Style, ".ld ."+class+"{") {
					t.Errorf("class %s has no rule", class)
				}
			}
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestFullDisk(t *testing.T) {
	if err := SVG(full{}, example()); err == nil {
		t.Error("no error")
	}
}

func BenchmarkSVG(b *testing.B) {
	d := example()
	for b.Loop() {
		if err := SVG(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}
