package drying

import (
	"limeday/drying/coat"
	"limeday/drying/material"
)

// Suction is what was measured on the wall, at one or more spots. The zero value is no measurement.
type Suction struct {
	Drops []float64 // s for a drop of water to go in
	Tubes []Tube
}

// Measured reports whether anything was measured.
func (s Suction) Measured() bool { return len(s.Drops)+len(s.Tubes) > 0 }

// Tube is a reading of the water absorption tube of RILEM Test II.4.
type Tube struct{ Millilitres, Seconds float64 }

// SuctionError says that a measurement cannot be of the background.
type SuctionError = coat.SuctionError

// Spots is the background once for each measurement, with the suction that explains it, or as it is where
// nothing was measured. c and rh are temperature and humidity of the air it was measured in. Errors are *SuctionError and
// *AskError.
func (s Suction) Spots(b material.Background, c, rh float64) ([]material.Background, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	var ups []coat.Uptake
	for _, d := range s.Drops {
		ups = append(ups, coat.DropTest(d))
	}
	for _, t := range s.Tubes {
		ups = append(ups, coat.TubeTest(t.Millilitres, t.Seconds))
	}
	if len(ups) == 0 {
		return []material.Background{b}, nil
	}
	var spots []material.Background
	for _, u := range ups {
		m, err := coat.WithUptake(b, u, c, rh)
		if err != nil {
			return nil, err
		}
		spots = append(spots, m)
	}
	return spots, nil
}
