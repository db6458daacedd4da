package app

import (
	"math"
	"time"

	"limeday/cmd/internal/view"
	"limeday/cmd/internal/wire"
	"limeday/drying"
	"limeday/drying/crew"
)

type wallPlanned struct {
	Schema   string         `json:"schema"`
	Job      string         `json:"job"`
	At       string         `json:"at"`
	Verdict  drying.Verdict `json:"verdict"` // of the morning check, but for what it says of all coats in one day; of several walls the worst
	Whole    bool           `json:"whole"`   // every wall holds in one stretch, every coat
	Band     bool           `json:"band"`    // in eight cases of ten
	Risk     float64        `json:"risk"`    // share of the draws in which something is lost
	Done     *string        `json:"done"`
	Walls    []wallShape    `json:"walls"`
	Hands    []wallHand     `json:"hands"`
	Sections []wallSection  `json:"sections"`
	Runs     []wallRun      `json:"runs"`  // by hand
	Tasks    []wallTask     `json:"tasks"` // by patch
	Left     []wallLeft     `json:"left"`
	Bolder   *wallBolder    `json:"bolder"` // the plan by likely windows alone, where it holds more
	Changes  []wallChange   `json:"changes"`
	Material []wallBatch    `json:"material"`
	Kept     bool           `json:"air_kept"` // days after the first are planned as if its air came again
	Weather  string         `json:"weather"`
	Assumed  []string       `json:"assumed"`
}

type wallShape struct {
	Name    string      `json:"name"`
	WidthM  float64     `json:"width_m"`
	HeightM float64     `json:"height_m"`
	AreaM2  float64     `json:"area_m2"`
	Patches []wallPatch `json:"patches"`
}

type wallPatch struct {
	Number int       `json:"number"`
	AreaM2 float64   `json:"area_m2"`
	Boxes  []wallBox `json:"boxes"`
}

type wallBox struct {
	LeftM   float64 `json:"left_m"`
	SillM   float64 `json:"sill_m"`
	WidthM  float64 `json:"width_m"`
	HeightM float64 `json:"height_m"`
}

type wallHand struct {
	Name        string  `json:"name"`
	Laying      float64 `json:"laying_m2_per_h"` // 0: does not
	Compressing float64 `json:"compressing_m2_per_h"`
	Burnishing  float64 `json:"burnishing_m2_per_h"`
}

type wallSection struct {
	Coat     int      `json:"coat"`
	Wall     int      `json:"wall"` // from 1
	Section  int      `json:"section"`
	First    int      `json:"first"`
	Last     int      `json:"last"`
	AreaM2   float64  `json:"area_m2"`
	Ends     string   `json:"ends"`
	From     string   `json:"from"`
	To       string   `json:"to"`
	Hands    []string `json:"hands"`
	BoundM2  float64  `json:"bound_m2"` // no order of work passes it
	Exact    bool     `json:"exact"`
	Risk     float64  `json:"risk"`
	Why      string   `json:"why"`
	DryEdges int      `json:"dry_edges"`
}

type wallRun struct {
	Hand     string   `json:"hand"`
	Coat     int      `json:"coat"`
	Wall     int      `json:"wall"`
	Section  int      `json:"section"`
	Does     []string `json:"does"`
	First    int      `json:"first"`
	Last     int      `json:"last"`
	From     string   `json:"from"`
	To       string   `json:"to"`
	Earliest *string  `json:"earliest"`
	Latest   *string  `json:"latest"`
	Opens    *string  `json:"opens"`
	Closes   *string  `json:"closes"`
}

type wallTask struct {
	Coat     int     `json:"coat"`
	Wall     int     `json:"wall"`
	Section  int     `json:"section"`
	Patch    int     `json:"patch"`
	Op       string  `json:"op"`
	Hand     string  `json:"hand"`
	Start    string  `json:"start"`
	End      string  `json:"end"`
	Earliest *string `json:"earliest"`
	Latest   *string `json:"latest"`
	Opens    *string `json:"opens"`
	Closes   *string `json:"closes"`
}

type wallLeft struct {
	Coat   int     `json:"coat"`
	Wall   int     `json:"wall"`
	First  int     `json:"first"`
	Last   int     `json:"last"`
	AreaM2 float64 `json:"area_m2"`
	Why    string  `json:"why"`
}

type wallBolder struct {
	Whole    bool          `json:"whole"`
	AreaM2   float64       `json:"area_m2"` // its largest stretch of the last coat
	Risk     float64       `json:"risk"`
	Done     *string       `json:"done"`
	Sections []wallSection `json:"sections"`
	Runs     []wallRun     `json:"runs"`
}

type wallChange struct {
	Code     drying.ChangeCode `json:"code"`
	Text     string            `json:"text"`
	Tomorrow bool              `json:"tomorrow"`
	Whole    bool              `json:"whole"`
	AreaM2   float64           `json:"area_m2"`
	FromM2   float64           `json:"from_m2"`
	Helps    bool              `json:"helps"`
	Done     *string           `json:"done"`
}

type wallBatch struct {
	Coat     int      `json:"coat"`
	Wall     int      `json:"wall"`
	Section  int      `json:"section"`
	By       string   `json:"by"`
	AreaM2   float64  `json:"area_m2"`
	SpreadKg float64  `json:"spread_kg_per_m2"`
	MassKg   float64  `json:"mass_kg"`
	Buckets  *int     `json:"buckets"` // null where the job gives no bucket
	Opened   []string `json:"opened"`  // when each bucket is
}

// worst is the morning check that says the worst.
func (s *wallScreen) worst() (drying.Answer, drying.Verdict, *drying.Reason) {
	a := s.day[drying.WorstWall(s.day)]
	return a, a.Verdict, a.First()
}

// number is that of a coat of the plan, from 1: those laid already count.
func (s *wallScreen) number(i int) int { return s.laid + i + 1 }

// buckets is how many buckets a mass takes; 0 where their size is not known.
func (s *wallScreen) buckets(mass float64) int {
	if s.bucket == 0 {
		return 0
	}
	return int(math.Ceil(mass/s.bucket - 1e-9))
}

func wallJSON(s *wallScreen) wallPlanned {
	p := s.plan
	name := func(hand int) string { return p.Ask.Crew.Hands[hand].Name }
	at := func(t time.Time) string { return t.Format(time.RFC3339) }
	zone := p.Ask.Sites[0].Job.Zone
	_, verdict, _ := s.worst()
	a := wallPlanned{Schema: "limeday.wall/1", Job: orWord(s.job.Place.Name, s.job.File), At: at(p.Ask.Ask.At.In(zone)), Verdict: verdict, Whole: p.Whole,
		Band: p.Band, Risk: p.Risk, Done: wire.Moment(p.Done), Walls: []wallShape{}, Hands: []wallHand{}, Sections: s.sections(p), Tasks: []wallTask{},
		Left: []wallLeft{}, Changes: []wallChange{}, Material: []wallBatch{}, Kept: s.kept, Weather: s.source, Assumed: append([]string{}, s.assumed...)}
	for i, site := range p.Ask.Sites {
		w := wallShape{Name: site.Wall.Name, WidthM: site.Wall.Width, HeightM: site.Wall.Height, AreaM2: site.Wall.Area(), Patches: []wallPatch{}}
		for _, x := range p.Patches[i] {
			y := wallPatch{Number: x.Number, AreaM2: x.Area}
			for _, b := range x.Boxes {
				y.Boxes = append(y.Boxes, wallBox{b.Left, b.Sill, b.Width, b.Height})
			}
			w.Patches = append(w.Patches, y)
		}
		a.Walls = append(a.Walls, w)
	}
	for _, h := range p.Ask.Crew.Hands {
		a.Hands = append(a.Hands, wallHand{h.Name, h.Rate[crew.Lay], h.Rate[crew.Compress], h.Rate[crew.Burnish]})
	}
	a.Runs = s.runs(p)
	for _, c := range p.Sections {
		for _, t := range c.Tasks {
			a.Tasks = append(a.Tasks, wallTask{s.number(c.Coat), c.Site + 1, c.Number, t.Patch, t.Op.String(), name(t.Hand), at(t.Start), at(t.End),
				wire.Moment(t.Earliest), wire.Moment(t.Latest), wire.Moment(t.Opens), wire.Moment(t.Closes)})
		}
	}
	for _, l := range p.Left {
		a.Left = append(a.Left, wallLeft{s.number(l.Coat), l.Site + 1, l.First, l.Last, l.Area, l.Why})
	}
	if b := p.Bolder; b != nil {
		a.Bolder = &wallBolder{b.Whole, b.Stretch(), b.Risk, wire.Moment(b.Done), s.sections(b), s.runs(b)}
	}
	for _, c := range p.Changes {
		a.Changes = append(a.Changes, wallChange{c.Code, view.Printer{}.Text(c.Says), c.Tomorrow, c.Whole, c.Area, c.From, c.Helps, wire.Moment(c.Done)})
	}
	for _, b := range p.Batches {
		x := wallBatch{s.number(b.Coat), b.Site + 1, b.Number, at(b.By), b.Area, b.Spread, b.Mass, nil, []string{}}
		if n := s.buckets(b.Mass); n > 0 {
			x.Buckets = &n
			for _, t := range p.Opened(b, s.bucket) {
				x.Opened = append(x.Opened, at(t))
			}
		}
		a.Material = append(a.Material, x)
	}
	return a
}

func (s *wallScreen) sections(p *crew.Plan) []wallSection {
	out := []wallSection{}
	for _, c := range p.Sections {
		x := wallSection{s.number(c.Coat), c.Site + 1, c.Number, c.First, c.Last, c.Area, view.Printer{}.Text(c.Ends), c.From.Format(time.RFC3339), c.To.Format(time.RFC3339), []string{}, c.Bound, c.Exact,
			c.Risk, c.Why, c.DryEdges}
		for _, h := range c.Hands {
			x.Hands = append(x.Hands, p.Ask.Crew.Hands[h].Name)
		}
		out = append(out, x)
	}
	return out
}

func (s *wallScreen) runs(p *crew.Plan) []wallRun {
	out := []wallRun{}
	for _, r := range p.Runs() {
		x := wallRun{Hand: p.Ask.Crew.Hands[r.Hand].Name, Coat: s.number(r.Coat), Wall: r.Site + 1, Section: p.Sections[r.Section].Number, First: r.First, Last: r.Last, From: r.From.Format(time.RFC3339), To: r.To.Format(time.RFC3339),
			Earliest: wire.Moment(r.Earliest), Latest: wire.Moment(r.Latest), Opens: wire.Moment(r.Opens), Closes: wire.Moment(r.Closes)}
		for _, o := range r.Does {
			x.Does = append(x.Does, o.String())
		}
		out = append(out, x)
	}
	return out
}
