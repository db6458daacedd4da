package sky

import (
	"math"

	"limeday/psychro"
	"limeday/weather"
)

// How says where the numbers of a [Light] come from.
type How uint8

// The ways.
const (
	Given     How = iota // all three by the source
	Closed               // one follows from the other two
	Split                // direct and diffuse estimated from global (Erbs)
	FromCloud            // estimated from sun and cloud
	Night                // none: the sun is down
)

var howNames = [...]string{"given", "closed", "split", "from cloud", "night"}

// String is the way in words.
func (h How) String() string {
	if int(h) < len(howNames) {
		return howNames[h]
	}
	return "unknown"
}

// Light is the sunshine in a span, as means over all of it, W/m2. What is not the
// source's own is tagged estimated.
type Light struct {
	Global, Direct, Diffuse weather.Value
	How                     How
}

const (
	deepNight = -6.   // degrees: below, there is no light worth counting (civil twilight)
	twilight  = 100.  // W/m2: the most believed of a span without sun, what a clear hour has next to one (ESTIMATE), as spans are ended in more than one way
	offset    = 20.   // W/m2: what a pyranometer may show at night; common practice, no source
	someWater = 0.014 // m of precipitable water where the vapour is not known: the mid-latitudes' mean (ESTIMATE)
)

// Light completes the radiation of a record over its span, an hour or less: the
// sun and share are those of [Site.SunOver]. In this order: all three as given; the
// third from two; direct and diffuse from global; all from cloud, temperature,
// vapour and pressure, of which only the first is needed. Below 0 counts as 0;
// light without sun is diffuse.
//
// The errors are [*MissingError], by day without radiation and cloud;
// [*NightError], radiation above 20 W/m2 with the sun under -6 degrees, or above 100
// W/m2 while it does not rise; and
// [*weather.RangeError], radiation or cloud that no weather has.
//
// Sources: [DiffuseShare], [ClearSky] with [Haze], [Clear.Clouded].
func (s Site) Light(r weather.Record, sun Position, share float64) (Light, error) {
	l := Light{Global: r.Global, Direct: r.Direct, Diffuse: r.Diffuse}
	for _, v := range []*weather.Value{&l.Global, &l.Direct, &l.Diffuse} {
		if !v.Known() {
			*v = weather.Value{}
			continue
		}
		if v.V < 0 && v.V >= -offset {
			v.V = 0
		}
		if err := weather.Radiation.Check(v.V); err != nil {
			return Light{}, err
		}
		deep := sun.TrueElevation < deepNight
		if share == 0 && (v.V > twilight || deep && v.V > offset) {
			return Light{}, &NightError{Time: r.Time, Value: v.V, Elevation: sun.TrueElevation}
		}
		if share == 0 && deep {
			v.V = 0
		}
	}
	if share == 0 || sun.Toward.Up <= 0 {
		return l.dark(), nil
	}
	g, b, d := l.Global.Known(), l.Direct.Known(), l.Diffuse.Known()
	switch {
	case g && b && d:
		l.How = Given
	case g && d:
		l.How = Closed
		l.Direct = estimate(s.beam(r, l.Global.V-l.Diffuse.V, sun, share))
	case g && b:
		l.How = Closed
		l.Diffuse = estimate(math.Max(0, l.Global.V-l.Direct.V*sun.Toward.Up))
	case b && d:
		l.How = Closed
		l.Global = estimate(l.Diffuse.V + l.Direct.V*sun.Toward.Up)
	case g:
		l.How = Split
		kt := l.Global.V / (sun.Extraterrestrial() * sun.Toward.Up * share)
		direct := s.beam(r, l.Global.V*(1-DiffuseShare(kt)), sun, share)
		l.Direct = estimate(direct)
		l.Diffuse = estimate(math.Max(0, l.Global.V-direct*sun.Toward.Up))
	case r.Cloud.Known():
		if err := weather.Cloud.Check(r.Cloud.V); err != nil {
			return Light{}, err
		}
		c := s.clear(r, sun, Haze).Clouded(sun.Toward.Up, r.Cloud.V)
		l = Light{Global: estimate(c.Global * share), Direct: estimate(c.Direct * share), Diffuse: estimate(c.Diffuse * share), How: FromCloud}
	default:
		return Light{}, &MissingError{Time: r.Time}
	}
	return l, nil
}

// clear is a cloudless sky over the record's air.
func (s Site) clear(r weather.Record, sun Position, haze float64) Clear {
	water, p := someWater, s.pressure
	if r.Vapour.Known() && r.Temperature.Known() {
		water = PrecipitableWater(psychro.Celsius(r.Temperature.V), psychro.Pascal(r.Vapour.V))
	}
	if r.Pressure.Known() {
		p = psychro.Pascal(r.Pressure.V)
	}
	return ClearSky(sun.Toward.Up, sun.Extraterrestrial(), p, water, haze)
}

// beam is the direct radiation of which flat, W/m2, falls on the flat, both as means
// over the span; no more than a sky without haze lets through, since with a low sun
// it is a small difference over a small sine.
func (s Site) beam(r weather.Record, flat float64, sun Position, share float64) float64 {
	return math.Max(0, math.Min(flat/sun.Toward.Up, s.clear(r, sun, 0).Direct*share))
}

// dark is light without sun: what there is, is twilight.
func (l Light) dark() Light {
	if !l.Global.Known() {
		l.Global = estimate(0)
		if l.Diffuse.Known() {
			l.Global.V = l.Diffuse.V
		}
	}
	return Light{Global: l.Global, Direct: estimate(0), Diffuse: estimate(l.Global.V), How: Night}
}

func estimate(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Estimated} }
