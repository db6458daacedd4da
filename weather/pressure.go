package weather

import (
	"fmt"
	"math"

	"limeday/psychro"
)

// FillPressure returns the series with the pressure of the standard atmosphere at
// the altitude, in m on a map, wherever the pressure is missing, tagged
// estimated, and a note that says so; real weather is within some 3 % of it. The
// records of s are not changed. Outside -5000 to 11000 m nothing is filled.
//
// Source: [psychro.StandardPressure] (ISO 2533:1975).
func (s Series) FillPressure(altitude float64) Series {
	p := float64(psychro.StandardPressure(psychro.GeopotentialAltitude(psychro.Metre(altitude))))
	if math.IsNaN(p) {
		return s
	}
	records := make([]Record, len(s.Records))
	filled := 0
	for i, r := range s.Records {
		if !r.Pressure.Known() {
			r.Pressure = Value{V: p, Tag: Estimated}
			filled++
		}
		records[i] = r
	}
	if filled > 0 {
		s.Records = records
		s.Notes = append(s.Notes[:len(s.Notes):len(s.Notes)],
			fmt.Sprintf("pressure estimated from the altitude, %.0f m: %.0f hPa (ISO 2533)", altitude, p/100))
	}
	return s
}

// PressureFromSea returns the pressure at an altitude, in m on a map, from that reduced to sea level, Pa, and
// the temperature at the place, C; tagged estimated, and missing where either is.
//
// Source: [psychro.StationPressure].
func PressureFromSea(seaLevel, t Value, altitude float64) Value {
	if !seaLevel.Known() || !t.Known() {
		return Value{}
	}
	h := psychro.GeopotentialAltitude(psychro.Metre(altitude))
	p := float64(psychro.StationPressure(psychro.Pascal(seaLevel.V), h, psychro.Celsius(t.V)))
	if Pressure.Check(p) != nil {
		return Value{}
	}
	return Value{V: p, Tag: Estimated}
}
