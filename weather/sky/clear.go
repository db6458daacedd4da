package sky

import (
	"math"

	"limeday/psychro"
)

// Haze is the optical depth of aerosol at 700 nm of country air, which
// [ClearSky] takes where the caller knows no better: 0.1 (ESTIMATE; 0.05 is very
// clear, 0.3 hazy).
const Haze = 0.1

// PrecipitableWater is the depth of water in the column of air, w, m, from the
// temperature, C, and vapour pressure, Pa, at the ground: within some 20 % of
// soundings.
//
// Source: Gueymard 1994, from memory.
func PrecipitableWater(t psychro.Celsius, e psychro.Pascal) float64 {
	T := float64(t.Kelvin())
	x := T / 273.15
	height := 0.4976 + 1.5265*x + math.Exp(13.6897*x-14.9188*x*x*x) // km
	vapour := float64(e) / (psychro.GasConstantVapour * T)          // kg/m3
	return height * vapour                                          // kg/m3 km = 1000 kg/m2 = 1 m of water
}

// Clear is cloudless sunshine, W/m2.
type Clear struct {
	Global  float64 // on the flat
	Direct  float64 // on a face turned to the sun
	Diffuse float64 // on the flat
}

// ClearSky is the sunshine of a cloudless sky, from the sine of the sun's
// elevation as seen, the irradiance beyond the air, W/m2, the pressure, Pa, the
// precipitable water, m, and the haze, 0 to 0.45. Water is held to 2 to 100 mm
// and haze to its range, those of the fit. With the sun down there is none.
//
// The three are separate fits and do not close: with the sun at 10 degrees global
// is 6 to 10 % below what the other two make, and so below Haurwitz 1945 too; from
// 40 degrees up 1 to 2 %. [Clear.Clouded] closes them by direct and diffuse.
//
// Source: Ineichen 2008, "A broadband simplified version of the Solis clear sky
// model", Solar Energy 82. The coefficients are from memory; testdata/checks
// SUN-056 holds those that count at 1 cm and 101325 Pa to 1e-7. The terms in the
// logarithms of water and pressure are not held by any row.
func ClearSky(up, beyond float64, p psychro.Pascal, water, haze float64) Clear {
	if up <= 0 {
		return Clear{}
	}
	w := 100 * math.Max(0.002, math.Min(0.1, water)) // cm
	a := math.Max(0, math.Min(0.45, haze))
	lw, lp := math.Log(w), math.Log(float64(p)/101325)

	beyond *= 1.08*math.Exp(0.0051*lw) + 0.97*math.Exp(0.032*lw)*a + 0.12*math.Exp(0.56*lw)*a*a + 0.071*lp

	tauB := (1.82+0.056*lw+0.0071*lw*lw)*a + 0.33 + 0.045*lw + 0.0096*lw*lw + (0.0089*w+0.13)*lp
	b := (0.00925*a*a+0.0148*a-0.0172)*lw - 0.7565*a*a + 0.5057*a + 0.4557
	tauG := (1.24+0.047*lw+0.0061*lw*lw)*a + 0.27 + 0.043*lw + 0.0090*lw*lw + (0.0079*w+0.1)*lp
	g := -0.0147*lw - 0.3079*a*a + 0.2846*a + 0.3798
	var tauD float64
	if a < 0.05 {
		tauD = (86*w-13800)*a*a*a*a + (-3.11*w+79.4)*a*a*a + (-0.23*w+74.8)*a*a + (0.092*w-8.86)*a + 0.0042*w + 3.12 -
			0.83*math.Pow(1+a, -17.2)*lp
	} else {
		tauD = (-0.21*w+11.6)*a*a*a*a + (0.27*w-20.7)*a*a*a + (-0.134*w+15.5)*a*a + (0.0554*w-5.71)*a + 0.0057*w + 2.94 -
			0.71*math.Pow(1+a, -15)*lp
	}
	d := -0.337*a*a + 0.63*a + 0.116 + lp/(18+152*a)

	ls := math.Log(up)
	return Clear{
		Direct:  beyond * math.Exp(-tauB*math.Exp(-b*ls)),
		Global:  beyond * math.Exp(-tauG*math.Exp(-g*ls)) * up,
		Diffuse: beyond * math.Exp(-tauD*math.Exp(-d*ls)),
	}
}

// Clouded is the sunshine under cloud that covers a share of the sky, 0 to 1: an
// hour's likely mean, which single hours miss by half and more in broken cloud. The
// sine of the sun's elevation is that of c. Global is direct and diffuse together,
// also with no cloud.
//
// Source: Kasten and Czeplak 1980 (Hamburg, ten years of hours; from memory): global
// falls by 1 - 0.75 N^3.4, and of it a share of 0.3 + 0.7 N^2 is diffuse. Their
// cloudless sky is replaced by c, so the beam falls by what theirs does against
// their own, (1 - N^2)(1 - 0.75 N^3.4).
func (c Clear) Clouded(up, cover float64) Clear {
	if up <= 0 {
		return Clear{}
	}
	fall := 1 - 0.75*math.Pow(cover, 3.4)
	out := Clear{Global: (c.Direct*up + c.Diffuse) * fall, Direct: c.Direct * fall * (1 - cover*cover)}
	out.Diffuse = out.Global - out.Direct*up
	return out
}

// DiffuseShare is the diffuse share of global radiation in an hour, k_d, from the
// clearness k_t: global over what a flat face beyond the air would get.
//
// Source: Erbs, Klein and Duffie 1982, as in Duffie and Beckman (2013), eq 2.10.1
// (from memory).
func DiffuseShare(kt float64) float64 {
	switch {
	case kt <= 0.22:
		return 1 - 0.09*kt
	case kt <= 0.80:
		return 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
	}
	return 0.165
}
