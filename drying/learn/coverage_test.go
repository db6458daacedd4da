package learn_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"limeday/drying/learn"
)

// sampleBoards are those of the study, in the order they are made.
func sampleBoards(t testing.TB) []learn.Board {
	return []learn.Board{
		board(t, "primed-board", 0.20, 18, 0.50),
		board(t, "primed-board", 0.12, 12, 0.65),
		board(t, "brick", 0.20, 20, 0.60),
	}
}

// newCoats are those whose times are asked for: of thicknesses and in airs that no board had.
func newCoats(t testing.TB) []learn.Board {
	return []learn.Board{
		board(t, "primed-board", 0.15, 15, 0.58),
		board(t, "brick", 0.25, 14, 0.55),
	}
}

// never is how long a state takes that does not come, s: JSON has no infinity.
const never = 1e12

// stage is what is known of a truth after some boards, and said of the new coats.
type stage struct {
	Boards      int
	Effective   float64
	Mean, Known []float64
	Rank        []float64   // the share of the posterior below the truth, by unknown
	Low, High   [][]float64 // s, by new coat and state
	Odd         []bool      // by board
	Strange     []string
}

// trial is one truth.
type trial struct {
	Kind  string
	Truth int
	Theta []float64
	Come  [][]float64 // s, by new coat and state
	Told  [][]float64 // likewise, with the error of the eye
	Stuck string      // why nothing was learned, where that is so
	After []stage
}

// world is where a truth differs from the model that learns. Zero values change nothing.
type world struct {
	kind   string
	theta  func(z []float64)                                   // changes the plasterer
	board  func(b learn.Board) learn.Board                     // what a board really is
	seen   func(i int, seen []learn.Seen)                      // changes what is seen of board i
	stages func(n int) bool                                    // after how many boards it is asked; nil: after all
	bands  func(n int, t learn.Timing) (low, high [][]float64) // of the new coats after n boards, of as many as are asked for
}

// ensemble makes bands of new coats from a timing.
func ensemble(t testing.TB, coats []learn.Board, members int, seed uint64) func(learn.Timing) (low, high [][]float64) {
	beds := make([]*learn.Bed, len(coats))
	for i, c := range coats {
		var err error
		if beds[i], err = learn.NewBed(c, 45*86400); err != nil {
			t.Fatal(err)
		}
	}
	n := len(learn.Unknowns())
	return func(timing learn.Timing) (low, high [][]float64) {
		d := learn.Draws(members, n+learn.Lays, seed)
		for _, bed := range beds {
			by := make([][]float64, len(inOrder))
			for i := range members {
				z := d.RawRowView(i)
				x, _, err := bed.Times(timing.Theta(z[:n]), learn.LayOf(z[n:]), bed.Thickness, horizon)
				if err != nil {
					t.Fatal(err)
				}
				for k, v := range []float64{x.Opens, x.Closes, x.Dry} {
					by[k] = append(by[k], min(v, never))
				}
			}
			l, h := make([]float64, len(by)), make([]float64, len(by))
			for k, x := range by {
				l[k], h[k] = learn.Quantile(0.1, x, nil), learn.Quantile(0.9, x, nil)
			}
			low, high = append(low, l), append(high, h)
		}
		return low, high
	}
}

// horizon is how long a new coat is followed, s.
const horizon = 5 * 86400.0

// try draws truth number i of a world, shows what it would be seen to do, and learns.
func try(t testing.TB, w world, i int, boards, coats []learn.Board, prior stage, set learn.Settings) trial {
	r := rand.New(rand.NewPCG(uint64(i), 0x636f766572))
	x := trial{Kind: w.kind, Truth: i, Theta: truth(r)}
	if w.theta != nil {
		w.theta(x.Theta)
	}
	come := func(b learn.Board) []float64 {
		if w.board != nil {
			b = w.board(b)
		}
		own := make([]float64, learn.Lays)
		for k := range own {
			own[k] = r.NormFloat64()
		}
		return states(t, b, x.Theta, own)
	}
	for _, b := range coats {
		var c, told []float64
		for _, v := range come(b) {
			c = append(c, min(v, never))
			told = append(told, min(v*learn.Eye(r), never))
		}
		x.Come, x.Told = append(x.Come, c), append(x.Told, told)
	}
	var seen []learn.Board
	for k, b := range boards {
		b = noted(b, come(b), r)
		if w.seen != nil {
			w.seen(k, b.Seen)
		}
		seen = append(seen, b)
	}
	prior.Rank = ranks(learn.Untaught(), x.Theta)
	x.After = []stage{prior}
	for n := 1; n <= len(seen); n++ {
		if w.stages != nil && !w.stages(n) {
			continue
		}
		set.Seed = uint64(i)
		res, err := learn.Learn(learn.Untaught(), seen[:n], set)
		if err != nil {
			x.Stuck = err.Error()
			return x
		}
		s := stage{Boards: n, Effective: res.Effective, Mean: res.Timing.Mean, Known: res.Timing.Known(), Rank: ranks(res.Timing, x.Theta)}
		for _, b := range res.Boards {
			s.Odd = append(s.Odd, b.Odd)
		}
		for _, u := range res.Timing.Strange() {
			s.Strange = append(s.Strange, u.String())
		}
		s.Low, s.High = w.bands(n, res.Timing)
		x.After = append(x.After, s)
	}
	return x
}

// ranks is the share of a timing below a truth, by unknown.
func ranks(t learn.Timing, theta []float64) []float64 {
	out := make([]float64, len(theta))
	for i, v := range theta {
		out[i] = distuv.UnitNormal.CDF((v - t.Mean[i]) / math.Sqrt(t.Cov.At(i, i)))
	}
	return out
}

// row is the coverage and width of one state's bands over many trials.
type row struct {
	trials          int
	come, told      float64 // shares within the band
	shown           float64 // likewise, all that is at once being one time
	under, over     float64 // shares that came before and after it
	low, high       float64 // s, medians
	ratio, narrower float64 // latest over earliest, median; against the stage before anything was seen
	atOnce          float64 // share of bands whose earliest is at once
}

// least is what counts as at once, s: a time below it is shown as that.
const least = 60.0

// summary is that of stage k (by number in After) of a new coat's state.
func summary(trials []trial, k, coat, state int) row {
	var r row
	var lows, highs, ratios, gains []float64
	for _, x := range trials {
		s := x.After[k]
		low, high, come, told := s.Low[coat][state], s.High[coat][state], x.Come[coat][state], x.Told[coat][state]
		r.trials++
		in := func(v, grain float64) float64 {
			if v >= low && v <= high || v < grain && low < grain {
				return 1
			}
			return 0
		}
		r.come += in(come, 0)
		r.shown += in(come, least)
		r.told += in(told, 0)
		switch {
		case in(come, 0) == 1:
		case come < low:
			r.under++
		default:
			r.over++
		}
		if low < least {
			r.atOnce++
		}
		wide := func(s stage) float64 { return max(s.High[coat][state], least) / max(s.Low[coat][state], least) }
		lows, highs, ratios = append(lows, low), append(highs, high), append(ratios, wide(s))
		if was := math.Log(wide(x.After[0])); was > 0 {
			gains = append(gains, math.Log(wide(s))/was)
		} else {
			gains = append(gains, 1) // all at once
		}
	}
	n := float64(r.trials)
	for _, v := range []*float64{&r.come, &r.shown, &r.told, &r.under, &r.over, &r.atOnce} {
		*v /= n
	}
	r.low, r.high, r.ratio, r.narrower = median(lows), median(highs), median(ratios), median(gains)
	return r
}

func median(x []float64) float64 { return learn.Quantile(0.5, x, nil) }

// TestCoverage is the study in small (see testdata/coverage): of truths drawn from the priors, bands made before anything is
// seen hold some 80 of a hundred, and so do those after two boards, which are narrower.
func TestCoverage(t *testing.T) {
	truths, taught := 60, 8
	if raced {
		truths, taught = 30, 2
	}
	boards, coats := sampleBoards(t)[:2], newCoats(t)[:1]
	bands := ensemble(t, coats, 100, 9)
	w := world{bands: func(_ int, t learn.Timing) (low, high [][]float64) { return bands(t) }, stages: func(n int) bool { return n == 2 }}
	var prior stage
	prior.Low, prior.High = bands(learn.Untaught())
	var before, after []trial
	for i := range truths {
		b := boards
		if i >= taught {
			b = nil
		}
		x := try(t, w, i, b, coats, prior, learn.Settings{Members: 24})
		if x.Stuck != "" {
			t.Fatal(x.Stuck)
		}
		before = append(before, x)
		if i < taught {
			after = append(after, x)
		}
	}
	for k, s := range inOrder {
		a, b := summary(before, 0, 0, k), summary(after, 1, 0, k)
		t.Logf("%s: %.0f %% of %d before, from %.0f to %.0f s; %.0f %% of %d after two boards, %.2f times as wide", s, 100*a.come, a.trials, a.low, a.high, 100*b.come, b.trials, b.narrower)
		// Three standard deviations of a share of 80 %.
		off := func(n int) float64 { return 3 * math.Sqrt(0.8*0.2/float64(n)) }
		if math.Abs(a.come-0.8) > off(a.trials) || math.Abs(b.come-0.8) > off(b.trials) {
			t.Errorf("%s: bands hold %.2f of %d before, %.2f of %d after two boards", s, a.come, a.trials, b.come, b.trials)
		}
		if !(b.narrower < 0.95) {
			t.Errorf("%s: bands are %.2f times as wide after two boards", s, b.narrower)
		}
	}
}
