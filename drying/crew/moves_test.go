package crew

import (
	"slices"
	"testing"
)

// Between sections too a hand takes its way, and each coat of a wall is of one hand; of several only where that is allowed.
func TestPlanMoves(t *testing.T) {
	sections := 0
	for _, n := range []int{1, 2, 3} {
		for _, several := range []bool{false, true} {
			if n == 1 && several {
				continue // one hand is no several
			}
			a := hall(t, 0.2e-3, 0.15e-3, 0.1e-3)
			a.Crew.Hands, a.Crew.SeveralLay = hands(n), several
			a.Sites[0].Wall = Wall{Width: 5, Height: 2.4, Joints: []float64{1.5, 3}}
			a.Sites = append(a.Sites, Site{Wall{Name: "second", Width: 3, Height: 2.4}, a.Sites[0].Job})
			p, err := New(a)
			if err != nil {
				t.Fatal(err)
			}
			type at struct {
				Task
				section int
			}
			byHand := map[int][]at{}
			layers := map[[2]int]map[int]bool{}
			for i, s := range p.Sections {
				sections++
				for _, x := range s.Tasks {
					byHand[x.Hand] = append(byHand[x.Hand], at{x, i})
					if x.Op == Lay {
						k := [2]int{s.Coat, s.Site}
						if layers[k] == nil {
							layers[k] = map[int]bool{}
						}
						layers[k][x.Hand] = true
					}
				}
			}
			for hand, all := range byHand {
				slices.SortFunc(all, func(x, y at) int { return x.Start.Compare(y.Start) })
				for i := 1; i < len(all); i++ {
					gap := all[i].Start.Sub(all[i-1].End)
					if gap < 0 || all[i].section != all[i-1].section && gap < UsualTravel {
						t.Errorf("%d hands, several %v: hand %d goes from patch %d of section %d to patch %d of section %d in %v", n, several, hand, all[i-1].Patch, all[i-1].section, all[i].Patch, all[i].section, gap)
					}
				}
			}
			for k, who := range layers {
				if !several && len(who) > 1 {
					t.Errorf("%d hands: coat %d of wall %d is laid by %d hands", n, k[0]+1, k[1]+1, len(who))
				}
			}
		}
	}
	if sections < 20 {
		t.Errorf("only %d sections were looked at", sections)
	}
}
