package app

import (
	"fmt"
	"math"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/drying"
	"limeday/drying/crew"
	"limeday/drying/message"
)

// wallText is the plan on the screen: what holds, the sections, the timetable by hand; with detail also patch by patch.
func wallText(s *wallScreen, detail bool) string {
	p := s.plan
	var b strings.Builder
	b.WriteString(wrap("", s.head) + stamp(p.Ask.Ask.At.In(p.Ask.Sites[0].Job.Zone)) + "\n\n")
	for _, line := range s.holds() {
		b.WriteString(wrap("", line))
	}
	b.WriteString("\n" + text.Labelled(s.state(), s.printer(true), detail))
	if len(p.Sections) > 0 {
		b.WriteString("\n" + s.sectionsText())
		b.WriteString("\n" + s.handsText())
		if detail {
			b.WriteString("\n" + s.patchesText())
		}
		b.WriteString("\n" + s.materialText())
	}
	if detail && p.Bolder != nil {
		bold := *s
		bold.plan = p.Bolder
		b.WriteString("\nAt the likely windows alone: " + strings.ToLower(bold.sectionsText()[:1]) + bold.sectionsText()[1:] + "\n" + bold.handsText())
	}
	b.WriteString(s.changesText())
	b.WriteString("\n" + s.restText())
	return b.String()
}

func (s *wallScreen) area(m2 float64) string {
	return together(quantity.Format(quantity.Area, m2, s.units, 1))
}

// mass is a mass in both units: bags are sold in one and mixed in the other.
func (s *wallScreen) mass(kg float64) string {
	return together(quantity.Format(quantity.Mass, kg, quantity.Metric, 1) + " (" + quantity.Format(quantity.Mass, kg, quantity.US, 1) + ")")
}

// inHundred is a share in words.
func inHundred(share float64) string {
	switch n := math.Round(100 * share); {
	case share == 0:
		return "no case"
	case n < 1:
		return "under one case in 100"
	default:
		return fmt.Sprintf("%.0f cases in 100", n)
	}
}

// holds says first what there is to know.
func (s *wallScreen) holds() []string {
	p := s.plan
	last := len(p.Ask.Sites[0].Job.Coats)
	all := 0.0
	for _, site := range p.Ask.Sites {
		all += site.Wall.Area()
	}
	var out []string
	if _, verdict, reason := s.worst(); verdict == drying.NoGo {
		says := message.Words(view.Word(verdict) + " today. Were it laid all the same:")
		if reason != nil {
			says = message.Say("{} today. {} Were it laid all the same:", view.Word(verdict), reason.Says)
		}
		out = append(out, s.printer(true).Text(says))
	}
	wall, only := "The whole wall holds", ""
	switch n := len(p.Ask.Sites); {
	case n == 2:
		wall = "Both walls hold"
	case n > 2:
		wall = fmt.Sprintf("All %d walls hold", n)
	}
	if !p.Band {
		only = "Only at the likely windows: "
	}
	stretches := 0
	for _, c := range p.Sections {
		if c.Coat == last-1 {
			stretches++
		}
	}
	switch {
	case p.Whole:
		out = append(out, fmt.Sprintf("%s%s: %s, each in one stretch, done %s.", only, wall, s.area(all), s.clock(p.Done)))
	case len(p.Left) == 0:
		out = append(out, fmt.Sprintf("%sIt holds in %d stretches, with day joints where they hide, done %s; the largest is %s of %s.", only, stretches, s.clock(p.Done), s.area(p.Stretch()), s.area(all)))
	case stretches > 0:
		out = append(out, fmt.Sprintf("%sNot all of it holds: the largest stretch of the last coat is %s of %s.", only, s.area(p.Stretch()), s.area(all)))
	default:
		out = append(out, "The last coat holds nowhere as it stands: no stretch that ends where a joint hides can be laid and closed inside its window.")
	}
	if len(p.Ask.Sites) == 1 {
		out[0] = strings.Replace(out[0], ", each in one stretch", " in one stretch", 1)
	}
	switch {
	case len(p.Sections) == 0:
	case p.Band:
		it := "It is made"
		if len(p.Left) > 0 {
			it = "What is planned is made"
		}
		out = append(out, fmt.Sprintf("%s to hold in eight cases of ten. Worked through with other air, suction, thickness and batch it is lost in %s.", it, inHundred(p.Risk)))
	default:
		out = append(out, fmt.Sprintf("From the earliest to the latest it does not hold: it is lost in %s.", inHundred(p.Risk)))
	}
	if b := p.Bolder; b != nil {
		what := fmt.Sprintf("%s in one stretch", s.area(b.Stretch()))
		if b.Whole {
			what = "all of it in one stretch"
		}
		out = append(out, fmt.Sprintf("At the likely windows alone %s would hold, and be lost in %s.", what, inHundred(b.Risk)))
	}
	for _, l := range p.Left {
		out = append(out, fmt.Sprintf("Not planned: coat %d on %s, %s, %s: %s.", s.number(l.Coat), p.Ask.Sites[l.Site].Wall.Name, patches(l.First, l.Last), s.area(l.Area), l.Why))
	}
	return out
}

// begun is a moment of the work as text, page, drawing and calendar show it: by the minute, never sooner than it comes. Two things that follow
// each other keep their order so, and one moment is told once.
func begun(t time.Time) time.Time { return view.Time{At: t, Edge: message.Begins}.Shown() }

// over is a moment until which something can be done, never shown later than it is.
func over(t time.Time) time.Time { return view.Time{At: t, Edge: message.Ends}.Shown() }

// clock is a moment with its weekday.
func (s *wallScreen) clock(t time.Time) string { return together(begun(t).Format("Mon 15:04")) }

// stretch is from when to when, with the weekday of the end where it is another.
func (s *wallScreen) stretch(from, to time.Time) string {
	from, to = begun(from), begun(to)
	if from.YearDay() != to.YearDay() {
		return s.clock(from) + " to " + s.clock(to)
	}
	return s.clock(from) + "-" + to.Format("15:04")
}

// patches are those from one to another.
func patches(first, last int) string {
	if first == last {
		return fmt.Sprintf("patch %d", first)
	}
	return fmt.Sprintf("patches %d-%d", first, last)
}

// state is what the plan starts from.
func (s *wallScreen) state() []view.Row {
	a, verdict, reason := s.worst()
	says := message.Say("{}: {}.", a.At.Format("Mon 2 January"), view.Word(verdict))
	if reason != nil {
		says = message.Say("{}: {}: {}", a.At.Format("Mon 2 January"), view.Word(verdict), reason.Says)
	}
	says = message.Say("{} limeday today tells the rest. Later days are not judged here: ask again each morning.", says)
	rows := []view.Row{{Label: "Morning", Says: []message.Text{says}}, {Label: "From", Says: []message.Text{view.AirFrom(a.Known)}}}
	if s.kept {
		rows = append(rows, view.Row{Label: "Later", Says: []message.Text{message.Words("days after today are planned as if its air came again.")}})
	}
	if len(s.assumed) > 0 {
		rows = append(rows, view.Row{Label: "Assumed", Says: []message.Text{message.Words(strings.Join(s.assumed, "; "))}})
	}
	return rows
}

// printer writes for the wall, seen from the moment of asking.
func (s *wallScreen) printer(keep bool) view.Printer {
	return view.Printer{Units: s.units, Day: s.plan.Ask.Ask.At.In(s.plan.Ask.Sites[0].Job.Zone), Keep: keep}
}

func (s *wallScreen) coat(i int) string {
	c := s.plan.Ask.Sites[0].Job.Coats[i]
	return fmt.Sprintf("coat %d, %s %s", s.number(i), c.Finish.Name, s.printer(true).Quantity(message.Thick(c.Thickness)))
}

// sectionsText is the plan coat by coat.
func (s *wallScreen) sectionsText() string {
	p := s.plan
	t := wrap("", "Sections, laid "+s.strips())
	for i, c := range p.Sections {
		if i == 0 || p.Sections[i-1].Coat != c.Coat {
			t += wrap("  ", s.coat(c.Coat))
		}
		says := s.stretch(c.From, c.To) + "  "
		if len(p.Ask.Sites) > 1 {
			says += p.Ask.Sites[c.Site].Wall.Name + ", "
		}
		says += fmt.Sprintf("%s, %s, to %s", patches(c.First, c.Last), s.area(c.Area), s.printer(true).Text(c.Ends))
		if c.Number > 1 || c.Why != "" {
			says += fmt.Sprintf(" (section %d)", c.Number)
		}
		if c.DryEdges > 0 {
			says += fmt.Sprintf("; edges that dry before they are met: %d, laid over and covered by the next coat", c.DryEdges)
		}
		if c.Why != "" {
			says += "; no more as " + c.Why + s.gap(c)
		}
		t += wrap("    ", says)
	}
	return t
}

// strips is how narrow the strips are.
func (s *wallScreen) strips() string {
	wide := 0.0
	for _, ps := range s.plan.Patches {
		for _, x := range ps {
			wide = max(wide, x.Boxes[0].Width)
		}
	}
	return "in strips up to " + s.printer(true).Quantity(message.MetresAlong(wide)) + " wide"
}

// gap tells how far a section is from what no order of work can pass.
func (s *wallScreen) gap(c crew.Section) string {
	if c.Exact {
		return "; begun at the hours tried, no order of work holds more"
	}
	return fmt.Sprintf("; begun at the hours tried no order of work holds more than %s, so a better one may be up to %s larger", s.area(c.Bound), s.area(c.Bound-c.Area))
}

// does is what a run is, in words.
func does(r crew.Run) string {
	words := map[crew.Op]string{crew.Lay: "lays", crew.Compress: "compresses", crew.Burnish: "burnishes"}
	var all []string
	for _, o := range r.Does {
		all = append(all, words[o])
	}
	switch n := len(all); n {
	case 1:
		return all[0]
	case 2:
		return all[0] + " and " + all[1]
	default:
		return strings.Join(all[:n-1], ", ") + " and " + all[n-1] + " in turn"
	}
}

// handsText is the timetable by hand.
func (s *wallScreen) handsText() string {
	p := s.plan
	t := "Who, when\n"
	hand := -1
	for _, r := range p.Runs() {
		if r.Hand != hand {
			hand = r.Hand
			t += wrap("  ", p.Ask.Crew.Hands[hand].Name)
		}
		says := fmt.Sprintf("%s  %s coat %d, %s", s.stretch(r.From, r.To), does(r), s.number(r.Coat), patches(r.First, r.Last))
		if len(p.Ask.Sites) > 1 {
			says += " of " + p.Ask.Sites[r.Site].Wall.Name
		}
		if !r.Opens.IsZero() {
			says += s.behind(r)
		}
		if when := begins(r); when != "" {
			says += "; begins " + when + ", by the sign"
		}
		t += wrap("    ", says)
	}
	for i, h := range p.Ask.Crew.Hands {
		idle := true
		for _, c := range p.Sections {
			for _, x := range c.Hands {
				idle = idle && x != i
			}
		}
		if idle {
			t += wrap("  ", h.Name+": not needed")
		}
	}
	return t
}

// begins is how soon and how late a run may begin; empty where that is when it does, or not known.
func begins(r crew.Run) string {
	if r.Earliest.IsZero() || r.Latest.IsZero() || !begun(r.Earliest).Before(over(r.Latest)) {
		return ""
	}
	p := view.Printer{Day: r.From, Keep: true}
	return p.Text(message.Say("{}\u00a0to\u00a0{}", message.Quantity{Kind: message.Clock, At: r.Earliest, Edge: message.Begins}, message.Quantity{Kind: message.Clock, At: r.Latest, Edge: message.Ends}))
}

// behind tells how closely a closing hand follows the laying.
func (s *wallScreen) behind(r crew.Run) string {
	var laid time.Time
	for _, t := range s.plan.Sections[r.Section].Tasks {
		if t.Op == crew.Lay && t.Patch == r.First {
			laid = t.End
		}
	}
	if m := r.From.Sub(laid).Minutes(); m >= 1 {
		return fmt.Sprintf(", from %.0f min after patch %d is laid", m, r.First)
	}
	return ", straight behind the trowel"
}

// patchesText is the timetable patch by patch.
func (s *wallScreen) patchesText() string {
	p := s.plan
	t := "Patch by patch: laid, compressed, burnished; its likely window\n"
	for _, c := range p.Sections {
		name := ""
		if len(p.Ask.Sites) > 1 {
			name = ", " + p.Ask.Sites[c.Site].Wall.Name
		}
		t += wrap("  ", fmt.Sprintf("coat %d%s, section %d, %s", s.number(c.Coat), name, c.Number, c.From.Format("Mon 2 January")))
		for _, x := range s.byPatch(c) {
			row := fmt.Sprintf("    %3d  ", x.number)
			for _, y := range x.tasks {
				if y != nil {
					row += begun(y.Start).Format("15:04") + " " + text.Pad(p.Ask.Crew.Hands[y.Hand].Name, 8) + " "
				}
			}
			t += strings.TrimRight(row+" "+x.window, " ") + "\n"
		}
	}
	return t
}

// materialText is what to mix for each section, and by when.
func (s *wallScreen) materialText() string {
	p := s.plan
	t := "Mix\n"
	for _, b := range p.Batches {
		says := fmt.Sprintf("for %s  coat %d: %s for %s", s.clock(b.By), s.number(b.Coat), s.mass(b.Mass), s.area(b.Area))
		if n := s.buckets(b.Mass); n > 0 {
			says += fmt.Sprintf(", %s of %s", plural(n, "bucket"), together(quantity.Format(quantity.Mass, s.bucket, s.units, 0)))
			if at := p.Opened(b, s.bucket); n > 1 {
				says += ", the last opened at " + begun(at[n-1]).Format("15:04")
			}
		}
		t += wrap("  ", says)
	}
	return t
}

// changesText is what would make more possible.
func (s *wallScreen) changesText() string {
	p := s.plan
	if len(p.Changes) == 0 {
		return ""
	}
	t := "\nWhat would make more possible\n"
	for _, c := range p.Changes {
		when := ""
		if c.Tomorrow {
			when = " (for tomorrow)"
		}
		t += wrap("  - ", s.printer(true).Text(c.Says)+when+": "+s.effect(c))
	}
	return t
}

// restText is the signs and the cautions.
func (s *wallScreen) restText() string {
	t := wrap(text.Label("Sign"), "the clock gives way to the sign. "+string(drying.EventOpens)+": "+drying.EventOpens.Sign()+". "+string(drying.EventBurnish)+": "+drying.EventBurnish.Sign()+". "+string(drying.EventCloses)+": "+drying.EventCloses.Sign()+". "+
		string(drying.EventNext)+": "+drying.EventNext.Sign()+".")
	t += wrap(text.Label("Unknown"), crew.Unknowns()+".")
	t += wrap(text.Label("Danger"), strings.Join(crew.Cautions(), " "))
	return t
}
