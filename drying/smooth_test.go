package drying_test

import (
	"math"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/coat"
	"limeday/drying/exposure"
	"limeday/drying/material"
)

// smoothEvery is one in how many stretches of steps TestSmooth takes.
var smoothEvery = 4

// TestSmooth: no step of 0.2 K, of 1 % of humidity or of 0.2 K of the wall found moves a time after laying by more than 4 % or 20 s, of a coat
// on the bare wall and of one on a bed of the same age, through the day's own path. Humidity is stepped up to 67 % alone: above that 1 % is itself
// over 3 % of what the air can still take up, and more of what a wall 2 K colder gives off to it.
func TestSmooth(t *testing.T) {
	const steps = 9
	laid := morning.Add(-20 * time.Hour)
	times := func(j drying.Job, temp, rh, wall float64) [2]coat.Times {
		ask := now(t, temp, rh)
		ask.Air.Records[0].Time = laid.Add(-time.Hour)
		if j.Behind.Kind != "" {
			ask.Faces = []drying.FaceReading{{At: laid.Add(-time.Hour), Temp: wall}}
		}
		ask.Seen = []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: laid}, {Coat: 2, What: drying.SeenLaid, At: laid.Add(18 * time.Hour)}}
		a, err := drying.Check(j, ask)
		if err != nil {
			t.Fatal(err)
		}
		return [2]coat.Times{a.Coats[0].Times, a.Coats[1].Times}
	}
	worst, n, k := 0.0, 0, 0
	for _, name := range []string{"primed-board", "brick"} {
		for _, behind := range []exposure.BehindKind{exposure.NotSaid, exposure.Partition, exposure.Solid} {
			for _, temp := range []float64{9, 15, 21} {
				for _, rh := range []float64{45, 65, 80} {
					for what, step := range map[string][3]float64{"0.2 K of the air": {0.2, 0, 0.2}, "1 % of humidity": {0, 1, 0}, "0.2 K of the wall": {0, 0, 0.2}} {
						if behind == exposure.NotSaid && what == "0.2 K of the wall" {
							continue
						}
						if k++; k%smoothEvery != 0 {
							continue
						}
						j := room(t, material.Fair, 0.2, 0.12)
						j.Background = background(t, name, "")
						j.Behind.Kind = behind
						var last [2]coat.Times
						for i := range steps {
							x := float64(i)
							if rh+x*step[1] > 67 && step[1] > 0 {
								break
							}
							is := times(j, temp+x*step[0], rh+x*step[1], temp-2+x*step[2])
							for c := range is {
								for e, v := range [][2]float64{{last[c].Edge, is[c].Edge}, {last[c].Opens, is[c].Opens}, {last[c].Burnish, is[c].Burnish}, {last[c].Closes, is[c].Closes}, {last[c].Dry, is[c].Dry}} {
									if i == 0 || math.IsInf(v[0], 1) && v[1] > 40*3600 || math.IsInf(v[1], 1) && v[0] > 40*3600 {
										continue
									}
									n++
									d := math.Abs(v[1] - v[0])
									if d > max(0.04*v[0], 20) {
										t.Errorf("%s, %q behind, %.1f C, %.0f %%: %s moves time %d of coat %d from %.0f s to %.0f", name, behind, temp+x*step[0], rh+x*step[1], what, e, c+1, v[0], v[1])
									} else if d > 20 {
										worst = max(worst, d/v[0])
									}
								}
							}
							last = is
						}
					}
				}
			}
		}
	}
	t.Logf("%d steps; the worst moves a time by %.1f %%", n, 100*worst)
}
