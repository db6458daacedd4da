package drawing

import (
	"cmp"
	"html/template"
	"slices"
	"strings"
)

// colour is one of the palette's by its name, none, or empty where nothing is said.
type colour string

// palette are the colours. Ink and quiet are for text, on paper and on hours.
var palette = []struct {
	name        colour
	light, dark string
}{
	{"paper", "#fbfaf6", "#161b20"},
	{"ink", "#1d2833", "#edf0f2"},
	{"quiet", "#4d5a66", "#a8b3bd"},
	{"hours", "#efece2", "#222a32"},
	{"rule", "#cfcabb", "#3a444e"},
	{"wet", "#45719c", "#7fa9d4"},
	{"work", "#8a4b10", "#e3a55c"},
	{"off", "#6b7680", "#95a0aa"},
}

// literal is the colour as it is in the light.
func (c colour) literal() string {
	for _, p := range palette {
		if p.name == c {
			return p.light
		}
	}
	return string(c)
}

// variable is the colour as CSS names it.
func (c colour) variable() string {
	if c == "none" || c == "" {
		return string(c)
	}
	return "var(--" + string(c) + ")"
}

// paint is what SVG's presentation properties say; an empty one says nothing.
type paint struct {
	fill, stroke            colour
	width, dash, ends, join string
	size, weight, anchor    string
}

// property is one that a paint states.
type property struct{ name, value string }

// properties are those that p states, its colours as told by as.
func (p paint) properties(as func(colour) string) []property {
	return slices.DeleteFunc([]property{
		{"fill", as(p.fill)}, {"stroke", as(p.stroke)}, {"stroke-width", p.width}, {"stroke-dasharray", p.dash},
		{"stroke-linecap", p.ends}, {"stroke-linejoin", p.join}, {"font-size", p.size}, {"font-weight", p.weight}, {"text-anchor", p.anchor},
	}, func(q property) bool { return q.value == "" })
}

// over is p with what it does not say taken from under.
func (p paint) over(under paint) paint {
	return paint{cmp.Or(p.fill, under.fill), cmp.Or(p.stroke, under.stroke), cmp.Or(p.width, under.width), cmp.Or(p.dash, under.dash), cmp.Or(p.ends, under.ends),
		cmp.Or(p.join, under.join), cmp.Or(p.size, under.size), cmp.Or(p.weight, under.weight), cmp.Or(p.anchor, under.anchor)}
}

// look is how the marks of a class are painted.
type look struct {
	class string
	paint paint
}

const fonts = `system-ui,-apple-system,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif`

// plain is how text is painted whose class says nothing else.
var plain = paint{fill: "ink", size: "15.5px"}

// shared is what marks take over from the whole drawing where they say nothing. One whose pattern a viewer does not know is left open.
var shared = paint{fill: "none", size: plain.size}

// halo lies round a text, under its fill: a viewer that knows no paint-order would put it over the text, so it is no attribute of it.
var halo = paint{stroke: "paper", width: "4px", join: "round"}

// looks are all classes but halo. A mark's attributes and [Style] are both made of them. Of two classes of one mark the later counts.
var looks = []look{
	{"h", paint{size: "17px", weight: "700"}},
	{"s", paint{size: "14px"}},
	{"q", paint{fill: "quiet"}},
	{"end", paint{anchor: "end"}},
	{"mid", paint{anchor: "middle"}},
	{"paper", paint{fill: "paper"}},
	{"hours", paint{fill: "hours"}},
	{"grid", paint{stroke: "rule", width: "1"}},
	{"rule", paint{fill: "none", stroke: "quiet", width: "1"}},
	{"span", paint{fill: "none", stroke: "ink", width: "3"}},
	{"wet", paint{stroke: "wet", width: "1"}},
	{"firming", paint{stroke: "wet", width: "1"}},
	{"compress", paint{stroke: "work", width: "1.6"}},
	{"burnish", paint{fill: "work", stroke: "work", width: "1.6"}},
	{"drying", paint{stroke: "off", width: "1"}},
	{"open", paint{fill: "none", stroke: "ink", width: "1.6"}},
	{"mark", paint{fill: "none", stroke: "ink", width: "1.6"}},
	{"edge", paint{fill: "none", stroke: "ink", width: "2.4"}},
	{"funnel", paint{fill: "none", stroke: "quiet", width: "1", dash: "2 3"}},
	{"air", paint{fill: "none", stroke: "work", width: "1.8", join: "round"}},
	{"face", paint{fill: "none", stroke: "ink", width: "3.6", join: "round"}},
	{"dew", paint{fill: "none", stroke: "wet", width: "2.2", dash: "1 5", ends: "round"}},
	{"was", paint{fill: "none", stroke: "quiet", width: "2", dash: "7 5"}},
	{"then", paint{fill: "paper", stroke: "quiet", width: "1.4"}},
	{"level", paint{fill: "none", stroke: "quiet", width: "1", dash: "1 4"}},
	{"sun", paint{stroke: "work", width: "1.4"}},
	{"rain", paint{stroke: "wet", width: "1.4"}},
	{"p-sun", paint{fill: "none", stroke: "work", width: "1.4"}},
	{"sure", paint{fill: "none", stroke: "ink", width: "1.6"}},
	{"limit", paint{fill: "none", stroke: "ink", width: "1.2"}},
	{"known", paint{fill: "none", stroke: "quiet", width: "1.2", dash: "6 3"}},
	{"ground", paint{fill: "paper"}},
	{"p-wet", paint{fill: "none", stroke: "wet", width: "2.2"}},
	{"p-work", paint{fill: "none", stroke: "work", width: "1.5"}},
	{"p-off", paint{fill: "off"}},
	{"whole", paint{fill: "hours", stroke: "rule", width: ".75"}},
	{"share", paint{fill: "work"}},
	{"safe", paint{fill: "hours", stroke: "wet", width: "1.4"}},
	{"stop", paint{fill: "none", stroke: "ink", width: "2"}},
	{"nearly", paint{fill: "none", stroke: "ink", width: "1.8"}},
	{"half", paint{fill: "none", stroke: "ink", width: "1.4", dash: "3 4"}},
	{"lay", paint{stroke: "wet", width: "1"}},
	{"pause", paint{fill: "paper", stroke: "quiet", width: "1", dash: "3 2"}},
	{"damp", paint{stroke: "off", width: "1"}},
	{"p-damp", paint{fill: "none", stroke: "off", width: ".7"}},
	{"part-a", paint{fill: "hours"}},
	{"part-b", paint{stroke: "none"}},
	{"part-c", paint{stroke: "none"}},
	{"p-part", paint{fill: "none", stroke: "off", width: ".9"}},
	{"patch", paint{fill: "none", stroke: "quiet", width: ".9"}},
	{"numbered", paint{fill: "none", stroke: "ink", width: "2"}},
	{"unplanned", paint{fill: "paper", stroke: "ink", width: "1.4"}},
	{"opening", paint{fill: "paper", stroke: "ink", width: "1.8"}},
	{"frame", paint{fill: "none", stroke: "ink", width: "1.4"}},
	{"joint", paint{fill: "none", stroke: "ink", width: "3.4", dash: "9 5"}},
	{"may", paint{fill: "paper", stroke: "ink", width: "1.2"}},
	{"lift", paint{fill: "none", stroke: "ink", width: "1.2", dash: "10 3 2 3"}},
}

// attributes are a mark's own paint for viewers that know no CSS: in a browser any rule of [Style] goes before them.
func attributes(kind, classes string) template.HTMLAttr {
	p := painted(classes)
	if kind == "text" {
		p = p.over(paint{fill: plain.fill})
	}
	if p.fill == shared.fill {
		p.fill = ""
	}
	return p.attributes()
}

// under are the attributes of a halo that is a text of its own; none where there is no halo.
func under(classes string) template.HTMLAttr {
	if !slices.Contains(strings.Fields(classes), "halo") {
		return ""
	}
	return paint{fill: halo.stroke}.over(halo).over(painted(classes)).attributes()
}

// painted is what the looks of classes come to.
func painted(classes string) (p paint) {
	has := strings.Fields(classes)
	for _, l := range looks {
		if slices.Contains(has, l.class) {
			p = l.paint.over(p)
		}
	}
	return p
}

func (p paint) attributes() template.HTMLAttr {
	var out []string
	for _, q := range p.properties(colour.literal) {
		out = append(out, q.name+`="`+q.value+`"`)
	}
	return template.HTMLAttr(strings.Join(out, " "))
}

// rule is the CSS of a selector.
func (p paint) rule(selector string) string { return selector + "{" + p.css() + "}\n" }

func (p paint) css() string {
	var out []string
	for _, q := range p.properties(colour.variable) {
		out = append(out, q.name+":"+q.value)
	}
	return strings.Join(out, ";")
}

// Style is the drawings' CSS, for the one style element of the page that they stand in; a file of its own brings it along. Every
// colour is a variable.
var Style = style()

func style() string {
	var light, dark, rules strings.Builder
	for _, p := range palette {
		light.WriteString("--" + string(p.name) + ":" + p.light + ";")
		dark.WriteString(";--" + string(p.name) + ":" + p.dark)
	}
	for _, l := range looks {
		rules.WriteString(l.paint.rule(".ld ." + l.class))
	}
	return ".ld{" + light.String() + "\ndisplay:block;width:100%;height:auto;color:var(--ink);font-family:" + fonts + "}\n" +
		plain.rule(".ld text") + rules.String() + ".ld .halo{" + halo.css() + `;paint-order:stroke}
@media print{svg.ld{max-height:100vh}}
@media screen and (min-width:700px){.ld text{font-size:13px}.ld .h{font-size:15px}.ld .s{font-size:12px}}
@media screen and (prefers-color-scheme:dark){.ld{` + dark.String()[1:] + "}}\n"
}
