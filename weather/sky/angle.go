package sky

import "math"

// Degrees is a plane angle.
type Degrees float64

const radian = math.Pi / 180 // one degree

// Radians is the angle in radians.
func (d Degrees) Radians() float64 { return float64(d) * radian }

func degrees(rad float64) Degrees { return Degrees(rad / radian) }

// around brings an angle into [0, 360).
func around(d float64) float64 {
	d -= 360 * math.Floor(d/360)
	if d < 0 || d >= 360 { // a tiny negative angle rounds up to 360
		return 0
	}
	return d
}

// half brings an angle into [-180, 180).
func half(d float64) float64 { return around(d+180) - 180 }

// Direction is a vector of length 1 from the place, for example to the sun.
type Direction struct{ East, North, Up float64 }

// Toward is the direction of an elevation above the horizon and an azimuth
// clockwise from north.
func Toward(elevation, azimuth Degrees) Direction {
	sinE, cosE := math.Sincos(elevation.Radians())
	sinA, cosA := math.Sincos(azimuth.Radians())
	return Direction{East: cosE * sinA, North: cosE * cosA, Up: sinE}
}

// Surface is a plane face. The zero Surface faces nowhere: use [NewSurface].
type Surface struct {
	normal Direction
}

// NewSurface returns the face that looks to a bearing, 0 to 360 degrees clockwise
// from north, and is tilted by 0 (flat, looking up) to 90 (a wall) to 180 (a
// soffit, looking down). Outside these the error is a [*RangeError].
func NewSurface(bearing, tilt Degrees) (Surface, error) {
	if err := within("bearing", "degrees", float64(bearing), 0, 360); err != nil {
		return Surface{}, err
	}
	if err := within("tilt", "degrees", float64(tilt), 0, 180); err != nil {
		return Surface{}, err
	}
	return Surface{normal: Toward(90-tilt, bearing)}, nil
}

// NewWall returns the upright face that looks to a bearing, as [NewSurface].
func NewWall(bearing Degrees) (Surface, error) {
	s, err := NewSurface(bearing, 90)
	s.normal.Up = 0 // exactly
	return s, err
}

// CosIncidence is the cosine of the angle theta between the face's normal and a
// direction; negative where that is behind the face.
//
// Source: the scalar product; the same as Duffie and Beckman (2013), eq 1.6.3.
func (s Surface) CosIncidence(d Direction) float64 {
	c := s.normal.East*d.East + s.normal.North*d.North + s.normal.Up*d.Up
	return math.Max(-1, math.Min(1, c))
}

// Incidence is the angle theta, 0 to 180 degrees.
func (s Surface) Incidence(d Direction) Degrees {
	// The arc cosine loses half its digits near 0 and 180; the length of the cross product does not.
	n := s.normal
	x := n.North*d.Up - n.Up*d.North
	y := n.Up*d.East - n.East*d.Up
	z := n.East*d.North - n.North*d.East
	return degrees(math.Atan2(math.Sqrt(x*x+y*y+z*z), n.East*d.East+n.North*d.North+n.Up*d.Up))
}

// SkyView is the share of a face's view that an open sky fills, (1 + cos tilt)/2.
//
// Source: Liu and Jordan 1963; Duffie and Beckman (2013), section 2.15.
func (s Surface) SkyView() float64 { return (1 + s.normal.Up) / 2 }

// GroundView is the share that level ground fills, 1 - [Surface.SkyView].
func (s Surface) GroundView() float64 { return (1 - s.normal.Up) / 2 }
