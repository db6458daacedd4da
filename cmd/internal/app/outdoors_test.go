package app

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const gableJob = `
[place]
name = "Gable, Holm Farm"
lat = 60.1
lon = 10.0
altitude = "120m"
zone = "Europe/Oslo"
[[wall]]
name = "gable"
bearing = "S"
height = "5m"
width = "6m"
[[wall]]
name = "porch side"
bearing = "NE"
shelter = 0.3
height = "2.4m"
width = "4m"
[[layer]]
background = "old-lime"
[[coat]]
finish = "polished-lime"
thickness = "0.2mm"
[[coat]]
finish = "polished-lime"
thickness = "0.09mm"
[crew]
people = 2
`

// A job of two walls outdoors is judged from the forecast, wall by wall; a reading alone is not enough.
func TestOutdoors(t *testing.T) {
	s := newSite(t, withContact)
	s.now = time.Date(2026, 5, 20, 5, 30, 0, 0, time.UTC)
	s.answer = s.steady(14, 8, 72)
	run := func(args ...string) (int, string, string) {
		var o, e bytes.Buffer
		code := Run(context.Background(), append([]string{"today", "-"}, args...), Env{Members: 3, Stdin: strings.NewReader(gableJob), Stdout: &o, Stderr: &e,
			Now: func() time.Time { return s.now }, ConfigDir: s.home, CacheDir: filepath.Join(s.home, "cache"),
			Sleep: func(context.Context, time.Duration) error { return nil }})
		s.out, s.errOut = o.String(), e.String()
		return code, s.out, s.errOut
	}
	code, _, errOut := run("--json")
	if code != ExitOK {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	a := s.json()
	walls := a["walls"].([]any)
	if len(walls) != 2 || walls[0].(map[string]any)["bearing"] != 180.0 || walls[1].(map[string]any)["name"] != "porch side" {
		t.Errorf("walls %v", walls)
	}
	frost := a["frost"].(map[string]any)
	if frost["risk"] != "none-in-forecast" || frost["first_freeze"] != nil || frost["surface_min_c"].(float64) > 15 {
		t.Errorf("frost %v", frost)
	}
	if w := a["weather"].(map[string]any); w["radiation"] != "estimated" || w["forecast"] != true {
		t.Errorf("weather %v", w)
	}
	_, out, _ := run("--detail")
	if !strings.Contains(out, "looking south") || !strings.Contains(out, "Later frost is not known") || !strings.Contains(out, "porch side, looking north-east") {
		t.Errorf("%s", out)
	}
	if os.Getenv("LIMEDAY_SHOW") != "" {
		t.Log("\n" + out)
	}
	if code, _, errOut := run("--temp", "14", "--rh", "60"); code != ExitNoWeather || !strings.Contains(errOut, "needs the forecast") {
		t.Errorf("exit %d: %s", code, errOut)
	}
}

// A hard night: the face freezes while it is wet, and the day is a no-go with its hour.
func TestOutdoorsFrost(t *testing.T) {
	s := newSite(t, withContact)
	s.now = time.Date(2026, 10, 20, 5, 30, 0, 0, time.UTC)
	s.answer = s.steady(-4, -6, 72)
	var o, e bytes.Buffer
	code := Run(context.Background(), []string{"today", "-", "--json"}, Env{Members: 3, Stdin: strings.NewReader(gableJob), Stdout: &o, Stderr: &e,
		Now: func() time.Time { return s.now }, ConfigDir: s.home})
	s.out = o.String()
	if code != ExitOK {
		t.Fatalf("exit %d: %s", code, e.String())
	}
	a := s.json()
	if frost := a["frost"].(map[string]any); a["verdict"] != "no-go" || frost["risk"] != "likely" || frost["first_freeze"] == nil {
		t.Errorf("%v %v", a["verdict"], frost)
	}
}
