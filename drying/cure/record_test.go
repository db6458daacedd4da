package cure_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"limeday/drying/cure"
	"limeday/drying/material"
)

// TestBadHours: what cannot be is refused, with the hour and the quantity.
func TestBadHours(t *testing.T) {
	for name, c := range map[string]struct {
		change   func(i int, h *cure.Hour)
		quantity string
	}{
		"saturation as a percentage": {func(i int, h *cure.Hour) { h.Saturation = 65 }, "saturation"},
		"humidity as a percentage":   {func(i int, h *cure.Hour) { h.RH = 65 }, "relative humidity"},
		"face not a number":          {func(i int, h *cure.Hour) { h.Face = math.NaN() }, "temperature of the face"},
		"rain in mm":                 {func(i int, h *cure.Hour) { h.Rain = 3 }, "rain"},
		"rain below nothing":         {func(i int, h *cure.Hour) { h.Rain = -1e-9 }, "rain"},
		"wind in another unit":       {func(i int, h *cure.Hour) { h.Wind = 1048 }, "wind"},
		"time stands still":          {func(i int, h *cure.Hour) { h.Time = 0 }, "time"},
		"time goes back":             {func(i int, h *cure.Hour) { h.Time = -h.Time }, "time to the next hour"},
		"a gap":                      {func(i int, h *cure.Hour) { h.Time *= 7 }, "time to the next hour"},
		"time not a number":          {func(i int, h *cure.Hour) { h.Time = math.NaN() }, "time"},
	} {
		_, err := cure.NewRecord(rows(3, c.change), 3*hour)
		var e *cure.HourError
		if !errors.As(err, &e) || e.Quantity != c.quantity || !strings.Contains(err.Error(), c.quantity) {
			t.Errorf("%s: %v, want the %s refused", name, err, c.quantity)
		}
	}
	var e *cure.HourError
	if _, err := cure.NewRecord(nil, 0); !errors.As(err, &e) {
		t.Errorf("no hours: %v", err)
	}
	if _, err := cure.NewRecord(rows(3, nil), hour); !errors.As(err, &e) {
		t.Errorf("a horizon before the last hour: %v", err)
	}
}

// TestCourse: states vary evenly, amounts hold, standing water fills the pores, and the caller's hours are not kept.
func TestCourse(t *testing.T) {
	in := rows(2, func(i int, h *cure.Hour) {
		h.Face, h.Rain, h.Wet = 10*float64(i), float64(1-i)*1e-4, i == 1
	})
	c, err := cure.NewRecord(in, 2*hour)
	if err != nil {
		t.Fatal(err)
	}
	in[0].Face = 50
	h := c.At(0.5 * hour)
	if h.Face != 5 || h.Rain != 1e-4 || h.Saturation != (0.65+1)/2 {
		t.Errorf("half way: %+v", h)
	}
	if c.Laid() != 0 || c.Horizon() != 2*hour || c.At(9*hour).Face != 10 || c.At(-5).Face != 0 {
		t.Errorf("ends: %g %g %+v", c.Laid(), c.Horizon(), c.At(9*hour))
	}
}

// TestRulesHaveEvidence: every rule has a range, a unit, an evidence and a source.
func TestRulesHaveEvidence(t *testing.T) {
	v := reflect.ValueOf(cure.DefaultRules())
	for i := range v.NumField() {
		p := v.Field(i).Interface().(material.Property)
		if err := p.Check(); err != nil || p.Unit == "" {
			t.Errorf("%s: %v, unit %q", v.Type().Field(i).Name, err, p.Unit)
		}
	}
	if v.NumField() < 20 {
		t.Fatal("the walk is broken")
	}
}

// TestSays: what is not known is said in words.
func TestSays(t *testing.T) {
	for _, c := range []struct {
		got, want string
	}{
		{cure.Moment{At: 3 * hour}.Says(when), "3h"},
		{cure.Moment{At: 3 * hour, Beyond: true}.Says(when), "not known beyond 3h"},
		{cure.Outlook{Comes: cure.Moment{At: hour}, Until: 9 * hour, Horizon: 5 * hour}.Says("frost", when), "frost at 1h"},
		{cure.Outlook{Comes: cure.Moment{At: 5 * hour, Beyond: true}, Until: 9 * hour, Horizon: 5 * hour}.Says("frost", when), "no frost to 5h; not known beyond 5h"},
		{cure.Outlook{Comes: cure.Moment{At: 4 * hour, Beyond: true}, Until: 4 * hour, Horizon: 5 * hour}.Says("rain", when), "no rain to 4h"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	for g := cure.None; g <= cure.Certain; g++ {
		if g.String() == "" {
			t.Errorf("grade %d has no word", g)
		}
	}
}
