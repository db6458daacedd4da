package wall

import (
	"math"
	"testing"

	"limeday/psychro"
)

// weathered is two made-up days outdoors: sun, a sky far colder than the air by night, wind, and rain in the second
// night, so that every term of the face's balance has its hour.
func weathered() []Air {
	air := make([]Air, 49)
	for i := range air {
		h := float64(i)
		day := math.Sin(2 * math.Pi * (h - 9) / 24)
		c := 8 + 6*day
		air[i] = Air{Time: 3600 * h, Temperature: c, Vapour: 0.8 * float64(psychro.SaturationWater(6)), Speed: 1.5 + day, Radiant: c - 9 + 4*day,
			Sun: 700 * max(0, math.Sin(2*math.Pi*(h-6)/24))}
		if i >= 36 && i <= 38 {
			air[i].Rain = 0.5 / 3600
		}
	}
	return air
}

// faceBalance is the heat balance of a face at the solver's present unknowns, W/m2, each term written out again from
// its law rather than taken from the solver.
func faceBalance(v *Solver, spec FaceSpec, a Air) (convection, longWave, sun, latent, rain, conduction float64) {
	const sigma = 5.670374419e-8 // CODATA 2018
	fluid, ts, ta := v.p.Fluid, v.temp[0], a.Temperature
	c, k := psychro.Celsius(ta), ta+psychro.ZeroCelsius
	pressure := float64(spec.Pressure)
	var th, tc wet
	fluid.at(ts, &th)
	fluid.at(v.temp[1], &tc)
	pv := func(w wet, y float64) float64 { return w.ps * math.Exp(-math.Exp(y-w.span)) }

	rho := (pressure - (1-psychro.MolarRatio)*a.Vapour) / (psychro.GasConstantDryAir * k)
	alpha := psychro.DryAirConductivity(c) / (rho * psychro.HeatCapacityDryAir)
	nu := psychro.DryAirViscosity(c) / rho
	light := func(k, e float64) float64 { return k / (1 - (1-psychro.MolarRatio)*e/pressure) }
	d := light(ts+psychro.ZeroCelsius, pv(th, v.y[0])) - light(k, a.Vapour)
	ra := 9.80665 / k * math.Pow(spec.Height, 3) * math.Hypot(d, stir) / (nu * alpha)
	natural := NaturalNusselt(ra, nu/alpha) * psychro.DryAirConductivity(c) / spec.Height
	h := math.Cbrt(math.Pow(natural, 3) + math.Pow(spec.Convection(a), 3))
	le := alpha / psychro.VapourDiffusivity(c, spec.Pressure)
	beta := h / (rho * psychro.HeatCapacityDryAir * math.Pow(le, 2.0/3)) / (psychro.GasConstantVapour * k)

	convection = h * (ta - ts)
	longWave = spec.Emissivity * sigma * (math.Pow(a.Radiant+psychro.ZeroCelsius, 4) - math.Pow(ts+psychro.ZeroCelsius, 4))
	wetness := min(max((looksDry-v.y[0])/(looksDry-looksWet), 0), 1)
	sun = a.Sun * (spec.Absorptance + wetness*(spec.WetAbsorptance-spec.Absorptance))
	latent = beta * (pv(th, v.y[0]) - a.Vapour) * (fluid.latent + fluid.vapourHeat*ts)
	rain = a.Rain * fluid.waterHeat * ta
	if y := v.y[0]; y < tableMin {
		rain -= runRate * (tableMin - y) * fluid.waterHeat * ts
	}

	// Into the outermost cell, whose centre is half a cell away: what is conducted, and what moving water carries.
	tab, inv, tm := v.stuff[1], v.links[0].inv, (ts+v.temp[1])/2
	w, _ := v.storage(1)
	outer, _ := tab.Potential(max(v.y[0], tableMin)) // water that stands before the face is not pushed in
	inner, _ := tab.Potential(v.y[1])
	liquid := inv * (th.flow + tc.flow) / 2 * (outer - inner)
	g0, g1 := tab.flow(v.y[0]).g, tab.flow(v.y[1]).g
	vapour := inv * (th.del + tc.del) / 2 * (g0 + g1) / 2 * (pv(th, v.y[0]) - pv(tc, v.y[1]))
	conduction = inv*(tab.heat.Conductance+tab.heat.PerWater*w)*(ts-v.temp[1]) +
		liquid*fluid.waterHeat*tm + vapour*(fluid.latent+fluid.vapourHeat*tm)
	return
}

// faceBook is an Observer that keeps how far the face's balance is open after the steps of a solver: that of the laws at the face it
// stopped Newton's method at, and that of the laws at the face solved for again, from the same cells, to the end.
type faceBook struct {
	t                   *testing.T
	spec                FaceSpec
	air                 *Face
	stopped, at, solved float64
	dry                 float64 // stopped, of steps without rain
	terms               [6]float64
}

func (b *faceBook) open(v *Solver, time float64) float64 {
	c, l, sun, e, r, k := faceBalance(v, b.spec, b.air.At(time))
	for i, x := range []float64{c, l, sun, e, r, k} {
		b.terms[i] = max(b.terms[i], math.Abs(x))
	}
	return math.Abs(c + l + sun - e + r - k)
}

func (b *faceBook) Observe(s *Step) {
	v := s.Solver()
	off := b.open(v, s.To)
	if off > b.stopped {
		b.stopped, b.at = off, s.To
	}
	if b.air.At(s.To).Rain == 0 {
		b.dry = max(b.dry, off)
	}
	p := *v.p
	p.Front = NewFace(b.spec, b.air.air)
	// From the face as it stands, over a long step: its residual counts for the step's length.
	again := newSolver(b.t, &p, v.State(), Settings{Tolerance: 1e-9, TempTol: 1e-9, FirstStep: 3600})
	copy(again.y, v.y)
	copy(again.temp, v.temp)
	if err := again.consistent(); err != nil {
		b.t.Fatal(err)
	}
	b.solved = max(b.solved, b.open(again, s.To))
}

// TestFaceBalanceOutdoors: convection + long wave + absorbed sun - latent heat + rain = heat into the wall at the face,
// to 1e-6 W/m2 after every step of two days of weather, of the laws, written out again, at the face as it is solved for from its
// cells. (The fluxes carried balance by construction; that they are those of the linear solve is checkSolved's.) Where a step stops Newton's method, within the tolerance of its
// temperature and water, the laws themselves are still open by what is logged: the carried fluxes are linear in the
// last change. Conservation; no source needed.
func TestFaceBalanceOutdoors(t *testing.T) {
	air := weathered()
	spec := FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325, Absorptance: 0.3, WetAbsorptance: 0.5,
		Convection: func(a Air) float64 { return 4 + 4*a.Speed }}
	fluid := standardFluid()
	m := refSolid(0.3)
	p := &Problem{Front: NewFace(spec, air), Fluid: fluid, Thermal: Conducting, Layers: []Layer{
		{Name: "film", Stuff: tabulate(t, refFilm{}), Cells: GradedBothEnds(m, 8, m/16)},
		{Name: "wall", Stuff: tabulate(t, variable{refRigid{250, 0.2 / 60, 12, 5e4}}), Cells: Graded(0.1, 28, 3e-6)}}}
	v := newSolver(t, p, p.Uniform(0, []float64{math.Log(310), fluid.Suction(0.75, 8)}, 8), Settings{})
	b := &faceBook{t: t, spec: spec, air: NewFace(spec, air)}
	advance(t, v, 48*3600, b)
	t.Logf("%d steps, open by at most %.1e W/m2 as solved; where Newton's method stopped %.1e (at %.0f s), without rain %.1e",
		v.Stats().Steps, b.solved, b.stopped, b.at, b.dry)
	t.Logf("largest convection %.0f, long wave %.0f, sun %.0f, latent %.0f, rain %.1f, into the wall %.0f W/m2",
		b.terms[0], b.terms[1], b.terms[2], b.terms[3], b.terms[4], b.terms[5])
	if !(b.solved <= 1e-6) {
		t.Errorf("the face's balance is open by %g W/m2", b.solved)
	}
}
