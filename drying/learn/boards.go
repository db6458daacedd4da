package learn

import (
	"fmt"
	"math"

	"limeday/drying/parallel"

	"gonum.org/v1/gonum/mat"
)

// Result is what boards have taught.
type Result struct {
	Timing    Timing
	Method    Method
	Effective float64 // see Posterior
	Boards    []Report
}

// Report is one board against what was learned of all.
type Report struct {
	Board Board
	Was   []float64 // s at which each state seen was expected before anything was learned
	Is    []float64 // s at which it is expected by the timing learned, the board's own unknowns apart
	Clock float64   // the board's own factor on its times, most probable
	Odd   bool      // it goes its own way: by its clock, or by a state the timing cannot explain
}

// oddClock is how far a board's clock may lie from the others' before it counts as odd: in standard deviations of where the
// most probable clocks of boards come to lie (see Timing.Strange), so that one board in twenty is; with those odd by a state it is one in
// sixteen.
const oddClock = 1.96

// oddState likewise for a state: in scales of its t.
const oddState = 3.0

// longestBed is how long the coats before a board's are waited for, s.
const longestBed = 45 * 86400.0

// NothingSeenError says that there is nothing to learn from.
type NothingSeenError struct{ Board string }

func (e *NothingSeenError) Error() string {
	return fmt.Sprintf("nothing was seen of %s: no state and no weighing", e.Board)
}

// Learn gives the timing that boards leave of a prior one. All boards are of one finish, and of the prior's where that has
// one; else it panics. Errors are *NothingSeenError, *BoardError.
func Learn(prior Timing, boards []Board, set Settings) (Result, error) {
	if len(boards) == 0 {
		panic("learn: no boards")
	}
	for _, b := range boards {
		if b.Finish.Name != boards[0].Finish.Name || prior.Finish != "" && prior.Finish != b.Finish.Name {
			panic("learn: boards of several finishes")
		}
		if len(b.Seen) == 0 && len(b.Weights) == 0 {
			return Result{}, &NothingSeenError{b.Name}
		}
	}
	beds := make([]*Bed, len(boards))
	if err := parallel.Each(len(boards), func(i int) (err error) {
		beds[i], err = NewBed(boards[i], longestBed)
		return err
	}); err != nil {
		return Result{}, err
	}
	subjects := make([]Subject, len(boards))
	for i, b := range beds {
		subjects[i] = b.subject()
	}
	p, err := Condition(prior, subjects, set)
	if err != nil {
		return Result{}, err
	}
	r := Result{Timing: prior.after(p, boards[0].Finish.Name, len(boards)), Method: p.Method, Effective: p.Effective, Boards: make([]Report, len(boards))}
	set.defaults().Tell(1)
	return r, parallel.Each(len(beds), func(k int) (err error) {
		i := int(unknowns) + Lays*k
		told := 1 - p.Cov.At(i+clockOfLay, i+clockOfLay)
		r.Boards[k], err = beds[k].report(prior, r.Timing, p.Mean[i:i+Lays], math.Sqrt(max(told, little)))
		return err
	})
}

// after is the timing moved by a posterior of its own numbers.
func (t Timing) after(p Posterior, finish string, boards int) Timing {
	n := int(unknowns)
	l := lower(t.Cov)
	var left, both mat.Dense
	left.Mul(l, p.Cov.SliceSym(0, n))
	both.Mul(&left, l.T())
	out := Timing{Finish: finish, Boards: t.Boards + boards, Mean: t.Theta(p.Mean), Cov: mat.NewSymDense(n, nil)}
	for i := range n {
		for j := i; j < n; j++ {
			out.Cov.SetSym(i, j, (both.At(i, j)+both.At(j, i))/2)
		}
	}
	return out
}

// report holds a board against what was learned, its own unknowns being most probably lay, and such clocks spread by sd.
func (b *Bed) report(prior, now Timing, lay []float64, sd float64) (Report, error) {
	s := b.subject()
	none := make([]float64, Lays)
	was, err := s.Expect(prior.Mean, none)
	if err != nil {
		return Report{}, err
	}
	is, err := s.Expect(now.Mean, none)
	if err != nil {
		return Report{}, err
	}
	own, err := s.Expect(now.Mean, lay)
	if err != nil {
		return Report{}, err
	}
	l := b.layOf(lay)
	r := Report{Board: b.Board, Clock: l.Slow(), Odd: math.Abs(l.Clock) > oddClock*sd}
	for i, x := range b.Seen {
		r.Was, r.Is = append(r.Was, math.Exp(was[i])), append(r.Is, math.Exp(is[i]))
		lo, hi := x.off(own[i])
		r.Odd = r.Odd || lo > oddState && !x.atOnce() || hi < -oddState
	}
	return r, nil
}
