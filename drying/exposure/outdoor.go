package exposure

import (
	"fmt"
	"math"
	"time"

	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/sky"
)

// Cover is what a wall outdoors is covered with.
type Cover string

// The covers.
const (
	Open    Cover = "open"
	Shaded  Cover = "shaded"  // a net or board before it: no sun straight on it, some wind, all of the rain
	Sheeted Cover = "sheeted" // closed sheeting close to the wall: no rain, little wind, dim light, no sky
	Tented  Cover = "tented"  // a tent closed at top and ends, clear of the wall: no rain, hardly any wind, dimmer, scattered light, no sky
)

// effect is what a cover leaves of things (ESTIMATE, all of it: from measurements on site nothing was found).
type effect struct{ beam, diffuse, wind, rain, sky float64 }

func (c Cover) effect() effect {
	switch c {
	case Shaded:
		return effect{beam: 0, diffuse: 0.5, wind: 0.6, rain: 1, sky: 0.5}
	case Sheeted:
		return effect{beam: 0.2, diffuse: 0.3, wind: 0.15, rain: 0, sky: 0}
	case Tented: // ends closed, so less wind than behind a sheet; the beam is scattered between cloth and scaffold
		return effect{
			beam:    0.1,  // ESTIMATE; 0 to 0.3
			diffuse: 0.2,  // ESTIMATE; 0.1 to 0.4
			wind:    0.05, // ESTIMATE; 0 to 0.15
			rain:    0,    // ESTIMATE; 0 while it is whole and its foot is closed
			sky:     0,    // ESTIMATE; 0 to 0.2: wet or cold cloth may be colder than the air
		}
	}
	return effect{1, 1, 1, 1, 1}
}

// Outside is a wall outdoors.
type Outside struct {
	Place   weather.Place
	Bearing float64 // degrees clockwise from north that the wall looks to
	Shelter float64 // share of the open wind that reaches it, 0 to 1
	Cover   Cover
	Height  float64 // above ground at which the wall's wind is taken, m; zero: 2
	Rough   float64 // share of the ISO 15927-3 airfield rain that the wall gets; zero: see usualRain
}

// usualRain is the share of the airfield index that a wall in a built-up place gets: terrain, obstruction and
// the wall's own shape in one (EN ISO 15927-3 multiplies C_R C_T O W; ESTIMATE 0.2 to 0.6).
const usualRain = 0.4

// WindAt is the wind at height z in m, 2 to 10, from that at 10 m over short grass: FAO-56 eq. 47 for 2 m
// (0.748), its logarithmic profile in between.
func WindAt(wind10, z float64) float64 {
	profile := func(z float64) float64 { return math.Log(67.8*z - 5.42) }
	return wind10 * profile(z) / profile(10)
}

// DrivingRain is the rain that wind drives onto a wall, mm/h or kg/(m2 h): the hourly term of the airfield
// index of EN ISO 15927-3:2009, eq. 1, 2/9 v r^(8/9) cos(D - bearing), nothing on the lee side. wind is at
// 10 m in m/s, rain in mm/h, angles in degrees.
func DrivingRain(wind, rain, from, bearing float64) float64 {
	c := math.Cos((from - bearing) * math.Pi / 180)
	if c <= 0 || rain <= 0 || wind <= 0 {
		return 0
	}
	return 2.0 / 9 * wind * math.Pow(rain, 8.0/9) * c
}

// OutdoorConvection is the heat transfer coefficient of a wall outdoors, W/(m2 K), at the wind along it in m/s:
// 4 + 4 v, ISO 6946 annex, from memory.
func OutdoorConvection(v float64) float64 { return 4 + 4*v }

// Facts says what a forcing rests on.
type Facts struct {
	Radiation sky.How // the weakest way any hour's light was had
	NoCloud   int     // hours whose cloud was not known: their sky is taken half covered
	NoWind    int     // hours whose wind was not known: taken as 2 m/s at 10 m
}

// Sunrise is that of the day of t, the zero time where there is none. The error is a *sky.RangeError.
func (o Outside) Sunrise(t time.Time) (time.Time, error) {
	site, err := sky.NewSite(o.Place)
	if err != nil {
		return time.Time{}, err
	}
	return site.Day(t).Rise, nil
}

// Sunlit reports whether the sun stands above the horizon and before the wall at t, be it behind cloud or not.
func (o Outside) Sunlit(t time.Time) (bool, error) {
	site, err := sky.NewSite(o.Place)
	if err != nil {
		return false, err
	}
	face, err := sky.NewWall(sky.Degrees(math.Mod(o.Bearing, 360)))
	if err != nil {
		return false, err
	}
	p := site.Sun(t)
	return p.Up() && face.Incidence(p.Toward) < 90, nil
}

// RainError is rain that no weather has, or so rarely that the unit is the likelier fault.
type RainError struct {
	Time time.Time
	Err  error // a *weather.RangeError
}

// Error says when, what, and what to look at.
func (e *RainError) Error() string {
	return fmt.Sprintf("%s at %s: check the unit of the rain", e.Err, e.Time.UTC().Format(time.RFC3339))
}

// Unwrap gives the number and its range.
func (e *RainError) Unwrap() error { return e.Err }

// Forcing turns weather into what meets the wall. Times become seconds after origin. Hours without
// temperature or vapour are passed over; radiation and rain, means over their hours, are joined at the hours'
// ends. The error is a *sky.MissingError, *sky.NightError or *sky.RangeError, or a *RainError.
func (o Outside) Forcing(s weather.Series, origin time.Time) ([]wall.Air, Facts, error) {
	var facts Facts
	site, err := sky.NewSite(o.Place)
	if err != nil {
		return nil, facts, err
	}
	face, err := sky.NewWall(sky.Degrees(math.Mod(o.Bearing, 360)))
	if err != nil {
		return nil, facts, err
	}
	e := o.Cover.effect()
	height := o.Height
	if height == 0 {
		height = 2
	}
	catch := o.Rough
	if catch == 0 {
		catch = usualRain
	}
	type means struct{ sun, rain float64 }
	var (
		air  []wall.Air
		over []means // over the span from each record
	)
	for i, r := range s.Records {
		if !r.Temperature.Known() || !r.Vapour.Known() {
			continue
		}
		span := r.Span
		if span == 0 && i+1 < len(s.Records) {
			span = s.Records[i+1].Time.Sub(r.Time)
		}
		if span <= 0 || span > time.Hour {
			span = time.Hour // a coarse record's light is that of its first hour
		}
		wind := 2.0
		if r.Wind.Known() {
			wind = r.Wind.V
		} else {
			facts.NoWind++
		}
		sun, share := site.SunOver(r.Time, span)
		light, err := site.Light(r, sun, share)
		if err != nil {
			return nil, facts, err
		}
		facts.Radiation = max(facts.Radiation, light.How)
		if err := weather.Rain.Check(r.Rain.V); r.Rain.Known() && err != nil {
			return nil, facts, &RainError{Time: r.Time, Err: err}
		}
		m := means{}
		if light.How != sky.Night {
			in := face.Irradiance(sun.Toward, sun.Extraterrestrial(), light, sky.Albedo)
			m.sun = e.beam*(in.Beam+in.Circumsolar) + e.diffuse*(in.Isotropic+in.Ground)
		}
		if r.Rain.Known() && r.Rain.V > 0 && e.rain > 0 {
			from := o.Bearing // rain from nobody knows where is taken to drive straight at the wall
			if r.WindFrom.Known() {
				from = r.WindFrom.V
			}
			m.rain = e.rain * catch * o.Shelter * DrivingRain(wind, r.Rain.V, from, o.Bearing) / 3600
		}
		over = append(over, m)
		air = append(air, wall.Air{
			Time: r.Time.Sub(origin).Seconds(), Temperature: r.Temperature.V, Vapour: r.Vapour.V,
			Speed:   WindAt(wind, height) * o.Shelter * e.wind,
			Radiant: o.radiant(face, r, e, &facts),
		})
	}
	for i := range air { // the mean of an hour stands in its middle: at its ends, halfway to the next
		a, b := over[max(i-1, 0)], over[i]
		air[i].Sun, air[i].Rain = (a.sun+b.sun)/2, (a.rain+b.rain)/2
	}
	return air, facts, nil
}

// radiant is the temperature of a black surrounding that sends the wall as much long wave as sky and ground do.
func (o Outside) radiant(face sky.Surface, r weather.Record, e effect, facts *Facts) float64 {
	cover := 0.5
	if r.Cloud.Known() {
		cover = r.Cloud.V
	} else {
		facts.NoCloud++
	}
	t := psychro.Celsius(r.Temperature.V)
	dew, err := psychro.DewPoint(psychro.Pascal(r.Vapour.V))
	if err != nil {
		dew = t - 30 // drier than the emissivity's own range
	}
	in := face.View(1-e.sky).Longwave(sky.Emissivity(dew, cover), t, t, t)
	return math.Sqrt(math.Sqrt(in/sky.StefanBoltzmann)) - psychro.ZeroCelsius
}
