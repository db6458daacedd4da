package coat

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// swept is how many walls TestSweep follows. The study takes more (study_test.go).
var swept = 60

// bedCase is a coat on a coat that has stood, drawn from all air and ages a plain job may meet.
type bedCase struct {
	background  string
	primer      material.Primer
	setting     Setting
	damp        bool // the background is damped as masonry is
	mist        bool // the bed is misted before the second coat
	coats       [2]Coat
	age         float64 // of the bed, s
	description string
}

func drawBed(t *testing.T, r *rand.Rand) bedCase {
	one := func(from ...float64) float64 { return from[r.IntN(len(from))] }
	within := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	var c bedCase
	c.background = material.Backgrounds()[r.IntN(len(material.Backgrounds()))]
	if c.background == "primed-board" {
		c.primer = material.Primers()[r.IntN(3)]
	}
	for i := range c.coats {
		f, err := material.FinishNamed(material.Finishes()[r.IntN(5)])
		if err != nil {
			t.Fatal(err)
		}
		p := f.Coats[i]
		c.coats[i] = Coat{f, one(p.Low, p.Value, p.High)}
	}
	c.age = 3600 * math.Exp(within(0, math.Log(60*24)))
	temp, rh, speed := within(1, 35), within(0.05, 0.98), one(0, 0.05, 0.1, 0.1, 0.5, 2)
	s := setting(temp, rh, speed)
	s.WallTemp = temp + one(0, 0, within(-4, 4))
	s.Hold = r.IntN(2) == 0
	s.Wet = one(0, 0, 0, DampShare, WetShare, 1)
	swing := one(0, 0, within(1, 6))
	if swing > 0 {
		s.Air = nil
		for h := 0; h <= int(c.age/3600)+11*24; h++ {
			at := temp + swing*math.Sin(2*math.Pi*float64(h)/24)
			most := 0.99 * float64(psychro.SaturationWater(psychro.Celsius(at)))
			s.Air = append(s.Air, wall.Air{Time: float64(h) * 3600, Temperature: at, Vapour: min(rh*float64(psychro.SaturationWater(psychro.Celsius(temp))), most), Speed: speed, Radiant: at})
		}
	}
	if r.IntN(3) == 0 {
		s.Room = &wall.RoomSpec{Volume: 62, AirChanges: one(0, 0.5, 3), Area: 13, LayTime: 1800, Rest: 40, Buffer: 1e-6}
	}
	c.setting = s
	c.damp, c.mist = r.IntN(4) == 0, r.IntN(3) == 0
	c.description = fmt.Sprintf("%s %s: %s %.2f mm left %.1f h, %s %.2f mm; %.1f C (swing %.1f, wall %+.1f) %.0f %% %.2f m/s, wet %.2f, damped %v, misted %v, room %v", c.background, c.primer,
		c.coats[0].Finish.Name, 1e3*c.coats[0].Thickness, c.age/3600, c.coats[1].Finish.Name, 1e3*c.coats[1].Thickness, temp, swing, s.WallTemp-temp, 100*rh, speed, s.Wet, c.damp, c.mist, s.Room != nil)
	return c
}

// run lays both coats and follows the second for ten days at most.
func (c bedCase) run(t *testing.T, coarse bool) (Times, error) {
	s := c.setting
	s.Coarse = coarse
	w, err := Stand(background(t, c.background, c.primer), s, 0)
	if err != nil {
		return Times{}, err
	}
	if c.damp {
		if _, err := w.Damp(Brushed); err != nil {
			return Times{}, err
		}
		if _, err := w.Wait(shineGone); err != nil {
			return Times{}, err
		}
	}
	if err := w.Lay(c.coats[0]); err != nil {
		return Times{}, err
	}
	if _, err := w.Wait(c.age); err != nil {
		return Times{}, err
	}
	if c.mist {
		if _, err := w.Mist(); err != nil {
			return Times{}, err
		}
	}
	if err := w.Lay(c.coats[1]); err != nil {
		return Times{}, err
	}
	return w.Dry(10 * 86400)
}

// TestSweep: a coat on any bed, in any air, has a solution, fine and coarse. Seeded; no source needed.
func TestSweep(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 20))
	stuck := 0
	for i := range swept {
		c := drawBed(t, r)
		for _, coarse := range []bool{false, true} {
			if _, err := c.run(t, coarse); err != nil {
				stuck++
				t.Errorf("%d, coarse %v: %v (%s)", i, coarse, err, c.description)
			}
		}
	}
	t.Logf("%d of %d walls without a solution", stuck, 2*swept)
}
