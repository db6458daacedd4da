package crew

import (
	"testing"

	"limeday/drying"
)

// What would make more possible is what planning the changed question gives, best first; where all holds nothing is weighed.
func TestWeigh(t *testing.T) {
	a := hall(t, 0.2e-3, 0.1e-3)
	a.Crew.Hands = hands(1)
	p, err := New(a)
	if err != nil {
		t.Fatal(err)
	}
	if p.Whole && p.Band {
		t.Fatal("one hand holds all of it")
	}
	if err := p.Weigh(nil); err != nil {
		t.Fatal(err)
	}
	by := map[drying.ChangeCode]Change{}
	for i, c := range p.Changes {
		by[c.Code] = c
		if i > 0 && c.Whole && !p.Changes[i-1].Whole || c.From != p.sure().Stretch() || c.Whole && !c.Helps {
			t.Errorf("%d: %+v after %+v", i, c, p.Changes[max(i-1, 0)])
		}
	}
	b := a
	b.Crew.Hands = hands(2)
	two, err := New(b)
	if err != nil {
		t.Fatal(err)
	}
	// The changed question is timed in the draws of the first, which are the same here.
	if c := by[drying.ChangeHand]; c.Whole != (two.Whole && two.Band) || c.Area != two.sure().Stretch() || !c.Done.Equal(two.Done) {
		t.Errorf("one more hand: %+v; two hands: whole %v, %g m2, done %v", c, two.Whole, two.Stretch(), two.Done)
	}
	for _, code := range []drying.ChangeCode{ChangeMoreHands, ChangeEarlier, ChangeJoint, drying.ChangeThinner, drying.ChangeStill} {
		if _, ok := by[code]; !ok {
			t.Errorf("%s is not weighed", code)
		}
	}
	if _, ok := by[ChangeSideBySide]; ok {
		t.Error("one hand cannot lay side by side")
	}
	if len(a.Crew.Hands) != 1 || a.Anywhere || len(a.Sites[0].Wall.Joints) != 0 || a.Sites[0].Job.Coats[0].Thickness != 0.2e-3 {
		t.Error("the question itself was changed")
	}
	c := hall(t, 0.2e-3)
	c.Sites[0].Wall = Wall{Width: 2, Height: 2}
	whole, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	if err := whole.Weigh(nil); err != nil || !whole.Whole || len(whole.Changes) > 0 {
		t.Errorf("%v, whole %v, %d changes", err, whole.Whole, len(whole.Changes))
	}
}

// Every square metre is mixed for once, and buckets are opened as the laying goes on.
func TestBatches(t *testing.T) {
	a := hall(t, 0.2e-3)
	p, err := New(a)
	if err != nil {
		t.Fatal(err)
	}
	job := a.Sites[0].Job
	want := job.Coats[0].Finish.Spread(0.2e-3) * 4.4 * 2.9 * (1 + UsualWaste)
	if len(p.Batches) != 1 || p.Batches[0].Mass < want*(1-1e-9) || p.Batches[0].Mass > want*(1+1e-9) || !p.Batches[0].By.Equal(p.Sections[0].From) {
		t.Fatalf("%+v, want %g kg", p.Batches, want)
	}
	at := p.Opened(p.Batches[0], want/4)
	if len(at) != 4 || !at[0].Equal(p.Sections[0].From) {
		t.Fatalf("four buckets opened at %v", at)
	}
	// Laid evenly and without a stop, so a quarter of the time lies between them.
	step := at[1].Sub(at[0])
	for i := 2; i < 4; i++ {
		if d := (at[i].Sub(at[i-1]) - step).Abs(); d > step/10 {
			t.Errorf("buckets opened at %v", at)
		}
	}
}

// One more pair of hands lays the wall in less time: the room's own vapour is counted by the hands that there are then, as where the
// job has them from the start, and walls of one room go on sharing it.
func TestWeighHandsInTheRoom(t *testing.T) {
	a := hall(t, 0.2e-3, 0.1e-3)
	a.Crew.Hands = hands(1)
	j := *a.Sites[0].Job
	j.Room.Volume, j.Room.AirChanges, j.Room.WetArea, j.Room.Hands = 40, 0.5, a.Sites[0].Wall.Area(), 1
	a.Sites = []Site{{a.Sites[0].Wall, &j}, {Wall{Name: "other", Width: 2, Height: 2}, &j}}
	for _, c := range (&Plan{Ask: a}).changes() {
		want := 1
		switch c.Code {
		case drying.ChangeHand:
			want = 2
		case ChangeMoreHands:
			want = 3
		case ChangeEarlier:
		default:
			continue
		}
		b := a
		b.Sites, b.Crew.Hands = append([]Site(nil), a.Sites...), append([]Hand(nil), a.Crew.Hands...)
		c.apply(&b)
		if got := b.Sites[0].Job.Room.Hands; got != want || len(b.Crew.Hands) != want {
			t.Errorf("%s: %d hands, %d in the room; want %d", c.Code, len(b.Crew.Hands), got, want)
		}
		if b.Sites[0].Job != b.Sites[1].Job {
			t.Errorf("%s: the walls of a room have each their own job", c.Code)
		}
	}
	if j.Room.Hands != 1 || j.Hours.From != a.Sites[0].Job.Hours.From {
		t.Error("the question itself was changed")
	}
}
