package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/text"
	"limeday/cmd/internal/view"
	"limeday/drying/material"
	"limeday/drying/message"
)

type diaryListAnswer struct {
	Schema  string        `json:"schema"`
	File    string        `json:"file"`
	Entries []diaryEntry  `json:"entries"`
	Faults  []faultAnswer `json:"faults"`
}

// diaryEntry is an entry with what became of it.
type diaryEntry struct {
	Entry       diary.Entry `json:"entry"`
	Stands      bool        `json:"stands"` // it says what now holds
	AmendedBy   *int        `json:"amended_by"`
	WithdrawnBy *int        `json:"withdrawn_by"`
	Computed    *computed   `json:"computed,omitempty"` // of a tub weight
}

// computed is what a tub weight comes to.
type computed struct {
	Spread      float64  `json:"spread_kg_per_m2"`
	ThicknessMm *float64 `json:"thickness_mm"` // null where the finish is not known
}

// computedOf works out a tub weight, nil for any other entry.
func computedOf(e diary.Entry) *computed {
	before, ok := e.Number("before")
	after, ok2 := e.Number("after")
	area, ok3 := e.Number("area")
	if e.Kind != diary.TubWeight || !ok || !ok2 || !ok3 || !(area > 0) {
		return nil
	}
	c := &computed{Spread: (before - after) / area}
	if f, err := material.FinishNamed(e.Text("finish")); err == nil {
		t := millimetres(f.Thickness(c.Spread))
		c.ThicknessMm = &t
	}
	return c
}

// followed gives every entry with what became of it.
func followed(entries []diary.Entry) []diaryEntry {
	h := diary.Follow(entries)
	number := func(n int) *int {
		if n == 0 {
			return nil
		}
		return &n
	}
	out := []diaryEntry{}
	for _, e := range entries {
		d := diaryEntry{Entry: e, Computed: computedOf(e)}
		root := h.Root[e.N]
		by := h.Withdrawn[e.N]
		if by == 0 {
			by = h.Withdrawn[root]
		}
		d.WithdrawnBy = number(by)
		d.Stands = by == 0
		if latest := h.Latest[root]; root != 0 && by == 0 && latest != e.N {
			d.AmendedBy, d.Stands = number(latest), false
		}
		out = append(out, d)
	}
	return out
}

// fate says in words what became of an entry, or what it does to another; empty for most.
func (d diaryEntry) fate() string {
	switch {
	case d.WithdrawnBy != nil:
		return fmt.Sprintf("withdrawn by entry %d", *d.WithdrawnBy)
	case d.AmendedBy != nil:
		return fmt.Sprintf("amended by entry %d", *d.AmendedBy)
	case d.Entry.Kind == diary.Withdrawal:
		return fmt.Sprintf("takes back entry %d", d.Entry.Amends)
	case d.Entry.Amends != 0:
		return fmt.Sprintf("amends entry %d", d.Entry.Amends)
	}
	return ""
}

func diaryList(inv *invocation, path string) error {
	entries, faults, err := readDiary(inv, path)
	if err != nil {
		return err
	}
	a := diaryListAnswer{"limeday.diary-list/1", nameOf(path), followed(entries), []faultAnswer{}}
	for _, f := range faults {
		a.Faults = append(a.Faults, faultAnswer{f.Message, f.Where(), f.Expected})
	}
	if !inv.JSON { // which holds them
		if err := tellFaults(inv, faults); err != nil {
			return err
		}
	}
	return inv.Answer(a, func() string { return listText(a, inv.Units()) })
}

// tellFaults warns of the lines that could not be read.
func tellFaults(inv *invocation, faults fault.List) error {
	told := ""
	for _, f := range faults {
		told += "limeday: " + oneLine(f.String()) + "\n"
	}
	return write(inv.Notes, told)
}

func listText(a diaryListAnswer, u quantity.Units) string {
	var b strings.Builder
	b.WriteString(wrap("", fmt.Sprintf("%s: %s%s", a.File, entryCount(len(a.Entries)), faultCount(len(a.Faults)))))
	day := ""
	for _, d := range a.Entries {
		e := d.Entry
		if today := e.At.Format("Mon 2 Jan 2006, -07:00"); today != day {
			day = today
			b.WriteString("\n" + day + "\n")
		}
		lead := fmt.Sprintf("%4d  %-8s  ", e.N, clockTime(e)) + text.Pad(string(e.Kind), 13) + "  "
		said := strings.TrimSpace(saysInLine(e, u))
		if fate := d.fate(); fate != "" {
			said = strings.TrimSpace(said + " (" + together(fate) + ")")
		}
		b.WriteString(wrap(lead, said))
	}
	return b.String()
}

func entryCount(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}

func faultCount(n int) string {
	if n == 0 {
		return ""
	}
	return ", and " + plural(n, "line") + " at fault"
}

// clockTime is the time of day of an entry, with its seconds if it has any.
func clockTime(e diary.Entry) string {
	if e.At.Second() != 0 {
		return e.At.Format("15:04:05")
	}
	return e.At.Format("15:04")
}

// said is one thing that an entry says.
type said struct {
	name, value string
	words       bool // the value is free text
}

// says lists what an entry says, in u's units.
func says(e diary.Entry, u quantity.Units) []said {
	form, _ := diary.FormOf(e.Kind)
	var out []said
	if e.Kind == diary.Event {
		out = append(out, said{"", eventSays(e), false})
	}
	for _, m := range e.Members() {
		if e.Kind == diary.Event && slices.Contains([]string{"coat", "what", "looked"}, m.Key) {
			continue
		}
		if e.Kind == diary.Prediction && (strings.HasSuffix(m.Key, "_earliest") || strings.HasSuffix(m.Key, "_latest")) {
			continue // they stand with the likely time
		}
		s := said{m.Key, fmt.Sprint(m.Value), true}
		for _, f := range form.Fields {
			if f.Key() == m.Key {
				s = said{f.Name, f.Show(e.Data[f.Name], u), f.Type == diary.Text}
				if e.Kind == diary.Prediction && f.Type == diary.Moment {
					s.value = predictedTime(e, f.Name)
				}
			}
		}
		s.name = strings.ReplaceAll(s.name, "_", " ")
		out = append(out, s)
	}
	if c := computedOf(e); c != nil {
		out = append(out, said{"spread", view.Printer{Units: u}.Quantity(message.Quantity{Kind: message.Spread, Value: c.Spread}), false})
		if c.ThicknessMm != nil {
			out = append(out, said{"thickness", view.Printer{Units: u}.Quantity(message.Thick(*c.ThicknessMm / 1000)), false})
		}
	}
	return out
}

// predictedTime is a time of a prediction with its earliest and latest, by the clock of the entry's day.
func predictedTime(e diary.Entry, name string) string {
	clock := func(name string) string {
		t, err := time.Parse(time.RFC3339, e.Text(name))
		if err != nil {
			return ""
		}
		return view.Printer{Day: e.At}.Quantity(message.At(t))
	}
	s := clock(name)
	if low, high := clock(name+"_earliest"), clock(name+"_latest"); low != "" && high != "" {
		s += " (" + low + " to " + high + ")"
	} else if low != "" {
		s += " (from " + low + ")"
	}
	return s
}

// saysInLine is what an entry says, on one line.
func saysInLine(e diary.Entry, u quantity.Units) string {
	var parts []string
	for _, s := range says(e, u) {
		if s.words {
			s.value = quoted(s.value)
		} else {
			s.value = together(s.value)
		}
		parts = append(parts, strings.TrimSpace(s.name+" "+s.value))
	}
	if e.Note != "" {
		parts = append(parts, quoted(e.Note))
	}
	return strings.Join(parts, ", ")
}

// quoted sets free text off from what the program says.
func quoted(s string) string { return `"` + strings.Join(strings.Fields(s), " ") + `"` }

// eventSays puts an event into words: "coat 1 damp", "coat 1 not yet damp".
func eventSays(e diary.Entry) string {
	n, _ := e.Number("coat")
	not := ""
	if e.Flag("looked") {
		not = "not yet "
	}
	return fmt.Sprintf("coat %.0f %s%s", n, not, e.Text("what"))
}

type diaryCheckAnswer struct {
	Schema  string `json:"schema"`
	File    string `json:"file"`
	Entries int    `json:"entries"`
}

// diaryCheck answers that a diary has no fault, or fails with all of them.
func diaryCheck(inv *invocation, path string) error {
	entries, faults, err := readDiary(inv, path)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return faults
	}
	return inv.Answer(diaryCheckAnswer{"limeday.diary-check/1", nameOf(path), len(entries)}, func() string {
		return wrap("", fmt.Sprintf("%s: no fault found in %s.", nameOf(path), entryCount(len(entries))))
	})
}

type diaryKindsAnswer struct {
	Schema string          `json:"schema"`
	Kinds  []diaryKindInfo `json:"kinds"`
}

type diaryKindInfo struct {
	Kind    diary.Kind       `json:"kind"`
	Meaning string           `json:"meaning"`
	Fields  []diaryFieldInfo `json:"fields"`
}

type diaryFieldInfo struct {
	Name     string `json:"name"`
	Key      string `json:"key"` // in the file
	Meaning  string `json:"meaning"`
	Takes    string `json:"takes"`
	Required bool   `json:"required"`
}

// diaryKinds lists the kinds or, of one, its fields.
func diaryKinds(inv *invocation, args []string) error {
	if len(args) > 1 {
		return usage(args[1], "one kind", "diary kinds does not take %q; it takes one kind, or none", args[1])
	}
	words := kindWords()
	if len(args) == 1 {
		if err := knownKind(args[0]); err != nil {
			return err
		}
		words = args
	}
	a := diaryKindsAnswer{Schema: "limeday.diary-kinds/1"}
	for _, word := range words {
		f, _ := diary.FormOf(diary.Kind(word))
		k := diaryKindInfo{f.Kind, f.Meaning, []diaryFieldInfo{}}
		for _, x := range f.Fields {
			k.Fields = append(k.Fields, diaryFieldInfo{x.Name, x.Key(), x.Meaning, x.Wanted(inv.Units()), x.Required})
		}
		a.Kinds = append(a.Kinds, k)
	}
	return inv.Answer(a, func() string {
		var b strings.Builder
		for _, k := range a.Kinds {
			if len(args) == 0 {
				b.WriteString(wrap(fmt.Sprintf("%-15s", k.Kind), k.Meaning))
				continue
			}
			fmt.Fprintf(&b, "%s: %s.\n\n", k.Kind, k.Meaning)
			for _, f := range k.Fields {
				must := ""
				if f.Required {
					must = "; needed"
				}
				b.WriteString(wrap(fmt.Sprintf("  %-20s", f.Name), fmt.Sprintf("%s (%s%s)", f.Meaning, f.Takes, must)))
			}
			b.WriteString(wrap(fmt.Sprintf("  %-20s", "note"), "anything, in words"))
		}
		return b.String()
	})
}

// faultsOf words the faults of a file for a page.
func faultsOf(faults fault.List) []string {
	var out []string
	for _, f := range faults {
		out = append(out, f.String())
	}
	return out
}
