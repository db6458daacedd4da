package coat

import (
	"fmt"
	"math"

	"limeday/drying/material"
)

// NeverDryError says that an earlier coat never lets the next one follow.
type NeverDryError struct{ Coat int }

func (e *NeverDryError) Error() string {
	return fmt.Sprintf("coat %d never dries enough for the next one in this air", e.Coat)
}

// Bed brings a background to where coat number of a finish is laid, in the air of the setting: damped down the evening
// before if damped is set, and with the coats before, of the finish's usual thicknesses, each laid as soon as the one
// before is dry. A coat is waited for until limit, s. The error is a *NeverDryError or the solver's.
func Bed(b material.Background, s Setting, damped bool, f material.Finish, number int, limit float64) (*Wall, error) {
	w, err := Stand(b, s, 0)
	if err != nil {
		return nil, err
	}
	if damped {
		if _, err := w.DampDown(); err != nil {
			return nil, fmt.Errorf("damping: %w", err)
		}
	}
	for i := 1; i < number; i++ {
		if err := w.Lay(Coat{Finish: f, Thickness: f.Coats[Place(i-1, number)].Value}); err != nil {
			return nil, err
		}
		t, err := w.Dry(limit)
		if err != nil {
			return nil, fmt.Errorf("coat %d: %w", i, err)
		}
		if math.IsInf(t.Dry, 1) {
			return nil, &NeverDryError{Coat: i}
		}
	}
	return w, nil
}

// Place is the place of coat i (from 0) of n among first, second and last, as in a finish's usual thicknesses.
func Place(i, n int) int {
	if i == n-1 && n > 1 {
		return 2
	}
	return min(i, 1)
}
