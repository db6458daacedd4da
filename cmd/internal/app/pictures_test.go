package app

import (
	"bytes"
	"context"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// pictures are those of the README, each with the command that draws it.
var pictures = map[string]string{
	"day.svg":       "today",
	"gable.svg":     "today --example gable",
	"thickness.svg": "thickness --temp 20C --rh 50",
}

// TestReadmePictures draws the README's pictures anew: what is in them, in order, is the same, and every bar and text stands
// within a few hundredths of the width of where it stood. go test -update rewrites them.
func TestReadmePictures(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for name, line := range pictures {
		kept := filepath.Join("..", "..", "..", "testdata", "pictures", name)
		if !bytes.Contains(readme, []byte("testdata/pictures/"+name)) {
			t.Errorf("%s is not in the README", name)
		}
		drawn := filepath.Join(t.TempDir(), name)
		args := append(strings.Fields(line), "--picture", drawn)
		if code := Run(context.Background(), args, Env{Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: io.Discard, Now: time.Now}); code != 0 {
			t.Fatalf("%s ended with %d", line, code)
		}
		got, err := os.ReadFile(drawn)
		if err != nil {
			t.Fatal(err)
		}
		if *update {
			if err := os.WriteFile(kept, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(kept)
		if err != nil {
			t.Fatal(err)
		}
		a, b := marksOf(string(got)), marksOf(string(want))
		if len(a) != len(b) {
			t.Errorf("%s has %d marks, not %d", name, len(a), len(b))
			continue
		}
		for i := range a {
			if a[i].what != b[i].what || math.Abs(a[i].x-b[i].x) > 12 || math.Abs(a[i].y-b[i].y) > 12 {
				t.Errorf("%s: %+v, not %+v", name, a[i], b[i])
			}
		}
	}
}

type pictureMark struct {
	what string // the class, and of a text its words without figures
	x, y float64
}

var (
	markOf = regexp.MustCompile(`<(rect|text) class="([^"]*)" x="([^"]*)" y="([^"]*)"(?: width="[^"]*" height="[^"]*"/>|>([^<]*)<)`)
	figure = regexp.MustCompile(`[0-9.:]+`)
)

func marksOf(svg string) []pictureMark {
	var out []pictureMark
	for _, m := range markOf.FindAllStringSubmatch(svg, -1) {
		x, _ := strconv.ParseFloat(m[3], 64)
		y, _ := strconv.ParseFloat(m[4], 64)
		out = append(out, pictureMark{m[2] + " " + figure.ReplaceAllString(m[5], "#"), x, y})
	}
	return out
}
