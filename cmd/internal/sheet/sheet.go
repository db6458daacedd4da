package sheet

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"slices"
	"strings"
	"unicode"

	"limeday/cmd/internal/drawing"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

// Shown is a day with its printer, for a template. The parts named in [Parts] take one.
type Shown struct {
	view.Day
	Printer view.Printer
}

// Say writes a text for a page, as do Time, Brief, Clock and Plain: nothing in them breaks it, or turns its reading order round.
func (s Shown) Say(t message.Text) string { return plain(s.Printer.Text(t)) }

// Time writes a moment.
func (s Shown) Time(t view.Time) string { return plain(s.Printer.Time(t)) }

// Brief writes it for a narrow column.
func (s Shown) Brief(t view.Time) string { return plain(s.Printer.Brief(t)) }

// Clock writes its time of day.
func (s Shown) Clock(t view.Time) string { return plain(s.Printer.Clock(t)) }

// Plain is a text of a user's or a file's.
func (s Shown) Plain(t string) string { return plain(t) }

// Banded tells whether any coat's times have a band.
func (s Shown) Banded() bool {
	return slices.ContainsFunc(s.Plan, func(c view.Coat) bool { return len(c.Band) > 0 })
}

// Laid is what the walls already laid want.
func (s Shown) Laid() []message.Text { return view.Laid(s.After) }

// Met counts the limits of the data sheet that are met.
func (s Shown) Met() message.Text { return view.Met(s.Limits) }

// Parts are the templates that the sheet and the page of a day share: what is said of it, in one order.
//
//go:embed day.html
var Parts string

// Fact is a thing with what is said of it; either may be empty.
type Fact struct{ Name, Says string }

// rows is how many moments of air and wall fit on the page.
const rows = 12

//go:embed sheet.css
var css string

//go:embed sheet.html
var page string

var pageTemplate = template.Must(template.Must(template.New("sheet").Parse(page)).Parse(Parts))

// Write writes the page.
func Write(w io.Writer, d view.Day, p view.Printer) error {
	policy, style := sealed(css + drawing.Style)
	drawn := drawing.OfDay(d, p)
	head, course := drawing.Table(drawn, rows)
	return pageTemplate.Execute(w, struct {
		Shown
		Policy  string
		Style   template.CSS
		Picture template.HTML
		Columns []string
		Course  [][]string
	}{Shown{d, p}, policy, style, drawing.Inline(drawn), head, course})
}

// sealed is a page's style with the content policy that allows it and nothing else.
func sealed(style string) (string, template.CSS) {
	sum := sha256.Sum256([]byte(style))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'", template.CSS(style)
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
