package sky_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/sky"
)

// accuracy is what is promised of the sun's place, in degrees.
const accuracy = 0.05

// TestSun holds every row of sun-reference.csv, which is NREL's SPA (Reda and
// Andreas 2003) at eight sites, to 0.05 degrees.
func TestSun(t *testing.T) {
	f, err := os.Open("../../testdata/checks/sun-reference.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) < 2 {
		t.Fatal("no rows")
	}
	column := map[string]int{}
	for i, name := range lines[0] {
		column[name] = i
	}
	largest := map[string]float64{}
	for n, line := range lines[1:] {
		text := func(name string) string {
			i, ok := column[name]
			if !ok {
				t.Fatalf("no column %s", name)
			}
			return line[i]
		}
		num := func(name string) float64 {
			v, err := strconv.ParseFloat(text(name), 64)
			if err != nil {
				t.Fatalf("line %d, %s: %v", n+2, name, err)
			}
			return v
		}
		at, err := time.Parse(time.RFC3339, text("time_utc"))
		if err != nil {
			t.Fatalf("line %d: %v", n+2, err)
		}
		site, err := sky.NewSite(weather.Place{Lat: num("lat"), Lon: num("lon"), Altitude: num("elev_m")})
		if err != nil {
			t.Fatalf("line %d: %v", n+2, err)
		}
		p := site.Sun(at)
		check := func(name string, got sky.Degrees) {
			off := math.Abs(float64(got) - num(name))
			off = math.Min(off, 360-off)
			largest[name] = math.Max(largest[name], off)
			if !(off <= accuracy) {
				t.Errorf("line %d: %s is %v, SPA has %v", n+2, name, got, num(name))
			}
		}
		check("elev_true_deg", p.TrueElevation)
		check("elev_apparent_deg", p.Elevation)
		check("azimuth_n_cw_deg", p.Azimuth)
		check("declination_deg", p.Declination)
		// The sky turns by 1 degree in 4 minutes: the promise, in minutes.
		off := math.Abs(p.EquationOfTime.Minutes() - num("eot_min"))
		largest["eot_min"] = math.Max(largest["eot_min"], off)
		if !(off <= 4*accuracy) {
			t.Errorf("line %d: the equation of time is %v, SPA has %v min", n+2, p.EquationOfTime, num("eot_min"))
		}
		for name, bearing := range map[string]sky.Degrees{"aoi_wall_n": 0, "aoi_wall_e": 90, "aoi_wall_s": 180, "aoi_wall_w": 270} {
			wall, err := sky.NewWall(bearing)
			if err != nil {
				t.Fatal(err)
			}
			check(name, wall.Incidence(p.Toward))
		}
	}
	t.Logf("%d rows; largest differences: %v", len(lines)-1, largest)
}
