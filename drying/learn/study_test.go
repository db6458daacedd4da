//go:build study

package learn_test

import (
	"bufio"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/drying/wall"
)

var (
	rowsFile = flag.String("rows", "", "keep each truth's answer in this `file`, and take those it has already")
	truths   = flag.Int("truths", 700, "truths of the model's own `number`")
	odd      = flag.Int("odd", 150, "truths whose boards are looked at for odd ones, `number`")
	exact    = flag.Int("exact", 500, "truths whose posterior is found without Laplace's approximation, `number`")
	altered  = flag.Int("altered", 60, "truths of each kind of other physics, `number`")
)

// worlds are the truths that are not the model's own.
func worlds() []world {
	wetting := func(k float64) func(learn.Board) learn.Board {
		return func(b learn.Board) learn.Board {
			b.Finish.Wetting.Value = k
			b.Background.Layers = append([]material.Rigid(nil), b.Background.Layers...)
			for i := range b.Background.Layers {
				b.Background.Layers[i].Wetting.Value = k
			}
			return b
		}
	}
	slower := func(k float64) func(int, []learn.Seen) {
		return func(i int, seen []learn.Seen) {
			for j := range seen {
				if i == 1 {
					seen[j].By *= k
				}
			}
		}
	}
	return []world{
		{kind: "wetting 0.95", board: wetting(0.95)},
		{kind: "wetting 0.3", board: wetting(0.3)},
		{kind: "skin", board: func(b learn.Board) learn.Board {
			// A contact resistance: 20 um at the face that conduct a hundredth of what lies behind them.
			skin := b.Background.Layers[0]
			skin.Name, skin.Thickness.Value, skin.Absorption.Value = "skin", 20e-6, skin.Absorption.Value/10
			b.Background.Layers = append([]material.Rigid{skin}, b.Background.Layers...)
			return b
		}},
		{kind: "room fills", board: func(b learn.Board) learn.Board {
			// Read once before the work; the vapour then rises by a quarter over the first hour.
			a := b.Setting.Air[0]
			a.Time, a.Vapour = 3600, 1.25*a.Vapour
			b.Setting.Air = append([]wall.Air{b.Setting.Air[0]}, a)
			return b
		}},
		{kind: "draught", board: func(b learn.Board) learn.Board {
			// 0.5 m/s along the wall where 0.1 was told: four and a half standard deviations.
			a := b.Setting.Air[0]
			a.Speed = 0.5
			b.Setting.Air = []wall.Air{a}
			return b
		}},
		{kind: "slow by 4 sd", theta: func(z []float64) { z[learn.DryingClock] = -4 }},
		{kind: "fast by 4 sd", theta: func(z []float64) { z[learn.DryingClock] = 4 }},
		{kind: "wet by 4 sd", theta: func(z []float64) { z[learn.BatchWater] = 4 }},
		{kind: "second doubled", seen: slower(2)},
		{kind: "second halved", seen: slower(0.5)},
	}
}

// TestStudy is the coverage study; testdata/coverage says how to run it.
func TestStudy(t *testing.T) {
	boards, coats := sampleBoards(t), newCoats(t)
	var before stage
	before.Low, before.High = ensemble(t, coats, 2000, 0)(learn.Untaught())
	one, both := ensemble(t, coats[:1], 200, 0), ensemble(t, coats, 200, 0)
	bands := func(n int, timing learn.Timing) (low, high [][]float64) {
		if n < len(boards) {
			return one(timing) // boards like it tell nothing of brick
		}
		return both(timing)
	}

	kept := map[string]trial{}
	id := func(kind string, i int) string { return fmt.Sprintf("%s/%d", kind, i) }
	var out *os.File
	if *rowsFile != "" {
		var err error
		if out, err = os.OpenFile(*rowsFile, os.O_CREATE|os.O_RDWR|os.O_APPEND, 0o666); err != nil {
			t.Fatal(err)
		}
		defer out.Close()
		lines := bufio.NewScanner(out)
		lines.Buffer(nil, 1<<20)
		for lines.Scan() {
			var x trial
			if err := json.Unmarshal(lines.Bytes(), &x); err != nil {
				t.Fatal(err)
			}
			kept[id(x.Kind, x.Truth)] = x
		}
	}
	var mu sync.Mutex
	var all []trial
	run := func(w world, n int) {
		w.bands = bands
		var g errgroup.Group
		g.SetLimit(runtime.GOMAXPROCS(0))
		for i := range n {
			g.Go(func() error {
				x, ok := kept[id(w.kind, i)]
				if !ok {
					x = try(t, w, i, boards, coats, before, learn.Settings{})
				}
				mu.Lock()
				defer mu.Unlock()
				all = append(all, x)
				if !ok && out != nil {
					line, err := json.Marshal(x)
					if err != nil {
						return err
					}
					if _, err := out.Write(append(line, '\n')); err != nil {
						return err
					}
				}
				return nil
			})
		}
		if err := g.Wait(); err != nil {
			t.Fatal(err)
		}
	}
	run(world{kind: "model"}, *truths)
	for _, w := range worlds() {
		w.stages = func(n int) bool { return n == len(boards) }
		run(w, *altered)
	}
	byTruth(all)
	kinds := map[string][]trial{}
	for _, x := range all {
		if x.Stuck != "" {
			t.Logf("%s, truth %d: %s", x.Kind, x.Truth, x.Stuck)
			continue
		}
		kinds[x.Kind] = append(kinds[x.Kind], x)
	}
	names := []string{"model"}
	for _, w := range worlds() {
		names = append(names, w.kind)
	}

	coverage := [][]string{strings.Split("truth,truths,boards,coat,state,earliest_s,latest_s,ratio,log_width_against_prior,holds,holds_as_shown,holds_as_told,sooner,later,earliest_at_once", ",")}
	flags := [][]string{strings.Split("truth,boards,hands,strange,"+unknownNames("known_")+","+unknownNames("strange_"), ",")}
	for _, kind := range names {
		x := kinds[kind]
		for k := range x[0].After {
			for c := range x[0].After[k].Low {
				for s, state := range inOrder {
					r := summary(x, k, c, s)
					coverage = append(coverage, append([]string{kind, fmt.Sprint(r.trials), fmt.Sprint(x[0].After[k].Boards), coats[c].Name, string(state)},
						numbers("%.0f", r.low, r.high)...))
					last := &coverage[len(coverage)-1]
					*last = append(*last, numbers("%.2f", r.ratio, r.narrower)...)
					*last = append(*last, numbers("%.3f", r.come, r.shown, r.told, r.under, r.over, r.atOnce)...)
				}
			}
			if x[0].After[k].Boards > 0 {
				f := flagged(kind, x, k)
				flags = append(flags, append(f[:4:4], f[7:]...))
			}
		}
	}
	// What would be left were the middle plasterer known for certain.
	certain := learn.Untaught()
	certain.Cov.ScaleSym(1e-9, certain.Cov)
	low, high := both(certain)
	for c := range coats {
		for s, state := range inOrder {
			l, h := low[c][s], high[c][s]
			coverage = append(coverage, append([]string{"middle known for certain", "", "", coats[c].Name, string(state)},
				fmt.Sprintf("%.0f", l), fmt.Sprintf("%.0f", h), fmt.Sprintf("%.2f", max(h, least)/max(l, least)), "", "", "", "", "", "", ""))
		}
	}
	write(t, "coverage.csv", coverage)
	write(t, "flags.csv", flags)

	ranks := [][]string{strings.Split("boards,unknown,truths,bin1,bin2,bin3,bin4,bin5,bin6,bin7,bin8,bin9,bin10,chi2,p,worst_bin_against_tenth", ",")}
	x := kinds["model"]
	for k := 1; k < len(x[0].After); k++ {
		for _, u := range learn.Unknowns() {
			bins := make([]float64, 10)
			for _, y := range x {
				bins[min(int(10*y.After[k].Rank[u]), 9)]++
			}
			ranks = append(ranks, append([]string{fmt.Sprint(x[0].After[k].Boards), u.String(), fmt.Sprint(len(x))}, even(bins)...))
		}
	}
	write(t, "ranks.csv", ranks)
}

func unknownNames(prefix string) string {
	var s []string
	for _, u := range learn.Unknowns() {
		s = append(s, prefix+strings.ReplaceAll(u.String(), " ", "_"))
	}
	return strings.Join(s, ",")
}

// flagged is how many hands came out strange and boards odd, and the mean of what is known.
func flagged(kind string, x []trial, k int) []string {
	n := float64(len(x))
	strange, odd := 0.0, make([]float64, 3)
	known, by := make([]float64, len(learn.Unknowns())), make([]float64, len(learn.Unknowns()))
	for _, y := range x {
		s := y.After[k]
		if len(s.Strange) > 0 {
			strange += 1 / n
		}
		for i, o := range s.Odd {
			if o {
				odd[i] += 1 / n
			}
		}
		for i, u := range learn.Unknowns() {
			known[i] += s.Known[i] / n
			for _, name := range s.Strange {
				if name == u.String() {
					by[i] += 1 / n
				}
			}
		}
	}
	out := append([]string{kind, fmt.Sprint(x[0].After[k].Boards), fmt.Sprint(len(x)), fmt.Sprintf("%.3f", strange)}, numbers("%.3f", odd...)...)
	out = append(out, numbers("%.2f", known...)...)
	return append(out, numbers("%.3f", by...)...)
}

func numbers(format string, x ...float64) []string {
	out := make([]string, len(x))
	for i, v := range x {
		out[i] = fmt.Sprintf(format, v)
	}
	return out
}

func write(t *testing.T, name string, rows [][]string) {
	f, err := os.Create(filepath.Join("testdata", "coverage", name))
	if err != nil {
		t.Fatal(err)
	}
	w := csv.NewWriter(f)
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// byTruth puts trials in order.
func byTruth(x []trial) {
	slices.SortFunc(x, func(a, b trial) int { return cmp.Or(cmp.Compare(a.Kind, b.Kind), a.Truth-b.Truth) })
}

// TestStudyOdd counts the boards that are pointed out where all are good, and where the times of the second are doubled or
// halved.
func TestStudyOdd(t *testing.T) {
	table := [][]string{strings.Split("truth,boards,hands,board1_odd,board2_odd,board3_odd", ",")}
	for _, w := range append([]world{{kind: "model"}}, worlds()...) {
		if w.theta != nil || w.board != nil {
			continue
		}
		w.stages = func(n int) bool { return n == 3 }
		w.bands = func(int, learn.Timing) (low, high [][]float64) { return nil, nil }
		all := make([]trial, *odd)
		var g errgroup.Group
		g.SetLimit(runtime.GOMAXPROCS(0))
		for i := range all {
			g.Go(func() error {
				if all[i] = try(t, w, i, sampleBoards(t), nil, stage{}, learn.Settings{}); all[i].Stuck != "" {
					return errors.New(all[i].Stuck)
				}
				return nil
			})
		}
		if err := g.Wait(); err != nil {
			t.Fatal(err)
		}
		f := flagged(w.kind, all, 1)
		table = append(table, append(f[:3:3], f[4:7]...))
	}
	write(t, "odd.csv", table)
}

// TestStudyExact asks whether ranks that are not even are Laplace's doing: those of one board, by Laplace's approximation, by
// weighed draws of the prior, and by a normal distribution with the mean and variance of these.
func TestStudyExact(t *testing.T) {
	b := sampleBoards(t)[0]
	x, err := learn.NewExact(b, 30000, 1)
	if err != nil {
		t.Fatal(err)
	}
	how := []string{"laplace", "weighed", "normal of the weighed"}
	of := make([][3][]float64, *exact) // ranks
	count := make([]float64, *exact)
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range of {
		g.Go(func() error {
			r := rand.New(rand.NewPCG(uint64(i), 0x6578616374))
			him := truth(r)
			seen := watch(t, b, him, r)
			if len(seen.Seen) < len(inOrder) {
				return fmt.Errorf("truth %d never dries", i)
			}
			res, err := learn.Learn(learn.Untaught(), []learn.Board{seen}, learn.Settings{Members: 48, Seed: uint64(i)})
			if err != nil {
				return err
			}
			w := x.Weights(seen.Seen)
			count[i] = 1 / floats.Dot(w, w)
			of[i] = [3][]float64{ranks(res.Timing, him), make([]float64, len(him)), make([]float64, len(him))}
			for u, v := range him {
				col := mat.Col(nil, u, x.Theta)
				mean, sd := stat.PopMeanStdDev(col, w)
				for k, y := range col {
					if y < v {
						of[i][1][u] += w[k]
					}
				}
				of[i][2][u] = distuv.UnitNormal.CDF((v - mean) / sd)
			}
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		t.Fatal(err)
	}
	t.Logf("of 30000 draws count: median %.0f, one in ten below %.0f", median(count), learn.Quantile(0.1, count, nil))
	table := [][]string{strings.Split("how,unknown,truths,bin1,bin2,bin3,bin4,bin5,bin6,bin7,bin8,bin9,bin10,chi2,p,worst_bin_against_tenth", ",")}
	for h, name := range how {
		for _, u := range learn.Unknowns() {
			bins := make([]float64, 10)
			for _, ranks := range of {
				bins[min(int(10*ranks[h][u]), 9)]++
			}
			table = append(table, append([]string{name, u.String(), fmt.Sprint(len(of))}, even(bins)...))
		}
	}
	write(t, "exact.csv", table)
}

// even is how far from even bins of ranks are.
func even(bins []float64) []string {
	n := 0.0
	for _, b := range bins {
		n += b
	}
	want, chi, worst := n/float64(len(bins)), 0.0, 0.0
	for _, b := range bins {
		chi += (b - want) * (b - want) / want
		if math.Abs(b/want-1) > math.Abs(worst) {
			worst = b/want - 1
		}
	}
	p := distuv.ChiSquared{K: float64(len(bins) - 1)}.Survival(chi)
	return append(numbers("%.0f", bins...), fmt.Sprintf("%.1f", chi), fmt.Sprintf("%.2g", p), fmt.Sprintf("%+.2f", worst))
}
