package weather

import (
	"fmt"
	"math"
)

// earthRadius is the mean radius, m: IUGG (from memory).
const earthRadius = 6371008.8

// The distances from which a grid point is far from the place: its weather may
// be another one; and that from which it hardly is the place's. Common practice, no source.
const (
	FarAway    = 25e3  // m
	FarUp      = 150.0 // m
	HardlyHere = 100e3 // m
)

// From is how far q lies from p. An altitude that is NaN is not known.
func (p Place) From(q Place) Offset { return Offset{Away: p.Distance(q), Up: p.Altitude - q.Altitude} }

// Distance is the length of the great circle from p to q, in m, on a sphere of
// the Earth's mean radius (within 0.6 % of the ellipsoid; from memory).
//
// Source: the haversine formula.
func (p Place) Distance(q Place) float64 {
	rad := func(d float64) float64 { return d * math.Pi / 180 }
	dlat, dlon := rad(q.Lat-p.Lat), rad(q.Lon-p.Lon)
	h := math.Pow(math.Sin(dlat/2), 2) + math.Cos(rad(p.Lat))*math.Cos(rad(q.Lat))*math.Pow(math.Sin(dlon/2), 2)
	return 2 * earthRadius * math.Asin(math.Sqrt(math.Min(1, h)))
}

// GridNote says in a sentence how far the point a series is for lies from the
// place asked for, and whether that is far: over [FarAway] or [FarUp]. An altitude
// that is NaN is not known, and not compared.
func GridNote(asked, grid Place) (note string, far bool) {
	off := grid.From(asked)
	away, up, far := off.Away, off.Up, off.Far()
	note = fmt.Sprintf("the grid point is %.0f km away", away/1000)
	switch {
	case math.IsNaN(up):
		note += ", at an altitude that is not known"
	case math.Round(up) == 0:
		note += fmt.Sprintf(" at %.0f m, as the place", grid.Altitude)
	case up > 0:
		note += fmt.Sprintf(" at %.0f m, %.0f m above the place", grid.Altitude, up)
	default:
		note += fmt.Sprintf(" at %.0f m, %.0f m below the place", grid.Altitude, -up)
	}
	if far {
		note += ": far; its weather may not be that of the place"
	}
	return note, far
}
