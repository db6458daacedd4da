package drying

import (
	"fmt"
	"math"
	"slices"
	"time"

	"limeday/drying/coat"
	"limeday/drying/exposure"
	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/drying/parallel"
	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

// Timing is what was learned of one plasterer with one finish.
type Timing = learn.Timing

// TimingError says what makes a timing unusable.
type TimingError = learn.TimingError

// NewTiming makes a timing of its numbers as they are kept; see learn.NewTiming.
func NewTiming(finish string, boards int, mean []float64, cov [][]float64) (Timing, error) {
	return learn.NewTiming(finish, boards, mean, cov)
}

// TimingNames are the names of a timing's numbers, in their order.
func TimingNames() []string {
	var names []string
	for _, u := range learn.Unknowns() {
		names = append(names, u.String())
	}
	return names
}

// Sample is a sample board: one coat, laid at a moment, and what was seen of it.
type Sample struct {
	Name       string
	Finish     material.Finish
	Background material.Background
	Suction    Suction
	Number     int     // of the coat, from 1: those before are dry
	Thickness  float64 // wet, m
	Weighed    bool    // the thickness is by tub weight
	Damped     bool
	Laid       time.Time
	Air        weather.Series // from laying on, or at least one reading about then
	AirSpeed   float64        // m/s where no reading has one
	WallTemp   *float64       // C at laying; nil: that of the air
	Pressure   psychro.Pascal
	Seen       []Seen // Coat does not count
	Weighings  []Weighing
	Area       float64 // of the board, m2, with Weighings
}

// Weighing is a sample board on the scales.
type Weighing struct {
	At   time.Time
	Mass float64 // board and coat, kg
}

// BoardHeight is that of a sample board, m: at least 600 mm (common practice, no source).
const BoardHeight = 0.6

// scales is how exactly a board is weighed, kg (kitchen or parcel scales; ESTIMATE), and readingOff how exactly its loss is
// known besides, as a share: edges dry too.
const (
	scales     = 0.001
	readingOff = 0.03
)

// SampleError says why a sample board cannot be used.
type SampleError struct {
	Sample string
	Reason string
}

func (e *SampleError) Error() string { return e.Sample + ": " + e.Reason }

// board is the sample as package learn has it.
func (s Sample) board() (learn.Board, error) {
	if err := s.check(); err != nil {
		return learn.Board{}, err
	}
	air := exposure.Indoor(s.Air, s.Laid, s.AirSpeed)
	if len(air) == 0 {
		return learn.Board{}, &SampleError{s.Name, "its air is not known: give its temperature and humidity"}
	}
	temp := wall.NewFace(wall.FaceSpec{Height: BoardHeight, Emissivity: 1, Pressure: s.Pressure}, air).At(0)
	b := learn.Board{Name: s.Name, Finish: s.Finish, Background: s.Background, Measured: s.Suction.Measured(), Number: s.Number, Thickness: s.Thickness,
		Weighed: s.Weighed, Damped: s.Damped, Setting: coat.Setting{
			Face: wall.FaceSpec{Height: BoardHeight, Emissivity: s.Finish.Emissivity.Value, Pressure: s.Pressure},
			Air:  air, WallTemp: temp.Temperature,
		}}
	if s.WallTemp != nil { // a board stands free: it is a partition, of whatever it is made
		behind := newBack(exposure.Behind{Kind: exposure.Partition}, s.Background, temp.Temperature, s.WallTemp)
		b.Face, b.Fade = s.WallTemp, behind.fade
	}
	last := air[len(air)-1].Time
	for _, a := range air {
		d := learn.Read()
		d.Time = a.Time
		b.Doubts = append(b.Doubts, d)
	}
	for h := 1.0; h <= 24; h++ {
		d := learn.Held(h)
		d.Time = last + 3600*h
		b.Doubts = append(b.Doubts, d)
	}
	rh := temp.Vapour / float64(psychro.SaturationWater(psychro.Celsius(temp.Temperature)))
	spots, err := s.Suction.Spots(s.Background, temp.Temperature, rh)
	if err != nil {
		return b, err
	}
	b.Background = spots[0]
	looks := map[SeenState]float64{}
	came := map[SeenState]bool{}
	for _, x := range s.Seen {
		after := x.At.Sub(s.Laid).Seconds()
		switch {
		case x.What == SeenLaid:
		case x.Not:
			looks[x.What] = max(looks[x.What], after)
		default:
			came[x.What] = true
			b.Seen = append(b.Seen, learn.Seen{State: learn.State(x.What), By: after})
		}
	}
	for i := range b.Seen {
		b.Seen[i].After = looks[SeenState(b.Seen[i].State)]
	}
	for _, what := range SeenStates() {
		if t, ok := looks[what]; ok && !came[what] {
			b.Seen = append(b.Seen, learn.Seen{State: learn.State(what), After: t, By: math.Inf(1)})
		}
	}
	for i, w := range s.Weighings {
		if s.Area <= 0 {
			return b, &SampleError{s.Name, "it was weighed, but its area is not known: amend the board with it"}
		}
		if i == 0 { // what it had lost before the first weighing is not known
			b.From = w.At.Sub(s.Laid).Seconds()
			continue
		}
		lost := (s.Weighings[0].Mass - w.Mass) / s.Area
		b.Weights = append(b.Weights, learn.Weight{At: w.At.Sub(s.Laid).Seconds(), Lost: lost,
			Off: math.Hypot(math.Sqrt2*scales/s.Area, readingOff*lost)})
	}
	return b, nil
}

// Taught is what samples have taught.
type Taught struct {
	Timing  Timing
	Sought  bool    // the most probable values were sought, as too few of the ensemble were left
	Samples []Told  // in the order given
	Facts   []Fact  // of the timing's numbers, in their order
	Before  [3]Span // of the usual first coat in the first sample's place: damp, gone by, next coat
	After   [3]Span
}

// Span is the earliest and the latest of a time after laying, s.
type Span struct{ Earliest, Latest float64 }

// Told is one sample against what was learned of all.
type Told struct {
	Sample Sample
	States []SeenState
	Seen   []float64 // s after laying; +Inf where it was not seen to come
	Was    []float64 // s expected before
	Is     []float64 // s expected by what was learned
	Clock  float64   // the sample's own factor on its times
	Odd    bool
}

// Fact is how one of a timing's numbers stands.
type Fact struct {
	Name  string
	Known float64 // share of its variance that is gone, 0 to 1
	Text  string  // in words
	// Strange tells that it came out where hardly a plasterer's would: the model, or what it was told, may be wrong.
	Strange bool
}

// Teach learns the timing of a plasterer with a finish from samples of it, and from what was learned before, if prior is not
// nil. Errors are *SampleError, *SuctionError, *learn.NothingSeenError and the solver's.
func Teach(samples []Sample, prior *Timing, set Bands) (Taught, error) {
	from := learn.Untaught()
	if prior != nil {
		from = *prior
	}
	if len(samples) == 0 {
		return Taught{}, &SampleError{"sample boards", "there are none to learn from"}
	}
	boards := make([]learn.Board, len(samples))
	for i, s := range samples {
		var err error
		if s.Finish.Name != samples[0].Finish.Name {
			return Taught{}, &SampleError{s.Name, "it is of another finish than the others; learn from one finish at a time"}
		}
		if boards[i], err = s.board(); err != nil {
			return Taught{}, err
		}
		if len(boards[i].Seen)+len(boards[i].Weights) == 0 {
			return Taught{}, &SampleError{s.Name, "nothing was seen of it: enter when it was damp, gone or dry, or weigh it twice"}
		}
	}
	r, err := learn.Learn(from, boards, learn.Settings{Members: set.Members, Seed: set.Seed, Tell: set.Tell})
	if err != nil {
		return Taught{}, err
	}
	t := Taught{Timing: r.Timing, Sought: r.Method == learn.Sought}
	for i, b := range r.Boards {
		told := Told{Sample: samples[i], Was: b.Was, Is: b.Is, Clock: b.Clock, Odd: b.Odd}
		for _, s := range b.Board.Seen {
			told.States, told.Seen = append(told.States, SeenState(s.State)), append(told.Seen, s.By)
		}
		t.Samples = append(t.Samples, told)
	}
	for i, k := range r.Timing.Known() {
		f := factOf(learn.Unknown(i), k, r.Timing.Mean[i])
		f.Strange = slices.Contains(r.Timing.Strange(), learn.Unknown(i))
		t.Facts = append(t.Facts, f)
	}
	usual := boards[0]
	usual.Number, usual.Thickness, usual.Seen, usual.Weights = 1, usual.Finish.Coats[0].Value, nil, nil
	usual.Measured, usual.Weighed = false, false
	for _, x := range []struct {
		timing Timing
		to     *[3]Span
	}{{from, &t.Before}, {r.Timing, &t.After}} {
		if *x.to, err = foresee(x.timing, usual, set); err != nil {
			return t, err
		}
	}
	return t, nil
}

// foresee is how early and late a board's times may come.
func foresee(t Timing, b learn.Board, set Bands) (out [3]Span, err error) {
	bed, err := learn.NewBed(b, Horizon)
	if err != nil {
		return out, err
	}
	n := set.Members
	if n == 0 {
		n = 200
	}
	u := len(learn.Unknowns())
	draws := learn.Draws(n, u+learn.Lays, set.Seed)
	times := make([]coat.Times, n)
	if err := parallel.Each(n, func(i int) error {
		z := draws.RawRowView(i)
		lay := learn.LayOf(z[u:])
		lay.Measured, lay.Weighed = b.Measured, b.Weighed
		var err error
		times[i], _, err = bed.Times(t.Theta(z), lay, b.Thickness, Horizon)
		return err
	}); err != nil {
		return out, err
	}
	low, high := point(earliest, times, nil), point(latest, times, nil)
	return [3]Span{{low.Opens, high.Opens}, {low.Closes, high.Closes}, {low.Dry, high.Dry}}, nil
}

// Foreseen is when a sample board comes to a state, s after laying; +Inf where it does not.
type Foreseen struct {
	State                    SeenState
	Likely, Earliest, Latest float64
}

// Foresee works out when a sample board is damp, gone by and dry; what was seen of it does not count. The timing may be nil, or
// of another finish: then it does not count either. Errors are *SampleError, *SuctionError and the solver's.
func Foresee(s Sample, t *Timing, set Bands) ([]Foreseen, error) {
	s.Seen, s.Weighings = nil, nil
	b, err := s.board()
	if err != nil {
		return nil, err
	}
	of := learn.Untaught()
	if t != nil && t.Finish == s.Finish.Name {
		of = *t
	}
	bed, err := learn.NewBed(b, Horizon)
	if err != nil {
		return nil, err
	}
	likely, _, err := bed.Times(of.Mean, learn.Lay{}, b.Thickness, Horizon)
	if err != nil {
		return nil, err
	}
	span, err := foresee(of, b, set)
	if err != nil {
		return nil, err
	}
	var out []Foreseen
	for i, x := range []struct {
		state  SeenState
		likely float64
	}{{SeenDamp, likely.Opens}, {SeenGone, likely.Closes}, {SeenDry, likely.Dry}} {
		out = append(out, Foreseen{x.state, x.likely, span[i].Earliest, span[i].Latest})
	}
	return out, nil
}

// factOf words how one number stands.
func factOf(u learn.Unknown, known, mean float64) Fact {
	f := Fact{Name: u.String(), Known: known}
	way := map[learn.Unknown][2]string{
		learn.DryingClock:  {"your coats dry slower than the model has it", "your coats dry faster than the model has it"},
		learn.SuctionClock: {"your background drinks less than the model has it", "your background drinks more than the model has it"},
		learn.OpeningLevel: {"you find a face ready drier than the model does", "you find a face ready wetter than the model does"},
		learn.ClosingLevel: {"you find a face gone by drier than the model does", "you find a face gone by wetter than the model does"},
		learn.BatchWater:   {"it is mixed with less water than usual", "it is mixed with more water than usual"},
		learn.WaterRelease: {"it gives its water to a wall less readily than usual", "it gives its water to a wall more readily than usual"},
	}[u]
	said := way[1]
	if mean < 0 {
		said = way[0]
	}
	switch {
	case known < 0.15:
		f.Text = "not told by these boards"
	case math.Abs(mean) < 0.5:
		f.Text = fmt.Sprintf("%s told: about as usual", told(known))
	default:
		f.Text = fmt.Sprintf("%s told: %s", told(known), said)
	}
	return f
}

// told is a share of a variance in words.
func told(known float64) string {
	switch {
	case known < 0.5:
		return "a little"
	case known < 0.8:
		return "half"
	}
	return "well"
}

// Worth is a sample board worth making.
type Worth struct {
	Sample Sample
	Width  float64 // latest over earliest time of gone by of the target, with this board and the ones before
}

// PlanSamples chooses the boards that would narrow the times of a target most, best first; before is the width of its
// gone by without any. Only the air, the background and the coat of the samples count.
func PlanSamples(prior *Timing, offered []Sample, target Sample, most int) (out []Worth, before float64, err error) {
	from := learn.Untaught()
	if prior != nil {
		from = *prior
	}
	boards := make([]learn.Board, len(offered))
	for i, s := range offered {
		if boards[i], err = s.board(); err != nil {
			return nil, 0, err
		}
	}
	goal, err := target.board()
	if err != nil {
		return nil, 0, err
	}
	picks, before, err := learn.Picks(from, boards, goal, most)
	for _, p := range picks {
		out = append(out, Worth{offered[p.Board], p.Width})
	}
	return out, before, err
}

// Readings count for a board from so long before it was laid to so long after (judgement, no source: its wall's memory, and the longest coat).
const countsBefore, countsAfter = 3 * time.Hour, 48 * time.Hour

// Counts reports whether a reading counts for a board laid at a moment.
func Counts(laid, reading time.Time) bool {
	return reading.After(laid.Add(-countsBefore)) && reading.Before(laid.Add(countsAfter))
}

// Boards are those worth thinking of: on the job's own build-up thin, usual and thick, a coat over a dry one, all of them also in warmer,
// drier air, and on brick, which tells what a sealed primer does not.
func Boards(base Sample, air psychro.Air) []Sample {
	var out []Sample
	add := func(on material.Background, number int, thick float64) {
		for _, warmer := range []psychro.Celsius{0, 6} {
			s := base
			s.Background, s.Number, s.Thickness, s.Damped = on, number, thick, false
			moved, err := psychro.NewAirFromVapourPressure(air.Temperature()+warmer, air.VapourPressure(), air.Pressure())
			if err != nil {
				continue // outside what air can be
			}
			s.Air.Records = []weather.Record{{Time: base.Laid, Temperature: weather.Value{V: float64(moved.Temperature()), Tag: weather.Measured},
				Vapour: weather.Value{V: float64(moved.VapourPressure()), Tag: weather.Measured}}}
			out = append(out, s)
		}
	}
	usual := base.Finish.Coats
	for _, share := range []float64{0.5, 1, 1.5} {
		add(base.Background, 1, min(share*usual[0].Value, base.Finish.Thickest.Value))
	}
	add(base.Background, 2, usual[1].Value)
	if brick, err := material.BackgroundNamed("brick", ""); err == nil && !base.Background.Masonry {
		add(brick, 1, usual[0].Value)
	}
	return out
}
