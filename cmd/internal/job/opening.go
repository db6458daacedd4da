package job

import (
	"fmt"
	"strings"

	"limeday/cmd/internal/quantity"
)

// Opening is a hole in a wall, such as a door: it lies inside the wall and
// overlaps no other, but for a micrometre of round-off.
type Opening struct {
	Name          string  // empty when not given
	Left          float64 // m from the wall's left
	Sill          float64 // m above the floor; 0 when not given
	Width, Height float64 // m, 0.01 to 500
	Reveal        float64 // m deep; 0 when not given
	Line          int
}

var (
	openingSize = quantity.Range{Min: 0.01, Max: 500}
	revealDepth = quantity.Range{Min: 0, Max: 5}
	// An opening that starts outside its wall is told by how much, not that its number is out of range.
	openingStart = quantity.Range{Min: -500, Max: 500}
)

// roundOff is how far lengths that were written to fit may miss, in m: 1.2 + 0.9 is not quite 2.1.
const roundOff = 1e-6

// openings reads [[wall.opening]]; what was accepted before a fault is left out of the return.
func (d *decoder) openings(s *section, width, height *float64) []Opening {
	all := s.each("opening")
	if len(all) == 0 {
		return nil
	}
	if len(all) > maxItems {
		d.fault(all[maxItems].line(), "fewer openings", "[[wall]] has %d openings; give %d at most", len(all), maxItems)
		return nil
	}
	s.sized("opening", "width", all[0].line())
	s.sized("opening", "height", all[0].line())
	var fit []Opening
	var names []string // of fit
	for i, o := range all {
		got, ok := d.opening(o)
		if !ok || width == nil || height == nil {
			continue
		}
		name := fmt.Sprintf("opening %d", i+1)
		if got.Name != "" {
			name = fmt.Sprintf("opening %q", got.Name)
		}
		if said := got.misfit(*width, *height, s.units); said != "" {
			d.fault(o.line(), "an opening inside its wall", "%s %s", name, said)
			continue
		}
		for k, other := range fit {
			if across, up := got.overlap(other); across > roundOff && up > roundOff {
				d.fault(o.line(), "openings clear of each other", "%s overlaps %s of line %d by %s across and %s up; move one of them, or make it smaller",
					name, names[k], other.Line, length(across, s.units), length(up, s.units))
				ok = false
				break
			}
		}
		if ok {
			fit, names = append(fit, got), append(names, name)
		}
	}
	if len(fit) < len(all) {
		return fit
	}
	left := *width * *height
	for _, o := range fit {
		left -= o.Width * o.Height
	}
	if left <= roundOff*(*width+*height) {
		last := len(fit) - 1
		d.fault(fit[last].Line, "openings smaller than the wall", "with %s the openings take the whole of the wall, so there is nothing to plaster; give their own sizes, or the wall's", names[last])
	}
	return fit
}

// opening reads one; ok is false when it has no place or size.
func (d *decoder) opening(s *section) (Opening, bool) {
	o := Opening{Line: s.line()}
	o.Name, _, _ = s.name("name")
	_, silled := s.t.values["sill"]
	left := s.quantity("left", quantity.Length, openingStart)
	sill := s.quantity("sill", quantity.Length, openingStart)
	width := s.quantity("width", quantity.Length, openingSize)
	height := s.quantity("height", quantity.Length, openingSize)
	if deep := s.quantity("reveal", quantity.Length, revealDepth); deep != nil {
		o.Reveal = *deep
	}
	s.missing("left", "how far from the wall's left it starts, such as \"1.2m\"")
	s.missing("width", "how wide it is, such as \"0.9m\"")
	s.missing("height", "how high it is, such as \"2.1m\"")
	s.done()
	if left == nil || width == nil || height == nil || silled && sill == nil {
		return o, false
	}
	o.Left, o.Width, o.Height = *left, *width, *height
	if silled {
		o.Sill = *sill
	}
	return o, true
}

// misfit says how the opening does not fit a wall of that size in m; empty when it does.
func (o Opening) misfit(width, height float64, u quantity.Units) string {
	if o.Width > width+roundOff {
		return fmt.Sprintf("is %s wide, and its wall only %s; give the opening's own width, or the wall's", length(o.Width, u), length(width, u))
	}
	if o.Height > height+roundOff {
		return fmt.Sprintf("is %s high, and its wall only %s; give the opening's own height, or the wall's", length(o.Height, u), length(height, u))
	}
	var out []string
	for _, side := range []struct {
		by   float64
		name string
	}{{-o.Left, "on the left"}, {o.Left + o.Width - width, "on the right"}, {-o.Sill, "below the floor"}, {o.Sill + o.Height - height, "at the top"}} {
		if side.by > roundOff {
			out = append(out, length(side.by, u)+" "+side.name)
		}
	}
	if out == nil {
		return ""
	}
	return fmt.Sprintf("sticks out of its wall by %s; the wall is %s wide and %s high", strings.Join(out, " and "), length(width, u), length(height, u))
}

// overlap is how far two openings lie over each other, in m; not above zero where they do not.
func (o Opening) overlap(p Opening) (across, up float64) {
	return min(o.Left+o.Width, p.Left+p.Width) - max(o.Left, p.Left), min(o.Sill+o.Height, p.Sill+p.Height) - max(o.Sill, p.Sill)
}

func length(m float64, u quantity.Units) string { return quantity.Short(quantity.Length, m, u) }

// sized reports a size of the wall that must be there for key.
func (s *section) sized(key, size string, line int) {
	if _, there := s.t.values[size]; !there && !s.d.broken {
		s.d.fault(line, size+" in "+s.title, "%s needs the wall's %s; give %s in %s too", s.in(key), size, size, s.title)
	}
}

// along reads places along one size of the wall, in m, in ascending order and inside it.
func (s *section) along(key, size, order string, extent *float64) []float64 {
	of := "lengths inside the wall's " + size + ", " + order
	places := s.list(key, of)
	if len(places) > 0 {
		s.sized(key, size, places[0].line)
	}
	var out []float64
	for _, v := range places {
		at := s.quantityOf(key, v, quantity.Length, wallSize)
		switch {
		case at == nil || extent == nil:
		case *at <= roundOff || *at >= *extent-roundOff:
			s.d.fault(v.line, of, "%s: %s is not inside the wall's %s; give lengths above 0 and below %s", s.in(key), length(*at, s.units), size, length(*extent, s.units))
		case len(out) > 0 && *at <= out[len(out)-1]+roundOff:
			s.d.fault(v.line, of, "%s: %s comes after %s; give each once, %s", s.in(key), length(*at, s.units), length(out[len(out)-1], s.units), order)
		default:
			out = append(out, *at)
		}
	}
	return out
}
