package drawing

import (
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The drawing's own units: the view box is width wide and as high as what it holds.
const (
	width               = 520.0
	margin              = 10.0
	plotLeft, plotRight = 52.0, 492.0

	// Text sizes at their largest, and how wide a character is at most on average, in sizes: digits and
	// lower case of wide sans faces take 0.62, bold ones 0.68, capitals more.
	textSize, smallSize, headSize = 15.5, 14.0, 17.0
	perChar, perBold, perCapital  = 0.62, 0.68, 0.78
)

// wide estimates the width of s, on the safe side.
func wide(s string, size float64, bold bool) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case r > unicode.MaxLatin1 && r != '…':
			w += 1.05 // ideographs are square
		case unicode.IsUpper(r) || strings.ContainsRune("@%mwW&", r):
			w += max(perCapital, 0.9*b2f(strings.ContainsRune("@%mwW", r)))
		case bold:
			w += perBold
		default:
			w += perChar
		}
	}
	return w * size
}

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// fit cuts s to at most room, with an ellipsis.
func fit(s string, size float64, bold bool, room float64) string {
	if wide(s, size, bold) <= room {
		return s
	}
	for s != "" {
		_, n := utf8.DecodeLastRuneInString(s)
		s = s[:len(s)-n]
		if cut := strings.TrimRight(s, " ,;:") + "…"; wide(cut, size, bold) <= room {
			return cut
		}
	}
	return ""
}

// broken breaks s at its blanks into lines of at most room; a word that is too long is cut.
func broken(s string, size, room float64) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(s) {
		if line != "" && wide(line+" "+w, size, false) > room {
			lines, line = append(lines, line), ""
		}
		line = fit(strings.TrimPrefix(line+" "+w, " "), size, false, room)
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// clean drops what XML 1.0 forbids: control characters, surrogates and the two non-characters.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r):
			return ' '
		case r == 0xFFFE, r == 0xFFFF:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}

// label is a text that belongs to a place on an axis.
type label struct {
	x    float64 // what it belongs to
	text string

	at   float64 // where it begins, once packed
	tier int
}

// pack places labels as near to their places as they can be without meeting, between from and to, on as few
// tiers as it takes, and gives the number of tiers.
func pack(labels []label, size, from, to float64) int {
	slices.SortStableFunc(labels, func(a, b label) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
	const gap = 12
	var ends []float64 // of each tier
	for i := range labels {
		l := &labels[i]
		l.text = fit(l.text, size, false, to-from)
		w := wide(l.text, size, false)
		l.at = max(from, min(l.x-w/2, to-w))
		l.tier = -1
		for t, end := range ends {
			at := max(l.at, end+gap)
			if at+w <= to && at-l.at < w/2+30 {
				l.tier, l.at, ends[t] = t, at, at+w
				break
			}
		}
		if l.tier < 0 {
			l.tier = len(ends)
			ends = append(ends, l.at+w)
		}
	}
	return len(ends)
}

// niceStep is a step of 1, 2, 2.5 or 5 times a power of ten of which about n go into span.
func niceStep(span float64, n int) float64 {
	raw := span / float64(n)
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5, 10} {
		if raw <= m*p {
			return m * p
		}
	}
	return 10 * p
}
