package drawing

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// dryingExample is a coat whose water falls evenly: 1 % of it in each minute.
func dryingExample() Drying {
	d := Drying{Title: "Coat 3, polished-lime 0.08 mm", Says: "20.0 C, 50 %, air at 0.1 m/s", Last: true, Fresh: 0.5, Times: []DryingTime{
		{What: "edge good until", State: "firming", At: 600, Level: 0.45, Says: "10 min"},
		{What: "compress from", State: "compress", At: 1200, Level: 0.4, Says: "20 min", Earliest: 600, Latest: 1500, Between: "10-25 min"},
		{What: "burnish from", State: "burnish", At: 1800, Level: 0.35, Says: "30 min"},
		{What: "gone by", State: "drying", At: 3000, Level: 0.25, Says: "50 min", Earliest: 2400, Latest: 9000, Between: "40-150 min"},
		{What: "dry", State: "dry", At: 4200, Says: "70 min"},
	}}
	for m := range 81 {
		d.Curve = append(d.Curve, Water{60 * float64(m), 0.5 * (1 - float64(m)/100)})
	}
	return d
}

func dryingPicture(t fataler, d Drying) []element {
	return elements(t, func(w io.Writer) error { return DryingSVG(w, d) })
}

// Bars, marks and brackets stand at their times, and the curve passes the levels there.
func TestDryingStandsAtItsTimes(t *testing.T) {
	d := dryingExample()
	all := dryingPicture(t, d)
	soundAll(t, all)
	end := 1.06 * 9000.0
	x := func(m float64) float64 { return plotLeft + (plotRight-plotLeft)*60*m/end }
	want := map[string][2]float64{"wet": {x(0), x(10)}, "firming": {x(10), x(20)}, "compress": {x(20), x(30)}, "burnish": {x(30), x(50)}, "drying": {x(50), x(70)}}
	var marks, levels []float64
	sure := 0
	for _, e := range all {
		class := e.attr["class"]
		if e.name == "rect" && strings.HasSuffix(e.group, "states") {
			w := want[class]
			if got := e.num(t, "x"); math.Abs(got-w[0]) > 0.1 || math.Abs(got+e.num(t, "width")-w[1]) > 0.1 {
				t.Errorf("%s from %.1f to %.1f, not %v", class, got, got+e.num(t, "width"), w)
			}
			delete(want, class)
		}
		switch {
		case class == "mark" && strings.HasSuffix(e.group, "course"):
			marks = append(marks, e.num(t, "x1"))
		case class == "level" && e.name == "line":
			levels = append(levels, e.num(t, "y1"))
		case class == "sure" && strings.HasSuffix(e.group, "times"):
			sure++
		}
	}
	if len(want) > 0 {
		t.Errorf("not drawn: %v", want)
	}
	if !slices.Equal(marks, []float64{round2(x(10)), round2(x(20)), round2(x(30)), round2(x(50))}) || len(levels) != 4 || levels[3] <= levels[2] {
		t.Errorf("marks at %v, levels at %v", marks, levels)
	}
	if sure != 4 { // two brackets, each a bar and its end
		t.Errorf("%d strokes of brackets", sure)
	}
	head, rows := DryingTable(d)
	if len(head) != 3 || len(rows) != 5 || rows[3][2] != "40-150 min" {
		t.Errorf("%v %v", head, rows)
	}
	_, water := WaterTable(d) // the curve ends after 80 min
	if want := [][]string{{"0 min", "100 %"}, {"30 min", "70 %"}, {"60 min", "40 %"}}; !slices.EqualFunc(water, want, slices.Equal) {
		t.Errorf("%v", water)
	}
}

// A coat before a change has a curve and marks of its own, and its times are told.
func TestDryingBefore(t *testing.T) {
	d, b := dryingExample(), dryingExample()
	b.Title = "Coat 3, polished-lime 0.05 mm"
	for i := range b.Times {
		b.Times[i].At /= 2
		b.Times[i].Says = fmt.Sprintf("%.0f min", b.Times[i].At/60)
	}
	for i := range b.Curve {
		b.Curve[i].After /= 2
	}
	d.Before = &b
	all := dryingPicture(t, d)
	soundAll(t, all)
	var now, then []spot
	marks := map[string]int{}
	for _, e := range all {
		if strings.HasSuffix(e.group, "key") {
			continue
		}
		switch e.attr["class"] {
		case "face":
			now = walked(e.attr["d"])
		case "was":
			then = walked(e.attr["d"])
		case "then":
			marks[e.group]++
		}
	}
	// After half the time it has the water that the other has then.
	if a, b := now[len(now)-1], then[len(then)-1]; math.Abs(2*(b.x-plotLeft)-(a.x-plotLeft)) > 0.1 || math.Abs(a.y-b.y) > 0.1 {
		t.Errorf("ends at %v and before at %v", a, b)
	}
	if marks["svg course"] != 4 || marks["svg times"] != 5 {
		t.Errorf("marks of the times before: %v", marks)
	}
	head, rows := DryingTable(d)
	if head[3] != "before" || rows[1][3] != "10 min" {
		t.Errorf("%v %v", head, rows)
	}
	if head, rows := WaterTable(d); len(head) != 3 || rows[1][1] == rows[1][2] {
		t.Errorf("%v %v", head, rows)
	}
	if desc := drawDrying(d).Desc; !strings.Contains(desc, "Dashed, before the change: Coat 3, polished-lime 0.05 mm") || !strings.Contains(desc, "gone by 25 min") {
		t.Error(desc)
	}
}

func round2(v float64) float64 { return math.Round(v*100) / 100 }

// time is any time after laying, or one that is not reached, or none.
var afterLaying = rapid.OneOf(rapid.Float64Range(0, 4e6), rapid.Float64Range(0, 7200), rapid.SampledFrom([]float64{0, math.Inf(1), math.NaN(), -1}))

// Any coat at all gives a sound picture.
func TestAnyDrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.OneOf(rapid.SampledFrom([]string{"", "at once", "from 12 min"}), rapid.String())
		coat := func() Drying {
			d := Drying{Title: words.Draw(t, "title"), Says: words.Draw(t, "says"), Last: rapid.Bool().Draw(t, "last"), Fresh: rapid.Float64Range(-1, 2).Draw(t, "fresh")}
			for range rapid.IntRange(0, 20).Draw(t, "points") {
				d.Curve = append(d.Curve, Water{afterLaying.Draw(t, "after"), rapid.Float64Range(-1, 3).Draw(t, "ratio")})
			}
			for range rapid.IntRange(0, 6).Draw(t, "times") {
				d.Times = append(d.Times, DryingTime{rapid.SampledFrom([]string{"opens", "gone by", "edge good until"}).Draw(t, "what"), rapid.SampledFrom([]string{"", "firming", "compress", "burnish", "drying", "dry"}).Draw(t, "state"),
					afterLaying.Draw(t, "at"), rapid.Float64Range(-0.5, 2).Draw(t, "level"), words.Draw(t, "time"), afterLaying.Draw(t, "earliest"), afterLaying.Draw(t, "latest"), words.Draw(t, "between")})
			}
			return d
		}
		d := coat()
		if rapid.Bool().Draw(t, "compared") {
			b := coat()
			d.Before = &b
		}
		soundAll(t, dryingPicture(t, d))
		DryingTable(d)
		WaterTable(d)
	})
}

// moment is one with a band from two thirds to half as much again.
func moment(at float64) Moment {
	return Moment{at, fmt.Sprintf("%.0f min", at/60), at * 2 / 3, at * 1.5, fmt.Sprintf("%.0f-%.0f min", at/90, at/40)}
}

func ladderExample() Ladder {
	l := Ladder{Title: "polished-lime on primed-board", Says: "20.0 C, 50 %"}
	for i := range 4 {
		k := float64(i + 1)
		l.Rungs = append(l.Rungs, Rung{fmt.Sprintf("0.%d mm", i+1), moment(300 * k), moment(600 * k), moment(1800 * k), moment(3600 * k)})
	}
	return l
}

func ladderPicture(t fataler, l Ladder) []element {
	return elements(t, func(w io.Writer) error { return LadderSVG(w, l) })
}

// Each thickness has its bars at its times, on an even scale or, where times are far apart, on one of powers.
func TestLadderStandsAtItsTimes(t *testing.T) {
	for _, logs := range []bool{false, true} {
		l := ladderExample()
		end := 1.04 * 5400 * 4.0
		x := func(s float64) float64 { return plotLeft + (plotRight-plotLeft)*s/end }
		if logs {
			l.Rungs = append(l.Rungs, Rung{"8 mm", moment(86400), moment(2 * 86400), moment(3 * 86400), moment(10 * 86400)})
			end = 1.04 * 15 * 86400
			x = func(s float64) float64 {
				return plotLeft + (plotRight-plotLeft)*max(math.Log(s/60), 0)/math.Log(end/60)
			}
		}
		all := ladderPicture(t, l)
		soundAll(t, all)
		bars := map[string][][2]float64{}
		var brackets [][2]float64
		for _, e := range all {
			if e.name == "rect" && strings.HasSuffix(e.group, "rung") {
				a := e.num(t, "x")
				bars[e.attr["class"]] = append(bars[e.attr["class"]], [2]float64{a, a + e.num(t, "width")})
			}
			if p := walked(e.attr["d"]); e.attr["class"] == "sure" && strings.HasSuffix(e.group, "rung") && len(p) > 2 {
				brackets = append(brackets, [2]float64{p[0].x, p[3].x})
			}
		}
		for i, r := range l.Rungs {
			for class, w := range map[string][2]float64{"wet": {0, r.Opens.At}, "compress": {r.Opens.At, r.Burnish.At}, "burnish": {r.Burnish.At, r.Closes.At}, "drying": {r.Closes.At, r.Next.At}} {
				a, b := x(max(w[0], 1e-9)), x(w[1])
				if got := bars[class][i]; math.Abs(got[0]-a) > 0.1 || math.Abs(got[1]-b) > 0.1 {
					t.Errorf("powers %v, %s: %s at %v, not %.1f to %.1f", logs, r.Name, class, got, a, b)
				}
			}
			for k, m := range r.moments() {
				if got := brackets[4*i+k]; math.Abs(got[0]-x(m.Earliest)) > 0.1 || math.Abs(got[1]-x(m.Latest)) > 0.1 {
					t.Errorf("powers %v, %s, %s: bracket %v, not %.1f to %.1f", logs, r.Name, m.what, got, x(m.Earliest), x(m.Latest))
				}
			}
		}
		head, rows := LadderTable(l)
		if strings.Join(head, ",") != "thickness,opens,burnish,gone by,next coat" || len(rows) != 2*len(l.Rungs) || !slices.Equal(rows[0], []string{"0.1 mm", "5 min", "10 min", "30 min", "60 min"}) || rows[1][4] != "40-90 min" {
			t.Errorf("%v %v", head, rows)
		}
		if desc := drawLadder(l).Desc; !strings.Contains(desc, "0.2 mm: opens 10 min (8 in 10: 7-15 min), burnish 20 min") {
			t.Error(desc)
		}
	}
}

// Any ladder at all gives a sound picture.
func TestAnyLadder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.OneOf(rapid.SampledFrom([]string{"", "0.1 mm"}), rapid.String())
		l := Ladder{Title: words.Draw(t, "title"), Says: words.Draw(t, "says")}
		for range rapid.IntRange(0, 20).Draw(t, "rungs") {
			at := func(name string) Moment {
				return Moment{afterLaying.Draw(t, name), words.Draw(t, "words"), afterLaying.Draw(t, "earliest"), afterLaying.Draw(t, "latest"), words.Draw(t, "between")}
			}
			l.Rungs = append(l.Rungs, Rung{words.Draw(t, "name"), at("opens"), at("burnish"), at("closes"), at("next")})
		}
		soundAll(t, ladderPicture(t, l))
		LadderTable(l)
	})
}
