package app

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/message"
	"limeday/drying/practice"
)

// printerFor writes what an exercise says; screenFor keeps quantities on one line.
func printerFor(x *practice.Exercise, u quantity.Units) view.Printer {
	return view.Printer{Units: u, Day: x.Day}
}

func screenFor(x *practice.Exercise, u quantity.Units) view.Printer {
	return view.Printer{Units: u, Day: x.Day, Keep: true}
}

// keeping writes quantities for the screen, each on one line.
func keeping(u quantity.Units) view.Printer { return view.Printer{Units: u, Keep: true} }

// wallAreas are those that an answer may be, m2.
var wallAreas = quantity.Range{Min: 0, Max: 1000, Above: true}

// wantedAnswer says what an exercise takes for an answer.
func wantedAnswer(x *practice.Exercise, u quantity.Units) string {
	switch x.Wants {
	case practice.WantChoice, practice.WantVerdict:
		var keys []string
		for _, c := range x.Choices {
			keys = append(keys, c.Key)
		}
		return strings.Join(keys[:len(keys)-1], ", ") + " or " + keys[len(keys)-1]
	case practice.WantMinutes:
		return "a time after laying, such as 45 min or 2 h 10 min; a bare number is minutes"
	case practice.WantClock:
		return "a time of day, such as 10:40; of another day with it, as 2026-04-15T02:30"
	case practice.WantThickness:
		return "a wet thickness, such as 0.15mm or 6mil; a bare number is " + quantity.Thickness.Unit(u)
	case practice.WantArea:
		return "an area, such as 12m2 or 130ft2; a bare number is " + quantity.Area.Unit(u)
	}
	return "a temperature, such as 9C or 48F; a bare number is " + quantity.Temperature.Unit(u)
}

// refused is an answer that cannot be one: it is asked for again.
func refused(x *practice.Exercise, u quantity.Units, format string, args ...any) error {
	return &quantity.Error{Reason: fmt.Sprintf(format, args...), Expected: wantedAnswer(x, u)}
}

// readAnswer reads an answer as it is typed. The error is one sentence; its answer is asked for again.
func readAnswer(x *practice.Exercise, text string, u quantity.Units) (g practice.Given, err error) {
	text = strings.TrimSpace(text)
	switch x.Wants {
	case practice.WantChoice, practice.WantVerdict:
		g.Choice, err = readChoice(x, text, u)
	case practice.WantMinutes:
		g.Value, err = readSpell(x, text, u)
	case practice.WantClock:
		g.At, err = readClock(x, text, u)
	case practice.WantThickness:
		g.Value, err = quantity.Parse(quantity.Thickness, text, u, quantity.CoatThicknesses)
	case practice.WantArea:
		g.Value, err = quantity.Parse(quantity.Area, text, u, wallAreas)
	case practice.WantTemperature:
		g.Value, err = quantity.Parse(quantity.Temperature, text, u, quantity.FaceTemperatures)
	}
	return g, err
}

func readChoice(x *practice.Exercise, text string, u quantity.Units) (int, error) {
	word := strings.ToLower(strings.Trim(text, ".)( "))
	if x.Wants == practice.WantVerdict {
		word = strings.NewReplacer("go with care", "care", "go, with care", "care", "nogo", "no-go", "no go", "no-go").Replace(word)
	}
	if i := slices.IndexFunc(x.Choices, func(c practice.Choice) bool { return c.Key == word }); i >= 0 {
		return i, nil
	}
	return 0, refused(x, u, "%q is none of the answers; give %s", oneLine(text), wantedAnswer(x, u))
}

// spells are the units of a time after laying, in seconds.
var spells = map[string]float64{"s": 1, "sec": 1, "m": 60, "min": 60, "mins": 60, "minutes": 60, "minute": 60, "h": 3600, "hr": 3600, "hour": 3600, "hours": 3600, "d": 86400, "day": 86400, "days": 86400}

var spellPart = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?)\s*([a-z]*)\s*`)

// readSpell reads a time after laying: "80", "80 min", "1h20", "1 h 20 min", "1.5 h". A bare number is minutes.
func readSpell(x *practice.Exercise, text string, u quantity.Units) (float64, error) {
	rest, total, last := strings.ToLower(text), 0.0, math.Inf(1)
	if rest == "" {
		return 0, refused(x, u, "the answer is empty; give %s", wantedAnswer(x, u))
	}
	if rest == "at once" {
		return 0, nil
	}
	for rest != "" {
		m := spellPart.FindStringSubmatch(rest)
		if m == nil {
			return 0, refused(x, u, "%q is not a time after laying; give %s", oneLine(text), wantedAnswer(x, u))
		}
		n, err := strconv.ParseFloat(m[1], 64)
		unit, known := spells[m[2]]
		switch {
		case err != nil:
			return 0, refused(x, u, "%q is too large a number; give %s", oneLine(text), wantedAnswer(x, u))
		case m[2] == "":
			unit = 60 // of a bare number, and after hours
		case !known:
			return 0, refused(x, u, "%q is not a unit of time; give %s", m[2], wantedAnswer(x, u))
		}
		if unit >= last {
			return 0, refused(x, u, "%q goes from small to large; give %s", oneLine(text), wantedAnswer(x, u))
		}
		total, last, rest = total+n*unit, unit, rest[len(m[0]):]
	}
	if total > drying.Horizon {
		return 0, refused(x, u, "%q is over %.0f days, which no coat is waited for; give %s", oneLine(text), drying.Horizon/86400, wantedAnswer(x, u))
	}
	return total, nil
}

// clockReach is how long after the day of asking a time of day may be.
const clockReach = 4 * 24 * time.Hour

// readClock reads a time of day, of the exercise's own day where it has none, by the clock of its place.
func readClock(x *practice.Exercise, text string, u quantity.Units) (time.Time, error) {
	when := text
	if !strings.ContainsAny(when, "Tt") {
		when = x.Day.Format(time.DateOnly) + "T" + strings.Replace(text, ".", ":", 1)
		if h, _, ok := strings.Cut(when[len(time.DateOnly)+1:], ":"); ok && len(h) == 1 {
			when = x.Day.Format(time.DateOnly) + "T0" + when[len(time.DateOnly)+1:]
		}
	}
	t, byClock, ok := intake.ReadMoment(when, x.Day.Location())
	if !ok {
		return t, refused(x, u, "%q is not a time of day; give %s", oneLine(text), wantedAnswer(x, u))
	}
	if byClock {
		switch at := intake.OnTheClock(t, when); len(at) {
		case 0:
			return t, refused(x, u, "the clock %s skips %s that day; it is put forward over it", intake.ZoneName(x.Day.Location()), oneLine(text))
		case 2:
			return t, refused(x, u, "the clock %s shows %s twice that day, as it is put back; say which with the offset: %s or %s", intake.ZoneName(x.Day.Location()), oneLine(text),
				at[0].Format(time.RFC3339), at[1].Format(time.RFC3339))
		default:
			t = at[0]
		}
	}
	y, mon, d := x.Day.Date()
	midnight := time.Date(y, mon, d, 0, 0, 0, 0, x.Day.Location())
	if t.Before(midnight) || t.Sub(midnight) > clockReach {
		return t, refused(x, u, "%q is not of that day, %s, or the few after it; give %s", oneLine(text), x.Day.Format("2 January 2006"), wantedAnswer(x, u))
	}
	return t.In(x.Day.Location()), nil
}

// givenText writes an answer that was read.
func givenText(x *practice.Exercise, g practice.Given, u quantity.Units) string {
	switch x.Wants {
	case practice.WantChoice, practice.WantVerdict:
		return x.Choices[g.Choice].Key
	case practice.WantMinutes:
		return view.Printer{}.Spell(g.Value)
	case practice.WantClock:
		return printerFor(x, u).Quantity(message.At(g.At))
	case practice.WantThickness:
		return quantity.Short(quantity.Thickness, g.Value, u)
	case practice.WantArea:
		return quantity.Short(quantity.Area, g.Value, u)
	}
	return quantity.Short(quantity.Temperature, g.Value, u)
}

// rightText writes the right answer, as givenText one that was given.
func rightText(x *practice.Exercise, u quantity.Units) string {
	p := printerFor(x, u)
	switch x.Wants {
	case practice.WantMinutes:
		return view.Printer{}.Between(x.Answer.Earliest, x.Answer.Latest)
	case practice.WantClock:
		return p.Text(message.Say("{} to {}", message.At(x.Answer.From), message.At(x.Answer.Until)))
	case practice.WantThickness:
		return p.Quantity(message.Thick(x.Answer.Earliest)) + " to " + p.Quantity(message.Thick(x.Answer.Latest))
	case practice.WantArea:
		return p.Quantity(message.SquareMetres(x.Answer.Earliest)) + " to " + p.Quantity(message.SquareMetres(x.Answer.Latest))
	case practice.WantTemperature:
		return p.Text(message.Say("{} to {}", message.Celsius(x.Answer.Earliest), message.Celsius(x.Answer.Latest)))
	}
	return givenText(x, x.Right(), u)
}

// questionText is an exercise as it is asked.
func questionText(x *practice.Exercise, u quantity.Units) string {
	p := screenFor(x, u)
	var b strings.Builder
	for _, g := range x.Given {
		b.WriteString(wrap("", p.Text(g)))
	}
	if x.Table != nil {
		b.WriteString(tableText(x.Table, printerFor(x, u)))
	}
	b.WriteString(wrap("", p.Text(x.Asks)))
	for _, c := range x.Choices {
		if c.Key != p.Text(c.Text) {
			b.WriteString(wrap(fmt.Sprintf("  %-4s  ", c.Key), p.Text(c.Text)))
		} else {
			b.WriteString("  " + c.Key + "\n")
		}
	}
	return b.String()
}

// tableText is numbers in columns.
func tableText(t *practice.Table, p view.Printer) string {
	rows := [][]string{t.Head}
	for _, r := range t.Rows {
		var row []string
		for _, c := range r {
			row = append(row, p.Text(c))
		}
		rows = append(rows, row)
	}
	return text.Table(2, rows)
}

// markWords are the marks, as a sentence begins.
var markWords = map[practice.Mark]string{practice.Right: "Right.", practice.Near: "Near.", practice.Not: "Not so."}

// markingText tells how an answer did, what is right, why, and its sign.
func markingText(x *practice.Exercise, m practice.Marking, u quantity.Units) string {
	p := screenFor(x, u)
	var b strings.Builder
	said := markWords[m.Mark]
	if len(m.Says) > 0 {
		said += " " + p.Text(m.Says)
	}
	switch {
	case m.Mark == practice.Right:
	case x.Wants == practice.WantChoice:
		said += " It is " + x.Choices[x.Answer.Choice].Key + ": " + p.Text(x.Choices[x.Answer.Choice].Text) + "."
	case x.Wants == practice.WantVerdict:
		said += " It is " + x.Choices[x.Answer.Choice].Key + "."
	}
	b.WriteString(wrap("", strings.ReplaceAll(said, "..", ".")))
	b.WriteString(wrap("", p.Text(x.Answer.Says)))
	for _, r := range x.Answer.Reasons {
		b.WriteString(wrap("  - ", p.Text(r.Text)))
	}
	if len(x.Answer.Sign) > 0 {
		b.WriteString(wrap("Sign  ", p.Text(x.Answer.Sign)))
	}
	return b.String()
}
