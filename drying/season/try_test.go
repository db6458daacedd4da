package season_test

import (
	"context"
	"os"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/season"
	"limeday/weather"
	"limeday/weather/epw"
)

func TestTryEPW(t *testing.T) {
	for _, name := range []string{"USA_OR_Portland.Intl.AP.726980_TMY3.epw", "USA_MN_Duluth.Intl.AP.727450_TMY3.epw"} {
		f, err := os.Open("/work/shared/weather/epw/" + name)
		if err != nil {
			t.Skip(err)
		}
		s, h, err := epw.Read(name, f, epw.Options{})
		if err != nil {
			t.Fatal(err)
		}
		zone := time.FixedZone("", int(h.Zone/time.Second))
		y := s.Records[1].Time.In(zone).Year()
		render, _ := material.FinishNamed("nhl-render")
		brick, _ := material.BackgroundNamed("brick", "")
		var walls []drying.Job
		for _, b := range []float64{180} {
			walls = append(walls, drying.Job{Place: weather.Place{Lat: h.Lat, Lon: h.Lon, Altitude: h.Altitude}, Zone: zone, Background: brick,
				Coats: []drying.Coat{{Finish: render, Thickness: 10e-3}}, Hours: drying.Hours{From: 8 * time.Hour, To: 18 * time.Hour},
				Room: drying.Room{WallHeight: 3, WetArea: 60, Hands: 2}, Outdoors: &drying.Outdoors{Name: "wall", Bearing: b, Shelter: 0.5, Cover: drying.CoverNamed("")}})
		}
		from := time.Now()
		r, err := season.Work(context.Background(), season.Ask{Walls: walls, Weather: season.Weather{Series: s, Typical: true, Lacks: []string{"rain"},
			Years: []season.Year{{Label: y, From: time.Date(y, 1, 1, 0, 0, 0, 0, zone), To: time.Date(y+1, 1, 1, 0, 0, 0, 0, zone)}}},
			Starts: []time.Duration{8 * time.Hour, 11 * time.Hour, 14 * time.Hour}, Need: season.NeedOf(walls)})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %s, %d lays, need %d", name, time.Since(from), r.Walls[0].Lays, r.Need)
		for _, w := range r.Walls {
			for _, p := range w.Periods {
				t.Logf("%v-%v %d days workable %.2f care %.2f lost %v opens %.0f closes %.0f window %.0f by start %.2f best %d run %.2f", p.From, p.To, p.Days, p.Workable.Likely, p.Care, p.Lost, p.Opens, p.Closes, p.Window, p.ByStart, p.Best, p.Run)
			}
			t.Logf("%+v", w.Frost)
		}
	}
}
