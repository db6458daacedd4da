package learn

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"limeday/drying/coat"
	"limeday/drying/course"
	"limeday/drying/material"
	"limeday/drying/wall"
)

// State is a state of a face that can be seen to come.
type State string

// The states.
const (
	Damp State = "damp" // the face opens: ready to compress
	Gone State = "gone" // gone by
	Dry  State = "dry"  // evenly pale: the next coat can follow
)

// Seen is one state of a board as it was seen to come: after the last look at which it had not, and by the time it was
// noted. By is +Inf where it was never seen.
type Seen struct {
	State     State
	After, By float64 // s after laying
	Course    float64 // s from laying to gone by of such a coat, which the error of the model goes by where the state is expected before; zero: by the state alone
}

// Weight is a weighing of a board: the water it had lost since its first.
type Weight struct {
	At   float64 // s after laying
	Lost float64 // kg/m2
	Off  float64 // standard deviation of Lost, kg/m2
}

// Board is one coat on a sample board, laid and watched.
type Board struct {
	Name       string
	Finish     material.Finish
	Background material.Background
	Measured   bool    // its suction was measured
	Number     int     // of the coat, from 1: the coats before are of the same finish, of usual thicknesses, and dry
	Thickness  float64 // wet, m
	Weighed    bool    // the thickness is by tub weight
	Damped     bool
	Setting    coat.Setting                // its air, s after laying
	Face       *float64                    // its temperature when it was laid, C; nil: that of the air
	Fade       func(depth float64) float64 // with Face; see [course.Look]
	Doubts     []Doubt                     // of that air
	Seen       []Seen
	From       float64  // the first weighing, s after laying
	Weights    []Weight // those after it, in order of time
}

// longest is how long a board is followed, s: three times as long as it was watched, twice as long as it was weighed, and
// two days at least.
func (b *Board) longest() float64 {
	t := 48 * 3600.0
	for _, s := range b.Seen {
		if !math.IsInf(s.By, 1) {
			t = max(t, 3*s.By)
		}
		t = max(t, 3*s.After)
	}
	for _, w := range b.Weights {
		t = max(t, 2*w.At)
	}
	return t
}

// Bed is a board ready to be laid.
type Bed struct {
	Board
	course *course.Course
	laid   float64 // s, by the clock of the course
}

// NewBed brings a board to where it is laid, in the air it is laid in; the coats before are waited for until limit, s. The
// error is a *BoardError.
func NewBed(b Board, limit float64) (*Bed, error) {
	s := b.Setting
	s.Coarse = true
	now := wall.NewFace(s.Face, s.Air).At(0)
	s.Air = []wall.Air{now}
	c, err := course.Bed([]course.Spot{{Background: b.Background, Setting: s}}, b.Damped, b.Finish, b.Number, limit)
	if err != nil {
		return nil, &BoardError{Board: b.Name, Err: err}
	}
	if b.Face != nil {
		c.Measured(*b.Face, b.Fade)
	}
	return &Bed{b, c, c.Time()}, nil
}

// BoardError says which board cannot be followed.
type BoardError struct {
	Board string
	Err   error
}

func (e *BoardError) Error() string { return e.Board + ": " + e.Err.Error() }

// Unwrap gives the cause.
func (e *BoardError) Unwrap() error { return e.Err }

// Lays is how many unknowns a lay has.
const Lays = 7

// clockOfLay is the place of a coat's own clock among them.
const clockOfLay = 6

// LayOf makes a lay of standard normal numbers.
func LayOf(z []float64) Lay {
	return Lay{Wall: z[0], Batch: z[1], Temperature: z[2], Vapour: z[3], Speed: z[4], Thickness: z[5], Clock: z[clockOfLay]}
}

// layOf is the board's own.
func (b *Board) layOf(z []float64) Lay {
	l := LayOf(z)
	l.Measured, l.Weighed = b.Measured, b.Weighed
	return l
}

// Times are those of the board, laid thick metres thick, under a plasterer's unknowns and one lay's; with them stands the
// wall, which has dried until the next coat can follow, or for limit seconds.
func (b *Bed) Times(theta []float64, l Lay, thick, limit float64) (coat.Times, *course.Course, error) {
	w := b.course.Under(l.Factors(b.Finish, theta), func([]wall.Air) []wall.Air {
		air := l.Air(b.Setting.Air, b.Doubts)
		for i := range air {
			air[i].Time += b.laid
		}
		return air
	})
	if err := w.Lay(coat.Coat{Finish: b.Finish, Thickness: thick}); err != nil {
		return coat.Times{}, nil, &BoardError{b.Name, err}
	}
	slow := l.Slow()
	var at []float64
	if len(b.Weights) > 0 {
		at = append(at, b.laid+b.From/slow)
		for _, x := range b.Weights {
			at = append(at, b.laid+x.At/slow)
		}
	}
	w.Weigh(at...)
	t, err := w.Dry(limit)
	if err == nil && len(at) > 0 {
		err = w.To(floats.Max(at)) // weighed on after it was dry
	}
	if err != nil {
		return coat.Times{}, nil, &BoardError{b.Name, err}
	}
	return t.Slowed(slow), w, nil
}

// subject is the board as something watched.
func (b *Bed) subject() Subject {
	limit := b.longest()
	return Subject{Own: Lays, Seen: b.Seen, Weights: b.Weights, Absorbent: b.Background.Masonry || len(b.Weights) > 0,
		Expect: func(theta, z []float64) ([]float64, error) {
			t, w, err := b.Times(theta, b.layOf(z), b.Thickness, limit)
			if err != nil {
				return nil, err
			}
			out := make([]float64, 0, len(b.Seen)+len(b.Weights))
			for _, s := range b.Seen {
				out = append(out, LnTime(s.State, t, limit))
			}
			for i, x := range w.Weighed() {
				if i > 0 {
					out = append(out, x.Lost-w.Weighed()[0].Lost)
				}
			}
			return out, nil
		}}
}

// LnTime is ln of the time in seconds at which a state comes, of a coat followed for limit seconds: one that has not come by
// then is taken to come far later.
func LnTime(s State, t coat.Times, limit float64) float64 {
	x := s.Of(t)
	if math.IsInf(x, 1) {
		x = 10 * limit
	}
	return math.Log(max(x, 1))
}

// Of is when the state comes among the times of a coat, s; +Inf where it does not.
func (s State) Of(t coat.Times) float64 {
	return map[State]float64{Damp: t.Opens, Gone: t.Closes, Dry: t.Dry}[s]
}
