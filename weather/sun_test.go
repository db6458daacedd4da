package weather_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"limeday/weather"
	"limeday/weather/epw"
	"limeday/weather/openmeteo"
	"limeday/weather/power"
)

// noon is solar noon in UTC on the day that has it near t: NOAA Global Monitoring
// Laboratory, "General Solar Position Calculations", equation of time.
func noon(day time.Time, lon float64) time.Time {
	g := 2 * math.Pi / 365 * float64(day.YearDay()-1)
	eq := 229.18 * (0.000075 + 0.001868*math.Cos(g) - 0.032077*math.Sin(g) - 0.014615*math.Cos(2*g) - 0.040849*math.Sin(2*g))
	return day.Add(time.Duration((720 - 4*lon - eq) * float64(time.Minute)))
}

// offNoon is how far the middle of the sun of a day is from solar noon; ok is false
// if the day is not whole.
func offNoon(s weather.Series, day time.Time, lon float64) (off time.Duration, sum float64, ok bool) {
	middle := noon(day, lon)
	hours, moment := 0, 0.0
	for _, r := range s.Records {
		at := r.Time.Add(r.Span / 2)
		if at.Sub(middle).Abs() >= 12*time.Hour || !r.Global.Known() {
			continue
		}
		hours++
		sum += r.Global.V
		moment += r.Global.V * at.Sub(middle).Seconds()
	}
	return time.Duration(moment / sum * float64(time.Second)), sum, hours == 24
}

// The sun stands highest at solar noon. If the meaning of a source's times were taken for another, its
// radiation would be an hour off; on clear days it must be within 20 minutes.
func TestRadiationIsNotAnHourOff(t *testing.T) {
	sample := func(parts ...string) []byte {
		data, err := os.ReadFile(filepath.Join(append([]string{"..", "testdata", "weather"}, parts...)...))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	readEPW := func(name string, data []byte) weather.Series {
		s, _, err := epw.Read(name, bytes.NewReader(data), epw.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	series := map[string]weather.Series{
		"duluth-june":   readEPW("duluth-june.epw", sample("epw", "duluth-june.epw")),
		"portland-july": readEPW("portland-july.epw", sample("epw", "portland-july.epw")),
	}
	var err error
	if series["power"], err = power.Parse([][]byte{sample("power", "hours-invented.json")}); err != nil {
		t.Fatal(err)
	}
	if series["openmeteo"], err = openmeteo.Parse(sample("openmeteo", "forecast-invented.json"), openmeteo.Ahead); err != nil {
		t.Fatal(err)
	}
	// Whole years, if a folder of them is named.
	var whole []string
	if dir := os.Getenv("LIMEDAY_EPW"); dir != "" {
		if whole, err = filepath.Glob(filepath.Join(dir, "*.epw")); err != nil || len(whole) == 0 {
			t.Fatalf("no EPW files in %s (%v)", dir, err)
		}
	}
	for _, name := range whole {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		series[filepath.Base(name)] = readEPW(filepath.Base(name), data)
	}
	for name, s := range series {
		first, last := s.Records[0].Time.Truncate(24*time.Hour), s.Records[len(s.Records)-1].Time
		most := map[time.Month]float64{} // the sunniest day of a month is clear
		for day := first; day.Before(last); day = day.AddDate(0, 0, 1) {
			if _, sum, ok := offNoon(s, day, s.Grid.Lon); ok {
				most[day.Month()] = max(most[day.Month()], sum)
			}
		}
		clear, all := 0, time.Duration(0)
		for day := first; day.Before(last); day = day.AddDate(0, 0, 1) {
			off, sum, ok := offNoon(s, day, s.Grid.Lon)
			if !ok || sum < 0.97*most[day.Month()] {
				continue
			}
			clear++
			all += off
			if off.Abs() > 20*time.Minute {
				t.Errorf("%s, %s: the middle of the sun is %v off solar noon", name, day.Format(time.DateOnly), off.Round(time.Minute))
			}
		}
		if clear < 2 {
			t.Errorf("%s: only %d clear days", name, clear)
			continue
		}
		t.Logf("%s: %d clear days, on average %v off solar noon", name, clear, (all / time.Duration(clear)).Round(time.Minute))
	}
}
