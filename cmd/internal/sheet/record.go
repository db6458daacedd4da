package sheet

import (
	_ "embed"
	"html/template"
	"io"
)

// Record is what the record of a job says: its diary, to be printed and handed over.
type Record struct {
	Head     string // whose
	Count    string // of entries
	Span     string // from the first day to the last
	Made     string // when the page was made
	Days     []RecordDay
	Faults   []string // of the diary's file
	Tint     string   // how a tint is judged; empty where there is none
	Cautions []string
}

// RecordDay is a day's entries.
type RecordDay struct {
	Day     string
	Entries []RecordEntry
}

// RecordEntry is one entry, in words.
type RecordEntry struct {
	Number, Time, Kind string
	Says               []Fact
	Note               string
	Written            string // when it was put down, if not then
	Fate               string // "amended by entry 7"
	Gone               bool   // it no longer holds
}

//go:embed record.css
var recordCSS string

//go:embed record.html
var recordPage string

var recordTemplate = template.Must(template.New("record").Parse(recordPage))

// WriteRecord writes the record as one page of HTML.
func WriteRecord(w io.Writer, r Record) error {
	policy, style := sealed(css + recordCSS)
	return recordTemplate.Execute(w, struct {
		Record
		Policy string
		Style  template.CSS
	}{r.clean(), policy, style})
}

func (r Record) clean() Record {
	for _, s := range []*string{&r.Head, &r.Count, &r.Span, &r.Made, &r.Tint} {
		*s = plain(*s)
	}
	r.Faults, r.Cautions = each(r.Faults, plain), each(r.Cautions, plain)
	r.Days = each(r.Days, func(d RecordDay) RecordDay {
		return RecordDay{plain(d.Day), each(d.Entries, func(e RecordEntry) RecordEntry {
			for _, s := range []*string{&e.Number, &e.Time, &e.Kind, &e.Note, &e.Written, &e.Fate} {
				*s = plain(*s)
			}
			e.Says = each(e.Says, Fact.clean)
			return e
		})}
	})
	return r
}
