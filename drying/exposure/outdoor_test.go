package exposure

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying/wall"
	"limeday/psychro"
	"limeday/weather"
)

var site = weather.Place{Name: "test", Lat: 52, Lon: 0, Altitude: 50}

// hours makes a day of weather from 00:00 UTC.
func hours(day time.Time, f func(h int, r *weather.Record)) weather.Series {
	s := weather.Series{Source: "test"}
	for h := range 25 {
		r := weather.Record{Time: day.Add(time.Duration(h) * time.Hour),
			Temperature: weather.Value{V: 8, Tag: weather.Forecast}, Wind: weather.Value{V: 3, Tag: weather.Forecast},
			Vapour: weather.Value{V: 0.7 * float64(psychro.SaturationWater(8)), Tag: weather.Forecast},
			Cloud:  weather.Value{V: 0, Tag: weather.Forecast}}
		f(h, &r)
		s.Records = append(s.Records, r)
	}
	return s
}

func forcing(t *testing.T, o Outside, s weather.Series) []wall.Air {
	t.Helper()
	air, _, err := o.Forcing(s, s.Records[0].Time)
	if err != nil {
		t.Fatal(err)
	}
	return air
}

func sunOf(air []wall.Air) (sum, centre float64) {
	for _, a := range air {
		sum += a.Sun
		centre += a.Sun * a.Time / 3600
	}
	return sum, centre / sum
}

// TestFourWalls on a clear April day at 52 N on the meridian: the south wall gets most, the north wall least,
// the east wall's sun is centred in the morning and the west wall's in the afternoon, mirrored about noon.
func TestFourWalls(t *testing.T) {
	day := time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC)
	clear := hours(day, func(int, *weather.Record) {})
	sums, centres := map[float64]float64{}, map[float64]float64{}
	for _, b := range []float64{0, 90, 180, 270} {
		sums[b], centres[b] = sunOf(forcing(t, Outside{Place: site, Bearing: b, Shelter: 1}, clear))
		t.Logf("bearing %3.0f: %.1f kWh/m2, centred at %.2f h", b, sums[b]/1000, centres[b])
	}
	if !(sums[180] > sums[90] && sums[90] > sums[0] && sums[270] > sums[0]) {
		t.Errorf("sums %v", sums)
	}
	// Equation of time on 14 April: about -0.5 min, so noon is at 12:00 UTC on this meridian.
	if math.Abs(centres[180]-12) > 0.15 || math.Abs((centres[90]+centres[270])/2-12) > 0.15 || !(centres[90] < 10.5) {
		t.Errorf("centres %v", centres)
	}
	if r := sums[90] / sums[270]; r < 0.97 || r > 1.03 {
		t.Errorf("east over west %g", r)
	}
}

// TestCovers: sheeting keeps the rain off and takes wind, sun and the cold sky away, a tent still more of the
// wind and light; shade only the sun.
func TestCovers(t *testing.T) {
	day := time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC)
	wet := hours(day, func(h int, r *weather.Record) {
		r.Rain, r.WindFrom = weather.Value{V: 2, Tag: weather.Forecast}, weather.Value{V: 180, Tag: weather.Forecast}
	})
	open := forcing(t, Outside{Place: site, Bearing: 180, Shelter: 1}, wet)
	shade := forcing(t, Outside{Place: site, Bearing: 180, Shelter: 1, Cover: Shaded}, wet)
	sheet := forcing(t, Outside{Place: site, Bearing: 180, Shelter: 1, Cover: Sheeted}, wet)
	tent := forcing(t, Outside{Place: site, Bearing: 180, Shelter: 1, Cover: Tented}, wet)
	noon, night := 12, 1
	if !(open[noon].Sun > shade[noon].Sun && open[noon].Speed > shade[noon].Speed && shade[noon].Rain == open[noon].Rain) {
		t.Errorf("shade: %+v after %+v", shade[noon], open[noon])
	}
	if !(sheet[noon].Rain == 0 && sheet[noon].Speed < open[noon].Speed/2 && sheet[noon].Sun < open[noon].Sun) {
		t.Errorf("sheet: %+v after %+v", sheet[noon], open[noon])
	}
	if !(tent[noon].Rain == 0 && tent[noon].Speed < sheet[noon].Speed && tent[noon].Sun < sheet[noon].Sun && tent[noon].Sun > 0) {
		t.Errorf("tent: %+v after %+v", tent[noon], sheet[noon])
	}
	if !(open[night].Radiant < 6 && math.Abs(sheet[night].Radiant-8) < 1e-6) {
		t.Errorf("a clear night's surroundings: open %.1f C, sheeted %.1f C, air 8", open[night].Radiant, sheet[night].Radiant)
	}
	if math.Abs(tent[night].Radiant-8) > 1e-6 {
		t.Errorf("a clear night in a tent: surroundings at %.1f C, air 8", tent[night].Radiant)
	}
	lee := forcing(t, Outside{Place: site, Bearing: 0, Shelter: 1}, wet)
	if lee[noon].Rain != 0 {
		t.Errorf("rain on the lee side: %g", lee[noon].Rain)
	}
}

// TestCoversOrdered: in any weather each cover lets through no more wind, rain and sky than the one before it:
// open, shaded, sheeted, tented. So too with sun, but between a net and a sheet: a net takes all of the beam.
func TestCoversOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, lo, hi float64) weather.Value {
			return weather.Value{V: rapid.Float64Range(lo, hi).Draw(t, name), Tag: weather.Forecast}
		}
		temp, rh := draw("temp", -10, 30), draw("rh", 0.3, 1)
		wind, from, rain, cloud := draw("wind", 0.1, 15), draw("from", 0, 360), draw("rain", 0, 10), draw("cloud", 0, 1)
		bearing, shelter := draw("bearing", 0, 360).V, draw("shelter", 0.1, 1).V
		day := time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 364).Draw(t, "day"))
		s := hours(day, func(_ int, r *weather.Record) {
			r.Temperature, r.Wind, r.WindFrom, r.Rain, r.Cloud = temp, wind, from, rain, cloud
			r.Vapour.V = rh.V * float64(psychro.SaturationWater(psychro.Celsius(temp.V)))
		})
		var air [4][]wall.Air
		for i, c := range []Cover{Open, Shaded, Sheeted, Tented} {
			var err error
			if air[i], _, err = (Outside{Place: site, Bearing: bearing, Shelter: shelter, Cover: c}).Forcing(s, day); err != nil {
				t.Fatal(err)
			}
		}
		for h := range air[0] {
			open, shade, sheet, tent := air[0][h], air[1][h], air[2][h], air[3][h]
			if !(open.Speed > shade.Speed && shade.Speed > sheet.Speed && sheet.Speed > tent.Speed && tent.Speed > 0) {
				t.Fatalf("hour %d, wind %g, %g, %g, %g m/s", h, open.Speed, shade.Speed, sheet.Speed, tent.Speed)
			}
			if open.Rain != shade.Rain || sheet.Rain != 0 || tent.Rain != 0 {
				t.Fatalf("hour %d, rain %g, %g, %g, %g", h, open.Rain, shade.Rain, sheet.Rain, tent.Rain)
			}
			if open.Sun < shade.Sun || open.Sun < sheet.Sun || sheet.Sun < tent.Sun || open.Sun > 0 && !(sheet.Sun > tent.Sun && tent.Sun > 0) {
				t.Fatalf("hour %d, sun %g, %g, %g, %g W/m2", h, open.Sun, shade.Sun, sheet.Sun, tent.Sun)
			}
			off := func(a wall.Air) float64 { return math.Abs(a.Radiant - a.Temperature) }
			if off(open) < off(shade) || off(shade) < off(sheet) || off(sheet) > 1e-6 || off(tent) > 1e-6 {
				t.Fatalf("hour %d, surroundings off the air by %g, %g, %g, %g K", h, off(open), off(shade), off(sheet), off(tent))
			}
		}
	})
}

// TestClearColdNight: under a clear still sky at 3 C the face of a wall falls below the air, under cloud much
// less, and in wind a wet face goes towards the wet bulb, never below it by more than the sky takes.
func TestClearColdNight(t *testing.T) {
	day := time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC)
	night := func(cloud, wind float64) float64 {
		s := hours(day, func(_ int, r *weather.Record) {
			r.Temperature.V, r.Vapour.V = 3, 0.85*float64(psychro.SaturationWater(3))
			r.Cloud.V, r.Wind.V = cloud, wind
			r.Global, r.Direct, r.Diffuse = weather.Value{V: 0, Tag: weather.Forecast}, weather.Value{V: 0, Tag: weather.Forecast}, weather.Value{V: 0, Tag: weather.Forecast}
		})
		return forcing(t, Outside{Place: site, Bearing: 180, Shelter: 1}, s)[3].Radiant
	}
	clear, cloudy := night(0, 0.5), night(1, 0.5)
	t.Logf("surroundings of a wall: clear %.1f C, overcast %.1f C, air 3 C", clear, cloudy)
	// A wall sees half ground and warm horizon: its surroundings lie some 5 to 9 K under the air, not the 15 to
	// 20 K of a flat roof.
	if !(clear < -1 && clear > -8 && cloudy > clear+2 && cloudy <= 3) {
		t.Errorf("clear %.1f, overcast %.1f", clear, cloudy)
	}
}

// TestWindAt: FAO-56 example 14, 3.2 m/s at 10 m is 2.4 m/s at 2 m.
func TestWindAt(t *testing.T) {
	if got := WindAt(3.2, 2); math.Abs(got-2.4) > 0.05 {
		t.Errorf("%g m/s, want 2.4 (Allen et al. 1998, example 14)", got)
	}
	if got := WindAt(3.2, 10); got != 3.2 {
		t.Errorf("%g m/s at 10 m", got)
	}
}

// TestDrivingRain: 2 mm/h at 5 m/s straight on, computed from EN ISO 15927-3 eq. 1: 2.0575 mm/h.
func TestDrivingRain(t *testing.T) {
	if got := DrivingRain(5, 2, 90, 90); math.Abs(got-2.0574993606) > 1e-8 {
		t.Errorf("%g", got)
	}
	if DrivingRain(5, 2, 270, 90) != 0 || DrivingRain(5, 0, 90, 90) != 0 {
		t.Error("rain on the lee side, or without rain")
	}
}

// TestMissing: by day without radiation and cloud nothing is guessed.
func TestMissing(t *testing.T) {
	s := hours(time.Date(2026, 4, 14, 0, 0, 0, 0, time.UTC), func(_ int, r *weather.Record) { r.Cloud = weather.Value{} })
	if _, _, err := (Outside{Place: site, Bearing: 180, Shelter: 1}).Forcing(s, s.Records[0].Time); err == nil {
		t.Error("a day without light was made up")
	}
}
