package power

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"limeday/weather"
	"limeday/weather/fetch"
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

// outside is what the parameters are called, and how their units are read.
var outside = [count]struct {
	key string
	si  convert
}{
	temp:     {"T2M", fetch.Temperature.SI},
	dew:      {"T2MDEW", fetch.Temperature.SI},
	humidity: {"RH2M", fetch.Humidity.SI},
	pressure: {"PS", fetch.Pressure.SI},
	wind:     {"WS10M", fetch.Speed.SI},
	windFrom: {"WD10M", lower(fetch.Direction)},
	rain:     {"PRECTOTCORR", rate},
	global:   {"ALLSKY_SFC_SW_DWN", radiation},
	direct:   {"ALLSKY_SFC_SW_DNI", radiation},
	diffuse:  {"ALLSKY_SFC_SW_DIFF", radiation},
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

// Parse reads the answers to the requests of [Service.History], in any order, as one
// series. See the package for what its times and
// tags mean. Its errors are a [*fetch.DecodeError].
func Parse(bodies [][]byte) (weather.Series, error) {
	h := hours{stated: true}
	for _, body := range bodies {
		if err := h.add(body); err != nil {
			return weather.Series{}, err
		}
	}
	return h.series()
}

// series is all answers as one.
func (h *hours) series() (weather.Series, error) {
	slices.SortStableFunc(h.means, func(a, b mean) int { return int(a.hour - b.hour) })
	for i := 1; i < len(h.means); i++ {
		if h.means[i].hour == h.means[i-1].hour {
			return weather.Series{}, &fetch.DecodeError{Service: Name, Where: stamp(h.means[i].hour), What: "two answers hold this hour"}
		}
	}
	s := weather.Series{Source: Name, Credit: Credit, Grid: h.grid, Records: h.records()}
	if !slices.ContainsFunc(s.Records, func(r weather.Record) bool { return r.Temperature.Known() && r.Vapour.Known() }) {
		return weather.Series{}, &fetch.DecodeError{Service: Name, What: "no hour holds temperature and humidity; the service may have none for these days"}
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
		return &fetch.DecodeError{What: fmt.Sprintf("its hours run from %s to %s, expected a year", stamp(first), stamp(last))}
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
	if a.Header.Fill.OK {
		fill = a.Header.Fill.V
	}
	for i, o := range outside {
		c := a.Properties.Parameter[o.key]
		if c == nil {
			if i == temp {
				return &fetch.DecodeError{Where: o.key, What: "it is missing"}
			}
			continue
		}
		stated := a.Parameters[o.key].Units
		for _, x := range c.cells {
			if x.v == fill {
				continue
			}
			n, err := o.si(fetch.Number{V: x.v, OK: true}, stated, o.key)
			if err != nil {
				var at *fetch.DecodeError
				if errors.As(err, &at) {
					at.Where += " at " + stamp(x.hour)
				}
				return err
			}
			v := n.V
			m := &h.means[base+int(x.hour-first)].v[i]
			if !math.IsNaN(*m) && *m != v {
				return &fetch.DecodeError{Where: o.key + " at " + stamp(x.hour), What: "there are two values"}
			}
			*m = v
		}
	}
	return nil
}

// place reads the point of the grid, which must be one for all answers.
func (h *hours) place(a answer) error {
	c := a.Geometry.Coordinates
	if len(c) < 2 || !c[0].OK || !c[1].OK {
		return nil // the series then has no grid point
	}
	p := weather.Place{Lon: c[0].V, Lat: c[1].V, Altitude: math.NaN()}
	if len(c) > 2 && c[2].OK {
		p.Altitude = c[2].V
	}
	if h.grid != nil && (h.grid.Lon != p.Lon || h.grid.Lat != p.Lat) {
		return &fetch.DecodeError{Service: Name, Where: "geometry.coordinates", What: "the answers are for different places"}
	}
	h.grid = &p
	return nil
}
