package logfile_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/logfile"
)

// Whatever the bytes: an answer or a Fault. An answer is in order, in range and
// survives being read again with what was decided pinned.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"logger-a.csv", "logger-b.csv"} {
		data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "logger", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[:2000])
	}
	for _, s := range []string{
		plainFile,
		"sep=;\nDatum;Uhrzeit;Temperatur [\xb0C];Feuchte\n14.04.2026;06:30:00;1.234,5;70,1\n14.04.2026;24:00;-;--\n",
		"\xff\xfet\x00i\x00m\x00e\x00,\x00",
		"epoch|T (K)|rh\n1776148200.5|293.15|0,7\n",
		"time,temp,rh\n45000.25,12.5,70\n",
		"\"Time, GMT+02:00\",\"Temp, *F\",RH\r04/14/26 12:05 p.m.,\"1,234\",70\r",
		"time;temp;rh\n2026-10-25 02:30;12,5;70\n2026-10-25 02:30;12,5;71\n",
		plainFile[:len(plainFile)-2],
		quickFile("time,temp,rh", walk(60, 7*time.Second), "2006-01-02 15:04:05"),
		quickFile("temp,time,rh", walk(60, 100*time.Millisecond), "2/1/06 03:04:05 PM"),
	} {
		f.Add([]byte(s))
	}
	berlin := zone(f, "Europe/Berlin")
	f.Fuzz(func(t *testing.T, data []byte) {
		res, err := logfile.Read("x.csv", strings.NewReader(string(data)), logfile.Options{SiteZone: berlin})
		if err != nil {
			var fault logfile.Fault
			if !errors.As(err, &fault) {
				t.Fatalf("%v is no Fault", err)
			}
			return
		}
		sane(t, res.Series)
		pins := res.Decided.Pins()
		again, err := logfile.Read("x.csv", strings.NewReader(string(data)), pins)
		if err != nil || say(again.Series) != say(res.Series) {
			t.Fatalf("with its own pins %+v: %v\n%s\n%s", pins, err, say(again.Series), say(res.Series))
		}
		// What is read whole is read for any moment, but where too much is missing up to it.
		middle := res.Series.Records[len(res.Series.Records)/2].Time
		part, err := logfile.Read("x.csv", strings.NewReader(string(data)), logfile.Options{SiteZone: berlin, At: middle})
		if err != nil && !strings.Contains(err.Error(), "are missing") || err == nil && say(part.Series) != say(res.Series) {
			t.Fatalf("at %v: %v\n%s\n%s", middle, err, say(part.Series), say(res.Series))
		}
		filled, _ := res.Series.FillGaps()
		sane(t, filled)
		sane(t, res.Series.Hourly())
	})
}

func sane(t *testing.T, s weather.Series) {
	t.Helper()
	var last time.Time
	for i, r := range s.Records {
		if i > 0 && !r.Time.After(last) {
			t.Fatalf("record %d at %v follows %v", i, r.Time, last)
		}
		last = r.Time
		if v := r.Temperature; v.Known() && !(v.V >= -40 && v.V <= 60) || !v.Known() && v.V != 0 {
			t.Fatalf("record %d: temperature %v", i, v)
		}
		// Means and lines of vapour pressure may pass saturation at their mean
		// temperature: it is convex. They stay under that at 60 C.
		if v := r.Vapour; v.Known() && !(v.V > 0 && v.V <= float64(psychro.SaturationWater(60))) || math.IsNaN(v.V) {
			t.Fatalf("record %d: vapour %v", i, v)
		}
	}
}
