package wall

import (
	"math"
	"testing"
)

// TestLadderCrossing: an event is found to 1 s. The steps of a run give the cubic that the event is
// looked for on; the same run chopped into steps of at most 0.5 s leaves nothing to look for. Tolerance
// 1e-6, so that the two runs themselves agree to well under a second.
func TestLadderCrossing(t *testing.T) {
	for _, c := range readFilmCases(t)[:1] {
		run := func(maxStep float64) refTimes {
			p, s, _ := refProblem(t, c, refGraded(c.thick), Lumped)
			r, v := refRun(t, p, s, Settings{Tolerance: 1e-6, MaxStep: maxStep}, 3600)
			t.Logf("steps of at most %g s: %d", maxStep, v.Stats().Steps)
			return r
		}
		free, chopped := run(0), run(0.5)
		rung(t, "opens, s", chopped.opens.At, free.opens.At, 1, "design: events to 1 s")
		rung(t, "closes, s", chopped.closes.At, free.closes.At, 1, "design: events to 1 s")
		rung(t, "recoat, s", chopped.recoat.At, free.recoat.At, 1, "design: events to 1 s")
	}
}

// TestCrossingOfARange: the event of several cells is that of the last one to get there; the first time
// counts, whatever the wall does later; and a wall that is there already says so.
func TestCrossingOfARange(t *testing.T) {
	p, s := smallWall(t, Isothermal, &Held{Pressure: 800, PressureBeta: 2e-8}, nil)
	v := newSolver(t, p, s, Settings{})
	const level = 0.6 * refUsh
	all := Crossing{First: 0, End: 6, Level: level}
	each := make([]Crossing, 6)
	obs := []Observer{&all}
	for i := range each {
		each[i] = Crossing{First: i, End: i + 1, Level: level}
		obs = append(obs, &each[i])
	}
	if all.Below(v) || all.Found {
		t.Fatal("fresh film reported as below the level")
	}
	advance(t, v, 12*3600, obs...)
	last := 0.0
	for i := range each {
		if !each[i].Found {
			t.Fatalf("cell %d never got there", i)
		}
		last = max(last, each[i].At)
	}
	rung(t, "last cell of a range, s", last, all.At, 1e-4*last, "a time is found to a hundredth of a per cent")

	at := all.At
	p.Front = &Held{Suction: math.Log(100), SuctionRate: 1e-4} // wet it again, and dry it again
	v = newSolver(t, p, v.State(), Settings{})
	advance(t, v, v.Time()+3600, &all)
	w, _ := p.Layers[0].Stuff.Water(v.FaceSuction())
	if w < level {
		t.Fatalf("re-wetting failed: face holds %g", w)
	}
	if all.At != at {
		t.Errorf("a later step moved an event from %g to %g", at, all.At)
	}
	below := Crossing{End: 1, Level: 1}
	if !below.Below(v) || below.At != v.Time() {
		t.Errorf("a wall below the level already was not noted: %+v at %g", below, v.Time())
	}
}

// TestCrossingOnAStepsEnd: an event that falls on a record, where steps must end, is still found once.
func TestCrossingOnAStepsEnd(t *testing.T) {
	p, s := smallWall(t, Isothermal, &Held{Flux: 1e-5}, nil)
	m := p.Layers[0].Size()
	p.Layers = p.Layers[:1]
	s.Cells = s.Cells[:6]
	v := newSolver(t, p, s, Settings{})
	w0 := p.Water(s, 0, 6) / m
	level := w0 - 1e-5*600/m
	all := Crossing{End: 6, Level: level}
	face := Crossing{End: 1, Level: level}
	for k := 1; k <= 40; k++ {
		advance(t, v, float64(k)*60, &all, &face)
	}
	if !all.Found || !face.Found || face.At > 600.5 || all.At < 599.5 || all.At > 660 {
		t.Errorf("face %+v, whole film %+v; its mean is at the level at 600 s", face, all)
	}
}
