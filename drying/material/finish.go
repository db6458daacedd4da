package material

import (
	"fmt"
	"math"

	"limeday/drying/wall"
)

// Finish is a material laid wet by the plasterer.
type Finish struct {
	Name  string
	About string // one line for people

	WaterRatio     Property // u0, as laid, kg water per kg solid
	ShrinkageLimit Property // u_sh, kg/kg
	SolidDensity   Property // rho_s, kg/m3
	FreshSuction   Property // p0, Pa
	AirEntry       Property // p_ae, Pa
	Desorptivity   Property // R at DesorbedAt, m/s^0.5
	DesorbedAt     Property // suction at which Desorptivity holds, Pa
	W80            Property // water at 80 % RH, kg/m3 of dried film
	Mu             Property // vapour resistance factor
	Conductivity   Property // lambda, W/(m K)
	HeatCapacity   Property // c, J/(kg K)
	Wetting        Property // wetting suction over draining suction
	Emissivity     Property // long wave

	// Coats are the usual wet thicknesses in m: first coat, second, last.
	Coats [3]Property
	// Thickest is the wet thickness in m above which a coat is not safe from cracking.
	Thickest Property
	// MinFace and MaxFace bound the temperature of the face, C.
	MinFace, MaxFace Property
	// Grain is how coarsely this finish's times are known, s: what people are shown is rounded to it.
	Grain float64
	// Waits are the published and customary waits before a next coat that drying alone does not explain
	// (strength, shrinkage, carbonation); nil for thin coats.
	Waits *Waits
	// Sets is the layer that the coat becomes once dry, where it is no longer the film it was laid as.
	Sets *Rigid
	// Polish finishes are compressed and burnished thin, the next coat going onto a dry one.
	Polish bool

	// The states of the face (model.md, 4).
	EdgeShare  Property // the edge blends while u >= u_sh + share (u0 - u_sh)
	OpensShare Property // opens at u = u_sh + share (u0 - u_sh)
	Burnish    Property // burnish from pore saturation S
	Closes     Property // gone by at S
	Dry        Property // dry, next coat from, at S

	// After the day (model.md, 5; judged by package cure).
	Carbonation        Property // k of depth = k sqrt(time) at 20 C and 55 to 80 % RH, mm/d^0.5
	Portlandite        Property // Ca(OH)2 in the solid as laid, kg/kg
	CriticalSaturation Property // S_cr: pore saturation above which freezing does harm
	FrostFree          Property // d without frost after laying; published advice varies
	RainFree           Property // h without rain on the face after laying
}

// Waits before a next coat.
type Waits struct {
	PerMm Property // d per mm of wet thickness
	Least Property // d, whatever the thickness
}

// Wait is the range of waits for a wet thickness in m, in days, to half a day.
func (w Waits) Wait(thickness float64) (low, high float64) {
	t := thickness * 1000
	half := func(d float64) float64 { return math.Ceil(2*d-1e-9) / 2 }
	return half(max(w.Least.Low, w.PerMm.Low*t)), half(max(w.Least.High, w.PerMm.High*t))
}

// Thinnest is the wet thickness in m under which nothing is a coat: that of a grain or two (judgement, no source).
const Thinnest = 0.01e-3

// thickOver is how many times its Thickest a coat is still taken to be meant (judgement, no source): what is too thick to be safe is
// answered, and said to be.
const thickOver = 20

// Laid are the thinnest and the thickest coat in m that a hand lays of the finish; what lies outside is a slip in the unit or the finish.
func (f Finish) Laid() (thinnest, thickest float64) { return Thinnest, thickOver * f.Thickest.Value }

// SolidMass is the dry mass laid, kg/m2, in a wet thickness in m.
func (f Finish) SolidMass(thickness float64) float64 {
	return thickness / (1/f.SolidDensity.Value + f.WaterRatio.Value/1000)
}

// Thickness is the wet thickness in m of a wet spread in kg/m2.
func (f Finish) Thickness(spread float64) float64 {
	u := f.WaterRatio.Value
	return spread / (1 + u) * (1/f.SolidDensity.Value + u/1000)
}

// Spread is the wet mass in kg/m2 of a wet thickness in m.
func (f Finish) Spread(thickness float64) float64 {
	return f.SolidMass(thickness) * (1 + f.WaterRatio.Value)
}

// DriedDensity is the bulk density of the film at the shrinkage limit, kg of solid per m3.
func (f Finish) DriedDensity() float64 { return f.bulk(f.ShrinkageLimit.Value) }

func (f Finish) bulk(u float64) float64 { return 1 / (1/f.SolidDensity.Value + u/1000) }

// Batch is the finish mixed with k times the water beyond its shrinkage limit. k must be positive.
func (f Finish) Batch(k float64) Finish {
	f.WaterRatio.Value = f.ShrinkageLimit.Value + k*(f.WaterRatio.Value-f.ShrinkageLimit.Value)
	return f
}

// Levels are the water ratios of the face at which the states of a coat begin.
type Levels struct {
	Edge, Opens, Burnish, Closes, Dry float64 // kg/kg
}

// Levels returns the finish's own.
func (f Finish) Levels() Levels {
	sh, d := f.ShrinkageLimit.Value, f.WaterRatio.Value-f.ShrinkageLimit.Value
	return Levels{sh + f.EdgeShare.Value*d, sh + f.OpensShare.Value*d, f.Burnish.Value * sh, f.Closes.Value * sh, f.Dry.Value * sh}
}

// Check reports what makes the finish impossible.
func (f Finish) Check() error {
	bad := func(format string, a ...any) error {
		return &FinishError{Name: f.Name, Reason: fmt.Sprintf(format, a...)}
	}
	switch {
	case !(f.ShrinkageLimit.Value > 0 && f.ShrinkageLimit.Value < f.WaterRatio.Value):
		return bad("the shrinkage limit (%g) must be positive and below the water ratio as laid (%g)", f.ShrinkageLimit.Value, f.WaterRatio.Value)
	case !(f.SolidDensity.Value > 500 && f.SolidDensity.Value < 8000):
		return bad("the density of the solid (%g kg/m3) must lie between 500 and 8000", f.SolidDensity.Value)
	case !(f.FreshSuction.Value > 0 && f.FreshSuction.Value < f.AirEntry.Value && f.AirEntry.Value < suction80/10):
		return bad("suctions must rise from fresh (%g Pa) to air entry (%g Pa) and stay below that of damp air", f.FreshSuction.Value, f.AirEntry.Value)
	case !(f.Desorptivity.Value > 0):
		return bad("the desorptivity (%g m/s^0.5) must be positive", f.Desorptivity.Value)
	case !(f.DesorbedAt.Value > f.FreshSuction.Value):
		return bad("the desorptivity must be stated at a suction above the fresh one")
	case !(f.W80.Value > 0 && f.W80.Value < f.ShrinkageLimit.Value*f.DriedDensity()/2):
		return bad("water at 80 %% RH (%g kg/m3) must be positive and below half of what the pores hold", f.W80.Value)
	case !(f.Mu.Value >= 1 && f.Conductivity.Value > 0 && f.HeatCapacity.Value > 0):
		return bad("mu must be at least 1, conductivity and heat capacity positive")
	case !(f.Wetting.Value > 0 && f.Wetting.Value <= 1):
		return bad("wetting suction over draining suction (%g) must lie in (0, 1]", f.Wetting.Value)
	case !(f.Dry.Value > 0 && f.Dry.Value < f.Closes.Value && f.Closes.Value < f.Burnish.Value && f.Burnish.Value <= 1):
		return bad("saturations must fall from burnish (%g) to gone by (%g) to dry (%g)", f.Burnish.Value, f.Closes.Value, f.Dry.Value)
	case !(f.OpensShare.Value >= 0 && f.OpensShare.Value < f.EdgeShare.Value && f.EdgeShare.Value < 1):
		return bad("the edge must end before the coat opens")
	}
	return nil
}

// Table gives the finish to the solver; its measure is solid mass in kg/m2.
func (f Finish) Table() (*wall.Table, error) {
	m, err := f.film()
	if err != nil {
		return nil, err
	}
	return wall.Tabulate(m)
}

// FreshY is ln(suction/Pa) of the coat as laid.
func (f Finish) FreshY() float64 { return math.Log(f.FreshSuction.Value) }

// Diffusivity is the liquid diffusivity of the consolidating film, m2/s, that gives its desorptivity.
func (f Finish) Diffusivity() (float64, error) {
	m, err := f.film()
	return m.d, err
}

func (f Finish) film() (film, error) {
	if err := f.Check(); err != nil {
		return film{}, err
	}
	rs := f.DriedDensity()
	s80 := f.W80.Value / (rs * f.ShrinkageLimit.Value)
	beyond := math.Log(suction80/f.AirEntry.Value) - ln3
	n, err := solveRising(func(n float64) float64 {
		return (1 - 1/n) * math.Log1p(math.Exp(n*beyond))
	}, -math.Log(s80), 1.01, 12)
	if err != nil {
		return film{}, &FinishError{Name: f.Name, Reason: fmt.Sprintf("no retention curve from air entry at %g Pa holds %g kg/m3 at 80 %% RH", f.AirEntry.Value, f.W80.Value)}
	}
	m := film{
		ush: f.ShrinkageLimit.Value, fresh: f.FreshY(), entry: math.Log(f.AirEntry.Value),
		line: (f.WaterRatio.Value - f.ShrinkageLimit.Value) / math.Log(f.AirEntry.Value/f.FreshSuction.Value),
		n:    n, m: 1 - 1/n, perSolid: 1 / f.SolidDensity.Value, rs: rs, mu: f.Mu.Value, d: 1,
		heat:   wall.Heat{Conductance: f.Conductivity.Value * rs, Capacity: f.HeatCapacity.Value},
		offset: -math.Log(f.Wetting.Value), full: f.WaterRatio.Value,
	}
	m.shrunk, err = solveRising(func(y float64) float64 { u, _ := m.Water(y); return -u }, -m.ush, m.fresh, m.entry)
	if err != nil {
		return film{}, &FinishError{Name: f.Name, Reason: "it never reaches its shrinkage limit"}
	}
	r := f.Desorptivity.Value / m.desorptivity(math.Log(f.DesorbedAt.Value))
	m.d = r * r
	return m, nil
}

// film implements wall.Material in solid mass.
type film struct {
	ush, fresh, entry, line, n, m float64 // fresh and entry are y as laid and at air entry
	perSolid, rs, mu, d           float64
	heat                          wall.Heat
	offset, shrunk, full          float64
}

const (
	ln3 = 1.0986122886681098 // the retention curve's 1/alpha is three times air entry
	// wetter is how far, in ln(suction), the consolidation line goes on beyond fresh: further than a cell of a table,
	// whose cubics round the kink at its end, so that a coat as laid stands on the line.
	wetter = 0.1
)

// Water is the consolidation line down to air entry plus the retention curve. Wetter than fresh the line
// goes on, after a tenth of the suction at a hundredth of its slope: a small specific storage.
func (f film) Water(y float64) (u, du float64) {
	b := math.Exp(f.n * (y - f.entry - ln3))
	s := math.Exp(-f.m * math.Log1p(b))
	u, du = f.ush*s, -f.ush*f.m*f.n*b/(1+b)*s
	switch low := f.fresh - wetter; {
	case y >= f.entry:
	case y >= low:
		u, du = u+f.line*(f.entry-y), du-f.line
	default:
		u, du = u+f.line*(f.entry-low+0.01*(low-y)), du-0.01*f.line
	}
	return u, du
}

func (f film) bulk(u float64) float64 { return 1 / (f.perSolid + max(u, f.ush)/1000) }

// conductance is D rho_b^2, the flux per gradient of u over solid mass.
func (f film) conductance(u float64) float64 {
	if u >= f.ush {
		b := f.bulk(u)
		return f.d * b * b
	}
	return f.d * f.rs * f.rs * math.Exp(-4*(1-u/f.ush))
}

func (f film) Potential(y float64) (phi, dphi float64) {
	_, _, phi, dphi, _ = f.Together(y)
	return phi, dphi
}

func (f film) Vapour(y float64) float64 {
	u, _ := f.Water(y)
	return f.bulk(u) / f.mu
}

// Together implements wall.Together.
func (f film) Together(y float64) (u, du, phi, dphi, vapour float64) {
	u, du = f.Water(y)
	k, bulk := f.conductance(u), f.bulk(u)
	// The integral of the conductance over u: of exp(-4(1-u/ush)) below the shrinkage limit, of the
	// squared bulk density (whose inverse is linear in u) above it.
	phi = k * f.ush / 4
	if u >= f.ush {
		phi = f.d*f.rs*f.rs*f.ush/4 + 1000*f.d*(f.rs-bulk)
	}
	return u, du, phi, k * du, bulk / f.mu
}

func (f film) Heat() wall.Heat { return f.heat }
func (f film) Full() float64   { return f.full }
func (f film) Wetting() (offset, shrunk float64) {
	return f.offset, f.shrunk
}

// desorptivity is the film's at suction exp(y) over a deep fresh film, m/s^0.5.
func (f film) desorptivity(y float64) float64 {
	u0, _ := f.Water(f.fresh)
	u1, _ := f.Water(y)
	return sorptivity(func(c float64) float64 { return f.conductance(u0 - c*(u0-u1)) }) * (u0 - u1) / 1000
}

// What a coat is taken to be of, and on, where nothing is said.
const (
	UsualFinish     = "polished-lime"
	UsualBackground = "primed-board"
)
