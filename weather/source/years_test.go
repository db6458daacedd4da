package source_test

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/source"
)

func open(path string) source.File {
	return source.File{Name: filepath.Base(path), Open: func() (io.ReadCloser, error) { return os.Open(path) }}
}

func TestSmoke(t *testing.T) {
	z, _ := time.LoadLocation("America/Chicago")
	p := &weather.Place{Lat: 41.9, Lon: -87.9, Altitude: 200}
	show := func(fs []source.File, o source.YearsOptions) {
		y, err := source.ReadYears(context.Background(), fs, o)
		if err != nil {
			t.Log(err)
			return
		}
		t.Logf("%d %v %v %v %v %v", len(y.Series.Records), y.Span, y.Place, y.South, y.Typical, y.Lacks)
		for _, n := range y.Notes {
			t.Log(n)
		}
	}
	d := "/work/shared/weather/"
	show([]source.File{open(d + "isd-lite/isdlite-725300-2016.gz"), open(d + "isd-lite/isdlite-725300-2017.gz")}, source.YearsOptions{Place: p, Zone: z})
	show([]source.File{open(d + "isd-lite/isdlite-725300-2016.gz"), open(d + "isd-lite/isdlite-725300-2017.gz")}, source.YearsOptions{Place: p, Zone: z, South: true})
	show([]source.File{open(d + "epw/USA_MN_Duluth.Intl.AP.727450_TMY3.epw")}, source.YearsOptions{Place: p, Zone: z})
	show([]source.File{open(d + "epw/USA_MN_Duluth.Intl.AP.727450_TMY3.epw")}, source.YearsOptions{Zone: z})
	show([]source.File{open(d + "epw/USA_MN_Duluth.Intl.AP.727450_TMY3.epw")}, source.YearsOptions{Zone: z, South: true})
	show([]source.File{open(d + "nyc-weather-2013.csv.gz")}, source.YearsOptions{Zone: z})
}
