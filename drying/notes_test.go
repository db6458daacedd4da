package drying_test

import (
	"testing"

	"limeday/drying"
	"limeday/drying/material"
)

// Each note is told once however many thicknesses bring it, what decides most first, with its limit as a quantity.
func TestNotes(t *testing.T) {
	f, err := material.FinishNamed("polished-lime")
	if err != nil {
		t.Fatal(err)
	}
	fast, thick := drying.Rung{Warnings: []drying.Code{drying.CodeDriesFast}}, drying.Rung{Warnings: []drying.Code{drying.CodeDriesFast, drying.CodeTooThick}}
	got := drying.CoatNotes(f, fast, thick, fast)
	if len(got) != 2 || got[0].Code != drying.CodeTooThick || got[1].Code != drying.CodeDriesFast {
		t.Fatalf("got %v", got)
	}
	if q := got[0].Is[1].Quantity; q.Value != f.Thickest.Value {
		t.Errorf("thicker than %g, want %g", q.Value, f.Thickest.Value)
	}
	if n := drying.CoatNotes(f, drying.Rung{}); n != nil {
		t.Errorf("of nothing: %v", n)
	}
}

func TestOver(t *testing.T) {
	for n, want := range map[int]string{1: "brick", 2: "one dry coat on brick", 3: "two dry coats on brick", 6: "five dry coats on brick", 9: "dry coats on brick"} {
		if got := drying.Over(n, "brick"); got != want {
			t.Errorf("coat %d: %q, want %q", n, got, want)
		}
	}
}
