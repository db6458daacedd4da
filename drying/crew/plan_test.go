package crew

import (
	"fmt"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/weather"
)

func hall(t testing.TB, thick ...float64) Ask {
	b, err := material.BackgroundNamed("primed-board", "")
	if err != nil {
		t.Fatal(err)
	}
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	hours := drying.Hours{From: 8 * time.Hour, To: 17 * time.Hour}
	j := &drying.Job{Zone: time.UTC, Background: b, Hours: hours, Room: drying.Room{AirSpeed: 0.1, WallHeight: 2.5}}
	for _, x := range thick {
		j.Coats = append(j.Coats, drying.Coat{Finish: f, Thickness: x})
	}
	at := time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC)
	air := weather.Series{Records: []weather.Record{{Time: at, Temperature: weather.Value{V: 18, Tag: weather.Measured}, Vapour: weather.Value{V: 1100, Tag: weather.Measured}}}}
	return Ask{Sites: []Site{{Wall{Width: 4.4, Height: 2.9}, j}}, Ask: drying.Ask{At: at, Air: air}, Waste: UsualWaste,
		Crew: Crew{Hands: hands(2), Passes: [ops]int{1, 1, 1}, Hours: hours, Breaks: []drying.Hours{{From: 12 * time.Hour, To: 12*time.Hour + 30*time.Minute}}, Travel: UsualTravel}}
}

func hands(n int) (out []Hand) {
	for i := range n {
		out = append(out, Hand{fmt.Sprintf("hand %d", i+1), [ops]float64{LayingRate, CompressingRate, BurnishingRate}})
	}
	return out
}
