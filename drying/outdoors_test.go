package drying_test

import (
	"math"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/exposure"
	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// spell is days of invented weather from midnight UTC, with what f changes.
func spell(from time.Time, days int, f func(h int, r *weather.Record)) weather.Series {
	s := weather.Series{Source: "invented weather", Issued: from}
	fc := func(v float64) weather.Value { return weather.Value{V: v, Tag: weather.Forecast} }
	for h := range days*24 + 1 {
		t := 12 + 5*math.Sin(2*math.Pi*float64(h-9)/24)
		r := weather.Record{Time: from.Add(time.Duration(h) * time.Hour), Temperature: fc(t), Vapour: fc(0.75 * float64(psychro.SaturationWater(12))),
			Wind: fc(2), WindFrom: fc(200), Cloud: fc(0.3), Rain: fc(0)}
		f(h, &r)
		s.Records = append(s.Records, r)
	}
	return s
}

func wallOutside(t testing.TB, bearing float64) drying.Job {
	j := room(t, material.Fair, 0.2, 0.12, 0.08)
	j.Background = background(t, "old-lime", "")
	j.Place = weather.Place{Name: "test", Lat: 52, Lon: 0, Altitude: 30}
	j.Outdoors = &drying.Outdoors{Bearing: bearing, Shelter: 0.5, Cover: exposure.Open}
	return j
}

var (
	april = time.Date(2026, 4, 13, 0, 0, 0, 0, time.UTC)
	seven = time.Date(2026, 4, 14, 7, 0, 0, 0, time.UTC)
)

func ask(t testing.TB, j drying.Job, s weather.Series) drying.Answer {
	t.Helper()
	a, err := drying.Check(j, drying.Ask{At: seven, Air: s})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func why(a drying.Answer, c drying.Code) *drying.Reason {
	for i := range a.Reasons {
		if a.Reasons[i].Code == c {
			return &a.Reasons[i]
		}
	}
	return nil
}

// TestFrostyNight: nights differ by their sky alone, and a wall of half a brick gives back the day's warmth; in a
// hard frost after rain the face freezes while it is wet: no-go with its hour.
func TestFrostyNight(t *testing.T) {
	night := func(low, cloud float64, rain bool) weather.Series {
		return spell(april, 4, func(h int, r *weather.Record) {
			r.Temperature.V = 6
			r.Cloud.V = 1
			if h%24 >= 20 || h%24 <= 4 { // dark: the sun of a clear evening would warm the wall
				r.Temperature.V, r.Wind.V, r.Cloud.V = low, 0.5, cloud
			}
			r.Vapour.V = 0.9 * float64(psychro.SaturationWater(psychro.Celsius(r.Temperature.V)))
			if rain && h >= 36 && h < 40 {
				r.Rain.V, r.Wind.V, r.WindFrom.V = 3, 6, 0
			}
		})
	}
	j := wallOutside(t, 0)
	mild, clear := ask(t, j, night(3, 1, false)), ask(t, j, night(3, 0, false))
	if !(clear.Exterior.FaceMin < mild.Exterior.FaceMin-0.5) {
		t.Errorf("faces fall to %.2f C under clear nights, %.2f under cloudy ones", clear.Exterior.FaceMin, mild.Exterior.FaceMin)
	}
	// Air at 2 C is too near frost for a forecast, whatever the face is worked out to be: never less than care.
	near := ask(t, j, night(1.5, 1, false))
	if r := why(near, drying.CodeFrost); r == nil || r.Severity == drying.Notes || near.Exterior.NearFrost.IsZero() {
		t.Errorf("air at 1.5 C: %+v", near.Reasons)
	}
	if why(mild, drying.CodeFrost) != nil {
		t.Errorf("air at 3 C under cloud: %+v", mild.Reasons)
	}
	hard := ask(t, j, night(-12, 0, true))
	t.Logf("face to %.1f C clear at 3 C, %.1f cloudy; %.1f at -12 C: %s at %s, %s", clear.Exterior.FaceMin, mild.Exterior.FaceMin, hard.Exterior.FaceMin,
		hard.Exterior.Frost, hard.Exterior.FirstFrost.Format("Mon 15:04"), hard.Verdict)
	if hard.Verdict != drying.NoGo || why(hard, drying.CodeFrost) == nil || hard.Exterior.FirstFrost.IsZero() || why(hard, drying.CodeRain) == nil {
		t.Errorf("rain, then frost: %s, %+v", hard.Verdict, hard.Reasons)
	}
}

// TestWallsDiffer: on a sunny day the south wall dries sooner than the north wall.
func TestWallsDiffer(t *testing.T) {
	sunny := spell(april, 3, func(_ int, r *weather.Record) { r.Cloud.V = 0 })
	south, north := ask(t, wallOutside(t, 180), sunny), ask(t, wallOutside(t, 0), sunny)
	s, n := south.Coats[0].Times, north.Coats[0].Times
	t.Logf("first coat dry after %.0f min in the south, %.0f in the north; sun on them from %s, %s", s.Dry/60, n.Dry/60,
		south.Exterior.SunFrom.Format("15:04"), north.Exterior.SunFrom.Format("15:04"))
	// At 52 N in April the sun is behind a north wall from soon after it rises until late: what light falls there is the sky's.
	dull := ask(t, wallOutside(t, 0), spell(april, 3, func(_ int, r *weather.Record) { r.Cloud.V = 0.6 }))
	if from := dull.Exterior.SunFrom; !from.IsZero() && from.Hour() >= 8 && from.Hour() < 16 {
		t.Errorf("sun on a north wall from %s", from.Format("15:04"))
	}
	if !(s.Dry < 0.95*n.Dry) || south.Exterior.SunFrom.IsZero() {
		t.Errorf("south %g s, north %g s", s.Dry, n.Dry)
	}
}

// TestRainOutdoors: rain within the three days that putty lime wants none is a no-go with its hour; on the lee
// side or sheeted it is none; wind and a wall that does not breathe are said.
func TestRainOutdoors(t *testing.T) {
	wet := spell(april, 4, func(h int, r *weather.Record) {
		if h >= 50 && h < 53 {
			r.Rain.V, r.Wind.V = 4, 7
		}
	})
	a := ask(t, wallOutside(t, 200), wet)
	if r := why(a, drying.CodeRain); r == nil || r.Severity != drying.Stops || a.Verdict != drying.NoGo || a.Exterior.FirstRain.Hour() < 1 || a.Exterior.FirstRain.Hour() > 3 {
		t.Errorf("%s %+v, rain at %s", a.Verdict, a.Reasons, a.Exterior.FirstRain)
	}
	if a := ask(t, wallOutside(t, 20), wet); why(a, drying.CodeRain) != nil {
		t.Error("rain on the lee side")
	}
	sheeted := wallOutside(t, 200)
	sheeted.Outdoors.Cover = exposure.Sheeted
	b := ask(t, sheeted, wet)
	if why(b, drying.CodeRain) != nil {
		t.Error("rain through the sheeting")
	}
	if !(b.Coats[0].Times.Dry > a.Coats[0].Times.Dry) {
		t.Errorf("sheeting that keeps rain off also slows drying: %g against %g s", b.Coats[0].Times.Dry, a.Coats[0].Times.Dry)
	}
	storm := wallOutside(t, 200)
	storm.Outdoors.Shelter = 1
	if r := why(ask(t, storm, spell(april, 3, func(_ int, r *weather.Record) { r.Wind.V = 12 })), drying.CodeWind); r == nil || r.Severity != drying.Stops {
		t.Errorf("a storm: %+v", r)
	}
	board := wallOutside(t, 200)
	board.Background = background(t, "primed-board", material.Fair)
	if r := why(ask(t, board, spell(april, 3, func(int, *weather.Record) {})), drying.CodeBackground); r == nil || r.Severity != drying.Stops {
		t.Errorf("board outdoors: %+v", r)
	}
}

func BenchmarkOutdoors(b *testing.B) {
	j, s := wallOutside(b, 180), spell(april, 10, func(int, *weather.Record) {})
	for b.Loop() {
		ask(b, j, s)
	}
}
