package text

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/width"
	"pgregory.net/rapid"
)

// pieces are what terminals and layouts stumble over.
var pieces = []string{"a", "lime", " ", "  ", "\n", "\t", "\r", NoBreak, "\x1b[2J", "\x00", "\a", "\u202e", "\u200d", "\u200b", "\ufeff", "\u2028",
	"石灰", "壁", "ﾊ", "Ａ", "e\u0301", "\u0301", "\u0301\u0302\u0303\u0304", "שלום", "مرحبا", "👷", "👩‍🏭", "🇮🇪", "🇮", "❤\ufe0f", "⌚\ufe0e", "각", "ᄀ", "ᅡ", "ᆨ",
	"क", "ः", "क्षि", "ൎ", "؀", "⸻", "﷽", "\ufffd", "\xff", strings.Repeat("x", 90), strings.Repeat("語", 45), "क" + strings.Repeat("ः", 120)}

func anyText(most int) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		var b strings.Builder
		for range rapid.IntRange(0, min(200, most)).Draw(t, "pieces") {
			if rapid.Bool().Draw(t, "any rune") {
				b.WriteRune(rapid.Rune().Draw(t, "rune"))
			} else {
				b.WriteString(rapid.SampledFrom(pieces).Draw(t, "piece"))
			}
		}
		s := b.String()
		if rapid.Bool().Draw(t, "repeated") && s != "" {
			s = strings.Repeat(s, 1+most/len(s))
		}
		return s[:min(len(s), most)]
	})
}

// cells counts only what is surely wide, by another package than the one that is tried.
func cells(line string) int {
	n := 0
	for _, r := range line {
		switch k := width.LookupRune(r).Kind(); {
		case r == 0xfe0e: // what is before it is shown as text, narrow
			n--
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Mc, unicode.Cf, unicode.Hangul, unicode.Regional_Indicator, unicode.Other_Grapheme_Extend), r >= 0x1f3fb && r <= 0x1f3ff:
			// they join what stands before them
		case k == width.EastAsianWide, k == width.EastAsianFullwidth:
			n += 2
		default:
			n++
		}
	}
	return n
}

func checkLines(t interface{ Fatalf(string, ...any) }, s string) {
	if s != "" && !strings.HasSuffix(s, "\n") {
		t.Fatalf("%q does not end a line", s)
	}
	for line := range strings.Lines(s) {
		line = strings.TrimSuffix(line, "\n")
		if w := Wide(line); w > Width {
			t.Fatalf("a line of %d cells: %q", w, line)
		}
		if w := cells(line); w > Width {
			t.Fatalf("a line of %d cells at least: %q", w, line)
		}
		if strings.TrimRight(line, " ") != line {
			t.Fatalf("a line ends in blanks: %q", line)
		}
		for _, r := range line {
			if r != ' ' && (unicode.IsControl(r) || !unicode.IsPrint(r)) || !utf8.ValidString(line) {
				t.Fatalf("%U reaches the terminal: %q", r, line)
			}
		}
	}
}

// letters is s without blanks, cleaned.
func letters(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == ' ' || r == '\n' || r == '\t' || r == '\u00a0' {
			return -1
		}
		return r
	}, s)
	return Clean(s)
}

// oneLine is what becomes of line ends and tabs in leads and cells.
func oneLine(s string) string { return strings.NewReplacer("\n", "?", "\t", "?").Replace(s) }

// Any text is set, in lines that fit, and nothing but blanks is lost.
func TestParagraphIsTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lead, s := anyText(rapid.SampledFrom([]int{3, 12, 200}).Draw(t, "most of the lead")).Draw(t, "lead"), anyText(4096).Draw(t, "text")
		got := Paragraph(lead, s)
		checkLines(t, got)
		if a, b := letters(got), letters(oneLine(lead))+letters(s); a != b {
			t.Fatalf("%q and %q became %q", lead, s, got)
		}
	})
}

// So are rows and tables.
func TestTablesAreTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 45).Draw(t, "columns")
		rows := rapid.SliceOfN(rapid.SliceOfN(anyText(120), n, n), 1, 2).Draw(t, "rows")
		checkLines(t, Table(rapid.IntRange(0, 6).Draw(t, "indent"), rows))
		columns := []Column{{Cells: rapid.IntRange(0, 30).Draw(t, "cells"), Name: true, Gap: 1}, {Cells: 12, Right: true, Gap: 2}, {Cells: 5}}
		got := Rows(columns, []string{rows[0][0], "x", rows[0][0], rows[0][n-1]})
		checkLines(t, got)
		if name := letters(oneLine(rows[0][0])); !strings.Contains(letters(got), name) {
			t.Fatalf("the name %q is not whole in %q", name, got)
		}
	})
}

// Cut and End never take more than their cells.
func TestCutIsTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n := anyText(1000).Draw(t, "text"), rapid.IntRange(0, 90).Draw(t, "cells")
		for _, got := range []string{Cut(s, n), End(s, n)} {
			if Wide(got) > n || Clean(got) != got {
				t.Fatalf("%q in %d cells is %q", s, n, got)
			}
		}
		if c := Clean(s); Wide(c) <= n && (Cut(s, n) != c || End(s, n) != c) {
			t.Fatalf("%q fits %d cells and is cut", s, n)
		}
	})
}

// What a paragraph looks like.
func TestParagraphLooks(t *testing.T) {
	long := strings.Repeat("w", 75)
	for _, tc := range []struct{ lead, s, want string }{
		{"", "", "\n"},
		{"Air      ", "17.0 C,\n\t 55 % \x1b[2J", "Air      17.0 C, 55 % ?[2J\n"},
		{"  - ", "one " + long + " two", "  - one\n    " + long + "\n    two\n"},
		{"  - ", long + "xyz", "  - " + long + "x\n    yz\n"},
		{"", strings.Repeat("x", 70) + " " + Together("not broken here"), strings.Repeat("x", 70) + "\nnot broken here\n"},
		{"", strings.Repeat("石", 41), strings.Repeat("石", 40) + "\n石\n"},
		{"石灰     ", strings.Repeat("e\u0301", 72), "石灰     " + strings.Repeat("e\u0301", 71) + "\n         e\u0301\n"},
		{strings.Repeat("n", 60), "said", strings.Repeat("n", 60) + "said\n"},
		{strings.Repeat("n", 61), "said", strings.Repeat("n", 61) + " said\n"},
	} {
		if got := Paragraph(tc.lead, tc.s); got != tc.want {
			t.Errorf("%q, %q:\n%q, want\n%q", tc.lead, tc.s, got, tc.want)
		}
	}
}

// before is how paragraphs were set before wide characters counted: for plain text the bytes are the same.
func before(lead, s string) string {
	indent := utf8.RuneCountInString(lead)
	var lines []string
	line, used := lead, indent
	next := func() {
		lines = append(lines, strings.TrimRight(line, " "))
		line, used = strings.Repeat(" ", indent), indent
	}
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		w := []rune(Clean(word))
		if used > indent && used+1+len(w) > Width {
			next()
		}
		if used > indent {
			line, used = line+" ", used+1
		}
		for used+len(w) > Width {
			room := Width - used
			line += string(w[:room])
			w = w[room:]
			next()
		}
		line, used = line+string(w), used+len(w)
	}
	next()
	return strings.Join(lines, "\n") + "\n"
}

func TestPlainTextKeepsItsBytes(t *testing.T) {
	plain := rapid.StringOfN(rapid.SampledFrom([]rune("abcdefghij   ,.-%\u00a0üÉß")), 0, 600, -1)
	rapid.Check(t, func(t *rapid.T) {
		lead, s := rapid.StringMatching(`[ a-z0-9:]{0,60}`).Draw(t, "lead"), plain.Draw(t, "text")
		if got, want := Paragraph(lead, s), before(lead, s); got != want {
			t.Fatalf("%q, %q:\n%q, want\n%q", lead, s, got, want)
		}
	})
}

func TestTableLooks(t *testing.T) {
	if got, want := Table(2, [][]string{{"day", "air"}, {"Tuesday", "17.0 C"}}), "  day      air\n  Tuesday  17.0 C\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	columns := []Column{{Cells: 8, Gap: 1, Name: true}, {Cells: 12, Gap: 1}, {Cells: 5, Right: true, Gap: 2}}
	got := Rows(columns, []string{"1 lime", "to noon", "9:10", "then"}, []string{"2 a longer one", "a place far away", "9:20", strings.Repeat("words ", 15)})
	want := "1 lime   to noon       9:10  then\n2 a longer one\n         a place f...  9:20  " + strings.TrimRight(strings.Repeat("words ", 8), " ") +
		"\n" + strings.Repeat(" ", 29) + strings.TrimRight(strings.Repeat("words ", 7), " ") + "\n"
	if got != want {
		t.Errorf("\n%s, want\n%s", got, want)
	}
	for n, want := range map[int]string{8: "Maximili", 12: "Maximilia...", 20: "Maximilian the Elder"} {
		if got := Cut("Maximilian the Elder", n); got != want {
			t.Errorf("%d cells: %q, want %q", n, got, want)
		}
	}
	if got := End("abc壁", 3); got != "c壁" {
		t.Error(got)
	}
}
