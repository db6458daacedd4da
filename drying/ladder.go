package drying

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/exposure"
	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/drying/parallel"
	"limeday/drying/wall"
	"limeday/psychro"
)

// LadderAsk is a question for the times of a coat at several film thicknesses in constant air.
type LadderAsk struct {
	Finish material.Finish
	// Spots is the background, once for each spot whose suction was measured; one where none was.
	Spots []material.Background
	// Damped masonry is damped down the evening before and again before laying.
	Damped   bool
	Measured bool // the suction of Spots was measured
	// Green lays the next coat on as soon as this one opens, instead of when it is dry.
	Green bool
	// Number is 1 for the first coat; coat n lies on n-1 coats of the same finish, of its usual
	// thicknesses, each laid as soon as the one before allowed it.
	Number      int
	Thicknesses []float64 // wet, m
	Air         psychro.Air
	AirSpeed    float64         // m/s
	WallTemp    *float64        // of the face when the coat is laid, C; nil: that of the air
	Behind      exposure.Behind // the wall; where nothing is said, as is usual
	WallHeight  float64         // m
	Timing      *learn.Timing   // what was learned of the plasterer, of any finish; nil where nothing was
}

// Rung is the answer for one thickness. Times are seconds after laying, +Inf where not reached within
// Horizon. With several spots the slowest rules when a coat opens, burnishes and dries, the fastest when its
// edge is lost and it has gone by.
type Rung struct {
	Thickness float64 // m
	Spread    float64 // wet, kg/m2
	coat.Times
	// Soonest and Slowest are the points that one time in ten falls below and above, once Band has filled them in; the
	// likely times are those of the middle of everything not known.
	Soonest, Slowest         coat.Times
	NextSoonest, NextSlowest float64
	// Next is when the next coat can follow as far as water goes: Dry, or Opens on a green base.
	Next float64
	// WaitLow and WaitHigh are the customary wait before a next coat that drying does not explain, s; zero
	// for thin coats.
	WaitLow, WaitHigh float64
	// Front is the mean speed of the drying front through a thick coat, m/s; zero for thin coats.
	Front float64
	// Warnings holds what the thickness and the air bring with them.
	Warnings []Code
}

// NeverDryError says that an earlier coat never lets the next one follow.
type NeverDryError = course.NeverDryError

// Horizon is how long a coat is followed, s.
const Horizon = 45 * 86400.0

// Ladder runs every thickness, on all the cores there are; the order of the answer is that of the question. Errors are
// *AskError, *NeverDryError and the solver's.
func Ladder(ask LadderAsk) ([]Rung, error) {
	if err := ask.Check(); err != nil {
		return nil, err
	}
	if len(ask.Thicknesses) == 0 {
		return nil, noAsk("the coat", "no thickness is given")
	}
	base, err := ask.stand(ask.setting())
	if err != nil {
		return nil, err
	}
	rungs := make([]Rung, len(ask.Thicknesses))
	return rungs, parallel.Each(len(rungs), func(i int) (err error) {
		if rungs[i], err = ask.rung(base, ask.Thicknesses[i], nil); err != nil {
			err = fmt.Errorf("%.3g mm: %w", ask.Thicknesses[i]*1000, err)
		}
		return err
	})
}

// setting is the air the coat stands in.
func (ask *LadderAsk) setting() coat.Setting {
	return coat.Setting{
		Face:     wall.FaceSpec{Height: ask.WallHeight, Emissivity: ask.Finish.Emissivity.Value, Pressure: ask.Air.Pressure()},
		Air:      []wall.Air{constantAir(ask.Air, ask.AirSpeed)},
		WallTemp: float64(ask.Air.Temperature()),
	}
}

// stand brings the wall at every spot to where the coat is laid.
func (ask *LadderAsk) stand(setting coat.Setting) (*course.Course, error) {
	behind := ask.behind()
	var spots []course.Spot
	for _, b := range extremes(ask.Spots) {
		spots = append(spots, behind.spot(b, setting))
	}
	c, err := course.Bed(spots, ask.Damped, ask.Finish, ask.Number, Horizon)
	if err != nil {
		return nil, err
	}
	if ask.WallTemp != nil {
		c.Measured(*ask.WallTemp, behind.fade)
	}
	if t := ask.timing(); t.Finish != "" {
		c = c.Under(learn.Lay{}.Factors(ask.Finish, t.Mean), nil)
	}
	return c, nil
}

// behind is what is behind the wall.
func (ask *LadderAsk) behind() back {
	return newBack(ask.Behind, ask.Spots[0], float64(ask.Air.Temperature()), ask.WallTemp)
}

// timing is what is known of the plasterer with the finish.
func (ask *LadderAsk) timing() learn.Timing {
	if ask.Timing == nil || ask.Timing.Finish != ask.Finish.Name {
		return learn.Untaught()
	}
	return *ask.Timing
}

// runsOfLadder is how many coats the ensemble of a ladder follows in all, as far as that leaves every rung fewest members.
const (
	runsOfLadder = 1000
	fewest       = 40
)

// Band fills in how soon and how late the times of the ladder's rungs may come. Every rung is followed under the same
// draws.
func (ask LadderAsk) Band(rungs []Rung, set Bands) error {
	if err := ask.Check(); err != nil {
		return err
	}
	var beds []*learn.Bed
	for _, b := range extremes(ask.Spots) {
		behind := ask.behind()
		p := behind.spot(b, ask.setting())
		bed, err := learn.NewBed(learn.Board{Finish: ask.Finish, Background: p.Background, Number: ask.Number, Damped: ask.Damped, Setting: p.Setting,
			Face: ask.WallTemp, Fade: behind.fade, Doubts: []learn.Doubt{learn.Read()}}, Horizon)
		if err != nil {
			return err
		}
		beds = append(beds, bed)
	}
	timing := ask.timing()
	u := len(learn.Unknowns())
	n := set.Members
	if n == 0 {
		n = min(max(runsOfLadder/(len(rungs)*len(beds)), fewest), 200)
	}
	draws := learn.Draws(n, u+learn.Lays, set.Seed)
	times := make([][]coat.Times, len(rungs)) // by rung and member
	for i := range times {
		times[i] = make([]coat.Times, n)
	}
	if err := parallel.Each(n*len(rungs), func(k int) error {
		if err := set.stopped(); err != nil {
			return err
		}
		i, r := k/len(rungs), k%len(rungs)
		z := draws.RawRowView(i)
		lay := learn.LayOf(z[u:])
		lay.Measured = ask.Measured
		for j, b := range beds {
			t, _, err := b.Times(timing.Theta(z), lay, rungs[r].Thickness, Horizon)
			var stuck *NotConvergedError
			if errors.As(err, &stuck) { // one draw of many: it counts as one that never comes
				t, err = coat.Never(), nil
			}
			if err != nil {
				return err
			}
			if j > 0 {
				t = course.Together(times[r][i], t)
			}
			times[r][i] = t
		}
		if set.Tell != nil {
			set.Tell(float64(k) / float64(n*len(rungs)))
		}
		return nil
	}); err != nil {
		return err
	}
	for i := range rungs {
		r := &rungs[i]
		r.Soonest, r.Slowest = point(earliest, times[i], nil), point(latest, times[i], nil)
		r.NextSoonest, r.NextSlowest = r.Soonest.Dry, r.Slowest.Dry
		if ask.Green {
			r.NextSoonest, r.NextSlowest = r.Soonest.Opens, r.Slowest.Opens
		}
	}
	return nil
}

// point is the point of each time below which the share p of the members' lies.
func point(p float64, times []coat.Times, weights []float64) coat.Times {
	of := func(of func(coat.Times) float64) float64 {
		x := make([]float64, len(times))
		for i, t := range times {
			x[i] = of(t)
		}
		return learn.Quantile(p, x, weights)
	}
	return coat.Times{
		Edge:        of(func(t coat.Times) float64 { return t.Edge }),
		Opens:       of(func(t coat.Times) float64 { return t.Opens }),
		Burnish:     of(func(t coat.Times) float64 { return t.Burnish }),
		Closes:      of(func(t coat.Times) float64 { return t.Closes }),
		Dry:         of(func(t coat.Times) float64 { return t.Dry }),
		Evaporation: of(func(t coat.Times) float64 { return t.Evaporation }),
	}
}

// extremes keeps the spots that drink slowest and fastest.
func extremes(spots []material.Background) []material.Background {
	drinks := func(a, b material.Background) int {
		return cmp.Compare(a.Layers[0].Absorption.Value, b.Layers[0].Absorption.Value)
	}
	slow, fast := slices.MinFunc(spots, drinks), slices.MaxFunc(spots, drinks)
	if drinks(slow, fast) == 0 {
		return []material.Background{slow}
	}
	return []material.Background{slow, fast}
}

// rung follows a coat of thickness th on the wall; laid, where not nil, is told of it with the coat on.
func (ask *LadderAsk) rung(base *course.Course, th float64, laid func(*course.Course)) (r Rung, err error) {
	r = Rung{Thickness: th, Spread: ask.Finish.Spread(th)}
	c := base.Branch()
	if err := c.Lay(coat.Coat{Finish: ask.Finish, Thickness: th}); err != nil {
		return r, err
	}
	if laid != nil {
		laid(c)
	}
	if r.Times, err = c.Dry(Horizon); err != nil {
		return r, err
	}
	r.Next = r.Dry
	if ask.Green {
		r.Next = r.Opens
	}
	if w := ask.Finish.Waits; w != nil {
		low, high := w.Wait(th)
		r.WaitLow, r.WaitHigh = low*86400, high*86400
		if reached(r.Dry) {
			r.Front = th / r.Dry
		}
	}
	if th > ask.Finish.Thickest.Value*(1+within) {
		r.Warnings = append(r.Warnings, CodeTooThick)
	}
	if r.Evaporation*3.6e6 > fastCare {
		r.Warnings = append(r.Warnings, CodeDriesFast)
	}
	if base.Spots() > 1 && r.Burnish >= r.Closes {
		r.Warnings = append(r.Warnings, CodeSpots)
	}
	return r, nil
}

func constantAir(a psychro.Air, speed float64) wall.Air {
	t := float64(a.Temperature())
	return wall.Air{Temperature: t, Vapour: float64(a.VapourPressure()), Speed: speed, Radiant: t}
}

// reached turns +Inf into false.
func reached(t float64) bool { return !math.IsInf(t, 1) }

// FrozenError says that a wet face freezes: no time of it holds, as ice is not modelled.
type FrozenError struct{ Face float64 } // C

func (e *FrozenError) Error() string { return e.Says().String() }

// Says is the same for people.
func (e *FrozenError) Says() message.Text {
	return message.Say("the wet face falls to {} and freezes, and ice is not modelled; give warmer air and wall", message.Celsius(e.Face))
}

// Frozen is a *FrozenError where the face freezes while the coat dries.
func (r Rung) Frozen() error {
	if r.FaceMin < FreezesAt {
		return &FrozenError{r.FaceMin}
	}
	return nil
}
