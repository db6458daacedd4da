package app

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
	"limeday/drying/practice"
)

// Practice implements page.Desk.
func (d *desk) Practice(ctx context.Context, form url.Values, u quantity.Units, isAnswered bool) page.Practice {
	p := page.Practice{Title: "Practice", Note: "Every answer comes from the model, with the band that eight cases in ten fall in. The sign on the wall rules over the clock, and the data sheet comes first."}
	name := strings.Join(strings.Fields(form.Get("name")), " ")
	id, faults := d.exerciseOf(form, name)
	p.Fields = d.practiceFields(id, name, faults)
	if len(faults) > 0 {
		p.Fault = "That exercise cannot be set: see the field marked."
		return p
	}
	select { // one is drawn at a time, as some take all cores for a while
	case d.bands <- struct{}{}:
	case <-ctx.Done():
		return p
	}
	defer func() { <-d.bands }()
	x, err := practice.New(id)
	if err != nil {
		p.Fault = pageSentence(err)
		return p
	}
	p.Title = fmt.Sprintf("Level %d, exercise %d: %s", id.Level, id.Number, practice.Levels()[id.Level-1])
	say := printerFor(&x, u).Text
	for _, g := range x.Given {
		p.Ask = append(p.Ask, say(g))
	}
	if x.Table != nil {
		t := page.Table{Caption: "The day's weather", Head: x.Table.Head}
		for _, r := range x.Table.Rows {
			var row []string
			for _, c := range r {
				row = append(row, say(c))
			}
			t.Rows = append(t.Rows, row)
		}
		p.Facts = append(p.Facts, t)
	}
	p.Question = say(x.Asks)
	p.Hidden = map[string]string{"level": strconv.Itoa(int(id.Level)), "seed": strconv.FormatUint(id.Seed, 10), "number": strconv.Itoa(id.Number), "name": name, "units": u.String()}
	answer := page.Field{Name: "answer", Label: "Your answer", Value: form.Get("answer"), Hint: "Give " + wantedAnswer(&x, u) + "."}
	if len(x.Choices) > 0 {
		answer.Hint = ""
		answer.Options = append(answer.Options, page.Option{Label: "choose"})
		for _, c := range x.Choices {
			label := say(c.Text)
			if label != c.Key && x.Wants == practice.WantChoice {
				label = c.Key + ": " + label
			}
			answer.Options = append(answer.Options, page.Option{Value: c.Key, Label: label})
		}
	}
	if isAnswered {
		typed := u
		if t, err := quantity.ParseUnits(form.Get("units")); err == nil {
			typed = t
		}
		given, err := readAnswer(&x, form.Get("answer"), typed)
		if err == nil {
			d.mark(&p, &x, given, name, u)
			return p
		}
		answer.Fault, p.Fault = sentence(err.Error()), "The answer could not be read: nothing was marked."
	}
	p.Answer = []page.Field{answer}
	return p
}

// exerciseOf is the exercise that a form asks for: of the level, set and number given, else the first of today's set that the
// name has not done.
func (d *desk) exerciseOf(form url.Values, name string) (id practice.ID, faults map[string]string) {
	faults = map[string]string{}
	id = practice.ID{Level: 1, Number: 1}
	if text := form.Get("level"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > len(practice.Levels()) {
			faults["level"] = fmt.Sprintf("Choose a level from 1 to %d.", len(practice.Levels()))
		} else {
			id.Level = practice.Level(n)
		}
	}
	id.Seed, _ = strconv.ParseUint(d.inv.Now().Format("20060102"), 10, 64)
	if text := form.Get("seed"); text != "" {
		n, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			faults["seed"] = "A set is a whole number, such as 7."
		}
		id.Seed = n
	}
	text := form.Get("number")
	n, err := strconv.Atoi(text)
	switch {
	case text != "" && (err != nil || n < 1 || n > 1e6):
		faults["level"] = "There is no such exercise; choose a level."
	case text != "":
		id.Number = n
	case d.record != "" && name != "":
		attempts, err := attemptsOf(d.inv, d.record, name)
		if err != nil {
			faults["name"] = pageSentence(err)
		}
		for _, a := range attempts {
			if a.level == id.Level && a.seed == strconv.FormatUint(id.Seed, 10) {
				id.Number = max(id.Number, a.number+1)
			}
		}
	}
	return id, faults
}

func (d *desk) practiceFields(id practice.ID, name string, faults map[string]string) []page.Field {
	level := page.Field{Name: "level", Label: "Level", Value: strconv.Itoa(int(id.Level)), Fault: faults["level"]}
	for i, l := range practice.Levels() {
		level.Options = append(level.Options, page.Option{Value: strconv.Itoa(i + 1), Label: fmt.Sprintf("%d: %s", i+1, l)})
	}
	out := []page.Field{level, {Name: "seed", Label: "Set", Value: strconv.FormatUint(id.Seed, 10), Hint: "A number; the same one is the same exercises, everywhere.", Fault: faults["seed"]}}
	if d.record != "" {
		out = append(out, page.Field{Name: "name", Label: "Who answers", Value: name, Hint: "With a name, answers are kept in " + d.record + ".", Fault: faults["name"]})
	}
	return out
}

// mark marks an answer and keeps it, where there is a record and a name.
func (d *desk) mark(p *page.Practice, x *practice.Exercise, given practice.Given, name string, u quantity.Units) {
	say := printerFor(x, u).Text
	m := x.Mark(given)
	p.Marked, p.Mark = true, markWords[m.Mark]+" You said "+givenText(x, given, u)+"."
	if len(m.Says) > 0 {
		p.Says = append(p.Says, say(m.Says))
	}
	if m.Mark != practice.Right && len(x.Choices) > 0 {
		p.Says = append(p.Says, "It is "+x.Choices[x.Answer.Choice].Key+": "+say(x.Choices[x.Answer.Choice].Text)+".")
	}
	p.Says = append(p.Says, say(x.Answer.Says))
	for _, r := range x.Answer.Reasons {
		p.Why = append(p.Why, say(r.Text))
	}
	if len(x.Answer.Sign) > 0 {
		p.Sign = "The sign: " + say(x.Answer.Sign)
	}
	picture, err := pictureOf(x, u)
	if err != nil {
		p.Says = append(p.Says, "There is no drawing: "+pageSentence(err))
	}
	p.Picture = picture.inline()
	if picture.coat != nil {
		p.Tables = append(p.Tables, dryingTables(*picture.coat)...)
	}
	if picture.ladder != nil {
		head, rows := drawing.LadderTable(*picture.ladder)
		p.Tables = append(p.Tables, page.Table{Caption: "Times in numbers", Head: head, Rows: rows})
	}
	if picture.day != nil {
		if t := courseTable(*picture.day); t != nil {
			p.Tables = append(p.Tables, *t)
		}
	}
	next := url.Values{"level": {strconv.Itoa(int(x.Level))}, "seed": {strconv.FormatUint(x.Seed, 10)}, "number": {strconv.Itoa(x.Number + 1)}}
	if name != "" {
		next.Set("name", name)
	}
	p.Next = "/practice?" + next.Encode()
	if d.record == "" || name == "" {
		return
	}
	d.keeping.Lock()
	defer d.keeping.Unlock()
	done, err := attemptsOf(d.inv, d.record, name)
	if err == nil && slices.ContainsFunc(done, func(k kept) bool {
		return k.level == x.Level && k.number == x.Number && k.seed == strconv.FormatUint(x.Seed, 10)
	}) {
		p.Kept = "Answered before: what was kept first stays."
		return
	}
	s := &sitting{inv: d.inv, level: x.Level, seed: x.Seed, name: name, path: d.record, units: u}
	if err == nil {
		s.book, err = diary.Open(d.record, d.inv.Now)
	}
	if err == nil {
		s.keep(&answered{*x, givenText(x, given, u), &given, m})
		err = s.last
	}
	if p.Kept = "Kept in " + d.record + "."; err != nil {
		p.Kept = "NOT KEPT: " + pageSentence(err)
	}
}
