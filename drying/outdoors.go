package drying

import (
	"fmt"
	"math"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/cure"
	"limeday/drying/exposure"
	"limeday/drying/message"
	"limeday/drying/wall"
	"limeday/psychro"
)

// FrostRisk says what is known of frost on the fresh wall.
type FrostRisk string

// The risks. Indoors frost is not judged.
const (
	FrostNotJudged FrostRisk = "not-judged"
	FrostNone      FrostRisk = "none-in-forecast"
	FrostPossible  FrostRisk = "possible" // it freezes while wet enough for the most sensitive of lime, or frost comes within the frost-free days
	FrostLikely    FrostRisk = "likely"   // while wetter than the usual critical saturation
)

// FrostRisks lists them.
func FrostRisks() []FrostRisk {
	return []FrostRisk{FrostNotJudged, FrostNone, FrostPossible, FrostLikely}
}

// Exterior is what the weather does to a wall outdoors after the last coat, as far as the forecast goes.
type Exterior struct {
	Horizon    time.Time // where the forecast ends: of frost and rain after it nothing is known
	Frost      FrostRisk //
	FirstFrost time.Time // when the face freezes while it is wet or, failing that, within FrostFree, it or the air; zero for never
	Soaked     bool      // rain soaks the wall before it freezes: the worst that can come
	NearFrost  time.Time // first air so cold that a clear sky may freeze a face whatever was worked out; zero for none
	// Odds is the share of OddsYears past in which the air froze between Horizon and the middle of FrostFree; 0 of 0 where no
	// history is known.
	Odds      float64
	OddsYears int
	FaceMin   float64      // lowest temperature of the face from the first coat on, C
	AirMin    float64      // lowest of the air from the last coat on, C
	FrostFree [3]time.Time // published advice varies: until when no frost, boldest, middle, most careful
	FirstRain time.Time    // first rain on the face while it is vulnerable; zero for none
	WashOut   bool         // it comes while the coat is wet or firming
	RainFree  time.Time    // until when rain harms it, as far as known
	Dew       time.Time    // first dew or hoar on the face; zero for none
	Chalks    bool         // a thick coat dries so early that it may chalk
	Wind      float64      // strongest on the wall while coats are worked, m/s
	SunFrom   time.Time    // the sun is on the wall between these on the day; zero for not at all
	SunTo     time.Time    //
	Radiation string       // how sun was known: given, closed, split, from cloud
}

// outdoors takes the wall from the last coat of the day to the end of the forecast and judges what the weather does to it.
func (a *Answer) outdoors(d *day, t *trial) error {
	air := d.spots[0].Setting.Air
	w := t.c.Slowest()
	end := air[len(air)-1].Time
	x := &Exterior{Horizon: d.moment(end), Frost: FrostNone, FaceMin: a.WallTemp, Radiation: d.facts.Radiation.String()}
	a.Exterior = x
	if len(a.Coats) == 0 {
		return nil
	}
	var after []coat.Sample
	w.Record(&after, coat.Seldom)
	if end > w.Time() {
		if err := w.To(end); err != nil {
			return err
		}
	}
	samples := append(slices.Clone(t.samples), after...)
	a.Trace = d.trace(samples)
	laid := a.runs[len(a.runs)-1].lay
	var hours []cure.Hour
	for _, s := range samples {
		x.FaceMin = min(x.FaceMin, s.Face)
		if s.Time >= laid && s.Time < end {
			hours = append(hours, d.hour(s))
		}
	}
	x.AirMin = math.Inf(1)
	for _, h := range hours {
		x.AirMin = min(x.AirMin, h.Air)
	}
	report, ok, err := a.assess(d, hours, end)
	if err != nil || !ok {
		return err
	}
	rules := cure.DefaultRules()
	if err := a.exposed(d, air, laid, rules); err != nil {
		return err
	}
	a.judgeExterior(rules)
	a.Protect = d.protects(report)
	return nil
}

// protects is what protects a wall, by what is judged of it. Of a wall that is bare, and that nothing known threatens, sheeting is kept at hand for as
// long as rain would harm it; of one that is sheeted, or is to be, only until when.
func (d *day) protects(p cure.Report) (out []Aftercare) {
	advice := map[cure.AdviceCode]cure.Advice{}
	for _, v := range p.Advice {
		advice[v.Code] = v
	}
	cover, sheet := advice[cure.CoverBy], advice[cure.SheetUntil]
	safe := cover.At.Beyond // nothing calls for it
	atHand := safe && d.job.Outdoors.bare() && sheet.At.At == p.Rain.Safe
	for _, v := range p.Advice {
		c := Aftercare{Code: CareCode(v.Code), Do: v.Text, Why: v.Reason, From: d.moment(v.Least), Grain: weatherGrain}
		if !v.At.Beyond {
			c.Certain = d.moment(v.Most)
		}
		switch v.Code {
		case cure.CoverBy:
			if safe && !atHand {
				continue
			}
			if safe {
				c.From = d.moment(p.Rain.Safe)
			}
		case cure.SheetUntil, cure.UncoverFrom:
			if atHand {
				continue
			}
		}
		out = append(out, c)
	}
	return out
}

// bare reports whether nothing keeps rain off the wall.
func (o *Outdoors) bare() bool {
	return o.Cover != exposure.Sheeted && o.Cover != exposure.Tented
}

// assess judges the face from the last coat on; not ok where the weather ends before that is laid: judge has said then that
// the day is not known.
func (a *Answer) assess(d *day, hours []cure.Hour, end float64) (report cure.Report, ok bool, err error) {
	if len(hours) == 0 || hours[len(hours)-1].Time >= end {
		return report, false, nil
	}
	course, err := cure.NewRecord(hours, end)
	if err != nil {
		return report, false, fmt.Errorf("after the last coat: %w", err)
	}
	m := 0.0
	for _, c := range a.Coats {
		m += c.Coat.Thickness * (1 - shrinks(c.Coat.Finish))
	}
	rules := cure.DefaultRules()
	report = rules.Assess(course, a.Coats[len(a.Coats)-1].Coat.Finish, m, d.seconds(a.At))
	a.Exterior.take(d, report)
	a.Exterior.byRule(d, hours, report.FrostFree, rules.FreezesAt.Value)
	return report, true, nil
}

// exposed notes the wind on the wall while it is worked, and the sun on it on the day.
func (a *Answer) exposed(d *day, air []wall.Air, laid float64, rules cure.Rules) error {
	x := a.Exterior
	out := exposure.Outside{Place: d.job.Place, Bearing: d.job.Outdoors.Bearing}
	for _, p := range air {
		at := d.moment(p.Time)
		if !at.Before(a.Start) && p.Time <= laid+3600 {
			x.Wind = max(x.Wind, p.Speed)
		}
		if p.Sun <= rules.SunOn.Value || at.YearDay() != a.Start.YearDay() {
			continue
		}
		// The light of the sky alone is no sun on the wall.
		lit, err := out.Sunlit(at)
		if err != nil {
			return &WeatherError{Err: err}
		}
		if lit {
			if x.SunFrom.IsZero() {
				x.SunFrom = at
			}
			x.SunTo = at
		}
	}
	return nil
}

// hour is a sample as the face's own record has it.
func (d *day) hour(s coat.Sample) cure.Hour {
	rh := s.Vapour / float64(psychro.SaturationWater(psychro.Celsius(s.Air)))
	return cure.Hour{Time: s.Time, Face: s.Face, Air: s.Air, RH: min(max(rh, 0), 1), Saturation: min(max(s.Full, 0), 1), Within: min(max(s.Within, 0), 1),
		Evaporation: s.Leaves, Wind: s.Speed, Sun: s.Sun, Rain: s.Rain}
}

// take puts a report into moments by the job's clock.
func (x *Exterior) take(d *day, p cure.Report) {
	if len(p.Freezes) > 0 {
		x.Frost, x.FirstFrost = FrostPossible, d.moment(p.Freezes[0].Begin)
	}
	for _, f := range p.Freezes {
		x.Soaked = x.Soaked || f.Soaked
		if f.Grade >= cure.Likely {
			x.Frost = FrostLikely
		}
	}
	if len(p.NearFrost) > 0 {
		x.NearFrost = d.moment(p.NearFrost[0].Begin)
	}
	f := p.FrostFree
	x.FrostFree = [3]time.Time{d.moment(f.Earliest), d.moment(f.Likely), d.moment(f.Latest)}
	x.RainFree = d.moment(p.Rain.Safe)
	if s := p.Rain.First; s != nil {
		x.FirstRain, x.WashOut = d.moment(s.Begin), s.State == cure.WashOut
	}
	for _, w := range p.Damped {
		if w.Kind != cure.Fog {
			x.Dew = d.moment(w.Begin)
			break
		}
	}
	x.Chalks = p.Fast.Chalk >= cure.Possible
}

// byRule looks for frost on a face that holds too little water to be harmed by what is known of it, and for frost of
// the air: published advice wants neither, and how wet lime may freeze is an estimate.
func (x *Exterior) byRule(d *day, hours []cure.Hour, free cure.FrostFree, freezes float64) {
	if x.Frost != FrostNone {
		return
	}
	for _, h := range hours {
		if t := d.moment(h.Time); h.Face <= freezes && t.Before(x.FrostFree[2]) {
			x.Frost, x.FirstFrost = FrostPossible, t
			return
		}
	}
	if len(free.Frosts) > 0 {
		x.Frost, x.FirstFrost = FrostPossible, d.moment(free.Frosts[0].Begin)
	}
}

// weatherGrain is how coarsely moments of the weather are told: it is known by the hour (judgement, no source).
const weatherGrain = 10 * time.Minute

// comes is when the weather does something, told sooner rather than later; lasts is until when, told later.
func comes(t time.Time) message.Quantity {
	return message.Quantity{Kind: message.Clock, At: t, Edge: message.Ends, Grain: weatherGrain}
}

func lasts(t time.Time) message.Quantity {
	return message.Quantity{Kind: message.Clock, At: t, Edge: message.Begins, Grain: weatherGrain}
}

// FrostAt is when frost first comes, as it is told.
func (x *Exterior) FrostAt() message.Quantity { return comes(x.FirstFrost) }

func (a *Answer) judgeExterior(rules cure.Rules) {
	x := a.Exterior
	frost := func(s Severity, says message.Text) {
		a.add(Reason{CodeFrost, s, says, x.FaceMin, rules.FreezesAt.Value, "C"})
	}
	first := comes(x.FirstFrost)
	switch {
	case x.Frost == FrostLikely && x.Soaked:
		frost(Stops, message.Say("Rain soaks the fresh wall and frost takes it at {}: the worst that can come to lime.", first))
	case x.Frost == FrostLikely:
		frost(Stops, message.Say("Frost takes the fresh wall at {}: its face freezes while it is wet.", first))
	case x.Frost == FrostPossible && x.FaceMin > rules.FreezesAt.Value:
		a.add(Reason{CodeFrost, Warns, message.Say("Frost of the air at {}; the face is worked out to stay above it, but published advice wants none until {} at the least: cover it.",
			first, message.On(x.FrostFree[0])), x.AirMin, 0, "C"})
	case x.Frost == FrostPossible && x.FirstFrost.Before(x.FrostFree[0]):
		frost(Stops, message.Say("The face freezes at {}; even the boldest published advice wants no frost until {}.", first, message.On(x.FrostFree[0])))
	case x.Frost == FrostPossible:
		frost(Warns, message.Say("The face freezes at {}; the more careful published advice wants no frost until {}.", first, message.On(x.FrostFree[2])))
	}
	if x.Frost == FrostNone && !x.NearFrost.IsZero() {
		a.add(Reason{CodeFrost, Warns, message.Say("The air comes near frost at {}: a forecast is not that exact; have covers at hand.", comes(x.NearFrost)),
			x.AirMin, rules.SkyWarning.Value, "C"})
	}
	if !x.FirstRain.IsZero() {
		says := message.Say("Rain drives onto the wall at {}; it wants none until {}. Sheet it, or wait.", comes(x.FirstRain), lasts(x.RainFree))
		if x.WashOut {
			says = message.Say("Rain washes the fresh coat out at {}. Sheet it, or wait.", comes(x.FirstRain))
		}
		a.add(Reason{Code: CodeRain, Severity: Stops, Says: says, Value: x.FirstRain.Sub(a.Start).Hours(), Limit: x.RainFree.Sub(a.Start).Hours(), Unit: "h"})
	}
	switch {
	case x.Wind >= rules.WindStop.Value:
		a.add(Reason{CodeWind, Stops, message.Words("The wind on the wall is too strong for a thin coat."), x.Wind, rules.WindStop.Value, "m/s"})
	case x.Wind >= rules.WindCaution.Value:
		a.add(Reason{CodeWind, Warns, message.Words("The wind on the wall dries a thin coat fast: screen it."), x.Wind, rules.WindCaution.Value, "m/s"})
	}
	switch a.Job.Background.Name {
	case "painted", "gypsum-board", "primed-board":
		a.add(Reason{Code: CodeBackground, Severity: Stops, Says: message.Words("Outdoors lime wants a wall that breathes and stands water: gypsum board or film paint behind it does not.")})
	}
	if x.Chalks && !a.has(CodeDriesFast) {
		a.add(Reason{Code: CodeDriesFast, Severity: Warns, Says: message.Words("The coat dries so early that it may chalk: keep it damp and shaded.")})
	}
	if !x.Dew.IsZero() {
		a.add(Reason{Code: CodeDew, Severity: Notes, Says: message.Say("Dew forms on the face at {}.", comes(x.Dew))})
	}
	a.add(Reason{Code: CodeHorizon, Severity: Notes, Says: message.Say("The forecast is used to {}. Frost after that is not known; the wall wants none until {} to {} (published advice varies).",
		message.Stamp(x.Horizon), message.On(x.FrostFree[0]), message.On(x.FrostFree[2]))})
	a.sortReasons()
}
