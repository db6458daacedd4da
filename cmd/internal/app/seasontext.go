package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/message"
	"limeday/drying/season"
)

// seasonText is the season on the screen: the frost-safe part of the year, the half-months of the first wall, the walls beside
// each other, and what it all rests on. With detail every wall has its half-months and its years.
func seasonText(r season.Result, u quantity.Units, detail bool) string {
	var b strings.Builder
	b.WriteString(wrap("", seasonTitle(r)+": the season, from "+yearsText(r)))
	if len(r.Walls) == 0 {
		return b.String()
	}
	b.WriteString("\n" + frostSafeText(r, detail))
	shown := r.Walls[:1]
	if detail {
		shown = r.Walls
	}
	for _, w := range shown {
		b.WriteString("\n" + halvesText(r, w, detail))
	}
	if len(r.Walls) > 1 {
		b.WriteString("\n" + seasonWallsText(r))
	}
	b.WriteString("\n" + runsText(r) + weatherText(r, u, detail))
	b.WriteString(wrap(text.Label("Unknown"), "the weather to come, of which years gone by are the best guess; "+drying.Unknowns()+". No warranty against frost."))
	b.WriteString(wrap(text.Label("Danger"), strings.Join(drying.Cautions(), " ")))
	return b.String()
}

// frostSafeText is between which days a wall can be laid and stays safe from frost.
func frostSafeText(r season.Result, detail bool) string {
	var b strings.Builder
	f := r.Walls[0].Frost
	b.WriteString(wrap("", "Frost-safe to lay ("+orWord(f.Finish, "the last coat")+"):"))
	alike := !slices.ContainsFunc(r.Walls, func(w season.Wall) bool { return frostRows(r, w.Frost) != frostRows(r, f) })
	for _, w := range r.Walls {
		if !alike {
			b.WriteString(wrap("  ", w.Name+", looking "+view.Looking(w.Bearing)))
		}
		b.WriteString(frostRows(r, w.Frost))
		if alike {
			break
		}
	}
	if s := fewYears(r, f); s != "" {
		b.WriteString(wrap("  ", s))
	}
	if f.Days[2] > 0 {
		b.WriteString(wrap("  ", fmt.Sprintf("Published advice varies: no frost for %.0f to %.0f days after laying, longer in the cold; %.0f here.",
			f.Days[0], f.Days[2], f.Days[1])))
	}
	if detail {
		b.WriteString(wrap("  ", season.Custom()))
		for _, w := range r.Walls {
			b.WriteString(frostYearsText(r, w))
		}
	} else if s := physicsText(r, f); s != "" {
		b.WriteString(wrap("  ", s))
	}
	return b.String()
}

// frostRows are the dates by their shares of years.
func frostRows(r season.Result, f season.FrostSafe) string {
	if s := noOdds(r, f); s != "" {
		if r.Typical {
			s += " It is put together from months of many years, and the standard it is made by, ISO 15927-4, itself leaves out the extremes that do moisture damage: the frosts that matter are not in it. Weather of real years gives odds."
		}
		return wrap("  ", s)
	}
	b := ""
	for _, s := range f.Safe {
		b += wrap(fmt.Sprintf("  %-20s  ", inYears(s.Share)), safeDates(s))
	}
	return b
}

// physicsText sets the model's frosts beside what advice forbids.
func physicsText(r season.Result, f season.FrostSafe) string {
	if r.Typical || len(f.Years) == 0 {
		return ""
	}
	physics, rule := 0, 0
	for _, y := range f.Years {
		physics, rule = physics+y.Physics, rule+y.Rule
	}
	n := float64(len(f.Years))
	if physics+rule == 0 {
		return ""
	}
	return fmt.Sprintf("Of a year's days, about %.0f are followed by frost in a coat still wet enough to be harmed; advice rules out %.0f more, whose coats dry in time by the model.",
		math.Round(float64(physics)/n), math.Round(float64(rule)/n))
}

// frostYearsText is every year's.
func frostYearsText(r season.Result, w season.Wall) string {
	if r.Typical || w.Frost.Never || len(w.Frost.Years) == 0 {
		return ""
	}
	const row = "  %-8s %-8s %-20s %12s %12s"
	line := func(a ...any) string { return strings.TrimRight(fmt.Sprintf(row, a...), " ") + "\n" }
	s := "\n" + wrap("  ", w.Name+", looking "+view.Looking(w.Bearing)+": safe to lay, and days that are not")
	s += line("year", "from", "to", "freeze wet", "by advice")
	for _, y := range w.Frost.Years {
		from, to := "no safe", "day"
		if !y.First.IsZero() {
			from, to = y.First.Format("2 Jan"), y.Last.Format("2 Jan")
			if y.Open {
				to += ", weather ends"
			}
		}
		s += line(yearName(y.Year, r.South), from, to, fmt.Sprint(y.Physics), fmt.Sprint(y.Rule))
	}
	return s + wrap("  ", "Freeze wet: the coat freezes while its pores hold more than they may. By advice: frost within the days that advice keeps free of it, in a coat that the model finds dry enough.")
}

// halfRow is a row of the half-months.
const halfRow = "%-9s %3s %6s %4s  %-5s  %-9s %-10s "

// halvesText is the half-months of a wall.
func halvesText(r season.Result, w season.Wall, detail bool) string {
	var b strings.Builder
	b.WriteString(wrap("", orWord(w.Name, "the wall")+", looking "+view.Looking(w.Bearing)+": of a hundred days, how many can be worked"))
	head := func(a ...any) { b.WriteString(strings.TrimRight(fmt.Sprintf(halfRow+"%s", a...), " ") + "\n") }
	if r.Typical {
		head("", "", "", "", "best", "last coat", "", "")
		head("", "", "mean", "", "start", "opens", "window", "lost to")
	} else {
		head("", "", "", "", "best", "last coat", "", "")
		head("", "low", "likely", "high", "start", "opens", "window", "lost to")
	}
	for _, p := range w.Periods {
		b.WriteString(halfText(r, p, detail))
	}
	if !r.Typical && len(r.Years) > 1 {
		b.WriteString(wrap("", "Low and high: a year in ten has fewer, a year in ten more. Opens: after laying; window: from burnish to gone by; eight days in ten."))
	} else {
		b.WriteString(wrap("", "Opens: after laying; window: from burnish to gone by; eight days in ten."))
	}
	return b.String()
}

func halfText(r season.Result, p season.Period, detail bool) string {
	low, likely, high := percent(p.Workable.Low), percent(p.Workable.Likely), percent(p.Workable.High)
	if r.Typical {
		low, high = "", ""
	}
	if !p.Known() {
		low, likely, high = "", "?", ""
	}
	start, opens, window := "-", "-", "-"
	if p.Best >= 0 && p.Best < len(r.Starts) {
		start = clockAt(r.Starts[p.Best])
	}
	if p.Good > 0 {
		opens, window = view.Counted(60*p.Opens.Low, 60*p.Opens.High), view.Counted(60*p.Window.Low, 60*p.Window.High)
	}
	lead := fmt.Sprintf(halfRow, halfName(p), low, likely, high, start, opens, window)
	var lost []string
	for _, l := range p.Lost {
		if l.Share < 0.005 {
			continue
		}
		lost = append(lost, together(string(l.Why)+" "+percent(l.Share)))
	}
	if !detail { // as many as fit the line, the first at least
		for len(lost) > 1 && text.Wide(lead+strings.Join(lost, ", ")) > width {
			lost = lost[:len(lost)-1]
		}
	}
	return wrap(lead, strings.Join(lost, ", "))
}

// seasonWallsText sets the walls beside each other.
func seasonWallsText(r season.Result) string {
	s := ""
	for i, w := range r.Walls {
		name := ""
		if i == 0 {
			name = "Walls"
		}
		says := fmt.Sprintf("%s, looking %s: about %.0f days a year can be worked", orWord(w.Name, "a wall"), view.Looking(w.Bearing), workableDays(r, w))
		says += "; " + oftenText(w)
		if len(w.Frost.Safe) > 0 && noOdds(r, w.Frost) == "" {
			says += "; frost-safe " + together(safeDates(w.Frost.Safe[0]))
		}
		s += wrap(text.Label(name), says)
	}
	return s
}

// oftenText says when most days can be worked.
func oftenText(w season.Wall) string {
	for _, often := range season.Oftens() {
		if in := halfRanges(w.Periods, often.Of); len(in) > 0 {
			return often.Says + ": " + strings.Join(in, ", ")
		}
	}
	return "never half of them"
}

// runsText says when enough days in a row can be worked.
func runsText(r season.Result) string {
	w := r.Walls[0]
	if r.Need == 0 {
		return wrap(text.Label("Run"), "how many days in a row the job wants is not known: give the height and width of every [[wall]]")
	}
	says := fmt.Sprintf("the job wants %d workable days in a row; on %s they can begin, ", r.Need, orWord(w.Name, "the wall"))
	if r.Need == 1 {
		says = fmt.Sprintf("the job wants 1 workable day; on %s there is one, ", orWord(w.Name, "the wall"))
	}
	in := func(least float64) string {
		halves := halfRanges(w.Periods, func(p season.Period) bool { return p.Run > 0 && p.Run >= least-1e-9 })
		if len(halves) == 0 {
			return "never"
		}
		return strings.Join(halves, ", ")
	}
	if r.Typical {
		return wrap(text.Label("Run"), says+"in the typical year: "+in(0))
	}
	return wrap(text.Label("Run"), says+fmt.Sprintf("%s: %s; %s: %s", inYears(0.9), in(0.9), inYears(0.5), in(0.5)))
}

// weatherText is where the weather came from and what it lacks.
func weatherText(r season.Result, u quantity.Units, detail bool) string {
	where := ""
	if r.Place.Lat != 0 || r.Place.Lon != 0 {
		side := func(x float64, plus, minus string) string {
			if x < 0 {
				return fmt.Sprintf("%.2f %s", -x, minus)
			}
			return fmt.Sprintf("%.2f %s", x, plus)
		}
		where = ", for " + together(side(r.Place.Lat, "N", "S")) + ", " + together(side(r.Place.Lon, "E", "W")) + ", " +
			keeping(u).Quantity(message.Quantity{Kind: message.Altitude, Value: r.Place.Altitude})
	}
	lays := 0
	for _, w := range r.Walls {
		lays += w.Lays
	}
	s := wrap(text.Label("From"), fmt.Sprintf("%s, %s%s; %s worked out", orWord(r.Source, "weather of no name"), yearsText(r), where, plural(lays, "lay")))
	if slices.Contains(r.Lacks, "rain") {
		s += wrap(text.Label("Rain"), "never or hardly ever told in this weather, and that is not taken for dry: rain takes days that are not known here, so fewer can be worked than is shown")
	}
	if rest := slices.DeleteFunc(slices.Clone(r.Lacks), func(l string) bool { return l == "rain" }); len(rest) > 0 {
		s += wrap(text.Label("Lacking"), strings.Join(rest, ", ")+": estimated or left out")
		if slices.Contains(rest, "cloud") {
			s += wrap(text.Label(""), "without cloud half a sky is taken at night: frost under clear skies comes oftener than told here")
		}
	}
	if r.Credit != "" {
		s += wrap(text.Label("Credit"), r.Credit)
	}
	for i, n := range r.Notes {
		if !detail && i == 3 {
			s += wrap(text.Label(""), fmt.Sprintf("and %s more (--detail)", plural(len(r.Notes)-i, "note")))
			break
		}
		name := ""
		if i == 0 {
			name = "Source"
		}
		s += wrap(text.Label(name), n)
	}
	return s
}
