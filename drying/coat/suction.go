package coat

import (
	"fmt"
	"math"

	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

// Uptake is a measurement of how a background drinks: water of given depth went in over a disc in a time.
type Uptake struct {
	Depth   float64 // volume over area of the disc, m
	Radius  float64 // of the disc, m
	Seconds float64
}

// DropTest is the time in seconds for one drop of water to go in: 0.05 ml, twenty to the millilitre, which
// spreads to a disc 10 mm across (common practice, no source; 8 to 12 mm, an ESTIMATE that moves the
// sorptivity by a factor of about 1.5 each way).
func DropTest(seconds float64) Uptake {
	const volume, radius = 0.05e-6, 5e-3
	return Uptake{Depth: volume / (math.Pi * radius * radius), Radius: radius, Seconds: seconds}
}

// TubeTest is a reading of the absorption tube of RILEM Test II.4: millilitres gone in over its opening of
// 5 cm2 after the given seconds (opening from memory of the recommendation, 1980). Its head of about
// 10 cm of water, 1 kPa, is left out beside the suction of the wall.
func TubeTest(millilitres, seconds float64) Uptake {
	const area = 5e-4
	return Uptake{Depth: millilitres * 1e-6 / area, Radius: math.Sqrt(area / math.Pi), Seconds: seconds}
}

// spread is the factor gamma of the sideways spread of water from a disc (Haverkamp et al. 1994, Water
// Resour. Res. 30, 2931-2935: 0.6 to 0.8; from memory).
const spread = 0.75

// oneDimensional is the depth that would have gone in had the water not spread sideways. A disc of radius r
// takes up i = i1 + gamma i1^2/(r dtheta), i1 = S sqrt(t) being one-dimensional uptake (Haverkamp et al.).
func (u Uptake) oneDimensional(capacity float64) float64 {
	k := spread / (u.Radius * capacity)
	return (math.Sqrt(1+4*k*u.Depth) - 1) / (2 * k)
}

// SuctionError says that no suction of the face explains a measurement.
type SuctionError struct {
	Background       string
	Seconds          float64 // measured
	Fastest, Slowest float64 // what the build-up can do, s
}

func (e *SuctionError) Error() string {
	if e.Fastest >= longest {
		return fmt.Sprintf("%s cannot take that much water up at all; check the background and the measurement", e.Background)
	}
	return fmt.Sprintf("no suction of %s takes the water up in %.3g s: it could take from %.3g s to %.3g s; check the background and the measurement",
		e.Background, e.Seconds, e.Fastest, e.Slowest)
}

// WithUptake returns b with the water absorption of its face such that the model takes the measured water
// up in the measured time, from moisture equilibrium with air of humidity rh at temperature c. Where the
// face is of layers thinner than a millimetre (primer, paper) all of these are scaled alike.
//
// For one thick layer this is A_w = rho_w i1/sqrt(t). Limits: water that runs off, evaporates (hours) or
// spreads within a thin primer counts as taken up, so a drop overstates the suction of a primed board; it
// tells the spot it fell on. The error is a *SuctionError or the solver's.
func WithUptake(b material.Background, u Uptake, c, rh float64) (material.Background, error) {
	if !(u.Seconds > 0 && u.Depth > 0 && u.Radius > 0) {
		panic("coat: an uptake needs positive numbers")
	}
	depth := u.oneDimensional(b.Layers[0].Capillary.Value/1000) * 1000 // kg/m2
	scaled := func(f float64) material.Background {
		s := b
		s.Layers = append([]material.Rigid(nil), b.Layers...)
		for i := range s.Layers {
			if i > 0 && s.Layers[i-1].Thickness.Value >= 1e-3 {
				break
			}
			if i > 0 && s.Layers[i].Thickness.Value >= 1e-3 {
				break
			}
			a := b.Layers[i].Absorption.Value * f
			s.Layers[i].Absorption = material.Property{Value: a, Low: a / 1.5, High: a * 1.5, Unit: "kg/(m2 s^0.5)",
				Evidence: material.User, Source: "measured on the wall: water taken up"}
		}
		return s
	}
	want := math.Log(u.Seconds)
	limit := math.Log(1e3) // of the scale, either way
	at := func(x float64) (float64, error) {
		t, err := takeUp(scaled(math.Exp(x)), depth, c, rh)
		return math.Log(t), err
	}
	// Close to t ~ 1/f^2: a secant in logarithms.
	x0 := 0.0
	t0, err := at(x0)
	if err != nil {
		return b, err
	}
	slope := -2.0
	for range 30 {
		if math.Abs(t0-want) < 1e-3 {
			return scaled(math.Exp(x0)), nil
		}
		x1 := x0 + (want-t0)/slope
		if math.Abs(x1) > limit {
			break
		}
		t1, err := at(x1)
		if err != nil {
			return b, err
		}
		if s := (t1 - t0) / (x1 - x0); s < -0.2 && s > -5 {
			slope = s
		}
		x0, t0 = x1, t1
	}
	slow, err := at(-limit)
	if err != nil {
		return b, err
	}
	fast, err := at(limit)
	if err != nil {
		return b, err
	}
	return b, &SuctionError{b.Name, u.Seconds, math.Exp(fast), math.Exp(slow)}
}

// takeUp is the time in which a background takes up depth kg/m2 of water standing on it, s.
func takeUp(b material.Background, depth, c, rh float64) (float64, error) {
	fluid := wall.NewFluid(wall.StandardFluid(psychro.StandardPressure(0)))
	p := &wall.Problem{Fluid: fluid, Front: &wall.Held{Suction: math.Log(standing), SuctionRate: wettingOut}}
	y := fluid.Suction(min(max(rh, driest), wettest), c)
	var ys []float64
	for i, r := range b.Layers {
		tab, err := r.Table()
		if err != nil {
			return 0, err
		}
		p.Layers = append(p.Layers, wall.Layer{Name: r.Name, Stuff: tab, Cells: rigidCells(r, i, false)})
		ys = append(ys, y)
	}
	v, err := wall.NewSolver(p, p.Uniform(0, ys, c), wall.Settings{})
	if err != nil {
		return 0, err
	}
	in := uptakeLog{v: v, depth: depth}
	for t := 1.0; t < longest; t *= 4 {
		if err := v.Advance(t, &in); err != nil {
			return 0, err
		}
		if in.at > 0 {
			return in.at, nil
		}
	}
	return longest, nil
}

// longest is beyond any drop test, s: a drop evaporates sooner.
const longest = 30 * 86400.0

// uptakeLog notes when the face has taken up depth.
type uptakeLog struct {
	v     *wall.Solver
	depth float64
	was   float64
	at    float64
}

// Observe implements wall.Observer. Within a step uptake goes with the square root of time.
func (l *uptakeLog) Observe(s *wall.Step) {
	now := -l.v.Stats().Evaporated
	if l.at == 0 && now >= l.depth {
		x := (l.depth - l.was) / (now - l.was)
		r := math.Sqrt(s.From) + x*(math.Sqrt(s.To)-math.Sqrt(s.From))
		l.at = r * r
	}
	l.was = now
}
