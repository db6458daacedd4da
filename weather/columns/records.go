package columns

import (
	"fmt"
	"slices"
	"time"

	"limeday/weather"
)

// records puts the rows in order, gives pressure its unit and sums their hour.
func (d *reader) records() ([]weather.Record, error) {
	slices.SortStableFunc(d.pending, func(a, b pending) int { return a.Time.Compare(b.Time) })
	out := make([]weather.Record, 0, len(d.pending))
	u, err := d.pressureUnit()
	if err != nil {
		return nil, err
	}
	_, atPlace := d.at[StationPressure]
	for i := range d.pending {
		p := &d.pending[i]
		d.line = p.line
		if p.has {
			v := p.p*u.scale + u.shift
			value := weather.Value{V: v, Tag: weather.Measured}
			if err := weather.Pressure.Check(v); err != nil {
				if err := d.refuse(StationPressure, "", err); err != nil {
					return nil, err
				}
				value = weather.Value{}
			}
			switch {
			case atPlace:
				p.Pressure = value
			case d.o.Altitude != nil:
				p.Pressure = weather.PressureFromSea(value, p.Temperature, *d.o.Altitude)
			}
		}
		if i > 0 && p.Time.Equal(d.pending[i-1].Time) {
			if p.Record == out[len(out)-1] {
				continue
			}
			return nil, d.fault("the time", fmt.Sprintf("is that of line %d, with other values", d.pending[i-1].line), p.Time.Format(time.RFC3339), "each hour once")
		}
		out = append(out, p.Record)
	}
	if _, sea := d.at[SeaPressure]; sea && !atPlace && d.o.Altitude == nil {
		d.notes = append(d.notes, "pressure left out: it is reduced to sea level, and the altitude of the place is not given")
	}
	if d.o.SumsAfter {
		for i := range out {
			if r := &out[i]; r.Rain.Known() || r.Global.Known() || r.Direct.Known() || r.Diffuse.Known() {
				r.Span = time.Hour
			}
		}
		return out, nil
	}
	return weather.SumsBefore(out, time.Hour, false), nil
}

// pressureUnit is the unit stated, or told by the size of the middle value: the
// ranges of the units do not overlap.
func (d *reader) pressureUnit() (unit, error) {
	c := StationPressure
	if _, ok := d.at[c]; !ok {
		c = SeaPressure
	}
	if u := d.units[c]; u.scale != 0 {
		return u, nil
	}
	var v []float64
	for _, p := range d.pending {
		if p.has {
			v = append(v, p.p)
		}
	}
	if len(v) == 0 {
		return pascal, nil
	}
	slices.Sort(v)
	middle := v[len(v)/2]
	for _, u := range []unit{inHg, kilo, hecto, pascal} {
		if p := middle * u.scale; p >= 50e3 && p <= 110e3 {
			d.notes = append(d.notes, "pressure taken as "+u.name+", by its size")
			return u, nil
		}
	}
	d.line = 1
	return unit{}, d.fault("the header", fmt.Sprintf("states no unit for the pressure, and %g is in none", middle), d.header[d.at[c]], "Pa, hPa, kPa or inHg in the name")
}
