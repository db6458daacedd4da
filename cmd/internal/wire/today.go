package wire

import (
	"math"
	"time"

	"limeday/cmd/internal/view"
	"limeday/drying/message"
	"limeday/weather"
)

// Today is the morning check.
type Today struct {
	Schema   string        `json:"schema"`
	Job      string        `json:"job"`
	At       string        `json:"at"`
	For      string        `json:"for"` // the day asked about
	Start    string        `json:"start"`
	Verdict  string        `json:"verdict"`
	Reasons  []todayReason `json:"reasons"`
	Tonight  []todayDeed   `json:"tonight"` // what is to be done before the coats of a later day
	Coats    []todayCoat   `json:"coats"`
	Days     []todayDay    `json:"days"`
	Earliest *string       `json:"earliest"` // of the starts that are not a no-go
	Latest   *string       `json:"latest"`
	Changes  []todayChange `json:"changes"`
	WhatIf   []todayWhatIf `json:"what_if,omitempty"` // the plan as it is, each change asked for, and all together
	Care     []todayCare   `json:"care"`
	Sheet    []todaySheet  `json:"sheet"`
	Frost    todayFrost    `json:"frost"`
	Air      Air           `json:"air"`
	Weather  todayWeather  `json:"weather"`
	Next     todayNext     `json:"next"`            // the first later day that is not a no-go, where this one is
	Work     []string      `json:"work"`            // what a no-go still serves for
	Walls    []wallSummary `json:"walls,omitempty"` // outdoors, where the job has several
	Since    []todaySeen   `json:"since,omitempty"` // what was seen of the coats laid, where the answer is for the rest of the day
	Odd      *string       `json:"odd"`             // what was seen that was not to be expected; null where nothing was
	Mend     *todayMend    `json:"mend,omitempty"`  // what can be done about what went wrong
	Holds    *todayHolds   `json:"holds"`           // the air that the plan stands in; null where nothing is to be laid
	Timing   *Timing       `json:"timing"`          // what was learned of the plasterer; null where nothing was
	Assumed  []string      `json:"assumed"`
}

type todayHolds struct {
	Colder float64 `json:"colder_k"`
	Warmer float64 `json:"warmer_k"`
	Drier  float64 `json:"drier_pct"`
	Damper float64 `json:"damper_pct"`
}

type todayMend struct {
	Coat int      `json:"coat"`
	What string   `json:"what"`
	At   string   `json:"at"`
	Do   []string `json:"do"`
}

type todaySeen struct {
	Coat   int    `json:"coat"`
	What   string `json:"what"`
	At     string `json:"at"`
	NotYet bool   `json:"not_yet"`
}

// Timing is whose times they are.
type Timing struct {
	Finish string `json:"finish"`
	Boards int    `json:"boards"`
}

// todayDeed has no time where it is for the evening before.
type todayDeed struct {
	Code string  `json:"code"`
	At   *string `json:"at"`
	Text string  `json:"text"`
}

type todayReason struct {
	Code     string  `json:"code"`
	Severity string  `json:"severity"`
	Text     string  `json:"text"`
	Value    float64 `json:"value"`
	Limit    float64 `json:"limit"`
	Unit     string  `json:"unit"`
}

// todayCoat has RFC 3339 times with offset, null where not reached.
type todayCoat struct {
	Coat        int     `json:"coat"`
	Finish      string  `json:"finish"`
	ThicknessMm float64 `json:"thickness_mm"`
	Lay         *string `json:"lay"`
	Edge        *string `json:"edge"`
	Opens       *string `json:"opens"`
	Burnish     *string `json:"burnish"`
	Closes      *string `json:"closes"`
	Recoat      *string `json:"recoat"`
	Due         string  `json:"due"`
	Custom      *string `json:"custom"` // until when the trade leaves it, at the least
	Misted      bool    `json:"misted"` // its bed is, before
	Done        bool    `json:"done"`   // it was laid before the moment of asking

	// Eight days in ten fall between.
	LayEarliest     *string `json:"lay_earliest"`
	LayLatest       *string `json:"lay_latest"`
	EdgeEarliest    *string `json:"edge_earliest"`
	EdgeLatest      *string `json:"edge_latest"`
	OpensEarliest   *string `json:"opens_earliest"`
	OpensLatest     *string `json:"opens_latest"`
	BurnishEarliest *string `json:"burnish_earliest"`
	BurnishLatest   *string `json:"burnish_latest"`
	ClosesEarliest  *string `json:"closes_earliest"`
	ClosesLatest    *string `json:"closes_latest"`
	RecoatEarliest  *string `json:"recoat_earliest"`
	RecoatLatest    *string `json:"recoat_latest"`
}

// todayDay is a day of the plan. A verdict is null where no coat is laid, or the air is not known.
type todayDay struct {
	Date    string   `json:"date"`
	Due     *string  `json:"due"`
	Verdict *string  `json:"verdict"`
	Coats   []int    `json:"coats"`
	Tend    []string `json:"tend"`
	Reasons []string `json:"reasons"`
}

type wallSummary struct {
	Name     string   `json:"name"`
	Bearing  float64  `json:"bearing"`
	Verdict  string   `json:"verdict"`
	Start    *string  `json:"start"`
	Earliest *string  `json:"earliest"`
	Latest   *string  `json:"latest"`
	Reasons  []string `json:"reasons"`
}

type todayChange struct {
	Code      string  `json:"code"`
	Text      string  `json:"text"`
	Effect    string  `json:"effect"`
	Helps     bool    `json:"helps"`
	Tomorrow  bool    `json:"tomorrow"`
	Verdict   string  `json:"verdict"`
	WindowMin float64 `json:"window_min"`
	Done      *string `json:"done"`
}

type todayWhatIf struct {
	Codes     []string `json:"codes"`
	Text      string   `json:"text"`
	Effect    string   `json:"effect"`
	Helps     bool     `json:"helps"`
	Tomorrow  bool     `json:"tomorrow"`
	Verdict   string   `json:"verdict"`
	Lay       *string  `json:"lay"`
	Due       []int    `json:"due"`
	WindowMin float64  `json:"window_min"`
	Done      *string  `json:"done"`
}

// todayNext has nulls where the day itself can be worked, and where no later day is known.
type todayNext struct {
	Start    *string `json:"start"`
	Verdict  *string `json:"verdict"`
	Searched *string `json:"searched"`
}

type todayCare struct {
	Code    string  `json:"code"`
	Wall    string  `json:"wall,omitempty"` // of a wall already laid
	Text    string  `json:"text"`
	From    *string `json:"from"`
	Certain *string `json:"certain"` // surely by then; null where only the start is known
}

type todaySheet struct {
	What  string   `json:"what"`
	Value float64  `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Unit  string   `json:"unit"`
	Met   bool     `json:"met"`
}

type todayFrost struct {
	Risk        string   `json:"risk"`
	FirstFreeze *string  `json:"first_freeze"`
	SurfaceMinC *float64 `json:"surface_min_c"`
	// After the forecast, up to the middle of what published advice wants: by the history kept of the place; null where none is.
	AfterForecast *todayOdds `json:"after_forecast"`
}

type todayOdds struct {
	Share float64 `json:"share"` // of the years in which the air froze
	Years int     `json:"years"`
	Until string  `json:"until"`
}

type todayWeather struct {
	Source    string   `json:"source"`
	Issued    string   `json:"issued"`
	AgeH      float64  `json:"age_h"`
	Radiation string   `json:"radiation"`
	Forecast  bool     `json:"forecast"`
	Credit    string   `json:"credit,omitempty"`
	Held      bool     `json:"held"`
	Replay    bool     `json:"replay"`
	Notes     []string `json:"notes"`
	// Parts are the stretches of the air, each with where it comes from.
	Parts []todayPart `json:"parts"`
}

// Moment is m in RFC 3339, nil where it is zero.
func Moment(m time.Time) *string {
	if m.IsZero() {
		return nil
	}
	s := m.Format(time.RFC3339)
	return &s
}

// word is s, nil where it is empty.
func word(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// NewToday writes a day. Its sentences are in metric units, by the clock of the job.
func NewToday(d view.Day) Today {
	p := view.Printer{Day: d.ToldOn()}
	texts := func(in []message.Text) []string {
		out := []string{}
		for _, t := range in {
			out = append(out, p.Text(t))
		}
		return out
	}
	x := d.Exact
	t := Today{
		Schema: "limeday.today/1", Job: d.Job, At: d.At.Format(time.RFC3339), For: d.For.Format(time.DateOnly), Start: d.Start.Format(time.RFC3339), Verdict: d.Verdict.Code,
		Reasons: []todayReason{}, Tonight: []todayDeed{}, Coats: []todayCoat{}, Days: []todayDay{}, Changes: []todayChange{}, Care: []todayCare{}, Sheet: []todaySheet{},
		Earliest: Moment(x.Earliest), Latest: Moment(x.Latest), Air: NewAir(x.Air, &x.Face),
		Frost: todayFrost{Risk: x.Frost.Risk, FirstFreeze: Moment(x.Frost.First), SurfaceMinC: x.Frost.SurfaceMin},
		Weather: todayWeather{x.Weather.Source, x.Weather.Issued.Format(time.RFC3339), x.Weather.Age.Hours(), x.Weather.Radiation, x.Weather.Forecast, x.Weather.Credit,
			x.Weather.Held, x.Weather.Replay, texts(x.Weather.Notes), parts(x.Parts, d.At.Location())},
		Next: todayNext{Start: Moment(x.Next.Start), Searched: Moment(x.Next.Searched)}, Work: append([]string{}, x.Work...), Assumed: texts(x.Assumed),
	}
	t.Air.Schema = ""
	t.Next.Verdict = word(x.Next.Verdict)
	if x.Frost.OddsYears > 0 {
		t.Frost.AfterForecast = &todayOdds{x.Frost.Odds, x.Frost.OddsYears, x.Frost.OddsUntil.Format(time.RFC3339)}
	}
	if len(x.Odd) > 0 {
		odd := p.Text(x.Odd)
		t.Odd = &odd
	}
	if h := x.Holds; h != nil {
		t.Holds = (*todayHolds)(h)
	}
	if m := x.Mend; m != nil {
		t.Mend = &todayMend{m.Coat, m.What, m.At.Format(time.RFC3339), texts(m.Do)}
	}
	for _, s := range x.Seen {
		t.Since = append(t.Since, todaySeen{s.Coat, s.What, s.At.Format(time.RFC3339), s.Not})
	}
	if x.Timing != nil {
		t.Timing = &Timing{x.Timing.Finish, x.Timing.Boards}
	}
	for _, w := range x.Walls {
		t.Walls = append(t.Walls, wallSummary{w.Name, w.Bearing, w.Verdict, Moment(w.Start), Moment(w.Earliest), Moment(w.Latest), append([]string{}, w.Reasons...)})
	}
	for _, r := range d.Reasons {
		t.Reasons = append(t.Reasons, todayReason{r.Code, r.Severity, p.Text(r.Words), r.Value, r.Limit, r.Unit})
	}
	for _, e := range d.Eve {
		t.Tonight = append(t.Tonight, todayDeed{e.Code, Moment(e.At), p.Text(e.Says)})
	}
	for _, c := range d.Changes {
		t.Changes = append(t.Changes, todayChange{c.Code, p.Text(c.Says), p.Text(c.Effect), c.Helps, c.Tomorrow, c.Verdict, c.Window.Minutes(), Moment(c.Done)})
	}
	for _, c := range d.WhatIf {
		t.WhatIf = append(t.WhatIf, todayWhatIf{append([]string{}, c.Codes...), p.Text(c.Says), p.Text(c.Effect), c.Helps, c.Tomorrow, c.Verdict, Moment(c.Lay),
			append([]int{}, c.Due...), c.Window.Minutes(), Moment(c.Done)})
	}
	for _, c := range d.After {
		text := c.Do
		if c.Why != "" {
			text += " " + c.Why
		}
		t.Care = append(t.Care, todayCare{c.Code, c.Wall, text, Moment(c.From), Moment(c.Certain)})
	}
	for _, l := range d.Limits {
		t.Sheet = append(t.Sheet, todaySheet{l.What, l.Value, l.Low, l.High, l.Unit, l.Met})
	}
	for _, c := range x.Coats {
		t.Coats = append(t.Coats, coat(c))
	}
	for _, p := range x.Days {
		t.Days = append(t.Days, todayDay{p.Date.Format(time.DateOnly), word(p.Due), word(p.Verdict), append([]int{}, p.Coats...), append([]string{}, p.Tend...), append([]string{}, p.Reasons...)})
	}
	return t
}

// coat is one coat, with every moment it has.
func coat(c view.Coat) todayCoat {
	t := todayCoat{Coat: c.Number, Finish: c.Finish, ThicknessMm: math.Round(c.Thick*1e9) / 1e6, Due: c.Due, Custom: Moment(c.Custom), Misted: c.Misted, Done: c.Done}
	to := map[string][3]**string{
		"lay": {&t.Lay, &t.LayEarliest, &t.LayLatest}, "edge": {&t.Edge, &t.EdgeEarliest, &t.EdgeLatest}, "opens": {&t.Opens, &t.OpensEarliest, &t.OpensLatest},
		"burnish": {&t.Burnish, &t.BurnishEarliest, &t.BurnishLatest}, "closes": {&t.Closes, &t.ClosesEarliest, &t.ClosesLatest}, "recoat": {&t.Recoat, &t.RecoatEarliest, &t.RecoatLatest},
	}
	for _, e := range c.Events {
		at := to[e.Code]
		*at[0], *at[1], *at[2] = Moment(e.At), Moment(e.Earliest), Moment(e.Latest)
	}
	return t
}

type todayPart struct {
	Kind   string  `json:"kind"`
	Source string  `json:"source"`
	From   string  `json:"from"`
	To     string  `json:"to"`
	Issued *string `json:"issued"` // null where that is not known
}

func parts(of []weather.Part, zone *time.Location) []todayPart {
	out := []todayPart{}
	for _, p := range of {
		out = append(out, todayPart{string(p.Kind), p.Source, p.From.In(zone).Format(time.RFC3339), p.To.In(zone).Format(time.RFC3339), Moment(p.Issued)})
	}
	return out
}
