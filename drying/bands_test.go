package drying_test

import (
	"math"
	"reflect"
	"runtime"
	"testing"
	"time"

	"limeday/drying"
	"limeday/weather"
)

// members is how many the bands of these tests have: fewer than a plasterer gets, and enough for what the tests assert. The study
// takes as many as he gets.
var members = 60

// ensembles passes a test over whose runs are many under the race detector, for which TestBandSeed and TestResumeSame are enough.
func ensembles(t *testing.T) {
	if raced > 1 {
		t.Skip("TestBandSeed and TestResumeSame are what the race detector looks at")
	}
}

// TestBandAround: whatever the air, the likely time of a coat lies between its earliest and its latest, each later stage's
// are no earlier, and the later the coat the wider its band by the clock.
func TestBandAround(t *testing.T) {
	ensembles(t)
	for _, x := range [][2]float64{{8, 0.3}, {8, 0.85}, {13, 0.5}, {16, 0.7}, {21, 0.4}, {28, 0.3}, {28, 0.85}} {
		temp, rh := x[0], x[1]
		j, _ := hall(t)
		j.Hours.To = 22 * time.Hour
		ask := drying.Ask{At: seven, Air: spell(april, 3, func(_ int, r *weather.Record) {
			r.Temperature, r.Vapour = weather.Value{V: temp, Tag: weather.Measured}, weather.Value{V: rh * 610.94 * math.Exp(17.625*temp/(temp+243.04)), Tag: weather.Measured}
		})}
		a, err := drying.Check(j, ask)
		if err != nil {
			t.Fatal(err)
		}
		if err := a.Band(ask, drying.Bands{Members: members, Seed: 1}); err != nil {
			t.Fatal(err)
		}
		width := -1.0
		for _, c := range a.Coats {
			for _, s := range []struct {
				what              string
				early, like, late time.Time
			}{{"edge", c.Earliest.Edge, c.Edge, c.Latest.Edge}, {"opens", c.Earliest.Opens, c.Opens, c.Latest.Opens}, {"burnish", c.Earliest.Burnish, c.Burnish, c.Latest.Burnish},
				{"gone by", c.Earliest.Closes, c.Closes, c.Latest.Closes}, {"next", c.Earliest.Recoat, c.Recoat, c.Latest.Recoat}} {
				if s.like.IsZero() {
					continue
				}
				// Less than a minute apart: a coat that opens at once does so in every member.
				if s.early.IsZero() || s.like.Before(s.early.Add(-time.Minute)) || !s.late.IsZero() && s.like.After(s.late.Add(time.Minute)) {
					t.Errorf("%.1f C, %.0f %%, coat %d: %s at %s, not between %s and %s", temp, 100*rh, c.Number, s.what, s.like, s.early, s.late)
				}
			}
			for _, x := range []drying.Stages{c.Earliest, c.Latest} {
				if !x.Closes.IsZero() && (x.Closes.Before(x.Burnish) || x.Burnish.Before(x.Opens) || x.Opens.Before(x.Lay)) {
					t.Errorf("%.1f C, %.0f %%, coat %d: %+v", temp, 100*rh, c.Number, x)
				}
			}
			if !c.Latest.Closes.IsZero() {
				w := c.Latest.Closes.Sub(c.Earliest.Lay).Minutes()
				if w < width-10 {
					t.Errorf("%.1f C, %.0f %%: coat %d is known better than the one before: %.0f and %.0f min", temp, 100*rh, c.Number, w, width)
				}
				width = w
			}
		}
	}
}

// TestBandSeed: the same seed gives the same bands on one core and on several; another seed gives much the same.
func TestBandSeed(t *testing.T) {
	j, air := hall(t)
	ask := drying.Ask{At: seven, Air: air}
	run := func(seed uint64) []drying.CoatPlan {
		return banded(t, j, ask, seed).Coats
	}
	several := run(7)
	was := runtime.GOMAXPROCS(1)
	one := run(7)
	runtime.GOMAXPROCS(was)
	for i := range one {
		if !reflect.DeepEqual(one[i].Earliest, several[i].Earliest) || one[i].Slowest != several[i].Slowest {
			t.Errorf("coat %d: %+v on one core, %+v on several", i+1, one[i].Earliest, several[i].Earliest)
		}
	}
	if raced > 1 {
		return // of so few draws two seeds part further
	}
	other := run(8)
	a, b := several[0].Slowest.Closes, other[0].Slowest.Closes
	t.Logf("latest gone by of the first coat after %.0f s, another seed %.0f s", a, b)
	if a == b || math.Abs(math.Log(a/b)) > 0.15 {
		t.Errorf("latest gone by after %.0f s, another seed %.0f s", a, b)
	}
}

// TestBandLate: a coat that is likely ready within the hours, but not on one day in ten, makes a go a care, and says so.
func TestBandLate(t *testing.T) {
	ensembles(t)
	j, air := hall(t)
	ask := drying.Ask{At: seven, Air: air}
	plain, err := drying.Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	if plain.Verdict != drying.Go {
		t.Fatalf("%s to begin with", plain.Verdict)
	}
	last := plain.Coats[2]
	for _, c := range []struct {
		hours float64 // after the likely laying of the last coat
		want  drying.Verdict
	}{{1, drying.Care}, {9, drying.Go}} {
		to := last.Lay.Add(time.Duration(c.hours * float64(time.Hour)))
		j.Hours.To = time.Duration(to.Hour())*time.Hour + time.Duration(to.Minute())*time.Minute
		a, err := drying.Check(j, ask)
		if err != nil {
			t.Fatal(err)
		}
		if a.Verdict != drying.Go {
			t.Fatalf("hours to %s: %s before bands, %+v", to.Format("15:04"), a.Verdict, a.Reasons)
		}
		if err := a.Band(ask, drying.Bands{Members: members, Seed: 1}); err != nil {
			t.Fatal(err)
		}
		if a.Verdict != c.want || (why(a, drying.CodeLatest) != nil) != (c.want == drying.Care) {
			t.Errorf("hours to %s: %s, %+v", to.Format("15:04"), a.Verdict, a.Reasons)
		}
	}
}

// TestBandForecast: a forecast is trusted less than a reading, less the farther ahead, and as the service's own spread says
// where it tells one.
func TestBandForecast(t *testing.T) {
	ensembles(t)
	j, _ := hall(t)
	width := func(tag weather.Tag, hour int, spread float64) float64 {
		at := april.Add(time.Duration(hour) * time.Hour)
		air := spell(april, 4, func(_ int, r *weather.Record) {
			r.Temperature, r.Vapour = weather.Value{V: 16, Tag: tag}, weather.Value{V: 0.6 * 1817, Tag: tag}
			if spread > 0 {
				r.TempLow, r.TempHigh = weather.Value{V: 16 - spread, Tag: tag}, weather.Value{V: 16 + spread, Tag: tag}
			}
		})
		ask := drying.Ask{At: at, Air: air}
		a := banded(t, j, ask, 1)
		return math.Log(a.Coats[0].Slowest.Closes / a.Coats[0].Soonest.Closes)
	}
	read, told, wide := width(weather.Measured, 31, 0), width(weather.Forecast, 31, 0), width(weather.Forecast, 31, 6)
	t.Logf("ln of latest over earliest: %.3f read, %.3f forecast, %.3f by a forecast that is itself unsure", read, told, wide)
	if !(read < told && told < 0.97*wide) {
		t.Errorf("ln of latest over earliest: %.3f read, %.3f forecast, %.3f by an unsure one", read, told, wide)
	}
}
