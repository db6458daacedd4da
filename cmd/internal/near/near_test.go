package near

import "testing"

func TestBest(t *testing.T) {
	names := []string{"polished-lime", "marble-coat", "float-coat", "temp", "wall-temp", "rh"}
	for _, tc := range []struct {
		word, want string
		ok         bool
	}{
		{"polishd-lime", "polished-lime", true},
		{"Polished-Lime", "polished-lime", true},
		{"polished", "polished-lime", true},
		{"tmp", "temp", true},
		{"floatcoat", "float-coat", true},
		{"rH", "rh", true},
		{"tmep", "temp", true},
		{"zebra", "", false},
		{"", "", false},
	} {
		got, ok := Best(tc.word, names)
		if ok != tc.ok || ok && got != tc.want {
			t.Errorf("Best(%q) = %q, %v; want %q, %v", tc.word, got, ok, tc.want, tc.ok)
		}
	}
	if _, ok := Best("temp", nil); ok {
		t.Error("a name was found in an empty list")
	}
}
