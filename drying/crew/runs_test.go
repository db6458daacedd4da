package crew

import (
	"slices"
	"testing"
)

// The runs of a hand follow each other, and each task lies in just one of them, of its own coat, that says it does such.
func TestRuns(t *testing.T) {
	for _, n := range []int{1, 3} {
		a := hall(t, 0.2e-3, 0.15e-3)
		a.Crew.Hands = hands(n)
		a.Sites[0].Wall = Wall{Width: 5, Height: 2.5, Joints: []float64{1, 2, 3, 4}}
		p, err := New(a)
		if err != nil {
			t.Fatal(err)
		}
		runs := p.Runs()
		for i, r := range runs {
			if i > 0 && runs[i-1].Hand == r.Hand && r.From.Before(runs[i-1].To) || r.To.Before(r.From) || r.First > r.Last || len(r.Does) == 0 {
				t.Errorf("%+v after %+v", r, runs[max(i-1, 0)])
			}
			if closing := slices.ContainsFunc(r.Does, func(o Op) bool { return o != Lay }); closing == r.Opens.IsZero() {
				t.Errorf("%v with a window from %v", r.Does, r.Opens)
			}
		}
		tasks := 0
		for i, s := range p.Sections {
			for _, x := range s.Tasks {
				tasks++
				in := 0
				for _, r := range runs {
					if r.Section == i && r.Hand == x.Hand && r.Coat == s.Coat && slices.Contains(r.Does, x.Op) && x.Patch >= r.First && x.Patch <= r.Last && !x.Start.Before(r.From) && !x.End.After(r.To) {
						in++
					}
				}
				if in != 1 {
					t.Errorf("%s of patch %d at %v is in %d runs", x.Op, x.Patch, x.Start, in)
				}
			}
		}
		if tasks == 0 {
			t.Fatal("nothing is planned")
		}
	}
}
