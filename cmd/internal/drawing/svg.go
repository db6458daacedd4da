package drawing

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"strings"
)

// mark is one element of the picture; Kind says which of the fields count.
type mark struct {
	Kind       string // rect, line, path, text, group, end
	Class      string
	X, Y, W, H string
	X2, Y2     string
	D, Text    string
}

// figure collects marks in the order they are painted.
type figure struct {
	Marks         []mark
	Title, Desc   string
	Width, Height string
	Standalone    bool
	Style         template.CSS
	has           map[string]bool // the classes drawn, for the key
}

// newFigure is an empty picture, whose first mark is its paper: the height of both is set at the end.
func newFigure() *figure {
	f := &figure{has: map[string]bool{}, Width: num(width)}
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

var svgTemplate = template.Must(template.New("svg").Parse(`<svg xmlns="http://www.w3.org/2000/svg" class="ld" viewBox="0 0 {{.Width}} {{.Height}}" role="img" aria-labelledby="ld-title ld-desc">
<title id="ld-title">{{.Title}}</title>
<desc id="ld-desc">{{.Desc}}</desc>
{{if .Standalone}}<style>{{.Style}}</style>
{{end}}<defs>
<pattern id="ld-wet" width="8" height="7" patternUnits="userSpaceOnUse"><rect class="ground" width="8" height="7"/><path class="p-wet" d="M-2 3.5q2 -3 4 0t4 0t4 0"/></pattern>
<pattern id="ld-firming" width="6" height="6" patternUnits="userSpaceOnUse"><rect class="ground" width="6" height="6"/><path class="p-wet" d="M0 3h6"/></pattern>
<pattern id="ld-compress" width="7" height="7" patternUnits="userSpaceOnUse"><rect class="ground" width="7" height="7"/><path class="p-work" d="M-1 8L8 -1M-1 1L1 -1M6 8L8 6"/></pattern>
<pattern id="ld-sun" width="8" height="8" patternUnits="userSpaceOnUse"><rect class="ground" width="8" height="8"/><path class="p-sun" d="M4 1v6M1 4h6"/></pattern>
<pattern id="ld-rain" width="5" height="8" patternUnits="userSpaceOnUse"><rect class="ground" width="5" height="8"/><path class="p-wet" d="M2.5 1v6"/></pattern>
<pattern id="ld-drying" width="7" height="5" patternUnits="userSpaceOnUse"><rect class="ground" width="7" height="5"/><circle class="p-off" cx="2" cy="2.5" r="1"/></pattern>
</defs>
{{range .Marks}}{{if eq .Kind "rect"}}<rect class="{{.Class}}" x="{{.X}}" y="{{.Y}}" width="{{.W}}" height="{{.H}}"/>
{{else if eq .Kind "line"}}<line class="{{.Class}}" x1="{{.X}}" y1="{{.Y}}" x2="{{.X2}}" y2="{{.Y2}}"/>
{{else if eq .Kind "path"}}<path class="{{.Class}}" d="{{.D}}"/>
{{else if eq .Kind "text"}}<text class="{{.Class}}" x="{{.X}}" y="{{.Y}}">{{.Text}}</text>
{{else if eq .Kind "group"}}<g class="{{.Class}}">
{{else}}</g>
{{end}}{{end}}</svg>
`))

// SVG writes d as a file of its own, with its one style element.
func SVG(w io.Writer, d Day) error { return writeFile(w, draw(d)) }

// Inline is d for a page whose style element holds Style. A page may hold one.
func Inline(d Day) template.HTML { return inline(draw(d)) }

func writeFile(w io.Writer, f *figure) error {
	f.Standalone, f.Style = true, template.CSS(Style)
	return svgTemplate.Execute(w, f)
}

func inline(f *figure) template.HTML {
	var b bytes.Buffer
	if err := svgTemplate.Execute(&b, f); err != nil {
		panic("drawing: " + err.Error()) // a buffer does not fail, nor does a template of strings
	}
	return template.HTML(b.String())
}
