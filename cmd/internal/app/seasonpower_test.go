package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// powerYear is an invented year in the shape of an answer of NASA POWER: mild, but in the springs of even years with a frost
// on 5 May.
func powerYear(year int) []byte {
	var b bytes.Buffer
	b.WriteString(`{"type":"Feature","geometry":{"type":"Point","coordinates":[10.0,60.1,120.0]},"properties":{"parameter":{`)
	temp := func(t time.Time) float64 {
		c := 7 - 9*math.Cos(2*math.Pi*float64(t.YearDay()-20)/365) + 4*math.Sin(2*math.Pi*(float64(t.Hour())-8.5)/24)
		if year%2 == 0 && t.Month() == time.May && t.Day() == 5 && t.Hour() >= 2 && t.Hour() < 6 {
			c = -2
		}
		return c
	}
	for i, p := range []struct {
		key string
		at  func(time.Time) float64
	}{{"T2M", temp}, {"T2MDEW", func(t time.Time) float64 { return temp(t) - 5 }}, {"WS10M", func(time.Time) float64 { return 3 }}, {"WD10M", func(time.Time) float64 { return 200 }},
		{"PRECTOTCORR", func(time.Time) float64 { return 0.01 }}, {"ALLSKY_SFC_SW_DWN", func(t time.Time) float64 { return max(0, 300*math.Sin(2*math.Pi*(float64(t.Hour())-5.3)/24)-150) }}} {
		if i > 0 {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, "%q:{", p.key)
		sep := ""
		for t := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); t.Year() == year; t = t.Add(time.Hour) {
			fmt.Fprintf(&b, "%s\"%s\":%.2f", sep, t.Format("2006010215"), p.at(t))
			sep = ","
		}
		b.WriteString("}")
	}
	b.WriteString(`}},"header":{"fill_value":-999.0,"time_standard":"UTC"},"messages":[],"parameters":{"T2M":{"units":"C"},"T2MDEW":{"units":"C"},"WS10M":{"units":"m/s"},"WD10M":{"units":"degrees"},"PRECTOTCORR":{"units":"mm/hour"},"ALLSKY_SFC_SW_DWN":{"units":"Wh/m^2"}}}`)
	return b.Bytes()
}

// The season's years are asked of the service once and kept; a second run reads its own results and asks nobody; and today says
// how often frost came after its forecast in the years that are kept, and nothing where none are.
func TestSeasonFromService(t *testing.T) {
	asked := 0
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked++
		year, err := strconv.Atoi(r.URL.Query().Get("start")[:4])
		if err != nil || r.URL.Path != "/odd" {
			t.Errorf("asked for %s", r.URL)
		}
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(powerYear(year))
	}))
	defer srv.Close()
	home := t.TempDir()
	if err := os.MkdirAll(filepath.Join(home, "limeday"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(home, "limeday", "config.toml"), []byte("[source.power]\nbase_url = \""+srv.URL+"/odd\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	one := strings.Replace(gableJob, gableJob[strings.Index(gableJob, "[[wall]]\nname = \"porch side\""):strings.Index(gableJob, "[[layer]]")], "", 1)
	run := func(args ...string) (map[string]any, string) {
		t.Helper()
		var o, e bytes.Buffer
		code := Run(context.Background(), args, Env{Members: 8, Stdin: strings.NewReader(one), Stdout: &o, Stderr: &e, CacheDir: filepath.Join(home, "cache"), ConfigDir: home,
			Now: func() time.Time { return time.Date(2026, 4, 20, 6, 30, 0, 0, time.UTC) }, Sleep: func(context.Context, time.Duration) error { return nil }})
		if code != ExitOK {
			t.Fatalf("%v: exit %d: %s", args, code, e.String())
		}
		var a map[string]any
		if err := json.Unmarshal(o.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		return a, e.String()
	}
	ask := []string{"season", "-", "--years", "2023-2024", "--starts", "09:00", "--json"}
	first, errs := run(ask...)
	if asked != 2 || !strings.Contains(errs, "Asking NASA POWER for 2023 to 2024") {
		t.Errorf("asked %d times, %q", asked, errs)
	}
	if n := len(first["periods"].([]any)); n != 24 {
		t.Errorf("%d half-months", n)
	}
	again, _ := run(append(ask, "--offline")...)
	if asked != 2 {
		t.Errorf("asked %d times", asked)
	}
	if a, b := fmt.Sprint(first["periods"], first["frost_safe"]), fmt.Sprint(again["periods"], again["frost_safe"]); a != b {
		t.Errorf("%s\nand again %s", a, b)
	}

	// A forecast of four days, from the service of forecasts; the history that is kept goes on from there.
	s := newSite(t, withContact)
	s.job, s.now = one, time.Date(2026, 4, 20, 6, 30, 0, 0, time.UTC)
	s.answer = s.steady(9, 4, 96)
	if code := s.run("--json"); code != ExitOK {
		t.Fatalf("exit %d: %s", code, s.errOut)
	}
	if got := s.json()["frost"].(map[string]any)["after_forecast"]; got != nil {
		t.Errorf("with no history kept: %v", got)
	}
	if err := os.Rename(filepath.Join(home, "cache"), filepath.Join(s.home, "cache2")); err != nil {
		t.Fatal(err)
	}
	s.cache = filepath.Join(s.home, "cache2")
	if err := os.WriteFile(filepath.Join(s.home, "limeday", "config.toml"), []byte(strings.ReplaceAll(withContact, "URL", s.server.URL+"/odd")+"[source.power]\nbase_url = \""+srv.URL+"/odd\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code := s.run("--json"); code != ExitOK {
		t.Fatalf("exit %d: %s", code, s.errOut)
	}
	odds, ok := s.json()["frost"].(map[string]any)["after_forecast"].(map[string]any)
	if !ok || odds["years"].(float64) != 2 || odds["share"].(float64) != 0.5 || asked != 2 {
		t.Errorf("%v, asked %d times", odds, asked)
	}
	if code := s.run(); code != ExitOK || !strings.Contains(strings.Join(strings.Fields(s.out), " "), "in 1 of 2 years past") {
		t.Errorf("exit %d: %s", code, s.out)
	}
}
