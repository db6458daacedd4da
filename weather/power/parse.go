package power

import (
	"fmt"
	"math"
	"slices"
	"time"

	"limeday/weather"
)

// The parameters of an hour, in their order in mean.
const (
	temp = iota
	dew
	humidity
	pressure
	wind
	windFrom
	rain
	global
	direct
	diffuse
	count
)

// outside is what the parameters are called, and in which units they may come.
var outside = [count]struct {
	key   string
	units []unit
	check weather.Quantity
}{
	temp:     {"T2M", celsius, weather.Temperature},
	dew:      {"T2MDEW", celsius, weather.DewPoint},
	humidity: {"RH2M", percent, weather.RelativeHumidity},
	pressure: {"PS", pressures, weather.Pressure},
	wind:     {"WS10M", speeds, weather.Wind},
	windFrom: {"WD10M", degrees, weather.WindFrom},
	rain:     {"PRECTOTCORR", rains, weather.Rain},
	global:   {"ALLSKY_SFC_SW_DWN", radiation, weather.Radiation},
	direct:   {"ALLSKY_SFC_SW_DNI", radiation, weather.Radiation},
	diffuse:  {"ALLSKY_SFC_SW_DIFF", radiation, weather.Radiation},
}

// mean is the means of one hour; NaN is missing.
type mean struct {
	hour int64
	v    [count]float64
}

// hours is what all answers say.
type hours struct {
	means   []mean // in order of time
	grid    *weather.Place
	stated  bool // that the hours are in UTC
	dropped weather.Dropped
}

// Parse reads the answers to the requests of [Settings.URLs], in any order, as one
// series; fetched is when they were had. See the package for what its times and
// tags mean. Its errors are a [*weather.DataError].
func Parse(bodies [][]byte, fetched time.Time) (weather.Series, error) {
	h := hours{stated: true}
	for _, body := range bodies {
		if err := h.add(body); err != nil {
			return weather.Series{}, err
		}
	}
	slices.SortStableFunc(h.means, func(a, b mean) int { return int(a.hour - b.hour) })
	for i := 1; i < len(h.means); i++ {
		if h.means[i].hour == h.means[i-1].hour {
			return weather.Series{}, &weather.DataError{Source: service, Message: "two answers hold the hour " + stamp(h.means[i].hour), Want: "each hour once"}
		}
	}
	s := weather.Series{Source: service, Credit: Credit, Fetched: fetched, Grid: h.grid, Records: h.records()}
	if !slices.ContainsFunc(s.Records, func(r weather.Record) bool { return r.Temperature.Known() && r.Vapour.Known() }) {
		return weather.Series{}, &weather.DataError{Source: service, Message: "no hour holds temperature and humidity", Want: "days for which the service has values"}
	}
	s.Notes = append(s.Notes, "reanalysis on a coarse grid; temperature, humidity, pressure and wind are between hourly means")
	if !h.stated {
		s.Notes = append(s.Notes, "the answer does not say its time standard; UTC was asked for")
	}
	s.Notes = append(s.Notes, h.dropped.Notes()...)
	return s, nil
}

// add reads one answer.
func (h *hours) add(body []byte) error {
	a, err := decode(body)
	if err != nil {
		return err
	}
	if a.Header.Standard == "" {
		h.stated = false
	}
	if err := h.place(a); err != nil {
		return err
	}
	// The span of hours first: the keys come in no order.
	first, last := int64(math.MaxInt64), int64(math.MinInt64)
	for i := range outside {
		if c := a.Properties.Parameter[outside[i].key]; c != nil {
			for _, x := range c.cells {
				first, last = min(first, x.hour), max(last, x.hour)
			}
		}
	}
	const most = 5 * 366 * 24
	switch {
	case first > last:
		return nil // all missing; another year may not be
	case last-first > most:
		return &weather.DataError{Source: service, Message: fmt.Sprintf("the hours run from %s to %s", stamp(first), stamp(last)), Want: "a year at a time"}
	}
	base := len(h.means)
	h.means = slices.Grow(h.means, int(last-first)+1)
	for hour := first; hour <= last; hour++ {
		m := mean{hour: hour}
		for i := range m.v {
			m.v[i] = math.NaN()
		}
		h.means = append(h.means, m)
	}
	fill := -999.0
	if a.Header.Fill.Known {
		fill = a.Header.Fill.V
	}
	for i, o := range outside {
		c := a.Properties.Parameter[o.key]
		if c == nil {
			if i == temp {
				return &weather.DataError{Source: service, Key: o.key, Message: "is not in the answer", Want: "the parameters asked for"}
			}
			continue
		}
		stated := a.Parameters[o.key].Units
		scale, ok := scaleOf(stated, o.units)
		if !ok {
			return &weather.DataError{Source: service, Key: o.key, Message: "the unit is not one that is known", Text: stated, Want: o.units[0].of[0]}
		}
		for _, x := range c.cells {
			if x.v == fill {
				continue
			}
			v := x.v * scale
			if err := o.check.Check(v); err != nil {
				return &weather.DataError{Source: service, Key: o.key + " at " + stamp(x.hour), Message: err.Error(), Text: quoteFloat(x.v) + " " + stated,
					Want: "a value that weather has"}
			}
			m := &h.means[base+int(x.hour-first)].v[i]
			if !math.IsNaN(*m) && *m != v {
				return &weather.DataError{Source: service, Key: o.key, Message: "has two values at " + stamp(x.hour), Want: "one"}
			}
			*m = v
		}
	}
	return nil
}

// place reads the point of the grid, which must be one for all answers.
func (h *hours) place(a answer) error {
	c := a.Geometry.Coordinates
	if len(c) < 3 || !c[0].Known || !c[1].Known || !c[2].Known {
		return nil // the series then has no grid point
	}
	p := weather.Place{Name: service + " grid point", Lon: c[0].V, Lat: c[1].V, Altitude: c[2].V}
	if h.grid != nil && *h.grid != p {
		return &weather.DataError{Source: service, Key: "geometry.coordinates", Message: "the answers are for different places", Want: "one place"}
	}
	h.grid = &p
	return nil
}
