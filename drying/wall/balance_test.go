package wall

import (
	"fmt"
	"math"
	"testing"

	"limeday/psychro"
)

// book is an Observer that checks after every step that what is stored and what has passed the faces
// add up to the start, of water to 1e-9 of the water at the start and of heat to 1e-9 of the heat that
// has moved, plus rounding of what is stored.
type book struct {
	t         testing.TB
	name      string
	water     float64 // at the start, kg/m2
	heat      float64 // J/m2
	steps     int
	moved     float64 // sum of |heat| through the faces, J/m2
	lastHeat  float64
	worst     float64
	worstHeat float64
	began     Stats
}

func stored(v *Solver) (water, heat float64) {
	for _, k := range v.cell {
		water += v.water[k] * v.size[k]
		heat += v.hea[k]
	}
	return
}

func open(t testing.TB, name string, v *Solver) *book {
	b := &book{t: t, name: name, began: v.Stats()}
	b.water, b.heat = stored(v)
	b.lastHeat = b.began.HeatIn
	return b
}

func (b *book) Observe(s *Step) {
	b.t.Helper()
	v := s.Solver()
	st := v.Stats()
	w, h := stored(v)
	b.steps++
	d := math.Abs(w+st.Evaporated+st.RearLoss-b.began.Evaporated-b.began.RearLoss-b.water) / b.water
	b.worst = max(b.worst, d)
	if !(d <= 1e-9) {
		b.t.Fatalf("%s: water out of balance by %.2e of the start after step %d, at %g s", b.name, d, b.steps, s.To)
	}
	if v.p.Thermal != Conducting {
		return
	}
	b.moved += math.Abs(st.HeatIn - b.lastHeat)
	b.lastHeat = st.HeatIn
	off := math.Abs(h - b.heat - (st.HeatIn - b.began.HeatIn))
	rounding := 1e-15 * float64(b.steps+len(v.cell)) * math.Abs(b.heat)
	if !(off <= 1e-9*b.moved+rounding) {
		b.t.Fatalf("%s: heat out of balance by %g J/m2 of %g moved after step %d, at %g s", b.name, off, b.moved, b.steps, s.To)
	}
	if b.steps > 20 {
		b.worstHeat = max(b.worstHeat, off/b.moved)
	}
}

// hourly is a day and more of made-up air that changes every hour.
func hourly(hours int) []Air {
	air := make([]Air, hours+1)
	for i := range air {
		h := float64(i)
		c := 16 + 6*math.Sin(2*math.Pi*(h-9)/24)
		rh := 0.65 - 0.25*math.Sin(2*math.Pi*(h-9)/24)
		air[i] = Air{Time: 3600 * h, Temperature: c, Radiant: c - 1, Speed: 0.3 + 0.3*math.Sin(h), Sun: 40 * max(0, math.Sin(2*math.Pi*(h-6)/24)),
			Vapour: rh * float64(psychro.SaturationWater(psychro.Celsius(c)))}
	}
	return air
}

func standardFluid() *Fluid { return NewFluid(StandardFluid(101325)) }

func standardFace(air []Air) *Face {
	return NewFace(FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325}, air)
}

// TestLadderBalance: water and heat to 1e-9 after every step, in every thermal mode, with every kind of
// boundary, with contact resistance, with hysteresis, and over coats laid on each other. Conservation;
// no source needed.
func TestLadderBalance(t *testing.T) {
	fluid := standardFluid()
	film, again := tabulate(t, refFilm{}), tabulate(t, reswell{})
	skin, board := tabulate(t, variable{refRigid{250, 0.25 / 60, 60, 5e4}}), tabulate(t, variable{refRigid{400, 1.0 / 60, 8, 3e4}})
	room := fluid.Suction(0.55, 16)
	fronts := map[string]func() Boundary{
		"flux":  func() Boundary { return &Held{Flux: 2e-6, Temperature: 15, HeatRate: 8} },
		"robin": func() Boundary { return &Held{Pressure: 900, PressureBeta: 2e-8, Temperature: 22, HeatRate: 8} },
		"face":  func() Boundary { return standardFace(hourly(24)) },
	}
	for thermal, mode := range []string{"isothermal", "lumped", "conducting"} {
		for _, front := range []string{"flux", "robin", "face"} {
			for _, contact := range []float64{0, 2e8} {
				for _, centre := range []bool{false, true} {
					name := fmt.Sprintf("%s, %s, contact %g, centre %v", mode, front, contact, centre)
					m := refSolid(0.3)
					p := &Problem{
						Layers: []Layer{
							{Name: "film", Stuff: film, Cells: GradedBothEnds(m, 6, m/16), Contact: contact},
							{Name: "primer", Stuff: skin, Cells: GradedBothEnds(0.25e-3, 8, 8e-6)},
							{Name: "board", Stuff: board, Cells: Graded(12e-3, 10, 100e-6)},
						},
						Front: fronts[front](), Fluid: fluid, Thermal: Thermal(thermal), FaceAtCentre: centre,
					}
					if front == "robin" {
						p.Rear = &Held{Pressure: 1000, PressureBeta: 1e-9, Temperature: 12, HeatRate: 5}
					}
					s := p.Uniform(0, []float64{math.Log(310), room, room}, 16)
					end := 12 * 3600.0
					if front == "flux" {
						end = 3 * 3600
					}
					v := newSolver(t, p, s, Settings{})
					b := open(t, name, v)
					advance(t, v, end, b)
					worst, heat, steps := b.worst, b.worstHeat, b.steps
					// A second coat on the state of the first, and a third.
					for range 2 {
						before := v.State()
						had := p.Water(before, 0, p.Cells())
						fresh := Layer{Name: "coat", Stuff: again, Cells: GradedBothEnds(m, 6, m/16), Contact: contact}
						p, s = p.Lay(before, fresh, math.Log(310), 16)
						own, _ := again.Water(math.Log(310))
						if got, want := p.Water(s, 0, p.Cells()), had+own*m; math.Abs(got-want) > 1e-12 {
							t.Fatalf("%s: laying changed the water from %g to %g", name, want, got)
						}
						v = newSolver(t, p, s, Settings{})
						b = open(t, name, v)
						advance(t, v, s.Time+end/6, b)
						worst, heat, steps = max(worst, b.worst), max(heat, b.worstHeat), steps+b.steps
					}
					t.Logf("%-48s %3d steps, worst of any step: water %.0e of the start, heat %.0e of what moved", name, steps, worst, heat)
				}
			}
		}
	}
}

// TestRestartKeepsHeat: a state handed from one solver to the next carries the heat that was balanced.
func TestRestartKeepsHeat(t *testing.T) {
	p, s := smallWall(t, Conducting, standardFace(hourly(24)), nil)
	v := newSolver(t, p, s, Settings{})
	advance(t, v, 5*3600)
	_, was := stored(v)
	u := newSolver(t, p, v.State(), Settings{})
	_, is := stored(u)
	rung(t, "enthalpy over a restart, J/m2", was, is, 1e-9*math.Abs(was), "rounding")
}

// TestDriestStart: a layer that starts with less water than the dry end of its table holds, down to a hair, has a
// suction within the range of the unknowns, and takes a fresh film with all in balance. Conservation; no source needed.
func TestDriestStart(t *testing.T) {
	film, skin, board := tabulate(t, reswell{}), tabulate(t, refRigid{250, 0.25 / 60, 60, 5e4}), tabulate(t, refRigid{400, 1.0 / 60, 8, 3e4})
	end, _ := skin.Water(tableMax)
	for thermal := range Conducting + 1 {
		for _, share := range []float64{1.1, 0.9, 0.4, 0.1, 1e-3, 1e-6} {
			m := refSolid(0.3)
			p := &Problem{
				Layers: []Layer{
					{Name: "film", Stuff: film, Cells: GradedBothEnds(m, 8, m/16)},
					{Name: "primer", Stuff: skin, Cells: GradedBothEnds(0.25e-3, 16, 0.25e-3/60)},
					{Name: "board", Stuff: board, Cells: Graded(12e-3, 20, 100e-6)},
				},
				Front: standardFace(hourly(24)), Fluid: standardFluid(), Thermal: thermal,
			}
			y := skin.Suction(share * end)
			if w, _ := skin.Water(y); math.Abs(w-share*end) > 1e-9*end || y >= yHigh {
				t.Errorf("%g of the end's water: y %g holds %g of it", share, y, w/end)
			}
			s := p.Uniform(0, []float64{math.Log(310), y, 19}, 16)
			v := newSolver(t, p, s, Settings{})
			advance(t, v, 12*3600, open(t, fmt.Sprintf("thermal %d, share %g", thermal, share), v))
		}
	}
}

// smallWall is the reference build-up, smaller, in real air, for tests of behaviour.
func smallWall(t testing.TB, thermal Thermal, front, rear Boundary) (*Problem, State) {
	fluid := standardFluid()
	m := refSolid(0.3)
	p := &Problem{
		Layers: []Layer{
			{Name: "film", Stuff: tabulate(t, refFilm{}), Cells: GradedBothEnds(m, 6, m/16)},
			{Name: "board", Stuff: tabulate(t, refRigid{400, 0.25 / 60, 8, 3e4}), Cells: Graded(12e-3, 10, 50e-6)},
		},
		Front: front, Rear: rear, Fluid: fluid, Thermal: thermal,
	}
	return p, p.Uniform(0, []float64{math.Log(310), fluid.Suction(0.6, 16)}, 16)
}
