package columns

import (
	"regexp"
	"strings"

	"limeday/weather"
)

// Column is what a column can hold.
type Column string

// The columns known.
const (
	Time            Column = "time"
	Year            Column = "year"
	Month           Column = "month"
	Day             Column = "day"
	Hour            Column = "hour"
	Minute          Column = "minute"
	Station         Column = "station"
	Temperature     Column = "temperature"
	DewPoint        Column = "dew point"
	Humidity        Column = "humidity"
	Wind            Column = "wind"
	WindFrom        Column = "wind direction"
	Gust            Column = "gust"
	Pressure        Column = "pressure"
	SeaPressure     Column = "sea level pressure"
	StationPressure Column = "station pressure"
	Rain            Column = "rain"
	Cloud           Column = "cloud"
	Global          Column = "global radiation"
	Direct          Column = "direct radiation"
	Diffuse         Column = "diffuse radiation"
)

// names tells columns by their words, in the order of the list: the first that
// fits is it. Words are joined by _, in lower case.
var names = []struct {
	fits *regexp.Regexp
	is   Column
}{
	{regexp.MustCompile(`^(time_hour|time|date_?time|timestamp|valid|date|utc|time_utc|valid_utc|datetime_utc)$`), Time},
	{regexp.MustCompile(`^(year|yr|yyyy)$`), Year},
	{regexp.MustCompile(`^(month|mon|mm)$`), Month},
	{regexp.MustCompile(`^(day|dd|day_of_month)$`), Day},
	{regexp.MustCompile(`^(hour|hr|hh)$`), Hour},
	{regexp.MustCompile(`^(minute|min)$`), Minute},
	{regexp.MustCompile(`^(origin|station(_id|_name)?|site|airport|icao|wmo)$`), Station},
	{regexp.MustCompile(`wind.*(dir|deg|from)|^drct|^wd$|^winddir`), WindFrom},
	{regexp.MustCompile(`gust`), Gust},
	{regexp.MustCompile(`wind.*(speed|spd)|^wind(_|$)|^wspd|^sknt|^ws$|^windspeed`), Wind},
	{regexp.MustCompile(`^dew|^dwp|^td(_|$)|_dew_?p`), DewPoint},
	{regexp.MustCompile(`humid|^rh(_|$)|^relh`), Humidity},
	{regexp.MustCompile(`pres.*(sea|msl)|(sea|msl|mslp).*pres|^slp|^mslp|^msl(_|$)`), SeaPressure},
	{regexp.MustCompile(`(station|surface|stn).*pres|pres.*(station|surface|stn)`), StationPressure},
	{regexp.MustCompile(`^pres|^baro`), Pressure},
	{regexp.MustCompile(`^(ghi|global|shortwave|solar)`), Global},
	{regexp.MustCompile(`^(dni|direct_normal)`), Direct},
	{regexp.MustCompile(`^(dhi|diffuse)`), Diffuse},
	{regexp.MustCompile(`^(precip|rain|prcp|p01)`), Rain},
	{regexp.MustCompile(`^(cloud|sky_?cover)`), Cloud},
	{regexp.MustCompile(`^(air_)?temp|^tmp|^t2m|^t$|^dry_?bulb`), Temperature},
}

var notWord = regexp.MustCompile(`[^a-z0-9]+`)

// plain is a name in lower case with its words joined by _.
func plain(name string) string {
	return strings.Trim(notWord.ReplaceAllString(strings.ToLower(name), "_"), "_")
}

// columnOf tells a column by its name; "" is one that is not known.
func columnOf(name string) Column {
	p := plain(name)
	for _, n := range names {
		if n.fits.MatchString(p) {
			return n.is
		}
	}
	return ""
}

// unit turns a number into that of a Record: v*scale + shift.
type unit struct {
	name         string
	scale, shift float64
}

// quantity is what a column's numbers are.
type quantity struct {
	check weather.Quantity
	units map[string]unit // by the last words of a plain name
	us    string          // the unit under US units
	si    string          // and metric ones
}

// The mile, the knot, the inch and the foot are exact (international agreement of 1959).
// An inch of mercury is that at 0 C under standard gravity: 3386.389 Pa (from memory of NIST SP 811, appendix B).
var (
	celsius    = unit{"C", 1, 0}
	fahrenheit = unit{"F", 1 / 1.8, -32 / 1.8}
	kelvin     = unit{"K", 1, -273.15}
	mps        = unit{"m/s", 1, 0}
	kmh        = unit{"km/h", 1 / 3.6, 0}
	mph        = unit{"mph", 0.44704, 0}
	knot       = unit{"kn", 1852.0 / 3600, 0}
	pascal     = unit{"Pa", 1, 0}
	hecto      = unit{"hPa", 100, 0}
	kilo       = unit{"kPa", 1000, 0}
	inHg       = unit{"inHg", 3386.389, 0}
	millimetre = unit{"mm", 1, 0}
	inch       = unit{"in", 25.4, 0}
	percent    = unit{"%", 1, 0}
	share      = unit{"%", 0.01, 0}
	okta       = unit{"oktas", 1. / 8, 0}
	tenth      = unit{"tenths", 0.1, 0}
	whole      = unit{"of 1", 1, 0}
	degree     = unit{"degrees", 1, 0}
	watt       = unit{"W/m2", 1, 0}
)

var (
	temperatures = map[string]unit{"c": celsius, "degc": celsius, "deg_c": celsius, "celsius": celsius, "f": fahrenheit, "degf": fahrenheit, "deg_f": fahrenheit,
		"fahrenheit": fahrenheit, "tmpf": fahrenheit, "tmpc": celsius, "dwpf": fahrenheit, "dwpc": celsius, "k": kelvin, "kelvin": kelvin}
	speeds = map[string]unit{"m_s": mps, "ms": mps, "mps": mps, "m_s_1": mps, "km_h": kmh, "kmh": kmh, "kph": kmh, "mph": mph, "mi_h": mph, "kn": knot, "kt": knot, "kts": knot, "knots": knot, "sknt": knot}
	clouds = map[string]unit{"": share, "percent": share, "pct": share, "okta": okta, "oktas": okta, "eighths": okta, "tenths": tenth, "fraction": whole, "share": whole}
	press  = map[string]unit{"pa": pascal, "hpa": hecto, "mb": hecto, "mbar": hecto, "kpa": kilo, "inhg": inHg, "in_hg": inHg}
)

var quantities = map[Column]quantity{
	Temperature:     {weather.Temperature, temperatures, "f", "c"},
	DewPoint:        {weather.DewPoint, temperatures, "f", "c"},
	Humidity:        {weather.RelativeHumidity, map[string]unit{"": percent, "percent": percent, "pct": percent}, "", ""},
	Wind:            {weather.Wind, speeds, "mph", "ms"},
	Gust:            {weather.Gust, speeds, "mph", "ms"},
	WindFrom:        {weather.WindFrom, map[string]unit{"": degree, "deg": degree, "degrees": degree}, "", ""},
	Pressure:        {weather.Pressure, press, "", ""},
	SeaPressure:     {weather.Pressure, press, "", ""},
	StationPressure: {weather.Pressure, press, "", ""},
	Rain:            {weather.Rain, map[string]unit{"mm": millimetre, "in": inch, "inch": inch, "inches": inch}, "in", "mm"},
	Cloud:           {weather.Cloud, clouds, "", ""},
	Global:          {weather.Radiation, map[string]unit{"": watt, "w_m2": watt, "w_m": watt, "wm2": watt, "wh_m2": watt}, "", ""},
	Direct:          {weather.Radiation, map[string]unit{"": watt, "w_m2": watt, "w_m": watt, "wm2": watt, "wh_m2": watt}, "", ""},
	Diffuse:         {weather.Radiation, map[string]unit{"": watt, "w_m2": watt, "w_m": watt, "wm2": watt, "wh_m2": watt}, "", ""},
}

// statedUnit is the unit at the end of a name, by its longest words.
func (q quantity) statedUnit(name string) (unit, bool) {
	words := strings.Split(plain(strings.NewReplacer("%", " pct ", "²", "2").Replace(name)), "_")
	for i := max(0, len(words)-3); i < len(words); i++ {
		if u, ok := q.units[strings.Join(words[i:], "_")]; ok {
			return u, true
		}
	}
	return unit{}, false
}
