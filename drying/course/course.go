package course

import (
	"fmt"
	"slices"

	"limeday/drying/coat"
	"limeday/drying/material"
	"limeday/drying/wall"
)

// Spot is a part of a wall that differs from the rest in its suction or its air.
type Spot struct {
	Background material.Background
	Setting    coat.Setting
}

// Course is a wall at a moment: all its spots, the slowest first. The zero value is not usable; see [Begin].
type Course struct {
	spots []Spot
	walls []*coat.Wall
	looks []Look // in order of time
	taken []int  // by spot: how many of them are past
}

// Begin stands the bare spots up at a time, s, in balance with the air. The errors are those of the materials' tables.
func Begin(spots []Spot, at float64) (*Course, error) {
	c := &Course{spots: spots, taken: make([]int, len(spots))}
	for _, p := range spots {
		w, err := coat.Stand(p.Background, p.Setting, at)
		if err != nil {
			return nil, err
		}
		c.walls = append(c.walls, w)
	}
	return c, nil
}

// Branch is a copy, for another future.
func (c *Course) Branch() *Course {
	b := *c
	b.spots, b.taken = slices.Clone(c.spots), slices.Clone(c.taken)
	b.walls = make([]*coat.Wall, len(c.walls))
	for i, w := range c.walls {
		b.walls[i] = w.Clone()
	}
	return &b
}

// Slowest is a branch of the slowest spot alone.
func (c *Course) Slowest() *Course {
	b := *c
	b.spots, b.walls, b.taken = slices.Clone(c.spots[:1]), []*coat.Wall{c.walls[0].Clone()}, slices.Clone(c.taken[:1])
	return &b
}

// Under is a branch under other factors, in the air that shift makes of each spot's own, from now on; nil leaves the air as
// it is. What has happened to the wall stays.
func (c *Course) Under(f coat.Factors, shift func([]wall.Air) []wall.Air) *Course {
	b := *c
	b.spots, b.taken = slices.Clone(c.spots), slices.Clone(c.taken)
	b.walls = make([]*coat.Wall, len(c.walls))
	for i, w := range c.walls {
		var air []wall.Air
		if shift != nil {
			air = shift(c.spots[i].Setting.Air)
			b.spots[i].Setting.Air = air
		}
		b.walls[i] = w.With(f, air)
	}
	return &b
}

// In is a branch in the air that shift makes of each spot's own, from now on; room does so with what a closed room holds now.
func (c *Course) In(shift func([]wall.Air) []wall.Air, room func(RoomAir) RoomAir) *Course {
	b := c.Branch()
	for i, w := range b.walls {
		b.spots[i].Setting.Air = shift(c.spots[i].Setting.Air)
		b.walls[i] = w.In(b.spots[i].Setting.Air)
		if t, v, closed := w.Inside(); closed {
			x := room(RoomAir{t, v})
			b.walls[i].SetInside(x.Temperature, x.Vapour)
		}
	}
	return b
}

// Hand sets the factors of the coats to come; see [coat.Wall.Hand].
func (c *Course) Hand(f coat.Factors) {
	for _, w := range c.walls {
		w.Hand(f)
	}
}

// Time is the time that the slowest spot stands at, s.
func (c *Course) Time() float64 { return c.walls[0].Time() }

// Late has every spot stand later by so many seconds, or sooner, as it is; see [coat.Wall.Late].
func (c *Course) Late(seconds float64) {
	for _, w := range c.walls {
		w.Late(seconds)
	}
}

// To lets time pass up to t, s, past the looks on the way. A spot that stands later stays as it is.
func (c *Course) To(t float64) error {
	for i, w := range c.walls {
		for {
			end, look := c.ahead(i, t)
			if wait := end - w.Time(); wait > 0 {
				if _, err := w.Wait(wait); err != nil {
					return err
				}
			}
			if look == nil {
				break
			}
			c.take(i, look)
		}
	}
	return nil
}

// Damp damps the bare wall down for laying at a time, s: the evening before and again shortly before. The course must not
// stand later than [coat.DampingTime] before that.
func (c *Course) Damp(laying float64) error {
	for _, before := range [...]float64{coat.DampingTime, coat.DampingAgain} {
		if err := c.To(laying - before); err != nil {
			return err
		}
		for _, w := range c.walls {
			if _, err := w.Damp(coat.Brushed); err != nil {
				return fmt.Errorf("damping: %w", err)
			}
		}
	}
	return c.To(laying)
}

// Soak has water stand on the face of every spot, for seconds.
func (c *Course) Soak(seconds float64) error {
	for _, w := range c.walls {
		if _, err := w.Damp(seconds); err != nil {
			return fmt.Errorf("rain: %w", err)
		}
	}
	return nil
}

// Mist mists every spot; that takes [coat.MistingTime].
func (c *Course) Mist() error {
	for _, w := range c.walls {
		if _, err := w.Mist(); err != nil {
			return fmt.Errorf("misting: %w", err)
		}
	}
	return nil
}

// Lay puts a coat on every spot, now.
func (c *Course) Lay(k coat.Coat) error {
	for _, w := range c.walls {
		if err := w.Lay(k); err != nil {
			return err
		}
	}
	return nil
}

// Dry follows the coat at the face until the next one can follow on each spot, or for limit, s, and gives the times of the
// wall as a whole, s after now; see [Together]. The spots then stand where each was dry.
func (c *Course) Dry(limit float64) (coat.Times, error) {
	var t coat.Times
	for i := range c.walls {
		x, err := c.dry(i, limit)
		if err != nil {
			return t, err
		}
		if i == 0 {
			t = x
		} else {
			t = Together(t, x)
		}
	}
	return t, nil
}

// Together are the times of a wall with several spots: what must wait for the slowest, and what the fastest ends.
func Together(a, b coat.Times) coat.Times {
	return coat.Times{
		Edge: min(a.Edge, b.Edge), Opens: max(a.Opens, b.Opens), Burnish: max(a.Burnish, b.Burnish),
		Closes: min(a.Closes, b.Closes), Dry: max(a.Dry, b.Dry), Evaporation: max(a.Evaporation, b.Evaporation),
		FaceMin: min(a.FaceMin, b.FaceMin), FaceMax: max(a.FaceMax, b.FaceMax),
	}
}

// Face is the temperature of the slowest spot's face, C, and Air the air before it.
func (c *Course) Face() float64 { return c.walls[0].FaceTemperature() }

// Air is the air before the slowest spot; in a closed room, with what the wall has added.
func (c *Course) Air() wall.Air { return c.walls[0].Air() }

// Record keeps what the slowest spot goes through; see [coat.Wall.Record].
func (c *Course) Record(to *[]coat.Sample, every float64) { c.walls[0].Record(to, every) }

// Laid is the coat at the slowest spot's face as it was laid; see [coat.Wall.Laid].
func (c *Course) Laid() (material.Finish, material.Levels) { return c.walls[0].Laid() }

// Holds is the water in the layer at the slowest spot's face, kg/m2.
func (c *Course) Holds() float64 { return c.walls[0].Holds() }

// Weigh has the slowest spot weighed at times, s; see [coat.Wall.Weigh].
func (c *Course) Weigh(at ...float64) { c.walls[0].Weigh(at...) }

// Weighed are those weighings that have come.
func (c *Course) Weighed() []coat.Weighing { return c.walls[0].Weighed() }

// Spots is how many spots the wall has.
func (c *Course) Spots() int { return len(c.walls) }
