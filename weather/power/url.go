package power

import (
	"net/url"
	"strings"
	"time"

	"limeday/weather"
)

// BaseURL is the service's address for hourly values of a point.
const BaseURL = "https://power.larc.nasa.gov/api/temporal/hourly/point"

// Credit is what the service asks to be said. The data are CC0: awslabs,
// open-data-registry, datasets/nasa-power.yaml.
const Credit = "NASA Langley Research Center POWER Project"

// FirstYear is the first with hourly values.
const FirstYear = 2001

// parameters are what is asked for; the service takes at most some 20.
var parameters = []string{"T2M", "T2MDEW", "RH2M", "PS", "WS10M", "WD10M", "PRECTOTCORR",
	"ALLSKY_SFC_SW_DWN", "ALLSKY_SFC_SW_DNI", "ALLSKY_SFC_SW_DIFF"}

// Settings is how to ask. The zero value is ready to use.
type Settings struct {
	BaseURL  string // empty: [BaseURL]
	Decimals int    // of the coordinates; see [weather.Coordinate]
}

// URLs are the requests for the hours of the days from and to, both included, by
// their dates in UTC: one for each calendar year, oldest first. There are none if
// to is before from. It leaves years before [FirstYear] out.
func (s Settings) URLs(p weather.Place, from, to time.Time) []string {
	from, to = from.UTC().Truncate(24*time.Hour), to.UTC().Truncate(24*time.Hour)
	if first := time.Date(FirstYear, 1, 1, 0, 0, 0, 0, time.UTC); from.Before(first) {
		from = first
	}
	base := s.BaseURL
	if base == "" {
		base = BaseURL
	}
	var out []string
	for !from.After(to) {
		end := time.Date(from.Year(), 12, 31, 0, 0, 0, 0, time.UTC)
		if end.After(to) {
			end = to
		}
		q := url.Values{
			"community":     {"RE"},
			"longitude":     {weather.Coordinate(p.Lon, s.Decimals)},
			"latitude":      {weather.Coordinate(p.Lat, s.Decimals)},
			"start":         {from.Format("20060102")},
			"end":           {end.Format("20060102")},
			"format":        {"JSON"},
			"time-standard": {"UTC"}, // the default is local solar time
		}
		// Commas as they are: that is how the service documents the list.
		out = append(out, base+"?parameters="+strings.Join(parameters, ",")+"&"+q.Encode())
		from = end.AddDate(0, 0, 1)
	}
	return out
}
