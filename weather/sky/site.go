package sky

import (
	"math"

	"limeday/psychro"
	"limeday/weather"
)

// Site is a place as the sun sees it. The zero Site is not valid: use [NewSite].
type Site struct {
	sinLat, cosLat float64
	lon            float64        // degrees east
	pressure       psychro.Pascal // of the standard atmosphere there
	refraction     float64        // arc minutes per unit of the formula
}

// NewSite returns the site of a place. An altitude that is not a number is taken
// as the sea's. Outside -90 to 90 degrees of latitude, -180 to 180 of longitude
// and -500 to 9000 m the error is a [*RangeError].
func NewSite(p weather.Place) (Site, error) {
	if err := within("latitude", "degrees", p.Lat, -90, 90); err != nil {
		return Site{}, err
	}
	if err := within("longitude", "degrees", p.Lon, -180, 180); err != nil {
		return Site{}, err
	}
	z := p.Altitude
	if math.IsNaN(z) {
		z = 0
	}
	if err := within("altitude", "m", z, -500, 9000); err != nil {
		return Site{}, err
	}
	s := Site{lon: p.Lon}
	s.sinLat, s.cosLat = math.Sincos(p.Lat * radian)
	s.pressure = psychro.StandardPressure(psychro.GeopotentialAltitude(psychro.Metre(z)))
	s.refraction = 1.02 * float64(s.pressure) / 101000
	return s, nil
}
