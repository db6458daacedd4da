package course

import (
	"fmt"
	"math"

	"limeday/drying/coat"
	"limeday/drying/material"
)

// NeverDryError says that an earlier coat never lets the next one follow.
type NeverDryError struct{ Coat int }

func (e *NeverDryError) Error() string {
	return fmt.Sprintf("coat %d never dries enough for the next one in this air", e.Coat)
}

// Bed brings a wall to where coat number of a finish is laid, in the air of its spots, from time 0: damped down the evening
// before if damped is set, and with the coats before, of the finish's usual thicknesses, each laid as soon as the one before
// is dry. A coat is waited for until limit, s. The error is a *NeverDryError or the solver's.
func Bed(spots []Spot, damped bool, f material.Finish, number int, limit float64) (*Course, error) {
	c, err := Begin(spots, 0)
	if err != nil {
		return nil, err
	}
	if damped {
		if err := c.Damp(coat.DampingTime); err != nil {
			return nil, err
		}
	}
	for i := 1; i < number; i++ {
		if err := c.Lay(coat.Coat{Finish: f, Thickness: f.Coats[coat.Place(i-1, number)].Value}); err != nil {
			return nil, err
		}
		t, err := c.Dry(limit)
		if err != nil {
			return nil, fmt.Errorf("coat %d: %w", i, err)
		}
		if math.IsInf(t.Dry, 1) {
			return nil, &NeverDryError{Coat: i}
		}
	}
	return c, nil
}
