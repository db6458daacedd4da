package learn_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"limeday/drying/coat"
	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/psychro"
)

func named(t testing.TB, finish, background string) (material.Finish, material.Background) {
	t.Helper()
	f, err := material.FinishNamed(finish)
	if err != nil {
		t.Fatal(err)
	}
	primer := material.Primer("")
	if background == "primed-board" {
		primer = material.Fair
	}
	b, err := material.BackgroundNamed(background, primer)
	if err != nil {
		t.Fatal(err)
	}
	return f, b
}

// air is steady.
func air(c, rh, speed float64) []wall.Air {
	return []wall.Air{{Temperature: c, Radiant: c, Speed: speed, Vapour: rh * float64(psychro.SaturationWater(psychro.Celsius(c)))}}
}

// sample is a board in steady air, watched for nothing yet.
func sample(t testing.TB, finish, background string, mm, c, rh float64) learn.Board {
	f, b := named(t, finish, background)
	return learn.Board{Name: fmt.Sprintf("%.2f mm on %s", mm, background), Finish: f, Background: b, Number: 1, Thickness: mm * 1e-3,
		Setting: coat.Setting{Face: wall.FaceSpec{Height: 0.6, Emissivity: f.Emissivity.Value, Pressure: 101325}, Air: air(c, rh, 0.1), WallTemp: c},
		Doubts:  []learn.Doubt{learn.Read()}}
}

// truth is a plasterer as they are: the unknowns of Timing.
func truth(r *rand.Rand) []float64 {
	z := make([]float64, len(learn.Unknowns()))
	for i := range z {
		z[i] = r.NormFloat64()
	}
	return z
}

// watch gives a board what would be seen of it under a truth, the board's own unknowns drawn from r.
func watch(t testing.TB, b learn.Board, theta []float64, r *rand.Rand) learn.Board {
	t.Helper()
	times := b.Simulate(t.Fatal, theta, r)
	for i, s := range []learn.State{learn.Damp, learn.Gone, learn.Dry} {
		if x := times[i]; !math.IsInf(x, 1) {
			b.Seen = append(b.Seen, learn.Seen{State: s, By: x})
		}
	}
	return b
}
