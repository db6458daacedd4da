package drawing

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// seasonExample is invented.
func seasonExample() Season {
	s := Season{Title: "Lodge, Copse Lane", Says: "Frost-safe to lay from 24 Apr to 18 Sep in 9 years of 10.",
		From: "Invented weather, 2015 to 2024",
		Band: Band{Head: "Laid between these dates, it stays safe from frost", Lines: []DateLine{
			{Date: Date{4, 24}, Says: "9 years in 10: from 24 Apr"}, {Date: Date{9, 18}, End: true, Says: "to 18 Sep"},
			{Date: Date{4, 8}, Usual: true, Says: "half the years: from 8 Apr"}, {Date: Date{10, 4}, End: true, Usual: true, Says: "to 4 Oct"}}}}
	for i := range 10 {
		y := SafeYear{Label: fmt.Sprint(2015 + i), First: Date{4, 2 + 2*((i*7)%11)}, Last: Date{9, 12 + (i*5)%18}}
		y.None, y.Open = i == 4, i == 9
		s.Band.Years = append(s.Band.Years, y)
	}
	shares := func(peak, shift float64) (v []float64) {
		for i := range halves {
			v = append(v, max(0, peak-math.Pow((float64(i)-11.5-shift)/8, 2)))
		}
		return v
	}
	walls := Map{Head: "Days in ten that can be worked, from the best start"}
	for i, n := range []string{"south gable, looking south", "lane side, looking north-east"} {
		r := MapRow{n, shares(1-0.2*float64(i), float64(i))}
		r.Shares[20] = []float64{0, math.NaN()}[i]
		walls.Rows = append(walls.Rows, r)
	}
	s.Maps = append(s.Maps, walls)
	for i, n := range []string{"south gable", "lane side"} {
		m := Map{Head: n + ", by the hour of starting"}
		for k, at := range []string{"08:00", "11:00", "14:00"} {
			m.Rows = append(m.Rows, MapRow{at, shares(0.8-0.2*float64(i)-0.15*float64(k), float64(k))})
		}
		s.Maps = append(s.Maps, m)
	}
	return s
}

func seasonPicture(t fataler, s Season) []element {
	return elements(t, func(w io.Writer) error { return SeasonSVG(w, s) })
}

func TestSeasonSound(t *testing.T) {
	soundAll(t, seasonPicture(t, seasonExample()))
	soundAll(t, seasonPicture(t, Season{}))
}

// A cell's filling is as high, and its number as great, as its share; a share that is not known has neither.
func TestCellsShowTheirShares(t *testing.T) {
	s := seasonExample()
	frames, filled, dotted := 0, map[string]element{}, 0
	numbers := map[string]string{}
	for _, e := range seasonPicture(t, s) {
		if e.group != "svg heat" {
			continue
		}
		switch e.attr["class"] {
		case "whole":
			frames++
			if e.num(t, "height") != cell {
				t.Errorf("a frame is %v high", e.num(t, "height"))
			}
		case "share":
			filled[e.attr["x"]+" "+num(e.num(t, "y")+e.num(t, "height"))] = e
		case "drying":
			dotted++
		case "s mid", "s q mid":
			numbers[e.attr["x"]+" "+e.attr["y"]] = e.text
		}
	}
	known, some := 0, 0
	for _, m := range s.Maps {
		for _, r := range m.Rows {
			for _, v := range r.Shares {
				if !math.IsNaN(v) {
					known++
				}
				if v > 0 {
					some++
				}
			}
		}
	}
	if frames != known || dotted != 1 || len(filled) != some {
		t.Errorf("%d frames of %d, %d dotted of 1, %d filled of %d", frames, known, dotted, len(filled), some)
	}
	// The first row, cell by cell.
	first := math.Inf(1)
	for _, e := range filled {
		first = min(first, e.num(t, "y")+e.num(t, "height"))
	}
	for i, v := range s.Maps[0].Rows[0].Shares {
		e, ok := filled[num(plotLeft+column*float64(i)+0.75)+" "+num(first)]
		switch {
		case v == 0 && ok, v > 0 && !ok:
			t.Errorf("share %v of half-month %d: filled %v", v, i, ok)
		case ok && math.Abs(e.num(t, "height")-cell*v) > 0.01:
			t.Errorf("share %v of half-month %d is filled to %v of %v", v, i, e.num(t, "height"), cell)
		}
		if got := numbers[num(plotLeft+column*(float64(i)+0.5))+" "+num(first-cell-4)]; got != fmt.Sprintf("%.0f", 10*v) && v < 0.95 {
			t.Errorf("share %v of half-month %d has the number %q", v, i, got)
		}
	}
}

// The band of each year stands at its dates, on the axis of the maps, from January or from July.
func TestBandStandsAtItsDates(t *testing.T) {
	year := func(d Date, july bool) float64 { // of the year, months as long as each other
		m := float64(d.Month - 1)
		if july {
			m = math.Mod(m+6, 12)
		}
		half := float64(d.Day-1) / 30
		if d.Day > 15 {
			half = 0.5 + 0.5*float64(d.Day-16)/float64(longestMonth(d.Month)-15)
		}
		return plotLeft + (plotRight-plotLeft)*(m+half)/12
	}
	for _, tc := range []struct {
		july        bool
		first, last Date
		parts       int
	}{{false, Date{4, 24}, Date{9, 18}, 1}, {true, Date{10, 20}, Date{3, 7}, 1}, {false, Date{1, 1}, Date{12, 31}, 1}, {true, Date{7, 1}, Date{6, 30}, 1}, {false, Date{10, 20}, Date{3, 7}, 2}} {
		s := Season{July: tc.july, Band: Band{Years: []SafeYear{{Label: "2015", First: tc.first, Last: tc.last}}}}
		var bars []element
		for _, e := range seasonPicture(t, s) {
			if e.attr["class"] == "safe" && e.group == "svg band" {
				bars = append(bars, e)
			}
		}
		if len(bars) != tc.parts {
			t.Fatalf("%v: %d bars", tc, len(bars))
		}
		end := bars[len(bars)-1]
		a, b := bars[0].num(t, "x"), end.num(t, "x")+end.num(t, "width")
		if math.Abs(a-year(tc.first, tc.july)) > 0.1 || math.Abs(b-year(tc.last, tc.july)) > 1.4 || b < year(tc.last, tc.july)+1 { // the last day belongs to it
			t.Errorf("%v: from %v to %v", tc, a, b)
		}
	}
}

// What the band cannot show by a bar is said, and an open end has an arrow in place of an upright.
func TestBandInWords(t *testing.T) {
	seen, stops, arrows := map[string]bool{}, 0, 0
	for _, e := range seasonPicture(t, seasonExample()) {
		seen[e.text] = true
		if e.group == "svg band" {
			stops += int(b2f(e.attr["class"] == "stop"))
			arrows += int(b2f(e.attr["class"] == "open"))
		}
	}
	for _, want := range []string{"no safe day", "9 years in 10: from 24 Apr", "to 4 Oct", "2019", "Jan", "goes on past the weather known"} {
		if !seen[want] {
			t.Errorf("%q is not said", want)
		}
	}
	if stops != 2*8+1 || arrows != 1 {
		t.Errorf("%d ends, %d open", stops, arrows)
	}
	quiet := Season{Band: Band{Notes: []string{"No frost in these years."}}}
	if e := seasonPicture(t, quiet); !strings.Contains(fmt.Sprint(e), "No frost in these years.") {
		t.Errorf("%v", e)
	}
	desc := seasonExample().describe()
	for _, want := range []string{"2015: from 2 Apr to 12 Sep.", "2019: no safe day.", "where the weather ends", "from January", "08:00: 0, 0", "not known"} {
		if !strings.Contains(desc, want) {
			t.Errorf("%q is not in %q", want, desc)
		}
	}
}

func TestSeasonTable(t *testing.T) {
	s := seasonExample()
	head, rows := s.Table(s.Maps[0])
	if len(head) != 3 || head[2] != "lane side, looking north-east" || len(rows) != halves || rows[3][0] != "16-29 Feb" || rows[20][2] != "not known" || rows[11][1] != "100 %" {
		t.Errorf("%v %v", head, rows)
	}
	s.July = true
	if _, rows = s.Table(s.Maps[0]); rows[0][0] != "1-15 Jul" || rows[23][0] != "16-30 Jun" {
		t.Errorf("%v", rows)
	}
}

// Any years at all give a sound picture.
func TestAnySeason(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		says := rapid.OneOf(rapid.SampledFrom([]string{"", "to 18 Sep", "9 years in 10: from 24 Apr", "a wall, looking south-west"}), rapid.String())
		date := rapid.Custom(func(t *rapid.T) Date {
			return Date{time.Month(rapid.IntRange(-3, 15).Draw(t, "month")), rapid.IntRange(-3, 40).Draw(t, "day")}
		})
		share := rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 1, math.NaN(), math.Inf(1), math.Inf(-1), -3, 7}))
		s := Season{Title: rapid.String().Draw(t, "title"), Says: says.Draw(t, "says"), From: says.Draw(t, "from"), July: rapid.Bool().Draw(t, "july")}
		s.Band.Head = says.Draw(t, "band")
		for range rapid.SampledFrom([]int{0, 1, 2, 10, 30, 31, 80}).Draw(t, "years") {
			s.Band.Years = append(s.Band.Years, SafeYear{says.Draw(t, "label"), date.Draw(t, "first"), date.Draw(t, "last"), rapid.Bool().Draw(t, "none"), rapid.Bool().Draw(t, "open")})
		}
		for range rapid.IntRange(0, 6).Draw(t, "lines") {
			s.Band.Lines = append(s.Band.Lines, DateLine{date.Draw(t, "line"), rapid.Bool().Draw(t, "end"), rapid.Bool().Draw(t, "usual"), says.Draw(t, "line says")})
		}
		s.Band.Notes = rapid.SliceOfN(says, 0, 3).Draw(t, "notes")
		for range rapid.IntRange(0, 4).Draw(t, "maps") {
			m := Map{Head: says.Draw(t, "map")}
			for range rapid.IntRange(0, 6).Draw(t, "rows") {
				m.Rows = append(m.Rows, MapRow{says.Draw(t, "row"), rapid.SliceOfN(share, 0, 30).Draw(t, "shares")})
			}
			s.Maps = append(s.Maps, m)
			s.Table(m)
		}
		soundAll(t, seasonPicture(t, s))
	})
}

func TestSeasonHostileNames(t *testing.T) {
	for _, bad := range []string{`</title><script>alert(1)</script>`, `"><svg onload="x">`, "]]>&amp;&#0;\x00\x01\uFFFE\xff", strings.Repeat("漢字", 200), strings.Repeat("W", 300), "\u202egnp"} {
		s := seasonExample()
		s.Title, s.Says, s.From, s.Band.Head, s.Band.Years[0].Label, s.Band.Lines[0].Says = bad, bad, bad, bad, bad, bad
		s.Band.Notes, s.Maps[0].Head, s.Maps[0].Rows[0].Label = []string{bad}, bad, bad
		soundAll(t, seasonPicture(t, s))
	}
}

// Without colour a filling, its frame, a band, its ends and the two kinds of date line still differ.
func TestSeasonGreyscale(t *testing.T) {
	seen := map[string]string{}
	for _, class := range []string{"share", "whole", "safe", "drying", "stop", "nearly", "half", "grid"} {
		m := regexp.MustCompile(`(?m)^\.ld \.` + class + `\{(.*)\}$`).FindStringSubmatch(Style)
		if m == nil {
			t.Fatalf("no rule for %s", class)
		}
		r := regexp.MustCompile(`var\(--(wet|work|off|ink|quiet)\)`).ReplaceAllString(m[1], "dark")
		r = regexp.MustCompile(`var\(--(paper|hours|rule)\)`).ReplaceAllString(r, "pale")
		if other, ok := seen[r]; ok {
			t.Errorf("%s and %s differ by colour alone", class, other)
		}
		seen[r] = class
	}
	// The filling stands out from its frame, and the outline of a band from the ground.
	for theme, c := range themes(t) {
		if got := contrast(c["work"], c["hours"]); got < 3 {
			t.Errorf("%s: a filling has %.2f:1", theme, got)
		}
	}
}

func TestSeasonInline(t *testing.T) {
	s := string(SeasonInline(seasonExample()))
	if strings.Contains(s, "<style") || strings.Contains(s, "style=") || strings.Count(s, "http") != 1 {
		t.Error(s)
	}
	for _, u := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(s, -1) {
		for _, class := range strings.Fields(u[1]) {
			switch class {
			case "ld", "t", "band", "heat", "key": // of structure, not looks
				continue
			}
			if !strings.Contains(Style, ".ld ."+class+"{") {
				t.Errorf("class %s has no rule", class)
			}
		}
	}
}

func TestSeasonFullDisk(t *testing.T) {
	if err := SeasonSVG(full{}, seasonExample()); err == nil {
		t.Error("no error")
	}
}

func BenchmarkSeasonSVG(b *testing.B) {
	s := seasonExample()
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := SeasonSVG(&out, s); err != nil {
			b.Fatal(err)
		}
	}
}
