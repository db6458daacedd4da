package learn_test

import (
	"math/rand/v2"
	"testing"

	"limeday/drying/learn"
)

// BenchmarkLearn5 learns from five boards, with as many members as by default, on all the cores there are.
func BenchmarkLearn5(b *testing.B) {
	r := rand.New(rand.NewPCG(11, 1))
	him := truth(r)
	var boards []learn.Board
	for _, x := range append(sampleBoards(b), board(b, "primed-board", 0.15, 22, 0.45), board(b, "old-lime", 0.2, 16, 0.6)) {
		boards = append(boards, watch(b, x, him, r))
	}
	for b.Loop() {
		if _, err := learn.Learn(learn.Untaught(), boards, learn.Settings{Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
