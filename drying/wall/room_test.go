package wall

import (
	"math"
	"testing"

	"limeday/psychro"
)

// lake is a material that never dries: with it the vapour pressure at the face stays at saturation.
type lake struct{}

func (lake) Water(y float64) (w, dw float64)         { return 1000 - y, -1 }
func (lake) Potential(y float64) (phi, dphi float64) { return -y, -1 }
func (lake) Vapour(float64) float64                  { return 1 }
func (lake) Heat() Heat                              { return Heat{Conductance: 1, Capacity: 1e6} }
func (lake) Full() float64                           { return 1000 }

// lakeRoom is an isothermal wet wall of fixed transfer coefficient in a room, at 20 C.
func lakeRoom(t *testing.T, spec RoomSpec, rh float64) (*Solver, *Room, *Fluid) {
	t.Helper()
	tab, err := Tabulate(lake{})
	if err != nil {
		t.Fatal(err)
	}
	fluid := NewFluid(StandardFluid(101325))
	ps := fluid.Saturation(20)
	face := NewFace(FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325,
		Convection: func(Air) float64 { return 50 }}, // the natural part is then lost in the third powers
		[]Air{{Temperature: 20, Vapour: rh * ps, Radiant: 20}})
	room := NewRoom(spec, face, 0)
	p := &Problem{Layers: []Layer{{Name: "lake", Stuff: tab, Cells: []float64{1}}}, Front: room, Fluid: fluid, Thermal: Isothermal}
	v, err := NewSolver(p, p.Uniform(0, []float64{math.Log(1)}, 20), Settings{Tolerance: 1e-6})
	if err != nil {
		t.Fatal(err)
	}
	return v, room, fluid
}

// betaOf is the transfer coefficient the face then has.
func betaOf(v *Solver, r *Room) float64 {
	var x Exchange
	r.Face.Prepare(v.Time())
	r.Face.Exchange(&Surface{Y: v.FaceSuction(), Pressure: v.p.Fluid.Saturation(20), Temperature: 20}, &x)
	return x.WaterPressure
}

// TestRoomFilling: a wet wall of constant vapour pressure in a room of constant temperature. By hand,
// dp/dt = (A beta R_v T/V)(p_s-p) + n (p_o-p), so p approaches its balance exponentially; while the wet
// area still grows as A t/T and nothing is vented, p_s-p falls as exp(-A beta R_v T/V t^2/(2 T)).
func TestRoomFilling(t *testing.T) {
	const kelvin = 293.15
	for _, c := range []struct {
		name  string
		spec  RoomSpec
		exact func(beta, ps, p0, t float64) float64
	}{
		{"vented", RoomSpec{Volume: 60, AirChanges: 2, Area: 20, Rest: 1e9}, func(beta, ps, p0, t float64) float64 {
			k, n := 20*beta*psychro.GasConstantVapour*kelvin/60, 2.0/3600
			end := (k*ps + n*p0) / (k + n)
			return end + (p0-end)*math.Exp(-(k+n)*t)
		}},
		{"soaking", RoomSpec{Volume: 60, Area: 20, Rest: 1e9, Buffer: 3e-13}, func(beta, ps, p0, t float64) float64 {
			// 1e9 m2 of dry surface answer at once: they only add to what the air holds, here 3e-4 kg/Pa.
			k := 20 * beta / (60/(psychro.GasConstantVapour*kelvin) + 3e-4)
			return ps - (ps-p0)*math.Exp(-k*t)
		}},
		{"growing", RoomSpec{Volume: 60, Area: 20, LayTime: 1200, Rest: 1e9}, func(beta, ps, p0, t float64) float64 {
			k := 20 * beta * psychro.GasConstantVapour * kelvin / 60
			return ps - (ps-p0)*math.Exp(-k*t*t/2400)
		}},
	} {
		v, room, fluid := lakeRoom(t, c.spec, 0.4)
		ps := fluid.Saturation(20) * math.Exp(-1/(fluid.kelvinSpan*kelvin))
		p0 := 0.4 * fluid.Saturation(20)
		beta := betaOf(v, room)
		for _, at := range []float64{5, 20, 60, 200, 600} {
			if err := v.Advance(at); err != nil {
				t.Fatal(err)
			}
			_, got := room.Inside()
			want := c.exact(beta, ps, p0, at)
			t.Logf("%s, %4.0f s: %8.3f Pa, by hand %8.3f (%+.1e of the rise)", c.name, at, got, want, (got-want)/(ps-p0))
			// The coefficient keeps a trace of natural convection, which moist air changes: 1e-3.
			if math.Abs(got-want) > 2e-3*(ps-p0) {
				t.Errorf("%s: at %g s %g Pa, want %g", c.name, at, got, want)
			}
		}
		vented, condensed := room.Totals()
		gone := v.Stats().Evaporated
		// All of the wall gives off what the patch solved for does, weighted by the area then wet, so the
		// balance is of the room alone where the area is constant.
		if c.spec.LayTime == 0 {
			in := gone * c.spec.Area
			out := room.Vapour() - p0*(room.perPascal(20)+room.hold) + vented + condensed
			if math.Abs(in-out) > 1e-9*in {
				t.Errorf("%s: %.12g kg given off, %.12g kg found", c.name, in, out)
			}
		}
	}
}

// TestRoomSaturates: a closed room cannot hold more than saturation; what is more condenses, and is counted.
func TestRoomSaturates(t *testing.T) {
	v, room, fluid := lakeRoom(t, RoomSpec{Volume: 50, Area: 60, Rest: 1e9}, 0.5)
	room.Face.spec.Convection = func(Air) float64 { return 3 }
	start := room.Vapour()
	for _, at := range []float64{60, 600, 3600, 36000} {
		if err := v.Advance(at); err != nil {
			t.Fatal(err)
		}
		_, p := room.Inside()
		t.Logf("%5.0f s: %.1f %% RH", at, 100*p/fluid.Saturation(20))
		if p > fluid.Saturation(20)*(1+1e-6) {
			t.Errorf("at %g s the air holds %g Pa, above saturation", at, p)
		}
	}
	_, condensed := room.Totals()
	if in, out := 60*v.Stats().Evaporated, room.Vapour()-start+condensed; math.Abs(in-out) > 1e-9*in {
		t.Errorf("%g kg given off, %g found", in, out)
	}
}

// TestRoomSlowsTheFilm: the reference film in a closed room opens and closes later than in open air, and
// a very large room is open air.
func TestRoomSlowsTheFilm(t *testing.T) {
	c := readFilmCases(t)[0]
	run := func(volume float64) refTimes {
		p, s, _ := refProblem(t, c, refGraded(c.thick), Conducting)
		p.Fluid = NewFluid(StandardFluid(101325))
		p.FaceAtCentre = false
		face := NewFace(FaceSpec{Height: 2.5, Emissivity: 0.9, Pressure: 101325},
			[]Air{{Temperature: c.ta, Vapour: c.rh * p.Fluid.Saturation(c.ta), Radiant: c.ta}})
		p.Front = face
		if volume > 0 {
			p.Front = NewRoom(RoomSpec{Volume: volume, AirChanges: 0.5, Area: 30, Rest: 60}, face, 0)
		}
		r, _ := refRun(t, p, s, Settings{}, 86400)
		return r
	}
	open, vast, shut := run(0), run(1e9), run(50)
	t.Logf("closes: open air %.1f, vast room %.1f, 50 m3 %.1f min", open.closes.At/60, vast.closes.At/60, shut.closes.At/60)
	if d := math.Abs(vast.closes.At/open.closes.At - 1); d > 5e-3 { // two runs of the default tolerance
		t.Errorf("a vast room moves gone-by by %g", d)
	}
	if !(shut.closes.At > 1.1*open.closes.At) {
		t.Errorf("a closed room does not slow the film: %g against %g s", shut.closes.At, open.closes.At)
	}
}
