package season_test

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/season"
	"limeday/psychro"
	"limeday/weather"
)

// raced tells that the race detector is on.
var raced bool

// long passes a test over whose lays are many, and which has nothing for the race detector to find.
func long(t *testing.T) {
	if raced {
		t.Skip("TestSeasonSame is what the race detector looks at")
	}
}

// job is a render on brick in the weather, looking to a bearing.
func job(t testing.TB, lat, bearing float64) drying.Job {
	t.Helper()
	render, err := material.FinishNamed("nhl-render")
	if err != nil {
		t.Fatal(err)
	}
	brick, err := material.BackgroundNamed("brick", "")
	if err != nil {
		t.Fatal(err)
	}
	return drying.Job{Place: weather.Place{Lat: lat, Altitude: 20}, Zone: time.UTC, Background: brick, Coats: []drying.Coat{{Finish: render, Thickness: 10e-3}},
		Hours: drying.Hours{From: 8 * time.Hour, To: 18 * time.Hour}, Room: drying.Room{WallHeight: 3, WetArea: 60, Hands: 2},
		Outdoors: &drying.Outdoors{Name: "wall", Bearing: bearing, Shelter: 0.5, Cover: drying.CoverNamed("")}}
}

// invented is weather from a day on: its mean in C through the year is of, of the day counted from 1 January of 2021; every day
// has a course, and every week a wet day.
func invented(from time.Time, days int, of func(day float64) float64) weather.Series {
	fc := func(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Measured} }
	s := weather.Series{Source: "invented"}
	begin := time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC)
	for h := range days*24 + 1 {
		at := from.Add(time.Duration(h) * time.Hour)
		d := at.Sub(begin).Hours() / 24
		mean := of(d) + 2.5*math.Sin(2*math.Pi*d/8.3)
		temp := mean + 4*math.Sin(2*math.Pi*(float64(at.Hour())-9)/24)
		vapour := min(0.75*float64(psychro.SaturationWater(psychro.Celsius(mean))), 0.97*float64(psychro.SaturationWater(psychro.Celsius(temp))))
		r := weather.Record{Time: at, Temperature: fc(temp), Vapour: fc(vapour), Wind: fc(2), WindFrom: fc(200), Cloud: fc(0.5), Rain: fc(0)}
		if int(d)%7 == 3 && at.Hour() >= 9 && at.Hour() < 12 {
			r.Rain, r.Wind = fc(3), fc(6)
		}
		s.Records = append(s.Records, r)
	}
	return s
}

// north is a year that is cold in January, south one that is warm then.
func north(day float64) float64 { return 8 - 9*math.Cos(2*math.Pi*(day-20)/365) }
func south(day float64) float64 { return north(day + 182) }

func day(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

func work(t testing.TB, ask season.Ask) season.Result {
	t.Helper()
	r, err := season.Work(context.Background(), ask)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// period finds the half-month that begins on a day.
func period(t testing.TB, w season.Wall, m time.Month, d int) season.Period {
	t.Helper()
	i := slices.IndexFunc(w.Periods, func(p season.Period) bool { return p.From == season.MonthDay{Month: m, Day: d} })
	if i < 0 {
		t.Fatalf("no half-month from %d %s", d, m)
	}
	return w.Periods[i]
}

// TestSeason: a year with a winter. Summer can be worked and midwinter not; the days that are not are all accounted for; the safe
// part ends about the frost-free days before the first frost; and the southern hemisphere is the same half a year on.
func TestSeason(t *testing.T) {
	long(t)
	starts := []time.Duration{8 * time.Hour, 12 * time.Hour}
	n := work(t, season.Ask{Walls: []drying.Job{job(t, 52, 180)}, Starts: starts, Need: 3,
		Weather: season.Weather{Series: invented(day(2020, 12, 20), 365+100, north), Years: []season.Year{{Label: 2021, From: day(2021, 1, 1), To: day(2022, 1, 1)}}}})
	w := n.Walls[0]
	if len(w.Periods) != 24 || w.Periods[0].From != (season.MonthDay{Month: time.January, Day: 1}) || w.Lays != 2*365 {
		t.Fatalf("%d half-months, %d lays", len(w.Periods), w.Lays)
	}
	days := 0
	for _, p := range w.Periods {
		days += p.Days
		lost := 0.0
		for _, l := range p.Lost {
			lost += l.Share
		}
		if math.Abs(p.Workable.Likely+lost-1) > 1e-9 {
			t.Errorf("from %v: %.3f can be worked and %.3f is lost", p.From, p.Workable.Likely, lost)
		}
		for k, share := range p.ByStart {
			if share > p.Workable.Likely+1e-9 || p.Best >= 0 && share > p.ByStart[p.Best]+1e-9 {
				t.Errorf("from %v: start %d serves on %.2f of the days, all of them on %.2f", p.From, k, share, p.Workable.Likely)
			}
		}
	}
	if days != 365 {
		t.Errorf("%d days", days)
	}
	jan, jul := period(t, w, time.January, 16), period(t, w, time.July, 1)
	if jan.Workable.High > 0.2 || jan.Lost[0].Why != season.Cold || jul.Workable.Likely < 0.6 {
		t.Errorf("January %+v, July %+v", jan, jul)
	}
	if !slices.ContainsFunc(jul.Lost, func(l season.Lost) bool { return l.Why == season.Rain && l.Share > 0.1 && l.Share < 0.5 }) {
		t.Errorf("one wet day a week: %+v", jul.Lost)
	}
	if !(jul.Opens.Likely < jul.Closes.Likely && jul.Window.Likely > 30 && jul.Good > 5) {
		t.Errorf("July: %+v", jul)
	}
	y := w.Frost.Years[0]
	t.Logf("safe from %s to %s; %v", y.First.Format("2 Jan"), y.Last.Format("2 Jan"), w.Frost.Safe)
	if y.First.Month() < time.March || y.First.Month() > time.May || y.Last.Month() < time.August || y.Last.Month() > time.October || w.Frost.Never || w.Frost.Always {
		t.Errorf("%+v", w.Frost)
	}
	if len(w.Frost.Safe) != 2 || w.Frost.Safe[0].Share != 0.9 || w.Frost.Safe[0].Last != (season.MonthDay{Month: y.Last.Month(), Day: y.Last.Day()}) {
		t.Errorf("%+v", w.Frost.Safe)
	}

	s := work(t, season.Ask{Walls: []drying.Job{job(t, -52, 180)}, Starts: starts[:1], Need: 3,
		Weather: season.Weather{South: true, Series: invented(day(2021, 6, 20), 365+100, south), Years: []season.Year{{Label: 2021, From: day(2021, 7, 1), To: day(2022, 7, 1)}}}})
	x := s.Walls[0]
	if x.Periods[0].From != (season.MonthDay{Month: time.July, Day: 1}) {
		t.Errorf("the southern year begins with %v", x.Periods[0].From)
	}
	z := x.Frost.Years[0]
	t.Logf("south: safe from %s to %s", z.First.Format("2 Jan 2006"), z.Last.Format("2 Jan 2006"))
	for _, p := range [][2]time.Time{{y.First, z.First}, {y.Last, z.Last}} {
		if d := p[1].Sub(p[0]).Hours() / 24; d < 165 || d > 200 {
			t.Errorf("north %s, south %s", p[0], p[1])
		}
	}
	if a, b := period(t, x, time.January, 1).Workable.Likely, jul.Workable.Likely; math.Abs(a-b) > 0.25 {
		t.Errorf("%.2f of the days of a southern January can be worked, %.2f of a northern July", a, b)
	}
}

// TestSeasonExtremes: no frost at all is said; no safe day is said; a typical year has no odds, and is followed by itself; a month
// without weather is not known, and counts for nothing.
func TestSeasonExtremes(t *testing.T) {
	long(t)
	years := []season.Year{{Label: 2021, From: day(2021, 11, 1), To: day(2021, 12, 1)}}
	ask := season.Ask{Walls: []drying.Job{job(t, 5, 180)}, Starts: []time.Duration{9 * time.Hour},
		Weather: season.Weather{Series: invented(day(2021, 10, 20), 140, func(float64) float64 { return 24 }), Years: years}}
	if f := work(t, ask).Walls[0].Frost; !f.Never || f.Always || len(f.Safe) != 0 {
		t.Errorf("tropics: %+v", f)
	}
	ask.Weather.Series = invented(day(2021, 10, 20), 140, func(float64) float64 { return -8 })
	if f := work(t, ask).Walls[0].Frost; f.Never || !f.Always || len(f.Safe) != 0 {
		t.Errorf("always cold: %+v", f)
	}
	full := invented(day(2021, 10, 20), 140, north)
	ask.Weather.Series = full
	ask.Weather.Series.Records = slices.DeleteFunc(slices.Clone(full.Records), func(r weather.Record) bool {
		return !r.Time.Before(day(2021, 11, 10)) && r.Time.Before(day(2021, 11, 20))
	})
	p := period(t, work(t, ask).Walls[0], time.November, 1)
	i := slices.IndexFunc(p.Lost, func(l season.Lost) bool { return l.Why == season.NoData })
	if i < 0 || p.Lost[i].Share < 7.0/15 || p.Lost[i].Share > 9.0/15 { // the 10th on, and the two days before it whose coats are not known
		t.Errorf("%+v", p)
	}

	ask.Weather = season.Weather{Typical: true, Lacks: []string{"rain"}, Series: invented(day(2021, 1, 1), 365, north),
		Years: []season.Year{{Label: 2021, From: day(2021, 11, 1), To: day(2022, 1, 1)}}}
	r := work(t, ask)
	if f := r.Walls[0].Frost; len(f.Safe) != 0 || !slices.Equal(r.Lacks, []string{"rain"}) || !r.Typical {
		t.Errorf("typical: %+v", f)
	}
	if p := period(t, r.Walls[0], time.December, 16); slices.ContainsFunc(p.Lost, func(l season.Lost) bool { return l.Why == season.NoData }) {
		t.Errorf("the end of a typical year is not known: %+v", p)
	}
}

// held is a season.Keeper in memory.
type held struct {
	mu          sync.Mutex
	days        map[[2]int]season.Days
	read, saved int
}

func (h *held) Load(wall, year int) (season.Days, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	d, ok := h.days[[2]int{wall, year}]
	if ok {
		h.read++
	}
	return d, ok
}

func (h *held) Save(wall, year int, d season.Days) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.days[[2]int{wall, year}] = d
	h.saved++
	return nil
}

// TestSeasonSame: the same on one core as on several, and from what was kept; the work tells how far it is, and stops when it is
// told to.
func TestSeasonSame(t *testing.T) {
	keep, n := &held{days: map[[2]int]season.Days{}}, 7 // days of each year
	if raced {
		n = 2
	}
	ask := season.Ask{Walls: []drying.Job{job(t, 52, 0), job(t, 52, 180)}, Starts: []time.Duration{8 * time.Hour, 13 * time.Hour},
		Weather: season.Weather{Series: invented(day(2021, 3, 20), 140, north), Years: []season.Year{
			{Label: 1, From: day(2021, 4, 16-n), To: day(2021, 4, 16)}, {Label: 2, From: day(2021, 4, 16), To: day(2021, 4, 16+n)}}}}
	several := work(t, ask)
	was := runtime.GOMAXPROCS(1)
	one := work(t, ask)
	runtime.GOMAXPROCS(was)
	if !reflect.DeepEqual(one, several) {
		t.Errorf("one core: %+v, several: %+v", one, several)
	}
	ask.Keep = keep
	var mu sync.Mutex
	last := 0.0
	ask.Tell = func(x float64) {
		mu.Lock()
		last = max(last, x)
		mu.Unlock()
	}
	if first, again := work(t, ask), work(t, ask); !reflect.DeepEqual(first, several) || !reflect.DeepEqual(again, several) || keep.saved != 4 || keep.read != 4 {
		t.Errorf("%d saved, %d read", keep.saved, keep.read)
	}
	if math.Abs(last-1) > 1e-9 {
		t.Errorf("done to %g", last)
	}
	ctx, stop := context.WithCancel(context.Background())
	ask.Keep = nil
	ask.Tell = func(float64) { stop() }
	if _, err := season.Work(ctx, ask); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// BenchmarkSeason is a wall's year of 36 days, three starts a day.
func BenchmarkSeason(b *testing.B) {
	ask := season.Ask{Walls: []drying.Job{job(b, 52, 180)}, Starts: []time.Duration{8 * time.Hour, 11 * time.Hour, 14 * time.Hour},
		Weather: season.Weather{Series: invented(day(2021, 3, 20), 140, north), Years: []season.Year{{Label: 1, From: day(2021, 4, 1), To: day(2021, 5, 7)}}}}
	b.ReportAllocs()
	for b.Loop() {
		work(b, ask)
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N)/36, "ms/day")
}
