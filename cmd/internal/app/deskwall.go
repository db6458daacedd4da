package app

import (
	"context"
	"fmt"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/drying"
	"limeday/drying/crew"
)

// Wall implements page.Desk.
func (d *desk) Wall(ctx context.Context, n int, u quantity.Units) page.Wall {
	j := d.jobs[n]
	j.work.Lock()
	defer j.work.Unlock()
	return keep(ctx, j, &j.walls, u, d.inv.Now(), func(w page.Wall) string { return w.Fault }, func() page.Wall {
		w := page.Wall{Name: j.name}
		s, err := d.wall(ctx, j, u)
		if err != nil {
			w.Fault = pageSentence(err)
			return w
		}
		s.show(&w)
		return w
	})
}

// wall plans a job's walls, as the command does.
func (d *desk) wall(ctx context.Context, j *deskJob, u quantity.Units) (*wallScreen, error) {
	day, err := d.day(ctx, j)
	if err != nil {
		return nil, err
	}
	r := readOf(day, j.path, u)
	r.example = j.example != ""
	return d.inv.planWall(ctx, r, d.seed)
}

// show fills a page in.
func (s *wallScreen) show(w *page.Wall) {
	p := s.plan
	for _, line := range s.holds() {
		w.Says = append(w.Says, apart(line))
	}
	for _, r := range s.state() {
		for _, t := range r.Says {
			w.Facts = append(w.Facts, sheet.Fact{Name: r.Label, Says: s.printer(false).Text(t)})
		}
	}
	for i, site := range p.Ask.Sites {
		d := s.patchwork(i)
		d.ID = fmt.Sprintf("wall-%d", i+1)
		head, rows := drawing.PatchworkTable(d)
		w.Drawings = append(w.Drawings, page.Drawing{Head: site.Wall.Name + ", patch by patch", Picture: drawing.PatchworkInline(d),
			Table: page.Table{Caption: "The patches of " + site.Wall.Name + ", in numbers", Head: head, Rows: rows}})
	}
	for i, day := range s.days() {
		d := s.hands(day)
		d.ID = fmt.Sprintf("day-%d", i+1)
		head, rows := drawing.HandsTable(d)
		w.Drawings = append(w.Drawings, page.Drawing{Head: d.Title, Picture: drawing.HandsInline(d), Table: page.Table{Caption: d.Title + ", in numbers", Head: head, Rows: rows}})
	}
	w.Tables = s.tables()
	w.Patches = s.patchTables()
	for _, c := range p.Changes {
		name := s.printer(false).Text(c.Says)
		if c.Tomorrow {
			name += " (for tomorrow)"
		}
		w.Changes = append(w.Changes, sheet.Fact{Name: name, Says: apart(s.effect(c))})
	}
	for _, e := range []drying.Event{drying.EventOpens, drying.EventBurnish, drying.EventCloses, drying.EventNext} {
		w.Signs = append(w.Signs, sheet.Fact{Name: string(e), Says: e.Sign()})
	}
	w.Unknown, w.Cautions = crew.Unknowns()+".", crew.Cautions()
	w.Worked = "Worked out for " + stamp(p.Ask.Ask.At.In(p.Ask.Sites[0].Job.Zone)) + "."
}

// tables are the sections, the timetable by hand and what to mix.
func (s *wallScreen) tables() []page.Table {
	p := s.plan
	if len(p.Sections) == 0 {
		return nil
	}
	sections := page.Table{Caption: "Sections", Head: []string{"coat", "wall", "section", "from", "to", "patches", "area", "ends at"}}
	for _, c := range p.Sections {
		sections.Rows = append(sections.Rows, []string{fmt.Sprint(s.number(c.Coat)), p.Ask.Sites[c.Site].Wall.Name, fmt.Sprint(c.Number), begun(c.From).Format("Mon 15:04"), begun(c.To).Format("Mon 15:04"),
			fmt.Sprintf("%d-%d", c.First, c.Last), apart(s.area(c.Area)), s.printer(false).Text(c.Ends)})
	}
	hands := page.Table{Caption: "Who, when", Head: []string{"hand", "from", "to", "does", "coat", "wall", "patches", "begins, by the sign"}}
	for _, r := range p.Runs() {
		hands.Rows = append(hands.Rows, []string{p.Ask.Crew.Hands[r.Hand].Name, begun(r.From).Format("Mon 15:04"), begun(r.To).Format("Mon 15:04"), does(r), fmt.Sprint(s.number(r.Coat)), p.Ask.Sites[r.Site].Wall.Name,
			fmt.Sprintf("%d-%d", r.First, r.Last), apart(begins(r))})
	}
	mix := page.Table{Caption: "What to mix, and for when", Head: []string{"for", "coat", "wall", "area", "mass", "buckets"}}
	for _, b := range p.Batches {
		n := ""
		if k := s.buckets(b.Mass); k > 0 {
			n = fmt.Sprint(k)
		}
		mix.Rows = append(mix.Rows, []string{begun(b.By).Format("Mon 15:04"), fmt.Sprint(s.number(b.Coat)), p.Ask.Sites[b.Site].Wall.Name, apart(s.area(b.Area)), apart(s.mass(b.Mass)), n})
	}
	return []page.Table{sections, hands, mix}
}

// patchTables are the timetable patch by patch, a table for each section.
func (s *wallScreen) patchTables() []page.Table {
	p := s.plan
	var out []page.Table
	for _, c := range p.Sections {
		t := page.Table{Caption: fmt.Sprintf("Coat %d, %s, section %d, %s", s.number(c.Coat), p.Ask.Sites[c.Site].Wall.Name, c.Number, c.From.Format("Mon 2 January")),
			Head: []string{"patch", "laid", "compressed", "burnished", "likely window"}}
		for _, x := range s.byPatch(c) {
			row := []string{fmt.Sprint(x.number), "", "", "", x.window}
			for o, y := range x.tasks {
				if y != nil {
					row[1+o] = begun(y.Start).Format("15:04") + " " + p.Ask.Crew.Hands[y.Hand].Name
				}
			}
			t.Rows = append(t.Rows, row)
		}
		out = append(out, t)
	}
	return out
}

// patchRow is what is done on a patch.
type patchRow struct {
	number int
	tasks  [3]*crew.Task // by operation; nil where it is not done
	window string        // of a coat that is closed in
}

// byPatch is a section patch by patch.
func (s *wallScreen) byPatch(c crew.Section) []patchRow {
	out := make([]patchRow, c.Last-c.First+1)
	for i := range c.Tasks {
		t := &c.Tasks[i]
		x := &out[t.Patch-c.First]
		x.number, x.tasks[t.Op] = t.Patch, t
		if t.Op == crew.Compress {
			x.window = begun(t.Opens).Format("15:04") + "-later"
			if !t.Closes.IsZero() {
				x.window = begun(t.Opens).Format("15:04") + "-" + over(t.Closes).Format("15:04")
			}
		}
	}
	return out
}

// effect is what a change would bring.
func (s *wallScreen) effect(c crew.Change) string {
	switch {
	case c.Whole:
		return "it holds in one stretch, done " + s.clock(c.Done)
	case c.Helps && c.Area > c.From:
		return fmt.Sprintf("the largest stretch goes from %s to %s", s.area(c.From), s.area(c.Area))
	case c.Helps:
		return "more of it holds"
	}
	return fmt.Sprintf("no: the largest stretch is %s", s.area(c.Area))
}
