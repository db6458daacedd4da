package app

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/drying"
	"limeday/drying/practice"
)

// practiceText writes a text of an exercise in the reader's units.
func practiceText(t practice.Text, u quantity.Units) string {
	return t.Format(func(q practice.Quantity) string { return practiceQuantity(q, u) })
}

// practiceQuantity writes one quantity; its blanks are kept together.
func practiceQuantity(q practice.Quantity, u quantity.Units) string {
	return together(func() string {
		switch q.Kind {
		case practice.Temperature:
			return quantity.Format(quantity.Temperature, q.Value, u, decimals(q.Value, 1))
		case practice.Step:
			return quantity.FormatStep(q.Value, u, decimals(q.Value, 1))
		case practice.Humidity, practice.Share:
			return fmt.Sprintf("%.0f %%", 100*q.Value)
		case practice.Vapour:
			return quantity.Format(quantity.Pressure, q.Value, u, 1+int(u))
		case practice.Speed:
			return quantity.Format(quantity.Speed, q.Value, u, 1)
		case practice.Thickness:
			return coatThickness(q.Value, u)
		case practice.Spell:
			return spellWords(q.Value)
		case practice.Between:
			return betweenWords(q.Value, q.To)
		case practice.Clock:
			return dayTimes{day: q.Day}.clock(q.At)
		case practice.Clocks:
			return dayTimes{day: q.Day}.clock(q.At) + " and " + dayTimes{day: q.Day}.clock(q.Until)
		case practice.Flux:
			if u == quantity.US {
				return quantity.Format(quantity.Spread, q.Value*3600, u, 4) + " an hour"
			}
			return fmt.Sprintf("%.0f g/m2 an hour", q.Value*3.6e6)
		case practice.Water:
			if u == quantity.US {
				return quantity.Format(quantity.Spread, q.Value, u, 4)
			}
			return fmt.Sprintf("%.0f g/m2", q.Value*1000)
		case practice.Times:
			return fmt.Sprintf("%.1f times", q.Value)
		case practice.Rain:
			if u == quantity.US {
				return fmt.Sprintf("%.2f in/h", q.Value/25.4)
			}
			return fmt.Sprintf("%.1f mm/h", q.Value)
		case practice.Length:
			return quantity.Format(quantity.Length, q.Value, u, decimals(q.Value, 1))
		case practice.Area:
			return wallArea(q.Value, u)
		case practice.Pace:
			return quantity.Format(quantity.WorkRate, q.Value, u, 0)
		}
		panic("app: a quantity of no kind")
	}())
}

// wallArea writes a part of a wall: to a tenth of a square metre, or whole square feet.
func wallArea(m2 float64, u quantity.Units) string {
	if u == quantity.US {
		return quantity.Format(quantity.Area, m2, u, 0)
	}
	return quantity.Format(quantity.Area, m2, u, decimals(m2, 1))
}

// wallAreas are those that an answer may be, m2.
var wallAreas = quantity.Range{Min: 0, Max: 1000, Above: true}

// decimals are those that a value needs, up to most: none of a whole one.
func decimals(v float64, most int) int {
	if math.Abs(v-math.Round(v)) < 1e-9 {
		return 0
	}
	return most
}

// coatThickness writes a thickness as it is laid: "0.2 mm", "0.075 mm" or "7.9 mil".
func coatThickness(m float64, u quantity.Units) string {
	if u == quantity.US {
		return quantity.Format(quantity.Thickness, m, u, 1)
	}
	return quantity.Short(quantity.Thickness, math.Round(m*1e6)/1e6, u)
}

// spellWords writes a length of time in words: whole minutes, and from two hours on whole tens of them.
func spellWords(s float64) string {
	switch m := math.Round(s / 60); {
	case math.IsInf(s, 1):
		return fmt.Sprintf("over %.0f days", drying.Horizon/86400)
	case m < 1:
		return "under a minute"
	case m < 120:
		return fmt.Sprintf("%.0f min", m)
	case m < 48*60:
		tens := int(math.Round(m / 10))
		if tens%6 == 0 {
			return fmt.Sprintf("%d h", tens/6)
		}
		return fmt.Sprintf("%d h %d min", tens/6, tens%6*10)
	default:
		return fmt.Sprintf("%.1f days", m/1440)
	}
}

// betweenWords writes two lengths of time: "20 to 40 min", "50 min to 2 h 10 min", "up to 5 min".
func betweenWords(low, high float64) string {
	a, b := spellWords(low), spellWords(high)
	if low < 30 {
		return "up to " + b
	}
	if n, ok := strings.CutSuffix(a, " min"); ok && !strings.Contains(a, "h") && strings.HasSuffix(b, " min") && !strings.Contains(b, "h") {
		a = n
	}
	return a + " to " + b
}

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
	t, byClock, ok := readMoment(when, x.Day.Location())
	if !ok {
		return t, refused(x, u, "%q is not a time of day; give %s", oneLine(text), wantedAnswer(x, u))
	}
	if byClock {
		switch at := onTheClock(t, when); len(at) {
		case 0:
			return t, refused(x, u, "the clock %s skips %s that day; it is put forward over it", zoneName(x.Day.Location()), oneLine(text))
		case 2:
			return t, refused(x, u, "the clock %s shows %s twice that day, as it is put back; say which with the offset: %s or %s", zoneName(x.Day.Location()), oneLine(text),
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
		return spellWords(g.Value)
	case practice.WantClock:
		return dayTimes{day: x.Day}.clock(g.At)
	case practice.WantThickness:
		return quantity.Short(quantity.Thickness, g.Value, u)
	case practice.WantArea:
		return quantity.Short(quantity.Area, g.Value, u)
	}
	return quantity.Short(quantity.Temperature, g.Value, u)
}

// rightText writes the right answer, as givenText one that was given.
func rightText(x *practice.Exercise, u quantity.Units) string {
	switch x.Wants {
	case practice.WantMinutes:
		return betweenWords(x.Answer.Earliest, x.Answer.Latest)
	case practice.WantClock:
		d := dayTimes{day: x.Day}
		return d.clock(x.Answer.From) + " to " + d.clock(x.Answer.Until)
	case practice.WantThickness:
		return coatThickness(x.Answer.Earliest, u) + " to " + coatThickness(x.Answer.Latest, u)
	case practice.WantArea:
		return wallArea(x.Answer.Earliest, u) + " to " + wallArea(x.Answer.Latest, u)
	case practice.WantTemperature:
		return quantity.Format(quantity.Temperature, x.Answer.Earliest, u, 1) + " to " + quantity.Format(quantity.Temperature, x.Answer.Latest, u, 1)
	}
	return givenText(x, x.Right(), u)
}

// questionText is an exercise as it is asked.
func questionText(x *practice.Exercise, u quantity.Units) string {
	var b strings.Builder
	for _, g := range x.Given {
		b.WriteString(wrap("", practiceText(g, u)))
	}
	if x.Table != nil {
		b.WriteString(tableText(x.Table, u))
	}
	b.WriteString(wrap("", practiceText(x.Asks, u)))
	for _, c := range x.Choices {
		if c.Key != practiceText(c.Text, u) {
			b.WriteString(wrap(fmt.Sprintf("  %-4s  ", c.Key), practiceText(c.Text, u)))
		} else {
			b.WriteString("  " + c.Key + "\n")
		}
	}
	return b.String()
}

// tableText is numbers in columns.
func tableText(t *practice.Table, u quantity.Units) string {
	rows := [][]string{t.Head}
	for _, r := range t.Rows {
		var row []string
		for _, c := range r {
			row = append(row, practiceText(c, u))
		}
		rows = append(rows, row)
	}
	return text.Table(2, rows)
}

// markWords are the marks, as a sentence begins.
var markWords = map[practice.Mark]string{practice.Right: "Right.", practice.Near: "Near.", practice.Not: "Not so."}

// markingText tells how an answer did, what is right, why, and its sign.
func markingText(x *practice.Exercise, m practice.Marking, u quantity.Units) string {
	var b strings.Builder
	said := markWords[m.Mark]
	if len(m.Says) > 0 {
		said += " " + practiceText(m.Says, u)
	}
	switch {
	case m.Mark == practice.Right:
	case x.Wants == practice.WantChoice:
		said += " It is " + x.Choices[x.Answer.Choice].Key + ": " + practiceText(x.Choices[x.Answer.Choice].Text, u) + "."
	case x.Wants == practice.WantVerdict:
		said += " It is " + x.Choices[x.Answer.Choice].Key + "."
	}
	b.WriteString(wrap("", strings.ReplaceAll(said, "..", ".")))
	b.WriteString(wrap("", practiceText(x.Answer.Says, u)))
	for _, r := range x.Answer.Reasons {
		b.WriteString(wrap("  - ", practiceText(r.Text, u)))
	}
	if len(x.Answer.Sign) > 0 {
		b.WriteString(wrap("Sign  ", practiceText(x.Answer.Sign, u)))
	}
	return b.String()
}
