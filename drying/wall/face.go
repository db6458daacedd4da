package wall

import (
	"math"
	"sort"

	"limeday/psychro"
)

// Air is what surrounds a face at one time. Between records everything varies linearly; after the last
// it stays.
type Air struct {
	Time        float64 // s
	Temperature float64 // C
	Vapour      float64 // vapour pressure, Pa
	Speed       float64 // along the wall, m/s
	Radiant     float64 // temperature of the surroundings that the face sees, C
	Sun         float64 // short-wave radiation on the face, W/m2
	Rain        float64 // water driven onto the face, kg/(m2 s)
}

// FaceSpec describes a face that stands in air.
type FaceSpec struct {
	Height     float64             // of the wall, m: the length convection acts over
	Emissivity float64             // long wave
	Pressure   psychro.Pascal      // of the air
	Convection func(a Air) float64 // replaces the forced part of the heat transfer coefficient where set, W/(m2 K); no function of a.Time
	Transfer   float64             // factor on the coefficients of heat and vapour by convection; 0 counts as 1
	// Absorptance is the share of Sun that a dry face takes up, and WetAbsorptance that of a wet one; both
	// zero: all of it.
	Absorptance, WetAbsorptance float64
}

const stefanBoltzmann = 5.670374419e-8 // W/(m2 K4), CODATA 2018

// Face is the Boundary of a wall standing in air: convection, natural and forced, the evaporation that
// goes with it, and long-wave exchange with the surroundings.
type Face struct {
	spec FaceSpec
	air  []Air
	now  Air
	last int // records before the time prepared for last
	had  Air // what the coefficients below are of

	// At the present air: Ra = rayleigh |Tv difference|, Nu, and what turns h into beta.
	rayleigh, nusselt float64 // nusselt is the factor of Ra^(1/6), by Churchill and Chu
	perLength, forced float64 // conductivity over height, W/(m2 K)
	virtual, lewis    float64
	lightness         float64 // of vapour, 1/Pa; see virtual
}

// NewFace makes a face in the given air, whose records must be in order of time.
func NewFace(spec FaceSpec, air []Air) *Face {
	if len(air) == 0 || !(spec.Height > 0) || !(spec.Emissivity >= 0 && spec.Emissivity <= 1) || !(spec.Pressure > 0) {
		panic("wall: a face needs air, height, emissivity and pressure")
	}
	for i := 1; i < len(air); i++ {
		if !(air[i].Time > air[i-1].Time) {
			panic("wall: air records out of order")
		}
	}
	if spec.Transfer == 0 {
		spec.Transfer = 1
	}
	return &Face{spec: spec, air: air, had: Air{Temperature: math.NaN()}, lightness: (1 - psychro.MolarRatio) / float64(spec.Pressure)}
}

// before counts the records up to time t. It is mostly as many as last time, or one more.
func (f *Face) before(t float64) int {
	for i := f.last; i <= min(f.last+1, len(f.air)); i++ {
		if (i == 0 || f.air[i-1].Time <= t) && (i == len(f.air) || f.air[i].Time > t) {
			f.last = i
			return i
		}
	}
	f.last = f.search(t)
	return f.last
}

func (f *Face) search(t float64) int {
	return sort.Search(len(f.air), func(i int) bool { return f.air[i].Time > t })
}

// Next implements Boundary: records are kinks.
func (f *Face) Next(t float64) float64 {
	i := f.before(t + 1e-6)
	if i == len(f.air) || len(f.air) == 1 {
		return math.Inf(1)
	}
	return f.air[i].Time
}

// At is the air at time t.
func (f *Face) At(t float64) Air {
	return f.between(f.search(t), t)
}

// between is the air at time t, which i records come before.
func (f *Face) between(i int, t float64) Air {
	switch {
	case i == 0:
		a := f.air[0]
		a.Time = t
		return a
	case i == len(f.air):
		a := f.air[i-1]
		a.Time = t
		return a
	}
	a, b := &f.air[i-1], &f.air[i]
	x := (t - a.Time) / (b.Time - a.Time)
	mix := func(p, q float64) float64 { return p + x*(q-p) }
	return Air{t, mix(a.Temperature, b.Temperature), mix(a.Vapour, b.Vapour), mix(a.Speed, b.Speed), mix(a.Radiant, b.Radiant), mix(a.Sun, b.Sun), mix(a.Rain, b.Rain)}
}

// Prepare implements Boundary. Properties of the air are taken at its own temperature; the face is
// within a few kelvin of it.
func (f *Face) Prepare(t float64) {
	a := f.between(f.before(t), t)
	f.now = a
	k := a.Temperature + psychro.ZeroCelsius
	f.virtual, _, _ = virtual(k, a.Vapour, f.lightness)
	f.had.Time = t
	if a == f.had {
		return
	}
	f.had = a
	c := psychro.Celsius(a.Temperature)
	p := float64(f.spec.Pressure)
	rho := (p - (1-psychro.MolarRatio)*a.Vapour) / (psychro.GasConstantDryAir * k)
	const cp = psychro.HeatCapacityDryAir // the vapour's part is below 1 %
	conduct := psychro.DryAirConductivity(c)
	nu := psychro.DryAirViscosity(c) / rho
	alpha := conduct / (rho * cp)
	f.rayleigh = 9.80665 / k * f.spec.Height * f.spec.Height * f.spec.Height / (nu * alpha)
	f.nusselt = 0.387 / prandtlFactor(nu/alpha)
	f.perLength = conduct / f.spec.Height
	if f.spec.Convection != nil {
		f.forced = f.spec.Convection(a)
	} else {
		f.forced = ForcedConvection(a.Speed, f.spec.Height, conduct, nu, nu/alpha)
	}
	le := math.Cbrt(alpha / psychro.VapourDiffusivity(c, f.spec.Pressure))
	f.lewis = 1 / (rho * cp * le * le) / (psychro.GasConstantVapour * k)
}

// virtual is the virtual temperature, K, of air at k kelvin with vapour pressure e, and its derivatives by k and e; lightness is
// what vapour lacks in weight beside air, over the air's pressure, 1/Pa.
func virtual(k, e, lightness float64) (v, byK, byE float64) {
	byK = 1 / (1 - lightness*e)
	v = k * byK
	return v, byK, v * byK * lightness
}

// prandtlFactor is the denominator of Churchill and Chu's equation, (1 + (0.492/Pr)^(9/16))^(8/27).
func prandtlFactor(pr float64) float64 {
	return math.Exp(8.0 / 27 * math.Log1p(math.Exp(9.0/16*math.Log(0.492/pr))))
}

// NaturalNusselt is the mean Nusselt number of a vertical plate of uniform temperature in still fluid at
// Rayleigh number ra and Prandtl number pr (Churchill & Chu 1975, Int. J. Heat Mass Transfer 18,
// 1323-1329, eq. 9; all ra up to 1e12).
func NaturalNusselt(ra, pr float64) float64 {
	n := 0.825 + 0.387*sixthRoot(ra)/prandtlFactor(pr)
	return n * n
}

func sixthRoot(x float64) float64 { return math.Cbrt(math.Sqrt(x)) }

// ForcedConvection is the heat transfer coefficient, W/(m2 K), of air moving at speed m/s along length
// m of wall: the mean over a plate whose boundary layer is turbulent from its edge, Nu = 0.037 Re^0.8
// Pr^(1/3) (textbook form, e.g. Incropera, from memory), since the air of rooms and sites is never
// laminar. k is the air's conductivity, nu its kinematic viscosity, pr its Prandtl number.
func ForcedConvection(speed, length, k, nu, pr float64) float64 {
	if speed <= 0 {
		return 0
	}
	return 0.037 * math.Exp(0.8*math.Log(speed*length/nu)) * math.Cbrt(pr) * k / length
}

// stir is a difference of virtual temperature, K, below which natural convection hardly weakens further:
// the air before a wall is never quite at rest (ESTIMATE). The coefficient of a truly still plate has a
// cusp where the difference passes through zero; with it the heat balance of a wet face, cooler than the
// air but under moister, lighter air of its own, could have three solutions, and a wall without heat
// capacity would have to jump from one to another. With this there is one in any air up to 30 C and down
// to 20 % relative humidity.
const stir = 1.0

// coefficient is the convective coefficient at the surface and its derivatives by surface temperature
// and vapour pressure. Natural and forced flow are blended by the third power (Churchill 1977, AIChE J.
// 23, 10-16, from memory); natural flow is driven by virtual temperature, so that the lightness of moist
// air counts.
func (f *Face) coefficient(s *Surface) (h, byT, byP float64) {
	v, vT, vP := virtual(s.Temperature+psychro.ZeroCelsius, s.Pressure, f.lightness)
	d := v - f.virtual
	size := d*d + stir*stir
	rise := f.nusselt * sixthRoot(f.rayleigh*math.Sqrt(size))
	n := 0.825 + rise
	h = n * n * f.perLength
	dh := n * rise * f.perLength * d / (3 * size)
	if f.forced != 0 {
		hn := h
		h = math.Cbrt(hn*hn*hn + f.forced*f.forced*f.forced)
		dh *= hn * hn / (h * h)
	}
	k := f.spec.Transfer
	return k * h, k * dh * vT, k * dh * vP
}

// Between these suctions, in ln(Pa), a face turns from looking wet to looking dry: 0.3 MPa, the air entry of
// the finest film, and 10 MPa (ESTIMATE).
const looksWet, looksDry = 12.6, 16.1

// absorbed is the sun taken up by a face at y, W/m2.
func (f *Face) absorbed(y float64) float64 {
	dry, wet := f.spec.Absorptance, f.spec.WetAbsorptance
	if dry == 0 && wet == 0 {
		return f.now.Sun
	}
	share := min(max((looksDry-y)/(looksDry-looksWet), 0), 1)
	return f.now.Sun * (dry + share*(wet-dry))
}

// Exchange implements Boundary.
func (f *Face) Exchange(s *Surface, x *Exchange) {
	h, byT, byP := f.coefficient(s)
	beta := h * f.lewis
	dp := s.Pressure - f.now.Vapour
	ts, tr, ta := s.Temperature+psychro.ZeroCelsius, f.now.Radiant+psychro.ZeroCelsius, f.now.Temperature
	es := f.spec.Emissivity * stefanBoltzmann
	*x = Exchange{
		Water: beta * dp, WaterPressure: beta + byP*f.lewis*dp, WaterTemp: byT * f.lewis * dp,
		Heat:         h*(ta-s.Temperature) + es*(tr*tr*tr*tr-ts*ts*ts*ts) + f.absorbed(s.Y),
		HeatTemp:     -h + byT*(ta-s.Temperature) - 4*es*ts*ts*ts,
		HeatPressure: byP * (ta - s.Temperature),
		Rain:         f.now.Rain, RainTemp: ta,
	}
}
