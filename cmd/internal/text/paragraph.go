package text

import (
	"sort"
	"strings"
)

// Width is how many cells a line has.
const Width = 80

// room is the least that is left of a line beside what leads it.
const room = 20

// Paragraph breaks s at its blanks into lines, the first after lead and the rest indented as far. A word that is too
// long for a line is cut. A lead that leaves fewer than 20 cells is broken like the rest, and nothing is indented.
// Nothing of either but blanks is left out.
func Paragraph(lead, s string) string {
	lead = Clean(lead)
	indent := Wide(lead)
	if indent > Width-room {
		lead, s, indent = "", lead+" "+s, 0
	}
	p := paragraph{lead: indent, used: indent}
	p.line.WriteString(lead)
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		p.word(Clean(word))
	}
	p.next()
	return p.done.String()
}

// paragraph is one that is being set.
type paragraph struct {
	done strings.Builder // lines
	line strings.Builder // the one at work
	lead int             // cells that it begins with
	used int             // cells on it
}

func (p *paragraph) next() {
	p.done.WriteString(strings.TrimRight(p.line.String(), " "))
	p.done.WriteByte('\n')
	p.line.Reset()
	p.line.WriteString(strings.Repeat(" ", p.lead))
	p.used = p.lead
}

func (p *paragraph) word(w string) {
	wide := Wide(w)
	if p.used > p.lead && p.used+1+wide > Width {
		p.next()
	}
	if p.used > p.lead {
		p.line.WriteByte(' ')
		p.used++
	}
	for {
		head, rest := split(w, Width-p.used)
		if head == "" && rest != "" { // characters shown as one, wider than a line: their parts are set by themselves
			head, rest = splitRunes(w, Width-p.used)
		}
		p.line.WriteString(head)
		if rest == "" {
			p.used += Wide(head)
			return
		}
		p.next()
		w = rest
	}
}

// splitRunes is as split, by single runes; it takes one at least.
func splitRunes(s string, cells int) (head, rest string) {
	var ends []int
	for i := range s {
		ends = append(ends, i)
	}
	ends = append(ends[1:], len(s))
	at := ends[max(0, sort.Search(len(ends), func(i int) bool { return Wide(s[:ends[i]]) > cells })-1)]
	return s[:at], s[at:]
}
