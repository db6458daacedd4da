package app

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// One job at several places: a line for each, with its season or the reason that it has none; a second run works out only what
// has no answer; the list can come from standard input; and the parts of a list make the whole.
func TestSeasonSites(t *testing.T) {
	dir := t.TempDir()
	epw, err := filepath.Abs("../../../testdata/weather/epw/duluth.epw.gz")
	if err != nil {
		t.Fatal(err)
	}
	job := filepath.Join(dir, "gable.toml")
	text := `[place]
zone = "America/Chicago"
lat = 0
lon = 0
[[wall]]
bearing = "S"
[[layer]]
background = "brick"
[[coat]]
finish = "nhl-render"
thickness = "8mm"
`
	if err := os.WriteFile(job, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	list := "name,lat,lon,altitude,zone,weather\nDuluth,46.83,-92.22,433,America/Chicago," + epw + "\nelsewhere,10,10,0,UTC," + epw + "\n"
	results := filepath.Join(dir, "out.jsonl")
	run := func(stdin string, args ...string) (int, string, string) {
		var o, e bytes.Buffer
		code := Run(context.Background(), append([]string{"season", job, "--starts", "10:00"}, args...), Env{Stdin: strings.NewReader(stdin), Stdout: &o, Stderr: &e,
			CacheDir: filepath.Join(dir, "cache"), Now: func() time.Time { return time.Date(2026, 4, 14, 6, 30, 0, 0, time.UTC) }, Transport: noNetwork{}})
		return code, o.String(), e.String()
	}
	code, out, errs := run(list, "--sites", "-", "--results", results, "--json")
	if code != ExitOK || !strings.Contains(out, `"worked": 1`) || !strings.Contains(out, `"failed": 1`) {
		t.Fatalf("exit %d: %s %s", code, out, errs)
	}
	data, err := os.ReadFile(results)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	var duluth struct {
		Site   string
		Season struct {
			Schema  string
			Periods []any
		}
	}
	if err := json.Unmarshal([]byte(lines[0]), &duluth); err != nil || duluth.Site != "Duluth" || duluth.Season.Schema != "limeday.season/1" || len(duluth.Season.Periods) != 24 {
		t.Errorf("%v: %.300s", err, lines[0])
	}
	if len(lines) != 2 || !strings.Contains(lines[1], `"site":"elsewhere"`) || !strings.Contains(lines[1], "km") || !strings.Contains(lines[1], `"season":null`) {
		t.Errorf("%.400s", lines[1])
	}
	if code, out, _ := run(list, "--sites", "-", "--shard", "1/2", "--results", results, "--json"); code != ExitOK || !strings.Contains(out, `"worked": 0`) || !strings.Contains(out, `"skipped": 1`) {
		t.Errorf("exit %d: %s", code, out)
	}
	for want, args := range map[string][]string{
		"--shard and --results go with --sites": {"--shard", "1/2"},
		"--sites needs a file for its results":  {"--sites", "-"},
		"--shard is \"4/3\"":                    {"--sites", "-", "--results", results, "--shard", "4/3"},
		"lat is \"95\"":                         {"--sites", "-", "--results", results},
	} {
		in := list
		if strings.HasPrefix(want, "lat") {
			in = "name,lat,lon\nA,95,3\n"
		}
		if code, out, errs := run(in, args...); code == ExitOK || out != "" || !strings.Contains(errs, want) {
			t.Errorf("%q: exit %d: %s %s", want, code, out, errs)
		}
	}
}
