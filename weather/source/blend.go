package source

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"limeday/psychro"
	"limeday/weather"
)

// fades is the time in which a reading's say over the forecast falls to 1/e (ESTIMATE: a few hours).
const fades = 6 * time.Hour

// soon is how long before a forecast's first hour a reading may lie to be held against that hour.
const soon = time.Hour

// Blend shifts a forecast by what readings on site differ from it, each most at its moment and fading over the hours before and after;
// between two readings what both say runs over evenly. Temperature and vapour pressure are shifted; the air never holds more than
// saturation. The readings themselves stand where they were taken, and so does the straight line between two of them no farther apart than
// [weather.MaxFill]; wind, sky and rain stay those of the forecast. Readings outside the forecast are joined to it and shift nothing.
func Blend(forecast, readings weather.Series) weather.Series {
	told, read := complete(forecast.Records), complete(readings.Records)
	read = slices.DeleteFunc(read, func(r weather.Record) bool { _, within := between(told, r.Time); return !within })
	out := forecast
	out.Records = nil
	for _, r := range forecast.Records {
		i := after(read, r.Time)
		before, later := i > 0, i < len(read)
		switch {
		case before && later && read[i].Time.Sub(read[i-1].Time) <= weather.MaxFill:
			line := mix(read[i-1], read[i], r.Time)
			r.Temperature, r.Vapour, r.TempLow, r.TempHigh = line.Temperature, line.Vapour, weather.Value{}, weather.Value{}
		case r.Temperature.Known() && r.Vapour.Known():
			x := 0.0
			if before && later {
				x = float64(r.Time.Sub(read[i-1].Time)) / float64(read[i].Time.Sub(read[i-1].Time))
			}
			var dt, de float64
			if before {
				t, e := differs(read[i-1], told, r.Time)
				dt, de = (1-x)*t, (1-x)*e
			}
			if later {
				if !before {
					x = 1
				}
				t, e := differs(read[i], told, r.Time)
				dt, de = dt+x*t, de+x*e
			}
			r.Temperature.V += dt
			top := float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V)))
			r.Vapour.V = min(max(r.Vapour.V+de, 0.01*top), top)
		}
		out.Records = append(out.Records, r)
	}
	notes := append([]string(nil), forecast.Notes...)
	if n := len(read); n > 0 {
		last := read[n-1]
		at, _ := between(told, last.Time)
		notes = append(notes, fmt.Sprintf("The reading of %s shifts the forecast by %+.1f K and %+.0f Pa of vapour, fading over some %.0f hours.",
			last.Time.Format("15:04 MST"), last.Temperature.V-at.Temperature.V, last.Vapour.V-at.Vapour.V, fades.Hours()))
	}
	merged := weather.Merge(out, readings.Over(out))
	merged.Source, merged.Credit, merged.Issued, merged.Fetched, merged.Grid, merged.Off, merged.Notes = out.Source, out.Credit, out.Issued, out.Fetched, out.Grid, out.Off, notes
	return merged
}

// differs is what is left at t of that by which a reading differs from the forecast, K and Pa.
func differs(read weather.Record, told []weather.Record, t time.Time) (dt, de float64) {
	at, _ := between(told, read.Time)
	left := math.Exp(-math.Abs(t.Sub(read.Time).Hours()) / fades.Hours())
	return left * (read.Temperature.V - at.Temperature.V), left * (read.Vapour.V - at.Vapour.V)
}

// complete are the records with temperature and vapour pressure.
func complete(records []weather.Record) []weather.Record {
	var out []weather.Record
	for _, r := range records {
		if r.Temperature.Known() && r.Vapour.Known() {
			out = append(out, r)
		}
	}
	return out
}

// after is the index of the first record after t.
func after(records []weather.Record, t time.Time) int {
	return sort.Search(len(records), func(i int) bool { return records[i].Time.After(t) })
}

// between is the forecast at t, by a straight line of temperature and vapour pressure; false where it does not reach that far.
func between(told []weather.Record, t time.Time) (weather.Record, bool) {
	i := after(told, t)
	switch {
	case len(told) == 0:
		return weather.Record{}, false
	case i == 0:
		return told[0], told[0].Time.Sub(t) <= soon
	case i == len(told):
		return told[i-1], told[i-1].Time.Equal(t)
	}
	return mix(told[i-1], told[i], t), true
}

// mix is temperature and vapour pressure at t on the straight line from a to b.
func mix(a, b weather.Record, t time.Time) weather.Record {
	x := float64(t.Sub(a.Time)) / float64(b.Time.Sub(a.Time))
	line := func(a, b weather.Value) weather.Value {
		return weather.Value{V: a.V + x*(b.V-a.V), Tag: weather.Interpolated}
	}
	return weather.Record{Time: t, Temperature: line(a.Temperature, b.Temperature), Vapour: line(a.Vapour, b.Vapour)}
}
