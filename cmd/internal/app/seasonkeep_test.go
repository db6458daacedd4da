package app

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/season"
	"limeday/weather"
)

// A season that was kept is served to the same question by the same model, and to no other.
func TestKeptSeasonIsOfThisModel(t *testing.T) {
	from := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	ask := season.Ask{Walls: []drying.Job{{Zone: time.UTC, Coats: []drying.Coat{{Thickness: 1e-4}}}}, Starts: []time.Duration{8 * time.Hour},
		Weather: season.Weather{Years: []season.Year{{Label: 2025, From: from, To: from.AddDate(1, 0, 0)}},
			Series: weather.Series{Records: []weather.Record{{Time: from, Temperature: weather.Value{V: 5, Tag: weather.Measured}}}}}}
	dir := t.TempDir()
	k, ok := newSeasonKeeper(context.Background(), dir, ask).(*seasonKeeper)
	if !ok || len(drying.Fingerprint) < 32 || k.model != drying.Fingerprint {
		t.Fatal("the season is not kept for the model of this program")
	}
	if err := k.Save(0, 0, season.Days{Days: []season.Day{{Date: from.Unix()}}}); err != nil {
		t.Fatal(err)
	}
	if d, ok := k.Load(0, 0); !ok || len(d.Days) != 1 {
		t.Fatal("what was kept is not served again")
	}
	for what, change := range map[string]func(*seasonKeeper){
		"model": func(k *seasonKeeper) { k.model = "another" },
		"coat": func(k *seasonKeeper) {
			k.ask.Walls = []drying.Job{{Zone: time.UTC, Coats: []drying.Coat{{Thickness: 2e-4}}}}
		},
		"start":   func(k *seasonKeeper) { k.ask.Starts = []time.Duration{9 * time.Hour} },
		"weather": func(k *seasonKeeper) { k.ask.Weather.Series.Records = nil },
	} {
		other := *k
		change(&other)
		if _, ok := other.Load(0, 0); ok {
			t.Errorf("another %s is served what was kept", what)
		}
	}
}

// A site that another model worked out is worked out again.
func TestSitesOfAnotherModelAreDoneAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.jsonl")
	lines := `{"schema":"limeday.season-site/1","site":"old"}
{"schema":"limeday.season-site/1","site":"other","model":"another"}
{"schema":"limeday.season-site/1","site":"same","model":"` + drying.Fingerprint + `"}
`
	if err := os.WriteFile(path, []byte(lines), 0o600); err != nil {
		t.Fatal(err)
	}
	done, _, err := doneSites(path)
	if err != nil || done["old"] || done["other"] || !done["same"] {
		t.Errorf("%v, %v", done, err)
	}
}
