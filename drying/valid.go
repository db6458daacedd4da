package drying

import (
	"fmt"
	"math"
	"reflect"
	"time"

	"limeday/drying/learn"
	"limeday/drying/material"
	"limeday/weather"
)

// AskError says what keeps a question from being answered: a part of it that is missing or cannot be.
type AskError struct {
	What   string // the job, a coat, the air
	Reason string
	Err    error // cause; may be nil
}

func (e *AskError) Error() string { return e.What + ": " + e.Reason }

// Unwrap gives the cause.
func (e *AskError) Unwrap() error { return e.Err }

func noAsk(what, format string, a ...any) error {
	return &AskError{What: what, Reason: fmt.Sprintf(format, a...)}
}

// Check refuses a job that nothing can be worked out for: the error is an *AskError.
func (j Job) Check() error {
	switch path, ok := finite(j); {
	case len(j.Coats) == 0:
		return noAsk("the job", "it has no coats; give one at least")
	case j.Zone == nil:
		return noAsk("the job", "it has no time zone")
	case !ok:
		return noAsk("the job", "%s is not a number", path)
	case !(j.Hours.To > j.Hours.From) || j.Hours.From < 0 || j.Hours.To > 24*time.Hour:
		return noAsk("the job", "its hours must begin and end within one day, and end after they begin")
	case j.Hours.Free == [7]bool{true, true, true, true, true, true, true}:
		return noAsk("the job", "it has no working day")
	case math.Abs(j.Place.Lat) > 90 || math.Abs(j.Place.Lon) > 180 || math.Abs(j.Place.Altitude) > highest:
		return noAsk("the job", "its place is not on this earth")
	case !(j.Room.WallHeight > 0) || j.Room.AirSpeed < 0:
		return noAsk("the job", "its room needs a wall's height above zero and a speed of the air")
	}
	r := j.Room
	for _, v := range []float64{float64(r.Pressure), r.Volume, r.AirChanges, r.WetArea, float64(r.Hands), r.Vent} {
		if v < 0 {
			return noAsk("the job", "nothing of its room can be below zero (%g)", v)
		}
	}
	if err := checkBackground(j.Background); err != nil {
		return err
	}
	for i, c := range j.Coats {
		if err := checkCoat(fmt.Sprintf("coat %d", i+1), c.Finish, c.Thickness); err != nil {
			return err
		}
		if w := c.Wait; w != nil && (w.Least < 0 || w.Careful < w.Least || w.Careful > 400*24*time.Hour) {
			return noAsk(fmt.Sprintf("coat %d", i+1), "its wait must go from zero up, to a year at most")
		}
	}
	for _, l := range j.Laid {
		if l.Thickness < 0 {
			return noAsk("the wall laid before", "its thickness (%g m) cannot be below zero", l.Thickness)
		}
		if err := checkFinish("the wall laid before", l.Finish); err != nil {
			return err
		}
	}
	if err := j.Suction.check(); err != nil {
		return err
	}
	if o := j.Outdoors; o != nil && !(o.Shelter >= 0 && o.Shelter <= 1) {
		return noAsk("the wall outdoors", "its shelter (%g) is a share from 0 to 1", o.Shelter)
	}
	return checkTiming(j.Timing)
}

// highest is how far above or below the sea a job can be, m.
const highest = 9000

func checkBackground(b material.Background) error {
	if len(b.Layers) == 0 {
		return noAsk("the background", "it has no layers; name one")
	}
	for _, l := range b.Layers {
		for _, p := range []material.Property{l.Thickness, l.Density, l.Capillary, l.Absorption, l.MeanSuction, l.W80, l.Mu, l.Conductivity, l.HeatCapacity, l.Wetting} {
			if !(p.Value > 0) {
				return noAsk("the background", "every number of its %s must be above zero", l.Name)
			}
		}
		if _, _, err := l.Retention(); err != nil {
			return &AskError{What: "the background", Reason: err.Error(), Err: err}
		}
	}
	return nil
}

func checkFinish(what string, f material.Finish) error {
	if err := f.Check(); err != nil {
		return &AskError{What: what, Reason: err.Error(), Err: err}
	}
	if e := f.Emissivity.Value; !(e >= 0 && e <= 1) {
		return noAsk(what, "its emissivity (%g) is a share from 0 to 1", e)
	}
	return nil
}

func checkCoat(what string, f material.Finish, thickness float64) error {
	if err := checkFinish(what, f); err != nil {
		return err
	}
	if !(thickness > 0 && thickness <= thickest) {
		return noAsk(what, "its thickness (%g m) must be above zero and at most %g m", thickness, thickest)
	}
	return nil
}

// thickest is more than any coat, m.
const thickest = 0.2

func (s Suction) check() error {
	positive := true
	for _, d := range s.Drops {
		positive = positive && d > 0 && !math.IsInf(d, 1)
	}
	for _, t := range s.Tubes {
		positive = positive && t.Millilitres > 0 && t.Seconds > 0 && !math.IsInf(t.Millilitres+t.Seconds, 1)
	}
	if !positive {
		return noAsk("the suction", "what was measured of it must be above zero")
	}
	return nil
}

func checkTiming(t *learn.Timing) error {
	if n := len(learn.Unknowns()); t != nil && t.Finish != "" && (len(t.Mean) != n || t.Cov == nil || t.Cov.SymmetricDim() != n) {
		return noAsk("the timing", "it needs %d unknowns, each with its mean", n)
	}
	return nil
}

// check refuses a moment or air that cannot be: the error is an *AskError. What is not known of the air is [NoAirError]'s.
func (a Ask) check() error {
	if a.At.IsZero() {
		return noAsk("the moment of asking", "it is not given")
	}
	for i, f := range a.Faces {
		switch {
		case !possible(f.Temp):
			return noAsk("the wall", "its temperature (%g C) cannot be", f.Temp)
		case f.At.IsZero() || f.At.After(a.At) || i > 0 && f.At.Before(a.Faces[i-1].At):
			return noAsk("the wall", "its temperatures must be in the order of time, none after the moment of asking")
		}
	}
	return checkAir(a.Air)
}

// possible tells whether a temperature can be met on a building site; ice and fire are told apart elsewhere.
func possible(c float64) bool { return c > -100 && c < 150 }

func checkAir(s weather.Series) error {
	for i, r := range s.Records {
		if i > 0 && r.Time.Before(s.Records[i-1].Time) {
			return noAsk("the air", "its readings are not in the order of time")
		}
		for _, v := range []weather.Value{r.Temperature, r.Vapour, r.Pressure, r.AirSpeed, r.Wind, r.WindFrom, r.Cloud, r.Rain, r.Global, r.Direct, r.Diffuse} {
			if v.Known() && (math.IsNaN(v.V) || math.IsInf(v.V, 0)) {
				return noAsk("the air", "the reading of %s holds what is no number", r.Time.Format(minute))
			}
		}
		switch {
		case r.Temperature.Known() && !possible(r.Temperature.V):
			return noAsk("the air", "the reading of %s has %g C", r.Time.Format(minute), r.Temperature.V)
		case r.Vapour.Known() && !(r.Vapour.V >= 0 && r.Vapour.V < 1e5), r.Pressure.Known() && !(r.Pressure.V > 1e4 && r.Pressure.V < 2e5), r.AirSpeed.Known() && r.AirSpeed.V < 0:
			return noAsk("the air", "the reading of %s has a humidity, a pressure or a speed that cannot be", r.Time.Format(minute))
		}
	}
	return nil
}

// Check refuses a ladder that nothing can be worked out for: the error is an *AskError.
func (ask LadderAsk) Check() error {
	switch path, ok := finite(ask); {
	case ask.Number < 1:
		return noAsk("the coat", "its number counts from 1")
	case len(ask.Spots) == 0:
		return noAsk("the background", "none is given")
	case !ok:
		return noAsk("the coat", "%s is not a number", path)
	case !(ask.Air.Pressure() > 0):
		return noAsk("the air", "it is not given")
	case !(ask.WallHeight > 0) || ask.AirSpeed < 0:
		return noAsk("the wall", "it needs a height above zero and a speed of the air")
	case ask.WallTemp != nil && !possible(*ask.WallTemp):
		return noAsk("the wall", "its temperature (%g C) cannot be", *ask.WallTemp)
	case ask.Number > 1 && len(ask.Finish.Coats) == 0:
		return noAsk("the coat", "the thickness of those before it is not known")
	}
	for _, b := range ask.Spots {
		if err := checkBackground(b); err != nil {
			return err
		}
	}
	if err := checkFinish("the coat", ask.Finish); err != nil {
		return err
	}
	for _, t := range ask.Thicknesses {
		if err := checkCoat("the coat", ask.Finish, t); err != nil {
			return err
		}
	}
	return checkTiming(ask.Timing)
}

// check refuses a sample board that cannot be: the error is a *SampleError.
func (s Sample) check() error {
	err := checkAir(s.Air)
	if err == nil {
		err = checkBackground(s.Background)
	}
	if err == nil {
		err = checkCoat("its coat", s.Finish, s.Thickness)
	}
	if err == nil {
		err = s.Suction.check()
	}
	path, ok := finite(s)
	switch {
	case err != nil:
		return &SampleError{s.Name, err.Error()}
	case !ok:
		return &SampleError{s.Name, path + " is not a number"}
	case s.Number < 1:
		return &SampleError{s.Name, "the number of its coat counts from 1"}
	case !(s.Pressure > 0) || s.AirSpeed < 0 || s.Laid.IsZero() || len(s.Finish.Coats) == 0:
		return &SampleError{s.Name, "it needs the pressure and the speed of the air, and when it was laid"}
	}
	return nil
}

// finite tells whether every number in v is one, and else where the first is that is not. Readings and timings are looked at
// by themselves.
func finite(v any) (path string, ok bool) { return finiteIn(reflect.ValueOf(v), "") }

func finiteIn(v reflect.Value, at string) (string, bool) {
	switch v.Type() {
	case reflect.TypeFor[*time.Location](), reflect.TypeFor[time.Time](), reflect.TypeFor[*learn.Timing](), reflect.TypeFor[weather.Series]():
		return "", true
	}
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			return at, false
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return finiteIn(v.Elem(), at)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if path, ok := finiteIn(v.Index(i), fmt.Sprintf("%s %d", at, i+1)); !ok {
				return path, false
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			if at != "" {
				name = at + "." + name
			}
			if path, ok := finiteIn(v.Field(i), name); !ok {
				return path, false
			}
		}
	}
	return "", true
}
