package cure_test

import (
	"strings"
	"testing"

	"limeday/drying/cure"
	"limeday/drying/material"
)

func advice(p cure.Report, code cure.AdviceCode) (cure.Advice, bool) {
	for _, a := range p.Advice {
		if a.Code == code {
			return a, true
		}
	}
	return cure.Advice{}, false
}

// spring is a render laid on a mild day, drained within the day; at hour 30 it rains for two hours.
func spring(i int, h *cure.Hour) {
	h.Face, h.Air, h.RH = 12, 12, 0.7
	h.Evaporation = 30 * gm2h
	h.Saturation = max(0.6, 1-float64(i)*0.02)
	if i == 30 || i == 31 {
		h.Rain = 1.0 / 3600
	}
}

// TestAdvice: what is due, when and why, and that it is gone once past.
func TestAdvice(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "nhl-render")
	c := course(t, 10*24, spring)
	p := r.Assess(c, f, 10e-3, 0)
	for code, want := range map[cure.AdviceCode]struct {
		at    float64
		about string
	}{
		cure.CoverBy:     {30 * hour, "before the coat can take any"},
		cure.SheetUntil:  {72 * hour, "kept damp"}, // 48 h for the rain, 3 d for the thick coat
		cure.MistUntil:   {72 * hour, "chalks"},
		cure.UncoverFrom: {72 * hour, "slows"},
		cure.NoFrost:     {28 * (1 + (15-12.0)/20) * day, "varies"},
	} {
		a, ok := advice(p, code)
		if !ok || a.At.Beyond || !strings.Contains(a.Reason, want.about) || a.Source == "" || a.Evidence == "" || !strings.HasSuffix(a.Text, ".") || !strings.HasSuffix(a.Reason, ".") {
			t.Errorf("%s: %+v", code, a)
		}
		near(t, string(code), a.At.At, want.at, 1e-9)
	}
	mist, _ := advice(p, cure.MistUntil)
	if mist.Least != 3*day || mist.Most != 7*day || len(mist.Times) == 0 {
		t.Errorf("%+v", mist)
	}
	for i, at := range mist.Times {
		if h := c.At(at); h.Saturation >= f.Burnish.Value || h.Rain > 0 || at > mist.At.At || i > 0 && at-mist.Times[i-1] < 3*hour {
			t.Errorf("no misting at hour %g: %+v", at/hour, h)
		}
	}
	// After five days: the sheet may come off, no misting time is left, frost is still to be kept off.
	p = r.Assess(c, f, 10e-3, 5*day)
	if _, ok := advice(p, cure.SheetUntil); ok {
		t.Error("sheeting is over after 5 d")
	}
	if a, ok := advice(p, cure.UncoverFrom); !ok || a.At.At != 5*day {
		t.Errorf("%+v", a)
	}
	if _, ok := advice(p, cure.NoFrost); !ok {
		t.Error("frost still matters after 5 d")
	}
	// Rain on the fourth day puts uncovering off until it is over.
	p = r.Assess(course(t, 10*24, func(i int, h *cure.Hour) {
		if spring(i, h); i == 80 {
			h.Rain = 1.0 / 3600
		}
	}), f, 10e-3, 0)
	if a, ok := advice(p, cure.UncoverFrom); !ok || a.At != (cure.Moment{At: 81 * hour}) {
		t.Errorf("%+v", a)
	}
	// There is no need of misting while the face does not dry.
	still := r.Assess(course(t, 10*24, func(i int, h *cure.Hour) { spring(i, h); h.Evaporation = 0 }), f, 10e-3, 0)
	if a, ok := advice(still, cure.MistUntil); !ok || a.Times != nil {
		t.Errorf("%+v", a)
	}
	// A thin polish film is not misted.
	if a, ok := advice(r.Assess(c, finish(t, "polished-lime"), 0.3e-3, 0), cure.MistUntil); ok {
		t.Errorf("%+v", a)
	}
}

// TestAdviceByRule: frost on a face too dry to be harmed by it still has to be covered for, as published advice wants
// none in its first weeks.
func TestAdviceByRule(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "nhl-render")
	p := r.Assess(course(t, 10*24, func(i int, h *cure.Hour) {
		spring(i, h)
		h.Saturation, h.Evaporation = 0.3, 0
		if i >= 100 && i <= 104 {
			h.Face, h.Air = 1, -1
		}
	}), f, 10e-3, 90*hour)
	a, _ := advice(p, cure.CoverBy)
	if len(p.Freezes) != 0 || a.At.Beyond || a.At.At < 99*hour || a.At.At > 100*hour || !strings.Contains(a.Reason, "published advice") {
		t.Errorf("%+v, %+v", a, p.Freezes)
	}
}

// TestAdviceFrost: frost to come keeps the sheet on, stops the misting and puts off uncovering; the worst case
// is named.
func TestAdviceFrost(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "nhl-render")
	frosty := func(i int, h *cure.Hour) {
		spring(i, h)
		if i >= 30 {
			h.Saturation = 0.97 // soaked by the rain at hour 30
		}
		if i >= 44 && i <= 50 {
			h.Face, h.Air = -3, 1
		}
		if i >= 74 && i <= 80 {
			h.Face, h.Air = -2, 2
		}
	}
	p := r.Assess(course(t, 10*24, frosty), f, 10e-3, 33*hour)
	if len(p.Freezes) != 2 || p.Worst != cure.Certain || !p.Freezes[0].Soaked || p.Freezing.Comes.Beyond {
		t.Fatalf("%+v", p.Freezes)
	}
	if a, _ := advice(p, cure.CoverBy); !strings.Contains(a.Reason, "worst") || a.At.At != p.Freezes[0].Begin || a.Evidence != material.Estimate {
		t.Errorf("%+v", a)
	}
	if a, _ := advice(p, cure.SheetUntil); a.At.At != p.Freezes[1].End || !strings.Contains(a.Reason, "freezes") {
		t.Errorf("%+v", a)
	}
	if a, _ := advice(p, cure.UncoverFrom); a.At.Beyond || a.At.At < p.Freezes[1].End {
		t.Errorf("%+v", a)
	}
	p = r.Assess(course(t, 10*24, frosty), f, 10e-3, 0)
	a, _ := advice(p, cure.MistUntil)
	for _, at := range a.Times {
		if at > p.Freezes[0].Begin-24*hour && at < p.Freezes[0].End {
			t.Errorf("misted at hour %g before a frost", at/hour)
		}
	}
}

// TestBeyondHorizon: a short forecast without frost or rain is never taken for safety.
func TestBeyondHorizon(t *testing.T) {
	r, f := cure.DefaultRules(), finish(t, "float-coat")
	p := r.Assess(course(t, 24, nil), f, 8e-3, 0)
	if p.Worst != cure.Unknown || !p.Freezing.Open() || !p.FrostFree.Outlook.Open() || p.FrostFree.Grade != cure.Unknown || !p.Rain.Outlook.Open() || !p.Through.Earliest.Beyond || p.Fast.Chalk != cure.Unknown {
		t.Errorf("%+v", p)
	}
	for _, code := range []cure.AdviceCode{cure.CoverBy, cure.UncoverFrom} {
		a, ok := advice(p, code)
		if !ok || !a.At.Beyond || a.At.At != 24*hour || a.At.Says(when) != "not known beyond 24h" {
			t.Errorf("%s: %+v", code, a)
		}
	}
	// A freeze that is still on at the horizon: nobody knows its end.
	p = r.Assess(course(t, 24, func(i int, h *cure.Hour) {
		if h.Saturation = 0.9; i > 20 {
			h.Face = -2
		}
	}), f, 8e-3, 0)
	if len(p.Freezes) != 1 || !p.Freezes[0].Open {
		t.Fatalf("%+v", p.Freezes)
	}
	if a, ok := advice(p, cure.UncoverFrom); !ok || !a.At.Beyond {
		t.Errorf("%+v", a)
	}
	// Nor, once the rain-free hours are over, until when to sheet.
	p = r.Assess(course(t, 96, func(i int, h *cure.Hour) {
		if h.Saturation = 0.9; i > 90 {
			h.Face = -2
		}
	}), f, 8e-3, 0)
	if a, ok := advice(p, cure.SheetUntil); !ok || a.At != (cure.Moment{At: 96 * hour, Beyond: true}) {
		t.Errorf("%+v", a)
	}
}
