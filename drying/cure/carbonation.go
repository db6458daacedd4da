package cure

import (
	"math"

	"gonum.org/v1/gonum/interp"

	"limeday/drying/material"
)

const (
	day  = 86400.0
	hour = 3600.0
)

// Pace is how fast carbonation goes for its age, as a share of that at 20 C in 55 to 80 % RH: the product of
// three factors, all ESTIMATE (package documentation, C2 and C3).
//
//	relative humidity at the face  0 at 0 %, 0.3 at 35 %, 1 from 55 to 80 %, 0.5 at 90 %, 0 at 100 %
//	temperature of the face        0 at 0 C and below, 0.35 at 5 C, 0.6 at 10 C, 1 from 20 C on
//	pore saturation of the face    1 up to 0.7, 0 from 0.9
//
// Between them each varies evenly. The air's humidity is taken to the face's temperature.
type Pace struct{ humidity, temperature, water interp.PiecewiseLinear }

// NewPace returns it.
func NewPace() Pace {
	var p Pace
	fit := func(l *interp.PiecewiseLinear, x, y []float64) {
		if err := l.Fit(x, y); err != nil {
			panic(err) // the tables are in order
		}
	}
	fit(&p.humidity, []float64{0, 0.35, 0.55, 0.80, 0.90, 1}, []float64{0, 0.3, 1, 1, 0.5, 0})
	fit(&p.temperature, []float64{0, 5, 10, 20}, []float64{0, 0.35, 0.6, 1})
	fit(&p.water, []float64{0.7, 0.9}, []float64{1, 0})
	return p
}

// At is the pace at an hour.
func (p Pace) At(h Hour) float64 {
	return p.humidity.Predict(h.faceRH()) * p.temperature.Predict(h.Face) * p.water.Predict(h.Saturation)
}

// Carbonation is the depth of carbonation over a course: x2 = integral of k2 pace dt.
type Carbonation struct {
	time []float64 // s
	age  []float64 // s at full pace
	k    material.Property
}

// Carbonates follows the carbonation of a finish.
func Carbonates(c Record, f material.Finish) Carbonation {
	g := Carbonation{time: make([]float64, len(c.hours)), age: make([]float64, len(c.hours)), k: f.Carbonation}
	pace := NewPace()
	for i, h := range c.hours {
		g.time[i] = h.Time
		if i == 0 {
			continue
		}
		a := c.hours[i-1]
		// Simpson's rule over the hour: what it misses at the factors' kinks is far below their own doubt.
		mean := (pace.At(a) + 4*pace.At(between(a, h, 0.5)) + pace.At(h)) / 6
		g.age[i] = g.age[i-1] + mean*(h.Time-a.Time)
	}
	return g
}

// Depth is a depth of carbonation, m, for the lowest, likely and highest k of the finish.
type Depth struct{ Least, Likely, Most float64 }

// Depth is that reached at time t, s: nothing before laying, and as at the horizon after it.
func (g Carbonation) Depth(t float64) Depth {
	n := len(g.time)
	age := g.age[n-1]
	for i := 1; i < n; i++ {
		if t < g.time[i] {
			x := max(0, (t-g.time[i-1])/(g.time[i]-g.time[i-1]))
			age = g.age[i-1] + x*(g.age[i]-g.age[i-1])
			break
		}
	}
	root := math.Sqrt(age/day) * 1e-3
	return Depth{g.k.Low * root, g.k.Value * root, g.k.High * root}
}

// Reaches is when the depth reaches m metres.
func (g Carbonation) Reaches(m float64) Moments {
	at := func(k float64) Moment {
		need, n := fullPace(k, m), len(g.age)
		for i := range g.age {
			if g.age[i] < need {
				continue
			}
			if i == 0 {
				return Moment{At: g.time[0]}
			}
			return Moment{At: g.time[i-1] + (g.time[i]-g.time[i-1])*(need-g.age[i-1])/(g.age[i]-g.age[i-1])}
		}
		return Moment{At: g.time[n-1], Beyond: true}
	}
	return Moments{at(g.k.High), at(g.k.Value), at(g.k.Low)}
}

// fullPace is the time to carbonate m metres at full pace, s.
func fullPace(k, m float64) float64 {
	d := m * 1000 / k
	return d * d * day
}

// Through is the time that m metres of a finish take to carbonate at 20 C in 55 to 80 % RH, once no longer wet, s:
// for where no course of the face is known.
func Through(f material.Finish, m float64) (earliest, likely, latest float64) {
	k := f.Carbonation
	return fullPace(k.High, m), fullPace(k.Value, m), fullPace(k.Low, m)
}

// Molar masses, g/mol, from the standard atomic weights (IUPAC, from memory): Ca 40.078, O 15.999, H 1.008.
const (
	molarPortlandite = 40.078 + 2*(15.999+1.008)
	molarWater       = 15.999 + 2*1.008
)

// WaterReleased is the water set free where m metres of a finish have carbonated, kg/m2: Ca(OH)2 + CO2 -> CaCO3 +
// H2O, 18 g for each 74 g. It is a most, as the lime never carbonates whole (80 to 90 %, Despotou et al. 2014,
// abstract).
func WaterReleased(f material.Finish, m float64) float64 {
	return f.Portlandite.Value * f.DriedDensity() * m * molarWater / molarPortlandite
}
