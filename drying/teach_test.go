package drying_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/weather"
)

// testBoard is a board in steady air of which nothing was seen yet.
func testBoard(t testing.TB, on string, mm float64) drying.Sample {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	primer := material.Primer("")
	if on == "primed-board" {
		primer = material.Fair
	}
	return drying.Sample{Name: on, Finish: f, Background: background(t, on, primer), Number: 1, Thickness: mm * 1e-3, Laid: seven, AirSpeed: 0.1, Pressure: 101325,
		Air: spell(seven, 1, func(_ int, r *weather.Record) {
			r.Temperature, r.Vapour = weather.Value{V: 18, Tag: weather.Measured}, weather.Value{V: 0.55 * 2064, Tag: weather.Measured}
		})}
}

func seen(b drying.Sample, damp, gone, dry float64) drying.Sample {
	at := func(min float64) time.Time { return b.Laid.Add(time.Duration(min * float64(time.Minute))) }
	b.Seen = []drying.Seen{{What: drying.SeenLaid, At: b.Laid}, {What: drying.SeenDamp, At: at(damp)}, {What: drying.SeenGone, At: at(gone)}, {What: drying.SeenDry, At: at(dry)}}
	return b
}

// TestTeach: boards that go by sooner than expected make every later time sooner and narrower, in words and in numbers, and a
// timing learned moves the day's check and the ladder of its finish, and no other's.
func TestTeach(t *testing.T) {
	ensembles(t)
	fast := []drying.Sample{seen(testBoard(t, "primed-board", 0.2), 8, 45, 60), seen(testBoard(t, "primed-board", 0.12), 5, 26, 36)}
	got, err := drying.Teach(fast, nil, drying.Bands{Members: members, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range got.Samples {
		t.Logf("%s: was %.0f is %.0f seen %.0f s, clock %.2f odd %v", s.Sample.Name, s.Was, s.Is, s.Seen, s.Clock, s.Odd)
		if s.Odd {
			t.Errorf("board %d is said to be odd", i)
		}
		for k := range s.Seen {
			if math.Abs(math.Log(s.Is[k]/s.Seen[k])) > 0.8*math.Abs(math.Log(s.Was[k]/s.Seen[k]))+0.1 {
				t.Errorf("%s: seen after %.0f s, expected after %.0f, and before it was taught %.0f", s.States[k], s.Seen[k], s.Is[k], s.Was[k])
			}
		}
	}
	for i, b := range got.Before {
		a := got.After[i]
		t.Logf("usual coat: %.0f to %.0f s, taught %.0f to %.0f", b.Earliest, b.Latest, a.Earliest, a.Latest)
		if i > 0 && !(math.Log(a.Latest/a.Earliest) < 0.88*math.Log(b.Latest/b.Earliest) && a.Latest < b.Latest) {
			t.Errorf("time %d: %.0f to %.0f s, taught %.0f to %.0f", i, b.Earliest, b.Latest, a.Earliest, a.Latest)
		}
	}
	for _, f := range got.Facts {
		t.Logf("%s: %.2f, %s", f.Name, f.Known, f.Text)
	}
	if f := got.Facts[1]; f.Name != "suction clock" || f.Text != "not told by these boards" {
		t.Errorf("suction from two primed boards: %+v", f)
	}

	j, air := hall(t)
	ask := drying.Ask{At: seven, Air: air}
	plain, err := drying.Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	j.Timing = &got.Timing
	taught, err := drying.Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	if !taught.Coats[0].Recoat.Before(plain.Coats[0].Recoat) {
		t.Errorf("next coat at %s, taught %s", plain.Coats[0].Recoat, taught.Coats[0].Recoat)
	}
	other := got.Timing
	other.Finish = "marble-coat"
	j.Timing = &other
	same, err := drying.Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	if !same.Coats[0].Recoat.Equal(plain.Coats[0].Recoat) {
		t.Errorf("the timing of another finish moves the next coat from %s to %s", plain.Coats[0].Recoat, same.Coats[0].Recoat)
	}
	if err := same.Band(ask, drying.Bands{Members: 30}); err != nil {
		t.Fatal(err)
	}
}

// TestTeachWeighings: mass over time, first weighing apart, is taken as water lost.
func TestTeachWeighings(t *testing.T) {
	ensembles(t)
	b := testBoard(t, "primed-board", 0.2)
	b.Area = 0.36
	for i, kg := range []float64{3.000, 2.996, 2.992, 2.984} { // 33 g/(m2 h) at first
		b.Weighings = append(b.Weighings, drying.Weighing{At: b.Laid.Add(time.Duration(20*i) * time.Minute), Mass: kg})
	}
	got, err := drying.Teach([]drying.Sample{b}, nil, drying.Bands{Members: members, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if k := got.Facts[0]; !(k.Known > 0.2) {
		t.Errorf("%+v", k)
	}
	b.Area = 0
	_, err = drying.Teach([]drying.Sample{b}, nil, drying.Bands{Members: members, Seed: 1})
	var bad *drying.SampleError
	if !errors.As(err, &bad) || !strings.Contains(err.Error(), "its area is not known") {
		t.Errorf("%v", err)
	}
	if _, err := drying.Teach([]drying.Sample{testBoard(t, "brick", 0.2)}, nil, drying.Bands{}); !errors.As(err, &bad) || !strings.Contains(err.Error(), "nothing was seen of it") {
		t.Errorf("%v", err)
	}
}

// TestPlanSamples: boards worth making are offered best first, each narrower than the one before; on a thirsty wall a board
// of its own background is worth more than one on a sealed primer.
func TestPlanSamples(t *testing.T) {
	ensembles(t)
	offered := []drying.Sample{testBoard(t, "primed-board", 0.1), testBoard(t, "primed-board", 0.2), testBoard(t, "brick", 0.1), testBoard(t, "brick", 0.2)}
	for _, on := range []string{"primed-board", "brick"} {
		worth, before, err := drying.PlanSamples(nil, offered, testBoard(t, on, 0.15), 3)
		if err != nil {
			t.Fatal(err)
		}
		width := before
		for _, w := range worth {
			t.Logf("%s: %s %.2f mm: %.2f, %.2f before", on, w.Sample.Name, w.Sample.Thickness*1e3, w.Width, width)
			if !(w.Width < width && w.Width > 1) {
				t.Errorf("%s: gone by within a factor of %.2f, %.2f before", w.Sample.Name, w.Width, width)
			}
			width = w.Width
		}
		if len(worth) != 3 || worth[0].Sample.Name != on {
			t.Errorf("for %s the first board is on %s", on, worth[0].Sample.Name)
		}
	}
}
