// Package near finds the known names closest to a mistyped one, so that a
// refusal can ask "did you mean ...?". It never picks one for the user.
package near

import (
	"cmp"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// Sort returns names ordered by edit distance to word, nearest first; names at
// the same distance keep their order. Letter case is ignored. A name that
// begins with word counts as one edit away at most.
func Sort(word string, names []string) []string {
	out := slices.Clone(names)
	slices.SortStableFunc(out, func(a, b string) int {
		return cmp.Compare(distance(word, a), distance(word, b))
	})
	return out
}

// Best returns the name nearest to word, and whether it is near enough to be
// what was meant: at most a third of the longer word's letters differ.
func Best(word string, names []string) (string, bool) {
	if word == "" || len(names) == 0 {
		return "", false
	}
	best := Sort(word, names)[0]
	longer := max(len([]rune(word)), len([]rune(best)))
	return best, distance(word, best) <= max(1, longer/3)
}

func distance(word, name string) int {
	w, n := strings.ToLower(word), strings.ToLower(name)
	d := levenshtein.ComputeDistance(w, n)
	if d == 2 && slices.Equal(letters(w), letters(n)) {
		return 1 // two letters swapped, the commonest slip of the fingers
	}
	if len(w) >= 2 && strings.HasPrefix(n, w) {
		return min(d, 1)
	}
	return d
}

func letters(s string) []rune { return slices.Sorted(slices.Values([]rune(s))) }
