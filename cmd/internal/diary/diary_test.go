package diary

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/quantity"
)

var dublin = func() *time.Location {
	l, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		panic(err)
	}
	return l
}()

// clock stands at 09:42:07 on 2026-04-14 in Dublin, an hour ahead of UTC.
func clock() time.Time { return time.Date(2026, 4, 14, 9, 42, 7, 5, dublin) }

func event(what string) Entry {
	return Entry{Kind: Event, Data: map[string]any{"coat": 1.0, "what": what}}
}

// keep writes entries to a new diary and gives its path.
func keep(t testing.TB, entries ...Entry) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "hall.diary")
	b, err := Open(path, clock)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if _, err := b.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	return path
}

func content(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func numbers(entries []Entry) []int {
	out := []int{}
	for _, e := range entries {
		out = append(out, e.N)
	}
	return out
}

// The format, to the letter: other programs read it. The sums are those of another SHA-256 than Go's.
func TestFormat(t *testing.T) {
	path := keep(t,
		Entry{Kind: Board, At: clock().Add(-20 * time.Minute), Data: map[string]any{
			"finish": "polished-lime", "background": "primed-board", "coat": 1.0, "thickness": 0.0002, "temp": 14.5, "damped": false}},
		event(Damp),
		Entry{Kind: Event, Amends: 2, Note: "north end, <first>\n\"dull\"", Data: map[string]any{"coat": 1.0, "what": Damp, "looked": true}},
	)
	want := `{"n":1,"at":"2026-04-14T09:22:07+01:00","written":"2026-04-14T09:42:07+01:00","kind":"board","finish":"polished-lime","background":"primed-board","coat":1,"thickness_mm":0.2,"temp_c":14.5,"damped":false,"follows":"","sum":"cf22b763f2e11458"}
{"n":2,"at":"2026-04-14T09:42:07+01:00","written":"2026-04-14T09:42:07+01:00","kind":"event","coat":1,"what":"damp","follows":"cf22b763f2e11458","sum":"bb27deee8cf7aac7"}
{"n":3,"at":"2026-04-14T09:42:07+01:00","written":"2026-04-14T09:42:07+01:00","kind":"event","amends":2,"coat":1,"what":"damp","looked":true,"note":"north end, <first>\n\"dull\"","follows":"bb27deee8cf7aac7","sum":"7f70071271d3cad8"}
`
	if got := content(t, path); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// Whatever its kind allows, an entry is read as it was appended.
func TestRoundTrip(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		path := filepath.Join(dir, "a")
		_ = os.Remove(path)
		b, err := Open(path, clock)
		if err != nil {
			t.Fatal(err)
		}
		var want []Entry
		for range rapid.IntRange(1, 5).Draw(t, "entries") {
			e := drawEntry(t)
			got, err := b.Append(e)
			var refused *EntryError
			if errors.As(err, &refused) { // one field asks something of another
				continue
			} else if err != nil {
				t.Fatal(err)
			}
			if !got.At.Equal(e.At.Truncate(time.Second)) || !got.Written.Equal(clock().Truncate(time.Second)) {
				t.Fatalf("%+v from %+v", got, e)
			}
			want = append(want, got)
		}
		got, faults, err := Read(path)
		if err != nil || len(faults) > 0 || len(got) != len(want) {
			t.Fatalf("%d of %d entries, %v, %v", len(got), len(want), faults, err)
		}
		for i := range want {
			if !same(got[i], want[i]) {
				t.Fatalf("read %+v\nof %+v", got[i], want[i])
			}
		}
	})
}

// same compares entries, their offsets included; a number may be a part in 1e11 off, by the change of unit.
func same(a, b Entry) bool {
	if len(a.Data) != len(b.Data) {
		return false
	}
	for k, v := range a.Data {
		x, isNumber := v.(float64)
		y, _ := b.Data[k].(float64)
		if isNumber && math.Abs(x-y) > 1e-11*math.Abs(y) || !isNumber && v != b.Data[k] {
			return false
		}
	}
	written := a.At.Format(time.RFC3339) == b.At.Format(time.RFC3339) && a.Written.Format(time.RFC3339) == b.Written.Format(time.RFC3339)
	return written && a.N == b.N && a.Kind == b.Kind && a.Amends == b.Amends && a.Note == b.Note
}

func drawEntry(t *rapid.T) Entry {
	form := rapid.SampledFrom(Kinds()).Filter(func(f Form) bool { return f.Kind != Withdrawal }).Draw(t, "kind")
	offset := 60 * rapid.IntRange(-14*60, 14*60).Draw(t, "offset")
	at := time.Unix(rapid.Int64Range(-2e9, 7e9).Draw(t, "at"), rapid.Int64Range(0, 999_999_999).Draw(t, "ns")).In(time.FixedZone("", offset))
	e := Entry{At: at, Kind: form.Kind, Note: rapid.String().Draw(t, "note"), Data: map[string]any{}}
	for _, f := range form.Fields {
		if !f.Required && rapid.Bool().Draw(t, "left out") {
			continue
		}
		switch f.Type {
		case Quantity:
			e.Data[f.Name] = rapid.Float64Range(f.Valid.Min, f.Valid.Max).Draw(t, f.Name)
		case Count:
			e.Data[f.Name] = float64(rapid.IntRange(int(f.Valid.Min), int(f.Valid.Max)).Draw(t, f.Name))
		case Choice:
			e.Data[f.Name] = rapid.SampledFrom(f.Words).Draw(t, f.Name)
		case Flag:
			e.Data[f.Name] = rapid.Bool().Draw(t, f.Name)
		case Date:
			e.Data[f.Name] = at.Format(time.DateOnly)
		case Moment:
			e.Data[f.Name] = at.Format(time.RFC3339)
		default:
			e.Data[f.Name] = rapid.String().Draw(t, f.Name)
		}
	}
	return e
}

// A clock that is put back shows 01:30 twice: the offset tells them apart, and is kept.
func TestRepeatedHour(t *testing.T) {
	first := time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC)
	now := func() time.Time { return first.Add(2 * time.Hour).In(dublin) }
	path := filepath.Join(t.TempDir(), "a")
	b, err := Open(path, now)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 2 {
		e := event(Laid)
		e.At = first.Add(time.Duration(i) * time.Hour).In(dublin)
		if _, err := b.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	entries, _, _ := Read(path)
	if got := entries[0].At.Format(time.RFC3339) + " " + entries[1].At.Format(time.RFC3339); got != "2026-10-25T01:30:00+01:00 2026-10-25T01:30:00Z" {
		t.Error(got)
	}
}

// An offset to the second, as clocks had before there were zones, is written to the minute, at the same moment.
func TestOldOffset(t *testing.T) {
	at := time.Date(1910, 4, 14, 9, 0, 0, 0, time.FixedZone("", -1521))
	e := event(Laid)
	e.At = at
	entries, _, _ := Read(keep(t, e))
	if !entries[0].At.Equal(at) {
		t.Errorf("%v, want %v", entries[0].At, at)
	}
}

func TestEntryRefused(t *testing.T) {
	board := func(more map[string]any) Entry {
		d := map[string]any{"finish": "polished-lime", "background": "brick", "coat": 1.0}
		for k, v := range more {
			d[k] = v
		}
		return Entry{Kind: Board, Data: d}
	}
	reading := func(field string, v any) Entry { return Entry{Kind: Reading, Data: map[string]any{field: v}} }
	b, err := Open(keep(t, event(Laid)), clock)
	if err != nil {
		t.Fatal(err)
	}
	was := content(t, b.path)
	for _, tc := range []struct {
		e    Entry
		want string
	}{
		{Entry{Kind: "readnig"}, `"readnig" is not a known kind of entry; did you mean reading? Known: `},
		{Entry{}, `"" is not a known kind of entry; known: `},
		{Entry{Kind: Reading}, "the reading says nothing; give it a field or a note"},
		{Entry{Kind: Note, Note: " \n"}, "the note says nothing"},
		{reading("tmep", 14.0), `"tmep" is not a known field of reading; did you mean temp?`},
		{reading("temp", 57.0), "temp: 57 C is outside -40 to 50 C"},
		{reading("temp", math.NaN()), "temp: NaN is not a number"},
		{reading("temp", math.Inf(1)), "temp: +Inf is not a number"},
		{reading("temp", 14), "temp: 14 is not a number"},
		{reading("temp", "14"), "temp: 14 is not a number"},
		{reading("place", "a\xff"), "place: it is not UTF-8 text"},
		{reading("place", ""), "place:  is no text"},
		{reading("place", strings.Repeat("x", longest+1)), "place: it has 4001 bytes and may have 4000"},
		{Entry{Kind: Note, Note: "\xff"}, "note: it is not UTF-8 text"},
		{Entry{Kind: Event, Data: map[string]any{"coat": 1.0}}, "what: it is missing, and every event needs it"},
		{Entry{Kind: Event, Data: map[string]any{"coat": 1.5, "what": Laid}}, "coat: 1.5 is not a number"},
		{Entry{Kind: Event, Data: map[string]any{"coat": 0.0, "what": Laid}}, "coat: 0 is outside a whole number from 1 to 9"},
		{event("dmap"), `what: "dmap" is not a known what; did you mean damp?`},
		{Entry{Kind: Event, Data: map[string]any{"coat": 1.0, "what": Laid, "looked": true}}, "looked: only damp, gone and dry can be looked for"},
		{Entry{Kind: Event, Data: map[string]any{"coat": 1.0, "what": Damp, "looked": "yes"}}, "looked: yes is neither yes nor no"},
		{Entry{Kind: Primer, Data: map[string]any{"laid": "2026-02-30"}}, `laid: "2026-02-30" is not a day`},
		{Entry{Kind: Weather, Data: map[string]any{"source": "x", "issued": "06:30"}}, `issued: "06:30" is not a moment`},
		{Entry{Kind: TubWeight, Data: map[string]any{"before": 2.0, "after": 2.0, "area": 1.0}}, "after: the tub is no lighter after than before"},
		{board(nil), "it needs thickness or spread"},
		{board(map[string]any{"thickness": 1e-4, "spread": 0.2}), "thickness and spread are both given"},
		{Entry{Kind: Withdrawal}, "a withdrawal needs the number of the entry"},
		{Entry{Kind: Withdrawal, Amends: 7}, "there is no entry 7 to amend"},
		{Entry{Kind: Note, Note: "x", Amends: -1}, "a withdrawal needs the number"},
		{Entry{Kind: Note, Note: "x", Amends: 1}, "entry 1 is of the kind event, not note"},
		{Entry{Kind: Note, Note: "x", At: time.Date(12026, 4, 14, 0, 0, 0, 0, time.UTC)}, "at: no diary is of the year 12026"},
	} {
		_, err := b.Append(tc.e)
		var refused *EntryError
		if !errors.As(err, &refused) || !strings.HasPrefix(err.Error(), tc.want) {
			t.Errorf("%+v: %v, want %q", tc.e, err, tc.want)
		}
	}
	if got := content(t, b.path); got != was {
		t.Errorf("a refusal changed the file:\n%s", got)
	}
}

// Every kind of damage is told once, with its line, and every other entry is read; the next entry then follows.
func TestDamage(t *testing.T) {
	whole := content(t, keep(t, event(Laid), event(Damp), event(Gone), event(Dry)))
	l := strings.SplitAfter(whole, "\n")[:4]
	join := func(lines ...string) string { return strings.Join(lines, "") }
	for _, tc := range []struct {
		name, text string
		read       []int
		faults     []string
		next       int
	}{
		{"whole", whole, []int{1, 2, 3, 4}, nil, 5},
		{"empty", "", []int{}, nil, 1},
		{"carriage returns, a byte-order mark, blank lines", "\ufeff" + strings.ReplaceAll(whole, "\n", "\r\n\r\n"), []int{1, 2, 3, 4}, nil, 5},
		{"torn last line", whole[:len(whole)-40], []int{1, 2, 3}, []string{"4: this line was cut off"}, 5},
		{"torn in its number", join(l[0], l[1], `{"n`), []int{1, 2}, []string{"3: this line was cut off"}, 3},
		{"zeros after a power cut", join(l[0], l[1][:50]) + strings.Repeat("\x00", 90), []int{1}, []string{"2: this line was cut off"}, 3},
		{"zeros alone", join(l[0], strings.Repeat("\x00", 90)), []int{1}, []string{"2: this line was cut off"}, 2},
		{"torn first line", l[0][:30], []int{}, []string{"1: this line was cut off"}, 2},
		{"torn line ended and followed", join(l[0], `{"n":2,"at":"2026`+"\n", l[1]), []int{1, 2}, []string{"2: this line was cut off"}, 3},
		{"last line without its end", strings.TrimSuffix(whole, "\n"), []int{1, 2, 3, 4}, []string{"4: the end of this line is missing"}, 5},
		{"foreign line", join(l[0], "gone shopping\n", l[1]), []int{1, 2}, []string{"2: this line is no entry"}, 3},
		{"foreign last line", join(l[0], "gone shopping"), []int{1}, []string{"2: this line is no entry"}, 2},
		{"foreign lines only after an entry", join("gone\n", l[0], "\xff\x00\xfe\n"), []int{1}, []string{"1: this line is no entry", "3: this line is no entry"}, 2},
		{"changed", strings.Replace(whole, `"what":"damp"`, `"what":"dry"`, 1), []int{1, 3, 4}, []string{"2: this line was changed"}, 5},
		{"changed last", strings.Replace(whole, `"what":"dry"`, `"what":"damp"`, 1), []int{1, 2, 3}, []string{"4: this line was changed"}, 5},
		{"changed sum", join(l[0], strings.Replace(l[1], `"sum":"`, `"sum":"f`, 1), l[2]), []int{1, 3}, []string{"2: this line was changed"}, 4},
		{"changed in its sum", join(l[0], l[1][:len(l[1])-4]+"x"+l[1][len(l[1])-3:], l[2]), []int{1, 3}, []string{"2: this line was changed"}, 4},
		{"one taken out", join(l[0], l[2], l[3]), []int{1, 3, 4}, []string{"2: entry 2, which stood before this line, is missing"}, 5},
		{"two taken out", join(l[0], l[3]), []int{1, 4}, []string{"2: entries 2 to 3, which stood before this line, are missing"}, 5},
		{"first taken out", join(l[1:]...), []int{2, 3, 4}, []string{"1: entry 1, which stood before this line, is missing"}, 5},
		{"put in again", join(l[0], l[1], l[0], l[2]), []int{1, 2, 3}, []string{"3: entry 1 stands here a second time"}, 4},
		{"two changed places", join(l[0], l[2], l[1], l[3]), []int{1, 3, 2, 4}, []string{"2: entry 2, which stood", "3: entry 2 stands out of its place, after entry 3"}, 5},
		{"changed with its sum made anew", join(l[0], forged(t, l[1]), l[2]), []int{1, 2, 3}, []string{"3: entry 3 does not follow the line before it"}, 4},
	} {
		t.Run(tc.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "a")
			if err := os.WriteFile(path, []byte(tc.text), 0o600); err != nil {
				t.Fatal(err)
			}
			entries, faults, err := Read(path)
			if err != nil || !slices.Equal(numbers(entries), tc.read) {
				t.Errorf("read %v (%v), want %v", numbers(entries), err, tc.read)
			}
			told(t, path, faults, tc.faults)
			b, err := Open(path, clock)
			if err != nil {
				t.Fatal(err)
			}
			e, err := b.Append(event(Laid))
			if err != nil || e.N != tc.next {
				t.Errorf("the next entry is %d (%v), want %d", e.N, err, tc.next)
			}
			if !strings.HasPrefix(content(t, path), tc.text) {
				t.Error("what stood in the file was changed")
			}
			after, faults, _ := Read(path)
			if !slices.Equal(numbers(after), append(tc.read, tc.next)) {
				t.Errorf("then read %v", numbers(after))
			}
			ended := slices.DeleteFunc(slices.Clone(tc.faults), func(f string) bool { return strings.Contains(f, "end of this line") })
			told(t, path, faults, ended) // nothing new, and a whole last line has its end now
		})
	}
}

func told(t *testing.T, path string, got fault.List, want []string) {
	t.Helper()
	for i, f := range got {
		if i >= len(want) || !strings.HasPrefix(f.String(), path+":"+want[i]) || strings.Contains(f.Message, "\n") {
			t.Errorf("told %s, want %v", f, want)
		}
	}
	if len(got) != len(want) {
		t.Errorf("told %v, want %v", got, want)
	}
}

// forged changes an entry and makes its sum anew.
func forged(t *testing.T, text string) string {
	l := decode([]byte(strings.TrimSuffix(text, "\n")))
	l.entry.Note = "forged"
	line, err := encode(l.entry, l.follows)
	if err != nil {
		t.Fatal(err)
	}
	return string(line) + "\n"
}

// What a later version adds is read, and passes through.
func TestLaterVersion(t *testing.T) {
	body := `{"n":1,"at":"2026-04-14T09:42:07+01:00","written":"2026-04-14T09:42:07+01:00","kind":"humour","temp_c":3,"list":[1],"follows":""`
	known := strings.Replace(body, "humour", "reading", 1)
	for text, want := range map[string]map[string]any{
		body:  {"temp_c": 3.0, "list": []any{1.0}},
		known: {"temp": 3.0, "list": []any{1.0}},
	} {
		entries, faults, err := Parse("a", []byte(text+sumStart+sumOf([]byte(text))+sumEnd+"\n"))
		if err != nil || len(faults) > 0 || len(entries) != 1 || !reflect.DeepEqual(entries[0].Data, want) {
			t.Errorf("%+v, %v, %v", entries, faults, err)
		}
	}
}

func TestAmended(t *testing.T) {
	note := func(n, amends int, s string) Entry { return Entry{N: n, Amends: amends, Kind: Note, Note: s} }
	gone := func(n, amends int) Entry { return Entry{N: n, Amends: amends, Kind: Withdrawal} }
	for name, tc := range map[string]struct {
		in   []Entry
		want string
	}{
		"none":                             {nil, ""},
		"amended in place":                 {[]Entry{note(1, 0, "a"), note(2, 0, "b"), note(3, 1, "A")}, "1A 2b"},
		"amended twice":                    {[]Entry{note(1, 0, "a"), note(2, 1, "b"), note(3, 1, "c")}, "1c"},
		"amendment amended":                {[]Entry{note(1, 0, "a"), note(2, 1, "b"), note(3, 2, "c")}, "1c"},
		"withdrawn":                        {[]Entry{note(1, 0, "a"), note(2, 0, "b"), gone(3, 1)}, "2b"},
		"withdrawn with its amendment":     {[]Entry{note(1, 0, "a"), note(2, 1, "b"), gone(3, 1)}, ""},
		"amendment withdrawn":              {[]Entry{note(1, 0, "a"), note(2, 1, "b"), gone(3, 2)}, "1a"},
		"withdrawal withdrawn":             {[]Entry{note(1, 0, "a"), gone(2, 1), gone(3, 2)}, "1a"},
		"withdrawal of it withdrawn":       {[]Entry{note(1, 0, "a"), gone(2, 1), gone(3, 2), gone(4, 3)}, ""},
		"of an amendment that went":        {[]Entry{note(1, 0, "a"), note(2, 1, "b"), gone(3, 2), note(4, 2, "c")}, "1c"},
		"what it amends cannot be read":    {[]Entry{note(2, 1, "b"), note(3, 0, "c")}, "2b 3c"},
		"what it withdraws cannot be read": {[]Entry{gone(2, 1), note(3, 0, "c")}, "3c"},
	} {
		var got []string
		for _, e := range Amended(tc.in) {
			if e.Amends != 0 {
				t.Errorf("%s: %+v", name, e)
			}
			got = append(got, string(rune('0'+e.N))+e.Note)
		}
		if s := strings.Join(got, " "); s != tc.want {
			t.Errorf("%s: %q, want %q", name, s, tc.want)
		}
	}
}

// Every kind has a meaning, names of its own, and units to write them with.
func TestKinds(t *testing.T) {
	reserved := []string{"n", "at", "written", "kind", "amends", "note", "follows", "sum"}
	kinds := map[Kind]bool{}
	for _, f := range Kinds() {
		if kinds[f.Kind] || f.Meaning == "" || strings.HasSuffix(f.Meaning, ".") {
			t.Errorf("%s: %q", f.Kind, f.Meaning)
		}
		kinds[f.Kind] = true
		names := slices.Clone(reserved)
		for _, x := range f.Fields {
			if slices.Contains(names, x.Name) || slices.Contains(names, x.Key()) || x.Meaning == "" || strings.Contains(x.Name, "-") {
				t.Errorf("%s: %+v", f.Kind, x)
			}
			names = append(names, x.Name, x.Key())
			if x.Type == Quantity && (x.Quantity == nil || units[x.Quantity].per == 0) || x.Type == Count && x.Valid == (quantity.Range{}) || x.Type == Choice && len(x.Words) == 0 {
				t.Errorf("%s: %s cannot be written", f.Kind, x.Name)
			}
		}
	}
}

func TestParseAndShow(t *testing.T) {
	moment := func(s string) (time.Time, error) { return time.Parse("2006-01-02T15:04Z07:00", s) }
	for _, tc := range []struct {
		kind              Kind
		field, text, show string
		units             quantity.Units
	}{
		{Reading, "temp", "57F", "57 F", quantity.US},
		{Reading, "temp", " 14 ", "14 C", quantity.Metric},
		{Reading, "pressure", "29.92inHg", "1013.21 hPa", quantity.Metric},
		{Board, "thickness", "8mil", "0.2032 mm", quantity.Metric},
		{Board, "damped", "Yes", "yes", quantity.Metric},
		{Board, "damped", "no", "no", quantity.Metric},
		{Board, "coat", "2", "2", quantity.Metric},
		{Board, "finish", "polished-lime", "polished-lime", quantity.Metric},
		{Weighing, "mass", "1234.5g", "1.2345 kg", quantity.Metric},
		{Weighing, "mass", "2.5", "2.5 lb", quantity.US},
		{DropTest, "drop", "3min", "180 s", quantity.US},
		{TubWeight, "area", "120ft2", "120 ft2", quantity.US},
		{Primer, "laid", "2026-04-11", "2026-04-11", quantity.Metric},
		{Weather, "issued", "2026-04-14T05:00+02:00", "2026-04-14 05:00 +02:00", quantity.Metric},
	} {
		form, _ := FormOf(tc.kind)
		f, ok := form.Field(tc.field)
		v, err := f.Parse(tc.text, tc.units, moment)
		if !ok || err != nil || f.Show(v, tc.units) != tc.show {
			t.Errorf("%s %s=%s: %v (%v), shown as %q", tc.kind, tc.field, tc.text, v, err, f.Show(v, tc.units))
		}
	}
	for _, tc := range []struct {
		kind              Kind
		field, text, want string
	}{
		{Reading, "temp", "57", "temp: temperature 57, read as 57C, is outside -40 to 50 C; did you mean 57F?"},
		{Reading, "temp", "", "temp: it is empty; give -40 to 50 C"},
		{Reading, "rh", "0.72", "rh: relative humidity 0.72% is outside 1 to 100 %; did you mean 72%?"},
		{Board, "damped", "maybe", `damped: "maybe" is neither yes nor no`},
		{Board, "coat", "one", `coat: "one" is not a whole number`},
		{Board, "coat", "12", "coat: 12 is outside a whole number from 1 to 9"},
		{Board, "finish", "polished-line", `finish: "polished-line" is not a known finish; did you mean polished-lime?`},
		{DropTest, "drop", "40", `drop: "40" needs a unit`},
	} {
		form, _ := FormOf(tc.kind)
		f, _ := form.Field(tc.field)
		var refused *EntryError
		if _, err := f.Parse(tc.text, quantity.Metric, moment); !errors.As(err, &refused) || !strings.HasPrefix(err.Error(), tc.want) || refused.Expected == "" {
			t.Errorf("%s=%q: %v, want %q", tc.field, tc.text, err, tc.want)
		}
	}
}

// However a diary was damaged, reading it never panics, names a line that exists for every fault, and loses no
// entry that stands whole before the damage.
func FuzzRead(f *testing.F) {
	good := content(f, keep(f, event(Laid), Entry{Kind: Reading, Data: map[string]any{"temp": 14.0}}, Entry{Kind: Withdrawal, Amends: 1}))
	for _, s := range []string{"", "\n", good, good[:200], "{}", `{"n":1}`, "\x00\x00", `{"n":4,"at":"2026-04-14T09:42:07Z"` + sumStart + "0123456789abcdef" + sumEnd} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, damage string) {
		for _, text := range []string{good + damage, damage, damage + "\n" + good} {
			entries, faults, err := Parse("a", []byte(text))
			if err != nil && (text != damage || len(entries)+len(faults) > 0) {
				t.Fatal(err)
			}
			lines := strings.Count(text, "\n") + 1
			for _, x := range faults {
				if x.Line < 1 || x.Line > lines || x.Message == "" {
					t.Fatalf("%+v of %d lines", x, lines)
				}
			}
			if text == good+damage && (len(entries) < 3 || !slices.Equal(numbers(entries[:3]), []int{1, 2, 3})) {
				t.Fatalf("lost: %v", numbers(entries))
			}
			Amended(entries)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	var text []byte
	sum := ""
	for n := range 10_000 {
		e := event(Damp)
		e.N, e.At, e.Written = n+1, clock(), clock()
		line, err := encode(e, sum)
		if err != nil {
			b.Fatal(err)
		}
		sum = string(line[len(line)-len(sumEnd)-sumDigits : len(line)-len(sumEnd)])
		text = append(append(text, line...), '\n')
	}
	for b.Loop() {
		if entries, faults, err := Parse("a", text); len(entries) != 10_000 || len(faults) > 0 || err != nil {
			b.Fatal(len(entries), faults, err)
		}
	}
}
