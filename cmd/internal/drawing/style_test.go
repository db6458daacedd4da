package drawing

import (
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// kinds are drawings of every kind, each as a file.
func kinds() map[string]func(io.Writer) error {
	wetDay, compared, before := fullDay(), dryingExample(), dryingExample()
	compared.Before = &before
	short := example()
	c := last()
	c.burnish, c.closes = clock(14, 12, 10), clock(14, 12, 40) // drawn close up
	short.Coats[1] = c.coat()
	return map[string]func(io.Writer) error{
		"day":     func(w io.Writer) error { return SVG(w, wetDay) },
		"short":   func(w io.Writer) error { return SVG(w, short) },
		"drying":  func(w io.Writer) error { return DryingSVG(w, compared) },
		"ladder":  func(w io.Writer) error { return LadderSVG(w, ladderExample()) },
		"season":  func(w io.Writer) error { return SeasonSVG(w, seasonExample()) },
		"door":    func(w io.Writer) error { return PatchworkSVG(w, doorWall()) },
		"passage": func(w io.Writer) error { return PatchworkSVG(w, longWall()) },
		"hands":   func(w io.Writer) error { return HandsSVG(w, handsExample()) },
	}
}

// ruling is the style read as a browser does in the light and on paper: what each class and text is given, in order, with the variables'
// values in their places.
func ruling(t *testing.T) (text map[string]string, classes []struct {
	name  string
	gives map[string]string
}) {
	t.Helper()
	light, _, _ := strings.Cut(Style, "@media")
	vars := map[string]string{}
	for _, m := range regexp.MustCompile(`(--\w+):(#\w+)`).FindAllStringSubmatch(light, -1) {
		vars[m[1]] = m[2]
	}
	for _, m := range regexp.MustCompile(`(?m)^\.ld (text|\.[\w-]+)\{(.*)\}$`).FindAllStringSubmatch(light, -1) {
		gives := map[string]string{}
		for _, d := range strings.Split(m[2], ";") {
			name, value, _ := strings.Cut(d, ":")
			if v, ok := strings.CutPrefix(value, "var("); ok {
				if value, ok = vars[strings.TrimSuffix(v, ")")]; !ok {
					t.Errorf("%s of %s is no colour", v, m[1])
				}
			}
			gives[name] = value
		}
		if m[1] == "text" {
			text = gives
			continue
		}
		classes = append(classes, struct {
			name  string
			gives map[string]string
		}{m[1][1:], gives})
	}
	return text, classes
}

// A viewer that knows no CSS paints each mark as a browser does in the light, and nothing falls back to SVG's own black.
func TestAttributesAreTheStyle(t *testing.T) {
	ofText, classes := ruling(t)
	properties := slices.Collect(maps.Keys(ofText))
	for _, c := range classes {
		properties = slices.AppendSeq(properties, maps.Keys(c.gives))
	}
	slices.Sort(properties)
	properties = slices.Compact(properties)
	hex := regexp.MustCompile(`^#[0-9a-f]{6}$`)
	drawn := map[string]bool{}
	for kind, write := range kinds() {
		all := elements(t, write)
		root := all[0].attr
		for _, e := range all {
			if !slices.Contains([]string{"rect", "line", "path", "text"}, e.name) {
				if e.name != "svg" && slices.ContainsFunc(properties, func(p string) bool { return e.attr[p] != "" }) {
					t.Errorf("%s: %v paints what is in it", kind, e)
				}
				continue
			}
			want, got := map[string]string{}, map[string]string{}
			if e.name == "text" {
				maps.Copy(want, ofText)
			}
			for _, c := range classes {
				if c.name != "halo" && slices.Contains(strings.Fields(e.attr["class"]), c.name) {
					maps.Copy(want, c.gives)
					drawn[c.name] = true
				}
			}
			for _, p := range properties {
				if v, ok := e.attr[p]; ok && !strings.HasPrefix(v, "url(#") {
					got[p] = v
				} else if want[p] != "" && root[p] != "" {
					got[p] = root[p]
				}
			}
			if !maps.Equal(got, want) {
				t.Errorf("%s: %v has %v, the style %v", kind, e.attr, got, want)
			}
			switch pattern := strings.HasPrefix(e.attr["fill"], "url(#ld-"); {
			case e.name == "line", want["fill"] == "none" && !pattern:
				if !hex.MatchString(e.attr["stroke"]) {
					t.Errorf("%s: %v is not to be seen", kind, e.attr)
				}
			case pattern == hex.MatchString(want["fill"]):
				t.Errorf("%s: %v is filled by chance", kind, e.attr)
			}
		}
	}
	for _, l := range looks {
		if !drawn[l.class] {
			t.Errorf("no drawing has %s", l.class)
		}
	}
	if got := attributes("rect", "share safe whole"); !strings.HasPrefix(string(got), `fill="#efece2" stroke="#45719c"`) {
		t.Errorf("of several classes not the last of the style counts: %s", got)
	}
}

// A text with a halo has, in a file, a text of its own under it that is the halo: the same words at the same place, in the paper's
// colour. Where the style holds it is not shown.
func TestHalo(t *testing.T) {
	_, classes := ruling(t)
	n := 0
	for kind, write := range kinds() {
		all := everyElement(t, write)
		for i, e := range all {
			has := slices.Contains(strings.Fields(e.attr["class"]), "halo")
			if under := all[max(i-1, 0)]; has != (under.attr["class"] == "under") {
				t.Errorf("%s: under %v is %v", kind, e, under)
			} else if has {
				n++
				want := maps.Clone(e.attr)
				want["class"] = "under"
				for _, c := range classes {
					if c.name == "paper" || c.name == "halo" {
						maps.Copy(want, c.gives)
					}
				}
				delete(want, "paint-order")
				if under.text != e.text || !maps.Equal(under.attr, want) {
					t.Errorf("%s: under %v is %v, want %v", kind, e, under, want)
				}
			}
			if e.name == "style" && !strings.Contains(e.text, ".ld .under{display:none}") {
				t.Errorf("%s: the halos are shown twice", kind)
			}
		}
	}
	if n == 0 {
		t.Error("no halo")
	}
	if s := string(Inline(fullDay())); strings.Contains(s, `"under"`) || !strings.Contains(s, "halo") {
		t.Error("a page says a text twice")
	}
}

// A file has a size of its own, and a style that only those viewers read that know all of it; a page gives the size.
func TestFile(t *testing.T) {
	for kind, write := range kinds() {
		all := everyElement(t, write)
		root := all[0]
		if root.attr["viewBox"] != "0 0 "+root.attr["width"]+" "+root.attr["height"] || root.num(t, "height") < 100 {
			t.Errorf("%s: %v", kind, root.attr)
		}
		for _, e := range all {
			if css := strings.TrimSpace(e.text); e.name == "style" && (!strings.HasPrefix(css, "@supports (color:var(--ink)) and (paint-order:stroke){") ||
				strings.Count(css, "{") != strings.Count(css, "}") || !strings.HasSuffix(css, "}")) {
				t.Errorf("%s: %s", kind, css)
			}
		}
	}
	if root, _, _ := strings.Cut(string(Inline(fullDay())), ">"); regexp.MustCompile(` (width|height)=`).MatchString(root) {
		t.Error(root)
	}
}
