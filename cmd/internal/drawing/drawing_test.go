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

// elements are those of a file but for the texts that are halos, see TestHalo.
func elements(t fataler, write func(io.Writer) error) []element {
	return slices.DeleteFunc(everyElement(t, write), func(e element) bool { return e.attr["class"] == "under" })
}

// everyElement is an SVG file read back as XML, strictly.
func everyElement(t fataler, write func(io.Writer) error) []element {
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

// timed is a coat by its times: it is closed in where it is the last, else followed by another.
type timed struct {
	name                                      string
	last                                      bool
	lay, edge, opens, burnish, closes, next   time.Time
	saysLay, says1, says2, says3, saysNext    string
	sureOpens, sureBurnish, sureEnd, sureNext Between
	band                                      string
}

func (c timed) coat() Coat {
	x := Coat{Name: c.name, Lay: c.lay, Says: c.saysLay, Edge: c.edge, Band: c.band}
	if !c.last {
		x.Steps = []Step{{"next coat", c.saysNext, c.next, c.sureNext}}
		x.States = []State{{"wet", c.opens}, {"drying", c.next}}
		return x
	}
	x.Steps = []Step{{"compress", c.says1, c.opens, c.sureOpens}, {"burnish", c.says2, c.burnish, c.sureBurnish}, {"gone by", c.says3, c.closes, c.sureEnd}}
	x.States = []State{{"wet", c.opens}, {"compress", c.burnish}, {"burnish", c.closes}, {"drying", c.next}}
	return x
}

func fill() timed {
	return timed{name: "1 polished-lime 0.20 mm", lay: clock(14, 8, 0), edge: clock(14, 8, 20), opens: clock(14, 9, 0), next: clock(14, 11, 0), saysLay: "08:00", saysNext: "from 11:00"}
}

func last() timed {
	return timed{name: "2 polished-lime 0.08 mm", last: true, lay: clock(14, 11, 0), opens: clock(14, 12, 0), burnish: clock(14, 13, 0), closes: clock(14, 16, 30), next: clock(14, 16, 45),
		saysLay: "11:00", says1: "from 12:00", says2: "from 13:00", says3: "16:30"}
}

func example() Day {
	d := Day{Title: "Stair hall", Date: "Tue 14 Apr 2026", Verdict: "GO. Lay the first coat at 08:00.", From: clock(14, 8, 0), To: clock(14, 17, 0),
		KnownTo: clock(14, 9, 0), Limits: []Limit{{C: 10, Above: true, Says: "wall at least 10 C"}, {C: 30, Says: "wall at most 30 C"}},
		Coats: []Coat{fill().coat(), last().coat()}}
	for t := d.From; !t.After(d.To); t = t.Add(5 * time.Minute) {
		h := t.Sub(d.From).Hours()
		d.Course = append(d.Course, Point{Time: t, Air: 14 + h/4, DewPoint: 8 + h/9, Face: 13 + h/5})
	}
	return d
}

// fullDay is a day with all that can be drawn: bands, sun and rain.
func fullDay() Day {
	d := example()
	around := func(t time.Time) Between { return Between{t.Add(-25 * time.Minute), t.Add(40 * time.Minute)} }
	for i, c := range d.Coats {
		for k, s := range c.Steps {
			c.Steps[k].Sure = around(s.At)
		}
		d.Coats[i].Band = "between this and that"
	}
	for i := range d.Course {
		h := d.Course[i].Time.Sub(d.From).Hours()
		d.Course[i].Sun, d.Course[i].Rain = max(0, 100*(h-2)), max(0, h-7)
	}
	d.SunFrom, d.SunTo = clock(14, 10, 0), clock(14, 17, 0)
	return d
}

// Each time that is not sure has a bracket under its bar, from earliest to latest, and the words say it.
func TestBracketsStandAtTheirTimes(t *testing.T) {
	d := fullDay()
	d.Coats[1].Steps[2].Sure.To = time.Time{} // not reached in one case of ten
	at := func(h, m int) float64 { return plotLeft + (plotRight-plotLeft)*(float64(h-8)+float64(m)/60)/9 }
	want := [][2]float64{{at(10, 35), at(11, 40)}, {at(11, 35), at(12, 40)}, {at(12, 35), at(13, 40)}, {at(16, 5), plotRight}}
	var got [][2]float64
	arrows := 0
	for _, e := range picture(t, d) {
		if e.group != "svg coat" || e.name != "path" {
			continue
		}
		switch p := walked(e.attr["d"]); {
		case e.attr["class"] == "open":
			arrows++
		case e.attr["class"] == "sure" && len(p) > 2:
			got = append(got, [2]float64{p[0].x, p[3].x})
		}
	}
	if len(got) != len(want) || arrows != 1 {
		t.Fatalf("%d brackets and %d arrows: %v", len(got), arrows, got)
	}
	for i := range want {
		if math.Abs(got[i][0]-want[i][0]) > 1 || math.Abs(got[i][1]-want[i][1]) > 1 {
			t.Errorf("bracket %d is from %.1f to %.1f, want %v", i, got[i][0], got[i][1], want[i])
		}
	}
	desc := draw(d).Desc
	for _, says := range []string{"(8 in 10: between this and that)", "Sun on the wall 10:00 to 17:00, to 700 W/m2", "Rain driven onto the wall, to 2.0 mm/h"} {
		if !strings.Contains(desc, says) {
			t.Errorf("%q is not in %q", says, desc)
		}
	}
}

// Sun and rain stand as high as they are, on the day's own axis, and only where there are any; the light of the sky is not called sun.
func TestSunAndRain(t *testing.T) {
	heads := func(d Day) (out []string) {
		for _, e := range picture(t, d) {
			if strings.HasSuffix(e.group, "strip") && e.name == "text" {
				out = append(out, e.text)
			}
		}
		return out
	}
	d := fullDay()
	for _, e := range picture(t, d) {
		if e.group != "svg strip" || e.name != "path" {
			continue
		}
		p := walked(e.attr["d"])
		base, high := p[0].y, math.Inf(1)
		for _, q := range p {
			high = min(high, q.y)
		}
		if math.Abs(base-high-strips) > 0.1 {
			t.Errorf("%s is %.1f high", e.attr["class"], base-high)
		}
		// 13:00 is five hours on: sun 300 of 700, no rain.
		x := plotLeft + (plotRight-plotLeft)*5/9
		want := map[string]float64{"sun": strips * 3 / 7, "rain": 0}[e.attr["class"]]
		for _, q := range p {
			if math.Abs(q.x-x) < 0.5 && math.Abs(base-q.y-want) > 0.1 {
				t.Errorf("%s at 13:00 is %.1f high, want %.1f", e.attr["class"], base-q.y, want)
			}
		}
	}
	if got := strings.Join(heads(d), "; "); got != "Sun on the wall 10:00 to 17:00, to 700 W/m2; Rain driven onto the wall, to 2.0 mm/h" {
		t.Error(got)
	}
	d.SunFrom, d.SunTo = time.Time{}, time.Time{}
	for i := range d.Course {
		d.Course[i].Rain = 0
	}
	if got := strings.Join(heads(d), "; "); got != "Light of the sky on the wall, to 700 W/m2" {
		t.Error(got)
	}
	if got := heads(example()); len(got) > 0 {
		t.Error(got)
	}
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
	c := last()
	c.opens, c.burnish, c.closes = clock(14, 11, 2), clock(14, 11, 4), clock(14, 11, 10)
	c.says1, c.says2, c.says3 = "2 min after laying", "4 min after laying", "10 min after laying, 11:10"
	d.Coats[1] = c.coat()
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
		c := fill()
		c.next, c.saysNext = next, "not within two days"
		d.Coats[0] = c.coat()
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
	step   = regexp.MustCompile(`[MLHVhvlm][-\d. ]*`)
)

// walked is every place that a path of straight lines comes to.
func walked(d string) []spot {
	var at spot
	var out []spot
	for _, s := range step.FindAllString(d, -1) {
		var v []float64
		for _, n := range number.FindAllString(s, -1) {
			f, _ := strconv.ParseFloat(n, 64)
			v = append(v, f)
		}
		for len(v) > 0 {
			used := 2
			switch s[0] {
			case 'M', 'L':
				at = spot{v[0], v[1]}
			case 'm', 'l':
				at = spot{at.x + v[0], at.y + v[1]}
			case 'H':
				at.x, used = v[0], 1
			case 'h':
				at.x, used = at.x+v[0], 1
			case 'V':
				at.y, used = v[0], 1
			case 'v':
				at.y, used = at.y+v[0], 1
			}
			out, v = append(out, at), v[used:]
		}
	}
	return out
}

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
			if e.attr["role"] != "img" || !strings.HasSuffix(e.attr["aria-labelledby"], "-desc") {
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
			for _, p := range walked(e.attr["d"]) {
				inside(p.x, p.y)
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

func TestSound(t *testing.T) {
	sound(t, example())
	sound(t, fullDay())
}

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
			KnownTo: some.Draw(t, "known"), SunFrom: some.Draw(t, "sun from"), SunTo: some.Draw(t, "sun to"), Units: rapid.SampledFrom([]quantity.Units{quantity.Metric, quantity.US}).Draw(t, "units")}
		for range rapid.IntRange(0, 5).Draw(t, "coats") {
			c := Coat{Name: says.Draw(t, "name"), Lay: some.Draw(t, "lay"), Says: says.Draw(t, "says"), Edge: some.Draw(t, "edge"), Band: says.Draw(t, "band")}
			for range rapid.IntRange(0, 4).Draw(t, "steps") {
				c.Steps = append(c.Steps, Step{says.Draw(t, "what"), says.Draw(t, "when"), some.Draw(t, "at"), Between{some.Draw(t, "earliest"), some.Draw(t, "latest")}})
			}
			for range rapid.IntRange(0, 5).Draw(t, "states") {
				c.States = append(c.States, State{rapid.SampledFrom([]string{"wet", "compress", "burnish", "drying"}).Draw(t, "state"), some.Draw(t, "end")})
			}
			d.Coats = append(d.Coats, c)
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
			c := fill()
			if i == len(d.Coats)-1 {
				c = last()
			}
			after := func(name string, most time.Duration) time.Time {
				at = at.Add(time.Duration(rapid.Int64Range(0, int64(most)).Draw(t, name)))
				return at
			}
			c.lay = at
			c.opens, c.burnish, c.closes, c.next = after("opens", 5*time.Hour), after("burnish", time.Hour), after("closes", time.Hour), after("next", 6*time.Hour)
			early := func(m time.Time) Between { return Between{m.Add(-20 * time.Minute), m.Add(50 * time.Minute)} }
			c.sureOpens, c.sureBurnish, c.sureEnd, c.sureNext = early(c.opens), early(c.burnish), early(c.closes), early(c.next)
			d.Coats[i] = c.coat()
		}
		sound(t, d)
	})
}

func TestHostileNames(t *testing.T) {
	for _, s := range []string{`</title><script>alert(1)</script>`, `"><svg onload="x">`, "]]>&amp;&#0;\x00\x01\uFFFE\xff", strings.Repeat("漢字", 200), strings.Repeat("W", 300), "\u202egnp"} {
		d := example()
		d.Title, d.Verdict, d.Coats[0].Name, d.Limits[0].Says, d.Coats[1].Steps[2].Says = s, s, s, s, s
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

// Without colour the states, the lines and what comes onto the wall still differ: each has a pattern, dash or weight of its own.
func TestGreyscale(t *testing.T) {
	look := func(class string) string {
		m := regexp.MustCompile(`(?m)^\.ld \.` + class + `\{(.*)\}$`).FindStringSubmatch(Style)
		if m == nil {
			t.Fatalf("no rule for %s", class)
		}
		r := regexp.MustCompile(`var\(--[a-z]+\)`).ReplaceAllString(m[1], "grey")
		for _, p := range patterns {
			if p.Class == class {
				r += " filled with " + p.D
			}
		}
		return r
	}
	for _, group := range [][]string{{"wet", "firming", "compress", "burnish", "drying"}, {"air", "face", "dew", "limit", "known"}, {"face", "was", "level", "sure"}, {"sun", "rain"}} {
		seen := map[string]string{}
		for _, class := range group {
			r := look(class)
			if other, ok := seen[r]; ok {
				t.Errorf("%s and %s differ by colour alone", class, other)
			}
			seen[r] = class
		}
	}
}

// Several drawings on one page: no id comes twice, and each refers to its own.
func TestIDs(t *testing.T) {
	day, coat, ladder, season := fullDay(), dryingExample(), ladderExample(), seasonExample()
	day.ID, coat.ID, ladder.ID, season.ID = "day", "coat", "ladder-2", ""
	seen := map[string]bool{}
	for id, s := range map[string]string{"day": string(Inline(day)), "coat": string(DryingInline(coat)), "ladder-2": string(LadderInline(ladder)), "ld": string(SeasonInline(season))} {
		for _, m := range regexp.MustCompile(`\bid="([^"]*)"`).FindAllStringSubmatch(s, -1) {
			if seen[m[1]] {
				t.Errorf("%s comes twice", m[1])
			}
			seen[m[1]] = true
		}
		refers := regexp.MustCompile(`url\(#([^)]*)\)|aria-labelledby="(\S*) (\S*)"`).FindAllStringSubmatch(s, -1)
		if len(refers) < 3 {
			t.Errorf("%s refers to %v", id, refers)
		}
		for _, m := range refers {
			for _, to := range m[1:] {
				if to != "" && (!seen[to] || !strings.HasPrefix(to, id+"-")) {
					t.Errorf("%s refers to %s", id, to)
				}
			}
		}
	}
	if strings.Contains(Style, "url(") {
		t.Error("the style refers to an id")
	}
	defer func() {
		if recover() == nil {
			t.Error("an id of two words is taken")
		}
	}()
	Inline(Day{ID: "a b"})
}

func TestInlineHasNoStyle(t *testing.T) {
	compared := dryingExample()
	before := dryingExample()
	compared.Before = &before
	for _, s := range []string{string(Inline(fullDay())), string(DryingInline(compared)), string(LadderInline(ladderExample())), string(SeasonInline(seasonExample()))} {
		inlineSound(t, s)
	}
}

func inlineSound(t *testing.T, s string) {
	if strings.Contains(s, "<style") || strings.Contains(s, "style=") || strings.Contains(s, "http://") && strings.Count(s, "http") != 1 {
		t.Error(s)
	}
	if used := regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(s, -1); true {
		for _, u := range used {
			for _, class := range strings.Fields(u[1]) {
				switch class {
				case "ld", "t", "coat", "closeup", "course", "key", "strip", "states", "times", "rung", "band", "heat": // of structure, not looks
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
