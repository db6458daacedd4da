package drying_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"limeday/drying"
	"limeday/weather"
)

// after is a check of a wall on which coats were laid, and what was seen of them.
func after(t *testing.T, j drying.Job, at time.Time, seen ...drying.Seen) drying.Answer {
	t.Helper()
	air := foretold(t, april.AddDate(0, 0, -1), april.AddDate(0, 0, 8), 16, 60)
	if j.Outdoors != nil {
		air = mild(t)
	}
	a, err := drying.Check(j, drying.Ask{At: at, Air: air, Seen: seen})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestMissed: a last coat that was missed or torn is answered with a further one, from when it is dry, on a misted bed, with a window; laid as
// planned, it stays as it was. One after another is planned, and no fourth.
func TestMissed(t *testing.T) {
	j, _ := hall(t)
	clock := func(h, m int) time.Time { return time.Date(2026, 4, 14, h, m, 0, 0, time.UTC) }
	laid := func(coat int, at time.Time) drying.Seen {
		return drying.Seen{Coat: coat, What: drying.SeenLaid, At: at}
	}
	seen := []drying.Seen{laid(1, clock(7, 0)), laid(2, clock(8, 30)), laid(3, clock(9, 30))}
	plain := after(t, j, clock(10, 30), seen...)
	if plain.Mend != nil || len(plain.Coats) != 3 {
		t.Fatalf("nothing was missed: %+v, %d coats", plain.Mend, len(plain.Coats))
	}
	for _, what := range []drying.SeenState{drying.SeenMissed, drying.SeenTorn} {
		a := after(t, j, clock(10, 30), append(seen, drying.Seen{Coat: 3, What: what, At: clock(10, 10)})...)
		if a.Verdict != drying.Care || why(a, drying.CodeMishap) == nil || a.Mend == nil || len(a.Coats) != 4 {
			t.Fatalf("%s: %s, %+v, %d coats", what, a.Verdict, a.Mend, len(a.Coats))
		}
		c := a.Coats[3]
		if !c.Misted || c.Done || c.Lay.Before(a.Coats[2].Recoat) || c.Lay.Before(clock(10, 30)) || !(c.Closes.Sub(c.Burnish) > 5*time.Minute) {
			t.Errorf("%s: the further coat %+v", what, c)
		}
		text := ""
		for _, d := range a.Mend.Do {
			text += d.String()
		}
		if !strings.Contains(text, "matt") || !strings.Contains(text, "Do not sand") {
			t.Errorf("%s: %s", what, text)
		}
		told := after(t, j, c.Lay.Add(time.Minute), append(seen, drying.Seen{Coat: 3, What: what, At: clock(10, 10)}, laid(4, c.Lay))...)
		if got := told.Coats[3]; math.Abs(got.Times.Closes/c.Times.Closes-1) > 0.005 || told.Mend != nil {
			t.Errorf("%s: gone by %.0f s after laying once it is laid, %.0f as planned", what, got.Times.Closes, c.Times.Closes)
		}
	}
	for n := 3; n <= 6; n++ { // missed again and again
		seen = append(seen, drying.Seen{Coat: n, What: drying.SeenMissed, At: seen[len(seen)-1].At.Add(30 * time.Minute)})
		at := seen[len(seen)-1].At.Add(time.Hour)
		a := after(t, j, at, seen...)
		if want := min(n+1, 6); len(a.Job.Coats) != want {
			t.Errorf("coat %d missed: %d coats, want %d", n, len(a.Job.Coats), want)
		}
		seen = append(seen, laid(n+1, at))
	}
}

// mild is a week of weather without frost or rain.
func mild(t *testing.T) weather.Series {
	return spell(april, 8, func(int, *weather.Record) {})
}

// TestRainedOn: a coat that was rained on dries again before the next: what it had come to before the rain stands, the rest is later, and later still
// where it rained later. What is told a day late is the same.
func TestRainedOn(t *testing.T) {
	j := wallOutside(t, 200)
	laid := drying.Seen{Coat: 1, What: drying.SeenLaid, At: seven.Add(time.Hour)}
	rain := func(h float64) drying.Seen {
		return drying.Seen{Coat: 1, What: drying.SeenRained, At: laid.At.Add(time.Duration(h * float64(time.Hour)))}
	}
	at := seven.Add(9 * time.Hour)
	dry, early, late := after(t, j, at, laid), after(t, j, at, laid, rain(1)), after(t, j, at, laid, rain(7))
	next := func(a drying.Answer) float64 { return a.Coats[1].Lay.Sub(laid.At).Hours() }
	t.Logf("coat 2 after %.2f h; rained on after 1 h %.2f h, after 7 h %.2f h", next(dry), next(early), next(late))
	if !(late.Coats[0].Recoat.After(rain(7).At) && late.Coats[0].Recoat.After(early.Coats[0].Recoat) && early.Coats[0].Recoat.After(dry.Coats[0].Recoat)) {
		t.Errorf("next coat from %s dry, %s, %s", dry.Coats[0].Recoat, early.Coats[0].Recoat, late.Coats[0].Recoat)
	}
	if a, b := dry.Coats[0].Times.Opens, late.Coats[0].Times.Opens; a != b {
		t.Errorf("opened at %.1f s, and at %.1f s for what came later", a, b)
	}
	covered := []drying.Seen{laid, rain(1), {Coat: 2, What: drying.SeenLaid, At: early.Coats[1].Lay}}
	x, y := after(t, j, covered[2].At, covered...), early
	if got, want := x.Coats[1].Times.Dry, y.Coats[1].Times.Dry; math.Abs(got/want-1) > 0.005 {
		t.Errorf("coat 2 dry after %.0f s once it is laid, %.0f as planned", got, want)
	}
}

// TestMishapsTeachNothing: a joint and a frost say what to do, and move no time.
func TestMishapsTeachNothing(t *testing.T) {
	j, _ := hall(t)
	laid := drying.Seen{Coat: 1, What: drying.SeenLaid, At: seven}
	at := seven.Add(time.Hour)
	plain := after(t, j, at, laid)
	for _, what := range []drying.SeenState{drying.SeenJoint, drying.SeenFroze} {
		a := after(t, j, at, laid, drying.Seen{Coat: 1, What: what, At: at.Add(-10 * time.Minute)})
		if a.Verdict == drying.Go || a.Mend == nil || len(a.Coats) != len(plain.Coats) || a.Coats[2].Closes != plain.Coats[2].Closes {
			t.Errorf("%s: %s, %+v", what, a.Verdict, a.Coats)
		}
	}
	for want, s := range map[string]drying.Seen{
		"only the last coat is closed in":    {Coat: 1, What: drying.SeenMissed, At: at},
		"the wall is indoors":                {Coat: 1, What: drying.SeenRained, At: at},
		"it is told once it has happened":    {Coat: 1, What: drying.SeenFroze, At: at, Not: true},
		"the coat was not laid before; give": {Coat: 2, What: drying.SeenTorn, At: at},
	} {
		_, err := drying.Check(j, drying.Ask{At: at, Air: foretold(t, april, april.AddDate(0, 0, 8), 16, 60), Seen: []drying.Seen{laid, s}})
		var bad *drying.SeenError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %s", s, err, want)
		}
	}
}

// TestLayingsOfTheLastCoat: a wall with one coat left, the last or a further one over one that was missed, is planned from when that can be laid, and as
// [drying.Check] has it.
func TestLayingsOfTheLastCoat(t *testing.T) {
	j, _ := hall(t)
	air := foretold(t, april.AddDate(0, 0, -1), april.AddDate(0, 0, 8), 16, 60)
	var seen []drying.Seen
	for i := range 3 {
		seen = append(seen, drying.Seen{Coat: i + 1, What: drying.SeenLaid, At: seven.Add(time.Duration(2*i) * time.Hour)})
	}
	for name, s := range map[string][]drying.Seen{"the last": seen[:2], "a further one": append(seen, drying.Seen{Coat: 3, What: drying.SeenMissed, At: seven.Add(5 * time.Hour)})} {
		ask := drying.Ask{At: seven.Add(5 * time.Hour), Air: air, Seen: s}
		day, err := drying.Check(j, ask)
		if err != nil {
			t.Fatal(err)
		}
		left := j.Left(s)
		if len(left.Coats) != 1 {
			t.Fatalf("%s: %d coats are left", name, len(left.Coats))
		}
		ask.For = ask.At
		l, err := drying.NewLayings(left, ask, drying.Bands{})
		if err != nil {
			t.Fatal(err)
		}
		want := day.Coats[len(day.Coats)-1]
		got, err := l.Try(drying.Bare, []time.Time{want.Lay})
		if err != nil {
			t.Fatal(err)
		}
		// The wall's planner does not mist, and its walls are coarse.
		if x, y := got[0].Times.Closes, want.Times.Closes; !want.Misted && math.Abs(x-y) > 0.03*y+5 || math.IsInf(x, 1) {
			t.Errorf("%s: gone by %.0f s after laying, %.0f in the day's answer", name, x, y)
		}
	}
}
