package drying_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// wholeYear is an invented year with warm and cold, wet and dry spells.
func wholeYear(days int) weather.Series {
	return spell(time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC), days, func(h int, r *weather.Record) {
		d := float64(h) / 24
		season := -math.Cos(2 * math.Pi * (d - 20) / 365)
		wave := math.Sin(2*math.Pi*d/9.3) + 0.6*math.Sin(2*math.Pi*d/5.1)
		r.Temperature.V = 9 + 9*season + 3*wave + 4*math.Sin(2*math.Pi*(float64(h%24)-9)/24)
		r.Cloud.V = min(max(0.5-0.4*wave, 0), 1)
		full := float64(psychro.SaturationWater(psychro.Celsius(9 + 9*season + 3*wave - 3)))
		r.Vapour.V = min(full, 0.97*float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V))))
		if wave < -0.9 && h%24 > 10 && h%24 < 16 {
			r.Rain.V, r.Wind.V = 2, 5
		}
	})
}

func renderJob(t testing.TB, bearing float64) drying.Job {
	render, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	j := wallOutside(t, bearing)
	j.Background = background(t, "brick", "")
	j.Coats = []drying.Coat{{Finish: render, Thickness: 10e-3}}
	return j
}

// longStep is how many days TestLongLikeFull goes on by: prime, so that it meets every day of the weather's week. The study takes a
// smaller one.
var longStep = 11

// TestLongLikeFull: of lays spread over the year, worked out by the short cuts of Long (two days on their own wall, then that of
// a wall laid before; nothing worked out where the bare wall or rain surely forbids it), each has the verdict, and where it is a
// no-go the reason, of one followed on its own wall to the end. After two days the own wall is still a little wetter and so up
// to 0.3 K colder: where that alone takes the face across the limit of frost the two may part, on one lay in a hundred at most.
func TestLongLikeFull(t *testing.T) {
	ensembles(t)
	s := wholeYear(365 + 80)
	from := time.Date(2025, 1, 12, 0, 0, 0, 0, time.UTC)
	until := from.AddDate(0, 0, 350)
	lays, nogo, parted, rain := 0, 0, 0, 0
	stop := func(a drying.Answer) drying.Code { c, _ := a.Stop(); return c }
	for _, bearing := range []float64{0, 180} {
		j := renderJob(t, bearing)
		short, err := drying.NewLong(j, s, from, until)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := drying.NewLong(j, s, from, until)
		if err != nil {
			t.Fatal(err)
		}
		whole.Whole()
		for day := 0; day < 345; day += longStep {
			date := from.AddDate(0, 0, day)
			for _, h := range []int{8, 14} {
				start, to := date.Add(time.Duration(h)*time.Hour), date.Add(18*time.Hour)
				a, err := short.Try(start, to)
				if err != nil {
					t.Fatal(err)
				}
				b, err := whole.Try(start, to)
				if err != nil {
					t.Fatal(err)
				}
				lays++
				if a.Verdict == drying.NoGo {
					nogo++
				}
				if stop(a) == drying.CodeRain {
					rain++
				}
				cold := func(x drying.Answer) float64 { return x.Exterior.FaceMin + 0.5 }
				if a.Exterior != nil && b.Exterior != nil && cold(a)*cold(b) < 0 && math.Abs(cold(a)-cold(b)) < 0.3 {
					parted++
				} else if a.Verdict != b.Verdict || stop(a) != stop(b) {
					t.Errorf("%.0f, %s: %s by the short cuts, %s in full: %+v, %+v", bearing, start.Format("2 Jan 15:04"), a.Verdict, b.Verdict, a.Reasons, b.Reasons)
				}
			}
		}
	}
	t.Logf("%d lays, %d of them no-go, %d by rain; %d at the limit of frost", lays, nogo, rain, parted)
	if parted*100 > lays {
		t.Errorf("%d of %d lays part at the limit of frost", parted, lays)
	}
	if nogo == 0 || nogo == lays || rain == 0 {
		t.Errorf("%d of %d lays are a no-go: that tests nothing", nogo, lays)
	}
}

// TestLongJudge: on a damped wall and on one that is not, a lay by [drying.Long.Judge] has the verdict of one of which nothing is left out, its reason where
// it is a no-go, and the times of its coat where it is not, to the bit: what is left out has no part in them.
func TestLongJudge(t *testing.T) {
	ensembles(t)
	s := wholeYear(365 + 80)
	from := time.Date(2025, 1, 12, 0, 0, 0, 0, time.UTC)
	until := from.AddDate(0, 0, 350)
	for _, damped := range []bool{false, true} {
		j := renderJob(t, 120)
		j.Damped = damped
		quick, err := drying.NewLong(j, s, from, until)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := drying.NewLong(j, s, from, until)
		if err != nil {
			t.Fatal(err)
		}
		whole.Unscreened()
		short, seen := 0, map[drying.Code]int{}
		for day := 0; day < 345; day += longStep {
			date := from.AddDate(0, 0, day)
			for _, h := range []int{8, 14} {
				start, to := date.Add(time.Duration(h)*time.Hour), date.Add(18*time.Hour)
				a, err := quick.Judge(start, to)
				if err != nil {
					t.Fatal(err)
				}
				b, err := whole.Try(start, to)
				if err != nil {
					t.Fatal(err)
				}
				is, _ := a.Stop()
				was, _ := b.Stop()
				seen[was]++
				if a.Verdict != b.Verdict || is != was {
					t.Errorf("damped %v, %s: %s for %q, in full %s for %q", damped, start.Format("2 Jan 15:04"), a.Verdict, is, b.Verdict, was)
				}
				if a.Exterior == nil {
					short++
				} else if a.Coats[0].Times != b.Coats[0].Times {
					t.Errorf("damped %v, %s: times %+v, in full %+v", damped, start.Format("2 Jan 15:04"), a.Coats[0].Times, b.Coats[0].Times)
				}
			}
		}
		t.Logf("damped %v: %v; %d cut short", damped, seen, short)
		if short == 0 || seen[""] == 0 || seen[drying.CodeRain] == 0 || seen[drying.CodeWallCold] == 0 {
			t.Errorf("damped %v: %v, %d cut short: that tests nothing", damped, seen, short)
		}
	}
}

// TestLongExposure: the first frost after a lay, and the wait for it, are those of the weather itself: none in summer, soon in
// autumn, and the wait is longer where it is colder.
func TestLongExposure(t *testing.T) {
	s := wholeYear(365 + 80)
	from := time.Date(2025, 1, 12, 0, 0, 0, 0, time.UTC)
	l, err := drying.NewLong(renderJob(t, 0), s, from, from.AddDate(0, 0, 350))
	if err != nil {
		t.Fatal(err)
	}
	firstAir := func(start time.Time) time.Time {
		i := slices.IndexFunc(s.Records, func(r weather.Record) bool { return r.Time.After(start) && r.Temperature.V <= 0 })
		return s.Records[i].Time
	}
	for _, m := range []time.Month{2, 6, 11} {
		start := time.Date(2025, m, 10, 11, 0, 0, 0, time.UTC)
		x := l.Exposure(start)
		air := firstAir(start)
		t.Logf("laid %s: first frost %s, of the air %s; none wanted until %s", start.Format("2 Jan"), x.First.Format("2 Jan 15:04"), air.Format("2 Jan 15:04"), x.Free[1].Format("2 Jan"))
		// The wall may freeze before the air, under a clear sky; not after it, by more than the hour between records.
		if x.First.IsZero() || x.First.After(air.Add(time.Hour)) || x.First.Before(start) {
			t.Errorf("laid %s: first frost %s, of the air %s", start, x.First, air)
		}
		wait := x.Free[1].Sub(start).Hours() / 24
		if m == 6 && wait > 30 || m == 2 && wait < 40 {
			t.Errorf("laid %s: a wait of %.0f days", start, wait)
		}
	}
}

// BenchmarkLongDay is a day of the season: a wall with three starts, in and out of frost.
func BenchmarkLongDay(b *testing.B) {
	j, s := renderJob(b, 180), wholeYear(365+80)
	from := time.Date(2025, 1, 12, 0, 0, 0, 0, time.UTC)
	const days = 180
	for b.Loop() {
		l, err := drying.NewLong(j, s, from, from.AddDate(0, 0, days))
		if err != nil {
			b.Fatal(err)
		}
		for d := range days {
			for _, h := range []int{8, 11, 14} {
				if _, err := l.Try(from.AddDate(0, 0, d).Add(time.Duration(h)*time.Hour), from.AddDate(0, 0, d).Add(18*time.Hour)); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N)/days, "ms/day")
}
