package drying

import (
	"fmt"
	"math"
	"runtime"
	"sync"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// LadderAsk is a question for the times of a coat at several film thicknesses in constant air.
type LadderAsk struct {
	Finish     material.Finish
	Background material.Background
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
// Horizon.
type Rung struct {
	Thickness float64 // m
	Spread    float64 // wet, kg/m2
	coat.Times
	// Cracks is set when the coat is thicker than the finish allows.
	Cracks bool
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
	if ask.Number < 1 || len(ask.Thicknesses) == 0 {
		return nil, fmt.Errorf("drying: a ladder needs a coat number from 1 and at least one thickness")
	}
	wallTemp := float64(ask.Air.Temperature())
	if ask.WallTemp != nil {
		wallTemp = *ask.WallTemp
	}
	setting := coat.Setting{
		Face:     wall.FaceSpec{Height: ask.WallHeight, Emissivity: ask.Finish.Emissivity.Value, Pressure: ask.Air.Pressure()},
		Air:      []wall.Air{constantAir(ask.Air, ask.AirSpeed)},
		WallTemp: wallTemp,
	}
	base, err := coat.Stand(ask.Background, setting, 0)
	if err != nil {
		return nil, err
	}
	for i := 1; i < ask.Number; i++ {
		c := coat.Coat{Finish: ask.Finish, Thickness: ask.Finish.Coats[coatKind(i-1, ask.Number)].Value}
		if err := base.Lay(c); err != nil {
			return nil, err
		}
		t, err := base.Dry(Horizon)
		if err != nil {
			return nil, fmt.Errorf("coat %d: %w", i, err)
		}
		if !reached(t.Dry) {
			return nil, &NeverDryError{Coat: i}
		}
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
			w := base.Clone()
			if errs[i] = w.Lay(coat.Coat{Finish: ask.Finish, Thickness: th}); errs[i] != nil {
				return
			}
			var t coat.Times
			t, errs[i] = w.Dry(Horizon)
			rungs[i] = Rung{Thickness: th, Spread: ask.Finish.Spread(th), Times: t, Cracks: th > ask.Finish.Thickest.Value*(1+1e-9)}
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

func constantAir(a psychro.Air, speed float64) wall.Air {
	t := float64(a.Temperature())
	return wall.Air{Temperature: t, Vapour: float64(a.VapourPressure()), Speed: speed, Radiant: t}
}

// reached turns +Inf into false.
func reached(t float64) bool { return !math.IsInf(t, 1) }
