package learn

import (
	"math"
	"sort"

	"limeday/drying/wall"
	"limeday/psychro"
)

// Doubt is how well the air before the wall is known at a time: standard deviations.
type Doubt struct {
	Time        float64 // s, by the clock of the air
	Temperature float64 // K
	Vapour      float64 // of ln(vapour pressure)
	Speed       float64 // of ln(speed)
}

// Learned is what looks up to a time taught of the air's error: means of its standard normal numbers.
type Learned struct {
	Time                       float64 // s, by the clock of the air
	Temperature, Vapour, Speed float64
}

// Air is a course of the air under one lay's unknowns: as given, shifted by its doubts, which are in order of time and hold
// before the first and after the last. What was learned of the error of readings is not made more of where a forecast is doubted more. Rain stays.
func (l Lay) Air(air []wall.Air, doubts []Doubt) []wall.Air {
	out := make([]wall.Air, len(air))
	for i, a := range air {
		d := at(doubts, a.Time)
		k := d
		if a.Time > l.Learned.Time {
			k = at(doubts, l.Learned.Time)
		}
		off := func(d, known, z, mean float64) float64 { return d*bound(z) + (min(d, known)-d)*bound(mean) }
		shift := off(d.Temperature, k.Temperature, l.Temperature, l.Learned.Temperature)
		a.Temperature += shift
		a.Radiant += shift
		a.Vapour *= math.Exp(off(d.Vapour, k.Vapour, l.Vapour, l.Learned.Vapour))
		a.Vapour = min(a.Vapour, float64(psychro.SaturationWater(psychro.Celsius(a.Temperature))))
		a.Speed *= math.Exp(off(d.Speed, k.Speed, l.Speed, l.Learned.Speed))
		out[i] = a
	}
	return out
}

// at is the doubt at time t.
func at(doubts []Doubt, t float64) Doubt {
	i := sort.Search(len(doubts), func(i int) bool { return doubts[i].Time > t })
	switch {
	case len(doubts) == 0:
		return Doubt{}
	case i == 0:
		return doubts[0]
	case i == len(doubts):
		return doubts[i-1]
	}
	a, b := doubts[i-1], doubts[i]
	x := (t - a.Time) / (b.Time - a.Time)
	mix := func(p, q float64) float64 { return p + x*(q-p) }
	return Doubt{t, mix(a.Temperature, b.Temperature), mix(a.Vapour, b.Vapour), mix(a.Speed, b.Speed)}
}

// Read is the doubt of air that was read: thermometer and hygrometer of the trade, 0.5 K and 4 % RH at 60 % or so
// (ESTIMATE; what makers state of such instruments).
func Read() Doubt { return Doubt{Temperature: 0.5, Vapour: 0.06, Speed: sdSpeed} }

// Held is the doubt of a reading that is held for h hours: it drifts like the square root of time, a kelvin in
// ten hours (ESTIMATE).
func Held(h float64) Doubt {
	d := Read()
	d.Temperature = math.Hypot(d.Temperature, 0.3*math.Sqrt(max(h, 0)))
	d.Vapour = math.Hypot(d.Vapour, 0.03*math.Sqrt(max(h, 0)))
	return d
}

// Forecast is the doubt of a forecast h hours ahead: some 1.2 K and 7 % of the vapour on the first day, half as much again
// after two more (ESTIMATE; where a service tells the spread of its own forecast, that is used for the temperature).
func Forecast(h float64) Doubt {
	grow := 1 + max(h, 0)/100
	return Doubt{Temperature: 1.2 * grow, Vapour: 0.07 * grow, Speed: math.Hypot(sdSpeed, 0.2*grow)}
}
