package diary

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// sumDigits is how many hexadecimal digits of the SHA-256 a line keeps: enough that no slip passes unseen.
const sumDigits = 16

const (
	lineStart = `{"n":` // of every line
	sumStart  = `,"sum":"`
	sumEnd    = `"}`
	sumLength = len(sumStart) + sumDigits + len(sumEnd)
)

func sumOf(body []byte) string {
	s := sha256.Sum256(body)
	return hex.EncodeToString(s[:])[:sumDigits]
}

// Member is one field of an entry as the file names and writes it.
type Member struct {
	Key   string // "temp_c"
	Value any    // a number in that unit, a string or a bool
}

// Members are the entry's fields in the order of its kind, then what a later version added, by name.
func (e Entry) Members() []Member {
	form, _ := FormOf(e.Kind)
	var out []Member
	for _, f := range form.Fields {
		if v, given := e.Data[f.Name]; given {
			out = append(out, Member{f.Key(), f.toFile(v)})
		}
	}
	for _, name := range slices.Sorted(maps.Keys(e.Data)) {
		if _, known := form.Field(name); !known {
			out = append(out, Member{name, e.Data[name]})
		}
	}
	return out
}

// all are the members of a line, but for those that tie it to the others.
func (e Entry) all() []Member {
	m := []Member{{"n", e.N}, {"at", e.At.Format(time.RFC3339)}, {"written", e.Written.Format(time.RFC3339)}, {"kind", e.Kind}}
	if e.Amends != 0 {
		m = append(m, Member{"amends", e.Amends})
	}
	m = append(m, e.Members()...)
	if e.Note != "" {
		m = append(m, Member{"note", e.Note})
	}
	return m
}

// MarshalJSON writes the entry as its line has it, without the sums.
func (e Entry) MarshalJSON() ([]byte, error) {
	b, err := object(e.all())
	return append(b, '}'), err
}

// encode writes the line of e, without its newline; before is the sum of the line before. e has been checked.
func encode(e Entry, before string) ([]byte, error) {
	b, err := object(append(e.all(), Member{"follows", before}))
	return append(b, sumStart+sumOf(b)+sumEnd...), err
}

// object writes a JSON object but for its closing brace.
func object(members []Member) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	for i, m := range members {
		b.WriteString([]string{"{", ","}[min(i, 1)])
		fmt.Fprintf(&b, "%q:", m.Key)
		if err := enc.Encode(m.Value); err != nil {
			return nil, err
		}
		b.Truncate(b.Len() - 1) // the encoder's newline
	}
	return b.Bytes(), nil
}

// line is what could be made out of one line of a file.
type line struct {
	sum     string // as stated; empty: it has none, and is no whole entry
	whole   bool   // what it says agrees with its sum
	n       int    // as stated; 0: not to be made out
	follows string // the sum of the line before, as stated
	entry   Entry  // when whole
}

// decode reads a line without its newline.
func decode(text []byte) line {
	var l line
	if rest, ok := bytes.CutPrefix(text, []byte(lineStart)); ok {
		// Also of a line that was cut off: its number is not given again.
		if _, err := fmt.Sscanf(string(rest[:min(len(rest), 20)]), "%d,", &l.n); err != nil || l.n < 1 {
			l.n = 0
		}
	}
	cut := len(text) - sumLength
	if cut < 0 || string(text[cut:cut+len(sumStart)]) != sumStart || !bytes.HasSuffix(text, []byte(sumEnd)) {
		return l
	}
	body := text[:cut]
	l.sum = string(text[cut+len(sumStart) : len(text)-len(sumEnd)])
	if sumOf(body) != l.sum {
		return l
	}
	var raw map[string]any
	if err := json.Unmarshal(append(bytes.Clone(body), '}'), &raw); err != nil {
		return l
	}
	l.follows, _ = raw["follows"].(string)
	l.entry, l.whole = entryOf(raw)
	l.n = l.entry.N
	return l
}

// entryOf makes an entry of a line's members, false where one that every line has is missing. What a later version
// added stays in Data under its own name.
func entryOf(raw map[string]any) (Entry, bool) {
	var e Entry
	whole := func(key string) (int, bool) {
		x, ok := raw[key].(float64)
		return int(x), ok && x >= 1 && x < 1e9 && x == float64(int(x))
	}
	moment := func(key string) (time.Time, bool) {
		s, _ := raw[key].(string)
		t, err := time.Parse(time.RFC3339, s)
		if err != nil {
			return t, false
		}
		// Parse puts this computer's zone in place of its offset; the entry keeps that of the site.
		if _, offset := t.Zone(); offset != 0 || !strings.HasSuffix(s, "Z") {
			t = t.In(time.FixedZone("", offset))
		}
		return t, true
	}
	kind, ok := raw["kind"].(string)
	e.Kind = Kind(kind)
	n, okN := whole("n")
	at, okAt := moment("at")
	written, okWritten := moment("written")
	if !ok || kind == "" || !okN || !okAt || !okWritten {
		return Entry{}, false
	}
	e.N, e.At, e.Written = n, at, written
	e.Amends, _ = whole("amends")
	e.Note, _ = raw["note"].(string)
	for _, key := range []string{"n", "at", "written", "kind", "amends", "note", "follows"} {
		delete(raw, key)
	}
	form, _ := FormOf(e.Kind)
	for _, f := range form.Fields {
		if v, given := raw[f.Key()]; given {
			delete(raw, f.Key())
			raw[f.Name] = f.fromFile(v)
		}
	}
	if len(raw) > 0 {
		e.Data = raw
	}
	return e, true
}
