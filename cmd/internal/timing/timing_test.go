package timing_test

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"limeday/cmd/internal/timing"
	"limeday/drying"
)

func sample(t testing.TB) drying.Timing {
	t.Helper()
	n := len(drying.TimingNames())
	mean, cov := make([]float64, n), make([][]float64, n)
	for i := range n {
		mean[i], cov[i] = 0.1*float64(i)-0.2, make([]float64, n)
		cov[i][i] = 0.5
	}
	cov[0][1], cov[1][0] = -0.123456789012345, -0.123456789012345
	x, err := drying.NewTiming("polished-lime", 3, mean, cov)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func written(t testing.TB, x drying.Timing) string {
	t.Helper()
	var b bytes.Buffer
	if err := timing.Write(&b, x, time.Date(2026, 4, 14, 6, 30, 0, 5, time.UTC), []string{"hall.diary, board 1", `a "quoted" one`}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestRoundTrip: a timing comes back as it was, to the last digit.
func TestRoundTrip(t *testing.T) {
	x := sample(t)
	text := written(t, x)
	y, err := timing.Parse("me.toml", []byte(text))
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	if y.Finish != x.Finish || y.Boards != x.Boards || !slices.Equal(y.Mean, x.Mean) {
		t.Errorf("%+v, want %+v", y, x)
	}
	for i, row := range x.Rows() {
		for j, v := range row {
			if y.Rows()[i][j] != v {
				t.Errorf("covariance at %d, %d: %g, want %g", i, j, y.Rows()[i][j], v)
			}
		}
	}
}

// TestFaults: what is no timing is refused with its line where there is one, and what to do.
func TestFaults(t *testing.T) {
	good := written(t, sample(t))
	for want, text := range map[string]string{
		"me.toml:3: ":     strings.Replace(good, "schema = ", "schema = = ", 1),
		"unknown key":     good + "\nspeed = 3\n",
		"its schema is":   strings.Replace(good, "limeday.timing/1", "limeday.timing/9", 1),
		"of which finish": strings.Replace(good, "finish = 'polished-lime'", "finish = ''", 1),
		"0 boards":        strings.Replace(good, "boards = 3", "boards = 0", 1),
		"its unknowns":    strings.Replace(good, "suction clock", "sunshine clock", 1),
		"covariance":      strings.Replace(good, "0.5", "9.5", 1),
		"learn it again":  strings.Replace(good, "-0.123456789012345", "-0.9", 2),
		"give a timing, ": "\x00\xff",
	} {
		if _, err := timing.Parse("me.toml", []byte(text)); err == nil || !strings.Contains(err.Error(), want) || strings.Count(err.Error(), "\n") > 0 {
			t.Errorf("%q: %v", want, err)
		}
	}
	if _, err := timing.Load("no such file.toml"); err == nil || !strings.Contains(err.Error(), "no such file.toml: could not be read") {
		t.Errorf("%v", err)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(written(f, sample(f))))
	f.Add([]byte("schema = 'limeday.timing/1'"))
	f.Fuzz(func(t *testing.T, data []byte) {
		x, err := timing.Parse("fuzz", data)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		for _, v := range x.Mean {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("mean %v", x.Mean)
			}
		}
		y, err := timing.Parse("again", []byte(written(t, x)))
		if err != nil || !slices.Equal(x.Mean, y.Mean) {
			t.Errorf("%v, %v, %v", err, x.Mean, y.Mean)
		}
	})
}
