package text

import (
	"fmt"
	"slices"
	"strings"

	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

// Day is the morning check on the screen: about thirty lines, and the rest with detail.
func Day(d view.Day, p view.Printer, detail bool) string {
	var b strings.Builder
	b.WriteString(Paragraph("", d.Head) + d.Asked() + "\n\n")
	b.WriteString(Paragraph("", p.Text(d.Verdict.Sentence())))
	if len(d.Verdict.Start) > 0 {
		b.WriteString(Paragraph("", p.Text(d.Verdict.Start)))
	}
	for _, r := range d.Reasons {
		if detail || !r.Detail {
			b.WriteString(Paragraph("  - ", p.Text(r.Says)))
		}
	}
	if len(d.Eve) > 0 {
		b.WriteString("\n" + d.EveOf + ":\n")
		for _, e := range d.Eve {
			b.WriteString(Paragraph("  - ", p.Text(e.Says)))
		}
	}
	b.WriteString("\n" + Labelled(d.State, p, detail))
	b.WriteString(planText(d, p, detail))
	b.WriteString(changesText(d, p, detail) + whatIfText(d, p))
	if len(d.Later) > 0 {
		b.WriteString("\n" + Labelled(d.Later, p, detail))
	}
	b.WriteString("\n" + dueText(d.After, p, detail) + Paragraph(Label("Tint"), d.Tint) + limitsText(d.Limits, p, detail))
	b.WriteString(Paragraph(Label("Unknown"), d.Unknown) + Paragraph(Label("Danger"), strings.Join(d.Danger, " ")))
	return b.String()
}

// Label starts a row of the screen.
func Label(name string) string { return fmt.Sprintf("%-9s", name) }

// Labelled is rows under their labels, those of detail only with it.
func Labelled(rows []view.Row, p view.Printer, detail bool) string {
	s := ""
	for _, r := range rows {
		if r.Detail && !detail {
			continue
		}
		name := r.Label
		for _, t := range r.Says {
			s += Paragraph(Label(name), p.Text(t))
			name = ""
		}
	}
	return s
}

// coatColumns are those of a plan: the coat, when it is laid, how long its edge is good.
var coatColumns = []Column{{Cells: 26, Gap: 1, Name: true}, {Cells: 6, Gap: 1}, {Cells: 12, Gap: 1}}

// planText is the timetable, the days after it, and the signs of its times.
func planText(d view.Day, p view.Printer, detail bool) string {
	if len(d.Plan)+len(d.Days) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteByte('\n')
	if d.AllTheSame {
		b.WriteString("Were it laid all the same:\n")
	}
	if slices.ContainsFunc(d.Plan, func(c view.Coat) bool { return len(c.Past) == 0 }) {
		b.WriteString(Rows(coatColumns, []string{"Coat", "lay", "edge good", "then"}))
	}
	banded := false
	plain := p
	plain.Keep = false
	for _, c := range d.Plan {
		banded = banded || len(c.Band) > 0
		if len(c.Past) > 0 {
			b.WriteString(Rows(coatColumns[:1], []string{plain.Text(c.Name), p.Text(c.Past)}))
			continue
		}
		var then []string
		for _, s := range c.Then {
			then = append(then, s.Name+" "+p.Time(s.At))
		}
		says := strings.Join(then, ", ")
		if len(c.Bed) > 0 {
			says = p.Text(c.Bed) + "; " + says
		}
		if len(c.Note) > 0 {
			says += "; " + p.Text(c.Note)
		}
		b.WriteString(Rows(coatColumns, []string{plain.Text(c.Name), plain.Clock(c.Lay), plain.Brief(c.Edge), says}))
	}
	if banded {
		b.WriteString("Eight days in ten:\n")
		for _, c := range d.Plan {
			if len(c.Band) > 0 {
				b.WriteString(Paragraph(fmt.Sprintf("  %d  ", c.Number), p.Text(c.Band)))
			}
		}
	}
	if len(d.Days) > 0 {
		b.WriteString("Later days:\n")
		for _, l := range d.Days {
			b.WriteString(Paragraph(fmt.Sprintf("  %-10s  ", plain.Text(l.Day())), p.Text(l.Says)))
		}
	}
	if len(d.Left) > 0 {
		b.WriteString(Paragraph("", p.Text(d.Left)))
	}
	if len(d.Signs) > 0 {
		b.WriteString("\nThe sign rules over the clock:\n" + Signs(d.Signs, detail))
	}
	for i, w := range d.Watch {
		name := ""
		if i == 0 {
			name = "Watch"
		}
		b.WriteString(Paragraph(Label(name), w.Name+": "+w.Says))
	}
	return b.String()
}

// Signs pairs each event with its sign; the signs are short, so that a pair fits a line.
func Signs(signs []view.Sign, detail bool) string {
	s := ""
	for _, e := range signs {
		if detail || !e.Detail {
			s += Paragraph(fmt.Sprintf("  %-15s  ", e.Name), e.Says)
		}
	}
	return s
}

// changesText is what the crew can change: what helps, and with detail what does not.
func changesText(d view.Day, p view.Printer, detail bool) string {
	var lines []string
	for _, c := range d.Changes {
		if detail || c.Helps && d.Verdict.Code != "go" && len(lines) < 3 {
			lines = append(lines, Paragraph("  - ", p.Text(message.Say("{}: {}", c.Name(), c.Effect))))
		}
	}
	switch {
	case len(lines) > 0:
		return "\nWhat you can change:\n" + strings.Join(lines, "")
	case d.NoHelp != "":
		return "\n" + Paragraph(Label("Change"), d.NoHelp+" (--detail)")
	}
	return ""
}

// whatIfText is what was asked for beside the plan as it is: when the last coat has gone by, and its window from burnish to then.
func whatIfText(d view.Day, p view.Printer) string {
	if len(d.WhatIf) == 0 {
		return ""
	}
	p.Keep = false
	rows := [][]string{{"What if:", "done", "window", ""}}
	for _, c := range d.WhatIf {
		done, window := "not known", "none"
		if !c.Done.IsZero() {
			done = p.Text(message.Say("{}", c.Gone))
		}
		if c.Window > 0 {
			window = p.Text(message.Say("{}", message.In(c.Window.Seconds(), message.Ends)))
		}
		says := c.Name()
		if len(c.Moved) > 0 {
			says = message.Say("{}; {}", says, c.Moved)
		}
		rows = append(rows, []string{strings.ToLower(c.Word), done, window, p.Text(says)})
	}
	return "\n" + Rows([]Column{{Cells: 12, Gap: 2}, {Cells: 9, Gap: 2}, {Cells: 7, Gap: 2}}, rows...)
}

// dueText is what protects the wall, the care of it, and what walls already laid want.
func dueText(due []view.Due, p view.Printer, detail bool) string {
	s, heads := "", map[string]bool{}
	once := func(head string) string {
		if heads[head] {
			return ""
		}
		heads[head] = true
		return head
	}
	for _, c := range due {
		if c.Wall != "" || c.Detail && !detail {
			continue
		}
		says := p.Text(c.When) + ". " + c.Do
		if detail && c.Why != "" {
			says += " " + c.Why
		}
		switch {
		case c.Protects && c.Idle:
			s += Paragraph(Label(once("Protect")), says)
		case c.Protects:
			s += Paragraph(Label(once("Protect")), c.Name+" "+says)
		default:
			s += Paragraph(Label(view.Capital(c.Name)), says)
		}
	}
	for _, r := range view.Laid(due) {
		s += Paragraph(Label(once("Laid")), p.Text(r))
	}
	return s
}

// limitsText says which of the data sheet's limits are met.
func limitsText(limits []view.Limit, p view.Printer, detail bool) string {
	if len(limits) == 0 {
		return ""
	}
	s := Paragraph(Label("Sheet"), p.Text(view.Met(limits)))
	if detail {
		for _, l := range limits {
			s += Paragraph("  - ", p.Text(l.Says))
		}
	}
	return s
}
