package parallel

import (
	"errors"
	"strings"
	"sync/atomic"
	"testing"
)

func TestEach(t *testing.T) {
	var done atomic.Int64
	boom := errors.New("boom")
	if err := Each(100, func(i int) error { done.Add(1); return nil }); err != nil || done.Load() != 100 {
		t.Errorf("%v after %d", err, done.Load())
	}
	if err := Each(5, func(i int) error {
		if i == 3 {
			return boom
		}
		return nil
	}); err != boom {
		t.Error(err)
	}
}

// A worker's panic comes to whom it works for, once and with its place, from any depth and past an error.
func TestEachPanicsWhereItWasAsked(t *testing.T) {
	var none []int
	p := Catch(func() {
		_ = Each(4, func(i int) error {
			return Each(4, func(j int) error {
				if i+j > 0 {
					return errors.New("no panic")
				}
				_ = none[i]
				return nil
			})
		})
	})
	if p == nil || !strings.Contains(p.Error(), "index out of range") || !strings.HasPrefix(p.At, "drying/parallel/parallel_test.go:") {
		t.Fatalf("%v", p)
	}
	if p := Catch(func() {}); p != nil {
		t.Error(p)
	}
	cause := errors.New("cause")
	if p := Catch(func() { panic(cause) }); !errors.Is(p, cause) {
		t.Error(p)
	}
}

// The first that holds is found whatever runs beside it, and an error counts only where nothing holds before it.
func TestFirst(t *testing.T) {
	boom := errors.New("boom")
	for _, c := range []struct {
		n, holds, fails, want int
		err                   error
	}{{0, 9, 9, 0, nil}, {5, 9, 9, 5, nil}, {50, 0, 1, 0, nil}, {50, 20, 21, 20, nil}, {50, 20, 19, 19, boom}, {1, 9, 0, 0, boom}} {
		var asked atomic.Int64
		got, err := First(c.n, func(i int) (bool, error) {
			asked.Add(1)
			if i == c.fails {
				return false, boom
			}
			return i >= c.holds, nil
		})
		if got != c.want || err != c.err {
			t.Errorf("%+v: %d, %v", c, got, err)
		}
		if c.holds == 0 && asked.Load() != 1 {
			t.Errorf("%+v: asked %d times", c, asked.Load())
		}
	}
}
