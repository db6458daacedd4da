package drawing

import (
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"
)

// Heights of the rows. A map with numbers has them over its cells.
const (
	yearRow   = 18.0
	thinYear  = 7.0 // where there are so many years that not each can be named
	manyYears = 30
	cell      = 24.0
	thinCell  = 17.0
	// numbered is how many rows of all maps together may have numbers; past it only those of the first do.
	numbered = 8
)

const column = (plotRight - plotLeft) / halves

// SeasonSVG writes s as a file of its own, with its one style element.
func SeasonSVG(w io.Writer, s Season) error { return writeFile(w, drawSeason(s)) }

// SeasonInline is s for a page whose style element holds Style.
func SeasonInline(s Season) template.HTML { return inline(drawSeason(s)) }

// drawSeason lays the picture out: the band over the years and the maps, all on one axis of months.
func drawSeason(s Season) *figure {
	f := newFigure(s.ID)
	s = s.tidy()
	f.Title, f.Desc = strings.TrimSuffix(s.Title+": "+s.Says, ": "), s.describe()
	y := f.lines("h", margin+15, 21, headSize, s.Title, 1)
	y = f.lines("h", y, 21, headSize, s.Says, 2)
	y = f.lines("s q", y, 18, smallSize, s.From, 2) - 4
	if len(s.Band.Years) > 0 || len(s.Band.Notes) > 0 {
		y = f.band(s, y)
	}
	total := 0
	for _, m := range s.Maps {
		total += len(m.Rows)
	}
	for i, m := range s.Maps {
		y = f.heat(s, m, i == 0 || total <= numbered, y)
	}
	y = f.seasonKey(y + 10)
	f.Height = num(y + margin)
	f.Marks[0].H = f.Height
	return f
}

// lines writes s from the base line y on, broken at its blanks into at most most lines, and gives the next base line.
func (f *figure) lines(class string, y, step, size float64, s string, most int) float64 {
	bold := class == "h"
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }) // not at what is meant to keep words together
	for n := 1; len(words) > 0; n++ {
		line, rest := words[0], words[1:]
		for len(rest) > 0 && (n == most || wide(line+" "+rest[0], size, bold) <= width-2*margin) {
			line, rest = line+" "+rest[0], rest[1:]
		}
		f.text(class, margin, y, fit(line, size, bold, width-2*margin))
		y, words = y+step, rest
	}
	return y
}

// months writes the months' names on base line y.
func (f *figure) months(s Season, y float64) {
	for i := range 12 {
		f.text("s q mid", plotLeft+column*(2*float64(i)+1), y, s.month(i).String()[:3])
	}
}

// monthGrid puts the lines between the months under the marks from index under on.
func (f *figure) monthGrid(under int, top, bottom float64) {
	above := append([]mark{}, f.Marks[under:]...)
	f.Marks = f.Marks[:under]
	for i := range 13 {
		x := plotLeft + column*2*float64(i)
		f.line("grid", x, top, x, bottom)
	}
	f.Marks = append(f.Marks, above...)
}

// at is where d begins, or with end where it is over.
func (s Season) at(d Date, end bool) float64 {
	i := int(d.Month-s.month(0)+12) % 12
	day := float64(d.Day - 1)
	if end {
		day++
	}
	half, long := 0.0, 15.0
	if d.Day > 15 {
		half, long, day = 1, float64(longestMonth(d.Month)-15), day-15
	}
	return plotLeft + column*(2*float64(i)+half+day/long)
}

// band draws the years from y on.
func (f *figure) band(s Season, y float64) float64 {
	f.open("band")
	defer f.shut()
	y = f.lines("t", y+18, 18, textSize, s.Band.Head, 2) - 18
	for _, n := range s.Band.Notes {
		y = f.lines("s", y+18, 18, smallSize, n, 3) - 18
	}
	if len(s.Band.Years) == 0 {
		return y + 4
	}
	y = f.dateWords(s, false, y)
	f.months(s, y+18)
	top, under := y+24, len(f.Marks)
	row, each := yearRow, 1
	if n := len(s.Band.Years); n > manyYears {
		row, each = thinYear, int(math.Ceil(yearRow/thinYear))
	}
	for i, year := range s.Band.Years {
		base := top + row*float64(i+1)
		if i%each == 0 {
			f.text("s q end", plotLeft-6, base-row/2+5, fit(year.Label, smallSize, false, plotLeft-8))
		}
		f.safe(s, year, base-row, row, each == 1)
	}
	bottom := top + row*float64(len(s.Band.Years)) + 2
	bottom = max(bottom, top+yearRow+2)
	f.monthGrid(under, top, bottom)
	for _, l := range s.Band.Lines {
		x, class := s.at(l.Date, l.End), "nearly"
		if l.Usual {
			class = "half"
		}
		f.line(class, x, top-2, x, bottom+2)
	}
	return f.dateWords(s, true, bottom+2)
}

// dateWords writes what the lines say: those of nearly all years over the band, those of half of them under it.
func (f *figure) dateWords(s Season, usual bool, y float64) float64 {
	var labels []label
	for _, l := range s.Band.Lines {
		if l.Usual == usual && l.Says != "" {
			labels = append(labels, label{x: s.at(l.Date, l.End), text: l.Says})
		}
	}
	tiers := pack(labels, smallSize, margin, width-margin)
	for _, l := range labels {
		f.text("s", l.at, y+18+17*float64(l.tier), l.text)
	}
	return y + 17*float64(tiers) + 2
}

// safe draws one year's safe days in a row from y on.
func (f *figure) safe(s Season, year SafeYear, y, row float64, words bool) {
	h := max(row-8, row/2)
	mid := y + row/2
	if year.None {
		if words {
			f.text("s q mid", (plotLeft+plotRight)/2, mid+5, "no safe day")
		}
		f.has["none"] = true
		return
	}
	type part struct {
		a, b        float64
		first, last bool
	}
	a, b := s.at(year.First, false), s.at(year.Last, true)
	parts := []part{{a, b, true, true}}
	if b <= a { // over the end of the axis
		parts = []part{{a, plotRight, true, false}, {plotLeft, b, false, true}}
	}
	for _, p := range parts {
		f.rect("safe", p.a, mid-h/2, p.b-p.a, h)
		if p.first {
			f.line("stop", p.a, mid-row/2+1, p.a, mid+row/2-1)
		}
		switch {
		case p.last && year.Open: // no upright closes it, and an arrow says so
			f.path("open", fmt.Sprintf("M%s %sl5 %sl-5 %s", num(min(p.b+2, plotRight+6)), num(mid-h/2), num(h/2), num(h/2)))
		case p.last:
			f.line("stop", p.b, mid-row/2+1, p.b, mid+row/2-1)
		}
	}
}

// heat draws a map from y on: a cell for each half-month, filled from below by the share.
func (f *figure) heat(s Season, m Map, numbers bool, y float64) float64 {
	if len(m.Rows) == 0 {
		return y
	}
	f.open("heat")
	defer f.shut()
	y = f.lines("t", y+24, 18, textSize, m.Head, 2) - 18
	f.months(s, y+19)
	y += 24
	beside := true // whether the labels have room left of the cells
	for _, r := range m.Rows {
		beside = beside && wide(r.Label, smallSize, false) <= plotLeft-8
	}
	for _, r := range m.Rows {
		h := thinCell
		if !beside {
			f.text("s", margin, y+15, fit(r.Label, smallSize, false, width-2*margin))
			y += 19
		}
		if numbers {
			h = cell
			said := ""
			for i := range halves {
				class, says := "s mid", inTen(r.share(i))
				if says == "0" {
					class = "s q mid"
				}
				if says == "10" && said == "10" { // they would run into each other: every other says it
					says = ""
				}
				f.text(class, plotLeft+column*(float64(i)+0.5), y+15, says)
				said = says
			}
			y += 19
		}
		if beside {
			f.text("s q end", plotLeft-6, y+h/2+5, r.Label)
		}
		for i := range halves {
			f.cell(plotLeft+column*float64(i)+0.75, y, column-1.5, h, r.share(i))
		}
		f.line("rule", plotLeft, y+h, plotRight, y+h)
		y += h + 7
	}
	return y
}

// cell is one share: the frame is the whole, the filling the part.
func (f *figure) cell(x, y, w, h, share float64) {
	if math.IsNaN(share) {
		f.rect("drying", x, y, w, h)
		return
	}
	f.rect("whole", x, y, w, h)
	if share > 0 {
		f.rect("share", x, y+h*(1-share), w, h*share)
	}
}

// seasonKey explains what was drawn, from y on.
func (f *figure) seasonKey(y float64) float64 {
	x, row, any := margin, y, false
	for _, k := range []struct{ class, says string }{
		{"share", "days in ten that can be worked"}, {"drying", "weather not known"}, {"safe", "frost-safe to lay"}, {"open", "goes on past the weather known"},
	} {
		if !f.has[k.class] && (k.class != "share" || !f.has["whole"]) {
			continue
		}
		lead := 34.0
		if k.class == "share" {
			lead = 66
		}
		w := lead + wide(k.says, smallSize, false) + 14
		if x+w-14 > width-margin {
			x, row = margin, row+24
		}
		f.open("key")
		switch k.class {
		case "share":
			for i, v := range []float64{0.2, 0.5, 0.8} {
				f.cell(x+19*float64(i), row+2, column-1.5, 17, v)
			}
		case "open":
			f.path("open", fmt.Sprintf("M%s %sl5 5l-5 5", num(x+12), num(row+6)))
		case "safe":
			f.rect("safe", x, row+6, 28, 10)
			f.line("stop", x, row+3, x, row+19)
			f.line("stop", x+28, row+3, x+28, row+19)
		default:
			f.rect(k.class, x, row+2, column-1.5, 17)
		}
		f.text("s", x+lead, row+16, k.says)
		f.shut()
		x += w
		any = true
	}
	if !any {
		return y
	}
	return row + 20
}
