package sky

import (
	"math"
	"time"
)

// Position is where the sun is, seen from a [Site].
type Position struct {
	TrueElevation Degrees   // of the sun's centre, without the air's refraction; of the place, not of the Earth's centre
	Elevation     Degrees   // as it is seen, with refraction; the same as TrueElevation where the sun is down
	Azimuth       Degrees   // clockwise from north, 0 to 360
	Toward        Direction // at Elevation
	Declination   Degrees   // delta, seen from the Earth's centre
	HourAngle     Degrees   // omega, -180 to 180, west of the meridian positive
	// EquationOfTime is how far a sundial is ahead of mean time.
	EquationOfTime time.Duration
	Distance       float64 // R, astronomical units
}

// Up reports whether the sun's centre is seen above a level horizon.
func (p Position) Up() bool { return p.Toward.Up > 0 }

// SolarConstant is the irradiance of the sun beyond the air at one astronomical
// unit, W/m2: Kopp and Lean 2011, 1360.8 +- 0.5 (from memory).
const SolarConstant = 1361.0

// Extraterrestrial is the irradiance beyond the air of a face turned to the sun,
// G_on, W/m2: the solar constant over R squared.
func (p Position) Extraterrestrial() float64 { return SolarConstant / (p.Distance * p.Distance) }

const (
	j2000     = 946728000 // 2000-01-01 12:00 UTC, Unix seconds
	deltaT    = 69.       // s, terrestrial time less UTC, which was 64 to 69 from 2000 to 2025 (from memory)
	parallax  = 8.794 / 3600
	lastLight = -0.8333 // degrees: 34' of refraction and 16' of the sun's radius, the usual convention (from memory)
)

// Sun is where the sun is at t. It does not allocate.
//
// Source: Meeus, Astronomical Algorithms, 2nd ed. 1998 (constants from memory):
// longitude and distance eqs 25.2 to 25.9 with the corrections for aberration and
// nutation that follow them, obliquity eq 22.2, sidereal time eq 12.4, equation of
// time eq 28.1, horizontal coordinates eqs 13.5 and 13.6. Accuracy as stated there:
// 0.01 degrees. Refraction: Saemundsson 1986, in Meeus eq 16.4, at the standard
// pressure of the place and 10 C, from -0.8333 degrees up, below which the sun is
// not seen; NREL's SPA has the same rule.
func (s Site) Sun(t time.Time) Position {
	e := ephemerisAt(t)
	hour := half(e.sidereal + s.lon - e.ascension)
	sinH, cosH := math.Sincos(hour * radian)
	up := s.sinLat*e.sinDec + s.cosLat*e.cosDec*cosH
	north := s.cosLat*e.sinDec - s.sinLat*e.cosDec*cosH
	east := -e.cosDec * sinH
	flat := math.Sqrt(east*east + north*north)
	p := Position{
		Azimuth:        Degrees(around(math.Atan2(east, north) / radian)),
		Declination:    degrees(math.Asin(e.sinDec)),
		HourAngle:      Degrees(hour),
		EquationOfTime: time.Duration(e.equation * float64(4*time.Minute)),
		Distance:       e.distance,
	}
	p.TrueElevation = degrees(math.Atan2(up, flat)) - Degrees(parallax/e.distance*flat)
	p.Elevation = p.TrueElevation + s.lift(p.TrueElevation)
	sinE, cosE := math.Sincos(p.Elevation.Radians())
	p.Toward.Up = sinE
	if flat > 0 {
		p.Toward.East, p.Toward.North = cosE*east/flat, cosE*north/flat
	}
	return p
}

// lift is the refraction of the air at a true elevation.
func (s Site) lift(true Degrees) Degrees {
	if true < lastLight {
		return 0
	}
	h := float64(true)
	return Degrees(math.Max(0, s.refraction/60/math.Tan((h+10.3/(h+5.11))*radian)))
}

// ephemeris is the sun seen from the Earth's centre; angles in degrees.
type ephemeris struct {
	sinDec, cosDec float64 // of the declination
	ascension      float64 // right ascension alpha
	sidereal       float64 // apparent, at Greenwich
	equation       float64 // of time, -180 to 180
	distance       float64 // astronomical units
}

func ephemerisAt(t time.Time) ephemeris {
	days := float64(t.Unix()-j2000)/86400 + float64(t.Nanosecond())/86400e9
	T := (days + deltaT/86400) / 36525 // Julian centuries of terrestrial time

	mean := 280.46646 + T*(36000.76983+T*0.0003032)
	anomaly := (357.52911 + T*(35999.05029-T*0.0001537)) * radian
	ecc := 0.016708634 - T*(0.000042037+T*0.0000001267)
	sin1, cos1 := math.Sincos(anomaly)
	sin2, cos2 := 2*sin1*cos1, 1-2*sin1*sin1
	sin3 := sin2*cos1 + cos2*sin1
	centre := (1.914602-T*(0.004817+T*0.000014))*sin1 + (0.019993-T*0.000101)*sin2 + 0.000289*sin3

	sinNode, cosNode := math.Sincos((125.04 - 1934.136*T) * radian)
	nutation := -0.00478 * sinNode // in longitude
	sinLon, cosLon := math.Sincos((mean + centre - 0.00569 + nutation) * radian)
	obliquity := 23.4392911 - T*0.0130042 + 0.00256*cosNode
	sinObl, cosObl := math.Sincos(obliquity * radian)

	var e ephemeris
	// cos(anomaly + centre), the true anomaly, to second order: 1e-5 in the distance.
	c := centre * radian
	e.distance = 1.000001018 * (1 - ecc*ecc) / (1 + ecc*(cos1-c*sin1-c*c/2*cos1))
	e.ascension = math.Atan2(cosObl*sinLon, cosLon) / radian
	e.sinDec = sinObl * sinLon
	e.cosDec = math.Sqrt(1 - e.sinDec*e.sinDec)
	equinoxes := nutation * cosObl
	e.sidereal = 280.46061837 + 360.98564736629*days + 0.000387933*T*T + equinoxes
	e.equation = half(mean - 0.0057183 - e.ascension + equinoxes)
	return e
}

// elevation is that of the sun's centre from the Earth's centre, in degrees: the
// convention of tables of sunrise.
func (s Site) elevation(t time.Time) float64 {
	e := ephemerisAt(t)
	up := s.sinLat*e.sinDec + s.cosLat*e.cosDec*math.Cos((e.sidereal+s.lon-e.ascension)*radian)
	return math.Asin(math.Max(-1, math.Min(1, up))) / radian
}
