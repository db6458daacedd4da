package drying

import (
	"math"
	"time"

	"limeday/drying/wall"
	"limeday/weather"
)

// complete keeps the readings that have temperature and humidity.
func complete(s weather.Series) weather.Series {
	return filter(s, func(r weather.Record) bool { return r.Temperature.Known() && r.Vapour.Known() })
}

// between keeps the readings from one moment to another.
func between(s weather.Series, from, to time.Time) weather.Series {
	return filter(s, func(r weather.Record) bool { return !r.Time.Before(from) && !r.Time.After(to) })
}

func filter(s weather.Series, keep func(weather.Record) bool) weather.Series {
	var kept []weather.Record
	for _, r := range s.Records {
		if keep(r) {
			kept = append(kept, r)
		}
	}
	s.Records = kept
	return s
}

// How far from what was given the air of an ensemble may lie, which is far less than it is known to: 0.1 K, one part in a hundred of the
// vapour, 0.02 m/s, 3 W/m2. Rain is kept as it is.
const (
	thinKelvin = 0.1
	thinVapour = 0.01
	thinSpeed  = 0.02
	thinSun    = 3.0
	thinMost   = 24 // records in a row that are left out
)

// thinned leaves records out that lie on a straight line between others: a step of the solver ends on each that stays.
func thinned(air []wall.Air) []wall.Air {
	if len(air) < 3 {
		return air
	}
	out := air[:1:1]
	for i := 0; i < len(air)-1; {
		j := i + 1
		for j+1 < len(air) && j-i < thinMost && straightAir(air[i:j+2]) {
			j++
		}
		out = append(out, air[j])
		i = j
	}
	return out
}

// straightAir tells whether the records between the first and the last lie on the line between those.
func straightAir(air []wall.Air) bool {
	a, b := air[0], air[len(air)-1]
	for _, m := range air[1 : len(air)-1] {
		x := (m.Time - a.Time) / (b.Time - a.Time)
		off := func(p, q, r, by float64) bool { return math.Abs(p+x*(q-p)-r) > by }
		if m.Rain != 0 || a.Rain != 0 || b.Rain != 0 ||
			off(a.Temperature, b.Temperature, m.Temperature, thinKelvin) || off(a.Radiant, b.Radiant, m.Radiant, thinKelvin) ||
			off(a.Vapour, b.Vapour, m.Vapour, thinVapour*m.Vapour) || off(a.Speed, b.Speed, m.Speed, thinSpeed) || off(a.Sun, b.Sun, m.Sun, thinSun) {
			return false
		}
	}
	return true
}
