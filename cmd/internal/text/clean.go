package text

import (
	"strconv"
	"strings"

	"github.com/rivo/uniseg"
)

// NoBreak is a blank at which no line is broken; it prints as a plain one.
const NoBreak = "\u00a0"

// Together keeps s on one line.
func Together(s string) string { return strings.ReplaceAll(s, " ", NoBreak) }

// Clean keeps what a user typed from breaking a message over lines or from reaching the terminal as control codes:
// a question mark stands for each character that does not print. NoBreak becomes a blank.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\u00a0':
			return ' '
		case strconv.IsPrint(r):
			return r
		}
		return '?'
	}, s)
}

// Wide is how many cells s takes on one line.
func Wide(s string) int { return uniseg.StringWidth(s) }

// dots stand for what was cut off; a column narrower than dotted has no room for them.
const (
	dots   = "..."
	dotted = 12
)

// Cut is as much of s, cleaned, as cells hold. Where something is left out it ends in dots, if cells is 12 or more.
func Cut(s string, cells int) string {
	s = Clean(s)
	if Wide(s) <= cells {
		return s
	}
	if cells < dotted {
		head, _ := split(s, cells)
		return head
	}
	head, _ := split(s, cells-len(dots))
	return strings.TrimRight(head, " ") + dots
}

// Pad is s, cleaned, cut and filled with blanks to cells.
func Pad(s string, cells int) string {
	s = Cut(s, cells)
	return s + strings.Repeat(" ", max(0, cells-Wide(s)))
}

// End is the last part of s, cleaned, that cells hold.
func End(s string, cells int) string {
	s = Clean(s)
	for over := Wide(s) - cells; over > 0; over = Wide(s) - cells {
		head, rest := split(s, over)
		if head == "" { // its first character is wider than what is over
			_, rest, _, _ = uniseg.FirstGraphemeClusterInString(s, -1)
		}
		s = rest
	}
	return s
}

// split is the longest beginning of s that cells hold, and the rest. Characters that are shown as one stay together,
// unless they alone are wider than a line.
func split(s string, cells int) (head, rest string) {
	state, used, at := -1, 0, 0
	for rest := s; rest != ""; {
		var cluster string
		var w int
		cluster, rest, w, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if used+w > cells {
			break
		}
		used += w
		at += len(cluster)
	}
	return s[:at], s[at:]
}
