package mirror

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/diff"
)

// said is all that a case left: "status", "stdout", "stderr" and every file and page by name.
type said map[string][]byte

// differences tells, for each output that is not the same byte for byte, the first lines that differ.
func differences(base, tree said) []string {
	names := slices.Sorted(maps.Keys(base))
	for name := range tree {
		if _, both := base[name]; !both {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	var all []string
	for _, name := range names {
		b, inBase := base[name]
		n, inTree := tree[name]
		switch {
		case !inTree:
			all = append(all, fmt.Sprintf("%s: the base has it (%d bytes), the tree does not", name, len(b)))
		case !inBase:
			all = append(all, fmt.Sprintf("%s: the tree has it (%d bytes), the base does not", name, len(n)))
		case !bytes.Equal(b, n):
			all = append(all, name+":\n"+firstLines(b, n))
		}
	}
	return all
}

// mostLines of a difference are shown, each cut at mostRunes.
const mostLines, mostRunes = 20, 400

// firstLines are the lines that differ, the base's with -, the tree's with +. Tags stand on lines of their own.
func firstLines(base, tree []byte) string {
	apart := func(b []byte) []byte { return bytes.ReplaceAll(b, []byte("><"), []byte(">\n<")) }
	lines := strings.Split(string(diff.Diff("base", apart(base), "tree", apart(tree))), "\n")
	var b strings.Builder
	shown, left := 0, 0
	for _, l := range lines[min(3, len(lines)):] { // after the names
		if changed := strings.HasPrefix(l, "-") || strings.HasPrefix(l, "+"); changed && shown == mostLines {
			left++
		} else if shown < mostLines {
			if r := []rune(l); len(r) > mostRunes {
				l = string(r[:mostRunes]) + " ..."
			}
			fmt.Fprintf(&b, "    %s\n", l)
			if changed {
				shown++
			}
		}
	}
	if left > 0 {
		fmt.Fprintf(&b, "    and %d lines more\n", left)
	}
	return b.String()
}

// What no two runs have alike: the port of serve and the random name of a press.
var (
	port  = regexp.MustCompile(`\b127\.0\.0\.1:[0-9]{4,5}\b`)
	press = regexp.MustCompile(`(<input type="hidden" name="id" value=")[a-z2-7]{26}"`)
)

func steady(b []byte) []byte {
	return press.ReplaceAll(port.ReplaceAll(b, []byte("127.0.0.1:PORT")), []byte(`${1}PRESS"`))
}

// expand writes out every choice of a row: "a {|b} {c|d}" is "a  c", "a  d", "a b c" and "a b d".
func expand(row string) []string {
	before, rest, open := strings.Cut(row, "{")
	if !open {
		return []string{row}
	}
	choices, after, _ := strings.Cut(rest, "}")
	var all []string
	for choice := range strings.SplitSeq(choices, "|") {
		all = append(all, expand(before+choice+after)...)
	}
	return all
}

// words of a command line; 'what is quoted' is one of them.
func words(line string) []string {
	var all []string
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			all = append(all, part)
		} else {
			all = append(all, strings.Fields(part)...)
		}
	}
	return all
}

func TestEveryByteCounts(t *testing.T) {
	base := said{"status": []byte("0"), "stdout": []byte("Go.\nLay at 09:10, not later.\nEnd\n"), "file a.svg": []byte("<svg><g/></svg>")}
	if d := differences(base, maps.Clone(base)); len(d) > 0 {
		t.Errorf("the same differs: %q", d)
	}
	for _, name := range slices.Sorted(maps.Keys(base)) {
		for i := range base[name] {
			tree := maps.Clone(base)
			tree[name] = slices.Clone(base[name])
			tree[name][i] ^= 1
			if d := differences(base, tree); len(d) != 1 || !strings.HasPrefix(d[0], name+":\n    ") || !strings.Contains(d[0], "    +") {
				t.Errorf("byte %d of %s changed: %q", i, name, d)
			}
		}
		tree := maps.Clone(base)
		delete(tree, name)
		if d := differences(base, tree); len(d) != 1 || !strings.Contains(d[0], "the tree does not") {
			t.Errorf("without %s: %q", name, d)
		}
		if d := differences(tree, base); len(d) != 1 || !strings.Contains(d[0], "the base does not") {
			t.Errorf("with %s: %q", name, d)
		}
	}
	if d := firstLines([]byte(strings.Repeat("a\n", 100)), []byte(strings.Repeat("b\n", 100))); !strings.Contains(d, "and 180 lines more") {
		t.Errorf("a long difference: %s", d)
	}
}

func TestRows(t *testing.T) {
	if got := expand("a {|b} {c|d}"); !slices.Equal(got, []string{"a  c", "a  d", "a b c", "a b d"}) {
		t.Errorf("%q", got)
	}
	if got := words("diary write --note 'two words' x=1"); !slices.Equal(got, []string{"diary", "write", "--note", "two words", "x=1"}) {
		t.Errorf("%q", got)
	}
	for was, want := range map[string]string{
		"at http://127.0.0.1:40213/ on": "at http://127.0.0.1:PORT/ on",
		"127.0.0.1:0":                   "127.0.0.1:0",
		`<input type="hidden" name="id" value="abcdefghijklmnopqrstuvwxyz"/>`: `<input type="hidden" name="id" value="PRESS"/>`,
		`<input type="hidden" name="id" value="4"/>`:                          `<input type="hidden" name="id" value="4"/>`,
	} {
		if got := string(steady([]byte(was))); got != want {
			t.Errorf("%s became %s", was, got)
		}
	}
}
