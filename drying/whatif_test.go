package drying_test

import (
	"errors"
	"strings"
	"testing"

	"limeday/drying"
	"limeday/drying/exposure"
	"limeday/drying/material"
)

// What can be changed is said to help where it does, over a grid of rooms and airs, and what is asked for says the same.
func TestWhatIfGrid(t *testing.T) {
	few := drying.Bands{Members: 2, Seed: 1}
	helped, not, moved := 0, 0, 0
	for _, air := range [][2]float64{{8, 80}, {16, 62}, {22, 35}} {
		for name, change := range map[string]func(*drying.Job){
			"closed":   func(j *drying.Job) { j.Room.Volume, j.Room.WetArea, j.Room.AirChanges = 60, 12, 0.5 },
			"draught":  func(j *drying.Job) { j.Room.AirSpeed = 0.8 },
			"unheated": func(j *drying.Job) { j.Room.Unheated = true },
		} {
			job, ask := room(t, material.Fair, 0.2, 0.12, 0.08), now(t, air[0], air[1])
			change(&job)
			a, err := drying.Check(job, ask)
			if err != nil {
				t.Fatal(err)
			}
			for i, c := range a.Changes {
				says := c.Effect.String()
				switch {
				case c.Helps == strings.HasPrefix(says, "no") && !strings.HasPrefix(says, "no longer") && !strings.HasPrefix(says, "no-go becomes"):
					t.Errorf("%s %v: %s helps %v: %s", name, air, c.Code, c.Helps, says)
				case c.Helps && (a.Verdict.Better(c.Verdict) || a.Verdict != drying.NoGo && len(c.Due) < len(a.Days[0].Coats)):
					t.Errorf("%s %v: %s is worse: %s", name, air, c.Code, says)
				case c.Helps && i > 0 && !a.Changes[i-1].Helps:
					t.Errorf("%s %v: %s comes after what does not help", name, air, c.Code)
				case job.Room.Unheated && c.Code == drying.ChangeHeat:
					t.Errorf("%s %v: heat in a room without heating", name, air)
				}
			}
			if job.Room.Unheated && strings.Contains(strings.Join(a.Work(), " "), "warm") {
				t.Errorf("%v: %v", air, a.Work())
			}
			for _, r := range a.Reasons {
				if says := strings.ToLower(r.Says.String()); job.Room.Unheated && strings.Contains(says, "warm the room") {
					t.Error(says)
				}
			}
			if air[0] != 16 {
				continue
			}
			tried := map[drying.ChangeCode]drying.Change{}
			for _, c := range a.Changes {
				tried[c.Code] = c
			}
			if err := a.Band(ask, few); err != nil {
				t.Fatal(err)
			}
			var can []drying.Wish
			for _, n := range drying.WishNames() {
				w := drying.Wish{Name: n}
				got, err := a.WhatIf(ask, []drying.Wish{w}, few)
				var no *drying.WishError
				if errors.As(err, &no) {
					continue
				} else if err != nil {
					t.Fatal(err)
				}
				can = append(can, w)
				c := got[1]
				if got[0].Verdict != a.Verdict || got[0].Helps || len(got) != 2 {
					t.Errorf("%s %v: %+v", name, air, got)
				}
				if was, ok := tried[c.Code]; ok {
					if was.Helps != c.Helps {
						t.Logf("%s %v: %s: %s, asked for: %s", name, air, c.Code, was.Effect, c.Effect)
						moved++
					}
				}
				if c.Helps {
					helped++
				} else {
					not++
				}
			}
			got, err := a.WhatIf(ask, can, few)
			if err != nil || len(got) != len(can)+2 || len(got[len(got)-1].Codes) != len(can) {
				t.Errorf("%s %v: %v, %d lines", name, air, err, len(got))
			}
		}
	}
	t.Logf("%d help, %d do not; %d said otherwise before they were asked for", helped, not, moved)
	if helped < 5 || not < 5 || moved*5 > helped+not {
		t.Error("the mix says nothing")
	}
}

// A wish is what it says of the job and no more; one that does not apply says why.
func TestVariant(t *testing.T) {
	job := room(t, material.Fair, 0.2, 0.12, 0.08)
	s := drying.Standing{Temp: 12, RH: 0.7, Counted: true}
	for name, change := range map[string]func(*drying.Job){
		"damp":    func(*drying.Job) {},                      // a board is not damped
		"air-out": func(j *drying.Job) { j.Room.Volume = 0 }, // nothing of it is counted
		"heat":    func(j *drying.Job) { j.Room.Unheated = true },
		"still":   func(j *drying.Job) { j.Room.AirSpeed = 0.02 },
		"mist":    func(j *drying.Job) { j.Coats = j.Coats[:1] },
		"thin":    func(j *drying.Job) { j.Coats = j.Coats[2:] },
		"net":     func(*drying.Job) {},
		"half":    func(j *drying.Job) { j.Room.WetArea = 0 },
		"sheet":   func(j *drying.Job) { j.Outdoors = &drying.Outdoors{Cover: exposure.Sheeted} },
		"stop":    func(*drying.Job) {},
		"shake":   func(*drying.Job) {},
	} {
		j := job
		change(&j)
		var no *drying.WishError
		if _, err := j.Variant(drying.Wish{Name: name}, s); !errors.As(err, &no) || no.Name != name || no.Reason == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	for laid, want := range map[int]bool{0: true, 2: true, 3: false} {
		s.Laid = laid
		v, err := job.Variant(drying.Wish{Name: "mist"}, s)
		if (err == nil) != want {
			t.Errorf("%d laid: %v", laid, err)
		} else if want {
			j := job
			j.Coats = append([]drying.Coat(nil), job.Coats...)
			v.Apply(&j, &drying.Ask{})
			if j.Coats[0].Mist || j.Coats[1].Mist || !j.Coats[2].Mist || job.Coats[2].Mist {
				t.Errorf("%+v", j.Coats)
			}
		}
	}
}
