package crew

import (
	"fmt"
	"time"

	"limeday/drying"
)

// Op is an operation on a patch.
type Op int

// The operations, in their order.
const (
	Lay Op = iota
	Compress
	Burnish
	ops
)

// String is the operation's word.
func (o Op) String() string { return [...]string{"lay", "compress", "burnish"}[o] }

// Ops lists the operations in their order.
func Ops() []Op { return []Op{Lay, Compress, Burnish} }

// What one hand does in an hour, m2, in one pass (common practice, no source: laying thin coats 6 to 12, closing in all 10 to
// 20); how much more is mixed than the wall takes, share; and how long it takes to go back along a wall (judgements).
const (
	LayingRate      = 8.0
	CompressingRate = 30.0
	BurnishingRate  = 30.0
	UsualWaste      = 0.10
	UsualTravel     = time.Minute
)

// floated is the thickness in m from which a coat is floated and not burnished.
const floated = 2e-3

// UsualPasses are how often the last of a job's coats is gone over: coats over 2 mm are floated, thin ones also burnished (common
// practice, no source).
func UsualPasses(j drying.Job) [ops]int {
	if len(j.Coats) > 0 && j.Coats[len(j.Coats)-1].Thickness > floated {
		return [ops]int{1, 1, 0}
	}
	return [ops]int{1, 1, 1}
}

// Hand is one pair of hands. Rates are in m2/h, of one pass; 0 for what it does not do.
type Hand struct {
	Name string
	Rate [ops]float64
}

// Crew is who works, and how.
type Crew struct {
	Hands  []Hand
	Passes [ops]int // over each patch; none of burnishing leaves it compressed
	Hours  drying.Hours
	Breaks []drying.Hours // of every day, in order
	// SeveralLay lets more than one hand lay a wall at a time; else each wall is of one hand, as hands leave different textures
	// (common practice, no source).
	SeveralLay bool
	// Blend wants each edge met while fresh plaster still blends with it; else it is enough that it has not gone by, and is closed
	// over with what meets it.
	Blend  bool
	Travel time.Duration // back along the wall, or from lift to lift
	Strip  float64       // width of the strips, m; 0: as the window and the rates want it
}

// CrewError says why a crew cannot work.
type CrewError struct{ Reason string }

func (e *CrewError) Error() string { return "the crew: " + e.Reason }

// Check refuses a crew that cannot work: the error is a *CrewError. Closing tells that a coat is to be closed in.
func (c Crew) Check(closing bool) error {
	bad := func(format string, a ...any) error { return &CrewError{fmt.Sprintf(format, a...)} }
	if len(c.Hands) == 0 {
		return bad("nobody is in it")
	}
	for o := range ops {
		if c.Passes[o] < 0 || c.Passes[o] == 0 && o != Burnish {
			return bad("it takes one pass or more to %s", o)
		}
		able := false
		for _, h := range c.Hands {
			if !(h.Rate[o] >= 0) {
				return bad("%s cannot %s at a rate of %g m2/h", h.Name, o, h.Rate[o])
			}
			able = able || h.Rate[o] > 0
		}
		if !able && (o == Lay || closing && c.Passes[o] > 0) {
			return bad("no hand can %s; give one a rate for it, or leave the rates out for the usual ones", o)
		}
	}
	if c.Hours.To <= c.Hours.From {
		return bad("the working hours run backwards")
	}
	if len(c.shifts()) == 0 {
		return bad("the breaks cover the whole working day, so there is no time to lay in; shorten them or lengthen the hours")
	}
	return nil
}

// shifts are the stretches of the working day between its breaks.
func (c Crew) shifts() []drying.Hours {
	var out []drying.Hours
	from := c.Hours.From
	for _, b := range c.Breaks {
		if to := min(b.From, c.Hours.To); to > from {
			out = append(out, drying.Hours{From: from, To: to})
		}
		from = max(from, b.To)
	}
	if c.Hours.To > from {
		out = append(out, drying.Hours{From: from, To: c.Hours.To})
	}
	return out
}
