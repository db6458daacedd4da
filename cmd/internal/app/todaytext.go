package app

import (
	"fmt"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/drying"
)

var verdictWords = map[drying.Verdict]string{drying.Go: "GO", drying.Care: "GO WITH CARE", drying.NoGo: "NO-GO"}

func todayText(a drying.Answer, head string, assumed []string, u quantity.Units) string {
	var b strings.Builder
	b.WriteString(wrap("", head) + stamp(a.At) + "\n\n")
	if a.Verdict == drying.NoGo {
		b.WriteString(verdictWords[a.Verdict] + " today.\n")
	} else {
		fmt.Fprintf(&b, "%s. Lay the first coat at %s.\n", verdictWords[a.Verdict], a.Start.Format("15:04"))
	}
	for _, r := range a.Reasons {
		b.WriteString(wrap("  - ", r.Text+reasonFigures(r, u)))
	}
	b.WriteString("\n" + stateText(a, assumed, u))
	if len(a.Coats) > 0 {
		b.WriteString("\n" + planText(a, u))
	}
	b.WriteString("\n" + wrap("", "Not known: "+drying.Unknowns()+". Judge the tint dry, against the approved sample."))
	for _, c := range drying.Cautions() {
		b.WriteString(wrap("", c))
	}
	return b.String()
}

// stateText is what the answer starts from: the air, the wall, and what was taken for granted.
func stateText(a drying.Answer, assumed []string, u quantity.Units) string {
	const label = "%-9s"
	row := func(name, says string) string { return wrap(fmt.Sprintf(label, name), says) }
	temp := func(c float64) string { return together(quantity.Format(quantity.Temperature, c, u, 1)) }
	says := row("Air", fmt.Sprintf("%s, %s relative humidity, dew point %s at %s. %s.", temp(float64(a.Now.Temperature())),
		together(trimPercent(100*float64(a.Now.RelativeHumidity()))), temp(float64(a.Now.DewPoint())), a.Start.Format("15:04"), airFrom(a)))
	how := "worked out from the air"
	if a.WallMeasured {
		how = "as measured"
	}
	margin, side := a.WallTemp-float64(a.Now.DewPoint()), "above the dew point"
	if margin < 0 {
		margin, side = -margin, "below the dew point: dew forms on it"
	}
	says += row("Wall", fmt.Sprintf("%s, %s; %s %s", temp(a.WallTemp), how, together(quantity.FormatStep(margin, u, 1)), side))
	on := a.Job.Background.About
	if a.Job.Damped {
		on += ", damped down"
	}
	if a.Spots > 1 {
		on += "; from the slowest to the fastest spot measured"
	}
	says += row("On", on)
	switch r := a.Job.Room; {
	case a.RoomCounted:
		says += row("Room", fmt.Sprintf("what %s of wet wall gives %s of air is counted, at %g air changes an hour",
			together(quantity.Format(quantity.Area, r.WetArea, u, 0)), together(quantity.Format(quantity.Volume, r.Volume, u, 0)), r.AirChanges))
	case r.Volume > 0 && r.WetArea > 0:
		says += row("Room", "as read: the readings hold what the wet wall gives off")
	default:
		says += row("Room", "what the wet wall gives the air is not counted: give the room's volume and the wall's height and width in a job")
	}
	if len(assumed) > 0 {
		says += row("Assumed", strings.Join(assumed, "; "))
	}
	return says
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
func planText(a drying.Answer, u quantity.Units) string {
	var b strings.Builder
	if a.Verdict == drying.NoGo {
		b.WriteString("Were it laid all the same:\n")
	}
	fmt.Fprintf(&b, coatRow+"%s\n", "Coat", "lay", "edge good", "then")
	for _, c := range a.Coats {
		b.WriteString(coatText(c, a.Start, u))
	}
	if n := len(a.Job.Coats) - len(a.Coats); n > 0 {
		fmt.Fprintf(&b, "%s more to lay another day.\n", plural(n, "coat"))
	}
	b.WriteString("\nThe sign rules over the clock:\n")
	events := []drying.Event{drying.EventEdge, drying.EventNext}
	last := a.Coats[len(a.Coats)-1].Last
	if last {
		events = append(events, drying.EventOpens, drying.EventBurnish, drying.EventCloses)
	}
	b.WriteString(signsText(events))
	if last {
		b.WriteString("Watch for:\n")
		for _, t := range drying.Troubles() {
			b.WriteString(wrap("  ", t.Seen+": "+t.Do))
		}
	}
	return b.String()
}

func signsText(events []drying.Event) string {
	s := ""
	for _, e := range events {
		s += wrap(fmt.Sprintf("  %-15s  ", e), e.Sign())
	}
	return s
}

const coatRow = "%-26s %-6s %-12s "

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
	return wrap(fmt.Sprintf(coatRow, name, c.Lay.Format("15:04"), t.until(c.Edge)), then)
}

// reasonFigures are a reason's value and limit, for people.
func reasonFigures(r drying.Reason, u quantity.Units) string {
	show := func(v float64) string {
		switch r.Unit {
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
		return fmt.Sprintf("%.0f %s", v, r.Unit)
	}
	value, limit := together(show(r.Value)), together(show(r.Limit))
	switch {
	case r.Unit == "" || r.Severity == drying.Notes || r.Code == drying.CodeNotToday:
		return ""
	case r.Code == drying.CodeWindowLate:
		return fmt.Sprintf(" (%s after the start; the day has %s)", value, limit)
	}
	return fmt.Sprintf(" (%s; limit %s)", value, limit)
}
