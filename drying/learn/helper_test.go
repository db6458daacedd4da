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

// states are when those of a board come; own is nil for the middle of its unknowns.
func states(t testing.TB, b learn.Board, theta, own []float64) []float64 {
	t.Helper()
	if own == nil {
		own = make([]float64, learn.Lays)
	}
	times, err := b.States(theta, own)
	if err != nil {
		t.Fatal(err)
	}
	return times
}

// watch gives a board what would be seen of it under a truth, the board's own unknowns and the error of the eye drawn from r.
func watch(t testing.TB, b learn.Board, theta []float64, r *rand.Rand) learn.Board {
	t.Helper()
	own := make([]float64, learn.Lays)
	for i := range own {
		own[i] = r.NormFloat64()
	}
	return noted(b, states(t, b, theta, own), r)
}

// plain gives a board what a perfect eye would see of it under a truth, nothing being its own, all times slower times as long.
func plain(t testing.TB, b learn.Board, theta []float64, slower float64) learn.Board {
	t.Helper()
	for i, x := range states(t, b, theta, nil) {
		b.Seen = append(b.Seen, learn.Seen{State: inOrder[i], After: x * slower * 0.98, By: x * slower * 1.02})
	}
	return b
}

// raced is whether the race detector watches.
var raced bool

var inOrder = []learn.State{learn.Damp, learn.Gone, learn.Dry}

// noted puts down the states that come.
func noted(b learn.Board, times []float64, r *rand.Rand) learn.Board {
	for i, x := range times {
		if !math.IsInf(x, 1) {
			b.Seen = append(b.Seen, learn.Watched(inOrder[i], x, r))
		}
	}
	return b
}

// teach learns from boards of a hand nothing is known of, with few members: the boards of these tests are told by Gauss and Newton's method.
func teach(t testing.TB, boards ...learn.Board) learn.Result {
	t.Helper()
	res, err := learn.Learn(learn.Untaught(), boards, learn.Settings{Members: 24, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// known is how much is known of an unknown.
func known(r learn.Result, u learn.Unknown) float64 { return r.Timing.Known()[u] }
