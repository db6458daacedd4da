package app

import (
	"fmt"
	"math"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/drying"
)

var verdictWords = map[drying.Verdict]string{drying.Go: "GO", drying.Care: "GO WITH CARE", drying.NoGo: "NO-GO"}

// todayText is the screen: about thirty lines, and the rest with detail.
func todayText(a drying.Answer, all []drying.Answer, next drying.NextDay, head string, assumed []string, u quantity.Units, detail bool) string {
	var b strings.Builder
	b.WriteString(wrap("", head) + stamp(a.At) + "\n\n")
	b.WriteString(verdictText(a))
	for _, r := range a.Reasons {
		if detail || r.Severity != drying.Notes {
			b.WriteString(wrap("  - ", r.Text+reasonFigures(r, u)))
		}
	}
	b.WriteString("\n" + stateText(a, assumed, u, detail))
	if len(all) > 1 {
		b.WriteString(wallsText(all))
	}
	if len(a.Coats) > 0 {
		b.WriteString("\n" + planText(a, u, detail))
	}
	b.WriteString(changesText(a, detail))
	if a.Verdict == drying.NoGo && len(a.Seen) == 0 {
		b.WriteString("\n" + laterText(a, next))
	}
	b.WriteString("\n" + restText(a, u, detail))
	return b.String()
}

// label starts a row of the screen.
func label(name string) string { return fmt.Sprintf("%-9s", name) }

// verdictText is the verdict with the start and why it is that one.
func verdictText(a drying.Answer) string {
	if a.Verdict == drying.NoGo && len(a.Seen) == 0 {
		return verdictWords[a.Verdict] + " today.\n"
	}
	if len(a.Seen) > 0 {
		return wrap("", verdictWords[a.Verdict]+", for the rest of the day. Seen: "+seenText(a)+".")
	}
	s := fmt.Sprintf("%s. Lay the first coat at %s", verdictWords[a.Verdict], a.Start.Format("15:04"))
	switch clock := a.Latest.Format("15:04"); {
	case !a.Earliest.Equal(a.Start):
		s += fmt.Sprintf(": better than the earliest possible, %s.", a.Earliest.Format("15:04"))
	case a.Latest.After(a.Start):
		s += fmt.Sprintf(", the earliest; %s still serves.", clock)
	default:
		s += ": no later start serves."
	}
	return wrap("", s)
}

// stateText is what the answer starts from: the air and the wall; with detail also what was taken for granted.
func stateText(a drying.Answer, assumed []string, u quantity.Units, detail bool) string {
	temp := func(c float64) string { return together(quantity.Format(quantity.Temperature, c, u, 1)) }
	margin, side := a.WallTemp-float64(a.Now.DewPoint()), "above it"
	if margin < 0 {
		margin, side = -margin, "below it: dew forms on it"
	}
	how := ""
	if a.WallMeasured {
		how = " as measured"
	}
	says := wrap(label("Air"), fmt.Sprintf("%s, %s humidity, dew point %s; wall %s%s, %s %s", temp(float64(a.Now.Temperature())),
		together(trimPercent(100*float64(a.Now.RelativeHumidity()))), temp(float64(a.Now.DewPoint())), temp(a.WallTemp), how,
		together(quantity.FormatStep(margin, u, 1)), side))
	says += wrap(label("From"), airFrom(a)+".")
	if t := a.Job.Timing; t != nil {
		says += wrap(label("Timing"), fmt.Sprintf("yours, of %s, from %s", t.Finish, plural(t.Boards, "board")))
	}
	r := a.Job.Room
	if x := a.Exterior; x != nil {
		says += exteriorText(a, u)
	}
	if !detail {
		if a.Exterior == nil && (r.Volume == 0 || r.WetArea == 0) {
			says += wrap(label("Room"), "what the wet wall gives the air is not counted: a job with the room's volume and the wall's size would")
		}
		return says
	}
	if a.Known.Credit != "" {
		says += wrap(label("Credit"), a.Known.Credit)
	}
	for i, n := range a.Known.Notes {
		name := ""
		if i == 0 {
			name = "Source"
		}
		says += wrap(label(name), n)
	}
	on := a.Job.Background.About
	if a.Job.Damped {
		on += ", damped down"
	}
	if a.Spots > 1 {
		on += "; from the slowest spot to the fastest"
	}
	says += wrap(label("On"), on)
	switch {
	case a.Exterior != nil:
	case a.RoomCounted:
		says += wrap(label("Room"), fmt.Sprintf("what %s of wet wall gives %s of air is counted, at %g air changes an hour",
			together(quantity.Format(quantity.Area, r.WetArea, u, 0)), together(quantity.Format(quantity.Volume, r.Volume, u, 0)), r.AirChanges))
	case r.Volume > 0 && r.WetArea > 0:
		says += wrap(label("Room"), "as read: the readings hold what the wet wall gives off")
	default:
		says += wrap(label("Room"), "what the wet wall gives the air is not counted: give the room's volume and the wall's height and width in a job")
	}
	if len(assumed) > 0 {
		says += wrap(label("Assumed"), strings.Join(assumed, "; "))
	}
	return says
}

// exteriorText is what the weather does to the wall.
func exteriorText(a drying.Answer, u quantity.Units) string {
	x := a.Exterior
	sun := "no sun on it today"
	if !x.SunFrom.IsZero() {
		sun = "sun on it " + x.SunFrom.Format("15:04") + " to " + x.SunTo.Format("15:04")
	}
	day := dayTimes{day: a.At}
	s := wrap(label("Wall"), fmt.Sprintf("%s; %s; wind on it to %s", standing(*a.Job.Outdoors, u), sun,
		together(quantity.Format(quantity.Speed, x.Wind, u, 1))))
	frost := map[drying.FrostRisk]string{drying.FrostNone: "no frost", drying.FrostPossible: "frost possible " + together(day.clock(x.FirstFrost)),
		drying.FrostLikely: "frost likely " + together(day.clock(x.FirstFrost))}[x.Frost]
	later := "Later frost is not known"
	if x.OddsYears > 0 {
		later = fmt.Sprintf("Later frost, up to %s: in %.0f of %d years past", x.FrostFree[1].Format("2 Jan"), x.Odds*float64(x.OddsYears), x.OddsYears)
	}
	return s + wrap(label("Nights"), fmt.Sprintf("%s; the face falls to %s up to %s, where the forecast ends. %s; the wall wants none until %s to %s (published advice varies).",
		frost, together(quantity.Format(quantity.Temperature, x.FaceMin, u, 1)), together(x.Horizon.Format("Mon 2 Jan 15:04")), later, x.FrostFree[0].Format("2 Jan"), x.FrostFree[2].Format("2 Jan")))
}

// standing is where a wall outdoors is, and what it has before and behind it.
func standing(o drying.Outdoors, u quantity.Units) string {
	s := o.Name + ", looking " + looking(o.Bearing)
	if o.Cover != drying.CoverNamed("") {
		s += ", " + string(o.Cover)
	}
	if o.Behind != nil {
		room := "a room at " + together(quantity.Format(quantity.Temperature, *o.Behind, u, 0))
		if o.Cavity {
			room = "a cavity and " + room
		}
		s += ", " + room + " behind it"
	}
	return s
}

// looking is a bearing in words.
func looking(bearing float64) string {
	names := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return names[int(math.Mod(bearing+22.5, 360)/45)]
}

// wallsText compares the job's walls.
func wallsText(all []drying.Answer) string {
	s := ""
	for i, a := range all {
		name := ""
		if i == 0 {
			name = "Walls"
		}
		says := a.Job.Outdoors.Name + ", " + looking(a.Job.Outdoors.Bearing) + ": "
		if a.Verdict == drying.NoGo {
			says += "no-go"
			if len(a.Reasons) > 0 {
				says += ", " + strings.ReplaceAll(string(a.Reasons[0].Code), "-", " ")
			}
		} else {
			says += fmt.Sprintf("%s, start %s to %s", a.Verdict, a.Earliest.Format("15:04"), a.Latest.Format("15:04"))
		}
		s += wrap(label(name), says)
	}
	return s
}

// changesText is what the crew can change: what helps, and with detail what does not.
func changesText(a drying.Answer, detail bool) string {
	if len(a.Changes) == 0 {
		return ""
	}
	var lines []string
	rest := 0
	for _, c := range a.Changes {
		when := ""
		if c.Tomorrow {
			when = " (for tomorrow)"
		}
		switch {
		case detail || c.Helps && len(lines) < 3:
			lines = append(lines, wrap("  - ", c.Text+when+": "+c.Effect))
		default:
			rest++
		}
	}
	if len(lines) == 0 {
		if a.Verdict == drying.Go {
			return ""
		}
		return "\n" + wrap(label("Change"), fmt.Sprintf("%s tried, none helps (--detail)", plural(rest, "change")))
	}
	return "\nWhat you can change:\n" + strings.Join(lines, "")
}

// laterText is what a no-go leaves: the next day that would do, and what the day still serves for.
func laterText(a drying.Answer, next drying.NextDay) string {
	day := func(t time.Time) string { return t.In(a.At.Location()).Format("Mon 2 Jan") }
	says := "not known: no air is known for a later day; a forecast for the job's place would tell"
	switch {
	case !next.Start.IsZero():
		says = fmt.Sprintf("%s from %s, %s, as far as is known today", day(next.Start), next.Start.Format("15:04"), strings.ToLower(verdictWords[next.Verdict]))
	case !next.Searched.IsZero():
		says = "none up to " + day(next.Searched) + ", the last day that the forecast covers"
	}
	return wrap(label("Next"), says+".") + wrap(label("Useful"), strings.Join(a.Work(), "; ")+".")
}

// restText is care, tint, sheet, what is not known, and the cautions.
func restText(a drying.Answer, u quantity.Units, detail bool) string {
	var b strings.Builder
	for i, c := range a.Protect {
		name := ""
		if i == 0 {
			name = "Protect"
		}
		text := c.Text
		if !detail {
			text, _, _ = strings.Cut(c.Text, ".")
			text += "."
		}
		what := protectNames[c.Code] + " "
		if c.Code == "cover-by" && c.Certain.IsZero() {
			what = "" // nothing calls for it yet
		}
		b.WriteString(wrap(label(name), what+protectWhen(c, a.At)+". "+text))
	}
	laid := map[string][]string{}
	var walls []string
	for _, c := range a.Care {
		switch {
		case c.Wall != "":
			if laid[c.Wall] == nil {
				walls = append(walls, c.Wall)
			}
			due := strings.ToLower(careNames[c.Code]) + " " + c.When(a.At)
			if name, ok := protectNames[c.Code]; ok {
				due = name + " " + protectWhen(c, a.At)
			}
			laid[c.Wall] = append(laid[c.Wall], together(due))
		case detail:
			b.WriteString(wrap(label(careNames[c.Code]), c.When(a.At)+". "+c.Text))
		case c.Code == drying.CareTapeOff || c.Code == drying.CareWax:
			text, _, _ := strings.Cut(c.Text, ";")
			b.WriteString(wrap(label(careNames[c.Code]), c.When(a.At)+". "+strings.TrimRight(text, ".")+"."))
		}
	}
	for i, w := range walls {
		name := ""
		if i == 0 {
			name = "Laid"
		}
		b.WriteString(wrap(label(name), w+": "+strings.Join(laid[w], ", ")+"."))
	}
	tint := "judge it dry, against the approved sample: lime dries a good deal lighter."
	if advice := drying.ShadeOf(a.Job.Coats[len(a.Job.Coats)-1].Tint).Advice(); advice != "" {
		tint = advice + " Judge it dry, against the approved sample."
	}
	b.WriteString(wrap(label("Tint"), tint))
	if len(a.Sheet) > 0 {
		b.WriteString(sheetText(a, u, detail))
	}
	b.WriteString(wrap(label("Unknown"), drying.Unknowns()+"."))
	b.WriteString(wrap(label("Danger"), strings.Join(drying.Cautions(), " ")))
	return b.String()
}

var protectNames = map[drying.CareCode]string{"cover-by": "cover by", "sheet-until": "sheet until", "mist-until": "mist until",
	"uncover-from": "uncover from", "no-frost-until": "no frost until"}

// protectWhen is the time of a piece of protection, with its range.
func protectWhen(c drying.Aftercare, day time.Time) string {
	t := dayTimes{day: day}
	date := func(m time.Time) string {
		if m.Sub(day) > 6*24*time.Hour {
			return m.In(day.Location()).Format("2 Jan")
		}
		return t.clock(m.In(day.Location()))
	}
	switch {
	case c.Certain.IsZero() && c.Code == "cover-by":
		return "to " + date(c.From)
	case c.Certain.IsZero():
		return date(c.From) + " at least"
	case c.Certain.Sub(c.From) < time.Hour:
		return date(c.From)
	}
	return date(c.From) + " to " + date(c.Certain)
}

var careNames = map[drying.CareCode]string{drying.CareTapeOff: "Tape off", drying.CareTapeOn: "Tape on", drying.CareSoap: "Soap",
	drying.CareWax: "Wax", drying.CareSealer: "Sealer", drying.CareShower: "Shower"}

// sheetText says which of the data sheet's limits are met.
func sheetText(a drying.Answer, u quantity.Units, detail bool) string {
	met := 0
	var lines string
	for _, l := range a.Sheet {
		show := func(v *float64) string { return together(reasonValue(*v, l.Unit, u)) }
		bounds := ""
		switch {
		case l.Low != nil && l.High != nil:
			bounds = show(l.Low) + " to " + show(l.High)
		case l.Low != nil:
			bounds = "from " + show(l.Low)
		default:
			bounds = "up to " + show(l.High)
		}
		word := "not met"
		if l.Met {
			met++
			word = "met"
		}
		lines += wrap("  - ", fmt.Sprintf("%s, %s (%s): %s", l.What, bounds, show(&l.Value), word))
	}
	s := wrap(label("Sheet"), fmt.Sprintf("%d of %s of the data sheet met", met, plural(len(a.Sheet), "limit")))
	if detail {
		s += lines
	}
	return s
}

// airFrom says where the air came from and how far it is known.
func airFrom(a drying.Answer) string {
	k := a.Known
	s := strings.ToUpper(k.Source[:1]) + k.Source[1:]
	if age := k.Age.Round(time.Minute); age > 0 {
		s += ", the last " + together(spell(age)) + " old"
	}
	clock := dayTimes{day: a.At}.clock(k.End)
	switch {
	case k.Forecast && k.Held:
		s += ", to " + together(clock) + ", and no change after that"
	case k.Replay && k.Held:
		s += "; a replay, with what was read later, to " + together(clock) + ", and no change after that"
	case k.Replay:
		s += "; a replay, with what was read later"
	case k.Held:
		s += "; taken to stay as it was"
	}
	return s
}

// planText is the timetable with the signs of its times.
func planText(a drying.Answer, u quantity.Units, detail bool) string {
	var b strings.Builder
	if a.Verdict == drying.NoGo && len(a.Seen) == 0 {
		b.WriteString("Were it laid all the same:\n")
	}
	b.WriteString(coatLine("Coat", "lay", "edge good", "then"))
	for _, c := range a.Coats {
		b.WriteString(coatText(c, a.Start, u))
	}
	b.WriteString(bandsText(a))
	if n := len(a.Job.Coats) - len(a.Coats); n > 0 {
		fmt.Fprintf(&b, "%s more to lay another day.\n", plural(n, "coat"))
	}
	last := a.Coats[len(a.Coats)-1].Last
	events := []drying.Event{drying.EventNext}
	if detail {
		events = []drying.Event{drying.EventEdge, drying.EventNext}
	}
	if last {
		events = append(events, drying.EventOpens, drying.EventBurnish, drying.EventCloses)
	}
	b.WriteString("\nThe sign rules over the clock:\n" + signsText(events))
	if last {
		for i, t := range drying.Troubles() {
			name := ""
			if i == 0 {
				name = "Watch"
			}
			b.WriteString(wrap(label(name), t.Seen+": "+t.Do))
		}
	}
	return b.String()
}

// signsText pairs each event with its sign; the signs are short, so that a pair fits a line.
func signsText(events []drying.Event) string {
	s := ""
	for _, e := range events {
		s += wrap(fmt.Sprintf("  %-15s  ", e), e.Sign())
	}
	return s
}

// bandsText is how early and how late the times that matter may be.
func bandsText(a drying.Answer) string {
	if !a.Banded {
		return ""
	}
	var b strings.Builder
	b.WriteString("Eight days in ten:\n")
	for _, c := range a.Coats {
		b.WriteString(wrap(fmt.Sprintf("  %d  ", c.Number), bandOf(a, c)))
	}
	return b.String()
}

// bandOf is how early and how late the times of a coat that matter may be.
func bandOf(a drying.Answer, c drying.CoatPlan) string {
	clock := func(from, to time.Time) string {
		day := dayTimes{day: a.Start}
		if from.IsZero() {
			return "not today"
		}
		s := "between " + day.clock(drying.RoundDown(from, 5*time.Minute)) + " and "
		if to.IsZero() {
			return s + "another day"
		}
		return s + day.clock(drying.RoundUp(to, 5*time.Minute))
	}
	var says []string
	if c.Number != a.Coats[0].Number {
		says = append(says, "lay "+clock(c.Earliest.Lay, c.Latest.Lay))
	}
	if c.Last {
		says = append(says, "ready to burnish "+afterLaying(c.Soonest.Burnish, c.Slowest.Burnish), "gone by "+afterLaying(c.Soonest.Closes, c.Slowest.Closes))
	} else {
		says = append(says, "next coat "+clock(c.Earliest.Recoat, c.Latest.Recoat))
	}
	return strings.Join(says, "; ")
}

// afterLaying is two times after laying, s.
func afterLaying(low, high float64) string {
	if math.IsInf(high, 1) {
		if math.IsInf(low, 1) {
			return "not today"
		}
		return "from " + together(after(low, true, false)) + " after laying on, or another day"
	}
	to := together(after(high, true, false))
	if low < 60 {
		if high < 60 {
			return to
		}
		return "within " + to
	}
	return together(after(low, false, false)) + " to " + to + " after laying"
}

// coatText is one coat's row: only the times that apply to it.
func coatText(c drying.CoatPlan, day time.Time, u quantity.Units) string {
	digits := 2
	if u == quantity.US {
		digits = 1
	}
	t := timesOf(c, day)
	name := fmt.Sprintf("%d %s %s", c.Number, c.Coat.Finish.Name, quantity.Format(quantity.Thickness, c.Coat.Thickness, u, digits))
	then := "next coat " + t.from(c.Recoat)
	if c.Last {
		opens, burnish := t.from(c.Opens), t.from(c.Burnish)
		switch {
		case c.Opens.IsZero():
			then = "not ready to compress within two days"
		case c.Burnish.IsZero():
			then = "compress " + opens + ", not ready to burnish within two days"
		case opens == burnish:
			then = "compress and burnish " + burnish + ", gone by " + t.gone(c.Closes)
		default:
			then = "compress " + opens + ", burnish " + burnish + ", gone by " + t.gone(c.Closes)
		}
	}
	return coatLine(name, c.Lay.Format("15:04"), t.until(c.Edge), then)
}

// reasonValue is a value of a reason or a limit, for people.
func reasonValue(v float64, unit string, u quantity.Units) string {
	switch unit {
	case "C":
		return quantity.Format(quantity.Temperature, v, u, 1)
	case "K":
		return quantity.FormatStep(v, u, 1)
	case "mm":
		return quantity.Format(quantity.Thickness, v/1000, u, 2)
	case "%":
		return trimPercent(v)
	case "h":
		return fmt.Sprintf("%.1f h", v)
	case "g/m2h":
		if u == quantity.US {
			return quantity.Format(quantity.Spread, v/1000, u, 3) + " an hour"
		}
		return fmt.Sprintf("%.0f g/m2 an hour", v)
	}
	return fmt.Sprintf("%.0f %s", v, unit)
}

// reasonFigures are a reason's value and limit, for people.
func reasonFigures(r drying.Reason, u quantity.Units) string {
	value, limit := together(reasonValue(r.Value, r.Unit, u)), together(reasonValue(r.Limit, r.Unit, u))
	switch {
	case r.Unit == "" || r.Severity == drying.Notes || r.Code == drying.CodeNotToday:
		return ""
	case r.Code == drying.CodeWindowLate:
		return fmt.Sprintf(" (%s after the start; the day has %s)", value, limit)
	case r.Code == drying.CodeWindowWall || r.Code == drying.CodeSpots:
		return fmt.Sprintf(" (%s against %s)", value, limit)
	}
	return fmt.Sprintf(" (%s; limit %s)", value, limit)
}
