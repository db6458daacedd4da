package sky

import "math"

// Incident is the sunshine that falls on a face, W/m2.
type Incident struct {
	Beam        float64 // straight from the sun
	Circumsolar float64 // diffuse from around the sun
	Isotropic   float64 // diffuse from the rest of the sky
	Ground      float64 // off the ground
}

// Total is the sum, E, W/m2.
func (i Incident) Total() float64 { return i.Beam + i.Circumsolar + i.Isotropic + i.Ground }

// Albedo is the usual reflectance of ground, rho_g: grass, soil, paving. Fresh
// snow has 0.6 to 0.9. 0.2 after Liu and Jordan 1963 (from memory).
const Albedo = 0.2

// lowest is the sine of the elevation below which diffuse light round the sun is
// not raised further: cos 85 degrees, the bound of Perez et al. 1990 (from memory).
const lowest = 0.0871557

// Irradiance is the sunshine on the face: beam by the angle of incidence, sky by
// Hay and Davies, ground as a level plane of the albedo, 0 to 1. All three numbers
// of the light must be known and not below 0; beyond is [Position.Extraterrestrial],
// and direct over it is the weight of the light around the sun; with +Inf the sky
// is isotropic.
//
// Source: Hay and Davies 1980, as in Duffie and Beckman (2013), section 2.16; ground:
// Liu and Jordan 1963. One thing differs: with the sun lower than 5 degrees, what
// the limit takes from the light round the sun goes to the rest of the sky, so a
// flat face always gets all of the diffuse light.
func (s Surface) Irradiance(sun Direction, beyond float64, l Light, albedo float64) Incident {
	var in Incident
	around := 0.0 // light round the sun, on a face turned to it
	if sun.Up > 0 {
		cos := math.Max(0, s.CosIncidence(sun))
		in.Beam = l.Direct.V * cos
		around = l.Diffuse.V * math.Min(1, l.Direct.V/beyond) / math.Max(sun.Up, lowest)
		in.Circumsolar = around * cos
	}
	in.Isotropic = (l.Diffuse.V - around*math.Max(0, sun.Up)) * s.SkyView()
	in.Ground = albedo * l.Global.V * s.GroundView()
	return in
}
