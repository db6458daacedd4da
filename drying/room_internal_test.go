package drying

import (
	"math"
	"testing"
	"time"

	"limeday/drying/material"
	"limeday/psychro"
	"limeday/weather"
)

// TestRoomReadAsItIs: a reading taken in the room while the wall fills it tells nothing new where it says what the course has there, and moves no time; not
// where it is the only one either, but for the air that comes in, which is then worked back from it. A room found damper is aired less, and dries later.
func TestRoomReadAsItIs(t *testing.T) {
	b, err := material.BackgroundNamed("primed-board", material.Fair)
	if err != nil {
		t.Fatal(err)
	}
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC)
	read := func(at time.Time, temp, vapour float64) weather.Record {
		return weather.Record{Time: at, Temperature: weather.Value{V: temp, Tag: weather.Measured}, Vapour: weather.Value{V: vapour, Tag: weather.Measured}}
	}
	for _, c := range []struct{ volume, area, changes, temp, rh float64 }{{60, 20, 0.5, 18, 0.55}, {30, 20, 0.5, 16, 0.62}, {120, 10, 2, 22, 0.45}, {40, 25, 0.3, 14, 0.7}} {
		j := Job{Zone: time.UTC, Background: b, Hours: Hours{From: 7*time.Hour + 30*time.Minute, To: 17 * time.Hour},
			Room: Room{AirSpeed: 0.1, WallHeight: 2.5, Volume: c.volume, WetArea: c.area, AirChanges: c.changes}}
		for _, mm := range []float64{0.2, 0.12, 0.08} {
			j.Coats = append(j.Coats, Coat{Finish: f, Thickness: mm / 1000})
		}
		first := read(at, c.temp, c.rh*float64(psychro.SaturationWater(psychro.Celsius(c.temp))))
		ask := Ask{At: at, Air: weather.Series{Source: "a test", Records: []weather.Record{first}}}
		plan, err := Check(j, ask)
		if err != nil {
			t.Fatal(err)
		}
		for _, after := range []time.Duration{20 * time.Minute, time.Hour, 3 * time.Hour} {
			q := ask
			q.At = plan.Coats[0].Lay.Add(after)
			for _, x := range plan.Coats {
				if !x.Lay.After(q.At) && x.Due == DueToday {
					q.Seen = append(q.Seen, Seen{Coat: x.Number, What: SeenLaid, At: x.Lay})
				}
			}
			times := func(q Ask) (out [][2]float64, inside [2]float64) {
				a, err := Check(j, q)
				if err != nil {
					t.Fatal(err)
				}
				for _, x := range a.Coats {
					out = append(out, [2]float64{x.Times.Closes, x.Times.Dry})
				}
				d, err := newDay(j, q, complete(q.Air), false)
				if err != nil {
					t.Fatal(err)
				}
				s, err := d.now(nil)
				if err == nil {
					err = s.c.To(0)
				}
				if err != nil {
					t.Fatal(err)
				}
				own := s.c.Air()
				return out, [2]float64{own.Temperature, own.Vapour}
			}
			was, own := times(q)
			again := q
			again.Air.Records = []weather.Record{first, read(q.At, own[0], own[1])}
			alone := q
			alone.Air.Records = again.Air.Records[1:]
			for what, x := range map[string]Ask{"again": again, "alone": alone} {
				is, _ := times(x)
				for i := range was {
					for k := range was[i] {
						if math.Abs(is[i][k]-was[i][k]) > 0.005*was[i][k]+5 {
							t.Errorf("%+v read %s %v after: coat %d, time %d is %.1f s, was %.1f", c, what, after, i+1, k, is[i][k], was[i][k])
						}
					}
				}
			}
			damper := again
			damper.Air.Records = []weather.Record{first, read(q.At, own[0], own[1]*1.05)}
			is, _ := times(damper)
			last := len(was) - 1
			if len(is) == len(was) && !math.IsInf(is[last][1], 1) && is[last][1] <= was[last][1] {
				t.Errorf("%+v found damper %v after: the last coat is dry after %.0f s, was %.0f", c, after, is[last][1], was[last][1])
			}
		}
	}
}

// Looks are bounded, however many readings there are: of a logger left in the room for weeks, and of a face read every minute.
func TestLooksAreBounded(t *testing.T) {
	at := time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	d := &day{at: at, laid: []float64{-21 * 86400}, job: Job{Zone: time.UTC}}
	var s weather.Series
	var ask Ask
	for m := -30 * 24 * 60; m <= 0; m += 5 {
		r := at.Add(time.Duration(m) * time.Minute)
		s.Records = append(s.Records, weather.Record{Time: r, Temperature: weather.Value{V: 16, Tag: weather.Measured}, Vapour: weather.Value{V: 1100, Tag: weather.Measured}})
		ask.Faces = append(ask.Faces, FaceReading{At: r, Temp: 15})
	}
	kept, looks, assumed := d.inside(s)
	if len(looks) < mostLooks/2 || len(looks) > mostLooks+1 || assumed || len(kept.Records) == 0 {
		t.Errorf("%d looks at the room, %d records of what comes in, assumed %v", len(looks), len(kept.Records), assumed)
	}
	if f := d.faces(ask); len(f) != mostLooks || f[0].At != -30*86400 || f[len(f)-1].At != 0 {
		t.Errorf("%d looks at the face, from %g to %g s", len(f), f[0].At, f[len(f)-1].At)
	}
}
