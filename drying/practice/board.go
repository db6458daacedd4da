package practice

import (
	"math"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
	"limeday/psychro"
)

// Foretold is one state of a sample board: as it was guessed before laying, as it was seen, and as the model has it. Times are
// s after laying. Guess and Seen are NaN where there is none; Seen is +Inf, with By the last look, where it had not come.
type Foretold struct {
	State                    drying.SeenState
	Guess, Seen, By          float64
	Likely, Earliest, Latest float64
	Says                     message.Text // how guess, board and model stand to each other
}

// Board is an apprentice's sample board, held against the guess at it.
type Board struct {
	States  []Foretold
	Reasons []Reason     // why it came as it did, and not as guessed; empty where the guess was good
	Note    message.Text // on a board that goes its own way; empty otherwise
}

// event is a state as a time of a coat.
var event = map[drying.SeenState]drying.Event{drying.SeenDamp: drying.EventOpens, drying.SeenGone: drying.EventCloses, drying.SeenDry: drying.EventNext}

// good is how far a guess may be off, as a factor, to be a good one: a half as much (as in marking).
const good = nearShare

// Foretell holds a guess, s after laying for each state guessed, against a board that was laid. timing is that of the plasterer, or
// nil. Errors are those of drying.Foresee.
func Foretell(s drying.Sample, guess map[drying.SeenState]float64, timing *drying.Timing, set drying.Bands) (Board, error) {
	model, err := drying.Foresee(s, timing, set)
	if err != nil {
		return Board{}, err
	}
	var b Board
	worst, off := drying.SeenState(""), 0.0
	odd := false
	for _, m := range model {
		f := Foretold{State: m.State, Guess: math.NaN(), Seen: math.NaN(), Likely: m.Likely, Earliest: m.Earliest, Latest: m.Latest}
		if g, ok := guess[m.State]; ok {
			f.Guess = g
		}
		for _, x := range s.Seen {
			t := x.At.Sub(s.Laid).Seconds()
			switch {
			case x.What != m.State:
			case !x.Not:
				f.Seen = t
			case math.IsNaN(f.Seen) || math.IsInf(f.Seen, 1):
				f.Seen, f.By = math.Inf(1), math.Max(f.By, t)
			}
		}
		truth := f.Seen
		if math.IsNaN(truth) || math.IsInf(truth, 1) {
			truth = f.Likely
		}
		if !math.IsNaN(f.Guess) && !math.IsInf(truth, 1) {
			// A minute more or less does not count.
			if d := math.Log((truth + 60) / (f.Guess + 60)); math.Abs(d) > math.Log(good) && math.Abs(d) > math.Abs(off) {
				worst, off = m.State, d
			}
		}
		f.Says = f.says()
		odd = odd || f.Seen < f.Earliest-60 || !math.IsInf(f.Seen, 1) && f.Seen > f.Latest+60
		b.States = append(b.States, f)
	}
	if odd {
		b.Note = message.Say("The board came outside what the model has for eight boards in ten. It does not know the hand's thickness, the batch's water or the primer's suction better than a usual one: weigh the tub, try a drop, put a logger beside it.")
	}
	if worst != "" {
		b.Reasons, err = whyBoard(s, event[worst], off > 0)
	}
	return b, err
}

// says tells how guess, board and model stand to each other.
func (f Foretold) says() message.Text {
	var t message.Text
	seen := !math.IsNaN(f.Seen) && !math.IsInf(f.Seen, 1)
	switch {
	case math.IsNaN(f.Guess):
		t = message.Say("no guess")
	case seen:
		t = against(f.Guess, f.Seen, "as it came")
	case math.IsInf(f.Seen, 1) && f.Guess < f.By:
		t = message.Say("too early: it had not come {} after laying", message.Seconds(f.By))
	case math.IsInf(f.Likely, 1):
		t = message.Say("the model has it not come at all")
	default:
		t = against(f.Guess, f.Likely, "as the model has it")
	}
	switch {
	case !seen:
	case f.Seen < f.Earliest-60:
		t = append(t, message.Say("; the board came sooner than the model has it")...)
	case f.Seen > f.Latest+60:
		t = append(t, message.Say("; the board came later than the model has it")...)
	default:
		t = append(t, message.Say("; the board is within what the model has")...)
	}
	return t
}

func against(guess, truth float64, as string) message.Text {
	d := math.Log((truth + 60) / (guess + 60))
	switch {
	case math.Abs(d) <= math.Log(1.15):
		return message.Say("the guess is " + as)
	case d > 0:
		return message.Say("the guess is {} too early", message.Seconds(truth-guess))
	}
	return message.Say("the guess is {} too late", message.Seconds(guess-truth))
}

// whyBoard says what of the board brings a time later than on an ordinary one or, where later is false, sooner.
func whyBoard(s drying.Sample, e drying.Event, later bool) ([]Reason, error) {
	c := boardCase(s)
	u := usual(c.Finish, c.Number)
	u.WallHeight = c.WallHeight
	all, err := why(c, u, e)
	if err != nil && e != drying.EventNext { // it opens at once, say
		all, err = why(c, u, drying.EventNext)
	}
	if err != nil {
		all = nil
	}
	var out []Reason
	for _, r := range all {
		if (r.Ratio > 1) == later {
			out = append(out, r)
		}
	}
	if len(out) > 0 {
		return out, nil
	}
	r, err := u.rung(false)
	if err != nil {
		return nil, err
	}
	dir := "sooner"
	if later {
		dir = "later"
	}
	return []Reason{{Text: message.Say("Nothing in what is known of the board makes it much "+dir+" than an ordinary one: on an ordinary day, {} and {}, it opens after {}, is gone by after {} and lets the next coat follow after {}.",
		message.Celsius(20), message.Parts(0.5), message.Seconds(r.Opens), message.Seconds(r.Closes), message.Seconds(r.Next))}}, nil
}

// boardCase is the board in the mean of its first hours' air.
func boardCase(s drying.Sample) Case {
	c := Case{drying.LadderAsk{Finish: s.Finish, Spots: []material.Background{s.Background}, Measured: s.Suction.Measured(), Damped: s.Damped, Number: s.Number,
		AirSpeed: s.AirSpeed, WallTemp: s.WallTemp, WallHeight: drying.BoardHeight}, s.Thickness}
	t, e, v, n, nv := 0.0, 0.0, 0.0, 0.0, 0.0
	for i, r := range s.Air.Records {
		if !r.Temperature.Known() || !r.Vapour.Known() || n > 0 && r.Time.Sub(s.Laid).Hours() > 4 && i > 0 {
			continue
		}
		t, e, n = t+r.Temperature.V, e+r.Vapour.V, n+1
		if r.AirSpeed.Known() {
			v, nv = v+r.AirSpeed.V, nv+1
		}
	}
	if nv > 0 {
		c.AirSpeed = v / nv
	}
	rh := math.Min(e/n/float64(psychro.SaturationWater(psychro.Celsius(t/n))), 1)
	c.Air = airOf(t/n, rh)
	if spots, err := s.Suction.Spots(s.Background, t/n, rh); err == nil {
		c.Spots = spots[:1]
	}
	return c
}
