package drying_test

import (
	"errors"
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/wall"
	"limeday/weather"
)

// spotted is b with the absorption of its face times f, as a measurement would leave it.
func spotted(b material.Background, f float64) material.Background {
	b.Layers = append([]material.Rigid(nil), b.Layers...)
	b.Layers[0].Absorption.Value *= f
	return b
}

// With several spots the slowest rules when a coat opens, is burnished and dries, the fastest when its edge is lost and
// when it has gone by; spots between the two change nothing.
func TestSpots(t *testing.T) {
	fewer(t, 4, func(r *rapid.T) {
		ask := drawAsk(t, r)
		b := ask.Spots[0]
		factor := rapid.Float64Range(1.5, 4).Draw(r, "factor")
		slow, between, fast := spotted(b, 1/factor), b, spotted(b, factor)
		of := func(spots ...material.Background) drying.Rung {
			ask.Spots = spots
			return ladder(r, ask)[0]
		}
		s, f, all := of(slow), of(fast), of(between, fast, slow)
		if all.Opens != max(s.Opens, f.Opens) || all.Burnish != max(s.Burnish, f.Burnish) || all.Dry != max(s.Dry, f.Dry) ||
			all.Closes != min(s.Closes, f.Closes) || all.Edge != min(s.Edge, f.Edge) {
			r.Errorf("together %+v; slow %+v; fast %+v", all.Times, s.Times, f.Times)
		}
		// Damped for the same time, a thirsty wall takes in more water, and may open a coat later for it.
		if !ask.Damped && !(s.Opens >= f.Opens) {
			r.Errorf("%s: the spot that drinks less opens after %g s, the other after %g s", b.Name, s.Opens, f.Opens)
		}
	})
}

// On a green base the next coat follows as soon as this one opens; nothing else changes.
func TestGreen(t *testing.T) {
	fewer(t, 4, func(r *rapid.T) {
		ask := drawAsk(t, r)
		dry := ladder(r, ask)[0]
		ask.Green = true
		green := ladder(r, ask)[0]
		if dry.Next != dry.Dry || green.Next != green.Opens || !reflect.DeepEqual(green.Times, dry.Times) {
			r.Errorf("dry %+v, green %+v", dry, green)
		}
	})
	job := room(t, material.Fair)
	job.Coats[0].Green = true
	a, err := drying.Check(job, now(t, 16, 60))
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Coats) < 2 || !a.Coats[0].Recoat.Equal(a.Coats[0].Opens) || a.Coats[1].Lay.Sub(a.Coats[0].Opens) > 10*time.Minute {
		t.Errorf("coats %+v", a.Coats)
	}
}

// The smaller the room, the more its wet wall moistens the air, the later its coats; and the room is counted only where
// its volume and the wet area are known and no reading was taken during the work, for such readings hold it already.
func TestRoomIsCounted(t *testing.T) {
	job := room(t, material.Fair, 0.2)
	job.Room.WetArea, job.Room.AirChanges = 40, 0.5
	a, err := drying.Check(job, now(t, 16, 60))
	if err != nil {
		t.Fatal(err)
	}
	if a.RoomCounted {
		t.Error("counted without a volume")
	}
	before := a.Coats[0].Times
	for _, volume := range []float64{5000, 400, 150, 60} {
		job.Room.Volume = volume
		a, err := drying.Check(job, now(t, 16, 60))
		if err != nil {
			t.Fatal(err)
		}
		if !a.RoomCounted {
			t.Fatalf("%g m3 is not counted", volume)
		}
		now := a.Coats[0].Times
		t.Logf("%g m3: opens after %.1f min, gone by after %.1f, dry after %.1f", volume, now.Opens/60, now.Closes/60, now.Dry/60)
		if !(now.Opens > before.Opens && now.Closes > before.Closes && now.Dry > before.Dry) {
			t.Errorf("%g m3: %+v; larger or open: %+v", volume, now, before)
		}
		before = now
	}
	during := now(t, 16, 60)
	during.Air.Records = append(during.Air.Records, reading(t, morning.Add(3*time.Hour), 16, 65))
	if a, err := drying.Check(job, during); err != nil || a.RoomCounted {
		t.Errorf("readings from during the work: counted %v, %v", a.RoomCounted, err)
	}
	job.Room.WetArea = 0
	if a, err := drying.Check(job, now(t, 16, 60)); err != nil || a.RoomCounted {
		t.Errorf("no wet area: counted %v, %v", a.RoomCounted, err)
	}
}

// A job may begin with its primer: it is laid, waited for, and the polish goes onto the layer it has become.
func TestPrimerFirst(t *testing.T) {
	primer, err := material.FinishNamed("grit-primer")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"gypsum-board", "brick", "old-lime"} {
		job := room(t, material.Fair, 0.2, 0.1)
		job.Background = background(t, name, "")
		job.Hours.To = 22 * time.Hour
		job.Coats = append([]drying.Coat{{Finish: primer, Thickness: 0.3e-3}}, job.Coats...)
		a, err := drying.Check(job, now(t, 20, 50))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if len(a.Coats) < 2 || a.Coats[0].Coat.Finish.Name != "grit-primer" || a.Coats[0].Recoat.IsZero() || a.Coats[1].Opens.IsZero() {
			t.Errorf("%s: %+v", name, a.Coats)
			continue
		}
		t.Logf("%s: primer dry after %.0f min; polish opens %.1f min after laying, dry after %.0f", name, a.Coats[0].Times.Dry/60, a.Coats[1].Times.Opens/60, a.Coats[1].Times.Dry/60)
		if a.Coats[1].Lay.Before(a.Coats[0].Recoat) {
			t.Errorf("%s: laid at %s; the primer is dry from %s", name, a.Coats[1].Lay, a.Coats[0].Recoat)
		}
	}
}

// Two readings of fog at different temperatures: on the straight line between them air is above saturation, which is
// no bad reading.
func TestFog(t *testing.T) {
	at := time.Date(2026, 4, 14, 8, 10, 0, 0, time.UTC)
	a, err := drying.Check(room(t, material.Fair), drying.Ask{At: at, Air: weather.Series{Records: []weather.Record{
		reading(t, at.Add(-time.Hour), 12, 100), reading(t, at.Add(time.Hour), 20, 100)}}})
	if err != nil {
		t.Fatal(err)
	}
	if rh := float64(a.Now.RelativeHumidity()); !(rh > 0.999 && rh <= 1) {
		t.Errorf("%g relative humidity", rh)
	}
}

// notNumbers lists the floats in v that are NaN.
func notNumbers(path string, v reflect.Value, found *[]string) {
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) {
			*found = append(*found, path)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				notNumbers(path+"."+v.Type().Field(i).Name, v.Field(i), found)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			notNumbers(path, v.Index(i), found)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			notNumbers(path, v.Elem(), found)
		}
	}
}

// Readings with gaps from a second to years, jumps between them over all that a thermometer reads, and holes where a
// sensor failed: an answer without NaN or one of the errors that say why, and always soon.
func TestGapsAndSteps(t *testing.T) {
	fewer(t, 5, func(r *rapid.T) {
		job := room(t, rapid.SampledFrom(material.Primers()).Draw(r, "primer"), 0.2, 0.1)
		job.Hours = drying.Hours{From: 6 * time.Hour, To: 8 * time.Hour}
		ask := drying.Ask{At: morning, Air: weather.Series{Source: "a test"}}
		at := morning.Add(-time.Duration(math.Exp(rapid.Float64Range(0, 18).Draw(r, "ln s before")) * 1e9))
		for range rapid.IntRange(1, 12).Draw(r, "readings") {
			rec := reading(t, at, rapid.Float64Range(-25, 45).Draw(r, "temp"), rapid.Float64Range(1, 100).Draw(r, "rh"))
			if rapid.IntRange(0, 5).Draw(r, "hole") == 0 {
				rec.Vapour = weather.Value{}
			}
			ask.Air.Records = append(ask.Air.Records, rec)
			at = at.Add(time.Duration(math.Exp(rapid.Float64Range(0, 18.5).Draw(r, "ln s gap")) * 1e9)) // to 3.4 years
		}
		type outcome struct {
			a   drying.Answer
			err error
		}
		done := make(chan outcome, 1)
		go func() {
			a, err := drying.Check(job, ask)
			done <- outcome{a, err}
		}()
		select {
		case o := <-done:
			var none *drying.NoAirError
			var old *drying.OldAirError
			var stuck *wall.ConvergenceError
			if o.err != nil {
				if !errors.As(o.err, &none) && !errors.As(o.err, &old) && !errors.As(o.err, &stuck) {
					r.Errorf("%T: %v", o.err, o.err)
				}
				if stuck != nil {
					r.Logf("%v", stuck)
				}
				return
			}
			var bad []string
			notNumbers("answer", reflect.ValueOf(o.a), &bad)
			if len(bad) > 0 {
				r.Errorf("not numbers: %v", bad)
			}
		case <-time.After(2 * time.Minute): // a hang, on any machine
			t.Fatal("no answer")
		}
	})
}
