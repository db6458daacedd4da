package drawing

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
)

// mark is one element of the picture; Kind says which of the fields count.
type mark struct {
	Kind       string // rect, line, path, text, group, end
	Class      string
	X, Y, W, H string
	X2, Y2     string
	D, Text    string
	Fill       string // the pattern that fills it; empty where its class says
	Paint      template.HTMLAttr
	Under      template.HTMLAttr // of its halo
}

// figure collects marks in the order they are painted.
type figure struct {
	ID            string // begins every id
	Marks         []mark
	Patterns      []pattern // those that the marks are filled with
	Title, Desc   string
	Width, Height string
	Standalone    bool
	Style         template.CSS
	has           map[string]bool // the classes drawn, for the key
}

// plainID is the id of a drawing that is the only one of its page.
const plainID = "ld"

// newFigure is an empty picture, whose first mark is its paper: the height of both is set at the end.
func newFigure(id string) *figure {
	if id == "" {
		id = plainID
	}
	if strings.ContainsFunc(id, func(r rune) bool { return r != '-' && (r < '0' || r > '9') && (r < 'a' || r > 'z') }) || id[0] < 'a' {
		panic("drawing: an id is of a-z, 0-9 and -, and begins with a letter: " + id)
	}
	f := &figure{ID: id, has: map[string]bool{}, Width: num(width)}
	f.rect("paper", 0, 0, width, 0)
	return f
}

func num(v float64) string {
	s := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func (f *figure) add(m mark) {
	if i := slices.IndexFunc(patterns, func(p pattern) bool { return p.Class == m.Class }); i >= 0 {
		m.Fill = f.ID + "-" + m.Class
		if !f.has[m.Class] {
			f.Patterns = append(f.Patterns, patterns[i])
		}
	}
	m.Paint, m.Under = attributes(m.Kind, m.Class), under(m.Class)
	f.Marks = append(f.Marks, m)
	if m.Class != "" {
		f.has[m.Class] = true
	}
}

func (f *figure) rect(class string, x, y, w, h float64) {
	f.add(mark{Kind: "rect", Class: class, X: num(x), Y: num(y), W: num(w), H: num(h)})
}

func (f *figure) line(class string, x, y, x2, y2 float64) {
	f.add(mark{Kind: "line", Class: class, X: num(x), Y: num(y), X2: num(x2), Y2: num(y2)})
}

func (f *figure) path(class, d string) { f.add(mark{Kind: "path", Class: class, D: d}) }

func (f *figure) text(class string, x, y float64, s string) {
	if strings.TrimSpace(s) == "" {
		return
	}
	f.add(mark{Kind: "text", Class: class, X: num(x), Y: num(y), Text: s})
}

func (f *figure) open(class string) { f.add(mark{Kind: "group", Class: class}) }
func (f *figure) shut()             { f.add(mark{Kind: "end"}) }

// pattern is what fills the marks of a class. The fill is an attribute of each mark, not of the class: the pattern's id is the
// drawing's own, so that drawings on one page do not share it.
type pattern struct {
	Class string
	W, H  int
	Ink   string // the class of its strokes
	D     string
}

// GroundPaint and InkPaint are the attributes of what a pattern is made of.
func (pattern) GroundPaint() template.HTMLAttr { return painted("ground").attributes() }
func (p pattern) InkPaint() template.HTMLAttr  { return painted(p.Ink).attributes() }

var patterns = []pattern{
	{"wet", 8, 7, "p-wet", "M-2 3.5q2 -3 4 0t4 0t4 0"},
	{"firming", 6, 6, "p-wet", "M0 3h6"},
	{"compress", 7, 7, "p-work", "M-1 8L8 -1M-1 1L1 -1M6 8L8 6"},
	{"drying", 7, 5, "p-off", "M1 2.5a1 1 0 1 0 2 0a1 1 0 1 0 -2 0z"},
	{"sun", 8, 8, "p-sun", "M4 1v6M1 4h6"},
	{"rain", 5, 8, "p-wet", "M2.5 1v6"},
	{"lay", 10, 8, "p-wet", "M0 2h6M5 6h5M0 6h1"},
	{"damp", 8, 8, "p-damp", "M-1 -1L9 9M-1 7L1 9M7 -1L9 1"},
	{"part-b", 12, 12, "p-part", "M-1 -1L13 13"},
	{"part-c", 12, 10, "p-part", "M2 4h3M8 9h3"},
}

// Paint are the attributes that the marks share.
func (*figure) Paint() template.HTMLAttr {
	return shared.attributes() + template.HTMLAttr(` font-family="`+strings.ReplaceAll(fonts, `"`, "'")+`"`)
}

var svgTemplate = template.Must(template.New("svg").Parse(`<svg xmlns="http://www.w3.org/2000/svg" class="ld" viewBox="0 0 {{.Width}} {{.Height}}"{{if .Standalone}} width="{{.Width}}" height="{{.Height}}"{{end}} {{.Paint}} role="img" aria-labelledby="{{.ID}}-title {{.ID}}-desc">
<title id="{{.ID}}-title">{{.Title}}</title>
<desc id="{{.ID}}-desc">{{.Desc}}</desc>
{{if .Standalone}}<style>{{.Style}}</style>
{{end}}{{if .Patterns}}<defs>
{{range .Patterns}}<pattern id="{{$.ID}}-{{.Class}}" width="{{.W}}" height="{{.H}}" patternUnits="userSpaceOnUse"><rect class="ground" {{.GroundPaint}} width="{{.W}}" height="{{.H}}"/><path class="{{.Ink}}" {{.InkPaint}} d="{{.D}}"/></pattern>
{{end}}</defs>
{{end}}{{range .Marks}}{{if eq .Kind "rect"}}<rect class="{{.Class}}" {{.Paint}} x="{{.X}}" y="{{.Y}}" width="{{.W}}" height="{{.H}}"{{if .Fill}} fill="url(#{{.Fill}})"{{end}}/>
{{else if eq .Kind "line"}}<line class="{{.Class}}" {{.Paint}} x1="{{.X}}" y1="{{.Y}}" x2="{{.X2}}" y2="{{.Y2}}"/>
{{else if eq .Kind "path"}}<path class="{{.Class}}" {{.Paint}} d="{{.D}}"{{if .Fill}} fill="url(#{{.Fill}})"{{end}}/>
{{else if eq .Kind "text"}}{{if and .Under $.Standalone}}<text class="under" {{.Under}} x="{{.X}}" y="{{.Y}}">{{.Text}}</text>
{{end}}<text class="{{.Class}}" {{.Paint}} x="{{.X}}" y="{{.Y}}">{{.Text}}</text>
{{else if eq .Kind "group"}}<g class="{{.Class}}">
{{else}}</g>
{{end}}{{end}}</svg>
`))

// SVG writes d as a file of its own, with its one style element.
func SVG(w io.Writer, d Day) error { return writeFile(w, draw(d)) }

// Inline is d for a page whose style element holds Style.
func Inline(d Day) template.HTML { return inline(draw(d)) }

// Of the style of a file. Viewers that know CSS but none of this take the attributes: to them a variable is no colour, and a text with
// its stroke over it is a blot. Where the style holds, a text has its own halo and needs none under it.
const (
	supported = "@supports (color:var(--ink)) and (paint-order:stroke){\n"
	noUnder   = ".ld .under{display:none}\n"
)

func writeFile(w io.Writer, f *figure) error {
	f.Standalone, f.Style = true, template.CSS(supported+noUnder+Style+"}")
	return svgTemplate.Execute(w, f)
}

func inline(f *figure) template.HTML {
	var b bytes.Buffer
	if err := svgTemplate.Execute(&b, f); err != nil {
		panic("drawing: " + err.Error()) // a buffer does not fail, nor does a template of strings
	}
	return template.HTML(b.String())
}
