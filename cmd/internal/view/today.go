package view

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"

	"limeday/drying"
	"limeday/drying/coat"
	"limeday/drying/message"
	"limeday/weather"
)

// Asked is what a Day is made from.
type Asked struct {
	Answer  drying.Answer
	All     []drying.Answer // of every wall, where the job has several
	Next    drying.NextDay
	Job     string // its name, or its file's
	Head    string
	Assumed []message.Text
}

// words are those of the verdicts.
var words = map[drying.Verdict]string{drying.Go: "GO", drying.Care: "GO WITH CARE", drying.NoGo: "NO-GO"}

// Word is a verdict as it heads an answer.
func Word(v drying.Verdict) string { return words[v] }

// NewDay makes the view of a morning check.
func NewDay(in Asked) Day {
	a := in.Answer
	d := Day{Job: in.Job, Place: a.Job.Place.Name, Head: in.Head, At: a.At, For: a.Day, Start: a.Start, AllTheSame: a.Verdict == drying.NoGo && slices.ContainsFunc(a.Coats, a.Asked),
		State: stateOf(a, in.Assumed), Unknown: drying.Unknowns() + ".", Danger: drying.Cautions(), KnownTo: a.Known.End, Call: drying.CallBefore, Exact: exactOf(in)}
	d.Hours.From, d.Hours.To = a.Job.Hours.On(a.Day)
	d.FaceLow, d.FaceHigh = a.Job.FaceLimits()
	if x := a.Exterior; x != nil {
		d.SunFrom, d.SunTo = x.SunFrom, x.SunTo
	}
	for _, r := range a.Reasons {
		d.Reasons = append(d.Reasons, Reason{Code: string(r.Code), Severity: string(r.Severity), Says: r.Told(), Words: r.Says, Value: r.Value, Limit: r.Limit, Unit: r.Unit,
			Detail: r.Severity == drying.Notes})
	}
	if len(in.All) > 1 {
		d.State = append(d.State, Row{Label: "Walls", Says: each(in.All, wallSays)})
	}
	for i, c := range a.Coats {
		if c.Done || a.Asked(c) {
			d.Plan = append(d.Plan, coatOf(a, i))
		}
	}
	d.Days = aheadOf(a)
	if n := len(a.Job.Coats) - len(a.Coats); n > 0 && len(a.Coats) > 0 {
		d.Left = message.Say("{} more to lay another day.", Plural(n, "coat"))
	}
	d.signs()
	deeds := a.Deeds()
	d.EveOf = "This evening"
	if a.Ahead() && !sameDay(a.At, a.Eve()) {
		d.EveOf = a.Eve().Format("Monday") + " evening"
	}
	for _, e := range deeds {
		d.Eve = append(d.Eve, Deed{string(e.Code), e.Says, e.At, a.Eve()})
	}
	d.Changes = Changes(slices.DeleteFunc(slices.Clone(a.Changes), func(c drying.Change) bool {
		return slices.ContainsFunc(deeds, func(e drying.Deed) bool { return e.In == c.Code }) // it is among the deeds
	}), a.Ahead())
	if n := len(a.Changes); n > 0 && a.Verdict != drying.Go && !slices.ContainsFunc(a.Changes, func(c drying.Change) bool { return c.Helps }) {
		d.NoHelp = Plural(n, "change") + " tried, none helps"
	}
	if a.Verdict == drying.NoGo && !laid(a) {
		if len(a.Seen) == 0 && len(d.Days) == 0 {
			d.Later = append(d.Later, Row{Label: "Next", Says: []message.Text{laterOf(in.Next)}})
		}
		d.Later = append(d.Later, Row{Label: "Useful", Says: []message.Text{message.Words(strings.Join(a.Work(), "; ") + ".")}})
	}
	for _, c := range a.Protect {
		d.After = append(d.After, dueOf(c, true))
	}
	for _, c := range a.Care {
		if c.Code != drying.CareTapeOff || c.Certain.After(a.At) { // later it is scored
			d.After = append(d.After, dueOf(c, false))
		}
	}
	d.Verdict = leadOf(a, d.Days, d.After)
	d.Tint = "judge it dry, against the approved sample: lime dries a good deal lighter."
	for _, l := range a.Sheet {
		d.Limits = append(d.Limits, limitOf(l))
	}
	for _, p := range a.Trace {
		d.Course = append(d.Course, Point(p))
	}
	return d
}

// Changes are changes as they are told; ahead tells that the answer is for a later day: what is done the day before is then done this evening.
func Changes(in []drying.Change, ahead bool) []Change {
	return each(in, func(c drying.Change) Change {
		return Change{Code: string(c.Code), Codes: each(c.Codes, func(c drying.ChangeCode) string { return string(c) }), Says: c.Says, Effect: c.Effect, Moved: c.Moved, Helps: c.Helps,
			Tomorrow: c.Tomorrow && !ahead, Verdict: string(c.Verdict), Word: Word(c.Verdict), Lay: c.Lay, Due: c.Due, Window: c.Window, Done: c.Done, Gone: c.Gone}
	})
}

// Plural is "1 coat" or "2 coats".
func Plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

func each[T, U any](in []T, f func(T) U) []U {
	var out []U
	for _, x := range in {
		out = append(out, f(x))
	}
	return out
}

// seenOf is what was seen, coat by coat.
func seenOf(seen []drying.Seen) message.Text {
	var says []message.Text
	last := 0
	for _, s := range seen {
		word := string(s.What)
		if s.Not {
			word = "not yet " + word
		}
		if s.Coat != last {
			word = fmt.Sprintf("coat %d ", s.Coat) + word
		}
		says, last = append(says, message.Say("{} {}", word, message.At(s.At))), s.Coat
	}
	return message.Join(says, ", ")
}

// Capital begins a sentence.
func Capital(s string) string {
	for i, r := range s {
		return string(unicode.ToUpper(r)) + s[i+len(string(r)):]
	}
	return s
}

// stateOf is what the answer starts from.
func stateOf(a drying.Answer, assumed []message.Text) []Row {
	margin, side := a.WallTemp-float64(a.Now.DewPoint()), "above it"
	if margin < 0 {
		margin, side = -margin, "below it: dew forms on it"
	}
	how := ""
	if a.WallMeasured {
		how = " from its reading"
	}
	var rows []Row
	add := func(detail bool, label string, says ...message.Text) {
		if len(says) > 0 {
			rows = append(rows, Row{label, says, detail})
		}
	}
	if len(a.Seen) > 0 {
		says := []message.Text{message.Say("{}.", seenOf(a.Seen))}
		if a.Odd != nil {
			says = append(says, a.Odd)
		}
		add(false, "Seen", says...)
	}
	add(false, "Air", message.Say("{}, {} humidity, dew point {}; wall {}{}, {} {}", message.Celsius(float64(a.Now.Temperature())), message.RH(float64(a.Now.RelativeHumidity())),
		message.Celsius(float64(a.Now.DewPoint())), message.Celsius(a.WallTemp), how, message.Kelvins(margin), side))
	add(false, "From", AirFrom(a.Known))
	if a.Holds != nil {
		add(false, "Holds", holdsOf(a))
	}
	if t := a.Job.Timing; t != nil {
		add(false, "Timing", message.Words(fmt.Sprintf("yours, of %s, from %s", t.Finish, Plural(t.Boards, "board"))))
	}
	if a.Exterior != nil {
		add(false, "Wall", outdoorsOf(a))
		add(false, "Nights", nightsOf(a.Exterior))
	}
	r := a.Job.Room
	if a.Job.Outdoors == nil && !a.RoomCounted && (r.Volume == 0 || r.WetArea == 0) {
		add(false, "Room", message.Words("what the wet wall gives the air is not counted: give the room's volume and the wall's height and width in a job"))
	}
	if a.Known.Credit != "" {
		add(true, "Credit", message.Words(a.Known.Credit))
	}
	add(true, "Air of", each(a.Known.Parts, func(p weather.Part) message.Text { return partOf(p, a.Job.Zone) })...)
	add(true, "Source", a.Known.Notes...)
	on := a.Job.Background.About
	if a.Job.Damped {
		on += ", damped down"
	}
	if a.Spots > 1 {
		on += "; from the slowest spot to the fastest"
	}
	add(true, "On", message.Words(on))
	switch {
	case a.Job.Outdoors != nil:
	case a.RoomCounted:
		add(true, "Room", message.Say("what {} of wet wall gives {} of air is counted, at {} air changes an hour", message.Quantity{Kind: message.Whole, Value: r.WetArea},
			message.Quantity{Kind: message.Volume, Value: r.Volume}, fmt.Sprintf("%g", r.AirChanges)))
	case r.Volume > 0 && r.WetArea > 0:
		add(true, "Room", message.Words("as read: the readings hold what the wet wall gives off"))
	}
	if c, ok := coolest(a); ok {
		add(true, "Face", message.Say("{} at the coldest while the coats dry", message.Celsius(c)))
	}
	if len(assumed) > 0 {
		add(true, "Assumed", message.Join(assumed, "; "))
	}
	return rows
}

// holdsOf says in which air the plan stands.
func holdsOf(a drying.Answer) message.Text {
	h, now := a.Holds, a.Now
	if h.Steady {
		within := func(v, down, up float64) (low, high float64) { // told in whole numbers, inwards
			return min(math.Ceil(v-down), v), max(math.Floor(v+up), v)
		}
		cold, warm := within(float64(now.Temperature()), h.Colder, h.Warmer)
		dry, damp := within(100*float64(now.RelativeHumidity()), 100*h.Drier, 100*h.Damper)
		return message.Say("while the air is {} to {} and {} to {}; outside it ask again.", message.Celsius(cold), message.Celsius(warm), message.RH(dry/100), message.RH(damp/100))
	}
	less := func(by float64, than string, q message.Quantity) message.Text {
		if by == 0 {
			return message.Words("no " + than)
		}
		return message.Say("up to {} "+than, q)
	}
	return message.Say("while the air is {}, {}, {} and {} than told here; else ask again.", less(h.Colder, "colder", message.Kelvins(h.Colder)), less(h.Warmer, "warmer", message.Kelvins(h.Warmer)),
		less(h.Drier, "drier", message.RH(h.Drier)), less(h.Damper, "damper", message.RH(h.Damper)))
}

// AirFrom says where the air came from and how far it is known.
func AirFrom(k drying.Knowledge) message.Text {
	t := message.Words(Capital(k.Source))
	if o := k.Off; o != nil && o.Far() {
		t = message.Say("{}, far off: of a point {} away", t, message.Quantity{Kind: message.Distance, Value: o.Away})
		switch up := math.Round(o.Up); {
		case up > 0:
			t = message.Say("{}, {} above", t, message.Quantity{Kind: message.Altitude, Value: up})
		case up < 0:
			t = message.Say("{}, {} below", t, message.Quantity{Kind: message.Altitude, Value: -up})
		}
	}
	if k.Forecast && !k.Issued.IsZero() {
		t = message.Say("{}, made {}", t, message.At(k.Issued))
	} else if k.Age.Round(time.Minute) > 0 {
		t = message.Say("{}, the last {} old", t, message.Quantity{Kind: message.Age, Value: k.Age.Seconds()})
	}
	end := message.At(k.End)
	switch {
	case k.Forecast && k.Held:
		return message.Say("{}, to {}, and no change after that.", t, end)
	case k.Replay && k.Held:
		return message.Say("{}; a replay, with what was read later, to {}, and no change after that.", t, end)
	case k.Replay:
		return message.Say("{}; a replay, with what was read later.", t)
	case k.Held:
		return message.Say("{}; taken to stay as it was.", t)
	}
	return message.Say("{}.", t)
}

// partOf says where a stretch of the air comes from.
func partOf(p weather.Part, zone *time.Location) message.Text {
	from, to := message.Stamp(p.From.In(zone)), message.Stamp(p.To.In(zone))
	t := message.Say("{} to {}", from, to)
	if !p.To.After(p.From) {
		t = message.Say("{}", from)
	}
	switch p.Kind {
	case weather.Assumed:
		return message.Say("{}: not known, taken to have been as at the end", t)
	case weather.Kept:
		return message.Say("{}: the last value kept", t)
	case weather.Foretold:
		if !p.Issued.IsZero() {
			return message.Say("{}: forecast, {}, made {}", t, p.Source, message.Stamp(p.Issued.In(zone)))
		}
		return message.Say("{}: forecast, {}", t, p.Source)
	}
	return message.Say("{}: {}, {}", t, string(p.Kind), p.Source)
}

// outdoorsOf is where the wall is, and what the day brings to it.
func outdoorsOf(a drying.Answer) message.Text {
	x := a.Exterior
	sun := message.Words("no sun on it " + a.DayWord())
	if !x.SunFrom.IsZero() {
		sun = message.Say("sun on it {} to {}", message.At(x.SunFrom), message.At(x.SunTo))
	}
	return message.Say("{}; {}; wind on it to {}", Standing(*a.Job.Outdoors), sun, message.MetresASecond(x.Wind))
}

// nightsOf is what is known of frost.
func nightsOf(x *drying.Exterior) message.Text {
	frost := map[drying.FrostRisk]message.Text{drying.FrostNone: message.Words("no frost"), drying.FrostPossible: message.Say("frost possible {}", x.FrostAt()),
		drying.FrostLikely: message.Say("frost likely {}", x.FrostAt())}[x.Frost]
	t := message.Say("{}; the face falls to {} up to {}, where the forecast ends.", frost, message.Celsius(x.FaceMin), message.Stamp(x.Horizon))
	if x.FrostFree[0].IsZero() {
		return t // no coat is planned, so nothing is wanted of later nights
	}
	later := message.Words("Later frost is not known")
	if x.OddsYears > 0 {
		later = message.Say("Later frost, up to {}: in {} of {} years past", message.On(x.FrostFree[1]), fmt.Sprintf("%.0f", x.Odds*float64(x.OddsYears)), message.Number(x.OddsYears))
	}
	return message.Say("{} {}; the wall wants none until {} to {} (published advice varies).", t, later, message.On(x.FrostFree[0]), message.On(x.FrostFree[2]))
}

// Standing is where a wall outdoors is, and what it has before and behind it.
func Standing(o drying.Outdoors) message.Text {
	t := message.Words(o.Name + ", looking " + Looking(o.Bearing))
	if o.Cover != drying.CoverNamed("") {
		t = message.Say("{}, {}", t, string(o.Cover))
	}
	if o.Behind != nil {
		cavity := ""
		if o.Cavity {
			cavity = "a cavity and "
		}
		t = message.Say("{}, {}a room at {} behind it", t, cavity, message.Celsius(*o.Behind))
	}
	return t
}

// Looking is a bearing in words.
func Looking(bearing float64) string {
	names := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return names[int(math.Mod(bearing+22.5, 360)/45)]
}

// wallSays compares one of the job's walls with the rest.
func wallSays(a drying.Answer) message.Text {
	name := a.Job.Outdoors.Name + ", looking " + Looking(a.Job.Outdoors.Bearing)
	switch {
	case a.Verdict != drying.NoGo:
		return message.Say("{}: {}, start {} to {}", name, string(a.Verdict), message.At(a.Earliest), message.At(a.Latest))
	case len(a.Reasons) > 0:
		return message.Words(name + ": no-go, " + a.Reasons[0].Code.Words())
	}
	return message.Words(name + ": no-go")
}

// signs are those of the plan's events that are still to come, and what goes wrong under the blade.
func (d *Day) signs() {
	shown := false
	for _, c := range d.Plan {
		if c.Over {
			continue
		}
		if !shown {
			d.Signs, shown = []Sign{{string(drying.EventEdge), drying.EventEdge.Sign(), true}, signOf(drying.EventNext)}, true
		}
		if c.Last {
			d.Signs = append(d.Signs, Signs(drying.EventOpens, drying.EventBurnish, drying.EventCloses)...)
			for _, t := range drying.Troubles() {
				d.Watch = append(d.Watch, Pair{t.Seen, t.Do})
			}
		}
	}
}

// Signs are those of events.
func Signs(events ...drying.Event) []Sign { return each(events, signOf) }

func signOf(e drying.Event) Sign { return Sign{Name: string(e), Says: e.Sign()} }

// laterOf is the next day that would do.
func laterOf(next drying.NextDay) message.Text {
	switch {
	case !next.Start.IsZero():
		return message.Say("{} from {}, {}, as far as is known today.", message.OnDay(next.Start), message.Quantity{Kind: message.TimeOfDay, At: next.Start}, strings.ToLower(Word(next.Verdict)))
	case !next.Searched.IsZero():
		return message.Say("none up to {}, the last day that the forecast covers.", message.OnDay(next.Searched))
	}
	return message.Words("not known: no air is known for a later day; a forecast for the job's place would tell.")
}

func dueOf(c drying.Aftercare, protects bool) Due {
	return Due{Code: string(c.Code), Name: c.Name(), Wall: c.Wall, When: c.When(), Do: c.Do, Why: c.Why, Protects: protects, Idle: c.Idle(), Detail: !protects && c.Wall == "" && !c.First(),
		From: c.From, Certain: c.Certain}
}

func limitOf(l drying.SheetLimit) Limit {
	v := Limit{What: l.What, Value: l.Value, Low: l.Low, High: l.High, Unit: l.Unit, Met: l.Met}
	value, word := drying.Figure(l.Value, l.Unit), "not met"
	if l.Met {
		word = "met"
	}
	switch {
	case l.Low != nil && l.High != nil:
		v.Says = message.Say("{}, {} to {} ({}): {}", l.What, drying.Figure(*l.Low, l.Unit), drying.Figure(*l.High, l.Unit), value, word)
	case l.Low != nil:
		v.Says = message.Say("{}, from {} ({}): {}", l.What, drying.Figure(*l.Low, l.Unit), value, word)
	case l.High != nil:
		v.Says = message.Say("{}, up to {} ({}): {}", l.What, drying.Figure(*l.High, l.Unit), value, word)
	}
	return v
}

// coatOf is a row of the timetable.
func coatOf(a drying.Answer, i int) Coat {
	c := a.Coats[i]
	v := Coat{Number: c.Number, Finish: c.Coat.Finish.Name, Thick: c.Coat.Thickness, Last: c.Last, Lay: Time{At: c.Lay},
		Name: CoatName(c.Number, c.Coat.Finish.Name, c.Coat.Thickness), Events: eventsOf(c), Bed: bedOf(c), Note: noteOf(c), Over: c.Done && over(a, i),
		Due: string(c.Due), Custom: c.Custom, Misted: c.Misted, Done: c.Done}
	at := func(e drying.Event) Time { return timesOf(c, e) }
	seen := func(t Time, what drying.SeenState) Time {
		for _, s := range a.Seen {
			if s.Coat == c.Number && s.What == what && !s.Not {
				return Time{At: s.At, Laid: c.Lay} // a fact is told as it was seen
			}
		}
		return t
	}
	v.Edge = at(drying.EventEdge)
	next := seen(at(drying.EventNext), drying.SeenDry)
	switch {
	case i+1 < len(a.Coats):
		next = Time{At: a.Coats[i+1].Lay, Laid: c.Lay, Edge: message.Begins} // one moment with the laying that comes of it
	case waits(c):
		next = Time{At: c.Custom, Laid: c.Lay, Edge: message.Begins}
	}
	if !c.Last {
		sure := Span{c.Earliest.Recoat, c.Latest.Recoat}
		if waits(c) { // the trade's wait has no band
			sure = Span{}
		}
		v.Then = []Step{{Code: "next", Name: "next coat", At: next, Sure: banded(a, sure), Signs: []Sign{signOf(drying.EventNext)}}}
		v.States = statesOf(c, seen(at(drying.EventOpens), drying.SeenDamp), Time{}, Time{}, next)
	} else {
		opens, burnish, closes := seen(at(drying.EventOpens), drying.SeenDamp), at(drying.EventBurnish), seen(at(drying.EventCloses), drying.SeenGone)
		v.Then = closing(a, c, opens, burnish, closes)
		v.States = statesOf(c, opens, burnish, closes, next)
	}
	if c.Done && !sameDay(a.Day, c.Lay) {
		v.Past = pastOf(a, i, v)
	}
	if a.Banded && !v.Over {
		v.Band = bandOf(a, c, i > 0)
	}
	return v
}

// CoatName is a coat with its number and thickness.
func CoatName(number int, finish string, thick float64) message.Text {
	return message.Say("{} {} {}", message.Number(number), finish, message.Thick(thick))
}

// closing are the steps of a coat that is closed in: those that come, and where one does not, that.
func closing(a drying.Answer, c drying.CoatPlan, opens, burnish, closes Time) []Step {
	after := func(from, to float64) Span {
		if math.IsInf(from, 1) {
			return Span{}
		}
		s := Span{From: c.Lay.Add(time.Duration(from * float64(time.Second)))}
		if !math.IsInf(to, 1) {
			s.To = c.Lay.Add(time.Duration(to * float64(time.Second)))
		}
		return banded(a, s)
	}
	step := func(code, name string, at Time, of func(coat.Times) float64, e ...drying.Event) Step {
		return Step{Code: code, Name: name, At: at, Sure: after(of(c.Soonest), of(c.Slowest)), Signs: Signs(e...)}
	}
	ofOpens := func(t coat.Times) float64 { return t.Opens }
	ofBurnish := func(t coat.Times) float64 { return t.Burnish }
	compress := step("compress", "compress", opens, ofOpens, drying.EventOpens)
	polish := step("burnish", "burnish", burnish, ofBurnish, drying.EventBurnish)
	gone := step("gone", "gone by", closes, func(t coat.Times) float64 { return t.Closes }, drying.EventCloses)
	switch {
	case !opens.Reached():
		return []Step{compress}
	case !burnish.Reached():
		return []Step{compress, polish}
	case closes.Reached() && !burnish.At.Before(closes.At): // spots without a window in common: each in its own time
		polish.Name, gone.Name = "burnish the slow spots", "the fast ones gone by"
		return []Step{compress, polish, gone}
	case alike(opens, burnish):
		return []Step{step("close", "compress and burnish", burnish, ofBurnish, drying.EventOpens, drying.EventBurnish), gone}
	}
	return []Step{compress, polish, gone}
}

// banded is a span where there are bands.
func banded(a drying.Answer, s Span) Span {
	if !a.Banded {
		return Span{}
	}
	return s
}

// alike reports whether two moments are told alike.
func alike(a, b Time) bool { return a.Edge == b.Edge && Printer{}.Time(a) == Printer{}.Time(b) }

// statesOf are what a coat comes to.
func statesOf(c drying.CoatPlan, opens, burnish, closes, next Time) []State {
	wet, off := State{"wet", opens}, State{"drying", next}
	switch {
	case !c.Last:
		return []State{wet, off}
	case closes.Reached() && (!burnish.Reached() || !burnish.At.Before(closes.At)): // never fit to burnish, or not all at once
		return []State{wet, {"compress", closes}, off}
	case burnish.Reached() && alike(opens, burnish):
		return []State{wet, {"burnish", closes}, off}
	}
	return []State{wet, {"compress", burnish}, {"burnish", closes}, off}
}

// bandOf is how early and how late the times of a coat that matter may be; follows tells that it is laid on another of the day.
func bandOf(a drying.Answer, c drying.CoatPlan, follows bool) message.Text {
	known := time.Duration(c.Coat.Finish.Grain) * time.Second
	clock := func(what string, from, to time.Time) message.Text {
		if from.IsZero() {
			return message.Words(what + " not " + a.DayWord())
		}
		grain := message.Coarse(known, from.Sub(a.Start), to.Sub(from))
		if to.IsZero() {
			return message.Say("{} between {} and another day", what, message.Quantity{Kind: message.Clock, At: from, Edge: message.Ends, Grain: message.Coarse(known, from.Sub(a.Start), 0)})
		}
		return message.Say("{} between {} and {}", what, message.Quantity{Kind: message.Clock, At: from, Edge: message.Ends, Grain: grain},
			message.Quantity{Kind: message.Clock, At: to, Edge: message.Begins, Grain: grain})
	}
	var says []message.Text
	if follows && !c.Done && !c.Earliest.Lay.Equal(c.Latest.Lay) {
		says = append(says, clock("lay", c.Earliest.Lay, c.Latest.Lay))
	}
	switch {
	case c.Last:
		says = append(says, afterLaying("ready to burnish", a.DayWord(), c.Soonest.Burnish, c.Slowest.Burnish), afterLaying("gone by", a.DayWord(), c.Soonest.Closes, c.Slowest.Closes))
	case !waits(c): // the trade's wait has no band
		says = append(says, clock("next coat", c.Earliest.Recoat, c.Latest.Recoat))
	}
	return message.Join(says, "; ")
}

// afterLaying is two times after laying on a day, s.
func afterLaying(what, day string, low, high float64) message.Text {
	from, to := message.AfterLaying(low, message.Ends), message.AfterLaying(high, message.Begins)
	switch {
	case math.IsInf(low, 1):
		return message.Words(what + " not " + day)
	case math.IsInf(high, 1):
		return message.Say("{} from {} after laying on, or another day", what, message.AfterLaying(low, message.Begins))
	case high < 60:
		return message.Say("{} {}", what, to)
	case low < 60:
		return message.Say("{} within {}", what, to)
	}
	return message.Say("{} {} to {} after laying", what, from, to)
}

func eventsOf(c drying.CoatPlan) []Event {
	return []Event{
		{"lay", c.Lay, c.Earliest.Lay, c.Latest.Lay}, {"edge", c.Edge, c.Earliest.Edge, c.Latest.Edge}, {"opens", c.Opens, c.Earliest.Opens, c.Latest.Opens},
		{"burnish", c.Burnish, c.Earliest.Burnish, c.Latest.Burnish}, {"closes", c.Closes, c.Earliest.Closes, c.Latest.Closes}, {"recoat", c.Recoat, c.Earliest.Recoat, c.Latest.Recoat},
	}
}

// exactOf is what programs are told besides.
func exactOf(in Asked) Exact {
	a := in.Answer
	x := Exact{Days: plannedOf(a), Earliest: a.Earliest, Latest: a.Latest, Air: a.Now, Face: a.WallTemp, Work: a.Work(), Assumed: in.Assumed,
		Next:    Next{in.Next.Start, in.Next.Searched, string(in.Next.Verdict)},
		Parts:   a.Known.Parts,
		Weather: Weather{a.Known.Source, a.Known.Credit, a.Known.Last, a.Known.Age, "none", a.Known.Forecast, a.Known.Held, a.Known.Replay, a.Known.Notes},
		Frost:   Frost{Risk: string(drying.FrostNotJudged)}}
	if e := a.Exterior; e != nil {
		x.Frost = Frost{string(e.Frost), e.FirstFrost, &e.FaceMin, e.Odds, e.OddsYears, e.FrostFree[1]}
		x.Weather.Radiation = "estimated"
		if e.Radiation == "given" || e.Radiation == "closed" {
			x.Weather.Radiation = "given"
		}
	} else if c, ok := coolest(a); ok {
		x.Frost.SurfaceMin = &c
	}
	for i := range a.Coats {
		x.Coats = append(x.Coats, coatOf(a, i))
	}
	for _, s := range a.Seen {
		x.Seen = append(x.Seen, Seen{s.Coat, string(s.What), s.At, s.Not})
	}
	x.Odd = a.Odd
	if h := a.Holds; h != nil {
		x.Holds = &Holds{h.Colder, h.Warmer, 100 * h.Drier, 100 * h.Damper}
	}
	if m := a.Mend; m != nil {
		x.Mend = &Mend{Seen{m.Seen.Coat, string(m.Seen.What), m.Seen.At, false}, m.Do}
	}
	if t := a.Job.Timing; t != nil {
		x.Timing = &Timing{t.Finish, t.Boards}
	}
	if len(in.All) > 1 {
		for _, w := range in.All {
			v := Wall{Name: w.Job.Outdoors.Name, Bearing: w.Job.Outdoors.Bearing, Verdict: string(w.Verdict), Start: w.Start, Earliest: w.Earliest, Latest: w.Latest}
			for _, r := range w.Reasons {
				if r.Severity != drying.Notes {
					v.Reasons = append(v.Reasons, string(r.Code))
				}
			}
			x.Walls = append(x.Walls, v)
		}
	}
	return x
}

// Laid is what the walls already laid want, a text for each.
func Laid(due []Due) []message.Text {
	var walls []string
	wants := map[string][]message.Text{}
	for _, c := range due {
		if c.Wall == "" {
			continue
		}
		if wants[c.Wall] == nil {
			walls = append(walls, c.Wall)
		}
		wants[c.Wall] = append(wants[c.Wall], message.Say("{} {}", c.Name, c.When))
	}
	return each(walls, func(w string) message.Text { return message.Say("{}: {}.", w, message.Join(wants[w], ", ")) })
}

// Met counts the data sheet's limits that are met.
func Met(limits []Limit) message.Text {
	met := 0
	for _, l := range limits {
		if l.Met {
			met++
		}
	}
	return message.Words(fmt.Sprintf("%d of %s of the data sheet met", met, Plural(len(limits), "limit")))
}
