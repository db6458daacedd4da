package job

import (
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"limeday/cmd/internal/quantity"
)

// What a hand does.
const (
	TaskLay      = "lay"
	TaskCompress = "compress"
	TaskBurnish  = "burnish"
)

// How a joint between two lengths of work is made.
const (
	JointDamp  = "damp"
	JointBlend = "blend"
)

// Crew is who works, and how fast. Rates are in m2/h of one hand for one pass,
// 0.1 to 100; nil where not given.
type Crew struct {
	Line                            int    // 0 when there is no [crew]
	People                          int    // 1 to 200; 0 when not given
	Hands                           []Hand // as many as People where both are given; empty when not given
	Laying, Compressing, Burnishing *float64
	CompressPasses                  *int     // 1 to 10
	BurnishPasses                   *int     // 0, left unburnished, to 10
	Breaks                          []Hours  // of every day, in order and clear of each other
	BreakLines                      []int    // the line of each break
	SeveralLay                      bool     // more than one hand may lay a wall at once; else one hand lays each wall
	Joint                           string   // JointDamp or JointBlend; empty when not given, which is damp
	Travel                          *float64 // s, to go back along the wall or change lift, 0 to 3600
	Strip                           *float64 // m, width of the strips that the wall is laid in, 0.1 to 5
	Waste                           *float64 // percent, 0 to 100
	Bucket                          *float64 // kg in a bucket, 0.1 to 100
}

// Hand is one of the crew. Its rates, in m2/h for one pass, go before the crew's.
type Hand struct {
	Name                            string   // empty when not given; no two are the same
	Does                            []string // of TaskLay, TaskCompress and TaskBurnish; empty for all
	Laying, Compressing, Burnishing *float64
	Line                            int
}

const maxPeople = 200

var (
	tasks  = []string{TaskLay, TaskCompress, TaskBurnish}
	joints = []string{JointDamp, JointBlend}
	// rateKeys are the keys of the rates, in the order of tasks.
	rateKeys = []string{"laying", "compressing", "burnishing"}
)

// crew reads [crew]; hours are those of the working day, or nil.
func (d *decoder) crew(s *section, hours *Hours) Crew {
	c := Crew{
		Line:           s.line(),
		People:         s.integer("people", 1, maxPeople, fmt.Sprintf("a whole number of people, 1 to %d", maxPeople)),
		Laying:         s.rate(0),
		Compressing:    s.rate(1),
		Burnishing:     s.rate(2),
		CompressPasses: s.whole("compress_passes", 1, 10, "a whole number of passes, 1 to 10"),
		BurnishPasses:  s.whole("burnish_passes", 0, 10, "a whole number of passes, 0 (left unburnished) to 10"),
		SeveralLay:     s.boolean("several_lay"),
		Joint:          s.word("joint", "joint", joints),
		Travel:         s.quantity("travel", quantity.Duration, quantity.TravelTimes),
		Strip:          s.quantity("strip", quantity.Length, quantity.StripWidths),
		Waste:          s.quantity("waste", quantity.Waste, quantity.Wastes),
		Bucket:         s.quantity("bucket", quantity.Mass, quantity.BucketMasses),
	}
	c.Breaks, c.BreakLines = d.breaks(s, hours)
	c.Hands = d.hands(s)
	s.done()
	if people, n := s.t.values["people"], len(c.Hands); c.People > 0 && n > 0 && n != c.People {
		d.fault(people.line, "as many people as [[crew.hand]]", "people in [crew] is %d, and [[crew.hand]] stands there %d times; give a [[crew.hand]] for each of them, or leave people out", c.People, n)
	}
	return c
}

func (d *decoder) hands(s *section) []Hand {
	all := s.each("hand")
	if len(all) > maxPeople {
		d.fault(all[maxPeople].line(), "fewer hands", "[crew] has %d hands; give %d at most", len(all), maxPeople)
		return nil
	}
	var out []Hand
	lays := len(all) == 0
	for _, h := range all {
		got := Hand{Line: h.line(), Laying: h.rate(0), Compressing: h.rate(1), Burnishing: h.rate(2)}
		if name, v, ok := h.name("name"); ok {
			got.Name = strings.TrimSpace(name)
			if i := slices.IndexFunc(out, func(o Hand) bool { return strings.EqualFold(o.Name, got.Name) }); i >= 0 {
				d.fault(v.line, "a name for each hand", "name in [[crew.hand]]: %q is also the name of the hand of line %d; give each hand its own", got.Name, out[i].Line)
			}
		}
		got.Does = h.does()
		for i, key := range rateKeys {
			if v, there := h.t.values[key]; there && len(got.Does) > 0 && !slices.Contains(got.Does, tasks[i]) {
				d.fault(v.line, key+" of a hand that does it", "%s in [[crew.hand]] is the rate of a hand that does not %s; add %q to does, or leave out %s", key, tasks[i], tasks[i], key)
			}
		}
		lays = lays || len(got.Does) == 0 || slices.Contains(got.Does, TaskLay)
		h.done()
		out = append(out, got)
	}
	if !lays {
		d.fault(all[0].line(), "a hand that lays", "no [[crew.hand]] lays; add %q to does of at least one of them", TaskLay)
	}
	return out
}

func (s *section) does() []string {
	const of = "one or more of \"lay\", \"compress\" and \"burnish\" in a list"
	var out []string
	for _, v := range s.list("does", of) {
		switch {
		case v.kind != unstable.String:
			s.wrong("does", v, of)
		case !slices.Contains(tasks, v.text):
			e := quantity.Unknown("task of a hand", v.text, tasks)
			s.d.fault(v.line, e.Expected, "%s: %s", s.in("does"), e.Reason)
		case slices.Contains(out, v.text):
			s.d.fault(v.line, of, "%s: %q is given twice; give each once", s.in("does"), v.text)
		default:
			out = append(out, v.text)
		}
	}
	return out
}

// rate reads the rate of a task, by its place in tasks. None is zero: what a hand does not do is said in words.
func (s *section) rate(task int) *float64 {
	key := rateKeys[task]
	v, ok := s.get(key)
	if !ok {
		return nil
	}
	text, ok := s.written(key, v, quantity.WorkRate)
	if !ok {
		return nil
	}
	if x, err := quantity.Parse(quantity.WorkRate, text, s.units, quantity.Range{}); err == nil && x <= 0 {
		others := slices.Delete(slices.Clone(tasks), task, task+1)
		s.d.fault(v.line, quantity.WorkRates.Text(quantity.WorkRate, s.units), "%s is %s; give a rate above zero, and tell of a hand that does not %s with does = [\"%s\"] in its [[crew.hand]]",
			s.in(key), text, tasks[task], strings.Join(others, "\", \""))
		return nil
	}
	return s.quantityOf(key, v, quantity.WorkRate, quantity.WorkRates)
}

// breaks reads the breaks of every day with their lines, and puts them in order.
func (d *decoder) breaks(s *section, hours *Hours) ([]Hours, []int) {
	const of = "each break as \"10:00-10:15\""
	type lined struct {
		Hours
		line int
	}
	var all []lined
	for _, v := range s.list("breaks", of) {
		if h, ok := s.span("breaks", v, "from when to when the break is", of); ok {
			all = append(all, lined{h, v.line})
		}
	}
	slices.SortStableFunc(all, func(a, b lined) int { return a.From.minutes() - b.From.minutes() })
	var out []Hours
	var lines []int
	for i, b := range all {
		if i > 0 && b.From.minutes() < all[i-1].To.minutes() {
			d.fault(b.line, "breaks clear of each other", "breaks in [crew]: %s overlaps %s; give one break for both, or move one of them", b.Hours, all[i-1].Hours)
			return nil, nil
		}
		out, lines = append(out, b.Hours), append(lines, b.line)
	}
	if hours == nil || len(out) == 0 || hours.From.minutes() >= hours.To.minutes() {
		return out, lines
	}
	worked := hours.From.minutes() // up to where breaks leave no work
	for _, b := range out {
		if b.From.minutes() <= worked {
			worked = max(worked, b.To.minutes())
		}
	}
	if worked >= hours.To.minutes() {
		d.fault(s.t.values["breaks"].line, "breaks that leave time to work", "the breaks cover the whole working day, %s in [hours]; make them shorter, or the day longer", *hours)
	}
	return out, lines
}

// String is hh:mm-hh:mm.
func (h Hours) String() string { return h.From.String() + "-" + h.To.String() }
