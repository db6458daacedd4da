package drying_test

import (
	"strings"
	"testing"

	"limeday/drying"
)

// Every code has words of its own, which are no code.
func TestCodesHaveWords(t *testing.T) {
	seen := map[string]drying.Code{}
	for _, c := range drying.Codes() {
		w := c.Words()
		if w == "" || strings.Contains(w, "-") || seen[w] != "" {
			t.Errorf("%s is %q in words, as is %q", c, w, seen[w])
		}
		seen[w] = c
	}
}
