package app

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"limeday/cmd/internal/diary"
	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/drying"
)

type diaryExportAnswer struct {
	Schema  string        `json:"schema"`
	File    string        `json:"file"`
	Entries int           `json:"entries"`
	CSV     string        `json:"csv,omitempty"`
	Page    string        `json:"page,omitempty"`
	Faults  []faultAnswer `json:"faults"`
}

// diaryExport writes the record as CSV, as a page, or both.
func diaryExport(ctx context.Context, inv *invocation, path string, out *outFiles) error {
	csvTo, err := out.flags[0].Value()
	if err != nil {
		return err
	}
	pageTo, err := out.flags[1].Value()
	switch {
	case err != nil:
		return err
	case csvTo == "" && pageTo == "":
		return usage("--csv", "--csv FILE or --page FILE", "diary export needs to be told what to write: --csv FILE, --page FILE or both")
	case csvTo == "-" && (inv.JSON || pageTo != ""):
		return usage("--csv", "--csv - alone", "--csv - puts the rows on standard output, so nothing else can go there; give the CSV a file")
	case csvTo != "-":
		if err := out.check(path); err != nil {
			return err
		}
	}
	entries, faults, err := readDiary(inv, path)
	if err != nil {
		return err
	}
	all := followed(entries)
	if csvTo == "-" {
		return diaryCSV(inv.Out, all)
	}
	a := diaryExportAnswer{"limeday.diary-export/1", nameOf(path), len(entries), csvTo, pageTo, []faultAnswer{}}
	for _, f := range faults {
		a.Faults = append(a.Faults, faultAnswer{f.Message, f.Where(), f.Expected})
	}
	if err := inv.Answer(a, func() string {
		return wrap("", fmt.Sprintf("%s: %s exported%s.", nameOf(path), entryCount(len(entries)), faultCount(len(faults))))
	}); err != nil {
		return err
	}
	return out.write(ctx, inv, []func(io.Writer) error{
		func(w io.Writer) error { return diaryCSV(w, all) },
		func(w io.Writer) error {
			return sheet.WriteRecord(w, diaryPage(filepath.Base(nameOf(path)), all, faults, inv.Now(), inv.Units()))
		},
	})
}

// diaryCSV writes a row for each entry: what every entry has, then a column for each field in use, as the file names
// it and in its unit.
func diaryCSV(w io.Writer, entries []diaryEntry) error {
	columns := []string{"n", "at", "written", "kind", "amends", "amended_by", "withdrawn_by", "note"}
	used := map[string]bool{}
	var others []string
	for _, d := range entries {
		for _, m := range d.members() {
			if !used[m.Key] {
				others = append(others, m.Key)
			}
			used[m.Key] = true
		}
	}
	for _, f := range diary.Kinds() {
		for _, x := range f.Fields {
			if used[x.Key()] && !slices.Contains(columns, x.Key()) {
				columns = append(columns, x.Key())
			}
		}
	}
	for _, key := range others { // worked out, or of a later version
		if !slices.Contains(columns, key) {
			columns = append(columns, key)
		}
	}
	c := csv.NewWriter(w)
	if err := c.Write(columns); err != nil {
		return err
	}
	number := func(n *int) string {
		if n == nil {
			return ""
		}
		return strconv.Itoa(*n)
	}
	for _, d := range entries {
		e := d.Entry
		row := map[string]string{"n": strconv.Itoa(e.N), "at": e.At.Format(time.RFC3339), "written": e.Written.Format(time.RFC3339),
			"kind": string(e.Kind), "amended_by": number(d.AmendedBy), "withdrawn_by": number(d.WithdrawnBy), "note": e.Note}
		if e.Amends != 0 {
			row["amends"] = strconv.Itoa(e.Amends)
		}
		for _, m := range d.members() {
			if s, ok := m.Value.(string); ok {
				row[m.Key] = s
				continue
			}
			text, err := json.Marshal(m.Value)
			if err != nil {
				return err
			}
			row[m.Key] = string(text)
		}
		cells := make([]string, len(columns))
		for i, name := range columns {
			cells[i] = row[name]
		}
		if err := c.Write(cells); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// members are an entry's fields and what is worked out from them.
func (d diaryEntry) members() []diary.Member {
	m := d.Entry.Members()
	if c := d.Computed; c != nil {
		m = append(m, diary.Member{Key: "spread_kg_per_m2", Value: c.Spread})
		if c.ThicknessMm != nil {
			m = append(m, diary.Member{Key: "thickness_mm", Value: *c.ThicknessMm})
		}
	}
	return m
}

// diaryPage is the record as a page, in the order in which things were so.
func diaryPage(name string, entries []diaryEntry, faults fault.List, now time.Time, u quantity.Units) sheet.Record {
	r := sheet.Record{Head: name, Made: stamp(now), Count: entryCount(len(entries)), Faults: faultsOf(faults), Cautions: drying.Cautions()}
	sorted := slices.Clone(entries)
	slices.SortStableFunc(sorted, func(a, b diaryEntry) int { return a.Entry.At.Compare(b.Entry.At) })
	for _, d := range sorted {
		e := d.Entry
		day := e.At.Format("Mon 2 Jan 2006, -07:00")
		if n := len(r.Days); n == 0 || r.Days[n-1].Day != day {
			r.Days = append(r.Days, sheet.RecordDay{Day: day})
		}
		row := sheet.RecordEntry{Number: strconv.Itoa(e.N), Time: clockTime(e), Kind: string(e.Kind), Note: e.Note, Fate: d.fate(),
			Gone: d.AmendedBy != nil || d.WithdrawnBy != nil}
		if late := e.Written.Sub(e.At); late > 10*time.Minute || late < -time.Minute {
			row.Written = "written down " + e.Written.Format("2 Jan 15:04 -07:00")
		}
		for _, s := range says(e, u) {
			row.Says = append(row.Says, sheet.Fact{Name: s.name, Says: s.value})
		}
		if e.Kind == diary.Tint || e.Kind == diary.Match {
			r.Tint = drying.JudgeDry()
		}
		last := &r.Days[len(r.Days)-1]
		last.Entries = append(last.Entries, row)
	}
	if n := len(r.Days); n > 0 {
		first, last := sorted[0].Entry.At.Format("2 Jan 2006"), sorted[len(sorted)-1].Entry.At.Format("2 Jan 2006")
		if r.Span = first; last != first {
			r.Span += " to " + last
		}
	}
	return r
}
