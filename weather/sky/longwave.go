package sky

import (
	"math"

	"limeday/psychro"
)

// StefanBoltzmann is sigma, W/(m2 K4): CODATA 2018.
const StefanBoltzmann = 5.670374419e-8

// ClearEmissivity is the emissivity of a cloudless sky, epsilon_0, from the dew
// point at the ground, C, -40 to 40; against the air's temperature, for a face that looks
// straight up.
//
// Source: the form of Berdahl and Martin 1984 with the coefficients calibrated in
// 2017 on pyrgeometers of seven American stations (Li, Jiang and Coimbra, as far as
// retrieved texts agree), which EnergyPlus uses: 0.758 + 0.521 x + 0.625 x^2, x =
// dew point / 100 C. The first set, 0.711 + 0.56 x + 0.73 x^2, is 0.038 lower at a dew
// point of 16.7 C and 0.048 at -2 C, which makes a sky 3 to 4 K colder. The new one
// is taken because two other forms calibrated alike (Brunt's and Idso's,
// testdata/checks SKY-002 to SKY-008) come within 0.013 of it and lie 0.037 or more above the old. Below
// -42 C of dew point the parabola would rise again and is held.
func ClearEmissivity(dew psychro.Celsius) float64 {
	x := math.Max(float64(dew)/100, -0.521/(2*0.625))
	return math.Min(1, 0.758+x*(0.521+x*0.625))
}

// CloudFactor is by how much cloud that covers a share of the sky, 0 to 1, raises
// its emissivity: 1 to 1.154.
//
// Source: Walton 1983, as the EnergyPlus Engineering Reference prints it: 1 + 0.0224 N -
// 0.0035 N^2 + 0.00028 N^3, N in tenths of opaque cover.
func CloudFactor(cover float64) float64 {
	n := 10 * cover
	return 1 + n*(0.0224+n*(-0.0035+n*0.00028))
}

// Emissivity is that of the sky, [ClearEmissivity] by [CloudFactor], at most 1.
//
// Under low cloud in cold dry air it is too low, by up to 0.15: a sky that is too
// cold, which errs towards frost. [CloudBlend] errs the other way under thin cloud.
func Emissivity(dew psychro.Celsius, cover float64) float64 {
	return math.Min(1, ClearEmissivity(dew)*CloudFactor(cover))
}

// CloudBlend is the emissivity of a sky of which a share, 0 to 1, is cloud that
// radiates as a black body at the air's temperature: low cloud.
//
// Source: Crawford and Duchon 1999.
func CloudBlend(clear, cover float64) float64 { return cover + (1-cover)*clear }

// Temperature is that of a black sky which radiates as one of the emissivity does
// over air of temperature t, C; never above t, for emissivities from 0 to 1.
func Temperature(t psychro.Celsius, emissivity float64) psychro.Celsius {
	return min(t, psychro.Kelvin(float64(t.Kelvin())*math.Sqrt(math.Sqrt(emissivity))).Celsius())
}

// View is what a face looks at: shares that sum to 1.
type View struct {
	Sky         float64 // cold
	Air         float64 // the sky near the horizon, as warm as the air
	Ground      float64
	Obstruction float64 // other buildings, trees, a scaffold's sheeting
}

// View is what the face looks at when a share of its sky, 0 to 1, is hidden. Low in
// the sky the path through the air is long and the sky warm: of the sky that a
// face sees, a share of sqrt((1 + cos tilt)/2) counts as sky and the rest as air.
//
// Source: Walton 1983, in the EnergyPlus Engineering Reference, external long-wave
// radiation (from memory).
func (s Surface) View(hidden float64) View {
	sky := s.SkyView()
	open := sky * (1 - hidden)
	cold := open * math.Sqrt(sky)
	return View{Sky: cold, Air: open - cold, Ground: s.GroundView(), Obstruction: sky * hidden}
}

// Longwave is the long wave that falls on the face, W/m2: from a sky of the
// emissivity over air of temperature air, and from ground and obstruction as black
// bodies of theirs, C.
func (v View) Longwave(emissivity float64, air, ground, obstruction psychro.Celsius) float64 {
	black := func(t psychro.Celsius) float64 {
		T := float64(t.Kelvin())
		return StefanBoltzmann * T * T * T * T
	}
	return (v.Sky*emissivity+v.Air)*black(air) + v.Ground*black(ground) + v.Obstruction*black(obstruction)
}
