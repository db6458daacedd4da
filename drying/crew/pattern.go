package crew

import "slices"

// pattern is a rule that makes an order for any number of patches: that for fewer patches is the one for more without the others'
// tasks, so one that has no timetable for some has none for more.
type pattern struct {
	lay     []int // hands that lay, in turn
	byRow   bool  // a row each, from the top; else a strip each
	press   []int // hands that compress, in turn
	polish  []int // hands that burnish, in turn; nil: each what it has compressed
	block   int   // patches laid before turning back; 0: all of them
	strips  bool  // those who close take a strip each in turn; else a patch
	lag     int   // patches that compressing is ahead of burnishing
	workers int   // hands with work
}

// order is the pattern's for the first n patches.
func (p *pattern) order(s *section, n int, q order) order {
	q = q[:0]
	k := p.block
	if k == 0 {
		k = n
	}
	for a := 0; a < n; a += k {
		b := min(a+k, n)
		for i := a; i < b; i++ {
			turn := s.patches[i].Strip
			if p.byRow {
				turn = s.patches[i].Row
			}
			q = append(q, task{Lay, i, p.lay[turn%len(p.lay)]})
		}
		if s.ops == 1 {
			continue
		}
		for i := a; i < b+p.lag; i++ {
			if i < b {
				q = append(q, task{Compress, i, p.closer(s, p.press, i)})
			}
			if j := i - p.lag; s.ops > 2 && j >= a {
				hands := p.polish
				if hands == nil {
					hands = p.press
				}
				q = append(q, task{Burnish, j, p.closer(s, hands, j)})
			}
		}
	}
	return q
}

func (p *pattern) closer(s *section, hands []int, patch int) int {
	if p.strips {
		return hands[s.patches[patch].Strip%len(hands)]
	}
	return hands[patch%len(hands)]
}

// blocks are the numbers of patches laid before turning back that are tried, of one hand and of several, and lags the patches that
// burnishing is behind.
var (
	blocks = []int{1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 64, 80, 100}
	fewer  = []int{1, 2, 4, 8, 16, 32, 0}
	lags   = []int{0, 1, 2, 4}
)

// patterns are the rules tried with the hands, the first of which has work in each. With more hands there are these and others.
func (s *section) patterns(hands []int) []pattern {
	var out []pattern
	can := func(o Op, of []int) []int {
		able := []int{} // not nil, which has a meaning of its own
		for _, h := range of {
			if s.able(o, h) {
				able = append(able, h)
			}
		}
		return able
	}
	for _, layers := range s.layers(can(Lay, hands)) {
		rows := []bool{false}
		if len(layers) > 1 {
			rows = append(rows, true)
		}
		rest := slices.DeleteFunc(slices.Clone(hands), func(h int) bool { return slices.Contains(layers, h) })
		for _, byRow := range rows {
			base := pattern{lay: layers, byRow: byRow, workers: len(layers)}
			if s.ops == 1 {
				out = append(out, base)
				continue
			}
			out = s.closing(out, base, rest, []int{0}, lags, can)
			turns := fewer
			if len(hands) == 1 {
				turns = append(blocks, 0)
			}
			out = s.closing(out, base, append(slices.Clone(rest), layers...), turns, lags[:2], can)
		}
	}
	return out
}

// layers are the sets of hands that may lay.
func (s *section) layers(able []int) [][]int {
	var out [][]int
	for i, h := range able {
		if !slices.ContainsFunc(able[:i], func(g int) bool { return s.alike(g, h) }) {
			out = append(out, []int{h})
		}
	}
	if s.several {
		for q := 2; q <= len(able); q++ {
			out = append(out, able[:q])
		}
	}
	return out
}

// closing adds a pattern with each way in which the hands can share out compressing and burnishing.
func (s *section) closing(out []pattern, base pattern, hands, blocks, lags []int, can func(Op, []int) []int) []pattern {
	type share struct{ press, polish []int }
	var shares []share
	press := can(Compress, hands)
	if s.ops == 2 {
		shares = append(shares, share{press, nil})
	} else {
		polish := can(Burnish, hands)
		both := can(Burnish, press)
		shares = append(shares, share{both, nil})
		if len(both) < len(press) || len(both) < len(polish) {
			shares = append(shares, share{press, polish})
		}
		for i := 1; i < len(hands); i++ {
			shares = append(shares, share{can(Compress, hands[:i]), can(Burnish, hands[i:])})
		}
	}
	for _, x := range shares {
		if len(x.press) == 0 || x.polish != nil && len(x.polish) == 0 {
			continue
		}
		p := base
		p.press, p.polish = x.press, x.polish
		p.workers = workers(p)
		turns := []bool{false}
		if len(x.press) > 1 || len(x.polish) > 1 {
			turns = append(turns, true)
		}
		for _, block := range blocks {
			for _, lag := range lags {
				if s.ops == 2 && lag > 0 {
					continue
				}
				for _, strips := range turns {
					p.block, p.lag, p.strips = block, lag, strips
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// workers is how many hands a pattern gives work to.
func workers(p pattern) int {
	all := slices.Concat(p.lay, p.press, p.polish)
	slices.Sort(all)
	return len(slices.Compact(all))
}
