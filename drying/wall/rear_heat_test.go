package wall

import (
	"fmt"
	"math"
	"testing"

	"limeday/psychro"
)

// TestLadderRearHeat: a dry wall of two layers between cold air and a heated room comes to the straight lines of
// its resistances, from a start far off. Fourier's law; no source needed.
func TestLadderRearHeat(t *testing.T) {
	fluid := stillFluid(2e-10)
	const room, air, film = 20.0, -5.0, 25.0 // C, C, W/(m2 K)
	rear := RearSpec{Temperature: room, Transmittance: 3.4}
	brick := conductive{newLinear(fluid, 10, 200, 1e-9), 0.7}
	lime := conductive{newLinear(fluid, 10, 200, 1e-9), 0.4}
	p := &Problem{
		Layers: []Layer{{Name: "lime", Stuff: tabulate(t, lime), Cells: GradedBothEnds(20e-3, 10, 0.5e-3)}, {Name: "brick", Stuff: tabulate(t, brick), Cells: Graded(0.1, 14, 1e-3)}},
		Front:  &Held{Temperature: air, HeatRate: film}, Rear: rear.Boundary(), Fluid: fluid, Thermal: Conducting,
	}
	y := lime.y(1)
	v := newSolver(t, p, p.Uniform(0, []float64{y, y}, 40), Settings{})
	b := open(t, "dry wall", v)
	advance(t, v, 60*86400, b)
	q := (room - air) / (1/film + 20e-3/0.4 + 0.1/0.7 + 1/rear.Transmittance) // W/m2 outwards
	at := air + q/film
	rungRel(t, "face above the air, K", at-air, v.FaceTemperature()-air, 1e-4, "steady, exact")
	s, i, worst := v.State(), 0, 0.0
	for l, k := range []float64{0.4, 0.7} {
		for _, c := range p.Layers[l].Cells {
			want := at + q*c/2/k
			worst = max(worst, math.Abs(s.Cells[i].Temperature-want)/(room-air))
			at += q * c / k
			i++
		}
	}
	rung(t, "profile, share of the difference", 0, worst, 1e-4, "steady, exact")
	rungRel(t, "what comes from the room, W/m2", q, rear.Transmittance*(room-v.temp[v.n-1]), 1e-4, "steady, exact")
	t.Logf("heat in balance to %.0e of what moved", b.worstHeat)
}

// conductive is the linear material with a conductivity.
type conductive struct {
	linear
	k float64
}

func (c conductive) Heat() Heat { return Heat{Conductance: c.k, Capacity: 1.6e6} }

// TestRearHeatBalance: with a heated room behind it a wall in changing air and rain keeps its books to 1e-9 after
// every step, wet or dry, and nothing is lost through the back; the zero spec is the sealed wall.
func TestRearHeatBalance(t *testing.T) {
	wet := hourly(48)
	for i := range wet {
		wet[i].Temperature -= 14
		wet[i].Radiant = wet[i].Temperature - 6
		wet[i].Vapour = 0.9 * float64(psychro.SaturationWater(psychro.Celsius(wet[i].Temperature)))
		if i > 20 && i < 24 {
			wet[i].Rain = 1.0 / 3600
		}
	}
	for _, r := range []RearSpec{{Temperature: 20, Transmittance: 3.4}, {Temperature: 20, Transmittance: 1e4}, {Temperature: -20, Transmittance: 0.1}} {
		p, s := smallWall(t, Conducting, standardFace(wet), r.Boundary())
		v := newSolver(t, p, s, Settings{})
		b := open(t, fmt.Sprintf("%g C, %g W/m2K", r.Temperature, r.Transmittance), v)
		advance(t, v, 48*3600, b)
		t.Logf("%-18s %3d steps, worst of any step: water %.0e of the start, heat %.0e of what moved, %.3g kg/m2 off the back",
			b.name, b.steps, b.worst, b.worstHeat, v.Stats().RearLoss)
		if lost := v.Stats().RearLoss; !(math.Abs(lost) < 1e-12) {
			t.Errorf("%s: %g kg/m2 through the back", b.name, lost)
		}
	}
	p, s := smallWall(t, Conducting, standardFace(hourly(200)), RearSpec{Temperature: 20, Transmittance: 3.4}.Boundary())
	v, end := newSolver(t, p, s, Settings{}), 0.0
	if n := testing.AllocsPerRun(5, func() { end += 4 * 3600; advance(t, v, end) }); n != 0 {
		t.Errorf("%g allocations in an Advance", n)
	}
	if (RearSpec{Temperature: 20}).Boundary() != nil {
		t.Error("the zero transmittance is not sealed")
	}
}
