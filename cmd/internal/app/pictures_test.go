package app

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
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

const picturesDir = "../../../testdata/pictures"

// pictures are those of the README, each with the command that draws it.
var pictures = map[string]string{
	"day.svg":       "today",
	"gable.svg":     "today --example gable",
	"thickness.svg": "thickness --temp 20C --rh 50",
	"drying.svg":    "thickness --temp 18C --rh 55 --thick 0.2mm",
	"wall.svg":      "wall",
	"hands.svg":     "wall --hands",
	"season.svg": "season " + picturesDir + "/boathouse.toml --weather " + picturesDir + "/../weather/isdlite/725300-2016.gz --weather " +
		picturesDir + "/../weather/isdlite/725300-2017.gz",
}

// TestReadmePictures draws the README's pictures anew and compares them with those that are kept. go test -update rewrites them.
func TestReadmePictures(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for name, line := range pictures {
		t.Run(name, func(t *testing.T) {
			if raced > 1 && name == "season.svg" {
				t.Skip("two years of days are many for the race detector, and other tests of the season are what it looks at")
			}
			if !bytes.Contains(readme, []byte(`<img src="testdata/pictures/`+name+`"`)) {
				t.Errorf("it is not in the README")
			}
			kept := filepath.Join(picturesDir, name)
			drawn := filepath.Join(t.TempDir(), name)
			var errs bytes.Buffer
			args := append(strings.Fields(line), "--picture", drawn)
			if hands, ok := strings.CutSuffix(line, " --hands"); ok {
				args = append(strings.Fields(hands), "--hands", drawn)
			}
			if code := Run(context.Background(), args, Env{Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: &errs, Now: time.Now, Transport: noNetwork{}}); code != ExitOK {
				t.Fatalf("%s ended with %d: %s", line, code, errs.String())
			}
			got, err := os.ReadFile(drawn)
			if err != nil {
				t.Fatal(err)
			}
			if *update {
				if err := os.WriteFile(kept, got, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(kept)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range picturesDiffer(marksOf(t, got), marksOf(t, want)) {
				t.Error(d)
			}
		})
	}
}

// placeOff is how far a mark may lie from where it was, of a picture 520 wide: goldenShare of an axis of time is 9, the step that
// a lay waits for 4 on a day of nine hours.
const placeOff = 12.0

// mark is an element of a picture: what it is, where, and what it says.
type mark struct {
	what   string // element and class
	places []float64
	says   string
}

// picturesDiffer compares two pictures: they have the same marks in the same order, each near where it was, and say the same but
// for what the numbers may be off.
func picturesDiffer(got, want []mark) (out []string) {
	if len(got) != len(want) {
		return []string{fmt.Sprintf("%d marks, want %d", len(got), len(want))}
	}
	for i, g := range got {
		w := want[i]
		if g.what != w.what || len(g.places) != len(w.places) || !saysAlike(g.says, w.says) {
			out = append(out, fmt.Sprintf("%+v, want %+v", g, w))
			continue
		}
		for k := range g.places {
			if !(math.Abs(g.places[k]-w.places[k]) <= placeOff) {
				out = append(out, fmt.Sprintf("%+v, want %+v", g, w))
				break
			}
		}
	}
	return out
}

// figures are the numbers of a text, with the clock's and what comes after them.
var figures = regexp.MustCompile(`(\d+):(\d\d)|(\d+(?:\.\d+)?)(-| to )?( ?[a-zA-Z%][a-zA-Z0-9/]*)?`)

// saysAlike tells whether two texts are the same but for their numbers, and those within what they may be off: a clock's by the
// lays before it, as in the golden answers; minutes by the five that they are rounded to; days of a month by two; others by
// goldenShare.
func saysAlike(a, b string) bool {
	if figures.ReplaceAllString(a, "#$4$5") != figures.ReplaceAllString(b, "#$4$5") {
		return false
	}
	x, y := figures.FindAllStringSubmatch(a, -1), figures.FindAllStringSubmatch(b, -1)
	for i := range x {
		value := func(m []string) float64 {
			if m[3] != "" {
				v, _ := strconv.ParseFloat(m[3], 64)
				return v
			}
			h, _ := strconv.ParseFloat(m[1], 64)
			min, _ := strconv.ParseFloat(m[2], 64)
			return 60*h + min
		}
		v, w := value(x[i]), value(y[i])
		off := goldenShare * w
		switch unit := strings.TrimSpace(x[i][5]); {
		case x[i][1] != "":
			off = 2*goldenStep + 15
		case unit == "min":
			off += 5
		case unit == "h" || unit == "d":
			off += 0.11
		default:
			if _, err := time.Parse("Jan", unit); err == nil {
				off = 2
			}
		}
		if math.Abs(v-w) > off {
			return false
		}
	}
	return true
}

var placed = regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`)

// marksOf are the elements of a picture. Of a path it is where it begins and ends, for a curve has as many points as show it.
func marksOf(t *testing.T, svg []byte) []mark {
	t.Helper()
	var out []mark
	dec := xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			m := mark{what: e.Name.Local}
			for _, a := range e.Attr {
				switch a.Name.Local {
				case "class":
					m.what += " " + a.Value
				case "x", "y", "x1", "y1", "x2", "y2", "width", "height":
					v, err := strconv.ParseFloat(a.Value, 64)
					if err != nil {
						t.Fatal(err)
					}
					m.places = append(m.places, v)
				case "d":
					all := placed.FindAllStringSubmatch(a.Value, -1)
					for _, p := range [][]string{all[0], all[len(all)-1]} {
						for _, s := range p[1:] {
							v, err := strconv.ParseFloat(s, 64)
							if err != nil {
								t.Fatal(err)
							}
							m.places = append(m.places, v)
						}
					}
				}
			}
			out = append(out, m)
		case xml.CharData:
			if len(out) > 0 && out[len(out)-1].what != "style" {
				out[len(out)-1].says += strings.TrimSpace(string(e))
			}
		}
	}
}

// What is off by more than it may be is found.
func TestPicturesDiffer(t *testing.T) {
	for _, c := range []struct {
		a, b  string
		alike bool
	}{
		{"gone by 65 min", "gone by 70 min", true}, {"gone by 65 min", "gone by 75 min", false}, {"gone by 2.1 h", "gone by 2.2 h", true},
		{"gone by 65 min", "gone by 1.1 h", false}, {"next coat from 10:15", "next coat from 10:40", true}, {"next coat from 10:15", "next coat from 10:45", false},
		{"0.2 mm", "0.25 mm", false}, {"from 12 Apr", "from 14 Apr", true}, {"from 12 Apr", "from 12 May", false}, {"to 773 W/m2", "to 780 W/m2", true}, {"to 773 W/m2", "to 800 W/m2", false},
	} {
		if saysAlike(c.a, c.b) != c.alike {
			t.Errorf("%q and %q alike: %v", c.a, c.b, !c.alike)
		}
	}
	svg := `<svg><rect class="wet" x="10" y="20" width="30" height="5"/><path class="face" d="M1 2L3 4L50 60"/></svg>`
	want := marksOf(t, []byte(svg))
	for _, c := range []struct{ from, to string }{{`x="10"`, `x="30"`}, {"L50 60", "L50 80"}, {`class="wet"`, `class="drying"`}, {`width="30"`, `width="10"`}} {
		if len(picturesDiffer(marksOf(t, []byte(strings.Replace(svg, c.from, c.to, 1))), want)) != 1 {
			t.Errorf("%s for %s is not found", c.to, c.from)
		}
	}
	if d := picturesDiffer(marksOf(t, []byte(strings.Replace(svg, "L3 4", "", 1))), want); len(d) > 0 {
		t.Errorf("a point less is found: %v", d)
	}
}

// thickness draws the water of one thickness and the times of several, tells where, and leaves a file that is there as it is.
func TestThicknessPicture(t *testing.T) {
	run := func(args ...string) (int, string) {
		var errs bytes.Buffer
		args = append([]string{"thickness", "--temp", "20C", "--rh", "50"}, args...)
		return Run(context.Background(), args, Env{Members: 40, Stdin: strings.NewReader(""), Stdout: io.Discard, Stderr: &errs, Now: time.Now, Transport: noNetwork{}}), errs.String()
	}
	file := filepath.Join(t.TempDir(), "coat.svg")
	drawn := func() string {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if code, says := run("--thick", "0.075mm", "--picture", file); code != ExitOK || says != "The picture is in "+file+".\n" {
		t.Fatalf("%d %s", code, says)
	}
	one := drawn()
	for _, want := range []string{"Coat 1, polished-lime 0.075 mm", `class="face"`, "gone by", "(8 in 10: "} {
		if !strings.Contains(one, want) {
			t.Errorf("%q is not in the drawing of one", want)
		}
	}
	if code, says := run("--thick", "0.1mm,0.5mm", "--picture", file); code != ExitUsage || !strings.Contains(says, "left as it is") || drawn() != one {
		t.Errorf("%d %s", code, says)
	}
	if code, says := run("--thick", "0.1mm,0.5mm", "--drop-test", "40s,3min", "--picture", file, "--force"); code != ExitOK {
		t.Fatalf("%d %s", code, says)
	}
	for _, want := range []string{"0.1 mm: opens ", "0.5 mm, too thick: opens "} {
		if several := drawn(); !strings.Contains(several, want) || strings.Contains(several, `class="face"`) {
			t.Errorf("%q is not in the drawing of several", want)
		}
	}
	if code, says := run("--thick", "0.1mm", "--drop-test", "40s,3min", "--picture", file, "--force"); code != ExitOK || !strings.Contains(drawn(), "the spot that drinks slowest") {
		t.Errorf("%d %s", code, says)
	}
	if code, says := run("--picture", "-"); code != ExitUsage {
		t.Errorf("%d %s", code, says)
	}
}
