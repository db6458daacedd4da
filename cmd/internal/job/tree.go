package job

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"limeday/cmd/internal/fault"
)

// value is one TOML value with the line of its key.
type value struct {
	kind  unstable.Kind
	text  string  // of a scalar: a string's content, else as written
	items []value // of an array
	table *table  // of an inline table or a [header]
	line  int
}

// table is a TOML table that remembers where its keys stand.
type table struct {
	line   int
	keys   []string // in order
	values map[string]value
	rows   []*table // of [[header]]s of one name; then keys is empty
}

func newTable(line int) *table { return &table{line: line, values: map[string]value{}} }

func (t *table) set(key string, v value) {
	if _, had := t.values[key]; !had {
		t.keys = append(t.keys, key)
	}
	t.values[key] = v
}

// decoder collects the faults of one file.
type decoder struct {
	file   string
	names  Names
	faults fault.List
	broken bool // part of the text could not be read, so nothing is called missing
}

func (d *decoder) fault(line int, expected, format string, args ...any) {
	d.faults = append(d.faults, fault.Fault{File: d.file, Line: line, Expected: expected, Message: fmt.Sprintf(format, args...)})
}

func (d *decoder) sorted() fault.List {
	slices.SortStableFunc(d.faults, func(a, b fault.Fault) int { return a.Line - b.Line })
	return d.faults
}

var assignment = regexp.MustCompile(`^\s*[A-Za-z0-9_."'-]+\s*=`)

// tree reads the document, noting each syntax fault, and returns what remains.
// A line with a fault is blanked and the reading goes on, so that one slip does
// not hide the next; after a fault that is not on a line of its own the rest of
// the text is left unread.
func (d *decoder) tree(data []byte) *table {
	lines := strings.SplitAfter(string(data), "\n")
	for range 20 {
		var sink map[string]any
		err := toml.Unmarshal([]byte(strings.Join(lines, "")), &sink)
		if err == nil {
			break
		}
		d.broken = true
		at := len(lines)
		message := strings.TrimPrefix(err.Error(), "toml: ")
		var de *toml.DecodeError
		if errors.As(err, &de) {
			at, _ = de.Position()
		}
		at = min(max(at, 1), len(lines))
		if strings.Contains(message, "already") || strings.Contains(message, "duplicate") {
			d.fault(at, "each key and [table] once", "%s is given twice: %s", shown(lines[at-1]), message)
		} else {
			d.fault(at, "TOML", "%s is not valid TOML: %s; put words, times and numbers with a unit in double quotes", shown(lines[at-1]), message)
		}
		end := at
		if !assignment.MatchString(lines[at-1]) {
			// A bad [header]: what stands under it belongs nowhere.
			end = len(lines)
			for i := at; strings.HasPrefix(strings.TrimSpace(lines[at-1]), "[") && i < len(lines); i++ {
				if strings.HasPrefix(strings.TrimSpace(lines[i]), "[") {
					end = i
					break
				}
			}
		}
		for i := at - 1; i < end; i++ {
			lines[i] = lines[i][len(strings.TrimRight(lines[i], "\r\n")):]
		}
	}
	return d.walk([]byte(strings.Join(lines, "")))
}

func shown(line string) string {
	line = strings.TrimSpace(line)
	if r := []rune(line); len(r) > 40 {
		line = string(r[:37]) + "..."
	}
	if line == "" {
		return "the end of the text"
	}
	return fmt.Sprintf("%q", line)
}

// walk builds the tree of a document that toml.Unmarshal has accepted.
func (d *decoder) walk(data []byte) *table {
	var p unstable.Parser
	p.Reset(data)
	var ends []int // of the lines
	for i, b := range data {
		if b == '\n' {
			ends = append(ends, i)
		}
	}
	line := func(n *unstable.Node) int {
		before, _ := slices.BinarySearch(ends, int(n.Raw.Offset))
		return 1 + before
	}
	root := newTable(1)
	current := root
	for p.NextExpression() {
		e := p.Expression()
		keys := slices.Collect(func(yield func(*unstable.Node) bool) {
			for it := e.Key(); it.Next(); {
				if !yield(it.Node()) {
					return
				}
			}
		})
		if len(keys) == 0 {
			continue
		}
		last := keys[len(keys)-1]
		at := line(last)
		switch e.Kind {
		case unstable.Table:
			parent := descend(root, keys[:len(keys)-1], line)
			current = descend(parent, keys[len(keys)-1:], line)
		case unstable.ArrayTable:
			parent := descend(root, keys[:len(keys)-1], line)
			current = newTable(at)
			v, had := parent.values[string(last.Data)]
			if !had || v.table == nil {
				v = value{kind: unstable.ArrayTable, table: newTable(at), line: at}
			}
			v.table.rows = append(v.table.rows, current)
			parent.set(string(last.Data), v)
		case unstable.KeyValue:
			parent := descend(current, keys[:len(keys)-1], line)
			parent.set(string(last.Data), read(e.Value(), at, line))
		}
	}
	return root
}

// descend goes to the table at a dotted key, making what is missing.
func descend(t *table, keys []*unstable.Node, line func(*unstable.Node) int) *table {
	for _, k := range keys {
		name := string(k.Data)
		v, had := t.values[name]
		if !had || v.table == nil {
			v = value{kind: unstable.Table, table: newTable(line(k)), line: line(k)}
			t.set(name, v)
		}
		t = v.table
		if n := len(t.rows); n > 0 {
			t = t.rows[n-1]
		}
	}
	return t
}

func read(n *unstable.Node, at int, line func(*unstable.Node) int) value {
	v := value{kind: n.Kind, line: at, text: string(n.Data)}
	switch n.Kind {
	case unstable.Array:
		for it := n.Children(); it.Next(); {
			on := at
			if it.Node().Raw.Length > 0 { // a list in a list has no place of its own
				on = line(it.Node())
			}
			v.items = append(v.items, read(it.Node(), on, line))
		}
	case unstable.InlineTable:
		v.table = newTable(at)
		for it := n.Children(); it.Next(); {
			kv := it.Node()
			var keys []*unstable.Node
			for ki := kv.Key(); ki.Next(); {
				keys = append(keys, ki.Node())
			}
			if len(keys) == 0 {
				continue
			}
			last := keys[len(keys)-1]
			descend(v.table, keys[:len(keys)-1], line).set(string(last.Data), read(kv.Value(), line(last), line))
		}
	}
	return v
}
