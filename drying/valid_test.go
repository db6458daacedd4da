package drying_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"limeday/drying"
	"limeday/drying/crew"
	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/drying/parallel"
	"limeday/drying/practice"
	"limeday/drying/season"
	"limeday/weather"
)

// few keeps what is worked out small: whether it is right is asked elsewhere.
var few = drying.Bands{Members: 2}

// byJob are the entry points that are asked with a job and a day.
var byJob = map[string]func(drying.Job, drying.Ask) error{
	"Check": func(j drying.Job, a drying.Ask) error { _, err := drying.Check(j, a); return err },
	"Next":  func(j drying.Job, a drying.Ask) error { _, err := drying.Next(j, a); return err },
	"NewLayings": func(j drying.Job, a drying.Ask) error {
		l, err := drying.NewLayings(j, a, few)
		if err == nil {
			_, err = l.Try(drying.Bare, []time.Time{a.At})
		}
		return err
	},
	"NewLong": func(j drying.Job, a drying.Ask) error {
		drying.Afterwards(j)
		_, err := drying.NewLong(j, a.Air, a.At, a.At.Add(24*time.Hour))
		return err
	},
	"Resume": func(j drying.Job, a drying.Ask) error {
		_, err := drying.Resume(j, a, []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: a.At.Add(-time.Hour)}}, few)
		return err
	},
	"SeenOf": func(j drying.Job, a drying.Ask) error {
		_, err := drying.SeenOf(j, a.At, []drying.Seen{{Coat: 1, What: drying.SeenLaid, At: a.At}})
		return err
	},
	"Answer.Band": func(j drying.Job, a drying.Ask) error {
		answer := drying.Answer{Job: j, At: a.At, Start: a.At, Coats: []drying.CoatPlan{{Number: 1}}}
		return answer.Band(a, few)
	},
	"season.Work": func(j drying.Job, a drying.Ask) error {
		season.NeedOf([]drying.Job{j})
		_, err := season.Work(context.Background(), season.Ask{Walls: []drying.Job{j}, Starts: []time.Duration{8 * time.Hour},
			Weather: season.Weather{Series: a.Air, Years: []season.Year{{Label: 2026, From: a.At, To: a.At.Add(24 * time.Hour)}}}})
		return err
	},
	"crew.New": func(j drying.Job, a drying.Ask) error {
		_, err := crew.New(crew.Ask{Sites: []crew.Site{{Wall: crew.Wall{Width: 1, Height: 1}, Job: &j}}, Ask: a, Set: few, Crew: crew.Crew{
			Hands: []crew.Hand{{Name: "one", Rate: [3]float64{crew.LayingRate, crew.CompressingRate, crew.BurnishingRate}}}, Passes: [3]int{1, 1, 1}, Hours: j.Hours}})
		return err
	},
	"practice.Coats": func(j drying.Job, a drying.Ask) error {
		cases, err := practice.Coats(j)
		if err == nil {
			_, err = practice.Cards(cases, practice.Airs(101325)[:1], few)
		}
		return err
	},
	"methods": func(j drying.Job, a drying.Ask) error {
		j.Variants(drying.Standing{Temp: 10})
		j.LayDays()
		j.Inside(a.Air)
		return j.Check()
	},
}

// typed tells whether an error is one of the package's own, in one sentence.
func typed(err error) bool {
	var ask *drying.AskError
	var none *drying.NoAirError
	var old *drying.OldAirError
	var seen *drying.SeenError
	var weathered *drying.WeatherError
	var sample *drying.SampleError
	var stuck *drying.NotConvergedError
	var never *drying.NeverDryError
	var wall *crew.WallError
	var hands *crew.CrewError
	return (errors.As(err, &ask) || errors.As(err, &none) || errors.As(err, &old) || errors.As(err, &seen) || errors.As(err, &weathered) || errors.As(err, &sample) ||
		errors.As(err, &stuck) || errors.As(err, &never) || errors.As(err, &wall) || errors.As(err, &hands)) && !strings.Contains(err.Error(), "\n") && len(err.Error()) > 10
}

// refused checks that f answers with a typed error, or where may is set answers at all, and does not panic.
func refused(t *testing.T, what string, may bool, f func() error) {
	t.Helper()
	var err error
	if p := parallel.Catch(func() { err = f() }); p != nil {
		t.Errorf("%s panics: %v", what, p)
	} else if err == nil && !may || err != nil && !typed(err) {
		t.Errorf("%s: %v", what, err)
	}
}

// short is a job and a day that are worked out fast.
func short(t *testing.T) (drying.Job, drying.Ask) {
	j := room(t, material.Fair, 0.1)
	j.Hours = drying.Hours{From: 7 * time.Hour, To: 7*time.Hour + 30*time.Minute}
	j.Suction = drying.Suction{}
	j.Outdoors = &drying.Outdoors{Name: "gable", Bearing: 180, Shelter: 0.5, Cover: drying.CoverNamed("")}
	j.Limits.MinWall = new(float64)
	j.Place = weather.Place{Lat: 53, Lon: -7}
	j.Laid = []drying.Laid{{Name: "back", Finish: polish(t), Thickness: 0.001, On: morning}}
	ask := now(t, 15, 60)
	ask.Faces = []drying.FaceReading{{At: ask.At, Temp: 14}}
	return j, ask
}

// A zero or half-filled question gives a typed error of one sentence, wherever it is asked.
func TestZeroQuestionsAreRefused(t *testing.T) {
	good, ask := short(t)
	good.Outdoors = nil
	half := map[string]func(j *drying.Job){
		"zero":          func(j *drying.Job) { *j = drying.Job{} },
		"no coats":      func(j *drying.Job) { j.Coats = nil },
		"no zone":       func(j *drying.Job) { j.Zone = nil },
		"zero coat":     func(j *drying.Job) { j.Coats = []drying.Coat{{}} },
		"no finish":     func(j *drying.Job) { j.Coats = []drying.Coat{{Thickness: 1e-4}} },
		"no thickness":  func(j *drying.Job) { j.Coats = []drying.Coat{{Finish: good.Coats[0].Finish}} },
		"no background": func(j *drying.Job) { j.Background = material.Background{} },
		"empty layer":   func(j *drying.Job) { j.Background.Layers = []material.Rigid{{}} },
		"zero drop":     func(j *drying.Job) { j.Suction.Drops = []float64{0} },
		"NaN drop":      func(j *drying.Job) { j.Suction.Drops = []float64{math.NaN()} },
		"no timing":     func(j *drying.Job) { j.Timing = &learn.Timing{Finish: good.Coats[0].Finish.Name} },
	}
	for name, f := range byJob {
		for what, change := range half {
			j := good
			change(&j)
			light := name == "SeenOf" || name == "practice.Coats" && (what == "no coats" || what == "no zone" || what == "zero") // they ask for less
			refused(t, name+" of a job with "+what, light, func() error { return f(j, ask) })
		}
		if name != "methods" && name != "practice.Coats" {
			refused(t, name+" of a zero day", name == "SeenOf", func() error { return f(good, drying.Ask{}) })
			refused(t, name+" of a day without air", name == "Next" || name == "SeenOf", func() error { return f(good, drying.Ask{At: morning}) })
		}
	}
	ladder := drying.LadderAsk{Finish: polish(t), Spots: []material.Background{good.Background}, Number: 1, Thicknesses: []float64{1e-4}, Air: moist(t, 15, 60), AirSpeed: 0.1, WallHeight: 2.5}
	for what, change := range map[string]func(*drying.LadderAsk){
		"zero": func(a *drying.LadderAsk) { *a = drying.LadderAsk{} }, "no finish": func(a *drying.LadderAsk) { a.Finish = material.Finish{} },
		"no spots": func(a *drying.LadderAsk) { a.Spots = nil }, "zero spot": func(a *drying.LadderAsk) { a.Spots = make([]material.Background, 1) },
		"no number": func(a *drying.LadderAsk) { a.Number = 0 }, "zero thickness": func(a *drying.LadderAsk) { a.Thicknesses = []float64{0} },
		"NaN thickness": func(a *drying.LadderAsk) { a.Thicknesses = []float64{math.NaN()} }, "no air": func(a *drying.LadderAsk) { a.Air = drying.LadderAsk{}.Air },
		"Inf speed": func(a *drying.LadderAsk) { a.AirSpeed = math.Inf(1) }, "no height": func(a *drying.LadderAsk) { a.WallHeight = 0 },
		"thickness of a metre": func(a *drying.LadderAsk) { a.Thicknesses = []float64{1} },
	} {
		a := ladder
		change(&a)
		refused(t, "Ladder with "+what, false, func() error { _, err := drying.Ladder(a); return err })
		refused(t, "Band of a ladder with "+what, false, func() error { return a.Band(make([]drying.Rung, 1), few) })
		thickness := 0.0
		if len(a.Thicknesses) > 0 {
			thickness = a.Thicknesses[0]
		}
		refused(t, "Follow with "+what, false, func() error { _, err := drying.Follow(a, thickness); return err })
	}
	refused(t, "Ladder without thicknesses", false, func() error { a := ladder; a.Thicknesses = nil; _, err := drying.Ladder(a); return err })
	sample := drying.Sample{Name: "board", Finish: polish(t), Background: good.Background, Number: 1, Thickness: 1e-4, Laid: morning, Air: ask.Air, Pressure: 101325}
	for what, change := range map[string]func(*drying.Sample){
		"zero": func(s *drying.Sample) { *s = drying.Sample{} }, "no finish": func(s *drying.Sample) { s.Finish = material.Finish{} },
		"no background": func(s *drying.Sample) { s.Background = material.Background{} }, "no air": func(s *drying.Sample) { s.Air = weather.Series{} },
		"no number": func(s *drying.Sample) { s.Number = 0 }, "NaN thickness": func(s *drying.Sample) { s.Thickness = math.NaN() },
		"no pressure": func(s *drying.Sample) { s.Pressure = 0 }, "nothing laid": func(s *drying.Sample) { s.Laid = time.Time{} },
	} {
		s := sample
		change(&s)
		refused(t, "Foresee with "+what, false, func() error { _, err := drying.Foresee(s, nil, few); return err })
		refused(t, "Teach with "+what, false, func() error { _, err := drying.Teach([]drying.Sample{s}, nil, few); return err })
		refused(t, "PlanSamples with "+what, false, func() error { _, _, err := drying.PlanSamples(nil, []drying.Sample{s}, s, 1); return err })
		refused(t, "Foretell with "+what, false, func() error { _, err := practice.Foretell(s, nil, nil, few); return err })
	}
	refused(t, "Teach of nothing", false, func() error { _, err := drying.Teach(nil, nil, few); return err })
	refused(t, "Resume of nothing", false, func() error { _, err := drying.Resume(good, ask, nil, few); return err })
	refused(t, "SeenOf of no state", false, func() error {
		_, err := drying.SeenOf(good, morning, []drying.Seen{{Coat: 1, What: "painted", At: morning}})
		return err
	})
	refused(t, "a season of nothing", false, func() error { _, err := season.Work(context.Background(), season.Ask{}); return err })
	refused(t, "a crew of nothing", false, func() error { _, err := crew.New(crew.Ask{}); return err })
	refused(t, "a wall of no job", false, func() error {
		_, err := crew.New(crew.Ask{Sites: []crew.Site{{Wall: crew.Wall{Width: 1, Height: 1}}}})
		return err
	})
	refused(t, "a zero answer", true, func() error { return new(drying.Answer).Band(ask, few) })
	refused(t, "odds of nothing", true, func() error { drying.FrostOdds(weather.Series{}, morning, morning); return nil })
}

// leaves calls f for every number inside v, which must be settable, with its path; lists are made its own first.
func leaves(v reflect.Value, at string, f func(path string, v reflect.Value)) {
	switch v.Kind() {
	case reflect.Float64:
		f(at, v)
	case reflect.Pointer:
		if !v.IsNil() && v.Type() != reflect.TypeFor[*time.Location]() && v.Type() != reflect.TypeFor[*learn.Timing]() {
			own := reflect.New(v.Type().Elem())
			own.Elem().Set(v.Elem())
			v.Set(own)
			leaves(v.Elem(), at, f)
		}
	case reflect.Slice:
		own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(own, v)
		v.Set(own)
		for i := range v.Len() {
			leaves(v.Index(i), fmt.Sprintf("%s[%d]", at, i), f)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() && v.Type() != reflect.TypeFor[time.Time]() {
				leaves(v.Field(i), at+"."+v.Type().Field(i).Name, f)
			}
		}
	}
}

// Every number of a job and of its day can be NaN or infinite: each entry point refuses it.
func TestNumbersThatAreNone(t *testing.T) {
	j, ask := short(t)
	question := struct {
		Job drying.Job
		Ask drying.Ask
	}{j, ask}
	n := 0
	leaves(reflect.ValueOf(&question).Elem(), "", func(path string, v reflect.Value) {
		was := v.Float()
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			v.SetFloat(x)
			for name, f := range byJob {
				n++
				day := strings.HasPrefix(path, ".Ask")
				if strings.HasSuffix(path, "Temperature.V") || strings.HasSuffix(path, "Vapour.V") {
					day = day && (name == "methods" || name == "SeenOf" || name == "practice.Coats")
				} else {
					day = day || name == "SeenOf" || name == "practice.Coats" // they do not look at it
				}
				if day {
					continue
				}
				refused(t, fmt.Sprintf("%s with %s = %g", name, path, x), false, func() error { return f(question.Job, question.Ask) })
			}
		}
		v.SetFloat(was)
	})
	if n < 1000 {
		t.Errorf("only %d were tried", n)
	}
}

// Zeros and huge numbers in any place are answered or refused; nothing panics.
func TestNumbersOutOfAnyRange(t *testing.T) {
	if testing.Short() {
		t.Skip("follows coats")
	}
	j, ask := short(t)
	j.Outdoors = nil // which one reading does not serve
	leaves(reflect.ValueOf(&j).Elem(), "", func(path string, v reflect.Value) {
		if strings.HasSuffix(path, ".Low") || strings.HasSuffix(path, ".High") || strings.HasPrefix(path, ".Background.Layers[1]") {
			return // of what is guessed, not followed; and layers are alike
		}
		was := v.Float()
		for _, x := range []float64{0, -1, 1e12} {
			v.SetFloat(x)
			refused(t, fmt.Sprintf("NewLayings with %s = %g", path, x), true, func() error { return byJob["NewLayings"](j, ask) })
		}
		v.SetFloat(was)
	})
}
