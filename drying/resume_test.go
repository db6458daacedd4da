package drying_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/weather"
)

// hall is a day of three coats in steady air, as read.
func hall(t testing.TB) (drying.Job, weather.Series) {
	return room(t, material.Fair, 0.2, 0.12, 0.08), spell(april, 3, func(_ int, r *weather.Record) {
		r.Temperature, r.Vapour = weather.Value{V: 16, Tag: weather.Measured}, weather.Value{V: 0.6 * 1817, Tag: weather.Measured}
	})
}

// banded is the day with its bands.
func banded(t *testing.T, j drying.Job, ask drying.Ask, seed uint64) drying.Answer {
	t.Helper()
	a, err := drying.Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	if err := a.Band(ask, drying.Bands{Members: members, Seed: seed}); err != nil {
		t.Fatal(err)
	}
	return a
}

// TestResume: what is seen of the first coat moves the rest of the day that way and narrows it; likely times lie between
// earliest and latest; what was seen stands as it was seen.
func TestResume(t *testing.T) {
	ensembles(t)
	j, air := hall(t)
	ask := drying.Ask{At: seven, Air: air}
	plain := banded(t, j, ask, 1)
	width := func(c drying.CoatPlan) float64 { return math.Log(c.Slowest.Dry / c.Soonest.Dry) }
	laid, c := plain.Start, plain.Coats[0]
	resume := func(k float64) drying.Answer {
		damp, gone := laid.Add(time.Duration(k*float64(c.Opens.Sub(laid)))), laid.Add(time.Duration(k*float64(c.Closes.Sub(laid))))
		a, err := drying.Resume(j, drying.Ask{At: gone.Add(time.Minute), Air: air}, []drying.Seen{{Coat: 1, What: drying.SeenGone, At: gone},
			{Coat: 1, What: drying.SeenLaid, At: laid}, {Coat: 1, What: drying.SeenDamp, At: damp}}, drying.Bands{Members: members, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		got := a.Coats[0]
		t.Logf("times %.1f of those expected: next coat %s (%s to %s), plain %s (%s to %s)", k, got.Recoat.Format("15:04"), got.Earliest.Recoat.Format("15:04"),
			got.Latest.Recoat.Format("15:04"), c.Recoat.Format("15:04"), c.Earliest.Recoat.Format("15:04"), c.Latest.Recoat.Format("15:04"))
		if !got.Lay.Equal(laid) || !got.Opens.Equal(damp) || !got.Closes.Equal(gone) || !got.Latest.Closes.Equal(gone) {
			t.Errorf("laid %s, damp %s, gone %s, not as seen", got.Lay, got.Opens, got.Closes)
		}
		if !(width(got) < 0.6*width(c)) {
			t.Errorf("next coat: ln of latest over earliest %.2f, %.2f before anything was seen", width(got), width(c))
		}
		for _, p := range a.Coats {
			const rounding = time.Microsecond
			if p.Earliest.Recoat.Sub(p.Recoat) > rounding || !p.Latest.Recoat.IsZero() && p.Recoat.Sub(p.Latest.Recoat) > rounding {
				t.Errorf("coat %d: next %s, not between %s and %s", p.Number, p.Recoat, p.Earliest.Recoat, p.Latest.Recoat)
			}
		}
		return a
	}
	slow, same, fast := resume(1.5), resume(1), resume(0.7)
	if d := same.Coats[0].Recoat.Sub(c.Recoat); d.Abs() > c.Recoat.Sub(laid)/10 {
		t.Errorf("as expected, and yet the next coat moves by %s", d)
	}
	if !slow.Coats[0].Recoat.After(same.Coats[0].Recoat) || !fast.Coats[0].Recoat.Before(same.Coats[0].Recoat) {
		t.Error("the next coat does not move with what was seen")
	}
	// The second coat learns from the first.
	if s, f := slow.Coats[1].Times.Dry, fast.Coats[1].Times.Dry; !(s > 1.1*f) {
		t.Errorf("second coat dry after %.0f s on the slow day, %.0f on the fast one", s, f)
	}
	// A look at which the face was not damp yet makes the day later, if less surely than a time.
	not, err := drying.Resume(j, drying.Ask{At: c.Opens.Add(c.Opens.Sub(laid) + time.Minute), Air: air}, []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: laid},
		{Coat: 1, What: drying.SeenDamp, At: c.Opens.Add(c.Opens.Sub(laid)), Not: true}}, drying.Bands{Members: members, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if !not.Coats[0].Opens.After(c.Opens) || !(not.Coats[0].Soonest.Opens > c.Soonest.Opens) {
		t.Errorf("not damp at twice the time expected, and yet expected at %s", not.Coats[0].Opens)
	}
}

// TestResumeSame: the same seed gives the same day.
func TestResumeSame(t *testing.T) {
	j, air := hall(t)
	laid := seven.Add(time.Hour)
	run := func() drying.CoatPlan {
		a, err := drying.Resume(j, drying.Ask{At: laid.Add(time.Hour), Air: air}, []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: laid},
			{Coat: 1, What: drying.SeenDamp, At: laid.Add(20 * time.Minute)}}, drying.Bands{Seed: 3, Members: max(40/raced, 12)})
		if err != nil {
			t.Fatal(err)
		}
		return a.Coats[len(a.Coats)-1]
	}
	if a, b := run(), run(); a.Latest != b.Latest || a.Times != b.Times {
		t.Errorf("%+v and %+v", a, b)
	}
}

// TestSeenRefused: what cannot have been seen is refused with the reason.
func TestSeenRefused(t *testing.T) {
	j, air := hall(t)
	at := seven.Add(5 * time.Hour)
	clock := func(h, m int) time.Time { return time.Date(2026, 4, 14, h, m, 0, 0, time.UTC) }
	laid := drying.Seen{Coat: 1, What: drying.SeenLaid, At: clock(8, 0)}
	for want, seen := range map[string][]drying.Seen{
		"the job has 3 coats":                                          {laid, {Coat: 4, What: drying.SeenLaid, At: clock(9, 0)}},
		"later than the moment of asking, 2026-04-14 12:00":            {{Coat: 1, What: drying.SeenLaid, At: clock(13, 0)}},
		"over 60 days before the moment of asking":                     {{Coat: 1, What: drying.SeenLaid, At: clock(8, 0).AddDate(0, 0, -61)}},
		"the coat was not laid before; give when it was laid":          {{Coat: 1, What: drying.SeenDamp, At: clock(9, 0)}},
		"it came at 08:30 already; give it once":                       {laid, {Coat: 1, What: drying.SeenDamp, At: clock(8, 30)}, {Coat: 1, What: drying.SeenDamp, At: clock(8, 40)}},
		"it comes before gone, which was seen at 08:30":                {laid, {Coat: 1, What: drying.SeenGone, At: clock(8, 30)}, {Coat: 1, What: drying.SeenDamp, At: clock(8, 40)}},
		"coat 1 was not laid before it":                                {{Coat: 2, What: drying.SeenLaid, At: clock(9, 0)}},
		"coat 2 was laid over it at 09:00":                             {laid, {Coat: 2, What: drying.SeenLaid, At: clock(9, 0)}, {Coat: 1, What: drying.SeenDry, At: clock(9, 30)}},
		"it had come by 08:30 already":                                 {laid, {Coat: 1, What: drying.SeenDamp, At: clock(8, 30)}, {Coat: 1, What: drying.SeenDamp, At: clock(8, 40), Not: true}},
		"a coat that is not laid yet is left out":                      {{Coat: 1, What: drying.SeenLaid, At: clock(8, 0), Not: true}},
		"coat 1 damp at 2026-04-14 07:50: the coat was not laid befor": {laid, {Coat: 1, What: drying.SeenDamp, At: clock(7, 50)}},
	} {
		_, err := drying.Resume(j, drying.Ask{At: at, Air: air}, seen, drying.Bands{Members: 8})
		var bad *drying.SeenError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
}

// TestResumeOneClock: a coat is laid when the one before is said to let it, whatever the clocks of the coats before.
func TestResumeOneClock(t *testing.T) {
	ensembles(t)
	j, air := hall(t)
	laid := seven.Add(2 * time.Hour)
	a, err := drying.Resume(j, drying.Ask{At: laid.Add(time.Hour), Air: air}, []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: laid},
		{Coat: 1, What: drying.SeenDamp, At: laid.Add(4 * time.Minute)}, {Coat: 1, What: drying.SeenGone, At: laid.Add(35 * time.Minute)}}, drying.Bands{Members: 60})
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range a.Coats[1:] {
		if wait := c.Lay.Sub(a.Coats[i].Recoat); wait < 0 || wait > 5*time.Minute {
			t.Errorf("coat %d is laid at %s, though the one before lets it from %s", c.Number, c.Lay.Format("15:04"), a.Coats[i].Recoat.Format("15:04"))
		}
	}
}

// TestMistedToldBack: a coat that was laid on a bed that stood overnight was misted for, as the plan has it: told back, its times stay.
func TestMistedToldBack(t *testing.T) {
	j := room(t, material.Fair, 0.2, 0.1)
	ask := now(t, 16, 60)
	ask.Air.Records[0].Time = morning.Add(-20 * time.Hour)
	ask.Seen = []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: morning.Add(-18 * time.Hour)}}
	plan, err := drying.Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	last := plan.Coats[1]
	if !last.Misted {
		t.Fatal("the bed is not misted")
	}
	ask.At = last.Lay.Add(time.Minute)
	ask.Seen = append(ask.Seen, drying.Seen{Coat: 2, What: drying.SeenLaid, At: last.Lay})
	back, err := drying.Check(j, ask)
	if err != nil {
		t.Fatal(err)
	}
	alike(t, "told back", plan, back)
}
