package drawing

import (
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// handsExample is invented: two lay in turns, one closes behind them, one does all.
func handsExample() Hands {
	lay, both := []string{"lay"}, []string{"compress", "burnish"}
	at := func(h, m int) time.Time { return clock(14, h, m) }
	bar := func(from, to time.Time, does []string, first, last int, window ...time.Time) HandBar {
		b := HandBar{From: from, To: to, Does: does, First: first, Last: last}
		if len(window) == 2 {
			b.Opens, b.Closes = window[0], window[1]
		}
		return b
	}
	rest := []string{"break"}
	return Hands{Title: "Alder House, stair wall: Tue 14 Apr", From: clock(14, 8, 0), To: clock(14, 17, 0), Rows: []HandRow{
		{"Hand 1", []HandBar{bar(at(8, 0), at(10, 0), lay, 1, 11), bar(at(10, 0), at(10, 20), rest, 0, 0), bar(at(10, 20), at(12, 20), lay, 12, 22), bar(at(13, 0), at(15, 30), []string{"burnish"}, 12, 22, at(12, 50), at(16, 10))}},
		{"Hand 2", []HandBar{bar(at(9, 0), at(10, 30), []string{"compress"}, 1, 11, at(8, 45), at(11, 30)), bar(at(10, 30), at(12, 0), []string{"burnish"}, 1, 11, at(9, 40), at(12, 40)), bar(at(12, 0), at(12, 45), rest, 0, 0), bar(at(12, 45), at(14, 0), []string{"compress"}, 12, 22, at(12, 30), at(14, 20))}},
		{"Hand 3, with the apprentice", []HandBar{bar(at(8, 30), at(9, 0), lay, 23, 24), bar(at(9, 0), at(9, 10), both, 23, 23, at(8, 55), at(9, 25)), bar(at(9, 10), at(9, 20), both, 24, 24, at(9, 5), at(9, 40)), bar(at(11, 0), at(14, 0), both, 25, 44, at(10, 30), at(15, 0))}},
		{"Hand 4", []HandBar{bar(at(8, 0), at(9, 0), lay, 45, 50), bar(at(9, 0), at(12, 30), []string{"lay", "compress", "burnish"}, 51, 60, at(8, 40), at(12, 50)), bar(at(16, 0), at(17, 30), []string{"compress"}, 61, 66, at(15, 30), at(18, 0))}},
	}}
}

func handsPicture(t fataler, h Hands) []element {
	return elements(t, func(w io.Writer) error { return HandsSVG(w, h) })
}

// Bars and windows begin and end where their times are on the axis, each window behind its bar and standing out over and under it.
func TestHandsStandAtTheirTimes(t *testing.T) {
	h := handsExample()
	h.Rows[3].Bars = h.Rows[3].Bars[:2] // none past the working hours
	all := handsPicture(t, h)
	soundAll(t, all)
	x := func(t time.Time) float64 {
		return plotLeft + (plotRight-plotLeft)*t.Sub(h.From).Hours()/h.To.Sub(h.From).Hours()
	}
	var bars, windows []element
	for _, e := range all {
		if e.name != "rect" || e.group != "svg hand" {
			continue
		}
		if e.attr["class"] == "damp" {
			windows = append(windows, e)
		} else {
			bars = append(bars, e)
		}
	}
	stands := func(e element, from, to time.Time) bool {
		a := e.num(t, "x")
		return math.Abs(a-x(from)) < 0.02 && math.Abs(a+e.num(t, "width")-x(to)) < 0.02
	}
	closing := 0
	for _, r := range h.Rows {
		for _, b := range r.Bars {
			high := 0.0
			var first element
			for i, look := range b.looks() {
				if len(bars) == 0 {
					t.Fatal("too few bars")
				}
				e := bars[0]
				bars = bars[1:]
				if e.attr["class"] != look || !stands(e, b.From, b.To) {
					t.Errorf("%s: %v is drawn as %v", r.Name, b, e)
				}
				if i == 0 {
					first = e
				}
				high += e.num(t, "height")
			}
			if math.Abs(high-handBar) > 0.02 {
				t.Errorf("%s: %v is %v high", r.Name, b, high)
			}
			if !b.closing() {
				continue
			}
			closing++
			top := first.num(t, "y")
			if !slices.ContainsFunc(windows, func(w element) bool {
				y := w.num(t, "y")
				return stands(w, b.Opens, b.Closes) && y < top && y+w.num(t, "height") > top+handBar
			}) {
				t.Errorf("%s: %v has no window", r.Name, b)
			}
		}
	}
	if len(bars) > 0 || len(windows) != closing {
		t.Errorf("%d bars more; %d windows for %d", len(bars), len(windows), closing)
	}
}

// Windows of one hand that overlap differ in height, so that both can be seen; one that two bars share is drawn once.
func TestHandWindowsOverlap(t *testing.T) {
	h := handsExample()
	h.Rows = h.Rows[1:2]
	h.Rows[0].Bars[1].Opens, h.Rows[0].Bars[1].Closes = h.Rows[0].Bars[0].Opens, h.Rows[0].Bars[0].Closes
	h.Rows[0].Bars[3].Opens = clock(14, 11, 0)
	var high []float64
	for _, e := range handsPicture(t, h) {
		if e.attr["class"] == "damp" && e.group == "svg hand" {
			high = append(high, e.num(t, "height"))
		}
	}
	if len(high) != 2 || high[0] <= high[1] {
		t.Errorf("heights %v, want the higher behind", high)
	}
}

// What is done is told by patterns, by words and by the patches; the key names each pattern there is, and no other.
func TestHandsInWords(t *testing.T) {
	seen := func(h Hands) map[string]bool {
		out := map[string]bool{}
		for _, e := range handsPicture(t, h) {
			if e.name == "text" {
				out[e.text] = true
			}
		}
		return out
	}
	h := handsExample()
	got := seen(h)
	for _, want := range []string{"Hand 3, with the apprentice", "1-11", "25-44", "61-66", "lay", "compress", "burnish", "compress and burnish in turn", "lay, compress and burnish in turn",
		"break", "damp window", "working hours", "08:00", "18:00"} {
		if !got[want] {
			t.Errorf("%q is not said", want)
		}
	}
	if got["23"] {
		t.Error("a bar of 10 min is named")
	}
	h.Rows = []HandRow{{"One", []HandBar{{From: clock(14, 9, 0), To: clock(14, 10, 0), Does: []string{"lay"}, First: 7, Last: 7}}}}
	got = seen(h)
	for _, not := range []string{"compress", "burnish", "break", "damp window"} {
		if got[not] {
			t.Errorf("%q is in the key", not)
		}
	}
	if !got["7"] || !got["lay"] {
		t.Errorf("%v", got)
	}
	h.Rows[0].Bars[0].Does = []string{"sweep"}
	if got = seen(h); !got["sweep 7"] || !got["break or other work"] || got["lay"] {
		t.Errorf("%v", got)
	}
	desc := drawHands(handsExample()).Desc
	for _, want := range []string{"Hand 1: lay 1-11 08:00 to 10:00; break 10:00 to 10:20;", "Hand 2: compress 1-11 09:00 to 10:30, window 08:45-11:30;"} {
		if !strings.Contains(desc, want) {
			t.Errorf("%q is not in %q", want, desc)
		}
	}
}

// What is not drawn is said: hands past the eighth, and work at no time in the hours shown.
func TestHandsLeft(t *testing.T) {
	h := handsExample()
	h.Rows = append(append(h.Rows, h.Rows...), HandRow{Name: "Hand 9"})
	h.Rows[0].Bars = append(slices.Clone(h.Rows[0].Bars), HandBar{From: clock(17, 9, 0), To: clock(17, 10, 0), Does: []string{"lay"}}, HandBar{})
	all := handsPicture(t, h)
	soundAll(t, all)
	hands, says := 0, ""
	for _, e := range all {
		hands += int(b2f(e.name == "g" && e.attr["class"] == "hand"))
		says += " " + e.text
	}
	if hands != mostHands || !strings.Contains(says, "Hands not drawn: 1 more. Work at no time in these hours: 2. The table has them.") {
		t.Errorf("%d hands; said %s", hands, says)
	}
}

// On the days the clock is changed a bar is as long as it lasts and stands over what the clock shows.
func TestHandsAcrossClockChange(t *testing.T) {
	for _, tc := range []struct {
		month    time.Month
		day      int
		lasts    float64 // h, from 00:00 to 04:00 by the clock
		from, to string
	}{{3, 29, 3, "00:30", "02:30"}, {10, 25, 5, "00:30", "02:30"}} {
		at := func(h, m int) time.Time { return time.Date(2026, tc.month, tc.day, h, m, 0, 0, dublin) }
		// the bar's times are in another zone, as they may be where they were reckoned
		bar := HandBar{From: at(0, 30).UTC(), To: at(2, 30).UTC(), Does: []string{"compress"}, First: 1, Last: 2, Opens: at(0, 0).UTC(), Closes: at(4, 0).UTC()}
		h := Hands{From: at(0, 0), To: at(4, 0), Rows: []HandRow{{"One", []HandBar{bar}}}}
		perHour := (plotRight - plotLeft) / tc.lasts
		ticks := map[string]float64{}
		for _, e := range handsPicture(t, h) {
			switch {
			case e.attr["class"] == "compress" && e.group == "svg hand":
				if got := e.num(t, "width"); math.Abs(got-perHour*(tc.lasts-2)) > 0.02 {
					t.Errorf("%v: %v wide, an hour is %v", tc, got, perHour)
				}
				if got := e.num(t, "x"); math.Abs(got-plotLeft-perHour/2) > 0.02 {
					t.Errorf("%v: at %v", tc, got)
				}
			case e.attr["class"] == "s q mid":
				ticks[e.text] = e.num(t, "x")
			}
		}
		if got, ok := ticks["03:00"]; !ok || math.Abs(got-plotRight+perHour) > 0.02 {
			t.Errorf("%v: 03:00 at %v", tc, got)
		}
		if _, rows := HandsTable(h); rows[0][1] != tc.from || rows[0][2] != tc.to || rows[0][5] != "00:00-04:00" {
			t.Errorf("%v: %v", tc, rows)
		}
	}
}

func TestHandsTable(t *testing.T) {
	h := handsExample()
	h.Rows[3].Bars = append(h.Rows[3].Bars, HandBar{From: clock(14, 23, 30), To: clock(15, 0, 30), Does: []string{"lay"}, First: 67})
	head, rows := HandsTable(h)
	if len(head) != 6 || len(rows) != 16 || !slices.Equal(rows[1], []string{"Hand 1", "10:00", "10:20", "break", "", ""}) ||
		!slices.Equal(rows[11], []string{"Hand 3, with the apprentice", "11:00", "14:00", "compress and burnish in turn", "25-44", "10:30-15:00"}) ||
		!slices.Equal(rows[15], []string{"Hand 4", "23:30", "Wed 00:30", "lay", "67", ""}) {
		t.Errorf("%v %v", head, rows)
	}
}

func TestHandsDegenerate(t *testing.T) {
	far := time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
	lay := []HandBar{{From: clock(14, 9, 0), To: clock(14, 10, 0), Does: []string{"lay"}, First: 1, Last: 3}}
	for i, h := range []Hands{{}, {Rows: []HandRow{{}}}, {From: clock(14, 17, 0), To: clock(14, 8, 0)}, {Rows: []HandRow{{"One", []HandBar{{From: far, To: clock(14, 8, 0)}}}}}} {
		all := handsPicture(t, h)
		soundAll(t, all)
		if !slices.ContainsFunc(all, func(e element) bool { return e.text == "No hand has work on this day." }) {
			t.Errorf("%d: nothing is said", i)
		}
	}
	for _, h := range []Hands{{Rows: []HandRow{{"One", lay}}}, {From: far, Rows: []HandRow{{"One", lay}}}, {From: clock(1, 0, 0), To: far, Rows: []HandRow{{"One", lay}}}, {From: clock(14, 8, 0), To: clock(14, 8, 1), Rows: []HandRow{{"One", lay}}}} {
		all := handsPicture(t, h)
		soundAll(t, all)
		if !slices.ContainsFunc(all, func(e element) bool { return e.attr["class"] == "lay" && e.group == "svg hand" }) {
			t.Error("no bar")
		}
		HandsTable(h)
	}
}

// Any day at all gives a sound picture.
func TestAnyHands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zone := rapid.SampledFrom([]*time.Location{time.UTC, dublin, time.FixedZone("odd", 5*3600+45*60)}).Draw(t, "zone")
		base := time.Date(2026, time.Month(rapid.IntRange(1, 12).Draw(t, "month")), rapid.IntRange(1, 31).Draw(t, "day"), 8, 0, 0, 0, zone)
		moment := rapid.Custom(func(t *rapid.T) time.Time {
			switch rapid.IntRange(0, 12).Draw(t, "kind") {
			case 0:
				return time.Time{}
			case 1:
				return base.AddDate(rapid.IntRange(-3000, 7000).Draw(t, "years"), 0, 0)
			}
			return base.Add(time.Duration(rapid.IntRange(-200, 900).Draw(t, "minutes")) * time.Minute)
		})
		word := rapid.OneOf(rapid.SampledFrom([]string{"lay", "compress", "burnish", "break"}), rapid.SampledFrom([]string{"lay", "compress", "burnish", "break"}), rapid.String())
		patch := rapid.SampledFrom([]int{0, 1, 22, 103, -4, math.MaxInt})
		h := Hands{Title: rapid.String().Draw(t, "title"), From: moment.Draw(t, "from"), To: moment.Draw(t, "to")}
		if rapid.Bool().Draw(t, "hours") {
			h.From, h.To = base, base.Add(9*time.Hour)
		}
		for range rapid.IntRange(0, 10).Draw(t, "hands") {
			r := HandRow{Name: rapid.String().Draw(t, "name")}
			at := base
			for range rapid.SampledFrom([]int{0, 1, 4, 20}).Draw(t, "bars") {
				b := HandBar{From: moment.Draw(t, "bar from"), To: moment.Draw(t, "bar to"), Does: rapid.SliceOfN(word, 0, 4).Draw(t, "does"), First: patch.Draw(t, "first"), Last: patch.Draw(t, "last"), Opens: moment.Draw(t, "opens"), Closes: moment.Draw(t, "closes")}
				if rapid.Bool().Draw(t, "follows") {
					b.From, b.To = at, at.Add(time.Duration(rapid.IntRange(1, 200).Draw(t, "lasts"))*time.Minute)
					at = b.To
				}
				r.Bars = append(r.Bars, b)
			}
			h.Rows = append(h.Rows, r)
		}
		HandsTable(h)
		soundAll(t, handsPicture(t, h))
	})
}

func TestHandsHostileNames(t *testing.T) {
	for _, bad := range hostile {
		h := handsExample()
		h.Title, h.Rows[0].Name, h.Rows[0].Bars[0].Does = bad, bad, []string{bad, "lay", bad}
		h.Rows[1].Bars[0].Does = []string{bad}
		soundAll(t, handsPicture(t, h))
	}
}

// Without colour what is done, a break and the damp window still differ.
func TestHandsGreyscale(t *testing.T) {
	differ(t, "lay", "compress", "burnish", "pause", "damp", "hours")
}

func TestHandsInline(t *testing.T) {
	h := handsExample()
	h.ID = "hands-1"
	s := string(HandsInline(h))
	ruled(t, s, "ld", "t", "key", "hand")
	for _, want := range []string{`id="hands-1-title"`, `fill="url(#hands-1-lay)"`, `fill="url(#hands-1-damp)"`} {
		if !strings.Contains(s, want) {
			t.Errorf("%s is not in it", want)
		}
	}
	if err := HandsSVG(full{}, h); err == nil {
		t.Error("no error")
	}
}
