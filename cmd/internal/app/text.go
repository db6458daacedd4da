package app

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// width is how wide a line of text may be.
const width = 80

// noBreak is a blank at which wrap does not break; it prints as a plain one.
const noBreak = "\u00a0"

// together keeps s on one line.
func together(s string) string { return strings.ReplaceAll(s, " ", noBreak) }

// wrap breaks s at its blanks into lines of at most width characters, the first after lead and the rest
// indented as far. A word that is too long for a line is cut. Nothing in s reaches the terminal as a
// control code.
func wrap(lead, s string) string {
	indent := utf8.RuneCountInString(lead)
	var lines []string
	line, used := lead, indent // used: characters on the line
	next := func() {
		lines = append(lines, strings.TrimRight(line, " "))
		line, used = strings.Repeat(" ", indent), indent
	}
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		w := []rune(oneLine(strings.ReplaceAll(word, noBreak, " ")))
		if used > indent && used+1+len(w) > width {
			next()
		}
		if used > indent {
			line, used = line+" ", used+1
		}
		for used+len(w) > width {
			room := width - used
			line += string(w[:room])
			w = w[room:]
			next()
		}
		line, used = line+string(w), used+len(w)
	}
	next()
	return strings.Join(lines, "\n") + "\n"
}

// plural is "1 coat" or "2 coats".
func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + one + "s"
}
