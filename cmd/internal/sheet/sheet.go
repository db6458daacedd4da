package sheet

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"strings"
	"unicode"

	"limeday/cmd/internal/drawing"
)

// Page is what the sheet says. Empty parts are left out.
type Page struct {
	Head     string // whose job, or that it is the example
	Date     string // the moment of asking
	Verdict  string // in capitals, "GO"
	Says     string // the rest of the sentence: "Lay the first coat at 07:30."
	Reasons  []string
	Facts    []Fact // air, wall, why this start
	PlanHead string // over the timetable; empty: the usual one
	Coats    []Coat
	Rest     string // what is left for another day
	Signs    []Fact
	Watch    []Fact
	Changes  []Fact // what you can change, and its effect
	Care     []Fact // tape, soap, wax, sealer, walls already laid
	Tint     []string
	Limits   []Fact // of the data sheet, met or not
	Unknown  string
	Cautions []string
	Day      drawing.Day
}

// Fact is a thing with what is said of it; either may be empty.
type Fact struct{ Name, Says string }

// Coat is a row of the timetable, in words; an empty time does not apply.
type Coat struct {
	Name, Lay, Edge, Compress, Burnish, Gone, Next string
}

// rows is how many moments of air and wall fit on the page.
const rows = 12

//go:embed sheet.css
var css string

//go:embed sheet.html
var page string

var pageTemplate = template.Must(template.New("sheet").Parse(page))

// Write writes the page.
func Write(w io.Writer, p Page) error {
	policy, style := sealed(css + drawing.Style)
	head, course := drawing.Table(p.Day, rows)
	return pageTemplate.Execute(w, struct {
		Page
		Policy  string
		Style   template.CSS
		Picture template.HTML
		Columns []string
		Course  [][]string
	}{p.clean(), policy, style, drawing.Inline(p.Day), head, course})
}

// sealed is a page's style with the content policy that allows it and nothing else.
func sealed(style string) (string, template.CSS) {
	sum := sha256.Sum256([]byte(style))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'", template.CSS(style)
}

// clean takes from every text what a page may not hold or what would turn its reading order round.
func (p Page) clean() Page {
	for _, s := range []*string{&p.Head, &p.Date, &p.Verdict, &p.Says, &p.Rest, &p.PlanHead, &p.Unknown} {
		*s = plain(*s)
	}
	for _, l := range []*[]string{&p.Reasons, &p.Tint, &p.Cautions} {
		*l = each(*l, plain)
	}
	for _, l := range []*[]Fact{&p.Facts, &p.Signs, &p.Watch, &p.Changes, &p.Care, &p.Limits} {
		*l = each(*l, Fact.clean)
	}
	p.Coats = each(p.Coats, func(c Coat) Coat {
		for _, s := range []*string{&c.Name, &c.Lay, &c.Edge, &c.Compress, &c.Burnish, &c.Gone, &c.Next} {
			*s = plain(*s)
		}
		return c
	})
	return p
}

func (f Fact) clean() Fact { return Fact{plain(f.Name), plain(f.Says)} }

func each[T any](in []T, f func(T) T) []T {
	out := make([]T, len(in))
	for i, x := range in {
		out[i] = f(x)
	}
	return out
}

func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}
