package drying

import (
	"cmp"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// LadderAsk is a question for the times of a coat at several film thicknesses in constant air.
type LadderAsk struct {
	Finish material.Finish
	// Spots is the background, once for each spot whose suction was measured; one where none was.
	Spots []material.Background
	// Damped masonry is damped down the evening before and again before laying.
	Damped bool
	// Green lays the next coat on as soon as this one opens, instead of when it is dry.
	Green bool
	// Number is 1 for the first coat; coat n lies on n-1 coats of the same finish, of its usual
	// thicknesses, each laid as soon as the one before allowed it.
	Number      int
	Thicknesses []float64 // wet, m
	Air         psychro.Air
	AirSpeed    float64  // m/s
	WallTemp    *float64 // C; nil: that of the air
	WallHeight  float64  // m
}

// Rung is the answer for one thickness. Times are seconds after laying, +Inf where not reached within
// Horizon. With several spots the slowest rules when a coat opens, burnishes and dries, the fastest when its
// edge is lost and it has gone by.
type Rung struct {
	Thickness float64 // m
	Spread    float64 // wet, kg/m2
	coat.Times
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
type NeverDryError struct{ Coat int }

func (e *NeverDryError) Error() string {
	return fmt.Sprintf("coat %d never dries enough for the next one in this air", e.Coat)
}

// Horizon is how long a coat is followed, s.
const Horizon = 45 * 86400.0

// Ladder runs every thickness, on all the cores there are; the order of the answer is that of the question.
func Ladder(ask LadderAsk) ([]Rung, error) {
	if ask.Number < 1 || len(ask.Thicknesses) == 0 || len(ask.Spots) == 0 {
		panic("drying: a ladder needs a coat number from 1, a background and at least one thickness")
	}
	wallTemp := float64(ask.Air.Temperature())
	if ask.WallTemp != nil {
		wallTemp = *ask.WallTemp
	}
	setting := coat.Setting{
		Face:     wall.FaceSpec{Height: ask.WallHeight, Emissivity: ask.Finish.Emissivity.Value, Pressure: ask.Air.Pressure()},
		Air:      []wall.Air{constantAir(ask.Air, ask.AirSpeed)},
		WallTemp: wallTemp, Hold: ask.WallTemp != nil,
	}
	bases, err := ask.stand(setting)
	if err != nil {
		return nil, err
	}
	rungs, errs := make([]Rung, len(ask.Thicknesses)), make([]error, len(ask.Thicknesses))
	var wg sync.WaitGroup
	gate := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, th := range ask.Thicknesses {
		wg.Add(1)
		go func() {
			defer wg.Done()
			gate <- struct{}{}
			defer func() { <-gate }()
			rungs[i], errs[i] = ask.rung(bases, th)
		}()
	}
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("%.3g mm: %w", ask.Thicknesses[i]*1000, err)
		}
	}
	return rungs, nil
}

// stand brings the wall at every spot to where the coat is laid.
func (ask *LadderAsk) stand(setting coat.Setting) ([]*coat.Wall, error) {
	var walls []*coat.Wall
	for _, b := range extremes(ask.Spots) {
		w, err := coat.Stand(b, setting, 0)
		if err != nil {
			return nil, err
		}
		if ask.Damped {
			if _, err := w.DampDown(); err != nil {
				return nil, fmt.Errorf("damping: %w", err)
			}
		}
		for i := 1; i < ask.Number; i++ {
			c := coat.Coat{Finish: ask.Finish, Thickness: ask.Finish.Coats[coatKind(i-1, ask.Number)].Value}
			if err := w.Lay(c); err != nil {
				return nil, err
			}
			t, err := w.Dry(Horizon)
			if err != nil {
				return nil, fmt.Errorf("coat %d: %w", i, err)
			}
			if !reached(t.Dry) {
				return nil, &NeverDryError{Coat: i}
			}
		}
		walls = append(walls, w)
	}
	return walls, nil
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

// rung follows a coat of thickness th on each of the walls.
func (ask *LadderAsk) rung(walls []*coat.Wall, th float64) (Rung, error) {
	r := Rung{Thickness: th, Spread: ask.Finish.Spread(th)}
	for i, base := range walls {
		w := base.Clone()
		if err := w.Lay(coat.Coat{Finish: ask.Finish, Thickness: th}); err != nil {
			return r, err
		}
		t, err := w.Dry(Horizon)
		if err != nil {
			return r, err
		}
		if i == 0 {
			r.Times = t
		} else {
			r.Times = together(r.Times, t)
		}
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
	if len(walls) > 1 && r.Burnish >= r.Closes {
		r.Warnings = append(r.Warnings, CodeSpots)
	}
	return r, nil
}

// together are the times of a wall with several spots: what must wait for the slowest, and what the fastest
// ends.
func together(a, b coat.Times) coat.Times {
	return coat.Times{
		Edge: min(a.Edge, b.Edge), Opens: max(a.Opens, b.Opens), Burnish: max(a.Burnish, b.Burnish),
		Closes: min(a.Closes, b.Closes), Dry: max(a.Dry, b.Dry), Evaporation: max(a.Evaporation, b.Evaporation),
		FaceMin: min(a.FaceMin, b.FaceMin), FaceMax: max(a.FaceMax, b.FaceMax),
	}
}

func constantAir(a psychro.Air, speed float64) wall.Air {
	t := float64(a.Temperature())
	return wall.Air{Temperature: t, Vapour: float64(a.VapourPressure()), Speed: speed, Radiant: t}
}

// reached turns +Inf into false.
func reached(t float64) bool { return !math.IsInf(t, 1) }
