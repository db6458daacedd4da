package app

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "rewrite the golden answers")

// raced is 1, or under the race detector the share of a long list that is enough for it: one in so many.
var raced = 1

// golden is one run of the program: its arguments, the job on its standard input, the members of its bands where they are fewer
// than usual, and the answer.
type golden struct {
	Says    string   `json:"says"`
	Args    []string `json:"args"`
	Job     []string `json:"job,omitempty"` // lines
	Members int      `json:"members,omitempty"`
	Answer  any      `json:"answer"`
}

// What two runs of the same physics may differ by: the solver's own tolerance moves event times by less than
// 0.5 % and its grid by less than 1 % (drying/wall's convergence tests), so 2 %, or the minute that people
// read. A lay waits for a whole five minutes, so each coat may move the next lay by one such step.
const (
	goldenShare  = 0.02
	goldenMinute = 1.0
	goldenStep   = 5.0
)

func TestGolden(t *testing.T) {
	files, err := filepath.Glob("testdata/golden/*.json")
	if err != nil || len(files) < 7 {
		t.Fatalf("%d golden runs, %v", len(files), err)
	}
	for i, file := range files {
		if i%raced != raced-1 {
			continue
		}
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var g golden
			if err := json.Unmarshal(data, &g); err != nil {
				t.Fatal(err)
			}
			now := func() time.Time { return time.Date(2026, 4, 14, 5, 30, 0, 0, time.UTC) }
			var out, errs bytes.Buffer
			code := Run(context.Background(), append(slices.Clone(g.Args), "--json"), Env{Members: g.Members, Stdin: strings.NewReader(strings.Join(g.Job, "\n")), Stdout: &out, Stderr: &errs, Now: now, Transport: noNetwork{}})
			if code != ExitOK {
				t.Fatalf("exit status %d: %s", code, errs.String())
			}
			var got any
			if err := json.Unmarshal(out.Bytes(), &got); err != nil {
				t.Fatal(err)
			}
			if *update {
				g.Answer = got
				var b bytes.Buffer
				enc := json.NewEncoder(&b)
				enc.SetEscapeHTML(false)
				enc.SetIndent("", " ")
				if err := enc.Encode(g); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
					t.Fatal(err)
				}
				return
			}
			compareGolden(t, "", got, g.Answer)
		})
	}
}

var numerals = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

func compareGolden(t *testing.T, path string, got, want any) {
	t.Helper()
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		if !ok {
			t.Errorf("%s is %v, want %v", path, got, want)
			return
		}
		if _, isCoat := w["lay"]; isCoat {
			g, w = sinceLay(t, g), sinceLay(t, w)
		}
		for key := range g {
			if _, known := w[key]; !known {
				t.Errorf("%s.%s is not in the golden answer", path, key)
			}
		}
		for key := range w {
			compareGolden(t, path+"."+key, g[key], w[key])
		}
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			t.Errorf("%s is %v, want %v", path, got, want)
			return
		}
		for i := range w {
			compareGolden(t, fmt.Sprintf("%s.%d", path, i), g[i], w[i])
		}
	case float64:
		g, ok := got.(float64)
		tolerance := goldenShare * math.Abs(w)
		switch {
		case strings.HasSuffix(path, ".lay"): // minutes since midnight
			tolerance = 2*goldenStep + goldenShare*480
		case strings.HasSuffix(path, ".right.earliest") || strings.HasSuffix(path, ".right.latest"):
			tolerance = max(tolerance, 10) // rounded outward to as much
		case strings.Contains(path, "_min") || strings.Contains(path, ".coats."):
			tolerance = max(tolerance, goldenMinute)
		case strings.HasSuffix(path, "_c") || strings.HasSuffix(path, "_k") || strings.HasSuffix(path, ".value"):
			tolerance = max(tolerance, 0.1)
		}
		if !ok || !(math.Abs(g-w) <= tolerance) {
			t.Errorf("%s is %v, want %v within %.2g", path, got, want, tolerance)
		}
	case string:
		g, ok := got.(string)
		switch at, err := time.Parse(time.RFC3339, w); {
		case ok && strings.HasPrefix(path, ".exercises."): // likewise
			if numerals.ReplaceAllString(g, "0") != numerals.ReplaceAllString(w, "0") {
				t.Errorf("%s is %q, want %q", path, g, w)
			}
		case ok && strings.HasSuffix(path, ".effect"): // words for people, with rounded numerals in them
			if (g == "") != (w == "") || strings.HasPrefix(g, "no") != strings.HasPrefix(w, "no") {
				t.Errorf("%s is %q, want %q", path, g, w)
			}
		case ok && err == nil: // a moment: the rounding of each lay before it may move it
			if d := parsedTime(t, g).Sub(at); d.Abs() > 2*goldenStep*time.Minute+15*time.Minute {
				t.Errorf("%s is %s, want %s", path, g, w)
			}
		case g != w:
			t.Errorf("%s is %v, want %v", path, got, want)
		}
	default:
		if got != want {
			t.Errorf("%s is %v, want %v", path, got, want)
		}
	}
}

// sinceLay turns a coat's times into minutes after laying, and lay into the minute of its day.
func sinceLay(t *testing.T, c map[string]any) map[string]any {
	t.Helper()
	out := map[string]any{}
	lay := parsedTime(t, c["lay"])
	for key, v := range c {
		switch s, isText := v.(string); {
		case key == "lay":
			out[key] = float64(60*lay.Hour() + lay.Minute())
			out["offset"], out["date"] = lay.Format("Z07:00"), lay.Format(time.DateOnly)
		case isText && key != "finish" && key != "due":
			out[key] = parsedTime(t, s).Sub(lay).Minutes()
		default:
			out[key] = v
		}
	}
	return out
}

func parsedTime(t *testing.T, v any) time.Time {
	t.Helper()
	m, err := time.Parse(time.RFC3339, fmt.Sprint(v))
	if err != nil {
		t.Fatalf("%v is no RFC 3339 time", v)
	}
	return m
}
